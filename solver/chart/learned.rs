//! Which figure of the lathe was learned, and how sure is it?

use super::constant::{PossibleValue, Ranking};
use super::interval::Interval;
use crate::{Ratio, Result, Travel};

/// The kind of a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum What {
    /// The lead of the lead screw; K is known.
    LeadScrew,
    /// K: turns of the driving gear for one of the spindle; the screw is known.
    Headstock,
    /// Lead screw x K: the lead that equal gears cut (with every lever at its reference).
    ScrewConstant,
    /// Travel for one turn of the lead screw or feed shaft; K is known.
    Feed(Travel),
    /// The same x K; K is unknown.
    FeedConstant(Travel),
    /// The longitudinal feed is by half nut.
    HalfNut,
}

/// A learned figure.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Constant {
    /// Its kind.
    pub what: What,
    /// The kind of travel whose rows tell of it.
    pub travel: Travel,
    /// The constant that it was read from, in mm; value and rivals are of this.
    pub ranking: Ranking,
    /// The known factor in that constant: K in mm/mm, or the screw in mm.
    pub factor: Ratio,
    /// Whether it is decided, and depends on no open figure.
    pub certain: bool,
}

impl Constant {
    /// The figure itself for one candidate: a lead in mm, or a plain ratio for the headstock.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn figure(&self, candidate: &PossibleValue) -> Result<Ratio> {
        candidate.value.over(&self.factor)
    }

    /// The least and the greatest possible figure.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn bounds(&self) -> Result<Interval> {
        self.ranking.bounds.over(&self.factor)
    }

    /// Whether the figure is a length (else a plain ratio).
    pub const fn is_length(&self) -> bool {
        !matches!(self.what, What::Headstock)
    }
}

/// A lever position with an unknown ratio.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LearnedPosition {
    /// The lever.
    pub lever: String,
    /// The position.
    pub position: String,
    /// Its ratio; `None`: it counts as 1, and the constant includes its real ratio.
    pub ranking: Option<Ranking>,
    /// Whether it is decided, and depends on no open figure.
    pub certain: bool,
}

impl LearnedPosition {
    /// Its ratio.
    pub fn ratio(&self) -> Ratio {
        self.ranking.as_ref().map_or(Ratio::ONE, |ranking| ranking.best.value)
    }
}
