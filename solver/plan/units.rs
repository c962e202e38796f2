//! Which mounts are possible, each once, and which lines does each cut?

use super::cover::Rows;
use super::mount::{ByMount, Mount};
use super::table::TrainTable;

/// Every mount that cuts a line. Trains with the same teeth in the same places are one unit: no gear
/// is moved between them.
#[derive(Debug)]
pub(super) struct Units {
    pub(super) mounts: Vec<Mount>,
    pub(super) rows: Vec<Rows>,
    /// The lines that can be cut; rows are indices into these.
    pub(super) lines: Vec<usize>,
    /// By train: its unit.
    of_train: Vec<u32>,
}

impl Units {
    pub(super) fn new(table: &TrainTable<'_>) -> Self {
        let lines = table.reached();
        let mut numbers: ByMount<u32> = ByMount::default();
        let mut units = Self { mounts: Vec::new(), rows: Vec::new(), lines, of_train: Vec::new() };
        for mount in &table.mounts {
            let unit = *numbers.entry(mount.key()).or_insert_with(|| {
                units.mounts.push(*mount);
                units.rows.push(Rows::none(units.lines.len()));
                // Far below 2^32.
                u32::try_from(units.mounts.len() - 1).unwrap_or(u32::MAX)
            });
            units.of_train.push(unit);
        }
        for (row, &line) in units.lines.iter().enumerate() {
            for candidate in &table.rows[line].candidates {
                let unit = units.of_train[candidate.train as usize];
                units.rows[unit as usize].insert(row);
            }
        }
        units
    }

    pub(super) fn len(&self) -> usize {
        self.mounts.len()
    }

    /// The same, as units are numbered.
    pub(super) fn count(&self) -> u32 {
        // Far below 2^32.
        u32::try_from(self.len()).unwrap_or(u32::MAX)
    }

    pub(super) fn of(&self, train: u32) -> u32 {
        self.of_train[train as usize]
    }

    /// The rows that the start does not cut already.
    pub(super) fn open_from(&self, start: &Mount) -> Rows {
        let mut open = Rows::all(self.lines.len());
        if let Some(at) = self.mounts.iter().position(|m| m == start) {
            open.remove(&self.rows[at]);
        }
        open
    }

    /// The rows of `open` that must be searched: a row is left out if every unit that cuts some
    /// other row also cuts it.
    pub(super) fn telling(&self, open: &Rows) -> Vec<usize> {
        let rows: Vec<usize> = open.iter().collect();
        let by_row: Vec<Rows> = rows
            .iter()
            .map(|&row| {
                let mut units = Rows::none(self.len());
                (0..self.len()).filter(|&u| self.rows[u].has(row)).for_each(|u| units.insert(u));
                units
            })
            .collect();
        let implied = |i: usize| {
            (0..rows.len()).any(|j| {
                j != i && by_row[j].within(&by_row[i]) && (j < i || by_row[j] != by_row[i])
            })
        };
        (0..rows.len()).filter(|&i| !implied(i)).map(|i| rows[i]).collect()
    }
}

#[cfg(test)]
impl Units {
    /// From mounts, each with its lines as bits; lines without a mount are left out.
    pub(super) fn of_cuts(mounts: &[(Mount, u32)], lines: usize) -> Self {
        let cut = mounts.iter().fold(0, |all, (_, cuts)| all | cuts);
        let lines: Vec<usize> = (0..lines).filter(|line| cut >> line & 1 == 1).collect();
        let mut units = Self { mounts: Vec::new(), rows: Vec::new(), lines, of_train: Vec::new() };
        for (mount, cuts) in mounts {
            let at = units.mounts.iter().position(|m| m == mount).unwrap_or_else(|| {
                units.mounts.push(*mount);
                units.rows.push(Rows::none(units.lines.len()));
                units.mounts.len() - 1
            });
            for (row, line) in units.lines.iter().enumerate() {
                if cuts >> line & 1 == 1 {
                    units.rows[at].insert(row);
                }
            }
        }
        units
    }
}
