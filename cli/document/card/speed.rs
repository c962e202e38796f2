//! What the error of the lead comes to, speeds, and the finish of a feed.

use super::size::Size;
use crate::document::set_up::Named;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job::{self, Basis, Time, WidthSource};
use solver::tolerance::LengthBasis;
use solver::{Lathe, Lead};

/// What the error of the lead comes to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Error {
    /// Length over which it is reckoned.
    pub(crate) over: Size,
    /// Where that length comes from.
    pub(crate) over_is: OverIs,
    /// Along the axis, in mm; plus: longer than asked.
    pub(crate) along_mm: f64,
    /// What it takes on the pitch diameter, in mm; null where the flank angle is not known.
    pub(crate) on_diameter_mm: Option<f64>,
    /// Tolerance of the pitch diameter; null where no class is known.
    pub(crate) tolerance: Option<Size>,
    /// What part of it that is.
    pub(crate) share: Option<f64>,
}

/// Where a length comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum OverIs {
    /// It was stated.
    Stated,
    /// The upper end of the normal lengths of engagement.
    GroupN,
    /// One diameter.
    Diameter,
    /// Nine pitches.
    NinePitches,
    /// Assumed: nothing is known of the thread.
    Unnamed,
}

/// Speed of the carriage.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Speed {
    /// Width of the undercut that the thread ends in.
    pub(crate) undercut: Size,
    /// Whether its width was stated; else it is a standard's, or assumed.
    pub(crate) undercut_stated: bool,
    /// Where it comes from.
    pub(crate) undercut_from: UndercutFrom,
    /// Seconds that a person takes to act, exact.
    pub(crate) reaction_s: String,
    /// Seconds that the spindle coasts, exact.
    pub(crate) coasting_s: String,
    /// The speed at which they just suffice, rounded down.
    pub(crate) enough_time_rpm: u32,
    /// The same without coasting: the half nut is opened at the end of a pass, and the carriage stops
    /// there. Null: it stays closed.
    pub(crate) nut_opened_rpm: Option<u32>,
    /// The fastest of the lathe's own speeds at which they suffice; null: none, or not known.
    pub(crate) fastest_rpm: Option<u32>,
    /// Some speeds.
    pub(crate) at: Vec<Pace>,
    /// Whether the lead screw turns faster than the spindle.
    pub(crate) screw_outruns_spindle: bool,
}

/// Where the width of the undercut comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum UndercutFrom {
    /// It was stated.
    Stated,
    /// The least width of DIN 76-1 for the pitch.
    #[serde(rename = "din_76_1")]
    Din761,
    /// The least width of its short undercut.
    #[serde(rename = "din_76_1_short")]
    Din761Short,
    /// 1.5 pitches.
    Pitches,
    /// No undercut: the run-out of a taper pipe thread, L4 less L2 of ASME B1.20.1.
    RunOut,
}

/// A spindle speed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Pace {
    /// Turns a minute.
    pub(crate) rpm: u32,
    /// Speed of the carriage.
    pub(crate) mm_per_s: f64,
    /// Time in the undercut.
    pub(crate) undercut_s: f64,
    /// Whether that is time enough to act and to coast.
    pub(crate) enough: bool,
}

/// Finish of a feed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Feed {
    /// Travel for one turn of the spindle.
    pub(crate) travel: Size,
    /// Nose radius, and the height of the ridges that it leaves.
    pub(crate) finish: Vec<Finish>,
    /// The roughness that was asked for; null: a feed was.
    pub(crate) wanted: Option<Smooth>,
    /// The finest feed that the gears can give in this direction.
    pub(crate) finest: Option<Finest>,
}

/// What a nose leaves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Finish {
    /// Radius of the nose.
    pub(crate) nose: Size,
    /// Height of the ridges in micrometres; null where the feed is too coarse for the nose.
    pub(crate) ridges_um: Option<f64>,
    /// Ra of the ridges in micrometres, by theory; null as they are.
    pub(crate) ra_um: Option<f64>,
}

