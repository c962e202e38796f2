//! The way back: how everything that the job changed is restored, on every card.

use super::gears::{SetUp, is_spread, sentence, shifting, spare};
use super::job::Job;
use super::page::Page;
use super::size;
use crate::command::lathe;
use crate::document::set_up::Named;
use crate::report::job::Back;
use crate::words::change;
use solver::bracket::Fit;
use solver::{Control, Fitted, Lathe, Restored, Travel};

/// Back to the fitted set-up.
pub(super) fn of(job: &Job<'_>) -> Option<Back> {
    let fitted = job.lathe().parts().fitted.as_ref()?;
    Some(Back {
        change: change::of(&job.entry.train, &change::fitted(job.lathe())?),
        levers: Named(fitted.levers.clone()),
        headstock: fitted.headstock.clone(),
        tumbler: fitted.tumbler.clone(),
        as_noted: as_noted(job),
        restores: restores(job, fitted),
    })
}

/// Every control, with what the job sets it to and how it was.
pub(super) fn controls(job: &Job<'_>) -> Vec<Restored> {
    let (lathe, entry) = (job.lathe(), job.entry);
    let Some(setting) = &entry.setting else { return Vec::new() };
    let tumblers = &lathe.parts().tumbler;
    let tumbler = entry.tumbler.as_ref();
    let tumbler = tumbler.and_then(|name| tumblers.iter().position(|(own, _)| own == name));
    lathe.restored(setting, tumbler)
}

/// Levers in the order in which they are moved for the job: none of the ways there is forbidden, where
/// there is such an order.
pub(super) fn way_there(job: &Job<'_>) -> Vec<usize> {
    let (fitted, set): (Vec<_>, Vec<_>) =
        levers(job).into_iter().map(|r| (r.fitted, r.job)).unzip();
    job.lathe().lever_moves(&fitted, &set)
}

/// The controls, the levers in the order in which they are moved back.
fn controls_back(job: &Job<'_>) -> Vec<Restored> {
    let levers = levers(job);
    let (fitted, set): (Vec<_>, Vec<_>) = levers.iter().map(|r| (r.fitted, r.job)).unzip();
    let order = job.lathe().lever_moves(&set, &fitted);
    let mut moved = order.into_iter().filter_map(|i| levers.get(i).copied());
    let next = |own: Restored| match own.control {
        Control::Lever(_) => moved.next().unwrap_or(own),
        _ => own,
    };
    controls(job).into_iter().map(next).collect()
}

fn levers(job: &Job<'_>) -> Vec<Restored> {
    let is_lever = |restored: &Restored| matches!(restored.control, Control::Lever(_));
    controls(job).into_iter().filter(is_lever).collect()
}

/// Whether the job sets it, and the lathe file does not say how it was. A feed may have to be turned the
/// other way by the tumbler.
fn is_unknown(job: &Job<'_>, restored: &Restored) -> bool {
    let moves = restored.job.is_some() || job.is_feed() && restored.control == Control::Tumbler;
    moves && restored.fitted.is_none()
}

/// Controls that the job sets, of which the lathe file does not say how they were; and the selector of
/// power feeds, which no lathe file describes.
fn as_noted(job: &Job<'_>) -> Vec<String> {
    let controls = controls(job).into_iter().filter(|restored| is_unknown(job, restored));
    let names = controls.map(|restored| job.lathe().control_name(restored.control).to_string());
    let selector = has_other_feed_selector(job.lathe()).then(|| "feed selector".to_string());
    names.chain(selector).collect()
}

/// The feeds, for which it stands there; else the thread.
fn restores(job: &Job<'_>, fitted: &Fitted) -> Vec<String> {
    let feed = |travel, way: &str| {
        let lead = job.lathe().fitted_lead(travel).ok()??;
        Some(format!("feeds {} {way}", size::fine(&size::of_lead(&lead))))
    };
    let feeds = [feed(Travel::LongFeed, "along"), feed(Travel::CrossFeed, "across")];
    let feeds: Vec<String> = feeds.into_iter().flatten().collect();
    if feeds.is_empty() { lathe::all_that_it_gives(job.lathe(), fitted) } else { feeds }
}

