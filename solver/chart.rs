//! Is the chart on the machine right, and what does it tell of an unknown lathe?
//!
//! A row of a chart has a printed thread or feed, gears and lever positions. [`check()`] judges each row
//! against a known lathe and names the likeliest slip in a wrong one. [`learn()`] works out the unknown
//! figures of a lathe from the rows and from measured cuts: lead screw, headstock, lever ratios, feeds. It
//! also gives the other possible values, and one measurement that decides between them. [`right()`] gives
//! the figure that a row should print.
//!
//! A printed thread is exact but for the maker's approximation; a feed is rounded to its last digit. The
//! arithmetic is exact: intervals of fractions, swept from end to end.
//!
//! Not known here: files, and what the machine really does. A chart without a contradiction may still
//! belong to another machine.
//!
//! ```
//! use solver::chart::{Gears, Printed, ChartRow, AllowedErrors, Unit, Verdict, check};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
//! let mut gears = GearSet::new();
//! gears.add(Gear::new(Teeth::new(20)?), 1)?;
//! gears.add(Gear::new(Teeth::new(40)?), 1)?;
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("10".parse()?)?))?;
//! let row = ChartRow::new(Printed::new("20", Unit::Tpi, Travel::Thread)?).with_gears(Gears::new("20-40".parse()?));
//! let checked = check(&lathe, &[row], &AllowedErrors::default())?;
//! assert_eq!(checked.rows[0].verdict, Verdict::Exact);
//! # Ok::<(), solver::Error>(())
//! ```

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
pub use check::{Check, CheckedRow, check};
pub use constant::{PossibleValue, RIVALS, Ranking, StandIn};
pub use group::RowGroup;
pub use interval::{Interval, Overlap, sweep};
pub use learn::{Learned, learn};
pub use learned::{Constant, LearnedPosition, What};
pub use measured::{Counted, Measured};
pub use row::{ChartRow, Gears, Printed, Unit};
pub use settle::Settle;
pub use verdict::{AllowedErrors, HEADSTOCK, RowCut, Verdict};

use crate::{Lead, Result};

/// The figure that a row should print for its cut, in its own unit and form; and whether it is
/// exact. `None`: the two differ by a factor of pi.
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
/// If a number is out of range.
pub fn right(printed: &Printed, cut: &Lead) -> Result<Option<(String, bool)>> {
    Ok(printed.value_of(cut)?.map(|value| figure::shown_as(printed, &value)))
}
