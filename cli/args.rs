//! What was typed, as plain values: no file is opened here and no number is read.

mod buy;
mod reach;
mod table;

pub(crate) use buy::Buy;
pub(crate) use reach::{Reach, Sort, Which};
pub(crate) use table::{Paper, Plan as Order, Table};

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::path::{Path, PathBuf};

/// Change-gear trains for screw-cutting lathes: exact, best first, proven best.
#[derive(Debug, Parser)]
#[command(
    name = "trainwright",
    version,
    subcommand_required = true,
    arg_required_else_help = true,
    disable_help_subcommand = false,
    after_help = "\
Examples:
  trainwright find \"1.25 mm\"
  trainwright find M10 \"11 1/2 tpi\" --count 3
  trainwright find \"0.1 mm/rev\" --format csv
  trainwright card M10 --output m10.html
  trainwright buy --series metric-coarse:M3..M12
  trainwright threads 19 tpi
  trainwright gear 40 --outside \"52.4 mm\"

Your own lathe: `trainwright lathe new` asks for what it has and writes lathe.json, which is then taken
in its folder. Without one a demo lathe answers.

Exit codes: 0 every question answered; 1 some answer is no; 2 bad input, or the output file exists;
74 output not written; 130 interrupted."
)]
pub(crate) struct Args {
    #[command(flatten)]
    pub(crate) output: Output,
    #[command(subcommand)]
    pub(crate) command: Command,
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
    #[arg(long, global = true, help_heading = "Output")]
    pub(crate) force: bool,
    /// Ask nothing, also on a terminal
    #[arg(long, global = true, help_heading = "Output")]
    pub(crate) no_input: bool,
    /// Say when to colour
    #[arg(
        long,
        global = true,
        value_name = "WHEN",
        default_value = "auto",
        help_heading = "Output"
    )]
    pub(crate) color: Color,
    /// Print the answer and errors only
    #[arg(long, short, global = true, conflicts_with = "verbose", help_heading = "Output")]
    pub(crate) quiet: bool,
    /// Say more about how the answer was found, on stderr
    #[arg(long, short, global = true, action = clap::ArgAction::Count, help_heading = "Output")]
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
    Card(Card),
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
    /// Judge the chart of a lathe: does each row cut what it says, and what is wrong where not?
    Check(Check),
    /// Learn what nobody knows of a lathe from its chart and from measured cuts
    Learn(Learn),
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
    /// Print the JSON Schema of a file that the program reads or writes
    Schema(Schema),
    /// Say which lathe is in force, and where each place that could name one stands
    #[command(after_help = "\
Examples:
  trainwright config
  trainwright config --lathe tug")]
    Config {
        /// Ask as if this lathe were named: a file, `-`, or the name of a demo lathe
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
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
pub(crate) struct Machine {
    /// Take this lathe: a file, `-` for the standard input, or the name of a demo lathe
    ///
    /// Without it: the variable `TRAINWRIGHT_LATHE`, else `lathe.json` in this folder, else in the
    /// configuration folder, else a demo lathe (and the answer says so).
    #[arg(long, value_name = "FILE|NAME", help_heading = "Machine")]
    pub(crate) lathe: Option<OsString>,
    /// Take these gears: a file, the name of a set, or a list such as 20,25,30x2
    ///
    /// They stand in place of the lathe's own; where no lathe is given --screw is needed too.
    #[arg(long, value_name = "FILE|NAME|LIST", help_heading = "Machine")]
    pub(crate) gears: Option<OsString>,
    /// Give the lead screw where no lathe is described: 8tpi, 3mm
    ///
    /// The first gear then turns as fast as the spindle, either way round; no bracket is assumed.
    #[arg(
        long,
        value_name = "LEAD",
        requires = "gears",
        conflicts_with = "lathe",
        help_heading = "Machine"
    )]
    pub(crate) screw: Option<String>,
    /// Say how many studs can stand on the bracket, 0 to 3
    #[arg(long, value_name = "N", help_heading = "Machine", allow_negative_numbers = true)]
    pub(crate) studs: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
Targets: 1.25 mm, 11 1/2 tpi, 0.05 in, M10, M10x1.25, 1/2-13 UNC, 1/4 BSW, 2BA, G 1/2,
  Tr 40x14 (P7) LH, module 1.5, 20 DP worm, 0.1 mm/rev, 0.004 in/rev cross.
  Words that name one target together need no quotes: find 11 1/2 tpi.

