//! What does turning the spindle by hand show, and what does a scratch pass measure?

use super::SetUp;
use crate::scratch_pass::{self, Direction, Slipped, Spindle, direction};
use crate::slip::Slip;
use crate::{Hand, Lathe, Lead, Ratio, Result, Thread};

/// Turns by hand: the fewest that move the carriage far enough to measure.
const TURNS: [u32; 4] = [1, 5, 10, 20];
/// Least length in mm for a good reading with a rule.
const FAR_ENOUGH: f64 = 10.0;
/// Slips whose measure is shown, the likeliest first.
const MOST_SLIPS: usize = 6;

/// What turning by hand shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ByHand {
    /// Turns of the spindle.
    pub turns: u32,
    /// Travel of the slide.
    pub travel: Lead,
    /// Turns of the spindle for one of the lead screw; `None`: unknown, or a feed.
    pub for_one_of_the_screw: Option<Ratio>,
    /// How the spindle turns in the cut.
    pub spindle: Spindle,
    /// Direction of the carriage in the cut; `None`: unknown, or a feed.
    pub carriage: Option<Direction>,
}

/// What a scratch pass measures.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct ScratchMeasure {
    /// Number of pitches measured.
    pub leads: u32,
    /// Their length.
    pub length: Lead,
    /// Their length if the gearing were wrong, the likeliest slip first.
    pub slips: Vec<Shown>,
}

/// The measure for one slip.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Shown {
    /// The slip.
    pub slip: Slip,
    /// Factor on the lead; `None`: the two differ by a factor of pi.
    pub factor: Option<Ratio>,
    /// The hand that is cut; `None`: unknown.
    pub hand: Option<Hand>,
    /// Length of the same number of pitches.
    pub length: Lead,
    /// A known thread of that pitch.
    pub looks_like: Option<Thread>,
}

impl ByHand {
    /// `screw`: its lead, where a turn of it is useful.
    pub(super) fn of(set_up: &SetUp, screw: Option<Lead>, spindle: Spindle) -> Result<Self> {
        let lead = set_up.lead;
        let far = |turns: &u32| lead.to_f64() * f64::from(*turns) >= FAR_ENOUGH;
        let turns = TURNS.into_iter().find(far).unwrap_or(20);
        let scratch = scratch_pass::ScratchPass::new(lead, 1)?;
        let of_screw = screw.map(|screw| scratch.spindle_turns(&screw, 1)).transpose()?;
        Ok(Self {
            turns,
            travel: scratch.travel(turns)?,
            for_one_of_the_screw: of_screw.flatten(),
            spindle,
            carriage: set_up.settled_hand().map(|hand| direction(hand, spindle)),
        })
    }
}

impl ScratchMeasure {
    pub(super) fn of(lathe: &Lathe, set_up: &SetUp, starts: u8) -> Result<Self> {
        let right = scratch_pass::ScratchPass::new(set_up.lead, starts)?;
        let leads = leads(set_up.lead.to_f64());
        let SetUp { setting, train, tumbler, .. } = set_up;
        let mut slips = Slipped::of(lathe, setting, train, *tumbler)?;
        // The right hand is an open question there.
        let is_of_the_hand = |slip: &Slipped| matches!(slip.slip, Slip::Tumbler(_));
        slips.retain(|slip| set_up.either.is_none() || !is_of_the_hand(slip));
        slips.truncate(MOST_SLIPS);
        let shown = |slip: Slipped| {
            Ok(Shown {
                slip: slip.slip,
                factor: slip.factor(&right)?,
                hand: slip.hand,
                length: slip.scratch(&right).leads(leads)?,
                looks_like: slip.looks_like(),
            })
        };
        Ok(Self {
            leads,
            length: right.leads(leads)?,
            slips: slips.into_iter().map(shown).collect::<Result<_>>()?,
        })
    }
}

/// Number of pitches to measure: more for fine ones.
fn leads(lead: f64) -> u32 {
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
    fn finer_threads_are_measured_over_more_leads() {
        assert_eq!([0.5, 0.75, 1.5, 5.0, 6.0].map(leads), [20, 10, 10, 10, 4]);
    }
}
