//! Which leads come next? All of them in exact order of error, window by window.
//!
//! A window collects every lead with an error between two bounds. Doubles find them, with a stated
//! slack on the safe side, and whole numbers rank them. Doubles never decide: two errors that they
//! can't tell apart are compared exactly. A lead too near to a bound waits for the next window, with
//! all its equals.
//!
//! Error of the doubles: a row, its factor, the target over the scale (three roundings, two more
//! with pi) and their product have an error below 9 x 2^-53 = 1e-15 of the value; p - y is exact or
//! rounded once more. [`SLACK`] is four times that, of cut over target.

#![expect(
    clippy::cast_precision_loss,
    reason = "doubles find candidates; the slack covers rounding"
)]

use super::ask::Tuning;
use super::best::Best;
use super::fields::{Constant, Fields};
use super::scan::{Window, scan};
use super::select::{Selection, enough};
use super::stock::Stock;
use super::walk::Visit;
use crate::{Lead, LeadError, Ratio, Result};
use std::cmp::Ordering;
use std::ops::{ControlFlow, Range};

/// Slack of a quotient, relative to it.
const SLACK: f64 = 4e-15;

/// Two errors in doubles that differ by more are in that order. The error of the doubles is a part
/// of the quotient cut / target, which is 1 + error.
fn slack(error: f64) -> f64 {
    SLACK * (1.0 + error.abs())
}

/// A lead near the target: its source, and its error in doubles.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    pub(super) error: f64,
    pub(super) field: u32,
    pub(super) row: u32,
    pub(super) at: u32,
}

/// Which arrangements of a lead are wanted.
pub(super) struct Wanted<'a, A: Fn(u32, usize) -> bool> {
    pub(super) stock: &'a Stock,
    pub(super) studs: usize,
    /// The exact number of gears.
    pub(super) gears: usize,
    /// Whether a setting allows a number of meshes.
    pub(super) accepts: A,
}

/// A list of leads by error.
pub(super) trait Source {
    /// Collects every lead of the window; false if there are too many.
    fn collect(&self, asked: f64, gears: usize, window: &Window, hits: &mut Vec<Hit>) -> bool;
    /// No arrangement with the lead of these hits has fewer gears.
    fn least_gears(&self, hits: &[Hit]) -> usize;
    /// The exact order of two leads.
    fn compare(&self, a: &Hit, b: &Hit) -> Ordering;
    /// The lead, in mm.
    fn lead(&self, hit: &Hit) -> Result<Ratio>;
    /// How many leads there are, and the longest.
    fn extent(&self, gears: usize) -> (f64, f64);
    /// Finds the best wanted arrangement with the lead of these hits; `work` counts selections.
    fn best(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hits: &[Hit],
        work: &mut u64,
        best: &mut Best<'_>,
    );
}

impl Source for Fields {
    fn collect(&self, asked: f64, gears: usize, window: &Window, hits: &mut Vec<Hit>) -> bool {
        (0_u32..).zip(&self.list).filter(|(_, f)| 2 * f.pairs <= gears).all(|(field, f)| {
            let (rows, factor) = f.rows();
            let factor = asked / f.scale as f64 * factor;
            let part = |rows: &[f64], from: usize, hits: &mut Vec<Hit>| {
                scan(rows, factor, &f.drivers, window, |row, at, error| {
                    hits.push(Hit { error, field, row: index(from + row), at: index(at) });
                    hits.len() <= window.most
                })
            };
            // A shorter table is scanned before a second core wakes up.
            if rows.len() < 50_000 {
                return part(rows, 0, hits);
            }
            let (left, right) = rows.split_at(rows.len() / 2);
            let mut more = Vec::new();
            let done = join(|| part(left, 0, hits), || part(right, left.len(), &mut more));
            hits.append(&mut more);
            done == (true, true) && hits.len() <= window.most
        })
    }

    fn least_gears(&self, hits: &[Hit]) -> usize {
        hits.iter().map(|h| 2 * self.list[h.field as usize].pairs).min().unwrap_or(2)
    }

