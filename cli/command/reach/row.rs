//! A lead that can be cut.

use crate::answer::Entry;
use crate::args::Sort;
use solver::Ratio;
use solver::reach::{Beside, Reached};
use solver::search::Search;

/// Parts of a lead that errors are told apart by, where they are sorted.
const PARTS: u64 = 1_000_000_000_000_000;

/// A lead that can be cut.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) entry: Entry,
    pub(super) below: Option<Beside>,
    pub(super) above: Option<Beside>,
}

impl Row {
    /// `None`: another search found it.
    pub(super) fn of(search: &Search<'_>, reached: &Reached) -> Option<Self> {
        let (below, above) = (reached.below, reached.above);
        Some(Self { entry: Entry::of(search, &reached.solution)?, below, above })
    }

    /// What it is sorted by: the least comes first, of equals the shortest lead.
    pub(super) fn place(&self, sort: Sort) -> u128 {
        match sort {
            Sort::Lead => 0,
            Sort::Gears => self.entry.gears() as u128,
            // |error| against the nearer standard thread; what has none comes last.
            Sort::Error => {
                let sizes = self.beside().map(|beside| beside.error.size_in(PARTS));
                sizes.min().unwrap_or(u128::MAX)
            }
        }
    }

    /// Whether a standard thread is so near.
    pub(super) fn is_standard(&self, within: &Ratio) -> bool {
        self.beside().any(|beside| beside.error.within(within))
    }

    fn beside(&self) -> impl Iterator<Item = &Beside> {
        self.below.iter().chain(&self.above)
    }
}
