//! How steep is a taper, and how is it set on the lathe?
//!
//! A taper attachment is set to the half angle, or aside by half the taper. The carriage then still goes along
//! the bed: the geared lead is the lead along the axis. With the tailstock set over, work of the length L between
//! its centres leans by the half angle where L sin(half angle) is the set-over. The geared lead is then that along
//! the cone; along the axis it is the cosine of the half angle of it (F. D. Jones, Turning and Boring, 1919, ch.
//! III and IV: a taper attachment keeps the pitch, set-over makes it finer).

use super::Measure;
use crate::{Error, Length, Ratio, Result};
use std::fmt;
use std::str::FromStr;

/// Growth of a diameter along the axis.
///
/// ```
/// use solver::cutting::Cone;
/// for text in ["1:16", "1 in 16", "3/4 in per ft", "0.75 in/ft"] {
///     assert_eq!(text.parse::<Cone>()?, Cone::PIPE);
/// }
/// assert_eq!(format!("{:.4}", Cone::PIPE.half_angle()), "1.7899");
/// assert_eq!(format!("{:.1}", Cone::PIPE.set_over_ppm()), "-487.9");
/// let set_over = Cone::PIPE.set_over(&"200 mm".parse()?);
/// assert_eq!(format!("{:.3}", set_over.mm()), "6.247");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cone {
    on_diameter: Ratio,
}

/// What is right, for every text that is not.
const SUCH_AS: &str = "`1:16`, `3/4 in per ft` or the half angle, `1.79 deg`";
/// Steepest taper: an attachment goes no further (common practice, no source).
const STEEPEST: Ratio = Ratio::table(1, 2);
/// An angle makes a taper to a millionth of a millionth.
const PARTS: f64 = 1e12;

impl Cone {
    /// 1 in 16: ISO 7-1 and ASME B1.20.1.
    pub const PIPE: Self = Self { on_diameter: Ratio::table(1, 16) };

    /// From the growth of the diameter over a length.
    ///
    /// # Errors
    /// If it is steeper than 1 in 2.
    pub fn new(on_diameter: Ratio) -> Result<Self> {
        if on_diameter > STEEPEST {
            return Err(
                Error::conflict("a taper over 1 in 2 is too steep for a thread").with_hint(SUCH_AS)
            );
        }
        Ok(Self { on_diameter })
    }

    /// Growth of the diameter over a length.
    pub const fn on_diameter(&self) -> Ratio {
        self.on_diameter
    }

    /// Half angle, in degrees.
    pub fn half_angle(&self) -> f64 {
        self.radians().to_degrees()
    }

    /// Growth of the diameter in a length.
    pub(super) fn over(&self, length: &Length) -> Result<Length> {
        length.mm().times(&self.on_diameter).map(Length::from_mm)
    }

    /// How far the tailstock is set over for work of this length between its centres.
    pub fn set_over(&self, between_centres: &Length) -> Measure {
        Measure::rounded(between_centres.mm().to_f64() * self.radians().sin())
    }

    /// Error of the lead along the axis, in ppm, if the tailstock is set over for the taper.
    pub fn set_over_ppm(&self) -> f64 {
        1e6 * (self.radians().cos() - 1.0)
    }

    fn radians(&self) -> f64 {
        (self.on_diameter.to_f64() / 2.0).atan()
    }
}

/// `1 in 16`, `1 in 15.999`.
impl fmt::Display for Cone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.on_diameter.numer() == 1 {
            return write!(f, "1 in {}", self.on_diameter.denom());
        }
        let one_in = format!("{:.3}", self.on_diameter.recip().to_f64());
        write!(f, "1 in {}", one_in.trim_end_matches('0').trim_end_matches('.'))
    }
}

impl FromStr for Cone {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let start = text.len() - text.trim_start().len();
        let (number, used) =
            Ratio::read(&text[start..]).map_err(|e| e.shifted(start).with_hint(SUCH_AS))?;
        let (from, rest) = (start + used, text[start + used..].to_ascii_lowercase());
        let unit: String = rest.split_whitespace().collect();
        let wrong = || {
            let at = from + rest.len() - rest.trim_start().len();
            Error::syntax(at, "it does not say how steep the taper is").with_hint(SUCH_AS)
        };
        match unit.as_str() {
            "" if number < Ratio::ONE => Self::new(number),
            "inperft" | "in/ft" | "inperfoot" | "in/foot" => {
                Self::new(number.over(&Ratio::table(12, 1))?)
            }
            "deg" | "°" | "degrees" => Self::of_half_angle(number.to_f64()),
            _ => {
                let over = rest.trim_start();
                let over = over.strip_prefix(':').or_else(|| over.strip_prefix("in "));
                let over = over.ok_or_else(wrong)?.trim();
                let over = over.parse::<Ratio>().map_err(|_| wrong())?;
                Self::new(number.over(&over)?)
            }
        }
    }
}

