//! `lathe now`: what is on the machine, and what is it once a card was followed or put back?
//!
//! It is kept in a small file beside the lathe's. Commands that say which gears are moved start from it
//! ([`machine`]). A set-up that can't be on the lathe is never written; where the lathe's file has changed
//! since, the page says so and starts from the fitted set-up.

use super::lathe::{facts, warnings};
use crate::args;
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::failure::{Failure, shortened};
use crate::files;
use crate::keys;
use crate::report::{Block, Report, Role, Table, Text};
use solver::now::{Refused, put_on};
use solver::{Fitted, Lathe};
use std::path::PathBuf;

/// The machine with what is on it.
///
/// # Errors
/// If a file can't be used, or a word can't be read.
pub(super) fn machine(words: &args::Machine, context: &Context<'_>) -> Result<Machine, Failure> {
    let mut machine = context.machine(words)?;
    let recorded = match context.given {
        Some(given) => given.now.clone(),
        None => machine.recorded()?,
    };
    let (lathe, stale) = on(&machine.lathe, recorded);
    machine.lathe = lathe;
    machine.stale = stale;
    Ok(machine)
}

/// A lathe with what is recorded, or why that can't be on it any more.
pub(super) fn on(lathe: &Lathe, recorded: Option<Fitted>) -> (Lathe, Option<String>) {
    let Some(set_up) = recorded else { return (lathe.clone(), None) };
    let train = set_up.train.clone();
    match put_on(lathe.clone(), set_up) {
        Ok(lathe) => (lathe, None),
        Err(refused) => {
            let (why, _) = in_words(lathe, &refused);
            let stale = format!(
                "{train} was recorded as on it now, but the lathe file has changed: {why}. Started \
                 from the fitted set-up. `trainwright lathe now` records what is on it."
            );
            (lathe.clone(), Some(stale))
        }
    }
}

/// Why a set-up can't be on a lathe, and what would be right.
fn in_words(lathe: &Lathe, refused: &Refused) -> (String, Option<String>) {
    match refused {
        Refused::Unknown(error) => (error.to_string(), keys::hint(error)),
        Refused::Against(all) => (warnings::against(lathe, all).join("; "), None),
        _ => ("it is not possible".to_owned(), None),
    }
}

/// Answers `lathe now`: shows it, or records another.
///
/// # Errors
/// If there is no file, or the set-up can't be on this lathe.
pub(super) fn run(now: &args::Now, context: &Context<'_>) -> Result<Report, Failure> {
    let words = args::Machine { lathe: now.lathe.clone(), ..Default::default() };
    let typed = now.typed();
    if !now.fitted && !typed {
        let machine = machine(&words, context)?;
        place(&machine, "lathe now")?;
        return Ok(page(&machine, None));
    }
    // What the file says now is written over, whatever it is.
    let machine = machine(&words, context).or_else(|_| context.machine(&words))?;
    if now.fitted {
        return fitted(machine, "lathe now --fitted");
    }
    let set_up = said(now, machine.lathe.on_now())?;
    record(machine, set_up, "lathe now")
}

/// What was typed, over what is on the machine.
fn said(now: &args::Now, on: Option<&Fitted>) -> Result<Fitted, Failure> {
    let mut set_up = match (&now.train, on) {
        (Some(train), on) => {
            let mut set_up = Fitted::new(train.clone(), Vec::new());
            if let Some(on) = on {
                set_up.levers.clone_from(&on.levers);
                set_up.headstock.clone_from(&on.headstock);
                set_up.tumbler.clone_from(&on.tumbler);
            }
            set_up
        }
        (None, Some(on)) => on.clone(),
        (None, None) => {
            let wrong = "lathe now: nobody has said which gears are on it";
            return Err(Failure::wrong(wrong, "--train beside it, such as --train 40-80"));
        }
    };
    set_levers(&mut set_up, &now.lever)?;
    if let Some(at) = &now.headstock {
        set_up.headstock = Some(at.clone());
    }
    if let Some(at) = &now.tumbler {
        set_up.tumbler = Some(at.clone());
    }
    Ok(set_up)
}

