//! How large is the lead error over the length of engagement?

use crate::tolerance::{self, LengthBasis, Limits};
use crate::{LeadError, Length, Result, Target, cutting::Cut};

/// A figure; no verdict where something carries load.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ErrorOverLength {
    /// Length of engagement.
    pub over: Length,
    /// Its source.
    pub basis: Basis,
    /// Along the axis, in mm; plus: longer than asked.
    pub along_mm: f64,
    /// Its effect on the pitch diameter, in mm; `None`: the flank angle is unknown.
    pub on_diameter_mm: Option<f64>,
    /// Tolerance of the pitch diameter; `None`: no class is known.
    pub tolerance: Option<Length>,
    /// Effect as a part of that tolerance.
    pub share: Option<f64>,
}

/// The source of a length.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Stated.
    Stated,
    /// Usual for the thread.
    Usual(LengthBasis),
}

impl ErrorOverLength {
    pub(super) fn of(
        error: &LeadError,
        stated: Option<Length>,
        target: &Target,
        cut: Option<&Cut>,
        limits: Option<&Limits>,
    ) -> Result<Self> {
        let usual = || tolerance::default_length(target.thread().as_ref());
        let (over, basis) = stated.map_or_else(
            || {
                let (length, basis) = usual();
                (length, Basis::Usual(basis))
            },
            |over| (over, Basis::Stated),
        );
        let half = cut.map(|cut| cut.form().half_angle());
        let adds_up =
            half.map(|half| tolerance::cumulative_error(error, &over, &half)).transpose()?;
        let tolerance = limits.map(Limits::pitch_tolerance);
        Ok(Self {
            over,
            basis,
            along_mm: error.ppm() / 1e6 * over.mm().to_f64(),
            on_diameter_mm: adds_up.map(|adds_up| adds_up.on_diameter()),
            tolerance,
            share: adds_up.zip(tolerance).map(|(adds_up, tolerance)| adds_up.share(&tolerance)),
        })
    }
}