    fn compare(&self, a: &Hit, b: &Hit) -> Ordering {
        let (fa, fb) = (&self.list[a.field as usize], &self.list[b.field as usize]);
        let side = |f: &super::fields::Field, hit: &Hit| {
            (u128::from(f.drivers.products[hit.at as usize]), f.row(hit.row as usize))
        };
        let ((pa, ua), (pb, ub)) = (side(fa, a), side(fb, b));
        if fa.scale == fb.scale {
            // p / u against p / u: 35 and 92 bits, proven in `fields`.
            return (pa * ub).cmp(&(pb * ua));
        }
        match (self.lead(a), self.lead(b)) {
            (Ok(x), Ok(y)) => x.cmp(&y),
            _ => Ordering::Equal,
        }
    }

    fn lead(&self, hit: &Hit) -> Result<Ratio> {
        self.list[hit.field as usize].lead(hit.row as usize, hit.at as usize)
    }

    fn extent(&self, gears: usize) -> (f64, f64) {
        let (mut count, mut longest) = (0.0, 0.0_f64);
        for f in self.list.iter().filter(|f| 2 * f.pairs <= gears) {
            let (rows, factor) = f.rows();
            count += rows.len() as f64 * f.drivers.approx.len() as f64;
            let least = rows.first().map_or(1.0, |u| u * factor);
            longest = longest
                .max(f.scale as f64 * f.drivers.approx.last().copied().unwrap_or(0.0) / least);
        }
        (count / self.twins, longest)
    }

    fn best(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hits: &[Hit],
        work: &mut u64,
        best: &mut Best<'_>,
    ) {
        let mut selections = Vec::new();
        for hit in hits {
            // Never ends early.
            let _ = self.select(wanted, hit, |constant, selection| {
                selections.push((selection.least(wanted.stock, constant, best.fitted), selection));
                ControlFlow::Continue(())
            });
        }
        *work += (hits.len() + selections.len()) as u64;
        // The most promising first: most of the others can't beat it.
        if let Some(first) = (0..selections.len()).min_by_key(|&i| selections[i].0) {
            selections.swap(0, first);
        }
        for (least, selection) in &selections {
            if best.begins(*least) {
                best.ordered(selection.is_ordered(wanted.stock));
                let constant = &self.constants[selection.constant as usize];
                // Never ends early.
                let _ = selection.walk(wanted.stock, constant, best);
                if best.again() {
                    let _ = selection.walk(wanted.stock, constant, best);
                }
            }
        }
    }
}

impl Fields {
    /// Measures how many sources a lead has on average, so that first windows are wide enough:
    /// counts the leads around the middle, away from round values.
    pub(super) fn measure_twins(&mut self) {
        let Some(field) =
            self.list.iter().max_by_key(|f| f.rows().0.len() * f.drivers.approx.len())
        else {
            return;
        };
        let (rows, factor) = field.rows();
        let (row, product) = (rows.len() / 2, field.drivers.approx.len() / 2);
        let (Some(u), Some(p)) = (rows.get(row), field.drivers.approx.get(product)) else { return };
        let middle = field.scale as f64 * p / (u * factor) * 1.000_123_7;
        let window =
            Window { over: -1.0, to: 600.0 / self.extent(usize::MAX).0.max(1.0), most: 20_000 };
        let mut hits = Vec::new();
        self.collect(middle, usize::MAX, &window, &mut hits);
        hits.sort_unstable_by(|a, b| a.error.total_cmp(&b.error));
        let leads = hits.chunk_by(|a, b| b.error - a.error <= slack(b.error)).count();
        self.twins = (hits.len() as f64 / leads.max(1) as f64).max(1.0);
    }

    /// Visits every arrangement that is wanted and has the lead of a hit.
    pub(super) fn walk(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hit: &Hit,
        visit: &mut impl Visit,
    ) -> ControlFlow<()> {
        self.select(wanted, hit, |constant, selection| {
            selection.walk(wanted.stock, constant, visit)
        })
    }

