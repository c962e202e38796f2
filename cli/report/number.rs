//! How an exact value becomes digits: integers all the way, rounded once (halves to even), and the
//! digits know whether they are exact.
//!
//! pi enters as 60 decimals of it; a value times pi is never exact, and 60 decimals are far more
//! than any figure printed here shows.

use num_bigint::{BigInt, BigUint};
use num_rational::BigRational;
use num_traits::{FromPrimitive, One, Pow, Signed, ToPrimitive, Zero};

/// pi, cut off after 60 decimals (Abramowitz and Stegun, table 1.1, gives the first 25).
const PI: &str = "3141592653589793238462643383279502884197169399375105820974944";

/// A count with its thousands apart: `1,234,567`.
pub(crate) fn grouped(count: u128) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// How many digits a figure gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Digits {
    /// So many significant digits, trailing zeros dropped; whole numbers are never cut.
    Significant(u32),
    /// Signed, so many decimals, or two significant digits where those would all be zero: an error
    /// that is not zero never shows as zero.
    Error(u32),
    /// The same from 10 on without decimals, below that with one.
    Ppm,
    /// Signed, two significant digits; whole numbers are never cut.
    Micrometres,
}

/// An exact value, and how it is to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Number {
    value: BigRational,
    /// Power of pi that multiplies the value: -1, 0 or 1.
    pi: i8,
    /// Added after that.
    plus: BigRational,
    digits: Digits,
    /// Whether it goes without the `~` of a rounded figure.
    unmarked: bool,
    /// Whether it was worked out in doubles, so that no fraction is its exact value.
    real: bool,
}

/// Digits of a number, and whether they are all of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Shown {
    pub(crate) text: String,
    pub(crate) exact: bool,
}

impl Number {
    pub(crate) fn new(value: BigRational, digits: Digits) -> Self {
        Self { value, pi: 0, plus: BigRational::zero(), digits, unmarked: false, real: false }
    }

    /// A figure of geometry that was worked out in doubles: six decimals of it, unmarked.
    pub(crate) fn real(value: f64, digits: Digits) -> Self {
        let millionths = BigInt::from_f64((value * 1e6).round()).unwrap_or_default();
        let value = BigRational::new(millionths, ten_to(6));
        Self { unmarked: true, real: true, ..Self::new(value, digits) }
    }

    /// A lead, a diameter, threads per inch: six significant digits.
    pub(crate) fn measure(value: BigRational) -> Self {
        Self::new(value, Digits::Significant(6))
    }

    /// The same figure times pi to `power`.
    pub(crate) fn times_pi(mut self, power: i8) -> Self {
        self.pi = power;
        self
    }

    /// The same figure with something added, behind pi.
    pub(crate) fn plus(mut self, plus: BigRational) -> Self {
        self.plus += plus;
        self
    }

    /// The same figure for a column where rounding is understood.
    pub(crate) fn unmarked(mut self) -> Self {
        self.unmarked = true;
        self
    }

    /// The figure for reading.
    pub(crate) fn shown(&self) -> Shown {
        let value = self.plain();
        let mut shown = match self.digits {
            Digits::Significant(digits) => significant(&value, digits),
            Digits::Error(decimals) => error(&value, decimals),
            Digits::Ppm => error(&value, u32::from(magnitude(&value) < 1)),
            Digits::Micrometres => signed(&value, significant(&value, 2)),
        };
        shown.exact &= self.pi == 0;
        shown
    }

    /// The figure for reading, with `~` in front of a rounded one.
    pub(crate) fn marked(&self) -> String {
        let shown = self.shown();
        if shown.exact || self.unmarked { shown.text } else { format!("~{}", shown.text) }
    }

    /// The figure for a spreadsheet: every digit where they end within 20 decimals, else 17
    /// significant ones.
    pub(crate) fn full(&self) -> String {
        let value = self.plain();
        let all = decimals(&value, 20);
        if all.exact && self.pi == 0 { trimmed(&all.text) } else { significant(&value, 17).text }
    }

    /// `5/4`, `1/2 pi`, `22/7 / pi - 1`: the exact value, where there is one.
    pub(crate) fn exact(&self) -> Option<String> {
        (!self.real).then(|| self.fraction())
    }

