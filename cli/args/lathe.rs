//! What is typed for `lathe`.

use super::Machine;
use clap::{Args as ClapArgs, Subcommand};
use std::ffi::OsString;
use std::path::PathBuf;

#[derive(Debug, Clone, PartialEq, Eq, Subcommand)]
pub(crate) enum Lathe {
    /// Describe your lathe: asks, and writes the file
    New(Box<New>),
    /// Show what the program understood of a lathe
    #[command(after_help = "\
Examples:
  trainwright lathe show
  trainwright lathe show --lathe tug --format markdown")]
    Show {
        #[command(flatten)]
        machine: Machine,
    },
    /// Check a lathe file or a gear-set file
    #[command(after_help = "\
Exit code 2 where the file can't be used: the line, what is wrong, what would be right.

Examples:
  trainwright lathe check tug
  trainwright lathe new - --no-input --screw 8tpi --gears 20,40,60 | trainwright lathe check -")]
    Check {
        /// The file, or `-` for the standard input
        #[arg(value_name = "FILE")]
        file: OsString,
    },
}

/// What is known of a lathe that has no file yet.
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(
    next_help_heading = "Answers",
    after_help = "\
On a terminal it asks what no flag has said. At each question an empty line
skips, ? explains how to find out, back goes to the question before, rest skips
all that is left. Elsewhere nothing is asked: flags or a file of answers say it,
at least the lead screw and the gears. A file of answers has one a line, by the
names of the flags:
  name: the lathe under the window
  screw: 8 tpi
  gears: 20x2,25,30,40,50,60,63,80x2

Examples:
  trainwright lathe new --no-input --screw 8tpi --ratio 1 --gears 20x2,30,40,50,60,63,80x2 --studs 1
  trainwright lathe new shed.json --no-input --screw unknown --gears fives-20-100 --name \"the shed\""
)]
pub(crate) struct New {
    /// The file to write; `-` is the standard output
    #[arg(value_name = "FILE", default_value = "lathe.json", help_heading = "Arguments")]
    pub(crate) file: PathBuf,
    /// Take the answers from this file, `-` for the standard input; nothing is asked then
    #[arg(long, value_name = "FILE")]
    pub(crate) answers: Option<PathBuf>,
    /// Say what the lathe is called
    #[arg(long, value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// Give the lead of the lead screw: 8 tpi, 3 mm, unknown
    #[arg(long, value_name = "LEAD", allow_hyphen_values = true)]
    pub(crate) screw: Option<String>,
    /// Give the hand of the lead screw: right, left
    #[arg(long, value_name = "HAND")]
    pub(crate) hand: Option<String>,
    /// Give the starts of the lead screw
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(crate) starts: Option<String>,
    /// Give the turns of the first gear for one of the spindle: 1, 1/2, unknown; or "low=1, high=8"
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    pub(crate) ratio: Option<String>,
    /// Say which way round the first gear turns: same, opposite, unknown
    #[arg(long, value_name = "SENSE")]
    pub(crate) turns: Option<String>,
    /// Give the tumbler's positions: up=same, down=opposite; or no
    #[arg(long, value_name = "POSITIONS")]
    pub(crate) tumbler: Option<String>,
    /// Give the gears: a list such as 20,30x2,127+120, the name of a set, or a file
    #[arg(long, value_name = "FILE|NAME|LIST")]
    pub(crate) gears: Option<String>,
    /// Give the tooth size of all of them: module 1, 20 DP
    #[arg(long, value_name = "SIZE")]
    pub(crate) pitch: Option<String>,
    /// Give their pressure angle in degrees [default: 20]
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub(crate) angle: Option<String>,
    /// Say how many studs can stand on the bracket
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(crate) studs: Option<String>,
    /// Say how many pairs of loose gears can be keyed together
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub(crate) sleeves: Option<String>,
    /// Give a lever of the gearbox, "Range: A=1, B=1/2, C=unknown"; may be given several times
    #[arg(long, value_name = "LEVER")]
    pub(crate) lever: Vec<String>,
    /// Give the train that stands on the machine: 20-80+20-80
    #[arg(long, value_name = "TRAIN")]
    pub(crate) fitted: Option<String>,
    /// Say where the levers stand with it: Range=A
    #[arg(long, value_name = "LEVERS")]
    pub(crate) fitted_levers: Option<String>,
    /// Say where the headstock lever is with it: low; or not sure
    #[arg(long, value_name = "POSITION")]
    pub(crate) fitted_headstock: Option<String>,
    /// Say where the tumbler is with it: up; or not sure
    #[arg(long, value_name = "POSITION")]
    pub(crate) fitted_tumbler: Option<String>,
    /// Say whether there is a half nut: yes, no
    #[arg(long, value_name = "YES|NO")]
    pub(crate) half_nut: Option<String>,
    /// Give the half-nut dial: 16 teeth, 8 lines; or no
    #[arg(long, value_name = "DIAL")]
    pub(crate) dial: Option<String>,
    /// Give what stands beside its lines: 1,,2,,3,,4,
    #[arg(long, value_name = "MARKS")]
    pub(crate) marks: Option<String>,
    /// Say whether the motor can be reversed: yes, no
    #[arg(long, value_name = "YES|NO")]
    pub(crate) reverse: Option<String>,
    /// Give the spindle speeds: 60, 120, 250; or 50 to 1200
    #[arg(long, value_name = "RPM", allow_hyphen_values = true)]
    pub(crate) speeds: Option<String>,
    /// Give the distance of the last shaft's axis from the first's
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) shafts: Option<String>,
    /// Give a slot of the bracket, 34 mm to 70 mm, or a hole, 60 mm; may be given several times
    #[arg(long, value_name = "SLOT", allow_hyphen_values = true)]
    pub(crate) slot: Vec<String>,
    /// Say how far the bracket swings, in degrees: -15 to 75
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub(crate) swing: Option<String>,
    /// Give the nearest that a stud comes to the first shaft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) stud_distance: Option<String>,
    /// Give the radius of the largest hub on the first shaft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) hub_first: Option<String>,
    /// Give the radius of the largest hub, washer or nut on a stud
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) hub_stud: Option<String>,
    /// Give the radius of the largest hub on the last shaft
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) hub_last: Option<String>,
}

impl New {
    /// Whether the lathe is the answer, and no file is written.
    pub(crate) fn is_printed(&self) -> bool {
        self.file.as_os_str() == "-"
    }
}
