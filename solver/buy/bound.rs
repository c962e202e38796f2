//! How close could a purchase come at best? No train with its gears is closer.
//!
//! The open gear is solved for. A train with one open driver cuts a lead T if T over the tooth count
//! is the lead of the rest. So for each choice of new gears one look into a sorted list of open
//! trains gives the nearest. Whether it fits is only tested for the best purchases.

#![expect(clippy::cast_precision_loss, reason = "an optimistic bound with slack, in doubles")]

use crate::Teeth;
use crate::search::Search;

/// Greater than the error of doubles: the bounds are lowered by it.
const SLACK: f64 = 1e-12;

/// No train at all.
pub(super) const NOTHING: u64 = u64::MAX;

/// An |error| in parts, lowered by the error of doubles.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "casts saturate")]
pub(super) fn parts(error: f64) -> u64 {
    ((error - SLACK).max(0.0) * super::PARTS as f64) as u64
}

/// Open trains of one kind of travel, by the number of new drivers and driven gears.
pub(super) struct Open {
    /// New drivers, new driven gears, and the leads of the rest.
    lists: Vec<(usize, usize, Vec<f64>)>,
}

impl Open {
    /// With up to `most` new gears in a train.
    pub(super) fn new(search: &Search<'_>, most: usize) -> Self {
        let counts = (0..=2).flat_map(|d| (0..=2).map(move |v| (d, v)));
        let counts = counts.filter(|(d, v)| (1..=most).contains(&(d + v)));
        Self { lists: counts.map(|(d, v)| (d, v, search.open(d, v))).collect() }
    }

    /// The least |error| with all of these gears in one train, in parts, rounded down; [`NOTHING`]
    /// where no train takes them.
    pub(super) fn all_of(&self, lead: f64, gears: &[Teeth]) -> u64 {
        let mut least = f64::INFINITY;
        for (drivers, driven, values) in &self.lists {
            if drivers + driven == gears.len() {
                for drive in choices(gears.len(), *drivers) {
                    least = least.min(nearest(values, open_lead(lead, gears, drive)));
                }
            }
        }
        parts(least)
    }
}

/// Which `count` of `of` gears, as bits.
fn choices(of: usize, count: usize) -> impl Iterator<Item = u32> {
    (0..1_u32 << of).filter(move |which| which.count_ones() as usize == count)
}

/// The lead that the rest of the train must cut.
fn open_lead(lead: f64, gears: &[Teeth], drive: u32) -> f64 {
    gears.iter().enumerate().fold(lead, |lead, (i, teeth)| {
        let teeth = f64::from(teeth.get());
        if drive >> i & 1 == 1 { lead / teeth } else { lead * teeth }
    })
}

/// |v / wanted - 1| of the nearest value.
fn nearest(values: &[f64], wanted: f64) -> f64 {
    let at = values.partition_point(|v| *v < wanted);
    let beside = values[at.saturating_sub(1)..values.len().min(at + 1)].iter();
    beside.map(|v| (v / wanted - 1.0).abs()).fold(f64::INFINITY, f64::min)
}
