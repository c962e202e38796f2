//! The plan for programs: the document of JSON, and the rows of CSV from it.

use super::rows::Row;
use super::{Choice, Group, Kind, Outcome, Request};
use crate::answer::Entry;
use crate::document::change::Change;
use crate::document::lead;
use crate::document::set_up::Way;
use crate::document::table::{Document, Line, Missed, Plan};
use crate::document::{Head, records};
use crate::report::Table;

/// Columns of the records; of a line that is missed those of the nearest train.
const KEYS: [&str; 21] = [
    "place",
    "target.text",
    "names",
    "kind",
    "train",
    "levers",
    "headstock",
    "tumbler",
    "either",
    "lead_mm_rounded",
    "error_ppm",
    "verdict",
    "share_of_class",
    "thread_dial",
    "gears_moved",
    "levers_moved",
    "change_text",
    "fit.state",
    "nearest.train",
    "nearest.error_ppm",
    "nearest.fit.state",
];

/// A line a row.
pub(super) fn records(document: &Document) -> Table {
    let mut table = records::table(&KEYS, &document.lines);
    let missed = document.too_close.iter().chain(&document.unreachable);
    missed.for_each(|line| table.push(records::cells(&KEYS, line)));
    table
}

/// The document.
pub(super) fn document(request: &Request, outcome: &Outcome) -> Document {
    let fitted = request.machine.lathe.parts().fitted.as_ref();
    let unsearched = outcome.unsearched.iter().filter_map(|line| request.wanted.get(*line));
    let unsure = outcome.unsure.iter().map(|(line, entry)| (*line, Some(entry)));
    let unreachable = outcome.missed.iter().map(|(line, entry)| (*line, entry.as_ref()));
    let lines = outcome.rows.iter().enumerate();
    Document {
        head: Head::of(&request.machine),
        gear_pairs: request.pairs,
        fitted: fitted.map(|fitted| fitted.train.to_string()),
        complete: outcome.complete,
        left_out: outcome.left_out.clone(),
        plans: outcome.choices.iter().map(way).collect(),
        chosen: outcome.chosen(request.order).map_or("", |choice| word(choice.kind)),
        lines: lines.filter_map(|(at, row)| line(request, outcome, at + 1, row)).collect(),
        back: outcome.back.as_ref().map(Change::from),
        unsearched: unsearched.map(lead::Wanted::from).collect(),
        too_close: unsure.filter_map(|(line, entry)| missed(request, line, entry)).collect(),
        unreachable: unreachable.filter_map(|(line, entry)| missed(request, line, entry)).collect(),
    }
}

const fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Closest => "closest",
        Kind::Chart => "chart",
        Kind::Listed => "listed",
        Kind::Best => "best",
        Kind::Fewest => "fewest",
        Kind::Single => "single",
    }
}

fn way(choice: &Choice) -> Plan {
    let plan = &choice.plan;
    Plan {
        way: word(choice.kind),
        gears_moved: plan.cost.handled,
        levers_moved: plan.cost.levers,
        trains: plan.trains,
        least: plan.bound.least(),
        proven: plan.is_proven() && choice.kind != Kind::Closest,
    }
}

fn line(request: &Request, outcome: &Outcome, place: usize, row: &Row) -> Option<Line> {
    let wanted = request.wanted.get(row.line)?;
    Some(Line {
        place,
        verdict: wanted.allowed.verdict(&row.entry.error).into(),
        share_of_class: wanted.allowed.share(&row.entry.error),
        wanted: wanted.into(),
        kind: row.group.word(),
        way: Way::of(&request.machine.lathe, &row.entry),
        thread_dial: row.dial.clone(),
        gears_moved: row.cost.handled,
        levers_moved: row.cost.levers,
        change: row.change.as_ref().map(Change::from),
        change_text: row.swap(),
        set_ups: row.trains,
        longer: outcome.wider.contains(&row.line),
    })
}

fn missed(request: &Request, line: usize, nearest: Option<&Entry>) -> Option<Missed> {
    let wanted = request.wanted.get(line)?;
    Some(Missed {
        wanted: wanted.into(),
        kind: Group::of(wanted).word(),
        nearest: nearest.map(|entry| Way::of(&request.machine.lathe, entry)),
    })
}
