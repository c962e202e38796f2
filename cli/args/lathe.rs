//! What is typed for `lathe`.

use super::Machine;
use super::value::{By, own};
use crate::files::Key;
use clap::{Arg, ArgAction, ArgMatches, Args as ClapArgs, Command, FromArgMatches, Subcommand};
use solver::Train;
use std::ffi::OsString;
use std::path::PathBuf;

#[derive(Debug, Subcommand)]
pub(crate) enum Lathe {
    /// Describe your lathe: asks, and writes the file
    New(Box<New>),
    /// Change one answer of the lathe file, or list them all
    Set(SetAnswer),
    /// Show or record what is on the lathe now
    Now(Box<Now>),
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

/// One answer of a lathe file.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The keys are the questions of `trainwright lathe new`. Without words they are
listed with what the file says now: `lathe set gears 20,30,40`. `unknown` leaves
the matter open, `no` says that there is none. `slot.2` is the second of several
slots. All else in the file stays as it was written.

Examples:
  trainwright lathe set --lathe tug
  trainwright lathe new --no-input --screw 8tpi --gears 20,40 && trainwright lathe set screw \"3 mm\"")]
pub(crate) struct SetAnswer {
    /// The question: screw, gears, hand, and so on
    #[arg(value_name = "KEY")]
    pub(crate) key: Option<String>,
    /// The answer, as `lathe new` takes it
    #[arg(value_name = "VALUE", allow_hyphen_values = true)]
    pub(crate) value: Option<String>,
    /// Further words of the answer, where it has no quotes
    #[arg(value_name = "WORD", hide = true)]
    pub(crate) more: Vec<String>,
    /// Lathe file, where it is not the one in force
    #[arg(long, value_name = "FILE")]
    pub(crate) lathe: Option<OsString>,
}

/// What is on the lathe now.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
It is kept beside the lathe's file: lathe.now.json beside lathe.json. What is not named stays as it
was recorded. find, card, buy, book and `table --from-now` start from it; without it from the fitted
set-up. `card ... --done` records what the card mounts.

Examples:
  trainwright lathe now --train 48-64+63-80 --tumbler up
  trainwright lathe now")]
pub(crate) struct Now {
    /// Gears on it, in power-path order: 40-80+63-80
    #[arg(long, value_name = "TRAIN", value_parser = By(own::<Train>))]
    pub(crate) train: Option<Train>,
    /// Lever with its position: Range=B; may be given several times
    #[arg(long, value_name = "LEVER=POSITION")]
    pub(crate) lever: Vec<String>,
    /// Position of the headstock
    #[arg(long, value_name = "POSITION")]
    pub(crate) headstock: Option<String>,
    /// Position of the tumbler: up, down
    #[arg(long, value_name = "POSITION")]
    pub(crate) tumbler: Option<String>,
    /// The fitted set-up is on again
    #[arg(long, conflicts_with_all = ["train", "lever", "headstock", "tumbler"])]
    pub(crate) fitted: bool,
    /// Lathe file, where it is not the one in force
    #[arg(long, value_name = "FILE")]
    pub(crate) lathe: Option<OsString>,
}

impl Now {
    /// Whether some part of a set-up was typed.
    pub(crate) const fn typed(&self) -> bool {
        let others = self.headstock.is_some() || self.tumbler.is_some();
        self.train.is_some() || !self.lever.is_empty() || others
    }
}

/// What is known of a lathe that has no file yet.
#[derive(Debug, ClapArgs)]
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
    /// File of answers, `-` for the standard input; nothing is asked then
    #[arg(long, value_name = "FILE")]
    pub(crate) answers: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) said: Said,
}

/// What flags answer: a flag for each question about a lathe.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Said(pub(crate) Vec<(Key, String)>);

impl clap::Args for Said {
    fn augment_args(command: Command) -> Command {
        command.args(Key::questions().map(|question| {
            let (value, help) = question.flag;
            let action = if question.repeats { ArgAction::Append } else { ArgAction::Set };
            let flag = Arg::new(question.name).long(question.name).value_name(value).help(help);
            flag.action(action).allow_hyphen_values(question.minus)
        }))
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Said {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let said = |key: &Key| {
            let said = matches.get_many::<String>(key.name()).into_iter().flatten();
            said.map(|said| (*key, said.clone())).collect::<Vec<_>>()
        };
        Ok(Self(Key::ALL.iter().flat_map(said).collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl New {
    /// Whether the lathe is the answer, and no file is written.
    pub(crate) fn is_printed(&self) -> bool {
        self.file.as_os_str() == "-"
    }
}
