//! Where the studs of a train can stand.
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
//! (`pivot.rs`) has the same closed forms for one stud; with more the swing is searched in steps of
//! half a degree (two answers closer than that to each other can be missed: the answer says
//! that it was stepped).
//!
//! Where a stud stands in a hole, or the arm can't swing, some mesh can't be set at will: each is
//! then tried at its least and its greatest opening. That finds every way for holes alone and for
//! slots alone; with several studs in slots beside one in a hole, a way between the two can be
//! missed.

use super::geometry::{Base, Curve, Geometry};
use super::point::{Margin, OnCircle, OnLine, Point, circle_circle, circle_line, inside, on_line};
use super::wheels::{SHAFTS, Wheel, Wheels};
use std::ops::ControlFlow;

/// A stud's place in a slot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) slot: usize,
    /// Along the slot, in steps, or the direction from the arc's centre, in radians.
    pub(super) along: f64,
    /// How well the mesh meets the slot, and the slot's nearest distance.
    pub(super) meets: Margin,
    pub(super) nearest: f64,
    /// How far inside the slot's ends (in steps), and which end is nearer (true: the upper).
    pub(super) ends: Margin,
    pub(super) upper: bool,
    /// Distance of the mesh toward the base.
    pub(super) distance: f64,
}

/// One way for a train to stand, in the arm's frame; shafts in power-path order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) points: [Point; SHAFTS],
    pub(super) places: [Option<Place>; SHAFTS],
    /// How well the last mesh closes: long enough, and not too unequal.
    pub(super) reaches: Margin,
    pub(super) crosses: Margin,
    /// The last two distances: stud to far shaft, and base to stud.
    pub(super) sides: (f64, f64),
    /// Cosine and sine of the swing.
    pub(super) turn: (f64, f64),
    /// Found in steps.
    pub(super) stepped: bool,
    /// The arm could not be swung to close the last mesh.
    pub(super) fixed: bool,
}

impl Candidate {
    pub(super) const EMPTY: Self = Self {
        points: [Point::ORIGIN; SHAFTS],
        places: [None; SHAFTS],
        reaches: Margin::FREE,
        crosses: Margin::FREE,
        sides: (0.0, 0.0),
        turn: (1.0, 0.0),
        stepped: false,
        fixed: false,
    };
}

/// Told of each candidate.
pub(super) type Told<'a> = dyn FnMut(&Candidate) -> ControlFlow<()> + 'a;

impl Geometry {
    /// Calls `told` with every way for the train to stand as far as its meshes and slots go; what
    /// touches what is not asked here. `relaxed`: as if slots had no ends, and with parts left open
    /// where a mesh can't be closed.
    pub(super) fn candidates(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = wheels.shafts();
        let mut candidate = Candidate::EMPTY;
        candidate.points[0] = self.first;
        candidate.points[shafts - 1] = self.last;
        if shafts == 2 {
            return told(&candidate);
        }
        let from_last = self.base != Base::First;
        let chain = |from_last| Chain { geometry: self, wheels, relaxed, from_last };
        if self.is_fixed() {
            let (swing, _) = self.swing.unwrap_or_default();
            let mut candidate = self.at_turn(wheels, (swing.cos(), swing.sin()));
            chain(true).place(1, &mut candidate, &Finish::Fixed, told)?;
            return chain(false).place(1, &mut candidate, &Finish::Fixed, told);
        }
        match self.base {
            Base::First | Base::Last => {
                chain(from_last).place(1, &mut candidate, &Finish::Swing, told)
            }
            Base::Point if shafts == 3 => self.about_point(wheels, relaxed, told),
            Base::Point => self.stepped(wheels, relaxed, told),
        }
    }

    /// Where the base of the chain stands, if trains can be grown from it: an arm that swings about
    /// an end shaft. The flag says whether that is the last shaft.
    pub(crate) fn start(&self) -> Option<(Vec<Point>, bool)> {
        let grows = self.base != Base::Point && !self.is_fixed();
        grows.then(|| (vec![Point::ORIGIN], self.base == Base::Last))
    }

    /// Where the next stud can stand, with a mesh from any of these places.
    pub(crate) fn onward(&self, from: &[Point], gear: &Wheel, next: &Wheel) -> Vec<Point> {
        let mut found = Vec::new();
        for point in from {
            for &open in &self.openings {
                let distance = (gear.nominal(next) + open, 0.0);
                for (slot, curve) in self.slots.iter().enumerate() {
                    // Never broken off.
                    let _ = self.meet(slot, curve, point, distance, false, &mut |p, _| {
                        found.push(p);
                        ControlFlow::Continue(())
                    });
                }
            }
        }
        found
    }

