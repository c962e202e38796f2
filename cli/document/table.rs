//! What `table` writes.

use super::Head;
use super::change::Change;
use super::lead::{Judgement, Wanted};
use super::set_up::Way;
use schemars::JsonSchema;
use serde::Serialize;

/// What `trainwright table --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// Most gear pairs of a train.
    pub(crate) gear_pairs: usize,
    /// The set-up to begin with and to put back; null: an empty banjo.
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
    pub(crate) unsearched: Vec<Wanted>,
    /// Lines that no train is sure to reach, since the only ones are `too close` to call.
    pub(crate) too_close: Vec<Missed>,
    /// Lines that nothing cuts: the nearest is another thread.
    pub(crate) unreachable: Vec<Missed>,
}

/// A way through the list.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Plan {
    /// `closest` (no planning), `chart`, `listed`, `best`, `fewest` or `single`.
    pub(crate) way: &'static str,
    /// Gears moved, from the fitted set-up and back.
    pub(crate) gears_moved: usize,
    /// Levers moved.
    pub(crate) levers_moved: usize,
    /// Different trains.
    pub(crate) trains: usize,
    /// No plan of this kind does with less, whatever set-ups within tolerance it takes; of `fewest`
    /// trains, else gears moved. Null where that is not known, since not every set-up was there.
    pub(crate) least: Option<usize>,
    /// Whether the plan is proven to be the best of its kind.
    pub(crate) proven: bool,
}

/// A thread or feed with its set-up.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Line {
    /// Place in the plan, from 1.
    pub(crate) place: usize,
    /// What is asked.
    #[serde(flatten)]
    pub(crate) wanted: Wanted,
    /// `inch`, `metric`, `worm`, `long feed` or `cross feed`.
    pub(crate) kind: &'static str,
    /// The set-up, and how far it is off.
    #[serde(flatten)]
    pub(crate) way: Way,
    /// `near enough`: up to `within`. Else nothing is, and this is the nearest that fits: `poor`: inside the
    /// class; `too far`: outside the class, without a class more than `within`.
    pub(crate) verdict: Judgement,
    /// What the error uses of the tolerance of the class: 0.12 is 12 %; null where no class is known.
    pub(crate) share_of_class: Option<f64>,
    /// Where the half nut may close; null for a feed.
    pub(crate) thread_dial: Option<String>,
    /// Gears moved for it.
    pub(crate) gears_moved: usize,
    /// Levers moved for it.
    pub(crate) levers_moved: usize,
    /// From the line before, or from the fitted set-up; null: from an empty banjo.
    pub(crate) change: Option<Change>,
    /// The same in a few words.
    pub(crate) change_text: String,
    /// Set-ups that it was chosen from: all within tolerance, or all as near as the nearest.
    pub(crate) set_ups: usize,
    /// Whether only trains with more than `gear_pairs` reach it: of these it was chosen from the
    /// closest, not from all.
    pub(crate) longer: bool,
}

/// A line that no train is sure to reach.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Missed {
    /// What is asked.
    #[serde(flatten)]
    pub(crate) wanted: Wanted,
    /// `inch`, `metric`, `worm`, `long feed` or `cross feed`.
    pub(crate) kind: &'static str,
    /// The closest train that is too close to call, else the nearest that fits; null: none was found.
    pub(crate) nearest: Option<Way>,
}
