//! Which leads are possible? Products of drivers over products of driven gears, times the constants.
//!
//! Every lead is constant x drivers / driven. A constant has lead screw, headstock, levers and
//! settled end gears. All constants of a batch get one common numerator M; their denominators are
//! multiplied into the driven products. So lead = M p / u with whole numbers p (a product of
//! drivers) and u (a row). Equal rows u are one row with several constants, so many lever positions
//! cost little more than one.

#![expect(clippy::cast_precision_loss, reason = "doubles find candidates; whole numbers rank them")]

use super::products::{Classes, MOST_SETS, Sides, Table, Which, multisets, tables, with, without};
use super::stock::{EndGear, Stock};
use crate::{Lathe, Ratio, Result, Setting};
use num_integer::Integer;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A lever position with settled end gears, as one factor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Constant {
    pub(super) setting: u32,
    pub(super) first: EndGear,
    pub(super) last: EndGear,
    pub(super) ratio: Ratio,
}

/// Bits of M, and of a row's factor: see [`crate::bounds::CONSTANT_BITS`] and nine for an end gear.
const SCALE_BITS: u32 = crate::bounds::CONSTANT_BITS + 9;
// A row times a product of drivers, and M times a product, fit 128 bits.
const _: () = assert!(SCALE_BITS + 2 * crate::bounds::PRODUCT_BITS <= 128);

/// Most rows that are merged; beyond, each constant keeps its own.
const MOST_MERGED: usize = 2_000_000;
/// The same for all fields together, fewest pairs first: 200 MB.
const MOST_MERGED_IN_ALL: usize = 4_000_000;

/// The driven side, times the denominators of the constants.
#[derive(Debug)]
enum Rows {
    /// The driven products times one factor, for one constant.
    Plain { factor: u128, constant: usize },
    /// The same for several constants, equal ones as one row.
    Merged(Merged),
}

#[derive(Debug)]
struct Merged {
    /// u, ascending, and the same as doubles.
    exact: Vec<u128>,
    approx: Vec<f64>,
    start: Vec<u32>,
    /// Constant and driven product.
    behind: Vec<(u32, u32)>,
}

/// One pair of tables with its constants.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) pairs: usize,
    pub(super) drivers: Arc<Table>,
    pub(super) driven: Arc<Table>,
    rows: Rows,
    /// M.
    pub(super) scale: u128,
}

impl Field {
    /// u of a row.
    pub(super) fn row(&self, row: usize) -> u128 {
        match &self.rows {
            Rows::Plain { factor, .. } => u128::from(self.driven.products[row]) * factor,
            Rows::Merged(merged) => merged.exact[row],
        }
    }

    /// All rows as doubles, ascending, each to be multiplied by the factor beside it.
    pub(super) fn rows(&self) -> (&[f64], f64) {
        match &self.rows {
            Rows::Plain { factor, .. } => (&self.driven.approx, *factor as f64),
            Rows::Merged(merged) => (&merged.approx, 1.0),
        }
    }

    /// The constants and driven products of a row.
    pub(super) fn behind(&self, row: usize) -> impl Iterator<Item = (usize, usize)> {
        let (merged, plain) = match &self.rows {
            Rows::Plain { constant, .. } => (None, Some((*constant, row))),
            Rows::Merged(m) => {
                (Some(&m.behind[m.start[row] as usize..m.start[row + 1] as usize]), None)
            }
        };
        merged.into_iter().flatten().map(|&(c, q)| (c as usize, q as usize)).chain(plain)
    }

    /// The lead of a row and a product, in lowest terms.
    pub(super) fn lead(&self, row: usize, product: usize) -> Result<Ratio> {
        Ratio::new(self.scale * u128::from(self.drivers.products[product]), self.row(row))
    }
}

/// All fields of a search.
#[derive(Debug)]
pub(super) struct Fields {
    pub(super) list: Vec<Field>,
    pub(super) constants: Vec<Constant>,
    /// Most gear pairs tabulated.
    pub(super) pairs: usize,
    /// Most gear pairs that studs, sleeves and joints allow.
    pub(super) possible: usize,
    /// The same within the options: more than `pairs` where the tables would be too large.
    pub(super) allowed: usize,
    /// Average number of sources of a lead.
    pub(super) twins: f64,
    /// Rows merged so far.
    merged: usize,
}

/// Every setting with its end gears; the machine's own gears are multiplied in.
pub(super) fn constants(
    lathe: &Lathe,
    stock: &mut Stock,
    settings: &[Setting],
) -> Result<Vec<Constant>> {
    let first = stock.end(&lathe.parts().ends.first, true);
    let mut all = Vec::with_capacity(settings.len());
    for (setting, s) in (0_u32..).zip(settings) {
        let last = stock.end(&s.last, false);
        let teeth =
            |end: EndGear| Ratio::new(end.own().map_or(1, |k| stock.kind(k).teeth).into(), 1);
        let ratio = s.constant.mm().times(&teeth(first)?)?.over(&teeth(last)?)?;
        all.push(Constant { setting, first, last, ratio });
    }
    Ok(all)
}

/// Constants with one common numerator, and the factor of each.
struct Batch {
    scale: u128,
    constants: Vec<(usize, u128)>,
}

