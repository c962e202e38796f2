//! A mate that was tried, a screw that a nut is cut to, and a thread that is picked up.

use super::rest::Rest;
use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job::{self, Goes};

/// What a mate shows that was tried on the half-cut thread.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Tried {
    /// The mate: `nut` or `screw`.
    pub(crate) mate: &'static str,
    /// How far it goes.
    pub(crate) goes: HowFar,
    /// The turns after which it binds; null: not stated.
    pub(crate) turns: Option<String>,
    /// The class that it is assumed to have; null where it is the stated screw (--mate).
    pub(crate) class: Option<String>,
    /// Least and greatest pitch diameter of such a mate.
    pub(crate) mate_pitch: [Size; 2],
    /// The thread's pitch diameter is over this; null where nothing shows it.
    pub(crate) pitch_least: Option<Size>,
    /// It is at most this; null where nothing shows it.
    pub(crate) pitch_greatest: Option<Size>,
    /// The pitch diameter to aim at.
    pub(crate) aim: Size,
    /// Least infeed to the aim, in mm; null where nothing shows it; below 0: perhaps past it.
    pub(crate) left_least_mm: Option<f64>,
    /// Most infeed to the aim, in mm; null where nothing shows it; below 0: past it.
    pub(crate) left_most_mm: Option<f64>,
    /// Whether the blank, as measured, reaches past the mate's root.
    pub(crate) crests_bind: bool,
    /// Passes that are surely not past the aim.
    #[serde(flatten)]
    pub(crate) rest: Rest,
}

/// How far a mate goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum HowFar {
    /// It does not start.
    DoesNotStart,
    /// It starts, then binds.
    Starts,
    /// All the way.
    AllTheWay,
}

impl From<&job::Tried> for Tried {
    fn from(of: &job::Tried) -> Self {
        let (goes, turns) = match of.trial.goes {
            Goes::Not => (HowFar::DoesNotStart, None),
            Goes::Turns(turns) => (HowFar::Starts, turns),
            Goes::On => (HowFar::AllTheWay, None),
        };
        let [least, most] = of.left.map(|left| left.map(|mm| rounded(mm, 6)));
        Self {
            mate: of.trial.word(),
            goes,
            turns: turns.map(|turns| turns.to_string()),
            class: of.class.map(|class| class.to_string()),
            mate_pitch: of.mate.map(Size::from),
            pitch_least: of.least.map(Size::from),
            pitch_greatest: of.greatest.map(Size::from),
            aim: of.aim.into(),
            left_least_mm: least,
            left_most_mm: most,
            crests_bind: of.crests_bind,
            rest: Rest::from(&of.rest),
        }
    }
}

/// A nut that is cut to one screw.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct ToMate {
    /// Pitch diameter of the screw, as measured.
    pub(crate) screw_pitch: Size,
    /// Clearance added: the least that the two classes leave; null: none, or none is known.
    pub(crate) clearance: Option<Size>,
    /// Class of the nut and of the screw; null: none are known.
    pub(crate) classes: Option<[String; 2]>,
    /// Least pitch diameter of the nut: the aim.
    pub(crate) pitch_least: Size,
    /// Greatest pitch diameter of the nut; null: no class is known.
    pub(crate) pitch_greatest: Option<Size>,
}

impl From<&job::ToMate> for ToMate {
    fn from(of: &job::ToMate) -> Self {
        Self {
            screw_pitch: of.mate.into(),
            clearance: of.clearance.map(Size::from),
            classes: of.classes.map(|both| both.map(|class| class.to_string())),
            pitch_least: of.wanted.into(),
            pitch_greatest: of.up_to.map(Size::from),
        }
    }
}

/// How the thread is picked up again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct PickUp {
    /// Whether the half nut stays closed from here to the last pass.
    pub(crate) half_nut_stays_closed: bool,
    /// What the dial is set to when the tool touches both flanks: the infeed so far; null: not known, set
    /// it to 0.
    pub(crate) depth_so_far: Option<Size>,
}

impl From<&job::PickUp> for PickUp {
    fn from(of: &job::PickUp) -> Self {
        Self { half_nut_stays_closed: of.stays_closed, depth_so_far: of.depth.map(Size::from) }
    }
}
