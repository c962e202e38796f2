//! What are the tolerances of general purpose Acme threads? ASME B1.5, classes 2G, 3G and 4G, by its
//! formulas.
//!
//! From memory and unverified; the tests compare a row of its table, from memory too. Inches, P =
//! 1/n: pitch diameter of 2G 0.030 √P + 0.006 √D, of 3G 0.014 √P + 0.0028 √D, of 4G 0.010 √P + 0.002
//! √D; a screw is 0.008 √D, 0.006 √D, 0.004 √D below the basic size. Crests 0.05 P, at least 0.005
//! in for the screw. The root of a screw is 0.020 in (0.010 in finer than 10 TPI) below the nut's
//! crest and may be 1.5 pitch tolerances deeper. That of a nut is as far above the screw's crest,
//! with the same again as tolerance. Each figure is rounded to 0.0001 in.

use super::b1_1::{part, root, ten_thousandths};
use super::class::Grade;
use crate::{Length, Ratio, Result};
use num_rational::BigRational;

/// Places of a square root.
const PLACES: u32 = 24;

/// Tolerances of a size and class.
pub(super) struct Tolerances {
    /// How far a screw is below the basic size.
    pub(super) allowance: Length,
    /// Pitch diameter.
    pub(super) pitch: Length,
    /// Major diameter of a screw.
    pub(super) screw: Length,
    /// Minor diameter of a nut.
    pub(super) nut: Length,
    /// Minor diameter of a screw.
    pub(super) root: Length,
}

pub(super) fn tolerances(diameter: &Length, pitch: &Length, grade: Grade) -> Result<Tolerances> {
    let inches = |length: &Length| length.mm().to_big() / Ratio::INCH.to_big();
    let (d, p) = (inches(diameter), inches(pitch));
    let (of_pitch, of_diameter, allowance) = match grade {
        Grade::Two => (300, 60, 80),
        Grade::Three => (140, 28, 60),
        _ => (100, 20, 40),
    };
    let share = |ten_thousandths: u32, of: &BigRational| {
        part(ten_thousandths, 10_000) * root(of, 2, PLACES)
    };
    let flank = ten_thousandths(&(share(of_pitch, &p) + share(of_diameter, &d)))?;
    let twentieth = part(1, 20) * &p;
    Ok(Tolerances {
        allowance: ten_thousandths(&share(allowance, &d))?,
        pitch: flank,
        screw: ten_thousandths(&twentieth.clone().max(part(5, 1000)))?,
        nut: ten_thousandths(&twentieth)?,
        root: ten_thousandths(&(part(3, 2) * inches(&flank)))?,
    })
}
