//! Every train, best first, proven: what the project exists for.
//!
//! The leads that the gears can cut are streamed in exact order of their error (`search/stream.rs`)
//! from tables of products (`search/products.rs`, `search/fields.rs`). All trains with one lead are
//! a group; a group's answer is its best arrangement (`search/walk.rs`, `search/rank.rs`) that
//! stands. Where few arrangements stand the whole list of them is made instead
//! (`search/whole.rs`); the order and the proof are the same.
//!
//! Why the first answer is the best: every lead that has not been streamed errs by more; every lead
//! streamed without an answer has had all its arrangements refused; inside a group all arrangements
//! with fewer gears, or as many and an earlier key, were refused.
//!
//! Floats find candidates, with a stated slack on the safe side; whole numbers rank them.

mod ascend;
mod best;
mod count;
mod fields;
mod line;
mod open;
mod path;
mod products;
mod rank;
mod remedy;
mod scan;
mod select;
mod stock;
mod stream;
mod walk;
mod whole;
mod within;

pub(crate) use ascend::Ascent;
pub use line::Line;
pub use remedy::{Change, Remedy};
#[doc(hidden)]
pub use stream::Tuning;
pub use within::Arrangement;

use crate::bracket::{Fit, Geometry, Reason, Refusal};
use crate::{
    Hand, Lathe, Lead, LeadError, Ratio, Result, Setting, Shaft, Teeth, Train, Travel, Turns,
    bounds,
};
use best::{Best, Ranked};
use fields::Fields;
use path::Path;
use rank::{Fitted, Head, Key};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::ops::{ControlFlow, RangeInclusive};
use std::sync::OnceLock;
use stock::{Clash, Stock};
use stream::{Group, Hit, Source, Stream, Wanted};
use whole::Whole;

/// Without a bracket, the least distance from a gear's tip to the axis beside it: 6.5 mm, which at
/// module 1 is the shop's rule "the sum must exceed the next wheel by 15" (common practice, no
/// source).
pub const ARBOR_MM: Ratio = Ratio::table(13, 2);

/// Leads that the first window is made for at most.
const MOST_WANTED: usize = 10_000;

/// Selections tried in all before a search gives up and says so.
const MOST_WORK: u64 = 5_000_000;

/// What counts as a train, beyond what the lathe says.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Options {
    /// Where no bracket is asked: the least distance, in mm, from the tip of a gear on a stud to the
    /// axis of the shaft that the other gear of its pair meshes with; `None`: not asked.
    pub arbor: Option<Ratio>,
    /// Whether trains must stand on the lathe's bracket, where it is described.
    pub bracket: bool,
    /// Most ratio pairs in a train, where the lathe has studs for more.
    pub pairs: usize,
    /// Internal; open to the tests.
    #[doc(hidden)]
    pub tuning: Tuning,
}

impl Default for Options {
    fn default() -> Self {
        let tuning = Tuning::default();
        Self { arbor: Some(ARBOR_MM), bracket: true, pairs: bounds::PAIRS, tuning }
    }
}

impl Options {
    /// With another least arbor distance in mm, or none.
    pub const fn with_arbor(mut self, arbor: Option<Ratio>) -> Self {
        self.arbor = arbor;
        self
    }

    /// Asking the bracket or not.
    pub const fn with_bracket(mut self, bracket: bool) -> Self {
        self.bracket = bracket;
        self
    }

    /// With so many ratio pairs at most: the tables become smaller by far.
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

/// What is asked of one search.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ask {
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed, or where it does not matter.
    pub hand: Option<Hand>,
    /// Different leads wanted.
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

    /// So many different leads.
    pub const fn with_count(mut self, count: usize) -> Self {
        self.count = count;
        self
    }

