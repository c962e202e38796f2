//! How do two gears run together? Contact, backlash and undercut of full-depth involute teeth.
//!
//! With base radii rb = m z cos(alpha) / 2, tip radii ra = m (z + 2) / 2 and standard centres
//! a0 = m (z1 + z2) / 2, gears on centres a mesh at the working angle aw, cos(aw) = (a0 / a) cos(alpha).
//! The path of contact is sqrt(ra1² - rb1²) + sqrt(ra2² - rb2²) - a sin(aw), and the contact ratio is
//! that over the base pitch pi m cos(alpha). Formulas of the involute, from memory; the tests hold
//! published figures.
//!
//! Strength is not known here. Centres and ratio are exact, the rest is doubles.
//!
//! ```
//! use solver::involute::is_undercut;
//! use solver::{Gear, Teeth};
//! // The limit is 2 / sin²(20°) = 17.1 teeth; texts round it to 17.
//! assert!(is_undercut(&Gear::new(Teeth::new(16)?)) && !is_undercut(&Gear::new(Teeth::new(17)?)));
//! # Ok::<(), solver::Error>(())
//! ```

use crate::{Error, Gear, Length, PressureAngle, Ratio, Result, ToothSize};
use std::f64::consts::PI;

/// Least number of teeth that a rack cutter does not undercut: 2 / sin²(alpha), 17.10 at 20 degrees
/// and 31.90 at 14.5.
pub fn undercut_limit(angle: PressureAngle) -> f64 {
    2.0 / radians(angle).sin().powi(2)
}

/// Whether teeth of a gear are undercut at the root, unless cut with a shifted profile. The limit is
/// rounded to 17 and 32, as in texts.
pub fn is_undercut(gear: &Gear) -> bool {
    f64::from(gear.teeth.get()) < undercut_limit(gear.angle).round()
}

fn radians(angle: PressureAngle) -> f64 {
    angle.degrees().to_f64().to_radians()
}

/// Two gears in mesh.
///
/// ```
/// use solver::involute::Pair;
/// use solver::{Gear, Teeth};
/// let gear = |teeth| Ok::<_, solver::Error>(Gear::new(Teeth::new(teeth)?).with_size(Some("module 8".parse()?)));
/// let pair = Pair::new(gear(20)?, gear(60)?)?;
/// assert_eq!(pair.centres(), "320 mm".parse()?);
/// assert_eq!(format!("{:.4}", pair.contact_ratio()), "1.6708");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pair {
    driver: Gear,
    driven: Gear,
    standard: Length,
    centres: Length,
}

impl Pair {
    /// Two gears on their standard centres.
    ///
    /// # Errors
    /// If a tooth size is not stated, or the gears don't mesh.
    pub fn new(driver: Gear, driven: Gear) -> Result<Self> {
        let size = size(&driver)?;
        let other = size_of_both(&size, &driver, &driven)?;
        let diameters = size.pitch_diameter(driver.teeth)?.mm();
        let diameters = diameters.plus(&other.pitch_diameter(driven.teeth)?.mm())?;
        let standard = Length::from_mm(diameters.times(&Ratio::table(1, 2))?);
        Ok(Self { driver, driven, standard, centres: standard })
    }

    /// The same gears on wider centres.
    ///
    /// # Errors
    /// If the teeth would bind, or not reach each other.
    pub fn with_centres(mut self, centres: Length) -> Result<Self> {
        let gears = format!("{} and {}", self.driver.teeth, self.driven.teeth);
        if centres < self.standard {
            return Err(Error::conflict(format!(
                "the teeth of {gears} would bind: the centres are too near"
            ))
            .with_hint(format!("{} and a little more for backlash", self.standard)));
        }
        self.centres = centres;
        let [a, b] = self.gears().map(|gear| gear.tip);
        if self.mm() >= a + b || !centres.mm().fits(60) {
            return Err(Error::conflict(format!("{gears} don't reach each other"))
                .with_hint(format!("a little more than {}", self.standard)));
        }
        Ok(self)
    }

    /// The gear that drives.
    pub const fn driver(&self) -> &Gear {
        &self.driver
    }

    /// The gear that is driven.
    pub const fn driven(&self) -> &Gear {
        &self.driven
    }

    /// Turns of the driven gear for one of the driver.
    pub fn ratio(&self) -> Ratio {
        Ratio::table(self.driver.teeth.get().into(), self.driven.teeth.get().into())
    }

