//! Before anything is cut: which way the carriage runs, what turning the spindle by hand shows, and
//! what the scratch pass must measure.

use super::Card;
use super::page::{Page, strong};
use super::undercut;
use crate::report::{Column, Role, Table, Text};
use crate::words::either;
use crate::words::{size, slip};
use solver::job::{ScratchMeasure, Shown, Slowest, Speed};
use solver::scratch_pass::Direction;
use solver::{Hand, Ratio};
use std::cmp::Ordering;

/// How to find out which way the screw turns, in short.
const SENSE_TEST: &str = "Not known, since a sense of turning is not described. Try it: half nut \
    closed, spindle forward by hand: carriage toward the headstock is right hand. If it is wrong, flip \
    the tumbler, or put one idler in or take one out; reversing the motor never changes the hand.";

/// Hand and direction.
pub(super) fn write_direction(card: &Card<'_>, page: &mut Page) {
    page.section("Direction");
    write_hand(card, page);
}

/// The same under another heading.
pub(super) fn write_hand(card: &Card<'_>, page: &mut Page) {
    let cases = card.entry.either.and_then(|either| either::sentences(card.lathe(), either));
    if let Some(cases) = cases
        && card.entry.settled_hand().is_none()
    {
        page.steps(cases);
        page.warning(either::CHECK);
        return;
    }
    match (card.entry.hand, card.job.by_hand.carriage) {
        (Some(_), Some(_)) if card.is_reversed() => {
            undercut::write_reverse(card, page);
            if card.entry.either.is_some() {
                page.warning(either::CHECK);
            }
        }
        (Some(hand), Some(direction)) => {
            let toward = match direction {
                Direction::Headstock => "headstock",
                Direction::Tailstock => "tailstock",
            };
            let begins = match hand {
                Hand::Right => "",
                Hand::Left => {
                    " Begin in the undercut at the headstock end. Reversing the motor does not \
                     change the hand."
                }
            };
            let text = strong(format!("{} hand", capital(hand))).and(
                Role::Plain,
                format!(
                    ": with the spindle forward the carriage runs toward the {toward}.{begins}"
                ),
            );
            page.note(text);
            if card.entry.either.is_some() {
                page.warning(either::CHECK);
            }
        }
        _ => {
            page.warning(SENSE_TEST);
            if card.is_reversed() {
                undercut::write_reverse(card, page);
            }
        }
    }
}

const fn capital(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "Right",
        Hand::Left => "Left",
    }
}

/// The check by hand.
pub(super) fn write_by_hand(card: &Card<'_>, page: &mut Page) {
    let by_hand = &card.job.by_hand;
    page.section("Turn it by hand");
    let (slide, close) = match (card.is_across(), card.is_feed()) {
        (true, _) => ("cross slide", "engage the cross feed"),
        (false, true) if card.lathe().parts().feeds.long.is_some() => {
            ("carriage", "engage the longitudinal feed")
        }
        // Without a feed of its own it is fed by the lead screw.
        (false, _) => ("carriage", "close the half nut"),
    };
    let turns =
        if by_hand.turns == 1 { "1 turn".into() } else { format!("{} turns", by_hand.turns) };
    let travel = Text::from(format!("{turns} more: the {slide} must go "))
        .and(Role::Strong, size::both(&by_hand.travel))
        .and(Role::Plain, ".");
    page.steps([
        Text::from(format!(
            "Cover on, still no power: {close}. Turn the spindle by hand, the way it turns in the cut, \
             until the backlash is out; note where the {slide} is."
        )),
        travel,
    ]);
    if card.is_feed() {
        page.note(wrong_way(card));
    }
    if let Some(turns) = &by_hand.for_one_of_the_screw {
        page.note(one_turn_of_the_screw(turns));
    }
}

