//! What was measured, and how far it can be trusted.

use crate::chart::{Counted, Interval, Measured};
use crate::{Error, Lead, Length, Ratio, Result};

/// A rule is read to 0.2 mm, a caliper laid across two grooves to 0.05 mm (common practice, no source).
const RULE: Ratio = Ratio::table(1, 5);
const CALIPER: Ratio = Ratio::table(1, 20);
/// What a rule shows: tenths of a millimetre, by eye, and 64ths of an inch.
const TENTH: Ratio = Ratio::table(1, 10);
const SIXTY_FOURTH: Ratio = Ratio::table(127, 320);
/// Bits of a count, so that products stay in range.
const COUNT_BITS: u32 = 20;

/// Where the uncertainty comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Instrument {
    /// It was stated.
    Stated,
    /// Assumed: a rule, as the figure has no more digits than one shows.
    Rule,
    /// Assumed: a caliper.
    Caliper,
}

/// A reading of a scratch pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Reading {
    /// How many pitches, leads or turns.
    pub count: Ratio,
    /// Which of them.
    pub counted: Counted,
    /// Their length.
    pub length: Length,
    /// Its uncertainty, either way.
    pub give_or_take: Length,
    /// Where that comes from.
    pub instrument: Instrument,
    bounds: Interval,
}

impl Reading {
    /// A measurement as a reading.
    ///
    /// # Errors
    /// If it names gears or levers, or is longer or finer than anything that is cut.
    pub fn of(measured: &Measured) -> Result<Self> {
        if measured.gears.is_some() || !measured.levers.is_empty() {
            return Err(Error::conflict("the set-up is that of the target")
                .with_hint("without `with`; --train for gears of your own"));
        }
        let mm = measured.length.mm();
        let whole = |unit: &Ratio| mm.over(unit).is_ok_and(|times| times.is_whole());
        let (instrument, by) = if measured.said {
            (Instrument::Stated, measured.give_or_take.mm())
        } else if whole(&TENTH) || whole(&SIXTY_FOURTH) {
            (Instrument::Rule, RULE)
        } else {
            (Instrument::Caliper, CALIPER)
        };
        if !measured.count.fits(COUNT_BITS) {
            return Err(Error::too_large("the count").with_hint("10 pitches, 20 turns"));
        }
        Lead::new(measured.length).checked_as_target()?;
        Lead::new(Length::from_mm(by)).checked_as_target()?;
        Lead::new(Length::from_mm(mm.over(&measured.count)?)).checked_as_target()?;
        Ok(Self {
            count: measured.count,
            counted: measured.counted,
            length: measured.length,
            give_or_take: Length::from_mm(by),
            instrument,
            bounds: Interval::give_or_take(mm, by)?,
        })
    }

    /// The same, to be measured by this uncertainty.
    pub(super) const fn bounds(&self) -> &Interval {
        &self.bounds
    }
}
