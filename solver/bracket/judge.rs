//! Which conditions must a train meet to fit? Each once: the search needs a verdict, the report
//! reasons.

use super::candidates::Candidate;
use super::fit::Reason;
use super::geometry::{Base, Figure, Geometry};
use super::meet::Place;
use super::point::{Margin, Point, inside};
use super::wheels::{Piece, Planes, Wheel, Wheels};
use std::ops::ControlFlow;

/// The short answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Verdict {
    /// It does not fit.
    No,
    /// Too close to call.
    Close,
    /// Not settled: the search for stud places ended early.
    CutShort,
    /// It fits.
    Fits,
}

/// Where in a train two gears can mesh, by their distance alone: a bit for each seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Seats(u8);

/// A mesh's place in the train.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Seat {
    /// Between the driving shaft and the last, without a stud.
    Only,
    /// Between the driving shaft and a stud.
    First,
    /// Between a stud and the driven shaft.
    Last,
    /// Between two studs.
    Middle,
}

impl Seats {
    /// Whether it has this seat.
    #[inline]
    pub(crate) const fn has(self, seat: Seat) -> bool {
        self.0 >> seat as u8 & 1 == 1
    }

    fn of(seats: [(Seat, bool); 4]) -> Self {
        Self(seats.iter().fold(0, |bits, (seat, has)| bits | u8::from(*has) << *seat as u8))
    }

