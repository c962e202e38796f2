//! What is the basic profile? The diameters that limits count from, rounded as the standards print
//! them.
//!
//! 60 degrees (ISO 68-1, ASME B1.1): H = (sqrt 3 / 2) P, d2 = d - 2 (3/8) H, d1 = d - 2 (5/8) H, and at
//! the root of a bolt that is rounded to H/6: d3 = d - 2 (17/24) H. ISO 724 rounds to 0.001 mm, B1.1 to
//! 0.0001 in. Whitworth's 55 degrees (BS 84, ISO 228-1): H = P / (2 tan 27.5 degrees), depth h = 2/3 H,
//! d2 = d - h, d1 = d - 2h; BS 84 rounds each to 0.0001 in, ISO 228-1 rounds h to 0.001 mm.

use crate::thread::Series;
use crate::{Error, Length, Ratio, Result, Thread};

/// Parts of the pitch to 18 places. A test shows that no thread is so near to a middle between two
/// steps that more places would matter.
const fn share(quintillionths: u64) -> Ratio {
    Ratio::table(quintillionths, 1_000_000_000_000_000_000)
}
/// 3 sqrt(3) / 8.
const PITCH_60: Ratio = share(649_519_052_838_328_985);
/// 5 sqrt(3) / 8.
const MINOR_60: Ratio = share(1_082_531_754_730_548_308);
/// 17 sqrt(3) / 24.
const ROOT_60: Ratio = share(1_226_869_322_027_954_750);
/// 1 / (3 tan 27.5 degrees).
const DEPTH_55: Ratio = share(640_327_375_657_055_283);

/// The smallest step of a standard's figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    /// 0.001 mm.
    Micrometre,
    /// 0.0001 in.
    TenthOfThou,
}

impl Step {
    const fn mm(self) -> Ratio {
        match self {
            Self::Micrometre => Ratio::table(1, 1000),
            Self::TenthOfThou => Ratio::table(127, 50_000),
        }
    }

    /// The nearest whole step; a middle is rounded up.
    pub(super) fn nearest(self, mm: &Ratio) -> Result<Length> {
        let steps = mm.over(&self.mm())?.plus(&Ratio::table(1, 2))?;
        let whole = Ratio::new(steps.numer() / steps.denom(), 1)?;
        Ok(Length::from_mm(whole.times(&self.mm())?))
    }
}

/// Difference of two sizes.
pub(super) fn less(from: &Ratio, by: &Ratio) -> Result<Ratio> {
    match from.apart(by)? {
        Some(rest) if from > by => Ok(rest),
        _ => Err(Error::conflict("the pitch is too large for the diameter")
            .with_hint("a larger diameter, or a finer pitch")),
    }
}

/// Basic diameters of a thread: external and internal threads have the same.
///
/// ```
/// use solver::thread;
/// use solver::tolerance::Basic;
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// let basic = Basic::of(&m10)?.unwrap();
/// assert_eq!(basic.pitch(), "9.026 mm".parse()?); // ISO 724
/// assert_eq!(basic.minor(), "8.376 mm".parse()?);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Basic {
    major: Length,
    pitch: Length,
    minor: Length,
    root: Option<Length>,
}

impl Basic {
    /// Of a thread with a basic profile in this file: ISO metric, unified, Whitworth, trapezoidal,
    /// Acme and British Association form.
    ///
    /// # Errors
    /// If a figure is out of range.
    pub fn of(thread: &Thread) -> Result<Option<Self>> {
        let Some(diameter) = thread.diameter() else { return Ok(None) };
        let pitch = super::pitch(thread);
        let basic = match Form::of(thread.series()) {
            Some(Form::Metric) => Self::metric(&diameter, &pitch)?,
            Some(Form::Unified) => Self::unified(&diameter, &pitch)?,
            Some(Form::Whitworth) => Self::whitworth(&diameter, &pitch)?,
            Some(Form::Pipe) => Self::pipe(&diameter, &pitch)?,
            Some(Form::Half) => Self::of_depth(&diameter, &pitch, &Ratio::table(1, 2))?,
            Some(Form::Association) => Self::of_depth(&diameter, &pitch, &Ratio::table(3, 5))?,
            None => return Ok(None),
        };
        Ok(Some(basic))
    }

    /// ISO 68-1 and ISO 724, to 0.001 mm.
    ///
    /// # Errors
    /// If the pitch is too large for the diameter, or a figure is out of range.
    pub fn metric(diameter: &Length, pitch: &Length) -> Result<Self> {
        Self::sixty(diameter, pitch, Step::Micrometre)
    }

    /// ASME B1.1, to 0.0001 in.
    ///
    /// # Errors
    /// If the pitch is too large for the diameter, or a figure is out of range.
    pub fn unified(diameter: &Length, pitch: &Length) -> Result<Self> {
        Ok(Self { root: None, ..Self::sixty(diameter, pitch, Step::TenthOfThou)? })
    }

    fn sixty(major: &Length, pitch: &Length, step: Step) -> Result<Self> {
        let at = |share: &Ratio| below(major, pitch, share, step);
        Ok(Self {
            major: *major,
            pitch: at(&PITCH_60)?,
            minor: at(&MINOR_60)?,
            root: Some(at(&ROOT_60)?),
        })
    }

