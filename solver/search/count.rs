//! How many choices of drivers and driven the proof covers, by arithmetic.
//!
//! A class of a kind with n gears contributes the sum of x^a y^b over a + b <= n (a of them drive,
//! b are driven); the coefficient of x^d y^v of the product over the kinds counts the choices with
//! d drivers and v driven of that class. In every class drivers and driven are equally many, a
//! settled end gear counting as one.

use super::fields::Constant;
use super::stock::{KindId, Stock};

const SIDE: usize = crate::bounds::PAIRS + 1;
type Counts = [[u128; SIDE]; SIDE];

/// Choices for one class, by drivers and driven.
fn of_class(stock: &Stock, class: u8, settled: &[KindId]) -> Counts {
    let mut counts = [[0; SIDE]; SIDE];
    counts[0][0] = 1;
    for (id, kind) in (0_u16..).zip(&stock.kinds[..stock.boxed]) {
        if kind.class != class {
            continue;
        }
        let taken = settled.iter().filter(|s| **s == id).count();
        let left = usize::from(kind.owned).saturating_sub(taken);
        let mut next = [[0_u128; SIDE]; SIDE];
        for d in 0..SIDE {
            for v in 0..SIDE {
                for a in 0..=left.min(SIDE - 1 - d) {
                    for b in 0..=(left - a).min(SIDE - 1 - v) {
                        next[d + a][v + b] = next[d + a][v + b].saturating_add(counts[d][v]);
                    }
                }
            }
        }
        counts = next;
    }
    counts
}

/// Choices with up to `pairs` ratio pairs, over all constants.
pub(super) fn combinations(stock: &Stock, constants: &[Constant], pairs: usize) -> u128 {
    let mut known: Vec<((Option<KindId>, Option<KindId>), u128)> = Vec::new();
    let mut total = 0_u128;
    for c in constants {
        let ends = (c.first, c.last);
        let count = known.iter().find(|(e, _)| *e == ends).map(|k| k.1).unwrap_or_else(|| {
            let count = with_ends(stock, c.first, c.last, pairs);
            known.push((ends, count));
            count
        });
        total = total.saturating_add(count);
    }
    total
}

fn with_ends(stock: &Stock, first: Option<KindId>, last: Option<KindId>, pairs: usize) -> u128 {
    let settled: Vec<KindId> = first.into_iter().chain(last).collect();
    // ways[n]: choices over the classes so far that make n ratio pairs.
    let mut ways = [0_u128; SIDE];
    ways[0] = 1;
    for class in 0..stock.classes {
        let class = u8::try_from(class).unwrap_or(u8::MAX);
        let counts = of_class(stock, class, &settled);
        let here =
            |end: Option<KindId>| usize::from(end.is_some_and(|k| stock.kind(k).class == class));
        let (f, l) = (here(first), here(last));
        let mut next = [0_u128; SIDE];
        for n in 0..SIDE {
            for k in f.max(l)..SIDE - n {
                next[n + k] =
                    next[n + k].saturating_add(ways[n].saturating_mul(counts[k - f][k - l]));
            }
        }
        ways = next;
    }
    ways[1..=pairs.min(SIDE - 1)].iter().fold(0, |sum: u128, w| sum.saturating_add(*w))
}
