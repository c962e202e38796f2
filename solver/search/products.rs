//! Which products can the gears of one side have?
//!
//! The gears of a side (all drivers, or all driven) are a multiset of kinds; the lead depends on
//! their product alone. So multisets are grouped by product and the distinct products sorted. The
//! search compares products with products.

#![expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "products stay below 2^35"
)]

use super::stock::{EndGear, KindId, Stock, kind_id};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Gears of one side, padded with [`NONE`].
pub(super) type Set = [u8; 4];
/// No gear.
pub(super) const NONE: u8 = u8::MAX;

/// The class of each member, ascending, padded with [`NONE`].
pub(super) type Classes = [u8; 4];

/// Most multisets tabulated: 64 MB a side.
pub(super) const MOST_SETS: u128 = 4_000_000;

/// Distinct products, ascending, with the multisets behind each.
#[derive(Debug, PartialEq)]
pub(super) struct Table {
    pub(super) products: Vec<u64>,
    /// The same as doubles: exact, being below 2^53.
    pub(super) approx: Vec<f64>,
    /// A bit for each whole number that is a product; empty where they are too large for that.
    bits: Vec<(u64, u32)>,
    start: Vec<u32>,
    sets: Vec<Set>,
}

impl Table {
    pub(super) fn sets(&self, product: usize) -> &[Set] {
        &self.sets[self.start[product] as usize..self.start[product + 1] as usize]
    }

    /// The index of a whole number among the products, if it is one.
    #[inline]
    pub(super) fn position(&self, product: f64) -> Option<usize> {
        if self.bits.is_empty() {
            return self.approx.binary_search_by(|p| p.total_cmp(&product)).ok();
        }
        let product = product as usize;
        let (word, before) = *self.bits.get(product / 64)?;
        let bit = 1_u64 << (product % 64);
        (word & bit != 0).then(|| (before + (word & (bit - 1)).count_ones()) as usize)
    }

    /// A table of these products, ascending, with no multisets.
    #[cfg(test)]
    pub(super) fn of(products: Vec<u64>) -> Self {
        Self::new(products.into_iter().map(|p| (p, [NONE; 4])).collect())
    }

    fn new(mut rows: Vec<(u64, Set)>) -> Self {
        rows.sort_unstable();
        let mut products: Vec<u64> = Vec::new();
        let mut start = Vec::new();
        let mut sets = Vec::with_capacity(rows.len());
        for (product, set) in rows {
            if products.last() != Some(&product) {
                products.push(product);
                start.push(count(sets.len()));
            }
            sets.push(set);
        }
        start.push(count(sets.len()));
        let approx = products.iter().map(|&p| p as f64).collect();
        Self { approx, bits: bits(&products), products, start, sets }
    }
}

/// Products up to here have a bit each: 8 MB.
const MOST_BITS: u64 = 1 << 25;

/// Each word of bits with the number of products before it.
fn bits(products: &[u64]) -> Vec<(u64, u32)> {
    let Some(&most) = products.last().filter(|most| **most < MOST_BITS) else { return Vec::new() };
    // Below 2^25.
    let mut bits = vec![(0_u64, 0_u32); most as usize / 64 + 1];
    for &product in products {
        bits[product as usize / 64].0 |= 1 << (product % 64);
    }
    let mut before = 0;
    for (word, count) in &mut bits {
        *count = before;
        before += word.count_ones();
    }
    bits
}

/// Table sizes stay below [`MOST_SETS`].
fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// Which side, and whether its end gear is settled separately.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Which {
    pub(super) drives: bool,
    /// The machine's own end gear is not among the members.
    pub(super) end: EndGear,
}

/// The tables of one side for one number of members, by class vector.
pub(super) type Sides = BTreeMap<Classes, Arc<Table>>;

/// The places of each kind on one side.
struct Roles {
    /// On the end shaft, or on a stud.
    end: Vec<bool>,
    stud: Vec<bool>,
}

impl Roles {
    fn of(stock: &Stock, which: Which) -> Self {
        let kinds = &stock.kinds[..stock.boxed];
        let turns =
            |s: super::stock::Side| if which.drives { s.may_drive } else { s.may_be_driven };
        Self {
            end: (0..stock.boxed).map(|k| stock.among(which.end, kind_id(k))).collect(),
            stud: kinds.iter().map(|k| k.gear.places.stud && k.side.is_none_or(turns)).collect(),
        }
    }

    /// Whether the members have places: one on the end shaft (unless settled), the rest on studs.
    fn allow(&self, members: &[KindId], which: Which) -> bool {
        let stud = |k: &KindId| self.stud[usize::from(*k)];
        if which.end.own().is_some() {
            return members.iter().all(stud);
        }
        let mut grounded = members.iter().filter(|k| !stud(k));
        match (grounded.next(), grounded.next()) {
            (None, _) => members.iter().any(|&k| self.end[usize::from(k)]),
            (Some(&k), None) => self.end[usize::from(k)],
            _ => false,
        }
    }
}

/// `classes` with one more member.
pub(super) fn with(mut classes: Classes, class: Option<u8>) -> Option<Classes> {
    let Some(class) = class else { return Some(classes) };
    // Padding is the largest value, so the last slot is free unless the side is full.
    if classes[3] != NONE {
        return None;
    }
    classes[3] = class;
    classes.sort_unstable();
    Some(classes)
}