    /// BS 84: each diameter to 0.0001 in. Two printed tables differ by 0.0001 in at some sizes; this
    /// is the formula's value.
    fn whitworth(major: &Length, pitch: &Length) -> Result<Self> {
        let twice = DEPTH_55.times(&Ratio::table(2, 1))?;
        let at = |share: &Ratio| below(major, pitch, share, Step::TenthOfThou);
        Ok(Self { major: *major, pitch: at(&DEPTH_55)?, minor: at(&twice)?, root: None })
    }

    /// ISO 228-1: the depth to 0.001 mm.
    pub(super) fn pipe(major: &Length, pitch: &Length) -> Result<Self> {
        let depth = Step::Micrometre.nearest(&pitch.mm().times(&DEPTH_55)?)?.mm();
        let flank = less(&major.mm(), &depth)?;
        let minor = Length::from_mm(less(&flank, &depth)?);
        Ok(Self { major: *major, pitch: Length::from_mm(flank), minor, root: None })
    }

    /// A depth that is a fraction of the pitch, not rounded: half of it (ISO 2904, ASME B1.5), or
    /// 0.6 (BS 93).
    pub(super) fn of_depth(major: &Length, pitch: &Length, depth: &Ratio) -> Result<Self> {
        let depth = pitch.mm().times(depth)?;
        let flank = less(&major.mm(), &depth)?;
        let minor = Length::from_mm(less(&flank, &depth)?);
        Ok(Self { major: *major, pitch: Length::from_mm(flank), minor, root: None })
    }

    /// Major diameter, over the crests of a bolt.
    pub const fn major(&self) -> Length {
        self.major
    }

    /// Pitch diameter: where thread and gap are of equal width.
    pub const fn pitch(&self) -> Length {
        self.pitch
    }

    /// Minor diameter: the bore of a nut.
    pub const fn minor(&self) -> Length {
        self.minor
    }

    /// d3 of ISO metric bolts, at a root rounded to H/6.
    pub const fn root(&self) -> Option<Length> {
        self.root
    }
}

/// The major diameter minus a part of the pitch, to the nearest step.
fn below(major: &Length, pitch: &Length, share: &Ratio, step: Step) -> Result<Length> {
    step.nearest(&less(&major.mm(), &pitch.mm().times(share)?)?)
}

/// The basic profile of a series.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Metric,
    Unified,
    Whitworth,
    Pipe,
    /// Trapezoidal and Acme.
    Half,
    Association,
}

impl Form {
    fn of(series: &Series) -> Option<Self> {
        match series.key() {
            "metric-coarse" | "metric-fine" => Some(Self::Metric),
            "unc" | "unf" | "unef" | "un" => Some(Self::Unified),
            "bsw" | "bsf" | "bsb" | "me" => Some(Self::Whitworth),
            "g" => Some(Self::Pipe),
            "tr" | "acme" => Some(Self::Half),
            "ba" => Some(Self::Association),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread;
    use num_bigint::BigInt;
    use num_rational::BigRational;

    /// sqrt(3) and the tangent are given to 18 places; one unit of the last place must not matter.
    #[test]
    fn more_places_would_round_no_thread_otherwise() {
        let nudge = Ratio::table(1, 1_000_000_000_000_000_000);
        let mut checked = 0;
        for thread in thread::all().filter(|t| Form::of(t.series()).is_some()) {
            let (d, p) = (thread.diameter().unwrap(), super::super::pitch(&thread));
            let twice = DEPTH_55.times(&Ratio::table(2, 1)).unwrap();
            for share in [PITCH_60, MINOR_60, ROOT_60, DEPTH_55, twice] {
                for step in [Step::Micrometre, Step::TenthOfThou] {
                    let up = share.plus(&nudge).unwrap().plus(&nudge).unwrap();
                    let down = share.apart(&nudge).unwrap().unwrap();
                    let at = |share: &Ratio| below(&d, &p, share, step).unwrap();
                    assert_eq!(at(&up), at(&down), "{thread}");
                    checked += 1;
                }
            }
        }
        assert!(checked > 9000, "{checked}");
    }

    /// The constants squared, against the exact squares; 1 / (3 tan 27.5 degrees) against a double.
    #[test]
    fn constants_are_what_they_are_named() {
        for (share, square) in [(PITCH_60, (27, 64)), (MINOR_60, (75, 64)), (ROOT_60, (867, 576))] {
            let exact = BigRational::new(BigInt::from(square.0), BigInt::from(square.1));
            let off = share.to_big() * share.to_big() / exact - BigRational::from_integer(1.into());
            let bound = BigRational::new(2.into(), BigInt::from(10).pow(18));
            assert!(off < bound && off > -bound, "{share}");
        }
        let depth = 1.0 / (3.0 * 27.5_f64.to_radians().tan());
        assert!((DEPTH_55.to_f64() / depth - 1.0).abs() < 4e-16);
    }

    #[test]
    fn a_pitch_too_large_is_refused() {
        let error = Basic::metric(&"1 mm".parse().unwrap(), &"1 mm".parse().unwrap()).unwrap_err();
        assert!(error.is_conflict() && error.to_string().contains("too large for the diameter"));
        // A minor diameter of less than half a step is refused.
        let (d, p) = ("1.0828 mm".parse().unwrap(), "1 mm".parse().unwrap());
        assert!(Basic::metric(&d, &p).unwrap_err().is_conflict());
    }

    #[test]
    fn the_middle_between_two_steps_goes_up() {
        let at = |mm: &str| Step::Micrometre.nearest(&mm.parse().unwrap()).unwrap().to_string();
        assert_eq!(at("1.0005"), "1001/1000 mm");
        assert_eq!(at("1.00049"), "1 mm");
    }
}
