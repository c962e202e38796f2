//! What does the bound of a plan hold for?

/// The least figure of any plan: gears moved, or different trains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Bound {
    /// No plan has less, over every set-up within tolerance that a table may hold
    /// ([`TrainTable::new`](super::TrainTable::new) says which).
    Proven(usize),
    /// No plan of the held set-ups has less. The table lacks some set-ups, so another plan may: this
    /// is no bound of the list.
    OfHeld(usize),
    /// Nothing is known: the work ended early, or no bound was asked.
    Unknown,
}

impl Bound {
    /// The bound, where it holds over everything.
    pub const fn least(self) -> Option<usize> {
        match self {
            Self::Proven(least) => Some(least),
            Self::OfHeld(_) | Self::Unknown => None,
        }
    }
}
