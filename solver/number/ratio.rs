//! Which fraction is it? Positive fractions in lowest terms, the base of every ratio, lead and
//! length.
//!
//! Arithmetic is checked: a value beyond two 128-bit integers is an error, never a wrap, in any
//! build profile. There is no zero and no negative value here.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{Error, Result};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub};
use std::fmt;
use std::str::FromStr;

/// A positive fraction in lowest terms.
///
/// Reads and prints exactly:
///
/// ```
/// use solver::Ratio;
/// let half: Ratio = "11 1/2".parse()?;
/// assert_eq!(half, "11.5".parse()?);
/// assert_eq!(half.to_string(), "23/2");
/// assert_eq!(half.to_string().parse::<Ratio>()?, half);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Ratio(num_rational::Ratio<u128>);

impl Ratio {
    /// One to one.
    pub const ONE: Self = Self(num_rational::Ratio::new_raw(1, 1));
    /// An inch in millimetres, exact by definition.
    pub const INCH: Self = Self(num_rational::Ratio::new_raw(127, 5));

    /// `numer / denom`, brought to lowest terms.
    ///
    /// # Errors
    /// If either side is zero.
    pub fn new(numer: u128, denom: u128) -> Result<Self> {
        if numer == 0 || denom == 0 {
            return Err(Error::conflict(format!(
                "{numer}/{denom}: a ratio needs two numbers over 0"
            )));
        }
        Ok(Self(num_rational::Ratio::new(numer, denom)))
    }

    /// A fraction of a table in this crate: lowest terms not required, zero is a compile error.
    pub(crate) const fn table(numer: u64, denom: u64) -> Self {
        assert!(numer > 0 && denom > 0, "a ratio needs two numbers over 0");
        let (mut a, mut b) = (numer, denom);
        while b != 0 {
            #[expect(clippy::arithmetic_side_effects, reason = "b is not zero inside the loop")]
            let rest = a % b;
            (a, b) = (b, rest);
        }
        #[expect(clippy::arithmetic_side_effects, reason = "a common divisor of non-zero numbers")]
        let (numer, denom) = (numer / a, denom / a);
        Self(num_rational::Ratio::new_raw(numer as u128, denom as u128))
    }

    /// A whole number.
    ///
    /// # Errors
    /// If it is zero.
    pub fn whole(value: u64) -> Result<Self> {
        Self::new(value.into(), 1)
    }

    /// Numerator, in lowest terms.
    pub fn numer(&self) -> u128 {
        *self.0.numer()
    }

    /// Denominator, in lowest terms.
    pub fn denom(&self) -> u128 {
        *self.0.denom()
    }

    /// Whether it is a whole number.
    pub fn is_whole(&self) -> bool {
        self.0.is_integer()
    }

    /// The reciprocal.
    pub fn recip(&self) -> Self {
        Self(self.0.recip())
    }

    /// Product.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn times(&self, other: &Self) -> Result<Self> {
        self.0.checked_mul(&other.0).map(Self).ok_or_else(|| Error::too_large("a product"))
    }

    /// Quotient.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn over(&self, other: &Self) -> Result<Self> {
        self.0.checked_div(&other.0).map(Self).ok_or_else(|| Error::too_large("a quotient"))
    }

    /// Sum.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn plus(&self, other: &Self) -> Result<Self> {
        self.0.checked_add(&other.0).map(Self).ok_or_else(|| Error::too_large("a sum"))
    }

    /// Distance between the two, `None` if they are equal.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn apart(&self, other: &Self) -> Result<Option<Self>> {
        let (low, high) = if self < other { (self, other) } else { (other, self) };
        let gap = high.0.checked_sub(&low.0).ok_or_else(|| Error::too_large("a difference"))?;
        Ok((*gap.numer() != 0).then_some(Self(gap)))
    }

    /// The same value with integers of any size.
    pub fn to_big(&self) -> BigRational {
        BigRational::new(BigInt::from(self.numer()), BigInt::from(self.denom()))
    }

    /// Whether each side, in lowest terms, has at most `bits` bits.
    pub fn fits(&self, bits: u32) -> bool {
        let high = self.numer().max(self.denom());
        bits >= u128::BITS || high.checked_shr(bits) == Some(0)
    }

    /// Nearest double: for a filter or for printing, never for a decision.
    pub fn to_f64(&self) -> f64 {
        use num_traits::ToPrimitive;
        // A positive finite fraction always has a nearest double.
        self.to_big().to_f64().unwrap_or(f64::NAN)
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

/// Reads `3/4`, `1.25`, `11 1/2`, `11-1/2` and `2.5e-3`, all exactly.
impl FromStr for Ratio {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let (ratio, used) = Self::read(text)?;
        let rest = &text[used..];
        match rest.trim_start() {
            "" => Ok(ratio),
            more => {
                let (what, hint) = if more.starts_with(':') {
                    ("a ratio has no colon here", "1/2 for 1 to 2, 1 for 1 to 1")
                } else {
                    ("a number alone is wanted here", "1.25, 3/4 or 11 1/2")
                };
                let at = text.len().saturating_sub(more.len());
                Err(Error::syntax(at, what).with_hint(hint))
            }
        }
    }
}

