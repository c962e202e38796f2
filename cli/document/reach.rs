//! What `reach` writes. The leads are worked out while they are written, so what is known only after the
//! last of them is behind them.

use super::Head;
use super::lead::{Error, Lead};
use super::set_up::{SetUp, Way};
use schemars::JsonSchema;
use serde::Serialize;

/// The document as it reads: lists, whatever they were made from.
pub(crate) type Whole = Document<Vec<Reached>, Summary>;

/// What `trainwright reach --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields, rename = "Document")]
pub(crate) struct Document<L, S> {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// What was asked.
    pub(crate) asked: Asked,
    /// Every lead, each once, in the order of `asked.sort`.
    pub(crate) leads: L,
    /// What they come to.
    pub(crate) summary: S,
}

/// What was asked.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Asked {
    /// `thread`, `long feed`, `cross feed`.
    pub(crate) travel: &'static str,
    /// Hand of the threads; null for feeds.
    pub(crate) hand: Option<String>,
    /// No shorter lead; null: all.
    pub(crate) from: Option<Lead>,
    /// No longer lead; null: all.
    pub(crate) to: Option<Lead>,
    /// Most gear pairs in a train.
    pub(crate) gear_pairs: usize,
    /// Error of a standard pitch that counts as met, exact.
    pub(crate) within: String,
    /// Whether only leads so near to a standard thread are listed.
    pub(crate) standard_only: bool,
    /// `lead`, `error` or `gears`: what comes first.
    pub(crate) sort: &'static str,
    /// Most leads listed; null: all.
    pub(crate) count: Option<usize>,
}

/// A lead that can be cut, with its best train.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Reached {
    /// The lead and its set-up.
    #[serde(flatten)]
    pub(crate) set_up: SetUp,
    /// The nearest standard thread whose lead is no longer; null for feeds, or where there is none.
    pub(crate) below: Option<Beside>,
    /// The nearest standard thread whose lead is longer.
    pub(crate) above: Option<Beside>,
}

/// A standard thread, and how far a lead is from it.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Beside {
    /// The thread; of several with one lead the first of the tables.
    pub(crate) thread: String,
    /// Its lead.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// How far what is cut is from it.
    #[serde(flatten)]
    pub(crate) error: Error,
}

/// What the leads come to.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Summary {
    /// Whether all was looked at that was asked for; false after Ctrl-C, and where the tables had no room
    /// for the longest trains.
    pub(crate) complete: bool,
    /// What was not looked at, a sentence each; empty where `complete` is true.
    pub(crate) left_out: Vec<String>,
    /// Different leads in the span that a train cuts which fits, as far as that was checked.
    pub(crate) leads: u64,
    /// Different leads besides, whose trains are all `too close` to call.
    pub(crate) too_close: u64,
    /// Those listed above.
    pub(crate) listed: u64,
    /// Leads whose trains don't fit, or don't give the hand.
    pub(crate) refused: u64,
    /// The shortest lead; null where there is none.
    pub(crate) shortest: Option<Lead>,
    /// The longest.
    pub(crate) longest: Option<Lead>,
    /// The widest gap between two leads, as a share of the shorter one; null with fewer than two.
    pub(crate) widest_gap: Option<Gap>,
    /// Standard pitches in the span, ascending, each with what comes nearest; empty for feeds.
    pub(crate) standards: Vec<Standard>,
}

/// Two leads with none between them.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Gap {
    /// The shorter lead.
    pub(crate) from: Lead,
    /// The longer one.
    pub(crate) to: Lead,
    /// By how much it is longer, exact.
    pub(crate) share: String,
    /// The same in per cent, rounded.
    pub(crate) per_cent: f64,
}

/// A standard pitch.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Standard {
    /// Its lead.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// Every standard thread that has it.
    pub(crate) threads: Vec<&'static str>,
    /// `exact`, `near` (within the tolerance), `too close` (near, but only by a train that is too close to
    /// call) or `missed`; null where that is not known yet.
    pub(crate) state: Option<&'static str>,
    /// What comes nearest and is sure to fit; null where nothing does.
    pub(crate) nearest: Option<Way>,
}
