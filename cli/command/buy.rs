//! `buy`: which gears are worth buying for a list of threads and feeds?
//!
//! The list is made by `wanted.rs`; what each number of gears can do for it is worked out in
//! `buy/answer.rs`, from which the page for people (`buy/page.rs`), the records and the document
//! for programs (`buy/data.rs`) are made.

mod answer;
mod data;
mod grounds;
mod page;

use super::now;
use crate::answer::options;
use crate::args::Buy;
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::asked::wanted::{self, Wanted};
use crate::failure::Failure;
use crate::report::{Answer, Report};
use solver::buy::PAIRS;
use solver::search::{Options, Search};
use solver::{Lathe, Teeth, Travel};

/// What was asked, understood.
struct Request {
    machine: Machine,
    wanted: Vec<Wanted>,
    /// Lines that longer trains cut already than a purchase is weighed with: nothing is bought for them.
    aside: Vec<Wanted>,
    /// Sizes that can be bought, ascending.
    sizes: Vec<Teeth>,
    /// Of these the ends, and what is left out between them.
    from: Teeth,
    to: Teeth,
    not: Vec<Teeth>,
    /// Most gears to buy.
    up_to: usize,
    /// Purchases listed for each number of gears.
    count: usize,
    options: Options,
    /// Whether every list is printed.
    long: bool,
}

/// Answers `buy`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(buy: &Buy, context: &Context<'_>) -> Result<Report, Failure> {
    let (request, progress) = (Request::of(buy, context)?, context.progress);
    let answer = answer::of(&request, progress.cancel().flag(), progress)?;
    let mut report = Report::new();
    let document = data::document(&request, &answer);
    report.records = Some(data::records(&answer, &document));
    report.document = Some(Box::new(document));
    page::write(&request, &answer, &mut report);
    report.asides.extend(request.machine.asides());
    if !answer.complete() {
        report.asides.push(page::NOT_COMPLETE.to_owned());
    }
    report.details = page::details(&answer);
    if !answer.reaches_every_line() {
        report.answer = Answer::No;
    }
    Ok(report)
}

impl Request {
    fn of(buy: &Buy, context: &Context<'_>) -> Result<Self, Failure> {
        let options = options(buy.clearance.least());
        let Buy { from, to, up_to, count, .. } = *buy;
        if from > to {
            return Err(Failure::new(format!("--from {from}: more teeth than --to {to}"))
                .with_hint(format!("--from {to} --to {from}")));
        }
        let not = buy.not.clone();
        let all = (from.get()..=to.get()).filter_map(|z| Teeth::new(u64::from(z)).ok());
        let sizes: Vec<Teeth> = all.filter(|z| !not.contains(z)).collect();
        if sizes.is_empty() {
            return Err(Failure::new(format!("--not: no size from {from} to {to} is left"))
                .with_hint("a wider --from and --to"));
        }
        let machine = now::machine(&buy.machine, context)?;
        let wanted = wanted::read(&buy.wanted, [""; 2], machine.has_feed())?;
        let (wanted, aside) =
            set_aside(&machine.lathe, &options, wanted).map_err(|e| machine.refused(&e))?;
        Ok(Self {
            machine,
            wanted,
            aside,
            sizes,
            from,
            to,
            not,
            up_to,
            count,
            options,
            long: buy.long,
        })
    }

    /// Whether it is checked that gears fit.
    const fn checks_fit(&self) -> bool {
        self.options.arbor.is_some()
    }
}

/// The lines to buy for, and those that only a longer train cuts than purchases are weighed with.
fn set_aside(
    lathe: &Lathe,
    options: &Options,
    wanted: Vec<Wanted>,
) -> solver::Result<(Vec<Wanted>, Vec<Wanted>)> {
    let most = lathe.pairs_at_once().saturating_add(1);
    if most <= PAIRS {
        return Ok((wanted, Vec::new()));
    }
    let mut searches: Vec<(Travel, [Search<'_>; 2])> = Vec::new();
    let (mut kept, mut aside) = (Vec::new(), Vec::new());
    for wanted in wanted {
        let travel = wanted.line.travel;
        if !searches.iter().any(|(known, _)| *known == travel) {
            let of = |pairs| Search::new(lathe, travel, options.clone().with_pairs(pairs));
            searches.push((travel, [of(PAIRS)?, of(most)?]));
        }
        let ask = wanted.line.ask().with_count(1);
        let reached = |search: &Search<'_>| Ok(search.closest(&ask)?.fits.is_some());
        let found = searches.iter().find(|(known, _)| *known == travel);
        let longer = match found {
            Some((_, [usual, longer])) => !reached(usual)? && reached(longer)?,
            None => false,
        };
        if longer { aside.push(wanted) } else { kept.push(wanted) }
    }
    Ok((kept, aside))
}
