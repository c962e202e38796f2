//! `find`: which trains cut this thread, or give this feed?
//!
//! What was typed becomes a request and is answered (`answer.rs`). The answer becomes the page for
//! people (`find/page.rs`, `find/lists.rs`, `find/set_up.rs`), the document and the records for
//! programs (`find/data.rs`) and the pictures (`find/pictures.rs`).

mod data;
mod lists;
mod next;
mod page;
mod pictures;
mod remedies;
mod set_up;

use super::now;
use crate::answer::{Outcome, Request};
use crate::args::{Find, Terms};
use crate::asked::context::{Asks, Context};
use crate::asked::machine::Machine;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::{Answer, Report};
use crate::words::search;

/// Answers `find`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(find: &Find, context: &Context<'_>) -> Result<Report, Failure> {
    let request = asked(find, context)?;
    if context.asks.picture && request.targets.len() > 1 {
        return Err(Failure::new("a picture is of one target, not of several")
            .with_hint("name one target, or --output x.html for all of them"));
    }
    answered(&request, context.asks, context.progress)
}

/// What `find` says of one target, as if nothing else had been typed.
///
/// # Errors
/// If the lathe can't be used for it.
pub(super) fn first_answer(
    machine: Machine,
    target: &str,
    progress: &Progress,
) -> Result<Report, Failure> {
    let request = Request::new(machine, &[target.to_owned()], &Terms::default())?;
    answered(&request, Asks { answers: false, picture: false, drawn: false }, progress)
}

fn asked(find: &Find, context: &Context<'_>) -> Result<Request, Failure> {
    let count = find.count;
    if let Some(rank) = find.rank.filter(|rank| *rank > count) {
        return Err(Failure::new(format!("--rank {rank}: only {count} answers are listed"))
            .with_hint(format!("--count {rank} beside it")));
    }
    let request = Request::new(now::machine(&find.machine, context)?, &find.targets, &find.terms)?;
    Ok(Request {
        count,
        over: find.over,
        all: find.all,
        long: find.long || find.all,
        rank: find.rank,
        ..request
    })
}

fn answered(request: &Request, asks: Asks, progress: &Progress) -> Result<Report, Failure> {
    let outcomes = request.answer(progress)?;
    let mut report = Report::new();
    report.document = Some(Box::new(data::document(request, &outcomes)));
    report.records = Some(data::records(request, &outcomes));
    let shown = pictures::chosen(request, &outcomes)?;
    let drawn = if asks.drawn { &shown[..] } else { &[] };
    let views = pictures::views(request, &outcomes, drawn);
    page::write(request, &outcomes, views, &mut report);
    if asks.picture {
        report.sheets = pictures::sheets(request, &outcomes, &shown);
    }
    report.asides.extend(request.machine.asides());
    report.details = outcomes.iter().map(search::detail).collect();
    if !outcomes.iter().all(Outcome::is_sure) {
        report.answer = Answer::No;
    }
    Ok(report)
}
