//! What can these gears cut at all? Every lead or feed, each once, in ascending order.
//!
//! Equal leads are merged by their exact value. Each has its best arrangement; where the bracket is known,
//! the best one that fits. If all trains of a lead are too close to call, it has the best of these. A heap
//! gives them one by one, so that memory does not grow with their number. Each also names the nearest
//! standard threads on both sides: they tell what an odd pitch is.
//!
//! ```
//! use solver::reach::Span;
//! use solver::search::{Options, Search};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
//!
//! let mut gears = GearSet::new();
//! for teeth in [21, 40, 50] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::new("2 mm".parse()?)))?;
//! let search = Search::new(&lathe, Travel::Thread, Options::default().with_pairs(2))?;
//!
//! let leads: Vec<String> = Span::all()
//!     .reach(&search)
//!     .map(|reached| Ok(reached?.solution.lead.to_string()))
//!     .collect::<solver::Result<_>>()?;
//! assert_eq!(leads, ["21/25 mm", "21/20 mm", "8/5 mm", "5/2 mm", "80/21 mm", "100/21 mm"]);
//!
//! // 21/20 mm is no standard pitch: 5 % over that of M6.
//! let odd = Span::all().reach(&search).nth(1).unwrap()?;
//! let below = odd.below.unwrap();
//! assert_eq!(below.thread.designation(), "M6");
//! assert_eq!(below.error.exact().unwrap().to_string(), "1/20");
//! assert!(odd.above.unwrap().error.ppm() < 0.0);
//! # Ok::<(), solver::Error>(())
//! ```

use crate::search::{Ascent, Ask, Search, Solution};
use crate::{Done, Hand, Lead, LeadError, Length, Ratio, Result, Thread, bounds, thread};

/// Which leads are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Span {
    /// No shorter lead.
    pub from: Lead,
    /// No longer lead; `None`: all.
    pub to: Option<Lead>,
    /// Hand of the thread; `None` for feeds, or where it does not matter.
    pub hand: Option<Hand>,
    /// Most gears a train may have.
    pub gears: usize,
}

impl Span {
    /// All leads, for right-hand threads.
    pub const fn all() -> Self {
        let from = Lead::new(Length::from_mm(Ratio::table(1, 1_000_000_000)));
        Self { from, to: None, hand: Some(Hand::Right), gears: 2 * bounds::PAIRS }
    }

    /// From one lead to another.
    pub const fn between(mut self, from: Lead, to: Lead) -> Self {
        self.from = from;
        self.to = Some(to);
        self
    }

    /// For a hand, or for none.
    pub const fn with_hand(mut self, hand: Option<Hand>) -> Self {
        self.hand = hand;
        self
    }

    /// With at most this many gears in a train.
    pub const fn with_gears(mut self, gears: usize) -> Self {
        self.gears = gears;
        self
    }

    /// The leads one by one, ascending. The search's options limit the gear pairs. Cancelled, it
    /// ends as if there were no more, also where nothing fits for long.
    pub fn reach<'s>(self, search: &'s Search<'s>) -> Reach<'s> {
        let ascent = search.ascent(&self.from, self.gears);
        let threads = search.travel().is_feed().then(Vec::new).unwrap_or_else(standards);
        Reach { search, span: self, ascent, threads, passed: 0, refused: 0, leads: 0 }
    }

    /// Number of different leads, fitting or not, and whether all were counted. With two gear pairs
    /// quick, with three many seconds.
    ///
    /// # Errors
    /// Only if a lead can't be held; the limits on the numbers rule that out.
    pub fn count(&self, search: &Search<'_>) -> Result<(u64, bool)> {
        const OFTEN: u64 = 1 << 16;
        let watch = search.watch();
        if watch.is_cancelled() {
            return Ok((0, false));
        }
        let mut ascent = search.ascent(&self.from, self.gears);
        let mut count = 0;
        while let Some(lead) = ascent.step() {
            let lead = lead?;
            if is_below(&lead, &self.from) {
                continue;
            }
            if self.to.is_some_and(|to| is_below(&to, &lead)) {
                break;
            }
            count += 1;
            if count % OFTEN == 0 {
                watch.tell(Done::Counted(count));
                if watch.is_cancelled() {
                    return Ok((count, false));
                }
            }
        }
        Ok((count, true))
    }

