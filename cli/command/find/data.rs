//! What was found, for programs: the rows of CSV and the document of JSON.

use super::either;
use super::entry::Entry;
use super::remedies::Help;
use super::{Outcome, Request, page};
use crate::command::doubt;
use crate::command::figures::{self, drift, lead_mm, measure, ppm, tpi};
use crate::command::reasons::Speaker;
use crate::report::found::{
    Arrangement, Document, FORMAT, Fit, Named, Others, Quotient, Reason, Remedy, Searched,
    Solution, Stud, Target, Tightest,
};
use crate::report::{Cell, Column, Table, found};
use num_traits::Zero;
use solver::Travel;
use solver::bracket::{self, State};
use solver::search::Change;

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
    vec![
        outcome.target.text().into(),
        (index + 1).into(),
        entry.train.to_string().into(),
        entry.gears.into(),
        in_a_cell(&entry.levers).into(),
        entry.headstock.clone().into(),
        either::tumbler(entry).into(),
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
        state(entry).into(),
    ]
}

/// Levers with their positions as one cell: `Cone=1; Range=B`; nothing where there are none.
pub(in crate::command) fn in_a_cell(levers: &[(String, String)]) -> Option<String> {
    let levers: Vec<String> = levers.iter().map(|(l, p)| format!("{l}={p}")).collect();
    (!levers.is_empty()).then(|| levers.join("; "))
}

/// Whether it fits, in the words of the document.
pub(in crate::command) fn state(entry: &Entry) -> &'static str {
    if entry.is_unfit() { "does not fit" } else { fit_word(&entry.fit) }
}

/// What a bracket says, in the words of the documents.
pub(in crate::command) fn fit_word(fit: &bracket::Fit) -> &'static str {
    match fit.state() {
        State::Fits => "fits",
        State::TooClose => "too close",
        State::CutShort => "not settled",
        State::DoesNotFit => "does not fit",
        _ => "not checked",
    }
}

/// What the bracket says; where it does not fit nothing is said of where it would stand.
fn fit(request: &Request, entry: &Entry) -> Fit {
    let lathe = &request.machine.lathe;
    let speaker = Speaker::new(lathe, &entry.train);
    let mounting = entry.fit.mounting();
    let shafts = mounting.into_iter().flat_map(|m| &m.shafts);
    let tightest = mounting.and_then(|m| m.tightest).map(|gap| Tightest {
        gear: speaker.part(gap.gear),
        other: speaker.part(gap.other),
        mm: rounded(gap.mm),
    });
    let reasons = entry
        .reasons(lathe)
        .into_iter()
        .chain(entry.assumed(lathe))
        .map(|reason| Reason { kind: reason.kind, mm: reason.mm.map(rounded), text: reason.text });
    Fit {
        state: state(entry),
        swing: mounting.and_then(|m| m.swing).map(rounded),
        studs: shafts.clone().filter_map(stud).collect(),
        planes: shafts.flat_map(|shaft| shaft.gears.iter().map(|(_, plane)| *plane)).collect(),
        tightest,
        measure: doubt::measures(lathe, &entry.fit),
        reasons: reasons.collect(),
    }
}

fn stud(shaft: &bracket::Standing) -> Option<Stud> {
    let slot = shaft.slot?;
    Some(Stud {
        slot: slot.slot + 1,
        along_mm: rounded(slot.along),
        from_pivot_mm: rounded(slot.from_pivot),
        right_mm: rounded(shaft.right),
        up_mm: rounded(shaft.up),
    })
}

/// To a millionth: what lies below it is the arithmetic's, not the bracket's.
fn rounded(value: f64) -> f64 {
    figures::rounded(value, 6)
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
    let fewest = outcome.fewest.and_then(|i| outcome.trade_off.get(i));
    found::Outcome {
        target: target(outcome),
        searched: searched(outcome),
        solutions: ranked(&outcome.solutions),
        trade_off: ranked(&outcome.trade_off),
        fewest_gears: fewest.map(|entry| solution(request, 1, entry)),
        tolerance: outcome.tolerance.to_string(),
        closer_but_unfit: ranked(&outcome.refused),
        nearest: outcome.nearest.as_ref().map(|entry| solution(request, 1, entry)),
        remedies: outcome.remedies.iter().map(|help| remedy(request, help)).collect(),
        hints: page::hints(request, outcome),
        other_hand: outcome.other_hand.as_ref().map(|entry| solution(request, 1, entry)),
    }
}

fn remedy(request: &Request, help: &Help) -> Remedy {
    Remedy {
        kind: help.kind(),
        mm: match help.change {
            Change::Slot { beyond, .. } => Some(rounded(beyond)),
            Change::Clearance { left } => Some(rounded(left)),
            _ => None,
        },
        idlers: match &help.change {
            Change::Idler(sizes) => sizes.iter().map(|z| z.get()).collect(),
            _ => Vec::new(),
        },
        text: help.text(request.machine.lathe.parts().bracket.as_ref()),
        solution: solution(request, 1, &help.entry),
    }
}

/// Nothing was searched where a train was judged.
fn searched(outcome: &Outcome) -> Searched {
    let proof = outcome.proof.as_ref();
    Searched {
        combinations: proof.map_or(0, |p| p.combinations),
        positions: proof.map_or(0, |p| p.positions),
        ratio_pairs: proof.map_or(0, |p| p.pairs),
        complete: page::is_all(outcome),
        left_out: page::left_out(outcome),
    }
}

/// What moves the tool, in the words of the documents.
pub(in crate::command) const fn travel(travel: Travel) -> &'static str {
    match travel {
        Travel::Thread => "thread",
        Travel::LongFeed => "long feed",
        Travel::CrossFeed => "cross feed",
    }
}

pub(in crate::command) fn target(outcome: &Outcome) -> Target {
    let target = &outcome.target;
    Target {
        text: target.text().to_string(),
        travel: travel(target.travel()),
        lead_mm: target.lead().mm().to_string(),
        pi: i8::from(target.lead().has_pi()),
        lead_mm_rounded: lead_mm(&target.lead()).to_f64(),
        starts: target.starts(),
        hand: outcome.hand.map(|hand| hand.to_string()),
    }
}

pub(in crate::command) fn solution(request: &Request, rank: usize, entry: &Entry) -> Solution {
    let (quotient, pi) = entry.error.cut_over_asked();
    Solution {
        rank,
        train: entry.train.to_string(),
        shafts: entry.shafts(),
        joined: entry.idle_gears(),
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        hand: entry.hand.map(|hand| hand.to_string()),
        either: either::data(entry),
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
        idlers: entry.idlers.iter().map(|i| i.iter().map(|z| z.get()).collect()).collect(),
        others: entry.others.map(|o| Others {
            count: o.count,
            tried: o.tried,
            at_least: o.at_least,
        }),
        arrangements: entry.arrangements.iter().map(arrangement).collect(),
        fit: fit(request, entry),
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
