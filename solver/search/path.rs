//! Arrangements: in which order the chosen gears stand, with idlers between them.
//!
//! One depth-first walk along the power path serves the best arrangement, the count and the whole
//! list. It keeps to counts, joints, places, sleeves and equal teeth in a mesh; what needs more
//! than that (does it stand?) is a test that the caller applies to the finished path.

use super::rank::{Fitted, Head, whole_step};
use super::stock::{Clash, EndGear, Kind, KindId, Stock, kind_id};
use crate::{Gear, Result, Shaft, Train};
use std::ops::ControlFlow;

/// Gears of the longest train.
pub(super) const LONGEST: usize = 8;

/// Gears in power-path order; bit `i` of `keyed` says that gear `i` is keyed to the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Path {
    kinds: [KindId; LONGEST],
    len: u8,
    keyed: u8,
}

impl Path {
    const EMPTY: Self = Self { kinds: [KindId::MAX; LONGEST], len: 0, keyed: 0 };

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
    fn push(&mut self, kind: KindId, keyed: bool) {
        self.kinds[usize::from(self.len)] = kind;
        self.keyed |= u8::from(keyed) << self.len;
        self.len += 1;
    }

    #[inline]
    fn pop(&mut self) {
        self.len -= 1;
        self.keyed &= !(1 << self.len);
    }

    fn uses(&self, kind: KindId) -> u8 {
        // At most eight gears.
        self.kinds().iter().map(|&k| u8::from(k == kind)).sum()
    }

    /// Joints in use: a pair counts once, a single side once.
    fn uses_joint(&self, stock: &Stock, joint: u8) -> u8 {
        let of = |k: KindId| stock.kind(k).side.is_some_and(|s| s.joint == joint);
        (0..self.gears()).map(|i| u8::from(of(self.kinds[i]) && !self.is_keyed(i))).sum()
    }

