//! What are the fewest different trains for the whole list, levers apart?

use super::cover::{Column, Rows, cover};
use super::mount::{Mount, Trip};
use super::units::Units;
use super::{Plan, TrainTable};
use crate::{Result, Watch};

/// Most trains that are ordered exactly.
const MOST_EXACT: usize = 12;

impl TrainTable<'_> {
    /// The fewest different trains, however often the levers move, in an order that moves few gears.
    /// [`Plan::bound`] is the number of different trains that any plan needs.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn fewest_trains(&self) -> Result<Plan> {
        let (watch, units) = (self.watch, Units::new(self));
        let mut columns =
            vec![Column { weight: 1, rows: Rows::none(units.lines.len()) }; self.mounts.len()];
        for (row, &line) in units.lines.iter().enumerate() {
            for candidate in &self.rows[line].candidates {
                columns[candidate.train as usize].rows.insert(row);
            }
        }
        let cover = cover(units.lines.len(), &columns, watch);
        let mounts: Vec<Mount> = cover.chosen.iter().map(|&t| self.mounts[t]).collect();
        let row: Vec<u32> = in_order(&mounts, &self.trip(), watch)
            .into_iter()
            .map(|at| units.of(u32::try_from(cover.chosen[at]).unwrap_or(u32::MAX)))
            .collect();
        let among = |line: usize| {
            let candidates = (0_u32..).zip(&self.rows[line].candidates);
            let kept =
                candidates.filter(|(_, c)| cover.chosen.binary_search(&(c.train as usize)).is_ok());
            kept.map(|(at, _)| at).collect()
        };
        let order = self.order_by(&units, &row);
        let path = self.shortest(&order, among);
        let complete = path.complete && !watch.is_cancelled() && self.is_complete();
        let plan = self.plan(&order, &path.chosen)?;
        let (bound, reached) = (self.bound(cover.least as usize), plan.trains);
        Ok(Plan { bound, reached, complete, ..plan })
    }
}

/// An order of the mounts that moves few gears; exact for few mounts.
fn in_order(mounts: &[Mount], trip: &Trip, watch: Watch<'_>) -> Vec<usize> {
    if mounts.len() <= MOST_EXACT {
        by_subsets(mounts, trip)
    } else {
        by_swaps(mounts, trip, watch)
    }
}

/// The best of all orders, subset by subset (M. Held and R. M. Karp, A Dynamic Programming Approach
/// to Sequencing Problems, 1962).
fn by_subsets(mounts: &[Mount], trip: &Trip) -> Vec<usize> {
    let n = mounts.len();
    if n == 0 {
        return Vec::new();
    }
    // By visited mounts and last mount: gears moved, and the mount before.
    let mut best = vec![vec![(u32::MAX, 0_usize); n]; 1 << n];
    for (at, mount) in mounts.iter().enumerate() {
        best[1 << at][at].0 = trip.start.distance(mount);
    }
    for visited in 1..1_usize << n {
        for at in (0..n).filter(|at| visited >> at & 1 == 1) {
            let here = best[visited][at].0;
            for next in (0..n).filter(|next| visited >> next & 1 == 0) {
                let way = (here.saturating_add(mounts[at].distance(&mounts[next])), at);
                let slot = &mut best[visited | 1 << next][next];
                *slot = way.min(*slot);
            }
        }
    }
    let mut visited = (1 << n) - 1;
    let mut at = (0..n)
        .min_by_key(|&at| best[visited][at].0.saturating_add(trip.home_from(&mounts[at])))
        .unwrap_or(0);
    let mut order = Vec::with_capacity(n);
    for _ in 0..n {
        order.push(at);
        let from = best[visited][at].1;
        visited &= !(1 << at);
        at = from;
    }
    order.reverse();
    order
}

/// Nearest first; then stretches are reversed or moved while that shortens the way.
fn by_swaps(mounts: &[Mount], trip: &Trip, watch: Watch<'_>) -> Vec<usize> {
    let mut order = Vec::with_capacity(mounts.len());
    let mut left: Vec<usize> = (0..mounts.len()).collect();
    let mut at = &trip.start;
    while let Some(next) = left.iter().copied().min_by_key(|&i| (at.distance(&mounts[i]), i)) {
        left.retain(|i| *i != next);
        order.push(next);
        at = &mounts[next];
    }
    let length = |order: &[usize]| {
        let all = std::iter::once(&trip.start).chain(order.iter().map(|&i| &mounts[i]));
        let all: Vec<&Mount> = all.chain(&trip.home).collect();
        all.windows(2).map(|w| w[0].distance(w[1])).sum::<u32>()
    };
    let mut best = length(&order);
    'again: loop {
        for from in 0..order.len() {
            if watch.is_cancelled() {
                return order;
            }
            for to in from + 2..=order.len() {
                for way in 0..3 {
                    let mut next = order.clone();
                    let stretch = &mut next[from..to];
                    match way {
                        0 => stretch.reverse(),
                        1 => stretch.rotate_left(1),
                        _ => stretch.rotate_right(1),
                    }
                    if length(&next) < best {
                        (best, order) = (length(&next), next);
                        continue 'again;
                    }
                }
            }
        }
        return order;
    }
}
