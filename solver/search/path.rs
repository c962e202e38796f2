//! In which order are the chosen gears mounted, and does that arrangement fit?

use super::stock::{Clash, KindId, Mounts, Stock};
use crate::bracket::{Seat, Verdict, Wheels};
use crate::{Gear, GearPlace, OnShaft, Result, Shaft, Teeth, Train};

/// Gears of the longest train.
pub(super) const LONGEST: usize = 8;

/// Gears in power-path order; bit `i` of `keyed`: gear `i` is keyed to the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Path {
    kinds: [KindId; LONGEST],
    len: u8,
    keyed: u8,
}

impl Path {
    pub(super) const EMPTY: Self = Self { kinds: [KindId::MAX; LONGEST], len: 0, keyed: 0 };

    #[inline]
    pub(super) fn kinds(&self) -> &[KindId] {
        &self.kinds[..usize::from(self.len)]
    }

    #[inline]
    pub(super) fn gears(&self) -> usize {
        self.len.into()
    }

    /// Whether gear `i` is keyed to the one before it.
    #[inline]
    pub(super) fn is_keyed(&self, i: usize) -> bool {
        self.keyed >> i & 1 == 1
    }

    /// Meshes: each gear after the first meshes with the one before, unless it is keyed to it.
    #[inline]
    pub(super) fn meshes(&self) -> usize {
        usize::from(self.len) - 1 - self.keyed.count_ones() as usize
    }

    #[inline]
    pub(super) fn push(&mut self, kind: KindId, keyed: bool) {
        self.kinds[usize::from(self.len)] = kind;
        self.keyed |= u8::from(keyed) << self.len;
        self.len += 1;
    }

    #[inline]
    pub(super) fn pop(&mut self) {
        self.len -= 1;
        self.keyed &= !(1 << self.len);
    }

    /// The place of each gear, in power-path order, as [`Train::places`] has it.
    pub(super) fn places(&self, stock: &Stock) -> impl Iterator<Item = (GearPlace, Teeth)> {
        let (mut shaft, mut outer) = (0_usize, false);
        let shafts = self.meshes() + 1;
        self.kinds().iter().enumerate().map(move |(i, &kind)| {
            if self.is_keyed(i) {
                outer = !outer;
            } else if i > 0 {
                shaft += 1;
            }
            (GearPlace { shaft: OnShaft::of(shaft, shafts), outer }, stock.kind(kind).gear.teeth)
        })
    }

    pub(super) fn uses(&self, kind: KindId) -> u8 {
        // At most eight gears.
        self.kinds().iter().map(|&k| u8::from(k == kind)).sum()
    }

    /// Joints in use: a pair counts once, a single side once.
    pub(super) fn uses_joint(&self, stock: &Stock, joint: u8) -> u8 {
        let of = |k: KindId| stock.kind(k).side.is_some_and(|s| s.joint == joint);
        (0..self.gears()).map(|i| u8::from(of(self.kinds[i]) && !self.is_keyed(i))).sum()
    }

    /// Stud pairs that take a sleeve.
    pub(super) fn loose_pairs(&self, stock: &Stock) -> usize {
        (1..self.gears())
            .filter(|&i| self.is_keyed(i) && stock.kind(self.kinds[i]).side.is_none())
            .count()
    }

    /// How many gears are used beyond those owned.
    pub(super) fn short_of(&self, stock: &Stock) -> u8 {
        let kinds = self.kinds();
        let mut short = 0;
        for (i, &k) in kinds.iter().enumerate() {
            let kind = stock.kind(k);
            if kind.side.is_none() && usize::from(k) < stock.boxed && !kinds[..i].contains(&k) {
                short += self.uses(k).saturating_sub(kind.owned);
            }
        }
        short
    }

    /// The kind with one more in use than owned.
    pub(super) fn missing(&self, stock: &Stock) -> Option<KindId> {
        let mut boxed = self
            .kinds()
            .iter()
            .filter(|&&k| usize::from(k) < stock.boxed && stock.kind(k).side.is_none());
        boxed.find(|&&k| self.uses(k) > stock.kind(k).owned).copied()
    }

    /// The number of gears on each shaft, packed into a number that orders shapes lexicographically.
    pub(super) fn shape(&self) -> u32 {
        let mut shape = 0_u32;
        let mut i = 0;
        let mut shafts = 0;
        while i < self.gears() {
            let pair = i + 1 < self.gears() && self.is_keyed(i + 1);
            shape = shape << 2 | if pair { 2 } else { 1 };
            i += if pair { 2 } else { 1 };
            shafts += 1;
        }
        shape << (2 * (LONGEST - shafts))
    }

    /// The gear beside gear `i` on its shaft: keyed to it, or joined to it without work (true).
    #[inline]
    fn beside(&self, stock: &Stock, i: usize) -> Option<(KindId, bool)> {
        if self.is_keyed(i) {
            return Some((self.kinds[i - 1], false));
        }
        if i + 1 < self.gears() && self.is_keyed(i + 1) {
            return Some((self.kinds[i + 1], false));
        }
        stock.kind(self.kinds[i]).side.map(|side| (side.partner, true))
    }

    /// For each mesh: how far the gear beside one gear is too near to the axis of the other, in the
    /// units of the arbor rule. Gives tip, axis, and the gear joined to the tip's gear if it has no
    /// work.
    fn shorts(
        &self,
        stock: &Stock,
    ) -> impl Iterator<Item = (i128, (KindId, KindId, Option<KindId>))> {
        (1..self.gears()).filter(|i| !self.is_keyed(*i)).flat_map(move |i| {
            let (a, b) = (self.kinds[i - 1], self.kinds[i]);
            [(i - 1, a, b), (i, b, a)].into_iter().filter_map(move |(at, own, other)| {
                let (beside, idle) = self.beside(stock, at)?;
                let short = stock.arbor_short(own, other, beside);
                Some((short, (beside, other, idle.then_some(own))))
            })
        })
    }

