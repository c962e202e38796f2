//! Goes through the leads in ascending order, shows how far it is, ends early on Ctrl-C.

use super::Request;
use super::row::Row;
use super::survey::Survey;
use crate::answer::Entry;
use crate::args::Sort;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::number::grouped;
use crate::words::doubt;
use solver::reach::{Reach, Span};
use solver::search::Search;
use solver::{Done, Lead, Ratio, Result as Solved, Watch};
use std::sync::atomic::Ordering::Relaxed;

/// So many leads are gone through before anybody asks how many there are.
const FEW: u128 = 200_000;

/// Rows that are sorted in memory at most; ascending leads come as they are.
const MOST_SORTED: usize = 100_000;

/// The leads that were asked, as far as they are listed, in the order that was asked; and what all that
/// have come so far come to. Ascending they are given out as they come.
#[derive(Debug)]
pub(super) struct Walk<'w> {
    request: &'w Request,
    search: &'w Search<'w>,
    reach: Reach<'w>,
    /// Leads just beyond the span.
    behind: Option<Span>,
    /// Rows to be given out yet, at most.
    left: usize,
    /// In another order, once all have come.
    sorted: Option<std::vec::IntoIter<Row>>,
    pub(super) survey: Survey,
    /// What ended it.
    failure: Option<Failure>,
}

/// Goes through the leads that were asked; so many rows are given out at most.
///
/// # Errors
/// If the lathe can't be used for it, the work or what is done on the walk fails, or there are more
/// leads than can be sorted.
pub(super) fn walk<T, E: From<Failure>>(
    request: &Request,
    most: usize,
    progress: &Progress,
    go: impl FnOnce(&mut Walk<'_>) -> Result<T, E>,
) -> Result<T, E> {
    let refused = |e: solver::Error| request.machine.refused(&e);
    let hear = |far| match far {
        Done::Leads(done) | Done::Counted(done) => progress.reached(done),
        _ => (),
    };
    let watch = Watch::cancelled_by(request.cancel.flag()).hearing(&hear);
    let search = Search::new(&request.machine.lathe, request.travel, request.options());
    let search = search.map_err(refused)?.watched(watch);
    count(request, &search, progress).map_err(refused)?;
    let mut survey = Survey::new(request, &search);
    let (before, behind) = margins(request);
    beside(&search, before, &mut survey).map_err(refused)?;
    let reach = request.span().reach(&search);
    let (sorted, failure) = (None, None);
    let mut walk =
        Walk { request, search: &search, reach, behind, left: most, sorted, survey, failure };
    let done = go(&mut walk);
    // Why the work failed says more than that it could not be written.
    walk.failure.map_or(done, |failure| Err(failure.into()))
}

impl Walk<'_> {
    /// What they come to: goes through those that are left.
    ///
    /// # Errors
    /// If the work failed.
    pub(super) fn finish(&mut self) -> Result<&Survey, Failure> {
        while self.step().is_some() {}
        self.survey.refused = self.reach.refused();
        let behind = beside(self.search, self.behind.take(), &mut self.survey);
        self.heed(behind);
        self.survey.left_out.extend(doubt::unsettled(self.search.is_settled()));
        self.survey.finish(self.request.cancel.flag().load(Relaxed));
        self.failure.clone().map_or(Ok(&self.survey), Err)
    }

    /// The next lead that was asked, ascending.
    fn step(&mut self) -> Option<Row> {
        while self.failure.is_none() {
            let reached = self.reach.next()?;
            let Some(row) = Row::of(self.search, &self.heed(reached)?) else { continue };
            self.survey.take(&row);
            if !self.request.standard || row.is_standard(&self.request.within) {
                self.survey.listed += 1;
                self.survey.sure += u64::from(!row.entry.is_too_close());
                return Some(row);
            }
        }
        None
    }

    /// Keeps what ends the walk.
    fn heed<T>(&mut self, result: Solved<T>) -> Option<T> {
        result.map_err(|e| self.failure = Some(self.request.machine.refused(&e))).ok()
    }

    /// The first rows in another order than they come; of the rest nothing is held.
    fn first(&mut self) -> Vec<Row> {
        let most = self.left.min(MOST_SORTED);
        let mut rows = Vec::new();
        let cut = |rows: &mut Vec<(u128, Row)>| {
            rows.sort_by_key(|(place, _)| *place);
            rows.truncate(most);
        };
        while let Some(row) = self.step() {
            rows.push((row.place(self.request.sort), row));
            // Cut now and then: a sort for every row would be dear.
            if rows.len() >= 2 * most + 1000 {
                cut(&mut rows);
            }
            if self.left > MOST_SORTED && self.survey.listed > MOST_SORTED as u64 {
                let most = grouped(MOST_SORTED as u128);
                self.failure = Some(Failure::wrong(
                    format!("--sort: more than {most} leads can't be sorted"),
                    "--count 1000 beside it, --from and --to closer, or --sort lead",
                ));
            }
        }
        cut(&mut rows);
        rows.into_iter().map(|(_, row)| row).collect()
    }
}

impl Iterator for Walk<'_> {
    type Item = Row;

    fn next(&mut self) -> Option<Row> {
        if self.request.sort != Sort::Lead {
            let first = self.sorted.take().unwrap_or_else(|| self.first().into_iter());
            return self.sorted.insert(first).next();
        }
        self.left = self.left.checked_sub(1)?;
        self.step()
    }
}

/// Leads just outside of the span: what comes nearest to a standard pitch at its end may be one.
fn beside(search: &Search<'_>, span: Option<Span>, survey: &mut Survey) -> Solved<()> {
    let Some(span) = span else { return Ok(()) };
    for reached in span.reach(search) {
        if let Some(entry) = Entry::of(search, &reached?.solution) {
            survey.meet(&entry);
        }
    }
    Ok(())
}

/// As far beyond both ends as a standard pitch at an end counts as met.
fn margins(request: &Request) -> (Option<Span>, Option<Span>) {
    if request.travel.is_feed() {
        return (None, None);
    }
    let one = Ratio::ONE;
    let shorter = one.apart(&request.within).ok().flatten();
    let longer = one.plus(&request.within).ok();
    let beyond = |end: Option<Lead>, by: Option<Ratio>| {
        let (end, by) = (end?, by?);
        // Digits without end: then nothing lies between in practice.
        Some((end, end.times(&by).ok()?))
    };
    let before = beyond(request.from, shorter);
    let behind = beyond(request.to, longer);
    (
        before.map(|(end, beyond)| request.between(Some(beyond), Some(end))),
        behind.map(|(end, beyond)| request.between(Some(end), Some(beyond))),
    )
}

/// Says how many leads there will be, where that takes long: how far it is can be shown then.
fn count(request: &Request, search: &Search<'_>, progress: &Progress) -> Solved<()> {
    let span = request.span();
    let most = span.at_most(search);
    let most = u64::try_from(most).unwrap_or(u64::MAX);
    if u128::from(most) <= FEW {
        progress.stage("leads, at most", most);
        return Ok(());
    }
    progress.stage("counting leads, at most", most);
    let (count, whole) = span.count(search)?;
    if whole {
        progress.say(&format!("{} leads to go through", grouped(count.into())));
        progress.stage("leads, of", count);
    }
    Ok(())
}
