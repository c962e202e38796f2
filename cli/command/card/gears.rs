//! Gears and levers: which gear comes off, which goes on, where the studs are clamped, what the levers
//! are set to.

use super::Card;
use super::page::Page;
use super::set_up::{SetUp, is_spread, sentence, shifting, spare};
use crate::answer::idler_that_may_stay;
use crate::command::drawing;
use crate::report::{Block, Role, Text};
use crate::words::control::FEED_SELECTOR;
use crate::words::reasons::Speaker;
use crate::words::set_up::{assumption, levers_in_words, on_it};
use crate::words::{change, doubt, either};
use solver::{Control, GearAt, GearChange};

/// Take off, put on, clamp.
pub(super) fn write(card: &Card<'_>, drawings: usize, page: &mut Page) {
    page.section("Gears");
    write_steps(card, None, page);
    let in_letters = drawing::in_letters(card.lathe(), &card.entry.train, &card.entry.fit);
    page.push(Block::Picture { drawings: (0..drawings).collect(), in_letters });
    if let Some(idlers) = idlers(card) {
        page.note(idlers);
    }
}

/// What comes off and goes on, step by step; `safe`: what is done before the cover is opened.
pub(super) fn write_steps(card: &Card<'_>, safe: Option<&str>, page: &mut Page) {
    if let Some(doubt) = doubt::in_full(card.lathe(), &card.entry.fit) {
        page.warning(doubt);
    }
    if let Some(assumption) = assumption(card.lathe(), card.entry, card.request.arbor) {
        page.warning(assumption);
    }
    let change = card.job.change.there.as_ref();
    let mut steps: Vec<String> = to_note(card).into_iter().collect();
    let before = steps.len();
    steps.extend(safe.map(str::to_owned));
    steps.push("Cover off.".to_string());
    match change {
        Some(change) if change.is_none() => {
            page.note(format!("Nothing to change: {} is {}.", change.from, on_it(card.lathe())));
            steps.truncate(before);
        }
        Some(change) => {
            steps.extend(taking_off(card, change));
            let now = card.lathe().on_now();
            // One that is free may be wanted for an idler.
            let idle = card.entry.either.is_some();
            steps.extend(now.filter(|_| !idle).and_then(|on| spare(&on.train, &card.entry.train)));
        }
        None => steps.push("Take off what is in the way.".into()),
    }
    if steps.len() > before {
        let now = card.lathe().on_now().map(|now| &now.train);
        // What can't be worked out counts as it stands in the usual planes.
        let set_up = SetUp {
            lathe: card.lathe(),
            train: &card.entry.train,
            fit: &card.entry.fit,
            last: card.last_shaft(),
            before: now.zip(card.job.change.now_fit.as_ref()),
            spread: is_spread(card),
        };
        steps.extend(set_up.mounting(change).iter().map(|words| sentence(words)));
        steps.extend(set_up.clamping().iter().map(|words| sentence(words)));
        steps.extend(unmeasured(card));
        steps.extend(meshes(card));
    }
    page.steps(steps);
}

/// What is noted before anything is moved, since the lathe file does not say it.
fn to_note(card: &Card<'_>) -> Option<String> {
    let (lathe, note) = (card.lathe(), &card.job.change.note);
    // What another job has left is not what is put back.
    if lathe.not_as_fitted().is_some() {
        return None;
    }
    let gears = note.gears.then(|| "which gears sit where".to_string());
    let clamped = note.clamped.then(|| "where studs and arm are clamped (mark them)".to_string());
    let controls = note.controls.iter().map(|control| match control {
        Control::Lever(_) => format!("lever {}", lathe.control_name(*control)),
        _ => lathe.control_name(*control).to_string(),
    });
    let selector = note.feed_selector.then(|| FEED_SELECTOR.to_string());
    let all = gears.into_iter().chain(clamped).chain(controls).chain(selector);
    let all: Vec<String> = all.collect();
    (!all.is_empty()).then(|| format!("Note how it is now: {}.", all.join("; ")))
}

