//! What is one change gear? Its teeth, tooth size, pressure angle, and where on the lathe it can go.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{Error, Length, Ratio, Result, bounds};
use std::fmt;
use std::str::FromStr;

/// How many teeth: 5 to 400.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Teeth(u16);

impl Teeth {
    /// # Errors
    /// Outside 5 to 400.
    pub fn new(teeth: u64) -> Result<Self> {
        let teeth = bounds::TEETH.check(teeth)?;
        // The bound is far below u16::MAX.
        u16::try_from(teeth).map(Self).map_err(|_| Error::too_large("teeth"))
    }

    /// The number: always in 5..=400.
    pub const fn get(self) -> u16 {
        self.0
    }
}

impl fmt::Display for Teeth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Tooth size: module (mm) or diametral pitch (per inch).
///
/// Two sizes mesh if their modules are exactly equal: 20 DP is module 1.27.
///
/// ```
/// use solver::ToothSize;
/// let dp: ToothSize = "20 DP".parse()?;
/// assert_eq!(dp, ToothSize::from_diametral_pitch("20".parse()?)?);
/// assert_eq!(dp.module().mm(), "1.27".parse()?);
/// assert_eq!(dp.to_string(), "20 DP");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ToothSize {
    /// In lowest terms, each below 2^[`SIZE_BITS`]: every module fits, and a gear takes little
    /// memory.
    numer: u32,
    denom: u32,
    unit: Unit,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Unit {
    Module,
    DiametralPitch,
}

/// Bits of each side of a module or diametral pitch: enough for the gears of a watch or a mill, and
/// few enough to be exact everywhere.
const SIZE_BITS: u32 = 20;

impl ToothSize {
    /// Module 1, assumed where no size is stated.
    pub const ASSUMED: Self = Self::table_module(1, 1);

    /// Pitch diameter over teeth.
    ///
    /// # Errors
    /// If no gear is that large or small, or it has more digits than any tooth size.
    pub fn from_module(module: Length) -> Result<Self> {
        Self::checked(&module.mm(), Unit::Module)
    }

    /// Teeth over pitch diameter in inches.
    ///
    /// # Errors
    /// As [`ToothSize::from_module`].
    pub fn from_diametral_pitch(pitch: Ratio) -> Result<Self> {
        Self::checked(&pitch, Unit::DiametralPitch)
    }

    fn checked(number: &Ratio, unit: Unit) -> Result<Self> {
        let side = |side: u128| u32::try_from(side).ok();
        match (side(number.numer()), side(number.denom())) {
            (Some(numer), Some(denom)) if number.fits(SIZE_BITS) => Ok(Self { numer, denom, unit }),
            _ => Err(Error::conflict(format!("{number} is no tooth size")).with_hint(SIZE_HINT)),
        }
    }

    /// A module from a table in this crate, in lowest terms.
    pub(crate) const fn table_module(numer: u32, denom: u32) -> Self {
        Self { numer, denom, unit: Unit::Module }
    }

    /// A diametral pitch from a table in this crate.
    pub(crate) const fn table_diametral_pitch(pitch: u32) -> Self {
        Self { numer: pitch, denom: 1, unit: Unit::DiametralPitch }
    }

    const fn number(&self) -> Ratio {
        Ratio::table(self.numer as u64, self.denom as u64)
    }

