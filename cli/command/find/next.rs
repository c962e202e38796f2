//! The next choices beside the chosen set-up: fewer gears, what is closer and does not fit, the next
//! closest; where nothing is near enough, what would help. Three rows at most.

use super::remedies;
use crate::answer::{Entry, Outcome, Request};
use crate::report::{Role, Text};
use crate::words::search::other_hand;
use crate::words::set_up::{error_in_short, named, positions, reasons};
use crate::words::{doubt, verdict};
use solver::Lathe;

/// Rows shown.
const SHOWN: usize = 3;

/// Label and words of each.
pub(super) fn rows(request: &Request, outcome: &Outcome) -> Vec<(&'static str, Text)> {
    let lathe = &request.machine.lathe;
    let chosen = outcome.first_choice();
    let near = chosen.is_some_and(|entry| entry.error.within(&outcome.allowed.part()));
    let set = chosen.map_or_else(Vec::new, |entry| positions(lathe, entry));
    let train = |(label, entry): (&'static str, &Entry)| (label, way(lathe, outcome, &set, entry));
    let fewer = fewer_gears(outcome, chosen).map(train);
    let unfit = outcome.refused.first().map(|entry| ("closer, no fit", unfit(lathe, entry)));
    let said = fewer_gears(outcome, chosen).map(|(_, entry)| entry);
    let next = next_closest(outcome, chosen, said).map(train);
    let help = (!near).then(|| help(request, outcome)).flatten().map(|help| ("would help", help));
    let other = other_hand(outcome).map(|hand| ("other hand", Text::new(Role::Strong, hand)));
    [help, other, fewer, unfit, next].into_iter().flatten().take(SHOWN).collect()
}

/// The closest with fewer gears than the chosen one.
fn fewer_gears<'o>(
    outcome: &'o Outcome,
    chosen: Option<&Entry>,
) -> Option<(&'static str, &'o Entry)> {
    let gears = chosen?.gears();
    let fewer = outcome.trade_off.iter().filter(|entry| entry.gears() < gears);
    let closest = fewer.min_by(|a, b| a.error.compare_size(&b.error))?;
    is_near(outcome, closest).then_some(("fewer gears", closest))
}

/// The closest lead other than the chosen one and the one that is `said` already.
fn next_closest<'o>(
    outcome: &'o Outcome,
    chosen: Option<&Entry>,
    said: Option<&Entry>,
) -> Option<(&'static str, &'o Entry)> {
    let chosen = chosen?;
    let said = |entry: &Entry| said.is_some_and(|said| said.lead == entry.lead);
    let next = outcome.solutions.iter().find(|one| one.lead != chosen.lead && !said(one))?;
    let closer = next.error.compare_size(&chosen.error).is_lt();
    is_near(outcome, next).then_some((if closer { "closer" } else { "next closest" }, next))
}

/// Whether a train cuts the thread or the feed that was asked: else it is of no use to anybody.
fn is_near(outcome: &Outcome, entry: &Entry) -> bool {
    !outcome.is_another(entry) && !entry.is_far_off()
}

/// `70-75-95, Range B: +829 ppm, poor`; of what is set only what differs from the chosen set-up.
fn way(lathe: &Lathe, outcome: &Outcome, set: &[(String, String)], entry: &Entry) -> Text {
    let differs = |position: &(String, String)| !set.contains(position);
    let levers = named(positions(lathe, entry).into_iter().filter(differs).collect());
    let levers = if levers.is_empty() { String::new() } else { format!(", {levers}") };
    let verdict = verdict::in_short(&outcome.allowed, &entry.error);
    let open = if entry.is_too_close() { doubt::in_short(&entry.fit) } else { "" };
    let text = Text::new(Role::Strong, entry.train.to_string())
        .and(Role::Plain, format!("{levers}: {}", error_in_short(&entry.error)));
    let remarks = [verdict, open].into_iter().filter(|remark| !remark.is_empty());
    remarks.fold(text, |text, remark| text.and(Role::Plain, ", ").and(Role::Plain, remark))
}

/// `66-127+40-52, exact: 127 on stud 1 is 3.1 mm short of clearing the cover.`
fn unfit(lathe: &Lathe, entry: &Entry) -> Text {
    let why = reasons(lathe, entry).into_iter().next().map_or_else(String::new, |reason| {
        // Of an overlap the sum is enough.
        let whole = reason.kind != "touch";
        match reason.text.split_once(": ").filter(|_| !whole) {
            Some((short, _)) => format!("{short}."),
            None => reason.text,
        }
    });
    let error = format!(", {}: {why}", error_in_short(&entry.error));
    Text::new(Role::Strong, entry.train.to_string()).and(Role::Plain, error)
}

/// What would make a closer train fit, or one more gear of a size.
fn help(request: &Request, outcome: &Outcome) -> Option<Text> {
    let bracket = request.machine.lathe.parts().bracket.as_ref();
    let remedy = outcome.remedies.first().map(|help| remedies::text(help, bracket));
    let remedy = remedy.or_else(|| remedies::hints(request, outcome).into_iter().next());
    remedy.map(Text::from)
}
