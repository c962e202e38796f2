//! Work of several starts: how the next one is reached. One method a card, never two together.

use super::Card;
use super::page::Page;
use crate::report::{Role, Text};
use crate::words::size;
use solver::Ratio;
use solver::starts::{Indexing, Method, NoShift, Shift};

/// The section; a widened groove takes the top slide for its flanks too.
pub(super) fn write(card: &Card<'_>, plan: &Indexing, page: &mut Page) {
    page.section("Next start");
    let (starts, pitch) = (plan.starts, size::both(&plan.pitch));
    page.note(format!(
        "{starts} starts, {pitch} from one to the next. Finish one to its depth, then the next."
    ));
    if let Method::Shift(shift) = plan.method() {
        write_shift(shift, page);
        return;
    }
    // The top slide does it on every lathe.
    if let Err(NoShift::BetweenTeeth(each)) = &plan.shift {
        page.note(format!(
            "The driving gear can't be moved on: a start would lie {} teeth on.",
            size::mixed(each)
        ));
    }
    let widened = card.job.groove.as_ref().is_some_and(|groove| groove.slot.is_some());
    let (from, but) = if widened {
        ("from the middle of the groove ", "for the flanks and for nothing else")
    } else {
        ("", "for nothing else")
    };
    page.steps([
        format!(
            "Set the top slide parallel to the bed (dial gauge). Next start: {from}move it {pitch}, \
             backlash taken up the same way."
        ),
        format!("Infeed by the cross slide only; the top slide moves {but}."),
    ]);
}

fn write_shift(shift: &Shift, page: &mut Page) {
    let (turns, teeth) = shift.gear_turns();
    let on = match turns {
        0 => format!("{teeth} teeth"),
        1 if teeth == 0 => "1 turn".into(),
        _ if teeth == 0 => format!("{turns} turns"),
        1 => format!("1 turn and {teeth} teeth ({} in all)", shift.teeth()),
        _ => format!("{turns} turns and {teeth} teeth ({} in all)", shift.teeth()),
    };
    let spindle = shift.spindle_turns();
    let turn = if spindle < Ratio::ONE { "of a turn" } else { "turns" };
    let spindle = format!("{} {turn}", size::mixed(&spindle));
    let mark = "Isolate the lathe, half nut closed, cover off. Mark a tooth of the driving gear and the \
                gap it stands in.";
    let gear = shift.gear();
    let go_on =
        format!("Open that mesh; turn the spindle forward by hand until the {gear} is on by ");
    let close = format!(" ({spindle} of the spindle); close it, cover on.");
    page.steps([mark.into(), Text::from(go_on).and(Role::Strong, on).and(Role::Plain, close)]);
    let order: Vec<String> = shift.order().iter().map(|start| (start + 1).to_string()).collect();
    if !shift.order().is_sorted() {
        page.note(format!("The starts come in the order {}.", order.join(", ")));
    }
}
