//! What is typed for `why`.

use super::value::{self, By, own};
use super::{Clearance, Machine, Terms};
use clap::{Args as ClapArgs, ValueEnum};
use solver::chart::Measured;
use solver::{Hand, Train};

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The set-up is the one that `card` and `find` choose for the target; --train for gears of your own. What was
measured along a scratch, or in turns of the spindle:
  10 pitches = 15.877 mm        10 pitches = 15.88 +- 0.02 mm        20 turns move 32 mm.

Examples:
  trainwright why M10 --seen drunken
  trainwright why M10 LH --hand right
  trainwright why M10 --measured \"10 pitches = 15.877 mm\" --lathe tug")]
pub(crate) struct Why {
    /// Thread or feed wanted, as people say it
    #[arg(required = true, value_name = "TARGET")]
    pub(crate) target: Vec<String>,
    /// What was measured; without `+-` a rule or a caliper is assumed
    #[arg(
        long,
        value_name = "CUT",
        allow_hyphen_values = true,
        required_unless_present_any = ["hand", "seen"],
        help_heading = "What came out",
        value_parser = By(own::<Measured>)
    )]
    pub(crate) measured: Option<Measured>,
    /// Hand that came out: right, left
    #[arg(
        long,
        value_name = "HAND",
        help_heading = "What came out",
        value_parser = value::hand()
    )]
    pub(crate) hand: Option<Hand>,
    /// What is seen on the thread
    #[arg(long, value_name = "WHAT", help_heading = "What came out")]
    pub(crate) seen: Option<Seen>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    /// Train that was meant: 45-55+50-65
    #[arg(long, value_name = "TRAIN", help_heading = "Search", value_parser = By(own::<Train>))]
    pub(crate) train: Option<Train>,
    #[command(flatten)]
    pub(crate) clearance: Clearance,
}

/// What is seen on a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Seen {
    /// Rough, torn flanks
    Torn,
    /// One end larger than the other
    Tapered,
    /// A pitch that wavers within a turn
    Drunken,
    /// Two grooves beside each other
    Double,
}

impl Why {
    /// What the set-up has to meet.
    pub(crate) fn terms(&self) -> Terms {
        let Clearance { no_fit, clearance } = self.clearance;
        Terms {
            train: self.train.clone(),
            clearance: Clearance { no_fit, clearance },
            ..Terms::default()
        }
    }
}
