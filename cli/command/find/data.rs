//! What was found, for programs: the rows of CSV and the document of JSON.

use super::entry::Entry;
use super::{Outcome, Request, page};
use crate::command::figures::{drift, lead_mm, measure, ppm, tpi};
use crate::report::found::{
    Arrangement, Document, FORMAT, Fit, Named, Others, Quotient, Searched, Solution, Target,
};
use crate::report::{Cell, Column, Table, found};
use num_traits::Zero;

/// One row a solution, or with `--all` one row an arrangement.
pub(super) fn records(request: &Request, outcomes: &[Outcome]) -> Table {
    let column = |key: &'static str| Column::new(key, key, "");
    let keys = [
        "target",
        "rank",
        "train",
        "gears",
        "levers",
        "headstock",
        "tumbler",
        "hand",
        "ratio",
        "lead_mm",
        "tpi",
        "error_ppm",
        "drift_um",
        "over_mm",
        "handled",
        "others",
        "others_at_least",
        "fit",
    ];
    let mut table = Table::new(keys.map(column).into());
    for outcome in outcomes {
        for (i, entry) in outcome.solutions.iter().enumerate() {
            let others = entry.others.map(|o| (o.count, o.at_least));
            if entry.arrangements.is_empty() {
                table.push(record(request, outcome, i, entry, others));
            }
            for arrangement in &entry.arrangements {
                table.push(record(request, outcome, i, arrangement, others));
            }
        }
    }
    table
}

fn record(
    request: &Request,
    outcome: &Outcome,
    index: usize,
    entry: &Entry,
    others: Option<(u64, bool)>,
) -> Vec<Cell> {
    let levers: Vec<String> = entry.levers.iter().map(|(l, p)| format!("{l}={p}")).collect();
    vec![
        outcome.target.text().into(),
        (index + 1).into(),
        entry.train.to_string().into(),
        entry.gears.into(),
        (!levers.is_empty()).then(|| levers.join("; ")).into(),
        entry.headstock.clone().into(),
        entry.tumbler.clone().into(),
        entry.hand.map(|hand| hand.to_string()).into(),
        measure(&entry.ratio).into(),
        lead_mm(&entry.lead).into(),
        tpi(&entry.lead).into(),
        ppm(&entry.error).into(),
        drift(&entry.error, &request.over).into(),
        measure(&request.over.mm()).into(),
        entry.handled.into(),
        others.map(|(count, _)| Cell::Whole(count.into())).into(),
        others.map(|(_, at_least)| at_least.to_string()).into(),
        fit(request).into(),
    ]
}

fn fit(request: &Request) -> &'static str {
    if request.arbor.is_some() { "not known" } else { "not asked" }
}

/// The document.
pub(super) fn document(request: &Request, outcomes: &[Outcome]) -> Document {
    Document {
        format: FORMAT,
        lathe: request.machine.name().to_string(),
        lathe_from: request.machine.from.clone(),
        over_mm: request.over.mm().to_string(),
        results: outcomes.iter().map(|outcome| result(request, outcome)).collect(),
    }
}

fn result(request: &Request, outcome: &Outcome) -> found::Outcome {
    let ranked = |entries: &[Entry]| -> Vec<Solution> {
        entries.iter().enumerate().map(|(i, entry)| solution(request, i + 1, entry)).collect()
    };
    let proof = &outcome.found.proof;
    let fewest = outcome.fewest.and_then(|i| outcome.trade_off.get(i));
    let unfit = outcome.refused.iter().enumerate().map(|(i, (entry, reason))| Solution {
        fit: Fit { state: "does not fit", studs: Vec::new(), reasons: vec![reason.clone()] },
        ..solution(request, i + 1, entry)
    });
    found::Outcome {
        target: target(outcome),
        searched: Searched {
            combinations: proof.combinations,
            positions: proof.positions,
            ratio_pairs: proof.pairs,
            complete: proof.complete,
        },
        solutions: ranked(&outcome.solutions),
        trade_off: ranked(&outcome.trade_off),
        fewest_gears: fewest.map(|entry| solution(request, 1, entry)),
        tolerance: outcome.tolerance.to_string(),
        closer_but_unfit: unfit.collect(),
        nearest: outcome.nearest.as_ref().map(|entry| solution(request, 1, entry)),
        hints: page::hints(request, outcome),
    }
}

fn target(outcome: &Outcome) -> Target {
    let target = &outcome.target;
    Target {
        text: target.text().to_string(),
        travel: match target.travel() {
            solver::Travel::Thread => "thread",
            solver::Travel::LongFeed => "long feed",
            solver::Travel::CrossFeed => "cross feed",
        },
        lead_mm: target.lead().mm().to_string(),
        pi: i8::from(target.lead().has_pi()),
        lead_mm_rounded: lead_mm(&target.lead()).to_f64(),
        starts: target.starts(),
        hand: outcome.hand.map(|hand| hand.to_string()),
    }
}

fn solution(request: &Request, rank: usize, entry: &Entry) -> Solution {
    let (quotient, pi) = entry.error.cut_over_asked();
    Solution {
        rank,
        train: entry.train.to_string(),
        shafts: entry.shafts(),
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        hand: entry.hand.map(|hand| hand.to_string()),
        ratio: entry.ratio.to_string(),
        lead_mm: entry.lead.mm().to_string(),
        lead_pi: i8::from(entry.lead.has_pi()),
        lead_mm_rounded: lead_mm(&entry.lead).to_f64(),
        tpi_rounded: tpi(&entry.lead).to_f64(),
        error: entry.error.exact().map(|error| error.to_string()),
        cut_over_target: (!pi.is_zero()).then(|| Quotient { value: quotient.to_string(), pi }),
        error_ppm: ppm(&entry.error).to_f64(),
        drift_um: drift(&entry.error, &request.over).to_f64(),
        gears: entry.gears,
        handled: entry.handled,
        others: entry.others.map(|o| Others { count: o.count, at_least: o.at_least }),
        arrangements: entry.arrangements.iter().map(arrangement).collect(),
        fit: Fit { state: fit(request), studs: Vec::new(), reasons: Vec::new() },
    }
}

fn arrangement(entry: &Entry) -> Arrangement {
    Arrangement {
        train: entry.train.to_string(),
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        hand: entry.hand.map(|hand| hand.to_string()),
        gears: entry.gears,
    }
}
