//! What `buy` writes.

use super::Head;
use super::lead::Wanted;
use super::set_up::Way;
use schemars::JsonSchema;
use serde::Serialize;

/// What `trainwright buy --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// What counts as best, in words.
    pub(crate) objective: &'static str,
    /// Sizes looked at: teeth, ascending.
    pub(crate) sizes: Vec<u16>,
    /// The list: each lead once.
    pub(crate) lines: Vec<Wanted>,
    /// Lines of the list that only trains of more than two gear pairs cut, with the gears owned:
    /// nothing is bought for them.
    pub(crate) set_aside: Vec<Wanted>,
    /// The list with the gears owned.
    pub(crate) now: Served,
    /// For one gear, for two and for three, as far as was asked.
    pub(crate) purchases: Vec<Round>,
    /// Whether every line is reached with what is owned or with the best purchase: exit code 0.
    pub(crate) every_line_reached: bool,
    /// Whether no better purchase can have been missed.
    pub(crate) complete: bool,
    /// What was left out, a sentence each; empty where `complete` is true.
    pub(crate) left_out: Vec<String>,
}

/// What a box of gears does for the list.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Served {
    /// Lines reached within their tolerances.
    pub(crate) reached: usize,
    /// |error| of the worst of these in parts per million, rounded.
    pub(crate) worst_ppm: f64,
    /// Sum of their |errors| in parts per million, rounded.
    pub(crate) sum_ppm: f64,
    /// For each line, in the order of `lines`, the best train; null where none was found, or where it
    /// was not looked for: that is done for `now` and for the first purchase of each number of gears,
    /// elsewhere only trains within tolerance are given.
    pub(crate) lines: Vec<Option<Line>>,
}

/// A train for a line.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Line {
    /// Whether it is within the tolerance, and sure to fit where that is checked.
    pub(crate) reached: bool,
    /// The set-up, and how far it is off.
    #[serde(flatten)]
    pub(crate) way: Way,
}

/// The best purchases of one number of gears.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Round {
    /// Gears bought.
    pub(crate) gears: usize,
    /// Purchases that were compared.
    pub(crate) compared: usize,
    /// Whether no better one can have been missed.
    pub(crate) complete: bool,
    /// Whether the best of them brings the list closer than what is owned and than every purchase of
    /// fewer gears.
    pub(crate) gains: bool,
    /// Best first; only those that bring the list closer than what is owned.
    pub(crate) offers: Vec<Offer>,
}

/// One purchase.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Offer {
    /// Place in the list, from 1.
    pub(crate) rank: usize,
    /// The gears: teeth, ascending.
    pub(crate) gears: Vec<u16>,
    /// In words: `46`, `a second 40`.
    pub(crate) text: String,
    /// For each gear: lines that would be missed without it.
    pub(crate) adds: Vec<usize>,
    /// Lines that become reachable: indices into `lines`.
    pub(crate) gained: Vec<usize>,
    /// Lines that were within tolerance and come closer: indices into `lines`.
    pub(crate) closer: Vec<usize>,
    /// The list, once they are owned.
    pub(crate) then: Served,
}
