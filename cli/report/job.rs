//! The JSON document that `card` writes: documented here, stable, keys only added within `format` 1.
//!
//! A section that does not apply is null: a feed has no dial, a worm no class.

use crate::document::find::Solution;
use crate::document::lead::Target;
use crate::document::set_up::Named;
use schemars::JsonSchema;
use serde::Serialize;

/// Version of the document.
pub(crate) const FORMAT: u8 = 1;

/// What `trainwright card --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version of this document: 1.
    pub(crate) format: u8,
    /// Name of the lathe.
    pub(crate) lathe: String,
    /// Where the lathe came from.
    pub(crate) lathe_from: String,
    /// What was asked.
    pub(crate) target: Target,
    /// The card; null where there is no train for it, which is exit code 1.
    pub(crate) card: Option<Card>,
    /// Why there is none, as sentences.
    pub(crate) reasons: Vec<String>,
}

/// The job, in the order of the work.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Card {
    /// The train with its levers and its fit.
    pub(crate) solution: Solution,
    /// What is turned or bored first; null where no diameter is known, for a taper and for a feed.
    pub(crate) blank: Option<Blank>,
    /// From the fitted set-up to this one; null where the lathe file names none.
    pub(crate) change: Option<Change>,
    /// Which way the carriage runs with the spindle forward: `headstock`, `tailstock`; null where it
    /// is not known, and for a feed.
    pub(crate) carriage: Option<&'static str>,
    /// What turning the spindle by hand shows.
    pub(crate) by_hand: ByHand,
    /// What the scratch pass measures.
    pub(crate) scratch: Option<Scratch>,
    /// Where the half nut closes again.
    pub(crate) half_nut: Option<HalfNut>,
    /// How the next start is reached; null for a single start.
    pub(crate) starts: Option<NextStart>,
    /// Tool and depth of cut; null where the form is not known.
    pub(crate) tool: Option<Tooling>,
    /// Diameters and wires; null where no diameter is known.
    pub(crate) sizes: Option<Sizes>,
    /// What the error of the lead comes to; null for a feed.
    pub(crate) error: Option<Error>,
    /// Speed of the carriage; null for a feed.
    pub(crate) speed: Option<Speed>,
    /// Finish of a feed; null for a thread.
    pub(crate) feed: Option<Feed>,
    /// Back to the fitted set-up; null where the lathe file names none.
    pub(crate) back: Option<Back>,
}

/// A length both ways.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Size {
    /// In mm, rounded to a millionth.
    pub(crate) mm: f64,
    /// In inches, rounded to a ten-millionth.
    pub(crate) inches: f64,
    /// In mm, exact: `381/2`, or `1 pi`; null where a root or an angle is in it.
    pub(crate) exact_mm: Option<String>,
}

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
    /// `first`, `stud 1`, `last`.
    pub(crate) shaft: String,
    /// Teeth of the gear that it is joined to for good: the two are moved as one; null: a loose gear.
    pub(crate) joined_to: Option<u16>,
}

/// What turning the spindle by hand shows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct ByHand {
    /// Turns of the spindle.
    pub(crate) turns: u32,
    /// How far the slide goes in them.
    pub(crate) travel: Size,
    /// Turns of the spindle for one of the lead screw, exact; null where that is not known.
    pub(crate) turns_for_one_of_the_screw: Option<String>,
}

/// What the scratch pass measures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Scratch {
    /// From one groove to the one so many further on.
    pub(crate) grooves: u32,
    /// What that measures.
    pub(crate) length: Size,
    /// What it would measure if the gearing were wrong.
    pub(crate) slips: Vec<Slip>,
}

/// A way in which the gearing may be wrong.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Slip {
    /// What the lead would be multiplied by, exact; 1 where only the hand is another.
    pub(crate) factor: String,
    /// The hand that would be cut; null where it is not known.
    pub(crate) hand: Option<String>,
    /// What as many grooves would measure.
    pub(crate) length: Size,
    /// What went wrong, in words.
    pub(crate) what: String,
    /// A known thread that it would be taken for.
    pub(crate) looks_like: Option<String>,
}

