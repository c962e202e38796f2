//! Between which diameters must this thread lie, and does an error of its lead matter?
//!
//! Limits come from the standard of the series: ISO 965-1 (tables by pitch and diameter), ASME B1.1
//! (formulas with the standard's rounding) and ISO 228-1. Other series have none here: theirs were read
//! in one source only, or not at all.
//!
//! A limit is the basic size ([`Basic`]), moved by the deviation or allowance of the class, less or plus
//! the tolerance; all three are figures of the standard, so that a limit is exact:
//!
//! ```text
//! bolt   major  d  - es,  down to  - Td       nut   minor  D1 + EI,  up to  + TD1
//!        pitch  d2 - es,  down to  - Td2            pitch  D2 + EI,  up to  + TD2
//!        minor  d1 - es   at most                   major  D  + EI   at least
//! ```
//!
//! Knows no plating, no gauges and no classes for long engagement; what has to carry load is for a
//! qualified person and the standard itself.

#![deny(clippy::float_arithmetic)]

use crate::thread::{Series, Sureness};
use crate::{Error, Length, Ratio, Result, Thread};
use basic::less;
use class::{Kind, Metric, Number, Pipe};

mod b1_1;
mod basic;
mod class;
mod drift;
mod engagement;
mod iso228;
mod iso965;

pub use basic::Basic;
pub use class::{Class, Standard};
pub use drift::{Drift, diameter_equivalent, drift};
pub use engagement::{Engagement, Group, LengthBasis, default_length};

impl Standard {
    /// The standard whose limits a series has; `None`: no limits are known here.
    pub fn of(series: &Series) -> Option<Self> {
        match series.key() {
            "metric-coarse" | "metric-fine" => Some(Self::Iso965),
            "unc" | "unf" | "unef" | "un" => Some(Self::AsmeB11),
            "g" => Some(Self::Iso228),
            _ => None,
        }
    }
}

/// The pitch as a length: only worms, which have no limits, have pi in it.
fn pitch(thread: &Thread) -> Length {
    Length::from_mm(thread.pitch().mm())
}

/// The class that is meant if none is said; `None` where no limits are known.
///
/// ```
/// use solver::{thread, tolerance};
/// let of = |name: &str| {
///     let thread = thread::all().find(|t| t.designation() == name).unwrap();
///     tolerance::default_class(&thread, false).map(|class| class.to_string())
/// };
/// assert_eq!(of("M10").as_deref(), Some("6g"));
/// assert_eq!(of("1/2-13 UNC").as_deref(), Some("2A"));
/// assert_eq!(of("1/2 BSW"), None);
/// ```
pub fn default_class(thread: &Thread, internal: bool) -> Option<Class> {
    Standard::of(thread.series()).map(|standard| standard.default_class(internal))
}

/// The least and the greatest that a diameter may be.
///
/// A bolt's minor diameter has a greatest only and a nut's major diameter a least: how deep their roots
/// go is a matter of the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limit {
    least: Option<Length>,
    greatest: Option<Length>,
}

impl Limit {
    /// The least allowed.
    pub const fn least(&self) -> Option<Length> {
        self.least
    }

    /// The greatest allowed.
    pub const fn greatest(&self) -> Option<Length> {
        self.greatest
    }

    const fn at_least(least: Length) -> Self {
        Self { least: Some(least), greatest: None }
    }

    const fn at_most(greatest: Length) -> Self {
        Self { least: None, greatest: Some(greatest) }
    }

    fn down(from: &Length, by: &Ratio) -> Result<Self> {
        let least = Length::from_mm(less(&from.mm(), by)?);
        Ok(Self { least: Some(least), greatest: Some(*from) })
    }

    fn up(from: &Length, by: &Ratio) -> Result<Self> {
        Ok(Self { least: Some(*from), greatest: Some(Length::from_mm(from.mm().plus(by)?)) })
    }
}