    /// Centres at which the pitch circles touch: m (z1 + z2) / 2.
    pub const fn standard_centres(&self) -> Length {
        self.standard
    }

    /// The actual centres.
    pub const fn centres(&self) -> Length {
        self.centres
    }

    fn mm(&self) -> f64 {
        self.centres.mm().to_f64()
    }

    fn gears(&self) -> [Circles; 2] {
        [&self.driver, &self.driven].map(Circles::of)
    }

    /// Working pressure angle in radians.
    fn working(&self) -> f64 {
        let closed = self.standard.mm().to_f64() / self.mm();
        (closed * radians(self.driver.angle).cos()).min(1.0).acos()
    }

    /// Pressure angle on these centres, in degrees.
    pub fn working_angle(&self) -> f64 {
        self.working().to_degrees()
    }

    /// Length of the line along which teeth touch, in mm; 0 where they don't.
    pub fn path_of_contact(&self) -> f64 {
        let line = self.mm() * self.working().sin();
        // Past the foot of the other's base circle there is no involute to touch.
        let [a, b] = self.gears().map(|gear| gear.beyond_base().min(line));
        (a + b - line).max(0.0)
    }

    /// Average number of pairs of teeth in contact; under 1 the drive is not continuous. An upper
    /// limit: undercut takes some of it away.
    pub fn contact_ratio(&self) -> f64 {
        let module = self.driver.module().to_f64();
        self.path_of_contact() / (PI * module * radians(self.driver.angle).cos())
    }

    /// Whether the tips of one gear reach below the start of the other's involute: they would foul
    /// its roots, if these were not undercut.
    pub fn interferes(&self) -> bool {
        let line = self.mm() * self.working().sin();
        self.gears().iter().any(|gear| gear.beyond_base() > line)
    }

    /// Backlash along the pitch circle from opened centres, in mm: twice the opening times
    /// tan(alpha) (common formula, from memory). Teeth cut thin have more.
    pub fn backlash(&self) -> f64 {
        let opening = self.mm() - self.standard.mm().to_f64();
        2.0 * opening * radians(self.driver.angle).tan()
    }
}

fn size(gear: &Gear) -> Result<ToothSize> {
    gear.size.ok_or_else(|| {
        Error::unknown(format!("the tooth size of the {} is not stated", gear.teeth))
            .with_hint("module 1 or 20 DP")
    })
}

/// The size of the second gear, if it meshes with the first.
fn size_of_both(size: &ToothSize, driver: &Gear, driven: &Gear) -> Result<ToothSize> {
    let other = self::size(driven)?;
    if !driver.meshes_with(driven) {
        return Err(Error::conflict(format!(
            "a {} of {size} and a {} of {other} don't mesh",
            driver.teeth, driven.teeth
        ))
        .with_hint("the same tooth size and the same pressure angle"));
    }
    Ok(other)
}

/// Radii of a gear, in mm.
struct Circles {
    tip: f64,
    base: f64,
}

impl Circles {
    fn of(gear: &Gear) -> Self {
        let (module, teeth) = (gear.module().to_f64(), f64::from(gear.teeth.get()));
        Self {
            tip: module * (teeth + 2.0) / 2.0,
            base: module * teeth / 2.0 * radians(gear.angle).cos(),
        }
    }

