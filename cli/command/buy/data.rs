//! What is worth buying, for programs: the document of JSON, and the rows of CSV from it.

use super::answer::{Answer, Bought, LineTrain, Served};
use super::{Request, page};
use crate::document::buy::{self, Document, Offer, Round};
use crate::document::lead::Wanted;
use crate::document::set_up::Way;
use crate::document::{Head, records};
use crate::report::Table;
use crate::words::figures::error_size;
use serde::Serialize;
use solver::buy::PARTS;

/// Columns of the records.
const KEYS: [&str; 11] = [
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

/// A row of the records: a purchase, or what is owned.
#[derive(Debug, Serialize)]
struct Record<'d> {
    gears: usize,
    rank: Option<usize>,
    buy: &'d [u16],
    reached: usize,
    lines: usize,
    worst_ppm: f64,
    sum_ppm: f64,
    adds: Vec<String>,
    /// Lines that it gains, and those that it still misses.
    gained: Vec<&'d str>,
    missed: Vec<&'d str>,
    complete: bool,
}

/// One row a purchase; the first is what is owned.
pub(super) fn records(answer: &Answer, document: &Document) -> Table {
    let now = Record { complete: answer.unknown == 0, ..record(document, &document.now) };
    let bought = document.purchases.iter().flat_map(|round| {
        round.offers.iter().map(|offer| Record {
            gears: round.gears,
            rank: Some(offer.rank),
            buy: &offer.gears,
            adds: offer.gears.iter().zip(&offer.adds).map(|(z, n)| format!("{z}: {n}")).collect(),
            gained: said(document, offer.gained.iter().copied()),
            complete: round.complete,
            ..record(document, &offer.then)
        })
    });
    records::table(&KEYS, std::iter::once(now).chain(bought))
}

/// What a box of gears does; nothing bought.
fn record<'d>(document: &'d Document, served: &buy::Served) -> Record<'d> {
    let is_missed = |line: &Option<buy::Line>| line.as_ref().is_none_or(|line| !line.reached);
    let missed = served.lines.iter().enumerate().filter(|(_, line)| is_missed(line));
    Record {
        gears: 0,
        rank: None,
        buy: &[],
        reached: served.reached,
        lines: served.lines.len(),
        worst_ppm: served.worst_ppm,
        sum_ppm: served.sum_ppm,
        adds: Vec::new(),
        gained: Vec::new(),
        missed: said(document, missed.map(|(at, _)| at)),
        complete: true,
    }
}

/// Lines of the list as they are said.
fn said(document: &Document, lines: impl Iterator<Item = usize>) -> Vec<&str> {
    lines.filter_map(|at| Some(document.lines.get(at)?.target.text.as_str())).collect()
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
        head: Head::of(&request.machine),
        objective: page::OBJECTIVE,
        sizes: request.sizes.iter().map(|teeth| teeth.get()).collect(),
        lines: request.wanted.iter().map(Wanted::from).collect(),
        set_aside: request.aside.iter().map(Wanted::from).collect(),
        now: served(request, &answer.now),
        purchases: answer.rounds.iter().map(round).collect(),
        every_line_reached: answer.reaches_every_line(),
        complete: answer.complete(),
        left_out: page::left_out(answer),
    }
}

fn served(request: &Request, served: &Served) -> buy::Served {
    let ppm = |parts| error_size(parts, PARTS).to_f64();
    buy::Served {
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

fn train(request: &Request, line: &LineTrain) -> buy::Line {
    buy::Line { reached: line.reached, way: Way::of(&request.machine.lathe, &line.entry) }
}

fn offer(request: &Request, answer: &Answer, rank: usize, bought: &Bought) -> Offer {
    Offer {
        rank,
        gears: bought.gears.iter().map(|teeth| teeth.get()).collect(),
        text: page::names(request, &bought.gears),
        adds: bought.adds.clone(),
        gained: bought.gained(&answer.now),
        closer: bought.closer(&answer.now),
        then: served(request, &bought.served),
    }
}
