//! What is known of a banjo, in the words of someone who stands before it with calipers.

use crate::words::shaft::driven_shaft;
use crate::words::shop::{Say, angle, size, sizes, spot};
use solver::{Bracket, FirstShaft, KeepOut, Lathe, Offset, Pivot, Shape, Slot};

/// Every part of the banjo with what is known of it.
pub(super) fn facts(lathe: &Lathe, say: &mut Say<'_>) {
    let Some(bracket) = &lathe.parts().bracket else {
        return say("banjo", "not described: whether a train reaches is not checked".into());
    };
    let driven = driven_shaft(lathe);
    say("shafts", shafts(&bracket.first, driven));
    say("banjo", arm(bracket, driven));
    for (i, place) in bracket.slots.iter().enumerate() {
        let what = if place.is_hole() { "stud hole" } else { "slot" };
        say(&format!("{what} {}", i + 1), slot(place));
    }
    say("least clearance", room(bracket));
    say("hubs", hubs(bracket, driven));
    say("planes", planes(bracket, driven));
    say("meshes", opening(bracket));
    if let Some(cover) = &bracket.cover {
        say("cover", format!("all gears stay inside an outline of {} corners", cover.len()));
    }
    for part in &bracket.keep_out {
        say("keep out", keep_out(part, driven));
    }
}

/// From where places are measured.
fn from_axis(driven: &str) -> String {
    format!("from the {driven}'s axis")
}

fn shafts(first: &FirstShaft, driven: &str) -> String {
    let to = match first {
        FirstShaft::Away(away) => size(&(*away).into()),
        FirstShaft::At(place) => spot(place),
    };
    format!("{} to the driving shaft's: {to}", from_axis(driven))
}

fn arm(bracket: &Bracket, driven: &str) -> String {
    let pivot = match &bracket.pivot {
        Pivot::Last => format!("the {driven}"),
        Pivot::First => "the driving shaft".into(),
        Pivot::At(place) => format!("a point, {} {}", from_axis(driven), spot(place)),
    };
    let swing = match &bracket.swing {
        None => "freely".into(),
        Some((from, to)) if from == to => format!("held at {} degrees", angle(from)),
        Some((from, to)) => format!("from {} to {} degrees", angle(from), angle(to)),
    };
    let zero = match &bracket.pivot {
        _ if bracket.swing.is_none() => String::new(),
        Pivot::Last | Pivot::At(_) => {
            ", clockwise seen from the cover end, 0 toward the driving shaft".into()
        }
        Pivot::First => format!(", clockwise seen from the cover end, 0 toward the {driven}"),
    };
    format!("swings on {pivot}; {swing}{zero}")
}

fn slot(slot: &Slot) -> String {
    match slot {
        Slot::Straight { from, to, angle: turned, offset } => {
            let places = if from == to { size(from) } else { sizes(from, to) };
            let turned = match turned.to_f64() {
                0.0 => String::new(),
                _ => format!(", at {} degrees to the arm", angle(turned)),
            };
            let (foot, beside) = beside(offset);
            format!("stud {places} from {foot}{turned}{beside}")
        }
        Slot::Arc { along, across, radius, from, to } => format!(
            "arc of radius {} about a point {} along the arm and {} across it, clockwise positive, from {} to {} \
             degrees",
            size(&(*radius).into()),
            size(along),
            size(across),
            angle(from),
            angle(to)
        ),
    }
}

/// What a place along a slot is measured from, and how far the slot runs beside the pivot.
fn beside(offset: &Offset) -> (&'static str, String) {
    if *offset == Offset::ZERO {
        return ("the pivot", String::new());
    }
    ("abreast of the pivot", format!(", {} beside it, clockwise positive", size(offset)))
}

fn room(bracket: &Bracket) -> String {
    let stud = match bracket.least_stud {
        Offset::ZERO => String::new(),
        least => format!("; a stud at least {} from the driving shaft", size(&least)),
    };
    format!("{} between what must not touch{stud}", size(&bracket.clearance))
}

fn hubs(bracket: &Bracket, driven: &str) -> String {
    let hubs = &bracket.hub_radii;
    let all = [("driving shaft", hubs.first), ("studs", hubs.stud), (driven, hubs.last)];
    let known = all.iter().filter(|(_, radius)| *radius != Offset::ZERO);
    let known: Vec<String> =
        known.map(|(whose, radius)| format!("{whose} {}", size(radius))).collect();
    if known.is_empty() { "not described".into() } else { format!("radius: {}", known.join(", ")) }
}

fn planes(bracket: &Bracket, driven: &str) -> String {
    let only = |whose: &str, planes: &[u8]| match planes {
        [] => String::new(),
        planes => format!("; the {whose}'s gear in {}", numbers(planes)),
    };
    format!(
        "{}, counted from the headstock{}{}",
        bracket.planes,
        only("driving shaft", &bracket.first_planes),
        only(driven, &bracket.last_planes)
    )
}

fn numbers(planes: &[u8]) -> String {
    planes.iter().map(u8::to_string).collect::<Vec<_>>().join(" or ")
}

fn opening(bracket: &Bracket) -> String {
    let (least, greatest) = &bracket.opening;
    let most = format!("up to {} where nothing can be moved", size(greatest));
    match *least {
        Offset::ZERO => format!("at the sum of the pitch radii; opened by {most}"),
        _ => format!("opened by {} for backlash, {most}", size(least)),
    }
}

fn keep_out(part: &KeepOut, driven: &str) -> String {
    let planes = match part.planes.as_slice() {
        [] => String::new(),
        planes => format!("; plane {}", numbers(planes)),
    };
    match &part.shape {
        Shape::Circle { at, radius } => format!(
            "{}: round, radius {}, {} {}{planes}",
            part.name,
            size(&(*radius).into()),
            from_axis(driven),
            spot(at)
        ),
        Shape::Polygon(corners) => {
            format!("{}: an outline of {} corners{planes}", part.name, corners.len())
        }
    }
}
