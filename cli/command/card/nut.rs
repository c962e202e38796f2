//! The half nut: where it may close again, or that it stays closed, for the lead that the train truly
//! cuts.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::report::job::HalfNut;
use crate::report::{Role, Text};
use solver::dial::{Advice, Back, Class, Landing, Plan, Reading, Why};
use solver::{Dial, Lathe, Lead, Result};
use std::collections::HashSet;

/// What the dial says, with what is written of it.
#[derive(Debug)]
pub(super) struct Nut {
    pub(super) facts: HalfNut,
    plan: Plan,
}

impl Nut {
    /// Whether it may be opened at the end of a pass.
    pub(super) fn may_open(&self) -> bool {
        !matches!(self.plan.advice(), Advice::KeepClosed(_))
    }
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
        _ => ("keep closed", None, None),
    };
    let dial = reading.and_then(|reading| dials.get(reading.dial()));
    let names = dial.map(names).unwrap_or_default();
    let name = |index: u16| names.get(usize::from(index)).cloned().unwrap_or_default();
    let classes = reading.map(Reading::classes).unwrap_or_default();
    let blind = reading.map(Reading::blind).unwrap_or_default();
    let facts = HalfNut {
        advice,
        why,
        dial_teeth: reading.map(Reading::teeth),
        classes: classes.iter().map(|c| c.lines().map(|line| name(line.index)).collect()).collect(),
        other_starts: reading.map(other_starts).unwrap_or_default(),
        blind: blind.iter().map(|index| name(*index)).collect(),
        pitches: plan.repeat().map(|repeat| repeat.pitches().to_string()),
        distance: distance.map(|distance| size::of_lead(&distance)),
        back: match plan.back {
            Back::Motor => "motor",
            Back::Crank => "by hand",
            Back::Unknown => "unknown",
        },
    };
    Ok(Some(Nut { facts, plan }))
}

/// In a few words, for a chart: `anywhere`, `any line`, `same line`, `1 3 5 7 or 2 4 6 8, same set`, `keep
/// closed`.
///
/// # Errors
/// If a figure does not fit.
pub(in crate::command) fn in_short(lathe: &Lathe, lead: &Lead, starts: u8) -> Result<String> {
    let plan = Plan::new(lathe, lead, starts)?;
    let reading = match plan.advice() {
        Advice::Anywhere => return Ok("anywhere".to_string()),
        Advice::Lines(reading) => reading,
        _ => return Ok("keep closed".to_string()),
    };
    let dials = &lathe.parts().dials;
    let names = dials.get(reading.dial()).map(names).unwrap_or_default();
    let group = |class: &Class| {
        let own = class.lines().filter_map(|line| names.get(usize::from(line.index)));
        own.map(|name| number_alone(name).to_string()).collect::<Vec<_>>().join(" ")
    };
    let classes = reading.classes();
    let lines = match classes {
        [only] if only.lines().count() == names.len() => "any line".to_string(),
        [only] => group(only),
        many if many.iter().all(|class| class.lines().count() == 1) => "same line".to_string(),
        many => format!("{}, same set", many.iter().map(group).collect::<Vec<_>>().join(" or ")),
    };
    let which = if dials.len() > 1 { format!("{}t: ", reading.teeth()) } else { String::new() };
    Ok(format!("{which}{lines}"))
}

/// `line 2 (marked 5)` is 2.
fn number_alone(name: &str) -> &str {
    name.strip_prefix("line ").and_then(|rest| rest.split(' ').next()).unwrap_or(name)
}

const fn word(why: Why) -> &'static str {
    match why {
        Why::NoDial => "no dial",
        Why::NoDialServes => "no dial serves",
        Why::Never => "never",
        Why::UnknownScrew => "unknown screw",
        Why::NoHalfNut => "no half nut",
        _ => "other",
    }
}

/// What each line of a dial is called: by its mark; one without a mark by those on both sides
/// (`1-2`); where marks come twice, or there are none, by its number round the dial.
fn names(dial: &Dial) -> Vec<String> {
    let mark = |index: usize| dial.labels.get(index).filter(|label| !label.is_empty());
    let lines = usize::from(dial.lines);
    let marks: Vec<&String> = (0..lines).filter_map(mark).collect();
    let unlike: HashSet<&String> = marks.iter().copied().collect();
    let between = |index: usize| {
        let before = mark((index + lines - 1) % lines)?;
        let after = mark((index + 1) % lines)?;
        Some(format!("{before}-{after}"))
    };
    let name = |index: usize| mark(index).cloned().or_else(|| between(index));
    let named: Option<Vec<String>> = (0..lines).map(name).collect();
    let number = |index: usize| match mark(index) {
        Some(mark) => format!("line {} (marked {mark})", index + 1),
        None => format!("line {}", index + 1),
    };
    named
        .filter(|_| !marks.is_empty() && unlike.len() == marks.len())
        .unwrap_or_else(|| (0..lines).map(number).collect())
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
    if job.lathe().parts().half_nut.is_none() && job.lathe().parts().dials.is_empty() {
        page.note(
            "Whether there is a half nut is not known. If there is none: leave the screw coupled \
             from the first pass to the last.",
        );
    }
    match nut.plan.advice() {
        Advice::Anywhere => page.note(
            strong("Close it anywhere")
                .and(Role::Plain, ": every place is right, with or without a dial."),
        ),
        Advice::Lines(reading) => write_lines(job, nut, reading, page),
        Advice::KeepClosed(why) => write_closed(job, nut, why, page),
        _ => page
            .note(strong("Keep it closed").and(Role::Plain, " from the first pass to the last.")),
    }
}

