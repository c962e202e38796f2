//! Blank, tool, depth and passes.

use super::end::End;
use super::size::Size;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::Ratio;
use solver::cutting::{self, SPRING_PASSES};
use solver::job::{self, Groove, Job, Request, Tool};

/// The work before the thread is cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Blank {
    /// Outside diameter of a screw, bore of a nut: the depth of cut counts from there.
    pub(crate) across: Size,
    /// Whether it was measured; else it is the middle of the class, or the basic size.
    pub(crate) measured: bool,
    /// Least and greatest of the class; null where no class is known.
    pub(crate) allowed: Option<[Size; 2]>,
    /// Where it lies in its class; null where no class is known.
    pub(crate) in_class: Option<Against>,
}

/// A diameter against its class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Against {
    /// Smaller than allowed.
    Under,
    /// As allowed.
    Within,
    /// Larger than allowed.
    Over,
}

/// The root that the tool leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Root {
    /// That of the form.
    OfTheForm,
    /// Deeper: the work is weaker there.
    Deeper,
    /// Too shallow: the mate binds on its crest.
    TooShallow,
}

/// Pitch diameter that the depth of cut leads to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Aim {
    /// The diameter.
    pub(crate) pitch: Size,
    /// Whether it is the middle of the class; else the basic size.
    pub(crate) middle_of_class: bool,
}

/// Passes of a groove that is too wide for one tool.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Slot {
    /// Flat of the narrower tool, of the same included angle, that cuts `passes_mm` in the middle.
    pub(crate) flat: Size,
    /// Then at full depth: distance from the middle after each pass, in mm, to one flank and as far to
    /// the other.
    pub(crate) shifts_mm: Vec<f64>,
}

/// The end of a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Tip {
    /// Rounded.
    Nose,
    /// A flat.
    Flat,
    /// A sharp point.
    Point,
}

/// Tool and depth of cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[expect(clippy::struct_excessive_bools, reason = "each is a key of its own in the document")]
pub(crate) struct Tooling {
    /// Included angle in degrees, exact; null for a round groove.
    pub(crate) included_angle: Option<String>,
    /// Whether the form was assumed, since only a pitch was named.
    pub(crate) form_assumed: bool,
    /// The end of the tool, as it is or as the form wants it.
    pub(crate) tip: Tip,
    /// Radius of the nose, or width of the flat; null for a sharp point.
    pub(crate) tip_size: Option<Size>,
    /// Whether the tip was stated; else it is that of the form.
    pub(crate) tip_stated: bool,
    /// From the surface of the blank, square to the axis.
    pub(crate) depth: Size,
    /// Whether the depth was stated; else it leads to `aim`, or is that of the basic form.
    pub(crate) depth_stated: bool,
    /// The depth of a tool ground for the form; null for a round groove.
    pub(crate) form_depth: Option<Size>,
    /// What the depth leads to; null where no diameter is known or the depth was stated.
    pub(crate) aim: Option<Aim>,
    /// Depth after each pass, in mm; of the narrower tool where there is a `slot`.
    pub(crate) passes_mm: Vec<f64>,
    /// Whether all passes take off the same area; else the last ones go down evenly.
    pub(crate) equal_chips: bool,
    /// Whether the first pass is deeper than 0.25 mm (0.010 in).
    pub(crate) first_is_deep: bool,
    /// Whether the last pass is thinner than 0.02 mm.
    pub(crate) last_is_thin: bool,
    /// Passes at the last reading, without infeed.
    pub(crate) spring_passes: u32,
    /// How a groove is widened that is too wide for one tool; null for others.
    pub(crate) slot: Option<Slot>,
    /// The root that this tool leaves; null for a round groove.
    pub(crate) root: Option<Root>,
    /// Diameter at the bottom of the groove; null where no diameter is known.
    pub(crate) root_diameter: Option<Size>,
    /// The top slide for angled infeed; null where it is parallel to the bed for the starts or for a `slot`,
    /// and for a round groove.
    pub(crate) slide: Option<TopSlide>,
    /// Degrees that the thread leans, at the pitch diameter; null where that is not known.
    pub(crate) lead_angle: Option<f64>,
    /// How much the diameter grows along the axis, exact; null for parallel threads.
    pub(crate) taper: Option<String>,
}