impl Ratio {
    /// Reads the longest number that `text` starts with, and how many bytes it took.
    ///
    /// # Errors
    /// If there is none, if it is zero, has a decimal comma, or is too large.
    pub fn read(text: &str) -> Result<(Self, usize)> {
        let mut cursor = Cursor { text, at: skip_spaces(text, 0) };
        let start = cursor.at;
        let first = cursor.decimal()?;
        let lower = |c: &mut Cursor<'_>| c.eat('/').then(|| c.decimal()).transpose();
        if let Some(denom) = lower(&mut cursor)? {
            return cursor.finish(start, first.0, Some(&denom));
        }
        // "11 1/2" and "11-1/2": a whole number, then a fraction below one.
        let mut ahead = Cursor { text, at: cursor.at };
        let gap = ahead.eat('-') || {
            ahead.at = skip_spaces(text, ahead.at);
            ahead.at > cursor.at
        };
        if gap
            && first.0.is_integer()
            && ahead.peek().is_some_and(|c| c.is_ascii_digit())
            && let Ok(numer) = ahead.decimal()
            && let Ok(Some(denom)) = lower(&mut ahead)
        {
            let part = numer.0.checked_div(&denom.0);
            if let Some(part) = part.filter(|p| *p < num_rational::Ratio::from_integer(1)) {
                let sum = first.0.checked_add(&part).ok_or_else(|| Error::too_large("a number"))?;
                return ahead.finish(start, sum, None);
            }
        }
        cursor.finish(start, first.0, None)
    }
}

fn skip_spaces(text: &str, from: usize) -> usize {
    let rest = text.get(from..).unwrap_or("");
    from.saturating_add(rest.len().saturating_sub(rest.trim_start().len()))
}

/// The place reached in a number.
struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

/// A decimal as read: may still be zero.
struct Decimal(num_rational::Ratio<u128>);

impl Cursor<'_> {
    fn peek(&self) -> Option<char> {
        self.text.get(self.at..)?.chars().next()
    }

    fn eat(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.at = self.at.saturating_add(wanted.len_utf8());
        }
        found
    }

    /// Digits, appended to `value`; how many there were.
    fn digits(&mut self, value: &mut u128) -> Result<u32> {
        let mut count = 0_u32;
        while let Some(digit) = self.peek().and_then(|c| c.to_digit(10)) {
            *value = value
                .checked_mul(10)
                .and_then(|v| v.checked_add(digit.into()))
                .ok_or_else(|| Error::too_large("a number"))?;
            self.at = self.at.saturating_add(1);
            count = count.saturating_add(1);
        }
        Ok(count)
    }

    fn decimal(&mut self) -> Result<Decimal> {
        let wanted = || {
            Error::syntax(self.at, "a number was expected").with_hint("such as 1.25, 3/4 or 11 1/2")
        };
        if self.peek() == Some('-') {
            return Err(Error::syntax(self.at, "a number over 0 was expected")
                .with_hint("leave out the minus sign; a left-hand thread is `LH`"));
        }
        let missing = wanted();
        let mut value = 0_u128;
        let whole = self.digits(&mut value)?;
        let mut places = 0;
        if self.eat('.') {
            places = self.digits(&mut value)?;
        }
        if whole.saturating_add(places) == 0 {
            return Err(missing);
        }
        if self.peek() == Some(',')
            && self
                .text
                .get(self.at.saturating_add(1)..)
                .is_some_and(|r| r.starts_with(|c: char| c.is_ascii_digit()))
        {
            return Err(Error::syntax(self.at, "a comma inside a number")
                .with_hint("write the decimal point as a full stop: 1.25"));
        }
        let exponent = self.exponent()?;
        let down = power_of_ten(places)?;
        let (up, lower) = match exponent {
            (true, by) => (power_of_ten(by)?, 1),
            (false, by) => (1, power_of_ten(by)?),
        };
        let too_large = || Error::too_large("a number");
        let numer = value.checked_mul(up).ok_or_else(too_large)?;
        let denom = down.checked_mul(lower).ok_or_else(too_large)?;
        Ok(Decimal(num_rational::Ratio::new(numer, denom)))
    }

    /// `e-3`: whether it makes the number larger, and by how many places.
    fn exponent(&mut self) -> Result<(bool, u32)> {
        let start = self.at;
        if !(self.eat('e') || self.eat('E')) {
            return Ok((true, 0));
        }
        let down = self.eat('-');
        let _ = down || self.eat('+');
        let mut by = 0;
        if self.digits(&mut by)? == 0 {
            // Not an exponent after all: "1 Edison" begins its word here.
            self.at = start;
            return Ok((true, 0));
        }
        let by = u32::try_from(by).map_err(|_| Error::too_large("an exponent"))?;
        Ok((!down, by))
    }

    fn finish(
        self,
        start: usize,
        value: num_rational::Ratio<u128>,
        over: Option<&Decimal>,
    ) -> Result<(Ratio, usize)> {
        let zero =
            |what: &str| Error::syntax(start, format!("{what} is 0")).with_hint("a number over 0");
        let value = match over {
            None => value,
            Some(Decimal(lower)) if *lower.numer() == 0 => {
                return Err(zero("the lower side of the fraction"));
            }
            Some(Decimal(lower)) => {
                value.checked_div(lower).ok_or_else(|| Error::too_large("a fraction"))?
            }
        };
        if *value.numer() == 0 {
            return Err(zero("the number"));
        }
        Ok((Ratio(value), self.at))
    }
}

