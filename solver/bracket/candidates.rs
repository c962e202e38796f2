//! At which places can the studs of a train be?
//!
//! ```text
//!   arm's frame: the pivot at the origin, the arm's own line along x, angles clockwise in the face
//!   view. With the pivot on an end shaft (the base) there are as many distances as unknowns:
//!     base - stud:  |P| = a      meets its slot in up to two points
//!     stud - stud:  |P - P'| = a meets its slot in up to two points
//!     stud - far shaft: |F - P| = a and |F| = C: two points, each of which is a swing of the arm
//! ```
//!
//! Every choice of slots, every point and both swings are tried. A pivot that is a point of its own
//! (`pivot.rs`) has the same closed forms for one stud; with more the swing is divided until each
//! way is proven to be one.
//!
//! With a stud in a hole, or an arm that can't swing, some mesh can't be set freely. Each mesh is
//! then tried at its least and its greatest opening, and the range between is divided
//! (`between.rs`).

use super::geometry::{Base, Curve, Geometry};
use super::meet::Place;
use super::point::{Distance, Margin, Point, circle_circle};
use super::wheels::{SHAFTS, Wheel, Wheels};
use std::ops::ControlFlow;

/// One position of a train, in the arm's frame; shafts in power-path order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) points: [Point; SHAFTS],
    pub(super) places: [Option<Place>; SHAFTS],
    /// How well the last mesh closes: long enough, and not too unequal.
    pub(super) reaches: Margin,
    pub(super) crosses: Margin,
    /// The last two distances: stud to far shaft, and base to stud.
    pub(super) sides: (f64, f64),
    /// Cosine and sine of the swing, and its error bound (radians).
    pub(super) turn: (f64, f64),
    pub(super) turn_err: f64,
    /// Which of the two swings.
    pub(super) way: usize,
    /// True if the arm could not be swung to close the last mesh.
    pub(super) fixed: bool,
    /// True if the search ended early, with all the work for one train done.
    pub(super) cut_short: bool,
}

impl Candidate {
    pub(super) const EMPTY: Self = Self {
        points: [Point::ORIGIN; SHAFTS],
        places: [None; SHAFTS],
        reaches: Margin::FREE,
        crosses: Margin::FREE,
        sides: (0.0, 0.0),
        turn: (1.0, 0.0),
        turn_err: 0.0,
        way: 0,
        fixed: false,
        cut_short: false,
    };
}

/// Hears each candidate.
pub(super) type Told<'a> = dyn FnMut(&Candidate) -> ControlFlow<()> + 'a;

impl Geometry {
    /// Calls `told` with every position that meshes and slots allow; contacts between parts are not
    /// tested here. `relaxed`: as if slots had no ends, and with meshes left open that can't be
    /// closed.
    pub(super) fn candidates(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = wheels.shafts();
        let mut candidate = self.at_rest(wheels);
        if shafts == 2 {
            return told(&candidate);
        }
        let from_last = self.base != Base::First;
        let chain =
            |finish, from_last| Chain { relaxed, from_last, ..Chain::new(self, wheels, finish) };
        if self.is_fixed() {
            let (swing, _) = self.swing.unwrap_or_default();
            let mut candidate = self.at_swing(wheels, (swing, 0.0));
            chain(Finish::Fixed, true).place(1, &mut candidate, told)?;
            return chain(Finish::Fixed, false).place(1, &mut candidate, told);
        }
        match self.base {
            Base::First | Base::Last => {
                chain(Finish::Swing, from_last).place(1, &mut candidate, told)
            }
            Base::Point if shafts == 3 => self.about_point(wheels, relaxed, told),
            Base::Point => self.roots(wheels, relaxed, told),
        }
    }

    /// The end shafts, without studs.
    pub(super) fn at_rest(&self, wheels: &Wheels) -> Candidate {
        let mut candidate = Candidate::EMPTY;
        candidate.points[0] = self.first;
        candidate.points[wheels.shafts() - 1] = self.last;
        candidate
    }

    /// Whether some mesh can't be set freely: a stud is in a hole, or the arm can't swing.
    pub(super) fn is_tied(&self, candidate: &Candidate) -> bool {
        let hole = |place: &Place| matches!(self.slots[place.slot], Curve::Hole { .. });
        self.is_fixed() || candidate.places.iter().flatten().any(hole)
    }

    /// The place of a shaft in the machine's frame.
    pub(super) fn in_machine(&self, candidate: &Candidate, shaft: usize, shafts: usize) -> Point {
        match shaft {
            0 => self.first,
            _ if shaft + 1 == shafts => self.last,
            _ => {
                let point = &candidate.points[shaft];
                point.turned(candidate.turn).blurred(candidate.turn_err * point.size())
            }
        }
    }

