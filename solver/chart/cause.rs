//! A slip that makes a row of a chart wrong.

use super::row::Unit;
use crate::{Setting, Teeth, Train};

/// What may be wrong with a row, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// A tooth count.
    Teeth {
        /// Which gear, counted along the power path from 0.
        gear: usize,
        /// What the row says.
        says: Teeth,
        /// What makes it right.
        right: Teeth,
        /// The train then.
        train: Train,
    },
    /// The gear beside the 127: 127/100 for 127/120 and the like.
    Partner {
        /// What the row says.
        says: Teeth,
        /// What makes it right.
        right: Teeth,
        /// The train then.
        train: Train,
    },
    /// A pair where the row has an idler.
    PairForIdler {
        /// The train then.
        train: Train,
    },
    /// An idler where the row has a pair.
    IdlerForPair {
        /// The train then.
        train: Train,
    },
    /// A pair, or the whole train, the other way round.
    TurnedRound {
        /// The train then.
        train: Train,
    },
    /// Two gears of different shafts in each other's place.
    Swapped {
        /// The two, as the row has them along the power path.
        gears: [Teeth; 2],
        /// The train then.
        train: Train,
    },
    /// The printed figure.
    Value {
        /// What the gears and levers cut, as this row would print it.
        right: String,
        /// Whether that is all of it.
        exact: bool,
    },
    /// The unit of the printed figure.
    Unit(Unit),
    /// The levers.
    Levers(Setting),
    /// Nothing: the maker came no nearer.
    Approximation,
}

impl Cause {
    /// The train that would be right, where the gears are at fault.
    pub const fn train(&self) -> Option<&Train> {
        match self {
            Self::Teeth { train, .. }
            | Self::Partner { train, .. }
            | Self::PairForIdler { train }
            | Self::IdlerForPair { train }
            | Self::TurnedRound { train }
            | Self::Swapped { train, .. } => Some(train),
            _ => None,
        }
    }
}

/// One way to put a row right.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Explanation {
    /// What is wrong.
    pub cause: Cause,
    /// Whether the row is then exact.
    pub exact: bool,
    /// Whether the gears of the correction are owned, and the end shafts carry them (where it names
    /// any).
    pub owned: bool,
    pub(super) points: u32,
}

impl Explanation {
    /// Whether the one is as likely as the other.
    pub const fn is_as_likely_as(&self, other: &Self) -> bool {
        self.points == other.points
    }
}
