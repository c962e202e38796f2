//! What is measured where on a taper pipe thread?
//!
//! ```text
//!     small end |<- gauge length ->| gauge plane         1 in 16 on the diameter:
//!          _____|_____________-----|------               half angle atan(1/32) = 1.7899 degrees
//!      axis ---------------------------------
//! ```
//!
//! ASME B1.20.1, inches, D outside the pipe, p the pitch: pitch diameter at the small end E0 = D - (0.05 D +
//! 1.1) p, at the gauge plane E1 = E0 + L1/16, height of the thread h = 0.8 p, effective thread L2 = (0.8 D +
//! 6.8) p, with the tool's run-out L4 = L2 + 3.47 p. The formulas are from memory; they give each of 16 rows of
//! two open tables, less two misprints (L2 of 3/8, L1 of 1 1/2). L1 is a figure of the table. ISO 7-1: the
//! diameters are those of the gauge plane, Whitworth form, depth 0.640327 P; the gauge lengths were read in
//! two open tables.
//!
//! Lead and form are measured along the axis and square to it (ASME B1.20.1, form and depth; F. D. Jones,
//! Turning and Boring, ch. IV): a taper attachment keeps the geared lead. With the tailstock set over, the
//! carriage runs along the cone, and the lead along the axis is the cosine of the half angle of what is geared.

use super::measure::Factor;
use super::{Diameters, Measure};
use crate::{Error, Lead, Length, Ratio, Result, Thread};

/// 1 in 16 on the diameter: ISO 7-1 and ASME B1.20.1.
pub(super) const TAPER: Ratio = Ratio::table(1, 16);

/// L1 of ASME B1.20.1, in 0.0001 in.
const AMERICAN: [(&str, u64); 16] = [
    ("1/16 NPT", 1600),
    ("1/8 NPT", 1615),
    ("1/4 NPT", 2278),
    ("3/8 NPT", 2400),
    ("1/2 NPT", 3200),
    ("3/4 NPT", 3390),
    ("1 NPT", 4000),
    ("1 1/4 NPT", 4200),
    ("1 1/2 NPT", 4200),
    ("2 NPT", 4360),
    ("2 1/2 NPT", 6820),
    ("3 NPT", 7660),
    ("3 1/2 NPT", 8210),
    ("4 NPT", 8440),
    ("5 NPT", 9370),
    ("6 NPT", 9580),
];

/// Gauge lengths of ISO 7-1, in micrometres.
const BRITISH: [(&str, u64); 15] = [
    ("R 1/16", 4000),
    ("R 1/8", 4000),
    ("R 1/4", 6000),
    ("R 3/8", 6400),
    ("R 1/2", 8200),
    ("R 3/4", 9500),
    ("R 1", 10_400),
    ("R 1 1/4", 12_700),
    ("R 1 1/2", 12_700),
    ("R 2", 15_900),
    ("R 2 1/2", 17_500),
    ("R 3", 20_600),
    ("R 4", 25_400),
    ("R 5", 28_600),
    ("R 6", 28_600),
];

/// A taper pipe thread: the lengths of its standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pipe {
    /// ASME B1.20.1: outside the pipe, and L1.
    American { pipe: Length, gauge: Option<Length> },
    /// ISO 7-1: its gauge length.
    British { gauge: Length },
}

/// Sizes and lengths of a taper pipe thread.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tapered {
    /// Diameters where a screw begins; in a nut, a gauge length inside.
    pub small_end: Diameters,
    /// Diameters at the gauge plane: the face of a nut.
    pub gauge_plane: Diameters,
    /// From the small end to the gauge plane: L1 of ASME B1.20.1.
    pub gauge_length: Length,
    /// Effective thread, L2, and whole thread with the tool's run-out, L4, of ASME B1.20.1.
    pub american: Option<[Measure; 2]>,
}

impl Tapered {
    /// Growth of the diameter along the axis.
    pub const fn taper(&self) -> Ratio {
        TAPER
    }

    /// Half angle of the cone, in degrees.
    ///
    /// ```
    /// let thread = solver::cutting::Cut::of(&"1/2 NPT".parse()?)?;
    /// let of = thread.tapered()?.unwrap();
    /// assert_eq!(format!("{:.4}", of.half_angle()), "1.7899");
    /// assert_eq!(format!("{:.1}", of.set_over_ppm()), "-487.9");
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn half_angle(&self) -> f64 {
        (self.taper().to_f64() / 2.0).atan().to_degrees()
    }

    /// Error of the lead along the axis, in ppm, if the tailstock is set over for the taper.
    pub fn set_over_ppm(&self) -> f64 {
        1e6 * (self.half_angle().to_radians().cos() - 1.0)
    }
}