    /// The place of the chain's base, if trains can grow from it: an arm that swings about an end
    /// shaft. True if that is the driven shaft.
    pub(crate) fn start(&self) -> Option<(Vec<Point>, bool)> {
        let grows = self.base != Base::Point && !self.is_fixed();
        grows.then(|| (vec![Point::ORIGIN], self.base == Base::Last))
    }

    /// The possible places of the next stud, with a mesh from any of these places; each place is as
    /// large as the openings leave it.
    pub(crate) fn onward(&self, from: &[Point], gear: &Wheel, next: &Wheel) -> Vec<Point> {
        let mut found = Vec::new();
        for point in from {
            for (slot, curve) in self.slots.iter().enumerate() {
                let distance = self.opened(curve, gear.nominal(next), self.open());
                // Never ends early.
                let _ = self.meet(slot, curve, point, distance, false, &mut |p, _| {
                    found.push(p);
                    ControlFlow::Continue(())
                });
            }
        }
        found
    }

    /// Whether the far shaft can be reached from any of these places.
    pub(crate) fn closes(&self, from: &[Point], gear: &Wheel, last: &Wheel) -> bool {
        let (open, spare) = self.open();
        let distance = gear.nominal(last) + open;
        from.iter().any(|point| {
            let (arm, err) = point.distance(&Point::ORIGIN);
            let err = err + self.centres.1 + spare;
            arm + distance - self.centres.0 >= -err
                && self.centres.0 - (arm - distance).abs() >= -err
        })
    }

    /// The opening of a mesh, and its possible error.
    pub(super) fn open(&self) -> Distance {
        let (least, most) = (self.opening.0, self.widest());
        (0.5 * (least + most), 0.5 * (most - least))
    }

    /// The distance of a mesh to this slot at this opening; a hole takes the whole range of
    /// openings.
    pub(super) fn opened(&self, curve: &Curve, nominal: f64, (open, spare): Distance) -> Distance {
        match curve {
            Curve::Hole { .. } => (nominal + self.opening.0, 0.0),
            _ => (nominal + open, spare),
        }
    }
}

/// How the chain of studs is closed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Finish {
    /// The far shaft is at its distance from the pivot; the arm swings to close the mesh.
    Swing,
    /// Both end shafts are fixed; the last mesh may have any opening up to the greatest.
    Fixed,
    /// The same, but the last mesh has the least opening.
    Closed,
    /// The same, with any opening or overlap of the last mesh.
    Any,
}

/// The free values while the studs are placed: the swing, and the opening of each mesh. Each is a
/// middle and its greatest deviation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    /// In radians.
    pub(super) swing: (f64, f64),
    /// In steps.
    pub(super) open: [Distance; SHAFTS - 1],
}

/// Studs placed one after the other from a shaft whose place is known.
#[derive(Clone, Copy)]
pub(super) struct Chain<'a> {
    pub(super) geometry: &'a Geometry,
    pub(super) wheels: &'a Wheels,
    pub(super) relaxed: bool,
    /// Whether it starts at the driven shaft.
    pub(super) from_last: bool,
    pub(super) finish: Finish,
    /// The opening of each mesh; `None`: each is tried at the ends of its range.
    pub(super) cell: Option<&'a Cell>,
    /// Only the same slots and points as here.
    pub(super) only: Option<&'a Candidate>,
}

impl<'a> Chain<'a> {
    pub(super) const fn new(geometry: &'a Geometry, wheels: &'a Wheels, finish: Finish) -> Self {
        let (relaxed, from_last) = (false, true);
        Self { geometry, wheels, relaxed, from_last, finish, cell: None, only: None }
    }

    /// Power-path index of the shaft that is `k` meshes from the start.
    #[inline]
    fn shaft(&self, k: usize) -> usize {
        if self.from_last { self.wheels.shafts() - 1 - k } else { k }
    }

    /// The far shaft and the stud before it.
    fn end(&self) -> (usize, usize) {
        let shafts = self.wheels.shafts();
        (self.shaft(shafts - 1), self.shaft(shafts - 2))
    }

    /// Places the stud `k` meshes from the start, and all after it.
    pub(super) fn place(
        &self,
        k: usize,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (before, here) = (self.shaft(k - 1), self.shaft(k));
        let mesh = before.min(here);
        let nominal = self.wheels.nominal(mesh);
        if k + 1 == self.wheels.shafts() {
            if self.is_open_for_nothing(candidate) {
                return ControlFlow::Continue(());
            }
            return match self.finish {
                Finish::Swing => self.swing(nominal, candidate, told),
                Finish::Fixed | Finish::Closed | Finish::Any => {
                    self.fixed(nominal, candidate, told)
                }
            };
        }
        let ends = &self.geometry.openings[..];
        let tried = self.cell.map_or(ends, |cell| std::slice::from_ref(&cell.open[mesh]));
        for (i, &open) in tried.iter().enumerate() {
            for (slot, curve) in self.geometry.slots.iter().enumerate() {
                // A hole sees the whole range at once.
                if matches!(curve, Curve::Hole { .. }) && i > 0 {
                    continue;
                }
                let distance = self.geometry.opened(curve, nominal, open);
                self.place_in(slot, distance, k, candidate, told)?;
            }
        }
        ControlFlow::Continue(())
    }

