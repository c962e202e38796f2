//! What in a bracket can hardly be meant, and how to measure one that is not described.
//!
//! Whether a train stands is the solver's business; here are only rough sums of what was written,
//! in doubles and on the safe side: a doubt is raised where there is no doubt about it.

use super::bracket::is_hole;
use super::words;
use crate::command::doubt;
use crate::command::reasons::Speaker;
use solver::judge::Set;
use solver::{
    Bracket, End, FirstShaft, Gear, Lathe, Length, Offset, Pivot, Place, Shape, Slot, Spot,
};

/// How to measure a bracket that is not described.
pub(super) fn unknown(lathe: &Lathe) -> Option<String> {
    lathe.parts().bracket.is_none().then(|| {
        "the bracket, so that nobody knows whether a train reaches: with calipers, the outsides of \
         the two end shafts less half of each diameter is \"first_shaft\"; with a rule, from the \
         axis that the bracket swings on to the nearest and the furthest place of a stud's axis is \
         a slot's \"from\" and \"to\": \"bracket\": {\"first_shaft\": \"80 mm\", \"slots\": \
         [{\"from\": \"34 mm\", \"to\": \"70 mm\"}]}"
            .to_string()
    })
}

/// What can hardly be meant.
pub(super) fn warnings(lathe: &Lathe, bracket: &Bracket) -> Vec<String> {
    let mut lines = Vec::new();
    lines.extend(hubs(lathe, bracket));
    lines.extend(too_near(bracket));
    lines.extend(short_of_places(lathe, bracket));
    lines.extend(unbridged(lathe, bracket));
    lines.extend(one_plane(lathe, bracket));
    lines.extend(no_backlash(bracket));
    lines.extend(in_the_way(bracket));
    lines.extend(crossing(bracket));
    lines
}

/// A train that is said to be on the machine and does not fit.
pub(super) fn fitted(lathe: &Lathe, set: &Set) -> Option<String> {
    if let Some(doubt) = doubt::in_full(lathe, &set.fit) {
        return Some(format!("the fitted train {}: {doubt}", set.given.train));
    }
    let speaker = Speaker::new(lathe, &set.given.train);
    let reasons: Vec<String> =
        set.fit.reasons().iter().map(|reason| speaker.objection(reason).text).collect();
    (!reasons.is_empty()).then(|| {
        format!(
            "the fitted train can't stand on the bracket as it is described: one of the two is not \
             what is on the machine. {}",
            reasons.join(" ")
        )
    })
}

fn hubs(lathe: &Lathe, bracket: &Bracket) -> Option<String> {
    let hubs = &bracket.hub_radii;
    let all = [("first shaft", hubs.first), ("studs", hubs.stud), ("last shaft", hubs.last)];
    let zero = all.into_iter().filter(|(whose, radius)| {
        *radius == Offset::ZERO && (*whose != "studs" || lathe.parts().studs > 0)
    });
    let zero: Vec<&str> = zero.map(|(whose, _)| whose).collect();
    (!zero.is_empty() && bracket.planes > 1).then(|| {
        format!(
            "hub radii of 0 mm ({}): gears would be let run into them; with calipers, half the \
             diameter of the hub, washer or nut, whichever is largest",
            zero.join(", ")
        )
    })
}

/// The furthest that a stud in a slot can be from the pivot.
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

/// Slots no part of which is as far from the first shaft as a stud must be.
fn too_near(bracket: &Bracket) -> Vec<String> {
    let first = first_spot(bracket);
    let pivot = match &bracket.pivot {
        Pivot::Last => (0.0, 0.0),
        Pivot::First => first,
        Pivot::At(spot) => place(spot),
    };
    let apart = (pivot.0 - first.0).hypot(pivot.1 - first.1);
    let least = bracket.least_stud.to_f64();
    let near = bracket.slots.iter().enumerate().filter(|(_, s)| apart + furthest(s) < least);
    near.map(|(i, _)| {
        format!(
            "slot {}: no stud in it comes as far from the first shaft as the {} of \
             `least_stud_distance`",
            i + 1,
            words::size(&bracket.least_stud)
        )
    })
    .collect()
}

fn short_of_places(lathe: &Lathe, bracket: &Bracket) -> Option<String> {
    let studs = usize::from(lathe.parts().studs);
    let holes = bracket.slots.len();
    (holes < studs && bracket.slots.iter().all(is_hole)).then(|| {
        let holes = if holes == 1 { "one stud hole".into() } else { format!("{holes} stud holes") };
        format!("{studs} studs, but {holes} and no slot: a hole takes one")
    })
}

