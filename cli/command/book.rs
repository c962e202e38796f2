//! `book`: the whole of one lathe in one file, for the phone at the machine and for printing.
//!
//! The set-up of a thread is the one that `find` puts first and the card is for. Threads that share a
//! set-up share its sheet (`book/found.rs`); the sheet and each thread in short come from the card
//! (`card/short.rs`), the chart for the wall from the table. `book/index.rs` puts in order how a thread
//! is looked up; `book/page.rs` has the letters and the records.

mod found;
mod index;
mod page;

use super::{lathe, now, table};
use crate::answer::Request;
use crate::args::{self, value::Sizes};
use crate::asked::context::Context;
use crate::asked::machine::Machine;
use crate::asked::wanted::{self, Wanted};
use crate::failure::Failure;
use crate::report::book::{Book, Chapter, Holds};
use crate::report::{Answer, Block, Report, Role, Text};
use crate::words::cautions;
use crate::words::search::{detail, left_out};
use found::Found;
use solver::Series;
use std::collections::BTreeSet;

/// Answers `book`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(book: &args::Book, context: &Context<'_>) -> Result<Report, Failure> {
    let drawn = context.asks.drawn;
    // A book outlives what is on the lathe today.
    let machine = if book.from_now {
        now::machine(&book.machine, context)?
    } else {
        context.machine(&book.machine)?
    };
    let wanted = wanted::read(&list(book), [""; 2], machine.has_feed())?;
    let targets = wanted.iter().map(|wanted| (wanted.target.clone(), wanted.line.hand)).collect();
    let request = Request::of_list(machine, targets, book.clearance.least())?;
    let mut outcomes = request.answer(context.progress)?;
    let found = Found::of(&request, &wanted, &mut outcomes, drawn)?;
    let mut report = Report::new();
    report.details = outcomes.iter().map(detail).collect();
    let said: BTreeSet<String> = outcomes.iter().flat_map(left_out).collect();
    let doubts: Vec<String> = said.into_iter().collect();
    page::write(&request, &found, &doubts, &mut report);
    report.asides.extend(request.machine.asides());
    if !found.missed.is_empty() || found.is_unsure() {
        report.answer = Answer::No;
    }
    if drawn {
        report.book = Some(Box::new(made(request, wanted, found, &doubts, book.date.clone())?));
    }
    Ok(report)
}

/// What was asked for; where that is nothing, the everyday list.
fn list(book: &args::Book) -> args::Wanted {
    let mut list = book.wanted.clone();
    if book.all_series {
        let all = Series::all().iter();
        let all = all.map(|s| Sizes { text: s.key().to_owned(), value: s, ends: None });
        list.series.extend(all);
    }
    let is_empty = list.targets.is_empty() && list.series.is_empty() && list.list.is_none();
    list.common |= is_empty;
    list
}

/// The book itself.
fn made(
    request: Request,
    wanted: Vec<Wanted>,
    found: Found,
    doubts: &[String],
    date: Option<String>,
) -> Result<Book, Failure> {
    let (name, front) = (request.machine.name().to_owned(), front(&request, doubts));
    let indexes = index::of(&wanted, &found);
    let machine = machine(&request.machine);
    let Found { sheets, missed, threads } = found;
    let mut chapters = Vec::new();
    if !missed.is_empty() {
        chapters
            .push(Chapter { heading: "Not in reach", holds: Holds::Blocks(page::missed(&missed)) });
    }
    let mut lines: Vec<_> = threads.into_iter().map(|thread| (thread.line, thread.entry)).collect();
    lines.dedup_by_key(|(line, _)| *line);
    if !lines.is_empty() {
        let wall = table::wall_of(request.machine, wanted, lines, date)?;
        chapters.push(Chapter { heading: "Wall chart", holds: Holds::Wall(wall) });
    }
    chapters.push(Chapter { heading: "Cautions", holds: Holds::Blocks(all_cautions()) });
    chapters.push(Chapter { heading: "The lathe", holds: Holds::Blocks(machine) });
    Ok(Book { lathe: name, front, indexes, sheets, chapters })
}

/// Which lathe, and what its sheets begin with.
fn front(request: &Request, doubts: &[String]) -> Vec<Block> {
    let machine = &request.machine;
    let begin = match machine.lathe.on_now() {
        Some(now) => Text::from(lathe::fitted(&machine.lathe, now)),
        None => Text::new(Role::Faint, "not described"),
    };
    let label = if machine.lathe.not_as_fitted().is_some() { "on it now" } else { "fitted" };
    let mut blocks = vec![
        Block::Note(machine.line()),
        Block::Facts(vec![(label.to_owned(), begin)]),
        Block::Note(Text::new(Role::Warning, cautions::HANDS)),
    ];
    blocks.extend((!doubts.is_empty()).then(|| Block::Note(page::doubted(doubts))));
    blocks
}

/// Every caution that is not a step of a sheet.
fn all_cautions() -> Vec<Block> {
    let all = [
        cautions::HANDS,
        cautions::SCRATCH,
        cautions::CHUCK,
        cautions::STOP,
        cautions::AT_REST,
        cautions::LIMITS,
    ];
    vec![Block::List(all.into_iter().map(|caution| Text::new(Role::Warning, caution)).collect())]
}

/// What `lathe show` says of it.
fn machine(machine: &Machine) -> Vec<Block> {
    let mut page = Report::new();
    lathe::write(&machine.lathe, machine.name(), &machine.from, &mut page);
    page.blocks
}
