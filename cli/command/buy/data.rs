//! What is worth buying, for programs: the rows of CSV and the document of JSON.

use super::answer::{Answer, Bought, Line, Served};
use super::{Request, page};
use crate::command::doubt;
use crate::command::figures::{error_size, lead_mm, ppm};
use crate::command::find::{either, fit_word, travel};
use crate::command::wanted::Wanted;
use crate::report::found::{Named, Quotient};
use crate::report::purchase::{self, Document, FORMAT, Offer, Round, Way};
use crate::report::{Cell, Column, Table};
use num_traits::Zero;
use solver::buy::PARTS;

/// One row a purchase; the first is what is owned.
pub(super) fn records(request: &Request, answer: &Answer) -> Table {
    let column = |key: &'static str| Column::new(key, key, "");
    let keys = [
        "gears",
        "rank",
        "buy",
        "reached",
        "lines",
        "worst_ppm",
        "sum_ppm",
        "adds",
        "gained",
        "missed",
        "complete",
    ];
    let mut table = Table::new(keys.map(column).into());
    let now = [0_usize.into(), Cell::Empty, Cell::Empty];
    table.push(record(request, now, &answer.now, [Cell::Empty, Cell::Empty], answer.unknown == 0));
    for round in &answer.rounds {
        for (at, bought) in round.offers.iter().enumerate() {
            let sizes: Vec<String> = bought.gears.iter().map(ToString::to_string).collect();
            let head = [round.gears.into(), (at + 1).into(), sizes.join(" ").into()];
            let gained = said(request, &bought.gained(&answer.now));
            let adds = page::adds(bought).replace(", ", "; ").into();
            table.push(record(request, head, &bought.served, [adds, gained], round.complete));
        }
    }
    table
}

fn record(
    request: &Request,
    head: [Cell; 3],
    served: &Served,
    gains: [Cell; 2],
    complete: bool,
) -> Vec<Cell> {
    let score = &served.score;
    let counts = [score.reached.into(), served.lines.len().into()];
    let errors = [score.worst, score.sum].map(|parts| error_size(parts, PARTS).into());
    let missed = said(request, &served.missed());
    let last = [missed, complete.to_string().into()];
    head.into_iter().chain(counts).chain(errors).chain(gains).chain(last).collect()
}

/// Lines of the list, `; ` between them.
fn said(request: &Request, lines: &[usize]) -> Cell {
    let lines = lines.iter().filter_map(|at| request.wanted.get(*at)).map(Wanted::lead);
    let lines: Vec<String> = lines.collect();
    (!lines.is_empty()).then(|| lines.join("; ")).into()
}

/// The document.
pub(super) fn document(request: &Request, answer: &Answer) -> Document {
    let round = |round: &super::answer::Round| Round {
        gears: round.gears,
        compared: round.compared,
        complete: round.complete,
        gains: round.gains,
        offers: round
            .offers
            .iter()
            .enumerate()
            .map(|(at, bought)| offer(request, answer, at + 1, bought))
            .collect(),
    };
    Document {
        format: FORMAT,
        lathe: request.machine.name().to_owned(),
        lathe_from: request.machine.from.clone(),
        objective: page::OBJECTIVE,
        sizes: request.sizes.iter().map(|teeth| teeth.get()).collect(),
        lines: request.wanted.iter().map(line).collect(),
        set_aside: request.aside.iter().map(line).collect(),
        now: served(request, &answer.now),
        purchases: answer.rounds.iter().map(round).collect(),
        every_line_reached: answer.reaches_every_line(),
        complete: answer.complete(),
        left_out: page::left_out(answer),
    }
}

fn line(wanted: &Wanted) -> purchase::Line {
    let line = &wanted.line;
    purchase::Line {
        text: wanted.lead(),
        names: wanted.names.clone(),
        travel: travel(line.travel),
        lead_mm: line.lead.mm().to_string(),
        pi: i8::from(line.lead.has_pi()),
        lead_mm_rounded: lead_mm(&line.lead).to_f64(),
        hand: line.hand.map(|hand| hand.to_string()),
        within: line.within.to_string(),
    }
}

fn served(request: &Request, served: &Served) -> purchase::Served {
    let ppm = |parts| error_size(parts, PARTS).to_f64();
    purchase::Served {
        reached: served.score.reached,
        worst_ppm: ppm(served.score.worst),
        sum_ppm: ppm(served.score.sum),
        lines: served
            .lines
            .iter()
            .map(|line| line.as_ref().map(|line| train(request, line)))
            .collect(),
    }
}

fn train(request: &Request, line: &Line) -> Way {
    let entry = &line.entry;
    let (quotient, pi) = entry.error.cut_over_asked();
    Way {
        reached: line.reached,
        train: entry.train.to_string(),
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        either: either::data(entry),
        lead_mm: entry.lead.mm().to_string(),
        lead_pi: i8::from(entry.lead.has_pi()),
        error: entry.error.exact().map(|error| error.to_string()),
        cut_over_target: (!pi.is_zero()).then(|| Quotient { value: quotient.to_string(), pi }),
        error_ppm: ppm(&entry.error).to_f64(),
        fit: fit_word(&entry.fit),
        measure: doubt::measures(&request.machine.lathe, &entry.fit),
    }
}

fn offer(request: &Request, answer: &Answer, rank: usize, bought: &Bought) -> Offer {
    Offer {
        rank,
        gears: bought.gears.iter().map(|teeth| teeth.get()).collect(),
        text: page::names(request, &bought.gears),
        adds: bought.adds.clone(),
        gained: bought.gained(&answer.now),
        closer: bought.closer(&answer.now),
        served: served(request, &bought.served),
    }
}