fn write_lines(job: &Job<'_>, nut: &Nut, reading: &Reading, page: &mut Page) {
    let dials = job.lathe().parts().dials.len();
    let which = if dials > 1 { dial_gears(nut, reading) } else { String::new() };
    let lines = |class: &Vec<String>| {
        let apart = if class.iter().any(|name| name.contains(' ')) { ", " } else { " " };
        class.join(apart)
    };
    let classes = &nut.facts.classes;
    match &classes[..] {
        [only] if all_lines(job, reading) == Some(only.len()) => page.note(
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
            let sets: Vec<String> = many.iter().map(lines).collect();
            page.note(
                Text::from(which)
                    .and(Role::Plain, "Close on ")
                    .and(Role::Strong, sets.join(", or "))
                    .and(Role::Plain, ": stay with the set that you began with."),
            );
        }
    }
    if !nut.facts.other_starts.is_empty() {
        let groups = nut.facts.other_starts.iter().filter_map(|i| classes.get(*i)).map(lines);
        page.note(format!(
            "After a pass begun on {} don't close on {}: that would drop into another start.",
            classes.first().map(lines).unwrap_or_default(),
            groups.collect::<Vec<_>>().join(" or ")
        ));
    }
    if !nut.facts.blind.is_empty() {
        page.note(format!("It does not close on {}.", nut.facts.blind.join(" ")));
    }
    page.note(
        "The thread dial must mesh, and a line must meet the mark as the nut closes: check first.",
    );
}

/// Lines of its dial; `None`: it is none of the lathe's.
fn all_lines(job: &Job<'_>, reading: &Reading) -> Option<usize> {
    job.lathe().parts().dials.get(reading.dial()).map(|dial| dial.lines.into())
}

/// `Dial gear of 20 or 15 teeth. `: those that say the same in as many words.
fn dial_gears(nut: &Nut, reading: &Reading) -> String {
    let alike = |other: &&Reading| {
        let any_line =
            |reading: &Reading| reading.classes().len() == 1 && reading.blind().is_empty();
        other.dial() == reading.dial() || any_line(reading) && any_line(other)
    };
    let mut teeth: Vec<String> = Vec::new();
    for one in nut.plan.serving().into_iter().filter(alike).map(|one| one.teeth().to_string()) {
        if !teeth.contains(&one) {
            teeth.push(one);
        }
    }
    format!("Dial gear of {} teeth. ", teeth.join(" or "))
}

fn write_closed(job: &Job<'_>, nut: &Nut, why: Why, page: &mut Page) {
    let keep = if why == Why::NoHalfNut { "Never uncouple the screw" } else { "Keep it closed" };
    let because = match why {
        Why::NoDial => "no thread dial is described",
        Why::NoDialServes => "don't use the dial, it does not come round with this thread",
        Why::Never => "lead screw and work never come round together",
        Why::UnknownScrew => "what the lead screw is, is not known",
        Why::NoHalfNut => "there is no half nut",
        _ => "it is not safe to open it",
    };
    page.note(
        strong(keep).and(Role::Plain, format!(" from the first pass to the last: {because}.")),
    );
    let end = "At the end of a pass: tool out, stop";
    let by_hand = "turn back by hand at the spindle";
    page.steps(match nut.plan.back {
        Back::Motor => vec![format!("{end}, reverse the motor; past the start, tool in.")],
        Back::Crank => {
            vec![format!("{end}, {by_hand}: the motor does not reverse; past the start, tool in.")]
        }
        Back::Unknown => vec![
            format!("{end}."),
            format!(
                "If the motor reverses: reverse it. If not: {by_hand}. Past the start, tool in."
            ),
        ],
    });
    if let Some(round) = comes_round(job, nut) {
        page.note(round);
    }
    if nut.plan.back != Back::Crank {
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
        format!("; a dial gear of {} teeth would do", gears.join(" or "))
    };
    Some(format!(
        "The nut meets the thread again every {} lead-screw pitches, {}{gears}.",
        repeat.pitches(),
        size::both(distance)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names_of(lines: u16, labels: &[&str]) -> Vec<String> {
        let labels = labels.iter().map(ToString::to_string).collect();
        names(&Dial { teeth: 16, lines, labels })
    }

    #[test]
    fn lines_are_called_by_their_marks_where_those_tell_them_apart() {
        assert_eq!(names_of(4, &["1", "2", "3", "4"]), ["1", "2", "3", "4"]);
        assert_eq!(names_of(4, &["1", "", "2", ""]), ["1", "1-2", "2", "2-1"]);
        assert_eq!(names_of(2, &["7", "7"]), ["line 1 (marked 7)", "line 2 (marked 7)"]);
        assert_eq!(names_of(3, &["A", "", ""]), ["line 1 (marked A)", "line 2", "line 3"]);
        assert_eq!(names_of(2, &[]), ["line 1", "line 2"]);
    }
}
