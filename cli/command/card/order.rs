//! `card --order`: several jobs in one part, on one page, in the order that moves the fewest gears.
//!
//! What is turned comes first, since a thread is cut on a turned blank; then the threads. Each job begins
//! with what the one before has left on the lathe, and the last is followed by the way back.

use super::page::{self, Facts, Page, strong};
use super::{Card, back, by_hand, document, gears, head, undercut, work};
use crate::answer::{Entry, Outcome, Request};
use crate::args;
use crate::asked::context::Context;
use crate::command::now;
use crate::document::Head;
use crate::document::card::order as order_document;
use crate::document::find::Solution;
use crate::document::lead::Target as Asked;
use crate::failure::Failure;
use crate::report::{Answer, Block, Report, Role, Text};
use crate::words::cautions;
use crate::words::figures::plural;
use crate::words::set_up::error_in_short;
use crate::words::size;
use solver::job::Work;
use solver::plan::{Line, Plan, TrainTable};
use solver::{Target, Watch};

/// Fewest and most jobs of a page.
const JOBS: std::ops::RangeInclusive<usize> = 2..=8;

/// Gear pairs of the trains to choose from.
const PAIRS: usize = 2;

/// Answers it.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(card: &args::Card, context: &Context<'_>) -> Result<Report, Failure> {
    let machine = now::machine(&card.machine, context)?;
    let mut request = Request::new(machine, &card.target, &card.terms)?;
    let count = request.targets.len();
    if !JOBS.contains(&count) {
        let (least, most) = (JOBS.start(), JOBS.end());
        let wrong = format!("--order: {} named, it orders {least} to {most}", plural(count, "job"));
        return Err(Failure::wrong(wrong, "trainwright card M20x1.5 \"0.1 mm/rev\" --order"));
    }
    let works = request.targets.iter().map(|(target, _)| said_of(card, target));
    let works: Vec<Work> = works.collect::<Result<_, _>>()?;
    // The table keeps the lathe as it is at the start.
    let lathe = request.machine.lathe.clone();
    let options = request.options().with_pairs(PAIRS);
    let watch = Watch::cancelled_by(context.progress.cancel().flag());
    let table = TrainTable::widened(&lathe, lines(&request), &options, watch)
        .map_err(|e| request.machine.refused(&e))?;
    let missed = missed(&request, &table);
    if !missed.is_empty() {
        return Ok(no_order(&request, missed));
    }
    let is_feed = |at: &usize| request.targets.get(*at).is_some_and(|(t, _)| t.travel().is_feed());
    let feeds: Vec<usize> = (0..count).filter(is_feed).collect();
    let refused = |e| request.machine.refused(&e);
    let plan = table.best_order_after(&feeds).map_err(refused)?;
    let typed = table.as_listed().map_err(refused)?;
    let entries = entries(&table, &plan);
    let asides = request.machine.asides();
    let mut report = written(&mut request, &works, &entries, &plan, &typed)?;
    report.asides.extend(asides);
    Ok(report)
}

/// What was said of the work holds for every thread; of a feed the nose.
fn said_of(card: &args::Card, target: &Target) -> Result<Work, Failure> {
    if !target.travel().is_feed() {
        return work::of(&card.work, target);
    }
    let tip = card.work.nose.map_or(Work::default().tip, solver::cutting::Tip::Nose);
    Ok(Work { tip, ..Work::default() })
}

fn lines(request: &Request) -> Vec<Line> {
    let line = |(target, hand): &(Target, Option<solver::Hand>)| {
        let allowed = request.allowed(target);
        Line::new(target.lead())
            .with_hand(*hand)
            .with_travel(target.travel())
            .with_within(allowed.part())
            .with_at_worst(Some(allowed.at_worst()))
    };
    request.targets.iter().map(line).collect()
}

