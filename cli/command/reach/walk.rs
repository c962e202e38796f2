//! Goes through the leads in ascending order, shows how far it is, ends early on Ctrl-C.

use super::Request;
use super::row::{Row, TopRows};
use super::survey::Survey;
use crate::answer::Entry;
use crate::args::Sort;
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;
use crate::report::number::grouped;
use crate::words::doubt;
use solver::reach::{Reach, Reached, Span};
use solver::search::Search;
use solver::{Done, Lead, Ratio, Result as Solved, Watch};
use std::sync::atomic::Ordering::Relaxed;

/// So many leads are gone through before anybody asks how many there are.
const FEW: u128 = 200_000;

/// Rows that are sorted in memory at most; ascending leads come as they are.
const MOST_SORTED: usize = 100_000;

/// Every lead that was asked, ascending; and what all that have come so far come to.
#[derive(Debug)]
pub(super) struct Walk<'w> {
    pub(super) request: &'w Request,
    search: &'w Search<'w>,
    reach: Reach<'w>,
    /// Leads just beyond the span.
    behind: Option<Span>,
    survey: Survey,
}

/// Sets out on a walk through the leads that were asked.
///
/// # Errors
/// If the lathe can't be used for it, or what is done on the walk fails.
pub(super) fn walk<T, E: From<Failure>>(
    request: &Request,
    progress: &Progress,
    go: impl FnOnce(Walk<'_>) -> Result<T, E>,
) -> Result<T, E> {
    let refused = |e: solver::Error| request.machine.refused(&e);
    let hear = |far| match far {
        Done::Leads(done) | Done::Counted(done) => progress.reached(done),
        _ => (),
    };
    let watch = Watch::cancelled_by(interrupt::listen()).hearing(&hear);
    let search = Search::new(&request.machine.lathe, request.travel, request.options());
    let search = search.map_err(refused)?.watched(watch);
    count(request, &search, progress).map_err(refused)?;
    let mut survey = Survey::new(request);
    let proof = search.proof(request.span().gears);
    (survey.pairs, survey.possible) = (proof.pairs, proof.possible);
    survey.left_out = doubt::left_out(&proof);
    let (before, behind) = margins(request);
    beside(&search, before, &mut survey).map_err(refused)?;
    let reach = request.span().reach(&search);
    go(Walk { request, search: &search, reach, behind, survey })
}

impl Walk<'_> {
    /// The first rows in the order asked. Ascending they are given out as they come.
    ///
    /// # Errors
    /// If there are more than can be sorted, or the work fails.
    pub(super) fn rows(
        &mut self,
        most: usize,
    ) -> Result<Box<dyn Iterator<Item = Result<Row, Failure>> + '_>, Failure> {
        if self.request.sort == Sort::Lead {
            return Ok(Box::new(self.take(most)));
        }
        let mut kept = TopRows::new(self.request.sort, most.min(MOST_SORTED));
        for row in self {
            kept.push(row?);
            if most > MOST_SORTED && kept.came() > MOST_SORTED as u64 {
                let most = grouped(MOST_SORTED as u128);
                return Err(Failure::new(format!(
                    "--sort: more than {most} leads can't be sorted"
                ))
                .with_hint("--count 1000 beside it, --from and --to closer, or --sort lead"));
            }
        }
        Ok(Box::new(kept.into_rows().into_iter().map(Ok)))
    }

    /// What they come to: goes through those that are left.
    ///
    /// # Errors
    /// If the work fails.
    pub(super) fn finish(&mut self) -> Result<&Survey, Failure> {
        self.try_for_each(|row| row.map(drop))?;
        self.survey.refused = self.reach.refused();
        beside(self.search, self.behind.take(), &mut self.survey)
            .map_err(|e| self.request.machine.refused(&e))?;
        self.survey.left_out.extend(doubt::unsettled(self.search.is_settled()));
        self.survey.finish(interrupt::listen().load(Relaxed));
        Ok(&self.survey)
    }

    /// The next lead of the span, and whether it was asked.
    fn step(&mut self, reached: &Reached) -> Option<Row> {
        let row = Row::of(self.search, reached)?;
        self.survey.take(&row);
        let asked = !self.request.standard || row.is_standard(&self.request.within);
        if asked {
            self.survey.listed += 1;
            self.survey.sure += u64::from(!row.entry.is_too_close());
        }
        asked.then_some(row)
    }
}

impl Iterator for Walk<'_> {
    type Item = Result<Row, Failure>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let reached = self.reach.next()?;
            let row = reached.map(|reached| self.step(&reached));
            let row = row.map_err(|e| self.request.machine.refused(&e)).transpose();
            if row.is_some() {
                return row;
            }
        }
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
