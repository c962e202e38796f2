//! Which lead comes next, from the shortest up? One after the other, without holding them all.
//!
//! A lead is M p / u. For each product of drivers p the leads ascend as the rows u descend. A heap
//! holds the next lead of each p. So memory grows with the products, not with the leads.

#![expect(clippy::cast_precision_loss, reason = "doubles that differ by more than they err decide")]

use super::fields::Fields;
use super::pass::{Answer, Answered, Work};
use super::stream::{Hit, index};
use super::{Ask, Search, Solution};
use crate::{Lead, Length, Result};
use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

/// More than the relative error in doubles of two quotients of whole numbers.
const SLACK: f64 = 4e-15;

/// A coming lead, with its source.
#[derive(Debug, Clone, Copy)]
struct Next {
    approx: f64,
    /// The lead is `scale` x `product` / `row`.
    scale: u128,
    product: u64,
    row: u128,
    hit: Hit,
}

impl Next {
    fn new(fields: &Fields, field: usize, at: usize, row: usize) -> Self {
        let f = &fields.list[field];
        let (product, u) = (f.drivers.products[at], f.row(row));
        let hit = Hit { error: 0.0, field: index(field), row: index(row), at: index(at) };
        let approx = f.scale as f64 * product as f64 / u as f64;
        Self { approx, scale: f.scale, product, row: u, hit }
    }
}

impl Ord for Next {
    fn cmp(&self, other: &Self) -> Ordering {
        if (self.approx - other.approx).abs() > SLACK * self.approx.max(other.approx) {
            return self.approx.total_cmp(&other.approx);
        }
        // A product and a row: 127 bits, proven in `fields`.
        let (a, b) = (u128::from(self.product), u128::from(other.product));
        if self.scale == other.scale {
            return (a * other.row).cmp(&(b * self.row));
        }
        compare((self.scale * a, self.row), (other.scale * b, other.row))
    }
}

impl PartialOrd for Next {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Next {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Next {}

/// a / b against c / d, by Euclid's steps on both.
fn compare(mut left: (u128, u128), mut right: (u128, u128)) -> Ordering {
    let mut turned = false;
    loop {
        let order = (left.0 / left.1).cmp(&(right.0 / right.1));
        let rests = (left.0 % left.1, right.0 % right.1);
        let order = match rests {
            _ if order.is_ne() => order,
            (0, 0) => Ordering::Equal,
            (0, _) => Ordering::Less,
            (_, 0) => Ordering::Greater,
            // r / b against s / d compares as d / s against b / r.
            (r, s) => {
                (left, right) = ((left.1, r), (right.1, s));
                turned = !turned;
                continue;
            }
        };
        return if turned { order.reverse() } else { order };
    }
}

/// All leads from a place on, ascending.
#[derive(Debug)]
pub(crate) struct Ascent<'s> {
    fields: &'s Fields,
    heap: BinaryHeap<Reverse<Next>>,
    hits: Vec<Hit>,
}

impl<'s> Ascent<'s> {
    fn new(fields: &'s Fields, from: f64, gears: usize) -> Self {
        let mut heap = BinaryHeap::new();
        for (field, f) in fields.list.iter().enumerate() {
            if 2 * f.pairs > gears {
                continue;
            }
            let (rows, factor) = f.rows();
            for (at, product) in f.drivers.approx.iter().enumerate() {
                // The largest row whose lead is not below; slightly below counts too.
                let most = f.scale as f64 * product / (from * (1.0 - 1e-12)) / factor;
                if let Some(row) = rows.partition_point(|u| *u <= most).checked_sub(1) {
                    heap.push(Reverse(Next::new(fields, field, at, row)));
                }
            }
        }
        Self { fields, heap, hits: Vec::new() }
    }