/// Jobs that no train reaches, as sentences.
fn missed(request: &Request, table: &TrainTable<'_>) -> Vec<String> {
    let name = |at: usize| request.targets.get(at).map_or("", |(target, _)| target.text());
    let none = table.unreachable().map(|(at, near)| match near {
        Some(near) => format!(
            "{}: no train of these gears is near enough; the nearest, {}, is {} off.",
            name(at),
            near.train,
            error_in_short(&near.error)
        ),
        None => format!("{}: no train of these gears can be set up for it.", name(at)),
    });
    let unsure = table.unsure().map(|(at, near)| {
        format!("{}: whether {} fits is too close to call.", name(at), near.train)
    });
    let cancelled = table.unsearched().map(|at| format!("{}: not searched.", name(at)));
    none.chain(unsure).chain(cancelled).collect()
}

fn no_order(request: &Request, reasons: Vec<String>) -> Report {
    let mut report = Report::new();
    report.push(Block::Title("Order of work".to_owned()));
    report.note(Text::new(Role::Warning, "No order."));
    report.push(Block::List(reasons.iter().map(|reason| reason.as_str().into()).collect()));
    report.note("`trainwright find` lists what comes nearest and what would help.");
    report.records = Some(page::records(&report.blocks, &[]));
    let document =
        order_document::Document { head: Head::of(&request.machine), order: None, reasons };
    report.document = Some(Box::new(document::Written::Order(document)));
    report.answer = Answer::No;
    report
}

/// The set-ups of a plan, each with its place among the targets.
fn entries(table: &TrainTable<'_>, plan: &Plan) -> Vec<(usize, Entry)> {
    let entry = |step: &solver::plan::Step| {
        Some((step.line, Entry::of(table.search(step.line)?, &step.solution)?))
    };
    plan.steps.iter().filter_map(entry).collect()
}

/// The page, job by job; each starts from what the one before has left.
fn written(
    request: &mut Request,
    works: &[Work],
    entries: &[(usize, Entry)],
    plan: &Plan,
    typed: &Plan,
) -> Result<Report, Failure> {
    let mut page = Page::default();
    write_head(request, plan, typed, &mut page);
    let blanks = blanks(request, works, entries)?;
    let mut jobs = Vec::new();
    for (place, (line, entry)) in entries.iter().enumerate() {
        let Some(((target, hand), work)) =
            request.targets.get(*line).cloned().zip(works.get(*line))
        else {
            continue;
        };
        let outcome = Outcome::bare(target.clone(), hand, request.allowed(&target));
        // Gears are counted from what is on now.
        let entry = Entry::new(&request.machine.lathe, entry.set_up.clone());
        let card = Card::new(request, &outcome, &entry, work.clone())?;
        // What is turned is done; the threads follow.
        if !card.is_feed() && jobs.iter().all(order_document::Job::is_feed) {
            page.section("Blanks, before the threads");
            page.steps(blanks.clone());
        }
        write_job(&card, &mut page)?;
        let cost = plan.steps.get(place).map(|step| step.cost).unwrap_or_default();
        let solution = Solution::of(request, &outcome.allowed, 1, &entry);
        let whole = document::Card::of(&card.asked, &card.job, solution, back::restores(&card));
        jobs.push(order_document::Job::new(Asked::asked(&outcome), cost, whole));
        if place + 1 == entries.len() {
            back::write(&card, &mut page);
            page.note(format!("{} {}", cautions::CHUCK, cautions::STOP));
            head::write_limits(&card, &mut page);
        }
        let lathe = &request.machine.lathe;
        let after = lathe.set_up_after(&entry.train, &entry.setting, entry.tumbler);
        request.machine.lathe = lathe.clone().holding(after);
    }
    let mut report = page.report;
    report.records = Some(page::records(&report.blocks, &page.whole));
    let order = order_document::Order::new(jobs, plan, typed);
    let head = Head::of(&request.machine);
    let document = order_document::Document { head, order: Some(order), reasons: Vec::new() };
    report.document = Some(Box::new(document::Written::Order(document)));
    Ok(report)
}

