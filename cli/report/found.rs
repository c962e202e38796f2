//! The JSON document that `find` writes: documented here, stable, keys only added within `format` 1.
//!
//! Every exact value is a string, `"p/q"` or `"p"`; a rounded number beside it has a name that says
//! so. An error with plus is a lead that is longer (coarser) than asked.

use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// Version of the document.
pub(crate) const FORMAT: u8 = 1;

/// What `trainwright find --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
    /// Length over which `drift_um` is reckoned, in mm, exact.
    pub(crate) over_mm: String,
    /// One entry a target, in the order asked.
    pub(crate) results: Vec<Outcome>,
}

/// What was found for one target.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Outcome {
    /// What was asked.
    pub(crate) target: Target,
    /// What was searched.
    pub(crate) searched: Searched,
    /// Different leads, best first; each with its best arrangement.
    pub(crate) solutions: Vec<Solution>,
    /// For each number of gears the closest train, only where it is closer than with fewer.
    pub(crate) trade_off: Vec<Solution>,
    /// The train with the fewest gears within `tolerance`; null where there is none.
    pub(crate) fewest_gears: Option<Solution>,
    /// Largest |error| that counts as near enough for `fewest_gears`, exact: 1/5000 is 200 ppm.
    pub(crate) tolerance: String,
    /// Closer trains that don't fit, best first, with the reasons; of `--train` the train itself.
    pub(crate) closer_but_unfit: Vec<Solution>,
    /// Where nothing was near enough: the nearest.
    pub(crate) nearest: Option<Solution>,
    /// Where nothing near enough fits: what would let a closer train fit, one of each kind at most.
    pub(crate) remedies: Vec<Remedy>,
    /// What else would help, in words.
    pub(crate) hints: Vec<String>,
    /// The best train of the other hand, where the one asked comes out far worse; else null.
    pub(crate) other_hand: Option<Solution>,
}

/// A change to the machine, and the train that it would let fit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Remedy {
    /// `slot`: longer; `clearance`: less room; `idler`: a size that is not owned; `stud`: one more.
    pub(crate) kind: &'static str,
    /// How much longer a slot, or how much room is left, in mm; else null.
    pub(crate) mm: Option<f64>,
    /// Teeth of the idlers that would do; else empty.
    pub(crate) idlers: Vec<u16>,
    /// A full sentence.
    pub(crate) text: String,
    /// The train, on the machine so changed.
    pub(crate) solution: Solution,
}

/// A thread or feed.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Target {
    /// As it was typed.
    pub(crate) text: String,
    /// `thread`, `long feed` or `cross feed`.
    pub(crate) travel: &'static str,
    /// Lead in mm, exact; to be multiplied by pi where `pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead: 0 or 1.
    pub(crate) pi: i8,
    /// Lead in mm, rounded.
    pub(crate) lead_mm_rounded: f64,
    /// Starts of the thread.
    pub(crate) starts: u8,
    /// `right` or `left`; null for a feed.
    pub(crate) hand: Option<String>,
}

/// What the answer rests on.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Searched {
    /// Choices of drivers and driven gears, times lever positions.
    pub(crate) combinations: u128,
    /// Lever positions.
    pub(crate) positions: usize,
    /// Most ratio pairs (driver over driven) in one train.
    pub(crate) ratio_pairs: usize,
    /// Whether everything was searched, so that nothing closer exists; false where a train was
    /// judged (`--train`) and nothing was searched.
    pub(crate) complete: bool,
    /// What was left out, a sentence each; empty where `complete` is true or nothing was searched.
    pub(crate) left_out: Vec<String>,
}

/// A train on the machine with its levers.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Solution {
    /// Place in the list, from 1.
    pub(crate) rank: usize,
    /// Gears along the power path: `-` is a mesh, `+` joins gears on one stud.
    pub(crate) train: String,
    /// Teeth on each shaft along the power path; on a stud with two, the driven gear first.
    pub(crate) shafts: Vec<Vec<u16>>,
    /// Shafts that carry a joined pair of which one gear does no work; empty if there are none.
    pub(crate) joined: Vec<JoinedGear>,
    /// Lever names with their positions.
    pub(crate) levers: Named,
    /// Headstock position, where there are several.
    pub(crate) headstock: Option<String>,
    /// Tumbler position; null where there is none or it does not matter.
    pub(crate) tumbler: Option<String>,
    /// Hand that it cuts; null for a feed, or where a sense of turning is unknown.
    pub(crate) hand: Option<String>,
    /// Where nobody has measured whether two gears mesh directly: the tumbler and the hand if they do,
    /// and if an idler is needed; else null.
    pub(crate) either: Option<Either>,
    /// Turns of the last gear for one turn of the first, exact.
    pub(crate) ratio: String,
    /// Lead that it cuts in mm, exact; to be multiplied by pi where `lead_pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead that is cut: 0 or 1.
    pub(crate) lead_pi: i8,
    /// Lead that it cuts in mm, rounded.
    pub(crate) lead_mm_rounded: f64,
    /// Threads per inch of that lead, rounded.
    pub(crate) tpi_rounded: f64,
    /// (cut - asked) / asked, exact; null where pi has a part in it.
    pub(crate) error: Option<String>,
    /// Cut over asked, where pi has a part in it; else null.
    pub(crate) cut_over_target: Option<Quotient>,
    /// Error in parts per million, rounded.
    pub(crate) error_ppm: f64,
    /// Error over the length `over_mm`, in micrometres, rounded.
    pub(crate) drift_um: f64,
    /// Gears in the train, idlers included.
    pub(crate) gears: usize,
    /// Gears taken off and put on from the fitted set-up; without one, the gears of the train.
    pub(crate) handled: usize,
    /// For idlers between two end gears: every choice of idlers that fits there, in power-path order.
    pub(crate) idlers: Vec<Vec<u16>>,
    /// Other trains and lever positions with exactly this lead; null where they were not counted.
    pub(crate) others: Option<Others>,
    /// With `--all`: every arrangement with this lead, this one first; else empty.
    pub(crate) arrangements: Vec<Arrangement>,
    /// Whether it fits on the bracket.
    pub(crate) fit: Fit,
}

