//! `find`: which trains cut this thread, or give this feed?
//!
//! What was typed becomes a request and is answered (`answer.rs`). The answer becomes the page for
//! people (`find/page.rs`, `find/lists.rs`, `find/set_up.rs`), the document and the records for
//! programs (`find/data.rs`) and the pictures (`find/pictures.rs`).

mod data;
mod lists;
mod page;
mod pictures;
mod remedies;
mod set_up;

use crate::answer::{Outcome, Request};
use crate::args::{self, Find};
use crate::asked::machine::Machine;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::{Answer, Report};
use crate::words::search;

/// Answers `find`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(find: &Find, progress: &Progress) -> Result<Report, Failure> {
    answered(&Request::of(find)?, progress)
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
    let words = ["trainwright", "find", target];
    let typed = args::help::of(words).map_err(|e| Failure::from(&e))?;
    let args::Command::Find(find) = &typed.command else { return Ok(Report::new()) };
    answered(&Request::on(find, || Ok(machine))?, progress)
}

fn answered(request: &Request, progress: &Progress) -> Result<Report, Failure> {
    let outcomes = request.answer(progress)?;
    let mut report = Report::new();
    report.document = Some(Box::new(data::document(request, &outcomes)));
    report.records = Some(data::records(request, &outcomes));
    page::write(request, &outcomes, &mut report);
    report.drawings = pictures::all(request, &outcomes)?;
    report.several = outcomes.len() > 1;
    report.asides.extend(request.machine.demo_line());
    report.details = outcomes.iter().map(search::detail).collect();
    if !outcomes.iter().all(Outcome::is_sure) {
        report.answer = Answer::No;
    }
    Ok(report)
}
