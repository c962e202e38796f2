//! `--train`: what does this train cut for the target, and what speaks against it? The library judges
//! it; nothing is searched.

use super::Request;
use super::entry::Entry;
use crate::command::lacks;
use solver::bracket::Fit;
use solver::judge::{Asked, Judged, Room, judge as judged, set};
use solver::{End, Hand, Result, Target, Train};

/// Judges a train for a target.
pub(super) fn judge(
    request: &Request,
    train: &Train,
    target: &Target,
    hand: Option<Hand>,
) -> Result<Option<Entry>> {
    let room = Room::of(&request.machine.lathe, request.arbor)?;
    let room = if request.arbor_typed { room } else { room.with_assumed_clearance() };
    let asked = Asked { travel: target.travel(), lead: target.lead(), hand };
    let judged = judged(&request.machine.lathe, &room, train, &asked)?;
    judged.map(|judged| entry(request, judged)).transpose()
}

fn entry(request: &Request, judged: Judged) -> Result<Entry> {
    let lathe = &request.machine.lathe;
    let objections = judged.objections().iter().filter_map(lacks::objection).collect();
    let Judged { set, setting, tumbler, hand, either, lead, error, .. } = judged;
    let train = set.given.train;
    let owned = |(lever, position): (&str, &str)| (lever.to_string(), position.to_string());
    let named = tumbler.and_then(|i| lathe.parts().tumbler.get(i));
    let gears = train.gears().count();
    let fitted = lathe.parts().fitted.as_ref();
    Ok(Entry {
        ratio: train.ratio()?,
        levers: lathe.lever_names(&setting).map(owned).collect(),
        headstock: lathe.headstock_name(&setting).map(str::to_string),
        tumbler: named.map(|(name, _)| name.clone()),
        first_turns: lathe.first_turns(setting.headstock, tumbler),
        setting: Some(setting),
        hand,
        either: super::either::of(lathe, either),
        lead,
        error,
        gears,
        handled: fitted.map_or(gears, |fitted| train.handled_from(&fitted.train)),
        train,
        fit: set.fit,
        assumed: set.assumed,
        objections,
        idlers: Vec::new(),
        others: None,
        arrangements: Vec::new(),
    })
}

/// What the bracket says of a train, with the gears that its numbers mean.
///
/// # Errors
/// If its gears can't be.
pub(in crate::command) fn fit_of(request: &Request, train: &Train) -> Result<Fit> {
    let lathe = &request.machine.lathe;
    let room = match request.arbor {
        Some(_) => Room::on_bracket(lathe)?,
        None => Room::Unasked,
    };
    Ok(set(lathe, &room, train, &End::Any)?.fit)
}
