//! Readers of what is typed for an argument: the value, or an error that names the argument and says
//! what would be right. `clap` calls them, so that a command gets values and never reads text.

use crate::failure::{Failure, shortened};
use solver::bounds::{self, Bounds};
use solver::{Length, Outside, PressureAngle, Ratio, Teeth, ToothSize};
use std::fmt;

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

/// Reads with what the library has for it.
fn read<T>(
    argument: &'static str,
    parse: impl Fn(&str) -> solver::Result<T> + Clone,
) -> impl Fn(&str) -> Result<Typed<T>, Failure> + Clone {
    move |text| {
        let value = parse(text).map_err(|e| Failure::typed(argument, text, &e))?;
        Ok(Typed { text: text.to_owned(), value })
    }
}

/// A length with its unit.
pub(crate) fn length(
    argument: &'static str,
) -> impl Fn(&str) -> Result<Typed<Length>, Failure> + Clone {
    read(argument, str::parse)
}

/// A diameter over the tips of a gear.
pub(crate) fn outside(
    argument: &'static str,
) -> impl Fn(&str) -> Result<Typed<Outside>, Failure> + Clone {
    read(argument, |text| text.parse().and_then(Outside::new))
}

/// A tooth size: `module 1`, `20 DP`.
pub(crate) fn tooth_size(
    argument: &'static str,
) -> impl Fn(&str) -> Result<Typed<ToothSize>, Failure> + Clone {
    read(argument, str::parse)
}

/// A pressure angle in degrees.
pub(crate) fn pressure_angle(
    argument: &'static str,
) -> impl Fn(&str) -> Result<Typed<PressureAngle>, Failure> + Clone {
    read(argument, |text| text.parse::<Ratio>().and_then(PressureAngle::new))
}

/// A number of teeth.
pub(crate) fn teeth(
    argument: &'static str,
) -> impl Fn(&str) -> Result<Typed<Teeth>, Failure> + Clone {
    move |text| {
        let right = "a number of teeth, such as 40";
        let count = whole(argument, text, &bounds::TEETH).map_err(|e| e.with_hint(right))?;
        Ok(Typed { text: text.to_owned(), value: Teeth::new(count)? })
    }
}

/// A whole number within its bounds.
pub(crate) fn whole(argument: &str, text: &str, bounds: &Bounds) -> Result<u64, Failure> {
    let quoted = || format!("`{}`", shortened(text));
    let digits = text.trim();
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        let wrong = format!("{argument} {}: a whole number was expected", quoted());
        return Err(Failure::new(wrong).with_hint(format!("{argument} 2")));
    }
    // So many digits that the type does not hold them are past every bound.
    let number = digits.parse().unwrap_or(u64::MAX);
    bounds.check(number).map_err(|_| {
        let Bounds { name, low, high, .. } = bounds;
        Failure::new(format!("{argument} {}: {name} are {low} to {high}", quoted()))
    })
}
