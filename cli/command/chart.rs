//! `check` and `learn`: is the chart right, and what does it say of a lathe that nobody knows?
//!
//! Sentences are made in `chart/words.rs`, a judged chart in `chart/judged.rs`, what was learned in
//! `chart/learned.rs`, the completed lathe file in `chart/complete.rs`.

mod complete;
mod judged;
mod learned;
mod plate;
mod words;

use crate::args;
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::asked::wanted;
use crate::document::{self, Head};
use crate::failure::Failure;
use crate::files::OpenChart;
use crate::keys;
use crate::report::{Block, Report, Role, Text};
use solver::chart::{self, AllowedErrors, Measured};
use solver::{Lathe, Ratio, Where, bounds};
use std::ffi::OsStr;

/// What was asked, understood.
struct Request {
    machine: Machine,
    /// The lathe that the chart is held against: the machine's, or one that nobody knows.
    lathe: Lathe,
    /// Nothing: measurements only.
    chart: Option<OpenChart>,
    measured: Vec<Measured>,
    terms: AllowedErrors,
}

/// Answers `check`.
///
/// # Errors
/// If chart or lathe can't be used.
pub(super) fn check(check: &args::Check, context: &Context<'_>) -> Result<Report, Failure> {
    let request = Request::to_check(check, context)?;
    let result = chart::check(&request.lathe, request.rows(), &request.terms);
    let checked = result.map_err(|e| request.refused(&e))?;
    let mut report = Report::new();
    report.asides.extend(request.machine.demo_note());
    let Some(chart) = &request.chart else { return Ok(report) };
    if check.print {
        judged::write_right(&request.lathe, chart, &checked, &mut report);
        if check.chart.is_some() {
            judged::write_changed(chart, &checked, &mut report);
        }
        return Ok(report);
    }
    let page = judged::JudgedPage::new(&request.lathe, chart, &checked, true);
    let judged = page.document();
    report.records = Some(judged::records(&judged));
    report.document = Some(Box::new(document::check::Checked {
        head: Head::of(&request.machine),
        chart: chart.name.clone(),
        judged,
    }));
    report.push(Block::Title(format!("Chart {} on {}", chart.name, request.machine.name())));
    if let Some(demo) = request.machine.demo_note() {
        report.note(Text::new(Role::Warning, demo));
    }
    page.write(check.long, &mut report);
    report.answer = judged::answer(checked.holds());
    Ok(report)
}

/// Answers `learn`.
///
/// # Errors
/// If chart, measurements or lathe can't be used.
pub(super) fn learn(learn: &args::Learn, context: &Context<'_>) -> Result<Report, Failure> {
    let request = Request::to_learn(learn, context)?;
    let result = chart::learn(&request.lathe, request.rows(), &request.measured, &request.terms);
    let found = result.map_err(|e| request.refused(&e))?;
    let page = learned::LearnedPage {
        lathe: &request.lathe,
        machine: (!request.machine.demo).then_some(&request.machine),
        chart: request.chart.as_ref(),
        measured: &request.measured,
        found: &found,
        asked_for_file: learn.complete.is_some(),
    };
    page.report()
}

impl Request {
    fn to_check(check: &args::Check, context: &Context<'_>) -> Result<Self, Failure> {
        let terms = terms(&check.judging);
        let machine = context.machine(&check.machine)?;
        let chart = match &check.chart {
            Some(chart) => open(chart, &machine.lathe, context)?,
            None => plate(&machine, &terms)?,
        };
        let lathe = machine.lathe.clone();
        Ok(Self { machine, lathe, chart: Some(chart), measured: Vec::new(), terms })
    }

    fn to_learn(learn: &args::Learn, context: &Context<'_>) -> Result<Self, Failure> {
        let terms = terms(&learn.judging);
        let machine = context.machine(&learn.machine)?;
        let measured = learn.measured.clone();
        // A demo lathe is nobody's: without a lathe the chart speaks for itself.
        let (lathe, chart) = match (&learn.chart, machine.demo) {
            (Some(spec), false) => {
                (machine.lathe.clone(), Some(open(spec, &machine.lathe, context)?))
            }
            (Some(spec), true) => {
                let chart = context.chart(spec, &[])?;
                (Lathe::new(chart::blank(&chart.rows)?)?, Some(chart))
            }
            (None, false) => (machine.lathe.clone(), None),
            (None, true) => {
                return Err(Failure::new("learn: which lathe was measured?").with_hint(
                    "--lathe FILE with \"unknown\" where a figure is not known, or a chart before --measured",
                ));
            }
        };
        Ok(Self { machine, lathe, chart, measured, terms })
    }

    fn rows(&self) -> &[chart::ChartRow] {
        self.chart.as_ref().map_or(&[], |chart| &chart.rows)
    }

    /// An error of the solver, at its row or its measurement where it has one.
    fn refused(&self, error: &solver::Error) -> Failure {
        let chart = self.chart.as_ref();
        let place = keys::path(error).zip(chart).and_then(|(path, chart)| chart.locate(&path));
        let of_path = |i: usize| error.place() == [Where::Measured, Where::Item(i)];
        let cut = self.measured.iter().enumerate().find(|(i, _)| of_path(*i)).map(|(_, cut)| cut);
        let failure = match (place, cut) {
            (Some(place), _) => Failure::new(format!("{place}: {error}")),
            (None, Some(cut)) => return Failure::typed("--measured", cut.text(), error),
            (None, None) => return self.machine.refused(error),
        };
        match keys::hint(error) {
            Some(hint) => failure.with_hint(hint),
            None => failure,
        }
    }
}

/// The chart that the lathe should have.
fn plate(machine: &Machine, terms: &AllowedErrors) -> Result<OpenChart, Failure> {
    let (within, feed_within) = (Ratio::new(2, 1000)?, Ratio::new(1, 100)?);
    let wanted = wanted::everyday(within, feed_within, machine.has_feed())?;
    plate::chart(&machine.lathe, &wanted, terms).map_err(|e| machine.refused(&e))
}

const fn terms(judging: &args::Judging) -> AllowedErrors {
    AllowedErrors { thread: judging.within, feed: judging.feed_within }
}

fn open(spec: &OsStr, lathe: &Lathe, context: &Context<'_>) -> Result<OpenChart, Failure> {
    let mut levers: Vec<String> =
        lathe.parts().gearbox.levers.iter().map(|lever| lever.name.clone()).collect();
    if lathe.parts().headstock.len() > 1 {
        levers.push(chart::HEADSTOCK.to_owned());
    }
    context.chart(spec, &levers)
}

/// Rows that are listed one by one before the rest is summed up.
const LISTED: usize = 40;

const _: () = assert!(bounds::CHART_ROWS.high > LISTED as u64, "long charts are cut");