impl Batch {
    /// Adds the constant if the common numerator and all factors stay small.
    fn take(&mut self, index: usize, ratio: &Ratio) -> bool {
        let small = |x: u128| x >> SCALE_BITS == 0;
        // Both below 2^57: the common multiple fits.
        let scale = self.scale.lcm(&ratio.numer());
        let up = scale / self.scale;
        let factor = (scale / ratio.numer()).checked_mul(ratio.denom());
        let Some(factor) = factor.filter(|&f| small(f) && small(scale)) else { return false };
        if !self.constants.iter().all(|(_, f)| f.checked_mul(up).is_some_and(small)) {
            return false;
        }
        for (_, f) in &mut self.constants {
            *f *= up;
        }
        self.scale = scale;
        self.constants.push((index, factor));
        true
    }
}

fn batches(constants: &[Constant], members: &[usize]) -> Vec<Batch> {
    let mut all: Vec<Batch> = Vec::new();
    for &index in members {
        let ratio = &constants[index].ratio;
        if !all.last_mut().is_some_and(|b| b.take(index, ratio)) {
            all.push(Batch { scale: ratio.numer(), constants: vec![(index, ratio.denom())] });
        }
    }
    all
}

/// Tables made once, shared by all fields.
struct Tables<'a> {
    stock: &'a Stock,
    sides: BTreeMap<(Which, usize), Sides>,
}

impl Tables<'_> {
    fn sides(&mut self, which: Which, members: usize) -> Sides {
        if let Some(sides) = self.sides.get(&(which, members)) {
            return sides.clone();
        }
        let mut made = tables(self.stock, which, members);
        // One table for both sides where no place, joint or list differs between them.
        let twin = self.sides.iter().find(|((_, n), sides)| *n == members && **sides == made);
        if let Some((_, twin)) = twin {
            made = twin.clone();
        }
        self.sides.insert((which, members), made.clone());
        made
    }
}

impl Fields {
    /// With `most` gear pairs at most.
    pub(super) fn new(
        lathe: &Lathe,
        stock: &mut Stock,
        settings: &[Setting],
        most: usize,
    ) -> Result<Self> {
        let constants = constants(lathe, stock, settings)?;
        let stock = &*stock;
        let possible = 1 + lathe.pairs_at_once();
        let allowed = possible.min(most.max(1));
        let pairs =
            (1..=allowed).take_while(|&m| multisets(stock, m) <= MOST_SETS).last().unwrap_or(1);
        let mut made =
            Self { list: Vec::new(), constants, pairs, possible, allowed, twins: 1.0, merged: 0 };
        let mut tables = Tables { stock, sides: BTreeMap::new() };
        for m in 1..=pairs {
            made.add_level(&mut tables, m);
        }
        Ok(made)
    }

    /// The fields with `pairs` gear pairs.
    fn add_level(&mut self, tables: &mut Tables<'_>, pairs: usize) {
        let stock = tables.stock;
        let class = |end: EndGear| end.own().map(|k| stock.kind(k).class);
        let mut alike: BTreeMap<(EndGear, EndGear), Vec<usize>> = BTreeMap::new();
        for (i, c) in self.constants.iter().enumerate() {
            alike.entry((c.first, c.last)).or_default().push(i);
        }
        for ((first, last), members) in alike {
            let drivers = tables.sides(
                Which { drives: true, end: first },
                pairs - usize::from(class(first).is_some()),
            );
            let driven = tables.sides(
                Which { drives: false, end: last },
                pairs - usize::from(class(last).is_some()),
            );
            let (first, last) = (class(first), class(last));
            let batches = batches(&self.constants, &members);
            for (classes, drivers) in &drivers {
                let partner = |c: &Classes| without(with(*c, first)?, last);
                let Some(driven) = partner(classes).and_then(|c| driven.get(&c)) else { continue };
                for batch in &batches {
                    let of = |rows| Field {
                        pairs,
                        drivers: Arc::clone(drivers),
                        driven: Arc::clone(driven),
                        rows,
                        scale: batch.scale,
                    };
                    let rows = batch.constants.len() * driven.products.len();
                    if batch.constants.len() > 1
                        && rows <= MOST_MERGED
                        && self.merged + rows <= MOST_MERGED_IN_ALL
                    {
                        self.merged += rows;
                        self.list.push(of(Rows::Merged(merge(driven, &batch.constants))));
                    } else {
                        self.list.extend(
                            batch
                                .constants
                                .iter()
                                .map(|&(constant, factor)| of(Rows::Plain { factor, constant })),
                        );
                    }
                }
            }
        }
    }
}

/// All rows of a batch, equal ones as one.
fn merge(driven: &Table, constants: &[(usize, u128)]) -> Merged {
    let mut all: Vec<(u128, u32, u32)> =
        Vec::with_capacity(constants.len() * driven.products.len());
    for &(constant, factor) in constants {
        // Both are below MOST_MERGED.
        let constant = u32::try_from(constant).unwrap_or(u32::MAX);
        all.extend(
            (0_u32..)
                .zip(&driven.products)
                .map(|(q, &product)| (u128::from(product) * factor, constant, q)),
        );
    }
    all.sort_unstable();
    let mut merged = Merged {
        exact: Vec::new(),
        approx: Vec::new(),
        start: Vec::new(),
        behind: Vec::with_capacity(all.len()),
    };
    for (u, constant, q) in all {
        if merged.exact.last() != Some(&u) {
            merged.exact.push(u);
            merged.approx.push(u as f64);
            merged.start.push(u32::try_from(merged.behind.len()).unwrap_or(u32::MAX));
        }
        merged.behind.push((constant, q));
    }
    merged.start.push(u32::try_from(merged.behind.len()).unwrap_or(u32::MAX));
    merged
}