    /// At most so many gears.
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

/// The tables for one lathe and one kind of travel; serves any number of targets.
///
/// ```
/// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
/// use solver::search::{Ask, Options, Search};
///
/// // An 8 TPI screw, driven one to one, and six gears.
/// let mut gears = GearSet::new();
/// for teeth in [20, 30, 40, 50, 60, 65] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
/// let search = Search::new(&lathe, Travel::Thread, Options::default())?;
///
/// let found = search.find(&Ask::new(Lead::from_tpi("13".parse()?)?))?;
/// let best = &found.solutions[0];
/// assert_eq!(best.train.to_string(), "40-65"); // 8/13, exactly
/// assert!(best.error.is_zero() && found.proof.complete);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug)]
pub struct Search<'l> {
    lathe: &'l Lathe,
    travel: Travel,
    options: Options,
    settings: Vec<Setting>,
    stock: Stock,
    fields: Fields,
    fitted: Fitted,
    /// By setting: whether a hand (right, left) can be had with an even and an odd number of meshes.
    reachable: Vec<[[bool; 2]; 2]>,
    /// Choices with up to 1, 2, 3 and 4 ratio pairs.
    combinations: [u128; bounds::PAIRS],
    whole: OnceLock<Option<Whole>>,
}

/// One train on the machine with its levers: the best arrangement for its lead.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Solution {
    /// The wheels.
    pub train: Train,
    /// Index into [`Search::settings`].
    pub setting: usize,
    /// Index of the tumbler position; `None`: there is none, or it does not matter.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some sense is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Against the target.
    pub error: LeadError,
    /// Gears in the train, idlers included.
    pub gears: usize,
    /// Gears taken off and put on from the fitted set-up (no fitted set-up: `gears`).
    pub handled: usize,
    /// Where it stands on the bracket, or why it can't.
    pub fit: Fit,
}

/// What the proof covers.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Proof {
    /// Choices of drivers and driven gears, order and idlers apart, times lever positions.
    pub combinations: u128,
    /// Lever positions searched.
    pub positions: usize,
    /// Most ratio pairs searched.
    pub pairs: usize,
    /// Whether all that the lathe allows was searched. If not, either trains with more than `pairs`
    /// ratio pairs were left out, or the search gave up: then nothing closer than the last answer
    /// was missed, but something between the answers and the rest may have been.
    pub complete: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Found {
    /// Different leads, best first: as many as were asked for that stand (or were not checked), and
    /// besides them those that are too close to call, at most as many.
    pub solutions: Vec<Solution>,
    /// Closer than the first that stands, but can't: best first, at most five. Each is the train
    /// that would be best for its lead.
    pub refused: Vec<Solution>,
    /// Where `within` left nothing: the nearest without it.
    pub nearest: Option<Solution>,
    /// What was searched.
    pub proof: Proof,
}

/// How many trains there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Others {
    /// So many that stand.
    pub count: u64,
    /// So many were tried.
    pub tried: u64,
    /// Or more: the count was cut.
    pub at_least: bool,
}

/// The best train for each number of gears.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TradeOff {
    /// Fewest gears first, each closer than the one before.
    pub rows: Vec<Solution>,
    /// Whether no row can be missing: the search never gave up.
    pub complete: bool,
}

/// What one more gear would allow.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct OneMore {
    /// The best train, and the teeth of the gear that it lacks; `None`: none is closer.
    pub better: Option<(Solution, Teeth)>,
    /// Whether nothing closer can have been missed.
    pub complete: bool,
}

/// What a group comes to.
enum Answer {
    Stands(Ranked),
    Close(Ranked),
    Nothing,
}

/// A lead with its arrangement.
struct Answered {
    lead: Lead,
    error: LeadError,
    ranked: Ranked,
    /// Whether it stands beyond doubt.
    stands: bool,
}

/// What one pass over a stream found.
#[derive(Default)]
struct Pass {
    answers: Vec<Answered>,
    /// How many of them stand beyond doubt.
    stand: usize,
    refused: Vec<Answered>,
    /// How many of them were there before the run of equal errors that is being looked at.
    refused_before: usize,
    work: u64,
    gave_up: bool,
}