fn taking_off(card: &Card<'_>, change: &GearChange) -> Vec<String> {
    let last = card.last_shaft();
    let mut steps = Vec::new();
    let idler = idler_that_may_stay(card.lathe(), card.outcome, card.entry);
    let is_idler = |gear: &&GearAt| idler == Some(gear.teeth);
    let off: Vec<GearAt> = change.off.iter().filter(|gear| !is_idler(gear)).copied().collect();
    if !off.is_empty() {
        steps.push(format!("Take off {}.", change::taken_off(&off, last)));
    }
    if let Some(idler) = idler {
        steps.push(format!("The {idler} stays as the idler, if one is needed; else take it off."));
    }
    steps.extend(shifting(change, last));
    steps
}

/// Two gears of which nobody has measured whether they mesh directly.
fn unmeasured(card: &Card<'_>) -> Option<String> {
    card.entry.either.as_ref()?;
    Some(match card.entry.train.studs() {
        [] => "Try whether the two mesh directly: it is not measured. If not, put any idler between.",
        _ => "Try whether the two end gears mesh directly: then the idler is not needed.",
    }
    .to_string())
}

/// What is tight, and how the meshes are set.
fn meshes(card: &Card<'_>) -> Vec<String> {
    let speaker = Speaker::new(card.lathe(), &card.entry.train);
    let tightest = card.entry.fit.mounting().and_then(|mounting| speaker.tightest(mounting));
    let look = tightest.map(|gap| format!("Look: {gap}."));
    let paper = "Set each mesh with a strip of writing paper between the teeth; roll it out, clamp, \
                 turn by hand: no tight spot.";
    look.into_iter().chain([paper.to_string()]).collect()
}

/// Which other idlers would do.
fn idlers(card: &Card<'_>) -> Option<String> {
    match &card.entry.idlers[..] {
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
            let several = many.iter().any(|idlers| idlers.len() > 1);
            let order = if several { ", stud 1 first" } else { "" };
            Some(format!(
                "Idlers that reach{order}: {shown}{more}; the choice changes nothing else."
            ))
        }
    }
}

/// Idlers that a card has room for.
const MOST_IDLERS: usize = 8;

/// The levers and the tumbler.
pub(super) fn write_levers(card: &Card<'_>, page: &mut Page) {
    if levers_in_words(card.lathe(), card.entry).is_empty() {
        return;
    }
    page.section("Levers");
    page.note("With everything at rest; rock the chuck by hand if one won't go in.");
    page.steps(lever_steps(card));
}

/// Each of them with its position, and with the one before.
pub(super) fn lever_steps(card: &Card<'_>) -> Vec<Text> {
    let entry = card.entry;
    let controls = &card.job.change.controls;
    let was = |control: Control| {
        let restored = controls.iter().find(|restored| restored.control == control)?;
        let on = on_it(card.lathe());
        Some(match (restored.job, restored.now?) {
            (Some(set), now) if set == now => format!(" (as {on})"),
            (_, now) => format!(" ({on}: {})", card.lathe().position_name(control, now)),
        })
    };
    let lathe = card.lathe();
    let step = |label: &str, control, at| {
        Text::from(format!("{label}: "))
            .and(Role::Strong, lathe.position_name(control, at))
            .and(Role::Plain, was(control).unwrap_or_default())
    };
    let headstock = lathe.headstock_name(&entry.setting);
    let headstock =
        headstock.map(|_| step("Headstock", Control::Headstock, entry.setting.headstock));
    let levers = card.job.change.levers_there.iter().filter_map(|i| {
        let lever = Control::Lever(*i);
        Some(step(lathe.control_name(lever), lever, *entry.setting.levers.get(*i)?))
    });
    let open = either::tumbler_sentences(lathe, entry);
    let settled = entry.tumbler.filter(|_| open.is_none());
    let tumbler = settled.map(|at| step("Tumbler", Control::Tumbler, at));
    let open = open.into_iter().flatten().map(Text::from);
    headstock.into_iter().chain(levers).chain(tumbler).chain(open).collect()
}
