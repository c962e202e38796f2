//! What does a search answer? Trains with the leads that they cut, and what the proof covers.

use crate::bracket::Fit;
use crate::{Either, Hand, Lead, LeadError, Teeth, Train};

/// One train on the machine with its levers: the best arrangement for its lead.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Solution {
    /// The train.
    pub train: Train,
    /// Index into [`crate::search::Search::settings`].
    pub setting: usize,
    /// Index of the tumbler position; `None`: there is none, or it does not matter.
    pub tumbler: Option<usize>,
    /// Hand of its thread; `None`: some direction is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Both cases, where two gears may mesh directly or not and no bracket decides.
    pub either: Option<Either>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Its error from the target.
    pub error: LeadError,
    /// Gears in the train, idlers included.
    pub gears: usize,
    /// Gears moved from what is on the machine: taken off and put on (nobody has said: `gears`).
    pub handled: usize,
    /// Its places on the bracket, or why it does not fit.
    pub fit: Fit,
}

impl Solution {
    /// Whether it fits, as far as anybody asked; false where it is too close to call or not settled.
    pub fn fits(&self) -> bool {
        self.fit.state().counts()
    }
}

/// What the proof covers.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// Choices of drivers and driven gears times lever positions; order and idlers are not counted.
    pub combinations: u128,
    /// Lever positions searched.
    pub positions: usize,
    /// Lever positions with an unknown ratio, not searched. `complete` ignores them.
    pub unknown: usize,
    /// Most gear pairs searched.
    pub pairs: usize,
    /// Most gear pairs that the lathe allows, whatever the options.
    pub possible: usize,
    /// Most gear pairs within lathe and options: more than `pairs` where the tables would be too
    /// large.
    pub allowed: usize,
    /// Whether all that the lathe allows was searched. If not, trains with more than `pairs` ratio
    /// pairs were left out, or the search gave up. In the second case nothing closer than the last
    /// answer is missing, but something between the answers may be.
    pub complete: bool,
    /// Whether it is settled of every possible answer whether it fits. False where the search for
    /// stud places ended early; then `complete` is false too.
    pub settled: bool,
    /// Whether the search was cancelled. Then `complete` is false too, and closer trains than the
    /// last answer can be missing only at the same error.
    pub stopped: bool,
}

/// The answer of a search.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Found {
    /// Different leads, best first: up to the asked number that fit (or were not checked). Besides
    /// them, up to the same number that are too close to call.
    pub solutions: Vec<Solution>,
    /// Closer than the first that fits, but these do not: best first, at most five. Each is the
    /// train that would be best for its lead.
    pub refused: Vec<Solution>,
    /// The nearest beyond the tolerance, where `within` leaves nothing.
    pub nearest: Option<Solution>,
    /// Whether closer trains that are too close to call were left off the list.
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
    /// The best that is too close to call, where it is closer than the other, or nothing fits.
    pub unsure: Option<Solution>,
    /// Whether no closer one is missing.
    pub complete: bool,
}

/// How many trains there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Others {
    /// Trains that fit.
    pub count: u64,
    /// Trains that were tried.
    pub tried: u64,
    /// Whether there may be more: the count was cut off, or cancelled.
    pub at_least: bool,
}

/// The best train for each number of gears.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TradeOff {
    /// Fewest gears first, each closer than the one before.
    pub rows: Vec<Solution>,
    /// Whether no row is missing: the search never gave up.
    pub complete: bool,
}

/// What one more gear would allow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OneMore {
    /// The best train, and the teeth of the missing gear; `None`: no train is closer.
    pub better: Option<(Solution, Teeth)>,
    /// Whether nothing closer is missing.
    pub complete: bool,
}