    fn fraction(&self) -> String {
        let product = match self.pi {
            0 => return (&self.value + &self.plus).to_string(),
            1 => format!("{} pi", self.value),
            _ => format!("{} / pi", self.value),
        };
        match (self.plus.is_zero(), self.plus.is_negative()) {
            (true, _) => product,
            (_, true) => format!("{product} - {}", self.plus.abs()),
            (_, false) => format!("{product} + {}", self.plus),
        }
    }

    /// The nearest double.
    pub(crate) fn to_f64(&self) -> f64 {
        self.plain().to_f64().unwrap_or(f64::NAN)
    }

    /// The value as one fraction, pi replaced by its 60 decimals.
    fn plain(&self) -> BigRational {
        let pi = || {
            let digits = PI.parse().unwrap_or_else(|_| BigInt::one());
            BigRational::new(digits, ten_to(60))
        };
        let product = match self.pi {
            0 => self.value.clone(),
            1 => &self.value * pi(),
            _ => &self.value / pi(),
        };
        product + &self.plus
    }
}

fn ten_to(power: u32) -> BigInt {
    Pow::pow(BigInt::from(10), power)
}

/// The nearest whole number to a fraction, halves to even, and whether nothing was lost. Whole numbers
/// all the way: to reduce a fraction takes longer than all the rest.
fn rounded(above: &BigUint, below: &BigUint) -> (BigUint, bool) {
    let floor = above / below;
    let rest = above - &floor * below;
    let up = match (&rest + &rest).cmp(below) {
        std::cmp::Ordering::Less => false,
        std::cmp::Ordering::Greater => true,
        std::cmp::Ordering::Equal => floor.bit(0),
    };
    (if up { floor + 1_u32 } else { floor }, rest.is_zero())
}

/// With so many decimals, all of them written.
fn decimals(value: &BigRational, count: u32) -> Shown {
    let above = value.numer().magnitude() * ten_to(count).magnitude();
    let (scaled, exact) = rounded(&above, value.denom().magnitude());
    let digits = scaled.to_string();
    let places = count as usize;
    let digits = format!("{digits:0>width$}", width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let minus = if value.is_negative() && !scaled.is_zero() { "-" } else { "" };
    let point = if part.is_empty() { "" } else { "." };
    Shown { text: format!("{minus}{whole}{point}{part}"), exact }
}

/// Trailing zeros of the decimals dropped.
fn trimmed(text: &str) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text.to_string()
    }
}

/// Place of the first digit that is not zero: 0 for 1 to 9.99, -1 for 0.1, 2 for 100.
fn magnitude(value: &BigRational) -> i64 {
    let size = value.abs();
    let length = |n: &BigUint| i64::try_from(n.to_string().len()).unwrap_or(i64::MAX);
    let guess = length(size.numer().magnitude()) - length(size.denom().magnitude());
    // The quotient of a p-digit and a q-digit number lies in 10^(p-q-1) .. 10^(p-q+1).
    let power = |n: i64| {
        let ten = BigRational::from_integer(10.into());
        Pow::pow(ten, BigInt::from(n))
    };
    if size >= power(guess) { guess } else { guess - 1 }
}

fn significant(value: &BigRational, digits: u32) -> Shown {
    if value.is_zero() {
        return Shown { text: "0".to_string(), exact: true };
    }
    let places = i64::from(digits) - 1 - magnitude(value);
    let mut shown = decimals(value, u32::try_from(places).unwrap_or(0));
    shown.text = trimmed(&shown.text);
    shown
}

fn error(value: &BigRational, places: u32) -> Shown {
    if value.is_zero() {
        return Shown { text: "0".to_string(), exact: true };
    }
    let mut shown = decimals(value, places);
    if shown.text.bytes().all(|b| matches!(b, b'-' | b'.' | b'0')) {
        shown = significant(value, 2);
    }
    signed(value, shown)
}

