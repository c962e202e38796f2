//! Which train for each line moves the fewest gears, the lines in a given order? A shortest path
//! over all trains within tolerance, without a comparison of every pair of neighbours.
//!
//! From a mount p to a mount q, |p| + |q| - 2 |p and q together| gears are moved. For any set S of
//! gears that both have, |p| + |q| - 2 |S| is no less, and equal where S is all of them. So for each
//! S the cheapest way to a train of the line before with the gears of S is enough. That is 2^n
//! entries for a train of n gears, and as many look-ups for the next.

use super::levers::Levers;
use super::mount::{ByMount, Mount};
use super::table::{Candidate, TrainTable};

/// The cost to make small, most important first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Weight {
    pub(super) handled: u32,
    pub(super) levers: u32,
    /// Sum of |error|, in parts per 10^9, each to the nearest.
    pub(super) ppb: u64,
}

/// A choice for each line of the order.
pub(super) struct Path {
    pub(super) weight: Weight,
    /// Index of the candidate of each line.
    pub(super) chosen: Vec<u32>,
    /// Whether all candidates were compared.
    pub(super) complete: bool,
}

/// A way so far: lever state, levers moved and errors, and its last candidate.
type Way = (u32, u32, u64, u32);

/// The cheapest ways to mounts with some gears in their places, all with equal gears moved.
#[derive(Default)]
struct Entry {
    handled: u32,
    ways: Vec<Way>,
}

/// The ways to all candidates of one line, by the gears that stay.
struct Front(ByMount<Entry>);

impl Front {
    fn new() -> Self {
        Self(ByMount::default())
    }

    /// Adds a way to `mount` that moved `weight` gears.
    fn enter(&mut self, mount: &Mount, weight: Weight, state: u32, candidate: u32) {
        let handled = weight.handled + mount.count();
        let way = (state, weight.levers, weight.ppb, candidate);
        for part in mount.parts() {
            let entry = self.0.entry(part.key()).or_default();
            if entry.ways.is_empty() || handled < entry.handled {
                entry.handled = handled;
                entry.ways.clear();
            }
            if handled == entry.handled {
                entry.ways.push(way);
            }
        }
    }

    /// Of ways with equal levers only the best is kept.
    fn settle(&mut self) {
        for entry in self.0.values_mut() {
            entry.ways.sort_unstable();
            entry.ways.dedup_by_key(|way| way.0);
        }
    }

    /// The best way to `mount` with the levers in `state`, and the candidate before.
    fn best(&self, mount: &Mount, state: u32, levers: &Levers) -> Option<(Weight, u32)> {
        let len = mount.count();
        let entries = || {
            mount.parts().filter_map(|part| {
                let entry = self.0.get(&part.key())?;
                Some((entry.handled + len - 2 * part.count(), entry))
            })
        };
        let handled = entries().map(|(handled, _)| handled).min()?;
        let ways = entries().filter(|(h, _)| *h == handled).flat_map(|(_, entry)| &entry.ways);
        ways.map(|&(from, moved, ppb, candidate)| {
            (Weight { handled, levers: moved + levers.moved(from, state), ppb }, candidate)
        })
        .min()
    }
}

impl TrainTable<'_> {
    /// The cheapest path through `order`, with the candidates of `among` for each line.
    pub(super) fn shortest(&self, order: &[usize], among: impl Fn(usize) -> Vec<u32>) -> Path {
        let mut front = Front::new();
        front.enter(&self.start.0, Weight::default(), self.start.1, 0);
        let mut nodes: Vec<Vec<(u32, Weight, u32)>> = Vec::with_capacity(order.len());
        let mut complete = true;
        for &line in order {
            front.settle();
            complete &= !self.watch.is_cancelled();
            let mut list = among(line);
            // Cancelled: the closest train of each line that is left.
            list.truncate(if complete { usize::MAX } else { 1 });
            let reached = self.step(&front, line, &list);
            front = Front::new();
            for (at, (index, weight, _)) in (0..).zip(&reached) {
                let candidate = self.candidate(line, *index);
                front.enter(self.mount(candidate), *weight, candidate.state, at);
            }
            nodes.push(reached);
        }
        front.settle();
        let (weight, last) = self.close(&front, nodes.last());
        Path { weight, chosen: trace(&nodes, last), complete }
    }

    /// The best way to each candidate of a line.
    fn step(&self, front: &Front, line: usize, list: &[u32]) -> Vec<(u32, Weight, u32)> {
        let one = |&index: &u32| {
            let candidate = self.candidate(line, index);
            let way = front.best(self.mount(candidate), candidate.state, &self.levers);
            // The empty set of gears always gives a way.
            let (mut weight, from) = way.unwrap_or_default();
            weight.ppb += u64::from(candidate.ppb);
            (index, weight, from)
        };
        #[cfg(feature = "parallel")]
        {
            use rayon::prelude::*;
            list.par_iter().with_min_len(64).map(one).collect()
        }
        #[cfg(not(feature = "parallel"))]
        list.iter().map(one).collect()
    }

    /// The way home, or the cheapest end where nothing is put back.
    fn close(&self, front: &Front, last: Option<&Vec<(u32, Weight, u32)>>) -> (Weight, u32) {
        let Some(last) = last else { return Default::default() };
        if let Some((home, state)) = &self.home {
            return front.best(home, *state, &self.levers).unwrap_or_default();
        }
        (0..).zip(last).map(|(at, node)| (node.1, at)).min().unwrap_or_default()
    }

    /// For the benches: the gears moved by [`TrainTable::as_listed`], by comparing every two neighbours.
    #[doc(hidden)]
    pub fn listed_slowly(&self) -> usize {
        let mut before = vec![(self.start.0, 0)];
        for line in self.reached() {
            let next = |candidate: &Candidate| {
                let mount = *self.mount(candidate);
                let ways = before.iter().map(|(from, spent)| spent + from.distance(&mount));
                (mount, ways.min().unwrap_or(0))
            };
            let reached = self.rows[line].candidates.iter().map(next).collect();
            before = reached;
        }
        let trip = self.trip();
        before.iter().map(|(mount, spent)| spent + trip.home_from(mount)).min().unwrap_or(0)
            as usize
    }

    pub(super) fn mount(&self, candidate: &Candidate) -> &Mount {
        &self.mounts[candidate.train as usize]
    }

    fn candidate(&self, line: usize, index: u32) -> &Candidate {
        &self.rows[line].candidates[index as usize]
    }
}

/// The candidates on the way to the last node.
fn trace(nodes: &[Vec<(u32, Weight, u32)>], last: u32) -> Vec<u32> {
    let mut at = last;
    let mut chosen: Vec<u32> = nodes
        .iter()
        .rev()
        .map(|line| {
            let (index, _, from) = line[at as usize];
            at = from;
            index
        })
        .collect();
    chosen.reverse();
    chosen
}