    /// As stamped, `1.25`; a fraction where that has more than four places.
    fn figure(&self) -> String {
        let (numer, denom) = (u64::from(self.numer).saturating_mul(10_000), u64::from(self.denom));
        let Some(places) = numer.checked_div(denom).filter(|_| numer.is_multiple_of(denom)) else {
            return self.number().to_string();
        };
        let text = format!("{}.{:04}", places / 10_000, places % 10_000);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    /// Pitch diameter over teeth. m = 25.4 / DP (ISO 54 and the inch system side by side).
    pub const fn module(&self) -> Length {
        Length::from_mm(match self.unit {
            Unit::Module => self.number(),
            // 127/5 over it: two 20-bit numbers, a little larger.
            Unit::DiametralPitch => Ratio::table(
                (self.denom as u64).saturating_mul(127),
                (self.numer as u64).saturating_mul(5),
            ),
        })
    }

    /// Teeth over pitch diameter in inches, if stated so; `None`: a module was stated.
    pub const fn diametral_pitch(&self) -> Option<Ratio> {
        match self.unit {
            Unit::Module => None,
            Unit::DiametralPitch => Some(self.number()),
        }
    }

    /// Diameter of the pitch circle: m z.
    ///
    /// ```
    /// use solver::{Teeth, ToothSize};
    /// let size: ToothSize = "20 DP".parse()?;
    /// assert_eq!(size.pitch_diameter(Teeth::new(40)?)?, "2 in".parse()?);
    /// assert_eq!(size.outside_diameter(Teeth::new(40)?)?, "2.1 in".parse()?);
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn pitch_diameter(&self, teeth: Teeth) -> Result<Length> {
        self.modules(Ratio::table(teeth.get().into(), 1))
    }

    /// Diameter over the tips of full-depth teeth: m (z + 2) (ISO 53 basic rack, addendum 1 m; from
    /// memory).
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn outside_diameter(&self, teeth: Teeth) -> Result<Length> {
        self.modules(Ratio::table(u64::from(teeth.get()).saturating_add(2), 1))
    }

    /// Diameter at the bottom of full-depth teeth: m (z - 2.5) (ISO 53 basic rack, dedendum 1.25 m;
    /// from memory).
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn root_diameter(&self, teeth: Teeth) -> Result<Length> {
        self.modules(Ratio::table(u64::from(teeth.get()).saturating_mul(2).saturating_sub(5), 2))
    }

    fn modules(&self, count: Ratio) -> Result<Length> {
        Ok(Length::from_mm(self.module().mm().times(&count)?))
    }
}

const SIZE_HINT: &str = "a tooth size such as \"module 1\" or \"20 DP\"";

impl fmt::Display for ToothSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit {
            Unit::Module => write!(f, "module {}", self.figure()),
            Unit::DiametralPitch => write!(f, "{} DP", self.figure()),
        }
    }
}

/// Reads `module 1`, `mod 1.25`, `1.25 module`, `m1`, `20 DP`, `DP 20`.
impl FromStr for ToothSize {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let hint = SIZE_HINT;
        let lower = text.trim().to_ascii_lowercase();
        let word_first = ["module", "mod", "dp", "m"]
            .into_iter()
            .find_map(|w| Some((w, lower.strip_prefix(w)?)));
        let (word, number) = if let Some(found) = word_first {
            found
        } else {
            let (_, used) = Ratio::read(&lower).map_err(|e| e.with_hint(hint))?;
            (lower[used..].trim(), &lower[..used])
        };
        let number: Ratio = number.parse().map_err(|e: Error| e.with_hint(hint))?;
        let typed = |e: Error| Error::syntax(0, e.to_string()).with_hint(hint);
        match word {
            "module" | "mod" | "m" => Self::from_module(Length::from_mm(number)).map_err(typed),
            "dp" => Self::from_diametral_pitch(number).map_err(typed),
            _ => {
                Err(Error::syntax(0, format!("`{}` is no tooth size", text.trim())).with_hint(hint))
            }
        }
    }
}

/// Pressure angle in degrees; 20 if not stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PressureAngle(Ratio);

impl PressureAngle {
    /// 20 degrees (ISO 53).
    pub const TWENTY: Self = Self(Ratio::table(20, 1));

