//! A set-up of the lathe as the library knows it, with what else is known of it. Nothing in it is a
//! word: names are looked up where it is written.

use solver::bracket::Reason;
use solver::job::SetUp;
use solver::judge::Objection;
use solver::search::{Others, Search, Solution};
use solver::{Lathe, LeadError, Ratio, Shaft, Teeth};
use std::ops::Deref;

/// A set-up, and what speaks for and against it.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub(crate) set_up: SetUp,
    /// Gears moved from what is on the machine.
    pub(crate) handled: usize,
    /// Reasons against it by assumed figures.
    pub(crate) assumed: Vec<Reason>,
    /// Reasons against it other than its fit.
    pub(crate) objections: Vec<Objection>,
    /// Every choice of idlers that fits between its end gears.
    pub(crate) idlers: Vec<Vec<Teeth>>,
    /// How many more have this lead; `None`: not counted.
    pub(crate) others: Option<Others>,
    /// With `--all`: every one, this one first.
    pub(crate) arrangements: Vec<Entry>,
}

/// Train, levers, lead and fit are those of its set-up.
impl Deref for Entry {
    type Target = SetUp;

    fn deref(&self) -> &SetUp {
        &self.set_up
    }
}

/// Past this error, one tenth, it is a different thread or feed that would be cut.
const FAR_OFF: (u128, u128) = (1, 10);

impl Entry {
    /// One that a search found; `None`: another search did.
    pub(crate) fn of(search: &Search<'_>, solution: &Solution) -> Option<Self> {
        Some(Self::new(search.lathe(), SetUp::of(search, solution)?))
    }

    /// One of which nothing more is known.
    pub(crate) fn new(lathe: &Lathe, set_up: SetUp) -> Self {
        let gears = set_up.train.gears().count();
        Self {
            handled: lathe.on_now().map_or(gears, |now| set_up.train.handled_from(&now.train)),
            set_up,
            assumed: Vec::new(),
            objections: Vec::new(),
            idlers: Vec::new(),
            others: None,
            arrangements: Vec::new(),
        }
    }

    /// Gears in the train, idlers included.
    pub(crate) fn gears(&self) -> usize {
        self.train.gears().count()
    }

    /// Whether the error is so large that it is a different thread.
    pub(crate) fn is_far_off(&self) -> bool {
        is_far_off(&self.error)
    }

    /// Whether the arithmetic can't tell if it stands, or that was not settled.
    pub(crate) fn is_too_close(&self) -> bool {
        self.fit.state().is_open()
    }

    /// Whether anything speaks against it: the banjo, what is not owned, the hand.
    pub(crate) fn is_refused(&self) -> bool {
        self.is_unfit() || !self.objections.is_empty()
    }

    /// Whether it can't stand: by the banjo, or without one by the shop's rule.
    pub(crate) fn is_unfit(&self) -> bool {
        !self.fit.reasons().is_empty()
    }

    /// Teeth on each shaft; on a stud with two, the driven gear first.
    pub(crate) fn shafts(&self) -> Vec<Vec<u16>> {
        let teeth = |shaft: &Shaft| shaft.gears().map(|gear| gear.teeth.get()).collect();
        self.train.shafts().iter().map(teeth).collect()
    }
}

/// Whether an error is so large that it is no longer the thread that was asked.
fn is_far_off(error: &LeadError) -> bool {
    let (part, whole) = FAR_OFF;
    !Ratio::new(part, whole).is_ok_and(|tenth| error.within(&tenth))
}
