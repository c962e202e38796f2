//! Mistakes, faults and looks in shop words.

use crate::args;
use crate::words::figures::plural;
use crate::words::{shaft, slip};
use solver::why::{Cause, Explanation, Fault, Instrument, Look, Misreading, Seen, Shift, Verdict};
use solver::{Control, Lathe, OnShaft};

/// What was typed, for the library.
pub(super) const fn seen(seen: args::Seen) -> Seen {
    match seen {
        args::Seen::Torn => Seen::Torn,
        args::Seen::Tapered => Seen::Tapered,
        args::Seen::Drunken => Seen::Drunken,
        args::Seen::Double => Seen::Double,
    }
}

/// The same as a word.
pub(super) const fn seen_word(seen: args::Seen) -> &'static str {
    match seen {
        args::Seen::Torn => "torn",
        args::Seen::Tapered => "tapered",
        args::Seen::Drunken => "drunken",
        args::Seen::Double => "double",
    }
}

/// A verdict, in the words of the documents.
pub(super) const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Right => "right",
        Verdict::One => "one",
        Verdict::Two => "two",
        _ => "nothing",
    }
}

/// Where an uncertainty comes from, in the words of the documents.
pub(super) const fn instrument(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::Rule => "rule",
        Instrument::Caliper => "caliper",
        _ => "stated",
    }
}

/// The kind of a mistake, in the words of the documents.
pub(super) const fn kind(cause: Cause) -> &'static str {
    match cause {
        Cause::Gearing(slip) => slip::kind(slip),
        Cause::Reading(Misreading::OneMore | Misreading::OneFewer) => "count",
        Cause::Reading(Misreading::InchesAsMm | Misreading::MmAsInches) => "unit",
        Cause::Reading(Misreading::StartAsPitch | Misreading::PitchAsStart) => "start",
        Cause::Groove(Shift::DialLine { .. }) => "thread dial",
        Cause::Groove(Shift::HalfNutLate(_)) => "half nut",
        Cause::Groove(Shift::Tooth(_)) => "tooth",
        Cause::Groove(Shift::AngledInfeed) => "angled infeed",
        _ => "figure",
    }
}

/// An explanation in words; two mistakes with `and`.
pub(super) fn explanation(lathe: &Lathe, one: &Explanation) -> String {
    let causes: Vec<String> = one.causes.iter().map(|cause| in_words(lathe, *cause)).collect();
    let room = if one.fits { "" } else { " (would not fit on the banjo)" };
    format!("{}{room}", causes.join("; and "))
}

fn in_words(lathe: &Lathe, cause: Cause) -> String {
    let words = match cause {
        Cause::Gearing(slip) => return slip::in_words(lathe, slip),
        Cause::Groove(shift) => return of_groove(lathe, shift),
        Cause::Reading(Misreading::OneMore) => "measured over one pitch more than counted",
        Cause::Reading(Misreading::OneFewer) => {
            "grooves counted, not the pitches between them: one pitch fewer"
        }
        Cause::Reading(Misreading::InchesAsMm) => "inches read as mm",
        Cause::Reading(Misreading::MmAsInches) => "mm read as inches",
        Cause::Reading(Misreading::StartAsPitch) => {
            "one start read as the pitch: its grooves are a lead apart, as they should be"
        }
        Cause::Reading(Misreading::PitchAsStart) => {
            "pitches counted as leads: the grooves of all starts"
        }
        Cause::Reading(Misreading::OtherUnit) => {
            "set up for this figure in the other unit: mm for TPI, or the reverse"
        }
        _ => "another mistake",
    };
    words.to_owned()
}

fn of_groove(lathe: &Lathe, shift: Shift) -> String {
    match shift {
        Shift::DialLine { dial, lines } => {
            let several = lathe.parts().dials.len() > 1;
            let which = if several { format!(" (dial {})", dial + 1) } else { String::new() };
            format!(
                "half nut closed {} of the thread dial off{which}",
                plural(lines.into(), "line")
            )
        }
        Shift::HalfNutLate(pitches) => format!(
            "half nut dropped in late, by {} of the lead screw",
            plural(pitches.into(), "thread")
        ),
        Shift::Tooth(mesh) => {
            format!("a tooth slipped in mesh {} of the train", mesh.saturating_add(1))
        }
        Shift::AngledInfeed => {
            "tool moved along the axis by angled infeed between the two passes".into()
        }
        _ => "a groove beside the first".into(),
    }
}

