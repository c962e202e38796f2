//! How is a row of a table written? As the text of the standard, turned into exact numbers at
//! compile time. A bad figure stops the build.

use super::Sureness;
use crate::{Lead, Length, Ratio};

/// One line of a series.
#[derive(Debug)]
pub(crate) struct Row {
    pub(super) designation: &'static str,
    pub(super) also: Option<&'static str>,
    pub(super) size: Size,
    /// The designation has its pitch (or starts) after the size.
    pub(super) full: bool,
    pub(super) diameter: Option<Length>,
    pub(super) pitch: Lead,
    /// Whether the pitch is in TPI.
    pub(super) tpi: bool,
    pub(super) angle: Option<Ratio>,
    pub(super) starts: u8,
    pub(super) sureness: Sureness,
    pub(super) note: Option<&'static str>,
}

/// The size in a designation: `10` of `M10`, `1/2` of `G 1/2`, `#10`, `0` of `0 BA`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Size {
    /// The number; `None`: it is 0.
    pub(crate) number: Option<Ratio>,
    /// A numbered size, written with `#`.
    pub(crate) gauge: bool,
}

impl Row {
    const fn new(
        designation: &'static str,
        diameter: Option<Length>,
        pitch: Lead,
        sureness: Sureness,
    ) -> Self {
        let (size, full) = size(designation);
        Self {
            designation,
            also: None,
            size,
            full,
            diameter,
            pitch,
            tpi: false,
            angle: None,
            starts: 1,
            sureness,
            note: None,
        }
    }

    const fn in_tpi(self) -> Self {
        Self { tpi: true, ..self }
    }

    /// Another name for it.
    pub(super) const fn also(self, name: &'static str) -> Self {
        Self { also: Some(name), ..self }
    }

    /// An included angle other than that of its series.
    pub(super) const fn angle(self, text: &str) -> Self {
        Self { angle: Some(degrees(text)), ..self }
    }

    pub(super) const fn starts(self, starts: u8) -> Self {
        Self { starts, ..self }
    }

    pub(super) const fn note(self, note: &'static str) -> Self {
        Self { note: Some(note), ..self }
    }
}

/// Rows with several pitches for a size, as in the standard: `"6": 0.8 s, 0.75;`. A designation is made
/// of three texts around size and pitch. `s`: one table only; the others are cross-checked. A size
/// that is not its diameter: `("#6" "0.138"): 32 s;`.
macro_rules! by_size {
    ($row:ident($before:literal, $between:literal, $after:literal)
        $($size:tt: $($pitch:literal $($single:ident)?),+;)+) => {
        &[$($($row(
            concat!($before, by_size!(@name $size), $between, stringify!($pitch), $after),
            by_size!(@diameter $size),
            stringify!($pitch),
            by_size!(@sureness $($single)?),
        )),+),+]
    };
    (@name ($name:literal $diameter:literal)) => { $name };
    (@name $name:literal) => { $name };
    (@diameter ($name:literal $diameter:literal)) => { $diameter };
    (@diameter $diameter:literal) => { $diameter };
    (@sureness) => { $crate::thread::Sureness::CrossChecked };
    (@sureness s) => { $crate::thread::Sureness::Single };
}
pub(super) use by_size;

/// Diameter and pitch in mm.
pub(super) const fn mm(
    designation: &'static str,
    diameter: &str,
    pitch: &str,
    sureness: Sureness,
) -> Row {
    Row::new(designation, Some(in_mm(diameter)), Lead::new(in_mm(pitch)), sureness)
}

/// Diameter in inches, pitch in TPI.
pub(super) const fn inch(
    designation: &'static str,
    diameter: &str,
    tpi: &str,
    sureness: Sureness,
) -> Row {
    let (n, d) = number(diameter);
    let diameter = Length::from_mm(Ratio::table(n * 127, d * 5));
    Row::new(designation, Some(diameter), Lead::new(one_inch_over(tpi)), sureness).in_tpi()
}

/// Diameter in mm, pitch in TPI.
pub(super) const fn pipe(
    designation: &'static str,
    diameter: &str,
    tpi: &str,
    sureness: Sureness,
) -> Row {
    Row::new(designation, Some(in_mm(diameter)), Lead::new(one_inch_over(tpi)), sureness).in_tpi()
}

