//! Which wrong rows have the same factor of error? They were made for another machine.

use super::interval::{Interval, held, sweep};
use super::machine::Machine;
use super::row::ChartRow;
use super::verdict::{AllowedErrors, RowCut};
use crate::{Lead, Ratio, Result, Travel};

/// Rows with the same factor of error, or rows that agree on a constant of their own.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct RowGroup {
    /// Their indices.
    pub rows: Vec<usize>,
    /// Printed lead over cut lead.
    pub factor: Ratio,
    /// The lead screw (or the feed figure) for which they are right; `None` where the lathe's own is
    /// unknown.
    pub screw: Option<Lead>,
    /// How many of them are then exact.
    pub exact: usize,
}

/// Fewest rows that make a group: two may agree by chance.
const LEAST: usize = 3;

/// The groups among the wrong rows, the largest first; a row is in one group at most. `wrong`: the
/// cut of each row that is not right.
pub(super) fn groups(
    machine: &Machine<'_>,
    rows: &[ChartRow],
    wrong: &[Option<&RowCut>],
    terms: &AllowedErrors,
) -> Result<Vec<RowGroup>> {
    let mut found = Vec::new();
    for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
        let mut offs = Vec::new();
        for (i, (row, wrong)) in rows.iter().zip(wrong).enumerate() {
            let asked = row.printed.travel() == travel;
            if let Some(cut) = wrong.filter(|cut| asked && !cut.lead.has_pi()) {
                offs.extend(held(Off::new(i, row, &cut.lead, terms))?);
            }
        }
        let own = match travel {
            Travel::Thread => machine.lathe.parts().lead_screw.lead,
            Travel::LongFeed => machine.lathe.parts().feeds.long,
            Travel::CrossFeed => machine.lathe.parts().feeds.cross,
        };
        found.extend(taken_out(offs, own)?);
    }
    found.sort_by_key(|group| std::cmp::Reverse(group.rows.len()));
    Ok(found)
}

/// The factor of error of one row.
#[derive(Debug, Clone, Copy)]
struct Off {
    row: usize,
    allowed: Interval,
    exact: Option<Ratio>,
}

impl Off {
    fn new(i: usize, row: &ChartRow, cut: &Lead, terms: &AllowedErrors) -> Result<Self> {
        let exact = row.printed.exactly()?;
        Ok(Self {
            row: i,
            allowed: row.printed.allows(&terms.of(row))?.over(&cut.mm())?,
            exact: exact.map(|lead| lead.over(&cut.mm())).transpose()?,
        })
    }
}

/// The largest group, then the largest of what is left.
fn taken_out(mut offs: Vec<Off>, own: Option<Lead>) -> Result<Vec<RowGroup>> {
    let mut found = Vec::new();
    while let Some(factor) = most_shared(&offs) {
        let (inside, outside): (Vec<Off>, Vec<Off>) =
            offs.into_iter().partition(|off| off.allowed.holds(&factor));
        if inside.len() < LEAST {
            break;
        }
        found.push(RowGroup {
            rows: inside.iter().map(|off| off.row).collect(),
            factor,
            screw: own.map(|own| own.times(&factor)).transpose()?,
            exact: inside.iter().filter(|off| off.exact == Some(factor)).count(),
        });
        offs = outside;
    }
    Ok(found)
}

/// The factor that most rows share: exactly where some do, else the simplest of the largest overlap.
fn most_shared(offs: &[Off]) -> Option<Ratio> {
    let intervals: Vec<Interval> = offs.iter().map(|off| off.allowed).collect();
    let best = sweep(&intervals).into_iter().next()?;
    let mut exact: Vec<Ratio> =
        offs.iter().filter_map(|off| off.exact).filter(|e| best.interval.holds(e)).collect();
    exact.sort_unstable();
    let most = exact.chunk_by(|a, b| a == b).max_by_key(|same| same.len());
    let simplest = || super::simplest::in_order(&best.interval, 1).first().copied();
    most.and_then(|same| same.first().copied()).or_else(simplest)
}
