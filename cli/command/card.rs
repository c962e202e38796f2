//! `card`: all that the job takes, on one page, in the order of the work.
//!
//! The set-up is the one that `find` describes first, another one of its list (`--rank`), or a train of
//! one's own (`--train`); where the work has several starts, the one of them that is indexed most
//! easily. Each section has a file: it works out its figures (the document of JSON) and writes them.
//! A card is only made for what can be set up and cuts the thread that was asked.

mod back;
mod blank;
mod by_hand;
mod choice;
mod depth;
mod error;
mod feed;
mod gears;
mod groove;
mod head;
mod job;
mod nut;
mod page;
mod size;
mod sizes;
mod speed;
mod starts;
mod taper;
mod work;

pub(super) use nut::in_short as dial_in_short;

use super::drawing;
use crate::answer::{self, Entry, Outcome, Request};
use crate::args::{self, Card};
use crate::document::find::Solution;
use crate::document::lead::Target;
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::job::{self as document, Document};
use crate::report::{Answer, Block, Report, Role, Text};
use crate::words::search;
use job::Job;
use page::Page;
use solver::{Result as Solved, bounds};
use work::Work;

/// Answers that are looked at where nothing asks for more.
const USUAL_COUNT: u64 = 5;

/// Answers `card`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(card: &Card, progress: &Progress) -> Result<Report, Failure> {
    let mut request = Request::of(&as_find(card))?;
    let [(target, _)] = &request.targets[..] else {
        let texts: Vec<&str> = request.targets.iter().map(|(target, _)| target.text()).collect();
        return Err(Failure::new(format!(
            "a card is for one job, not for {}",
            texts.join(" and ")
        ))
        .with_hint("one card after the other"));
    };
    let work = Work::of(&card.work, target)?;
    // Of all arrangements the one is taken that is indexed most easily.
    request.all = target.starts() > 1;
    let outcomes = request.answer(progress)?;
    let [outcome] = &outcomes[..] else { return Err(Failure::new("no target")) };
    let refused = |e: solver::Error| request.machine.refused(&e);
    let mut report = match choice::of(&request, outcome)? {
        Ok(entry) => {
            // Where the fitted gears do the same nothing is moved.
            let fitted = answer::fitted_instead(&request, outcome, entry).map_err(refused)?;
            let entry = fitted.as_ref().unwrap_or(entry);
            let job = Job::new(&request, outcome, entry, &work)?;
            written(&job).map_err(refused)?
        }
        Err(reasons) => no_card(&request, outcome, &reasons),
    };
    report.asides.extend(request.machine.demo_line());
    report.details = outcomes.iter().map(search::detail).collect();
    Ok(report)
}

/// The question as `find` would be asked.
fn as_find(card: &Card) -> args::Find {
    args::Find {
        targets: card.target.clone(),
        machine: card.machine.clone(),
        terms: card.terms.clone(),
        count: count(card.rank.as_deref()),
        over: card.work.over.clone().unwrap_or_else(|| "25 mm".into()),
        rank: card.rank.clone(),
        ..args::Find::default()
    }
}

/// How many answers are listed: as many as `--rank` needs. What can't be read is refused later.
fn count(rank: Option<&str>) -> String {
    let rank = rank.and_then(|rank| rank.trim().parse::<u64>().ok());
    rank.unwrap_or(USUAL_COUNT).clamp(USUAL_COUNT, bounds::ANSWERS.high).to_string()
}

/// The sections, and the document that goes with them.
fn written(job: &Job<'_>) -> Solved<Report> {
    let blank = blank::of(job);
    let change = gears::change(job);
    let by_hand = by_hand::of(job)?;
    let scratch = by_hand::scratch(job)?;
    let nut = nut::of(job)?;
    let next = starts::of(job)?;
    let depth = depth::of(job, next.as_ref().is_some_and(starts::Next::takes_the_top_slide))?;
    let sizes = sizes::of(job);
    let error = error::of(job)?;
    let opened = nut.as_ref().is_some_and(nut::Nut::may_open);
    let speed = speed::of(job, opened)?;
    let finest = choice::finest(job)?;
    let feed = feed::of(job, finest.as_ref())?;
    let back = back::of(job);

    let mut page = Page::default();
    head::write(job, error.as_ref(), &mut page);
    if !job.is_feed() {
        blank::write(job, blank.as_ref(), sizes.as_ref(), &mut page);
    }
    head::write_safe(&mut page);
    let drawings = drawing::views(&drawing::subject(job.request, job.outcome, job.entry));
    gears::write(job, change.as_ref(), drawings.len(), &mut page);
    gears::write_levers(job, &mut page);
    if !job.is_feed() {
        by_hand::write_direction(job, &mut page);
    }
    by_hand::write_by_hand(job, &by_hand, &mut page)?;
    if let Some(scratch) = &scratch {
        by_hand::write_scratch(job, scratch, speed::slowest(job, speed.as_ref()), &mut page);
    }
    if let Some(nut) = &nut {
        nut::write(job, nut, &mut page);
    }
    if !job.is_feed() {
        depth::write(job, depth.as_ref(), &mut page);
    }
    sizes::write(job, sizes.as_ref(), depth.as_ref(), &mut page);
    if let Some(next) = &next {
        let widened = depth.as_ref().is_some_and(|depth| depth.slot.is_some());
        starts::write(next, widened, &mut page);
    }
    if let Some(speed) = &speed {
        speed::write(job, speed, &mut page);
    }
    if let Some(feed) = &feed {
        feed::write(job, feed, finest.as_ref(), &mut page);
    }
    back::write(job, back.as_ref(), &mut page);
    head::write_limits(job, &mut page);

    let mut report = page.report;
    report.one_side = true;
    report.records = Some(page::records(&report.blocks, &page.whole));
    report.drawings = drawings;
    let card = document::Card {
        solution: Solution::of(job.request, job.request.rank.unwrap_or(1), job.entry),
        blank,
        change,
        carriage: by_hand::carriage(job),
        by_hand,
        scratch,
        half_nut: nut.map(|nut| nut.facts),
        starts: next.map(|next| next.facts),
        tool: depth,
        sizes,
        error,
        speed,
        feed,
        back,
    };
    report.document = Some(Box::new(document(job.request, job.outcome, Some(card), Vec::new())));
    // Neither yes nor no is no yes.
    if job.entry.is_too_close() {
        report.answer = Answer::No;
    }
    Ok(report)
}

fn document(
    request: &Request,
    outcome: &Outcome,
    card: Option<document::Card>,
    reasons: Vec<String>,
) -> Document {
    Document {
        format: document::FORMAT,
        lathe: request.machine.name().to_string(),
        lathe_from: request.machine.from.clone(),
        target: Target::asked(outcome),
        card,
        reasons,
    }
}

/// What is said where there is nothing to set up.
fn no_card(request: &Request, outcome: &Outcome, reasons: &[String]) -> Report {
    let mut report = Report::new();
    report.push(Block::Title(outcome.target.text().to_string()));
    report.note(Text::new(Role::Warning, "No card."));
    report.push(Block::List(reasons.iter().map(|reason| reason.as_str().into()).collect()));
    report.note("`trainwright find` lists what comes nearest and what would help.");
    report.records = Some(page::records(&report.blocks, &[]));
    report.document = Some(Box::new(document(request, outcome, None, reasons.to_vec())));
    report.answer = Answer::No;
    report
}

/// The set-up, or as sentences why there is none.
type Chosen<'o> = std::result::Result<&'o Entry, Vec<String>>;