    /// # Errors
    /// Outside 10 to 35 degrees.
    pub fn new(degrees: Ratio) -> Result<Self> {
        if degrees < Ratio::table(10, 1) || degrees > Ratio::table(35, 1) || !degrees.fits(20) {
            return Err(Error::conflict(format!(
                "pressure angle: {degrees} is outside 10 to 35 degrees"
            ))
            .with_hint("usually 20 or 14.5"));
        }
        Ok(Self(degrees))
    }

    /// In degrees.
    pub const fn degrees(&self) -> Ratio {
        self.0
    }
}

/// A measured outside diameter of a gear: 1 mm to 5 m.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Outside(Length);

impl Outside {
    /// # Errors
    /// Outside 1 to 5000 mm, or with more digits than a measurement has.
    pub fn new(diameter: Length) -> Result<Self> {
        let mm = diameter.mm();
        let bounds = bounds::OUTSIDE;
        if mm < Ratio::table(bounds.low, 1) || mm > Ratio::table(bounds.high, 1) || !mm.fits(60) {
            return Err(Error::range(&bounds, diameter)
                .with_hint("the diameter over the tips, such as 42.0 mm or 2.1 in"));
        }
        Ok(Self(diameter))
    }

    /// As measured.
    pub const fn length(&self) -> Length {
        self.0
    }
}

/// A place on the lathe where a gear can go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Place {
    /// The shaft driven by the spindle.
    First,
    /// A stud on the bracket.
    Stud,
    /// The lead screw, or the gearbox shaft.
    Last,
}

/// The places of a gear: its bore or key may suit one shaft only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Places {
    /// On the driving shaft.
    pub first: bool,
    /// On a stud.
    pub stud: bool,
    /// On the driven shaft.
    pub last: bool,
}

impl Places {
    /// Anywhere.
    pub const ALL: Self = Self { first: true, stud: true, last: true };

    /// Only these places.
    pub fn only(places: &[Place]) -> Self {
        let has = |p| places.contains(&p);
        Self { first: has(Place::First), stud: has(Place::Stud), last: has(Place::Last) }
    }

    /// Whether `place` is one of them.
    pub const fn allow(self, place: Place) -> bool {
        match place {
            Place::First => self.first,
            Place::Stud => self.stud,
            Place::Last => self.last,
        }
    }
}

/// One change gear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct Gear {
    /// Its teeth.
    pub teeth: Teeth,
    /// Tooth size; `None` if none is stated for any gear.
    pub size: Option<ToothSize>,
    /// Pressure angle.
    pub angle: PressureAngle,
    /// Its places.
    pub places: Places,
}

impl Gear {
    /// A gear without a stated tooth size, 20 degrees, for any place.
    pub const fn new(teeth: Teeth) -> Self {
        Self { teeth, size: None, angle: PressureAngle::TWENTY, places: Places::ALL }
    }

    /// The same gear with a tooth size.
    pub const fn with_size(mut self, size: Option<ToothSize>) -> Self {
        self.size = size;
        self
    }

    /// The same gear with a pressure angle.
    pub const fn with_angle(mut self, angle: PressureAngle) -> Self {
        self.angle = angle;
        self
    }

    /// The same gear, limited to some places.
    pub const fn with_places(mut self, places: Places) -> Self {
        self.places = places;
        self
    }

    /// Module in mm: [`ToothSize::ASSUMED`] where no tooth size is stated.
    pub fn module(&self) -> Ratio {
        self.size.unwrap_or(ToothSize::ASSUMED).module().mm()
    }