/// Limits of the three diameters of a thread, by class.
///
/// ```
/// use solver::thread;
/// use solver::tolerance::Limits;
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// let bolt = Limits::of(&m10, "6g".parse()?)?;
/// assert_eq!(bolt.pitch().greatest(), Some("8.994 mm".parse()?));
/// assert_eq!(bolt.pitch().least(), Some("8.862 mm".parse()?));
/// assert_eq!(bolt.major().greatest(), Some("9.968 mm".parse()?));
///
/// let unc = thread::all().find(|t| t.designation() == "1/4-20 UNC").unwrap();
/// let bolt = Limits::of(&unc, "2A".parse()?)?;
/// assert_eq!(bolt.pitch().greatest().unwrap().inches()?, "0.2164".parse()?);
///
/// let whitworth = thread::all().find(|t| t.designation() == "1/2 BSW").unwrap();
/// assert!(Limits::of(&whitworth, "2A".parse()?).unwrap_err().is_no_such());
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    class: Class,
    major: Limit,
    pitch: Limit,
    minor: Limit,
    tolerance: Length,
    sureness: Sureness,
}

impl Limits {
    /// Of a thread of a table.
    ///
    /// # Errors
    /// If its series has no limits here, the class is of another standard, or the standard has no
    /// figure for that size, pitch and class.
    pub fn of(thread: &Thread, class: Class) -> Result<Self> {
        let standard = Standard::of(thread.series());
        let (Some(standard), Some(diameter)) = (standard, thread.diameter()) else {
            return Err(no_limits(thread));
        };
        if class.standard() != standard {
            return Err(another_standard(thread, class, standard));
        }
        let pitch = pitch(thread);
        match class.0 {
            Kind::Metric(class) => metric(&diameter, &pitch, class),
            Kind::Unified { number, internal } => {
                let engagement = b1_1::engagement(thread, &diameter)?;
                unified(&diameter, &pitch, &engagement, number, internal)
            }
            Kind::Pipe(class) => pipe(&diameter, &pitch, class),
        }
        .map_err(|e| e.context(thread.designation()))
    }

    /// Of an ISO metric or unified profile of any diameter and pitch. A unified thread is taken as held
    /// over 9 pitches, as special diameters are.
    ///
    /// # Errors
    /// If the class is one of pipe threads, or the standard has no figure for it.
    pub fn of_size(diameter: &Length, pitch: &Length, class: Class) -> Result<Self> {
        match class.0 {
            Kind::Metric(class) => metric(diameter, pitch, class),
            Kind::Unified { number, internal } => {
                unified(diameter, pitch, &b1_1::nine_pitches(pitch)?, number, internal)
            }
            Kind::Pipe(_) => Err(Error::conflict("pipe threads have no sizes but those by name")
                .with_hint("G 1/2, or a class of ISO 965-1 or ASME B1.1")),
        }
    }

    /// The class.
    pub const fn class(&self) -> Class {
        self.class
    }

    /// Major diameter: over a bolt's crests, or to a nut's roots.
    pub const fn major(&self) -> Limit {
        self.major
    }

    /// Pitch diameter; both limits are there.
    pub const fn pitch(&self) -> Limit {
        self.pitch
    }

    /// Minor diameter: at a bolt's roots, or the bore of a nut.
    pub const fn minor(&self) -> Limit {
        self.minor
    }

    /// Tolerance of the pitch diameter: greatest less least.
    pub const fn pitch_tolerance(&self) -> Length {
        self.tolerance
    }

    /// How far the tolerance of the pitch diameter can be trusted. Tolerances of the crests and the
    /// metric deviations are from memory throughout, tested against the formulas of their standard.
    pub const fn sureness(&self) -> Sureness {
        self.sureness
    }
}

fn no_limits(thread: &Thread) -> Error {
    let series = thread.series().name();
    Error::no_such(format!("no limits are known here for {thread} ({series})"))
        .with_hint("metric, unified and G threads have them; for others the standard itself")
}

fn another_standard(thread: &Thread, class: Class, standard: Standard) -> Error {
    let names: Vec<String> = [false, true]
        .iter()
        .flat_map(|internal| standard.classes(*internal))
        .map(ToString::to_string)
        .collect();
    let given = class.standard();
    Error::conflict(format!("{class} is a class of {given}; {thread} has those of {standard}"))
        .with_hint(names.join(", "))
}

/// The three tolerances of a class, and how far from the basic size it begins.
struct Figures {
    deviation: Option<Ratio>,
    pitch: Ratio,
    crest: Ratio,
}

