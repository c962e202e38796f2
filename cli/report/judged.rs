//! The JSON documents that `check` and `learn` write: documented here, stable, keys only added within
//! `format` 1.
//!
//! Every exact value is a string, `"p/q"` or `"p"`; a rounded number beside it has a name that says
//! so. An error with plus is a lead that is longer (coarser) than printed.

use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the documents.
pub(crate) const FORMAT: u8 = 1;

/// What `trainwright check --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Checked {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// The chart.
    pub(crate) chart: String,
    /// The chart, judged.
    #[serde(flatten)]
    pub(crate) judged: Judged,
}

/// A chart, judged.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Judged {
    /// Whether every row holds.
    pub(crate) holds: bool,
    /// How many rows there are of each verdict.
    pub(crate) counts: BTreeMap<&'static str, usize>,
    /// The rows in their order.
    pub(crate) rows: Vec<Row>,
    /// Wrong rows that are all off by the same factor.
    pub(crate) groups: Vec<Group>,
}

/// One row.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Row {
    /// Its line in the file, from 1.
    pub(crate) line: usize,
    /// As printed, with its unit.
    pub(crate) printed: String,
    /// `thread`, `long feed` or `cross feed`.
    pub(crate) travel: &'static str,
    /// The gears; null: those on the machine.
    pub(crate) train: Option<String>,
    /// The levers.
    pub(crate) levers: BTreeMap<String, String>,
    /// `exact`, `rounded`, `near`, `wrong`, `impossible` or `unknown`.
    pub(crate) verdict: &'static str,
    /// The lead that is cut, in mm, exact; null where it is not known.
    pub(crate) cut_lead_mm: Option<String>,
    /// The same, rounded.
    pub(crate) cut_lead_mm_rounded: Option<f64>,
    /// (cut - printed) / printed, exact; null where pi has a part in it.
    pub(crate) error: Option<String>,
    /// The same in parts per million, rounded.
    pub(crate) error_ppm: Option<f64>,
    /// What the row should print for these gears and levers.
    pub(crate) should_print: Option<String>,
    /// What it asks for and is not there, in words.
    pub(crate) missing: Vec<String>,
    /// `fits`, `too close`, `not settled`, `does not fit` or `not checked`.
    pub(crate) fit: &'static str,
    /// What to measure where it is `too close` to call, a sentence each; else empty.
    pub(crate) measure: Vec<String>,
    /// Index of its group, if it is in one.
    pub(crate) group: Option<usize>,
    /// Why it is wrong, likeliest first.
    pub(crate) explanations: Vec<Explanation>,
}

/// One way to put a row right.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Explanation {
    /// `teeth`, `partner`, `pair for idler`, `idler for pair`, `turned round`, `swapped`, `value`,
    /// `unit`, `levers` or `approximation`.
    pub(crate) kind: &'static str,
    /// In words.
    pub(crate) text: String,
    /// Whether the row is then exact.
    pub(crate) exact: bool,
    /// Whether the gears are owned.
    pub(crate) owned: bool,
    /// Whether none is likelier; more than one may be as likely.
    pub(crate) likeliest: bool,
}

/// Rows that are off by the same factor.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Group {
    /// Lines in the file.
    pub(crate) lines: Vec<usize>,
    /// Printed over cut, exact.
    pub(crate) factor: String,
    /// The lead screw or feed figure, in mm, on which they are right, exact; null where the lathe's is
    /// unknown.
    pub(crate) screw_mm: Option<String>,
}

/// What `trainwright learn --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Learned {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
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
    /// The lever's name and position.
    pub(crate) lever: Option<(String, String)>,
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
