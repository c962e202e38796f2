//! Where two parts of a picture come near each other: gears, hubs, keep-outs, the cover.

use super::figure::Figure;
use super::machine::{outline, spot};
use super::shapes::{lens, nearest, plus, times, toward};
use crate::report::drawing::Point;
use solver::Bracket;
use solver::bracket::{self, Gap};

/// Where two parts meet, and what they share.
pub(super) struct Meeting {
    pub(super) middle: Point,
    pub(super) shared: Option<Vec<Point>>,
}

/// The circle of a gear or a hub.
fn circle(part: bracket::Part, figure: &Figure) -> Option<(Point, f64)> {
    match part {
        bracket::Part::Gear { shaft, plane, .. } | bracket::Part::Idle { shaft, plane, .. } => {
            let axle = figure.axles.get(shaft)?;
            let wheel = axle.wheels.iter().find(|wheel| wheel.plane == plane)?;
            Some((axle.at?, wheel.tip()))
        }
        bracket::Part::Hub { shaft } => {
            let axle = figure.axles.get(shaft)?;
            Some((axle.at?, axle.hub))
        }
        _ => None,
    }
}

/// The point of a part that is nearest to a gear's axis.
fn near(part: bracket::Part, to: Point, figure: &Figure, bracket: &Bracket) -> Option<Point> {
    match part {
        bracket::Part::KeepOut(i) => nearest(&outline(&bracket.keep_out.get(i)?.shape), to),
        bracket::Part::Cover => {
            let corners: Vec<Point> = bracket.cover.as_ref()?.iter().map(spot).collect();
            nearest(&corners, to)
        }
        part => {
            let (centre, radius) = circle(part, figure)?;
            Some(toward(centre, to, radius))
        }
    }
}

/// Where a gear comes too near to another part.
pub(super) fn clash(
    gear: bracket::Part,
    other: bracket::Part,
    figure: &Figure,
    bracket: &Bracket,
) -> Option<Meeting> {
    let (centre, radius) = circle(gear, figure)?;
    let point = near(other, centre, figure, bracket)?;
    let middle = times(plus(point, toward(centre, point, radius)), 0.5);
    let shared = circle(other, figure).and_then(|other| lens((centre, radius), other));
    Some(Meeting { middle, shared })
}

/// The two ends of a gap.
pub(super) fn gap(gap: &Gap, figure: &Figure, bracket: &Bracket) -> Option<[Point; 2]> {
    let (centre, radius) = circle(gap.gear, figure)?;
    let point = near(gap.other, centre, figure, bracket)?;
    Some([toward(centre, point, radius), point])
}
