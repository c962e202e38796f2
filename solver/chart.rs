//! Can the chart on the machine be trusted, and what does it say of a machine that nobody knows?
//!
//! A chart is rows: what is printed, the gears, the lever positions. [`check()`] judges each against a
//! lathe that is known and names the likeliest slip in a wrong one. [`learn()`] finds what is unknown of
//! a lathe - lead screw, headstock, lever ratios, feeds - from the rows and from measured cuts, says
//! what else it could be, and which one measurement would settle it. [`right()`] says what a row should
//! print.
//!
//! A printed thread is meant exactly, give or take the maker's approximation; a feed is a figure
//! rounded to its last digit. All of it is exact: intervals of fractions, swept from end to end.
//!
//! Not known here: files, and what the machine really does. A chart that agrees with itself may still
//! hang on another machine's cover.

#![deny(clippy::float_arithmetic)]

mod blank;
mod cause;
mod check;
mod constant;
mod explain;
mod figure;
mod group;
mod interval;
mod learn;
mod learned;
mod levers;
mod machine;
mod measured;
mod prior;
mod reading;
mod row;
mod settle;
mod share;
mod simplest;
mod standin;
mod unknown;
mod verdict;

pub use blank::blank;
pub use cause::{Cause, Explanation};
pub use check::{Check, Checked, check};
pub use constant::{Candidate, RIVALS, Ranking, StandIn};
pub use group::Group;
pub use interval::{Interval, Overlap, sweep};
pub use learn::{Learned, learn};
pub use learned::{Constant, LearnedPosition, What};
pub use measured::Measured;
pub use row::{Gears, Printed, Row, Unit};
pub use settle::Settle;
pub use verdict::{Cut, HEADSTOCK, Terms, Verdict};

use crate::{Lead, Result};

/// What a row should print for what it cuts, in its own unit and manner; and whether that is all of
/// it. `None`: pi lies between them.
///
/// ```
/// use solver::Travel;
/// use solver::chart::{Printed, Unit, right};
/// let printed = Printed::new("44", Unit::Tpi, Travel::Thread)?;
/// let cut = solver::Lead::from_tpi("22".parse()?)?;
/// assert_eq!(right(&printed, &cut)?, Some(("22".to_owned(), true)));
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If it does not fit.
pub fn right(printed: &Printed, cut: &Lead) -> Result<Option<(String, bool)>> {
    Ok(printed.value_of(cut)?.map(|value| figure::shown_as(printed, &value)))
}
