//! `table`: which gears for each thread and feed of a list, so that few of them have to be handled?
//!
//! The list comes from `wanted`, the plans from the library. The chosen plan becomes rows
//! (`table/rows.rs`), and these the page for people (`table/page.rs`), the chart for the wall
//! (`table/wall.rs`), and the records and the document for programs (`table/data.rs`).

mod data;
mod page;
mod rows;
mod wall;

use super::now;
use crate::answer::{Entry, options};
use crate::args::{self, Order};
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::asked::wanted::{self, Wanted, is_inch};
use crate::failure::Failure;
use crate::report::number::grouped;
use crate::report::wall::{Column, Wall};
use crate::report::{Answer, Report};
use crate::words::doubt;
use crate::words::figures::plural;
use rows::Row;
use solver::judge::fitted_train;
use solver::plan::{self, TrainTable};
use solver::search::Options;
use solver::{GearChange, Lathe, Travel, Watch, bounds};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// Lines that are named where some are cut.
const NAMED: usize = 3;

/// What was asked, understood.
struct Request {
    machine: Machine,
    wanted: Vec<Wanted>,
    order: Order,
    pairs: usize,
    options: Options,
    /// Whether every list is printed.
    long: bool,
}

/// What is compared: one way to go through the list.
struct Choice {
    kind: Kind,
    plan: plan::Plan,
}

/// Which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// For each line the closest train.
    Closest,
    Chart,
    Listed,
    Best,
    Fewest,
    Single,
}

/// The answer.
#[derive(Default)]
struct Outcome {
    /// Every way, the one without planning first.
    choices: Vec<Choice>,
    /// The chosen one, line by line.
    rows: Vec<Row>,
    /// From the last line back to the fitted set-up; nothing where there is none, or each line goes back.
    back: Option<GearChange>,
    /// Lines that only trains with more gear pairs than asked for reach.
    wider: Vec<usize>,
    /// Gear pairs that these were given, at most.
    longest: Option<usize>,
    /// Lines that were not looked at, since the search was interrupted.
    unsearched: Vec<usize>,
    /// Lines that nothing is sure to reach, with the closest train that is too close to call.
    unsure: Vec<(usize, Entry)>,
    /// Lines that nothing reaches, with the nearest train that stands.
    missed: Vec<(usize, Option<Entry>)>,
    /// Of these and of the rows that are not near enough those that may have a nearer train: not all was
    /// searched.
    nearer: Vec<usize>,
    /// Idlers beyond one, by line.
    idlers: Vec<(usize, usize)>,
    /// What was left out, a sentence each.
    left_out: Vec<String>,
    /// Whether every set-up within tolerance was there to choose from.
    all_there: bool,
    /// Whether all trains were looked at and nothing was cut short.
    complete: bool,
}

/// Answers `table`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(table: &args::Table, context: &Context<'_>) -> Result<Report, Failure> {
    let request = Request::of(table, context)?;
    context.progress.expect(1);
    let outcome = request
        .answer(context.progress.cancel().flag())
        .map_err(|e| request.machine.refused(&e))?;
    let mut report = Report::new();
    let document = data::document(&request, &outcome);
    report.records = Some(data::records(&document));
    report.document = Some(Box::new(document));
    page::write(&request, &outcome, &mut report);
    report.wall = Some(wall::of(&request, &outcome, table.paper, table.date.clone()));
    report.asides.extend(request.machine.asides());
    report.details.push(format!("{} set-ups within tolerance were compared", outcome.set_ups()));
    let near = outcome.missed.is_empty() && outcome.unsure.is_empty();
    if !near || outcome.rows.iter().any(|row| row.verdict.is_some()) {
        report.answer = Answer::No;
    }
    Ok(report)
}

/// The chart for the wall of set-ups that were chosen one by one, by the line of the list. It marks what
/// differs from the fitted set-up; what is swapped each of these has on a sheet.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn wall_of(
    machine: Machine,
    wanted: Vec<Wanted>,
    chosen: Vec<(usize, Entry)>,
    date: Option<String>,
) -> Result<Wall, Failure> {
    let options = Options::default();
    let request = Request { machine, wanted, order: Order::Single, pairs: 0, options, long: false };
    let rows = Row::each_from_fitted(&request, chosen);
    let outcome =
        Outcome { rows: rows.map_err(|e| request.machine.refused(&e))?, ..Outcome::default() };
    Ok(wall::of(&request, &outcome, args::Paper::default(), date).without(Column::Swap))
}

