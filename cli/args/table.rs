//! What may be typed behind `table`.

use super::value::{By, whole};
use super::{Clearance, Machine, Wanted};
use clap::{Args as ClapArgs, ValueEnum};
use solver::bounds;

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The page (--output chart.html) hangs on the wall: one side of paper, large letters; on a screen it can be
filtered and sorted. --plan best is for a list that is to be cut one thread after the other.

Examples:
  trainwright table --common --output chart.html
  trainwright table M3 M5 M6 M8 M10 M12 \"0.1 mm/rev\" --plan best
  trainwright table --series metric-coarse --from M3 --to M20 --lathe ketch
  trainwright table --list jobs.txt --within 0.05% --format csv")]
pub(crate) struct Table {
    #[command(flatten)]
    pub(crate) wanted: Wanted,
    /// First size of each series: M3, 1/4, 6mm
    #[arg(long, value_name = "SIZE", requires = "series", help_heading = "List")]
    pub(crate) from: Option<String>,
    /// Last size of each series
    #[arg(long, value_name = "SIZE", requires = "series", help_heading = "List")]
    pub(crate) to: Option<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    /// Order in which the lines are cut
    #[arg(long, value_name = "PLAN", default_value = "chart", help_heading = "Plan")]
    pub(crate) plan: Plan,
    /// Begin with what is on the lathe now (`lathe now`), not with the fitted set-up
    #[arg(long, help_heading = "Plan")]
    pub(crate) from_now: bool,
    /// Most pairs of driving and driven gears, 1 to 3
    #[arg(
        long,
        value_name = "N",
        default_value = "2",
        help_heading = "Plan",
        value_parser = By(whole::<usize>(&bounds::PLANNED_PAIRS))
    )]
    pub(crate) pairs: usize,
    /// Print what every order costs, and what all signs mean
    #[arg(long, help_heading = "Plan")]
    pub(crate) long: bool,
    #[command(flatten)]
    pub(crate) clearance: Clearance,
    /// Paper of the page
    #[arg(long, value_name = "PAPER", default_value = "a4", help_heading = "Page")]
    pub(crate) paper: Paper,
    /// Date printed on the page [default: a line to write it on]
    #[arg(long, value_name = "DATE", help_heading = "Page")]
    pub(crate) date: Option<String>,
}

/// In which order, and so with which trains, the lines are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Plan {
    /// By kind, coarse before fine, as on a wall
    #[default]
    Chart,
    /// As they were given
    Listed,
    /// So that the fewest gears are moved
    Best,
    /// With the fewest different trains
    Fewest,
    /// Each by itself, from the fitted set-up and back to it
    Single,
}

/// Paper of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(crate) enum Paper {
    /// 210 x 297 mm
    #[default]
    A4,
    /// 297 x 420 mm
    A3,
    /// 8 1/2 x 11 in
    Letter,
}
