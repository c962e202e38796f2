//! Readers of what is typed for an argument: the value, or an error that names the argument and says
//! what would be right. `clap` calls them, so that a command gets values and never reads text.
//!
//! Words of targets stay text, since several of them may be one target; so do sizes of a series and the
//! class of a thread, which nothing but that series or thread can read.

use super::Hand;
use crate::failure::{Failure, shortened};
use crate::files;
use clap::builder::{EnumValueParser, TypedValueParser};
use clap::{Arg, Command};
use solver::bounds::{self, Bounds};
use solver::cutting::{Material, SurfaceSpeed, Tip, ToolSteel};
use solver::job::{Coasting, StatedUndercut};
use solver::{Lead, Outside, PressureAngle, Ratio, Series, Teeth};
use std::ffi::OsStr;
use std::fmt;
use std::str::FromStr;

/// Nobody takes longer to stop.
const MOST_SECONDS: u64 = 60;

/// Metres a minute past any tool.
const FASTEST: u64 = 10_000;

/// A value, and how it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Typed<T> {
    /// As it was typed.
    pub(crate) text: String,
    /// What it means.
    pub(crate) value: T,
}

impl<T> fmt::Display for Typed<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// A reader as `clap` wants it: from the argument, as it is typed, and the text to the value.
#[derive(Debug, Clone)]
pub(crate) struct By<F>(pub(crate) F);

impl<F, T> TypedValueParser for By<F>
where
    F: Fn(&str, &str) -> Result<T, Failure> + Clone + Send + Sync + 'static,
    T: Clone + Send + Sync + 'static,
{
    type Value = T;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        text: &OsStr,
    ) -> Result<T, clap::Error> {
        let long = argument.and_then(Arg::get_long).map(|long| format!("--{long}"));
        let name = long.unwrap_or_else(|| command.get_name().to_owned());
        let read = self.0.clone();
        (move |text: &str| read(&name, text)).parse_ref(command, argument, text)
    }
}

/// The value with its text.
pub(crate) fn typed<T>(
    read: impl Fn(&str, &str) -> Result<T, Failure> + Clone,
) -> impl Fn(&str, &str) -> Result<Typed<T>, Failure> + Clone {
    move |argument, text| Ok(Typed { value: read(argument, text)?, text: text.to_owned() })
}

/// Whatever the library reads by itself: a length with its unit, a tooth size, a train.
pub(crate) fn own<T: FromStr<Err = solver::Error>>(
    argument: &str,
    text: &str,
) -> Result<T, Failure> {
    text.parse().map_err(|e| Failure::typed(argument, text, &e))
}

/// An undercut: a kind of DIN 76-1, or a width.
pub(crate) fn undercut(argument: &str, text: &str) -> Result<StatedUndercut, Failure> {
    match text {
        "regular" => Ok(StatedUndercut::Regular),
        "short" => Ok(StatedUndercut::Short),
        width if width.starts_with(|sign: char| sign.is_ascii_alphabetic()) => {
            let wrong = format!("{argument} `{}`: it is no undercut", shortened(width));
            Err(Failure::wrong(wrong, "regular, short, or a width such as 4mm"))
        }
        width => own(argument, width).map(StatedUndercut::Wide),
    }
}

/// A material that has a surface speed.
pub(crate) fn material(argument: &str, text: &str) -> Result<&'static Material, Failure> {
    Material::named(text).ok_or_else(|| {
        let names: Vec<&str> = Material::all().map(|of| of.name).collect();
        let wrong = format!("{argument} {}: no surface speed is held for it", quoted(text));
        Failure::wrong(
            wrong,
            format!("{}; or --surface with a speed of your own", names.join(", ")),
        )
    })
}

/// What a tool is made of, as far as there are speeds for it.
pub(crate) fn tool_steel(argument: &str, text: &str) -> Result<ToolSteel, Failure> {
    let wrong = match text.trim().to_lowercase().as_str() {
        "hss" => return Ok(ToolSteel::HighSpeed),
        "carbon" => return Ok(ToolSteel::Carbon),
        "carbide" => "no surface speed with a source is held for it",
        _ => "there is no such tool",
    };
    let right =
        "hss or carbon; for another --surface with its maker's figure, such as \"100 m/min\"";
    Err(Failure::wrong(format!("{argument} {}: {wrong}", quoted(text)), right))
}

