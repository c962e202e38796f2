//! A figure that was learned of a lathe.

use super::constant::{Candidate, Ranking};
use super::interval::Interval;
use crate::{Ratio, Result, Travel};

/// What a figure of the lathe is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum What {
    /// The lead of the lead screw, K being known.
    LeadScrew,
    /// K: turns of the first gear for one of the spindle, the screw being known.
    Headstock,
    /// Lead screw x K: what equal gears cut (with every lever at its reference).
    ScrewConstant,
    /// Travel for one turn of the lead screw or feed shaft, K being known.
    Feed(Travel),
    /// The same x K, K not being known.
    FeedConstant(Travel),
    /// The feed along the bed is by half nut.
    HalfNut,
}

/// A figure that was learned.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Constant {
    /// What it is.
    pub what: What,
    /// The kind of travel whose rows speak of it.
    pub travel: Travel,
    /// The constant that it was read from, in mm: value and rivals are of this.
    pub ranking: Ranking,
    /// The known factor in that constant: K in mm/mm, or the screw in mm.
    pub factor: Ratio,
    /// Whether it is decided, and hangs on nothing that is not.
    pub certain: bool,
}

impl Constant {
    /// The figure itself for one candidate: a lead in mm, or a plain ratio for the headstock.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn figure(&self, candidate: &Candidate) -> Result<Ratio> {
        candidate.value.over(&self.factor)
    }

    /// The least and the greatest that the figure can be.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn bounds(&self) -> Result<Interval> {
        self.ranking.bounds.over(&self.factor)
    }

    /// Whether the figure is a length (else a plain ratio).
    pub const fn is_length(&self) -> bool {
        !matches!(self.what, What::Headstock)
    }
}

/// A lever position that was not known.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LearnedPosition {
    /// The lever.
    pub lever: String,
    /// The position.
    pub position: String,
    /// Its ratio; `None`: it counts as 1, and the constant holds what it really is.
    pub ranking: Option<Ranking>,
    /// Whether it is decided, and hangs on nothing that is not.
    pub certain: bool,
}

impl LearnedPosition {
    /// Its ratio.
    pub fn ratio(&self) -> Ratio {
        self.ranking.as_ref().map_or(Ratio::ONE, |ranking| ranking.best.value)
    }
}
