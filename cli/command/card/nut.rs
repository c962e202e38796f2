//! The half nut: where it may close again, or that it stays closed, for the lead that the train truly
//! cuts.

use super::Card;
use super::page::{Page, capital, strong};
use super::undercut;
use crate::report::{Role, Text};
use crate::words::cautions;
use crate::words::dial::Lines;
use crate::words::size;
use solver::dial::{Advice, Back, DialReading, HalfNut, Why};

/// The section.
pub(super) fn write(card: &Card<'_>, nut: &HalfNut, page: &mut Page) {
    page.section("Half nut");
    if card.lathe().parts().half_nut.is_none() && card.lathe().parts().dials.is_empty() {
        page.note(
            "Whether there is a half nut is not known. If there is none: leave the screw coupled \
             from the first pass to the last.",
        );
    }
    match nut.advice() {
        Advice::Anywhere => {
            page.note(
                strong("Close it anywhere")
                    .and(Role::Plain, ": every place is right, with or without a dial."),
            );
            undercut::write_way_back(card, page);
        }
        Advice::Lines(reading) => {
            write_lines(card, nut, reading, page);
            undercut::write_way_back(card, page);
        }
        Advice::KeepClosed(why) => write_closed(card, nut, why, page),
        _ => page
            .note(strong("Keep it closed").and(Role::Plain, " from the first pass to the last.")),
    }
}

fn write_lines(card: &Card<'_>, nut: &HalfNut, reading: &DialReading, page: &mut Page) {
    let dials = card.lathe().parts().dials.len();
    let which = if dials > 1 { dial_gears(nut, reading) } else { String::new() };
    let names = Lines::of(card.lathe(), reading);
    let classes: Vec<_> = reading.classes().iter().map(|class| names.class(class)).collect();
    match &classes[..] {
        [only] if only.len() == names.count() => page.note(
            Text::from(which)
                .and(Role::Strong, "Close on any line")
                .and(Role::Plain, " of the dial."),
        ),
        [only] => page.note(
            Text::from(which)
                .and(Role::Strong, format!("Close on any line: {}", lines(only)))
                .and(Role::Plain, "."),
        ),
        many if many.iter().all(|class| class.len() == 1) => page.note(
            Text::from(which)
                .and(Role::Plain, "Begin on any line; close ")
                .and(Role::Strong, "always on the same line that you began with")
                .and(Role::Plain, "."),
        ),
        many => {
            let sets: Vec<String> = many.iter().map(|class| lines(class)).collect();
            page.note(
                Text::from(which)
                    .and(Role::Plain, "Close on ")
                    .and(Role::Strong, sets.join(", or "))
                    .and(Role::Plain, ": stay with the set that you began with."),
            );
        }
    }
    write_avoided(&names, reading, &classes, page);
    page.note(
        "The thread dial must mesh, and a line must meet the mark as the nut closes: check first.",
    );
}

/// `1 3 5 7`; names of several words with commas between them.
fn lines(class: &[String]) -> String {
    let apart = if class.iter().any(|name| name.contains(' ')) { ", " } else { " " };
    class.join(apart)
}

/// Lines that lead into another start, and those on which the nut does not close.
fn write_avoided(names: &Lines, reading: &DialReading, classes: &[Vec<String>], page: &mut Page) {
    let others = reading.other_starts();
    if !others.is_empty() {
        let groups = others.into_iter().filter_map(|i| classes.get(i)).map(|class| lines(class));
        page.note(format!(
            "After a pass begun on {} don't close on {}: that would drop into another start.",
            classes.first().map(|class| lines(class)).unwrap_or_default(),
            groups.collect::<Vec<_>>().join(" or ")
        ));
    }
    if !reading.blind().is_empty() {
        let blind: Vec<String> = reading.blind().iter().map(|at| names.name(*at)).collect();
        page.note(format!("It does not close on {}.", blind.join(" ")));
    }
}

/// `Dial gear of 20 or 15 teeth. `
fn dial_gears(nut: &HalfNut, reading: &DialReading) -> String {
    let teeth: Vec<String> = nut.gears_alike(reading).iter().map(ToString::to_string).collect();
    format!("Dial gear of {} teeth. ", teeth.join(" or "))
}

fn write_closed(card: &Card<'_>, nut: &HalfNut, why: Why, page: &mut Page) {
    let keep = if why == Why::NoHalfNut { "Never uncouple the screw" } else { "Keep it closed" };
    let because = match why {
        Why::NoDial => "no thread dial is described",
        Why::NoDialWorks => "don't use the dial, it does not meet this thread again",
        Why::Never => "lead screw and work never meet again",
        Why::UnknownScrew => "what the lead screw is, is not known",
        Why::NoHalfNut => "there is no half nut",
        _ => "it is not safe to open it",
    };
    page.note(
        strong(keep).and(Role::Plain, format!(" from the first pass to the last: {because}.")),
    );
    page.steps(way_back(card, nut.back));
    if let Some(round) = comes_round(card, nut) {
        page.note(round);
    }
    // A cut in reverse has a caution of its own.
    if nut.back != Back::Crank && !card.is_reversed() {
        page.note(cautions::CHUCK);
    }
}

/// Back to the start of a pass with the nut closed.
fn way_back(card: &Card<'_>, back: Back) -> Vec<String> {
    let end = "At the end of a pass: tool out, stop";
    let by_hand = "turn back by hand at the spindle";
    let start = if card.runs_away() {
        undercut::ends_in_it(card)
    } else {
        "past the start, tool in.".to_string()
    };
    if card.is_reversed() {
        return vec![format!("{end}, spindle forward; {start}")];
    }
    match back {
        Back::Motor => vec![format!("{end}, reverse the motor; {start}")],
        Back::Crank => vec![format!("{end}, {by_hand}: the motor does not reverse; {start}")],
        Back::Unknown => vec![
            format!("{end}."),
            format!("If the motor reverses: reverse it. If not: {by_hand}. {}", capital(&start)),
        ],
    }
}

/// Dial gears that are worth naming.
const USUAL_DIALS: std::ops::RangeInclusive<u16> = 12..=48;

fn comes_round(card: &Card<'_>, nut: &HalfNut) -> Option<String> {
    let repeat = nut.repeat()?;
    let distance = repeat.distance().ok()?;
    let gears: Vec<String> = repeat
        .dial_gears()
        .filter(|teeth| USUAL_DIALS.contains(teeth))
        .map(|teeth| teeth.to_string())
        .take(3)
        .collect();
    let gears = if gears.is_empty() || card.lathe().parts().dials.is_empty() {
        String::new()
    } else {
        format!("; a dial gear of {} teeth would do", gears.join(" or "))
    };
    Some(format!(
        "The nut meets the thread again every {} lead-screw pitches, {}{gears}.",
        repeat.pitches(),
        size::both(&distance)
    ))
}
