//! The plan for programs: the rows of CSV and the document of JSON.

use super::rows::Row;
use super::{Choice, Kind, Outcome, Request};
use crate::command::doubt;
use crate::command::figures::{lead_mm, ppm};
use crate::command::find::{either, fit_word, in_a_cell};
use crate::report::found::Named;
use crate::report::planned::{Document, FORMAT, Line, Missed, Plan, Unsure};
use crate::report::{Cell, Column, Table};

/// A line a row.
pub(super) fn records(request: &Request, outcome: &Outcome) -> Table {
    let keys = [
        "place",
        "thread",
        "names",
        "kind",
        "train",
        "levers",
        "cut_lead_mm",
        "error_ppm",
        "dial",
        "handled",
        "levers_moved",
        "change",
        "fit",
    ];
    let mut table = Table::new(keys.map(|key| Column::new(key, key, "")).into());
    for (i, row) in outcome.rows.iter().enumerate() {
        table.push(vec![
            (i + 1).into(),
            row.lead.clone().into(),
            (!row.names.is_empty()).then(|| row.names.join(", ")).into(),
            row.group.word().into(),
            row.entry.train.to_string().into(),
            in_a_cell(&row.entry.positions()).into(),
            lead_mm(&row.entry.lead).into(),
            ppm(&row.entry.error).into(),
            row.dial.clone().into(),
            row.cost.handled.into(),
            row.cost.levers.into(),
            row.swap().into(),
            fit_word(&row.entry.fit).into(),
        ]);
    }
    let head = |wanted: &super::Wanted| {
        vec![
            Cell::Empty,
            wanted.lead().into(),
            (!wanted.names.is_empty()).then(|| wanted.names.join(", ")).into(),
            super::Group::of(wanted).word().into(),
        ]
    };
    for (line, entry) in &outcome.unsure {
        let Some(wanted) = request.wanted.get(*line) else { continue };
        let mut cells = head(wanted);
        cells.push(entry.train.to_string().into());
        cells.push(in_a_cell(&entry.positions()).into());
        cells.push(lead_mm(&entry.lead).into());
        cells.push(ppm(&entry.error).into());
        cells.resize(keys.len() - 1, Cell::Empty);
        cells.push(fit_word(&entry.fit).into());
        table.push(cells);
    }
    for (line, nearest) in &outcome.missed {
        let Some(wanted) = request.wanted.get(*line) else { continue };
        let mut cells = head(wanted);
        cells.resize(keys.len() - 1, Cell::Empty);
        let near = nearest.as_ref().map(|n| format!("not reached; nearest {}", n.train));
        cells.push(near.unwrap_or_else(|| "not reached".to_string()).into());
        table.push(cells);
    }
    table
}

/// The document.
pub(super) fn document(request: &Request, outcome: &Outcome) -> Document {
    let fitted = request.machine.lathe.parts().fitted.as_ref();
    Document {
        format: FORMAT,
        lathe: request.machine.name().to_string(),
        lathe_from: request.machine.from.clone(),
        ratio_pairs: request.pairs,
        fitted: fitted.map(|fitted| fitted.train.to_string()),
        complete: outcome.complete,
        left_out: outcome.left_out.clone(),
        plans: outcome.choices.iter().map(way).collect(),
        chosen: outcome.chosen(request.order).map_or("", |choice| word(choice.kind)),
        lines: outcome.rows.iter().filter_map(|row| line(request, outcome, row)).collect(),
        back: outcome.back.clone(),
        unsearched: outcome
            .unsearched
            .iter()
            .filter_map(|line| request.wanted.get(*line))
            .map(super::Wanted::lead)
            .collect(),
        too_close: outcome
            .unsure
            .iter()
            .filter_map(|(line, entry)| {
                let wanted = request.wanted.get(*line)?;
                Some(Unsure {
                    thread: wanted.lead(),
                    names: wanted.names.clone(),
                    train: entry.train.to_string(),
                    error_ppm: ppm(&entry.error).to_f64(),
                    fit: fit_word(&entry.fit),
                    measure: doubt::measures(&request.machine.lathe, &entry.fit),
                })
            })
            .collect(),
        unreachable: outcome
            .missed
            .iter()
            .filter_map(|(line, nearest)| {
                let wanted = request.wanted.get(*line)?;
                Some(Missed {
                    thread: wanted.lead(),
                    names: wanted.names.clone(),
                    nearest: nearest.as_ref().map(|n| n.train.to_string()),
                    error_ppm: nearest.as_ref().map(|n| ppm(&n.error).to_f64()),
                })
            })
            .collect(),
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
        handled: plan.cost.handled,
        levers: plan.cost.levers,
        trains: plan.trains,
        least: plan.bound.least(),
        proven: plan.is_proven() && choice.kind != Kind::Closest,
    }
}

fn line(request: &Request, outcome: &Outcome, row: &Row) -> Option<Line> {
    let wanted = request.wanted.get(row.line)?;
    let entry = &row.entry;
    Some(Line {
        thread: row.lead.clone(),
        names: row.names.clone(),
        kind: row.group.word(),
        lead_mm: wanted.line.lead.mm().to_string(),
        pi: i8::from(wanted.line.lead.has_pi()),
        within: wanted.line.within.to_string(),
        train: entry.train.to_string(),
        shafts: entry.shafts(),
        idlers: entry.idlers.iter().map(|i| i.iter().map(|z| z.get()).collect()).collect(),
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        hand: entry.hand.map(|hand| hand.to_string()),
        either: either::data(entry),
        cut_lead_mm: entry.lead.mm().to_string(),
        error: entry.error.exact().map(|error| error.to_string()),
        error_ppm: ppm(&entry.error).to_f64(),
        fit: fit_word(&entry.fit),
        dial: row.dial.clone(),
        handled: row.cost.handled,
        levers_moved: row.cost.levers,
        change: row.change.clone(),
        set_ups: row.trains,
        longer: outcome.wider.contains(&row.line),
    })
}
