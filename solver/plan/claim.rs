//! What is claimed of a plan: a bound knows over what it holds.

/// How few gears, or trains, a plan must do with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Bound {
    /// No plan does with less: over every set-up within tolerance that a table may hold
    /// ([`Table::new`](super::Table::new) says which).
    Proven(usize),
    /// No plan of the set-ups that the table holds does with less. It lacks some, so another plan may: no
    /// bound of the list.
    OfHeld(usize),
    /// The work ended before anything was known, or nobody asked.
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
