//! What `check` writes.

use super::Head;
use super::lead::{Error, Lead};
use super::set_up::Fit;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// What `trainwright check --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Checked {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
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
    /// What is cut; null where it is not known.
    pub(crate) cut: Option<Cut>,
    /// What the row should print for these gears and levers.
    pub(crate) should_print: Option<String>,
    /// What it asks for and is not there, in words.
    pub(crate) missing: Vec<String>,
    /// Whether the train fits on the banjo.
    pub(crate) fit: Fit,
    /// Index of its group, if it is in one.
    pub(crate) group: Option<usize>,
    /// Why it is wrong, in words: the likeliest reason, or all that are as likely.
    pub(crate) likeliest: Vec<String>,
    /// Every way to put it right, likeliest first.
    pub(crate) explanations: Vec<Explanation>,
}

/// What is cut, and how far it is from what is printed.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Cut {
    /// The lead.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// Its error.
    #[serde(flatten)]
    pub(crate) error: Error,
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
}

/// Rows that are off by the same factor.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Group {
    /// Lines in the file.
    pub(crate) lines: Vec<usize>,
    /// Printed over cut, exact.
    pub(crate) factor: String,
    /// The lead screw or feed figure on which they are right; null where the lathe's is unknown.
    pub(crate) screw: Option<Lead>,
}
