//! What a train asks for and the lathe has not, in words: the only place where they are made.

use crate::words::figures::plural;
use crate::words::reasons::{Objection, capital};
use crate::words::shaft::{in_words, last_shaft};
use crate::words::shop as words;
use solver::judge;
use solver::{End, Gear, Lack, Lathe, OnShaft, Place, Teeth};

/// A gear, with its tooth size where another one may be meant.
fn named(gear: &Gear, sized: bool) -> String {
    let size = gear.size.filter(|_| sized);
    size.map_or_else(|| gear.teeth.to_string(), |size| format!("{} ({size})", gear.teeth))
}

/// A lack as a full sentence.
pub(crate) fn sentence(lathe: &Lathe, lack: &Lack) -> Objection {
    let (kind, text) = match lack {
        Lack::Gear { gear, needed, owned, other_sizes } => {
            let gear = named(gear, *other_sizes);
            ("owned", format!("The train takes {needed} x {gear}, you own {owned}."))
        }
        Lack::Joint { gears: [a, b], needed, owned } => (
            "joined pair",
            format!(
                "The joined pair {a}/{b} is one piece: the train takes it on {needed} shafts, you \
                 own {owned}."
            ),
        ),
        Lack::End { first, teeth, takes } => {
            ("end gear", not_taken(end_shaft(lathe, *first), *teeth, takes))
        }
        Lack::Place { teeth, place } => {
            ("place", format!("The {teeth} does not go on {}.", shaft(lathe, *place)))
        }
        Lack::Unlike { driver, driven } => {
            let angles = driver.angle != driven.angle;
            let [a, b] = [driver, driven].map(|gear| sized(gear, angles));
            ("tooth size", format!("{a} and {b} don't mesh: their teeth differ."))
        }
        Lack::Apart { teeth, partner, beside } => (
            "joined pair",
            format!("The {teeth} is joined to the {partner}: the {beside} can't be keyed to it."),
        ),
        Lack::Turned { driven, driver } => (
            "joined pair",
            format!(
                "The joined pair {driver}/{driven} does not go on the other way round: the \
                 {driver} is the driven gear."
            ),
        ),
        Lack::Sleeves { needed, owned } => {
            let pairs = plural(*needed, "keyed pair");
            let text =
                format!("The train takes {pairs} of loose gears, there are sleeves for {owned}.");
            ("sleeves", text)
        }
        Lack::Studs { needed, owned } => {
            let studs = plural(*needed, "stud");
            ("studs", format!("The train takes {studs}, the lathe has {owned}."))
        }
        _ => ("other", "Something is not there.".to_string()),
    };
    Objection::new(kind, None, text)
}

fn end_shaft(lathe: &Lathe, first: bool) -> &'static str {
    let shaft = if first { OnShaft::First } else { OnShaft::Last };
    in_words(shaft, last_shaft(lathe))
}

/// An end shaft and the gear that it does not take.
fn not_taken(end: &str, teeth: Teeth, takes: &End) -> String {
    let takes = match takes {
        End::Own(own) => format!("its own {own}"),
        End::Owned(list) => list.iter().map(Teeth::to_string).collect::<Vec<_>>().join(", "),
        _ => "any".to_string(),
    };
    format!("{} does not take the {teeth}: it takes {takes}.", capital(end))
}

/// A gear with its tooth size, and with its pressure angle where that tells it apart.
fn sized(gear: &Gear, angle: bool) -> String {
    let size = gear.size.map(|size| size.to_string());
    let angle = angle.then(|| format!("{}°", words::degrees(gear)));
    let about: Vec<String> = size.into_iter().chain(angle).collect();
    if about.is_empty() {
        return gear.teeth.to_string();
    }
    format!("{} ({})", gear.teeth, about.join(", "))
}

fn shaft(lathe: &Lathe, place: Place) -> &'static str {
    match place {
        Place::First => "the driving shaft",
        Place::Stud => "a stud",
        Place::Last => last_shaft(lathe),
    }
}

/// A lack in few words, for the row of a chart.
pub(crate) fn in_short(lathe: &Lathe, lack: &Lack) -> String {
    match lack {
        Lack::Gear { gear, owned: 0, other_sizes, .. } => {
            format!("no {} owned", named(gear, *other_sizes))
        }
        Lack::Gear { gear, owned, other_sizes, .. } => {
            format!("only {owned} of {} owned", named(gear, *other_sizes))
        }
        Lack::End { first, teeth, takes } => {
            format!("{} takes {}, not the {teeth}", end_shaft(lathe, *first), words::end(takes))
        }
        Lack::Studs { needed, owned } => format!("{} of {owned}", plural(*needed, "stud")),
        lack => {
            let text = sentence(lathe, lack).text;
            text.trim_end_matches('.').to_string()
        }
    }
}

/// What speaks against a train beside the room for it.
pub(crate) fn objection(lathe: &Lathe, objection: &judge::Objection) -> Option<Objection> {
    match objection {
        judge::Objection::Lack(lack) => Some(sentence(lathe, lack)),
        judge::Objection::Hand { asked } => {
            let text = format!(
                "It cuts a {} hand thread here, not a {asked} one: it takes one idler more or less.",
                asked.other()
            );
            Some(Objection::new("hand", None, text))
        }
        _ => None,
    }
}