Examples:
  trainwright find \"1.25 mm\"
  trainwright find M10 G1/2 --count 3
  trainwright find 11 1/2 tpi --within 200ppm
  trainwright find \"1.25 mm\" --gears 20,30,40,50,60x2,65,127 --screw 8tpi
  trainwright find M10 --drawing train.svg
  trainwright find \"1.25 mm\" --train 40-80+63-80 --format svg")]
pub(crate) struct Find {
    /// Thread or feed wanted, as people say it
    #[arg(required = true, value_name = "TARGET")]
    pub(crate) targets: Vec<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) terms: Terms,
    /// List so many different leads
    #[arg(
        long,
        short = 'n',
        value_name = "N",
        default_value = "5",
        allow_negative_numbers = true,
        help_heading = "Search"
    )]
    pub(crate) count: String,
    /// Give the drift over this length
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "25 mm",
        allow_negative_numbers = true,
        help_heading = "Search"
    )]
    pub(crate) over: String,
    /// List every arrangement and lever position of each lead
    #[arg(long, help_heading = "Search", conflicts_with = "train")]
    pub(crate) all: bool,
    /// Write a picture of the train on the bracket to this file too
    ///
    /// SVG, to scale: the view from the cover end and the view on edge. The file is written as that
    /// of --output. With --format svg the picture is the answer.
    #[arg(long, value_name = "FILE", help_heading = "Picture")]
    pub(crate) drawing: Option<PathBuf>,
    /// Draw this answer of the closest, not the first choice
    #[arg(
        long,
        value_name = "N",
        allow_negative_numbers = true,
        conflicts_with = "train",
        help_heading = "Picture"
    )]
    pub(crate) rank: Option<String>,
}

/// What a train has to meet; the same for every command that looks for one.
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
pub(crate) struct Terms {
    /// Accept no larger error: 200ppm, 0.02%
    #[arg(long, value_name = "ERROR", help_heading = "Search", allow_negative_numbers = true)]
    pub(crate) within: Option<String>,
    /// Cut this hand: right, left
    #[arg(long, value_name = "HAND", help_heading = "Search")]
    pub(crate) hand: Option<Hand>,
    /// Judge this train, don't search: 45-55+50-65
    ///
    /// Its lead, its error, whether it fits and every reason why not; with the lever positions that
    /// come nearest.
    #[arg(long, value_name = "TRAIN", help_heading = "Search")]
    pub(crate) train: Option<String>,
    /// Leave out the check that gears clear the neighbouring shafts
    #[arg(long, help_heading = "Search")]
    pub(crate) no_fit: bool,
    /// Keep this distance between the tip of a gear on a stud and the next shaft's axis
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = "6.5 mm",
        conflicts_with = "no_fit",
        help_heading = "Search"
    )]
    pub(crate) arbor: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
The card is for the set-up that `find` describes first: the fewest gears that are near enough, else the
closest; --rank or --train for another one. --format html (or --output card.html) makes the page that
is printed on one side of A4 or Letter, or read on a phone.

Examples:
  trainwright card M10
  trainwright card M10 --nose 0.1mm --groove 4mm --output m10.html
  trainwright card \"1/2-13 UNC\" --internal --class 3B
  trainwright card \"1.5 mm\" --diameter \"30 mm\" --over \"40 mm\"
  trainwright card \"0.1 mm/rev\" --nose 0.4mm
  trainwright card M10 --train 45-75+63-80")]
pub(crate) struct Card {
    /// Thread or feed wanted, as people say it
    #[arg(required = true, value_name = "TARGET")]
    pub(crate) target: Vec<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) terms: Terms,
    /// Take this answer of the closest, not the first choice
    #[arg(
        long,
        value_name = "N",
        allow_negative_numbers = true,
        conflicts_with = "train",
        help_heading = "Search"
    )]
    pub(crate) rank: Option<String>,
    #[command(flatten)]
    pub(crate) work: Work,
}

