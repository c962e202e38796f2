//! How long is a lead, and how far is one lead from another? The only module with pi.
//!
//! A lead is a fraction of a millimetre, or a fraction of a millimetre times pi (worms). Two
//! fractions bound pi; they are narrowed until a comparison is decided. pi is irrational, so every
//! comparison with a fraction ends.

#![deny(clippy::float_arithmetic)]

use crate::{Error, Length, Ratio, Result, bounds};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};
use std::cmp::Ordering;
use std::fmt;
use std::sync::LazyLock;

/// Travel in one turn.
///
/// ```
/// use solver::{Lead, Length};
/// let eight = Lead::from_tpi("8".parse()?)?;
/// assert_eq!(eight, Lead::new("3.175 mm".parse()?));
/// let worm = Lead::times_pi("1 mm".parse()?); // module 1, one start
/// assert!(worm > Lead::new("3.14159 mm".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Lead {
    mm: Ratio,
    pi: bool,
}

impl Lead {
    /// A lead of this length.
    pub const fn new(length: Length) -> Self {
        Self { mm: length.mm(), pi: false }
    }

    /// A lead of pi times this length: pi x module x starts, or pi / DP inches x starts.
    pub const fn times_pi(length: Length) -> Self {
        Self { mm: length.mm(), pi: true }
    }

    /// This many threads per inch.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn from_tpi(tpi: Ratio) -> Result<Self> {
        Ok(Self { mm: Ratio::INCH.over(&tpi)?, pi: false })
    }

    /// Millimetres, to be multiplied by pi if [`Lead::has_pi`].
    pub const fn mm(&self) -> Ratio {
        self.mm
    }

    /// Whether the length is to be multiplied by pi.
    pub const fn has_pi(&self) -> bool {
        self.pi
    }

    /// Threads per inch of this lead (to be divided by pi if [`Lead::has_pi`]).
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn tpi(&self) -> Result<Ratio> {
        Ratio::INCH.over(&self.mm)
    }

    /// This lead times a ratio.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn times(&self, ratio: &Ratio) -> Result<Self> {
        Ok(Self { mm: self.mm.times(ratio)?, pi: self.pi })
    }

    /// Checks that the lead can be a target.
    ///
    /// # Errors
    /// If a side of the fraction passes [`bounds::TARGET_BITS`], or the lead is outside 0.0001 mm
    /// to 100 m, which no lathe cuts.
    pub fn checked_as_target(self) -> Result<Self> {
        if self.mm < Ratio::table(1, 10_000) || self.mm > Ratio::table(100_000, 1) {
            return Err(Error::conflict("a lead or feed must be between 0.0001 mm and 100 m"));
        }
        if !self.mm.fits(bounds::TARGET_BITS) {
            return Err(
                Error::too_large(format!("the lead {} mm", self.mm)).with_hint("fewer digits")
            );
        }
        Ok(self)
    }

    /// Nearest double, in mm: for a filter or for printing, never for a decision.
    #[expect(clippy::float_arithmetic, reason = "the last step before printing")]
    pub fn to_f64(&self) -> f64 {
        if self.pi { self.mm.to_f64() * std::f64::consts::PI } else { self.mm.to_f64() }
    }
}

impl PartialOrd for Lead {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Lead {
    fn cmp(&self, other: &Self) -> Ordering {
        let (a, b) = (self.mm.to_big(), other.mm.to_big());
        match (self.pi, other.pi) {
            (false, true) => compare_with_pi(&(a / b)),
            (true, false) => compare_with_pi(&(b / a)).reverse(),
            _ => a.cmp(&b),
        }
    }
}

impl fmt::Display for Lead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{} mm", self.mm, if self.pi { " pi" } else { "" })
    }
}

/// Two fractions around pi, `bits` bits apart at most.
///
/// Machin 1706: pi = 16 arctan(1/5) - 4 arctan(1/239). Each series alternates, so the error of
/// cutting it off is less than the first omitted term.
fn pi_between(bits: u32) -> (BigRational, BigRational) {
    let scale: BigInt = BigInt::from(1) << bits.saturating_add(16);
    let arctan_inverse = |n: u32| {
        let square = BigInt::from(n) * n;
        let mut term = &scale / n;
        let mut sum = term.clone();
        let mut k = 1_u32;
        while !term.is_zero() {
            term = &term / &square;
            k = k.saturating_add(2);
            let part = &term / k;
            if k % 4 == 3 { sum -= part } else { sum += part }
        }
        sum
    };
    let middle: BigInt = arctan_inverse(5) * 16 - arctan_inverse(239) * 4;
    // Each of the at most `bits` truncated divisions has an error below 1, times twenty.
    let slack = BigInt::from(40_u64.saturating_mul(u64::from(bits).saturating_add(16)));
    (BigRational::new(&middle - &slack, scale.clone()), BigRational::new(middle + slack, scale))
}

