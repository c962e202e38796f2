//! What is seen and measured before anything is cut.

use super::size::Size;
use crate::words::slip;
use schemars::JsonSchema;
use serde::Serialize;
use solver::Lathe;
use solver::job;

/// What turning the spindle by hand shows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct ByHand {
    /// Turns of the spindle.
    pub(crate) turns: u32,
    /// How far the slide goes in them.
    pub(crate) travel: Size,
    /// Turns of the spindle for one of the lead screw, exact; null where that is not known.
    pub(crate) turns_for_one_of_the_screw: Option<String>,
}

/// What the scratch pass measures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Scratch {
    /// Leads along the scratch that are measured: pitches, where the thread has one start.
    pub(crate) leads: u32,
    /// What that measures.
    pub(crate) length: Size,
    /// What it would measure if the gearing were wrong.
    pub(crate) slips: Vec<Slip>,
}

/// A way in which the gearing may be wrong.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Slip {
    /// What the lead would be multiplied by, exact; 1 where only the hand is another.
    pub(crate) factor: String,
    /// The hand that would be cut; null where it is not known.
    pub(crate) hand: Option<String>,
    /// What as many leads would measure.
    pub(crate) length: Size,
    /// What went wrong, in words.
    pub(crate) what: String,
    /// A known thread that it looks like.
    pub(crate) looks_like: Option<String>,
}

impl From<&job::ByHand> for ByHand {
    fn from(of: &job::ByHand) -> Self {
        Self {
            turns: of.turns,
            travel: of.travel.into(),
            turns_for_one_of_the_screw: of.for_one_of_the_screw.map(|turns| turns.to_string()),
        }
    }
}

impl Scratch {
    pub(super) fn of(lathe: &Lathe, scratch: &job::ScratchMeasure) -> Self {
        let slip = |shown: &job::Shown| Slip {
            factor: shown.factor.map(|factor| factor.to_string()).unwrap_or_default(),
            hand: shown.hand.map(|hand| hand.to_string()),
            length: shown.length.into(),
            what: slip::in_words(lathe, shown.slip),
            looks_like: shown.looks_like.map(|thread| thread.designation().to_string()),
        };
        Self {
            leads: scratch.leads,
            length: scratch.length.into(),
            slips: scratch.slips.iter().map(slip).collect(),
        }
    }
}
