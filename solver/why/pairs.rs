//! Every single mistake, and every two together.

use super::candidate::{Candidate, Effect, misreadings};
use super::cause::{Cause, Shift};
use super::reading::Reading;
use super::shift::shifts;
use crate::slip::{Slip, other_settings, other_tumblers, singles, trains};
use crate::{Error, Lathe, Ratio, Result, Setting};

/// What the mistakes are made on.
pub(super) struct Bench<'a> {
    pub(super) lathe: &'a Lathe,
    pub(super) settings: &'a [Setting],
    pub(super) right: Candidate,
    pub(super) reading: Option<&'a Reading>,
    pub(super) starts: u8,
    /// Whether it is known which hand came out, so that a mistake of the hand alone can show.
    pub(super) hand_seen: bool,
    /// Whether a groove beside the first counts.
    pub(super) shifts: bool,
}

impl Bench<'_> {
    /// Every single mistake.
    pub(super) fn singles(&self) -> Result<Vec<Candidate>> {
        let mut all = self.of_gearing();
        all.extend(self.of_reading()?);
        if self.shifts {
            all.extend(self.of_groove()?);
        }
        Ok(all)
    }

    /// Every two mistakes; of the groove none, as they explain too much.
    pub(super) fn pairs(&self) -> Result<Vec<Candidate>> {
        let one = self.of_gearing();
        let right = &self.right;
        let mut all = Vec::new();
        for (slips, points, setting) in other_settings(self.settings, &right.mounted.setting, 2) {
            if slips.len() == 2 {
                let causes = slips.into_iter().map(Cause::Gearing).collect();
                let mounted = right.mounted.with_setting(setting.clone());
                all.push(Candidate { causes, points, mounted, effect: Effect::None });
            }
        }
        for first in &one {
            // Levers first, then the gears: one order of two that commute.
            let last = &first.mounted.setting.last;
            for (slip, points, train) in trains(self.lathe, last, &first.mounted.train) {
                // The fitted gears come back after another slip as well.
                if !self.shows(slip) || matches!(slip, Slip::Fitted) && is_of_gears(first) {
                    continue;
                }
                all.push(first.and(Cause::Gearing(slip), points, first.mounted.with_train(train)));
            }
            if self.hand_seen && !matches!(first.causes[..], [Cause::Gearing(Slip::Tumbler(_))]) {
                for (slip, points, at) in other_tumblers(self.lathe, first.mounted.tumbler) {
                    let mounted = first.mounted.with_tumbler(Some(at));
                    all.push(first.and(Cause::Gearing(slip), points, mounted));
                }
            }
            all.extend(self.misread(first)?);
        }
        Ok(all)
    }

    fn of_gearing(&self) -> Vec<Candidate> {
        let right = &self.right;
        let all = singles(self.lathe, self.settings, &right.mounted).into_iter();
        let all = all.filter(|wrong| self.shows(wrong.slip));
        all.map(|wrong| right.and(Cause::Gearing(wrong.slip), wrong.points, wrong.mounted))
            .collect()
    }

    /// Whether a slip shows: one of the hand alone only where the hand was looked at.
    const fn shows(&self, slip: Slip) -> bool {
        self.hand_seen || !slip.is_of_the_hand()
    }

    fn of_reading(&self) -> Result<Vec<Candidate>> {
        self.misread(&self.right)
    }

    /// A candidate with each misreading.
    fn misread(&self, candidate: &Candidate) -> Result<Vec<Candidate>> {
        let Some(reading) = self.reading else { return Ok(Vec::new()) };
        let found = candidate.mounted.lead();
        let found = found.and_then(|lead| misreadings(reading, self.starts, &lead));
        let all = possible(found)?.unwrap_or_default();
        let of = |(what, factor)| candidate.with(Cause::Reading(what), Effect::Times(factor));
        Ok(all.into_iter().map(of).collect())
    }

    /// Grooves beside the first, either way; without a reading one of each kind.
    fn of_groove(&self) -> Result<Vec<Candidate>> {
        let found = possible(shifts(self.lathe, &self.right.mounted, self.starts))?;
        let mut found = found.unwrap_or_default();
        let sides = if self.reading.is_some() { &[true, false][..] } else { &[true][..] };
        if self.reading.is_none() {
            found.dedup_by_key(|(shift, _)| std::mem::discriminant(shift));
        }
        let effects = |shift: Shift, mm: Ratio| match shift {
            Shift::AngledInfeed => vec![Effect::UpTo(mm)],
            _ => sides.iter().map(|&longer| Effect::Shift { mm, longer }).collect(),
        };
        let of = |(shift, mm): (Shift, Ratio)| {
            let with = |effect| self.right.with(Cause::Groove(shift), effect);
            effects(shift, mm).into_iter().map(with).collect::<Vec<_>>()
        };
        Ok(found.into_iter().flat_map(of).collect())
    }
}

/// Whether gears were changed.
fn is_of_gears(candidate: &Candidate) -> bool {
    let of_levers = |cause: &Cause| {
        let Cause::Gearing(slip) = cause else { return false };
        matches!(slip, Slip::Lever { .. } | Slip::Headstock(_) | Slip::Tumbler(_))
    };
    !candidate.causes.iter().all(of_levers)
}

/// What is out of range is no explanation.
pub(super) fn possible<T>(found: Result<T>) -> Result<Option<T>> {
    match found {
        Ok(found) => Ok(Some(found)),
        Err(error) if Error::is_too_large(&error) => Ok(None),
        Err(error) => Err(error),
    }
}