/// `value` against pi, decided by narrowing the bounds of pi until it is outside them.
pub(crate) fn compare_with_pi(value: &BigRational) -> Ordering {
    let mut bits = 128_u32;
    loop {
        let (low, high) = pi_between(bits);
        if *value <= low {
            return Ordering::Less;
        }
        if *value >= high {
            return Ordering::Greater;
        }
        bits = bits.saturating_mul(2);
    }
}

/// The error of a cut lead against the asked one: (cut - asked) / asked.
///
/// Plus means longer (coarser) than asked. For a target with pi there is no exact fraction; the
/// quotient cut / asked is then a fraction divided by pi.
///
/// ```
/// use solver::{Lead, LeadError};
/// let error = LeadError::of(&Lead::new("1143/1144 mm".parse()?), &Lead::new("1 mm".parse()?));
/// assert_eq!(error.exact().unwrap().to_string(), "-1/1144");
/// assert_eq!(format!("{:.1}", error.ppm()), "-874.1");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct LeadError {
    cut: Lead,
    asked: Lead,
}

impl LeadError {
    /// The error of `cut` against `asked`.
    pub const fn of(cut: &Lead, asked: &Lead) -> Self {
        Self { cut: *cut, asked: *asked }
    }

    /// The exact error; `None` with pi.
    pub fn exact(&self) -> Option<BigRational> {
        let (quotient, pi) = self.cut_over_asked();
        (pi == 0).then(|| quotient - BigRational::from_integer(1.into()))
    }

    /// Cut over asked: the fraction, and the power of pi that multiplies it (-1, 0 or 1).
    pub fn cut_over_asked(&self) -> (BigRational, i8) {
        let pi = i8::from(self.cut.pi).saturating_sub(i8::from(self.asked.pi));
        (self.cut.mm.to_big() / self.asked.mm.to_big(), pi)
    }

    /// Whether the lead is cut exactly as asked.
    pub fn is_zero(&self) -> bool {
        self.cut == self.asked
    }

    /// Parts per million, the nearest double: for printing.
    #[expect(clippy::float_arithmetic, reason = "the last step before printing")]
    pub fn ppm(&self) -> f64 {
        let error = self.exact().unwrap_or_else(|| {
            let (low, _) = pi_between(256);
            let (quotient, power) = self.cut_over_asked();
            let power = i32::from(power);
            quotient * num_traits::Pow::pow(&low, power) - BigRational::from_integer(1.into())
        });
        error.to_f64().unwrap_or(f64::NAN) * 1e6
    }

    /// |error| in `parts` parts of the asked lead, rounded down: 1/8000 in parts of 10^6 is 125.
    /// Exact with pi too.
    pub fn size_in(&self, parts: u64) -> u128 {
        // Called often.
        static FIRST: LazyLock<(BigRational, BigRational)> = LazyLock::new(|| pi_between(256));
        let one = BigRational::from_integer(1.into());
        let size = |pi: &BigRational| {
            let (quotient, power) = self.cut_over_asked();
            let cut = quotient * num_traits::Pow::pow(pi, i32::from(power));
            ((cut - &one).abs() * BigInt::from(parts)).to_integer()
        };
        let (mut low, mut high) = (size(&FIRST.0), size(&FIRST.1));
        let mut bits = 512_u32;
        while low != high {
            let pi = pi_between(bits);
            (low, high) = (size(&pi.0), size(&pi.1));
            bits = bits.saturating_mul(2);
        }
        low.to_u128().unwrap_or(u128::MAX)
    }

    /// Whether |error| is at most `tolerance` (a fraction: 200 ppm is 1/5000). Exact.
    pub fn within(&self, tolerance: &Ratio) -> bool {
        let one = BigRational::from_integer(1.into());
        let (low, high) = (&one - tolerance.to_big(), &one + tolerance.to_big());
        self.against(&low) != Ordering::Less && self.against(&high) != Ordering::Greater
    }

    /// Cut / asked compared with a plain fraction.
    fn against(&self, value: &BigRational) -> Ordering {
        let (quotient, pi) = self.cut_over_asked();
        against(&quotient, pi, value)
    }

