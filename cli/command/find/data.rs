//! What was found, for programs: the document of JSON, and the rows of CSV from it.

use super::remedies;
use crate::answer::{Entry, Help, Outcome, Request};
use crate::document::find::{self, Document, Others, Remedy, Searched, Solution};
use crate::document::lead::{AllowedBy, Target};
use crate::document::set_up::rounded;
use crate::document::{Head, records};
use crate::report::Table;
use crate::words::figures::measure;
use crate::words::search;
use serde::Serialize;
use solver::search::MachineChange;
use solver::tolerance::Allowed;

/// Columns of the records.
const KEYS: [&str; 19] = [
    "target.text",
    "rank",
    "train",
    "gears",
    "levers",
    "headstock",
    "tumbler",
    "either",
    "hand",
    "ratio_rounded",
    "lead_mm_rounded",
    "tpi_rounded",
    "error_ppm",
    "adds_up_to_um",
    "over_mm_rounded",
    "gears_moved",
    "also_cut_by.count",
    "also_cut_by.at_least",
    "fit.state",
];

/// A row of the records.
#[derive(Debug, Serialize)]
struct Record {
    target: Target,
    over_mm_rounded: f64,
    #[serde(flatten)]
    solution: Solution,
}

/// One row a solution, or with `--all` one row an arrangement.
pub(super) fn records(request: &Request, outcomes: &[Outcome]) -> Table {
    let row = |outcome: &Outcome, rank, entry, best: &Entry| Record {
        target: Target::asked(outcome),
        over_mm_rounded: measure(&request.over.mm()).to_f64(),
        solution: Solution {
            also_cut_by: best.others.map(Others::from),
            ..Solution::of(request, &outcome.allowed, rank, entry)
        },
    };
    let rows = outcomes.iter().flat_map(|outcome| {
        outcome.solutions.iter().enumerate().flat_map(move |(i, best)| {
            let entries = match &best.arrangements[..] {
                [] => std::slice::from_ref(best),
                all => all,
            };
            entries.iter().map(move |entry| row(outcome, i + 1, entry, best))
        })
    });
    records::table(&KEYS, rows)
}

/// The document.
pub(super) fn document(request: &Request, outcomes: &[Outcome]) -> Document {
    Document {
        head: Head::of(&request.machine),
        over_mm: request.over.mm().to_string(),
        over_mm_rounded: measure(&request.over.mm()).to_f64(),
        results: outcomes.iter().map(|outcome| result(request, outcome)).collect(),
    }
}

fn result(request: &Request, outcome: &Outcome) -> find::Outcome {
    let ranked = |entries: &[Entry]| -> Vec<Solution> {
        entries
            .iter()
            .enumerate()
            .map(|(i, entry)| Solution::of(request, &outcome.allowed, i + 1, entry))
            .collect()
    };
    let fewest = outcome.fewest.and_then(|i| outcome.trade_off.get(i));
    find::Outcome {
        target: Target::asked(outcome),
        searched: searched(outcome),
        solutions: ranked(&outcome.solutions),
        trade_off: ranked(&outcome.trade_off),
        fewest_gears: fewest.map(|entry| Solution::of(request, &outcome.allowed, 1, entry)),
        within: outcome.allowed.part().to_string(),
        allowed_by: AllowedBy::of(&outcome.allowed),
        class: outcome.allowed.class().map(|class| class.to_string()),
        closer_but_unfit: ranked(&outcome.refused),
        nearest: outcome
            .nearest
            .as_ref()
            .map(|entry| Solution::of(request, &outcome.allowed, 1, entry)),
        remedies: outcome
            .remedies
            .iter()
            .map(|help| remedy(request, &outcome.allowed, help))
            .collect(),
        hints: remedies::hints(request, outcome),
        other_hand: outcome
            .other_hand
            .as_ref()
            .map(|entry| Solution::of(request, &outcome.allowed, 1, entry)),
    }
}

fn remedy(request: &Request, allowed: &Allowed, help: &Help) -> Remedy {
    Remedy {
        kind: remedies::kind(&help.change),
        mm: match help.change {
            MachineChange::Slot { beyond, .. } => Some(rounded(beyond)),
            MachineChange::Clearance { left } => Some(rounded(left)),
            _ => None,
        },
        idlers: match &help.change {
            MachineChange::Idler(sizes) => sizes.iter().map(|z| z.get()).collect(),
            _ => Vec::new(),
        },
        text: remedies::text(help, request.machine.lathe.parts().bracket.as_ref()),
        solution: Solution::of(request, allowed, 1, &help.entry),
    }
}

/// Nothing was searched where a train was judged.
fn searched(outcome: &Outcome) -> Searched {
    let proof = outcome.proof.as_ref();
    Searched {
        combinations: proof.map_or(0, |p| p.combinations),
        positions: proof.map_or(0, |p| p.positions),
        gear_pairs: proof.map_or(0, |p| p.pairs),
        complete: outcome.is_all(),
        left_out: search::left_out(outcome),
    }
}