    /// Places the stud `k` meshes from the start where one slot is at its distance, and all after it.
    fn place_in(
        &self,
        slot: usize,
        distance: Distance,
        k: usize,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (before, here) = (self.shaft(k - 1), self.shaft(k));
        let only = self.only.and_then(|only| only.places[here]);
        if only.is_some_and(|only| only.slot != slot) {
            return ControlFlow::Continue(());
        }
        let from = candidate.points[before];
        let beside = candidate.places[before]
            .filter(|p| p.slot == slot && !p.meets.fails())
            .map(|p| (p.along, p.ends.err));
        self.geometry.meet_from(
            slot,
            &self.geometry.slots[slot],
            (&from, beside),
            distance,
            self.relaxed,
            &mut |point, place| {
                if only.is_some_and(|only| only.root != place.root) {
                    return ControlFlow::Continue(());
                }
                candidate.points[here] = point;
                candidate.places[here] = Some(place);
                self.place(k + 1, candidate, told)
            },
        )
    }

    /// Whether a mesh is open further than the least although all can be set: no stud is in a hole,
    /// and the arm swings.
    fn is_open_for_nothing(&self, candidate: &Candidate) -> bool {
        let geometry = self.geometry;
        if self.cell.is_some() || !geometry.is_rigid() || geometry.is_fixed() {
            return false;
        }
        let is_open = |(shaft, place): (usize, &Option<Place>)| {
            let mesh = if self.from_last { shaft } else { shaft.saturating_sub(1) };
            place.is_some_and(|p| p.distance > self.wheels.nominal(mesh) + geometry.opening.0)
        };
        !geometry.is_tied(candidate) && candidate.places.iter().enumerate().any(is_open)
    }

    /// The far shaft at its distance from the pivot: up to two swings.
    fn swing(
        &self,
        nominal: f64,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = self.wheels.shafts();
        let (far, near) = self.end();
        let stud = candidate.points[near];
        let (centres, centres_err) = self.geometry.centres;
        let (open, spare) =
            self.cell.map_or((self.geometry.opening.0, 0.0), |cell| cell.open[far.min(near)]);
        let distance = nominal + open;
        // The only stud of a radial slot is exactly as far away as its mesh is wide.
        let apart = candidate.places[near].and_then(|place| self.arm(&place, shafts));
        let (arm, err) = apart.unwrap_or_else(|| stud.distance(&Point::ORIGIN));
        let err = err + centres_err + spare;
        candidate.reaches = Margin::new(distance + arm - centres, err);
        candidate.crosses = Margin::new(centres - (distance - arm).abs(), err);
        candidate.sides = (distance, arm);
        if !self.relaxed && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        let exact = apart.filter(|(_, err)| *err == 0.0).map(|(arm, _)| arm);
        let met = circle_circle(&Point::ORIGIN, centres, &stud, (distance, spare), exact);
        // The arm turns the other way: clockwise swing first.
        for (way, point) in [met.points[1], met.points[0]].into_iter().enumerate() {
            if self.only.is_some_and(|only| only.way != way) {
                continue;
            }
            candidate.points[far] = point;
            candidate.turn = (point.x / centres, -point.y / centres);
            // An arc is at most pi/2 times its chord.
            candidate.turn_err = 1.6 * point.err / centres;
            candidate.way = way;
            told(candidate)?;
        }
        ControlFlow::Continue(())
    }

    /// How far a stud is from the pivot, where that is known more exactly than from its place.
    fn arm(&self, place: &Place, shafts: usize) -> Option<Distance> {
        match self.geometry.slots[place.slot] {
            _ if place.meets.fails() => None,
            Curve::Hole { from_pivot, .. } => Some(from_pivot),
            // A slot that points at the pivot.
            Curve::Line { offset: 0.0, .. } => Some((place.along.abs(), place.ends.err)),
            // The only stud is as far away as its mesh is wide.
            _ if shafts == 3 && self.cell.is_none() => Some((place.distance, 0.0)),
            _ => None,
        }
    }

    /// The fixed far shaft: the last mesh must close by itself.
    fn fixed(
        &self,
        nominal: f64,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (far, near) = self.end();
        let (apart, err) = candidate.points[near].distance(&candidate.points[far]);
        let (least, most) = self.geometry.opening;
        let most = if self.finish == Finish::Closed { least } else { most };
        candidate.reaches = Margin::new(nominal + most - apart, err);
        candidate.crosses = Margin::new(apart - nominal - least, err);
        candidate.sides = (nominal, apart);
        candidate.fixed = true;
        let any = self.relaxed || self.finish == Finish::Any;
        if !any && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        told(candidate)
    }
}
