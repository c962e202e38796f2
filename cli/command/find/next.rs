//! The next choices beside the chosen set-up: fewer gears, what is closer and does not fit, the next
//! closest; where nothing is near enough, what would help. Three rows at most.

use super::remedies;
use crate::answer::{Entry, Outcome, Request};
use crate::report::{Block, Report, Role, Text};
use crate::words::search::other_hand;
use crate::words::set_up::{error_in_short, levers_in_words, reasons};
use crate::words::{doubt, verdict};
use solver::Lathe;

/// Rows shown.
const SHOWN: usize = 3;

pub(super) fn write(request: &Request, outcome: &Outcome, report: &mut Report) {
    let lathe = &request.machine.lathe;
    let chosen = outcome.first_choice();
    let near = chosen.is_some_and(|entry| entry.error.within(&outcome.allowed.part()));
    let train = |(label, entry): (&'static str, &Entry)| (label, way(lathe, outcome, entry));
    let trains = fewer_gears(outcome, chosen).map(train);
    let unfit = outcome.refused.first().map(|entry| ("closer, no fit", unfit(lathe, entry)));
    let closer = next_closest(outcome, chosen).map(train);
    let help = (!near).then(|| help(request, outcome)).flatten().map(|help| ("would help", help));
    let other = other_hand(outcome).map(|hand| ("other hand", Text::new(Role::Strong, hand)));
    let rows = [help, other, trains, unfit, closer].into_iter().flatten().take(SHOWN);
    let rows: Vec<(String, Text)> = rows.map(|(label, text)| (label.to_owned(), text)).collect();
    if !rows.is_empty() {
        report.push(Block::Facts(rows));
    }
}

/// The closest with fewer gears than the chosen one.
fn fewer_gears<'o>(
    outcome: &'o Outcome,
    chosen: Option<&Entry>,
) -> Option<(&'static str, &'o Entry)> {
    let gears = chosen?.gears();
    let fewer = outcome.trade_off.iter().filter(|entry| entry.gears() < gears);
    let closest = fewer.min_by(|a, b| a.error.compare_size(&b.error))?;
    (!closest.is_far_off()).then_some(("fewer gears", closest))
}

/// The closest lead other than the chosen one.
fn next_closest<'o>(
    outcome: &'o Outcome,
    chosen: Option<&Entry>,
) -> Option<(&'static str, &'o Entry)> {
    let chosen = chosen?;
    let next = outcome.solutions.iter().find(|entry| entry.lead != chosen.lead)?;
    let closer = next.error.compare_size(&chosen.error).is_lt();
    Some((if closer { "closer" } else { "next closest" }, next))
}

/// `70-75-95, Range B: +829 ppm; poor for class 6g: 16 % of its tolerance`.
fn way(lathe: &Lathe, outcome: &Outcome, entry: &Entry) -> Text {
    let levers = levers_in_words(lathe, entry);
    let levers = if levers.is_empty() { String::new() } else { format!(", {levers}") };
    let text = Text::new(Role::Strong, entry.train.to_string());
    if entry.error.is_zero() {
        return text.and(Role::Plain, levers).and(Role::Plain, ": exact");
    }
    let error = format!("{levers}: {}; ", error_in_short(&entry.error));
    let verdict = verdict::in_words(&outcome.allowed, &entry.error);
    let text = text.and(Role::Plain, error);
    let text = verdict.spans().iter().fold(text, |text, span| text.and(span.role, &*span.text));
    if entry.is_too_close() {
        return text.and(Role::Warning, format!("; {}", doubt::in_short(&entry.fit)));
    }
    text
}

/// `66-127+40-52, exact: 127 on stud 1 is 3.1 mm short of clearing the cover.`
fn unfit(lathe: &Lathe, entry: &Entry) -> Text {
    let why = reasons(lathe, entry).into_iter().map(|reason| reason.text).next();
    let why = why.unwrap_or_default();
    let error = format!(", {}: {why}", error_in_short(&entry.error));
    Text::new(Role::Strong, entry.train.to_string()).and(Role::Plain, error)
}

/// What would make a closer train fit, or one more gear of a size.
fn help(request: &Request, outcome: &Outcome) -> Option<Text> {
    let bracket = request.machine.lathe.parts().bracket.as_ref();
    let remedy = outcome.remedies.first().map(|help| remedies::text(help, bracket));
    let remedy = remedy.or_else(|| super::page::hints(request, outcome).into_iter().next());
    remedy.map(Text::from)
}