/// Where the half nut closes again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct HalfNut {
    /// `anywhere`; `lines`; `keep closed`.
    pub(crate) advice: &'static str,
    /// Why it stays closed: `no dial`, `no dial serves`, `never`, `unknown screw`, `no half nut`.
    pub(crate) why: Option<&'static str>,
    /// Teeth of the dial gear to use.
    pub(crate) dial_teeth: Option<u16>,
    /// Lines that serve each other, by what is written beside them.
    pub(crate) classes: Vec<Vec<String>>,
    /// For work of several starts: of the classes after the first, those that drop into another start.
    pub(crate) other_starts: Vec<usize>,
    /// Lines at which the nut does not close.
    pub(crate) blind: Vec<String>,
    /// Pitches of the lead screw until nut and work come round; null where they never do, or it is
    /// not known.
    pub(crate) pitches: Option<String>,
    /// How far the carriage travels in that.
    pub(crate) distance: Option<Size>,
    /// `motor`, `by hand`, or `unknown` where the lathe does not say: how the tool gets back with the nut closed.
    pub(crate) back: &'static str,
}

/// How the next start is reached.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct NextStart {
    /// Their number.
    pub(crate) number: u8,
    /// From groove to groove.
    pub(crate) pitch: Size,
    /// `first gear` or `top slide`: one of them, never both.
    pub(crate) method: &'static str,
    /// The first gear.
    pub(crate) gear: Option<u16>,
    /// Teeth that it moves on against its neighbour.
    pub(crate) teeth: Option<String>,
    /// Turns of the spindle meanwhile, exact.
    pub(crate) spindle_turns: Option<String>,
    /// Starts in the order in which repeated moves reach them, from 0.
    pub(crate) order: Vec<u8>,
}

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
pub(crate) enum Root {
    /// That of the form.
    #[serde(rename = "of the form")]
    OfTheForm,
    /// Deeper: the work is weaker there.
    #[serde(rename = "deeper")]
    Deeper,
    /// Too shallow: the mate binds on its crest.
    #[serde(rename = "too shallow")]
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

/// Tool and depth of cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[expect(clippy::struct_excessive_bools, reason = "each is a key of its own in the document")]
pub(crate) struct Tooling {
    /// Included angle in degrees, exact; null for a round groove.
    pub(crate) included_angle: Option<String>,
    /// Whether the form was assumed, since only a pitch was named.
    pub(crate) form_assumed: bool,
    /// The end of the tool: `nose`, `flat` or `point`, as it is or as the form wants it.
    pub(crate) tip: &'static str,
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
    /// Feeding in moves the tool toward the `headstock` or the `tailstock`.
    pub(crate) toward: &'static str,
    /// Travel along it for the whole depth.
    pub(crate) travel: Size,
    /// Travel after each pass, in mm.
    pub(crate) passes_mm: Vec<f64>,
}

/// Diameters and wires.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Sizes {
    /// `screw` or `nut`.
    pub(crate) part: &'static str,
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

/// What the error of the lead comes to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Error {
    /// Length over which it is reckoned.
    pub(crate) over: Size,
    /// `stated`, `group N`, `diameter`, `unnamed`: where that length comes from.
    pub(crate) over_is: &'static str,
    /// Along the axis, in mm; plus: longer than asked.
    pub(crate) along_mm: f64,
    /// What it takes on the pitch diameter, in mm; null where the flank angle is not known.
    pub(crate) on_diameter_mm: Option<f64>,
    /// Tolerance of the pitch diameter; null where no class is known.
    pub(crate) tolerance: Option<Size>,
    /// What part of it that is.
    pub(crate) share: Option<f64>,
}

/// Speed of the carriage.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Speed {
    /// Width of the undercut that the thread ends in.
    pub(crate) groove: Size,
    /// Whether it was stated; else it is assumed.
    pub(crate) groove_stated: bool,
    /// Where it comes from: `stated`; `DIN 76-1`, the least width of that standard for the pitch; `1.5
    /// pitches`.
    pub(crate) groove_from: &'static str,
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

/// A spindle speed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Pace {
    /// Turns a minute.
    pub(crate) rpm: u32,
    /// Speed of the carriage.
    pub(crate) mm_per_s: f64,
    /// Time in the undercut.
    pub(crate) groove_s: f64,
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

/// Back to the fitted set-up.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Back {
    /// The gears.
    pub(crate) change: Change,
    /// Lever names with the positions of the fitted set-up.
    pub(crate) levers: Named,
    /// Position of the headstock in the fitted set-up; null where that is not known.
    pub(crate) headstock: Option<String>,
    /// Position of the tumbler in the fitted set-up; null where that is not known.
    pub(crate) tumbler: Option<String>,
    /// What the job sets of which the lathe file does not say how it was: to be noted before.
    pub(crate) as_noted: Vec<String>,
    /// What it gives then, in words.
    pub(crate) restores: Vec<String>,
}