/// A bolt lies below the basic profile.
fn bolt(class: Kind, basic: &Basic, figures: &Figures, sureness: Sureness) -> Result<Limits> {
    let begins = |at: Length| match &figures.deviation {
        Some(by) => less(&at.mm(), by).map(Length::from_mm),
        None => Ok(at),
    };
    Ok(Limits {
        class: Class(class),
        major: Limit::down(&begins(basic.major())?, &figures.crest)?,
        pitch: Limit::down(&begins(basic.pitch())?, &figures.pitch)?,
        minor: Limit::at_most(begins(basic.minor())?),
        tolerance: Length::from_mm(figures.pitch),
        sureness,
    })
}

/// A nut lies above the basic profile.
fn nut(class: Kind, basic: &Basic, figures: &Figures, sureness: Sureness) -> Result<Limits> {
    let begins = |at: Length| match &figures.deviation {
        Some(by) => at.mm().plus(by).map(Length::from_mm),
        None => Ok(at),
    };
    Ok(Limits {
        class: Class(class),
        major: Limit::at_least(begins(basic.major())?),
        pitch: Limit::up(&begins(basic.pitch())?, &figures.pitch)?,
        minor: Limit::up(&begins(basic.minor())?, &figures.crest)?,
        tolerance: Length::from_mm(figures.pitch),
        sureness,
    })
}

fn metric(diameter: &Length, pitch: &Length, class: Metric) -> Result<Limits> {
    let internal = class.internal;
    let flank = iso965::pitch_tolerance(diameter, pitch, class.pitch, internal)?;
    let figures = Figures {
        deviation: iso965::deviation(diameter, pitch, class.letter, internal)?,
        pitch: flank.mm(),
        crest: iso965::crest_tolerance(diameter, pitch, class.crest, internal)?.mm(),
    };
    let make = if internal { nut } else { bolt };
    make(Kind::Metric(class), &Basic::metric(diameter, pitch)?, &figures, flank.sureness)
}

fn unified(
    diameter: &Length,
    pitch: &Length,
    engagement: &Length,
    number: Number,
    internal: bool,
) -> Result<Limits> {
    let sizes = b1_1::Sizes::new(diameter, pitch, engagement);
    let class = Kind::Unified { number, internal };
    let basic = Basic::unified(diameter, pitch)?;
    let flank = sizes.pitch_tolerance(number, internal)?.mm();
    if !internal {
        let deviation = sizes.allowance(number)?.map(|length| length.mm());
        let crest = sizes.major_tolerance(number)?.mm();
        return bolt(
            class,
            &basic,
            &Figures { deviation, pitch: flank, crest },
            Sureness::Formula,
        );
    }
    let crest = sizes.minor_tolerance(number)?.mm();
    let figures = Figures { deviation: None, pitch: flank, crest };
    let limits = nut(class, &basic, &figures, Sureness::Formula)?;
    if sizes.in_thousandths() { rounded_bore(limits, number) } else { Ok(limits) }
}

/// B1.1 prints bores from 0.138 in up to 0.001 in; of class 3B the least only.
fn rounded_bore(limits: Limits, number: Number) -> Result<Limits> {
    let to_thousandths = |length: Option<Length>| length.as_ref().map(b1_1::thousandths).transpose();
    let Limit { least, greatest } = limits.minor;
    let greatest = if number == Number::Three { greatest } else { to_thousandths(greatest)? };
    Ok(Limits { minor: Limit { least: to_thousandths(least)?, greatest }, ..limits })
}

fn pipe(diameter: &Length, pitch: &Length, class: Pipe) -> Result<Limits> {
    let Some(tolerances) = iso228::tolerances(diameter, pitch) else {
        return Err(Error::no_such("ISO 228-1 has no such size").with_hint("G 1/16 to G 6"));
    };
    let flank = if class == Pipe::B { tolerances.coarse } else { tolerances.fine };
    let internal = class == Pipe::Internal;
    let crest = if internal { tolerances.minor } else { tolerances.coarse };
    let figures = Figures { deviation: None, pitch: flank, crest };
    let make = if internal { nut } else { bolt };
    make(Kind::Pipe(class), &Basic::pipe(diameter, pitch)?, &figures, Sureness::CrossChecked)
}