    /// Whether the far shaft can be reached from any of these places.
    pub(crate) fn closes(&self, from: &[Point], gear: &Wheel, last: &Wheel) -> bool {
        let distance = gear.nominal(last) + self.opening.0;
        from.iter().any(|point| {
            let (arm, err) = point.distance(&Point::ORIGIN);
            let err = err + self.centres.1;
            arm + distance - self.centres.0 >= -err
                && self.centres.0 - (arm - distance).abs() >= -err
        })
    }

    /// The points of a slot at a distance from a point; the ones certainly beyond its ends only
    /// if `relaxed`, and then also the nearest place where it does not reach.
    pub(super) fn meet(
        &self,
        slot: usize,
        curve: &Curve,
        from: &Point,
        (distance, distance_err): (f64, f64),
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        self.meet_from(slot, curve, (from, None), (distance, distance_err), relaxed, give)
    }

    /// The same; `beside`: the place of `from` along this very slot, if it stands there. Two studs
    /// in one straight slot are exactly as far apart along it as their mesh is wide.
    fn meet_from(
        &self,
        slot: usize,
        curve: &Curve,
        (from, beside): (&Point, Option<(f64, f64)>),
        (distance, distance_err): (f64, f64),
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let blank = Place {
            slot,
            along: 0.0,
            meets: Margin::FREE,
            nearest: 0.0,
            ends: Margin::FREE,
            upper: false,
            distance,
        };
        match curve {
            Curve::Line { dir, offset, from: low, to: high } => {
                let mut met = beside.map_or_else(
                    || circle_line(from, distance, *dir, *offset),
                    |along| OnLine::beside(along, distance),
                );
                met.meets.err += distance_err;
                if met.meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                for (i, mut along) in met.along.into_iter().enumerate() {
                    if i == 1 && along.0 >= met.along[0].0 {
                        break;
                    }
                    // The radius errs too: it moves the place by as much over the cosine.
                    along.1 += if distance_err > 0.0 {
                        spread(distance_err, &met.along, distance)
                    } else {
                        0.0
                    };
                    let (under, over) = (along.0 - low, high - along.0);
                    let ends = Margin::new(under.min(over), along.1);
                    if ends.fails() && !relaxed {
                        continue;
                    }
                    let nearest = distance - met.meets.value.min(0.0);
                    let place = Place {
                        along: along.0,
                        meets: met.meets,
                        nearest,
                        ends,
                        upper: over < under,
                        ..blank
                    };
                    give(on_line(along, *dir, *offset), place)?;
                }
                ControlFlow::Continue(())
            }
            Curve::Hole { at, from_pivot, along } => {
                let (apart, err) =
                    if *from == Point::ORIGIN { *from_pivot } else { from.distance(at) };
                // The mesh may be opened from the least to the greatest opening.
                let spare = self.opening.1 - self.opening.0;
                let meets = Margin::new(apart - distance, err + distance_err)
                    .least(Margin::new(distance + spare - apart, err + distance_err));
                if meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                give(*at, Place { along: *along, meets, nearest: apart, ..blank })
            }
            Curve::Arc { centre, radius, from: low, to: high } => {
                let OnCircle { mut reaches, crosses, points } =
                    circle_circle(from, distance, centre, *radius, None);
                reaches.err += distance_err;
                let meets = reaches.least(crosses);
                if meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                for point in points {
                    let along = (point.y - centre.y).atan2(point.x - centre.x);
                    let (margin, upper) = inside(along, (*low, *high));
                    let ends = Margin::new(margin * radius, point.err + distance_err);
                    if ends.fails() && !relaxed {
                        continue;
                    }
                    let nearest = distance - meets.value.min(0.0);
                    let at = if relaxed && meets.fails() {
                        nearest_on_arc(centre, *radius, from)
                    } else {
                        point
                    };
                    give(at, Place { along, meets, nearest, ends, upper, ..blank })?;
                }
                ControlFlow::Continue(())
            }
        }
    }
}

/// How much further a place along a line can lie when the radius errs.
fn spread(err: f64, along: &[(f64, f64); 2], radius: f64) -> f64 {
    let half = 0.5 * (along[0].0 - along[1].0);
    if half > radius * 1e-6 { err * radius / half } else { (2.0 * radius * err).sqrt() + err }
}

fn nearest_on_arc(centre: &Point, radius: f64, from: &Point) -> Point {
    let (distance, err) = centre.distance(from);
    let span = distance.max(f64::MIN_POSITIVE);
    Point::new(
        centre.x + (from.x - centre.x) / span * radius,
        centre.y + (from.y - centre.y) / span * radius,
        err + from.err,
    )
}

/// How the chain of studs is closed.
pub(super) enum Finish {
    /// The far shaft stands at its distance from the pivot; the arm swings to suit.
    Swing,
    /// Both end shafts are where they are.
    Fixed,
}

