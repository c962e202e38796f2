//! Which gears drive and which are driven, in which setting? A selection leaves their order open.
//!
//! Many selections share a lead. Each has a rank that none of its arrangements can beat, so most are
//! never walked.

use super::fields::Constant;
use super::products::{NONE, Set};
use super::rank::{Fitted, Head, SMALL};
use super::stock::{KindId, Stock};
use super::walk::{Plan, Visit};
use std::ops::ControlFlow;

/// Gears chosen for both sides.
#[derive(Debug, Clone, Copy)]
pub(super) struct Selection {
    pub(super) constant: u32,
    pub(super) idlers: u8,
    pub(super) drivers: Set,
    pub(super) driven: Set,
}

/// Whether both sides together use no more than is owned; each does by itself.
#[inline]
pub(super) fn enough(stock: &Stock, drivers: Set, driven: Set) -> bool {
    let all = u32::from_ne_bytes(driven);
    let shared = |k: &u8| *k != NONE && has_byte(all, *k);
    !drivers.iter().any(shared)
        || drivers.iter().filter(|k| shared(k)).all(|k| {
            let uses = drivers.iter().chain(&driven).filter(|m| *m == k).count();
            uses <= usize::from(stock.kind((*k).into()).usable)
        })
}

/// Whether one of the four bytes is `byte`: the four are compared at once.
#[inline]
const fn has_byte(four: u32, byte: u8) -> bool {
    const ONES: u32 = 0x0101_0101;
    let apart = four ^ (ONES * byte as u32);
    apart.wrapping_sub(ONES) & !apart & (ONES << 7) != 0
}

/// The gears of a side by teeth, its own end gear among them.
struct Side {
    kinds: [KindId; 5],
    len: usize,
}

impl Side {
    fn new(stock: &Stock, set: Set, own: Option<KindId>) -> Self {
        let mut side = Self { kinds: [KindId::MAX; 5], len: 0 };
        for (slot, &k) in side.kinds.iter_mut().zip(&set) {
            *slot = k.into();
            side.len += usize::from(k != NONE);
        }
        if let Some(own) = own {
            let at = side.kinds().partition_point(|k| stock.teeth(*k) < stock.teeth(own));
            side.kinds.copy_within(at..side.len, at + 1);
            side.kinds[at] = own;
            side.len += 1;
        }
        side
    }

    fn kinds(&self) -> &[KindId] {
        &self.kinds[..self.len]
    }
}

impl Selection {
    /// No arrangement has a lower key. Without idlers the small drivers are settled. No pairing has
    /// a smaller largest step than smallest with smallest up to largest with largest (a bottleneck
    /// matching on a line).
    pub(super) fn least(&self, stock: &Stock, constant: &Constant, fitted: &Fitted) -> Head {
        let (first, last) = (constant.first.own(), constant.last.own());
        if first.is_none() && last.is_none() {
            let pairs = self.drivers.iter().zip(&self.driven).take_while(|(a, _)| **a != NONE);
            let pairs = pairs.map(|(a, b)| (KindId::from(*a), KindId::from(*b)));
            return self.least_of(stock, fitted, &pairs);
        }
        let drivers = Side::new(stock, self.drivers, first);
        let driven = Side::new(stock, self.driven, last);
        let pairs = drivers.kinds().iter().copied().zip(driven.kinds().iter().copied());
        self.least_of(stock, fitted, &pairs)
    }

    /// The same for drivers and driven gears, both ordered by teeth.
    #[inline]
    fn least_of(
        &self,
        stock: &Stock,
        fitted: &Fitted,
        pairs: &(impl Iterator<Item = (KindId, KindId)> + Clone),
    ) -> Head {
        let settled = self.idlers == 0 && stock.classes == 1;
        let (mut gears, mut small, mut step, mut largest) = (usize::from(self.idlers), 0, 0, 0);
        for (a, b) in pairs.clone() {
            let (x, y) = (stock.teeth(a), stock.teeth(b));
            gears += 2;
            small += u64::from(x < SMALL);
            largest = largest.max(x).max(y);
            step = if settled { stock.step(a, b).max(step) } else { 0 };
        }
        let has = |z: crate::Teeth| {
            pairs.clone().any(|(a, b)| stock.teeth(a) == z.get() || stock.teeth(b) == z.get())
        };
        let handled = fitted.handled_at_least(gears, self.idlers.into(), has);
        Head::pack(gears, handled, small, step, largest)
    }

    /// Whether the first visited of equal heads has the first key. The walk goes by teeth, and so
    /// does the key, unless two kinds have equal teeth.
    pub(super) fn is_ordered(&self, stock: &Stock) -> bool {
        let distinct = |set: Set| {
            set.windows(2).all(|w| {
                w[1] == NONE || w[0] == w[1] || stock.teeth(w[0].into()) != stock.teeth(w[1].into())
            })
        };
        self.idlers == 0 && distinct(self.drivers) && distinct(self.driven)
    }

    /// Visits its arrangements.
    pub(super) fn walk(
        &self,
        stock: &Stock,
        constant: &Constant,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        let ((mut drivers, d), (mut driven, v)) = (choice(self.drivers), choice(self.driven));
        let mut plan = Plan {
            stock,
            setting: constant.setting,
            // A side has one member fewer where its end gear is the machine's own.
            pairs: self.drivers.iter().filter(|k| **k != NONE).count()
                + usize::from(constant.first.own().is_some()),
            idlers: self.idlers.into(),
            first: constant.first,
            last: constant.last,
            drivers: &mut drivers[..d],
            driven: &mut driven[..v],
            // Idlers are added to the selection.
            counted: self.idlers == 0,
        };
        plan.walk(visit)
    }
}

/// The kinds of a set, the number of each, and how many kinds.
fn choice(set: Set) -> ([(KindId, u8); 4], usize) {
    let mut choice = [(KindId::MAX, 0); 4];
    let mut len = 0;
    for &k in set.iter().take_while(|k| **k != NONE) {
        if len == 0 || choice[len - 1].0 != KindId::from(k) {
            choice[len].0 = k.into();
            len += 1;
        }
        choice[len - 1].1 += 1;
    }
    (choice, len)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_byte_is_found_where_it_is(four in any::<[u8; 4]>(), byte in any::<u8>()) {
            prop_assert_eq!(has_byte(u32::from_ne_bytes(four), byte), four.contains(&byte));
        }
    }
}