    /// Upper bound of the number of different leads, over all lengths, without a search.
    pub fn at_most(&self, search: &Search<'_>) -> u128 {
        search.leads_at_most(self.gears)
    }
}

/// Doubles decide where they can.
fn is_below(a: &Lead, b: &Lead) -> bool {
    let (x, y) = (a.to_f64(), b.to_f64());
    if (x - y).abs() > 1e-12 * y { x < y } else { a < b }
}

/// Every standard lead, ascending, each with the first of its threads.
fn standards() -> Vec<(Lead, Thread)> {
    let mut threads: Vec<(Lead, Thread)> = thread::all().map(|t| (t.lead(), t)).collect();
    threads.sort_by_cached_key(|(lead, _)| *lead);
    threads.dedup_by_key(|(lead, _)| *lead);
    threads
}

/// A standard thread beside a lead.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Beside {
    /// The thread; of several with one lead the first in the tables.
    pub thread: Thread,
    /// Error of the cut lead against that of the thread.
    pub error: LeadError,
}

/// A lead that can be cut.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Reached {
    /// Its best train that fits, else the best that is too close to call ([`Solution::fits`]
    /// tells); the error is zero.
    pub solution: Solution,
    /// The nearest standard thread with a lead no longer; `None` for feeds.
    pub below: Option<Beside>,
    /// The nearest one with a longer lead; `None` for feeds.
    pub above: Option<Beside>,
}

impl Reached {
    /// The nearer of both.
    pub fn nearest(&self) -> Option<&Beside> {
        // The errors are against two threads: `compare_size` can't compare them.
        let size = |beside: &&Beside| beside.error.size_in(1_000_000_000_000_000);
        self.below.iter().chain(&self.above).min_by_key(size)
    }
}

/// Leads one by one, ascending; made by [`Span::reach`].
#[derive(Debug)]
pub struct Reach<'s> {
    search: &'s Search<'s>,
    span: Span,
    ascent: Ascent<'s>,
    threads: Vec<(Lead, Thread)>,
    /// Standard leads up to the present lead.
    passed: usize,
    refused: u64,
    /// Leads looked at.
    leads: u64,
}

impl Reach<'_> {
    /// Leads so far without a train that fits, or not of the asked hand.
    pub const fn refused(&self) -> u64 {
        self.refused
    }

    fn reached(&mut self, solution: Solution) -> Reached {
        let lead = solution.lead;
        while self.threads.get(self.passed).is_some_and(|(own, _)| !is_below(&lead, own)) {
            self.passed += 1;
        }
        let beside = |at: usize| {
            let (own, thread) = self.threads.get(at)?;
            Some(Beside { thread: *thread, error: LeadError::of(&lead, own) })
        };
        let below = self.passed.checked_sub(1).and_then(beside);
        Reached { solution, below, above: beside(self.passed) }
    }
}

impl Iterator for Reach<'_> {
    type Item = Result<Reached>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            if self.search.watch().is_cancelled() {
                return None;
            }
            let lead = match self.ascent.step()? {
                Ok(lead) => lead,
                Err(error) => return Some(Err(error)),
            };
            if is_below(&lead, &self.span.from) {
                continue;
            }
            if self.span.to.is_some_and(|to| is_below(&to, &lead)) {
                return None;
            }
            self.leads += 1;
            self.search.watch().tell(Done::Leads(self.leads));
            let ask = Ask::new(lead).with_hand(self.span.hand).with_gears(self.span.gears);
            match self.search.best_at(&self.ascent, &ask) {
                Ok(Some(solution)) => return Some(Ok(self.reached(solution))),
                Ok(None) => self.refused += 1,
                Err(error) => return Some(Err(error)),
            }
        }
    }
}
