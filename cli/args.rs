//! What was typed, as values: numbers, lengths and leads are read here (`args/value.rs`), no file is opened.

mod book;
mod buy;
mod card;
mod chart;
mod find;
mod gear;
pub(crate) mod help;
mod lathe;
mod reach;
mod serve;
pub(crate) mod shell;
mod table;
mod threads;
pub(crate) mod value;
mod why;

pub(crate) use book::Book;
pub(crate) use buy::Buy;
pub(crate) use card::{Card, Form, Work};
pub(crate) use chart::{Check, Judging, Learn};
pub(crate) use find::{COUNT, Find, OVER};
pub(crate) use gear::Gear;
pub(crate) use lathe::{Lathe, New, Now, SetAnswer};
pub(crate) use reach::{Reach, Sort, Which};
pub(crate) use serve::{Serve, Share};
pub(crate) use table::{Paper, Plan as Order, Table};
pub(crate) use threads::Threads;
pub(crate) use why::{Seen, Why};

use clap::{Args as ClapArgs, FromArgMatches, Parser, Subcommand, ValueEnum};
use solver::{Lead, LeastClearance, Length, Ratio, Train, bounds};
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use value::{By, Sizes, Typed, own, typed, whole};

/// Change-gear trains for screw-cutting lathes: exact, best first, proven best.
#[derive(Debug, Parser)]
#[command(
    name = "trainwright",
    version,
    subcommand_required = true,
    arg_required_else_help = true,
    disable_help_subcommand = false
)]
pub(crate) struct Args {
    #[command(flatten)]
    pub(crate) output: Output,
    #[command(subcommand)]
    pub(crate) command: Command,
}

impl Args {
    /// Reads what was typed, the name of the program first.
    ///
    /// # Errors
    /// If it can't be, or help was asked for.
    pub(crate) fn read<W: Into<OsString> + Clone>(
        words: impl IntoIterator<Item = W>,
    ) -> Result<Self, clap::Error> {
        Self::from_arg_matches(&minus_is_a_value(help::command()).try_get_matches_from(words)?)
    }
}

/// What begins with a minus is no flag where a value is due: its reader says what is wrong with it.
fn minus_is_a_value(command: clap::Command) -> clap::Command {
    let value = |arg: &clap::Arg| arg.get_long().is_some() && arg.get_action().takes_values();
    let command = command.mut_args(|arg| {
        let value = value(&arg);
        arg.allow_negative_numbers(value)
    });
    command.mut_subcommands(minus_is_a_value)
}

/// Where the answer goes and how it looks; the same for every command.
#[derive(Debug, ClapArgs)]
pub(crate) struct Output {
    /// Choose the form of the answer [default: by the output file's ending, else text]
    #[arg(long, short, global = true, value_name = "FORM", help_heading = "Output")]
    pub(crate) format: Option<Format>,
    /// Write the answer to a file, not to the terminal
    ///
    /// The file is written whole or not at all; one that exists is kept unless --force is given.
    /// Its ending says the form: .txt .json .csv .md .html .svg. `-` is the standard output.
    #[arg(
        id = "output-file",
        long = "output",
        short = 'o',
        global = true,
        value_name = "FILE",
        help_heading = "Output"
    )]
    pub(crate) file: Option<PathBuf>,
    /// Overwrite the output file if it exists
    #[arg(long, global = true, hide_short_help = true, help_heading = "Output")]
    pub(crate) force: bool,
    /// Ask nothing, also on a terminal
    #[arg(long, global = true, hide_short_help = true, help_heading = "Output")]
    pub(crate) no_input: bool,
    /// Say when to colour
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        hide_short_help = true,
        help_heading = "Output"
    )]
    pub(crate) color: Color,
    /// Print the answer and errors only
    #[arg(long, short, global = true, conflicts_with = "verbose", help_heading = "Output")]
    pub(crate) quiet: bool,
    /// Say more about how the answer was found, on stderr
    #[arg(long, short, global = true, action = clap::ArgAction::Count, hide_short_help = true, help_heading = "Output")]
    pub(crate) verbose: u8,
}

