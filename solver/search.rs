//! Every train, best first, proven.

use crate::{Hand, Lathe, Lead, LeadError, Ratio, Result, Setting, Train, Travel};

/// What counts as a train, beyond what the lathe says.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Options {
    /// Least distance, in mm, from the tip of a gear on a stud to the axis of the shaft that the
    /// other gear of its pair meshes with; `None`: not asked (`--no-fit`).
    pub arbor: Option<Ratio>,
}

/// What is asked of one search.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ask {
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed.
    pub hand: Option<Hand>,
    /// Different leads wanted.
    pub count: usize,
    /// Most gears a train may have (2 to 8).
    pub gears: usize,
    /// Largest |error| wanted: 200 ppm is 1/5000.
    pub within: Option<Ratio>,
}

/// The tables for one lathe and one kind of travel; serves any number of targets.
#[derive(Debug)]
pub struct Search<'l> {
    lathe: &'l Lathe,
    settings: Vec<Setting>,
}

/// One train on the machine with its levers: the best arrangement for its lead.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Solution {
    /// The wheels.
    pub train: Train,
    /// Index into [`Search::settings`].
    pub setting: usize,
    /// Index of the tumbler position; `None`: there is none, or the hand does not matter.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some sense is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Against the target.
    pub error: LeadError,
    /// Gears in the train, idlers included.
    pub gears: usize,
    /// Gears taken off and put on from the fitted set-up (no fitted set-up: `gears`).
    pub handled: usize,
}

/// What the proof covers.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// Choices of drivers and driven (idlers and order apart) times lever positions.
    pub combinations: u128,
    /// Lever positions searched.
    pub positions: usize,
    /// Most ratio pairs searched.
    pub pairs: usize,
    /// Whether everything was searched; else `missed_from` says from which error on.
    pub complete: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Found {
    /// Different leads, best first.
    pub solutions: Vec<Solution>,
    /// Closer ones that can't stand, best first (at most five), with the reason.
    pub refused: Vec<(Solution, String)>,
    /// Where `within` left nothing: the nearest without it.
    pub nearest: Option<Solution>,
    /// What was searched.
    pub proof: Proof,
}

/// How many trains there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Others {
    /// So many.
    pub count: u64,
    /// Or more: the count was cut.
    pub at_least: bool,
}

impl<'l> Search<'l> {
    /// Builds the tables.
    pub fn new(lathe: &'l Lathe, travel: Travel, _options: Options) -> Result<Self> {
        Ok(Self { lathe, settings: lathe.settings(travel)?.list })
    }

    /// The lever positions that are searched.
    pub fn settings(&self) -> &[Setting] {
        &self.settings
    }

    /// The lathe.
    pub const fn lathe(&self) -> &'l Lathe {
        self.lathe
    }

    /// The best trains.
    pub fn find(&self, _ask: &Ask) -> Result<Found> {
        todo!()
    }

    /// For each number of gears the best train, only where it is closer than with fewer gears.
    /// Fewest gears first.
    pub fn trade_off(&self, _ask: &Ask) -> Result<Vec<Solution>> {
        todo!()
    }

    /// The fewest gears within `ask.within`.
    pub fn fewest(&self, _ask: &Ask) -> Result<Option<Solution>> {
        todo!()
    }

    /// All trains with the lead of `solution`, besides it: counted, up to `limit`.
    pub fn others(&self, _ask: &Ask, _solution: &Solution, _limit: u64) -> Result<Others> {
        todo!()
    }

    /// All trains with the lead of `solution`, in order, up to `limit` (and whether it was cut).
    pub fn all(
        &self,
        _ask: &Ask,
        _solution: &Solution,
        _limit: usize,
    ) -> Result<(Vec<Solution>, bool)> {
        todo!()
    }

    /// The best train that one more gear of a size already owned would allow, where it is closer
    /// than `than`; and the teeth of that gear.
    pub fn one_more(
        &self,
        _ask: &Ask,
        _than: &Solution,
    ) -> Result<Option<(Solution, crate::Teeth)>> {
        todo!()
    }
}
