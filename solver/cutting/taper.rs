//! What is measured where on a taper thread?
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
//! L2 is such that its last two threads reach the outside of the pipe: E0 + h + (L2 - 2 p) / 16 = D. Up to there
//! crests are whole.
//!
//! Lead and form are measured along the axis and square to it (ASME B1.20.1, form and depth; F. D. Jones,
//! Turning and Boring, ch. IV). Another taper thread begins with its blank: a screw at its small end, a nut at its
//! face.

use super::cone::Cone;
use super::measure::Factor;
use super::{Diameters, Measure, Side};
use crate::{Error, Lead, Length, Ratio, Result, Thread};

#[cfg(doc)]
use super::Cut;

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

/// Where a taper thread has its sizes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taper {
    /// ASME B1.20.1: outside the pipe, and L1.
    American { pipe: Length, gauge: Option<Length> },
    /// ISO 7-1: its gauge length.
    British { gauge: Length },
    /// Of no standard: its blank, and the length from end to end.
    Own { cone: Cone, blank: Length, over: Length },
}

/// Sizes and lengths of a taper thread.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tapered {
    /// Its taper.
    pub cone: Cone,
    /// Diameters where a screw begins; in a nut, a gauge length inside.
    pub small_end: Diameters,
    /// Diameters at the gauge plane: the face of a nut.
    pub gauge_plane: Diameters,
    /// From the small end to the gauge plane: L1 of ASME B1.20.1.
    pub gauge_length: Length,
    /// Turns in the gauge length: how far a gauge goes on by hand; `None`: a worm.
    pub turns: Option<Ratio>,
    /// Whose lengths they are.
    pub kind: Kind,
    /// Further figures of ASME B1.20.1; `None`: another taper.
    pub american: Option<American>,
}

/// Whose lengths a taper thread has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// ASME B1.20.1.
    American,
    /// ISO 7-1.
    British,
    /// No standard: the gauge plane is the large end, as stated.
    Own,
}

/// Further figures of ASME B1.20.1.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct American {
    /// Outside of the pipe.
    pub pipe: Length,
    /// Effective thread, L2.
    pub effective: Measure,
    /// Whole thread with the tool's run-out, L4.
    pub whole: Measure,
    /// From the small end to where the cone reaches the outside of the pipe: L2 less 2 pitches.
    pub crests: Measure,
}

impl Taper {
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

    /// Its taper.
    pub(super) const fn cone(self) -> Cone {
        match self {
            Self::Own { cone, .. } => cone,
            _ => Cone::PIPE,
        }
    }

    /// Major diameter at the gauge plane. `named` is the diameter of the thread's name, `crests` what is between
    /// major and minor diameter.
    pub(super) fn major(
        self,
        named: Option<Length>,
        pitch: &Lead,
        side: Side,
        crests: &Measure,
    ) -> Result<Measure> {
        match (self, side) {
            (Self::British { .. }, _) => named.map(Measure::from).ok_or_else(unknown),
            (Self::American { pipe, gauge }, _) => {
                american(&pipe, &gauge.ok_or_else(unknown)?, pitch).map(Measure::from)
            }
            (Self::Own { cone, blank, over }, Side::External) => {
                let large = blank.mm().plus(&cone.over(&over)?.mm())?;
                Ok(Length::from_mm(large).into())
            }
            (Self::Own { blank, .. }, Side::Internal) => Ok(Measure::from(blank).plus(crests)),
        }
    }

