//! How fast may the spindle turn, if the thread ends in a groove or at a shoulder?
//!
//! The carriage moves lead x rpm / 60 in a second, by definition. The reaction time of a person is
//! assumed as [`REACTION`] unless stated. With the nut closed the carriage goes on while the spindle
//! coasts: [`COASTING`] unless stated, at full speed, which is on the safe side. The figure helps to
//! choose a speed; it is no promise of enough time.

use crate::{Lead, Length, Ratio, Result, Speeds, bounds};

/// Reaction time in seconds: common practice, no source. A page must say that it is assumed.
pub const REACTION: Ratio = Ratio::ONE;

/// Seconds from switching off to rest: common practice, no source. A page must say that it is
/// assumed.
pub const COASTING: Ratio = Ratio::ONE;

/// A carriage at a spindle speed.
///
/// ```
/// use solver::cutting::Pace;
/// use solver::Lead;
/// let pace = Pace::new(Lead::new("1.5 mm".parse()?), 120)?;
/// assert_eq!(pace.mm_per_second(), 3.0);
/// assert_eq!(pace.seconds_in("4.5 mm".parse()?), 1.5);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pace {
    lead: Lead,
    rpm: u32,
}

impl Pace {
    /// A lead at `rpm` turns of the spindle a minute.
    ///
    /// # Errors
    /// If the spindle is at rest or too fast.
    pub fn new(lead: Lead, rpm: u32) -> Result<Self> {
        bounds::SPINDLE.check(rpm.into())?;
        Ok(Self { lead, rpm })
    }

    /// Speed of the carriage.
    pub fn mm_per_second(&self) -> f64 {
        self.lead.to_f64() * f64::from(self.rpm) / 60.0
    }

    /// Time of the tool in an undercut of this width.
    pub fn seconds_in(&self, groove: Length) -> f64 {
        groove.mm().to_f64() / self.mm_per_second()
    }
}

/// Room to stop: an undercut or another free length, and the time needed.
///
/// ```
/// use solver::cutting::{REACTION, Stop};
/// use solver::{Lead, Speeds};
/// let stop = Stop::new(Lead::new("1.5 mm".parse()?), "3 mm".parse()?, REACTION);
/// assert_eq!(stop.rpm(), 120.0);
/// assert_eq!(stop.fastest(&Speeds::List(vec![70, 115, 200]))?, Some(115));
/// assert_eq!(stop.fastest(&Speeds::Range(50..=2000))?, Some(120));
/// assert_eq!(stop.fastest(&Speeds::List(vec![200, 400]))?, None);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    lead: Lead,
    groove: Length,
    seconds: Ratio,
}

impl Stop {
    /// An undercut of this width, and the seconds for stopping.
    pub const fn new(lead: Lead, groove: Length, seconds: Ratio) -> Self {
        Self { lead, groove, seconds }
    }

    /// The greatest speed with enough time, in turns a minute: 60 groove / (lead x time).
    pub fn rpm(&self) -> f64 {
        60.0 * self.groove.mm().to_f64() / (self.lead.to_f64() * self.seconds.to_f64())
    }

    /// Whether the time is enough at a speed; equality is enough. Exact.
    ///
    /// # Errors
    /// If a figure is out of range.
    pub fn allows(&self, rpm: u32) -> Result<bool> {
        let seconds = self.seconds.times(&Ratio::whole(rpm.into())?)?.over(&Ratio::table(60, 1))?;
        Ok(self.lead.times(&seconds)? <= Lead::new(self.groove))
    }

    /// The fastest speed of the lathe with enough time; `None`: not even the slowest.
    ///
    /// # Errors
    /// If a figure is out of range.
    pub fn fastest(&self, speeds: &Speeds) -> Result<Option<u32>> {
        match speeds {
            Speeds::Range(range) => self.fastest_within(*range.start(), *range.end()),
            Speeds::List(list) => {
                let mut fastest = None;
                for &rpm in list {
                    if fastest < Some(rpm) && self.allows(rpm)? {
                        fastest = Some(rpm);
                    }
                }
                Ok(fastest)
            }
        }
    }

    /// By halving: if a speed is allowed, every slower one is.
    fn fastest_within(&self, slowest: u32, fastest: u32) -> Result<Option<u32>> {
        let (mut low, mut high) = (slowest, fastest);
        if low > high || !self.allows(low)? {
            return Ok(None);
        }
        while low < high {
            let middle = high - (high - low) / 2;
            if self.allows(middle)? { low = middle } else { high = middle - 1 }
        }
        Ok(Some(low))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> Length {
        text.parse().unwrap()
    }

    #[test]
    fn a_spindle_has_a_speed() {
        let lead = Lead::new(mm("1 mm"));
        assert!(Pace::new(lead, 0).unwrap_err().is_range());
        assert!(Pace::new(lead, 100_001).unwrap_err().is_range());
        let stop = Stop::new(lead, mm("3 mm"), REACTION);
        assert!(stop.allows(0).is_err());
    }

    #[test]
    fn just_enough_is_enough_and_a_hair_less_is_not() {
        let of = |groove: &str| Stop::new(Lead::new(mm("1.5 mm")), mm(groove), REACTION);
        assert!(of("3 mm").allows(120).unwrap());
        assert!(!of("2.999999999 mm").allows(120).unwrap());
        let half = Stop::new(Lead::new(mm("1.5 mm")), mm("3 mm"), "0.5".parse().unwrap());
        assert!(half.allows(240).unwrap() && !half.allows(241).unwrap());
    }

    #[test]
    fn lists_need_no_order_and_ranges_keep_their_ends() {
        let stop = Stop::new(Lead::new(mm("1.5 mm")), mm("3 mm"), REACTION);
        let list = |speeds: &[u32]| stop.fastest(&Speeds::List(speeds.to_vec())).unwrap();
        assert_eq!(list(&[400, 70, 120, 90]), Some(120));
        assert_eq!(list(&[]), None);
        let range = |low, high| stop.fastest(&Speeds::Range(low..=high)).unwrap();
        assert_eq!(
            (range(10, 100), range(120, 120), range(121, 500)),
            (Some(100), Some(120), None)
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Every speed tried, with the two times compared.
        #[test]
        fn the_fastest_is_the_last_that_leaves_time(
            lead in 1_u64..500, groove in 1_u64..500, tenths in 1_u64..50, low in 1_u32..50, more in 0_u32..300, pi: bool,
        ) {
            let of = |hundredths| Length::from_mm(Ratio::table(hundredths, 100));
            let lead = if pi { Lead::times_pi(of(lead)) } else { Lead::new(of(lead)) };
            let stop = Stop::new(lead, of(groove), Ratio::table(tenths, 10));
            let time = |rpm: u32| Pace::new(lead, rpm).unwrap().seconds_in(of(groove));
            let wanted = tenths_of(tenths);
            let slow = (low..=low + more).rev().find(|&rpm| time(rpm) >= wanted - 1e-12);
            prop_assert_eq!(stop.fastest(&Speeds::Range(low..=low + more)).unwrap(), slow);
        }
    }

    fn tenths_of(tenths: u64) -> f64 {
        Ratio::table(tenths, 10).to_f64()
    }
}
