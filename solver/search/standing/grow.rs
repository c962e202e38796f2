//! Which trains fit on a bracket? They grow from the pivot outward. A mesh that misses every slot,
//! or a gear that hits the next hub, excludes all trains with that beginning. Where few trains fit,
//! the whole list takes milliseconds, and an empty list proves that nothing fits.

use super::{Left, keep};
use crate::Ratio;
use crate::bracket::Point;
use crate::search::path::Path;
use crate::search::stock::{EndGear, KindId, Mounts, NO_MESH, Stock, kind_id};
use std::ops::ControlFlow;

/// Every train that fits with these end gears and up to `studs` studs and `pairs` gear pairs;
/// `None`: too many.
pub(super) fn list(
    stock: &Stock,
    (start, from_last): &(Vec<Point>, bool),
    (first, last): (EndGear, EndGear),
    (studs, pairs): (usize, usize),
    left: &Left,
) -> Option<Vec<(Ratio, Path)>> {
    let mounts = stock.bracket.as_ref()?;
    let (near, far) = if *from_last { (last, first) } else { (first, last) };
    let grown = |kind: KindId| {
        let mut growth = Growth {
            stock,
            mounts,
            from_last: *from_last,
            far,
            used: vec![0; stock.kinds.len()],
            shafts: Vec::new(),
            found: Vec::new(),
            left,
        };
        let pairs = pairs.saturating_sub(1);
        let flow = growth.with(kind, None, |growth| growth.on(kind, start, studs, pairs));
        flow.is_continue().then_some(growth.found)
    };
    let parts = each(&ends(stock, near), grown)?;
    Some(parts.concat())
}

/// One list for each, in order, on all cores. Not by rayon: other searches wait for this list, and a
/// rayon thread could start one of them here and wait for itself.
#[cfg(feature = "parallel")]
fn each<T: Send>(kinds: &[KindId], grown: impl Fn(KindId) -> Option<T> + Sync) -> Option<Vec<T>> {
    use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while let Some(&kind) = kinds.get(next.fetch_add(1, Relaxed)) {
            done.push((kind, grown(kind)?));
        }
        Some(done)
    };
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let parts = std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores.min(kinds.len())).map(|_| scope.spawn(work)).collect();
        let own = work();
        // A thread that panicked gives nothing reliable.
        let others = others.into_iter().map(|other| other.join().ok().flatten());
        std::iter::once(own).chain(others).collect::<Option<Vec<_>>>()
    })?;
    let mut all = parts.into_iter().flatten().collect::<Vec<_>>();
    all.sort_by_key(|(kind, _)| *kind);
    Some(all.into_iter().map(|(_, found)| found).collect())
}

/// One list for each, in order.
#[cfg(not(feature = "parallel"))]
fn each<T>(kinds: &[KindId], grown: impl Fn(KindId) -> Option<T>) -> Option<Vec<T>> {
    kinds.iter().map(|kind| grown(*kind)).collect()
}

/// The kinds for an end shaft.
fn ends(stock: &Stock, end: EndGear) -> Vec<KindId> {
    match end {
        EndGear::Own(kind) => vec![kind],
        EndGear::Among(_) => {
            (0..stock.boxed).map(kind_id).filter(|kind| stock.among(end, *kind)).collect()
        }
    }
}

/// A shaft with the gear toward the pivot and, for a pair, the gear away from it.
type Grown = (KindId, Option<KindId>);

struct Growth<'a> {
    stock: &'a Stock,
    mounts: &'a Mounts,
    from_last: bool,
    far: EndGear,
    /// How many of each kind are in the train; of a joint only the driving gear counts.
    used: Vec<u8>,
    shafts: Vec<Grown>,
    found: Vec<(Ratio, Path)>,
    left: &'a Left,
}

