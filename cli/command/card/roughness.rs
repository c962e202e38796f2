//! `card "Ra 1.6" --nose 0.4mm`: the coarsest feed of this lathe that leaves a roughness.

use crate::answer::Request;
use crate::args;
use crate::asked::machine::Machine;
use crate::asked::roughness::{self, Roughness};
use crate::failure::Failure;
use crate::words::size;
use solver::job::coarsest_for;
use solver::{Length, Ratio, Target};

/// Nothing but the exact feed will do, since another one might be coarser: parts of it.
const EXACTLY: u128 = 1_000_000_000;

/// The request for that feed, and the roughness; `None`: none was asked for.
///
/// # Errors
/// If it can't be read, the nose is not known, or no feed of the lathe is so fine.
pub(super) fn of(
    card: &args::Card,
    machine: Machine,
) -> Result<Result<(Request, Length), Machine>, Failure> {
    let Some(wanted) = roughness::read(&card.target)? else { return Ok(Err(machine)) };
    for (said, argument) in
        [(card.rank.is_some(), "--rank"), (card.terms.train.is_some(), "--train")]
    {
        if said {
            let wrong = format!("{argument}: {} has one feed only, the coarsest", wanted.text);
            let right = format!("leave {argument} out, or ask for a feed such as `0.1 mm/rev`");
            return Err(Failure::wrong(wrong, right));
        }
    }
    let Some(nose) = card.work.nose else {
        let wrong = format!("{}: the nose radius of the tool is not known", wanted.text);
        return Err(Failure::wrong(wrong, "--nose beside it, such as --nose 0.4mm"));
    };
    let feed = feed(&wanted, &machine, nose, card)?;
    let arbor = card.terms.clearance.least();
    let request = Request::of_list(machine, vec![(feed, None)], arbor)?;
    let request = Request { within: Some(Ratio::new(1, EXACTLY)?), ..request };
    Ok(Ok((request, wanted.ra)))
}

/// The coarsest feed, under the name of the roughness.
fn feed(
    wanted: &Roughness,
    machine: &Machine,
    nose: Length,
    card: &args::Card,
) -> Result<Target, Failure> {
    let Roughness { text, ra, travel } = wanted;
    let options = crate::answer::options(card.terms.clearance.least());
    let found = coarsest_for(&machine.lathe, *travel, &options, *ra, nose);
    let found = found.map_err(|e| {
        if e.is_conflict() {
            let nose = size::both(&nose);
            let wrong = format!("{text}: with a nose of {nose} the feed would exceed its radius");
            Failure::wrong(wrong, "a finer roughness, or a larger --nose")
        } else {
            machine.refused(&e).asked_for_by(text)
        }
    })?;
    let feed = found.ok_or_else(|| {
        let wrong = format!("{text}: no feed of these gears that fits is so fine");
        Failure::wrong(wrong, "a larger --nose, or a coarser roughness")
    })?;
    let across = if *travel == solver::Travel::CrossFeed { " cross" } else { "" };
    if feed.has_pi() {
        let wrong = format!("{text}: the feed of this lathe has pi in it");
        return Err(Failure::wrong(wrong, "a feed such as `0.1 mm/rev`"));
    }
    let target: Target = format!("{} mm/rev{across}", feed.mm()).parse()?;
    Ok(target.named(text))
}
