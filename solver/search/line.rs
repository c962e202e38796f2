//! One line of a list for planning or buying: a thread or feed to be cut.

use super::Ask;
use crate::{Hand, Lead, Ratio, Travel};

/// A thread or feed to be cut.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Line {
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed, or where it does not matter.
    pub hand: Option<Hand>,
    /// What moves the tool.
    pub travel: Travel,
    /// Largest |error|: 200 ppm is 1/5000.
    pub within: Ratio,
    /// Where no train is within: the nearest one is planned with if its |error| is at most this.
    pub at_worst: Option<Ratio>,
}

impl Line {
    /// A right-hand thread within 200 ppm.
    pub const fn new(lead: Lead) -> Self {
        let within = Ratio::table(1, 5000);
        Self { lead, hand: Some(Hand::Right), travel: Travel::Thread, within, at_worst: None }
    }

    /// For a hand, or for none.
    pub const fn with_hand(mut self, hand: Option<Hand>) -> Self {
        self.hand = hand;
        self
    }

    /// For another travel.
    pub const fn with_travel(mut self, travel: Travel) -> Self {
        self.travel = travel;
        self
    }

    /// Within another tolerance.
    pub const fn with_within(mut self, within: Ratio) -> Self {
        self.within = within;
        self
    }

    /// With the nearest train where none is within, if its error is at most this.
    pub const fn with_at_worst(mut self, at_worst: Option<Ratio>) -> Self {
        self.at_worst = at_worst;
        self
    }

    /// The question for the search: the best train within the tolerance.
    pub fn ask(&self) -> Ask {
        Ask::new(self.lead).with_hand(self.hand).with_within(Some(self.within)).with_count(1)
    }
}