    /// The seats of both.
    pub(crate) const fn and(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

/// Hears every condition; may end at the first failure.
pub(super) trait Judge {
    /// Whether it only hears margins that may not hold: what is certainly clear need not be measured.
    const DOUBTS_ONLY: bool = false;

    /// A margin that must not be below zero, and the reason if it is.
    fn margin(&mut self, margin: Margin, why: impl FnOnce() -> Reason) -> ControlFlow<()>;
    /// Two parts that must stay `margin` clear.
    fn touch(&mut self, margin: Margin, a: Piece, b: Piece) -> ControlFlow<()>;
    /// A gear and a part outside the train.
    fn beside(&mut self, margin: Margin, gear: Piece, obstacle: Option<usize>) -> ControlFlow<()>;
}

/// Whether anything fails, or is too close.
#[derive(Default, Clone, Copy)]
pub(super) struct Quick {
    close: bool,
}

impl Quick {
    #[inline]
    fn hear(&mut self, margin: Margin) -> ControlFlow<()> {
        if margin.fails() {
            return ControlFlow::Break(());
        }
        self.close |= !margin.holds();
        ControlFlow::Continue(())
    }

    /// The verdict where nothing failed.
    const fn verdict(self) -> Verdict {
        if self.close { Verdict::Close } else { Verdict::Fits }
    }
}

impl Judge for Quick {
    const DOUBTS_ONLY: bool = true;

    #[inline]
    fn margin(&mut self, margin: Margin, _: impl FnOnce() -> Reason) -> ControlFlow<()> {
        self.hear(margin)
    }

    #[inline]
    fn touch(&mut self, margin: Margin, _: Piece, _: Piece) -> ControlFlow<()> {
        self.hear(margin)
    }

    #[inline]
    fn beside(&mut self, margin: Margin, _: Piece, _: Option<usize>) -> ControlFlow<()> {
        self.hear(margin)
    }
}

impl Geometry {
    /// Whether the train fits in some position.
    pub(crate) fn verdict(&self, wheels: &Wheels) -> Verdict {
        let mut best = Verdict::No;
        if self.places() < wheels.studs() {
            return best;
        }
        for planes in self.choices(wheels) {
            best = best.max(self.verdict_in(wheels, planes));
            if best == Verdict::Fits {
                break;
            }
        }
        best
    }

    /// Where in a train the two can mesh: never false for a train that fits.
    pub(crate) fn seats(&self, driver: &Wheel, driven: &Wheel) -> Seats {
        let nominal = driver.nominal(driven);
        let (least, most) = (nominal + self.opening.0, nominal + self.opening.1);
        let widest = nominal + self.widest();
        let (centres, err) = self.centres;
        let bridged = (centres - least).abs() <= self.reach() + self.opening.1 + err;
        let (mut first, mut last) = (widest >= self.least_stud, true);
        match self.base {
            Base::Last if !self.is_fixed() => {
                last = self.meets_a_slot(nominal);
                first &= bridged;
            }
            Base::First if !self.is_fixed() => {
                first &= self.meets_a_slot(nominal);
                last = bridged;
            }
            Base::Point if !self.is_fixed() => {
                first &= self.stands_off(&self.first, least);
                last = self.stands_off(&self.last, least);
            }
            _ => {}
        }
        let only = centres - least >= -err && most - centres >= -err;
        Seats::of([
            (Seat::Only, only),
            (Seat::First, first),
            (Seat::Last, last),
            (Seat::Middle, nominal <= self.span()),
        ])
    }

    /// Whether a stud can be this far from a shaft, at any swing: by the distances from the pivot
    /// alone.
    fn stands_off(&self, shaft: &Point, distance: f64) -> bool {
        let (away, err) = shaft.distance(&Point::ORIGIN);
        let spare = err + self.opening.1;
        (away - distance).abs() - spare <= self.reach() && away + distance + spare >= self.nearest()
    }

    /// Whether a mesh from the pivot, of this width while closed, can meet a slot.
    fn meets_a_slot(&self, nominal: f64) -> bool {
        let mut meets = |_: Point, _: Place| ControlFlow::Break(());
        self.slots.iter().enumerate().any(|(i, curve)| {
            let distance = self.opened(curve, nominal, self.open());
            self.meet(i, curve, &Point::ORIGIN, distance, false, &mut meets).is_break()
        })
    }

    /// Where in the train a gear can mesh with `with` if it is joined to `partner`, working or not:
    /// it must clear at least the hub of `with`. `drives`: whether the joined gear drives in this
    /// mesh. Never false for a train that fits.
    pub(crate) fn seats_joined(
        &self,
        gear: &Wheel,
        partner: &Wheel,
        with: &Wheel,
        drives: bool,
    ) -> Seats {
        // The widest mesh in any place, and a nanometre for rounding.
        let apart = gear.nominal(with) + self.opening.1 + 1e-6 * self.steps;
        let room = apart - partner.tip - self.clearance;
        let first = usize::from(drives);
        let (last, only) = if drives { (2, 2) } else { (1, 0) };
        let seat = |seat, shaft| (seat, room >= self.bare(shaft, 3));
        Seats::of([
            seat(Seat::Only, only),
            seat(Seat::First, first),
            seat(Seat::Last, last),
            seat(Seat::Middle, 1),
        ])
    }

    /// Whether the other gear of the pair on a stud clears the shaft that `with` meshes from, in any
    /// plane: at least its hub or a gear.
    #[inline]
    pub(crate) fn clears(
        &self,
        with: &Wheel,
        gear: &Wheel,
        other: &Wheel,
        end: Option<bool>,
    ) -> bool {
        let bare = match end {
            Some(true) => self.bare(0, 3),
            Some(false) => self.bare(2, 3),
            None => self.bare(1, 3),
        };
        with.nominal(gear) + self.widest() - other.tip - bare - self.clearance >= 0.0
    }

    fn verdict_in(&self, wheels: &Wheels, planes: &Planes) -> Verdict {
        let mut before = Quick::default();
        if self.unplaced(wheels, planes, &mut before).is_break() {
            return Verdict::No;
        }
        let mut best = Verdict::No;
        // Ended early only by a fit.
        let _ = self.candidates(wheels, false, &mut |candidate| {
            best = best.max(self.verdict_at(wheels, planes, candidate).min(before.verdict()));
            if best == Verdict::Fits { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        });
        if best < before.verdict() {
            let between = self.between(wheels, planes);
            best = best.max(between.map_or(Verdict::No, |(verdict, _)| verdict));
        }
        best
    }

    /// Whether this position fits. `No`: nor does any within the errors of its places.
    fn verdict_at(&self, wheels: &Wheels, planes: &Planes, candidate: &Candidate) -> Verdict {
        let mut quick = Quick::default();
        let flow = self.placed(wheels, planes, candidate, &mut quick);
        match flow {
            ControlFlow::Break(()) => Verdict::No,
            ControlFlow::Continue(()) if candidate.cut_short => Verdict::CutShort,
            ControlFlow::Continue(()) => quick.verdict(),
        }
    }

    /// A position between the least and the greatest opening of each mesh, where some can't be set
    /// freely.
    pub(super) fn between(&self, wheels: &Wheels, planes: &Planes) -> Option<(Verdict, Candidate)> {
        let mut before = Quick::default();
        if self.unplaced(wheels, planes, &mut before).is_break() {
            return None;
        }
        let ask = |candidate: &Candidate| self.verdict_at(wheels, planes, candidate);
        let (verdict, candidate) = self.search_between(wheels, &ask)?;
        Some((verdict.min(before.verdict()), candidate))
    }

    /// The conditions for any place of the studs: sums of given lengths, so exact.
    pub(super) fn unplaced(
        &self,
        wheels: &Wheels,
        planes: &Planes,
        judge: &mut impl Judge,
    ) -> ControlFlow<()> {
        let shafts = wheels.shafts();
        let (centres, err) = self.centres;
        if shafts == 2 {
            let nominal = wheels.nominal(0);
            let (least, most) = self.opening;
            let margin = (centres - nominal - least).min(nominal + most - centres);
            judge.margin(Margin::new(margin, err), || self.centres_reason(nominal, centres))?;
            return self.touches(wheels, planes, (0, 1), self.centres, judge);
        }
        self.touches(wheels, planes, (0, shafts - 1), self.centres, judge)?;
        if self.is_rigid() {
            // The width of the meshes depends on the places.
            return ControlFlow::Continue(());
        }
        for mesh in 0..shafts - 1 {
            let distance = wheels.nominal(mesh) + self.opening.0;
            self.touches(wheels, planes, (mesh, mesh + 1), (distance, 0.0), judge)?;
        }
        let distance = wheels.nominal(0) + self.opening.0;
        self.near_first(1, (distance, 0.0), judge)
    }

    /// The conditions on one position.
    pub(super) fn placed(
        &self,
        wheels: &Wheels,
        planes: &Planes,
        candidate: &Candidate,
        judge: &mut impl Judge,
    ) -> ControlFlow<()> {
        let shafts = wheels.shafts();
        if candidate.cut_short {
            judge.margin(Margin::UNKNOWN, || Reason::CutShort)?;
        }
        for (stud, place) in candidate.places.iter().enumerate() {
            if let Some(place) = place {
                self.in_slot(stud, place, judge)?;
            }
        }
        self.closed(candidate, judge)?;
        if shafts > 2 {
            self.swings(candidate, judge)?;
        }
        for b in 1..shafts {
            for a in 0..b {
                if (a, b) != (0, shafts - 1) && (b > a + 1 || self.is_rigid()) {
                    let apart = candidate.points[a].distance(&candidate.points[b]);
                    self.touches(wheels, planes, (a, b), apart, judge)?;
                    if a == 0 && b < shafts - 1 {
                        self.near_first(b, apart, judge)?;
                    }
                }
            }
        }
        self.surroundings(wheels, planes, candidate, judge)
    }

    fn touches(
        &self,
        wheels: &Wheels,
        planes: &Planes,
        pair: (usize, usize),
        (apart, err): (f64, f64),
        judge: &mut impl Judge,
    ) -> ControlFlow<()> {
        let mut flow = ControlFlow::Continue(());
        let hub = |shaft| self.hub(shaft, wheels.shafts());
        wheels.touches(pair, planes, hub, |a, b, need| {
            if flow.is_continue() {
                flow = judge.touch(Margin::new(apart - need - self.clearance, err), a, b);
            }
        });
        flow
    }

    fn near_first(
        &self,
        stud: usize,
        (apart, err): (f64, f64),
        judge: &mut impl Judge,
    ) -> ControlFlow<()> {
        judge.margin(Margin::new(apart - self.least_stud, err), || Reason::NearFirst {
            stud,
            distance: apart / self.steps,
            least: self.least_stud / self.steps,
        })
    }

    fn in_slot(&self, stud: usize, place: &Place, judge: &mut impl Judge) -> ControlFlow<()> {
        judge.margin(place.meets, || Reason::OffSlot {
            stud,
            slot: place.slot,
            distance: place.distance / self.steps,
            nearest: place.nearest / self.steps,
        })?;
        judge.margin(place.ends, || self.slot_end(stud, place))
    }

    fn closed(&self, candidate: &Candidate, judge: &mut impl Judge) -> ControlFlow<()> {
        let (a, b) = candidate.sides;
        if candidate.fixed {
            let margin = candidate.reaches.least(candidate.crosses);
            return judge.margin(margin, || self.centres_reason(a, b));
        }
        let mm = |steps: f64| steps / self.steps;
        judge.margin(candidate.reaches, || Reason::TooShort {
            sum: mm(a + b),
            distance: mm(a + b - candidate.reaches.value),
        })?;
        judge.margin(candidate.crosses, || Reason::TooUnequal {
            difference: mm((a - b).abs()),
            distance: mm((a - b).abs() + candidate.crosses.value),
        })
    }

    fn centres_reason(&self, nominal: f64, distance: f64) -> Reason {
        Reason::Centres {
            needed: nominal / self.steps,
            distance: distance / self.steps,
            opening: self.opening.1 / self.steps,
        }
    }

    fn swings(&self, candidate: &Candidate, judge: &mut impl Judge) -> ControlFlow<()> {
        let Some((from, to)) = self.swing.filter(|(from, to)| from < to) else {
            return ControlFlow::Continue(());
        };
        let swing = candidate.turn.1.atan2(candidate.turn.0);
        let (margin, upper) = inside(swing, (from, to));
        let err = candidate.turn_err + 8.0 * f64::EPSILON;
        let margin = Margin::new(margin * self.centres.0, err * self.centres.0);
        judge.margin(margin, || Reason::Swing {
            swing: swing.to_degrees(),
            limit: if upper { to } else { from }.to_degrees(),
        })
    }

    /// Keep-outs and cover.
    fn surroundings<J: Judge>(
        &self,
        wheels: &Wheels,
        planes: &Planes,
        candidate: &Candidate,
        judge: &mut J,
    ) -> ControlFlow<()> {
        if self.cover.is_none() && self.keep_out.is_empty() {
            return ControlFlow::Continue(());
        }
        for shaft in 0..wheels.shafts() {
            let point = self.in_machine(candidate, shaft, wheels.shafts());
            let (gears, count) = wheels.gears(shaft, planes);
            for &(plane, tip) in &gears[..count] {
                let gear = Piece::Gear { shaft, plane };
                let need = tip + self.clearance;
                for (i, obstacle) in self.keep_out.iter().enumerate() {
                    if J::DOUBTS_ONLY && obstacle.bounds.is_clear(&point, need) {
                        continue;
                    }
                    if obstacle.planes >> (plane & 7) & 1 == 1 {
                        let (apart, err) = outside(&point, &obstacle.figure);
                        judge.beside(Margin::new(apart - need, err), gear, Some(i))?;
                    }
                }
                if let Some(cover) = &self.cover {
                    let (apart, err) = to_outline(&point, cover);
                    judge.beside(Margin::new(-apart - need, err), gear, None)?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    fn slot_end(&self, stud: usize, place: &Place) -> Reason {
        let (along, end) = match &self.slots[place.slot] {
            super::geometry::Curve::Arc { from, to, .. } => {
                (place.along.to_degrees(), if place.upper { to } else { from }.to_degrees())
            }
            super::geometry::Curve::Line { from, to, .. } => {
                (place.along / self.steps, if place.upper { to } else { from } / self.steps)
            }
            super::geometry::Curve::Hole { .. } => {
                (place.along / self.steps, place.along / self.steps)
            }
        };
        Reason::SlotEnd { stud, slot: place.slot, along, end }
    }
}

/// Distance of a point from a figure, below zero inside.
pub(super) fn outside(point: &Point, figure: &Figure) -> (f64, f64) {
    match figure {
        Figure::Circle { at, radius } => {
            let (apart, err) = point.distance(at);
            (apart - radius, err)
        }
        Figure::Polygon(corners) => to_outline(point, corners),
    }
}

/// Distance of a point from an outline: above zero outside, below inside.
pub(super) fn to_outline(point: &Point, corners: &[Point]) -> (f64, f64) {
    let mut nearest = (f64::INFINITY, 0.0);
    let mut within = false;
    let next = corners.iter().cycle().skip(1);
    for (a, b) in corners.iter().zip(next) {
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let span = dx * dx + dy * dy;
        let part = if span > 0.0 {
            (((point.x - a.x) * dx + (point.y - a.y) * dy) / span).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let foot = Point::new(a.x + part * dx, a.y + part * dy, a.err.max(b.err));
        let (apart, err) = point.distance(&foot);
        if apart < nearest.0 {
            nearest = (apart, err);
        }
        // A ray to the right crosses the edge.
        if (a.y > point.y) != (b.y > point.y) && point.x < a.x + (point.y - a.y) / (b.y - a.y) * dx
        {
            within = !within;
        }
    }
    (if within { -nearest.0 } else { nearest.0 }, 2.0 * nearest.1)
}

#[cfg(test)]
pub(crate) mod tests;
