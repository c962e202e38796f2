//! Where can a mesh reach a slot? The points of a slot at one distance from a point.

use super::geometry::{Curve, Geometry};
use super::point::{
    Distance, Margin, OnCircle, OnLine, Point, circle_circle, circle_line, inside, on_line,
};
use std::f64::consts::TAU;
use std::ops::ControlFlow;

/// A stud's place in a slot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) slot: usize,
    /// Which of the two points.
    pub(super) root: usize,
    /// Along the slot, in steps, or the direction from the arc's centre, in radians.
    pub(super) along: f64,
    /// The margin of the mesh to the slot, and the slot's nearest distance.
    pub(super) meets: Margin,
    pub(super) nearest: f64,
    /// How far inside the slot's ends (in steps), and which end is nearer (true: the upper).
    pub(super) ends: Margin,
    pub(super) upper: bool,
    /// Distance of the mesh toward the base.
    pub(super) distance: f64,
}

impl Geometry {
    /// The points of a slot at a distance from a point. Points certainly beyond its ends only if
    /// `relaxed`, and then also the nearest place where the mesh does not reach.
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

    /// The same; `beside`: the place of `from` along this slot, if it is in it. Two studs in one
    /// straight slot are exactly one mesh width apart along it.
    pub(super) fn meet_from(
        &self,
        slot: usize,
        curve: &Curve,
        (from, beside): (&Point, Option<(f64, f64)>),
        radius: Distance,
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let blank = Place {
            slot,
            root: 0,
            along: 0.0,
            meets: Margin::FREE,
            nearest: 0.0,
            ends: Margin::FREE,
            upper: false,
            distance: radius.0,
        };
        match curve {
            Curve::Line { dir, offset, .. } => {
                let met = beside.map_or_else(
                    || circle_line(from, radius, *dir, *offset),
                    |along| OnLine::beside(along, radius),
                );
                line_meets(curve, (*dir, *offset), &met, &blank, relaxed, give)
            }
            Curve::Hole { at, from_pivot, along } => {
                let apart = if *from == Point::ORIGIN { *from_pivot } else { from.distance(at) };
                self.hole_meets((*at, *along), apart, radius, &blank, relaxed, give)
            }
            Curve::Arc { centre, radius: arc, .. } => {
                arc_meets(curve, (centre, *arc), (from, radius), &blank, relaxed, give)
            }
        }
    }

    fn hole_meets(
        &self,
        (at, along): (Point, f64),
        (apart, err): Distance,
        (distance, distance_err): Distance,
        blank: &Place,
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        // The mesh may be opened from the least to the greatest opening.
        let spare = self.opening.1 - self.opening.0;
        let meets = Margin::new(apart - distance, err + distance_err)
            .least(Margin::new(distance + spare - apart, err + distance_err));
        if meets.fails() && !relaxed {
            return ControlFlow::Continue(());
        }
        give(at, Place { along, meets, nearest: apart, ..*blank })
    }
}

fn line_meets(
    curve: &Curve,
    (dir, offset): ((f64, f64), f64),
    met: &OnLine,
    blank: &Place,
    relaxed: bool,
    give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
) -> ControlFlow<()> {
    if met.meets.fails() && !relaxed {
        return ControlFlow::Continue(());
    }
    let nearest = blank.distance - met.meets.value.min(0.0);
    for (root, along) in met.along.into_iter().enumerate() {
        let (ends, upper) = curve.ends(along);
        if ends.fails() && !relaxed {
            continue;
        }
        let place =
            Place { root, along: along.0, meets: met.meets, nearest, ends, upper, ..*blank };
        give(on_line(along, dir, offset), place)?;
    }
    ControlFlow::Continue(())
}

fn arc_meets(
    curve: &Curve,
    (centre, radius): (&Point, f64),
    (from, distance): (&Point, Distance),
    blank: &Place,
    relaxed: bool,
    give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
) -> ControlFlow<()> {
    let OnCircle { reaches, crosses, points: [right, left] } =
        circle_circle(centre, radius, from, distance, None);
    let meets = reaches.least(crosses);
    if meets.fails() && !relaxed {
        return ControlFlow::Continue(());
    }
    let nearest = distance.0 - meets.value.min(0.0);
    for (root, point) in [left, right].into_iter().enumerate() {
        let along = (point.y - centre.y).atan2(point.x - centre.x);
        // An arc is at most pi/2 times its chord, and at most one turn.
        let err = (1.6 * point.err / radius).min(TAU);
        let (ends, upper) = curve.ends((along, err));
        if ends.fails() && !relaxed {
            continue;
        }
        let at =
            if relaxed && meets.fails() { nearest_on_arc(centre, radius, from) } else { point };
        give(at, Place { root, along, meets, nearest, ends, upper, ..*blank })?;
    }
    ControlFlow::Continue(())
}

impl Curve {
    /// How far a place is inside the ends (in steps), and which end is nearer: the upper?
    pub(super) fn ends(&self, (along, err): Distance) -> (Margin, bool) {
        match self {
            Self::Line { from, to, .. } => {
                let (under, over) = (along - from, to - along);
                (Margin::new(under.min(over), err), over < under)
            }
            Self::Arc { radius, from, to, .. } => {
                let (margin, upper) = inside(along, (*from, *to));
                (Margin::new(margin * radius, (err + 8.0 * f64::EPSILON) * radius), upper)
            }
            Self::Hole { .. } => (Margin::FREE, false),
        }
    }
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
