//! A mistake, or two, with what it does to lead and reading.

use super::cause::{Cause, Misreading};
use super::explanation::Measures;
use super::reading::Reading;
use crate::chart::Counted;
use crate::slip::Mounted;
use crate::{Lead, Length, Ratio, Result};

/// What a mistake does to the figure that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Effect {
    /// Nothing.
    None,
    /// So many times as long.
    Times(Ratio),
    /// Longer, or shorter, by so many mm.
    Shift { mm: Ratio, longer: bool },
    /// Up to so many mm longer or shorter.
    UpTo(Ratio),
}

/// Not yet held against the reading.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub(super) causes: Vec<Cause>,
    pub(super) points: u32,
    pub(super) mounted: Mounted,
    pub(super) effect: Effect,
}

impl Candidate {
    pub(super) const fn right(mounted: Mounted) -> Self {
        Self { causes: Vec::new(), points: 0, mounted, effect: Effect::None }
    }

    /// With one mistake more.
    pub(super) fn and(&self, cause: Cause, points: u32, mounted: Mounted) -> Self {
        let causes = self.causes.iter().copied().chain([cause]).collect();
        Self { causes, points: self.points.saturating_add(points), mounted, effect: self.effect }
    }

    /// With a mistake that leaves the gearing as it is.
    pub(super) fn with(&self, cause: Cause, effect: Effect) -> Self {
        let mounted = self.mounted.clone();
        Self { effect, ..self.and(cause, cause.points(), mounted) }
    }

    /// What it would measure.
    pub(super) fn measures(&self, reading: &Reading, starts: u8) -> Result<Measures> {
        let mut count = reading.count;
        if reading.counted == Counted::Pitches {
            count = count.over(&Ratio::whole(starts.max(1).into())?)?;
        }
        let plain = self.mounted.lead()?.times(&count)?;
        let of = |mm: Ratio| Lead::new(Length::from_mm(mm));
        let shorter = |by: &Ratio| {
            let left = plain.mm().apart(by)?.filter(|_| *by < plain.mm());
            // Nothing is measured backwards.
            left.ok_or_else(|| crate::Error::too_large("a shift"))
        };
        Ok(match self.effect {
            Effect::None => Measures::exactly(plain),
            Effect::Times(factor) => Measures::exactly(plain.times(&factor)?),
            Effect::Shift { mm, longer: true } => Measures::exactly(of(plain.mm().plus(&mm)?)),
            Effect::Shift { mm, longer: false } => Measures::exactly(of(shorter(&mm)?)),
            Effect::UpTo(mm) => {
                Measures { least: of(shorter(&mm)?), greatest: of(plain.mm().plus(&mm)?) }
            }
        })
    }
}

/// What a reading may mean in place of what it says, with its factor on the right length.
pub(super) fn misreadings(
    reading: &Reading,
    starts: u8,
    cut: &Lead,
) -> Result<Vec<(Misreading, Ratio)>> {
    let mut all =
        vec![(Misreading::InchesAsMm, Ratio::INCH.recip()), (Misreading::MmAsInches, Ratio::INCH)];
    let many = Ratio::whole(starts.max(1).into())?;
    match reading.counted {
        Counted::Pitches if starts > 1 => all.push((Misreading::StartAsPitch, many)),
        Counted::Leads if starts > 1 => all.push((Misreading::PitchAsStart, many.recip())),
        _ => {}
    }
    if reading.counted != Counted::Turns {
        let count = reading.count;
        all.push((Misreading::OneMore, count.plus(&Ratio::ONE)?.over(&count)?));
        let fewer = count.apart(&Ratio::ONE)?.filter(|_| count > Ratio::ONE);
        if let Some(fewer) = fewer {
            all.push((Misreading::OneFewer, fewer.over(&count)?));
        }
    }
    // 1.5 mm read as 1 1/2 threads per inch: 25.4 / 1.5 mm.
    if !cut.has_pi() {
        let other = Ratio::INCH.over(&cut.mm())?.over(&cut.mm())?;
        all.push((Misreading::OtherUnit, other));
    }
    all.retain(|(_, factor)| *factor != Ratio::ONE);
    Ok(all)
}
