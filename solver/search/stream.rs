//! Leads in exact order of their error, window by window.
//!
//! A window collects every lead whose error lies between two bounds; doubles find them, with a
//! stated slack on the safe side, and whole numbers rank them. Doubles never decide: two errors
//! that they can't tell apart are compared exactly, and a lead so near to a bound that they can't
//! tell on which side it lies is left to the next window, with all its twins.
//!
//! Error of the doubles: a row, its factor, the target over the scale (three roundings, two more
//! with pi) and their product err by less than 9 x 2^-53 = 1e-15 of the value; p - y is exact or
//! rounded once more. [`SLACK`] is four times that.

#![expect(
    clippy::cast_precision_loss,
    reason = "doubles find candidates; the slack covers rounding"
)]

use super::best::Best;
use super::fields::{Constant, Fields};
use super::path::Path;
use super::products::Table;
use super::select::{Selection, enough};
use super::stock::Stock;
use crate::{Lead, LeadError, Ratio, Result};
use std::cmp::Ordering;
use std::ops::{ControlFlow, Range};

/// Slack of a quotient, relative to it.
const SLACK: f64 = 4e-15;

/// Two errors in doubles that differ by more are in that order. The doubles err by a part of the
/// quotient cut / asked, which is 1 + error.
fn slack(error: f64) -> f64 {
    SLACK * (1.0 + error.abs())
}

/// A lead near the target: where it comes from, and its error in doubles.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hit {
    pub(super) error: f64,
    pub(super) field: u32,
    pub(super) row: u32,
    pub(super) at: u32,
}

/// |error| over `over`, up to `to`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    pub(super) over: f64,
    pub(super) to: f64,
    /// Most hits wanted; with more the window is to be narrowed.
    pub(super) most: usize,
}

/// Which arrangements of a lead are wanted.
pub(super) struct Wanted<'a, A: Fn(u32, usize) -> bool> {
    pub(super) stock: &'a Stock,
    pub(super) studs: usize,
    /// Exactly so many gears.
    pub(super) gears: usize,
    /// Whether a setting can go with so many meshes.
    pub(super) accepts: A,
}

/// Something that can list leads by error.
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
    /// Finds the best arrangement that is wanted and has the lead of these hits; `work` counts
    /// selections.
    fn best(
        &self,
        wanted: &Wanted<'_, impl Fn(u32, usize) -> bool>,
        hits: &[Hit],
        work: &mut u64,
        best: &mut Best<'_>,
    );
}

/// Takes a row, a product and the error in doubles; false to stop.
trait Push: FnMut(usize, usize, f64) -> bool {}
impl<F: FnMut(usize, usize, f64) -> bool> Push for F {}

/// Finds all products p within the window around u x `factor`, for all rows u; both ascending.
/// The way is chosen by what it costs.
fn scan(rows: &[f64], factor: f64, table: &Table, window: &Window, mut push: impl Push) -> bool {
    let products = &table.approx;
    let Some(&least) = products.first() else { return true };
    let from = rows.partition_point(|&u| u * factor * (1.0 + window.to) < least);
    let (rows, mut push) = (&rows[from..], |r: usize, p, e| push(r + from, p, e));
    // Rows so small that the window around each meets one whole number at most; the rounding trick
    // is good below 2^51.
    let small = rows.partition_point(|&u| u * factor * window.to < 0.4 && u * factor < 1e15);
    // Costs in instructions, as measured.
    let (n, m) = (rows.len() as f64, products.len() as f64);
    let by_product =
        m * (40.0 + 10.0 * (n / m).max(1.0).log2()) * if window.over > 0.0 { 3.0 } else { 1.0 };
    let merge = 12.0 * (n + m);
    let middle = rows.get(small / 2).map_or(0.0, |u| u * factor);
    let near = (16.0 * window.to * middle).min(1.0);
    let whole = small as f64 * (6.0 + 15.0 * near) + 12.0 * (n - small as f64);
    if whole < by_product && whole < merge {
        let (small, rest) = rows.split_at(small);
        let skipped = small.len();
        scan_whole(small, factor, table, window, &mut push)
            && scan_merge(rest, factor, products, window, |r, p, e| push(r + skipped, p, e))
    } else if by_product < merge {
        scan_by_product(rows, factor, products, window, push)
    } else {
        scan_merge(rows, factor, products, window, push)
    }
}

