//! Which slip makes a row of a chart wrong?

use super::row::Unit;
use crate::{Setting, Teeth, Train};

/// A possible slip in a row, and the right form.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// A tooth count.
    Teeth {
        /// Which gear, counted along the power path from 0.
        gear: usize,
        /// As the row has it.
        says: Teeth,
        /// The right one.
        right: Teeth,
        /// The train with it.
        train: Train,
    },
    /// The gear beside the 127: 127/100 for 127/120 and the like.
    Partner {
        /// As the row has it.
        says: Teeth,
        /// The right one.
        right: Teeth,
        /// The train with it.
        train: Train,
    },
    /// A pair where the row has an idler.
    PairForIdler {
        /// The train with it.
        train: Train,
    },
    /// An idler where the row has a pair.
    IdlerForPair {
        /// The train with it.
        train: Train,
    },
    /// A pair, or the whole train, turned round.
    TurnedRound {
        /// The train with it.
        train: Train,
    },
    /// Two gears of different shafts, exchanged.
    Swapped {
        /// The two, as the row has them along the power path.
        gears: [Teeth; 2],
        /// The train with it.
        train: Train,
    },
    /// The printed figure.
    Value {
        /// The lead that gears and levers cut, as this row would print it.
        right: String,
        /// Whether that figure is exact.
        exact: bool,
    },
    /// The unit of the printed figure.
    Unit(Unit),
    /// The levers.
    Levers(Setting),
    /// No slip: the maker's approximation.
    Approximation,
}

impl Cause {
    /// The right train, where the gears are at fault.
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

/// One correction of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Explanation {
    /// The slip.
    pub cause: Cause,
    /// Whether the row is then exact.
    pub exact: bool,
    /// Whether the gears of the correction, if any, are owned and go on the end shafts.
    pub owned: bool,
    pub(super) points: u32,
}

impl Explanation {
    /// Whether both are equally likely.
    pub const fn is_as_likely_as(&self, other: &Self) -> bool {
        self.points == other.points
    }
}