    /// Whether the two can mesh: equal module and equal pressure angle.
    pub fn meshes_with(&self, other: &Self) -> bool {
        self.angle == other.angle && self.module() == other.module()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tooth_sizes_read_both_ways_round() {
        for text in ["module 1.25", "mod 1.25", "1.25 module", "m1.25", "MODULE 5/4", "1.25 mod"] {
            assert_eq!(
                text.parse::<ToothSize>().unwrap().module().mm(),
                Ratio::table(5, 4),
                "{text}"
            );
        }
        for text in ["20 DP", "dp 20", "20dp"] {
            assert_eq!(
                text.parse::<ToothSize>().unwrap().module().mm(),
                Ratio::table(127, 100),
                "{text}"
            );
        }
        for text in ["", "1", "20 tpi", "module", "module x", "DP 0", "module 1e9"] {
            assert!(text.parse::<ToothSize>().unwrap_err().hint().is_some(), "{text}");
        }
    }

    /// m z, m (z + 2), m (z - 2.5): ISO 53 basic rack proportions, from memory.
    #[test]
    fn diameters_follow_the_basic_rack() {
        let of = |size: &str, teeth| {
            let (size, teeth) = (size.parse::<ToothSize>().unwrap(), Teeth::new(teeth).unwrap());
            let circles = [
                size.pitch_diameter(teeth),
                size.outside_diameter(teeth),
                size.root_diameter(teeth),
            ];
            circles.map(|d| d.unwrap().mm().to_string())
        };
        assert_eq!(of("module 1.25", 40), ["50", "105/2", "375/8"]);
        assert_eq!(of("20 DP", 40), ["254/5", "2667/50", "381/8"]);
        assert_eq!(of("module 1", 5), ["5", "7", "5/2"]);
    }

    #[test]
    fn a_measured_diameter_has_bounds() {
        let outside = |text: &str| Outside::new(text.parse().unwrap());
        assert_eq!(outside("1 mm").unwrap().length(), "1 mm".parse().unwrap());
        assert!(outside("5000 mm").is_ok());
        for text in ["0.99 mm", "5000.1 mm", "1e30 mm", "2.12345678901234567890123 mm"] {
            let error = outside(text).unwrap_err();
            assert!(error.is_range() && error.hint().is_some(), "{text}: {error}");
        }
    }

    #[test]
    fn only_equal_teeth_mesh() {
        let gear =
            |size: &str| Gear::new(Teeth::new(40).unwrap()).with_size(Some(size.parse().unwrap()));
        assert!(gear("20 DP").meshes_with(&gear("module 1.27")));
        assert!(!gear("20 DP").meshes_with(&gear("module 1.25")));
        let old = gear("20 DP").with_angle(PressureAngle::new(Ratio::table(29, 2)).unwrap());
        assert!(!old.meshes_with(&gear("20 DP")));
    }

    #[test]
    fn a_tooth_size_is_said_as_it_is_stamped() {
        for (text, said) in [
            ("module 3/2", "module 1.5"),
            ("1.25 module", "module 1.25"),
            ("m2", "module 2"),
            ("20 DP", "20 DP"),
            ("module 1/3", "module 1/3"),
            ("module 1/32768", "module 1/32768"),
            ("10.5 DP", "10.5 DP"),
        ] {
            let size: ToothSize = text.parse().unwrap();
            assert_eq!(size.to_string(), said);
            assert_eq!(said.parse::<ToothSize>().unwrap(), size);
        }
    }

    /// A diametral pitch with a module out of range was read as module 1.
    #[test]
    fn a_tooth_size_that_does_not_fit_is_refused() {
        let large = Ratio::new(u128::MAX, 1).unwrap();
        for number in [large, large.recip(), Ratio::table(1 << 20, 1)] {
            assert!(ToothSize::from_diametral_pitch(number).unwrap_err().is_conflict());
            assert!(ToothSize::from_module(Length::from_mm(number)).unwrap_err().is_conflict());
        }
        let most = ToothSize::from_diametral_pitch(Ratio::table((1 << 20) - 1, 1)).unwrap();
        assert_eq!(most.module().mm(), Ratio::table(127, 5 * ((1 << 20) - 1)));
    }

    #[test]
    fn places_hold_what_was_named() {
        let places = Places::only(&[Place::Stud]);
        assert!(
            places.allow(Place::Stud) && !places.allow(Place::First) && !places.allow(Place::Last)
        );
    }
}
