//! The half nut: where it may close again, or that it stays closed, for the lead that the train truly
//! cuts.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::report::job::HalfNut;
use crate::report::{Role, Text};
use solver::dial::{Advice, Back, Class, Landing, Line, Plan, Reading, Why};
use solver::{Dial, Result};

/// What the dial says, with what is written of it.
#[derive(Debug)]
pub(super) struct Nut {
    pub(super) facts: HalfNut,
    plan: Plan,
}

/// For the lead that is cut.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>) -> Result<Option<Nut>> {
    if job.is_feed() {
        return Ok(None);
    }
    let plan = Plan::new(job.lathe(), &job.lead(), job.starts())?;
    let dials = &job.lathe().parts().dials;
    let distance = plan.repeat().map(solver::dial::Repeat::distance).transpose()?;
    let (advice, why, reading) = match plan.advice() {
        Advice::Anywhere => ("anywhere", None, None),
        Advice::Lines(reading) => ("lines", None, Some(reading)),
        Advice::KeepClosed(why) => ("keep closed", Some(word(why)), None),
    };
    let dial = reading.and_then(|reading| dials.get(reading.dial()));
    let classes = reading.map(Reading::classes).unwrap_or_default();
    let blind = reading.map(Reading::blind).unwrap_or_default();
    let facts = HalfNut {
        advice,
        why,
        dial_teeth: reading.map(Reading::teeth),
        classes: classes.iter().map(labels).collect(),
        other_starts: reading.map(other_starts).unwrap_or_default(),
        blind: blind.iter().map(|index| label_of(dial, *index)).collect(),
        pitches: plan.repeat().map(|repeat| repeat.pitches().to_string()),
        distance: distance.map(|distance| size::of_lead(&distance)),
        back: match plan.back {
            Back::Motor => "motor",
            Back::Crank => "by hand",
        },
    };
    Ok(Some(Nut { facts, plan }))
}

const fn word(why: Why) -> &'static str {
    match why {
        Why::NoDial => "no dial",
        Why::NoDialServes => "no dial serves",
        Why::Never => "never",
        Why::UnknownScrew => "unknown screw",
        Why::NoHalfNut => "no half nut",
    }
}

/// What stands beside the lines; a line without a label is counted from 1.
fn labels(class: &Class) -> Vec<String> {
    let label = |line: &Line| line.label.clone().unwrap_or_else(|| (line.index + 1).to_string());
    class.lines().map(label).collect()
}

fn label_of(dial: Option<&Dial>, index: u16) -> String {
    let label = dial.and_then(|dial| dial.labels.get(usize::from(index)));
    label.filter(|label| !label.is_empty()).cloned().unwrap_or_else(|| (index + 1).to_string())
}

/// Classes that drop into another start, where a pass began on a line of the first.
fn other_starts(reading: &Reading) -> Vec<usize> {
    let first = |class: &Class| class.lines().next().map(|line| line.index);
    let Some(from) = reading.classes().first().and_then(first) else { return Vec::new() };
    let lands = |class: &Class| reading.landing(from, first(class)?);
    let other = |class: &Class| matches!(lands(class), Some(Landing::OtherStart(_)));
    let classes = reading.classes().iter().enumerate().skip(1);
    classes.filter_map(|(i, class)| other(class).then_some(i)).collect()
}

/// The section.
pub(super) fn write(job: &Job<'_>, nut: &Nut, page: &mut Page) {
    page.section("Half nut");
    match nut.plan.advice() {
        Advice::Anywhere => page.note(
            strong("Close it anywhere")
                .and(Role::Plain, ": every place serves, with or without a dial."),
        ),
        Advice::Lines(reading) => write_lines(job, nut, reading, page),
        Advice::KeepClosed(why) => write_closed(job, nut, why, page),
    }
}

fn write_lines(job: &Job<'_>, nut: &Nut, reading: &Reading, page: &mut Page) {
    let dials = job.lathe().parts().dials.len();
    let which =
        if dials > 1 { format!("Dial gear of {} teeth. ", reading.teeth()) } else { String::new() };
    let lines = |class: &Vec<String>| class.join(" ");
    let classes = &nut.facts.classes;
    match &classes[..] {
        [only] => page.note(
            Text::from(which)
                .and(Role::Strong, format!("Close on any line: {}", lines(only)))
                .and(Role::Plain, "."),
        ),
        many => {
            let groups: Vec<String> = many.iter().map(lines).collect();
            page.note(
                Text::from(which)
                    .and(Role::Plain, "Begin on any line, then close only on lines of its group: ")
                    .and(Role::Strong, groups.join(" | "))
                    .and(Role::Plain, "."),
            );
        }
    }
    if !nut.facts.other_starts.is_empty() {
        let groups = nut.facts.other_starts.iter().filter_map(|i| classes.get(*i)).map(lines);
        page.note(format!(
            "After a pass begun on {}, the lines {} drop into another start.",
            classes.first().map(lines).unwrap_or_default(),
            groups.collect::<Vec<_>>().join(" | ")
        ));
    }
    if !nut.facts.blind.is_empty() {
        page.note(format!("It does not close on {}.", nut.facts.blind.join(" ")));
    }
    page.note(
        "The dial must mesh, and a line must meet the mark as the nut closes: see to it first.",
    );
}

fn write_closed(job: &Job<'_>, nut: &Nut, why: Why, page: &mut Page) {
    let keep = if why == Why::NoHalfNut { "Never uncouple the screw" } else { "Keep it closed" };
    let because = match why {
        Why::NoDial => "there is no dial",
        Why::NoDialServes => "no dial here comes round with this thread: don't use it",
        Why::Never => "lead screw and work never come round together",
        Why::UnknownScrew => "what the lead screw is, is not known",
        Why::NoHalfNut => "there is no half nut",
    };
    page.note(
        strong(keep).and(Role::Plain, format!(" from the first pass to the last: {because}.")),
    );
    let back = match nut.plan.back {
        Back::Motor => "reverse the motor",
        Back::Crank => "turn back by hand at the spindle: the motor does not reverse",
    };
    page.steps([format!("At the end of a pass: tool out, stop, {back}; past the start, tool in.")]);
    if let Some(round) = comes_round(job, nut) {
        page.note(round);
    }
    if nut.plan.back == Back::Motor {
        page.note("Never cut in reverse with a screwed-on chuck: it can unscrew.");
    }
}

/// Dial gears that are worth naming.
const USUAL_DIALS: std::ops::RangeInclusive<u16> = 12..=48;

fn comes_round(job: &Job<'_>, nut: &Nut) -> Option<String> {
    let repeat = nut.plan.repeat()?;
    let distance = nut.facts.distance.as_ref()?;
    let gears: Vec<String> = repeat
        .dial_gears()
        .filter(|teeth| USUAL_DIALS.contains(teeth))
        .map(|teeth| teeth.to_string())
        .take(3)
        .collect();
    let gears = if gears.is_empty() || job.lathe().parts().dials.is_empty() {
        String::new()
    } else {
        format!("; a dial gear of {} teeth would serve", gears.join(" or "))
    };
    Some(format!(
        "It comes round every {} lead-screw pitches, {}{gears}.",
        repeat.pitches(),
        size::both(distance)
    ))
}
