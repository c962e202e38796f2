//! Before anything is cut: which way the carriage runs, what turning the spindle by hand shows, and
//! what the scratch pass must measure.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::report::job::{ByHand, Scratch, Slip};
use crate::report::{Cell, Column, Role, Table, Text};
use solver::scratch::{self, Direction, Spindle};
use solver::{Hand, Ratio, Result};

/// Turns by hand: the fewest of these that move the carriage far enough to be measured.
const TURNS: [u32; 4] = [1, 5, 10, 20];
/// mm that can be measured well with a rule.
const FAR_ENOUGH: f64 = 10.0;

/// How to find out which way the screw turns, in short.
const SENSE_TEST: &str = "Not known, since a sense of turning is not described. Try it: half nut \
    closed, spindle forward by hand: carriage toward the headstock is right hand. If it is wrong, flip \
    the tumbler, or put one idler in or take one out; reversing the motor never changes the hand.";

/// Which way the carriage runs with the spindle forward.
pub(super) fn carriage(job: &Job<'_>) -> Option<&'static str> {
    let hand = job.entry.hand?;
    Some(match scratch::direction(hand, Spindle::Forward) {
        Direction::Headstock => "headstock",
        Direction::Tailstock => "tailstock",
    })
}

/// Hand and direction.
pub(super) fn write_direction(job: &Job<'_>, page: &mut Page) {
    page.section("Direction");
    match (job.entry.hand, carriage(job)) {
        (Some(hand), Some(toward)) => {
            let begins = match hand {
                Hand::Right => "",
                Hand::Left => " Begin in a groove at the headstock end.",
            };
            let text = strong(format!("{} hand", capital(hand))).and(
                Role::Plain,
                format!(
                    ": with the spindle forward the carriage runs toward the {toward}.{begins}"
                ),
            );
            page.note(text);
        }
        _ => page.warning(SENSE_TEST),
    }
}

const fn capital(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "Right",
        Hand::Left => "Left",
    }
}

/// What turning by hand shows.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>) -> Result<ByHand> {
    let mm = |turns: u32| job.lead().to_f64() * f64::from(turns);
    let turns = TURNS.into_iter().find(|turns| mm(*turns) >= FAR_ENOUGH).unwrap_or(20);
    let scratch = scratch::Scratch::new(job.lead(), 1)?;
    let of_screw = turns_for_one_of_the_screw(job)?;
    Ok(ByHand {
        turns,
        travel: size::of_lead(&scratch.travel(turns)?),
        turns_for_one_of_the_screw: of_screw.map(|turns| turns.to_string()),
    })
}

/// Turns of the spindle for one of the lead screw; `None`: not known, or of no use for a feed.
fn turns_for_one_of_the_screw(job: &Job<'_>) -> Result<Option<Ratio>> {
    let Some(screw) = job.screw().filter(|_| !job.is_feed()) else { return Ok(None) };
    scratch::Scratch::new(job.lead(), 1)?.spindle_turns(&screw, 1)
}

/// The check by hand.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn write_by_hand(job: &Job<'_>, by_hand: &ByHand, page: &mut Page) -> Result<()> {
    page.section("Turn it by hand");
    let (slide, close) = match (job.is_across(), job.is_feed()) {
        (true, _) => ("cross slide", "engage the cross feed"),
        (false, true) => ("carriage", "engage the feed along"),
        (false, false) => ("carriage", "close the half nut"),
    };
    let turns =
        if by_hand.turns == 1 { "1 turn".into() } else { format!("{} turns", by_hand.turns) };
    let travel = Text::from(format!("{turns} more: the {slide} must go "))
        .and(Role::Strong, size::both(&by_hand.travel))
        .and(Role::Plain, ".");
    page.steps([
        Text::from(format!(
            "Cover on, still no power: {close}, turn the spindle by hand the way it cuts until the \
             play is out, note where the {slide} stands."
        )),
        travel,
    ]);
    if job.is_feed() {
        page.note(
            "Wrong way? Flip the tumbler or the feed lever, or put one idler in or take one out.",
        );
    }
    if let Some(turns) = turns_for_one_of_the_screw(job)? {
        page.note(one_turn_of_the_screw(&turns));
    }
    Ok(())
}