/// What is on the lathe: it changes the page, never the gears.
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(next_help_heading = "Work")]
pub(crate) struct Work {
    /// Cut a nut, not a screw
    #[arg(long)]
    pub(crate) internal: bool,
    /// Give the major diameter: over the crests of the screw
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    pub(crate) diameter: Option<String>,
    /// Take the limits of this class: 6g, 6H, 2A, 3B [default: the usual one]
    #[arg(long, value_name = "CLASS")]
    pub(crate) class: Option<String>,
    /// Say which form a thread has that only its pitch names: its included angle [default: 60]
    #[arg(long, value_name = "ANGLE")]
    pub(crate) form: Option<Form>,
    /// Give the nose radius of the tool [default: the root of the form]
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    pub(crate) nose: Option<String>,
    /// Give the width of the flat at the tip of the tool; 0 is a point
    #[arg(long, value_name = "LENGTH", conflicts_with = "nose", allow_negative_numbers = true)]
    pub(crate) flat: Option<String>,
    /// Give the wires that you have for measuring [default: the best ones]
    #[arg(long, value_name = "LENGTH", conflicts_with = "internal", allow_negative_numbers = true)]
    pub(crate) wire: Option<String>,
    /// Take so many passes [default: the first no deeper than 0.25 mm, 16 at most]
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) passes: Option<String>,
    /// Give the length that the mate holds [default: its length of engagement, else 25 mm]
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    pub(crate) over: Option<String>,
    /// Give a spindle speed, turns a minute
    #[arg(long, value_name = "RPM", allow_negative_numbers = true)]
    pub(crate) rpm: Option<String>,
    /// Give the width of the groove that the thread ends in [default: three pitches]
    #[arg(long, value_name = "LENGTH", allow_negative_numbers = true)]
    pub(crate) groove: Option<String>,
    /// Give the seconds that you take to stop
    #[arg(long, value_name = "SECONDS", default_value = "1", allow_negative_numbers = true)]
    pub(crate) reaction: String,
}

/// Form of a thread, by its included angle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    /// ISO metric and unified
    #[value(name = "60")]
    Sixty,
    /// Whitworth, BSF, pipe
    #[value(name = "55")]
    FiftyFive,
    /// British Association
    #[value(name = "47.5")]
    FortySevenAndAHalf,
    /// ISO trapezoidal
    #[value(name = "30")]
    Thirty,
    /// Acme
    #[value(name = "29")]
    TwentyNine,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
The chart: CSV with a header, or JSON (`trainwright schema chart`). One row a thread or feed:
  thread,train,lever Range
  11 1/2 tpi,40-*-57,A          * is an idler of any size
  1.25 mm,40-80+63-80,A
  0.1 mm/rev,20-80+20-80,B
or columns tpi, mm, in, module, feed mm, feed in, cross mm, and gears as first, driven 1, driver 1, last.
Columns of your own names: a line `# columns: STUD = first, SCREW = last` above the header.

Examples:
  trainwright check dinghy-chart --lathe dinghy
  trainwright check --print --lathe tug
  trainwright check dinghy-chart --lathe dinghy --print --format csv")]
pub(crate) struct Check {
    /// The chart: a file, `-` for the standard input, or the name of a built-in one
    #[arg(value_name = "CHART", required_unless_present = "print")]
    pub(crate) chart: Option<OsString>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) judging: Judging,
    /// Print the chart as it should be: what these gears and levers really cut
    ///
    /// Without a chart: the everyday threads and feeds by the fewest different trains, and what every
    /// other position of the levers cuts with the gears that are fitted.
    #[arg(long)]
    pub(crate) print: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
The chart is read as by `check`. What the lathe's file gives as \"unknown\" is learned; without a file
everything is. From a chart alone only the thread that equal gears cut can be known (lead screw times
headstock). A measurement says what was cut, and with which gears:
  10 pitches = 15.9 +- 0.2 mm with 40-40        20 turns move 31.75 mm        16 threads in 1 in

Examples:
  trainwright learn skiff-chart
  trainwright learn skiff-chart --measured \"10 threads in 25.4 mm with 40-40\"
  trainwright learn --gears 40x2,50,60 --screw 8tpi --measured \"10 pitches = 31.8 mm with 40-40\"")]
pub(crate) struct Learn {
    /// The chart: a file, `-` for the standard input, or the name of a built-in one
    #[arg(value_name = "CHART", required_unless_present = "measured")]
    pub(crate) chart: Option<OsString>,
    /// Use this measured cut too; may be given several times
    #[arg(long, value_name = "CUT", allow_hyphen_values = true)]
    pub(crate) measured: Vec<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) judging: Judging,
    /// Write the completed lathe to this file too
    ///
    /// The file is written as that of --output, and only where nothing is left open.
    #[arg(long, value_name = "FILE")]
    pub(crate) complete: Option<PathBuf>,
}

/// How far a chart may be off.
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
pub(crate) struct Judging {
    /// Take so much for the maker's approximation of a thread: 0.2%, 500ppm
    #[arg(long, value_name = "ERROR", default_value = "0.2%", allow_negative_numbers = true)]
    pub(crate) within: String,
    /// Take a feed for nominal by so much
    #[arg(long, value_name = "ERROR", default_value = "1%", allow_negative_numbers = true)]
    pub(crate) feed_within: String,
}

