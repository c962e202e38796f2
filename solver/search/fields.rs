//! Where the leads come from: drivers' products against driven products, times the constants.
//!
//! Every lead is constant x drivers / driven. A constant takes in lead screw, headstock, levers and
//! settled end gears. All constants of a batch are brought to one upper side M, and the lower side
//! is multiplied into the driven products: lead = M p / u with whole numbers p (a product of
//! drivers) and u (a row). Rows of equal u are one row with several constants behind it, so that
//! many lever positions cost little more than one.

use super::products::{Classes, MOST_SETS, Sides, Table, Which, multisets, tables, with, without};
use super::stock::{KindId, Stock};
use crate::{Lathe, Ratio, Result, Setting};
use num_integer::Integer;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A lever position with settled end gears, as one factor.
#[derive(Debug, Clone, Copy)]
pub(super) struct Constant {
    pub(super) setting: u32,
    pub(super) first: Option<KindId>,
    pub(super) last: Option<KindId>,
    pub(super) ratio: Ratio,
}

/// Bits of M, and of a row's factor: see [`crate::bounds::CONSTANT_BITS`] and nine for an end gear.
const SCALE_BITS: u32 = crate::bounds::CONSTANT_BITS + 9;
// A row times a product of drivers, and M times a product, fit 128 bits.
const _: () = assert!(SCALE_BITS + 2 * crate::bounds::PRODUCT_BITS <= 128);

/// Rows that would be merged at most; beyond, each constant keeps its own.
const MOST_MERGED: usize = 2_000_000;

/// The driven side, times what the constants divide by.
#[derive(Debug)]
pub(super) struct Rows {
    /// u, as doubles, ascending; to be multiplied by `factor`.
    pub(super) approx: Arc<Vec<f64>>,
    pub(super) factor: u128,
    merged: Option<Merged>,
    constant: usize,
}

#[derive(Debug)]
struct Merged {
    exact: Vec<u128>,
    start: Vec<u32>,
    /// Constant and driven product.
    behind: Vec<(u32, u32)>,
}

/// One pair of tables with the constants that go with it.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) pairs: usize,
    pub(super) drivers: Arc<Table>,
    pub(super) driven: Arc<Table>,
    /// The drivers' products as doubles: exact, being below 2^53.
    pub(super) approx: Arc<Vec<f64>>,
    pub(super) rows: Rows,
    /// M.
    pub(super) scale: u128,
}

impl Field {
    /// u of a row.
    pub(super) fn row(&self, row: usize) -> u128 {
        match &self.rows.merged {
            Some(merged) => merged.exact[row],
            None => u128::from(self.driven.products[row]) * self.rows.factor,
        }
    }

    /// The constants and driven products behind a row.
    pub(super) fn behind(&self, row: usize) -> impl Iterator<Item = (usize, usize)> {
        let merged = self
            .rows
            .merged
            .as_ref()
            .map(|m| &m.behind[m.start[row] as usize..m.start[row + 1] as usize]);
        let own = merged.is_none().then_some((self.rows.constant, row));
        merged.into_iter().flatten().map(|&(c, q)| (c as usize, q as usize)).chain(own)
    }

    /// The lead of a row and a product, in lowest terms.
    pub(super) fn lead(&self, row: usize, product: usize) -> Result<Ratio> {
        Ratio::new(self.scale * u128::from(self.drivers.products[product]), self.row(row))
    }
}

/// All fields of a search.
#[derive(Debug)]
pub(super) struct Fields {
    pub(super) fields: Vec<Field>,
    pub(super) constants: Vec<Constant>,
    /// Most ratio pairs tabulated.
    pub(super) pairs: usize,
    /// Whether that is fewer than the lathe has studs for.
    pub(super) cut: bool,
}

/// Every setting with every choice of settled ends.
pub(super) fn constants(
    lathe: &Lathe,
    stock: &Stock,
    settings: &[Setting],
) -> Result<Vec<Constant>> {
    let firsts = stock.end_kinds(&lathe.parts().ends.first, true);
    let teeth =
        |kind: Option<KindId>| Ratio::new(kind.map_or(1, |k| stock.kind(k).teeth).into(), 1);
    let mut all = Vec::new();
    for (setting, s) in (0_u32..).zip(settings) {
        for &last in &stock.end_kinds(&s.last, false) {
            for &first in &firsts {
                let ratio = s.constant.mm().times(&teeth(first)?)?.over(&teeth(last)?)?;
                all.push(Constant { setting, first, last, ratio });
            }
        }
    }
    Ok(all)
}

/// Constants over one upper side, with the factor of each.
struct Batch {
    scale: u128,
    constants: Vec<(usize, u128)>,
}