    /// Reach of the tip along the line of contact, from the foot of its own base circle.
    fn beyond_base(&self) -> f64 {
        (self.tip.powi(2) - self.base.powi(2)).max(0.0).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Teeth;
    use proptest::prelude::*;

    fn gear(teeth: u64, size: &str) -> Gear {
        Gear::new(Teeth::new(teeth).unwrap()).with_size(Some(size.parse().unwrap()))
    }

    fn pair(a: u64, b: u64, size: &str) -> Pair {
        Pair::new(gear(a, size), gear(b, size)).unwrap()
    }

    fn angle(degrees: &str) -> PressureAngle {
        PressureAngle::new(degrees.parse().unwrap()).unwrap()
    }

    #[test]
    fn gears_that_differ_make_no_pair() {
        let old = gear(60, "20 DP").with_angle(angle("14.5"));
        assert!(Pair::new(gear(20, "20 DP"), old).unwrap_err().is_conflict());
        assert!(Pair::new(gear(20, "20 DP"), gear(60, "module 1.25")).unwrap_err().is_conflict());
        let unstated = Gear::new(Teeth::new(60).unwrap());
        assert!(Pair::new(gear(20, "20 DP"), unstated).unwrap_err().is_unknown());
        assert!(Pair::new(unstated, gear(20, "20 DP")).unwrap_err().is_unknown());
        assert!(Pair::new(gear(20, "20 DP"), gear(60, "module 1.27")).is_ok());
    }

    #[test]
    fn opened_centres_give_play_and_less_contact() {
        let closed = pair(20, 60, "module 1");
        assert_eq!(closed.centres(), "40 mm".parse().unwrap());
        assert!(closed.backlash().abs() < 1e-12);
        assert!((closed.working_angle() - 20.0).abs() < 1e-9);
        let open = closed.with_centres("40.1 mm".parse().unwrap()).unwrap();
        // 2 x 0.1 x tan 20 degrees = 0.0728 mm.
        assert!((open.backlash() - 0.072_794).abs() < 1e-6, "{}", open.backlash());
        // cos(aw) = 40/40.1 cos 20: 20.389 degrees.
        assert!((open.working_angle() - 20.389).abs() < 1e-3, "{}", open.working_angle());
        assert!(open.contact_ratio() < closed.contact_ratio());
        let close = closed.with_centres("39.9 mm".parse().unwrap()).unwrap_err();
        assert!(close.to_string().contains("would bind"), "{close}");
        let far = closed.with_centres("42 mm".parse().unwrap()).unwrap_err();
        assert!(far.to_string().contains("don't reach"), "{far}");
    }

    /// The largest gear for a pinion of 20 degrees without interference: 13 with 16, 14 with 26, 15
    /// with 45, 16 with 101 (table in textbooks of machine design, full-depth teeth; from memory).
    #[test]
    fn interference_begins_where_textbooks_say() {
        for (pinion, largest) in [(13, 16), (14, 26), (15, 45), (16, 101)] {
            assert!(!pair(pinion, largest, "module 2").interferes(), "{pinion}");
            assert!(pair(pinion, largest + 1, "module 2").interferes(), "{pinion}");
            assert!(pair(largest + 1, pinion, "module 2").interferes(), "{pinion}");
        }
        assert!(!pair(17, 400, "module 2").interferes());
    }

    /// 5 and 400 teeth: the tips of the 400 reach past the whole line of contact, so the contact is
    /// the reach of the 5: sqrt(3.5² - (2.5 cos 20°)²) = 2.594 mm.
    #[test]
    fn no_contact_is_counted_where_there_is_no_involute() {
        let pair = pair(5, 400, "module 1");
        assert!(pair.interferes());
        assert!((pair.path_of_contact() - 2.594).abs() < 1e-3, "{}", pair.path_of_contact());
    }

    /// Texts print 17 or 18 for 20 degrees and 32 for 14.5.
    #[test]
    fn undercut_begins_where_texts_say() {
        let cut = |teeth, degrees| is_undercut(&gear(teeth, "module 1").with_angle(angle(degrees)));
        assert!(cut(16, "20") && !cut(17, "20"));
        assert!(cut(31, "14.5") && !cut(32, "14.5"));
        // sin² 30° is 1/4, so the limit is exactly 8; a double is slightly off.
        assert!(cut(7, "30") && !cut(8, "30"));
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn contact_is_the_same_either_way_round_and_in_every_size(a in 5_u64..=400, b in 5_u64..=400) {
            let one = pair(a, b, "module 1").contact_ratio();
            prop_assert!((one - pair(b, a, "module 1").contact_ratio()).abs() < 1e-9);
            prop_assert!((one - pair(a, b, "20 DP").contact_ratio()).abs() < 1e-9);
            // Two racks touch over 4 / (pi sin 2 alpha) pitches: the limit for any pair.
            prop_assert!((0.0..1.981).contains(&one), "{}", one);
        }

        #[test]
        fn contact_never_grows_as_centres_open(a in 18_u64..=400, b in 18_u64..=400, steps in 1_u32..19) {
            let closed = pair(a, b, "module 1");
            let opened = |tenths: u32| {
                let opening = Ratio::table(tenths.into(), 10);
                closed.with_centres(Length::from_mm(closed.standard.mm().plus(&opening).unwrap())).unwrap()
            };
            let less = opened(steps);
            prop_assert!(less.contact_ratio() <= closed.contact_ratio());
            prop_assert!(less.backlash() > 0.0);
            if steps > 1 {
                prop_assert!(less.contact_ratio() <= opened(steps - 1).contact_ratio());
            }
        }
    }
}
