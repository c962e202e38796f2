//! Work of several starts: how the next one is reached. One method a card, never two together.

use super::job::Job;
use super::page::Page;
use super::size;
use crate::report::job::NextStart;
use crate::report::{Role, Text};
use solver::starts::{Method, NoShift, Plan, Shift};
use solver::{Ratio, Result};

/// The plan, and what is written of it.
#[derive(Debug)]
pub(super) struct Next {
    pub(super) facts: NextStart,
    plan: Plan,
}

impl Next {
    /// Whether the top slide stands parallel to the bed, so that infeed is by the cross slide.
    pub(super) const fn takes_the_top_slide(&self) -> bool {
        matches!(self.plan.method(), Method::TopSlide(_))
    }
}

/// `None` for a single start.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>) -> Result<Option<Next>> {
    let Some(setting) = job.entry.setting.as_ref().filter(|_| !job.is_feed()) else {
        return Ok(None);
    };
    let Some(plan) = Plan::new(job.lathe(), setting, &job.entry.train, job.starts())? else {
        return Ok(None);
    };
    let shift = plan.shift.as_ref().ok();
    let facts = NextStart {
        number: plan.starts,
        pitch: size::of_lead(&plan.pitch),
        method: if shift.is_some() { "first gear" } else { "top slide" },
        gear: shift.map(|shift| shift.gear().get()),
        teeth: shift.map(|shift| shift.teeth().to_string()),
        spindle_turns: shift.map(|shift| shift.spindle_turns().to_string()),
        order: shift.map_or_else(|| (0..plan.starts).collect(), Shift::order),
    };
    Ok(Some(Next { facts, plan }))
}

/// The section; a widened groove takes the top slide for its flanks too.
pub(super) fn write(next: &Next, widened: bool, page: &mut Page) {
    page.section("Next start");
    let (starts, pitch) = (next.facts.number, size::both(&next.facts.pitch));
    page.note(format!(
        "{starts} starts, {pitch} from groove to groove. Finish one to its depth, then the next."
    ));
    if let Method::Shift(shift) = next.plan.method() {
        write_shift(shift, page);
        return;
    }
    // The top slide does it on every lathe.
    if let Err(NoShift::BetweenTeeth(each)) = &next.plan.shift {
        page.note(format!(
            "The first gear can't be moved on: a start would lie {} teeth on.",
            size::mixed(each)
        ));
    }
    let (from, but) = if widened {
        ("from the middle of the groove ", "for the flanks and for nothing else")
    } else {
        ("", "for nothing else")
    };
    page.steps([
        format!(
            "Set the top slide parallel to the bed (dial gauge). Next start: {from}move it {pitch}, \
             play taken up the same way."
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
    let mark = "Isolate the lathe, half nut closed, cover off. Mark a tooth of the first gear and the \
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
