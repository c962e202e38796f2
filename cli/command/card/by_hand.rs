//! Before anything is cut: which way the carriage runs, what turning the spindle by hand shows, and
//! what the scratch pass must measure.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use super::speed::Slowest;
use crate::report::job::{ByHand, Scratch, Slip};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::either;
use solver::scratch_pass::{self, Direction, Slipped, Spindle};
use solver::{Control, Hand, Ratio, Result};
use std::cmp::Ordering;

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
    let hand = either::hand(job.entry)?;
    Some(match scratch_pass::direction(hand, Spindle::Forward) {
        Direction::Headstock => "headstock",
        Direction::Tailstock => "tailstock",
    })
}

/// Hand and direction.
pub(super) fn write_direction(job: &Job<'_>, page: &mut Page) {
    page.section("Direction");
    if let Some(cases) = either::sentences(job.entry, job.lathe().parts().studs)
        && either::hand(job.entry).is_none()
    {
        page.steps(cases);
        page.warning(either::CHECK);
        return;
    }
    match (job.entry.hand, carriage(job)) {
        (Some(hand), Some(toward)) => {
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
            if job.entry.either.is_some() {
                page.warning(either::CHECK);
            }
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
    let scratch = scratch_pass::Scratch::new(job.lead(), 1)?;
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
    scratch_pass::Scratch::new(job.lead(), 1)?.spindle_turns(&screw, 1)
}

/// The check by hand.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn write_by_hand(job: &Job<'_>, by_hand: &ByHand, page: &mut Page) -> Result<()> {
    page.section("Turn it by hand");
    let (slide, close) = match (job.is_across(), job.is_feed()) {
        (true, _) => ("cross slide", "engage the cross feed"),
        (false, true) if job.lathe().parts().feeds.long.is_some() => {
            ("carriage", "engage the feed along")
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
    if job.is_feed() {
        page.note(wrong_way(job));
    }
    if let Some(turns) = turns_for_one_of_the_screw(job)? {
        page.note(one_turn_of_the_screw(&turns));
    }
    Ok(())
}

/// What turns a feed round, as far as this lathe has it.
fn wrong_way(job: &Job<'_>) -> &'static str {
    let parts = job.lathe().parts();
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
    let scratch = scratch_pass::Scratch::new(job.lead(), job.starts())?;
    let grooves = grooves(job.lead().to_f64());
    let slips = slips(job)?.into_iter().map(|slip| slip_of(job, &slip, &scratch, grooves));
    Ok(Some(Scratch {
        grooves,
        length: size::of_lead(&scratch.grooves(grooves)?),
        slips: slips.collect::<Result<_>>()?,
    }))
}

/// What can be wrong on this lathe, the most likely first, as far as the page has room.
fn slips(job: &Job<'_>) -> Result<Vec<Slipped>> {
    let Some(setting) = &job.entry.setting else { return Ok(Vec::new()) };
    let lathe = job.lathe();
    let named = |name: &String| lathe.parts().tumbler.iter().position(|(own, _)| own == name);
    let tumbler = job.entry.tumbler.as_ref().and_then(named);
    let mut slips = Slipped::of(lathe, setting, &job.entry.train, tumbler)?;
    // Which hand is right is an open question there.
    slips.retain(|slip| job.entry.either.is_none() || !is_of_the_hand(slip));
    slips.truncate(MOST_SLIPS);
    Ok(slips)
}

/// Rows that a card has room for.
const MOST_SLIPS: usize = 6;

const fn is_of_the_hand(slip: &Slipped) -> bool {
    matches!(slip.slip, scratch_pass::Slip::Tumbler(_))
}

fn slip_of(
    job: &Job<'_>,
    slip: &Slipped,
    right: &scratch_pass::Scratch,
    grooves: u32,
) -> Result<Slip> {
    Ok(Slip {
        factor: slip.factor(right)?.map(|factor| factor.to_string()).unwrap_or_default(),
        hand: slip.hand.map(|hand| hand.to_string()),
        length: size::of_lead(&slip.scratch(right).grooves(grooves)?),
        what: in_words(job, slip),
        looks_like: slip.looks_like().map(|thread| thread.designation().to_string()),
    })
}

fn in_words(job: &Job<'_>, slipped: &Slipped) -> String {
    use scratch_pass::Slip;
    let lathe = job.lathe();
    let set = |control: Control, at: usize| {
        format!("{} at {}", lathe.control_name(control), lathe.position_name(control, at))
    };
    match slipped.slip {
        Slip::Lever { lever, position } => set(Control::Lever(lever), position),
        Slip::Headstock(at) => set(Control::Headstock, at),
        Slip::Tumbler(at) => set(Control::Tumbler, at),
        Slip::TurnedRound { driven, driver } => {
            format!("{driven} and {driver} the wrong way round")
        }
        Slip::EndsExchanged { first, last } => format!("{first} and {last} exchanged"),
        Slip::PairAsIdler(gear) => format!("the {gear} alone in mesh, as an idler"),
        Slip::Fitted => "the fitted gears left on".into(),
        _ => "another gearing".into(),
    }
}

/// The scratch pass.
pub(super) fn write_scratch(job: &Job<'_>, scratch: &Scratch, slowest: Slowest, page: &mut Page) {
    page.section("Scratch pass");
    let speed = match slowest {
        Slowest::TooFast => "turned by hand".into(),
        _ if job.outruns() => "by hand or at the slowest speed".into(),
        Slowest::Rpm(rpm) => format!("{rpm} rpm"),
        Slowest::Unknown => "slowest speed".into(),
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
    let (same, other): (Vec<&Slip>, Vec<&Slip>) =
        scratch.slips.iter().partition(|slip| slip.length == scratch.length);
    for slip in other {
        let alike = slip.looks_like.as_ref().map(|name| format!(" (pitch of {name})"));
        let what = format!("{}{}", slip.what, alike.unwrap_or_default());
        table.push(row(&slip.length, what.into()));
    }
    page.table(table);
    for slip in same {
        page.note(format!("The carriage runs the other way: {}.", slip.what));
    }
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
