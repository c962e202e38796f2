//! The half nut, and the starts of the work.

use super::size::Size;
use crate::words::dial::Lines;
use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::Lathe;
use solver::dial::{self, DialReading, Repeat};
use solver::job::{Job, Request};
use solver::starts::{self, Shift};

/// Where the half nut closes again.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct HalfNut {
    /// What to do with it.
    pub(crate) advice: Advice,
    /// Why it stays closed; null: it does not.
    pub(crate) why: Option<Why>,
    /// Teeth of the dial gear to use.
    pub(crate) dial_teeth: Option<u16>,
    /// Lines that work for each other, by what is written beside them.
    pub(crate) classes: Vec<Vec<String>>,
    /// For work of several starts: of the classes after the first, those that drop into another start.
    pub(crate) other_starts: Vec<usize>,
    /// Lines at which the nut does not close.
    pub(crate) blind: Vec<String>,
    /// Pitches of the lead screw until nut and work meet again; null where they never do, or it is
    /// not known.
    pub(crate) pitches: Option<String>,
    /// How far the carriage travels in that.
    pub(crate) distance: Option<Size>,
    /// How the tool gets back with the nut closed.
    pub(crate) back: WayBack,
}

/// What to do with the half nut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Advice {
    /// Close it anywhere.
    Anywhere,
    /// Close it on some lines of a thread dial.
    Lines,
    /// Keep it closed.
    KeepClosed,
}

/// Why the half nut stays closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Why {
    /// There is no thread dial.
    NoDial,
    /// No thread dial meets the thread again.
    NoDialWorks,
    /// Lead screw and work never meet again.
    Never,
    /// What the lead screw is, is not known.
    UnknownScrew,
    /// There is no half nut.
    NoHalfNut,
}

/// How the tool gets back with the nut closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum WayBack {
    /// The motor is reversed.
    Motor,
    /// The spindle is turned by hand.
    ByHand,
    /// The lathe file does not say whether the motor can be reversed.
    Unknown,
}

/// How the next start is reached.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct NextStart {
    /// Their number.
    pub(crate) number: u8,
    /// From one start to the next.
    pub(crate) pitch: Size,
    /// One way, never two together: the easiest that this lathe can.
    pub(crate) method: Method,
    /// Lines of the thread dial for each start; none where they don't lead into every start.
    pub(crate) lines: Vec<Vec<String>>,
    /// How far the carriage is moved, half nut open and spindle at rest; null where that leads into no other
    /// start.
    pub(crate) carriage: Option<Size>,
    /// Degrees that the work is turned on in a faceplate.
    pub(crate) faceplate_degrees: f64,
    /// By how much the widest and the narrowest ridge may differ along the axis, in mm; null where no class is
    /// known, for a nut and a taper.
    pub(crate) ridges_differ_mm: Option<f64>,
    /// How far a start may be out of its place, in mm; null as `ridges_differ_mm`.
    pub(crate) index_error_mm: Option<f64>,
    /// The driving gear.
    pub(crate) gear: Option<u16>,
    /// Teeth that it moves on against its neighbour.
    pub(crate) teeth: Option<String>,
    /// Turns of the spindle meanwhile, exact.
    pub(crate) spindle_turns: Option<String>,
    /// Starts in the order in which repeated moves reach them, from 0.
    pub(crate) order: Vec<u8>,
}

/// How the next start is reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Method {
    /// The half nut closes on other lines of the thread dial.
    ThreadDial,
    /// The carriage is moved, half nut open and spindle at rest.
    Carriage,
    /// The driving gear is moved in its mesh.
    DrivingGear,
    /// The top slide is moved.
    TopSlide,
}

impl HalfNut {
    pub(super) fn of(lathe: &Lathe, plan: &dial::HalfNut) -> Self {
        let (advice, why, reading) = match plan.advice() {
            dial::Advice::Anywhere => (Advice::Anywhere, None, None),
            dial::Advice::Lines(reading) => (Advice::Lines, None, Some(reading)),
            dial::Advice::KeepClosed(why) => (Advice::KeepClosed, Why::of(why), None),
            _ => (Advice::KeepClosed, None, None),
        };
        let names = reading.map(|reading| (reading, Lines::of(lathe, reading)));
        let classes = |(reading, names): &(&DialReading, Lines)| {
            reading.classes().iter().map(|class| names.class(class)).collect()
        };
        let blind = |(reading, names): &(&DialReading, Lines)| {
            reading.blind().iter().map(|index| names.name(*index)).collect()
        };
        let repeat = plan.repeat();
        Self {
            advice,
            why,
            dial_teeth: reading.map(DialReading::teeth),
            classes: names.as_ref().map(classes).unwrap_or_default(),
            other_starts: reading.map(DialReading::other_starts).unwrap_or_default(),
            blind: names.as_ref().map(blind).unwrap_or_default(),
            pitches: repeat.map(|repeat| repeat.pitches().to_string()),
            distance: repeat.map(Repeat::distance).and_then(Result::ok).map(Size::from),
            back: match plan.back {
                dial::Back::Motor => WayBack::Motor,
                dial::Back::Crank => WayBack::ByHand,
                dial::Back::Unknown => WayBack::Unknown,
            },
        }
    }
}

impl Why {
    const fn of(why: dial::Why) -> Option<Self> {
        Some(match why {
            dial::Why::NoDial => Self::NoDial,
            dial::Why::NoDialWorks => Self::NoDialWorks,
            dial::Why::Never => Self::Never,
            dial::Why::UnknownScrew => Self::UnknownScrew,
            dial::Why::NoHalfNut => Self::NoHalfNut,
            _ => return None,
        })
    }
}

impl NextStart {
    pub(super) fn of(asked: &Request<'_>, job: &Job) -> Option<Self> {
        let plan = job.starts.as_ref()?;
        let shift = plan.shift.as_ref().ok();
        let millionths = |mm: f64| rounded(mm, 6);
        Some(Self {
            number: plan.starts,
            pitch: plan.pitch.into(),
            method: match plan.method() {
                starts::Method::Lines(_) => Method::ThreadDial,
                starts::Method::Carriage(_) => Method::Carriage,
                starts::Method::Shift(_) => Method::DrivingGear,
                _ => Method::TopSlide,
            },
            lines: lines(asked, job).unwrap_or_default(),
            carriage: plan.carriage.map(|carriage| carriage.distance.into()),
            faceplate_degrees: millionths(360.0 / f64::from(plan.starts)),
            ridges_differ_mm: job.ridges.and_then(|of| of.differ_mm).map(millionths),
            index_error_mm: job.ridges.and_then(|of| of.index_mm).map(millionths),
            gear: shift.map(|shift| shift.gear().get()),
            teeth: shift.map(|shift| shift.teeth().to_string()),
            spindle_turns: shift.map(|shift| shift.spindle_turns().to_string()),
            order: shift.map_or_else(|| (0..plan.starts).collect(), Shift::order),
        })
    }
}

/// Lines of the dial in use, start by start.
fn lines(asked: &Request<'_>, job: &Job) -> Option<Vec<Vec<String>>> {
    let dial::Advice::Lines(reading) = job.nut.as_ref()?.advice() else { return None };
    let names = Lines::of(asked.lathe, reading);
    let classes = job.starts.as_ref()?.lines.as_ref()?.iter();
    Some(classes.filter_map(|class| Some(names.class(reading.classes().get(*class)?))).collect())
}
