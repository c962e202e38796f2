//! `lathe show` and `lathe check`: what does the program understand of a lathe, and what in it can't
//! be meant? `lathe new` (`lathe/new.rs`) makes a file of a person's answers, `lathe set` (`lathe/set.rs`)
//! changes one of them.
//!
//! Shop words are made in `lathe/words.rs`, the facts of one lathe in `lathe/facts.rs` and
//! `lathe/bracket.rs`, warnings about it in `lathe/warnings.rs`.

mod bracket;
pub(super) mod facts;
mod new;
mod set;
pub(super) mod warnings;

pub(super) use facts::{all_that_it_gives, fitted, of as facts};
pub(super) use new::{known, run as new};
pub(super) use set::run as set;

use crate::args;
use crate::asked::context::Context;
use crate::failure::Failure;
use crate::files::{self, OpenFile, OpenSet};
use crate::report::{Block, Report, Role, Table, Text};
use crate::words::shop as words;
use solver::Lathe;
use std::ffi::OsStr;

/// Answers `lathe show`.
///
/// # Errors
/// If the lathe can't be used.
pub(super) fn show(machine: &args::Machine, context: &Context<'_>) -> Result<Report, Failure> {
    let machine = context.machine(machine)?;
    let mut report = Report::new();
    write(&machine.lathe, machine.name(), &machine.from, &mut report);
    report.asides.extend(machine.demo_note());
    Ok(report)
}

/// All that is known of a lathe, what is not, and what is doubtful.
pub(super) fn write(lathe: &Lathe, name: &str, from: &str, report: &mut Report) {
    report.heading(name);
    if !lathe.parts().note.is_empty() {
        report.note(lathe.parts().note.as_str());
    }
    let from = std::iter::once(("described by".to_string(), from.to_string()));
    let known: Vec<_> = from.chain(facts::of(lathe)).collect();
    report.records = Some(records(&known));
    report.push(Block::Facts(known.into_iter().map(|(what, text)| (what, text.into())).collect()));
    list("Not known", Role::Plain, &warnings::unknown(lathe), report);
    list("Doubtful", Role::Warning, &warnings::warnings(lathe), report);
}

fn list(heading: &str, role: Role, lines: &[String], report: &mut Report) {
    if !lines.is_empty() {
        report.heading(heading);
        let lines = lines.iter().map(|line| Text::new(role, line.as_str()));
        report.push(Block::List(lines.collect()));
    }
}

/// One row a fact: for spreadsheets and programs.
fn records(facts: &[(String, String)]) -> Table {
    Table::keyed(
        facts,
        [
            ("part", &|(part, _)| part.as_str().into()),
            ("value", &|(_, value)| value.as_str().into()),
        ],
    )
}

/// Answers `lathe check`: a file that can't be used is an error, one that is doubtful is used.
///
/// # Errors
/// If the file can't be used: where, what is wrong, what would be right.
pub(super) fn check(file: &OsStr) -> Result<Report, Failure> {
    let mut report = Report::new();
    match files::open(file)? {
        OpenFile::Lathe(open) => {
            let lathe = &open.lathe;
            let good = format!("{}: OK, a lathe: {}", open.source.name, facts::summary(lathe));
            let (unknown, warnings) = (warnings::unknown(lathe), warnings::warnings(lathe));
            verdict(good, &unknown, &warnings, &mut report);
        }
        OpenFile::Gears(OpenSet { name, gears, .. }) => {
            let good =
                format!("{}: OK, a gear set: {name}: {}", file.display(), words::gears(&gears));
            verdict(good, &[], &[], &mut report);
        }
    }
    Ok(report)
}

fn verdict(good: String, unknown: &[String], warnings: &[String], report: &mut Report) {
    let rows = std::iter::once(("ok", &good))
        .chain(unknown.iter().map(|u| ("not known", u)))
        .chain(warnings.iter().map(|w| ("doubtful", w)));
    report.records = Some(Table::keyed(
        rows,
        [("kind", &|(kind, _)| (*kind).into()), ("text", &|(_, text)| text.as_str().into())],
    ));
    report.note(Text::new(Role::Good, good));
    list("Not known", Role::Plain, unknown, report);
    list("Doubtful", Role::Warning, warnings, report);
}