/// For few products among many rows: each product's rows are found by doubling steps from where
/// those of the one before were.
fn scan_by_product(
    rows: &[f64],
    factor: f64,
    products: &[f64],
    window: &Window,
    mut push: impl Push,
) -> bool {
    let (mut outer, mut inner, mut beyond) = (0, 0, 0);
    for (p, &product) in products.iter().enumerate() {
        // A row's bounds, seen from the product.
        let (low, high) = (product / (1.0 + window.to), product / (1.0 - window.to).max(0.0));
        outer = step_to(rows, outer, |u| u * factor < low);
        // The first window has no inside.
        let skipped = window.over > 0.0;
        if skipped {
            let (low, high) =
                (product / (1.0 + window.over), product / (1.0 - window.over).max(0.0));
            inner = step_to(rows, inner, |u| u * factor <= low);
            beyond = step_to(rows, beyond, |u| u * factor < high);
        }
        let near = if skipped { outer..inner.max(outer) } else { outer..rows.len() };
        let far = if skipped { beyond.max(outer)..rows.len() } else { 0..0 };
        for range in [near, far] {
            for (r, &u) in range.clone().zip(&rows[range]) {
                let y = u * factor;
                if y > high {
                    break;
                }
                if !push(r, p, (product - y) / y) {
                    return false;
                }
            }
        }
    }
    true
}

/// The first row from `at` on that is not before, by doubling steps.
fn step_to(rows: &[f64], mut at: usize, before: impl Fn(f64) -> bool) -> usize {
    let mut step = 1;
    while at + step <= rows.len() && before(rows[at + step - 1]) {
        at += step;
        step *= 2;
    }
    at + rows[at..rows.len().min(at + step)].partition_point(|&u| before(u))
}

/// Both lists side by side.
fn scan_merge(
    rows: &[f64],
    factor: f64,
    products: &[f64],
    window: &Window,
    mut push: impl Push,
) -> bool {
    let mut low = 0;
    for (r, &u) in rows.iter().enumerate() {
        let y = u * factor;
        let (outer_low, outer_high) = (y * (1.0 - window.to), y * (1.0 + window.to));
        while low < products.len() && products[low] < outer_low {
            low += 1;
        }
        if low == products.len() {
            break;
        }
        // As a rule there is nothing in reach.
        let mut p = low;
        while p < products.len() && products[p] <= outer_high {
            if (products[p] - y).abs() <= window.over * y {
                // The inside was given out before: past it in doubling steps.
                let inner_high = y * (1.0 + window.over);
                p = step_to(products, p, |q| q <= inner_high).max(p + 1);
                continue;
            }
            if !push(r, p, (products[p] - y) / y) {
                return false;
            }
            p += 1;
        }
    }
    true
}

/// For rows and windows so small that a row meets at most one whole number: most rows miss every whole
/// number, and whether any of eight meets one is tested without branches.
fn scan_whole(
    rows: &[f64],
    factor: f64,
    table: &Table,
    window: &Window,
    mut push: impl Push,
) -> bool {
    // Adding 1.5 x 2^52 rounds to a whole number.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    let products = &table.approx;
    // A row in reach of a product p is at most p / (1 - to).
    let most = products.last().map_or(0.0, |p| p / (1.0 - window.to).max(0.0) * 1.001);
    let rows = &rows[..rows.partition_point(|&u| u * factor <= most)];
    let mut try_one = |r: usize| {
        let y = rows[r] * factor;
        let whole = (y + ROUND) - ROUND;
        let miss = (whole - y).abs();
        miss > window.to * y
            || miss <= window.over * y
            || !table.may_hold(whole)
            || products
                .binary_search_by(|p| p.total_cmp(&whole))
                .map_or(true, |p| push(r, p, (whole - y) / y))
    };
    let (chunks, rest) = rows.as_chunks::<8>();
    for (c, chunk) in chunks.iter().enumerate() {
        let mut near = false;
        let reach = window.to * chunk[7] * factor;
        for &u in chunk {
            let y = u * factor;
            near |= (y - ((y + ROUND) - ROUND)).abs() <= reach;
        }
        if near && !(8 * c..8 * c + 8).all(&mut try_one) {
            return false;
        }
    }
    (rows.len() - rest.len()..rows.len()).all(try_one)
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
            // Shorter tables are scanned sooner than a second core wakes up.
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
            // Never broken off.
            let _ = self.select(wanted, hit, |constant, selection| {
                selections.push((selection.least(wanted.stock, constant, best.fitted), selection));
                ControlFlow::Continue(())
            });
        }
        *work += (hits.len() + selections.len()) as u64;
        // The most promising first: most of the others then can't better it.
        if let Some(first) = (0..selections.len()).min_by_key(|&i| selections[i].0) {
            selections.swap(0, first);
        }
        for (least, selection) in &selections {
            if best.begins(*least) {
                best.ordered(selection.is_ordered(wanted.stock));
                let constant = &self.constants[selection.constant as usize];
                // Never broken off.
                let _ = selection.walk(wanted.stock, constant, best);
                if best.again() {
                    let _ = selection.walk(wanted.stock, constant, best);
                }
            }
        }
    }
}

