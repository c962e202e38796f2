//! `--train`: what does this train cut for the target, and what speaks against it? The library judges
//! it; nothing is searched.

use super::Entry;
use super::Request;
use solver::bracket::Fit;
use solver::judge::{Asked, Judged, Objection, Room, judge as judged, set};
use solver::{End, Hand, Result, Target, Train};

/// Judges a train for a target.
pub(crate) fn judge(
    request: &Request,
    train: &Train,
    target: &Target,
    hand: Option<Hand>,
) -> Result<Option<Entry>> {
    let room = Room::of(&request.machine.lathe, request.arbor)?;
    let asked = Asked { travel: target.travel(), lead: target.lead(), hand };
    let judged = judged(&request.machine.lathe, &room, train, &asked)?;
    Ok(judged.map(|judged| entry(request, judged)))
}

fn entry(request: &Request, judged: Judged) -> Entry {
    let lathe = &request.machine.lathe;
    let mut objections = judged.objections();
    // What its room says stands in the fit.
    objections.retain(|objection| !matches!(objection, Objection::Room(_)));
    let assumed = judged.set.assumed.clone();
    Entry { assumed, objections, ..Entry::new(lathe, judged.into()) }
}

/// What the banjo says of a train, with the gears that its numbers mean.
///
/// # Errors
/// If its gears can't be.
pub(crate) fn fit_of(request: &Request, train: &Train) -> Result<Fit> {
    let lathe = &request.machine.lathe;
    let room = match request.arbor {
        Some(_) => Room::on_bracket(lathe)?,
        None => Room::Unasked,
    };
    Ok(set(lathe, &room, train, &End::Any)?.fit)
}
