//! A lead that can be cut; and of many such rows those that come first.

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

    /// |error| against the nearer standard thread; what has none comes last.
    pub(super) fn error_size(&self) -> u128 {
        let sizes = self.beside().map(|beside| beside.error.size_in(PARTS));
        sizes.min().unwrap_or(u128::MAX)
    }

    /// Whether a standard thread is so near.
    pub(super) fn is_standard(&self, within: &Ratio) -> bool {
        self.beside().any(|beside| beside.error.within(within))
    }

    fn beside(&self) -> impl Iterator<Item = &Beside> {
        self.below.iter().chain(&self.above)
    }
}

/// A row behind what it is sorted by: a size, then when it came.
type Placed = (u128, u64, Row);

/// The first rows; of the rest nothing is held.
#[derive(Debug)]
pub(super) struct TopRows {
    sort: Sort,
    most: usize,
    came: u64,
    rows: Vec<Placed>,
}

impl TopRows {
    /// For so many rows.
    pub(super) const fn new(sort: Sort, most: usize) -> Self {
        Self { sort, most, came: 0, rows: Vec::new() }
    }

    /// How many rows came.
    pub(super) const fn came(&self) -> u64 {
        self.came
    }

    /// Takes a row; rows come with their leads ascending.
    pub(super) fn push(&mut self, row: Row) {
        let size = match self.sort {
            Sort::Lead => 0,
            Sort::Gears => row.entry.gears() as u128,
            Sort::Error => row.error_size(),
        };
        self.came += 1;
        self.rows.push((size, self.came, row));
        // Cut now and then: a sort for every row would be dear.
        if self.rows.len() >= 2 * self.most + 1000 {
            self.cut();
        }
    }

    fn cut(&mut self) {
        self.rows.sort_by_key(|(size, came, _)| (*size, *came));
        self.rows.truncate(self.most);
    }

    /// The first rows, in order.
    pub(super) fn into_rows(mut self) -> Vec<Row> {
        self.cut();
        self.rows.into_iter().map(|(_, _, row)| row).collect()
    }
}
