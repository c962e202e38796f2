//! A cause with what it would measure, held against the reading.

use super::cause::Cause;
use super::reading::Reading;
use crate::slip::Mounted;
use crate::{Hand, Lead, LeadError, Length, Ratio, Result};

/// What would be measured: everything from one length to another, mostly the same one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct Measures {
    /// The least.
    pub least: Lead,
    /// The greatest.
    pub greatest: Lead,
}

impl Measures {
    pub(super) const fn exactly(length: Lead) -> Self {
        Self { least: length, greatest: length }
    }

    /// The same in reading's terms: whether some of it is within this distance of the reading.
    fn meets(&self, reading: &Reading, by: &Ratio) -> Result<bool> {
        let mm = reading.length.mm();
        let low = mm.apart(by)?.filter(|_| *by < mm);
        let high = Lead::new(Length::from_mm(mm.plus(by)?));
        let is_above = low.is_none_or(|low| self.greatest >= Lead::new(Length::from_mm(low)));
        Ok(is_above && self.least <= high)
    }

    /// Whether it agrees with a reading, within its uncertainty. Exact.
    pub(super) fn agrees(&self, reading: &Reading) -> bool {
        let (low, high) = (reading.bounds().low(), reading.bounds().high());
        let [low, high] = [low, high].map(|mm| Lead::new(Length::from_mm(mm)));
        self.greatest >= low && self.least <= high
    }

    /// Points for how well it agrees: none within half of the uncertainty.
    pub(super) fn points(&self, reading: &Reading) -> Result<u32> {
        let half = reading.give_or_take.mm().over(&Ratio::table(2, 1))?;
        Ok(u32::from(!self.meets(reading, &half)?))
    }

    /// The end that is nearer to a length.
    pub(super) fn nearer(&self, length: &Lead) -> LeadError {
        let [a, b] = [&self.least, &self.greatest].map(|end| LeadError::of(end, length));
        if b.compare_size(&a).is_lt() { b } else { a }
    }

    /// By how many mm the reading is off: none inside.
    pub fn off(&self, reading: &Reading) -> f64 {
        let read = reading.length.mm().to_f64();
        let [least, greatest] = [self.least.to_f64(), self.greatest.to_f64()];
        off(read, read.clamp(least.min(greatest), greatest.max(least)))
    }
}

#[expect(clippy::float_arithmetic, reason = "the last step before printing")]
fn off(read: f64, measures: f64) -> f64 {
    read - measures
}

/// One or two mistakes that explain what was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Explanation {
    /// The mistakes: one or two.
    pub causes: Vec<Cause>,
    /// What is then on the lathe.
    pub mounted: Mounted,
    /// The lead that is cut.
    pub lead: Lead,
    /// The hand that is cut; `None`: a direction is unknown, or a feed.
    pub hand: Option<Hand>,
    /// What it would measure; `None`: there is no reading.
    pub measures: Option<Measures>,
    /// How rare it is, in bits, with a point for a reading in the outer half of its uncertainty.
    pub points: u32,
    /// Whether the gears fit on the banjo, as far as it is described.
    pub fits: bool,
}

impl Explanation {
    /// Whether both are equally common.
    pub const fn is_as_common_as(&self, other: &Self) -> bool {
        self.points == other.points
    }

    /// Whether no measuring tells the two apart.
    pub fn measures_as(&self, other: &Self) -> bool {
        self.measures == other.measures && self.hand == other.hand
    }
}
