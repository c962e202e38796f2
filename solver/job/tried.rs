//! A mate was tried on a half-cut thread: between which bounds is its pitch diameter, and what is left?
//!
//! A mate of a class has a pitch diameter between two limits. Where a nut goes on, the screw's is at most
//! the nut's greatest. Where it does not, the screw's is over the nut's least, unless the crests, the root
//! or the lead bind: what fits together is the pitch diameter with all errors of form (ISO 5408: virtual
//! pitch diameter). A nut that goes on says nothing of how loose it is.

use super::groove::Groove;
use super::mate::{ToMate, mate_limits};
use super::rest::{HalfCut, Rest};
use super::trial::{Goes, Now, Trial};
use super::work::{Refused, Stated, Work};
use crate::cutting::{Cut, Measure, Side};
use crate::tolerance::{Class, Limits};
use crate::{Error, Length, Result, Target};

/// What the trial shows.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tried {
    /// What was tried.
    pub trial: Trial,
    /// The class that the mate is assumed to have; `None`: it is the one mate of [`Work::mate`].
    pub class: Option<Class>,
    /// Least and greatest pitch diameter of such a mate.
    pub mate: [Length; 2],
    /// The pitch diameter is over this; `None`: nothing shows it.
    pub least: Option<Length>,
    /// It is at most this; `None`: nothing shows it.
    pub greatest: Option<Length>,
    /// The pitch diameter to aim at.
    pub aim: Measure,
    /// The least and the most infeed to the aim, in mm; `None`: nothing shows it. Below 0: perhaps past it.
    pub left: [Option<f64>; 2],
    /// Infeed that is surely not past the aim; empty: nothing is sure.
    pub rest: Rest,
    /// Whether the blank, as measured, reaches past the mate's root: crests bind whatever the flanks do.
    pub crests_bind: bool,
    /// How far each flank of a wide groove moves for each mm of infeed; `None`: another groove.
    pub aside: Option<f64>,
}

/// What a mate is held to.
struct Mate {
    class: Option<Class>,
    pitch: [Length; 2],
    root: Option<Length>,
}

impl Tried {
    /// `None`: nothing was tried.
    ///
    /// # Errors
    /// If nothing follows from it for this thread.
    pub(super) fn of(
        target: &Target,
        cut: Option<&Cut>,
        groove: Option<&Groove>,
        (limits, to): (Option<&Limits>, Option<&ToMate>),
        work: &Work,
    ) -> std::result::Result<Option<Self>, Refused> {
        let Some(Now::Tried(trial)) = work.now else { return Ok(None) };
        let refused = |e: Error| Refused::Stated(Stated::Now, e);
        let half_cut = HalfCut::of(cut, groove, work).map_err(refused)?;
        let mate = Mate::of(target, trial, (limits, to), work).map_err(refused)?;
        Ok(Some(Self::new(&half_cut, trial, &mate)))
    }

    fn new(half_cut: &HalfCut<'_>, trial: Trial, mate: &Mate) -> Self {
        let [small, large] = mate.pitch;
        let (sign, aim) = (half_cut.sign(), half_cut.blank.pitch());
        let binds = trial.goes != Goes::On;
        let goes = trial.goes != Goes::Not;
        // A screw shrinks into its nut, a nut grows over its screw.
        let (least, greatest) = match trial.mate {
            Side::Internal => (binds.then_some(small), goes.then_some(large)),
            Side::External => (goes.then_some(small), binds.then_some(large)),
        };
        let infeed = |at: Length| sign * (at.mm().to_f64() - aim.mm()) / 2.0;
        let left = match trial.mate {
            Side::Internal => [least, greatest],
            Side::External => [greatest, least],
        };
        let left = left.map(|at| at.map(infeed));
        Self {
            rest: left[0].map_or_else(Rest::default, |left| half_cut.rest(left)),
            crests_bind: half_cut.blank.is_measured()
                && mate.root.is_some_and(|root| {
                    sign * (half_cut.blank.across().mm() - root.mm().to_f64()) > 0.0
                }),
            aside: half_cut.aside(),
            class: mate.class,
            mate: mate.pitch,
            trial,
            least,
            greatest,
            aim,
            left,
        }
    }
}

impl Mate {
    fn of(
        target: &Target,
        trial: Trial,
        (limits, to): (Option<&Limits>, Option<&ToMate>),
        work: &Work,
    ) -> Result<Self> {
        if trial.mate == work.side {
            let right = match work.side {
                Side::External => "`nut starts`, or --internal beside it",
                Side::Internal => "`screw starts`, or --internal left out",
            };
            let word = trial.word();
            return Err(
                Error::conflict(format!("a {word} is not tried on a {word}")).with_hint(right)
            );
        }
        if let Some(to) = to {
            return Ok(Self { class: None, pitch: [to.mate; 2], root: None });
        }
        let of = mate_limits(target, work, limits);
        let both = of.and_then(|of| of.pitch().least().zip(of.pitch().greatest()).zip(Some(of)));
        let Some(((least, greatest), of)) = both else {
            return Err(Error::unknown(format!(
                "no class of {} is known here for it",
                trial.word()
            ))
            .with_hint("measure it: wires, pitch, depth or root"));
        };
        let root = match trial.mate {
            Side::Internal => of.major().least(),
            Side::External => of.minor().greatest(),
        };
        Ok(Self { class: Some(of.class()), pitch: [least, greatest], root })
    }
}

#[cfg(test)]
mod tests;
