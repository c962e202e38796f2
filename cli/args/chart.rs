//! What is typed for `check` and `learn`.

use super::Machine;
use super::value::{self, By, own};
use clap::Args as ClapArgs;
use solver::Ratio;
use solver::chart::Measured;
use std::ffi::OsString;
use std::path::PathBuf;

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The chart: CSV with a header, or JSON (`trainwright schema chart`). One row a thread or feed:
  thread,train,lever Range
  11 1/2 tpi,40-*-57,A          * is an idler of any size
  1.25 mm,40-80+63-80,A
  0.1 mm/rev,20-80+20-80,B
or columns tpi, mm, in, module, feed mm, feed in, cross mm; and gears as driving, driven 1, driver 1, driven.
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
    /// Without a chart: the everyday threads and feeds by the fewest different trains. Then what every
    /// other position of the levers cuts with the fitted gears.
    #[arg(long)]
    pub(crate) print: bool,
    /// Print every row, the right ones too
    #[arg(long)]
    pub(crate) long: bool,
}

#[derive(Debug, ClapArgs)]
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
    /// Measured cut; may be given several times
    #[arg(long, value_name = "CUT", allow_hyphen_values = true, value_parser = By(own::<Measured>))]
    pub(crate) measured: Vec<Measured>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) judging: Judging,
    /// File for the completed lathe
    ///
    /// The file is written as that of --output, and only where nothing is left open.
    #[arg(long, value_name = "FILE")]
    pub(crate) complete: Option<PathBuf>,
}

/// How far a chart may be off.
#[derive(Debug, ClapArgs)]
pub(crate) struct Judging {
    /// Tolerance for what the chart says of a thread: 0.2%, 500ppm
    #[arg(
        long,
        value_name = "ERROR",
        default_value = "0.2%",
        value_parser = By(value::approximation)
    )]
    pub(crate) within: Ratio,
    /// Tolerance for what the chart says of a feed
    #[arg(
        long,
        value_name = "ERROR",
        default_value = "1%",
        value_parser = By(value::approximation)
    )]
    pub(crate) feed_within: Ratio,
}
