//! What `learn` writes.

use super::Head;
use super::check::Judged;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `trainwright learn --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Learned {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// The chart; null: measurements only.
    pub(crate) chart: Option<String>,
    /// Whether everything that was unknown is decided.
    pub(crate) decided: bool,
    /// Figures that were not known.
    pub(crate) figures: Vec<Figure>,
    /// Of each measurement whether it agrees with what was learned.
    pub(crate) measured: Vec<Measured>,
    /// The measurement that would settle what is open; null: nothing is.
    pub(crate) settle: Option<Settle>,
    /// The chart, judged on the lathe as learned.
    pub(crate) check: Judged,
}

/// A figure that was not known.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Figure {
    /// `lead screw`, `headstock`, `screw constant`, `long feed`, `cross feed`, `long feed x headstock`,
    /// `cross feed x headstock`, `half nut` or `lever`.
    pub(crate) what: &'static str,
    /// The lever's name; null where it is no lever.
    pub(crate) lever: Option<String>,
    /// Its position.
    pub(crate) position: Option<String>,
    /// The likeliest value, exact: mm, or a ratio.
    pub(crate) value: String,
    /// In words, with its unit.
    pub(crate) text: String,
    /// Whether it is decided.
    pub(crate) decided: bool,
    /// Rows that are then exactly as printed.
    pub(crate) rows_exact: usize,
    /// Rows that are then within what is allowed, the exact ones included.
    pub(crate) rows_within: usize,
    /// Rows that speak of it.
    pub(crate) rows: usize,
    /// Least and greatest value that rows within and measurements allow together, exact.
    pub(crate) bounds: Option<(String, String)>,
    /// Other values that can't be ruled out, exact.
    pub(crate) rivals: Vec<String>,
}

/// A measurement.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Measured {
    /// As it was typed.
    pub(crate) text: String,
    /// Whether it agrees.
    pub(crate) agrees: bool,
}

/// A measurement to make.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Settle {
    /// The gears to put on; null: those on the machine.
    pub(crate) train: Option<String>,
    /// The levers to set.
    pub(crate) levers: BTreeMap<String, String>,
    /// Pitches, or turns of the spindle.
    pub(crate) count: u64,
    /// What it should read in mm, exact.
    pub(crate) expect_mm: String,
    /// What it would read for each rival, exact.
    pub(crate) otherwise_mm: Vec<String>,
    /// In words.
    pub(crate) text: String,
}
