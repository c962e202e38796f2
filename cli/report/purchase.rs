//! The JSON document that `buy` writes: documented here, stable, keys only added within `format` 1.
//!
//! Every exact value is a string, `"p/q"` or `"p"`; a rounded number beside it has a name that says
//! so. An error with plus is a lead that is longer (coarser) than asked.

use super::found::{Named, Quotient};
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the document.
pub(crate) const FORMAT: u8 = 1;

/// What `trainwright buy --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
    /// What counts as best, in words.
    pub(crate) objective: &'static str,
    /// Sizes looked at: teeth, ascending.
    pub(crate) sizes: Vec<u16>,
    /// The list: each lead once.
    pub(crate) lines: Vec<Line>,
    /// Lines of the list that only trains of more than two ratio pairs cut, with the gears owned:
    /// nothing is bought for them.
    pub(crate) set_aside: Vec<Line>,
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

/// One line of the list.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Line {
    /// As it is said: `1.5 mm`, `16 tpi`.
    pub(crate) text: String,
    /// Threads of the list that it cuts: `M10`; empty where only a figure was given.
    pub(crate) names: Vec<String>,
    /// `thread`, `long feed` or `cross feed`.
    pub(crate) travel: &'static str,
    /// Lead in mm, exact; to be multiplied by pi where `pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead: 0 or 1.
    pub(crate) pi: i8,
    /// Lead in mm, rounded.
    pub(crate) lead_mm_rounded: f64,
    /// `right` or `left`; null for a feed.
    pub(crate) hand: Option<String>,
    /// Largest |error| that counts as reached, exact: 1/5000 is 200 ppm.
    pub(crate) within: String,
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
    pub(crate) lines: Vec<Option<Way>>,
}

/// A train for a line.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Way {
    /// Whether it is within the tolerance.
    pub(crate) reached: bool,
    /// Gears along the power path: `-` is a mesh, `+` joins gears on one stud.
    pub(crate) train: String,
    /// Lever names with their positions.
    pub(crate) levers: Named,
    /// Headstock position, where there are several.
    pub(crate) headstock: Option<String>,
    /// Tumbler position; null where there is none or it does not matter.
    pub(crate) tumbler: Option<String>,
    /// Where nobody has measured whether two gears mesh directly: the tumbler and the hand if they do,
    /// and if an idler is needed; else null.
    pub(crate) either: Option<super::found::Either>,
    /// Lead that it cuts in mm, exact; to be multiplied by pi where `lead_pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead that is cut: 0 or 1.
    pub(crate) lead_pi: i8,
    /// (cut - asked) / asked, exact; null where pi has a part in it.
    pub(crate) error: Option<String>,
    /// Cut over asked, where pi has a part in it; else null.
    pub(crate) cut_over_target: Option<Quotient>,
    /// Error in parts per million, rounded.
    pub(crate) error_ppm: f64,
    /// `fits`; `too close` to call or `not settled`: not `reached` then, nor missed; `not checked`: the
    /// bracket is not described, or `--no-fit`.
    pub(crate) fit: &'static str,
    /// What to measure where it is `too close` to call, a sentence each; else empty.
    pub(crate) measure: Vec<String>,
}

/// The best purchases of so many gears.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Round {
    /// Gears bought.
    pub(crate) gears: usize,
    /// Purchases that were compared.
    pub(crate) compared: usize,
    /// Whether no better one can have been missed.
    pub(crate) complete: bool,
    /// Whether the best of them serves the list better than what is owned and than every purchase of
    /// fewer gears.
    pub(crate) gains: bool,
    /// Best first; only those that serve the list better than what is owned.
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
    pub(crate) served: Served,
}
