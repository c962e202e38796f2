//! What a row of a chart may be worth, and how far it may be off.

use super::row::{Printed, Row};
use crate::{Error, Lead, LeadError, Ratio, Result, Setting};

/// The name by which a row may speak of the headstock's positions.
pub const HEADSTOCK: &str = "Headstock";

/// How far a row may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// The maker's approximation of a thread; 0.2 % as a rule (common practice, no source).
    pub thread: Ratio,
    /// How nominal a feed is; 1 % as a rule (common practice, no source).
    pub feed: Ratio,
}

impl Default for Terms {
    fn default() -> Self {
        Self { thread: Ratio::table(1, 500), feed: Ratio::table(1, 100) }
    }
}

impl Terms {
    /// What a row may be off by.
    pub(super) fn of(&self, row: &Row) -> Ratio {
        row.within.unwrap_or(if row.printed.travel().is_feed() { self.feed } else { self.thread })
    }
}

/// What a row is worth.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// It cuts what is printed.
    Exact,
    /// What it cuts rounds to what is printed.
    Rounded,
    /// Off by no more than the maker's approximation.
    Approximate,
    /// Off by more.
    Wrong,
    /// The lathe can't be set so: why.
    Impossible(Error),
    /// A figure of the lathe is not known: which.
    Unknown(Error),
}

impl Verdict {
    /// Whether the row can be trusted.
    pub const fn holds(&self) -> bool {
        matches!(self, Self::Exact | Self::Rounded | Self::Approximate)
    }

    /// What is cut, against what is printed.
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

/// What a row cuts.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Cut {
    /// The lead, or the feed in one turn.
    pub lead: Lead,
    /// Against what is printed.
    pub error: LeadError,
    /// The setting of headstock and levers.
    pub setting: Setting,
    /// Whether the row leaves levers open that matter; the setting is then the one that comes nearest.
    pub levers_open: bool,
}
