//! `lathe set`: what does the lathe file say to each question, and what does it say with another answer?

use super::{facts, warnings};
use crate::args::SetAnswer;
use crate::failure::{Failure, shortened};
use crate::files::{self, Key, OpenLathe, Origin, Surroundings};
use crate::report::{Block, Report, Role, Table, Text};
use std::path::{Path, PathBuf};

/// Answers `lathe set`.
///
/// # Errors
/// If there is no lathe file, the key is not known, or the file could not be used with the answer.
pub(in crate::command) fn run(set: &SetAnswer) -> Result<Report, Failure> {
    let key = set.key.as_deref().map(named).transpose();
    let key = key.map_err(|wrong| wrong.under("lathe set: "))?;
    let (open, origin) = Surroundings::of_process().lathe(set.lathe.as_deref())?;
    let words = set.value.iter().chain(&set.more).map(String::as_str);
    let said = words.collect::<Vec<_>>().join(" ");
    if origin == Origin::Demo {
        return Err(no_file(&open));
    }
    match key {
        None => Ok(list(&open, Key::ALL)),
        Some((key, _)) if said.trim().is_empty() => {
            let mut report = list(&open, &[key]);
            report.note(format!("{} Such as: {}.", key.question().asks, key.question().such_as));
            Ok(report)
        }
        Some(key) => change(&open, &file(&open)?, key, &said),
    }
}

/// A question, and of several slots the one that is meant: `slot.2`.
fn named(word: &str) -> Result<(Key, Option<usize>), Failure> {
    match word.split_once('.') {
        Some((slot, which)) if slot == Key::Slot.name() => {
            let which = which.parse().ok().filter(|which| *which > 0);
            let wrong = || Failure::wrong(format!("`{}` is no slot", shortened(word)), "slot.1");
            Ok((Key::Slot, Some(which.ok_or_else(wrong)?)))
        }
        _ => Ok((Key::named(word)?, None)),
    }
}

/// The lathe's file, where it has one that can be written.
fn file(open: &OpenLathe) -> Result<PathBuf, Failure> {
    open.path().ok_or_else(|| no_file(open))
}

fn no_file(open: &OpenLathe) -> Failure {
    let wrong = format!("lathe set: {} is no lathe file", open.source.name);
    Failure::wrong(wrong, "`trainwright lathe new` makes one; or --lathe FILE")
}

/// Every key with what the file says to it.
fn list(open: &OpenLathe, keys: &[Key]) -> Report {
    let mut report = Report::new();
    let rows: Vec<(&str, String)> =
        keys.iter().map(|key| (key.name(), files::now(open, *key).unwrap_or_default())).collect();
    report.records = Some(Table::keyed(
        &rows,
        [("key", &|(key, _)| (*key).into()), ("now", &|(_, now)| now.as_str().into())],
    ));
    report.heading(open.source.name.as_str());
    let words = |now: String| match &*now {
        "" => Text::new(Role::Faint, "not said"),
        _ => now.into(),
    };
    let facts = rows.into_iter().map(|(key, now)| (key.to_owned(), words(now)));
    report.push(Block::Facts(facts.collect()));
    report
}

/// The file with another answer, and each fact that is another with it.
fn change(
    open: &OpenLathe,
    path: &Path,
    (key, which): (Key, Option<usize>),
    said: &str,
) -> Result<Report, Failure> {
    let folder = path.parent().map(Path::to_path_buf).unwrap_or_default();
    let changed = files::changed(open, (key, which), said, Some(&folder)).map_err(|wrong| {
        wrong.under(&format!("lathe set {}: {}: ", key.name(), shortened(said)))
    })?;
    let name = open.source.name.as_str();
    let mut report = Report::new();
    if changed.source.text == open.source.text {
        report.note(format!("{name}: says so already; nothing was written."));
        return Ok(report);
    }
    let rows = differences(open, &changed, key);
    report.note(Text::new(Role::Good, format!("{name}: written.")));
    report.records = Some(Table::keyed(
        &rows,
        [
            ("part", &|(part, ..)| part.as_str().into()),
            ("before", &|(_, before, _)| before.as_str().into()),
            ("now", &|(.., now)| now.as_str().into()),
        ],
    ));
    for (part, before, now) in rows {
        report.heading(part);
        let facts = [("before", before), ("now", now)];
        report.push(Block::Facts(facts.map(|(when, what)| (when.to_owned(), what.into())).into()));
    }
    let old = warnings::warnings(&open.lathe);
    let mut doubts = warnings::warnings(&changed.lathe);
    doubts.retain(|doubt| !old.contains(doubt));
    super::list("Doubtful", Role::Warning, &doubts, &mut report);
    report.rewritten = Some((path.to_path_buf(), changed.source.text));
    Ok(report)
}

/// Parts of which other things are known: before, and now.
fn differences(before: &OpenLathe, now: &OpenLathe, key: Key) -> Vec<(String, String, String)> {
    let all = |open: &OpenLathe| {
        let name = ("name".to_owned(), open.lathe.parts().name.clone());
        std::iter::once(name).chain(facts::of(&open.lathe)).collect::<Vec<_>>()
    };
    let none = || "not said".to_owned();
    let (old, new) = (all(before), all(now));
    let value = |of: &[(String, String)], part: &str| {
        of.iter().find(|(known, _)| known == part).map_or_else(none, |(_, value)| value.clone())
    };
    let gone = old.iter().filter(|(part, _)| !new.iter().any(|(known, _)| known == part));
    let parts = new.iter().chain(gone).map(|(part, _)| part);
    let rows = parts.map(|part| (part.clone(), value(&old, part), value(&new, part)));
    let mut rows: Vec<_> = rows.filter(|(_, before, now)| before != now).collect();
    rows.dedup();
    if rows.is_empty() {
        let said = |open| files::now(open, key).unwrap_or_else(none);
        rows.push((key.name().to_owned(), said(before), said(now)));
    }
    rows
}
