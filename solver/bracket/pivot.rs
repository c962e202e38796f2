//! Where are the studs of an arm with a separate pivot? One stud in closed form, more by dividing
//! the swing.
//!
//! ```text
//!   Studs in slots, all meshes closed to the least opening: for a range of the swing the chain of
//!   studs is placed with bounds on its places. A range is done with if
//!     - a mesh certainly misses its slot, or the last one certainly stays open or too close; or
//!     - around it there is exactly one way to close all meshes, by the proof in `newton.rs`.
//!   Any other range is halved, so branches that begin, end or touch are followed too. What is left
//!   of ranges so short that the last mesh is known to a ten-thousandth of a mm is too close to call.
//!   What is left when `MOST_RANGES` are halved is not settled.
//! ```

use super::candidates::{Candidate, Cell, Chain, Finish, Told};
use super::geometry::{Curve, Geometry};
use super::meet::Place;
use super::point::{Margin, Point, circle_circle};
use super::wheels::{SHAFTS, Wheels};
use std::f64::consts::TAU;
use std::ops::ControlFlow;

/// Ranges of the swing to begin with, in a whole turn.
const RANGES: f64 = 32.0;
/// The error of the last mesh (mm) at which a range is no longer halved.
pub(super) const KNOWN_MM: f64 = 1e-4;
/// Swings tried for the nearest position, to show where none fits.
const TRIES: u32 = 720;

/// A range of the swing, and the positions in one choice of slots and points.
struct Range {
    swing: (f64, f64),
    seen: Candidate,
}

impl Geometry {
    /// One stud, with a separate pivot: the two meshes determine the stud, its distance from the
    /// pivot the place in the slot, and that the swing.
    pub(super) fn about_point(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        // In a slot both meshes can have the least opening.
        let (a, b) = (wheels.nominal(0) + self.opening.0, wheels.nominal(1) + self.opening.0);
        let apart = Some(self.centres.0).filter(|_| self.centres.1 == 0.0);
        let met = circle_circle(&self.last, b, &self.first, (a, 0.0), apart);
        let meets = relaxed || !(met.reaches.fails() || met.crosses.fails());
        for stud in met.points.into_iter().filter(|_| meets) {
            let from_pivot = stud.distance(&Point::ORIGIN);
            for (slot, curve) in self.slots.iter().enumerate() {
                if matches!(curve, Curve::Hole { .. }) {
                    continue;
                }
                let origin = &Point::ORIGIN;
                self.meet(slot, curve, origin, from_pivot, relaxed, &mut |point, place| {
                    let mut candidate = self.turned_to(wheels, &point, &stud, place);
                    (candidate.reaches, candidate.crosses) = (met.reaches, met.crosses);
                    candidate.sides = (a, b);
                    told(&candidate)
                })?;
            }
        }
        self.holes_about_point(wheels, relaxed, told)
    }