    /// The order of |error|, exact; both must be errors against the same target.
    pub fn compare_size(&self, other: &Self) -> Ordering {
        let one = BigRational::from_integer(1.into());
        let ((x, pi), (y, _)) = (self.cut_over_asked(), other.cut_over_asked());
        let over = against(&x, pi, &one) != Ordering::Less;
        match (over, against(&y, pi, &one) != Ordering::Less) {
            (true, true) => x.cmp(&y),
            (false, false) => y.cmp(&x),
            // Opposite sides: x - 1 against 1 - y is x + y against 2.
            _ => {
                let order = against(&(x + y), pi, &BigRational::from_integer(2.into()));
                if over { order } else { order.reverse() }
            }
        }
    }

    /// Whether the lead is longer than asked.
    pub fn is_longer(&self) -> bool {
        self.against(&BigRational::from_integer(1.into())) == Ordering::Greater
    }
}

/// `quotient` x pi^`pi` against a plain fraction.
fn against(quotient: &BigRational, pi: i8, value: &BigRational) -> Ordering {
    match pi {
        0 => quotient.cmp(value),
        _ if !value.is_positive() => Ordering::Greater,
        // q / pi against v is q / v against pi; q pi against v is pi against v / q.
        -1 => compare_with_pi(&(quotient / value)),
        _ => compare_with_pi(&(value / quotient)).reverse(),
    }
}

/// The drive of the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Travel {
    /// The half nut on the lead screw.
    Thread,
    /// Power longitudinal feed.
    LongFeed,
    /// Power cross feed it.
    CrossFeed,
}

impl Travel {
    /// Whether it is a feed.
    pub const fn is_feed(self) -> bool {
        !matches!(self, Self::Thread)
    }
}

/// Hand of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Hand {
    /// The usual one: it goes away when turned clockwise.
    Right,
    /// The other one.
    Left,
}

impl Hand {
    /// The other hand.
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
}

impl fmt::Display for Hand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Right => "right",
            Self::Left => "left",
        })
    }
}

/// How a shaft turns against its driving shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Turns {
    /// In the same direction.
    #[default]
    Same,
    /// In the opposite direction.
    Opposite,
    /// Unknown: try it on the machine.
    Unknown,
}

impl Turns {
    /// The direction of two in a row.
    pub const fn then(self, next: Self) -> Self {
        match (self, next) {
            (Self::Unknown, _) | (_, Self::Unknown) => Self::Unknown,
            (Self::Same, other) => other,
            (Self::Opposite, Self::Same) => Self::Opposite,
            (Self::Opposite, Self::Opposite) => Self::Same,
        }
    }

    /// The direction of this many external meshes in a row.
    pub const fn of_meshes(meshes: usize) -> Self {
        if meshes.is_multiple_of(2) { Self::Same } else { Self::Opposite }
    }
}

