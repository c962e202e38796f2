//! The undercut at a shoulder or at the bottom of a bore: its sizes, where the tool stops or begins in
//! it, and what is different where the tool runs away from the headstock.

use super::Card;
use super::page::{Page, strong};
use crate::report::Role;
use crate::words::cautions::CUT_IN_REVERSE;
use crate::words::size::{self, Mm};
use solver::job::{Undercut, WidthSource};
use solver::{Length, Sureness};

/// Where the thread ends or begins: the carriage of a right-hand thread runs toward the headstock, that
/// of a left-hand one away from it, with the spindle forward (common practice, no source).
pub(super) fn step(card: &Card<'_>) -> String {
    let at = match (card.is_nut(), card.job.undercut.is_some()) {
        (true, true) => "the bottom of the bore",
        (true, false) => "the bottom of a blind bore",
        (false, _) => "the headstock end",
    };
    let sizes = card.job.undercut.as_ref().map(|of| sizes(card, of));
    let sizes = sizes.map_or_else(String::new, |sizes| format!(", {sizes}"));
    if card.runs_away() {
        let through = card.is_nut() && card.job.undercut.is_none();
        let bore = if through { " (a through bore: clear behind it)" } else { "" };
        return format!(
            "Undercut at {at}{bore}{sizes}: the thread starts there. The tool begins in it and runs away \
             from the chuck."
        );
    }
    match (card.is_nut(), card.job.undercut) {
        (true, None) => {
            "A blind bore: undercut at its bottom; the tool runs out there.".to_string()
        }
        _ => format!("Undercut at {at}{sizes}: the tool runs out there."),
    }
}

/// `6 to 7.8 mm wide, floor 30.5 mm (H13), corner radius ~0.8 mm (DIN 76-1, regular)`.
fn sizes(card: &Card<'_>, of: &Undercut) -> String {
    let width = match &of.most {
        Some(most) => format!("{} to {} mm wide", short(&of.width), short(most)),
        None => format!("{} wide", size::both(&of.width)),
    };
    let floor = floor(card, of).unwrap_or_default();
    let radius = of.radius.map(|r| format!(", corner radius ~{} mm", short(&r)));
    let source = match of.source {
        WidthSource::Stated if of.floor.is_some() => " (floor and corner: DIN 76-1)",
        WidthSource::Stated | WidthSource::RunOut => "",
        WidthSource::Din76 => " (DIN 76-1, regular)",
        WidthSource::Din76Short => " (DIN 76-1, short)",
        WidthSource::Pitches => " (1.5 pitches: common practice)",
    };
    let doubt = match of.sureness.filter(|_| of.most.is_some()) {
        Some(Sureness::Split) => "; tables disagree on the greatest width, check it",
        _ => "",
    };
    format!("{width}{floor}{}{source}{doubt}", radius.unwrap_or_default())
}

/// Its diameter: that of the standard, else past the root.
fn floor(card: &Card<'_>, of: &Undercut) -> Option<String> {
    // DIN 76-1: h13, up to a diameter of 3 mm h12; H13 in a nut.
    let thin =
        card.job.cut.and_then(|cut| cut.diameters().ok()).is_some_and(|of| of.major.mm() <= 3.0);
    let field = match (card.is_nut(), thin) {
        (true, _) => "H13",
        (false, true) => "h12",
        (false, false) => "h13",
    };
    if let Some(floor) = &of.floor {
        return Some(format!(", floor {} mm ({field}) across", short(floor)));
    }
    let root = card.job.groove.as_ref()?.root_mm?;
    let than = if card.is_nut() { "wider than" } else { "below" };
    Some(format!(", its floor a little {than} the root of {} mm", size::mm(&root)))
}

/// Where the point of the tool stops or begins, so that its side stays clear.
pub(super) fn place(card: &Card<'_>) -> Option<String> {
    let of = card.job.undercut.as_ref()?;
    let end = if card.is_nut() { "bottom" } else { "shoulder" };
    let least = (of.reach_mm? * 10.0).ceil() / 10.0;
    // Where it begins it also has to go in beside the first thread.
    let most = of.width.mm_rounded() - if card.runs_away() { least } else { 0.0 };
    let verb = if card.runs_away() { "begins" } else { "stops" };
    if most < least {
        return Some(format!(
            "Too narrow: the tool's side reaches {least:.1} mm beside its point. A wider undercut."
        ));
    }
    Some(format!(
        "The point {verb} {least:.1} to {most:.1} mm from the {end}: nearer, its side touches."
    ))
}

/// Digits as the standard prints them.
fn short(of: &Length) -> String {
    format!("{:.2}", of.mm_rounded()).trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The direction of a right-hand thread that is cut in reverse.
pub(super) fn write_reverse(card: &Card<'_>, page: &mut Page) {
    page.note(strong("Right hand, spindle in reverse").and(
        Role::Plain,
        ": the carriage runs toward the tailstock. Begin in the undercut. Gears and tumbler are those of \
         every right-hand thread: reversing the spindle does not change the hand.",
    ));
    if card.lathe().parts().reverse == Some(false) {
        page.note("The motor does not reverse: turn the spindle backward by hand.");
    }
    page.warning(CUT_IN_REVERSE);
}

/// The way back with the nut closed: it ends in the undercut, before the shoulder.
pub(super) fn ends_in_it(card: &Card<'_>) -> String {
    let end = if card.is_nut() { "bottom" } else { "shoulder" };
    format!("stop in the undercut, before the {end}; tool in.")
}

/// The way back with the nut open.
pub(super) fn write_way_back(card: &Card<'_>, page: &mut Page) {
    if card.asked.work.away {
        page.note(format!(
            "At the end of a pass: tool out, nut open, carriage back by hand; {}",
            ends_in_it(card)
        ));
    }
}
