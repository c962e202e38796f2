//! What `why` writes.

use super::Head;
use super::lead::{Lead, Target};
use super::set_up::Way;
use schemars::JsonSchema;
use serde::Serialize;

/// What `trainwright why --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// What was asked.
    pub(crate) target: Target,
    /// The set-up as it should be; null where there is none for the target.
    pub(crate) set_up: Option<Way>,
    /// The reading; null where none was given.
    pub(crate) reading: Option<Reading>,
    /// Hand that came out: `right` or `left`; null where it was not said.
    pub(crate) hand: Option<String>,
    /// What is seen: `torn`, `tapered`, `drunken` or `double`; null: nothing was said.
    pub(crate) seen: Option<&'static str>,
    /// `right`: as it should be; `one`: one mistake explains it; `two`: two together do; `nothing`: nothing
    /// does; `no set-up`: the target has none.
    pub(crate) verdict: &'static str,
    /// What explains it, the most common first.
    pub(crate) explanations: Vec<Explanation>,
    /// Where nothing explains it: the single mistakes that come nearest.
    pub(crate) nearest: Vec<Explanation>,
    /// What makes a thread look so, gearing apart, the most common first.
    pub(crate) faults: Vec<String>,
    /// The one look that decides between the first two explanations, in words; null where there is none.
    pub(crate) look: Option<String>,
}

/// What was measured.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Reading {
    /// As it was typed.
    pub(crate) text: String,
    /// Its length in mm, exact.
    pub(crate) length_mm: String,
    /// Its uncertainty in mm, either way, exact.
    pub(crate) give_or_take_mm: String,
    /// Where the uncertainty comes from: `stated`, `rule` or `caliper`, both assumed.
    pub(crate) instrument: &'static str,
    /// What the set-up should measure in mm, exact; times pi where `pi` is 1.
    pub(crate) should_mm: String,
    /// Power of pi in it: 0 or 1.
    pub(crate) pi: i8,
    /// The same, rounded.
    pub(crate) should_mm_rounded: f64,
}

/// One mistake, or two together.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Explanation {
    /// Its rank, from 1.
    pub(crate) rank: usize,
    /// Kind of each mistake: `lever`, `headstock`, `tumbler`, `turned round`, `ends exchanged`, `swapped`,
    /// `gear`, `pair as idler`, `idler keyed`, `idler left out`, `idler added`, `fitted`, `count`, `unit`,
    /// `start`, `figure`, `thread dial`, `half nut`, `tooth` or `angled infeed`.
    pub(crate) kinds: Vec<&'static str>,
    /// In words.
    pub(crate) text: String,
    /// How rare it is, in bits: fewer are more common.
    pub(crate) points: u32,
    /// Whether it is as common as the first.
    pub(crate) tied: bool,
    /// Whether no measuring tells it from the first.
    pub(crate) alike: bool,
    /// What would then be cut.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// Hand that would be cut: `right` or `left`; null for a feed, or where a direction is unknown.
    pub(crate) hand: Option<String>,
    /// The gears that would then be on.
    pub(crate) train: String,
    /// What it would measure in mm, rounded; null without a reading.
    pub(crate) measures_mm_rounded: Option<f64>,
    /// Where it may measure more: up to this, in mm, rounded; else the same.
    pub(crate) up_to_mm_rounded: Option<f64>,
    /// Reading less that, in mm, rounded.
    pub(crate) off_mm_rounded: Option<f64>,
    /// Whether the gears would fit on the banjo, as far as it is described.
    pub(crate) fits: bool,
}
