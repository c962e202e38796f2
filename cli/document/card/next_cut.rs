//! What is left of a half-cut thread.

use super::rest::Rest;
use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job::{self, Stage};

/// The next cut of a thread that is half cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct NextCut {
    /// What was measured: `wires`, `pitch`, `depth` or `root`.
    pub(crate) measured: &'static str,
    /// The readings, from the free end toward the headstock.
    pub(crate) readings: Vec<Size>,
    /// Uncertainty of each reading.
    pub(crate) uncertainty: Size,
    /// Whether it is the usual one of the gauge, since none was stated.
    pub(crate) uncertainty_is_assumed: bool,
    /// The wires of the reading; null for another gauge.
    pub(crate) wire: Option<Size>,
    /// Pitch diameter now: the mean of all places, between their bounds.
    pub(crate) pitch: Between,
    /// Pitch diameter at each place.
    pub(crate) places: Vec<Between>,
    /// Taper; null where it was measured at one place.
    pub(crate) taper: Option<Conicity>,
    /// The pitch diameter to aim at: the middle of the class, else basic.
    pub(crate) aim: Size,
    /// Infeed until the thread comes into its class, in mm; below 0: it has passed that limit; null: no
    /// class is known.
    pub(crate) left_to_first_limit_mm: Option<f64>,
    /// Infeed to the aim, in mm; below 0: past it.
    pub(crate) left_to_aim_mm: f64,
    /// Infeed until it leaves its class, in mm; below 0: it is too deep; null: no class is known.
    pub(crate) left_to_last_limit_mm: Option<f64>,
    /// Infeed from here that ends in the class whatever the error of the reading, in mm; null: no class
    /// is known, or the reading is too coarse.
    pub(crate) surely_in_class_mm: Option<[f64; 2]>,
    /// Where the thread is.
    pub(crate) stage: AtStage,
    /// How far each flank of a wide groove moves along the bed for each mm of infeed; null: another groove.
    pub(crate) flank_per_infeed: Option<f64>,
    /// The passes to the aim.
    #[serde(flatten)]
    pub(crate) rest: Rest,
    /// Other classes that it meets, where it is too deep for its own.
    pub(crate) meets: Vec<String>,
}

/// Where a thread is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum AtStage {
    /// Metal is left to cut.
    Cutting,
    /// Inside its class, whatever the error of the reading.
    InClass,
    /// Perhaps too deep: the bounds reach past the class.
    PerhapsTooDeep,
    /// Too deep.
    TooDeep,
}

/// A size between bounds.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Between {
    /// The lower bound.
    pub(crate) least: Size,
    /// As measured.
    pub(crate) likely: Size,
    /// The upper bound.
    pub(crate) greatest: Size,
}

/// Taper of the pitch diameter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Conicity {
    /// Pitch diameter at the last place less that at the first, in mm.
    pub(crate) grows_mm: f64,
    /// The same in µm for each mm of length; null: the length was not stated.
    pub(crate) um_per_mm: Option<f64>,
    /// Whether it is larger than the uncertainty of the readings.
    pub(crate) is_sure: bool,
}

impl From<&job::NextCut> for NextCut {
    fn from(of: &job::NextCut) -> Self {
        let mm = |mm: f64| rounded(mm, 6);
        Self {
            measured: of.measured.gauge.word(),
            readings: of.measured.readings.iter().copied().map(Size::from).collect(),
            uncertainty: of.measured.off().into(),
            uncertainty_is_assumed: of.measured.stated.is_none(),
            wire: of.wire.map(Size::from),
            pitch: of.pitch.into(),
            places: of.places.iter().copied().map(Between::from).collect(),
            taper: of.conicity.as_ref().map(Conicity::from),
            aim: of.aim.into(),
            left_to_first_limit_mm: of.left.to_first.map(mm),
            left_to_aim_mm: mm(of.left.to_aim),
            left_to_last_limit_mm: of.left.to_last.map(mm),
            surely_in_class_mm: of.sure.map(|both| both.map(mm)),
            stage: of.stage.into(),
            flank_per_infeed: of.aside.map(mm),
            rest: Rest::from(&of.rest),
            meets: of.meets.iter().map(ToString::to_string).collect(),
        }
    }
}

impl From<Stage> for AtStage {
    fn from(stage: Stage) -> Self {
        match stage {
            Stage::Cutting => Self::Cutting,
            Stage::InClass => Self::InClass,
            Stage::PerhapsTooDeep => Self::PerhapsTooDeep,
            Stage::TooDeep => Self::TooDeep,
        }
    }
}

impl From<job::Between> for Between {
    fn from(of: job::Between) -> Self {
        Self { least: of.least.into(), likely: of.likely.into(), greatest: of.greatest.into() }
    }
}

impl From<&job::Conicity> for Conicity {
    fn from(of: &job::Conicity) -> Self {
        Self {
            grows_mm: rounded(of.grows, 6),
            um_per_mm: of.um_per_mm().map(|rate| rounded(rate, 3)),
            is_sure: of.is_sure,
        }
    }
}
