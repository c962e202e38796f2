//! Goes through the leads in ascending order, shows how far it is, ends early on Ctrl-C.

use super::Request;
use super::survey::Survey;
use crate::answer::Entry;
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;
use crate::report::number::grouped;
use crate::words::doubt;
use solver::reach::{Beside, Reached, Span};
use solver::search::Search;
use solver::{Done, Lead, Ratio, Result as Solved, Watch};
use std::sync::atomic::Ordering::Relaxed;

/// So many leads are gone through before anybody asks how many there are.
const FEW: u128 = 200_000;

/// Parts of a lead that errors are told apart by, where they are sorted.
const PARTS: u64 = 1_000_000_000_000_000;

/// A lead that can be cut.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) entry: Entry,
    pub(super) below: Option<Beside>,
    pub(super) above: Option<Beside>,
}

impl Row {
    fn of(search: &Search<'_>, reached: &Reached) -> Solved<Self> {
        Ok(Self {
            entry: Entry::of(search, &reached.solution)?,
            below: reached.below,
            above: reached.above,
        })
    }

    /// |error| against the nearer standard thread; what has none comes last.
    pub(super) fn error_size(&self) -> u128 {
        let sizes = self.beside().map(|beside| beside.error.size_in(PARTS));
        sizes.min().unwrap_or(u128::MAX)
    }

    /// Whether a standard thread is so near.
    pub(super) fn is_standard(&self, within: &Ratio) -> bool {
        self.beside().any(|beside| beside.error.within(within))
    }

    fn beside(&self) -> impl Iterator<Item = &Beside> {
        self.below.iter().chain(&self.above)
    }
}

/// Gives out every row that was asked, until `give` has enough.
///
/// # Errors
/// If the lathe can't be used for it.
pub(super) fn walk(
    request: &Request,
    progress: &Progress,
    give: &mut dyn FnMut(Row) -> bool,
) -> Result<Survey, Failure> {
    let refused = |e: solver::Error| request.machine.refused(&e);
    let cancel = interrupt::listen();
    let hear = |far| match far {
        Done::Leads(done) | Done::Counted(done) => progress.reached(done),
        _ => (),
    };
    let watch = Watch::cancelled_by(cancel).hearing(&hear);
    let search = Search::new(&request.machine.lathe, request.travel, request.options());
    let search = search.map_err(refused)?.watched(watch);
    count(request, &search, progress).map_err(refused)?;
    let mut survey = Survey::new(request);
    let proof = search.proof(request.span().gears);
    (survey.pairs, survey.possible) = (proof.pairs, proof.possible);
    survey.left_out = doubt::left_out(&proof);
    through(request, &search, &mut survey, give).map_err(refused)?;
    survey.left_out.extend(doubt::unsettled(search.is_settled()));
    survey.finish(cancel.load(Relaxed));
    Ok(survey)
}

fn through(
    request: &Request,
    search: &Search<'_>,
    survey: &mut Survey,
    give: &mut dyn FnMut(Row) -> bool,
) -> Solved<()> {
    let (before, behind) = margins(request);
    beside(search, before, survey)?;
    let mut reach = request.span().reach(search);
    while let Some(reached) = reach.next() {
        let row = Row::of(search, &reached?)?;
        survey.take(&row);
        if !request.standard || row.is_standard(&request.within) {
            survey.listed += 1;
            survey.sure += u64::from(!row.entry.is_too_close());
            if !give(row) {
                break;
            }
        }
    }
    survey.refused = reach.refused();
    beside(search, behind, survey)
}

/// Leads just outside of the span: what comes nearest to a standard pitch at its end may be one.
fn beside(search: &Search<'_>, span: Option<Span>, survey: &mut Survey) -> Solved<()> {
    let Some(span) = span else { return Ok(()) };
    for reached in span.reach(search) {
        survey.meet(&Entry::of(search, &reached?.solution)?);
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
