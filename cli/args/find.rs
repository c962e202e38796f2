//! What is typed for `find`.

use super::value::{By, own, whole};
use super::{Machine, Terms};
use clap::Args as ClapArgs;
use solver::{Length, bounds};
use std::path::PathBuf;

/// Leads that are listed where nothing was said.
pub(crate) const COUNT: usize = 5;
/// Length over which the error adds up where nothing was said.
pub(crate) const OVER: &str = "25 mm";

#[derive(Debug, ClapArgs)]
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
  trainwright find \"1.25 mm\" --train 40-64+63-80 --format svg")]
pub(crate) struct Find {
    /// Thread or feed wanted, as people say it
    #[arg(required = true, value_name = "TARGET")]
    pub(crate) targets: Vec<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) terms: Terms,
    /// Number of different leads listed
    #[arg(
        long,
        short = 'n',
        value_name = "N",
        default_value_t = COUNT,
        help_heading = "Search",
        value_parser = By(whole::<usize>(&bounds::ANSWERS))
    )]
    pub(crate) count: usize,
    /// Length over which the error is added up
    #[arg(
        long,
        value_name = "LENGTH",
        default_value = OVER,
        help_heading = "Search",
        value_parser = By(own::<Length>)
    )]
    pub(crate) over: Length,
    /// List every arrangement and lever position of each lead
    #[arg(long, help_heading = "Search", conflicts_with = "train")]
    pub(crate) all: bool,
    /// Print all lists: fewest gears, closest leads, what does not fit and why
    #[arg(long)]
    pub(crate) long: bool,
    /// File for a picture of the train on the banjo
    ///
    /// SVG, to scale: the view from the cover end and the view on edge. The file is written as that
    /// of --output. With --format svg the picture is the answer.
    #[arg(long, value_name = "FILE", help_heading = "Picture")]
    pub(crate) drawing: Option<PathBuf>,
    /// Place in the list of the closest, drawn in place of the first choice
    #[arg(
        long,
        value_name = "N",
        conflicts_with = "train",
        help_heading = "Picture",
        value_parser = By(whole::<usize>(&bounds::ANSWERS))
    )]
    pub(crate) rank: Option<usize>,
}
