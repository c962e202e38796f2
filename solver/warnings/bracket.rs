//! Which sizes of a bracket are doubtful?
//!
//! Only sums of the described sizes; whether a train fits is for `solver/bracket.rs`. Distances are
//! square roots, in doubles: a warning needs a difference of more than [`SURE`].

use super::Warning;
use crate::{
    Bracket, Degrees, End, Gear, Lathe, Length, Offset, Pivot, Place, Ratio, Shape, Slot, Spot,
};

/// In mm: far above the error of doubles on lengths up to ten metres, far below the marks of a rule.
const SURE: f64 = 1e-6;

/// Every doubtful size.
pub(super) fn warnings(lathe: &Lathe, bracket: &Bracket) -> Vec<Warning> {
    let one_plane = bracket.planes == 1 && lathe.pairs_at_once() > 0;
    let no_opening = bracket.opening.1 == Offset::ZERO;
    hubs(lathe, bracket)
        .into_iter()
        .chain(too_near(bracket))
        .chain(overlapping(bracket))
        .chain(short_of_places(lathe, bracket))
        .chain(unbridged(lathe, bracket))
        .chain(one_plane.then_some(Warning::OnePlane))
        .chain(no_opening.then_some(Warning::NoOpening))
        .chain(in_the_way(bracket))
        .chain(crossing(bracket))
        .collect()
}

fn hubs(lathe: &Lathe, bracket: &Bracket) -> Option<Warning> {
    let hubs = &bracket.hub_radii;
    let all = [(Place::First, hubs.first), (Place::Stud, hubs.stud), (Place::Last, hubs.last)];
    let zero = all.into_iter().filter(|(place, radius)| {
        *radius == Offset::ZERO && (*place != Place::Stud || lathe.parts().studs > 0)
    });
    let zero: Vec<Place> = zero.map(|(place, _)| place).collect();
    (!zero.is_empty() && bracket.planes > 1).then_some(Warning::Hubs(zero))
}

/// The greatest distance of a stud in a slot from the pivot.
fn furthest(slot: &Slot) -> f64 {
    match slot {
        Slot::Straight { from, to, offset, .. } => {
            from.to_f64().abs().max(to.to_f64().abs()).hypot(offset.to_f64())
        }
        Slot::Arc { along, across, radius, .. } => {
            along.to_f64().hypot(across.to_f64()) + mm(radius)
        }
    }
}

fn mm(length: &Length) -> f64 {
    length.mm().to_f64()
}

/// Slots with no part as far from the driving shaft as a stud must be.
fn too_near(bracket: &Bracket) -> impl Iterator<Item = Warning> {
    let first = place(&bracket.first.spot());
    let pivot = match &bracket.pivot {
        Pivot::Last => (0.0, 0.0),
        Pivot::First => first,
        Pivot::At(spot) => place(spot),
    };
    let apart = (pivot.0 - first.0).hypot(pivot.1 - first.1);
    let least = bracket.least_stud;
    let near = move |slot: &Slot| apart + furthest(slot) + SURE < least.to_f64();
    let near = bracket.slots.iter().enumerate().filter(move |(_, slot)| near(slot));
    near.map(move |(slot, _)| Warning::SlotTooNear { slot, least })
}

/// Pairs of slots that share places on one line or one arc.
fn overlapping(bracket: &Bracket) -> impl Iterator<Item = Warning> {
    let slots = bracket.slots.iter().enumerate();
    slots.clone().flat_map(move |(i, one)| {
        let later = slots.clone().skip(i + 1).filter(|(_, other)| overlap(one, other));
        later.map(move |(j, _)| Warning::SlotsOverlap { slots: [i, j] })
    })
}

