//! How long is it? Exact lengths, made only from millimetres or inches.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{Error, Ratio, Result};
use std::fmt;
use std::str::FromStr;

/// A positive length. One inch is 25.4 mm, exactly.
///
/// ```
/// use solver::Length;
/// let eighth: Length = "1/8 in".parse()?;
/// assert_eq!(eighth, "3.175 mm".parse()?);
/// assert_eq!(eighth.to_string(), "127/40 mm");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Length(Ratio);

impl Length {
    /// This many millimetres.
    pub const fn from_mm(mm: Ratio) -> Self {
        Self(mm)
    }

    /// This many inches.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn from_inch(inches: Ratio) -> Result<Self> {
        Ok(Self(inches.times(&Ratio::INCH)?))
    }

    /// In millimetres.
    pub const fn mm(&self) -> Ratio {
        self.0
    }

    /// In inches.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn inches(&self) -> Result<Ratio> {
        self.0.over(&Ratio::INCH)
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

/// Reads a number with its unit: `80 mm`, `1/8 in`, `0.5"`, `20mm`.
impl FromStr for Length {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (number, used) = Ratio::read(text)?;
        let unit = text[used..].trim();
        match unit.to_ascii_lowercase().as_str() {
            "mm" => Ok(Self(number)),
            "in" | "inch" | "inches" | "\"" | "″" => Self::from_inch(number),
            "" => Err(Error::syntax(used, "a length needs its unit").with_hint(format!(
                "{} mm or {} in",
                text.trim(),
                text.trim()
            ))),
            _ => Err(Error::syntax(
                text.len().saturating_sub(text[used..].trim_start().len()),
                format!("`{unit}` is not a unit of length"),
            )
            .with_hint("mm or in")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_needs_a_unit_that_is_a_length() {
        assert_eq!("20".parse::<Length>().unwrap_err().hint(), Some("20 mm or 20 in"));
        let error = "20 tpi".parse::<Length>().unwrap_err();
        assert_eq!(
            (error.offset(), error.to_string().as_str()),
            (Some(3), "`tpi` is not a unit of length")
        );
    }

    #[test]
    fn inches_are_exact() {
        let tenth: Length = "0.1 in".parse().unwrap();
        assert_eq!(tenth, Length::from_mm(Ratio::new(254, 100).unwrap()));
        assert_eq!(tenth.inches().unwrap(), Ratio::new(1, 10).unwrap());
        assert_eq!("1\"".parse::<Length>().unwrap(), "25.4MM".parse().unwrap());
    }
}