impl Pass {
    /// Settles the order of the answers from `run` on, and of the latest refused, which err equally.
    /// Of these as many as are wanted are kept; none if one that errs as much stands.
    fn settle(&mut self, run: usize, refused: usize) {
        settle(&mut self.answers[run..]);
        settle(&mut self.refused[self.refused_before..]);
        let kept = if self.stand > 0 { self.refused_before } else { refused };
        self.refused.truncate(kept.max(self.refused_before));
        self.refused_before = self.refused.len();
    }

    /// Whether all that is wanted has been found.
    const fn is_full(&self, stop: &Stop<'_>) -> bool {
        if stop.count == 0 { self.refused.len() >= stop.refused } else { self.stand >= stop.count }
    }

    /// Leaves out what comes after the last answer wanted.
    fn cut(&mut self, count: usize) {
        let mut stand = 0;
        self.answers.retain(|a| {
            let wanted = stand < count;
            stand += usize::from(a.stands);
            wanted
        });
    }
}

/// Where a pass stops.
struct Stop<'a> {
    /// Answers wanted; 0: only what is refused is wanted, and nothing before the stop stands.
    count: usize,
    within: Option<&'a Ratio>,
    /// Only errors smaller than this.
    below: Option<&'a LeadError>,
    work: u64,
    /// Refused leads wanted.
    refused: usize,
}

impl<'l> Search<'l> {
    /// Builds the tables: a moment for a usual box of gears.
    ///
    /// # Errors
    /// If the lathe leaves something unknown that is needed, or its tooth sizes have no common
    /// measure that can be held.
    pub fn new(lathe: &'l Lathe, travel: Travel, options: Options) -> Result<Self> {
        Self::with_spare(lathe, travel, options, false)
    }

    fn with_spare(
        lathe: &'l Lathe,
        travel: Travel,
        options: Options,
        one_more: bool,
    ) -> Result<Self> {
        let settings = lathe.settings(travel)?.list;
        let parts = lathe.parts();
        let bracket = parts.bracket.as_ref().filter(|_| options.bracket);
        let geometry = bracket.map(|b| Geometry::new(b, &parts.gears)).transpose()?;
        let mut stock = Stock::new(lathe, &settings, options.arbor, geometry, one_more)?;
        let mut fields = Fields::new(lathe, &mut stock, &settings, options.pairs)?;
        fields.measure_twins();
        let fitted = Fitted::new(lathe.parts().fitted.as_ref().map(|f| &f.train));
        let combinations = count::combinations(&stock, &fields.constants);
        let mut search = Self {
            lathe,
            travel,
            options,
            settings,
            stock,
            fields,
            fitted,
            reachable: Vec::new(),
            combinations,
            whole: OnceLock::new(),
        };
        let reach = |setting, hand| {
            [2, 3].map(|meshes| search.sense(Some(hand), setting, meshes).is_some())
        };
        search.reachable = (0..search.settings.len())
            .map(|s| [Hand::Right, Hand::Left].map(|hand| reach(s, hand)))
            .collect();
        Ok(search)
    }

    /// The lever positions that are searched.
    pub fn settings(&self) -> &[Setting] {
        &self.settings
    }

    /// What moves the tool.
    pub const fn travel(&self) -> Travel {
        self.travel
    }

