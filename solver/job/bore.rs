//! The bore of a nut: how much thread does it leave, and which drill makes it?

use super::groove::Groove;
use crate::cutting::{Cut, Drill, Overlap, Side};
use crate::tolerance::Limits;

/// Thread that a bore leaves, and tap drills for it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Bore {
    /// Of the bore to turn, or as measured.
    pub engagement: Overlap,
    /// Drills with what each leaves; none where the bore was measured.
    pub drills: Vec<(Drill, Overlap)>,
}

impl Bore {
    /// `None`: a screw, or no whole thread is known for the form.
    pub(super) fn of(cut: &Cut, limits: Option<&Limits>, groove: Option<&Groove>) -> Option<Self> {
        let blank = groove?.blank.filter(|_| cut.side() == Side::Internal)?;
        let drills = if blank.is_measured() { Vec::new() } else { cut.tap_drills(limits) };
        let leaves = |drill: Drill| Some((drill, cut.engagement(&drill.size().into())?));
        Some(Self {
            engagement: cut.engagement(&blank.across())?,
            drills: drills.into_iter().filter_map(leaves).collect(),
        })
    }
}
