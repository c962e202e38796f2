//! The words of `reach`.

use super::Machine;
use super::value::{self, By, own, whole};
use clap::{Args as ClapArgs, ValueEnum};
use solver::{Ratio, Target, bounds};

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Each lead stands once, with its best train; beside it the standard threads next to it on both sides.
--from and --to take a pitch (0.5 mm, 40 tpi) or a thread (M6). Where neither is given threads reach
from 0.2 mm to 6.35 mm (4 TPI), feeds from 0.02 mm to 1 mm a turn.
Text, Markdown and HTML show the first rows; CSV and JSON hold all, however many there are.

Examples:
  trainwright reach
  trainwright reach --standard
  trainwright reach --from M4 --to M10 --sort error
  trainwright reach --feeds --format csv --output feeds.csv
  trainwright reach --format svg --output reach.svg")]
pub(crate) struct Reach {
    #[command(flatten)]
    pub(crate) which: Which,
    /// List only leads within the tolerance of a standard thread, and the standard pitches missed
    #[arg(long, conflicts_with_all = ["feeds", "cross"], help_heading = "List")]
    pub(crate) standard: bool,
    /// Tolerance for a standard pitch: 200ppm, 0.02%
    #[arg(
        long,
        value_name = "ERROR",
        default_value = "200ppm",
        conflicts_with_all = ["feeds", "cross"],
        help_heading = "List",
        value_parser = By(value::tolerance)
    )]
    pub(crate) within: Ratio,
    /// Order of the rows
    #[arg(long, value_name = "BY", default_value = "lead", help_heading = "List")]
    pub(crate) sort: Sort,
    /// Rows shown [default: 8, with --long 40; in CSV and JSON all]
    #[arg(
        long,
        short = 'n',
        value_name = "N",
        help_heading = "List",
        value_parser = By(whole::<usize>(&bounds::ANSWERS))
    )]
    pub(crate) count: Option<usize>,
    /// Hand of the threads: right (unless said), left
    #[arg(
        long,
        value_name = "HAND",
        conflicts_with_all = ["feeds", "cross"],
        help_heading = "Search",
        value_parser = value::hand()
    )]
    pub(crate) hand: Option<solver::Hand>,
    /// Most pairs of driving and driven gears, 1 to 4
    ///
    /// With 3 there can be millions of leads: they are counted first.
    #[arg(
        long,
        value_name = "N",
        default_value = "2",
        help_heading = "Search",
        value_parser = By(whole::<usize>(&bounds::MOST_PAIRS))
    )]
    pub(crate) pairs: usize,
    /// Do not check that gears clear the neighbouring shafts
    #[arg(long, help_heading = "Search")]
    pub(crate) no_fit: bool,
    /// Print the standard pitches series by series, and more rows
    #[arg(long, help_heading = "List")]
    pub(crate) long: bool,
    #[command(flatten)]
    pub(crate) machine: Machine,
}

/// Which leads are meant.
#[derive(Debug, ClapArgs)]
pub(crate) struct Which {
    /// Shortest lead: 0.5 mm, 40 tpi, M3
    #[arg(long, value_name = "LEAD", help_heading = "List", value_parser = By(own::<Target>))]
    pub(crate) from: Option<Target>,
    /// Longest lead
    #[arg(long, value_name = "LEAD", help_heading = "List", value_parser = By(own::<Target>))]
    pub(crate) to: Option<Target>,
    /// List longitudinal feeds, not threads
    #[arg(long, conflicts_with = "cross", help_heading = "List")]
    pub(crate) feeds: bool,
    /// List cross feeds, not threads
    #[arg(long, help_heading = "List")]
    pub(crate) cross: bool,
}

/// What comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Sort {
    /// The shortest lead
    #[default]
    Lead,
    /// The least error against a standard thread
    Error,
    /// The fewest gears
    Gears,
}
