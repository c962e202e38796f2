//! Which train of an answer is drawn.

use crate::answer::{Entry, Outcome, Request};
use crate::command::drawing;
use crate::failure::Failure;
use crate::report::drawing::Drawing;

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
    drawing::draw(&drawing::subject(request, outcome, entry))
}
