//! Which arrangements do the chosen gears have, with idlers between them?
//!
//! One depth-first walk along the power path gives the best arrangement, the count and the whole
//! list. It checks counts, joints, places, sleeves and equal teeth in a mesh. Whether a path fits is
//! a test by the caller, on the finished path.

use super::path::Path;
use super::stock::{EndGear, KindId, NO_MESH, Stock, kind_id};
use std::ops::ControlFlow;

/// Kinds to choose from, each with how many are left.
pub(super) type Choice = [(KindId, u8)];

/// The receiver of the arrangements.
pub(super) trait Visit {
    /// Arrangements with a larger step between two meshing gears need no visit.
    fn most_step(&self) -> u32;
    /// Whether arrangements that the bracket rules out need no visit.
    fn prunes(&self) -> bool;
    /// An arrangement in a setting.
    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()>;
}

/// Visits everything.
impl<F: FnMut(u32, &Path) -> ControlFlow<()>> Visit for F {
    fn most_step(&self) -> u32 {
        NO_MESH - 1
    }

    fn prunes(&self) -> bool {
        false
    }

    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()> {
        self(setting, path)
    }
}

/// Visits what the bracket does not rule out by pairs of gears.
pub(super) struct Pruned<F>(pub(super) F);

impl<F: FnMut(u32, &Path) -> ControlFlow<()>> Visit for Pruned<F> {
    fn most_step(&self) -> u32 {
        NO_MESH - 1
    }

    fn prunes(&self) -> bool {
        true
    }

    fn visit(&mut self, setting: u32, path: &Path) -> ControlFlow<()> {
        self.0(setting, path)
    }
}

/// The gears for a walk.
pub(super) struct Plan<'a> {
    pub(super) stock: &'a Stock,
    pub(super) setting: u32,
    /// Gear pairs: drivers over driven.
    pub(super) pairs: usize,
    pub(super) idlers: usize,
    /// The machine's own end gears are not in `drivers` and `driven`.
    pub(super) first: EndGear,
    pub(super) last: EndGear,
    pub(super) drivers: &'a mut Choice,
    pub(super) driven: &'a mut Choice,
    /// Whether the choices never exceed the owned gears, joints apart.
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

    /// Adds a gear that drives, goes on from there, and removes it again.
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

    /// Every gear that can mesh with the last gear of `path`, which drives for gear pair `pair`.
    fn mesh(
        &mut self,
        path: &mut Path,
        with: KindId,
        pair: usize,
        idlers: usize,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        if idlers > 0 {
            for kind in (0..self.stock.boxed).map(kind_id) {
                if self.stock.step(with, kind) <= visit.most_step()
                    && self.stock.kind(kind).gear.places.stud
                    && self.owned(path, kind)
                    && (!visit.prunes() || path.admits(self.stock, kind, false))
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
            let meshes = self.stock.step(with, last) <= visit.most_step()
                && (!visit.prunes() || path.admits(self.stock, last, true));
            return if meshes { self.end(path, last, visit) } else { ControlFlow::Continue(()) };
        }
        for i in 0..self.driven.len() {
            let (kind, left) = self.driven[i];
            if left > 0
                && self.stock.step(with, kind) <= visit.most_step()
                && self.stock.among(self.last, kind)
                && self.owned(path, kind)
                && (!visit.prunes() || path.admits(self.stock, kind, true))
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
        let sleeve_free = path.loose_pairs(stock) < stock.sleeves;
        for i in 0..self.driven.len() {
            let (driven, left) = self.driven[i];
            let k = stock.kind(driven);
            if left == 0
                || stock.step(with, driven) > visit.most_step()
                || !k.gear.places.stud
                || !self.owned(path, driven)
                || (visit.prunes() && !path.admits(stock, driven, false))
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
                    || (visit.prunes() && !path.admits_keyed(stock, driver))
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

    /// Whether `driver` can be keyed to `driven`, the last gear on the path: a joint's side only
    /// with its partner (without a second joint), a loose gear with loose gears.
    #[inline]
    fn keys(&self, path: &Path, driven: KindId, driver: KindId) -> bool {
        match (self.stock.kind(driven).side, self.stock.kind(driver).side) {
            (None, None) => self.owned(path, driver),
            (Some(side), Some(_)) => side.partner == driver,
            _ => false,
        }
    }

    /// Whether one more of the kind is available.
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