    /// Whether the gears beside each mesh clear the axes; else the worst clash.
    pub(super) fn clash(&self, stock: &Stock) -> Option<Clash> {
        // Of equals the first.
        let worse = |(short, _): &(i128, _)| *short > 0;
        let worst = self.shorts(stock).filter(worse).reduce(|a, b| if b.0 > a.0 { b } else { a });
        worst.map(|(short, (tip, axis, joined_to))| Clash {
            tip,
            axis,
            joined_to,
            short: stock.short_mm(short),
        })
    }

    /// Whether it fits: the search's inner test.
    pub(super) fn verdict(&self, stock: &Stock) -> Verdict {
        match &stock.bracket {
            Some(mounts) => {
                let verdict = mounts.geometry.verdict(&self.wheels(mounts));
                if verdict == Verdict::CutShort {
                    stock.cut_short();
                }
                verdict
            }
            None if self.clears_arbors(stock) => Verdict::Fits,
            None => Verdict::No,
        }
    }

    /// The work of judging it, in tests of the usual kind.
    pub(super) fn cost(&self, stock: &Stock) -> u64 {
        stock.bracket.as_ref().map_or(1, |mounts| mounts.geometry.cost(self.meshes() - 1))
    }

    /// Whether it fits beyond doubt.
    pub(super) fn fits(&self, stock: &Stock) -> bool {
        self.verdict(stock) == Verdict::Fits
    }

    pub(super) fn wheels(&self, mounts: &Mounts) -> Wheels {
        let mut wheels = Wheels::default();
        let mut i = 0;
        while i < self.gears() {
            let pair = i + 1 < self.gears() && self.is_keyed(i + 1);
            let driver = pair.then(|| *mounts.wheel(self.kinds[i + 1]));
            wheels.push(*mounts.wheel(self.kinds[i]), driver);
            if let (false, Some(partner)) = (pair, mounts.partner(self.kinds[i])) {
                wheels.push_idle(*mounts.wheel(partner));
            }
            i += if pair { 2 } else { 1 };
        }
        wheels
    }

    /// Whether `kind` can mesh with the last gear, as far as the bracket decides by these two: on
    /// the driven shaft, or on a stud.
    #[inline]
    pub(super) fn admits(&self, stock: &Stock, kind: KindId, last: bool) -> bool {
        let Some(mounts) = &stock.bracket else { return true };
        let i = self.gears() - 1;
        let with = self.kinds[i];
        let seat = match (i == 0, last) {
            (true, true) => Seat::Only,
            (true, false) => Seat::First,
            (false, true) => Seat::Last,
            (false, false) => Seat::Middle,
        };
        // The gear that `with` is keyed to, against the shaft of `kind`.
        mounts.seats(with, kind).has(seat)
            && (!self.is_keyed(i) || {
                let end = last.then_some(false);
                let wheel = |k: KindId| mounts.wheel(k);
                mounts.geometry.clears(wheel(kind), wheel(with), wheel(self.kinds[i - 1]), end)
            })
    }

    /// Whether `kind` can be keyed to the last gear, as far as the bracket decides by the shaft
    /// before.
    #[inline]
    pub(super) fn admits_keyed(&self, stock: &Stock, kind: KindId) -> bool {
        let Some(mounts) = &stock.bracket else { return true };
        let i = self.gears() - 1;
        let end = (i == 1).then_some(true);
        let wheel = |k: KindId| mounts.wheel(k);
        mounts.geometry.clears(wheel(self.kinds[i - 1]), wheel(self.kinds[i]), wheel(kind), end)
    }

    /// Only whether there is a clash.
    #[inline]
    fn clears_arbors(&self, stock: &Stock) -> bool {
        self.shorts(stock).all(|(short, _)| short <= 0)
    }

    /// The train of this path.
    pub(super) fn train(&self, stock: &Stock) -> Result<Train> {
        let gear = |i: usize| -> Gear { stock.kind(self.kinds[i]).gear };
        let mut shafts = Vec::with_capacity(5);
        let mut partners = [None; 5];
        let mut i = 0;
        while i < self.gears() {
            let side = stock.kind(self.kinds[i]).side;
            partners[shafts.len()] = side.map(|side| stock.kind(side.partner).gear);
            if i + 1 < self.gears() && self.is_keyed(i + 1) {
                shafts.push(Shaft::Pair { driven: gear(i), driver: gear(i + 1) });
                i += 2;
            } else {
                shafts.push(Shaft::One(gear(i)));
                i += 1;
            }
        }
        let joined = (0..).zip(partners).filter_map(|(i, gear)| Some((i, gear?)));
        Ok(joined.fold(Train::new(shafts)?, |train, (i, gear)| train.with_partner(i, gear)))
    }

    /// Drivers over driven, as two products.
    pub(super) fn products(&self, stock: &Stock) -> (u64, u64) {
        let teeth = |i: usize| u64::from(stock.teeth(self.kinds[i]));
        let (mut drivers, mut driven) = (1, 1);
        for i in 1..self.gears() {
            let idles = i + 1 < self.gears() && !self.is_keyed(i) && !self.is_keyed(i + 1);
            if !self.is_keyed(i) && !idles {
                driven *= teeth(i);
            }
            if self.is_keyed(i) {
                drivers *= teeth(i);
            }
        }
        (drivers * teeth(0), driven)
    }
}