/// Whether two slots share places; ends that only touch make one longer slot.
fn overlap(one: &Slot, other: &Slot) -> bool {
    match (line(one), line(other)) {
        (Some(one), Some(other)) => one.0 == other.0 && shared(one.1, other.1),
        (None, None) => match (arc(one), arc(other)) {
            (Some(one), Some(other)) => {
                let [low, high] = other.1;
                let turns = [-360.0, 0.0, 360.0];
                one.0 == other.0 && turns.iter().any(|by| shared(one.1, [low + by, high + by]))
            }
            _ => false,
        },
        _ => false,
    }
}

/// The line of a straight slot, and its ends on it.
fn line(slot: &Slot) -> Option<((Degrees, Offset), [f64; 2])> {
    match slot {
        Slot::Straight { from, to, angle, offset } => {
            Some(((*angle, *offset), [from.to_f64(), to.to_f64()]))
        }
        Slot::Arc { .. } => None,
    }
}

/// The circle of an arc slot, and its ends on it in degrees.
fn arc(slot: &Slot) -> Option<((Offset, Offset, Length), [f64; 2])> {
    match slot {
        Slot::Arc { along, across, radius, from, to } => {
            Some(((*along, *across, *radius), turned([from.to_f64(), to.to_f64()])))
        }
        Slot::Straight { .. } => None,
    }
}

/// An arc from a direction within one turn, clockwise to its end.
fn turned([from, to]: [f64; 2]) -> [f64; 2] {
    let start = from.rem_euclid(360.0);
    [start, start + to - from]
}

/// Whether two stretches share more than an end; their ends in any order.
fn shared(one: [f64; 2], other: [f64; 2]) -> bool {
    let low = |ends: [f64; 2]| ends[0].min(ends[1]);
    let high = |ends: [f64; 2]| ends[0].max(ends[1]);
    low(one).max(low(other)) + SURE < high(one).min(high(other))
}

fn short_of_places(lathe: &Lathe, bracket: &Bracket) -> Option<Warning> {
    let (studs, holes) = (lathe.parts().studs, bracket.slots.len());
    let short = holes < usize::from(studs) && bracket.slots.iter().all(Slot::is_hole);
    short.then_some(Warning::Holes { studs, holes })
}

/// A distance of the shafts that even the largest gears can't bridge.
fn unbridged(lathe: &Lathe, bracket: &Bracket) -> Option<Warning> {
    let parts = lathe.parts();
    let first = end_gears(lathe, &parts.ends.first, Place::First);
    let last = lathe.last_ends().flat_map(|end| end_gears(lathe, end, Place::Last)).collect();
    let mut studs: Vec<Ratio> =
        owned(lathe).filter(|g| g.places.stud).filter_map(diameter).collect();
    studs.sort_unstable_by(|a, b| b.cmp(a));
    let studs = studs.into_iter().take(parts.studs.into());
    let ends = [first, last].into_iter().filter_map(|gears: Vec<Ratio>| gears.into_iter().max());
    let half = |of: Ratio| of.over(&Ratio::table(2, 1)).ok();
    let mut bridged = Offset::ZERO;
    for length in ends.map(half).chain(studs.map(Some)) {
        let sum = bridged.size().map_or(length, |sum| sum.plus(&length?).ok())?;
        bridged = Length::from_mm(sum).into();
    }
    let (right, up) = place(&bracket.first.spot());
    let apart = right.hypot(up);
    let meshes = f64::from(parts.studs) + 1.0;
    let reach = bridged.to_f64() + meshes * bracket.opening.1.to_f64();
    (reach + SURE < apart).then_some(Warning::Unbridged { apart, bridged })
}

/// Every owned gear, as often as it is owned.
fn owned(lathe: &Lathe) -> impl Iterator<Item = &Gear> {
    let gears = &lathe.parts().gears;
    let loose = gears.loose().iter().map(|(gear, count)| (gear, usize::from(*count)));
    let joined = gears.joined().iter();
    let joined = joined.flat_map(|j| j.gears.iter().map(move |gear| (gear, usize::from(j.count))));
    loose.chain(joined).flat_map(|(gear, count)| std::iter::repeat_n(gear, count))
}

