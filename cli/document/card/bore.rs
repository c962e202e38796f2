//! The bore of a nut: thread that it leaves, and tap drills.

use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting;
use solver::job;

/// Thread that the bore leaves, and tap drills.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Bore {
    /// Of the bore.
    pub(crate) engagement: Engagement,
    /// A metric and an inch drill inside the class; none where the bore was measured, or no drill lies inside.
    pub(crate) tap_drills: Vec<TapDrill>,
}

/// Overlap of screw and nut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Engagement {
    /// In per cent of the basic overlap.
    pub(crate) of_basic: f64,
    /// The basic overlap, in pitches: 1.082532 for 60 degrees.
    pub(crate) basic_pitches: f64,
    /// In per cent of 3/4 H on both sides, 1.299 pitches, as inch tables count; null where the form has not 60
    /// degrees.
    pub(crate) of_american: Option<f64>,
}

/// A drill of a list.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct TapDrill {
    /// `8.5 mm`, `27/64 in`, `number 7`, `letter F`.
    pub(crate) name: String,
    /// Its diameter.
    pub(crate) size: Size,
    /// Thread that it leaves.
    pub(crate) engagement: Engagement,
}

impl From<&job::Bore> for Bore {
    fn from(bore: &job::Bore) -> Self {
        let drill = |(drill, leaves): &(cutting::Drill, cutting::Overlap)| TapDrill {
            name: drill.to_string(),
            size: drill.size().into(),
            engagement: leaves.into(),
        };
        Self {
            engagement: (&bore.engagement).into(),
            tap_drills: bore.drills.iter().map(drill).collect(),
        }
    }
}

impl From<&cutting::Overlap> for Engagement {
    fn from(of: &cutting::Overlap) -> Self {
        let per_cent = |part: f64| rounded(100.0 * part, 4);
        Self {
            of_basic: per_cent(of.of_basic),
            basic_pitches: rounded(of.basic, 6),
            of_american: of.of_american.map(per_cent),
        }
    }
}
