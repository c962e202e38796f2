//! The book in letters, in short: which thread is on which sheet; and its records.

use super::found::{Found, Missed, Thread};
use crate::answer::Request;
use crate::report::{Block, Column, Report, Role, Table, Text};
use crate::words::cautions;
use crate::words::figures::{lead_mm, plural, ppm};
use crate::words::search::what_helps;
use crate::words::set_up::error_in_short;

/// Index, sheets, what is missed.
pub(super) fn write(request: &Request, found: &Found, doubts: &[String], report: &mut Report) {
    for line in request.machine.lines() {
        report.note(line);
    }
    report.push(Block::Title(format!("Book of {}", request.machine.name())));
    let role = if found.missed.is_empty() { Role::Good } else { Role::Warning };
    let all = found.threads.len() + found.missed.len();
    let near = format!("{} of {all} threads and feeds in reach", found.threads.len());
    report.note(
        Text::new(role, near)
            .and(Role::Plain, format!(", with {}.", plural(found.sheets.len(), "set-up"))),
    );
    if !doubts.is_empty() {
        report.note(doubted(doubts));
    }
    if !found.threads.is_empty() {
        report.heading("Sheets");
        report.table(sheets(found));
    }
    if !found.missed.is_empty() {
        report.heading("Not in reach");
        report.blocks.extend(missed(&found.missed));
    }
    report.note(Text::new(Role::Warning, cautions::HANDS));
    report.note(
        Text::from("More: ")
            .and(Role::Typed, "--output lathe.html")
            .and(Role::Plain, " (the whole book, with mounting, sizes and pictures)"),
    );
    report.records = Some(records(found));
    report.brief = found.threads.iter().map(in_one_line).collect();
    let missed = found.missed.iter().map(|missed| format!("{}: {}", missed.name, missed.nearest));
    report.brief.extend(missed.map(Text::from));
}

/// What is said where not all was searched.
pub(super) fn doubted(doubts: &[String]) -> Text {
    Text::new(Role::Warning, format!("Not all was searched: {}.", doubts.join("; ")))
}

fn in_one_line(thread: &Thread) -> Text {
    Text::from(format!("{}: ", thread.name))
        .and(Role::Strong, thread.entry.train.to_string())
        .and(Role::Plain, format!(", {}", error_in_short(&thread.entry.error)))
}

/// Each set-up with what it cuts.
fn sheets(found: &Found) -> Table {
    let of = |sheet: usize| found.threads.iter().filter(move |thread| thread.sheet == sheet);
    let mut table = Table::of(
        0..found.sheets.len(),
        [
            (Column::named("sheet", ""), &|sheet| (sheet + 1).into()),
            (Column::named("gears", ""), &|sheet| {
                of(*sheet).next().map(|thread| thread.entry.train.to_string()).into()
            }),
            (Column::named("set", ""), &|sheet| {
                let levers = of(*sheet).next().map(|thread| thread.levers.clone());
                levers.filter(|levers| !levers.is_empty()).into()
            }),
            (Column::named("for", ""), &|sheet| {
                let names: Vec<&str> = of(*sheet).map(|thread| thread.name.as_str()).collect();
                names.join(", ").into()
            }),
        ],
    );
    table.drop_empty();
    table
}

/// Each with what comes nearest.
pub(super) fn missed(missed: &[Missed]) -> Vec<Block> {
    let line = |missed: &Missed| {
        Text::new(Role::Strong, missed.name.as_str())
            .and(Role::Plain, format!(": {}", missed.nearest))
    };
    vec![Block::List(missed.iter().map(line).collect()), Block::Note(what_helps())]
}

/// A row a thread.
fn records(found: &Found) -> Table {
    let in_reach =
        found.threads.iter().map(|thread| Row { name: &thread.name, thread: Some(thread) });
    let missed = found.missed.iter().map(|missed| Row { name: &missed.name, thread: None });
    Table::keyed(
        in_reach.chain(missed),
        [
            ("target", &|row| row.name.into()),
            ("kind", &|row| row.thread.map(|t| t.kind).into()),
            ("train", &|row| row.thread.map(|t| t.entry.train.to_string()).into()),
            ("set", &|row| row.thread.map(|t| t.levers.clone()).into()),
            ("lead_mm", &|row| row.thread.map(|t| lead_mm(&t.entry.lead)).into()),
            ("error_ppm", &|row| row.thread.map(|t| ppm(&t.entry.error)).into()),
            ("verdict", &|row| row.thread.map(|t| t.verdict.clone()).into()),
            ("sheet", &|row| row.thread.map(|t| t.sheet + 1).into()),
        ],
    )
}

/// A thread of the list, found or not.
struct Row<'f> {
    name: &'f str,
    thread: Option<&'f Thread>,
}
