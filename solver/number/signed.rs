//! Where is it, with a sign? Exact places on the bracket, and angles.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{Error, Length, Ratio, Result};
use std::cmp::Ordering;
use std::fmt;
use std::str::FromStr;

/// A fraction with a sign; zero has none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
struct Signed {
    size: Option<Ratio>,
    negative: bool,
}

impl Signed {
    const ZERO: Self = Self { size: None, negative: false };

    const fn new(size: Ratio, negative: bool) -> Self {
        Self { size: Some(size), negative }
    }

    const fn flipped(self) -> Self {
        Self { size: self.size, negative: !self.negative && self.size.is_some() }
    }

    fn to_f64(self) -> f64 {
        let size = self.size.map_or(0.0, |s| s.to_f64());
        if self.negative { size.copysign(-1.0) } else { size }
    }
}

impl Ord for Signed {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self.negative, other.negative) {
            (false, true) => Ordering::Greater,
            (true, false) => Ordering::Less,
            // `None` is zero, and less than any length.
            (false, false) => self.size.cmp(&other.size),
            (true, true) => other.size.cmp(&self.size),
        }
    }
}

impl PartialOrd for Signed {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Signed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.size, self.negative) {
            (None, _) => f.write_str("0"),
            (Some(size), false) => size.fmt(f),
            (Some(size), true) => write!(f, "-{size}"),
        }
    }
}

/// The sign in front of a number, and how many bytes it takes.
fn sign(text: &str) -> (bool, usize) {
    let lead = text.len().saturating_sub(text.trim_start().len());
    let mark = text[lead..].chars().next().filter(|c| matches!(c, '-' | '−' | '+'));
    (matches!(mark, Some('-' | '−')), lead.saturating_add(mark.map_or(0, char::len_utf8)))
}

/// Bytes of a number that is zero (`0`, `0.0`), in front of `text`.
fn zero(text: &str) -> Option<usize> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let number = &text[..end];
    let plain = number.contains('0') && number.matches('.').count() < 2;
    (plain && number.chars().all(|c| c == '0' || c == '.')).then_some(end)
}

/// A length with a sign: a place on the bracket, or a size that may be zero.
///
/// ```
/// use solver::Offset;
/// let left: Offset = "-1 1/4 in".parse()?;
/// assert_eq!(left, "-31.75 mm".parse()?);
/// assert!(left < Offset::ZERO && left.is_negative());
/// assert_eq!("0 mm".parse::<Offset>()?, Offset::ZERO);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Offset(Signed);

impl Offset {
    /// Zero.
    pub const ZERO: Self = Self(Signed::ZERO);

    /// This far in the positive direction.
    pub const fn new(length: Length) -> Self {
        Self(Signed::new(length.mm(), false))
    }

    /// The same distance the other way.
    pub const fn flipped(self) -> Self {
        Self(self.0.flipped())
    }

    /// Whether it is below zero.
    pub const fn is_negative(&self) -> bool {
        self.0.negative
    }

    /// Its size in mm, without the sign; `None`: zero.
    pub const fn size(&self) -> Option<Ratio> {
        self.0.size
    }

    /// The nearest double, in mm.
    pub fn to_f64(&self) -> f64 {
        self.0.to_f64()
    }
}

impl From<Length> for Offset {
    fn from(length: Length) -> Self {
        Self::new(length)
    }
}

impl fmt::Display for Offset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.0)
    }
}

/// Reads a length with a sign or none: `-30 mm`, `1/8 in`, `0 mm`.
impl FromStr for Offset {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (negative, used) = sign(text);
        let rest = &text[used..];
        if let Some(end) = zero(rest.trim_start()) {
            // The unit is read as that of any other length.
            format!("1{}", &rest.trim_start()[end..]).parse::<Length>()?;
            return Ok(Self::ZERO);
        }
        let length: Length = rest.parse()?;
        Ok(Self(Signed::new(length.mm(), negative)))
    }
}

/// An angle in degrees, with a sign.
///
/// ```
/// use solver::Degrees;
/// let angle: Degrees = "-22.5".parse()?;
/// assert_eq!(angle.to_string(), "-45/2");
/// assert!(angle < Degrees::ZERO);
/// assert!("400".parse::<Degrees>().unwrap_err().is_conflict());
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Degrees(Signed);

impl Degrees {
    /// No angle.
    pub const ZERO: Self = Self(Signed::ZERO);

    /// The nearest double, in degrees.
    pub fn to_f64(&self) -> f64 {
        self.0.to_f64()
    }

    /// Whether `to`, which is not less, is more than 360 degrees further on.
    pub(crate) fn more_than_a_turn_to(&self, to: &Self) -> bool {
        // Neither is beyond 360 degrees by itself.
        let sides = self.0.size.zip(to.0.size).filter(|_| self.0.negative && !to.0.negative);
        sides.is_some_and(|(a, b)| a.plus(&b).is_ok_and(|sum| sum > Ratio::table(360, 1)))
    }
}

impl fmt::Display for Degrees {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Reads a plain number of degrees from -360 to 360: `-22.5`, `0`, `7 1/2`.
impl FromStr for Degrees {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (negative, used) = sign(text);
        let rest = text[used..].trim();
        if zero(rest) == Some(rest.len()) && !rest.is_empty() {
            return Ok(Self::ZERO);
        }
        let size: Ratio = rest.parse()?;
        if size > Ratio::table(360, 1) || !size.fits(20) {
            return Err(Error::conflict(format!("{} is no angle from -360 to 360", text.trim()))
                .with_hint("degrees, such as 15 or -22.5"));
        }
        Ok(Self(Signed::new(size, negative)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_zeros_are_read() {
        let mm = |text: &str| text.parse::<Offset>().unwrap().to_f64();
        assert_eq!((mm("-30 mm"), mm("+2 in"), mm(" − 1/2 mm")), (-30.0, 50.8, -0.5));
        assert_eq!((mm("0 mm"), mm("-0.00 in"), mm("0mm")), (0.0, 0.0, 0.0));
        for text in ["0", "0 tpi", "-", "", "--3 mm", "30", "0.0.0 mm"] {
            assert!(text.parse::<Offset>().is_err(), "{text}");
        }
        assert_eq!("0".parse::<Degrees>().unwrap(), Degrees::ZERO);
        assert!("".parse::<Degrees>().is_err() && "x".parse::<Degrees>().is_err());
    }

    #[test]
    fn angles_go_as_far_as_a_turn() {
        let read = |text: &str| text.parse::<Degrees>();
        for text in ["360", "-360", "359.5"] {
            assert!(read(text).is_ok(), "{text}");
        }
        for text in ["360.1", "-361", "1/3000000", "0.00000001"] {
            assert!(read(text).is_err(), "{text}");
        }
        let more =
            |from: &str, to: &str| read(from).unwrap().more_than_a_turn_to(&read(to).unwrap());
        assert!(more("-180", "180.5") && more("-360", "1"));
        assert!(!more("-180", "180") && !more("-10", "10"));
        assert!(!more("200", "300") && !more("-300", "-200") && !more("0", "360"));
    }

    #[test]
    fn they_are_ordered_as_on_a_scale() {
        let all = ["-3 mm", "-1 mm", "0 mm", "2 mm", "1 in"].map(|t| t.parse::<Offset>().unwrap());
        assert!(all.is_sorted() && all[0].flipped() > all[3]);
        assert_eq!(Offset::ZERO.flipped(), Offset::ZERO);
    }
}
