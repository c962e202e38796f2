//! What is a good order of a long list? A row of units that together cut all lines, shortened
//! repeatedly.
//!
//! Some units are removed, and their lines are put back as cheaply as possible (ruin and recreate:
//! G. Schrimpf and others, Record Breaking Optimization Results Using the Ruin and Recreate
//! Principle, Journal of Computational Physics 159, 2000). The random numbers have fixed seeds, and
//! the end is a number of tries, not seconds. So the answer is always the same.

use super::cover::Rows;
use super::mount::{Mount, Trip};
use super::units::Units;
use crate::Watch;

/// Tries for each seed.
const MOST_LOOKS: u64 = 20_000_000;
const MOST_ROUNDS: usize = 4000;
const SEEDS: u64 = 4;

/// Units in a row, from the start of a trip to its end.
#[derive(Debug, Clone)]
pub(super) struct Tour<'u> {
    units: &'u Units,
    trip: Trip,
    pub(super) row: Vec<u32>,
}

impl<'u> Tour<'u> {
    /// The shortest found.
    pub(super) fn best(units: &'u Units, trip: &Trip, open: &Rows, watch: Watch<'_>) -> Self {
        let first = Self { units, trip: *trip, row: Vec::new() }.grown(open);
        let by_row: Vec<Vec<u32>> = (0..units.lines.len())
            .map(|row| {
                let cuts = |u: &u32| units.rows[*u as usize].has(row);
                (0..units.count()).filter(cuts).collect()
            })
            .collect();
        let run = |seed: u64| first.clone().shortened(&by_row, open, seed, watch);
        #[cfg(feature = "parallel")]
        let found: Vec<Self> = {
            use rayon::prelude::*;
            (1..=SEEDS).into_par_iter().map(run).collect()
        };
        #[cfg(not(feature = "parallel"))]
        let found: Vec<Self> = (1..=SEEDS).map(run).collect();
        // Of equals the first.
        found.into_iter().min_by_key(Self::length).unwrap_or(first)
    }

    /// Units one after the other: always the one with the most new lines for the gears moved.
    fn grown(mut self, open: &Rows) -> Self {
        let mut open = open.clone();
        let mut at = self.trip.start;
        while !open.is_empty() {
            let worth = |&unit: &u32| {
                let cuts = self.units.rows[unit as usize].both(&open) as u64;
                cuts * 1000 / u64::from(self.mount(unit).distance(&at).max(1))
            };
            let all = 0..self.units.count();
            let Some(next) = all.rev().max_by_key(worth) else { break };
            open.remove(&self.units.rows[next as usize]);
            at = *self.mount(next);
            self.row.push(next);
        }
        self
    }

    fn mount(&self, unit: u32) -> &'u Mount {
        &self.units.mounts[unit as usize]
    }

    /// The mount before place `at`; before the first, that of the start.
    fn before(&self, at: usize) -> &Mount {
        at.checked_sub(1).map_or(&self.trip.start, |i| self.mount(self.row[i]))
    }

    /// The mount from place `at` on; `None`: the work is done.
    fn next(&self, at: usize) -> Option<&Mount> {
        self.row.get(at).map(|&u| self.mount(u)).or(self.trip.home.as_ref())
    }

    /// Gears moved into each place, and on the way home.
    fn edges(&self) -> Vec<i64> {
        let into = |at: usize| self.next(at).map_or(0, |next| self.before(at).distance(next));
        (0..=self.row.len()).map(|at| into(at).into()).collect()
    }

    pub(super) fn length(&self) -> u32 {
        u32::try_from(self.edges().iter().sum::<i64>()).unwrap_or(u32::MAX)
    }

    fn shortened(mut self, by_row: &[Vec<u32>], open: &Rows, seed: u64, watch: Watch<'_>) -> Self {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        let mut best = self.clone();
        let mut looks = 0;
        for _ in 0..MOST_ROUNDS {
            if looks > MOST_LOOKS || watch.is_cancelled() || self.row.is_empty() {
                break;
            }
            let mut next = self.clone();
            next.ruin(&mut dice);
            next.recreate(by_row, open, &mut dice, &mut looks);
            next.thin(open);
            // Sometimes a worse one is kept.
            let slack = if dice.below(20) == 0 { 2 } else { 0 };
            if next.length() <= self.length() + slack {
                self = next;
            }
            if self.length() < best.length() {
                best = self.clone();
            }
        }
        best
    }

    /// Removes some units: neighbours, or any.
    fn ruin(&mut self, dice: &mut Dice) {
        let count = (1 + dice.below(5)).min(self.row.len());
        if dice.below(2) == 0 {
            let from = dice.below(self.row.len() - count + 1);
            self.row.drain(from..from + count);
        } else {
            for _ in 0..count {
                let at = dice.below(self.row.len());
                self.row.remove(at);
            }
        }
    }

    fn missing(&self, open: &Rows) -> Rows {
        let mut missing = open.clone();
        self.row.iter().for_each(|&u| missing.remove(&self.units.rows[u as usize]));
        missing
    }

    /// Adds the missing lines again: always the line with the fewest units first.
    fn recreate(&mut self, by_row: &[Vec<u32>], open: &Rows, dice: &mut Dice, looks: &mut u64) {
        let by_share = dice.below(2) == 0;
        let mut missing = self.missing(open);
        loop {
            let row = if dice.below(3) == 0 {
                let any = dice.below(missing.len().max(1));
                missing.iter().nth(any)
            } else {
                missing.iter().min_by_key(|&row| by_row[row].len())
            };
            let Some(row) = row else { return };
            let edges = self.edges();
            let mut best: Option<(i64, u64, usize, u32)> = None;
            for &unit in &by_row[row] {
                let cuts = self.units.rows[unit as usize].both(&missing);
                // At most some thousand lines.
                let cuts = i64::try_from(cuts).unwrap_or(i64::MAX);
                let noise = dice.next() % 4;
                // One new distance from each place to the next.
                let mut before = self.trip.start.distance(self.mount(unit));
                for (at, edge) in edges.iter().enumerate() {
                    let next = self.next(at).map(|next| next.distance(self.mount(unit)));
                    let cost = i64::from(before) + i64::from(next.unwrap_or(0)) - edge;
                    before = next.unwrap_or(0);
                    let key = if by_share { cost * 1000 / cuts } else { cost * 10 - cuts };
                    if best.is_none_or(|b| (key, noise) < (b.0, b.1)) {
                        best = Some((key, noise, at, unit));
                    }
                }
            }
            *looks += (by_row[row].len() * (self.row.len() + 1)) as u64;
            let Some((.., at, unit)) = best else { return };
            self.row.insert(at, unit);
            missing.remove(&self.units.rows[unit as usize]);
        }
    }

    /// Removes units whose lines are all cut elsewhere: the way gets no longer.
    fn thin(&mut self, open: &Rows) {
        let mut at = 0;
        while at < self.row.len() {
            let unit = self.row.remove(at);
            if !self.missing(open).is_empty() {
                self.row.insert(at, unit);
                at += 1;
            }
        }
    }
}

/// Random numbers with a fixed seed (G. Marsaglia, Xorshift RNGs, 2003).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, limit: usize) -> usize {
        usize::try_from(self.next() % limit.max(1) as u64).unwrap_or(0)
    }
}
