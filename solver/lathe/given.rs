//! A train with the gears that its numbers mean, and what is not there.

use super::End;
use crate::{Gear, Place, Teeth, Train};

/// Where a gear of a train comes from.
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
    /// None that is owned.
    Missing,
}

/// Something that a train asks for and that is not there.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Lack {
    /// Fewer gears are owned than the train uses.
    Gear {
        /// The gear.
        gear: Gear,
        /// How many such gears the train uses.
        needed: usize,
        /// How many are owned; where some can't be where the train needs them, without these.
        owned: usize,
        /// Whether gears with as many teeth of another tooth size are owned.
        other_sizes: bool,
    },
    /// A joined pair that the train uses on more shafts than such pairs are owned.
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
        /// Whether it is the first shaft (else the last).
        first: bool,
        /// The gear.
        teeth: Teeth,
        /// What that shaft takes.
        takes: End,
    },
    /// A gear that does not go on this kind of shaft.
    Place {
        /// The gear.
        teeth: Teeth,
        /// The shaft.
        place: Place,
    },
    /// Two gears that would have to mesh, and are of different tooth sizes or pressure angles.
    Unlike {
        /// The gear that drives.
        driver: Gear,
        /// The gear that is driven.
        driven: Gear,
    },
    /// A gear of a joined pair keyed to another gear than its own.
    Apart {
        /// The gear,
        teeth: Teeth,
        /// the gear that it is joined to,
        partner: Teeth,
        /// and the gear that the train keys it to.
        beside: Teeth,
    },
    /// A joined pair that does not go on the other way round.
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
    /// The train, each gear with its tooth size; one that is not owned as the gear beside it asks.
    pub train: Train,
    /// Where each gear comes from, in power-path order.
    pub origins: Vec<Origin>,
    /// What is not there; nothing: it can be put together.
    pub lacks: Vec<Lack>,
}