/// Pitch = pi x module.
pub(super) const fn module(designation: &'static str, module: &str) -> Row {
    Row::new(designation, None, Lead::times_pi(in_mm(module)), Sureness::Formula)
}

/// Pitch = pi / DP inches.
pub(super) const fn dp(designation: &'static str, dp: &str) -> Row {
    Row::new(designation, None, Lead::times_pi(one_inch_over(dp)), Sureness::Formula)
}

/// An angle in degrees.
pub(super) const fn degrees(text: &str) -> Ratio {
    let (n, d) = number(text);
    Ratio::table(n, d)
}

const fn in_mm(text: &str) -> Length {
    let (n, d) = number(text);
    Length::from_mm(Ratio::table(n, d))
}

const fn one_inch_over(text: &str) -> Length {
    let (n, d) = number(text);
    Length::from_mm(Ratio::table(127 * d, 5 * n))
}

/// The whole of `text` as a fraction.
const fn number(text: &str) -> (u64, u64) {
    let (n, d, end) = leading_number(text.as_bytes(), 0);
    assert!(end == text.len() && d > 0, "a number such as 0.75, 3/4 or 11 1/2");
    (n, d)
}

/// The first number of a designation, and whether another one follows.
const fn size(designation: &str) -> (Size, bool) {
    let text = designation.as_bytes();
    let start = next_digit(text, 0);
    let (n, d, end) = leading_number(text, start);
    let number = if n == 0 { None } else { Some(Ratio::table(n, d)) };
    let gauge = start > 0 && text[start - 1] == b'#';
    (Size { number, gauge }, next_digit(text, end) < text.len())
}

const fn next_digit(text: &[u8], from: usize) -> usize {
    let mut at = from;
    while at < text.len() && !text[at].is_ascii_digit() {
        at += 1;
    }
    at
}

/// `0.75`, `3/4` or `11 1/2` at `from`: the fraction, and where it ends.
const fn leading_number(text: &[u8], from: usize) -> (u64, u64, usize) {
    let (whole, at) = digits(text, from, 0);
    if at < text.len() && text[at] == b'.' {
        let (all, end) = digits(text, at + 1, whole);
        return (all, power_of_ten(end - at - 1), end);
    }
    if at < text.len() && text[at] == b'/' {
        let (lower, end) = digits(text, at + 1, 0);
        return (whole, lower, end);
    }
    if at < text.len() && text[at] == b' ' {
        let (upper, bar) = digits(text, at + 1, 0);
        if bar > at + 1 && bar < text.len() && text[bar] == b'/' {
            let (lower, end) = digits(text, bar + 1, 0);
            return (whole * lower + upper, lower, end);
        }
    }
    (whole, 1, at)
}

const fn power_of_ten(places: usize) -> u64 {
    if places == 0 { 1 } else { 10 * power_of_ten(places - 1) }
}

const fn digits(text: &[u8], from: usize, before: u64) -> (u64, usize) {
    let (mut value, mut at) = (before, from);
    while at < text.len() && text[at].is_ascii_digit() {
        value = value * 10 + (text[at] - b'0') as u64;
        at += 1;
    }
    (value, at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_printed() {
        assert_eq!(number("0.075"), (75, 1000));
        assert_eq!(number("11 1/2"), (23, 2));
        assert_eq!(number("3/4"), (3, 4));
    }

    #[test]
    fn the_size_is_the_first_number() {
        let of = |text| {
            let (Size { number, gauge }, full) = size(text);
            (number.map(|n| n.to_string()), gauge, full)
        };
        assert_eq!(of("M10x1.25"), (Some("10".into()), false, true));
        assert_eq!(of("1 1/2-6 UNC"), (Some("3/2".into()), false, true));
        assert_eq!(of("#0-80 UNF"), (None, true, true));
        assert_eq!(of("G 1 1/4"), (Some("5/4".into()), false, false));
        assert_eq!(of("0 BA"), (None, false, false));
        assert_eq!(of("module 1 2 starts"), (Some("1".into()), false, true));
    }
}
