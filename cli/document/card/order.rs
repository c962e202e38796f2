//! What `card --order` writes: several jobs in the order of the work.

use super::Card;
use crate::document::Head;
use crate::document::lead::Target;
use schemars::JsonSchema;
use serde::Serialize;
use solver::plan::{Cost, Plan};

/// What `trainwright card --order --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields, rename = "OrderDocument")]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// The order; null where a job can't be set up, which is exit code 1.
    pub(crate) order: Option<Order>,
    /// Why there is none, as sentences.
    pub(crate) reasons: Vec<String>,
}

/// The jobs in the order of the work.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Order {
    /// The jobs, what is turned first.
    pub(crate) jobs: Vec<Job>,
    /// Gears moved from the last job back to the fitted set-up.
    pub(crate) gears_moved_back: usize,
    /// Gears moved in all.
    pub(crate) gears_moved: usize,
    /// Gears moved in the order as typed, with the best trains for that.
    pub(crate) gears_moved_as_typed: usize,
    /// Whether no order with what is turned first moves fewer gears.
    pub(crate) proven: bool,
}

/// One job.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Job {
    /// What was asked.
    pub(crate) target: Target,
    /// Gears moved for it, from the job before.
    pub(crate) gears_moved: usize,
    /// Levers moved for it, headstock and tumbler among them.
    pub(crate) levers_moved: usize,
    /// Its card, on the lathe as the job before has left it.
    pub(crate) card: Card,
}

impl Job {
    pub(crate) fn new(target: Target, cost: Cost, card: Card) -> Self {
        Self { target, gears_moved: cost.handled, levers_moved: cost.levers, card }
    }

    /// Whether something is turned.
    pub(crate) const fn is_feed(&self) -> bool {
        self.card.feed.is_some()
    }
}

impl Order {
    pub(crate) fn new(jobs: Vec<Job>, plan: &Plan, typed: &Plan) -> Self {
        Self {
            jobs,
            gears_moved_back: plan.back.handled,
            gears_moved: plan.cost.handled,
            gears_moved_as_typed: typed.cost.handled,
            proven: plan.is_proven(),
        }
    }
}
