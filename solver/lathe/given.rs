//! Which gears does a train mean, and which of them are missing?

use super::End;
use crate::{Gear, Place, Teeth, Train};

/// The origin of a gear of a train.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Origin {
    /// The machine's own gear of an end shaft.
    Own,
    /// A loose gear, by its index in [`crate::GearSet::loose`].
    Loose(usize),
    /// One gear of a joined pair.
    Joined {
        /// Its index in [`crate::GearSet::joined`].
        pair: usize,
        /// Which of the two.
        side: usize,
    },
    /// Not owned.
    Missing,
}

/// Something that a train needs and that is missing.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Lack {
    /// Fewer gears are owned than the train uses.
    Gear {
        /// The gear.
        gear: Gear,
        /// How many such gears the train uses.
        needed: usize,
        /// How many are owned; gears that can't go where the train needs them don't count.
        owned: usize,
        /// Whether gears with equal teeth of another tooth size are owned.
        other_sizes: bool,
    },
    /// A joined pair on more shafts than such pairs are owned.
    Joint {
        /// The two gears.
        gears: [Teeth; 2],
        /// On how many shafts.
        needed: usize,
        /// How many such pairs are owned.
        owned: usize,
    },
    /// A gear that its end shaft does not take.
    End {
        /// Whether it is the driving shaft (else the last).
        first: bool,
        /// The gear.
        teeth: Teeth,
        /// The gears that this shaft takes.
        takes: End,
    },
    /// A gear that does not go on this kind of shaft.
    Place {
        /// The gear.
        teeth: Teeth,
        /// The shaft.
        place: Place,
    },
    /// Two meshing gears of different tooth sizes or pressure angles.
    Unlike {
        /// The gear that drives.
        driver: Gear,
        /// The gear that is driven.
        driven: Gear,
    },
    /// A gear of a joined pair, keyed to a gear that is not its partner.
    Apart {
        /// The gear,
        teeth: Teeth,
        /// its partner,
        partner: Teeth,
        /// and the gear keyed to it in the train.
        beside: Teeth,
    },
    /// A joined pair that can't be turned round.
    Turned {
        /// The gear that would be driven.
        driven: Teeth,
        /// The gear that would drive.
        driver: Teeth,
    },
    /// More pairs of loose gears than can be keyed.
    Sleeves {
        /// Pairs of loose gears in the train.
        needed: usize,
        /// How many can be keyed at once.
        owned: usize,
    },
    /// More studs than the lathe has.
    Studs {
        /// Studs of the train.
        needed: usize,
        /// Studs of the lathe.
        owned: usize,
    },
}

/// A train with the gears that its numbers mean.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Given {
    /// The train, each gear with its tooth size; one that is not owned has that of the gear beside
    /// it.
    pub train: Train,
    /// Where each gear comes from, in power-path order.
    pub origins: Vec<Origin>,
    /// The missing things; none: the train can be put together.
    pub lacks: Vec<Lack>,
}
