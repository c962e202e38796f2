//! `why`: a scratch pass does not measure what it should; which mistake is it?
//!
//! The set-up is the one of the job card. Words are made in `why/words.rs`, the page in `why/page.rs`, the
//! document in `why/data.rs`.

mod data;
mod page;
mod words;

use super::card;
use crate::answer::{Entry, Outcome, Request};
use crate::args;
use crate::asked::context::Context;
use crate::failure::Failure;
use crate::report::{Answer as YesNo, Block, Report, Role, Text};
use solver::Hand;
use solver::chart::Measured;
use solver::slip::Mounted;
use solver::why::{self, Answer, Reading, Verdict};

/// What came out, and what it comes to.
pub(super) struct Case<'a> {
    request: &'a Request,
    outcome: &'a Outcome,
    entry: &'a Entry,
    measured: Option<(&'a Measured, Reading)>,
    hand: Option<Hand>,
    seen: Option<args::Seen>,
    answer: Answer,
}

/// Answers `why`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(why: &args::Why, context: &Context<'_>) -> Result<Report, Failure> {
    let reading = |measured| {
        let reading = Reading::of(measured);
        let reading = reading.map_err(|e| Failure::typed("--measured", measured.text(), &e))?;
        Ok::<_, Failure>((measured, reading))
    };
    let measured = why.measured.as_ref().map(reading).transpose()?;
    let mut request = Request::new(context.machine(&why.machine)?, &why.target, &why.terms())?;
    let [(target, asked)] = &request.targets[..] else {
        return Err(
            Failure::new("`why` is for one thread or feed").with_hint("one after the other")
        );
    };
    if asked.is_none() && (why.hand.is_some() || why.seen.is_some()) {
        let wrong = format!("{} is a feed, which has no hand and no grooves", target.text());
        return Err(Failure::new(wrong).with_hint("--measured alone"));
    }
    request.all = target.starts() > 1;
    let outcomes = request.answer(context.progress)?;
    let [outcome] = &outcomes[..] else { return Err(Failure::new("no target")) };
    let mut report = match card::choose(&request, outcome)? {
        Ok(entry) => {
            let answer = answered(&request, outcome, &entry, why, measured.map(|(_, read)| read))?;
            let (hand, seen) = (why.hand, why.seen);
            let case =
                Case { request: &request, outcome, entry: &entry, measured, hand, seen, answer };
            case.report()
        }
        Err(reasons) => no_set_up(&request, outcome, &reasons),
    };
    report.asides.extend(request.machine.demo_line());
    Ok(report)
}

/// What the library says of it.
fn answered(
    request: &Request,
    outcome: &Outcome,
    entry: &Entry,
    why: &args::Why,
    reading: Option<Reading>,
) -> Result<Answer, Failure> {
    let lathe = &request.machine.lathe;
    let right = Mounted::new(entry.setting.clone(), entry.train.clone(), entry.tumbler);
    why::Question::new(lathe, &outcome.target, right)
        .with_reading(reading)
        .with_hands(outcome.hand, why.hand)
        .with_seen(why.seen.map(words::seen))
        .answer()
        .map_err(|e| request.machine.refused(&e))
}

impl Case<'_> {
    fn report(&self) -> Report {
        let mut report = Report::new();
        page::write(self, &mut report);
        let document = data::document(self);
        report.records = Some(data::records(&document));
        report.document = Some(Box::new(document));
        if self.answer.verdict == Verdict::Nothing {
            report.answer = YesNo::No;
        }
        report
    }
}

/// What is said where there is no set-up to go wrong.
fn no_set_up(request: &Request, outcome: &Outcome, reasons: &[String]) -> Report {
    let mut report = Report::new();
    report.push(Block::Title(outcome.target.text().to_string()));
    report.note(Text::new(Role::Warning, "No set-up to begin with."));
    report.push(Block::List(reasons.iter().map(|reason| reason.as_str().into()).collect()));
    report.note(Text::from("Name the gears that were on: ").and(Role::Typed, "--train"));
    let document = data::nothing(request, outcome);
    report.records = Some(data::records(&document));
    report.document = Some(Box::new(document));
    report.answer = YesNo::No;
    report
}
