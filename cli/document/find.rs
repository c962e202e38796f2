//! What `find` writes.

use super::Head;
use super::lead::{AllowedBy, Judgement, Target};
use super::set_up::{SetUp, Way};
use crate::answer::{self, Entry, Request};
use crate::words::figures::adds_up;
use schemars::JsonSchema;
use serde::Serialize;
use solver::search;
use solver::tolerance::Allowed;

/// What `trainwright find --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// Length over which `adds_up_to_um` is reckoned, in mm, exact.
    pub(crate) over_mm: String,
    /// The same, rounded.
    pub(crate) over_mm_rounded: f64,
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
    /// The train with the fewest gears within `within`; null where there is none.
    pub(crate) fewest_gears: Option<Solution>,
    /// Largest |error| that counts as near enough for `fewest_gears`, exact: 1/5000 is 200 ppm.
    pub(crate) within: String,
    /// What `within` rests on. `stated`: `--within`; `class`: a tenth of the tolerance of the pitch
    /// diameter; `without class`: 200 ppm; `feed`: 1 %.
    pub(crate) allowed_by: AllowedBy,
    /// The tolerance class of the thread by which errors are judged; null where none is known.
    pub(crate) class: Option<String>,
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
#[derive(Debug, Serialize, JsonSchema)]
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

/// What the answer rests on.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Searched {
    /// Choices of drivers and driven gears, times lever positions.
    pub(crate) combinations: u128,
    /// Lever positions.
    pub(crate) positions: usize,
    /// Most gear pairs (driver over driven) in one train.
    pub(crate) gear_pairs: usize,
    /// Whether everything was searched, so that nothing closer exists; false where a train was
    /// judged (`--train`) and nothing was searched.
    pub(crate) complete: bool,
    /// What was left out, a sentence each; empty where `complete` is true or nothing was searched.
    pub(crate) left_out: Vec<String>,
}

/// A lead that is cut, with its best arrangement.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Solution {
    /// Place in the list, from 1.
    pub(crate) rank: usize,
    /// The set-up, and how far it is off.
    #[serde(flatten)]
    pub(crate) way: Way,
    /// `near enough`: up to `within`; `poor`: more, but inside the class; `too far`: outside the class,
    /// without a class more than `within`; `another lead`: over 1 % of a thread, over 10 % of a feed.
    pub(crate) verdict: Judgement,
    /// What the error uses of the tolerance of the class: 0.12 is 12 %; null where no class is known.
    pub(crate) share_of_class: Option<f64>,
    /// What the error adds up to over the length `over_mm`, in micrometres, rounded.
    pub(crate) adds_up_to_um: f64,
    /// Gears moved from the fitted set-up; without one, the gears of the train.
    pub(crate) gears_moved: usize,
    /// Other trains and lever positions with exactly this lead; null where they were not counted.
    pub(crate) also_cut_by: Option<Others>,
    /// With `--all`: every arrangement with this lead, this one first; else empty.
    pub(crate) arrangements: Vec<SetUp>,
}

/// How many more there are.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Others {
    /// Those that fit, as far as that was checked.
    pub(crate) count: u64,
    /// Those that were tried.
    pub(crate) tried: u64,
    /// Or more: counting was cut short.
    pub(crate) at_least: bool,
}

impl Target {
    /// What was asked of a search.
    pub(crate) fn asked(outcome: &answer::Outcome) -> Self {
        Self::of(&outcome.target, outcome.target.text(), outcome.hand)
    }
}

impl Solution {
    pub(crate) fn of(request: &Request, allowed: &Allowed, rank: usize, entry: &Entry) -> Self {
        let lathe = &request.machine.lathe;
        Self {
            rank,
            way: Way::of(lathe, entry),
            verdict: allowed.verdict(&entry.error).into(),
            share_of_class: allowed.share(&entry.error),
            adds_up_to_um: adds_up(&entry.error, &request.over).to_f64(),
            gears_moved: entry.handled,
            also_cut_by: entry.others.map(Others::from),
            arrangements: entry.arrangements.iter().map(|one| SetUp::of(lathe, one)).collect(),
        }
    }
}

impl From<search::Others> for Others {
    fn from(others: search::Others) -> Self {
        Self { count: others.count, tried: others.tried, at_least: others.at_least }
    }
}