impl Fields {
    /// Measures how many sources a lead has on average, so that first windows are wide enough: a
    /// look at the leads around the middle, off any round value.
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
        visit: &mut impl FnMut(u32, &Path) -> ControlFlow<()>,
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

/// Both, on two cores where there are.
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

/// How windows grow, and when to stop trusting them: internal, open to the tests.
#[doc(hidden)]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuning {
    /// First window; 0: from the density of leads.
    pub first: f64,
    /// Each window is so many times wider than the one before.
    pub growth: f64,
    /// Selections tried before the whole list of trains is made.
    pub budget: u64,
}

impl Default for Tuning {
    fn default() -> Self {
        // 50,000 selections take some ten milliseconds, as long as a whole list of a small lathe.
        Self { first: 0.0, growth: 4.0, budget: 50_000 }
    }
}

/// The windows of one target.
pub(super) struct Stream<'a, S> {
    source: &'a S,
    asked: &'a Lead,
    approx: f64,
    gears: usize,
    growth: f64,
    /// Everything up to here has been given out.
    done: f64,
    next: f64,
    wanted: usize,
    /// Leads given out.
    given: usize,
    /// No error is larger.
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
        // Leads lie within a factor of some ten around the middle: about a third of them per unit
        // of relative error. A second scan costs more than some hits more in the first, except in
        // tables so long that they are scanned by whole numbers: there a wide window costs more.
        let wide = (1.2 * (leads / 40_000.0).log2()).clamp(0.0, 6.0);
        let spare = 3.0 + if leads < 1e8 { wide } else { 1.0 };
        let guess =
            if tuning.first > 0.0 { tuning.first } else { spare * wanted as f64 / leads.max(1.0) };
        Self {
            source,
            asked,
            approx,
            gears,
            growth: tuning.growth,
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
        let mut to = self.next;
        loop {
            self.hits.clear();
            let width = to - self.done.max(0.0);
            let most = if width < 64.0 * slack(to) { usize::MAX } else { MOST_HITS };
            let window = Window { over: self.done - 8.0 * slack(self.done), to, most };
            if self.source.collect(self.approx, self.gears, &window, &mut self.hits) {
                break;
            }
            to = self.done.max(0.0) + width / 8.0;
        }
        // Where the window was full, the next is no wider than this one.
        let full = to < self.next;
        let safe = if to >= self.reach { f64::MAX } else { to - 4.0 * slack(to) };
        let groups = self.groups(safe)?;
        self.done = safe;
        self.given += groups.len();
        // Leads lie about evenly: no wider than what is still wanted calls for.
        let lacking = 1.5 * self.wanted as f64 / self.given.max(1) as f64;
        let growth = if lacking > 1.5 { self.growth.min(lacking) } else { self.growth };
        self.next = if full { to * 1.25 } else { to * growth };
        Ok(Some(groups))
    }

    fn groups(&mut self, safe: f64) -> Result<Vec<Group>> {
        self.hits.sort_unstable_by(|a, b| a.error.total_cmp(&b.error));
        let mut groups: Vec<Group> = Vec::new();
        let mut from = 0;
        while from < self.hits.len() {
            // A run that doubles can't tell apart: as a rule one lead many times over.
            let mut to = from + 1;
            while to < self.hits.len()
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

    /// Whether two neighbours in the stream err by exactly the same amount.
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
