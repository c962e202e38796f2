//! What are the limits of a thread, and by which standard?

use super::class::{Kind, Metric, Number, Pipe};
use super::limits::{Figures, Limit, Limits, bolt, nut};
use super::{Basic, Class, Standard, b1_1, graded, iso228, iso965, pitch};
use crate::thread::Sureness;
use crate::{Error, Length, Result, Thread};

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
            Kind::Graded { grade, internal } => {
                let basic = Basic::of(thread)?.ok_or_else(|| no_limits(thread))?;
                graded::of(&basic, &pitch, grade, internal)
            }
        }
        .map_err(|e| e.context(thread.designation()))
    }

    /// Of an ISO metric or unified profile of any diameter and pitch. A length of engagement of 9
    /// pitches is assumed for a unified thread, as for special diameters.
    ///
    /// # Errors
    /// If the class is one of pipe threads, or the standard has no figure for it.
    pub fn of_size(diameter: &Length, pitch: &Length, class: Class) -> Result<Self> {
        match class.0 {
            Kind::Metric(class) => metric(diameter, pitch, class),
            Kind::Unified { number, internal } => {
                unified(diameter, pitch, &b1_1::nine_pitches(pitch)?, number, internal)
            }
            Kind::Pipe(_) | Kind::Graded { .. } => {
                let standard = class.standard();
                Err(Error::conflict(format!(
                    "threads of {standard} have no sizes but those by name"
                ))
                .with_hint("the thread by its name, or a class of ISO 965-1 or ASME B1.1"))
            }
        }
    }
}

fn no_limits(thread: &Thread) -> Error {
    let series = thread.series().name();
    Error::no_such(format!("no limits are known here for {thread} ({series})")).with_hint(
        "metric, unified, G, Tr, Acme and BA threads have them; for others the standard itself",
    )
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
        return bolt(class, &basic, &Figures { deviation, pitch: flank, crest }, Sureness::Formula);
    }
    let crest = sizes.minor_tolerance(number)?.mm();
    let figures = Figures { deviation: None, pitch: flank, crest };
    let mut limits = nut(class, &basic, &figures, Sureness::Formula)?;
    if sizes.in_thousandths() {
        limits.minor = rounded_bore(limits.minor, number)?;
    }
    Ok(limits)
}

/// B1.1 prints bores from 0.138 in up to 0.001 in; of class 3B the least only.
fn rounded_bore(minor: Limit, number: Number) -> Result<Limit> {
    let to_thousandths =
        |length: Option<Length>| length.as_ref().map(b1_1::thousandths).transpose();
    let Limit { least, greatest } = minor;
    let greatest = if number == Number::Three { greatest } else { to_thousandths(greatest)? };
    Ok(Limit { least: to_thousandths(least)?, greatest })
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