    /// Every selection with the lead of a hit.
    fn select(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hit: &Hit,
        mut give: impl FnMut(&Constant, Selection) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let field = &self.list[hit.field as usize];
        let pairs = field.pairs;
        let Some(idlers) =
            wanted.gears.checked_sub(2 * pairs).filter(|i| pairs - 1 + i <= wanted.studs)
        else {
            return ControlFlow::Continue(());
        };
        for (c, q) in field.behind(hit.row as usize) {
            let constant = &self.constants[c];
            if !(wanted.accepts)(constant.setting, pairs + idlers) {
                continue;
            }
            for &drivers in field.drivers.sets(hit.at as usize) {
                for &driven in field.driven.sets(q) {
                    if enough(wanted.stock, drivers, driven) {
                        // At most three idlers.
                        let idlers = u8::try_from(idlers).unwrap_or(u8::MAX);
                        give(constant, Selection { constant: index(c), idlers, drivers, driven })?;
                    }
                }
            }
        }
        ControlFlow::Continue(())
    }
}

/// Both, on two cores where available.
#[cfg(feature = "parallel")]
fn join<A: Send, B: Send>(a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B + Send) -> (A, B) {
    rayon::join(a, b)
}

/// Both, one after the other.
#[cfg(not(feature = "parallel"))]
fn join<A, B>(a: impl FnOnce() -> A, b: impl FnOnce() -> B) -> (A, B) {
    (a(), b())
}

/// Tables are far below 2^32 rows.
pub(super) fn index(i: usize) -> u32 {
    u32::try_from(i).unwrap_or(u32::MAX)
}

/// All hits with one lead.
#[derive(Debug, Clone)]
pub(super) struct Group {
    /// Least |error| of its hits, in doubles.
    pub(super) size: f64,
    pub(super) hits: Range<usize>,
}

/// The windows of one target.
pub(super) struct Stream<'a, S> {
    source: &'a S,
    asked: &'a Lead,
    approx: f64,
    gears: usize,
    growth: f64,
    /// Everything up to here was given out.
    done: f64,
    next: f64,
    wanted: usize,
    /// Leads given out.
    given: usize,
    /// The largest error of all.
    reach: f64,
    pub(super) hits: Vec<Hit>,
}

/// Hits held at once: 24 bytes each.
const MOST_HITS: usize = 300_000;

impl<'a, S: Source> Stream<'a, S> {
    pub(super) fn new(
        source: &'a S,
        asked: &'a Lead,
        gears: usize,
        wanted: usize,
        tuning: &Tuning,
    ) -> Self {
        let (leads, longest) = source.extent(gears);
        let approx = asked.to_f64();
        // Leads lie within a factor of about ten around the middle: about a third of them per unit
        // of relative error. A second scan costs more than some extra hits in the first. In tables
        // so long that they are scanned by whole numbers, a wide window costs more.
        let wide = (1.2 * (leads / 40_000.0).log2()).clamp(0.0, 6.0);
        let spare = 3.0 + if leads < 1e8 { wide } else { 1.0 };
        let guess =
            if tuning.first > 0.0 { tuning.first } else { spare * wanted as f64 / leads.max(1.0) };
        Self {
            source,
            asked,
            approx,
            gears,
            // Otherwise the windows would never reach the end.
            growth: tuning.growth.max(1.01),
            done: -1.0,
            wanted,
            given: 0,
            next: guess.max(1e-12),
            reach: (longest / approx).max(1.0) * (1.0 + 1e-9),
            hits: Vec::new(),
        }
    }

    /// The groups of the next window, best first; `None` when all have been given out.
    pub(super) fn window(&mut self) -> Result<Option<Vec<Group>>> {
        if self.done >= self.reach {
            return Ok(None);
        }
        let start = self.done.max(0.0);
        let mut to = self.next;
        loop {
            self.hits.clear();
            let width = to - start;
            let most = if width < 64.0 * slack(to) { usize::MAX } else { MOST_HITS };
            let window = Window { over: self.done - 8.0 * slack(self.done), to, most };
            if self.source.collect(self.approx, self.gears, &window, &mut self.hits) {
                break;
            }
            to = start + width / 8.0;
        }
        // After a full window the next is no wider.
        let full = to < self.next;
        let safe = if to >= self.reach { f64::MAX } else { to - 4.0 * slack(to) };
        let groups = self.groups(safe)?;
        self.done = safe;
        self.given += groups.len();
        // Leads are spread about evenly: no wider than the leads still wanted need.
        let lacking = 1.5 * self.wanted as f64 / self.given.max(1) as f64;
        let growth = if lacking > 1.5 { self.growth.min(lacking) } else { self.growth };
        self.next = if full { to + (to - start) } else { to * growth };
        Ok(Some(groups))
    }

