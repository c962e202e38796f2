//! What are the tolerances and allowances of unified threads? ASME B1.1, by its formulas.
//!
//! Pitch diameter, inches: T = 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3); class 1A 1.5 T, 2A
//! T, 3A 0.75 T, 1B 1.95 T, 2B 1.3 T, 3B 0.975 T; allowance of 1A and 2A 0.3 T. Basic size,
//! allowance and tolerance are each rounded to 0.0001 in and then added: that gives the standard's
//! table, while rounding the sum does not. The formulas are from two open sources, compared with 387
//! limits.
//!
//! Crests, from memory: major diameter of a bolt 0.06 P^(2/3), class 1A 0.09 P^(2/3). Minor diameter of
//! a nut: 3B 0.05 P^(2/3) + 0.03 P/D - 0.002, not over 0.394 P, not under 0.23 P - 1.5 P² (12 TPI and
//! coarser: 0.12 P); 1B and 2B from 1/4 in up 0.25 P - 0.4 P² (coarser than 4 TPI: 0.15 P), below
//! 1/4 in as 3B, but not under 0.25 P - 0.4 P². From 0.138 in up the least minor diameter is rounded
//! to 0.001 in, and the greatest of 1B and 2B too.
//!
//! Roots are whole numbers in units of 10^-24 in. So D = 1, P = 1/8, where T is exactly 0.00675, is
//! rounded to the right side.

use super::class::Number;
use crate::{Error, Length, Ratio, Result, Thread};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::ToPrimitive;

/// Roots are cut off at this many places: T is known to 10^-25 in or better.
const PLACES: u32 = 24;

/// The length of engagement of the pitch tolerance: the diameter (UNC, UNF, and UN of 4, 6 and 8
/// TPI), else 9 pitches.
pub(super) fn engagement(thread: &Thread, diameter: &Length) -> Result<Length> {
    let pitch = super::pitch(thread);
    let tpi = Ratio::INCH.over(&pitch.mm())?;
    let by_diameter = match thread.series().key() {
        "unc" | "unf" => true,
        _ => [4, 6, 8].into_iter().any(|coarse| tpi == Ratio::table(coarse, 1)),
    };
    if by_diameter { Ok(*diameter) } else { nine_pitches(&pitch) }
}

pub(super) fn nine_pitches(pitch: &Length) -> Result<Length> {
    Ok(Length::from_mm(pitch.mm().times(&Ratio::table(9, 1))?))
}

/// Inputs of the formulas, in inches.
pub(super) struct Sizes {
    diameter: BigRational,
    pitch: BigRational,
    /// P^(2/3).
    two_thirds: BigRational,
    /// T.
    unit: BigRational,
}

impl Sizes {
    pub(super) fn new(diameter: &Length, pitch: &Length, engagement: &Length) -> Self {
        Self::cut_off_at(diameter, pitch, engagement, PLACES)
    }

    fn cut_off_at(diameter: &Length, pitch: &Length, engagement: &Length, places: u32) -> Self {
        let [diameter, pitch, engagement] =
            [diameter, pitch, engagement].map(|length| length.mm().to_big() / Ratio::INCH.to_big());
        let two_thirds = root(&(&pitch * &pitch), 3, places);
        let unit = part(15, 10_000) * (root(&diameter, 3, places) + root(&engagement, 2, places))
            + part(15, 1000) * &two_thirds;
        Self { diameter, pitch, two_thirds, unit }
    }

    /// How far a bolt is below the basic size.
    pub(super) fn allowance(&self, number: Number) -> Result<Option<Length>> {
        match number {
            Number::Three => Ok(None),
            Number::One | Number::Two => ten_thousandths(&(part(3, 10) * &self.unit)).map(Some),
        }
    }

    /// Tolerance of the pitch diameter.
    pub(super) fn pitch_tolerance(&self, number: Number, internal: bool) -> Result<Length> {
        ten_thousandths(&(factor(number, internal) * &self.unit))
    }

    /// Tolerance of a bolt's major diameter.
    pub(super) fn major_tolerance(&self, number: Number) -> Result<Length> {
        let hundredths = if number == Number::One { 9 } else { 6 };
        ten_thousandths(&(part(hundredths, 100) * &self.two_thirds))
    }

    /// Tolerance of a nut's minor diameter.
    pub(super) fn minor_tolerance(&self, number: Number) -> Result<Length> {
        let p = &self.pitch;
        let square = p * p;
        let (coarse, quarter) = (*p > part(1, 4), part(1, 4));
        let line = if coarse { part(15, 100) * p } else { &quarter * p - part(4, 10) * &square };
        let value = if number == Number::Three {
            let fine = *p <= part(1, 13);
            let least =
                if fine { part(23, 100) * p - part(15, 10) * square } else { part(12, 100) * p };
            self.crest().max(least)
        } else if self.diameter >= quarter {
            line
        } else {
            self.crest().max(line)
        };
        ten_thousandths(&value)
    }

    fn crest(&self) -> BigRational {
        let p = &self.pitch;
        let value = part(5, 100) * &self.two_thirds + part(3, 100) * p / &self.diameter;
        (value - part(2, 1000)).min(part(394, 1000) * p)
    }

    /// Whether minor diameters of nuts are rounded to 0.001 in.
    pub(super) fn in_thousandths(&self) -> bool {
        self.diameter >= part(138, 1000)
    }
}