/// A gear that goes along without work, joined for good to the one that works.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct JoinedGear {
    /// Its shaft along the power path, from 0.
    pub(crate) shaft: usize,
    /// The gear that works.
    pub(crate) works: u16,
    /// The gear without work.
    pub(crate) idle: u16,
    /// The plane of the gear without work, 1 next to the headstock; null where that is not known.
    pub(crate) plane: Option<u8>,
}

/// Both cases of two gears of which nobody has measured whether they mesh directly.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Either {
    /// If they mesh directly.
    pub(crate) direct: Branch,
    /// If an idler is needed.
    pub(crate) with_idler: Branch,
}

/// What is set and cut in one case.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Branch {
    /// Tumbler position; null where there is none or it does not matter.
    pub(crate) tumbler: Option<String>,
    /// Hand that is cut; null for a feed, or where a sense of turning is unknown.
    pub(crate) hand: Option<String>,
}

/// A fraction times a power of pi.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Quotient {
    /// The fraction.
    pub(crate) value: String,
    /// Power of pi: -1, 0 or 1.
    pub(crate) pi: i8,
}

/// How many more there are.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Others {
    /// So many that fit, as far as that was checked.
    pub(crate) count: u64,
    /// So many were tried.
    pub(crate) tried: u64,
    /// Or more: counting was cut short.
    pub(crate) at_least: bool,
}

/// One of several ways to the same lead.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Arrangement {
    /// Gears along the power path.
    pub(crate) train: String,
    /// Lever names with their positions.
    pub(crate) levers: Named,
    /// Headstock position, where there are several.
    pub(crate) headstock: Option<String>,
    /// Tumbler position.
    pub(crate) tumbler: Option<String>,
    /// Hand that it cuts.
    pub(crate) hand: Option<String>,
    /// Gears in the train.
    pub(crate) gears: usize,
}

/// Whether a train fits on the bracket. Millimetres and degrees here are rounded to a millionth.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Fit {
    /// `fits`; `does not fit`; `too close` to call: measure it; `not settled`: not all places of the
    /// studs were tried; `not checked`: the bracket is not described, or `--no-fit`.
    pub(crate) state: &'static str,
    /// Where the arm's own line stands against the line from the pivot to the other shaft: degrees,
    /// clockwise seen from the cover end; null without a stud, or where it does not stand.
    pub(crate) swing: Option<f64>,
    /// Where the studs stand, in power-path order; empty where nothing stands on the bracket.
    pub(crate) studs: Vec<Stud>,
    /// The plane of each gear along the power path, 1 next to the headstock; empty likewise.
    pub(crate) planes: Vec<u8>,
    /// What comes nearest to what it must stay clear of; null where nothing does.
    pub(crate) tightest: Option<Tightest>,
    /// What to measure where it is `too close` to call, a sentence each; else empty.
    pub(crate) measure: Vec<String>,
    /// All that speaks against the train: why it does not fit, and for `--train` also that a gear is
    /// not owned, or that it cuts the other hand; empty if nothing does.
    pub(crate) reasons: Vec<Reason>,
}

/// Where a stud stands.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Stud {
    /// Which slot of the lathe file, from 1.
    pub(crate) slot: usize,
    /// Along a straight slot, from the foot of the perpendicular from the pivot; in an arc slot
    /// degrees from the arm's own line, about the arc's centre.
    pub(crate) along_mm: f64,
    /// From the pivot's axis to the stud's.
    pub(crate) from_pivot_mm: f64,
    /// From the axis of the last shaft toward the operator.
    pub(crate) right_mm: f64,
    /// From the axis of the last shaft upward.
    pub(crate) up_mm: f64,
}

/// Two parts that must not touch.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Tightest {
    /// A gear.
    pub(crate) gear: String,
    /// What it must stay clear of.
    pub(crate) other: String,
    /// Room between them.
    pub(crate) mm: f64,
}

/// Why a train does not fit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Reason {
    /// The kind, such as `touch`, `slot end`, `too short`, `owned`.
    pub(crate) kind: &'static str,
    /// By how much; null where that is no length.
    pub(crate) mm: Option<f64>,
    /// A full sentence.
    pub(crate) text: String,
}

/// Names with values, in the machine's order.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
#[schemars(transparent)]
pub(crate) struct Named(
    #[schemars(with = "BTreeMap<String, String>")] pub(crate) Vec<(String, String)>,
);

impl Serialize for Named {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}