/// Studs placed one after the other from a shaft whose place is known.
pub(super) struct Chain<'a> {
    pub(super) geometry: &'a Geometry,
    pub(super) wheels: &'a Wheels,
    pub(super) relaxed: bool,
    /// Whether it starts at the last shaft.
    pub(super) from_last: bool,
}

impl Chain<'_> {
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
        finish: &Finish,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (before, here) = (self.shaft(k - 1), self.shaft(k));
        let nominal = self.wheels.nominal(before.min(here));
        let from = candidate.points[before];
        if k + 1 == self.wheels.shafts() {
            if self.is_open_for_nothing(candidate) {
                return ControlFlow::Continue(());
            }
            return match finish {
                Finish::Swing => self.swing(nominal, candidate, told),
                Finish::Fixed => self.fixed(nominal, candidate, told),
            };
        }
        for &open in &self.geometry.openings {
            for (slot, curve) in self.geometry.slots.iter().enumerate() {
                if matches!(curve, Curve::Hole { .. }) && open > self.geometry.opening.0 {
                    continue;
                }
                let distance = (nominal + open, 0.0);
                let beside = candidate.places[before]
                    .filter(|p| p.slot == slot && !p.meets.fails())
                    .map(|p| (p.along, p.ends.err));
                self.geometry.meet_from(
                    slot,
                    curve,
                    (&from, beside),
                    distance,
                    self.relaxed,
                    &mut |point, place| {
                        candidate.points[here] = point;
                        candidate.places[here] = Some(place);
                        self.place(k + 1, candidate, finish, told)
                    },
                )?;
            }
        }
        ControlFlow::Continue(())
    }

    /// Whether a mesh is opened further than the least although all can be moved: no stud stands
    /// in a hole, and the arm swings.
    fn is_open_for_nothing(&self, candidate: &Candidate) -> bool {
        let geometry = self.geometry;
        if !geometry.is_rigid() || geometry.is_fixed() {
            return false;
        }
        let is_hole = |place: &Place| matches!(geometry.slots[place.slot], Curve::Hole { .. });
        let is_open = |(shaft, place): (usize, &Option<Place>)| {
            let mesh = if self.from_last { shaft } else { shaft.saturating_sub(1) };
            place.is_some_and(|p| p.distance > self.wheels.nominal(mesh) + geometry.opening.0)
        };
        let places = &candidate.places[..self.wheels.shafts() - 1];
        !places.iter().flatten().any(is_hole) && places.iter().enumerate().any(is_open)
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
        let distance = nominal + self.geometry.opening.0;
        // The only stud of a radial slot is exactly as far away as its mesh is wide.
        let apart = candidate.places[near].and_then(|place| self.arm(&place, shafts));
        let (arm, err) = apart.unwrap_or_else(|| stud.distance(&Point::ORIGIN));
        let err = err + centres_err;
        candidate.reaches = Margin::new(distance + arm - centres, err);
        candidate.crosses = Margin::new(centres - (distance - arm).abs(), err);
        candidate.sides = (distance, arm);
        if !self.relaxed && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        let exact = apart.filter(|(_, err)| *err == 0.0).map(|(arm, _)| arm);
        let met = circle_circle(&Point::ORIGIN, centres, &stud, distance, exact);
        // The arm turns the other way: clockwise swing first.
        for point in [met.points[1], met.points[0]] {
            candidate.points[far] = point;
            candidate.turn = (point.x / centres, -point.y / centres);
            told(candidate)?;
        }
        ControlFlow::Continue(())
    }

    /// How far a stud is from the pivot, where that is known better than from its place.
    fn arm(&self, place: &Place, shafts: usize) -> Option<(f64, f64)> {
        match self.geometry.slots[place.slot] {
            _ if place.meets.fails() => None,
            Curve::Hole { from_pivot, .. } => Some(from_pivot),
            // A slot that points at the pivot.
            Curve::Line { offset: 0.0, .. } => Some((place.along.abs(), place.ends.err)),
            // The only stud is as far away as its mesh is wide.
            _ if shafts == 3 => Some((place.distance, 0.0)),
            _ => None,
        }
    }

    /// The far shaft where it is: the last mesh must close by itself.
    fn fixed(
        &self,
        nominal: f64,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (far, near) = self.end();
        let (apart, err) = candidate.points[near].distance(&candidate.points[far]);
        let (least, most) = self.geometry.opening;
        // Where the swing was searched it would have closed the mesh to the least opening.
        let most = if candidate.stepped { least } else { most };
        candidate.reaches = Margin::new(nominal + most - apart, err);
        candidate.crosses = Margin::new(apart - nominal - least, err);
        candidate.sides = (nominal, apart);
        candidate.fixed = true;
        if !self.relaxed && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        told(candidate)
    }
}