impl Cone {
    fn of_half_angle(degrees: f64) -> Result<Self> {
        let on_diameter = 2.0 * degrees.min(45.0).to_radians().tan();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "the tangent of at most 45 degrees, over 0"
        )]
        let parts = (on_diameter * PARTS).round().max(1.0) as u64;
        Self::new(Ratio::table(parts, 1).over(&Ratio::table(1_000_000_000_000, 1))?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cutting::tests::cut;

    fn cone(text: &str) -> Cone {
        text.parse().unwrap()
    }

    #[test]
    fn a_taper_is_read_as_it_is_said() {
        for (text, taper) in [
            ("1:16", (1, 16)),
            (" 1 : 16 ", (1, 16)),
            ("1 in 12", (1, 12)),
            ("1/20", (1, 20)),
            ("2.5:50", (1, 20)),
            ("3/4 in per ft", (1, 16)),
            ("0.6 IN/FT", (1, 20)),
            ("1 1/2 in per foot", (1, 8)),
        ] {
            assert_eq!(cone(text).on_diameter(), Ratio::table(taper.0, taper.1), "{text}");
        }
        let by_angle = cone("1.789911 deg");
        assert!((by_angle.half_angle() - 1.789_911).abs() < 1e-9);
        assert_eq!(cone("1.7899°").to_string(), "1 in 16");
        assert_eq!([cone("2:33"), cone("1:20")].map(|c| c.to_string()), ["1 in 16.5", "1 in 20"]);
    }

    #[test]
    fn what_is_no_taper_says_what_is_right() {
        for (text, at) in [
            ("", Some(0)),
            ("steep", Some(0)),
            ("16", Some(2)),
            ("1:", Some(1)),
            ("1:0", Some(1)),
            ("1 in", Some(2)),
            ("3/4 mm per ft", Some(4)),
            ("1:1", None),
            ("40 deg", None),
            ("1000 in/ft", None),
        ] {
            let error = text.parse::<Cone>().unwrap_err();
            assert_eq!(error.hint(), Some(SUCH_AS), "{text}: {error}");
            assert!(at.is_none() || error.offset() == at, "{text}: {:?}", error.offset());
        }
    }

    /// F. D. Jones, Turning and Boring (1919), ch. III: 1 in per foot over 9 in asks for 3/8 in, 1 1/2 in per
    /// foot over 8 in for 1/2 in, 1 in per foot over 12 in for 1/2 in. The book takes the length along the axis
    /// for that along the cone: a thousandth less.
    #[test]
    fn the_tailstock_is_set_over_as_printed() {
        for (taper, between, printed) in [
            ("1 in per ft", "9 in", 0.375),
            ("1 1/2 in per ft", "8 in", 0.5),
            ("1 in per ft", "12 in", 0.5),
        ] {
            let of = cone(taper);
            let set_over = of.set_over(&between.parse().unwrap()).inches();
            assert!(set_over < printed && set_over > printed * 0.998, "{set_over} {printed}");
            assert!((set_over / of.radians().cos() - printed).abs() < 1e-12);
        }
    }

    /// By coordinates: the work turns about its headstock centre until the far centre is aside by the
    /// set-over. A line of the cone that was at the half angle to the axis is then along the bed. A step of the
    /// lead along the bed is taken back to the axis.
    #[test]
    fn set_over_work_has_its_cone_along_the_bed_and_a_short_lead() {
        for (text, between) in [("1:16", "200 mm"), ("1:16", "6 in"), ("1:5", "80 mm")] {
            let (of, between) = (cone(text), between.parse::<Length>().unwrap());
            let length = between.mm().to_f64();
            let aside = of.set_over(&between).mm();
            let along = (length * length - aside * aside).sqrt();
            // The axis as a unit vector, and a line that rises by half the taper from it.
            let axis = [along / length, aside / length];
            let rise = of.on_diameter().to_f64() / 2.0;
            let line = [axis[0] + rise * axis[1], axis[1] - rise * axis[0]];
            assert!(line[1].abs() < 1e-12, "{text}: {line:?}");
            // One turn moves the tool by a lead of 1 along the bed; along the axis that is the projection.
            let lead = axis[0];
            assert!((1e6 * (lead - 1.0) - of.set_over_ppm()).abs() < 1e-6, "{text}");
        }
    }

    #[test]
    fn pipe_threads_have_the_taper_of_their_standard() {
        assert_eq!(cut("1/2 NPT").taper(), Some(Cone::PIPE.on_diameter()));
    }
}
