//! The undercut of a card, and how the spindle turns in the cut.

use super::size::Size;
use super::speed::UndercutFrom;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job;
use solver::scratch_pass;

/// The undercut to turn or bore.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Undercut {
    /// Width at full depth: at least, or as stated.
    pub(crate) width: Size,
    /// Width in all, at most; null where no standard has it.
    pub(crate) most: Option<Size>,
    /// Diameter of its floor; null where no standard has it.
    pub(crate) floor: Option<Size>,
    /// Radius in the corner, about; null where no standard has it.
    pub(crate) radius: Option<Size>,
    /// Where the width comes from.
    pub(crate) from: UndercutFrom,
    /// How far the tool's side reaches beside the middle of its end at the last pass, in mm; null where
    /// the form is not known.
    pub(crate) reach_mm: Option<f64>,
}

impl From<&job::Undercut> for Undercut {
    fn from(of: &job::Undercut) -> Self {
        Self {
            width: of.width.into(),
            most: of.most.map(Size::from),
            floor: of.floor.map(Size::from),
            radius: of.radius.map(Size::from),
            from: of.source.into(),
            reach_mm: of.reach_mm.map(|mm| rounded(mm, 6)),
        }
    }
}

/// How the spindle turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Spindle {
    /// As it usually does.
    Forward,
    /// In reverse.
    Reverse,
}

impl From<scratch_pass::Spindle> for Spindle {
    fn from(spindle: scratch_pass::Spindle) -> Self {
        match spindle {
            scratch_pass::Spindle::Forward => Self::Forward,
            scratch_pass::Spindle::Reverse => Self::Reverse,
        }
    }
}