/// What each thread is turned or bored to, and its undercut where one was asked for.
fn blanks(
    request: &Request,
    works: &[Work],
    entries: &[(usize, Entry)],
) -> Result<Vec<String>, Failure> {
    let mut steps = Vec::new();
    for (line, entry) in entries {
        let Some(((target, hand), work)) = request.targets.get(*line).zip(works.get(*line)) else {
            continue;
        };
        let outcome = Outcome::bare(target.clone(), *hand, request.allowed(target));
        let card = Card::new(request, &outcome, entry, work.clone())?;
        let name = target.text();
        let blank = card.job.groove.as_ref().and_then(|groove| groove.blank);
        let verb = if card.is_nut() { "bore to" } else { "turn to" };
        steps.extend(blank.map(|of| format!("{name}: {verb} {}.", size::both(&of.across()))));
        if card.job.undercut.is_some() {
            steps.push(format!("{name}: {}", lower(&undercut::step(&card))));
            steps.extend(undercut::place(&card).map(|place| format!("{name}: {}", lower(&place))));
        }
    }
    Ok(steps)
}

/// Behind a colon.
fn lower(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect()
}

/// Which order, and why.
fn write_head(request: &Request, plan: &Plan, typed: &Plan, page: &mut Page) {
    let names = |plan: &Plan| -> Vec<String> {
        let name = |step: &solver::plan::Step| request.targets.get(step.line);
        plan.steps.iter().filter_map(name).map(|(target, _)| target.text().to_string()).collect()
    };
    page.push(Block::Title(format!("Order of work: {}", names(plan).join(", "))));
    for line in request.machine.lines() {
        page.note(line);
    }
    page.warning(cautions::HANDS);
    page.facts(why(request, plan, typed));
}

fn why(request: &Request, plan: &Plan, typed: &Plan) -> Facts {
    let is_thread = |at: usize| request.targets.get(at).is_some_and(|(t, _)| !t.travel().is_feed());
    let lines = |plan: &Plan| plan.steps.iter().map(|step| step.line).collect::<Vec<_>>();
    let turns_first = lines(typed).into_iter().map(is_thread).is_sorted();
    let as_typed = typed.cost.handled;
    let than = match plan.cost.handled < as_typed {
        _ if lines(plan).is_sorted() => ": the order as typed".to_owned(),
        true => format!("; {as_typed} in the order as typed"),
        false if turns_first => format!("; {as_typed} as typed too, with more levers"),
        false => format!("; {as_typed} as typed, with a thread before turning"),
    };
    let back = if plan.back.handled > 0 { ", put back included" } else { "" };
    let moved = match plan.cost.handled {
        0 => strong("none").and(Role::Plain, ": all jobs are cut with what is on"),
        moved => strong(moved.to_string()).and(Role::Plain, format!("{back}{than}")),
    };
    let turning = lines(plan).iter().any(|at| !is_thread(*at));
    let turning = if turning { "turning first; then " } else { "" };
    let proven = if plan.is_proven() {
        "the threads in the order that moves the fewest gears, proven"
    } else {
        "the threads in the best order found, not proven"
    };
    vec![("gears moved", moved), ("why", format!("{turning}{proven}").into())]
}

/// What to change, how the levers are set, and the job in short.
fn write_job(card: &Card<'_>, page: &mut Page) -> Result<(), Failure> {
    page.section(card.target().text());
    // Levers are steps below.
    page.facts(card.in_short()?.into_iter().filter(|(label, _)| *label != "set").collect());
    gears::write_steps(card, Some(ISOLATED), page);
    page.steps(gears::lever_steps(card));
    if !card.is_feed() {
        by_hand::write_hand(card, page);
    }
    page.push(Block::Facts(card.line()));
    if card.job.starts.is_some() {
        let starts = card.target().starts();
        page.note(format!(
            "{starts} starts: the card of this job alone says how the next is reached."
        ));
    }
    if card.asked.work.away {
        page.note(format!("After each pass: tool out, back; {}", undercut::ends_in_it(card)));
    }
    if !card.is_feed() {
        page.note(cautions::SCRATCH);
    }
    Ok(())
}

/// Before a cover is opened between two jobs.
const ISOLATED: &str = "Lathe isolated, half nut open: press start, nothing moves.";
