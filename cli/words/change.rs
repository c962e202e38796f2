//! Which gears come off and which go on, from one set-up to another, which the library works out: in the
//! person's words, shaft by shaft.

use crate::words::shaft::in_words;
use solver::{GearAt, GearChange, OnShaft, Teeth};

/// `the 20 from the driving shaft; the 80 and 20 from stud 1`.
pub(crate) fn taken_off(gears: &[GearAt], last: &'static str) -> String {
    listed(gears, "from", last)
}

/// `the 45 on the driving shaft; the 75 and 63 on stud 1`.
pub(crate) fn put_on(gears: &[GearAt], last: &'static str) -> String {
    listed(gears, "on", last)
}

/// `off 20, 80; on 40; shift 60`: all of it on one line; nothing where nothing moves.
pub(crate) fn in_few_words(change: &GearChange) -> Option<String> {
    let of = |word: &str, gears: &[GearAt]| {
        (!gears.is_empty()).then(|| format!("{word} {}", in_short(gears)))
    };
    let (shifted, turned) = change.shifted_and_turned();
    let parts = [
        of("off", &change.off),
        of("on", &change.on),
        of("shift", &shifted),
        of("turn round", &turned),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}

/// `20, 80, 20`: without their shafts, for a line.
pub(crate) fn in_short(gears: &[GearAt]) -> String {
    pieces(gears).join(", ")
}

/// Each gear, and each joined pair once: `80`, `127/120`.
fn pieces(gears: &[GearAt]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (i, gear) in gears.iter().enumerate() {
        let before = i.checked_sub(1).map(|before| &gears[before]);
        match gear.partner {
            // Its partner has named both.
            Some(partner)
                if before.is_some_and(|b| b.shaft == gear.shaft && b.teeth == partner) => {}
            Some(partner) => {
                names.push(format!("{}/{}", gear.teeth.max(partner), gear.teeth.min(partner)));
            }
            None => names.push(gear.teeth.to_string()),
        }
    }
    names
}

/// The gears of each shaft, shaft by shaft.
fn listed(gears: &[GearAt], preposition: &str, last: &'static str) -> String {
    let of_shaft = |gears: &[GearAt]| {
        let joined = gears.first().is_some_and(|gear| gear.partner.is_some());
        let what = if joined { "joined pair " } else { "" };
        let shaft = gears.first().map_or(OnShaft::Last, |gear| gear.shaft);
        format!("the {what}{} {preposition} {}", pieces(gears).join(" and "), in_words(shaft, last))
    };
    let shafts = gears.chunk_by(|a, b| a.shaft == b.shaft);
    shafts.map(of_shaft).collect::<Vec<_>>().join("; ")
}

/// `the joined pair 127/120`: the larger gear first, whichever is driven.
pub(crate) fn joined_pair(a: Teeth, b: Teeth) -> String {
    format!("the joined pair {}/{}", a.max(b), a.min(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(from: &str, to: &str) -> GearChange {
        GearChange::between(&from.parse().unwrap(), &to.parse().unwrap())
    }

    #[test]
    fn gears_are_named_with_their_shafts() {
        let change = change("20-80+20-80", "45-75+63-80");
        assert_eq!(
            taken_off(&change.off, "the lead screw"),
            "the 20 from the driving shaft; the 80 and 20 from stud 1"
        );
        assert_eq!(
            put_on(&change.on, "the lead screw"),
            "the 45 on the driving shaft; the 75 and 63 on stud 1"
        );
        assert!(change.shifted.is_empty() && !change.is_none());
    }

    #[test]
    fn a_gear_that_changes_its_plane_is_shifted() {
        let change = change("40-60-80", "40-60+50-80");
        let shifted: Vec<_> =
            change.shifted.iter().map(|gear| (gear.teeth.get(), gear.shaft)).collect();
        assert_eq!(shifted, [(80, OnShaft::Last)]);
        assert_eq!((change.on.len(), change.off.len()), (1, 0));
    }

    /// What is fixed for good is never told to be parted.
    #[test]
    fn a_joined_pair_is_named_as_one() {
        let gear = |teeth| solver::Gear::new(Teeth::new(teeth).unwrap());
        let joined = |text: &str, partner| {
            text.parse::<solver::Train>().unwrap().with_partner(1, gear(partner))
        };
        let pair = joined("40-127+120-60", 120);
        let change = GearChange::between(&pair, &"40-80+30-60".parse().unwrap());
        let off = taken_off(&change.off, "the lead screw");
        assert_eq!(off, "the joined pair 127/120 from stud 1");
        assert_eq!(in_few_words(&change).unwrap(), "off 127/120; on 80, 30");
        let turned = GearChange::between(&pair, &joined("40-120+127-60", 127));
        assert_eq!(in_few_words(&turned).unwrap(), "turn round 127/120");
        let change = GearChange::between(&joined("40-127-60", 120), &"40-80-60".parse().unwrap());
        assert_eq!(in_short(&change.off), "127/120");
    }

    #[test]
    fn nothing_moves_from_a_train_to_itself() {
        assert!(change("20-80+20-80", "20-80+20-80").is_none());
    }
}