impl Growth<'_> {
    /// Goes on from a gear at one of `places`: to the far shaft, or to one more stud.
    fn on(
        &mut self,
        gear: KindId,
        places: &[Point],
        studs: usize,
        pairs: usize,
    ) -> ControlFlow<()> {
        self.left.tries(1)?;
        self.finish(gear, places)?;
        if studs == 0 {
            return ControlFlow::Continue(());
        }
        for kind in (0..self.stock.boxed).map(kind_id) {
            if !self.stock.kind(kind).gear.places.stud
                || !self.owned(kind)
                || !self.admits(gear, kind, false)
            {
                continue;
            }
            let (wheel, next) = (self.mounts.wheel(gear), self.mounts.wheel(kind));
            let onward = self.mounts.geometry.onward(places, wheel, next);
            if onward.is_empty() {
                continue;
            }
            self.with(kind, None, |growth| growth.on(kind, &onward, studs - 1, pairs))?;
            if pairs > 0 {
                self.pairs(gear, kind, &onward, studs - 1, pairs - 1)?;
            }
        }
        ControlFlow::Continue(())
    }

    /// A second gear keyed to `kind`, which meshes with `gear`.
    fn pairs(
        &mut self,
        gear: KindId,
        kind: KindId,
        places: &[Point],
        studs: usize,
        pairs: usize,
    ) -> ControlFlow<()> {
        let end = (self.shafts.len() == 1).then_some(!self.from_last);
        for other in (0..self.stock.boxed).map(kind_id) {
            let wheel = |k| self.mounts.wheel(k);
            if self.keys(kind, other)
                && self.stock.kind(other).gear.places.stud
                && self.mounts.geometry.clears(wheel(gear), wheel(kind), wheel(other), end)
            {
                self.with(kind, Some(other), |growth| growth.on(other, places, studs, pairs))?;
            }
        }
        ControlFlow::Continue(())
    }

    /// The far shaft's gear.
    fn finish(&mut self, gear: KindId, places: &[Point]) -> ControlFlow<()> {
        for kind in ends(self.stock, self.far) {
            let (wheel, last) = (self.mounts.wheel(gear), self.mounts.wheel(kind));
            if self.owned(kind)
                && self.admits(gear, kind, true)
                && (self.shafts.len() == 1 || self.mounts.geometry.closes(places, wheel, last))
            {
                let path = self.path(kind);
                if path.short_of(self.stock) <= self.stock.spare {
                    keep(self.stock, &path, &mut self.found, self.left)?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    /// Whether `kind` can mesh with `gear`, as far as the bracket decides by them and by the gear
    /// keyed to `gear`.
    fn admits(&self, gear: KindId, kind: KindId, far: bool) -> bool {
        use crate::bracket::Seat;
        let seat = match (self.shafts.len() == 1, far) {
            (true, true) => Seat::Only,
            (true, false) if self.from_last => Seat::Last,
            (false, true) if !self.from_last => Seat::Last,
            (true, false) | (false, true) => Seat::First,
            (false, false) => Seat::Middle,
        };
        let (driver, driven) = if self.from_last { (kind, gear) } else { (gear, kind) };
        if self.stock.step(driver, driven) == NO_MESH
            || !self.mounts.seats(driver, driven).has(seat)
        {
            return false;
        }
        let Some((keyed, Some(_))) = self.shafts.last() else { return true };
        let end = far.then_some(self.from_last);
        let wheel = |k| self.mounts.wheel(k);
        self.mounts.geometry.clears(wheel(kind), wheel(gear), wheel(*keyed), end)
    }

    /// Whether the two can be keyed to each other on a stud.
    fn keys(&self, kind: KindId, other: KindId) -> bool {
        let (driven, driver) = if self.from_last { (other, kind) } else { (kind, other) };
        match (self.stock.kind(driven).side, self.stock.kind(driver).side) {
            (None, None) => {
                let more = self.used[usize::from(kind)] + u8::from(kind == other);
                let owned = kind != other || more < self.stock.kind(kind).usable;
                owned && self.owned(other) && self.sleeve_is_free()
            }
            (Some(side), Some(_)) => side.partner == driver && side.may_be_driven,
            _ => false,
        }
    }

    fn sleeve_is_free(&self) -> bool {
        let loose = |s: &&Grown| s.1.is_some() && self.stock.kind(s.0).side.is_none();
        self.shafts.iter().filter(loose).count() < self.stock.sleeves
    }

    /// Whether one more of the kind is available.
    fn owned(&self, kind: KindId) -> bool {
        if usize::from(kind) >= self.stock.boxed {
            return true;
        }
        let k = self.stock.kind(kind);
        let used = |kind: KindId| self.used[usize::from(kind)];
        match k.side {
            None => used(kind) < k.usable,
            Some(side) => used(kind) + used(side.partner) < self.stock.joints_owned(side.joint),
        }
    }

    /// With one more shaft, while `go` goes on.
    fn with(
        &mut self,
        kind: KindId,
        other: Option<KindId>,
        go: impl FnOnce(&mut Self) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        // Of two joined gears only the first counts: they are one joint.
        let counted = other.filter(|o| self.stock.kind(*o).side.is_none());
        self.used[usize::from(kind)] += 1;
        if let Some(other) = counted {
            self.used[usize::from(other)] += 1;
        }
        self.shafts.push((kind, other));
        let flow = go(self);
        self.shafts.pop();
        if let Some(other) = counted {
            self.used[usize::from(other)] -= 1;
        }
        self.used[usize::from(kind)] -= 1;
        flow
    }

    /// The train so far with its far gear, in power-path order.
    fn path(&self, far: KindId) -> Path {
        let mut path = Path::EMPTY;
        if self.from_last {
            path.push(far, false);
            for (near, away) in self.shafts.iter().skip(1).rev() {
                path.push(away.unwrap_or(*near), false);
                if away.is_some() {
                    path.push(*near, true);
                }
            }
            path.push(self.shafts[0].0, false);
        } else {
            for (near, away) in &self.shafts {
                path.push(*near, false);
                if let Some(away) = away {
                    path.push(*away, true);
                }
            }
            path.push(far, false);
        }
        path
    }
}
