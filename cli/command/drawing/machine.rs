//! The banjo in the face view: pivot, arm, slots, and what stands around, as points in mm.

use super::shapes::{arc, direction, plus, times, turned};
use crate::report::drawing::Point;
use solver::bracket::Mounting;
use solver::{Bracket, Pivot, Slot, Spot};

pub(super) fn spot(spot: &Spot) -> Point {
    (spot.right.to_f64(), spot.up.to_f64())
}

/// The banjo's points in the view.
#[derive(Debug)]
pub(super) struct Machine {
    pub(super) pivot: Point,
    /// From the pivot to the other shaft (to the first, where the pivot is a point of its own).
    pub(super) base: Point,
    /// The arm's own line.
    pub(super) along: Point,
    /// Where the studs can be clamped, slot by slot.
    pub(super) slots: Vec<Vec<Point>>,
}

impl Machine {
    pub(super) fn of(bracket: &Bracket, mounting: &Mounting) -> Self {
        let first = spot(&bracket.first.spot());
        let (pivot, other) = match &bracket.pivot {
            Pivot::Last => ((0.0, 0.0), first),
            Pivot::First => (first, (0.0, 0.0)),
            Pivot::At(at) => (spot(at), first),
        };
        let base = direction(pivot, other);
        let along = turned(base, mounting.swing.unwrap_or(0.0));
        let slots = bracket.slots.iter().map(|slot| slot_line(slot, pivot, along)).collect();
        Self { pivot, base, along, slots }
    }

    /// Points that must be seen: the surroundings, and the slots that are on the machine.
    pub(super) fn outline<'a>(&'a self, bracket: &'a Bracket) -> impl Iterator<Item = Point> + 'a {
        let round = bracket.keep_out.iter().flat_map(|k| outline(&k.shape));
        let cover = bracket.cover.iter().flatten().map(spot);
        round.chain(cover).chain([self.pivot]).chain(self.slots.iter().flatten().copied())
    }
}

/// The line of a stud's axis in a slot: `from * d + offset * n`, with d the arm's line turned
/// clockwise by the slot's angle and n clockwise across d.
fn slot_line(slot: &Slot, pivot: Point, arm: Point) -> Vec<Point> {
    match slot {
        Slot::Straight { from, to, angle, offset } => {
            let d = turned(arm, angle.to_f64());
            let foot = plus(pivot, times(turned(d, 90.0), offset.to_f64()));
            [from, to].map(|end| plus(foot, times(d, end.to_f64()))).into()
        }
        Slot::Arc { along, across, radius, from, to } => {
            let beside = times(turned(arm, 90.0), across.to_f64());
            let centre = plus(plus(pivot, times(arm, along.to_f64())), beside);
            let start = turned(arm, from.to_f64());
            arc(centre, radius.mm().to_f64(), start, to.to_f64() - from.to_f64())
        }
    }
}

/// A keep-out as an outline.
pub(super) fn outline(shape: &solver::Shape) -> Vec<Point> {
    match shape {
        solver::Shape::Circle { at, radius } => {
            arc(spot(at), radius.mm().to_f64(), (0.0, 1.0), 360.0)
        }
        solver::Shape::Polygon(corners) => corners.iter().map(spot).collect(),
    }
}
