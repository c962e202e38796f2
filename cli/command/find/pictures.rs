//! Which train of an answer is drawn.

use crate::answer::{Entry, Outcome, Request};
use crate::command::drawing;
use crate::failure::Failure;
use crate::report::drawing::Drawing;

/// The train of each target that is drawn; none where there is none.
///
/// # Errors
/// If `--rank` asks for more than there is.
pub(super) fn chosen<'o>(
    request: &Request,
    outcomes: &'o [Outcome],
) -> Result<Vec<Option<&'o Entry>>, Failure> {
    outcomes.iter().map(|outcome| one(request, outcome)).collect()
}

/// The answer asked by `--rank`, else the one whose set-up is described; where nothing stands the
/// closest of what was refused.
fn one<'o>(request: &Request, outcome: &'o Outcome) -> Result<Option<&'o Entry>, Failure> {
    match request.rank {
        Some(_) if outcome.solutions.is_empty() => Ok(None),
        Some(rank) => outcome.ranked(rank).map(Some),
        None => {
            let closest = outcome.nearest.as_ref().or(outcome.refused.first());
            Ok(outcome.first_choice().or(closest))
        }
    }
}

/// The views of each target, for a page; none where none was chosen.
pub(super) fn views(
    request: &Request,
    outcomes: &[Outcome],
    chosen: &[Option<&Entry>],
) -> Vec<Vec<Drawing>> {
    let views = |(at, outcome): (usize, &Outcome)| {
        let entry = chosen.get(at).copied().flatten()?;
        Some(drawing::captioned(&drawing::subject(request, outcome, entry)))
    };
    outcomes.iter().enumerate().map(|of| views(of).unwrap_or_default()).collect()
}

/// One sheet a target, with all words on it.
pub(super) fn sheets(
    request: &Request,
    outcomes: &[Outcome],
    chosen: &[Option<&Entry>],
) -> Vec<Drawing> {
    let draw = |(outcome, entry): (&Outcome, Option<&Entry>)| {
        if let Some(entry) = entry {
            return drawing::draw(&drawing::subject(request, outcome, entry));
        }
        let title = format!("{}: no train found", outcome.target.text());
        drawing::nothing(title, request.machine.name().to_string())
    };
    outcomes.iter().zip(chosen.iter().copied()).map(draw).collect()
}