fn signed(value: &BigRational, mut shown: Shown) -> Shown {
    if value.is_positive() {
        shown.text.insert(0, '+');
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ratio(n: i64, d: i64) -> BigRational {
        BigRational::new(n.into(), d.into())
    }

    fn shown(n: i64, d: i64, digits: Digits) -> (String, bool) {
        let shown = Number::new(ratio(n, d), digits).shown();
        (shown.text, shown.exact)
    }

    #[test]
    fn measures_keep_six_significant_digits_and_say_whether_that_is_all() {
        let six = |n, d| shown(n, d, Digits::Significant(6));
        assert_eq!(six(5, 4), ("1.25".into(), true));
        assert_eq!(six(1143, 1144), ("0.999126".into(), false));
        assert_eq!(six(127, 5), ("25.4".into(), true));
        assert_eq!(six(1, 3000), ("0.000333333".into(), false));
        assert_eq!(six(1_234_567, 1), ("1234567".into(), true));
        assert_eq!(six(9_999_999, 10_000_000), ("1".into(), false));
    }

    #[test]
    fn thousands_stand_apart() {
        let shown: Vec<String> = [0, 999, 1000, 1_234_567].map(grouped).into();
        assert_eq!(shown, ["0", "999", "1,000", "1,234,567"]);
    }

    #[test]
    fn halves_go_to_the_even_digit() {
        assert_eq!(decimals(&ratio(25, 1000), 2).text, "0.02");
        assert_eq!(decimals(&ratio(35, 1000), 2).text, "0.04");
        assert_eq!(decimals(&ratio(-25, 1000), 2).text, "-0.02");
        assert_eq!(decimals(&ratio(-26, 1000), 2).text, "-0.03");
        assert_eq!(decimals(&ratio(5, 10), 0).text, "0");
        assert_eq!(decimals(&ratio(15, 10), 0).text, "2");
    }

    #[test]
    fn an_error_that_is_not_zero_never_shows_as_zero() {
        let ppm = |n, d| shown(n, d, Digits::Error(1)).0;
        assert_eq!(ppm(-8741, 10), "-874.1");
        assert_eq!(ppm(4025, 10), "+402.5");
        assert_eq!(ppm(1, 1000), "+0.001");
        assert_eq!(ppm(-123, 1_000_000), "-0.00012");
        assert_eq!(ppm(0, 1), "0");
    }

    #[test]
    fn no_more_digits_than_anybody_can_measure() {
        let ppm = |n, d| shown(n, d, Digits::Ppm).0;
        let found = [(4025, 10), (-104, 10), (99, 10), (4, 100), (0, 1)].map(|(n, d)| ppm(n, d));
        assert_eq!(found, ["+402", "-10", "+9.9", "+0.04", "0"]);
        let um = |n, d| shown(n, d, Digits::Micrometres).0;
        let found = [(3125, 1000), (-1256, 10), (10, 3), (31, 10_000)].map(|(n, d)| um(n, d));
        assert_eq!(found, ["+3.1", "-126", "+3.3", "+0.0031"]);
    }

    #[test]
    fn pi_is_never_exact() {
        // 3.14159265358979323846 (Abramowitz and Stegun, Handbook of Mathematical Functions,
        // table 1.1).
        let pi = Number::measure(ratio(1, 1)).times_pi(1);
        assert_eq!(pi.marked(), "~3.14159");
        assert_eq!(pi.full(), "3.1415926535897932");
        assert_eq!(pi.exact().unwrap(), "1 pi");
        let quotient = Number::measure(ratio(22, 7)).times_pi(-1);
        assert_eq!(quotient.marked(), "~1.0004");
        assert_eq!(quotient.plus(ratio(-1, 1)).fraction(), "22/7 / pi - 1");
    }

    #[test]
    fn full_figures_end_or_have_seventeen_digits() {
        let full = |n, d| Number::measure(ratio(n, d)).full();
        assert_eq!(full(127, 40), "3.175");
        assert_eq!(full(90, 143), "0.62937062937062937");
        assert_eq!(full(3, 1), "3");
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn rounding_errs_by_half_a_digit_at_most(n in -1_000_000_i64..1_000_000, d in 1_i64..100_000, places in 0_u32..8) {
            let shown = decimals(&ratio(n, d), places);
            let digits: BigInt = shown.text.replace('.', "").parse().unwrap();
            let back = BigRational::new(digits, ten_to(places));
            let gap = (&back - ratio(n, d)).abs() * BigRational::from_integer(ten_to(places) * 2);
            prop_assert!(gap <= BigRational::one());
            prop_assert_eq!(shown.exact, gap.is_zero());
        }

        #[test]
        fn magnitude_brackets_the_value(n in 1_i64..1_000_000_000, d in 1_i64..1_000_000_000) {
            let power = |p: i64| Pow::pow(BigRational::from_integer(10.into()), BigInt::from(p));
            let m = magnitude(&ratio(n, d));
            prop_assert!(power(m) <= ratio(n, d) && ratio(n, d) < power(m + 1));
        }
    }
}
