//! What is left of a groove that is half cut: pass by pass, from here.
//!
//! A groove has its flanks from the first pass on, so it is that of a thread with a larger pitch diameter,
//! 2 x what is left of the infeed away. A wide groove is cut in the middle by a narrower tool of the same
//! angle, then widened by S to each flank: before that it is as far behind as S / tan(half angle) of infeed.

use super::groove::Groove;
use super::work::Work;
use crate::cutting::{Blank, Cut, Side, Tip};
use crate::{Error, Result};

/// Rounding, in mm.
const NEAR: f64 = 1e-9;

/// The passes that are left, each from here.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rest {
    /// Infeed after each pass, in mm; of a wide groove that of the narrower tool in the middle.
    pub passes: Vec<f64>,
    /// The same along the angled top slide; empty where it is not used.
    pub slide_passes: Vec<f64>,
    /// Then along the bed to each flank of a wide groove, in mm.
    pub flank_passes: Vec<f64>,
}

/// A groove to which something half cut is compared.
#[derive(Debug, Clone, Copy)]
pub(super) struct HalfCut<'a> {
    pub(super) cut: &'a Cut,
    pub(super) groove: &'a Groove,
    pub(super) blank: &'a Blank,
    tip: Tip,
}

impl<'a> HalfCut<'a> {
    /// # Errors
    /// If it has no one pitch diameter that is to be reached.
    pub(super) fn of(
        cut: Option<&'a Cut>,
        groove: Option<&'a Groove>,
        work: &Work,
    ) -> Result<Self> {
        let (Some(cut), Some(groove)) = (cut, groove) else {
            return Err(Error::unknown("the form of this thread is not known here")
                .with_hint("--form beside it"));
        };
        if cut.taper().is_some() {
            return Err(Error::conflict("a taper has no one pitch diameter")
                .with_hint("leave it out: a taper is tried with its gauge"));
        }
        let Some(blank) = groove.blank.as_ref() else {
            return Err(
                Error::unknown("the diameter is not stated").with_hint("--diameter beside it")
            );
        };
        if groove.aim(work).is_none() {
            return Err(Error::conflict("a stated depth has no size to reach")
                .with_hint("leave --depth out"));
        }
        Ok(Self { cut, groove, blank, tip: work.tip })
    }

    /// 1 for a screw, which gets thinner; -1 for a nut.
    pub(super) const fn sign(&self) -> f64 {
        match self.cut.side() {
            Side::External => 1.0,
            Side::Internal => -1.0,
        }
    }

    /// How far a flank moves along the axis for each mm of infeed; `None`: the groove is cut by infeed
    /// alone.
    pub(super) fn aside(&self) -> Option<f64> {
        self.groove.slot.as_ref()?;
        Some(self.cut.form().half_angle().to_f64().to_radians().tan())
    }

    /// The infeed that a wide groove lacks before its flanks are cut; 0 for others.
    pub(super) fn flanks(&self) -> f64 {
        let slot = self.groove.slot.as_ref().and_then(|slot| slot.shifts.last());
        slot.zip(self.aside()).map_or(0.0, |(most, aside)| most / aside)
    }

    /// The passes for this infeed, in mm.
    pub(super) fn rest(&self, left: f64) -> Rest {
        let (whole, groove) = (self.groove.depth, self.groove);
        let marks = |tip, left: f64, plan| -> Vec<f64> {
            let reached = (whole.mm() - left).max(0.0);
            let marks = self.cut.outline(tip).rest(reached, &whole, plan);
            marks.iter().map(|mark| mark - reached).collect()
        };
        let Some((slot, aside)) = groove.slot.as_ref().zip(self.aside()) else {
            let passes = marks(self.tip, left, &groove.passes);
            let longer = groove.slide.map(|slide| slide.travel / whole.mm());
            let along = |longer| passes.iter().map(|mark| mark * longer).collect();
            return Rest {
                slide_passes: longer.map_or_else(Vec::new, along),
                passes,
                flank_passes: Vec::new(),
            };
        };
        let deep = left - self.flanks();
        if deep > NEAR {
            return Rest {
                passes: marks(Tip::Flat(slot.flat), deep, &slot.passes),
                slide_passes: Vec::new(),
                flank_passes: slot.shifts.clone(),
            };
        }
        let flank_passes = steps(left * aside, slot.shifts.first().copied().unwrap_or(f64::MAX));
        Rest { flank_passes, ..Rest::default() }
    }
}

/// Even steps, none longer than `most`.
fn steps(whole: f64, most: f64) -> Vec<f64> {
    if whole <= NEAR {
        return Vec::new();
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a thousand at most"
    )]
    let count = (whole / most - NEAR).ceil().clamp(1.0, 1000.0) as u32;
    (1..=count).map(|n| whole * f64::from(n) / f64::from(count)).collect()
}