fn power_of_ten(exponent: u32) -> Result<u128> {
    10_u128.checked_pow(exponent).ok_or_else(|| Error::too_large("a number with that many places"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    #[test]
    fn reads_numbers_as_people_write_them() {
        for (text, numer, denom) in [
            ("1.25", 5, 4),
            ("3/4", 3, 4),
            ("11 1/2", 23, 2),
            ("11-1/2", 23, 2),
            (" 2 ", 2, 1),
            (".5", 1, 2),
            ("1.", 1, 1),
            ("2.5e-3", 1, 400),
            ("1E3", 1000, 1),
            ("1e+3", 1000, 1),
            ("1.5/3", 1, 2),
            ("007", 7, 1),
        ] {
            assert_eq!(ratio(text), Ratio::new(numer, denom).unwrap(), "{text}");
        }
    }

    #[test]
    fn refuses_with_the_place_and_a_hint() {
        for (text, at, words) in [
            ("", 0, "expected"),
            ("abc", 0, "expected"),
            ("1,25", 1, "comma"),
            ("-1", 0, "over 0"),
            ("0", 0, "is 0"),
            ("1/0", 0, "is 0"),
            ("1/", 2, "expected"),
            ("1:1", 1, "no colon"),
            ("1.5 x", 4, "a number alone"),
            ("2 3/2", 2, "a number alone"),
            ("2 2/2", 2, "a number alone"),
            ("1.5 1/2", 4, "a number alone"),
            ("1 .5/2", 2, "a number alone"),
            ("NaN", 0, "expected"),
        ] {
            let error = text.parse::<Ratio>().unwrap_err();
            assert_eq!(error.offset(), Some(at), "{text}: {error}");
            assert!(error.to_string().contains(words), "{text}: {error}");
            assert!(error.hint().is_some(), "{text}");
        }
        for text in
            ["1e40", "1e-40", "1e99999999999", &"9".repeat(60), &format!("0.{}", "1".repeat(60))]
        {
            assert!(text.parse::<Ratio>().unwrap_err().is_too_large(), "{text}");
        }
    }

    #[test]
    fn overflow_is_an_error_in_words() {
        let large = Ratio::new(u128::MAX, 1).unwrap();
        assert!(large.times(&large).unwrap_err().is_too_large());
        assert!(large.plus(&Ratio::ONE).unwrap_err().is_too_large());
        assert!(large.over(&large.recip()).unwrap_err().is_too_large());
        assert!(large.recip().apart(&Ratio::new(1, 7).unwrap()).unwrap_err().is_too_large());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn parse_and_print_round_trip(n in 1..u64::MAX, d in 1..u64::MAX) {
            let r = Ratio::new(n.into(), d.into()).unwrap();
            prop_assert_eq!(ratio(&r.to_string()), r);
        }

        #[test]
        fn table_constructor_agrees(n in 1..u64::MAX, d in 1..u64::MAX) {
            prop_assert_eq!(Ratio::table(n, d), Ratio::new(n.into(), d.into()).unwrap());
        }

        #[test]
        fn order_is_that_of_the_big_fractions(a in 1..u64::MAX, b in 1..u64::MAX, c in 1..u64::MAX, d in 1..u64::MAX) {
            let (x, y) = (Ratio::new(a.into(), b.into()).unwrap(), Ratio::new(c.into(), d.into()).unwrap());
            prop_assert_eq!(x.cmp(&y), x.to_big().cmp(&y.to_big()));
        }

        #[test]
        fn never_panics(text in "\\PC{0,24}") {
            let _ = text.parse::<Ratio>();
        }
    }
}