/// Form of the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For reading, 80 columns
    Text,
    /// For programs: documented, stable, exact fractions as strings
    Json,
    /// For spreadsheets: one row a record, full figures
    Csv,
    /// For notes and forums
    #[value(alias = "md")]
    Markdown,
    /// For printing and for a phone: one file, pictures inside, no network
    Html,
    /// A picture: of the train to scale (`find`), of all leads (`reach`)
    Svg,
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Color {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    /// Also into a pipe
    Always,
    /// Nowhere
    Never,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Find the trains for a thread or a feed, best first
    Find(Find),
    /// Write the job card: all that the job takes, in the order of the work, on one page
    Card(Box<Card>),
    /// Say which gears are worth buying for a list of threads and feeds
    Buy(Buy),
    /// List every thread or feed that can be cut at all, and the standard pitches that can't
    Reach(Reach),
    /// List the known threads, or name an unknown one
    Threads(Threads),
    /// Name a gear that was measured, give its sizes and its mesh, or check a box of gears
    Gear(Gear),
    /// Choose the gears for a list of threads and feeds so that few have to be swapped; the wall chart
    Table(Table),
    /// Make the book of the lathe: every thread of a list with its set-up, in one file for the phone
    Book(Book),
    /// Judge the chart of a lathe: does each row cut what it says, and what is wrong where not?
    Check(Check),
    /// Learn what nobody knows of a lathe from its chart and from measured cuts
    Learn(Learn),
    /// Say which mistake explains what a scratch pass measures
    Why(Box<Why>),
    /// Serve all of this as pages, for the phone at the lathe
    Serve(Serve),
    /// List the gear sets, demo lathes and charts that come with the program
    Sets(Sets),
    /// Describe your lathe, show or check its file
    #[command(
        subcommand,
        after_help = "\
Examples:
  trainwright lathe new - --no-input --screw 8tpi --gears 20,40,60
  trainwright lathe show --lathe tug
  trainwright lathe check tug"
    )]
    Lathe(Lathe),
    /// Read the guide: describe a lathe, measure the banjo, read a card, files for other programs
    #[command(after_help = "\
Examples:
  trainwright guide
  trainwright guide banjo")]
    Guide {
        /// Which page [default: the list of pages]
        #[arg(value_name = "PAGE")]
        page: Option<String>,
    },
    /// Print the JSON Schema of a file that the program reads or writes
    Schema(Schema),
    /// Say which lathe is in force, and every place that could name one
    #[command(after_help = "\
Examples:
  trainwright config
  trainwright config --lathe tug")]
    Config {
        /// Lathe, as it would be named: a file, `-`, or the name of a demo lathe
        #[arg(long, value_name = "FILE|NAME")]
        lathe: Option<OsString>,
    },
    /// Print the script that completes words for a shell
    #[command(after_help = "\
Examples:
  trainwright completions bash
  trainwright completions fish --output trainwright.fish")]
    Completions {
        /// Which shell
        #[arg(value_name = "SHELL")]
        shell: clap_complete::Shell,
    },
    /// Print the manual page of the program or of one command
    #[command(after_help = "\
Examples:
  trainwright man
  trainwright man lathe check --output trainwright-lathe-check.1")]
    Man {
        /// Which command [default: the whole program]
        #[arg(value_name = "COMMAND")]
        command: Vec<String>,
    },
}

impl Command {
    /// The file that a picture goes to beside the answer.
    pub(crate) fn drawing(&self) -> Option<&Path> {
        match self {
            Self::Find(find) => find.drawing.as_deref(),
            _ => None,
        }
    }

    /// Whether its answer can be a picture.
    pub(crate) const fn draws(&self) -> bool {
        matches!(self, Self::Find(_) | Self::Card(_) | Self::Reach(_) | Self::Table(_))
    }

    /// Whether it talks with the person, so that no line of progress may run across its questions.
    pub(crate) const fn talks(&self) -> bool {
        matches!(self, Self::Lathe(Lathe::New(_)))
    }

    /// Whether what it writes is a text of a kind of its own, whose file may end as it likes.
    pub(crate) fn writes_as_it_is(&self) -> bool {
        match self {
            Self::Schema(_) | Self::Completions { .. } | Self::Man { .. } => true,
            Self::Sets(sets) => sets.name.is_some(),
            Self::Lathe(Lathe::New(new)) => new.is_printed(),
            _ => false,
        }
    }