/// How common a mistake is, by its points (common practice, no source).
pub(super) const fn common(points: u32) -> &'static str {
    match points {
        0..=5 => "often",
        6..=9 => "sometimes",
        10..=13 => "seldom",
        _ => "rarely",
    }
}

/// What to look at: `Count the teeth of the gear on stud 1: 75 or 70.`
pub(super) fn look(lathe: &Lathe, look: Look) -> String {
    let on = |on: OnShaft| shaft::in_words(on, shaft::last_shaft(lathe));
    match look {
        Look::Teeth { on: shaft, drives, counts: [a, b] } => {
            let which = match drives {
                None => "",
                Some(true) => ", of the pair the one that drives",
                Some(false) => ", of the pair the one that is driven",
            };
            format!("Count the teeth on {}{which}: {a} or {b}.", on(shaft))
        }
        Look::Keyed { on: shaft, pair: [a, _] } => {
            let [first, second] = if a {
                ["two gears keyed together", "one gear as an idler"]
            } else {
                ["one gear as an idler", "two gears keyed together"]
            };
            format!("Look which gears are in mesh on {}: {first}, or {second}.", on(shaft))
        }
        Look::Studs([a, b]) => format!("Count the studs that carry gears: {a} or {b}."),
        Look::Position { control, at } => position(lathe, control, at),
        Look::CountAgain => "Measure once more, and count the spaces from groove to groove.".into(),
        Look::Unit => "Look at the unit that rule or caliper shows: mm or inches.".into(),
        Look::Starts => "Look at the end of the thread: one groove, or one for each start.".into(),
        Look::Figure => "Look at the figure that was set up: mm or threads per inch.".into(),
        Look::OneScratch => "Take one scratch pass beside the thread, half nut never opened, and \
             measure it alone."
            .into(),
        _ => "Take the scratch pass again.".into(),
    }
}

fn position(lathe: &Lathe, control: Control, at: [Option<usize>; 2]) -> String {
    let name = match control {
        Control::Lever(_) => format!("lever {}", lathe.control_name(control)),
        control => format!("the {}", lathe.control_name(control)),
    };
    let named = at.map(|at| at.map_or("elsewhere", |at| lathe.position_name(control, at)));
    let [a, b] = named;
    format!("Look at {name}: {a} or {b}.")
}

/// What makes a thread look so, and what shows it (common practice, no source).
pub(super) const fn fault(fault: Fault) -> &'static str {
    match fault {
        Fault::BluntTool => "The tool is blunt: look at its edge with a glass, hone it.",
        Fault::OffCentre => "The tool is off centre: hold it against a centre.",
        Fault::DeepPass => {
            "Both flanks cut too deep at once: half the depth a pass, or angled infeed."
        }
        Fault::Dry => "No cutting oil, or too fast: the next pass slower, with oil.",
        Fault::WorkSprings => {
            "The work springs away: a pass without infeed; if it cuts, use a centre or a steady."
        }
        Fault::TailstockOff => {
            "The tailstock is off the axis: a test bar between centres shows it."
        }
        Fault::ScrewFloats => {
            "The lead screw moves along its axis: push and pull it by hand, half nut closed."
        }
        Fault::GearRunsOut => {
            "A gear runs out of true, or a chip is between its teeth: turn the train by hand, look at \
             each mesh."
        }
        Fault::ScrewBent => {
            "The lead screw is bent or the half nut worn: the pitch wavers in step with the screw."
        }
        Fault::Backlash => {
            "Backlash was not taken up: run the carriage back past the start, then forward."
        }
        Fault::WorkSlipped => "The work turned in the chuck or the dog: mark both, look again.",
        _ => "Another fault.",
    }
}