    /// The next lead in mm; [`Ascent::hits`] then has its sources. `None`: no more.
    pub(crate) fn step(&mut self) -> Option<Result<Lead>> {
        self.hits.clear();
        let Reverse(first) = self.pop()?;
        while self.heap.peek().is_some_and(|Reverse(next)| *next == first) {
            self.pop();
        }
        let Hit { field, row, at, .. } = first.hit;
        let mm = self.fields.list[field as usize].lead(row as usize, at as usize);
        Some(mm.map(|mm| Lead::new(Length::from_mm(mm))))
    }

    fn pop(&mut self) -> Option<Reverse<Next>> {
        let first = self.heap.pop()?;
        let Hit { field, row, at, .. } = first.0.hit;
        self.hits.push(first.0.hit);
        if let Some(row) = (row as usize).checked_sub(1) {
            self.heap.push(Reverse(Next::new(self.fields, field as usize, at as usize, row)));
        }
        Some(first)
    }

    /// Rows of the heap.
    #[cfg(test)]
    pub(crate) fn held(&self) -> usize {
        self.heap.len()
    }
}

impl Search<'_> {
    /// All leads from `from` on (a few just below it may come first), with at most `gears` gears.
    pub(crate) fn ascent(&self, from: &Lead, gears: usize) -> Ascent<'_> {
        Ascent::new(&self.fields, from.to_f64(), gears)
    }

    /// Number of sources: no fewer than the different leads.
    pub(crate) fn leads_at_most(&self, gears: usize) -> u128 {
        let of_field =
            |f: &super::fields::Field| f.rows().0.len() as u128 * f.drivers.products.len() as u128;
        self.fields.list.iter().filter(|f| 2 * f.pairs <= gears).map(of_field).sum()
    }

    /// The best train for the present lead of `ascent`: one that fits, else one that is too close to
    /// call.
    pub(crate) fn best_at(&self, ascent: &Ascent<'_>, ask: &Ask) -> Result<Option<Solution>> {
        match self.answer(&self.fields, ask, &ascent.hits, &mut Work::default()) {
            Answer::Stands(ranked) | Answer::Close(ranked) => {
                let error = crate::LeadError::of(&ask.lead, &ask.lead);
                let answered = Answered { lead: ask.lead, error, ranked, stands: true };
                self.solution(ask, &answered).map(Some)
            }
            Answer::Nothing => Ok(None),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::Options;
    use crate::{Gear, GearSet, Lathe, Parts, Ratio, Teeth, Travel};
    use proptest::prelude::*;

    #[test]
    fn memory_is_that_of_the_products() {
        let mut gears = GearSet::new();
        for z in (20..=80).step_by(5) {
            gears.add(Gear::new(Teeth::new(z).unwrap()), 1).unwrap();
        }
        let lathe = Lathe::new(Parts::plain(gears, Lead::new("3 mm".parse().unwrap()))).unwrap();
        let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
        let products: usize = search.fields.list.iter().map(|f| f.drivers.products.len()).sum();
        let mut ascent = search.ascent(&Lead::new("0.0001 mm".parse().unwrap()), 8);
        let (mut count, mut last) = (0, None);
        while let Some(lead) = ascent.step() {
            let lead = lead.unwrap();
            assert!(last.is_none_or(|last| last < lead));
            assert!(ascent.held() <= products && ascent.hits.len() <= products);
            (last, count) = (Some(lead), count + 1);
        }
        assert!(count > 10 * products, "{count} leads from {products} products");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn fractions_are_ordered(a in 1_u128..1 << 92, b in 1_u128..1 << 92, c in 1_u128..90, d in 1_u128..90) {
            let big = |n: u128, d: u128| Ratio::new(n, d).unwrap().to_big();
            prop_assert_eq!(compare((a, b), (c, d)), big(a, b).cmp(&big(c, d)));
            prop_assert_eq!(compare((a, b), (b, a)), big(a, b).cmp(&big(b, a)));
            prop_assert_eq!(compare((a * 3, b * 3), (a, b)), Ordering::Equal);
            prop_assert_eq!(compare((c, d), (d, c)), big(c, d).cmp(&big(d, c)));
        }
    }
}
