//! What a purchase rests on: what was compared, what was not, what a bought gear must be.

use super::Request;
use super::answer::{Answer, Round};
use crate::answer::Entry;
use crate::report::number::grouped;
use crate::words::verdict::tolerances;
use crate::words::{doubt, either, figures::plural, search::unchecked};
use solver::Teeth;
use solver::buy::PAIRS;

/// What was compared, what was not, and what a bought gear must be.
pub(super) fn of(request: &Request, answer: &Answer) -> Vec<String> {
    let parts = request.machine.lathe.parts();
    let of = |round: &Round| {
        format!("{} of {}", grouped(round.compared as u128), name(round.gears).to_lowercase())
    };
    let compared = if request.long {
        answer.rounds.iter().map(of).collect::<Vec<_>>().join(", ")
    } else {
        grouped(answer.rounds.iter().map(|round| round.compared as u128).sum())
    };
    let not = request.not.iter().map(Teeth::to_string).collect::<Vec<_>>().join(", ");
    let without = if not.is_empty() { String::new() } else { format!(", without {not}") };
    let sizes = format!("{} to {} teeth{without}", request.from, request.to);
    let verdict = if answer.complete() { "none brings the list closer" } else { "not all were" };
    let limit = tolerances(request.wanted.iter().chain(&request.aside));
    let owned = if request.long { ", sizes that you own too" } else { "" };
    let mut grounds = vec![format!("Compared: {compared}; {sizes}{owned}; {verdict}.")];
    if request.long {
        grounds.push(format!("Near enough: {limit}."));
    }
    if takes_longer(request) && (request.long || request.aside.is_empty()) {
        grounds.push(format!(
            "Purchases are weighed with trains of up to {}; `find` tries more.",
            plural(PAIRS, "gear pair")
        ));
    }
    grounds.extend(doubt::unknown(answer.unknown).map(|unknown| format!("{unknown}.")));
    if request.long || parts.bracket.is_none() || !request.checks_fit() {
        grounds.push(unchecked(&request.machine.lathe, request.checks_fit()));
    }
    grounds.extend(either::meaning(&request.machine.lathe, listed_entries(answer)));
    if !parts.studs_stated {
        grounds
            .push("1 stud is assumed, since the lathe does not say; --studs 2 tries two.".into());
    }
    if answer.best().is_none() {
        return grounds;
    }
    // Common practice, no source.
    grounds.push(
        "A gear that is bought needs the tooth size, pressure angle, width, bore and key of your own."
            .into(),
    );
    grounds
}

/// Whether the lathe takes longer trains than purchases are weighed with.
pub(super) fn takes_longer(request: &Request) -> bool {
    request.machine.lathe.pairs_at_once() >= PAIRS
}

pub(super) fn name(gears: usize) -> &'static str {
    match gears {
        1 => "One gear",
        2 => "Two gears",
        _ => "Three gears",
    }
}

/// What the tables of lines name.
fn listed_entries(answer: &Answer) -> impl Iterator<Item = &Entry> {
    let now = std::iter::once((&answer.now, answer.now.missed()));
    let gains = answer.rounds.iter().filter(|round| round.gains);
    let bought = gains.filter_map(|round| round.offers.first()).map(|best| {
        let lines = best.gained(&answer.now).into_iter().chain(best.closer(&answer.now));
        (&best.served, lines.collect())
    });
    now.chain(bought).flat_map(|(served, lines)| {
        lines.into_iter().filter_map(|at| Some(&served.line(at)?.entry))
    })
}