/// Puts levers into the positions that were typed.
fn set_levers(set_up: &mut Fitted, typed: &[String]) -> Result<(), Failure> {
    let mut named: Vec<&str> = Vec::new();
    for text in typed {
        let (lever, at) = text.split_once('=').ok_or_else(|| {
            let wrong = format!("--lever `{}`: its position is missing", shortened(text));
            Failure::wrong(wrong, "lever and position, such as --lever Range=B")
        })?;
        let (lever, at) = (lever.trim(), at.trim());
        if named.contains(&lever) {
            let wrong = format!("--lever {}: it is named twice", shortened(lever));
            return Err(Failure::wrong(wrong, "one position for a lever"));
        }
        named.push(lever);
        set_up.levers.retain(|(known, _)| known != lever);
        set_up.levers.push((lever.to_owned(), at.to_owned()));
    }
    Ok(())
}

/// The file beside the lathe's. `asked`: what wants to write it.
///
/// # Errors
/// If the lathe has no file, or other gears or studs were typed.
pub(super) fn place(machine: &Machine, asked: &str) -> Result<PathBuf, Failure> {
    match machine.now_file() {
        Some(path) if machine.file().is_some() => Ok(path),
        Some(_) => {
            let wrong =
                format!("{asked}: --gears and --studs describe another lathe than the file");
            Err(Failure::wrong(wrong, "`trainwright lathe set` puts them into the file"))
        }
        None => {
            let wrong = format!("{asked}: this lathe has no file to keep it beside");
            Err(Failure::wrong(wrong, "`trainwright lathe new` makes one; or --lathe FILE"))
        }
    }
}

/// Records a set-up.
///
/// # Errors
/// If it can't be on this lathe, or there is no file.
pub(super) fn record(mut machine: Machine, set_up: Fitted, asked: &str) -> Result<Report, Failure> {
    let path = place(&machine, asked)?;
    let train = set_up.train.clone();
    let text = files::written(Some(&set_up));
    let lathe = put_on(machine.lathe.clone(), set_up).map_err(|refused| {
        let (why, right) = in_words(&machine.lathe, &refused);
        let wrong = format!("{asked}: {train} can't be on this lathe: {why}");
        let right = right.unwrap_or_else(|| {
            "what is truly on it; where the lathe's file is wrong, `trainwright lathe set`".into()
        });
        Failure::wrong(wrong, right)
    })?;
    // Where that is the fitted set-up it follows the lathe's file.
    let text = if lathe.not_as_fitted().is_some() { text } else { files::written(None) };
    (machine.lathe, machine.stale) = (lathe, None);
    Ok(page(&machine, Some((path, text))))
}

/// Records that the fitted set-up is on again.
///
/// # Errors
/// If the lathe has none, or there is no file.
pub(super) fn fitted(mut machine: Machine, asked: &str) -> Result<Report, Failure> {
    let path = place(&machine, asked)?;
    if machine.lathe.parts().fitted.is_none() {
        let wrong = format!("{asked}: the lathe file says no fitted set-up");
        let right = "`fitted` in the lathe file, or `trainwright lathe now --train TRAIN`";
        return Err(Failure::wrong(wrong, right));
    }
    (machine.lathe, machine.stale) = (machine.lathe.as_fitted(), None);
    Ok(page(&machine, Some((path, files::written(None)))))
}

/// What is on it; `kept`: the file and what is written into it.
fn page(machine: &Machine, kept: Option<(PathBuf, String)>) -> Report {
    let lathe = &machine.lathe;
    let words = |of: Option<&Fitted>| of.map(|of| facts::fitted(lathe, of));
    let none = || "not said".to_owned();
    let facts = [
        ("on it now", words(lathe.on_now()).unwrap_or_else(none)),
        ("fitted", words(lathe.parts().fitted.as_ref()).unwrap_or_else(none)),
    ];
    let mut report = Report::new();
    report.records = Some(Table::keyed(
        &facts,
        [("part", &|(part, _)| (*part).into()), ("value", &|(_, value)| value.as_str().into())],
    ));
    if let Some((path, _)) = &kept {
        report.note(Text::new(Role::Good, format!("{}: written.", path.display())));
    }
    report.heading(machine.name());
    let facts = facts.into_iter().map(|(what, text)| (what.to_owned(), text.into()));
    report.push(Block::Facts(facts.collect()));
    if let Some(stale) = &machine.stale {
        report.note(Text::new(Role::Warning, stale.as_str()));
    }
    report.asides.extend(machine.stale.clone());
    report.rewritten = kept;
    report
}
