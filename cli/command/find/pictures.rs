//! Which train of an answer is drawn, and the words that go with its picture.

use super::entry::Entry;
use super::lists::error_in_short;
use super::set_up::levers_in_words;
use super::{Outcome, Request};
use crate::command::doubt;
use crate::command::drawing::{self, Subject};
use crate::command::figures::{lead_inch, lead_mm, tpi};
use crate::command::reasons::Speaker;
use crate::failure::Failure;
use crate::report::drawing::Drawing;
use solver::bracket::Fit;

/// One picture a target.
///
/// # Errors
/// If `--rank` asks for more than there is.
pub(super) fn all(request: &Request, outcomes: &[Outcome]) -> Result<Vec<Drawing>, Failure> {
    outcomes.iter().map(|outcome| one(request, outcome)).collect()
}

fn one(request: &Request, outcome: &Outcome) -> Result<Drawing, Failure> {
    match (shown(request, outcome), request.rank) {
        (Some(entry), _) => Ok(draw(request, outcome, entry)),
        (None, Some(rank)) if !outcome.solutions.is_empty() => {
            outcome.ranked(rank).map(|entry| draw(request, outcome, entry))
        }
        (None, _) => {
            let title = format!("{}: no train found", outcome.target.text());
            Ok(drawing::nothing(title, request.machine.name().to_string()))
        }
    }
}

/// The answer asked by `--rank`, else the one whose set-up is described; where nothing stands the
/// closest of what was refused.
fn shown<'o>(request: &Request, outcome: &'o Outcome) -> Option<&'o Entry> {
    match request.rank {
        Some(rank) => outcome.solutions.get(rank - 1),
        None => outcome.first_choice().or(outcome.nearest.as_ref()).or(outcome.refused.first()),
    }
}

fn draw(request: &Request, outcome: &Outcome, entry: &Entry) -> Drawing {
    drawing::draw(&subject(request, outcome, entry))
}

/// What is to be drawn of a set-up.
pub(in crate::command) fn subject<'a>(
    request: &'a Request,
    outcome: &Outcome,
    entry: &'a Entry,
) -> Subject<'a> {
    let lathe = &request.machine.lathe;
    let speaker = Speaker::new(lathe, &entry.train);
    let reasons = entry.reasons(lathe);
    let warning = match (&entry.fit, reasons.is_empty()) {
        _ if entry.is_unfit() => Some("DOES NOT FIT".to_string()),
        (_, false) => Some("CAN'T BE SET UP SO".to_string()),
        (fit @ Fit::TooClose(_), true) => Some(doubt::verdict(fit).to_string()),
        (_, true) if outcome.nearest.is_some() => Some("Not within the tolerance".to_string()),
        (_, true) => None,
    };
    let mut notes: Vec<String> = reasons.into_iter().map(|reason| reason.text).collect();
    notes.extend(doubt::measures(lathe, &entry.fit));
    if let Some(mounting) = entry.fit.mounting() {
        let studs = speaker.studs(mounting).into_iter();
        notes.extend(studs.map(|(name, place)| format!("{name}: {place}")));
        notes.extend(speaker.swing(mounting).map(|swing| format!("swing: {swing}")));
        notes.extend(speaker.tightest(mounting).map(|gap| format!("tightest: {gap}")));
    }
    Subject {
        train: &entry.train,
        fit: &entry.fit,
        bracket: lathe.parts().bracket.as_ref(),
        first_turns: entry.first_turns,
        title: format!("{}: {}", outcome.target.text(), entry.train),
        warning,
        facts: facts(request, outcome, entry),
        notes,
    }
}

fn facts(request: &Request, outcome: &Outcome, entry: &Entry) -> Vec<String> {
    let mm = lead_mm(&entry.lead).marked();
    let cuts = if outcome.target.travel().is_feed() {
        format!("feeds {mm} mm = {} in per turn", lead_inch(&entry.lead).marked())
    } else {
        let hand =
            super::either::hand(entry).map(|hand| format!(", {hand} hand")).unwrap_or_default();
        format!("cuts {mm} mm = {} TPI{hand}", tpi(&entry.lead).marked())
    };
    let levers = levers_in_words(entry);
    let set = (!levers.is_empty()).then(|| format!("set {levers}"));
    let error = format!("{cuts}; error: {}", error_in_short(&entry.error));
    [request.machine.name().to_string(), error].into_iter().chain(set).collect()
}
