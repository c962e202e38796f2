//! Which way along the bed.

use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting::Along;
use solver::scratch_pass::Direction;

/// An end of the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum End {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock.
    Tailstock,
}

impl From<Along> for End {
    fn from(along: Along) -> Self {
        match along {
            Along::Headstock => Self::Headstock,
            Along::Tailstock => Self::Tailstock,
        }
    }
}

impl From<Direction> for End {
    fn from(direction: Direction) -> Self {
        match direction {
            Direction::Headstock => Self::Headstock,
            Direction::Tailstock => Self::Tailstock,
        }
    }
}
