//! The way back: how everything that the job changed is restored, on every card.

use super::Card;
use super::page::Page;
use super::set_up::{SetUp, is_spread, sentence, shifting, spare};
use crate::command::lathe;
use crate::words::control::as_noted;
use crate::words::{change, size};
use solver::bracket::Fit;
use solver::{Fitted, GearChange, Restored};

/// The feeds, for which it stands there; else the thread.
pub(super) fn restores(card: &Card<'_>) -> Vec<String> {
    let Some(fitted) = &card.lathe().parts().fitted else { return Vec::new() };
    let feeds = card.job.change.feeds.iter().zip(["longitudinal", "cross"]);
    let feed = |(lead, way): (&Option<_>, &str)| {
        lead.as_ref().map(|lead| format!("{way} feed {}", size::fine(lead)))
    };
    let feeds: Vec<String> = feeds.filter_map(feed).collect();
    if feeds.is_empty() { lathe::all_that_it_gives(card.lathe(), fitted) } else { feeds }
}

/// The fitted set-up, shaft by shaft, and where its studs stand.
fn as_it_was(card: &Card<'_>, fitted: &Fitted) -> Vec<String> {
    // What can't be worked out is left to the person, who knows the machine.
    let fit = card.job.change.fitted_fit.as_ref().unwrap_or(&Fit::NotChecked);
    let (lathe, last) = (card.lathe(), card.last_shaft());
    let train = card.job.change.back.as_ref().map_or(&fitted.train, |back| &back.to);
    let set_up = SetUp { lathe, train, fit, last, before: None, spread: is_spread(card) };
    let all = [set_up.mounting(None), set_up.clamping()];
    let said = all.iter().filter(|words| !words.is_empty());
    said.map(|words| sentence(&words.join("; "))).collect()
}

/// The put-back, on every card.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    page.section("Put back");
    match card.job.change.back.as_ref().zip(card.lathe().parts().fitted.as_ref()) {
        Some((back, fitted)) => page.steps(steps_back(card, back, fitted)),
        None => page.steps([
            "Isolate the lathe, half nut open, cover off. Gears and studs as you noted them.",
            "Levers and tumbler as you noted them; cover on.",
        ]),
    }
}

fn steps_back(card: &Card<'_>, back: &GearChange, fitted: &Fitted) -> Vec<String> {
    let (lathe, last) = (card.lathe(), card.last_shaft());
    let mut steps = Vec::new();
    if back.is_none() {
        steps.push(format!("The gears stay: {} is the fitted set-up.", fitted.train));
    } else {
        steps.push("Isolate the lathe, half nut open, cover off.".into());
        if !back.off.is_empty() {
            steps.push(format!("Take off {}.", change::taken_off(&back.off, last)));
        }
        steps.extend(spare(&card.entry.train, &fitted.train));
        steps.extend(shifting(back, last));
        steps.extend(as_it_was(card, fitted));
        if card.job.change.fitted_fit.as_ref().is_none_or(|fit| fit.mounting().is_none()) {
            steps.push("Studs and arm back to their marks.".into());
        }
        steps.push(format!("Now {} is on again. Paper in each mesh; cover on.", fitted.train));
    }
    let known: Vec<String> = card
        .job
        .change
        .controls_back
        .iter()
        .filter_map(|Restored { control, fitted, .. }| {
            Some(format!(
                "{} {}",
                lathe.control_name(*control),
                lathe.position_name(*control, (*fitted)?)
            ))
        })
        .collect();
    if !known.is_empty() {
        steps.push(format!("Set {}.", known.join(", ")));
    }
    let noted = as_noted(lathe, &card.job.change.note);
    if !noted.is_empty() {
        steps.push(format!("Back as you noted: {}.", noted.join(", ")));
    }
    let restores = restores(card);
    if !restores.is_empty() {
        steps.push(format!("Then: {}.", restores.join("; ")));
    }
    steps
}
