//! Gears and levers: which gear comes off, which goes on, where the studs are clamped, what the levers
//! are set to.

use super::change;
use super::job::Job;
use super::page::Page;
use crate::command::drawing::{self, shaft_name};
use crate::command::find::{TOO_CLOSE, levers_in_words};
use crate::command::reasons::Speaker;
use crate::report::job::Change;
use crate::report::{Block, Text};
use solver::bracket::{Fit, Standing};
use solver::{Shaft, Teeth};

/// From the fitted set-up to this one.
pub(super) fn change(job: &Job<'_>) -> Option<Change> {
    let fitted = job.lathe().parts().fitted.as_ref()?;
    Some(change::of(&fitted.train, &job.entry.train))
}

/// Take off, put on, clamp.
pub(super) fn write(job: &Job<'_>, change: Option<&Change>, drawings: usize, page: &mut Page) {
    page.section("Gears");
    if matches!(job.entry.fit, Fit::TooClose(_)) {
        page.warning(TOO_CLOSE);
    }
    let mut steps = vec!["Cover off.".to_string()];
    match change {
        Some(change) if change::is_none(change) => {
            page.note(format!("Nothing to change: {} is fitted.", change.from));
            steps.clear();
        }
        Some(change) => steps.extend(taking_off(job, change)),
        None => {
            steps.push("Note which gears stand where, then take off what is in the way.".into());
        }
    }
    if !steps.is_empty() {
        steps.extend(mounting(job, change));
        steps.extend(clamping(job));
    }
    page.steps(steps);
    let in_letters = drawing::in_letters(&job.entry.train, &job.entry.fit);
    page.push(Block::Picture { drawings: (0..drawings).collect(), in_letters });
    if let Some(idlers) = idlers(job) {
        page.note(idlers);
    }
}

fn taking_off(job: &Job<'_>, change: &Change) -> Vec<String> {
    let last = job.last_shaft();
    let mut steps = Vec::new();
    if !change.off.is_empty() {
        steps.push(format!("Take off {}.", change::taken_off(&change.off, last)));
    }
    if !change.shifted.is_empty() {
        let gears = change::put_on(&change.shifted, last);
        steps.push(format!("Shift to the other plane: {gears}."));
    }
    steps
}

/// What each shaft carries, in the order of the power path.
fn mounting(job: &Job<'_>, change: Option<&Change>) -> Vec<String> {
    let shafts = job.entry.train.shafts();
    let beside = drawing::beside(&job.entry.train, &job.entry.fit);
    let words = |(i, shaft): (usize, &Shaft)| {
        let name = change::in_words(&shaft_name(i, shafts.len()), job.last_shaft());
        let at = beside.get(i).filter(|words| !words.is_empty());
        let stays = |teeth: Teeth| match change {
            Some(change) if !moves(change, &shaft_name(i, shafts.len()), teeth) => " (stays)",
            _ => "",
        };
        match shaft {
            Shaft::One(gear) => {
                let at = at.map(|words| format!(", {words}")).unwrap_or_default();
                format!("On {name}: {}{at}{}.", gear.teeth, stays(gear.teeth))
            }
            Shaft::Pair { driven, driver } => {
                let planes = planes(job, i);
                let (driven, driver) = (driven.teeth, driver.teeth);
                format!(
                    "On {name}: {driven} {}, {driver} {}, keyed together.",
                    planes[0], planes[1]
                )
            }
        }
    };
    shafts.iter().enumerate().map(words).collect()
}

/// Whether a gear of the new set-up has to be put on or shifted.
fn moves(change: &Change, shaft: &str, teeth: Teeth) -> bool {
    let mut moved = change.on.iter().chain(&change.shifted);
    moved.any(|gear| gear.shaft == shaft && gear.teeth == teeth.get())
}

/// Where the two gears of a pair stand: `inboard`, `outboard`.
fn planes(job: &Job<'_>, shaft: usize) -> [String; 2] {
    let placed = drawing::planes(&job.entry.train, &job.entry.fit);
    let of = |i: usize| placed.get(shaft).and_then(|planes| planes.get(i)).copied();
    let words = |own: Option<u8>, other: Option<u8>| match own.zip(other) {
        Some((own, other)) if own > other => "outboard".to_string(),
        _ => "inboard".to_string(),
    };
    [words(of(0), of(1)), words(of(1), of(0))]
}

/// Where the studs go and how the meshes are set.
fn clamping(job: &Job<'_>) -> Vec<String> {
    let mut steps = Vec::new();
    if let Some(mounting) = job.entry.fit.mounting() {
        let speaker = Speaker::new(job.lathe(), &job.entry.train);
        let studs = speaker.studs(mounting);
        steps.extend(studs.iter().map(|(name, place)| format!("Clamp {name} {place}.")));
        steps.extend(speaker.swing(mounting).map(|swing| format!("Swing {swing}, clamp it.")));
        if mounting.shafts.iter().any(is_stud) || mounting.swing.is_none() {
            steps.extend(speaker.tightest(mounting).map(|gap| format!("Look: {gap}.")));
        }
    }
    steps.push(
        "Set each mesh with a strip of writing paper between the teeth; roll it out, clamp, turn by \
         hand: no tight spot."
            .into(),
    );
    steps
}

const fn is_stud(shaft: &Standing) -> bool {
    shaft.slot.is_some()
}

/// Which other idlers would do.
fn idlers(job: &Job<'_>) -> Option<String> {
    match &job.entry.idlers[..] {
        [] | [_] => None,
        many => {
            let all: Vec<String> = many
                .iter()
                .map(|idlers| {
                    let teeth: Vec<String> = idlers.iter().map(ToString::to_string).collect();
                    teeth.join(" with ")
                })
                .collect();
            let shown = all.iter().take(MOST_IDLERS).cloned().collect::<Vec<_>>().join(", ");
            let more = if all.len() > MOST_IDLERS { " and more" } else { "" };
            Some(format!("Idlers that reach: {shown}{more}; the choice changes nothing else."))
        }
    }
}

/// Idlers that a card has room for.
const MOST_IDLERS: usize = 8;

/// The levers and the tumbler.
pub(super) fn write_levers(job: &Job<'_>, page: &mut Page) {
    let entry = job.entry;
    if levers_in_words(entry).is_empty() {
        return;
    }
    page.section("Levers");
    page.note("With everything at rest; rock the chuck by hand if one won't go in.");
    let fitted = job.lathe().parts().fitted.as_ref();
    let was = |lever: &str| {
        let levers = fitted.map(|fitted| &fitted.levers[..]).unwrap_or_default();
        levers.iter().find(|(name, _)| name == lever).map(|(_, position)| position.as_str())
    };
    let step = |lever: &str, position: &str| {
        let was = match was(lever) {
            Some(at) if at == position => " (as fitted)".to_string(),
            Some(at) => format!(" (fitted: {at})"),
            None => String::new(),
        };
        Text::from(format!("{lever}: "))
            .and(crate::report::Role::Strong, position)
            .and(crate::report::Role::Plain, was)
    };
    let headstock = entry.headstock.iter().map(|name| step("Headstock", name));
    let levers = entry.levers.iter().map(|(lever, position)| step(lever, position));
    let tumbler = entry.tumbler.iter().map(|name| step("Tumbler", name));
    page.steps(headstock.chain(levers).chain(tumbler));
}