    /// What names the files that are read; a built-in name and a list of teeth are none.
    pub(crate) fn inputs(&self) -> Vec<&OsStr> {
        let machine = match self {
            Self::Find(find) => Some(&find.machine),
            Self::Card(card) => Some(&card.machine),
            Self::Book(book) => Some(&book.machine),
            Self::Buy(buy) => Some(&buy.machine),
            Self::Reach(reach) => Some(&reach.machine),
            Self::Table(table) => Some(&table.machine),
            Self::Check(check) => Some(&check.machine),
            Self::Learn(learn) => Some(&learn.machine),
            Self::Why(why) => Some(&why.machine),
            Self::Lathe(Lathe::Show { machine }) => Some(machine),
            _ => None,
        };
        let machine = machine.into_iter().flat_map(|machine| [&machine.lathe, &machine.gears]);
        let own = match self {
            Self::Book(book) => book.wanted.list.as_deref(),
            Self::Buy(buy) => buy.wanted.list.as_deref(),
            Self::Table(table) => table.wanted.list.as_deref(),
            Self::Check(check) => check.chart.as_deref(),
            Self::Learn(learn) => learn.chart.as_deref(),
            Self::Gear(gear) => gear.gears.as_deref(),
            Self::Lathe(Lathe::Check { file }) => Some(&**file),
            Self::Lathe(Lathe::Now(now)) => now.lathe.as_deref(),
            Self::Lathe(Lathe::New(new)) => new.answers.as_deref().map(Path::as_os_str),
            _ => None,
        };
        machine.filter_map(|input| input.as_deref()).chain(own).collect()
    }

    /// The argument that names the file that a lathe goes to beside the answer, and the file.
    pub(crate) fn lathe_file(&self) -> Option<(&'static str, &Path)> {
        let (argument, file) = match self {
            Self::Learn(learn) => ("--complete", learn.complete.as_deref()?),
            Self::Lathe(Lathe::New(new)) if !new.is_printed() => ("FILE", &*new.file),
            _ => return None,
        };
        Some((argument, file))
    }
}

/// Which machine the question is about.
#[derive(Debug, Default, ClapArgs)]
pub(crate) struct Machine {
    /// Lathe: a file, `-` for the standard input, or the name of a demo lathe
    ///
    /// Without it: the variable `TRAINWRIGHT_LATHE`, else `lathe.json` in this folder, else in the
    /// configuration folder, else a demo lathe (and the answer says so).
    #[arg(long, value_name = "FILE|NAME", help_heading = "Machine")]
    pub(crate) lathe: Option<OsString>,
    /// Gears: a file, the name of a set, or a list such as 20,25,30x2
    ///
    /// They replace the lathe's own; where no lathe is given --screw is needed too.
    #[arg(long, value_name = "FILE|NAME|LIST", help_heading = "Machine")]
    pub(crate) gears: Option<OsString>,
    /// Lead screw, where no lathe is described: 8tpi, 3mm
    ///
    /// The driving gear then turns as fast as the spindle, either way round; no banjo is assumed.
    #[arg(
        long,
        value_name = "LEAD",
        requires = "gears",
        conflicts_with = "lathe",
        help_heading = "Machine",
        value_parser = By(typed(value::lead))
    )]
    pub(crate) screw: Option<Typed<Lead>>,
    /// Studs that fit on the banjo, 0 to 3
    #[arg(
        long,
        value_name = "N",
        help_heading = "Machine",
        value_parser = By(whole::<u8>(&bounds::STUDS))
    )]
    pub(crate) studs: Option<u8>,
}

/// What a train has to meet; the same for every command that looks for one.
#[derive(Debug, Default, ClapArgs)]
pub(crate) struct Terms {
    /// Tolerance: 200ppm, 0.02%
    #[arg(long, value_name = "ERROR", help_heading = "Search", value_parser = By(value::tolerance))]
    pub(crate) within: Option<Ratio>,
    /// Hand of the thread: right, left
    #[arg(long, value_name = "HAND", help_heading = "Search", value_parser = value::hand())]
    pub(crate) hand: Option<solver::Hand>,
    /// Train to judge, in place of a search: 45-55+50-65
    ///
    /// Its lead, its error, whether it fits and every reason why not; with the lever positions that
    /// come nearest.
    #[arg(long, value_name = "TRAIN", help_heading = "Search", value_parser = By(own::<Train>))]
    pub(crate) train: Option<Train>,
    #[command(flatten)]
    pub(crate) clearance: Clearance,
}