/// A surface speed with its unit.
pub(crate) fn surface(argument: &str, text: &str) -> Result<SurfaceSpeed, Failure> {
    let wrong = |why: &str| {
        Failure::wrong(format!("{argument} {}: {why}", quoted(text)), "30 m/min or 100 ft/min")
    };
    let (number, unit) = number_and_unit(text).map_err(|e| Failure::typed(argument, text, &e))?;
    let metres = match unit {
        "m/min" => Ok(number),
        "ft/min" | "sfm" => Ratio::new(3048, 10_000).and_then(|foot| number.times(&foot)),
        _ => return Err(wrong("a speed in m/min or ft/min was expected")),
    };
    let metres = metres.map_err(|e| Failure::typed(argument, text, &e))?;
    if metres > Ratio::whole(FASTEST)? {
        return Err(wrong("no work runs so fast"));
    }
    Ok(SurfaceSpeed::stated(metres))
}

/// A diameter over the tips of a gear.
pub(crate) fn outside(argument: &str, text: &str) -> Result<Outside, Failure> {
    Outside::new(own(argument, text)?).map_err(|e| Failure::typed(argument, text, &e))
}

/// A pressure angle in degrees.
pub(crate) fn pressure_angle(argument: &str, text: &str) -> Result<PressureAngle, Failure> {
    let degrees = own::<Ratio>(argument, text)?;
    PressureAngle::new(degrees).map_err(|e| Failure::typed(argument, text, &e))
}

/// A number of teeth.
pub(crate) fn teeth(argument: &str, text: &str) -> Result<Teeth, Failure> {
    let right = match argument.strip_prefix("--") {
        Some(_) => format!("{argument} 40"),
        // A diameter was measured.
        None if text.parse::<solver::Length>().is_ok() => {
            format!("--outside {text} beside the teeth")
        }
        None => "a number of teeth, such as 40".to_owned(),
    };
    let count = whole(&bounds::TEETH)(argument, text).map_err(|wrong| wrong.with_hint(right))?;
    Teeth::new(count).map_err(|e| Failure::typed(argument, text, &e))
}

/// A whole number within its bounds.
pub(crate) fn whole<T: TryFrom<u64>>(
    bounds: &'static Bounds,
) -> impl Fn(&str, &str) -> Result<T, Failure> + Clone {
    move |argument, text| {
        let quoted = quoted(text);
        let digits = text.trim();
        if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            let wrong = format!("{argument} {quoted}: a whole number was expected");
            return Err(Failure::wrong(wrong, format!("{argument} 2")));
        }
        // So many digits that the type does not hold them are past every bound.
        let number = digits.parse().ok().filter(|number| bounds.holds(*number));
        number.and_then(|number| T::try_from(number).ok()).ok_or_else(|| {
            let Bounds { name, low, high, .. } = bounds;
            Failure::new(format!("{argument} {quoted}: {name} are {low} to {high}"))
        })
    }
}

/// The lead of a lead screw: `8tpi`, `3mm`, `1/8 in`.
pub(crate) fn lead(argument: &str, text: &str) -> Result<Lead, Failure> {
    let typed = |e: solver::Error| Failure::typed(argument, text, &e);
    number_and_unit(text).map_err(typed)?;
    let lead: Lead = own(argument, text).map_err(|wrong: Failure| {
        wrong.with_hint(format!("{argument} 8tpi, {argument} 3mm or {argument} 1/8in"))
    })?;
    lead.checked_as_target().map_err(typed)
}

/// A tolerance as a fraction: `200ppm`, `0.02%`.
pub(crate) fn tolerance(argument: &str, text: &str) -> Result<Ratio, Failure> {
    let typed = |e: solver::Error| Failure::typed(argument, text, &e);
    let hint = format!("{argument} 200ppm or {argument} 0.02%");
    let wrong =
        |wrong| Err(Failure::wrong(format!("{argument} {}: {wrong}", quoted(text)), hint.clone()));
    let (number, unit) = number_and_unit(text).map_err(|e| typed(e).with_hint(hint.clone()))?;
    let whole = match unit.to_ascii_lowercase().as_str() {
        "ppm" => 1_000_000,
        "%" => 100,
        _ => return wrong("a tolerance is given in ppm or %"),
    };
    match Ratio::whole(whole).and_then(|whole| number.over(&whole)).map_err(typed)? {
        tolerance if tolerance > Ratio::ONE => wrong("more than the whole lead"),
        tolerance => Ok(tolerance),
    }
}