/// `One turn of the lead screw takes 1 3/4 turns of the spindle.`
fn one_turn_of_the_screw(turns: &Ratio) -> String {
    let turns =
        if turns.denom() <= 16 { size::mixed(turns) } else { format!("{:.3}", turns.to_f64()) };
    format!("One turn of the lead screw takes {turns} turns of the spindle.")
}

/// How many grooves are measured over: the finer, the more.
fn grooves(lead: f64) -> u32 {
    match lead {
        ..0.75 => 20,
        0.75..=5.0 => 10,
        _ => 4,
    }
}

/// What the scratch pass measures.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn scratch(job: &Job<'_>) -> Result<Option<Scratch>> {
    if job.is_feed() {
        return Ok(None);
    }
    let scratch = scratch::Scratch::new(job.lead(), job.starts())?;
    let grooves = grooves(job.lead().to_f64());
    let slips = scratch::Slip::of(&job.entry.train);
    let slips = slips.into_iter().map(|slip| slip_of(slip, &scratch, grooves));
    Ok(Some(Scratch {
        grooves,
        length: size::of_lead(&scratch.grooves(grooves)?),
        slips: slips.collect::<Result<_>>()?,
    }))
}

fn slip_of(slip: scratch::Slip, scratch: &scratch::Scratch, grooves: u32) -> Result<Slip> {
    let wrong = slip.scratch(scratch)?;
    let alike = slip.looks_like(scratch)?.map(|thread| thread.designation().to_string());
    Ok(Slip {
        factor: slip.factor()?.to_string(),
        length: size::of_lead(&wrong.grooves(grooves)?),
        what: in_words(slip),
        looks_like: alike,
    })
}

fn in_words(slip: scratch::Slip) -> String {
    use scratch::Slip;
    match slip {
        Slip::Doubled => "double: a lever or a pair".into(),
        Slip::Halved => "half: a lever or a pair".into(),
        Slip::Longer => "5.83 % long: metric for inch or back".into(),
        Slip::Shorter => "5.51 % short: metric for inch or back".into(),
        Slip::OtherPair { right, wrong, .. } => format!("127 with {wrong}, not {right}"),
        _ => "another gearing".into(),
    }
}

/// The scratch pass.
pub(super) fn write_scratch(
    job: &Job<'_>,
    scratch: &Scratch,
    slowest: Option<u32>,
    page: &mut Page,
) {
    page.section("Scratch pass");
    let speed = match slowest {
        _ if job.outruns() => "by hand or at the slowest speed".into(),
        Some(rpm) => format!("{rpm} rpm"),
        None => "slowest speed".into(),
    };
    let several = if job.starts() > 1 { " (one groove a lead)" } else { "" };
    page.steps([format!(
        "Chuck key and crank out, cover on, {speed}. Touch the work, dials to 0, scratch a line no \
         deeper than 0.05 mm, tool out, stop. Measure from groove to groove{several}:"
    )]);
    let columns = ["grooves", "mm", "in", "then it is"].map(|name| Column::new(name, name, ""));
    let mut table = Table::new(columns.into());
    let row = |length, what: Text| {
        vec![
            Cell::from(scratch.grooves.to_string()),
            Cell::from(size::mm(length)),
            Cell::from(size::inches(length)),
            Cell::Text(what),
        ]
    };
    table.push(row(&scratch.length, Text::new(Role::Good, "right")));
    for slip in &scratch.slips {
        let alike = slip.looks_like.as_ref().map(|name| format!(" (pitch of {name})"));
        let what = format!("{}{}", slip.what, alike.unwrap_or_default());
        table.push(row(&slip.length, what.into()));
    }
    page.table(table);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finer_threads_are_measured_over_more_grooves() {
        assert_eq!([0.5, 0.75, 1.5, 5.0, 6.0].map(grooves), [20, 10, 10, 10, 4]);
    }

    #[test]
    fn turns_of_the_spindle_stay_readable() {
        let of = |text: &str| one_turn_of_the_screw(&text.parse().unwrap());
        assert_eq!(of("127/60"), "One turn of the lead screw takes 2.117 turns of the spindle.");
        assert_eq!(of("7/4"), "One turn of the lead screw takes 1 3/4 turns of the spindle.");
        assert_eq!(
            of("12700/6001"),
            "One turn of the lead screw takes 2.116 turns of the spindle."
        );
    }
}