/// A distance of the shafts that even the largest gears don't fill.
fn unbridged(lathe: &Lathe, bracket: &Bracket) -> Option<String> {
    let parts = lathe.parts();
    let largest = |radii: Vec<f64>| radii.into_iter().fold(0.0, f64::max);
    let lasts = parts.gearbox.needs_last.iter().map(|(_, end)| end);
    let last = std::iter::once(&parts.ends.last).chain(lasts);
    let first = largest(end_radii(lathe, &parts.ends.first, Place::First));
    let last = largest(last.flat_map(|end| end_radii(lathe, end, Place::Last)).collect());
    let mut studs: Vec<f64> = instances(lathe).filter(|g| g.places.stud).map(radius).collect();
    studs.sort_by(|a, b| b.total_cmp(a));
    let across: f64 = studs.iter().take(parts.studs.into()).map(|radius| 2.0 * radius).sum();
    let meshes = f64::from(parts.studs) + 1.0;
    let reach = first + across + last;
    let (right, up) = first_spot(bracket);
    let apart = right.hypot(up);
    (reach + meshes * bracket.opening.1.to_f64() < apart).then(|| {
        format!(
            "the first shaft is {apart:.1} mm from the last: the largest gears in line bridge \
             {reach:.1} mm"
        )
    })
}

/// Every gear that is owned, as often as it is.
fn instances(lathe: &Lathe) -> impl Iterator<Item = &Gear> {
    let gears = &lathe.parts().gears;
    let loose = gears.loose().iter().map(|(gear, count)| (gear, usize::from(*count)));
    let joined = gears.joined().iter();
    let joined = joined.flat_map(|j| j.gears.iter().map(move |gear| (gear, usize::from(j.count))));
    loose.chain(joined).flat_map(|(gear, count)| std::iter::repeat_n(gear, count))
}

/// Pitch radii of the gears that an end shaft takes.
fn end_radii(lathe: &Lathe, end: &End, place: Place) -> Vec<f64> {
    let gears = &lathe.parts().gears;
    let goes = |gear: &&Gear| gear.places.allow(place);
    match end {
        End::Own(teeth) => vec![radius(&gears.usual(*teeth))],
        End::Owned(list) => {
            gears.all().filter(goes).filter(|g| list.contains(&g.teeth)).map(radius).collect()
        }
        _ => gears.all().filter(goes).map(radius).collect(),
    }
}

/// m z / 2.
fn radius(gear: &Gear) -> f64 {
    mm(&Length::from_mm(gear.module())) * f64::from(gear.teeth.get()) / 2.0
}

fn one_plane(lathe: &Lathe, bracket: &Bracket) -> Option<String> {
    (bracket.planes == 1 && lathe.pairs_at_once() > 0).then(|| {
        "one plane: no two gears can share a stud, only trains of idlers can stand".to_string()
    })
}

fn no_backlash(bracket: &Bracket) -> Option<String> {
    (bracket.opening.1 == Offset::ZERO).then(|| {
        "opening of 0 mm: where nothing can be moved two gears then mesh without backlash or not \
         at all; 0.1 to 0.2 mm is usual"
            .to_string()
    })
}

fn place(spot: &Spot) -> (f64, f64) {
    (spot.right.to_f64(), spot.up.to_f64())
}

fn first_spot(bracket: &Bracket) -> (f64, f64) {
    match &bracket.first {
        FirstShaft::Away(away) => (0.0, mm(away)),
        FirstShaft::At(spot) => place(spot),
    }
}

/// End shafts that stand outside the cover, or in a part that no gear may touch.
fn in_the_way(bracket: &Bracket) -> Vec<String> {
    let shafts = [("first", first_spot(bracket)), ("last", (0.0, 0.0))];
    let outside = |at| bracket.cover.as_ref().is_some_and(|cover| !is_inside(at, cover));
    let covers =
        |(whose, at)| outside(at).then(|| format!("the {whose} shaft is outside the cover"));
    let parts = bracket.keep_out.iter().filter(|part| part.planes.is_empty());
    let parts = parts.flat_map(|part| {
        let inside = |at: (f64, f64)| match &part.shape {
            Shape::Circle { at: middle, radius } => {
                let (right, up) = place(middle);
                (right - at.0).hypot(up - at.1) < mm(radius)
            }
            Shape::Polygon(corners) => is_inside(at, corners),
        };
        let within = shafts.into_iter().filter(move |(_, at)| inside(*at));
        within.map(|(whose, _)| format!("the {whose} shaft is inside the {}", part.name))
    });
    shafts.into_iter().filter_map(covers).chain(parts).collect()
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

/// Outlines that cross themselves: corners in the wrong order.
fn crossing(bracket: &Bracket) -> Vec<String> {
    let parts = bracket.keep_out.iter().filter_map(|part| match &part.shape {
        Shape::Polygon(corners) => Some((part.name.as_str(), corners)),
        Shape::Circle { .. } => None,
    });
    let outlines = bracket.cover.iter().map(|cover| ("cover", cover)).chain(parts);
    outlines
        .filter(|(_, corners)| {
            let edges = edges(corners);
            edges.iter().any(|one| edges.iter().any(|other| cross(one, other)))
        })
        .map(|(what, _)| {
            format!("the outline of the {what} crosses itself: corners in order, going round")
        })
        .collect()
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