/// The lines by kind, coarse before fine; the lathe's own system first.
pub(super) fn chart_order(lathe: &Lathe, wanted: &[Wanted]) -> Vec<usize> {
    let screw = lathe.parts().lead_screw.lead;
    let metric_first = screw.is_some_and(|screw| !is_inch(&screw));
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    let key = |at: &usize| {
        wanted.get(*at).map(|wanted| {
            let group = Group::of(wanted);
            let swapped = metric_first && group <= Group::Metric;
            let left = wanted.line.hand == Some(solver::Hand::Left);
            (if swapped { group.other() } else { group }, std::cmp::Reverse(wanted.line.lead), left)
        })
    };
    order.sort_by_key(key);
    order
}

impl Request {
    fn of(table: &args::Table, context: &Context<'_>) -> Result<Self, Failure> {
        // A chart for the wall is for every day: it begins with the fitted set-up.
        let machine = if table.from_now {
            now::machine(&table.machine, context)?
        } else {
            context.machine(&table.machine)?
        };
        let ends = [&table.from, &table.to].map(|end| end.as_deref().unwrap_or_default());
        let pairs = table.pairs;
        let options = options(table.clearance.least()).with_pairs(pairs);
        let wanted = wanted::read(&table.wanted, ends, machine.has_feed())?;
        Ok(Self { machine, wanted, order: table.plan, pairs, options, long: table.long })
    }

    fn answer(&self, cancel: &AtomicBool) -> solver::Result<Outcome> {
        let lines = self.wanted.iter().map(|wanted| {
            let at_worst = wanted.allowed.at_worst();
            wanted.line.clone().with_at_worst(Some(at_worst))
        });
        let lines = lines.collect();
        let table = TrainTable::widened(
            &self.machine.lathe,
            lines,
            &self.options,
            Watch::cancelled_by(cancel),
        )?;
        let chart = chart_order(&self.machine.lathe, &self.wanted);
        let choices = self.choices(&table, &chart, cancel)?;
        let steps = choices.iter().find(|choice| choice.kind == Kind::of(self.order));
        let steps = steps.map_or(&[][..], |choice| &choice.plan.steps);
        let rows = Row::all(self, &table, steps)?;
        let entry = |line, solution| {
            let search = table.search(line)?;
            Entry::of(search, solution)
        };
        let missed =
            table.unreachable().map(|(line, near)| (line, near.and_then(|near| entry(line, near))));
        let mut missed: Vec<_> = missed.collect();
        missed.sort_by_key(|(line, _)| chart.iter().position(|at| at == line));
        let left_out = self.left_out(&table, cancel);
        let complete = table.is_complete()
            && left_out.is_empty()
            && choices.iter().all(|choice| choice.plan.complete);
        let (wider, unsearched) = (table.wider().collect::<Vec<_>>(), table.unsearched().collect());
        let pairs = |line: &usize| Some(table.search(*line)?.proof(2 * bounds::PAIRS).pairs);
        let longest = wider.iter().filter_map(pairs).max();
        let unsure =
            table.unsure().filter_map(|(line, solution)| Some((line, entry(line, solution)?)));
        let unsure: Vec<_> = unsure.collect();
        let nearer = missed.iter().map(|(line, _)| *line);
        let nearer = nearer.chain(table.widened_to().map(|(line, _)| line));
        let nearer = nearer.filter(|line| table.may_come_nearer(*line)).collect();
        let idlers = (0..self.wanted.len()).filter_map(|line| Some((line, table.idlers(line)?)));
        // Longer trains that were added have none to spare.
        let idlers = idlers.filter(|(line, idlers)| *idlers > 1 && !wider.contains(line)).collect();
        let all_there = table.is_complete();
        let fitted = fitted_train(&self.machine.lathe);
        let fitted = fitted.filter(|_| self.order != Order::Single);
        let back = fitted.zip(rows.last());
        let back = back.map(|(to, from)| GearChange::between(&from.entry.train, &to));
        Ok(Outcome {
            choices,
            rows,
            back,
            wider,
            longest,
            unsearched,
            unsure,
            missed,
            nearer,
            idlers,
            left_out,
            all_there,
            complete,
        })
    }

