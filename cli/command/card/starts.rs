//! Work of several starts: how the next one is reached. One method a card, never two together.

use super::page::Page;
use super::{Card, nut, worm};
use crate::report::{Role, Text};
use crate::words::dial::Lines;
use crate::words::size;
use solver::Ratio;
use solver::dial::{Advice, HalfNut};
use solver::job::Ridges;
use solver::starts::{CarriageMove, Indexing, Method, NoShift, Shift};

/// Degrees in a turn.
const TURN: f64 = 360.0;

/// The section; a widened groove takes the top slide for its flanks too.
pub(super) fn write(card: &Card<'_>, plan: &Indexing, page: &mut Page) {
    page.section("Next start");
    let (starts, pitch) = (plan.starts, size::both(&plan.pitch));
    let moved = matches!(plan.method(), Method::Shift(_) | Method::TopSlide(_));
    let faceplate = if moved && !card.is_nut() {
        let turn = trimmed(TURN / f64::from(starts));
        format!(" Or, between centres: {turn}° on in a faceplate.")
    } else {
        String::new()
    };
    page.note(format!(
        "{starts} starts, {pitch} from one to the next. Finish one to its depth, then the next.{faceplate}"
    ));
    match plan.method() {
        Method::Lines(classes) => write_lines(card, classes, page),
        Method::Carriage(carriage) => write_carriage(carriage, page),
        Method::Shift(shift) => write_shift(shift, page),
        _ => write_top_slide(card, plan, page),
    }
    if let Some(ridges) = &card.job.ridges {
        write_check(card, ridges, starts, page);
    }
}

/// Lines of the dial, start by start.
fn write_lines(card: &Card<'_>, classes: &[usize], page: &mut Page) {
    let Some(Advice::Lines(reading)) = card.job.nut.as_ref().map(HalfNut::advice) else { return };
    let names = Lines::of(card.lathe(), reading);
    let of = |class: &usize| {
        let class = reading.classes().get(*class).map(|class| names.class(class));
        nut::lines(&class.unwrap_or_default())
    };
    let each = (1..).zip(classes).map(|(start, class)| format!("start {start} on {}", of(class)));
    page.note(
        Text::from("By the thread dial, gears and slides as they are: ")
            .and(Role::Strong, each.collect::<Vec<_>>().join("; "))
            .and(Role::Plain, "."),
    );
}

/// The half nut is opened once, the spindle at rest.
fn write_carriage(carriage: &CarriageMove, page: &mut Page) {
    let pitches = match carriage.screw_pitches {
        1 => "1 lead-screw pitch".to_owned(),
        many => format!("{many} lead-screw pitches"),
    };
    page.steps([
        Text::from("At the start of a pass, spindle at rest and not turned: open the half nut, move the carriage ")
            .and(Role::Strong, size::both(&carriage.distance))
            .and(Role::Plain, format!(" ({pitches}) back, close the nut; keep it closed until the next start.")),
    ]);
}

/// The top slide does it on every lathe.
fn write_top_slide(card: &Card<'_>, plan: &Indexing, page: &mut Page) {
    let pitch = size::both(&plan.pitch);
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

/// What tells a start that is out of its place.
fn write_check(card: &Card<'_>, ridges: &Ridges, starts: u8, page: &mut Page) {
    if let Some(tooth) = &card.job.tooth
        && card.job.sizes.as_ref().is_none_or(|sizes| sizes.worm.is_none())
    {
        page.note(worm::caliper(tooth, " where it is cut to the aim."));
    }
    let alike = match ridges.differ_mm {
        Some(differ) => format!("alike to {}", size::both(&differ)),
        None => "alike".to_owned(),
    };
    let twice = if starts == 2 { ", twice the index error" } else { "" };
    page.note(format!("Check: over wires all starts alike; ridges {alike}{twice}."));
}

/// `120`, `51.43`.
fn trimmed(degrees: f64) -> String {
    format!("{}", (degrees * 100.0).round() / 100.0)
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
