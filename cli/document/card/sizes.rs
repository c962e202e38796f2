//! Diameters and wires.

use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting::{Cut, Measure, Tapered};
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
    /// A gear-tooth caliper on a worm, or on several starts with flat crests; null for others.
    pub(crate) tooth: Option<Tooth>,
    /// The wheel of a worm; null for others.
    pub(crate) wheel: Option<Wheel>,
}

/// A gear-tooth caliper on a ridge.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Tooth {
    /// Its height, from the crest.
    pub(crate) height: Size,
    /// What it reads, square across the ridge.
    pub(crate) across: Size,
}

/// The wheel that a worm drives, shafts square.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Wheel {
    /// Module in its own plane (transverse), which is the axial one of the worm, in mm.
    pub(crate) module: String,
    /// Pressure angle in the axial plane of the worm, in degrees, exact.
    pub(crate) pressure_angle: String,
    /// How far its teeth lean, in degrees, of the hand of the worm.
    pub(crate) helix_degrees: f64,
    /// Axial module to gear for where the wheel was cut with a cutter of `module`.
    pub(crate) axial_module_for_cutter: f64,
}

/// A taper thread.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Taper {
    /// How much the diameter grows along the axis, exact.
    pub(crate) on_diameter: String,
    /// Half angle of the cone.
    pub(crate) half_angle_degrees: f64,
    /// Major, pitch and minor diameter at the small end; in a nut, a gauge length inside.
    pub(crate) small_end: [Size; 3],
    /// From the small end to the gauge plane (L1 of ASME B1.20.1), which is the face of a nut; of a taper that
    /// was stated, to its large end.
    pub(crate) gauge_length: Size,
    /// Turns in the gauge length: how far a gauge goes on by hand; null for a worm.
    pub(crate) turns_to_gauge: Option<f64>,
    /// Effective thread, L2 of ASME B1.20.1; null for other standards.
    pub(crate) effective_length: Option<Size>,
    /// With the tool's run-out, L4 of ASME B1.20.1; null for other standards.
    pub(crate) whole_length: Option<Size>,
    /// From the small end to where the cone reaches the outside of the pipe: crests are whole up to there; null
    /// for other standards.
    pub(crate) crest_length: Option<Size>,
    /// How far the attachment is set aside in 100 mm, in mm.
    pub(crate) attachment_mm_in_100: f64,
    /// What a tailstock set over instead would make of the lead along the axis, in ppm.
    pub(crate) tailstock_set_over_ppm: f64,
    /// How far the tailstock would be set over; null where no length between centres was stated (--centres).
    pub(crate) tailstock_set_over: Option<Size>,
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
            taper: sizes.taper.as_ref().map(|taper| Taper::of(taper, job)),
            tooth: job
                .tooth
                .map(|tooth| Tooth { height: tooth.height.into(), across: tooth.across.into() }),
            wheel: job.cut.and_then(|cut| Wheel::of(&cut, sizes)),
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

impl Wheel {
    fn of(cut: &Cut, sizes: &job::Sizes) -> Option<Self> {
        let (module, normal) = sizes.worm.as_ref()?;
        Some(Self {
            module: module.mm().to_string(),
            pressure_angle: cut.form().half_angle().to_string(),
            helix_degrees: rounded(cut.lead_angle(&sizes.basic.pitch), 6),
            axial_module_for_cutter: rounded(normal.axial.mm(), 6),
        })
    }
}

impl Taper {
    fn of(of: &Tapered, job: &Job) -> Self {
        let (small_end, american) = (&of.small_end, of.american);
        let on_diameter = of.cone.on_diameter();
        Self {
            on_diameter: on_diameter.to_string(),
            half_angle_degrees: rounded(of.cone.half_angle(), 6),
            small_end: [small_end.major, small_end.pitch, small_end.minor].map(Size::from),
            gauge_length: of.gauge_length.into(),
            turns_to_gauge: of.turns.map(|turns| rounded(turns.to_f64(), 6)),
            effective_length: american.map(|of| of.effective.into()),
            whole_length: american.map(|of| of.whole.into()),
            crest_length: american.map(|of| of.crests.into()),
            attachment_mm_in_100: rounded(100.0 * on_diameter.to_f64() / 2.0, 6),
            tailstock_set_over_ppm: rounded(of.cone.set_over_ppm(), 1),
            tailstock_set_over: job.set_over.map(|set_over| set_over.aside.into()),
        }
    }
}
