//! What does a caller ask of a search, and which trains count?

use crate::{Hand, Lead, LeastClearance, Ratio, bounds};

/// Which trains count, beyond the limits of the lathe.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Options {
    /// Without a bracket: the least distance, in mm, from the tip of a gear on a stud to the axis of
    /// the shaft that its partner meshes with; `None`: not asked.
    pub arbor: Option<Ratio>,
    /// Whether trains must fit on the lathe's bracket, where it is described.
    pub bracket: bool,
    /// Most gear pairs in a train, where the lathe has studs for more.
    pub pairs: usize,
    /// Internal; open to the tests.
    #[doc(hidden)]
    pub tuning: Tuning,
}

impl Default for Options {
    fn default() -> Self {
        let tuning = Tuning::default();
        let arbor = Some(LeastClearance::Assumed.mm());
        Self { arbor, bracket: true, pairs: bounds::PAIRS, tuning }
    }
}

impl Options {
    /// With another least arbor distance in mm, or none.
    pub const fn with_arbor(mut self, arbor: Option<Ratio>) -> Self {
        self.arbor = arbor;
        self
    }

    /// With the bracket asked, or not.
    pub const fn with_bracket(mut self, bracket: bool) -> Self {
        self.bracket = bracket;
        self
    }

    /// With this many gear pairs at most: the tables become far smaller.
    pub const fn with_pairs(mut self, pairs: usize) -> Self {
        self.pairs = pairs;
        self
    }

    /// With other windows and budget.
    #[doc(hidden)]
    pub const fn with_tuning(mut self, tuning: Tuning) -> Self {
        self.tuning = tuning;
        self
    }
}

/// The question to a search.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ask {
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed, or where it does not matter.
    pub hand: Option<Hand>,
    /// Different leads wanted: 1 to 10,000.
    pub count: usize,
    /// Most gears a train may have (2 to 8).
    pub gears: usize,
    /// Largest |error| wanted: 200 ppm is 1/5000.
    pub within: Option<Ratio>,
}

impl Ask {
    /// The five best leads with any number of gears, for a right-hand thread.
    pub const fn new(lead: Lead) -> Self {
        Self { lead, hand: Some(Hand::Right), count: 5, gears: 2 * bounds::PAIRS, within: None }
    }

    /// For a hand, or for none.
    pub const fn with_hand(mut self, hand: Option<Hand>) -> Self {
        self.hand = hand;
        self
    }

    /// With this many different leads.
    pub const fn with_count(mut self, count: usize) -> Self {
        self.count = count;
        self
    }

    /// With at most this many gears.
    pub const fn with_gears(mut self, gears: usize) -> Self {
        self.gears = gears;
        self
    }

    /// Within a tolerance.
    pub const fn with_within(mut self, within: Option<Ratio>) -> Self {
        self.within = within;
        self
    }
}

/// How windows grow, and when the search gives them up: internal, open to the tests.
#[doc(hidden)]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuning {
    /// First window; 0: from the density of leads.
    pub first: f64,
    /// Each window is wider than the one before by this factor.
    pub growth: f64,
    /// Selections tried before the whole list of trains is made.
    pub budget: u64,
    /// Most halvings for one train on the bracket; `None`: the usual number.
    pub halvings: Option<u32>,
}

impl Default for Tuning {
    fn default() -> Self {
        // 50,000 selections take about ten milliseconds, as long as a whole list of a small lathe.
        Self { first: 0.0, growth: 4.0, budget: 50_000, halvings: None }
    }
}
