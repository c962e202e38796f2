//! The slips, and how common each is.
//!
//! Points are bits, as those of a chart's slips: how rarely the slip is made, and how many variants it has.
//! Fewer points are more common. All of it is common practice, no source.

use super::mounted::Mounted;
use crate::{OnShaft, Teeth};

/// A possible slip of the gearing on this lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Slip {
    /// One lever in another position.
    Lever {
        /// Index of the lever.
        lever: usize,
        /// Index of its wrong position.
        position: usize,
    },
    /// The headstock in another position: its index.
    Headstock(usize),
    /// The tumbler in another position, its index: the same lead, the other hand.
    Tumbler(usize),
    /// A keyed pair turned round: its two gears, as they should be.
    TurnedRound {
        /// Should be driven, and drives.
        driven: Teeth,
        /// Should drive, and is driven.
        driver: Teeth,
    },
    /// The gears of the two end shafts exchanged: as they should be.
    EndsExchanged {
        /// Should be on the driving shaft.
        first: Teeth,
        /// Should be on the driven shaft.
        last: Teeth,
    },
    /// Two other gears in each other's place.
    Swapped([Teeth; 2]),
    /// Another gear of the box in the place of one.
    Gear {
        /// On which shaft.
        on: OnShaft,
        /// The gear that should be there.
        right: Teeth,
        /// The gear that is.
        wrong: Teeth,
    },
    /// A joined pair on a stud with only one gear in mesh, as an idler: the next gear is in its
    /// plane.
    PairAsIdler(Teeth),
    /// A loose pair of which one gear alone is in mesh, as an idler.
    PairLoose {
        /// The gear in mesh.
        idler: Teeth,
        /// The gear of the pair that does nothing.
        idle: Teeth,
    },
    /// An idler keyed to another gear.
    IdlerKeyed {
        /// The idler.
        idler: Teeth,
        /// The gear beside it.
        beside: Teeth,
        /// Whether that gear drives; else it is driven and the idler drives.
        drives: bool,
    },
    /// An idler left out: the same lead, the other hand.
    IdlerLeftOut(Teeth),
    /// One idler too many: the same lead, the other hand.
    IdlerAdded(Teeth),
    /// The train that was on the machine, not changed.
    Fitted,
}

impl Slip {
    /// Whether it changes the hand alone.
    pub const fn is_of_the_hand(self) -> bool {
        matches!(self, Self::Tumbler(_) | Self::IdlerLeftOut(_) | Self::IdlerAdded(_))
    }
}

/// A set-up after one slip.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Wrong {
    /// The slip.
    pub slip: Slip,
    /// How rare it is, in bits.
    pub points: u32,
    /// What is then on the lathe.
    pub mounted: Mounted,
}

impl Wrong {
    pub(super) const fn new(slip: Slip, points: u32, mounted: Mounted) -> Self {
        Self { slip, points, mounted }
    }
}

/// A lever beside its position: the most common slip of all.
pub(super) const NEXT_POSITION: u32 = 3;
/// The headstock in another position: it is set last and forgotten.
pub(super) const HEADSTOCK: u32 = 4;
/// The tumbler: left as it was for the job before.
pub(super) const TUMBLER: u32 = 5;
/// An idler too few or too many: often where there is no tumbler.
pub(super) const IDLER: u32 = 5;
/// A keyed pair turned round: often, one of two studs at most.
pub(super) const TURNED_ROUND: u32 = 6;
/// Cut before the gears were changed.
pub(super) const FITTED: u32 = 6;
/// A joined pair with one gear in mesh.
pub(super) const PAIR_AS_IDLER: u32 = 6;
/// Driving and last gear exchanged: one card in two shows them so.
pub(super) const ENDS: u32 = 7;
/// A lever further off.
pub(super) const POSITION: u32 = 8;
/// Any two gears exchanged: one of about four.
pub(super) const SWAPPED: u32 = 8;
/// A gear that looks like the right one: one digit differs, or its size by a twentieth at most.
pub(super) const ALIKE: u32 = 8;
/// A pair running as an idler.
pub(super) const LOOSE: u32 = 8;
/// An idler keyed to a gear that was left on its sleeve: any of the box.
pub(super) const KEYED: u32 = 11;
/// Any other gear: rare, one of eighty.
pub(super) const GEAR: u32 = 12;
