//! Which trains cut the same lead? How many, which, and with which idlers.

use super::found::{Others, Solution};
use super::pass::Answered;
use super::path::Path;
use super::rank::{Head, Key};
use super::stream::{Stream, Wanted};
use super::{Ask, Search, Tuning};
use crate::{Lead, LeadError, Result, Shaft, Teeth, bounds};
use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::ops::ControlFlow;

impl Search<'_> {
    /// All other trains with the lead of `solution`: counted, up to `limit`.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn others(&self, ask: &Ask, solution: &Solution, limit: u64) -> Result<Others> {
        let (mut count, mut tried, mut work) = (0_u64, 0_u64, 0_u64);
        let mut cut = false;
        self.each(ask, &solution.lead, &mut |_, path| {
            tried += 1;
            count += u64::from(path.fits(&self.stock));
            work += path.cost(&self.stock);
            cut = work > limit;
            if cut { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        })?;
        Ok(Others {
            count: count.saturating_sub(u64::from(solution.fits())),
            tried: tried.saturating_sub(1),
            at_least: cut || self.watch.is_cancelled(),
        })
    }

    /// All other trains with the lead of `solution`, in order, up to `limit`; and whether there are
    /// more, or may be after a cancelled search.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn all(
        &self,
        ask: &Ask,
        solution: &Solution,
        limit: usize,
    ) -> Result<(Vec<Solution>, bool)> {
        // The largest kept is on top: a smaller one replaces it.
        let mut heap: BinaryHeap<RankedKey> = BinaryHeap::new();
        let mut more = false;
        self.each(ask, &solution.lead, &mut |setting, path| {
            if path.fits(&self.stock) {
                let head = Head::of(path, &self.stock, &self.fitted);
                let key = Key::of(head, path, setting, &self.stock);
                let full = heap.len() >= limit;
                more |= full;
                // Visits and order both go by gears: no later one can enter.
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
        Ok((all, more || self.watch.is_cancelled()))
    }

    /// For a train of idlers between two end gears on a bracket: every choice of as many idlers that
    /// fits between the same end gears, in power-path order. Empty for other trains, and without a
    /// bracket.
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
            if same && path.fits(&self.stock) {
                found.push((1..last).map(|i| gear(path, i).teeth).collect());
            }
            ControlFlow::Continue(())
        })?;
        found.sort();
        found.dedup();
        Ok(found)
    }

    /// Visits every arrangement with exactly this lead, fitting or not, until the search is
    /// cancelled.
    pub(super) fn each(
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
        let mut visit = |setting: u32, path: &Path| {
            if self.watch.is_cancelled() { ControlFlow::Break(()) } else { visit(setting, path) }
        };
        for gears in 2..=ask.gears.min(2 * bounds::PAIRS) {
            let wanted = Wanted { stock: &self.stock, studs, gears, accepts };
            for hit in &stream.hits[group.hits.clone()] {
                if self.fields.walk(&wanted, hit, &mut visit).is_break() {
                    return Ok(());
                }
            }
        }
        Ok(())
    }
}

/// A ranked path; the heap orders it by its key alone.
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
