//! Turns a minute by the material, of a card.

use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting::{SpeedSource, ToolSteel};
use solver::job;

/// Turns a minute by the surface speed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Surface {
    /// Material of the work; null where a speed was stated.
    pub(crate) material: Option<&'static str>,
    /// What the tool is made of; null where a speed was stated.
    pub(crate) tool: Option<Tool>,
    /// The lower and the higher surface speed.
    pub(crate) m_per_min: [f64; 2],
    /// Where they come from.
    pub(crate) from: SpeedFrom,
    /// Diameter that they are reckoned at.
    pub(crate) diameter: Size,
    /// Turns a minute at both, rounded down.
    pub(crate) rpm: [u32; 2],
    /// Turns a minute to begin at; 0: by hand.
    pub(crate) begin_rpm: u32,
    /// What sets that.
    pub(crate) decides: Decides,
    /// The fastest of the lathe's own speeds up to that; null: none, or not known.
    pub(crate) lathe_rpm: Option<u32>,
}

/// What the tool is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Tool {
    /// Carbon steel.
    Carbon,
    /// High-speed steel.
    Hss,
}

/// Where a surface speed comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum SpeedFrom {
    /// F. D. Jones, Turning and Boring, 1919.
    Jones,
    /// Common practice, one source only.
    Practice,
    /// Unverified.
    Unverified,
    /// A quarter to a half of the turning speed, unverified.
    Quarter,
    /// It was stated.
    Stated,
}

/// What sets the speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Decides {
    /// The time to stop in the undercut.
    RunOut,
    /// The surface speed.
    Surface,
}

impl From<&job::Surface> for Surface {
    fn from(of: &job::Surface) -> Self {
        Self {
            material: of.of.map(|(material, _)| material.name),
            tool: of.of.map(|(_, tool)| match tool {
                ToolSteel::Carbon => Tool::Carbon,
                ToolSteel::HighSpeed => Tool::Hss,
            }),
            m_per_min: [of.speed.low, of.speed.high].map(|speed| rounded(speed.to_f64(), 6)),
            from: match of.speed.source {
                SpeedSource::Jones => SpeedFrom::Jones,
                SpeedSource::Practice => SpeedFrom::Practice,
                SpeedSource::Memory => SpeedFrom::Unverified,
                SpeedSource::Quarter => SpeedFrom::Quarter,
                SpeedSource::Stated => SpeedFrom::Stated,
            },
            diameter: of.diameter.into(),
            rpm: of.rpm,
            begin_rpm: of.begin,
            decides: match of.decides {
                job::Decides::RunOut => Decides::RunOut,
                job::Decides::Surface => Decides::Surface,
            },
            lathe_rpm: of.of_lathe,
        }
    }
}