/// `classes` with one member fewer, if there is one of that class.
pub(super) fn without(mut classes: Classes, class: Option<u8>) -> Option<Classes> {
    let Some(class) = class else { return Some(classes) };
    *classes.iter_mut().find(|c| **c == class)? = NONE;
    classes.sort_unstable();
    Some(classes)
}

/// How many multisets of `members` gears the box gives (for the limit; drivers or driven alike).
pub(super) fn multisets(stock: &Stock, members: usize) -> u128 {
    let mut ways = vec![0_u128; members + 1];
    ways[0] = 1;
    for kind in &stock.kinds[..stock.boxed] {
        for n in (1..=members).rev() {
            ways[n] += (1..=n.min(kind.usable.into())).map(|take| ways[n - take]).sum::<u128>();
        }
    }
    ways[members]
}

/// The distinct products of `members` gears, drivers or driven alike.
pub(super) fn multisets_products(stock: &Stock, members: usize) -> Vec<u64> {
    let mut products = Vec::new();
    choose(stock, 0, members, &mut Vec::new(), &mut |chosen| {
        products.push(chosen.iter().map(|&k| u64::from(stock.teeth(k))).product());
    });
    products.sort_unstable();
    products.dedup();
    products
}

/// The tables of one side with `members` gears.
pub(super) fn tables(stock: &Stock, which: Which, members: usize) -> Sides {
    let roles = Roles::of(stock, which);
    let mut rows: BTreeMap<Classes, Vec<(u64, Set)>> = BTreeMap::new();
    let mut chosen = Vec::with_capacity(members);
    choose(stock, 0, members, &mut chosen, &mut |members| {
        if roles.allow(members, which) {
            let (classes, row) = row(stock, members);
            rows.entry(classes).or_default().push(row);
        }
    });
    rows.into_iter().map(|(classes, rows)| (classes, Arc::new(Table::new(rows)))).collect()
}

/// The members of a set are ordered by teeth.
fn row(stock: &Stock, members: &[KindId]) -> (Classes, (u64, Set)) {
    let mut classes = [NONE; 4];
    let mut set = [NONE; 4];
    let mut product = 1;
    for (i, &id) in members.iter().enumerate() {
        let kind = stock.kind(id);
        // Boxed kinds are at most 250.
        set[i] = u8::try_from(id).unwrap_or(NONE);
        classes[i] = kind.class;
        product *= u64::from(kind.teeth);
    }
    classes.sort_unstable();
    set[..members.len()].sort_unstable_by_key(|&k| (stock.teeth(k.into()), k));
    (classes, (product, set))
}

/// Visits every multiset, members ascending.
fn choose(
    stock: &Stock,
    from: usize,
    left: usize,
    chosen: &mut Vec<KindId>,
    visit: &mut impl FnMut(&[KindId]),
) {
    if left == 0 {
        return visit(chosen);
    }
    for kind in from..stock.boxed {
        let id = kind_id(kind);
        let mut used = 0;
        for take in 1..=left.min(stock.kind(id).usable.into()) {
            chosen.push(id);
            used = take;
            choose(stock, kind + 1, left - take, chosen, visit);
        }
        chosen.truncate(chosen.len() - used);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Gear, GearSet, Lathe, Lead, Parts, Teeth};

    fn stock(teeth: &[u64]) -> Stock {
        let mut set = GearSet::new();
        for &z in teeth {
            set.add(Gear::new(Teeth::new(z).unwrap()), 1).unwrap();
        }
        let lathe = Lathe::new(Parts::plain(set, Lead::new("3 mm".parse().unwrap()))).unwrap();
        Stock::new(&lathe, &[], None, None, false).unwrap()
    }

    #[test]
    fn multisets_are_counted_as_they_are_listed() {
        let stock = stock(&[20, 20, 20, 30, 40, 40, 60]);
        for members in 0..=4 {
            let mut listed = 0;
            choose(&stock, 0, members, &mut Vec::new(), &mut |_| listed += 1);
            assert_eq!(multisets(&stock, members), listed, "{members}");
        }
    }

    #[test]
    fn equal_products_share_a_row() {
        let mut stock = stock(&[20, 30, 40, 60]);
        let which = Which { drives: true, end: stock.end(&crate::End::Any, true) };
        let sides = tables(&stock, which, 2);
        let table = &sides[&[0, 0, NONE, NONE]];
        let at = table.products.binary_search(&1200).unwrap();
        assert_eq!(table.sets(at), [[0, 3, NONE, NONE], [1, 2, NONE, NONE]]);
    }

    #[test]
    fn a_product_is_found_where_it_stands() {
        // One bit each, too large for the table of bits.
        for scale in [1, MOST_BITS] {
            let products: Vec<u64> = [1, 2, 63, 64, 65, 128, 1000].map(|p| p * scale).into();
            let table = Table::of(products.clone());
            for p in 0..1100 {
                let found = table.position((p * scale) as f64);
                assert_eq!(found, products.binary_search(&(p * scale)).ok(), "{p}");
            }
            assert_eq!(table.position((5000 * scale) as f64), None);
        }
    }
}
