//! What a search says of itself in words: what it compared, what it left out, what its answers rest on.

use super::doubt;
use super::figures::plural;
use super::set_up::error_in_short;
use crate::answer::{Entry, Outcome};
use crate::report::number::{Number, grouped};
use crate::report::{Role, Text};
use num_rational::BigRational;
use num_traits::Signed;
use solver::search::Others;
use solver::{Hand, Lathe, Ratio};

/// What `-v` says of one search.
pub(crate) fn detail(outcome: &Outcome) -> String {
    let Some(proof) = &outcome.proof else {
        return format!("{}: one train was judged, nothing was searched", outcome.target.text());
    };
    format!(
        "{}: {} choices of gears in {}, up to {}, {}",
        outcome.target.text(),
        grouped(proof.combinations),
        plural(proof.positions, "lever position"),
        plural(proof.pairs, "gear pair"),
        if outcome.is_all() { "all searched" } else { "not all searched" }
    )
}

/// A part of a lead in ppm, from one per cent on in per cent.
pub(crate) fn part(part: &Ratio) -> String {
    let tolerance = part.to_big();
    let times = |scale: i64| Number::measure(&tolerance * BigRational::from_integer(scale.into()));
    if (&tolerance - BigRational::new(1.into(), 100.into())).is_negative() {
        format!("{} ppm", times(1_000_000).marked())
    } else {
        format!("{} %", times(100).marked())
    }
}

/// What the search left out, for programs: a sentence each.
pub(crate) fn left_out(outcome: &Outcome) -> Vec<String> {
    let Some(proof) = &outcome.proof else { return Vec::new() };
    let mut left_out = doubt::left_out(proof);
    if !proof.complete && proof.settled && !proof.stopped && proof.pairs >= proof.allowed {
        left_out.insert(0, "the search was cut short".to_string());
    }
    left_out
}

/// What was checked of the fit, and what was not.
pub(crate) fn unchecked(lathe: &Lathe, checked: bool) -> String {
    let parts = lathe.parts();
    let fit = if checked && parts.bracket.is_some() {
        "The fit rests on the banjo in the lathe file: check each mesh with a strip of paper."
    } else if checked {
        "Each gear on a stud clears the next shaft; reach not checked: the banjo is not described."
    } else {
        "Neither clearance nor reach was checked (--no-fit)."
    };
    let module = if checked && parts.gears.all().all(|gear| gear.size.is_none()) {
        " Module 1 assumed: no gear says its pitch."
    } else {
        ""
    };
    fit.to_string() + module
}

/// `Left hand would be exact: 20-40-80.`, where the hand asked comes out far worse.
pub(crate) fn other_hand(outcome: &Outcome) -> Option<String> {
    let (entry, asked) = (outcome.other_hand.as_ref()?, outcome.hand?);
    let hand = match asked.other() {
        Hand::Right => "Right",
        Hand::Left => "Left",
    };
    let train = &entry.train;
    Some(if entry.error.is_zero() {
        format!("{hand} hand would be exact: {train}.")
    } else {
        format!("{hand} hand would be closer: {train}, {}.", error_in_short(&entry.error))
    })
}

/// The nearest to what nothing is near enough for; `all`: whether all was searched.
pub(crate) fn nearest(entry: Option<&Entry>, all: bool) -> String {
    match (entry, all) {
        (None, true) => "no train fits at all".to_string(),
        (None, false) => "no train was found, but not all was searched".to_string(),
        (Some(near), _) => {
            let searched = if all { "" } else { ", of what was searched: not all was" };
            format!("the nearest is {}, {}{searched}", near.train, error_in_short(&near.error))
        }
    }
}

/// Who helps where lines of a list are out of reach.
pub(crate) fn what_helps() -> Text {
    Text::new(Role::Typed, "find")
        .and(Role::Plain, " says what would help for one of them, ")
        .and(Role::Typed, "buy")
        .and(Role::Plain, " which gear for the list.")
}

/// How the others are counted in words: `12`, `at least 100,000`.
pub(crate) fn counted(others: Others) -> String {
    let count = grouped(others.count.into());
    if others.at_least { format!("at least {count}") } else { count }
}
