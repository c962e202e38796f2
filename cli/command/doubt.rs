//! What is neither yes nor no, and what a search left out: every command says it in these words.

use super::figures::{plural, tenth as figure};
use super::reasons::Speaker;
use solver::bracket::{Fit, Mounting, Reason};
use solver::search::Proof;
use solver::{Lathe, Shaft, Train};

/// In a cell, or within a sentence.
pub(super) const TOO_CLOSE: &str = "too close to call";

/// By itself, where there is little room.
pub(super) const MEASURE_IT: &str = "Too close to call: measure it on the machine.";

/// In full: what to measure for a train that is too close to call, a sentence each; else nothing.
pub(super) fn measures(lathe: &Lathe, fit: &Fit) -> Vec<String> {
    let Some(train) = fit.mounting().and_then(standing) else { return Vec::new() };
    let speaker = Speaker::new(lathe, &train);
    let mut sentences: Vec<String> = Vec::new();
    for sentence in fit.doubts().iter().map(|doubt| measure(&speaker, doubt)) {
        // Two margins of one place are one measurement.
        if !sentences.contains(&sentence) {
            sentences.push(sentence);
        }
    }
    sentences
}

/// The train as it was placed.
fn standing(mounting: &Mounting) -> Option<Train> {
    let shaft = |gears: &[(solver::Gear, u8)]| match gears {
        [(one, _)] => Some(Shaft::One(*one)),
        [(driven, _), (driver, _)] => Some(Shaft::Pair { driven: *driven, driver: *driver }),
        _ => None,
    };
    let shafts: Option<Vec<Shaft>> = mounting.shafts.iter().map(|s| shaft(&s.gears)).collect();
    Train::new(shafts?).ok()
}

/// The same in one paragraph, with the verdict before it.
pub(super) fn in_full(lathe: &Lathe, fit: &Fit) -> Option<String> {
    let measures = measures(lathe, fit);
    (!measures.is_empty()).then(|| [&[MEASURE_IT.to_string()], &measures[..]].concat().join(" "))
}

/// How to find out: with a shim where there is a clearance, else with a strip of paper.
fn measure(speaker: &Speaker<'_>, doubt: &Reason) -> String {
    const PAPER: &str = "try a strip of paper in the mesh";
    match *doubt {
        Reason::Touch { gear, other, clearance, .. } => {
            let (gear, other) = (speaker.part(gear), speaker.part(other));
            if clearance > 0.0 {
                let room = figure(clearance);
                format!(
                    "Between {gear} and {other}: try a shim of {room} mm, the clearance wanted."
                )
            } else {
                format!("Between {gear} and {other}: try a strip of paper.")
            }
        }
        Reason::NearFirst { stud, least, .. } => format!(
            "From the first shaft to {}: measure it; the least is {} mm.",
            speaker.shaft(stud),
            figure(least)
        ),
        Reason::SlotEnd { stud, slot, .. } => format!(
            "{} at the end of {}: clamp it there and {PAPER}.",
            speaker.stud(stud),
            speaker.slot(slot)
        ),
        Reason::OffSlot { stud, slot, .. } => {
            format!("{} in {}: clamp it there and {PAPER}.", speaker.stud(stud), speaker.slot(slot))
        }
        Reason::Swing { limit, .. } => {
            format!("The arm at its limit of {}°: clamp it there and {PAPER}.", figure(limit))
        }
        Reason::Centres { needed, .. } => {
            format!("The two gears at {} mm from axis to axis: {PAPER}.", figure(needed))
        }
        Reason::TooShort { .. } | Reason::TooUnequal { .. } => {
            format!("The gears between the end shafts: put them on and {PAPER}.")
        }
        _ => format!("Put the gears on and {PAPER}."),
    }
}

/// What a search did not look at, by its own account: a sentence each.
pub(super) fn left_out(proof: &Proof) -> Vec<String> {
    longer_left_out(proof.pairs, proof.allowed).into_iter().chain(unknown(proof.unknown)).collect()
}

/// Lever positions that can't be searched.
pub(super) fn unknown(positions: usize) -> Option<String> {
    let positions = (positions > 0).then(|| plural(positions, "lever position"));
    positions.map(|positions| format!("{positions} could not be searched: a ratio is unknown"))
}

/// Trains that the tables had no room for: `searched` ratio pairs of those `allowed`.
pub(super) fn longer_left_out(searched: usize, allowed: usize) -> Option<String> {
    (searched < allowed).then(|| {
        format!(
            "trains with more ratio pairs were left out (searched: up to {}; the lathe takes {allowed})",
            plural(searched, "ratio pair")
        )
    })
}