/// How far a row of a chart may be off: past a fifth it says nothing.
pub(crate) fn approximation(argument: &str, text: &str) -> Result<Ratio, Failure> {
    let part = tolerance(argument, text)?;
    if part.numer().saturating_mul(5) >= part.denom() {
        let wrong = format!("{argument} {}: a fifth of the thread or more", quoted(text));
        return Err(Failure::wrong(wrong, format!("{argument} 0.2%")));
    }
    Ok(part)
}

/// The width of the flat at the tip of a tool: a length, or 0 for a point.
pub(crate) fn flat(argument: &str, text: &str) -> Result<Tip, Failure> {
    if is_zero(text) { Ok(Tip::Sharp) } else { own(argument, text).map(Tip::Flat) }
}

/// Seconds that a spindle coasts, 0 where it is braked.
pub(crate) fn coasting(argument: &str, text: &str) -> Result<Coasting, Failure> {
    if is_zero(text) { Ok(Coasting::Braked) } else { seconds(argument, text).map(Coasting::For) }
}

/// `1`, `1.5`, `1.5 s`.
pub(crate) fn seconds(argument: &str, text: &str) -> Result<Ratio, Failure> {
    let (number, unit) = number_and_unit(text).map_err(|e| Failure::typed(argument, text, &e))?;
    let humanly = Ratio::whole(MOST_SECONDS).is_ok_and(|most| number <= most);
    if !matches!(unit, "" | "s") || !humanly {
        let wrong = format!("{argument} {}: seconds, up to {MOST_SECONDS}", quoted(text));
        return Err(Failure::wrong(wrong, format!("{argument} 1.5")));
    }
    Ok(number)
}

/// Threads of a series: all, or from one size to another.
#[derive(Debug, Clone)]
pub(crate) struct Sizes {
    /// As it was typed.
    pub(crate) text: String,
    /// The series.
    pub(crate) value: &'static Series,
    /// First and last size, which the series itself knows; empty: left open.
    pub(crate) ends: Option<[String; 2]>,
}

/// `KEY` or `KEY:FROM..TO`.
pub(crate) fn sizes(argument: &str, text: &str) -> Result<Sizes, Failure> {
    let (key, range) = text.split_once(':').map_or((text, None), |(key, range)| (key, Some(range)));
    let value = series(argument, key)?;
    let ends = |range: &str| {
        let ends = range.split_once("..").map(|(from, to)| [from, to].map(|end| end.trim().into()));
        let wrong = "two sizes with .. between them were expected";
        ends.ok_or_else(|| {
            let hint = format!("{argument} metric-coarse:M3..M20");
            Failure::wrong(format!("{argument} {}: {wrong}", quoted(text)), hint)
        })
    };
    Ok(Sizes { text: text.to_owned(), value, ends: range.map(ends).transpose()? })
}

/// The series of a word.
pub(crate) fn series(argument: &str, key: &str) -> Result<&'static Series, Failure> {
    let key = key.trim();
    let found = Series::all().iter().find(|s| s.key().eq_ignore_ascii_case(key));
    found.copied().ok_or_else(|| {
        let keys: Vec<String> = Series::all().iter().map(|s| s.key().to_owned()).collect();
        let wrong = format!("{argument} {}: there is no such series", quoted(key));
        Failure::wrong(wrong, files::nearest(key, &keys))
    })
}

/// The hand of a thread.
pub(crate) fn hand() -> impl TypedValueParser<Value = solver::Hand> {
    EnumValueParser::<Hand>::new().map(|hand| match hand {
        Hand::Right => solver::Hand::Right,
        Hand::Left => solver::Hand::Left,
    })
}

/// A number over 0, and what stands behind it.
fn number_and_unit(text: &str) -> solver::Result<(Ratio, &str)> {
    let (number, used) = Ratio::read(text)?;
    Ok((number, text.get(used..).unwrap_or_default().trim()))
}

/// `0`, `0 mm`, `0.0in`: a length or a time over 0 can't say it.
fn is_zero(text: &str) -> bool {
    let digits = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    digits.contains('0') && digits.chars().all(|c| c == '0' || c == '.')
}

fn quoted(text: &str) -> String {
    format!("`{}`", shortened(text))
}
