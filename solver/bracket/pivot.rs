//! An arm that pivots on a point of its own: one stud in closed form, more by a search over the
//! swing.

use super::candidates::{Candidate, Chain, Finish, Place, Told};
use super::geometry::{Curve, Geometry};
use super::point::{Margin, Point, circle_circle};
use super::wheels::Wheels;
use std::f64::consts::TAU;
use std::ops::ControlFlow;

/// Steps of the swing where it must be searched: half a degree.
pub(super) const STEPS: u32 = 720;

impl Geometry {
    /// One stud, the arm pivoting on a point: the two meshes fix the stud, its distance from the
    /// pivot fixes the place in the slot, and that the swing.
    pub(super) fn about_point(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        // In a slot both meshes can be closed to the least opening.
        let (a, b) = (wheels.nominal(0) + self.opening.0, wheels.nominal(1) + self.opening.0);
        let apart = Some(self.centres.0).filter(|_| self.centres.1 == 0.0);
        let met = circle_circle(&self.last, b, &self.first, a, apart);
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

    /// A stud in a hole of an arm that pivots on a point: one mesh is closed at its least or its
    /// greatest opening, the other must then lie between these.
    fn holes_about_point(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        for (slot, curve) in self.slots.iter().enumerate() {
            let Curve::Hole { at, from_pivot, along } = curve else { continue };
            for (mesh, open) in
                [0, 1].into_iter().flat_map(|m| self.openings.iter().map(move |o| (m, o)))
            {
                let (shaft, other) =
                    if mesh == 0 { (&self.first, &self.last) } else { (&self.last, &self.first) };
                let distance = wheels.nominal(mesh) + open;
                let met = circle_circle(&Point::ORIGIN, from_pivot.0, shaft, distance, None);
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
        let mut candidate = self.at_turn(wheels, turn_between(point, stud));
        let back = (candidate.turn.0, -candidate.turn.1);
        candidate.points[1] = Point { err: point.err.max(stud.err), ..stud.turned(back) };
        candidate.places[1] = Some(place);
        candidate
    }

    /// Two studs or more, the arm pivoting on a point: the swing is searched.
    pub(super) fn stepped(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        if !relaxed && !self.bridges(wheels) {
            return ControlFlow::Continue(());
        }
        let (from, to) = self.swing.unwrap_or((-0.5 * TAU, 0.5 * TAU));
        let steps = ((to - from) / TAU * f64::from(STEPS)).ceil().max(1.0);
        let mut before: Vec<Option<f64>> = Vec::new();
        let mut nearest = (f64::INFINITY, 0.5 * (from + to));
        let mut step = 0.0;
        while step <= steps {
            let swing = from + (to - from) * step / steps;
            let now = self.gaps_at(wheels, swing);
            for (branch, (old, new)) in before.iter().zip(&now).enumerate() {
                if let (Some(old), Some(new)) = (old, new)
                    && (*old <= 0.0) != (*new <= 0.0)
                {
                    let start = swing - (to - from) / steps;
                    self.close_in(wheels, branch, (start, swing), told)?;
                }
            }
            let least = now.iter().flatten().map(|g| g.abs()).fold(f64::INFINITY, f64::min);
            if least < nearest.0 {
                nearest = (least, swing);
            }
            before = now;
            step += 1.0;
        }
        if relaxed {
            let mut candidate = self.at_swing(wheels, nearest.1);
            let chain = Chain { geometry: self, wheels, relaxed: true, from_last: true };
            return chain.place(1, &mut candidate, &Finish::Fixed, told);
        }
        ControlFlow::Continue(())
    }

    /// Whether the meshes could form a closed figure with the distance of the shafts: no side is
    /// longer than all others together.
    fn bridges(&self, wheels: &Wheels) -> bool {
        let meshes = (0..=wheels.studs()).map(|mesh| wheels.nominal(mesh) + self.opening.1);
        let sides: Vec<f64> = meshes.chain([self.centres.0]).collect();
        let all: f64 = sides.iter().sum();
        // Each side may be shorter by its opening.
        let spare = 8.0 * self.opening.1 + 1e-9 * all;
        sides.iter().all(|side| 2.0 * side <= all + spare)
    }

    fn at_swing(&self, wheels: &Wheels, swing: f64) -> Candidate {
        Candidate { stepped: true, ..self.at_turn(wheels, (swing.cos(), swing.sin())) }
    }

    /// The end shafts with the arm so turned.
    pub(super) fn at_turn(&self, wheels: &Wheels, turn: (f64, f64)) -> Candidate {
        let mut candidate = Candidate { turn, ..Candidate::EMPTY };
        candidate.points[0] = self.first.turned((turn.0, -turn.1));
        candidate.points[wheels.shafts() - 1] = self.last.turned((turn.0, -turn.1));
        candidate
    }

    /// For each branch (slots and roots, in a fixed order) how far the last mesh is from closing.
    fn gaps_at(&self, wheels: &Wheels, swing: f64) -> Vec<Option<f64>> {
        let mut gaps = Vec::new();
        self.branches(wheels, swing, &mut |branch| {
            gaps.push(branch.map(|(candidate, wanted)| gap(&candidate, wanted)));
        });
        gaps
    }

    /// Closes in on the swing at which a branch meshes.
    fn close_in(
        &self,
        wheels: &Wheels,
        branch: usize,
        (mut low, mut high): (f64, f64),
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let at = |swing: f64| {
            let mut found = None;
            let mut count = 0;
            self.branches(wheels, swing, &mut |b| {
                if count == branch {
                    found = b;
                }
                count += 1;
            });
            found
        };
        let Some((first, wanted)) = at(low) else { return ControlFlow::Continue(()) };
        let sign = gap(&first, wanted) <= 0.0;
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            match at(middle) {
                Some((c, wanted)) if (gap(&c, wanted) <= 0.0) == sign => low = middle,
                Some(_) => high = middle,
                None => return ControlFlow::Continue(()),
            }
        }
        match at(high) {
            // A jump of the branch is no closing.
            Some((c, wanted)) if gap(&c, wanted).abs() <= 1e-7 * self.steps => told(&c),
            _ => ControlFlow::Continue(()),
        }
    }

    /// Every choice of slots and roots from the last shaft to the first stud, in a fixed order;
    /// `None` where a mesh does not meet its slot.
    fn branches(
        &self,
        wheels: &Wheels,
        swing: f64,
        give: &mut dyn FnMut(Option<(Candidate, f64)>),
    ) {
        let studs = wheels.studs();
        let per_stud = self.slots.len() * 2;
        let all = (0..studs).fold(1, |n: usize, _| n * per_stud);
        let start = self.at_swing(wheels, swing);
        let wanted = wheels.nominal(0) + self.opening.0;
        for branch in 0..all {
            let mut rest = branch;
            let mut candidate = start;
            let placed = (1..=studs).rev().all(|stud| {
                let (slot, root) = (rest % per_stud / 2, rest % 2);
                rest /= per_stud;
                let distance = wheels.nominal(stud) + self.opening.0;
                let towards = candidate.points[stud + 1];
                let mut roots = 0;
                let mut done = false;
                let _ = self.meet(
                    slot,
                    &self.slots[slot],
                    &towards,
                    (distance, 0.0),
                    false,
                    &mut |p, place| {
                        if roots == root {
                            candidate.points[stud] = p;
                            candidate.places[stud] = Some(place);
                            done = true;
                        }
                        roots += 1;
                        ControlFlow::Continue(())
                    },
                );
                done
            });
            give(placed.then_some((candidate, wanted)));
        }
    }
}

fn gap(candidate: &Candidate, wanted: f64) -> f64 {
    candidate.points[0].distance(&candidate.points[1]).0 - wanted
}

/// The turn (cosine, sine) that brings `from` to the direction of `to`.
fn turn_between(from: &Point, to: &Point) -> (f64, f64) {
    let (a, b) = (from.distance(&Point::ORIGIN).0, to.distance(&Point::ORIGIN).0);
    let span = (a * b).max(f64::MIN_POSITIVE);
    ((from.x * to.x + from.y * to.y) / span, (from.x * to.y - from.y * to.x) / span)
}