    /// Lengths, and the diameters at the small end from those at the gauge plane.
    pub(super) fn tapered(self, gauge_plane: Diameters, pitch: &Lead) -> Result<Tapered> {
        let (gauge_length, kind, american) = match self {
            Self::British { gauge } => (gauge, Kind::British, None),
            Self::Own { over, .. } => (over, Kind::Own, None),
            Self::American { pipe, gauge } => {
                let d = pipe.inches()?;
                let threads = d.times(&Ratio::table(4, 5))?.plus(&Ratio::table(34, 5))?;
                let crests = d.times(&Ratio::table(4, 5))?.plus(&Ratio::table(24, 5))?;
                let of = |threads: Ratio| Factor::Exact(threads).of(&Measure::from(*pitch));
                let whole = of(threads.plus(&Ratio::table(347, 100))?);
                let american = American { pipe, effective: of(threads), whole, crests: of(crests) };
                (gauge.ok_or_else(unknown)?, Kind::American, Some(american))
            }
        };
        let cone = self.cone();
        let grown = Measure::from(cone.over(&gauge_length)?);
        let small = |at: Measure| at.less(&grown).ok_or_else(too_thin);
        let turns = (!pitch.has_pi()).then(|| gauge_length.mm().over(&pitch.mm())).transpose()?;
        let Diameters { major, pitch, minor, root } = gauge_plane;
        let small_end = Diameters {
            major: small(major)?,
            pitch: small(pitch)?,
            minor: small(minor)?,
            root: small(root)?,
        };
        Ok(Tapered { cone, small_end, gauge_plane, gauge_length, turns, kind, american })
    }
}

/// E1 and the height of the thread: the major diameter at the gauge plane.
fn american(pipe: &Length, gauge: &Length, pitch: &Lead) -> Result<Length> {
    let (d, p) = (pipe.inches()?, Length::from_mm(pitch.mm()).inches()?);
    let less = d.times(&Ratio::table(1, 20))?.plus(&Ratio::table(11, 10))?.times(&p)?;
    let small = d.apart(&less)?.ok_or_else(unknown)?;
    let at_gauge = small.plus(&gauge.inches()?.times(&Cone::PIPE.on_diameter())?)?;
    Length::from_inch(at_gauge.plus(&p.times(&Ratio::table(4, 5))?)?)
}

fn too_thin() -> Error {
    Error::conflict("nothing is left of the thread at its small end")
        .with_hint("a larger blank, or a shorter thread")
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

    /// The formula of L2 against the cone: E0 + h + (L2 - 2 p) / 16 = D, for all 16 sizes.
    #[test]
    fn crests_are_whole_up_to_the_outside_of_the_pipe() {
        for (name, _) in AMERICAN {
            let of = tapered(name);
            let american = of.american.unwrap();
            let grown = of.small_end.major.mm() + american.crests.mm() / 16.0;
            assert!((grown - american.pipe.mm().to_f64()).abs() < 1e-9, "{name}");
            assert!(of.gauge_length.mm().to_f64() < american.effective.mm(), "{name}");
        }
    }

    /// 20 mm at the small end, 1 in 16 over 24 mm; a nut bored to 20 mm at its face.
    #[test]
    fn another_taper_begins_with_its_blank() {
        let cone = Cone::PIPE;
        let [blank, over] = ["20 mm", "24 mm"].map(|text| text.parse().unwrap());
        let screw = cut("1.5 mm").with_taper(cone, blank, over);
        let of = screw.tapered().unwrap().unwrap();
        assert_eq!(of.small_end.major.exact(), Some(blank));
        assert_eq!(of.gauge_plane.major.exact(), Some("21.5 mm".parse().unwrap()));
        assert_eq!((of.kind, of.turns), (Kind::Own, Some(Ratio::table(16, 1))));
        // 0.6495 P between major and pitch diameter, of the form (ISO 724).
        assert!((of.small_end.pitch.mm() - (20.0 - 1.5 * 0.649_519)).abs() < 1e-5);
        let nut = screw.with_side(Side::Internal).tapered().unwrap().unwrap();
        assert!((nut.gauge_plane.minor.mm() - 20.0).abs() < 1e-9);
        assert!((nut.gauge_plane.major.mm() - (20.0 + 1.5 * 1.082_532)).abs() < 1e-5);
        let far = cut("1.5 mm").with_taper(cone, "2 mm".parse().unwrap(), "40 mm".parse().unwrap());
        assert!(far.with_side(Side::Internal).tapered().is_err(), "nothing left inside");
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