/// The fitted set-up, shaft by shaft, and where its studs stand.
fn as_it_was(job: &Job<'_>, fitted: &Fitted) -> Vec<String> {
    // What can't be worked out is left to the person, who knows the machine.
    let fit = job.fitted_fit.as_ref().unwrap_or(&Fit::NotChecked);
    let (lathe, last) = (job.lathe(), job.last_shaft());
    let known = change::fitted(lathe);
    let train = known.as_ref().unwrap_or(&fitted.train);
    let set_up = SetUp { lathe, train, fit, last, before: None, spread: is_spread(job) };
    let all = [set_up.mounting(None), set_up.clamping()];
    let said = all.iter().filter(|words| !words.is_empty());
    said.map(|words| sentence(&words.join("; "))).collect()
}

/// The put-back, on every card.
pub(super) fn write(job: &Job<'_>, back: Option<&Back>, page: &mut Page) {
    page.section("Put back");
    match back.zip(job.lathe().parts().fitted.as_ref()) {
        Some((back, fitted)) => page.steps(steps_back(job, back, fitted)),
        None => page.steps([
            "Isolate the lathe, half nut open, cover off. Gears and studs as you noted them.",
            "Levers and tumbler as you noted them; cover on.",
        ]),
    }
}

fn steps_back(job: &Job<'_>, back: &Back, fitted: &Fitted) -> Vec<String> {
    let (lathe, last) = (job.lathe(), job.last_shaft());
    let mut steps = Vec::new();
    if change::is_none(&back.change) {
        steps.push(format!("The gears stay: {} is the fitted set-up.", fitted.train));
    } else {
        steps.push("Isolate the lathe, half nut open, cover off.".into());
        if !back.change.off.is_empty() {
            steps.push(format!("Take off {}.", change::taken_off(&back.change.off, last)));
        }
        steps.extend(spare(&job.entry.train, &fitted.train));
        steps.extend(shifting(&back.change, last));
        steps.extend(as_it_was(job, fitted));
        if job.fitted_fit.as_ref().is_none_or(|fit| fit.mounting().is_none()) {
            steps.push("Studs and arm back to their marks.".into());
        }
        steps.push(format!("Now {} is on again. Paper in each mesh; cover on.", fitted.train));
    }
    let known: Vec<String> = controls_back(job)
        .into_iter()
        .filter_map(|Restored { control, fitted, .. }| {
            Some(format!(
                "{} {}",
                lathe.control_name(control),
                lathe.position_name(control, fitted?)
            ))
        })
        .collect();
    if !known.is_empty() {
        steps.push(format!("Set {}.", known.join(", ")));
    }
    if !back.as_noted.is_empty() {
        steps.push(format!("Back as you noted: {}.", back.as_noted.join(", ")));
    }
    if !back.restores.is_empty() {
        steps.push(format!("It then {}.", back.restores.join("; ")));
    }
    steps
}

/// Whether there are power feeds, and no lever of the gearbox is described that engages them.
fn has_other_feed_selector(lathe: &Lathe) -> bool {
    let parts = lathe.parts();
    let feeds = parts.feeds.long.is_some() || parts.feeds.cross.is_some();
    let mut positions = parts.gearbox.levers.iter().flat_map(|lever| &lever.positions);
    feeds && !positions.any(|position| position.only.is_some())
}

/// What is noted before anything is moved, since the lathe file does not say it.
pub(super) fn to_note(job: &Job<'_>) -> Option<String> {
    let fitted = job.lathe().parts().fitted.is_some();
    let mut note: Vec<String> = Vec::new();
    if !fitted {
        note.push("which gears sit where".into());
    }
    let moves = job.entry.train
        != *job.lathe().parts().fitted.as_ref().map_or(&job.entry.train, |f| &f.train);
    if !fitted || moves && job.fitted_fit.as_ref().is_none_or(|fit| fit.mounting().is_none()) {
        note.push("where studs and arm are clamped (mark them)".into());
    }
    let controls = controls(job).into_iter().filter(|restored| is_unknown(job, restored));
    let controls = controls.map(|restored| restored.control);
    note.extend(controls.map(|control| match control {
        Control::Lever(_) => format!("lever {}", job.lathe().control_name(control)),
        _ => job.lathe().control_name(control).to_string(),
    }));
    note.extend(has_other_feed_selector(job.lathe()).then(|| "feed selector".to_string()));
    (!note.is_empty()).then(|| format!("Note how it is now: {}.", note.join("; ")))
}
