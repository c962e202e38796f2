//! What a search answers: trains with what they cut, and what the proof covers.

use crate::bracket::Fit;
use crate::{Either, Hand, Lead, LeadError, Teeth, Train};

/// One train on the machine with its levers: the best arrangement for its lead.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Solution {
    /// The wheels.
    pub train: Train,
    /// Index into [`crate::search::Search::settings`].
    pub setting: usize,
    /// Index of the tumbler position; `None`: there is none, or it does not matter.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some sense is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Where the bracket does not tell whether two gears mesh directly: both cases.
    pub either: Option<Either>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Against the target.
    pub error: LeadError,
    /// Gears in the train, idlers included.
    pub gears: usize,
    /// Gears taken off and put on from the fitted set-up (no fitted set-up: `gears`).
    pub handled: usize,
    /// Where it stands on the bracket, or why it can't.
    pub fit: Fit,
}

impl Solution {
    /// Whether it stands, as far as anybody asked; what is too close to call, or not settled, does not.
    pub fn stands(&self) -> bool {
        self.fit.state().counts()
    }
}

/// What the proof covers.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// Choices of drivers and driven gears, order and idlers apart, times lever positions.
    pub combinations: u128,
    /// Lever positions searched.
    pub positions: usize,
    /// Lever positions that could not be searched, since a ratio is unknown: `complete` does not hear of
    /// them.
    pub unknown: usize,
    /// Most ratio pairs searched.
    pub pairs: usize,
    /// Most ratio pairs that the lathe takes, whatever the options ask for.
    pub possible: usize,
    /// Most ratio pairs that the lathe takes and the options ask for: more than `pairs` where the
    /// tables would have been too large.
    pub allowed: usize,
    /// Whether all that the lathe allows was searched. If not, either trains with more than `pairs`
    /// ratio pairs were left out, or the search gave up: then nothing closer than the last answer
    /// was missed, but something between the answers and the rest may have been.
    pub complete: bool,
    /// Whether it was settled for every train that could have been an answer whether it fits: for none
    /// was the search for a place of its studs cut short. If not, `complete` is false too.
    pub settled: bool,
    /// Whether the search was cancelled: then `complete` is false too, and closer ones than the last
    /// answer may have been missed only among those of the same error.
    pub stopped: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Found {
    /// Different leads, best first: as many as were asked for that stand (or were not checked), and
    /// besides them those that are too close to call, at most as many.
    pub solutions: Vec<Solution>,
    /// Closer than the first that stands, but can't: best first, at most five. Each is the train
    /// that would be best for its lead.
    pub refused: Vec<Solution>,
    /// Where `within` left nothing: the nearest without it.
    pub nearest: Option<Solution>,
    /// Whether closer ones that are too close to call had no room in the list.
    pub unlisted: bool,
    /// What was searched.
    pub proof: Proof,
}

/// The best train within a tolerance.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Closest {
    /// The best that fits, as far as anybody asked.
    pub fits: Option<Solution>,
    /// The best that is too close to call, where it is closer than that, or nothing fits.
    pub unsure: Option<Solution>,
    /// Whether no closer one can have been missed.
    pub complete: bool,
}

/// How many trains there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Others {
    /// So many that stand.
    pub count: u64,
    /// So many were tried.
    pub tried: u64,
    /// Or more: the count was cut, or cancelled.
    pub at_least: bool,
}

/// The best train for each number of gears.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TradeOff {
    /// Fewest gears first, each closer than the one before.
    pub rows: Vec<Solution>,
    /// Whether no row can be missing: the search never gave up.
    pub complete: bool,
}

/// What one more gear would allow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OneMore {
    /// The best train, and the teeth of the gear that it lacks; `None`: none is closer.
    pub better: Option<(Solution, Teeth)>,
    /// Whether nothing closer can have been missed.
    pub complete: bool,
}
