//! What is the best order of the lines? Exact for short lists, else the best found with a proven
//! bound.

use super::exact::{Exact, best, best_after};
use super::listed::Path;
use super::tour::Tour;
use super::units::Units;
use super::{Bound, Plan, TrainTable, bound};
use crate::Result;

impl TrainTable<'_> {
    /// The lines in the order that moves the fewest gears. Short lists are proven; for long ones
    /// [`Plan::bound`] gives the least number that any plan must move. The levers are chosen for the
    /// order found.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn best_order(&self) -> Result<Plan> {
        let watch = self.watch;
        if watch.is_cancelled() {
            let plan = self.as_listed()?;
            return Ok(Plan { bound: Bound::Unknown, ..plan });
        }
        let units = Units::new(self);
        let trip = self.trip();
        let open = units.open_from(&trip.start);
        let tour = Tour::best(&units, &trip, &open, watch);
        // Never worse than the given order.
        let listed = self.reached();
        let as_listed = self.shortest(&listed, |line| self.all_of(line));
        let most = tour.length().min(as_listed.weight.handled);
        let telling = units.telling(&open);
        // Better than the best known; where the end is given, all are even or all are odd.
        let better = most.saturating_sub(if trip.home.is_some() { 2 } else { 1 });
        let (row, mut least) = match best(&units, &trip, &telling, better, watch) {
            Exact::Best(row) => (row, u32::MAX),
            Exact::AtLeast(least) => (tour.row, if least > better { most } else { least }),
        };
        if least < most {
            least = least.max(bound::least_handled(&units, &trip, watch));
        }
        let order = self.order_by(&units, &row);
        let path = self.shortest(&order, |line| self.all_of(line));
        let weight = |path: &Path| (path.weight.handled, path.weight.levers, path.weight.ppb);
        let (order, path) =
            if weight(&as_listed) <= weight(&path) { (listed, as_listed) } else { (order, path) };
        let handled = path.weight.handled;
        let complete = path.complete && !watch.is_cancelled() && self.is_complete();
        let plan = self.plan(&order, &path.chosen)?;
        let bound = match handled.min(least) {
            // Cancelled before anything was known.
            0 if handled > 0 => Bound::Unknown,
            least => self.bound(least as usize),
        };
        Ok(Plan { bound, reached: handled as usize, complete, ..plan })
    }

    /// The same with some lines before all others: what is turned comes before the threads on it. Proven
    /// for short lists; where a list is too long for that, the given order with these lines first.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn best_order_after(&self, first: &[usize]) -> Result<Plan> {
        let (mut listed, others): (Vec<usize>, Vec<usize>) =
            self.reached().into_iter().partition(|line| first.contains(line));
        listed.extend(others);
        let as_listed = self.shortest(&listed, |line| self.all_of(line));
        let units = Units::new(self);
        let rows: Vec<usize> = (0..units.lines.len()).collect();
        let is_first = |row: &usize| units.lines.get(*row).is_some_and(|of| first.contains(of));
        let firsts: Vec<usize> = rows.iter().copied().filter(is_first).collect();
        let most = as_listed.weight.handled;
        let found = best_after(&units, &self.trip(), (&firsts, &rows), most, self.watch);
        let (order, path, is_best) = match found {
            Exact::Best(row) => {
                let order = self.order_after(&units, &row, first);
                let path = self.shortest(&order, |line| self.all_of(line));
                let weight = |path: &Path| (path.weight.handled, path.weight.levers);
                let is_listed = weight(&as_listed) <= weight(&path);
                let (order, path) = if is_listed { (listed, as_listed) } else { (order, path) };
                (order, path, true)
            }
            Exact::AtLeast(least) => (listed, as_listed, least >= most),
        };
        let handled = path.weight.handled as usize;
        let complete = path.complete && !self.watch.is_cancelled() && self.is_complete();
        let bound = if is_best { self.bound(handled) } else { Bound::Unknown };
        Ok(Plan { bound, reached: handled, complete, ..self.plan(&order, &path.chosen)? })
    }

    /// The lines in the order in which units cut them; lines of one unit so that few levers move.
    pub(super) fn order_by(&self, units: &Units, row: &[u32]) -> Vec<usize> {
        self.order_after(units, row, &[])
    }

    /// The same, the lines of `first` before all others.
    fn order_after(&self, units: &Units, row: &[u32], first: &[usize]) -> Vec<usize> {
        let mut left: Vec<usize> = units.lines.clone();
        let mut order = Vec::with_capacity(left.len());
        let mut state = self.start.1;
        let start = (0_u32..).zip(&units.mounts).find(|(_, m)| **m == self.start.0);
        // Each unit twice: for the lines that come first, then for the others.
        let twice = |unit: &u32| [(*unit, true), (*unit, false)];
        for (unit, are_first) in start.iter().map(|(unit, _)| unit).chain(row).flat_map(twice) {
            if !are_first && left.iter().any(|line| first.contains(line)) {
                continue;
            }
            // The possible lever states for each line of this unit.
            let mut here: Vec<(usize, Vec<u32>)> = Vec::new();
            left.retain(|&line| {
                if first.contains(&line) != are_first {
                    return true;
                }
                let of_unit = |c: &&super::table::Candidate| units.of(c.train) == unit;
                let states: Vec<u32> =
                    self.rows[line].candidates.iter().filter(of_unit).map(|c| c.state).collect();
                let cut = !states.is_empty();
                if cut {
                    here.push((line, states));
                }
                !cut
            });
            while !here.is_empty() {
                let nearest = here.iter().enumerate().filter_map(|(at, (line, states))| {
                    let moved = states.iter().map(|&s| (self.levers.moved(state, s), s)).min()?;
                    Some((moved, *line, at))
                });
                let Some(((_, next), line, at)) = nearest.min() else { break };
                state = next;
                order.push(line);
                here.swap_remove(at);
            }
        }
        order
    }
}