impl Pipe {
    /// `None`: a parallel thread.
    pub(super) fn of(thread: &Thread) -> Option<Self> {
        let of = |table: &[(&str, u64)]| {
            table.iter().find(|row| row.0 == thread.designation()).map(|row| row.1)
        };
        match thread.series().key() {
            "npt" => {
                let inches = of(&AMERICAN).map(|parts| Ratio::table(parts, 10_000));
                let gauge = inches.and_then(|inches| Length::from_inch(inches).ok());
                Some(Self::American { pipe: thread.diameter()?, gauge })
            }
            "r" => of(&BRITISH)
                .map(|um| Self::British { gauge: Length::from_mm(Ratio::table(um, 1000)) }),
            _ => None,
        }
    }

    /// Major diameter at the gauge plane; `named` is the diameter of the thread's name.
    pub(super) fn major(self, named: Length, pitch: &Lead) -> Result<Length> {
        let Self::American { pipe, gauge } = self else { return Ok(named) };
        let gauge = gauge.ok_or_else(unknown)?;
        let (d, p) = (pipe.inches()?, Length::from_mm(pitch.mm()).inches()?);
        let less = d.times(&Ratio::table(1, 20))?.plus(&Ratio::table(11, 10))?.times(&p)?;
        let small = d.apart(&less)?.ok_or_else(unknown)?;
        let at_gauge = small.plus(&gauge.inches()?.times(&TAPER)?)?;
        Length::from_inch(at_gauge.plus(&p.times(&Ratio::table(4, 5))?)?)
    }

    /// Lengths, and the diameters at the small end from those at the gauge plane.
    pub(super) fn tapered(self, gauge_plane: Diameters, pitch: &Lead) -> Result<Tapered> {
        let (gauge_length, american) = match self {
            Self::British { gauge } => (gauge, None),
            Self::American { pipe, gauge } => {
                let d = pipe.inches()?;
                let threads = d.times(&Ratio::table(4, 5))?.plus(&Ratio::table(34, 5))?;
                let of = |threads: Ratio| Factor::Exact(threads).of(&Measure::from(*pitch));
                let whole = threads.plus(&Ratio::table(347, 100))?;
                (gauge.ok_or_else(unknown)?, Some([of(threads), of(whole)]))
            }
        };
        let grown = Factor::Exact(TAPER).of(&Measure::from(gauge_length));
        let small = |at: Measure| at.less(&grown).ok_or_else(unknown);
        let Diameters { major, pitch, minor, root } = gauge_plane;
        let small_end = Diameters {
            major: small(major)?,
            pitch: small(pitch)?,
            minor: small(minor)?,
            root: small(root)?,
        };
        Ok(Tapered { small_end, gauge_plane, gauge_length, american })
    }
}

fn unknown() -> Error {
    Error::unknown("the gauge length of this size is not known here")
        .with_hint("the tables of ASME B1.20.1")
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::super::{Side, Tip};
    use super::*;

    fn tapered(text: &str) -> Tapered {
        cut(text).tapered().unwrap().unwrap()
    }

    #[test]
    fn only_pipe_tapers_have_a_small_end() {
        assert!(cut("M10").tapered().unwrap().is_none());
        assert!(cut("G 1/2").tapered().unwrap().is_none());
        let error = cut("8 NPT").tapered().unwrap_err();
        assert!(error.is_unknown() && error.hint() == Some("the tables of ASME B1.20.1"));
    }

    /// 1/2 NPT from the formulas, exact: E0 = 0.84 - (0.042 + 1.1)/14.
    #[test]
    fn american_pipe_threads_stay_exact() {
        let half = tapered("1/2 NPT");
        let inches = |m: Measure| m.exact().unwrap().inches().unwrap();
        assert_eq!(inches(half.small_end.pitch), "5309/7000".parse().unwrap());
        assert_eq!(inches(half.gauge_plane.pitch), "5449/7000".parse().unwrap());
        assert_eq!(half.gauge_length.inches().unwrap(), "8/25".parse().unwrap());
    }

    /// As deep at the small end as at the gauge plane, for screw and nut.
    #[test]
    fn a_cone_keeps_its_depth() {
        for text in ["1/2 NPT", "2 1/2 NPT", "R 3/4", "R 6"] {
            for side in [Side::External, Side::Internal] {
                let cut = cut(text).with_side(side);
                let of = cut.tapered().unwrap().unwrap();
                let depth = cut.depth(Tip::Form).unwrap().depth.mm();
                for at in [of.small_end, of.gauge_plane] {
                    assert!(
                        ((at.blank(side).mm() - at.root.mm()).abs() / 2.0 - depth).abs() < 1e-9
                    );
                }
                let grown = of.gauge_plane.pitch.mm() - of.small_end.pitch.mm();
                assert!((grown * 16.0 - of.gauge_length.mm().to_f64()).abs() < 1e-9, "{text}");
            }
        }
    }
}