/// Pitch diameters of the gears for an end shaft, in mm.
fn end_gears(lathe: &Lathe, end: &End, place: Place) -> Vec<Ratio> {
    let gears = &lathe.parts().gears;
    match end {
        End::Own(teeth) => diameter(&gears.usual(*teeth)).into_iter().collect(),
        end => {
            let goes = gears.all().filter(|gear| gear.places.allow(place) && end.takes(gear.teeth));
            goes.filter_map(diameter).collect()
        }
    }
}

/// m z, in mm.
fn diameter(gear: &Gear) -> Option<Ratio> {
    gear.module().times(&Ratio::whole(gear.teeth.get().into()).ok()?).ok()
}

fn place(spot: &Spot) -> (f64, f64) {
    (spot.right.to_f64(), spot.up.to_f64())
}

/// End shafts outside the cover, or in a part that gears must clear.
fn in_the_way(bracket: &Bracket) -> Vec<Warning> {
    let shafts = [(Place::First, place(&bracket.first.spot())), (Place::Last, (0.0, 0.0))];
    let outside = |at| bracket.cover.as_ref().is_some_and(|cover| !is_inside(at, cover));
    let covers = shafts.into_iter().filter(|(_, at)| outside(*at));
    let covers = covers.map(|(shaft, _)| Warning::OutsideCover(shaft));
    let parts = bracket.keep_out.iter().filter(|part| part.planes.is_empty());
    let parts = parts.flat_map(|part| {
        let inside = |at: (f64, f64)| match &part.shape {
            Shape::Circle { at: middle, radius } => {
                let (right, up) = place(middle);
                (right - at.0).hypot(up - at.1) + SURE < mm(radius)
            }
            Shape::Polygon(corners) => is_inside(at, corners),
        };
        let within = shafts.into_iter().filter(move |(_, at)| inside(*at));
        within.map(|(shaft, _)| Warning::InsidePart { shaft, part: part.name.clone() })
    });
    covers.chain(parts).collect()
}

/// The edges of an outline, in order.
fn edges(corners: &[Spot]) -> Vec<[(f64, f64); 2]> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| [place(a), place(b)]).collect()
}

/// Even-odd rule: a ray to the right crosses the outline an odd number of times.
fn is_inside((right, up): (f64, f64), corners: &[Spot]) -> bool {
    let crossed = edges(corners).into_iter().filter(|[a, b]| {
        (a.1 > up) != (b.1 > up) && right < a.0 + (up - a.1) / (b.1 - a.1) * (b.0 - a.0)
    });
    crossed.count() % 2 == 1
}

/// Outlines that cross themselves: corners in wrong order.
fn crossing(bracket: &Bracket) -> impl Iterator<Item = Warning> {
    let cover = bracket.cover.iter().filter(|cover| crosses_itself(cover));
    let parts = bracket.keep_out.iter().filter(|part| match &part.shape {
        Shape::Polygon(corners) => crosses_itself(corners),
        Shape::Circle { .. } => false,
    });
    let parts = parts.map(|part| Warning::PartCrossed { part: part.name.clone() });
    cover.map(|_| Warning::CoverCrossed).chain(parts)
}

fn crosses_itself(corners: &[Spot]) -> bool {
    let edges = edges(corners);
    edges.iter().any(|one| edges.iter().any(|other| cross(one, other)))
}

/// Whether two edges cross between their ends.
fn cross(one: &[(f64, f64); 2], other: &[(f64, f64); 2]) -> bool {
    let side = |edge: &[(f64, f64); 2], at: (f64, f64)| {
        let [a, b] = edge;
        (b.0 - a.0) * (at.1 - a.1) - (b.1 - a.1) * (at.0 - a.0)
    };
    let apart = |edge, of: &[(f64, f64); 2]| side(edge, of[0]) * side(edge, of[1]) < 0.0;
    apart(one, other) && apart(other, one)
}
