//! Does a lead error matter? Its effect over the length of engagement.
//!
//! A lead error e over a length L adds up to e L along the axis. To screw together all the same, the
//! pitch diameter must give way by that times the cotangent of half the included angle; compare that
//! with its tolerance. Lecture notes on the measurement of screw threads derive it; the figures of
//! the tests are computed. A share is a figure and no verdict: for pressure, lifting, vehicle and
//! other load-carrying work ask a qualified person and the standard.

#![expect(clippy::float_arithmetic, reason = "a cotangent, and figures to print")]

use crate::{Error, LeadError, Length, Ratio, Result};

/// The lead error at the end of a length.
///
/// ```
/// use solver::tolerance::{Class, Limits, cumulative_error};
/// use solver::{Lead, LeadError, thread};
/// // M10, 0.1 % long, over 15 mm.
/// let error = LeadError::of(&Lead::new("1.5015 mm".parse()?), &Lead::new("1.5 mm".parse()?));
/// let sum = cumulative_error(&error, &"15 mm".parse()?, &"30".parse()?)?;
/// assert_eq!(format!("{:.4} {:.4}", sum.along(), sum.on_diameter()), "0.0150 0.0260");
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// let tolerance = Limits::of(&m10, "6g".parse()?)?.pitch_tolerance();
/// assert_eq!(format!("{:.0} %", 100.0 * sum.share(&tolerance)), "20 %"); // of 0.132 mm
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CumulativeError {
    along: f64,
    cotangent: f64,
}

impl CumulativeError {
    /// Along the axis, in mm; plus: longer than asked.
    pub const fn along(&self) -> f64 {
        self.along
    }

    /// Its effect on the pitch diameter, in mm, without a sign: a bolt must be smaller by it, or a
    /// nut larger.
    pub fn on_diameter(&self) -> f64 {
        self.along.abs() * self.cotangent
    }

    /// The same as a part of a tolerance of the pitch diameter; over 1: more than all of it.
    pub fn share(&self, tolerance: &Length) -> f64 {
        self.on_diameter() / tolerance.mm().to_f64()
    }
}

/// The lead error over a length; `half_angle` is half the included flank angle, in degrees.
///
/// # Errors
/// If the half angle is not below 90 degrees.
pub fn cumulative_error(
    error: &LeadError,
    length: &Length,
    half_angle: &Ratio,
) -> Result<CumulativeError> {
    Ok(CumulativeError {
        along: error.ppm() / 1e6 * length.mm().to_f64(),
        cotangent: diameter_equivalent(half_angle)?,
    })
}

/// Effect on the pitch diameter for each unit along the axis: the cotangent of half the included
/// angle, in degrees.
///
/// # Errors
/// If the half angle is not below 90 degrees.
pub fn diameter_equivalent(half_angle: &Ratio) -> Result<f64> {
    if *half_angle >= Ratio::table(90, 1) {
        return Err(Error::conflict(format!("half an included angle of {half_angle} degrees"))
            .with_hint("below 90 degrees: 30 for metric and unified threads"));
    }
    Ok(1.0 / half_angle.to_f64().to_radians().tan())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Lead;

    fn error(cut: &str, asked: &str) -> LeadError {
        let lead = |text: &str| Lead::new(text.parse().unwrap());
        LeadError::of(&lead(cut), &lead(asked))
    }

    fn of(error: &LeadError, length: &str, half: &str) -> CumulativeError {
        cumulative_error(error, &length.parse().unwrap(), &half.parse().unwrap()).unwrap()
    }

    #[test]
    fn the_sign_tells_longer_from_shorter_and_the_diameter_has_none() {
        let (long, short) = (error("1.001 mm", "1 mm"), error("0.999 mm", "1 mm"));
        let (long, short) = (of(&long, "10 mm", "30"), of(&short, "10 mm", "30"));
        assert!((long.along() - 0.01).abs() < 1e-12 && (short.along() + 0.01).abs() < 1e-12);
        assert!((long.on_diameter() - 0.017_320_508).abs() < 1e-9);
        assert!((short.on_diameter() - long.on_diameter()).abs() < 1e-12);
        assert!((short.share(&"0.1 mm".parse().unwrap()) - 0.173_205).abs() < 1e-6);
    }

    #[test]
    fn no_error_adds_up_to_nothing() {
        let none = of(&error("1 mm", "1 mm"), "25 mm", "14.5");
        assert!(none.along().abs() < 1e-15 && none.on_diameter().abs() < 1e-15);
    }

    /// Module 1 cut with 22/7 for pi: 402.5 ppm long, over 25 mm 0.0101 mm.
    #[test]
    fn errors_of_worms_add_up_too() {
        let asked = Lead::times_pi("1 mm".parse().unwrap());
        let error = LeadError::of(&Lead::new("22/7 mm".parse().unwrap()), &asked);
        assert!((of(&error, "25 mm", "20").along() - 0.010_062_4).abs() < 1e-6);
    }

    #[test]
    fn a_flat_face_is_no_flank() {
        assert!(diameter_equivalent(&"90".parse().unwrap()).unwrap_err().is_conflict());
        assert!(diameter_equivalent(&"89".parse().unwrap()).unwrap() > 0.0);
    }
}
