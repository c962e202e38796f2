//! Is a row of a chart right, and how large an error is allowed?

use super::row::{ChartRow, Printed};
use crate::{Error, Lead, LeadError, Ratio, Result, Setting};

/// The name of the headstock's positions in a row.
pub const HEADSTOCK: &str = "Headstock";

/// The allowed error of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AllowedErrors {
    /// The maker's approximation of a thread; usually 0.2 % (common practice, no source).
    pub thread: Ratio,
    /// The approximation of a feed; usually 1 % (common practice, no source).
    pub feed: Ratio,
}

impl Default for AllowedErrors {
    fn default() -> Self {
        Self { thread: Ratio::table(1, 500), feed: Ratio::table(1, 100) }
    }
}

impl AllowedErrors {
    /// The allowed error of a row.
    pub(super) fn of(&self, row: &ChartRow) -> Ratio {
        row.within.unwrap_or(if row.printed.travel().is_feed() { self.feed } else { self.thread })
    }
}

/// The verdict on a row.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// The cut equals the printed figure.
    Exact,
    /// The cut rounds to the printed figure.
    Rounded,
    /// The error is within the maker's approximation.
    Approximate,
    /// The error is larger.
    Wrong,
    /// The lathe has no such setting: the reason.
    Impossible(Error),
    /// A figure of the lathe is unknown: which.
    Unknown(Error),
}

impl Verdict {
    /// Whether the row is right.
    pub const fn holds(&self) -> bool {
        matches!(self, Self::Exact | Self::Rounded | Self::Approximate)
    }

    /// The cut lead against the printed one.
    pub(super) fn of(printed: &Printed, cut: &Lead, within: &Ratio) -> Result<Self> {
        let asked = printed.lead()?;
        let (low, high) = printed.digits()?;
        Ok(if *cut == asked {
            Self::Exact
        } else if printed.half_digit().is_some() && low <= *cut && *cut <= high {
            Self::Rounded
        } else if LeadError::of(cut, &asked).within(within) {
            Self::Approximate
        } else {
            Self::Wrong
        })
    }
}

/// The cut of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct RowCut {
    /// The lead, or the feed in one turn.
    pub lead: Lead,
    /// Error from the printed figure.
    pub error: LeadError,
    /// The setting of headstock and levers.
    pub setting: Setting,
    /// Whether the row leaves levers open that matter; the setting is then the nearest one.
    pub levers_open: bool,
}