/// What turns a feed round, as far as this lathe has it.
fn wrong_way(card: &Card<'_>) -> &'static str {
    let parts = card.lathe().parts();
    let lever = parts.feeds.long.is_some() || parts.feeds.cross.is_some();
    match (!parts.tumbler.is_empty(), lever) {
        (true, true) => {
            "Wrong way? Flip the tumbler or the feed lever, or put one idler in or take one out."
        }
        (true, false) => "Wrong way? Flip the tumbler, or put one idler in or take one out.",
        (false, true) => "Wrong way? Flip the feed lever, or put one idler in or take one out.",
        (false, false) => "Wrong way? Put one idler in or take one out.",
    }
}

/// `One turn of the lead screw takes 1 3/4 turns of the spindle.`
fn one_turn_of_the_screw(turns: &Ratio) -> String {
    let figure =
        if turns.denom() <= 16 { size::mixed(turns) } else { format!("{:.3}", turns.to_f64()) };
    let takes = match turns.cmp(&Ratio::ONE) {
        Ordering::Less => format!("{figure} of a turn"),
        Ordering::Equal => "one turn".to_owned(),
        Ordering::Greater => format!("{figure} turns"),
    };
    format!("One turn of the lead screw takes {takes} of the spindle.")
}

/// The scratch pass.
pub(super) fn write_scratch(
    card: &Card<'_>,
    scratch: &ScratchMeasure,
    speed: &Speed,
    page: &mut Page,
) {
    page.section("Scratch pass");
    let at = match speed.slowest {
        Slowest::TooFast => "turned by hand".into(),
        _ if speed.screw_outruns_spindle => "by hand or at the slowest speed".into(),
        Slowest::Rpm(rpm) => format!("{rpm} rpm"),
        Slowest::Unknown => "slowest speed".into(),
    };
    let leads = if card.target().starts() > 1 { "leads" } else { "pitches" };
    page.steps([format!(
        "Chuck key and crank out, cover on, {at}. Touch the work, dials to 0, scratch a line no \
         deeper than 0.05 mm, tool out, stop. Measure along it:"
    )]);
    let right = (&scratch.length, Text::new(Role::Good, "right"));
    let (same, other): (Vec<&Shown>, Vec<&Shown>) =
        scratch.slips.iter().partition(|slip| slip.length == scratch.length);
    let wrong = other.iter().map(|slip| {
        let alike = slip.looks_like.map(|thread| format!(" (pitch of {})", thread.designation()));
        let what = slip::in_words(card.lathe(), slip.slip);
        (&slip.length, format!("{what}{}", alike.unwrap_or_default()).into())
    });
    let table = Table::of(
        std::iter::once(right).chain(wrong),
        [
            (Column::named(leads, ""), &|_| scratch.leads.to_string().into()),
            (Column::named("mm", ""), &|(length, _)| size::mm(*length).into()),
            (Column::named("in", ""), &|(length, _)| size::inches(*length).into()),
            (Column::named("then it is", ""), &|(_, what)| what.clone().into()),
        ],
    );
    page.table(table);
    for slip in same {
        page.note(format!(
            "The carriage runs the other way: {}.",
            slip::in_words(card.lathe(), slip.slip)
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_of_the_spindle_stay_readable() {
        let of = |text: &str| one_turn_of_the_screw(&text.parse().unwrap());
        assert_eq!(of("127/60"), "One turn of the lead screw takes 2.117 turns of the spindle.");
        assert_eq!(of("7/4"), "One turn of the lead screw takes 1 3/4 turns of the spindle.");
        assert_eq!(of("1"), "One turn of the lead screw takes one turn of the spindle.");
        assert_eq!(of("2"), "One turn of the lead screw takes 2 turns of the spindle.");
        assert_eq!(of("1/8"), "One turn of the lead screw takes 1/8 of a turn of the spindle.");
        assert_eq!(of("50/63"), "One turn of the lead screw takes 0.794 of a turn of the spindle.");
        assert_eq!(
            of("12700/6001"),
            "One turn of the lead screw takes 2.116 turns of the spindle."
        );
    }
}