    /// A stud in a hole of an arm with a separate pivot: one mesh has its least or its greatest
    /// opening; the other must then be between these.
    fn holes_about_point(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        for (slot, curve) in self.slots.iter().enumerate() {
            let Curve::Hole { at, from_pivot, along } = curve else { continue };
            for (mesh, open) in
                [0, 1].into_iter().flat_map(|m| self.openings.iter().map(move |o| (m, o.0)))
            {
                let (shaft, other) =
                    if mesh == 0 { (&self.first, &self.last) } else { (&self.last, &self.first) };
                let distance = wheels.nominal(mesh) + open;
                let met = circle_circle(&Point::ORIGIN, from_pivot.0, shaft, (distance, 0.0), None);
                if !relaxed && (met.reaches.fails() || met.crosses.fails()) {
                    continue;
                }
                for stud in met.points {
                    let (apart, err) = stud.distance(other);
                    let nominal = wheels.nominal(1 - mesh);
                    let meets = Margin::new(apart - nominal - self.opening.0, err)
                        .least(Margin::new(nominal + self.opening.1 - apart, err));
                    if !relaxed && meets.fails() {
                        continue;
                    }
                    let place = Place {
                        slot,
                        root: 0,
                        along: *along,
                        meets,
                        nearest: apart,
                        ends: Margin::FREE,
                        upper: false,
                        distance: nominal + self.opening.0,
                    };
                    let mut candidate = self.turned_to(wheels, at, &stud, place);
                    (candidate.reaches, candidate.crosses) = (met.reaches, met.crosses);
                    candidate.sides = (distance, from_pivot.0);
                    told(&candidate)?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    /// The only stud, at `point` of the arm and at `stud` of the machine.
    fn turned_to(&self, wheels: &Wheels, point: &Point, stud: &Point, place: Place) -> Candidate {
        let (turn, err) = turn_between(point, stud);
        let mut candidate = self.at_turn(wheels, (turn, err));
        let back = (candidate.turn.0, -candidate.turn.1);
        candidate.points[1] = Point { err: point.err.max(stud.err), ..stud.turned(back) };
        candidate.places[1] = Some(place);
        candidate
    }

    /// Two studs or more in slots, with a separate pivot: every way to close all meshes.
    pub(super) fn roots(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        if relaxed {
            let mut none = true;
            self.each_root(wheels, true, &mut |candidate| {
                none = false;
                told(candidate)
            })?;
            // The nearest position, if no mesh closes.
            return if none { self.nearly(wheels, told) } else { ControlFlow::Continue(()) };
        }
        if self.bridges(wheels) {
            self.each_root(wheels, false, told)
        } else {
            ControlFlow::Continue(())
        }
    }

    fn each_root(&self, wheels: &Wheels, relaxed: bool, told: &mut Told<'_>) -> ControlFlow<()> {
        let swing = self.swing.filter(|_| !relaxed);
        let mut ranges = Vec::new();
        for range in swings(swing) {
            self.close(wheels, range, None, relaxed, &mut ranges);
        }
        let mut left = self.most_ranges;
        while let Some(Range { swing, seen }) = ranges.pop() {
            if let Some(root) = self.only_root(wheels, &seen, swing) {
                told(&root)?;
                continue;
            }
            let known = seen.reaches.err <= KNOWN_MM * self.steps || swing.1 < f64::EPSILON;
            if known || left == 0 {
                if !relaxed {
                    told(&Candidate { cut_short: !known, ..seen })?;
                }
                continue;
            }
            left -= 1;
            for half in halves(swing) {
                self.close(wheels, half, Some(&seen), relaxed, &mut ranges);
            }
        }
        ControlFlow::Continue(())
    }

    /// The positions that may close in a range of the swing.
    fn close(
        &self,
        wheels: &Wheels,
        swing: (f64, f64),
        only: Option<&Candidate>,
        relaxed: bool,
        found: &mut Vec<Range>,
    ) {
        let cell = Cell { swing, open: [(self.opening.0, 0.0); SHAFTS - 1] };
        let finish = Finish::Closed;
        let chain = Chain { relaxed, cell: Some(&cell), only, ..Chain::new(self, wheels, finish) };
        // Never ends early.
        let _ = chain.place(1, &mut self.at_swing(wheels, swing), &mut |seen| {
            // Slots without ends, but no mesh left open.
            let meets = seen.places.iter().flatten().all(|place| !place.meets.fails());
            if meets && !seen.reaches.fails() && !seen.crosses.fails() && !self.is_tied(seen) {
                found.push(Range { swing, seen: *seen });
            }
            ControlFlow::Continue(())
        });
    }

    /// The swing at which the last mesh nearly closes.
    fn nearly(&self, wheels: &Wheels, told: &mut Told<'_>) -> ControlFlow<()> {
        let chain = |relaxed| Chain { relaxed, ..Chain::new(self, wheels, Finish::Closed) };
        let wanted = wheels.nominal(0) + self.opening.0;
        let (from, to) = self.swing.unwrap_or((-0.5 * TAU, 0.5 * TAU));
        let mut nearest = (f64::INFINITY, 0.5 * (from + to));
        for step in 0..=TRIES {
            let swing = from + (to - from) * f64::from(step) / f64::from(TRIES);
            let open = Chain { finish: Finish::Any, ..chain(false) };
            open.place(1, &mut self.at_swing(wheels, (swing, 0.0)), &mut |candidate| {
                let gap = (candidate.sides.1 - wanted).abs();
                if gap < nearest.0 {
                    nearest = (gap, swing);
                }
                ControlFlow::Continue(())
            })?;
        }
        chain(true).place(1, &mut self.at_swing(wheels, (nearest.1, 0.0)), told)
    }

    /// Whether the meshes could form a closed polygon with the distance of the shafts: no side is
    /// longer than all others together.
    fn bridges(&self, wheels: &Wheels) -> bool {
        let meshes = (0..=wheels.studs()).map(|mesh| wheels.nominal(mesh) + self.opening.1);
        let sides: Vec<f64> = meshes.chain([self.centres.0]).collect();
        let all: f64 = sides.iter().sum();
        // Each side may be shorter by its opening.
        let spare = 8.0 * self.opening.1 + 1e-9 * all;
        sides.iter().all(|side| 2.0 * side <= all + spare)
    }

    /// The end shafts with the arm somewhere in a range of the swing.
    pub(super) fn at_swing(&self, wheels: &Wheels, (swing, err): (f64, f64)) -> Candidate {
        self.at_turn(wheels, ((swing.cos(), swing.sin()), err))
    }

    /// The end shafts at this swing of the arm.
    fn at_turn(&self, wheels: &Wheels, (turn, err): ((f64, f64), f64)) -> Candidate {
        let mut candidate = Candidate { turn, turn_err: err, ..Candidate::EMPTY };
        let place = |shaft: &Point| {
            shaft.turned((turn.0, -turn.1)).blurred(err * shaft.distance(&Point::ORIGIN).0)
        };
        candidate.points[0] = place(&self.first);
        candidate.points[wheels.shafts() - 1] = place(&self.last);
        candidate
    }
}

/// The swing, a whole turn if it is free, in ranges: middle and half width. Slightly beyond the
/// limits, which are judged later.
pub(super) fn swings(limits: Option<(f64, f64)>) -> impl Iterator<Item = (f64, f64)> {
    let (from, to) = limits.filter(|(from, to)| to - from < TAU).unwrap_or((-0.5 * TAU, 0.5 * TAU));
    let count = ((to - from) / TAU * RANGES).ceil().max(1.0);
    let half = 0.5 * (to - from) / count;
    let ranges =
        std::iter::successors(Some(0.5), |i| Some(i + 1.0)).take_while(move |i| *i < count);
    ranges.map(move |i| (from + (to - from) * i / count, widened(half)))
}

pub(super) fn halves((middle, half): (f64, f64)) -> [(f64, f64); 2] {
    let half = 0.5 * half;
    [(middle - half, widened(half)), (middle + half, widened(half))]
}

/// Wide enough that rounding leaves no gap between two ranges.
fn widened(half: f64) -> f64 {
    half * (1.0 + 1e-9) + 4.0 * f64::EPSILON
}

/// The turn (cosine, sine) that brings `from` to the direction of `to`, and its error.
fn turn_between(from: &Point, to: &Point) -> ((f64, f64), f64) {
    let (a, b) = (from.distance(&Point::ORIGIN).0, to.distance(&Point::ORIGIN).0);
    let span = (a * b).max(f64::MIN_POSITIVE);
    let turn = ((from.x * to.x + from.y * to.y) / span, (from.x * to.y - from.y * to.x) / span);
    let least = a.min(b).max(f64::MIN_POSITIVE);
    (turn, 1.6 * (from.err + to.err) / least)
}
