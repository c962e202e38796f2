//! Gears, leads and senses in shop words.

use crate::report::number::Number;
use crate::words::figures;
use solver::{Degrees, End, Gear, GearSet, Lead, Offset, Places, Ratio, Spot, Teeth, Turns, When};

/// What is said of one part.
pub(crate) type Say<'a> = dyn FnMut(&str, String) + 'a;

/// A lead both ways: `8 TPI (3.175 mm)` or `3 mm (~8.46667 TPI)`, the plainer figure first.
pub(crate) fn lead(lead: &Lead) -> String {
    let mm = format!("{} mm", figures::lead_mm(lead).marked());
    let tpi = format!("{} TPI", figures::tpi(lead).marked());
    let plain_tpi = lead.tpi().is_ok_and(|tpi| tpi.denom() <= 4 && tpi.numer() > 1);
    let plain_mm = lead.mm().denom() <= 4;
    if plain_tpi && !plain_mm { format!("{tpi} ({mm})") } else { format!("{mm} ({tpi})") }
}

/// A feed both ways: `0.508 mm (0.02 in)`.
pub(crate) fn feed(lead: &Lead) -> String {
    let (mm, inch) = (figures::lead_mm(lead).marked(), figures::lead_inch(lead).marked());
    format!("{mm} mm ({inch} in)")
}

/// A length both ways: `34 mm (~1.339 in)`.
pub(crate) fn size(offset: &Offset) -> String {
    match offset.size() {
        None => "0 mm".into(),
        Some(_) => {
            format!(
                "{} mm ({} in)",
                figure(offset, figures::measure),
                figure(offset, figures::inches)
            )
        }
    }
}

/// Two lengths both ways: `34 to 70 mm (~1.339 to ~2.756 in)`.
pub(crate) fn sizes(from: &Offset, to: &Offset) -> String {
    let both = |digits| format!("{} to {}", figure(from, digits), figure(to, digits));
    format!("{} mm ({} in)", both(figures::measure), both(figures::inches))
}

fn figure(offset: &Offset, digits: fn(&Ratio) -> Number) -> String {
    let size = offset.size().map_or_else(|| "0".into(), |mm| digits(&mm).marked());
    match size.strip_prefix('~') {
        _ if !offset.is_negative() => size,
        Some(rounded) => format!("~-{rounded}"),
        None => format!("-{size}"),
    }
}

/// An angle: `-22.5`.
pub(crate) fn angle(degrees: &Degrees) -> String {
    let text = degrees.to_string();
    let (sign, size) = text.strip_prefix('-').map_or(("", text.as_str()), |size| ("-", size));
    let size = size.parse().map_or_else(|_| size.to_owned(), |s| figures::measure(&s).marked());
    format!("{sign}{size}")
}

/// A place from the driven shaft's axis: `30 mm (~1.181 in) away from the operator, 75 mm (~2.953 in)
/// up`.
pub(crate) fn spot(spot: &Spot) -> String {
    let one = |offset: &Offset, positive, negative| {
        let way = if offset.is_negative() { negative } else { positive };
        let length = if offset.is_negative() { offset.flipped() } else { *offset };
        offset.size().map(|_| format!("{} {way}", size(&length)))
    };
    let right = one(&spot.right, "toward the operator", "away from the operator");
    let ways: Vec<String> = right.into_iter().chain(one(&spot.up, "up", "down")).collect();
    if ways.is_empty() { "0 mm".into() } else { ways.join(", ") }
}

/// Which way round.
pub(crate) const fn turns(turns: Turns) -> &'static str {
    match turns {
        Turns::Same => "the same way round",
        Turns::Opposite => "the other way round",
        Turns::Unknown => "which way round is not known",
    }
}

/// What an end shaft takes.
pub(crate) fn end(end: &End) -> String {
    match end {
        End::Own(teeth) => format!("the machine's own {teeth}"),
        End::Owned(list) => {
            let list: Vec<String> = list.iter().map(Teeth::to_string).collect();
            let only = if list.len() == 1 { "the" } else { "one of" };
            format!("{only} {}", list.join(" "))
        }
        _ => "any gear".into(),
    }
}

/// Levers in their positions: `Cone 8, Range A`.
pub(crate) fn when(levers: &When) -> String {
    levers.iter().map(|(lever, at)| format!("{lever} {at}")).collect::<Vec<_>>().join(", ")
}

/// `21 gears: 20 (2), 21, 25; 127+120 joined`.
pub(crate) fn gears(set: &GearSet) -> String {
    let plain = set.all().next();
    let odd = |gear: &Gear| plain.map_or(String::new(), |plain| differs(gear, plain));
    let loose = set.loose().iter().map(|(gear, count)| {
        let count = if *count > 1 { format!(" ({count})") } else { String::new() };
        format!("{}{count}{}", gear.teeth, odd(gear))
    });
    let loose = loose.collect::<Vec<_>>().join(", ");
    let joined = set.joined().iter().map(|joined| {
        let [driven, driver] = &joined.gears;
        let round = if joined.turn_round { "" } else { ", never turned round" };
        let count = if joined.count > 1 { format!(" ({})", joined.count) } else { String::new() };
        format!("; {}+{} joined{count}{round}{}", driven.teeth, driver.teeth, odd(driven))
    });
    format!("{} gears: {loose}{}", set.total(), joined.collect::<Vec<_>>().concat())
}

/// In what a gear differs from the first of its box, or where it goes only.
fn differs(gear: &Gear, plain: &Gear) -> String {
    let size = gear.size.filter(|_| gear.size != plain.size).map(|size| size.to_string());
    let angle = (gear.angle != plain.angle).then(|| format!("{} degrees", degrees(gear)));
    let places = (gear.places != Places::ALL).then(|| places(gear.places));
    let parts: Vec<String> = size.into_iter().chain(angle).chain(places).collect();
    if parts.is_empty() { String::new() } else { format!(" [{}]", parts.join(", ")) }
}

/// Pressure angle as a decimal.
pub(crate) fn degrees(gear: &Gear) -> String {
    figures::measure(&gear.angle.degrees()).marked()
}

/// Where a gear goes.
pub(crate) fn places(places: Places) -> String {
    let named =
        [(places.first, "driving shaft"), (places.stud, "stud"), (places.last, "driven shaft")];
    let named: Vec<&str> =
        named.into_iter().filter_map(|(goes, name)| goes.then_some(name)).collect();
    format!("{} only", named.join(" and "))
}

/// Tooth size and pressure angle of most gears.
pub(crate) fn tooth(set: &GearSet) -> String {
    match set.all().next() {
        Some(gear) => match gear.size {
            Some(size) => format!("{size}, {} degrees", degrees(gear)),
            None => "pitch not stated (module 1 is assumed where room is checked)".into(),
        },
        None => String::new(),
    }
}