    /// What the plans could not choose from, or had no time for.
    fn left_out(&self, table: &TrainTable<'_>, cancel: &AtomicBool) -> Vec<String> {
        let longer = table.pairs_left_out().and_then(|(s, a)| doubt::longer_left_out(s, a));
        let cut: Vec<(usize, usize)> = table.cut().collect();
        let closest = cut.iter().map(|(_, held)| *held).max().map(|held| {
            let named = cut.iter().filter_map(|(line, _)| self.wanted.get(*line)).map(Wanted::lead);
            let named: Vec<String> = named.take(NAMED).collect();
            let more = match cut.len().saturating_sub(named.len()) {
                0 => String::new(),
                more => format!(" and {}", plural(more, "more line")),
            };
            format!(
                "more set-ups are within tolerance than are held: compared were the closest {} for {}{more}",
                grouped(held as u128),
                named.join(", ")
            )
        });
        let ended = doubt::ended(cancel.load(Relaxed));
        let unknown = (0..self.wanted.len()).filter_map(|line| table.search(line));
        let unknown = unknown.map(|search| search.proof(2).unknown).max();
        let unknown = unknown.and_then(doubt::unknown);
        let unsettled = doubt::unsettled(table.is_settled());
        let rest = ended.into_iter().chain(unknown).chain(unsettled);
        longer.into_iter().chain(closest).chain(rest).collect()
    }

    /// Every way that is worth comparing. Of a list that is a chart already there is one order less.
    fn choices(
        &self,
        table: &TrainTable<'_>,
        chart: &[usize],
        cancel: &AtomicBool,
    ) -> solver::Result<Vec<Choice>> {
        let listed: Vec<usize> = (0..self.wanted.len()).collect();
        let own: &[usize] = if self.order == Order::Listed { &listed } else { chart };
        let mut kinds = vec![Kind::Best, Kind::Fewest];
        if chart != listed || self.order == Order::Listed {
            kinds.insert(0, Kind::Listed);
        }
        if chart != listed || self.order != Order::Listed {
            kinds.insert(0, Kind::Chart);
        }
        if self.machine.lathe.parts().fitted.is_some() || self.order == Order::Single {
            kinds.push(Kind::Single);
        }
        let mut choices = vec![Choice { kind: Kind::Closest, plan: table.naive_in_order(own)? }];
        for kind in kinds {
            // Interrupted: only what was asked for.
            if cancel.load(Relaxed) && kind != Kind::of(self.order) {
                continue;
            }
            let plan = match kind {
                Kind::Closest => continue,
                Kind::Chart => table.in_order(chart)?,
                Kind::Listed => table.as_listed()?,
                Kind::Best => table.best_order()?,
                Kind::Fewest => table.fewest_trains()?,
                Kind::Single => table.each_from_fitted(chart)?,
            };
            choices.push(Choice { kind, plan });
        }
        Ok(choices)
    }
}

impl Kind {
    const fn of(order: Order) -> Self {
        match order {
            Order::Chart => Self::Chart,
            Order::Listed => Self::Listed,
            Order::Best => Self::Best,
            Order::Fewest => Self::Fewest,
            Order::Single => Self::Single,
        }
    }
}

impl Outcome {
    /// The way that the rows go.
    fn chosen(&self, order: Order) -> Option<&Choice> {
        self.choices.iter().find(|choice| choice.kind == Kind::of(order))
    }

    /// Set-ups within tolerance that the rows were chosen from.
    fn set_ups(&self) -> usize {
        self.rows.iter().filter(|row| row.verdict.is_none()).map(|row| row.trains).sum()
    }

    /// The nearest set-ups, where none is within tolerance.
    fn nearest(&self) -> usize {
        self.rows.iter().filter(|row| row.verdict.is_some()).map(|row| row.trains).sum()
    }
}

/// What a line is, for the chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Group {
    Inch,
    Metric,
    Worm,
    Feed,
    CrossFeed,
}

impl Group {
    pub(super) fn of(wanted: &Wanted) -> Self {
        match wanted.line.travel {
            Travel::LongFeed => Self::Feed,
            Travel::CrossFeed => Self::CrossFeed,
            Travel::Thread if wanted.line.lead.has_pi() => Self::Worm,
            Travel::Thread if is_inch(&wanted.line.lead) => Self::Inch,
            Travel::Thread => Self::Metric,
        }
    }

    /// Inch for metric and metric for inch.
    const fn other(self) -> Self {
        match self {
            Self::Inch => Self::Metric,
            Self::Metric => Self::Inch,
            other => other,
        }
    }

    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Inch => "Inch threads",
            Self::Metric => "Metric threads",
            Self::Worm => "Worms",
            Self::Feed => "Longitudinal feeds",
            Self::CrossFeed => "Feeds across",
        }
    }

    /// For programs.
    const fn word(self) -> &'static str {
        match self {
            Self::Inch => "inch",
            Self::Metric => "metric",
            Self::Worm => "worm",
            Self::Feed => "long feed",
            Self::CrossFeed => "cross feed",
        }
    }
}
