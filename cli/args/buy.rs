//! What is typed for `buy`.

use super::value::{self, By, whole};
use super::{Clearance, Machine, Wanted};
use clap::Args as ClapArgs;
use solver::{Teeth, bounds};

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Best is: the most lines of the list within tolerance; then the least error of the worst of these; then
the least sum of their errors. Every choice of sizes is looked at, second gears of a size that you own
too. Exit code 0: every line is reached with what you own or with the best purchase; 1: some line is
not.

Examples:
  trainwright buy 13 tpi 27 tpi
  trainwright buy --series metric-coarse:M3..M12 --up-to 2
  trainwright buy M6 M8 M10 \"0.1 mm/rev\" --from 20 --to 127 --not 113 --not 126
  trainwright buy \"11 1/2 tpi\" --gears 20,24,32,40x2,56,64,80 --screw 16tpi")]
pub(crate) struct Buy {
    #[command(flatten)]
    pub(crate) wanted: Wanted,
    #[command(flatten)]
    pub(crate) machine: Machine,
    /// Most gears bought at once, 1 to 3; fewer are compared too
    #[arg(
        long,
        value_name = "N",
        default_value = "1",
        help_heading = "Purchase",
        value_parser = By(whole::<usize>(&bounds::PURCHASE))
    )]
    pub(crate) up_to: usize,
    /// Fewest teeth of a gear to buy
    #[arg(
        long,
        value_name = "TEETH",
        default_value = "16",
        help_heading = "Purchase",
        value_parser = By(value::teeth)
    )]
    pub(crate) from: Teeth,
    /// Most teeth of a gear to buy
    #[arg(
        long,
        value_name = "TEETH",
        default_value = "130",
        help_heading = "Purchase",
        value_parser = By(value::teeth)
    )]
    pub(crate) to: Teeth,
    /// Size that nobody sells; may be given several times
    #[arg(long, value_name = "TEETH", help_heading = "Purchase", value_parser = By(value::teeth))]
    pub(crate) not: Vec<Teeth>,
    /// Purchases listed for each number of gears
    #[arg(
        long,
        short = 'n',
        value_name = "N",
        default_value = "5",
        help_heading = "Purchase",
        value_parser = By(whole::<usize>(&bounds::ANSWERS))
    )]
    pub(crate) count: usize,
    /// Print what is cut now and every number of gears
    #[arg(long, help_heading = "Purchase")]
    pub(crate) long: bool,
    #[command(flatten)]
    pub(crate) clearance: Clearance,
}