/// A list of threads and feeds; the same for every command that takes one.
#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
pub(crate) struct Wanted {
    /// Thread or feed of the list, as people say it
    #[arg(value_name = "TARGET")]
    pub(crate) targets: Vec<String>,
    /// Take the threads of a series, all or those of some sizes: ba, metric-coarse:M3..M20
    ///
    /// `trainwright threads` lists the words. May be given several times.
    #[arg(long, value_name = "SERIES", help_heading = "List")]
    pub(crate) series: Vec<String>,
    /// Take the targets of this file too, one a line, or `-` for the standard input
    ///
    /// A tolerance of its own may stand behind a comma: `M10, 0.05%`. Lines that begin with # are
    /// comments.
    #[arg(long, value_name = "FILE", help_heading = "List")]
    pub(crate) list: Option<OsString>,
    /// Take the everyday list: metric coarse, UNC, UNF, BSW and BSF, and four feeds
    #[arg(long, help_heading = "List")]
    pub(crate) common: bool,
    /// Accept no larger error of a thread: 200ppm, 0.02%
    #[arg(
        long,
        value_name = "ERROR",
        default_value = "200ppm",
        help_heading = "List",
        allow_negative_numbers = true
    )]
    pub(crate) within: String,
    /// Accept no larger error of a feed
    #[arg(
        long,
        value_name = "ERROR",
        default_value = "1%",
        help_heading = "List",
        allow_negative_numbers = true
    )]
    pub(crate) feed_within: String,
}

/// Hand of a thread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Hand {
    /// Right hand
    Right,
    /// Left hand
    Left,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
Examples:
  trainwright threads m10
  trainwright threads 19 tpi
  trainwright threads 1.0..1.1mm
  trainwright threads 13.1 mm 19 tpi      a thread that was measured: nearest first")]
pub(crate) struct Threads {
    /// What to look for: a name, a diameter, a pitch, a range of pitches; nothing: the series
    #[arg(value_name = "WORDS")]
    pub(crate) words: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
#[command(after_help = "\
Three questions:
  which gear is this?       teeth and --outside; with --pitch: is it what it should be?
  how big, how do they run? teeth and --pitch; gears side by side are meshed in that order
  is the box right?         no teeth: each gear whose entry has \"outside\" is checked

--outside is what a caliper reads over two tips. With an odd count no tip stands opposite another
and the caliper reads less than the diameter: that is allowed for, unless --circle is given.

Examples:
  trainwright gear 40 --outside \"52.4 mm\"
  trainwright gear 40 --outside 2.1in --pitch \"20 DP\"
  trainwright gear 20 60 --pitch \"module 1\"
  trainwright gear 20 60 --pitch \"20 DP\" --angle 14.5 --centres \"50.9 mm\"
  trainwright gear --gears fives-20-100")]
pub(crate) struct Gear {
    /// Teeth, counted; several: each meshes with the next
    #[arg(value_name = "TEETH", allow_negative_numbers = true)]
    pub(crate) teeth: Vec<String>,
    /// Give the diameter over the tips as it was measured
    #[arg(long, value_name = "LENGTH", requires = "teeth", allow_negative_numbers = true)]
    pub(crate) outside: Option<String>,
    /// Take --outside as the circle through all tips, not as a caliper reads it
    #[arg(long, requires = "outside")]
    pub(crate) circle: bool,
    /// Give the tooth size: module 1, 20 DP
    #[arg(long, value_name = "SIZE", requires = "teeth")]
    pub(crate) pitch: Option<String>,
    /// Give the pressure angle in degrees [default: 20]
    #[arg(long, value_name = "DEGREES", requires = "pitch", allow_negative_numbers = true)]
    pub(crate) angle: Option<String>,
    /// Set two gears so far apart, axis to axis [default: pitch circles touch]
    #[arg(
        long,
        value_name = "LENGTH",
        requires = "pitch",
        conflicts_with = "outside",
        allow_negative_numbers = true
    )]
    pub(crate) centres: Option<String>,
    /// Check the gears of this lathe: a file, `-`, or the name of a demo lathe
    #[arg(long, value_name = "FILE|NAME", conflicts_with = "teeth")]
    pub(crate) lathe: Option<OsString>,
    /// Check these gears: a file, `-`, the name of a set, or a list
    #[arg(long, value_name = "FILE|NAME|LIST", conflicts_with_all = ["teeth", "lathe"])]
    pub(crate) gears: Option<OsString>,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, ClapArgs)]
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
    /// Give the turns of the first gear for one of the spindle: 1, 1/2, unknown
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
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_hold_together() {
        Args::command().debug_assert();
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
        walk(&Args::command());
    }
}
