//! The rows that come first in the order asked, of as many as there may be.

use super::walk::Row;
use crate::args::Sort;

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
            Sort::Gears => row.entry.gears as u128,
            Sort::Error => row.error_size(),
        };
        self.came += 1;
        if self.sort == Sort::Lead && self.rows.len() >= self.most {
            return;
        }
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
