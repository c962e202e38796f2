//! The JSON documents: one a command, documented here, stable, keys only added within `format` 1.
//!
//! Every exact value is a string, `"p/q"` or `"p"`; a rounded number beside it has a name that says
//! so. An error with plus is a lead that is longer (coarser) than asked. One thing has one key in all.

pub(crate) mod buy;
pub(crate) mod card;
pub(crate) mod change;
pub(crate) mod check;
pub(crate) mod find;
pub(crate) mod lead;
pub(crate) mod learn;
pub(crate) mod reach;
pub(crate) mod records;
pub(crate) mod set_up;
pub(crate) mod table;
pub(crate) mod why;

use crate::asked::machine::{Machine, set_up};
use schemars::JsonSchema;
use serde::Serialize;

/// What every document begins with.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Head {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
    /// What is on the lathe now, where that was recorded and is not the fitted set-up: gears moved
    /// count from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) on_it_now: Option<String>,
}

impl Head {
    pub(crate) fn of(machine: &Machine) -> Self {
        let now = machine.lathe.not_as_fitted().map(|now| set_up(&machine.lathe, now));
        Self { on_it_now: now, ..Self::new(machine.name(), &machine.from) }
    }

    pub(crate) fn new(lathe: &str, from: &str) -> Self {
        Self { format: 1, lathe: lathe.to_string(), lathe_from: from.to_string(), on_it_now: None }
    }
}
