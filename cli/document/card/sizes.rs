//! Diameters and wires.

use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting::{Measure, Tapered};
use solver::job::{self, Job, Request};
use solver::tolerance::{Limit, Limits};

/// What is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Part {
    /// A screw.
    Screw,
    /// A nut.
    Nut,
}

/// Diameters and wires.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Sizes {
    /// What is cut.
    pub(crate) part: Part,
    /// Class of the limits; null where none are known.
    pub(crate) class: Option<String>,
    /// Over the crests of a screw, to the roots of a nut.
    pub(crate) major: Diameter,
    /// Where groove and ridge are equally wide.
    pub(crate) pitch: Diameter,
    /// At the roots of a screw, the bore of a nut.
    pub(crate) minor: Diameter,
    /// Three wires; null for a nut and for tapers.
    pub(crate) wires: Option<Wires>,
    /// What a taper has beside these sizes, which are then those of the gauge plane; null for parallel
    /// threads.
    pub(crate) taper: Option<Taper>,
}

/// A taper pipe thread.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Taper {
    /// How much the diameter grows along the axis, exact.
    pub(crate) on_diameter: String,
    /// Half angle of the cone.
    pub(crate) half_angle_degrees: f64,
    /// Major, pitch and minor diameter at the small end; in a nut, a gauge length inside.
    pub(crate) small_end: [Size; 3],
    /// From the small end to the gauge plane (L1 of ASME B1.20.1), which is the face of a nut.
    pub(crate) gauge_length: Size,
    /// Effective thread, L2 of ASME B1.20.1; null for other standards.
    pub(crate) effective_length: Option<Size>,
    /// With the tool's run-out, L4 of ASME B1.20.1; null for other standards.
    pub(crate) whole_length: Option<Size>,
    /// How far the attachment is set aside in 100 mm, in mm.
    pub(crate) attachment_mm_in_100: f64,
    /// What a tailstock set over instead would make of the lead along the axis, in ppm.
    pub(crate) tailstock_set_over_ppm: f64,
}

/// One diameter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Diameter {
    /// Of the form, without any allowance.
    pub(crate) basic: Size,
    /// The least allowed.
    pub(crate) least: Option<Size>,
    /// The greatest allowed.
    pub(crate) greatest: Option<Size>,
}

/// Three wires.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Wires {
    /// The wire that touches on the pitch line.
    pub(crate) best: Size,
    /// The wire that the readings are for: the stated one, else the best.
    pub(crate) wire: Size,
    /// The thinnest and the thickest that will do.
    pub(crate) usable: [Size; 2],
    /// Over them at the basic pitch diameter, the lead angle included.
    pub(crate) over_basic: Size,
    /// The same at the least and the greatest pitch diameter of the class.
    pub(crate) over_limits: Option<[Size; 2]>,
    /// At the basic pitch diameter, the lead angle left out, as tables print it.
    pub(crate) over_basic_without_lead_angle: Size,
    /// What the lead angle adds at the basic pitch diameter, in mm.
    pub(crate) lead_angle_adds_mm: f64,
}

impl Sizes {
    pub(super) fn of(asked: &Request<'_>, job: &Job) -> Option<Self> {
        let sizes = job.sizes.as_ref()?;
        let diameter = |basic: Measure, of: fn(&Limits) -> Limit| {
            let limit = job.limits.as_ref().map(of);
            Diameter {
                basic: basic.into(),
                least: limit.and_then(|limit| limit.least()).map(Size::from),
                greatest: limit.and_then(|limit| limit.greatest()).map(Size::from),
            }
        };
        Some(Self {
            part: if asked.is_nut() { Part::Nut } else { Part::Screw },
            class: job.limits.map(|limits| limits.class().to_string()),
            major: diameter(sizes.basic.major, Limits::major),
            pitch: diameter(sizes.basic.pitch, Limits::pitch),
            minor: diameter(sizes.basic.minor, Limits::minor),
            wires: sizes.wires.as_ref().map(Wires::from),
            taper: sizes.taper.as_ref().map(Taper::from),
        })
    }
}

impl From<&job::WiresOver> for Wires {
    fn from(wires: &job::WiresOver) -> Self {
        Self {
            best: wires.best.into(),
            wire: wires.wire.into(),
            usable: wires.usable.map(Size::from),
            over_basic: wires.basic.over.into(),
            over_limits: wires.limits.map(|both| both.map(Size::from)),
            over_basic_without_lead_angle: wires.basic.flat.into(),
            lead_angle_adds_mm: rounded(wires.basic.lead_adds(), 6),
        }
    }
}

impl From<&Tapered> for Taper {
    fn from(of: &Tapered) -> Self {
        let small_end = &of.small_end;
        Self {
            on_diameter: of.taper().to_string(),
            half_angle_degrees: rounded(of.half_angle(), 6),
            small_end: [small_end.major, small_end.pitch, small_end.minor].map(Size::from),
            gauge_length: of.gauge_length.into(),
            effective_length: of.american.map(|[effective, _]| effective.into()),
            whole_length: of.american.map(|[_, whole]| whole.into()),
            attachment_mm_in_100: rounded(100.0 * of.taper().to_f64() / 2.0, 6),
            tailstock_set_over_ppm: rounded(of.set_over_ppm(), 1),
        }
    }
}
