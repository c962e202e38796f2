//! Which set-up is the card for?

use super::Chosen;
use crate::answer::{Entry, Outcome, Request};
use crate::failure::Failure;
use crate::words::search::other_hand;
use crate::words::set_up::{error_in_short, reasons};
use crate::words::size;
use crate::words::verdict::another;
use solver::job;

/// The set-up, or as sentences why there is none.
///
/// # Errors
/// If `--rank` asks for more than there is.
pub(super) fn of<'o>(
    request: &Request,
    outcome: &'o Outcome,
) -> std::result::Result<Chosen<'o>, Failure> {
    if request.train.is_some() {
        return Ok(judged(request, outcome));
    }
    let entry = match request.rank {
        Some(rank) => Some(outcome.ranked(rank)?),
        None => outcome.first_choice(),
    };
    let Some(entry) = entry else { return Ok(Err(vec![nothing(request, outcome)])) };
    let entry = easiest(request, outcome, entry)?;
    Ok(far_off(outcome, entry))
}

/// A train that was typed.
fn judged<'o>(request: &Request, outcome: &'o Outcome) -> Chosen<'o> {
    if let Some(entry) = outcome.solutions.first() {
        return far_off(outcome, entry);
    }
    if let Some(refused) = outcome.refused.first() {
        let reasons = reasons(&request.machine.lathe, refused);
        return Err(reasons.into_iter().map(|reason| reason.text).collect());
    }
    Err(vec![nothing(request, outcome)])
}

/// No card leads to another thread or feed.
fn far_off<'o>(outcome: &Outcome, entry: &'o Entry) -> Chosen<'o> {
    if outcome.is_another(entry) {
        let different = format!(
            "The nearest set-up, {}, gives {}: {}.",
            entry.train,
            another(&outcome.allowed),
            size::both(&entry.lead)
        );
        return Err(std::iter::once(different).chain(other_hand(outcome)).collect());
    }
    Ok(entry)
}

fn nothing(request: &Request, outcome: &Outcome) -> String {
    match (&outcome.nearest, request.within) {
        (Some(nearest), Some(_)) => format!(
            "Nothing that can be set up is near enough; the nearest is {}: {}.",
            nearest.train,
            error_in_short(&nearest.error)
        ),
        _ if request.train.is_none() && !outcome.is_all() => {
            "No train was found for it, but not all was searched.".to_string()
        }
        _ => "No train of these gears can be set up for it.".to_string(),
    }
}

/// For work of several starts: of the same lead, and of others that are near enough, the set-up that
/// is indexed most easily; the first of equals.
fn easiest<'o>(
    request: &Request,
    outcome: &'o Outcome,
    chosen: &'o Entry,
) -> std::result::Result<&'o Entry, Failure> {
    let starts = outcome.target.starts();
    if starts < 2 {
        return Ok(chosen);
    }
    let near = |entry: &&Entry| match request.rank {
        Some(_) => entry.lead == chosen.lead,
        None => entry.lead == chosen.lead || entry.error.within(&outcome.allowed.part()),
    };
    let mut others: Vec<&Entry> = outcome.solutions.iter().filter(near).collect();
    others.sort_by_key(|entry| entry.lead != chosen.lead);
    let arranged = others.into_iter().flat_map(|entry| &entry.arrangements);
    let sure = arranged.filter(|entry| !entry.is_too_close());
    let all = std::iter::once(chosen).chain(sure);
    Ok(job::easiest(&request.machine.lathe, starts, all)?.unwrap_or(chosen))
}