/// The top slide.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct TopSlide {
    /// Degrees from the direction of the cross slide, exact.
    pub(crate) from_cross_slide: String,
    /// Degrees from the direction of the bed, exact.
    pub(crate) from_bed: String,
    /// Feeding in moves the tool there.
    pub(crate) toward: End,
    /// Travel along it for the whole depth.
    pub(crate) travel: Size,
    /// Travel after each pass, in mm.
    pub(crate) passes_mm: Vec<f64>,
}

impl From<&cutting::Blank> for Blank {
    fn from(blank: &cutting::Blank) -> Self {
        Self {
            across: blank.across().into(),
            measured: blank.is_measured(),
            allowed: blank.allowed().map(|both| both.map(Size::from)),
            in_class: blank.against_class().map(|against| match against {
                cutting::Against::Under => Against::Under,
                cutting::Against::Within => Against::Within,
                cutting::Against::Over => Against::Over,
            }),
        }
    }
}

impl From<job::Root> for Root {
    fn from(root: job::Root) -> Self {
        match root {
            job::Root::OfTheForm => Self::OfTheForm,
            job::Root::Deeper => Self::Deeper,
            job::Root::TooShallow => Self::TooShallow,
        }
    }
}

impl Tooling {
    pub(super) fn of(asked: &Request<'_>, job: &Job) -> Option<Self> {
        let (groove, work) = (job.groove.as_ref()?, &asked.work);
        let (tip, tip_size) = match groove.tool {
            Tool::Nose(radius) => (Tip::Nose, Some(radius)),
            Tool::Flat(width) => (Tip::Flat, Some(width)),
            Tool::Point => (Tip::Point, None),
        };
        let angle =
            job.cut.and_then(|cut| cut.form().half_angle().times(&Ratio::whole(2).ok()?).ok());
        Some(Self {
            included_angle: angle.map(|angle| angle.to_string()),
            form_assumed: job.cut.is_some_and(|cut| cut.is_form_assumed()),
            tip,
            tip_size: tip_size.map(Size::from),
            tip_stated: work.tip != cutting::Tip::Form,
            depth: groove.depth.into(),
            depth_stated: work.depth.is_some(),
            form_depth: groove.of_form.map(|depth| depth.form.into()),
            aim: groove.aim(work).map(|blank| Aim {
                pitch: blank.pitch().into(),
                middle_of_class: blank.is_of_class(),
            }),
            passes_mm: all(&groove.passes.marks),
            equal_chips: groove.passes.are_equal,
            first_is_deep: groove.passes.is_first_deep,
            last_is_thin: groove.passes.is_last_thin,
            spring_passes: SPRING_PASSES,
            slot: groove
                .slot
                .as_ref()
                .map(|slot| Slot { flat: slot.flat.into(), shifts_mm: all(&slot.shifts) }),
            root: groove.root().map(Root::from),
            root_diameter: groove.root_mm.map(Size::from),
            slide: TopSlide::of(groove),
            lead_angle: groove.lead_angle.map(|angle| rounded(angle, 6)),
            taper: job.cut.and_then(|cut| cut.taper()).map(|taper| taper.to_string()),
        })
    }
}

impl TopSlide {
    fn of(groove: &Groove) -> Option<Self> {
        let slide = groove.slide?;
        Some(Self {
            from_cross_slide: slide.from_cross_slide.to_string(),
            from_bed: slide.from_bed.to_string(),
            toward: slide.along.into(),
            travel: slide.travel.into(),
            passes_mm: all(&groove.slide_marks()),
        })
    }
}

fn all(marks: &[f64]) -> Vec<f64> {
    marks.iter().map(|mark| rounded(*mark, 6)).collect()
}
