//! What went wrong, for programs: the document of JSON, and the rows of CSV from it.

use super::{Case, words};
use crate::answer::{Outcome, Request};
use crate::document::lead::{Lead, Target};
use crate::document::set_up::{Way, rounded};
use crate::document::why::{Document, Explanation, Reading};
use crate::document::{Head, records};
use crate::report::Table;
use crate::words::size::Mm;
use solver::why;

/// Columns of the records.
const KEYS: [&str; 12] = [
    "rank",
    "kinds",
    "text",
    "points",
    "tied",
    "alike",
    "lead_mm_rounded",
    "hand",
    "train",
    "measures_mm_rounded",
    "off_mm_rounded",
    "fits",
];

/// One row an explanation.
pub(super) fn records(document: &Document) -> Table {
    records::table(&KEYS, &document.explanations)
}

/// Without a set-up.
pub(super) fn nothing(request: &Request, outcome: &Outcome) -> Document {
    Document {
        head: Head::of(&request.machine),
        target: Target::asked(outcome),
        set_up: None,
        reading: None,
        hand: None,
        seen: None,
        verdict: "no set-up",
        explanations: Vec::new(),
        nearest: Vec::new(),
        faults: Vec::new(),
        look: None,
    }
}

/// The document.
pub(super) fn document(case: &Case<'_>) -> Document {
    let (lathe, answer) = (&case.request.machine.lathe, &case.answer);
    let all = |list: &[why::Explanation]| {
        list.iter().enumerate().map(|(at, one)| explanation(case, at, one)).collect()
    };
    Document {
        set_up: Some(Way::of(lathe, case.entry)),
        reading: reading(case),
        hand: case.hand.map(|hand| hand.to_string()),
        seen: case.seen.map(words::seen_word),
        verdict: words::verdict(answer.verdict),
        explanations: all(&answer.explanations),
        nearest: all(&answer.nearest),
        faults: answer.faults.iter().map(|fault| words::fault(*fault).to_owned()).collect(),
        look: answer.look.map(|look| words::look(lathe, look)),
        ..nothing(case.request, case.outcome)
    }
}

fn reading(case: &Case<'_>) -> Option<Reading> {
    let ((measured, reading), should) = case.measured.as_ref().zip(case.answer.should)?;
    Some(Reading {
        text: measured.text().to_owned(),
        length_mm: reading.length.mm().to_string(),
        give_or_take_mm: reading.give_or_take.mm().to_string(),
        instrument: words::instrument(reading.instrument),
        should_mm: should.mm().to_string(),
        pi: i8::from(should.has_pi()),
        should_mm_rounded: should.mm_rounded(),
    })
}

fn explanation(case: &Case<'_>, at: usize, one: &why::Explanation) -> Explanation {
    let first = case.answer.explanations.first();
    let reading = case.measured.as_ref().map(|(_, reading)| reading);
    Explanation {
        rank: at + 1,
        kinds: one.causes.iter().map(|cause| words::kind(*cause)).collect(),
        text: words::explanation(&case.request.machine.lathe, one),
        points: one.points,
        tied: first.is_some_and(|first| first.is_as_common_as(one)),
        alike: first.is_some_and(|first| first.measures_as(one)),
        lead: Lead::from(&one.lead),
        hand: one.hand.map(|hand| hand.to_string()),
        train: one.mounted.train.to_string(),
        measures_mm_rounded: one.measures.map(|measures| measures.least.mm_rounded()),
        up_to_mm_rounded: one.measures.map(|measures| measures.greatest.mm_rounded()),
        off_mm_rounded: one.measures.zip(reading).map(|(m, reading)| rounded(m.off(reading))),
        fits: one.fits,
    }
}