impl Batch {
    /// Takes the constant in if the common upper side and all factors stay small.
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

/// Tables made once and shared by all fields.
struct Tables<'a> {
    stock: &'a Stock,
    sides: BTreeMap<(Which, usize), Sides>,
    approx: Vec<(Arc<Table>, Arc<Vec<f64>>)>,
}

impl Tables<'_> {
    fn sides(&mut self, which: Which, members: usize) -> Sides {
        if let Some(sides) = self.sides.get(&(which, members)) {
            return sides.clone();
        }
        let mut made = tables(self.stock, which, members);
        // Where no place or joint tells the sides apart, both are one table.
        let other = Which { drives: !which.drives, ..which };
        if let Some(twin) = self.sides.get(&(other, members)).filter(|t| **t == made) {
            made = twin.clone();
        }
        self.sides.insert((which, members), made.clone());
        made
    }

    fn approx(&mut self, table: &Arc<Table>) -> Arc<Vec<f64>> {
        if let Some((_, approx)) = self.approx.iter().find(|(t, _)| Arc::ptr_eq(t, table)) {
            return Arc::clone(approx);
        }
        let made = Arc::new(table.products.iter().map(|&p| p as f64).collect());
        self.approx.push((Arc::clone(table), Arc::clone(&made)));
        made
    }
}

impl Fields {
    pub(super) fn new(lathe: &Lathe, stock: &Stock, settings: &[Setting]) -> Result<Self> {
        let constants = constants(lathe, stock, settings)?;
        let studs = usize::from(lathe.parts().studs);
        // A loose pair takes a sleeve, a joint brings its own.
        let joints: usize = lathe.parts().gears.joined().iter().map(|j| usize::from(j.count)).sum();
        let wanted = 1 + studs.min(stock.sleeves + joints);
        let pairs =
            (1..=wanted).take_while(|&m| multisets(stock, m) <= MOST_SETS).last().unwrap_or(1);
        let mut made = Self { fields: Vec::new(), constants, pairs, cut: pairs < wanted };
        let mut tables = Tables { stock, sides: BTreeMap::new(), approx: Vec::new() };
        for m in 1..=pairs {
            made.add_level(&mut tables, m);
        }
        Ok(made)
    }

    /// The fields with `pairs` ratio pairs.
    fn add_level(&mut self, tables: &mut Tables<'_>, pairs: usize) {
        let class = |stock: &Stock, k: Option<KindId>| k.map(|k| stock.kind(k).class);
        let mut alike: BTreeMap<(Option<u8>, Option<u8>), Vec<usize>> = BTreeMap::new();
        for (i, c) in self.constants.iter().enumerate() {
            alike
                .entry((class(tables.stock, c.first), class(tables.stock, c.last)))
                .or_default()
                .push(i);
        }
        for ((first, last), members) in alike {
            let which = |drives, end: Option<u8>| Which { drives, end_settled: end.is_some() };
            let drivers = tables.sides(which(true, first), pairs - usize::from(first.is_some()));
            let driven = tables.sides(which(false, last), pairs - usize::from(last.is_some()));
            let batches = batches(&self.constants, &members);
            for (classes, drivers) in &drivers {
                let partner = |c: &Classes| without(with(*c, first)?, last);
                let Some(driven) = partner(classes).and_then(|c| driven.get(&c)) else { continue };
                for batch in &batches {
                    let approx = tables.approx(drivers);
                    let of = |rows, scale| Field {
                        pairs,
                        drivers: Arc::clone(drivers),
                        driven: Arc::clone(driven),
                        approx: Arc::clone(&approx),
                        rows,
                        scale,
                    };
                    if batch.constants.len() > 1
                        && batch.constants.len() * driven.products.len() <= MOST_MERGED
                    {
                        self.fields.push(of(merge(driven, &batch.constants), batch.scale));
                    } else {
                        let approx = tables.approx(driven);
                        for &(constant, factor) in &batch.constants {
                            self.fields.push(of(
                                Rows {
                                    approx: Arc::clone(&approx),
                                    factor,
                                    merged: None,
                                    constant,
                                },
                                batch.scale,
                            ));
                        }
                    }
                }
            }
        }
    }
}

/// All rows of a batch, equal ones as one.
fn merge(driven: &Table, constants: &[(usize, u128)]) -> Rows {
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
    let mut merged =
        Merged { exact: Vec::new(), start: Vec::new(), behind: Vec::with_capacity(all.len()) };
    for (u, constant, q) in all {
        if merged.exact.last() != Some(&u) {
            merged.exact.push(u);
            merged.start.push(u32::try_from(merged.behind.len()).unwrap_or(u32::MAX));
        }
        merged.behind.push((constant, q));
    }
    merged.start.push(u32::try_from(merged.behind.len()).unwrap_or(u32::MAX));
    let approx = Arc::new(merged.exact.iter().map(|&u| u as f64).collect());
    Rows { approx, factor: 1, merged: Some(merged), constant: 0 }
}
