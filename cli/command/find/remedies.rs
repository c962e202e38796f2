//! What would help where the best trains can't stand, in sentences.

use crate::answer::{Help, Outcome, Request};
use crate::words::figures::{plural, tenth as figure};
use crate::words::set_up::{any_of, error_in_short};
use solver::search::MachineChange;
use solver::{Bracket, Slot};

/// A word for programs.
pub(super) const fn kind(change: &MachineChange) -> &'static str {
    match change {
        MachineChange::Slot { .. } => "slot",
        MachineChange::Clearance { .. } => "clearance",
        MachineChange::Idler(_) => "idler",
        MachineChange::Stud => "stud",
        _ => "other",
    }
}

/// The sentence.
pub(super) fn text(help: &Help, bracket: Option<&Bracket>) -> String {
    let train = format!("{}, {}", help.entry.train, error_in_short(&help.entry.error));
    match &help.change {
        MachineChange::Slot { slot, along, beyond } => {
            let slot_of = bracket.and_then(|b| b.slots.get(*slot));
            let before =
                matches!(slot_of, Some(Slot::Straight { from, .. }) if *along < from.to_f64());
            let end = if before { "begins" } else { "ends" };
            let name = match bracket.map_or(1, |b| b.slots.len()) {
                1 => "the slot".to_string(),
                _ => format!("slot {}", slot + 1),
            };
            format!(
                "If {name} went {} mm further (it {end} too soon; the stud must be at {} mm): {train}.",
                figure(*beyond),
                figure(*along)
            )
        }
        MachineChange::Clearance { left } => format!(
            "With {} mm of room in place of the {} mm wanted: {train}. Make sure of it with a \
             feeler gauge.",
            figure(*left),
            figure(bracket.map_or(0.0, |b| b.clearance.to_f64()))
        ),
        MachineChange::Idler(sizes) => {
            format!("An idler of {} teeth, which you don't own: {train}.", any_of(sizes))
        }
        MachineChange::Stud => format!("One more stud on the banjo: {train}."),
        _ => train,
    }
}

/// What else would help.
pub(super) fn hints(request: &Request, outcome: &Outcome) -> Vec<String> {
    let parts = request.machine.lathe.parts();
    let mut hints = Vec::new();
    if let Some((entry, teeth)) = &outcome.one_more {
        let owned = parts.gears.loose_of(*teeth);
        hints.push(format!(
            "One more {teeth} would come closer: {} needs {} x {teeth}, you own {owned}: {}.",
            entry.train,
            owned + 1,
            error_in_short(&entry.error)
        ));
    }
    if !outcome.remedies_complete {
        hints.push("What one more stud would reach was not searched to the end.".to_owned());
    }
    if outcome.unknown_positions > 0 {
        hints.push(format!(
            "{} could not be searched: a ratio is unknown (`trainwright lathe show` says which).",
            plural(outcome.unknown_positions, "lever position")
        ));
    }
    if !parts.studs_stated {
        hints.push(
            "1 stud is assumed, since the lathe does not say; --studs 2 tries two.".to_string(),
        );
    }
    hints
}
