//! Before anything is cut: what turning the spindle by hand shows, and what the scratch pass measures.

use super::SetUp;
use crate::scratch_pass::{self, Direction, Slip, Slipped, Spindle, direction};
use crate::{Hand, Lathe, Lead, Ratio, Result, Thread};

/// Turns by hand: the fewest of these that move the carriage far enough to be measured.
const TURNS: [u32; 4] = [1, 5, 10, 20];
/// mm that can be measured well with a rule.
const FAR_ENOUGH: f64 = 10.0;
/// Slips that a scratch pass is held against, the most likely first.
const MOST_SLIPS: usize = 6;

/// What turning the spindle by hand shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ByHand {
    /// Turns of the spindle.
    pub turns: u32,
    /// How far the slide goes in them.
    pub travel: Lead,
    /// Turns of the spindle for one of the lead screw; `None`: not known, or a feed.
    pub for_one_of_the_screw: Option<Ratio>,
    /// Which way the carriage runs with the spindle forward; `None`: not known, or a feed.
    pub carriage: Option<Direction>,
}

/// What the scratch pass measures.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Scratch {
    /// From one groove to the one so many further on.
    pub grooves: u32,
    /// What that measures.
    pub length: Lead,
    /// What it would measure if the gearing were wrong, the most likely slip first.
    pub slips: Vec<Shown>,
}

/// What a slip shows.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Shown {
    /// What went wrong.
    pub slip: Slip,
    /// What the lead is multiplied by; `None`: pi lies between them.
    pub factor: Option<Ratio>,
    /// The hand that is cut; `None`: it is not known.
    pub hand: Option<Hand>,
    /// What as many grooves measure.
    pub length: Lead,
    /// A known thread that it would be taken for.
    pub looks_like: Option<Thread>,
}

impl ByHand {
    /// `screw`: its lead, where a turn of it is of use.
    pub(super) fn of(set_up: &SetUp, screw: Option<Lead>) -> Result<Self> {
        let lead = set_up.lead;
        let far = |turns: &u32| lead.to_f64() * f64::from(*turns) >= FAR_ENOUGH;
        let turns = TURNS.into_iter().find(far).unwrap_or(20);
        let scratch = scratch_pass::Scratch::new(lead, 1)?;
        let of_screw = screw.map(|screw| scratch.spindle_turns(&screw, 1)).transpose()?;
        Ok(Self {
            turns,
            travel: scratch.travel(turns)?,
            for_one_of_the_screw: of_screw.flatten(),
            carriage: set_up.settled_hand().map(|hand| direction(hand, Spindle::Forward)),
        })
    }
}

impl Scratch {
    pub(super) fn of(lathe: &Lathe, set_up: &SetUp, starts: u8) -> Result<Self> {
        let right = scratch_pass::Scratch::new(set_up.lead, starts)?;
        let grooves = grooves(set_up.lead.to_f64());
        let SetUp { setting, train, tumbler, .. } = set_up;
        let mut slips = Slipped::of(lathe, setting, train, *tumbler)?;
        // Which hand is right is an open question there.
        let is_of_the_hand = |slip: &Slipped| matches!(slip.slip, Slip::Tumbler(_));
        slips.retain(|slip| set_up.either.is_none() || !is_of_the_hand(slip));
        slips.truncate(MOST_SLIPS);
        let shown = |slip: Slipped| {
            Ok(Shown {
                slip: slip.slip,
                factor: slip.factor(&right)?,
                hand: slip.hand,
                length: slip.scratch(&right).grooves(grooves)?,
                looks_like: slip.looks_like(),
            })
        };
        Ok(Self {
            grooves,
            length: right.grooves(grooves)?,
            slips: slips.into_iter().map(shown).collect::<Result<_>>()?,
        })
    }
}

/// How many grooves are measured over: the finer, the more.
fn grooves(lead: f64) -> u32 {
    match lead {
        ..0.75 => 20,
        0.75..=5.0 => 10,
        _ => 4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finer_threads_are_measured_over_more_grooves() {
        assert_eq!([0.5, 0.75, 1.5, 5.0, 6.0].map(grooves), [20, 10, 10, 10, 4]);
    }
}
