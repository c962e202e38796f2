//! Tool or work was taken out: what picks the thread up again?
//!
//! The tool is set, the nut closed, the spindle turned forward until the backlash is out; then both slides
//! bring the tool into the groove (F. D. Jones, Turning and Boring, 1919, ch. IV, Replacing Sharpened Thread
//! Tool).

use super::groove::Groove;
use super::next_cut::NextCut;
use super::work::Work;
use crate::dial::{Advice, HalfNut};

/// How the thread is picked up.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PickUp {
    /// Whether the half nut stays closed from here to the last pass.
    pub stays_closed: bool,
    /// Infeed so far, in mm, which the dial shows when the tool touches both flanks; `None`: not known.
    pub depth: Option<f64>,
    /// Whether the tool is narrower than the groove: it does not find its place by itself.
    pub is_wide: bool,
}

impl PickUp {
    /// `None`: nothing was taken out.
    pub(super) fn of(
        nut: Option<&HalfNut>,
        groove: Option<&Groove>,
        next: Option<&NextCut>,
        work: &Work,
    ) -> Option<Self> {
        let nut = nut.filter(|_| work.reset)?;
        let is_wide = groove.is_some_and(|groove| groove.slot.is_some());
        let so_far = |(groove, next): (&Groove, &NextCut)| groove.depth.mm() - next.left.to_aim;
        Some(Self {
            stays_closed: matches!(nut.advice(), Advice::KeepClosed(_)),
            depth: groove.zip(next).filter(|_| !is_wide).map(so_far),
            is_wide,
        })
    }
}