/// A roughness in place of a feed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Smooth {
    /// Ra that was asked for, in micrometres.
    pub(crate) ra_um: f64,
    /// The coarsest feed that leaves it, by theory.
    pub(crate) limit: Size,
    /// The coarsest up to that with the gears that are on the lathe; null: none.
    pub(crate) without_gears: Option<Size>,
}

/// The finest feed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Finest {
    /// Travel for one turn of the spindle.
    pub(crate) travel: Size,
    /// The train.
    pub(crate) train: String,
    /// Lever names with their positions.
    pub(crate) levers: Named,
}

impl From<&job::ErrorOverLength> for Error {
    fn from(adds_up: &job::ErrorOverLength) -> Self {
        Self {
            over: adds_up.over.into(),
            over_is: match adds_up.basis {
                Basis::Stated => OverIs::Stated,
                Basis::Usual(LengthBasis::GroupN) => OverIs::GroupN,
                Basis::Usual(LengthBasis::Diameter) => OverIs::Diameter,
                Basis::Usual(LengthBasis::NinePitches) => OverIs::NinePitches,
                Basis::Usual(_) => OverIs::Unnamed,
            },
            along_mm: rounded(adds_up.along_mm, 7),
            on_diameter_mm: adds_up.on_diameter_mm.map(|mm| rounded(mm, 7)),
            tolerance: adds_up.tolerance.map(Size::from),
            share: adds_up.share.map(|share| rounded(share, 7)),
        }
    }
}

impl From<WidthSource> for UndercutFrom {
    fn from(source: WidthSource) -> Self {
        match source {
            WidthSource::Stated => Self::Stated,
            WidthSource::Din76 => Self::Din761,
            WidthSource::Din76Short => Self::Din761Short,
            WidthSource::Pitches => Self::Pitches,
            WidthSource::RunOut => Self::RunOut,
        }
    }
}

impl From<&job::Speed> for Speed {
    fn from(speed: &job::Speed) -> Self {
        Self {
            undercut: speed.undercut.into(),
            undercut_stated: speed.undercut_is == WidthSource::Stated,
            undercut_from: speed.undercut_is.into(),
            reaction_s: speed.reaction.to_string(),
            coasting_s: speed.coasting.map_or_else(|| "0".to_string(), |of| of.to_string()),
            enough_time_rpm: speed.enough_rpm,
            nut_opened_rpm: speed.nut_opened_rpm,
            fastest_rpm: speed.fastest_rpm,
            at: speed.at.iter().map(Pace::from).collect(),
            screw_outruns_spindle: speed.screw_outruns_spindle,
        }
    }
}

impl From<&job::SpeedCheck> for Pace {
    fn from(pace: &job::SpeedCheck) -> Self {
        Self {
            rpm: pace.rpm,
            mm_per_s: rounded(pace.mm_per_s, 6),
            undercut_s: rounded(pace.undercut_s, 6),
            enough: pace.time == Time::ToStop,
        }
    }
}

impl Feed {
    pub(super) fn of(lathe: &Lathe, travel: Lead, feed: &job::Feed) -> Self {
        let finish = |finish: &job::Finish| Finish {
            nose: finish.nose.into(),
            ridges_um: finish.ridges_um().map(|um| rounded(um, 6)),
            ra_um: finish.roughness_um().map(|um| rounded(um, 6)),
        };
        let finest = |finest: &job::Finest| Finest {
            travel: finest.travel.into(),
            train: finest.train.to_string(),
            levers: Named::levers(lathe, &finest.setting),
        };
        Self {
            travel: travel.into(),
            finish: feed.finish.iter().map(finish).collect(),
            wanted: feed.wanted.as_ref().map(|wanted| Smooth {
                ra_um: rounded(wanted.ra.mm().to_f64() * 1000.0, 6),
                limit: wanted.limit.into(),
                without_gears: wanted.by_levers.as_ref().map(|(feed, _)| (*feed).into()),
            }),
            finest: feed.finest.as_ref().map(finest),
        }
    }
}
