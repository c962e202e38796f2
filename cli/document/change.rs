//! Gears that come off, go on, or change their plane.

use schemars::JsonSchema;
use serde::Serialize;
use solver::{GearAt, GearChange, OnShaft, Teeth};

/// Gears that come off, go on, or change their plane.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Change {
    /// The set-up before.
    pub(crate) from: String,
    /// The set-up after.
    pub(crate) to: String,
    /// Gears taken off.
    pub(crate) off: Vec<Placed>,
    /// Gears put on.
    pub(crate) on: Vec<Placed>,
    /// Gears that stay on their shaft and change the plane.
    pub(crate) shifted: Vec<Placed>,
}

/// A gear on a shaft.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Placed {
    /// Its teeth.
    pub(crate) teeth: u16,
    /// Its shaft.
    pub(crate) shaft: Shaft,
    /// Teeth of the gear that it is joined to for good: the two are moved as one; null: a loose gear.
    pub(crate) joined_to: Option<u16>,
}

/// A shaft of the train.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) enum Shaft {
    /// The driving shaft.
    #[serde(rename = "driving")]
    First,
    /// The stud nearest to it along the power path.
    #[serde(rename = "stud_1")]
    Stud1,
    /// The stud after that.
    #[serde(rename = "stud_2")]
    Stud2,
    /// The third stud.
    #[serde(rename = "stud_3")]
    Stud3,
    /// The lead screw or the gearbox shaft.
    #[serde(rename = "driven")]
    Last,
}

impl From<&GearChange> for Change {
    fn from(change: &GearChange) -> Self {
        let placed = |gears: &[GearAt]| gears.iter().map(Placed::from).collect();
        Self {
            from: change.from.to_string(),
            to: change.to.to_string(),
            off: placed(&change.off),
            on: placed(&change.on),
            shifted: placed(&change.shifted),
        }
    }
}

impl From<&GearAt> for Placed {
    fn from(gear: &GearAt) -> Self {
        Self {
            teeth: gear.teeth.get(),
            shaft: match gear.shaft {
                OnShaft::First => Shaft::First,
                OnShaft::Stud1 => Shaft::Stud1,
                OnShaft::Stud2 => Shaft::Stud2,
                OnShaft::Stud3 => Shaft::Stud3,
                OnShaft::Last => Shaft::Last,
            },
            joined_to: gear.partner.map(Teeth::get),
        }
    }
}