/// Its multiple of T.
fn factor(number: Number, internal: bool) -> BigRational {
    let thousandths = match (number, internal) {
        (Number::One, false) => 1500,
        (Number::Two, false) => 1000,
        (Number::Three, false) => 750,
        (Number::One, true) => 1950,
        (Number::Two, true) => 1300,
        (Number::Three, true) => 975,
    };
    part(thousandths, 1000)
}

pub(super) fn part(numer: u32, denom: u32) -> BigRational {
    BigRational::new(numer.into(), denom.into())
}

/// The n-th root of a positive number, cut off after `places` places: exact where it ends there.
pub(super) fn root(value: &BigRational, n: u32, places: u32) -> BigRational {
    let scale = BigInt::from(10).pow(places);
    let scaled = value.numer() * scale.pow(n) / value.denom();
    BigRational::new(scaled.nth_root(n), scale)
}

/// To the nearest 0.0001 in.
pub(super) fn ten_thousandths(inches: &BigRational) -> Result<Length> {
    let steps = steps(inches, 10_000)
        .ok_or_else(|| Error::too_large("a tolerance").with_hint("a diameter that can be cut"))?;
    let inches = Ratio::new(steps.into(), 10_000)
        .map_err(|_| Error::conflict("the pitch is too fine for ASME B1.1"))?;
    Length::from_inch(inches)
}

/// To the nearest 0.001 in.
pub(super) fn thousandths(length: &Length) -> Result<Length> {
    let steps =
        steps(&length.inches()?.to_big(), 1000).ok_or_else(|| Error::too_large("a diameter"))?;
    Length::from_inch(Ratio::new(steps.into(), 1000)?)
}

/// The number of steps, `to_the_inch` to the inch; a middle is rounded up.
fn steps(inches: &BigRational, to_the_inch: u32) -> Option<u64> {
    (inches * part(to_the_inch, 1) + part(1, 2)).floor().to_integer().to_u64()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread;
    use crate::tolerance::Standard;

    const NUMBERS: [Number; 3] = [Number::One, Number::Two, Number::Three];

    fn every_tolerance(sizes: &Sizes) -> Vec<Option<Length>> {
        let mut all = Vec::new();
        for number in NUMBERS {
            all.push(sizes.allowance(number).unwrap());
            for internal in [false, true] {
                all.push(Some(sizes.pitch_tolerance(number, internal).unwrap()));
            }
            all.push(Some(sizes.major_tolerance(number).unwrap()));
            all.push(Some(sizes.minor_tolerance(number).unwrap()));
        }
        all
    }

    /// Past a pitch of 1/4 in the nut's tolerance is 0.15 P, below it 0.25 P - 0.4 P²: both are 0.0375
    /// in there (ASME B1.1, formulas for minor diameters of internal threads).
    #[test]
    fn coarse_nuts_have_a_tolerance_of_their_own() {
        let inch = |text: &str| format!("{text} in").parse::<Length>().unwrap();
        for (pitch, tolerance) in [("0.3", "0.045"), ("0.25", "0.0375"), ("0.2", "0.034")] {
            let sizes = Sizes::new(&inch("3"), &inch(pitch), &inch("3"));
            for number in [Number::One, Number::Two] {
                assert_eq!(sizes.minor_tolerance(number).unwrap(), inch(tolerance), "{pitch}");
            }
        }
    }

    /// T cut off at 24 places is at most 180 x 10^-28 in short. Adding that changes no figure of any
    /// thread, so no rounding depends on the places cut off.
    #[test]
    fn no_rounding_is_in_doubt() {
        let mut checked = 0;
        for thread in thread::all().filter(|t| Standard::of(t.series()) == Some(Standard::AsmeB11))
        {
            let (d, p) = (thread.diameter().unwrap(), crate::tolerance::pitch(&thread));
            let length = engagement(&thread, &d).unwrap();
            let low = Sizes::new(&d, &p, &length);
            let more = BigRational::new(1.into(), BigInt::from(10).pow(PLACES));
            let high = Sizes {
                diameter: low.diameter.clone(),
                pitch: low.pitch.clone(),
                two_thirds: &low.two_thirds + &more,
                unit: &low.unit + &more,
            };
            assert_eq!(every_tolerance(&low), every_tolerance(&high), "{thread}");
            checked += 1;
        }
        assert_eq!(checked, 394);
    }

    /// 1-8 UNC: cube root of 1, root of 1 and (1/8)^(2/3) = 1/4 are exact, so T = 0.00675 is an
    /// exact middle; the printed tolerance of 2A is 0.0068.
    #[test]
    fn a_true_middle_goes_up() {
        let inch = |text: &str| text.parse::<Length>().unwrap();
        let sizes = Sizes::new(&inch("1 in"), &inch("1/8 in"), &inch("1 in"));
        assert_eq!(sizes.unit, part(675, 100_000));
        assert_eq!(sizes.pitch_tolerance(Number::Two, false).unwrap(), inch("0.0068 in"));
        assert_eq!(sizes.allowance(Number::Two).unwrap(), Some(inch("0.002 in")));
    }

    #[test]
    fn few_places_would_leave_doubt() {
        let d: Length = "1 in".parse().unwrap();
        let p: Length = "1/8 in".parse().unwrap();
        let rough = Sizes::cut_off_at(&"1.5 in".parse().unwrap(), &p, &d, 2);
        let fine = Sizes::new(&"1.5 in".parse().unwrap(), &p, &d);
        assert_ne!(every_tolerance(&rough), every_tolerance(&fine));
    }
}