#[cfg(test)]
#[expect(clippy::float_arithmetic, reason = "doubles as a rough second opinion")]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn big(n: i64, d: i64) -> BigRational {
        BigRational::new(n.into(), d.into())
    }

    // Digits of pi: any table, such as Abramowitz & Stegun, Handbook of Mathematical Functions,
    // table 1.1.
    #[test]
    fn pi_lies_between_its_bounds() {
        let digits: BigInt = "314159265358979323846264338327950288419716939937510".parse().unwrap();
        let scale = num_traits::Pow::pow(BigInt::from(10), 50_u32);
        let (below, above) =
            (BigRational::new(digits.clone(), scale.clone()), BigRational::new(digits + 1, scale));
        let (low, high) = pi_between(256);
        assert!(below < low && low < high && high < above);
        assert_eq!(compare_with_pi(&below), Ordering::Less);
        assert_eq!(compare_with_pi(&above), Ordering::Greater);
    }

    // The convergents 3, 22/7, 333/106, 355/113 of pi are below and above it in turn (Hardy &
    // Wright, An Introduction to the Theory of Numbers, ch. X).
    #[test]
    fn convergents_of_pi_lie_on_alternate_sides() {
        let sides: Vec<_> = [big(3, 1), big(22, 7), big(333, 106), big(355, 113)]
            .iter()
            .map(compare_with_pi)
            .collect();
        assert_eq!(sides, [Ordering::Less, Ordering::Greater, Ordering::Less, Ordering::Greater]);
    }

    // 22/7 is +402.5 ppm and 355/113 is +0.085 ppm from pi: arithmetic.
    #[test]
    fn errors_against_pi() {
        let worm = Lead::times_pi("1 mm".parse().unwrap());
        let of = |text: &str| LeadError::of(&Lead::new(text.parse().unwrap()), &worm);
        assert_eq!(format!("{:+.1}", of("22/7 mm").ppm()), "+402.5");
        assert_eq!(format!("{:+.3}", of("355/113 mm").ppm()), "+0.085");
        assert_eq!(of("22/7 mm").exact(), None);
        assert_eq!(of("355/113 mm").compare_size(&of("22/7 mm")), Ordering::Less);
        assert_eq!(of("333/106 mm").compare_size(&of("355/113 mm")), Ordering::Greater);
        assert!(of("22/7 mm").within(&Ratio::new(403, 1_000_000).unwrap()));
        assert!(!of("22/7 mm").within(&Ratio::new(402, 1_000_000).unwrap()));
        assert_eq!(of("22/7 mm").size_in(10_000_000), 4024);
        let plain = Lead::new("1 mm".parse().unwrap());
        let shorter = LeadError::of(&Lead::new("7999/8000 mm".parse().unwrap()), &plain);
        assert_eq!((shorter.size_in(8000), shorter.size_in(7999)), (1, 0));
    }

    /// A screw or a constant with pi in it never cuts a plain lead exactly: 22/7 mm is longer than
    /// pi mm, so pi mm is shorter than 22/7 mm.
    #[test]
    fn errors_of_leads_that_have_pi_themselves() {
        let pi = |text: &str| Lead::times_pi(text.parse().unwrap());
        let plain = |text: &str| Lead::new(text.parse().unwrap());
        let against = |text: &str| LeadError::of(&pi("1 mm"), &plain(text));
        assert!(!against("22/7 mm").is_longer() && against("333/106 mm").is_longer());
        assert!(against("22/7 mm").within(&Ratio::new(403, 1_000_000).unwrap()));
        assert!(!against("22/7 mm").within(&Ratio::new(402, 1_000_000).unwrap()));
        assert_eq!(format!("{:+.1}", against("22/7 mm").ppm()), "-402.3");
        assert_eq!(against("22/7 mm").size_in(10_000_000), 4023);
        let half = LeadError::of(&pi("1/2 mm"), &plain("11/7 mm"));
        assert_eq!(half.compare_size(&against("22/7 mm")), Ordering::Equal);
        let same = LeadError::of(&pi("1 mm"), &pi("2 mm"));
        assert_eq!((same.exact(), same.is_longer()), (Some(big(-1, 2)), false));
    }

    /// No short lead has an error of more than the whole; with pi the difference is not formed at
    /// all.
    #[test]
    fn a_wide_tolerance_takes_all_that_is_shorter() {
        let of = |lead: Lead| LeadError::of(&Lead::new("1 mm".parse().unwrap()), &lead);
        let (one, two) = (Ratio::ONE, Ratio::whole(2).unwrap());
        for asked in
            [Lead::times_pi("100 mm".parse().unwrap()), Lead::new("100 mm".parse().unwrap())]
        {
            assert!(of(asked).within(&one) && of(asked).within(&two));
            assert!(!of(asked).within(&Ratio::new(9, 10).unwrap()));
        }
        assert!(
            !LeadError::of(
                &Lead::new("4 mm".parse().unwrap()),
                &Lead::times_pi("1/10 mm".parse().unwrap())
            )
            .within(&two)
        );
        assert!(!of(Lead::new("1 mm".parse().unwrap())).is_longer());
    }

    #[test]
    fn a_target_has_bounds() {
        let lead = |text: &str| Lead::new(text.parse().unwrap()).checked_as_target();
        assert!(lead("1 mm").is_ok());
        assert!(lead("0.00001 mm").unwrap_err().is_conflict());
        assert!(lead("1e9 mm").unwrap_err().is_conflict());
        assert!(lead("1.00000000000000001 mm").unwrap_err().is_too_large());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn size_order_is_that_of_the_errors(a in 1_u64..1000, b in 1_u64..1000, c in 1_u64..1000, d in 1_u64..1000) {
            let asked = Lead::new("1 mm".parse().unwrap());
            let of = |n, d| LeadError::of(&Lead { mm: Ratio::table(n, d), pi: false }, &asked);
            let (x, y) = (of(a, b), of(c, d));
            prop_assert_eq!(x.compare_size(&y), x.exact().unwrap().abs().cmp(&y.exact().unwrap().abs()));
        }

        #[test]
        fn size_order_against_pi_agrees_with_doubles_where_they_are_sure(a in 1_u64..1000, b in 1_u64..1000, c in 1_u64..1000, d in 1_u64..1000) {
            let asked = Lead::times_pi("1 mm".parse().unwrap());
            let of = |n, d| LeadError::of(&Lead { mm: Ratio::table(n, d), pi: false }, &asked);
            let (x, y) = (of(a, b), of(c, d));
            let (p, q) = (x.ppm().abs(), y.ppm().abs());
            if (p - q).abs() > 1e-3 {
                prop_assert_eq!(x.compare_size(&y), p.total_cmp(&q));
            }
        }
    }
}
