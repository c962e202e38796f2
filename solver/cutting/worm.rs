//! Which axial module has a worm whose wheel is cut with a cutter of this module?
//!
//! The wheel's cutter has the module of the normal section; the lathe cuts the axial one:
//! m = n / cos(l), with m the axial and n the normal module; tan(l) = starts x m / d, so sin(l) = starts x
//! n / d (geometry of the helix; ISO 1122-2 and any text on worms, from memory).

use super::Measure;
use crate::{Error, Length, Ratio, Result, bounds};

/// A worm from its normal module.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Normal {
    /// Axial module: the pitch is pi times it. Never exact.
    pub axial: Measure,
    /// Lead angle at the pitch diameter, in degrees.
    pub lead_angle: f64,
}

/// The axial module of a worm, from the normal module, its starts and its pitch diameter.
///
/// ```
/// use solver::cutting::axial_module;
/// let worm = axial_module("2 mm".parse()?, 1, "20 mm".parse()?)?;
/// assert_eq!(format!("{:.4}", worm.axial.mm()), "2.0101");
/// assert_eq!(format!("{:.3}", worm.lead_angle), "5.739");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the starts are out of bounds, or too many for the diameter.
pub fn axial_module(normal: Length, starts: u8, pitch_diameter: Length) -> Result<Normal> {
    let starts = bounds::STARTS.check(starts.into())?;
    let around = normal.mm().times(&Ratio::whole(starts)?)?;
    if around >= pitch_diameter.mm() {
        return Err(Error::conflict(format!(
            "{starts} starts of module {} don't fit a pitch diameter of {pitch_diameter}",
            normal.mm()
        ))
        .with_hint("a larger diameter or fewer starts"));
    }
    let sine = around.over(&pitch_diameter.mm())?.to_f64();
    let cosine = ((1.0 - sine) * (1.0 + sine)).sqrt();
    Ok(Normal {
        axial: Measure::rounded(normal.mm().to_f64() / cosine),
        lead_angle: sine.asin().to_degrees(),
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn starts_must_find_room() {
        let of = |starts| axial_module("2 mm".parse().unwrap(), starts, "20 mm".parse().unwrap());
        assert!(of(9).is_ok() && of(10).unwrap_err().is_conflict());
        assert!(of(0).unwrap_err().is_range() && of(100).unwrap_err().is_range());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The lead angle from the axial module by unwinding, and the normal module from that.
        #[test]
        fn there_and_back(tenths in 5_u64..50, starts in 1_u8..8, around in 80_u64..400) {
            let normal = Length::from_mm(Ratio::table(tenths, 10));
            let diameter = Length::from_mm(Ratio::table(tenths * around, 100));
            let worm = axial_module(normal, starts, diameter).unwrap();
            let by_lead = (f64::from(starts) * worm.axial.mm() / diameter.mm().to_f64()).atan();
            prop_assert!((by_lead.to_degrees() - worm.lead_angle).abs() < 1e-6);
            let back = worm.axial.mm() * by_lead.cos();
            prop_assert!((back - normal.mm().to_f64()).abs() < 1e-9 * back);
        }
    }

    #[test]
    fn only_worms_have_a_module() {
        assert_eq!(
            cut("module 3/2").module(),
            Some(Measure::from("1.5 mm".parse::<Length>().unwrap()))
        );
        assert_eq!(cut("M10").module(), None);
    }
}
