//! The JSON document that `reach` writes: documented here, stable, keys only added within `format` 1.
//!
//! Every exact value is a string, `"p/q"` or `"p"`; a rounded number beside it has a name that says
//! so. The leads are worked out while they are written, so what is known only after the last of them
//! stands behind them.

use super::found::Named;
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the document.
pub(crate) const FORMAT: u8 = 1;

/// The document as it reads: lists, whatever they were made from.
pub(crate) type Whole = Document<Vec<Reached>, Summary>;

/// What `trainwright reach --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields, rename = "Document")]
pub(crate) struct Document<L, S> {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
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
    /// No shorter lead, in mm, exact; null: all.
    pub(crate) from_mm: Option<String>,
    /// Power of pi that multiplies `from_mm`: 0 or 1.
    pub(crate) from_pi: i8,
    /// No longer lead, in mm, exact; null: all.
    pub(crate) to_mm: Option<String>,
    /// Power of pi that multiplies `to_mm`: 0 or 1.
    pub(crate) to_pi: i8,
    /// Most ratio pairs in a train.
    pub(crate) ratio_pairs: usize,
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
    /// Lead in mm, exact, without pi.
    pub(crate) lead_mm: String,
    /// Power of pi that multiplies `lead_mm`: 0 or 1.
    pub(crate) lead_pi: i8,
    /// Lead in mm, rounded.
    pub(crate) lead_mm_rounded: f64,
    /// Threads per inch, rounded.
    pub(crate) tpi_rounded: f64,
    /// Gears along the power path.
    pub(crate) train: String,
    /// Teeth on each shaft; on a stud with two, the driven gear first.
    pub(crate) shafts: Vec<Vec<u16>>,
    /// Gears in the train, idlers included.
    pub(crate) gears: usize,
    /// Lever names with their positions.
    pub(crate) levers: Named,
    /// Headstock position, where there are several.
    pub(crate) headstock: Option<String>,
    /// Tumbler position.
    pub(crate) tumbler: Option<String>,
    /// Hand that it cuts; null for feeds, or where it is not known.
    pub(crate) hand: Option<String>,
    /// Where nobody has measured whether two gears mesh directly: the tumbler and the hand if they do,
    /// and if an idler is needed; else null.
    pub(crate) either: Option<super::found::Either>,
    /// Ratio of the train, exact.
    pub(crate) ratio: String,
    /// `fits`; `too close` to call: measure it; `not settled`: not all places of the studs were tried;
    /// `not checked`: the bracket is not described, or `--no-fit`.
    pub(crate) fit: &'static str,
    /// The nearest standard thread whose lead is no longer; null for feeds, or where there is none.
    pub(crate) below: Option<Beside>,
    /// The nearest standard thread whose lead is longer.
    pub(crate) above: Option<Beside>,
}

/// A standard thread, and how far a lead is from it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Beside {
    /// The thread; of several with one lead the first of the tables.
    pub(crate) thread: String,
    /// Its lead in mm, exact, without pi.
    pub(crate) lead_mm: String,
    /// Power of pi that multiplies it: 0 or 1.
    pub(crate) lead_pi: i8,
    /// Error of what is cut, exact; null where pi is in it.
    pub(crate) error: Option<String>,
    /// The error in parts per million, rounded; plus: what is cut is longer.
    pub(crate) error_ppm: f64,
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
    /// Leads whose trains can't stand, or don't give the hand.
    pub(crate) refused: u64,
    /// The shortest lead in mm, exact; null where there is none.
    pub(crate) shortest_mm: Option<String>,
    /// The longest.
    pub(crate) longest_mm: Option<String>,
    /// Power of pi that multiplies both, and those of the gap: 0 or 1.
    pub(crate) lead_pi: i8,
    /// The widest gap between two leads, as a share of the shorter one; null with fewer than two.
    pub(crate) widest_gap: Option<Gap>,
    /// Standard pitches in the span, ascending, each with what comes nearest; empty for feeds.
    pub(crate) standards: Vec<Standard>,
}

/// Two leads with none between them.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Gap {
    /// The shorter lead in mm, exact.
    pub(crate) from_mm: String,
    /// The longer one.
    pub(crate) to_mm: String,
    /// By how much it is longer, exact.
    pub(crate) share: String,
    /// The same in per cent, rounded.
    pub(crate) per_cent: f64,
}

/// A standard pitch.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Standard {
    /// Its lead in mm, exact, without pi.
    pub(crate) lead_mm: String,
    /// Power of pi that multiplies it: 0 or 1.
    pub(crate) lead_pi: i8,
    /// Every standard thread that has it.
    pub(crate) threads: Vec<&'static str>,
    /// `exact`, `near` (within the tolerance), `too close` (near, but only by a train that is too close to
    /// call) or `missed`; null where that is not known yet.
    pub(crate) state: Option<&'static str>,
    /// What comes nearest and is sure to fit; null where nothing does.
    pub(crate) nearest: Option<Nearest>,
}

/// The lead that comes nearest to a standard one.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Nearest {
    /// Lead in mm, exact, without pi.
    pub(crate) lead_mm: String,
    /// Its best train.
    pub(crate) train: String,
    /// Its error, exact; null where pi is in it.
    pub(crate) error: Option<String>,
    /// The error in parts per million, rounded.
    pub(crate) error_ppm: f64,
}
