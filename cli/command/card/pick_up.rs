//! Tool or work was taken out: how the tool finds its groove again on this lathe.

use super::Card;
use super::page::Page;
use crate::words::cautions;
use crate::words::dial::Lines;
use crate::words::size;
use solver::dial::{Advice, Back, HalfNut, Why};
use solver::job::PickUp;
use solver::scratch_pass::Spindle;
use solver::starts::Method;

/// The section, where it was asked for (F. D. Jones, Turning and Boring, 1919, ch. IV, Replacing Sharpened
/// Thread Tool).
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some((pick_up, nut)) = card.job.pick_up.as_ref().zip(card.job.nut.as_ref()) else { return };
    page.section("Pick up the thread");
    page.warning(format!(
        "Never with the spindle running: power off until the tool runs in its groove. {}",
        cautions::AT_REST
    ));
    page.steps(ready(pick_up));
    page.steps(in_step(card, nut));
    page.steps(seat(card, pick_up));
    page.warning(match nut.back {
        Back::Crank => cautions::SCRATCH.to_owned(),
        _ if pick_up.stays_closed => format!("{} {}", cautions::SCRATCH, cautions::CHUCK),
        _ => cautions::SCRATCH.to_owned(),
    });
    page.steps(check(card));
}

/// What was taken out is put back. The dog: common practice, no source.
fn ready(pick_up: &PickUp) -> Vec<String> {
    let narrow = if pick_up.is_wide { " The same tool as before, or one as wide." } else { "" };
    vec![
        "Work taken out: between centres the dog goes into the same slot of the faceplate; in a chuck, \
         true it by an indicator (common practice)."
            .to_owned(),
        format!("Tool at centre height, square by the gauge, clear of the work.{narrow}"),
    ]
}

/// Half nut and backlash.
fn in_step(card: &Card<'_>, nut: &HalfNut) -> Vec<String> {
    let close = match nut.advice() {
        Advice::Anywhere => "Half nut: close it anywhere.".to_owned(),
        Advice::Lines(reading) => {
            let names = Lines::of(card.lathe(), reading);
            let classes: Vec<_> =
                reading.classes().iter().map(|class| names.class(class)).collect();
            match &classes[..] {
                [_] => "Half nut: close it on a line as under Half nut.".to_owned(),
                _ => "Half nut: close it on a line, note which. From now on close it as under Half nut \
                      for this line."
                    .to_owned(),
            }
        }
        Advice::KeepClosed(Why::NoHalfNut) => "The screw stays coupled.".to_owned(),
        Advice::KeepClosed(Why::NoDialWorks | Why::Never) => {
            "Half nut: close it now and keep it closed to the last pass. No dial reading is right."
                .to_owned()
        }
        _ => "Half nut: close it now and keep it closed to the last pass.".to_owned(),
    };
    let forward = match card.job.by_hand.spindle {
        Spindle::Forward => "forward",
        Spindle::Reverse => "backward",
    };
    vec![
        close,
        format!(
            "Turn the spindle {forward} by hand, the way of the cut, until the carriage follows: the \
             backlash is out. One turn more: the carriage must go {}.",
            size::both(&card.lead())
        ),
        "Stop beside a full groove, not at the chamfer and not where the tool runs out. Turned back? \
         Take the backlash out again."
            .to_owned(),
    ]
}

/// The tool into the groove, and the dials.
fn seat(card: &Card<'_>, pick_up: &PickUp) -> Vec<String> {
    let touch = if pick_up.is_wide {
        "Tool into the groove by the cross slide. Touch one flank, then the other by the top slide, and go \
         midway, backlash out."
    } else {
        "Bring the tool into the groove with top slide and cross slide together, until it touches both \
         flanks alike. White paper under it shows the gaps."
    };
    let starts = card.job.starts.as_ref().map(|next| match next.method() {
        Method::TopSlide(_) => {
            "This groove is start 1: count the top slide's steps for the next starts from here."
        }
        _ => "This groove is start 1: index the next starts from here.",
    });
    let way = if card.is_nut() { "outward" } else { "inward" };
    let so_far = pick_up.depth.map(|depth| format!(" Depth so far: {}.", size::both(&depth)));
    let dial = format!(
        "Last move of each slide {way}, backlash out. Both dials to 0: the next passes count from there.{}",
        so_far.unwrap_or_default()
    );
    [Some(touch.to_owned()), starts.map(str::to_owned), Some(dial)].into_iter().flatten().collect()
}

/// The scratch pass.
fn check(card: &Card<'_>) -> Vec<String> {
    let (out, back) = if card.is_nut() { ("inward", "outward") } else { ("outward", "inward") };
    vec![
        format!(
            "Ink the flanks. Tool {out}, back past the start of the thread, tool {back} to 0.05 mm before \
             its 0: one pass by hand."
        ),
        "It must run in its groove from end to end. Ink gone on one flank only: top slide toward the \
         other, and check again."
            .to_owned(),
        "Ink still there, or gone alike: go on with the passes.".to_owned(),
    ]
}