/// Whether it is checked that gears fit; the same for every command that chooses trains.
#[derive(Debug, Default, ClapArgs)]
#[command(next_help_heading = "Search")]
pub(crate) struct Clearance {
    /// Do not check that gears clear the neighbouring shafts
    #[arg(long)]
    pub(crate) no_fit: bool,
    /// Least distance from the tip of a gear on a stud to the next shaft's axis [default: 6.5 mm]
    #[arg(long, value_name = "LENGTH", conflicts_with = "no_fit", value_parser = By(own::<Length>))]
    pub(crate) clearance: Option<Length>,
}

impl Clearance {
    /// The room that a gear on a stud leaves the next shaft; nothing where no fit is checked.
    pub(crate) fn least(&self) -> Option<LeastClearance> {
        let stated = self.clearance.map(|least| LeastClearance::Stated(least.mm()));
        (!self.no_fit).then_some(stated.unwrap_or(LeastClearance::Assumed))
    }
}

/// A list of threads and feeds; the same for every command that takes one.
#[derive(Debug, Clone, ClapArgs)]
pub(crate) struct Wanted {
    /// Thread or feed of the list, as people say it
    #[arg(value_name = "TARGET")]
    pub(crate) targets: Vec<String>,
    /// Series, all of it or some sizes: ba, metric-coarse:M3..M20
    ///
    /// `trainwright threads` lists the words. May be given several times.
    #[arg(long, value_name = "SERIES", help_heading = "List", value_parser = By(value::sizes))]
    pub(crate) series: Vec<Sizes>,
    /// File of more targets, one a line, or `-` for the standard input
    ///
    /// A tolerance of its own may follow a comma: `M10, 0.05%`. Lines that begin with # are
    /// comments.
    #[arg(long, value_name = "FILE", help_heading = "List")]
    pub(crate) list: Option<OsString>,
    /// The everyday list: metric coarse, UNC, UNF, BSW and BSF, and four feeds
    #[arg(long, help_heading = "List")]
    pub(crate) common: bool,
    /// Tolerance for threads: 500ppm, 0.05% [default: a tenth of the class, else 200 ppm]
    #[arg(long, value_name = "ERROR", help_heading = "List", value_parser = By(value::tolerance))]
    pub(crate) within: Option<Ratio>,
    /// Tolerance for feeds [default: 1 %]
    #[arg(long, value_name = "ERROR", help_heading = "List", value_parser = By(value::tolerance))]
    pub(crate) feed_within: Option<Ratio>,
}

/// Hand of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Hand {
    /// Right hand
    #[value(aliases = ["r", "rh", "right-hand", "right-handed", "right hand", "right handed", "righthanded"])]
    Right,
    /// Left hand
    #[value(aliases = ["l", "lh", "left-hand", "left-handed", "left hand", "left handed", "lefthanded"])]
    Left,
}

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  trainwright sets
  trainwright sets fives-20-100
  trainwright sets dinghy-chart --output chart.csv")]
pub(crate) struct Sets {
    /// Show one set or demo lathe gear by gear
    #[arg(value_name = "NAME")]
    pub(crate) name: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ClapArgs)]
#[command(after_help = "\
Examples:
  trainwright schema lathe --output lathe.schema.json
  trainwright schema find")]
pub(crate) struct Schema {
    /// Which file
    #[arg(value_name = "WHICH")]
    pub(crate) which: SchemaOf,
}

/// A file with a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// A lathe file
    Lathe,
    /// A gear-set file
    Gears,
    /// A chart as JSON
    Chart,
    /// What is on a lathe now, the file beside the lathe's
    Now,
    /// What `find --format json` writes
    Find,
    /// What `card --format json` writes
    Card,
    /// What `reach --format json` writes
    Reach,
    /// What `table --format json` writes
    Table,
    /// What `check --format json` writes
    Check,
    /// What `learn --format json` writes
    Learn,
    /// What `buy --format json` writes
    Buy,
    /// What `why --format json` writes
    Why,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arguments_hold_together() {
        help::command().debug_assert();
    }

    #[test]
    fn every_argument_says_what_it_is_and_what_it_takes() {
        fn walk(command: &clap::Command) {
            for arg in command.get_arguments() {
                let name = format!("{} {}", command.get_name(), arg.get_id());
                assert!(arg.get_help().is_some(), "{name} has no help");
                let takes_value = arg.get_action().takes_values();
                assert!(
                    !takes_value || arg.get_value_names().is_some(),
                    "{name} has no value name"
                );
            }
            command.get_subcommands().for_each(walk);
        }
        walk(&help::command());
    }
}
