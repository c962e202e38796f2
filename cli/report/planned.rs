//! The JSON document that `table` writes: documented here, stable, keys only added within `format` 1.

use super::found::Named;
use super::job::Change;
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the document.
pub(crate) const FORMAT: u8 = 1;

/// What `trainwright table --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
    /// Most ratio pairs of a train.
    pub(crate) ratio_pairs: usize,
    /// The set-up to begin with and to put back; null: an empty bracket.
    pub(crate) fitted: Option<String>,
    /// Whether all was looked at; false: cut short, a line has too many trains to hold, or the tables had
    /// no room for the longest trains.
    pub(crate) complete: bool,
    /// What was left out, a sentence each; empty where `complete` is true.
    pub(crate) left_out: Vec<String>,
    /// What each way through the list costs.
    pub(crate) plans: Vec<Plan>,
    /// Which of them `lines` is: a `way`.
    pub(crate) chosen: &'static str,
    /// The lines in the order of the chosen plan.
    pub(crate) lines: Vec<Line>,
    /// From the last line back to the fitted set-up; null where there is none, or each line goes back.
    pub(crate) back: Option<Change>,
    /// Lines that were not looked at, since the search was interrupted.
    pub(crate) unsearched: Vec<String>,
    /// Lines that no train is sure to reach, since the only ones are `too close` to call.
    pub(crate) too_close: Vec<Unsure>,
    /// Lines that nothing reaches.
    pub(crate) unreachable: Vec<Missed>,
}

/// A way through the list.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Plan {
    /// `closest` (no planning), `chart`, `listed`, `best`, `fewest` or `single`.
    pub(crate) way: &'static str,
    /// Gears taken off and put on, from the fitted set-up and back.
    pub(crate) handled: usize,
    /// Levers moved.
    pub(crate) levers: usize,
    /// Different trains.
    pub(crate) trains: usize,
    /// No plan of this kind does with less, whatever set-ups within tolerance it takes; of `fewest`
    /// trains, else gears handled. Null where that is not known, since not every set-up was there.
    pub(crate) least: Option<usize>,
    /// Whether the plan is proven to be the best of its kind.
    pub(crate) proven: bool,
}

/// A thread or feed with its set-up.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Line {
    /// Its lead as it is said.
    pub(crate) thread: String,
    /// The threads that it is for.
    pub(crate) names: Vec<String>,
    /// `inch`, `metric`, `worm`, `long feed` or `cross feed`.
    pub(crate) kind: &'static str,
    /// Lead asked, in mm, exact; to be multiplied by pi where `pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead asked: 0 or 1.
    pub(crate) pi: i8,
    /// Largest |error| that was accepted, exact.
    pub(crate) within: String,
    /// Gears along the power path: `-` is a mesh, `+` joins gears on one stud.
    pub(crate) train: String,
    /// Teeth on each shaft along the power path; on a stud with two, the driven gear first.
    pub(crate) shafts: Vec<Vec<u16>>,
    /// Every choice of idlers that stands between the same end gears; empty: there is no idler.
    pub(crate) idlers: Vec<Vec<u16>>,
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
    pub(crate) either: Option<super::found::Either>,
    /// Lead that is cut in mm, exact; to be multiplied by pi where the lathe's has it.
    pub(crate) cut_lead_mm: String,
    /// (cut - asked) / asked, exact; null where pi has a part in it.
    pub(crate) error: Option<String>,
    /// Error in parts per million, rounded.
    pub(crate) error_ppm: f64,
    /// `fits`, `too close` to call, `not settled`, or `not checked`: no bracket is described.
    pub(crate) fit: &'static str,
    /// Where the half nut may close; null for a feed.
    pub(crate) dial: Option<String>,
    /// Gears handled for it.
    pub(crate) handled: usize,
    /// Levers moved for it.
    pub(crate) levers_moved: usize,
    /// From the line before, or from the fitted set-up; null: from an empty bracket.
    pub(crate) change: Option<Change>,
    /// Set-ups within tolerance that it was chosen from.
    pub(crate) set_ups: usize,
    /// Whether only trains with more than `ratio_pairs` reach it: of these it was chosen from the
    /// closest, not from all.
    pub(crate) longer: bool,
}

/// A line with a train that fits or not by less than the arithmetic can tell.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Unsure {
    /// Its lead as it is said.
    pub(crate) thread: String,
    /// The threads that it is for.
    pub(crate) names: Vec<String>,
    /// The closest such train.
    pub(crate) train: String,
    /// Its error in parts per million, rounded.
    pub(crate) error_ppm: f64,
    /// `too close`.
    pub(crate) fit: &'static str,
    /// What to measure, a sentence each.
    pub(crate) measure: Vec<String>,
}

/// A line that nothing reaches.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Missed {
    /// Its lead as it is said.
    pub(crate) thread: String,
    /// The threads that it is for.
    pub(crate) names: Vec<String>,
    /// The nearest train that stands; null: none was found.
    pub(crate) nearest: Option<String>,
    /// Its error in parts per million, rounded.
    pub(crate) error_ppm: Option<f64>,
}
