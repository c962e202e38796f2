//! What is typed for `book`.

use super::{Clearance, Machine, Wanted};
use clap::Args as ClapArgs;

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
One HTML file (--output lathe.html) that needs no network and no program: for the phone at the lathe, or
printed as a booklet on A4 or A5. Each set-up has one sheet, with all threads that it cuts; each is the
one that `find` and `card` choose. A book is used for years: its sheets begin with the fitted set-up.

Examples:
  trainwright book --output lathe.html
  trainwright book --lathe tug --series unc:1/4..1 --series g:1/8..1 --output tug.html
  trainwright book M6 M8 M10 \"0.1 mm/rev\"
  trainwright book --list jobs.txt --format csv")]
pub(crate) struct Book {
    #[command(flatten)]
    pub(crate) wanted: Wanted,
    /// All series that the program knows
    #[arg(long, help_heading = "List")]
    pub(crate) all_series: bool,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) clearance: Clearance,
    /// Begin with what is on the lathe now (`lathe now`), not with the fitted set-up
    #[arg(long, help_heading = "Page")]
    pub(crate) from_now: bool,
    /// Date printed on the page [default: a line to write it on]
    #[arg(long, value_name = "DATE", help_heading = "Page")]
    pub(crate) date: Option<String>,
}