    fn groups(&mut self, safe: f64) -> Result<Vec<Group>> {
        let exact = self.gather_exact();
        self.hits[exact..].sort_unstable_by(|a, b| a.error.total_cmp(&b.error));
        let mut groups: Vec<Group> = Vec::new();
        let mut from = 0;
        while from < self.hits.len() {
            // A run that doubles can't tell apart: usually one lead many times over.
            let mut to = if from < exact { exact } else { from + 1 };
            while from >= exact
                && to < self.hits.len()
                && self.hits[to].error - self.hits[to - 1].error <= slack(self.hits[to].error)
            {
                to += 1;
            }
            let done = self.done;
            self.split(from..to, |group| {
                if group.size > done && group.size <= safe {
                    groups.push(group);
                }
            });
            from = to;
        }
        self.sort(&mut groups)?;
        Ok(groups)
    }

    /// Moves the hits that doubles can't tell from exact to the front: often thousands of one lead,
    /// which need no sorting. Returns their number; 0 where another hit is too near.
    fn gather_exact(&mut self) -> usize {
        let near = |h: &Hit| h.error.abs() <= slack(0.0);
        if self.hits.iter().any(|h| !near(h) && h.error.abs() <= 3.0 * slack(0.0)) {
            return 0;
        }
        let mut exact = 0;
        for i in 0..self.hits.len() {
            if near(&self.hits[i]) {
                self.hits.swap(exact, i);
                exact += 1;
            }
        }
        exact
    }

    /// Splits a run of hits into its leads.
    fn split(&mut self, run: Range<usize>, mut give: impl FnMut(Group)) {
        let source = self.source;
        let hits = &mut self.hits[run.clone()];
        let least = |hits: &[Hit]| hits.iter().map(|h| h.error.abs()).fold(f64::MAX, f64::min);
        if hits.iter().skip(1).all(|h| source.compare(&hits[0], h) == Ordering::Equal) {
            return give(Group { size: least(hits), hits: run });
        }
        hits.sort_by(|a, b| source.compare(a, b));
        let mut from = 0;
        for same in hits.chunk_by(|a, b| source.compare(a, b) == Ordering::Equal) {
            give(Group {
                size: least(same),
                hits: run.start + from..run.start + from + same.len(),
            });
            from += same.len();
        }
    }

    /// Best first; doubles decide where they can, exact errors where not.
    fn sort(&self, groups: &mut [Group]) -> Result<()> {
        groups.sort_unstable_by(|a, b| a.size.total_cmp(&b.size));
        // Runs that doubles can't order.
        let mut from = 0;
        while from < groups.len() {
            let mut to = from + 1;
            while to < groups.len()
                && groups[to].size - groups[to - 1].size <= slack(groups[to].size)
            {
                to += 1;
            }
            if to - from > 1 {
                let mut run = groups[from..to]
                    .iter()
                    .map(|g| Ok((self.error(g)?, g.clone())))
                    .collect::<Result<Vec<_>>>()?;
                run.sort_by(|a, b| a.0.compare_size(&b.0));
                for (slot, (_, group)) in groups[from..to].iter_mut().zip(run) {
                    *slot = group;
                }
            }
            from = to;
        }
        Ok(())
    }

    /// Whether two neighbours in the stream have exactly equal |error|.
    pub(super) fn ties(&self, a: &Group, b: &Group) -> Result<bool> {
        Ok((a.size - b.size).abs() <= slack(a.size)
            && self.error(a)?.compare_size(&self.error(b)?) == Ordering::Equal)
    }

    /// The lead of a group.
    pub(super) fn lead(&self, group: &Group) -> Result<Lead> {
        Ok(Lead::new(crate::Length::from_mm(self.source.lead(&self.hits[group.hits.start])?)))
    }

    /// Its exact error.
    pub(super) fn error(&self, group: &Group) -> Result<LeadError> {
        Ok(LeadError::of(&self.lead(group)?, self.asked))
    }
}