    /// Gears used beyond those owned.
    fn short_of(&self, stock: &Stock) -> u8 {
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

    /// The kind of which one more is used than owned.
    pub(super) fn missing(&self, stock: &Stock) -> Option<KindId> {
        let mut boxed = self
            .kinds()
            .iter()
            .filter(|&&k| usize::from(k) < stock.boxed && stock.kind(k).side.is_none());
        boxed.find(|&&k| self.uses(k) > stock.kind(k).owned).copied()
    }

    /// The number of gears on each shaft, as a number that orders shapes lexicographically.
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

    /// Whether each gear of each stud pair clears the axis beside it; else the worst clash.
    pub(super) fn clash(&self, stock: &Stock) -> Option<Clash> {
        let mut worst: Option<(i128, usize, usize)> = None;
        for i in 2..self.gears() {
            if !self.is_keyed(i) {
                continue;
            }
            // Gear i is the driver of the pair; an end gear is never keyed, so both neighbours exist.
            let k = &self.kinds;
            let (near, far) = stock.arbor_short(k[i - 2], k[i - 1], k[i], k[i + 1]);
            for (short, tip, axis) in [(near, i, i - 2), (far, i - 1, i + 1)] {
                if short > worst.map_or(0, |w| w.0) {
                    worst = Some((short, tip, axis));
                }
            }
        }
        worst.map(|(short, tip, axis)| Clash { tip, axis, short: stock.short_mm(short) })
    }

    /// Only whether there is a clash: the search's inner test.
    #[inline]
    pub(super) fn stands(&self, stock: &Stock) -> bool {
        (2..self.gears()).all(|i| {
            let k = &self.kinds;
            !self.is_keyed(i) || {
                let (near, far) = stock.arbor_short(k[i - 2], k[i - 1], k[i], k[i + 1]);
                near <= 0 && far <= 0
            }
        })
    }

    /// The train that it stands for.
    pub(super) fn train(&self, stock: &Stock) -> Result<Train> {
        let gear = |i: usize| -> Gear { stock.kind(self.kinds[i]).gear };
        let mut shafts = Vec::with_capacity(5);
        let mut i = 0;
        while i < self.gears() {
            if i + 1 < self.gears() && self.is_keyed(i + 1) {
                shafts.push(Shaft::Pair { driven: gear(i), driver: gear(i + 1) });
                i += 2;
            } else {
                shafts.push(Shaft::One(gear(i)));
                i += 1;
            }
        }
        Train::new(shafts)
    }

    /// Drivers over driven, as two products.
    pub(super) fn products(&self, stock: &Stock) -> (u64, u64) {
        let teeth = |i: usize| u64::from(stock.kind(self.kinds[i]).teeth);
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

/// Kinds to choose from, each with how many are left.
pub(super) type Choice = [(KindId, u8)];

/// What is done with the arrangements of a lead.
pub(super) trait Visit {
    /// A selection of gears begins, none of whose arrangements ranks before `least`: whether it is
    /// worth a walk.
    fn begins(&mut self, least: impl FnOnce(&Fitted) -> Head) -> bool;
    /// Whether of equal heads in this selection the first one visited has the first key.
    fn ordered(&mut self, ordered: bool);
    /// A walk over the selection has ended: whether it need not be walked once more, with another
    /// [`Visit::most_step`].
    fn ends(&mut self) -> bool;
    /// Arrangements with a larger step between two meshing gears need no visit.
    fn most_step(&self) -> u64;
    /// An arrangement in a setting.
    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()>;
}

/// Visits everything.
impl<F: FnMut(u32, &Path) -> ControlFlow<()>> Visit for F {
    fn begins(&mut self, _least: impl FnOnce(&Fitted) -> Head) -> bool {
        true
    }

    fn ordered(&mut self, _ordered: bool) {}

    fn ends(&mut self) -> bool {
        true
    }

    fn most_step(&self) -> u64 {
        u64::MAX
    }

    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()> {
        self(setting, path)
    }
}

/// What a walk may use.
pub(super) struct Plan<'a> {
    pub(super) stock: &'a Stock,
    pub(super) setting: u32,
    /// Ratio pairs: drivers over driven.
    pub(super) pairs: usize,
    pub(super) idlers: usize,
    /// The machine's own end gears are none of `drivers` and `driven`.
    pub(super) first: EndGear,
    pub(super) last: EndGear,
    pub(super) drivers: &'a mut Choice,
    pub(super) driven: &'a mut Choice,
    /// Whether the choices are known to keep to what is owned, joints apart.
    pub(super) counted: bool,
}

impl Plan<'_> {
    /// Visits every arrangement once, in a fixed order.
    pub(super) fn walk(&mut self, visit: &mut impl Visit) -> ControlFlow<()> {
        let mut path = Path::EMPTY;
        if let EndGear::Own(first) = self.first {
            return self.put(&mut path, first, false, 1, self.idlers, visit);
        }
        for i in 0..self.drivers.len() {
            let (kind, left) = self.drivers[i];
            if left > 0 && self.stock.among(self.first, kind) && self.owned(&path, kind) {
                self.drivers[i].1 -= 1;
                self.put(&mut path, kind, false, 1, self.idlers, visit)?;
                self.drivers[i].1 += 1;
            }
        }
        ControlFlow::Continue(())
    }

    /// Puts a gear that drives, goes on from there, and takes it off again.
    fn put(
        &mut self,
        path: &mut Path,
        kind: KindId,
        keyed: bool,
        pair: usize,
        idlers: usize,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        path.push(kind, keyed);
        let flow = self.mesh(path, kind, pair, idlers, visit);
        path.pop();
        flow
    }

    /// Everything that can mesh with the last gear of `path`, which drives for ratio pair `pair`.
    fn mesh(
        &mut self,
        path: &mut Path,
        with: KindId,
        pair: usize,
        idlers: usize,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        let Kind { class, teeth, .. } = *self.stock.kind(with);
        if idlers > 0 {
            for kind in (0..self.stock.boxed).map(kind_id) {
                let k = self.stock.kind(kind);
                if k.class == class
                    && whole_step(teeth, k.teeth) <= visit.most_step()
                    && k.gear.places.stud
                    && self.owned(path, kind)
                {
                    self.put(path, kind, false, pair, idlers - 1, visit)?;
                }
            }
        }
        if pair < self.pairs {
            return self.stud_pair(path, with, pair, idlers, visit);
        }
        if idlers > 0 {
            return ControlFlow::Continue(());
        }
        if let EndGear::Own(last) = self.last {
            let k = self.stock.kind(last);
            let meshes = k.class == class && whole_step(teeth, k.teeth) <= visit.most_step();
            return if meshes { self.end(path, last, visit) } else { ControlFlow::Continue(()) };
        }
        for i in 0..self.driven.len() {
            let (kind, left) = self.driven[i];
            let k = self.stock.kind(kind);
            if left > 0
                && k.class == class
                && whole_step(teeth, k.teeth) <= visit.most_step()
                && self.stock.among(self.last, kind)
                && self.owned(path, kind)
            {
                self.end(path, kind, visit)?;
            }
        }
        ControlFlow::Continue(())
    }

    fn end(&self, path: &mut Path, last: KindId, visit: &mut impl Visit) -> ControlFlow<()> {
        path.push(last, false);
        let flow = if self.stock.spare == 0 || path.short_of(self.stock) <= self.stock.spare {
            visit.visit(self.setting, path)
        } else {
            ControlFlow::Continue(())
        };
        path.pop();
        flow
    }

    /// A driven gear on a stud, and a driver keyed to it.
    fn stud_pair(
        &mut self,
        path: &mut Path,
        with: KindId,
        pair: usize,
        idlers: usize,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        let stock = self.stock;
        let Kind { class, teeth, .. } = *stock.kind(with);
        let sleeve_free = path.loose_pairs(stock) < stock.sleeves;
        for i in 0..self.driven.len() {
            let (driven, left) = self.driven[i];
            let k = stock.kind(driven);
            if left == 0
                || k.class != class
                || whole_step(teeth, k.teeth) > visit.most_step()
                || !k.gear.places.stud
                || !self.owned(path, driven)
            {
                continue;
            }
            if k.side.map_or(!sleeve_free, |s| !s.may_be_driven) {
                continue;
            }
            self.driven[i].1 -= 1;
            path.push(driven, false);
            for j in 0..self.drivers.len() {
                let (driver, left) = self.drivers[j];
                if left == 0
                    || !stock.kind(driver).gear.places.stud
                    || !self.keys(path, driven, driver)
                {
                    continue;
                }
                self.drivers[j].1 -= 1;
                self.put(path, driver, true, pair + 1, idlers, visit)?;
                self.drivers[j].1 += 1;
            }
            path.pop();
            self.driven[i].1 += 1;
        }
        ControlFlow::Continue(())
    }

    /// Whether `driver` can be keyed to `driven`, which stands last on the path: a joint's side goes
    /// with its partner only (and needs no second joint), a loose gear with loose gears.
    #[inline]
    fn keys(&self, path: &Path, driven: KindId, driver: KindId) -> bool {
        match (self.stock.kind(driven).side, self.stock.kind(driver).side) {
            (None, None) => self.owned(path, driver),
            (Some(side), Some(_)) => side.partner == driver,
            _ => false,
        }
    }

    /// Whether one more of the kind is there.
    #[inline]
    fn owned(&self, path: &Path, kind: KindId) -> bool {
        if usize::from(kind) >= self.stock.boxed {
            return true;
        }
        let k = self.stock.kind(kind);
        match k.side {
            None => self.counted || path.uses(kind) < k.usable,
            Some(side) => {
                path.uses_joint(self.stock, side.joint) < self.stock.joints_owned(side.joint)
            }
        }
    }
}

impl Path {
    /// Stud pairs that take a sleeve.
    fn loose_pairs(&self, stock: &Stock) -> usize {
        (1..self.gears())
            .filter(|&i| self.is_keyed(i) && stock.kind(self.kinds[i]).side.is_none())
            .count()
    }
}
