//! How many choices of drivers and driven gears does the proof cover? By arithmetic.
//!
//! A kind of a class with n gears contributes the sum of x^a y^b over a + b <= n (a of them drive, b
//! are driven). The coefficient of x^d y^v of the product over the kinds counts the choices with d
//! drivers and v driven gears of that class. In every class drivers and driven gears are equally
//! many, with the machine's own end gear counted as one.

use super::fields::Constant;
use super::stock::{EndGear, KindId, Stock};

const SIDE: usize = crate::bounds::PAIRS + 1;
type Counts = [[u128; SIDE]; SIDE];

/// Choices for one class, by drivers and driven.
fn of_class(stock: &Stock, class: u8) -> Counts {
    let mut counts = [[0; SIDE]; SIDE];
    counts[0][0] = 1;
    for kind in &stock.kinds[..stock.boxed] {
        if kind.class != class {
            continue;
        }
        let left = usize::from(kind.owned);
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

/// Choices with up to 1, 2, 3 and 4 gear pairs, over all constants.
pub(super) fn combinations(stock: &Stock, constants: &[Constant]) -> [u128; SIDE - 1] {
    let mut known: Vec<((EndGear, EndGear), [u128; SIDE - 1])> = Vec::new();
    let mut total = [0_u128; SIDE - 1];
    for c in constants {
        let ends = (c.first, c.last);
        let at = known.iter().position(|(e, _)| *e == ends).unwrap_or_else(|| {
            known.push((ends, with_ends(stock, c.first.own(), c.last.own())));
            known.len() - 1
        });
        let counts = known[at].1;
        for (sum, count) in total.iter_mut().zip(counts) {
            *sum = sum.saturating_add(count);
        }
    }
    total
}

fn with_ends(stock: &Stock, first: Option<KindId>, last: Option<KindId>) -> [u128; SIDE - 1] {
    // ways[n]: choices over the classes so far that make n gear pairs.
    let mut ways = [0_u128; SIDE];
    ways[0] = 1;
    for class in 0..stock.classes {
        let class = u8::try_from(class).unwrap_or(u8::MAX);
        let counts = of_class(stock, class);
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
    let mut up_to = [0; SIDE - 1];
    let mut sum = 0_u128;
    for (slot, n) in up_to.iter_mut().zip(&ways[1..]) {
        sum = sum.saturating_add(*n);
        *slot = sum;
    }
    up_to
}
