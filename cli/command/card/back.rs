//! The way back: how the fitted set-up is restored, on every card.

use super::gears::{SetUp, sentence};
use super::job::Job;
use super::page::Page;
use crate::command::change;
use crate::command::lathe;
use crate::report::found::Named;
use crate::report::job::Back;
use solver::Fitted;
use solver::bracket::Fit;

/// Back to the fitted set-up.
pub(super) fn of(job: &Job<'_>) -> Option<Back> {
    let fitted = job.lathe().parts().fitted.as_ref()?;
    Some(Back {
        change: change::of(&job.entry.train, &fitted.train),
        levers: Named(fitted.levers.clone()),
        restores: restores(job, fitted),
    })
}

/// The feeds, for which it stands there; else the thread.
fn restores(job: &Job<'_>, fitted: &Fitted) -> Vec<String> {
    let all = lathe::all_that_it_gives(job.lathe(), fitted);
    let feeds: Vec<String> = all.iter().filter(|one| one.starts_with("feeds")).cloned().collect();
    if feeds.is_empty() { all } else { feeds }
}

/// The fitted set-up, shaft by shaft, and where its studs stand.
fn as_it_was(job: &Job<'_>, fitted: &Fitted) -> Vec<String> {
    // What can't be worked out is left to the person, who knows the machine.
    let fit = job.fitted_fit.as_ref().unwrap_or(&Fit::NotChecked);
    let (lathe, last) = (job.lathe(), job.last_shaft());
    let set_up = SetUp { lathe, train: &fitted.train, fit, last, before: None };
    let all = [set_up.mounting(None), set_up.clamping()];
    let said = all.iter().filter(|words| !words.is_empty());
    said.map(|words| sentence(&words.join("; "))).collect()
}

/// The put-back, on every card.
pub(super) fn write(job: &Job<'_>, back: Option<&Back>, page: &mut Page) {
    page.section("Put back");
    let Some((back, fitted)) = back.zip(job.lathe().parts().fitted.as_ref()) else {
        page.note(
            "The lathe file names no fitted set-up (its key `fitted`): write down what stood there \
             before you began.",
        );
        return;
    };
    page.steps(steps_back(job, back, fitted));
}

fn steps_back(job: &Job<'_>, back: &Back, fitted: &Fitted) -> Vec<String> {
    let last = job.last_shaft();
    let mut steps = Vec::new();
    if change::is_none(&back.change) {
        steps.push(format!("The gears stay: {} is the fitted set-up.", fitted.train));
    } else {
        steps.push("Isolate the lathe, half nut open, cover off.".into());
        if !back.change.off.is_empty() {
            steps.push(format!("Take off {}.", change::taken_off(&back.change.off, last)));
        }
        steps.extend(as_it_was(job, fitted));
        steps.push(format!("{} again. Paper in each mesh; cover on.", fitted.train));
    }
    if !fitted.levers.is_empty() {
        steps.push(format!("Levers: {}.", lathe::when(&fitted.levers)));
    }
    if !back.restores.is_empty() {
        steps.push(format!("It then {}.", back.restores.join("; ")));
    }
    steps
}