    /// The lathe.
    pub const fn lathe(&self) -> &'l Lathe {
        self.lathe
    }

    /// For the benches and tests: how many trains the whole list holds; `None`: too many.
    #[doc(hidden)]
    pub fn standing(&self) -> Option<usize> {
        self.whole().map(Whole::len)
    }

    /// For the benches and tests: arrangements tried one by one, and how many of them stand.
    #[doc(hidden)]
    pub fn try_all(&self, limit: u64) -> (u64, u64) {
        let ends = self.fields.constants.first().map(|c| (c.first, c.last));
        let studs = usize::from(self.lathe.parts().studs);
        let size = (studs, self.fields.pairs);
        ends.map_or((0, 0), |ends| whole::try_all(&self.stock, ends, size, limit))
    }

    /// What the proof of an answer covers.
    pub fn proof(&self, gears: usize) -> Proof {
        let pairs = self.fields.pairs.min(gears / 2);
        Proof {
            combinations: pairs.checked_sub(1).map_or(0, |p| self.combinations[p]),
            positions: self.settings.len(),
            pairs,
            complete: !self.is_cut(gears),
        }
    }

    /// Whether trains with so many gears are left out, since the tables would be too large.
    fn is_cut(&self, gears: usize) -> bool {
        self.fields.cut && gears / 2 > self.fields.pairs
    }

    /// The best trains, one for each different lead.
    ///
    /// # Errors
    /// Only if a lead can't be held; the limits on the numbers rule that out.
    pub fn find(&self, ask: &Ask) -> Result<Found> {
        let stop = Stop {
            count: ask.count,
            within: ask.within.as_ref(),
            below: None,
            work: self.options.tuning.budget,
            refused: 5,
        };
        let pass = self.run(ask, &stop)?;
        let mut proof = self.proof(ask.gears);
        proof.complete &= !pass.gave_up;
        let mut found = Found {
            solutions: self.solutions(ask, &pass.answers)?,
            refused: self.solutions(ask, &pass.refused)?,
            nearest: None,
            proof,
        };
        // From the whole list, what is too close to call could be among them.
        found.refused.retain(|r| !r.fit.reasons().is_empty());
        if !found.solutions.iter().any(Solution::stands) && ask.within.is_some() {
            let free = Ask { within: None, count: 1, ..ask.clone() };
            let nearest = self.find(&free)?;
            found.nearest = nearest.solutions.into_iter().find(Solution::stands);
            // That nothing at all stands is known only if that search did not give up.
            found.proof.complete &= found.nearest.is_some() || nearest.proof.complete;
        }
        Ok(found)
    }

    /// Several targets at once, on all cores; the answers are those of [`Search::find`].
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn find_each(&self, asks: &[Ask]) -> Vec<Result<Found>> {
        #[cfg(feature = "parallel")]
        {
            use rayon::prelude::*;
            asks.par_iter().map(|ask| self.find(ask)).collect()
        }
        #[cfg(not(feature = "parallel"))]
        asks.iter().map(|ask| self.find(ask)).collect()
    }

    /// For each number of gears the best train, only where it is closer than with fewer gears.
    /// Fewest gears first.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn trade_off(&self, ask: &Ask) -> Result<TradeOff> {
        let mut rows: Vec<Solution> = Vec::new();
        let mut complete = true;
        for gears in 2..=ask.gears.min(2 * bounds::PAIRS) {
            let one = Ask { count: 1, gears, within: None, ..ask.clone() };
            let stop = Stop {
                count: 1,
                within: None,
                below: rows.last().map(|r| &r.error),
                work: self.options.tuning.budget,
                refused: 0,
            };
            let mut pass = self.run(&one, &stop)?;
            complete &= !pass.gave_up;
            pass.answers.retain(|a| a.stands);
            rows.extend(self.solutions(ask, &pass.answers)?);
            if rows.last().is_some_and(|r| r.error.is_zero()) {
                break;
            }
        }
        Ok(TradeOff { rows, complete: complete && !self.is_cut(ask.gears) })
    }

    /// All trains with the lead of `solution`, besides it: counted, up to `limit`.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn others(&self, ask: &Ask, solution: &Solution, limit: u64) -> Result<Others> {
        let (mut count, mut tried, mut work) = (0_u64, 0_u64, 0_u64);
        let mut cut = false;
        self.each(ask, &solution.lead, &mut |_, path| {
            tried += 1;
            count += u64::from(path.stands(&self.stock));
            work += path.cost(&self.stock);
            cut = work > limit;
            if cut { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        })?;
        Ok(Others {
            count: count.saturating_sub(u64::from(solution.stands())),
            tried: tried.saturating_sub(1),
            at_least: cut,
        })
    }

    /// All trains with the lead of `solution`, in order; the first `limit` of them, and whether
    /// there are more.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn all(
        &self,
        ask: &Ask,
        solution: &Solution,
        limit: usize,
    ) -> Result<(Vec<Solution>, bool)> {
        // The largest kept on top: it goes when a smaller one comes.
        let mut heap: BinaryHeap<RankedKey> = BinaryHeap::new();
        let mut more = false;
        self.each(ask, &solution.lead, &mut |setting, path| {
            if path.stands(&self.stock) {
                let head = Head::of(path, &self.stock, &self.fitted);
                let key = Key::of(head, path, setting, &self.stock);
                let full = heap.len() >= limit;
                more |= full;
                // The visits go by gears, and so does the order: no later one can come in.
                if full && heap.peek().is_none_or(|top| top.0.head.gears() < path.gears()) {
                    return ControlFlow::Break(());
                }
                heap.push(RankedKey(key, *path));
                if full {
                    heap.pop();
                }
            }
            ControlFlow::Continue(())
        })?;
        let ranked = heap.into_sorted_vec();
        let error = LeadError::of(&solution.lead, &ask.lead);
        let all = ranked
            .iter()
            .map(|r| {
                let ranked = (r.0, r.1);
                self.solution(ask, &Answered { lead: solution.lead, error, ranked, stands: true })
            })
            .collect::<Result<_>>()?;
        Ok((all, more))
    }

    /// For a train of idlers between two end gears on a bracket: every choice of so many idlers that
    /// stands between the same end gears, in power-path order. Empty for other trains, and where no
    /// bracket is asked.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn idlers(&self, ask: &Ask, solution: &Solution) -> Result<Vec<Vec<Teeth>>> {
        let simple = solution.train.studs().iter().all(|s| matches!(s, Shaft::One(_)));
        let mut found = Vec::new();
        if self.stock.bracket.is_none() || !simple || solution.train.studs().is_empty() {
            return Ok(found);
        }
        let gears: Vec<_> = solution.train.gears().copied().collect();
        let gear = |path: &Path, i: usize| self.stock.kind(path.kinds()[i]).gear;
        let exactly = Ask { gears: gears.len(), ..ask.clone() };
        self.each(&exactly, &solution.lead, &mut |setting, path| {
            let last = path.gears() - 1;
            let same = setting as usize == solution.setting
                && path.gears() == gears.len()
                && path.meshes() == last
                && gear(path, 0) == gears[0]
                && gear(path, last) == gears[last];
            if same && path.stands(&self.stock) {
                found.push((1..last).map(|i| gear(path, i).teeth).collect());
            }
            ControlFlow::Continue(())
        })?;
        found.sort();
        found.dedup();
        Ok(found)
    }

    /// The best train that one more gear of a size already owned would allow, where it is closer
    /// than `than` (or than nothing); and the teeth of that gear.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn one_more(&self, ask: &Ask, than: Option<&Solution>) -> Result<OneMore> {
        if than.is_some_and(|t| t.error.is_zero()) {
            return Ok(OneMore { better: None, complete: true });
        }
        let richer = Self::with_spare(self.lathe, self.travel, self.options.clone(), true)?;
        let stop = Stop {
            count: 1,
            within: ask.within.as_ref(),
            below: than.map(|t| &t.error),
            work: self.options.tuning.budget,
            refused: 0,
        };
        let pass = richer.run(ask, &stop)?;
        let first = pass.answers.iter().find(|a| a.stands);
        let missing = first.and_then(|a| Some((a, a.ranked.1.missing(&richer.stock)?)));
        let better = missing.map(|(answered, kind)| {
            Ok((richer.solution(ask, answered)?, richer.stock.kind(kind).gear.teeth))
        });
        let complete = (better.is_some() || !pass.gave_up) && !richer.is_cut(ask.gears);
        Ok(OneMore { better: better.transpose()?, complete })
    }

    /// Streams leads until the stop; turns to the whole list if that takes too much work.
    fn run(&self, ask: &Ask, stop: &Stop<'_>) -> Result<Pass> {
        // Once it had to be made, the list answers sooner than the stream.
        let whole = if let Some(Some(whole)) = self.whole.get() {
            whole
        } else {
            let pass = self.pass(&self.fields, ask, stop)?;
            if !pass.gave_up {
                return Ok(pass);
            }
            let Some(whole) = self.whole() else {
                let more = Stop { work: MOST_WORK.max(stop.work), ..*stop };
                return self.pass(&self.fields, ask, &more);
            };
            whole
        };
        let mut pass = self.pass(whole, ask, &Stop { work: u64::MAX, ..*stop })?;
        // The whole list holds only what stands: what is closer and does not is asked of the stream.
        if stop.refused > 0 {
            let first = pass.answers.iter().find(|a| a.stands).map(|a| a.error);
            let below = first.as_ref().or(stop.below);
            let closer = Stop { count: 0, below, work: MOST_WORK / 10, ..*stop };
            pass.refused = self.pass(&self.fields, ask, &closer)?.refused;
        }
        Ok(pass)
    }

    fn whole(&self) -> Option<&Whole> {
        let studs = usize::from(self.lathe.parts().studs);
        let make = || {
            Whole::new(
                &self.stock,
                &self.settings,
                &self.fields.constants,
                studs,
                self.fields.pairs,
            )
        };
        self.whole.get_or_init(make).as_ref()
    }

    fn pass<S: Source>(&self, source: &S, ask: &Ask, stop: &Stop<'_>) -> Result<Pass> {
        let mut pass = Pass::default();
        let mut stream = Stream::new(
            source,
            &ask.lead,
            ask.gears,
            stop.count.min(MOST_WANTED),
            &self.options.tuning,
        );
        // Answers whose error equals that of the last one: their order is settled at the end of the run.
        let mut run = 0;
        let mut last: Option<LeadError> = None;
        while let Some(groups) = stream.window()? {
            for (i, group) in groups.iter().enumerate() {
                let tied = match (i.checked_sub(1), &last) {
                    (Some(before), _) => stream.ties(&groups[before], group)?,
                    (None, Some(last)) => {
                        stream.error(group)?.compare_size(last) == Ordering::Equal
                    }
                    (None, None) => false,
                };
                if !tied {
                    pass.settle(run, stop.refused);
                    run = pass.answers.len();
                    if pass.is_full(stop) || beyond(&stream, group, stop)? {
                        pass.cut(stop.count);
                        return Ok(pass);
                    }
                    if pass.work > stop.work {
                        pass.gave_up = true;
                        return Ok(pass);
                    }
                }
                self.take(source, &stream, group, ask, stop, &mut pass)?;
            }
            if let Some(group) = groups.last() {
                last = Some(stream.error(group)?);
            }
        }
        pass.settle(run, stop.refused);
        pass.cut(stop.count);
        Ok(pass)
    }

    /// Answers one group.
    fn take<S: Source>(
        &self,
        source: &S,
        stream: &Stream<'_, S>,
        group: &Group,
        ask: &Ask,
        stop: &Stop<'_>,
        pass: &mut Pass,
    ) -> Result<()> {
        let hits = &stream.hits[group.hits.clone()];
        let answer = if stop.count == 0 {
            Answer::Nothing
        } else {
            self.answer(source, ask, hits, &mut pass.work)
        };
        let (ranked, stands) = match answer {
            Answer::Stands(ranked) => (Some(ranked), true),
            Answer::Close(ranked) => (Some(ranked), false),
            Answer::Nothing => (None, false),
        };
        let refused = ranked.is_none() && pass.stand == 0 && pass.refused_before < stop.refused;
        let ranked =
            if refused { self.would_be(source, ask, hits, &mut pass.work) } else { ranked };
        if let Some(ranked) = ranked {
            let (lead, error) = (stream.lead(group)?, stream.error(group)?);
            let answered = Answered { lead, error, ranked, stands };
            // Of what is too close to call, no more than of answers.
            if !refused && !stands && pass.answers.len() - pass.stand >= stop.count {
                return Ok(());
            }
            pass.stand += usize::from(stands);
            if refused { &mut pass.refused } else { &mut pass.answers }.push(answered);
        }
        Ok(())
    }

    /// The best arrangement of a group that stands, fewest gears first.
    fn answer<S: Source>(&self, source: &S, ask: &Ask, hits: &[Hit], work: &mut u64) -> Answer {
        let mut close: Option<Ranked> = None;
        for gears in self.gears(source, ask, hits) {
            let mut best = Best::new(&self.stock, &self.fitted);
            self.ask(source, ask, hits, gears, work, &mut best);
            if let Some(best) = best.stands {
                return Answer::Stands(best);
            }
            close = close.or(best.close);
        }
        close.map_or(Answer::Nothing, Answer::Close)
    }

    /// The best arrangement of a group if all stood.
    fn would_be<S: Source>(
        &self,
        source: &S,
        ask: &Ask,
        hits: &[Hit],
        work: &mut u64,
    ) -> Option<Ranked> {
        self.gears(source, ask, hits).find_map(|gears| {
            let mut best = Best::unjudged(&self.stock, &self.fitted);
            self.ask(source, ask, hits, gears, work, &mut best);
            best.stands
        })
    }

    /// Numbers of gears that a train of a group can have.
    fn gears<S: Source>(&self, source: &S, ask: &Ask, hits: &[Hit]) -> RangeInclusive<usize> {
        let studs = usize::from(self.lathe.parts().studs);
        source.least_gears(hits)..=ask.gears.min(2 * (studs + 1))
    }

    fn ask<S: Source>(
        &self,
        source: &S,
        ask: &Ask,
        hits: &[Hit],
        gears: usize,
        work: &mut u64,
        best: &mut Best<'_>,
    ) {
        let studs = usize::from(self.lathe.parts().studs);
        let accepts = |setting, meshes| self.accepts(ask.hand, setting, meshes);
        source.best(&Wanted { stock: &self.stock, studs, gears, accepts }, hits, work, best);
        *work += best.tests;
    }

    /// Visits every arrangement with exactly this lead, standing or not.
    fn each(
        &self,
        ask: &Ask,
        lead: &Lead,
        visit: &mut impl FnMut(u32, &Path) -> ControlFlow<()>,
    ) -> Result<()> {
        let studs = usize::from(self.lathe.parts().studs);
        let accepts = |setting, meshes| self.accepts(ask.hand, setting, meshes);
        let tuning = Tuning { first: 1e-12, ..self.options.tuning };
        let mut stream = Stream::new(&self.fields, lead, ask.gears, 1, &tuning);
        let Some(groups) = stream.window()? else { return Ok(()) };
        let Some(group) = groups.first() else { return Ok(()) };
        if !stream.error(group)?.is_zero() {
            return Ok(());
        }
        for gears in 2..=ask.gears.min(2 * bounds::PAIRS) {
            let wanted = Wanted { stock: &self.stock, studs, gears, accepts };
            for hit in &stream.hits[group.hits.clone()] {
                if self.fields.walk(&wanted, hit, visit).is_break() {
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// Whether the hand asked can be had in a setting with so many meshes.
    #[inline]
    fn accepts(&self, hand: Option<Hand>, setting: u32, meshes: usize) -> bool {
        hand.is_none_or(|h| {
            self.reachable[setting as usize][usize::from(h == Hand::Left)][meshes % 2]
        })
    }

    /// The tumbler position and the hand that so many meshes give in a setting; `None` if the hand
    /// asked can't be had there.
    fn sense(
        &self,
        hand: Option<Hand>,
        setting: usize,
        meshes: usize,
    ) -> Option<(Option<usize>, Option<Hand>)> {
        let Some(wanted) = hand else { return Some((None, None)) };
        let before = self.settings[setting].turns.then(Turns::of_meshes(meshes));
        let tumbler = &self.lathe.parts().tumbler;
        let cuts = |turns: Turns| match turns {
            Turns::Same => Some(Hand::Right),
            Turns::Opposite => Some(Hand::Left),
            Turns::Unknown => None,
        };
        if tumbler.is_empty() {
            let hand = cuts(before);
            return (hand.is_none() || hand == Some(wanted)).then_some((None, hand));
        }
        let senses = || tumbler.iter().map(|(_, t)| cuts(before.then(*t)));
        if let Some(at) = senses().position(|h| h == Some(wanted)) {
            return Some((Some(at), Some(wanted)));
        }
        senses().any(|h| h.is_none()).then_some((None, None))
    }

    fn solution(&self, ask: &Ask, answered: &Answered) -> Result<Solution> {
        let Answered { lead, error, ranked: (key, path), .. } = answered;
        let setting = key.setting as usize;
        let (tumbler, hand) = self.sense(ask.hand, setting, path.meshes()).unwrap_or((None, None));
        let train = path.train(&self.stock)?;
        let fit = self.fit(path, &train);
        Ok(Solution {
            train,
            setting,
            tumbler,
            hand,
            lead: *lead,
            error: *error,
            gears: key.head.gears(),
            handled: key.head.handled(),
            fit,
        })
    }

    fn solutions(&self, ask: &Ask, answers: &[Answered]) -> Result<Vec<Solution>> {
        answers.iter().map(|answered| self.solution(ask, answered)).collect()
    }

    /// What the bracket says; without one, what the arbor rule does.
    fn fit(&self, path: &Path, train: &Train) -> Fit {
        if let Some(mounts) = &self.stock.bracket {
            return mounts.geometry.fit(train);
        }
        let Some(Clash { tip, axis, short }) = path.clash(&self.stock) else {
            return Fit::NotChecked;
        };
        let teeth = |i: usize| self.stock.kind(path.kinds()[i]).gear.teeth;
        let reason = Reason::Arbor { tip: teeth(tip), axis: teeth(axis), short: short.to_f64() };
        Fit::Refused(Box::new(Refusal { reasons: vec![reason], attempt: None }))
    }
}

impl Solution {
    /// Whether it stands, as far as anybody asked; what is too close to call does not.
    pub const fn stands(&self) -> bool {
        matches!(self.fit, Fit::Fits(_) | Fit::NotChecked)
    }
}

/// Whether this group, and so every later one, is further off than the stop allows.
fn beyond<S: Source>(stream: &Stream<'_, S>, group: &Group, stop: &Stop<'_>) -> Result<bool> {
    if stop.within.is_none() && stop.below.is_none() {
        return Ok(false);
    }
    let error = stream.error(group)?;
    Ok(stop.within.is_some_and(|w| !error.within(w))
        || stop.below.is_some_and(|b| error.compare_size(b) != Ordering::Less))
}

/// Orders answers of equal |error|: gears, handled, kindness, then longer before shorter.
fn settle(run: &mut [Answered]) {
    if run.len() > 1 {
        run.sort_by(|a, b| {
            let heads = a.ranked.0.head.cmp(&b.ranked.0.head);
            heads.then_with(|| b.error.is_longer().cmp(&a.error.is_longer()))
        });
    }
}

/// A ranked path that the heap orders by its key alone.
struct RankedKey(Key, Path);

impl PartialEq for RankedKey {
    fn eq(&self, other: &Self) -> bool {
        self.0 == other.0
    }
}

impl Eq for RankedKey {}

impl PartialOrd for RankedKey {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for RankedKey {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}
