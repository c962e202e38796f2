//! Numbers of any size, read from a lathe file's words; and pi between two fractions.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Signed;
use std::cmp::Ordering;

pub(crate) type Q = BigRational;

pub(crate) fn q(numer: i64, denom: i64) -> Q {
    Q::new(numer.into(), denom.into())
}

/// `3`, `0.25` or `16/23`.
pub(crate) fn number(text: &str) -> Q {
    let whole = |t: &str| -> BigInt { t.trim().parse().unwrap_or_else(|_| panic!("number {t}")) };
    if let Some((numer, denom)) = text.split_once('/') {
        return Q::new(whole(numer), whole(denom));
    }
    let (before, after) = text.split_once('.').unwrap_or((text, ""));
    let places = u32::try_from(after.len()).expect("few digits");
    Q::new(whole(&format!("{}{after}", before.trim())), BigInt::from(10).pow(places))
}

/// A ratio; nothing for `unknown`.
pub(crate) fn ratio(text: &str) -> Option<Q> {
    (text != "unknown").then(|| number(text))
}

/// Millimetres of `3 mm`, `1/8 in` or `8 tpi`; nothing for `unknown`.
pub(crate) fn millimetres(text: &str) -> Option<Q> {
    if text == "unknown" {
        return None;
    }
    let (amount, unit) = text.rsplit_once(' ').expect("a number and its unit");
    let inch = q(254, 10);
    Some(match unit {
        "mm" => number(amount),
        "in" => number(amount) * inch,
        "tpi" => inch / number(amount),
        _ => panic!("unit {unit}"),
    })
}

/// Module in mm of `module 1.25` or `20 DP`.
pub(crate) fn module(text: &str) -> Q {
    match text.strip_suffix(" DP") {
        Some(teeth_per_inch) => q(254, 10) / number(teeth_per_inch),
        None => number(text.strip_prefix("module ").expect("module or DP")),
    }
}

/// What a lead is asked to be: so many millimetres, or that times pi.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Target {
    pub(crate) mm: Q,
    pub(crate) pi: bool,
}

impl Target {
    pub(crate) fn plain(mm: Q) -> Self {
        Self { mm, pi: false }
    }

    /// The target at the lower and at the upper bound of pi (twice the same where there is no pi).
    fn bounds(&self) -> [Q; 2] {
        // Fifty decimals: Abramowitz & Stegun, Handbook of Mathematical Functions, table 1.1.
        const DIGITS: &str = "314159265358979323846264338327950288419716939937510";
        if !self.pi {
            return [self.mm.clone(), self.mm.clone()];
        }
        let digits: BigInt = DIGITS.parse().expect("digits");
        let scale = BigInt::from(10).pow(50);
        [digits.clone(), digits + 1].map(|pi| Q::new(pi, scale.clone()) * &self.mm)
    }

    /// How far a lead is from the target.
    pub(crate) fn miss(&self, lead: &Q) -> Miss {
        let [low, high] = self.bounds();
        let (from_low, from_high) = (lead - &low, lead - &high);
        let longer = from_low.is_positive();
        assert!(!self.pi || longer == from_high.is_positive(), "pi needs more digits");
        Miss { size: [from_low.abs() / low, from_high.abs() / high], longer }
    }
}

/// |cut - asked| / asked, at the lower and the upper bound of pi, and its sign.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Miss {
    size: [Q; 2],
    pub(crate) longer: bool,
}

impl Miss {
    /// The order of the errors' sizes: the same at both bounds of pi, so at pi.
    pub(crate) fn compare(&self, other: &Self) -> Ordering {
        let [a, b] = [0, 1].map(|i| self.size[i].cmp(&other.size[i]));
        assert!(a == b, "pi needs more digits");
        a
    }

    pub(crate) fn within(&self, tolerance: &Q) -> bool {
        let [a, b] = self.size.each_ref().map(|size| size <= tolerance);
        assert!(a == b, "pi needs more digits");
        a
    }

    /// Parts per million, rounded to a tenth and signed, as the worked examples print it.
    pub(crate) fn tenths_of_ppm(&self) -> i64 {
        let tenths = (&self.size[0] * q(10_000_000, 1)).round().to_integer();
        let tenths = i64::try_from(tenths).expect("a small error");
        if self.longer { tenths } else { -tenths }
    }
}
