//! Which constant do most rows agree on, and which others are close?
//!
//! A candidate is a constant that some row implies exactly, or the simplest fraction of a stretch
//! where most rows overlap. Points count against it as bits of a message (minimum description
//! length; the weights are ours): bits to name the constant, and bits to name the rows that it does
//! not explain. Fewest points win. Twelve points more are a chance of one in four thousand: no
//! rival.

use super::interval::{Interval, sweep};
use super::reading::Reading;
use super::standin::{self, is_stand_in};
use crate::{Ratio, Result};

/// What one row tells of an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Says {
    /// The values that it allows.
    pub(super) allowed: Interval,
    /// Its value if the row is exact.
    pub(super) exact: Option<Ratio>,
}

impl Says {
    /// The same for the unknown, once a factor beside it is known.
    pub(super) fn over(&self, factor: &Ratio) -> Result<Self> {
        Ok(Self {
            allowed: self.allowed.over(factor)?,
            exact: self.exact.map(|exact| exact.over(factor)).transpose()?,
        })
    }
}

/// Stretches that are searched.
const STRETCHES: usize = 6;
/// Most exact constants of rows that are tried, the most frequent first.
const IMPLIED: usize = 48;
/// Most rivals kept.
pub const RIVALS: usize = 5;
/// Points that rule out a rival.
const CLEAR: u32 = 12;
/// Points for a value that differs from one known from elsewhere.
const ELSEWHERE: u32 = 6;
/// Points for a row that a constant does not explain.
const OUTSIDE: u32 = 8;
/// Most points for rows with the same error by a stand-in for a 127. The slip is one of a dozen and
/// counts once, however many rows have it.
const STAND_IN: u32 = 9;
/// Points where all rows have the error of a stand-in, but beyond what is allowed: three rows
/// outside.
const FAR: u32 = 24;
/// Points for a measurement that it contradicts.
const CONTRADICTED: u32 = 100;

/// A possible value of an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct PossibleValue {
    /// The value.
    pub value: Ratio,
    /// Rows that then are exactly as printed.
    pub exact: usize,
    /// Rows within what is allowed, the exact ones included.
    pub within: usize,
    /// Whether some row implies exactly this.
    pub implied: bool,
    points: u32,
    cost: u128,
}

/// Two values that differ by a stand-in for a gear of 127.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct StandIn {
    /// A usual lead screw (times a usual headstock ratio).
    pub usual: Ratio,
    /// The value that the rows imply exactly.
    pub implied: Ratio,
}

/// The ranking of values for one unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ranking {
    /// The likeliest value.
    pub best: PossibleValue,
    /// Others that can't be ruled out, likeliest first; at most [`RIVALS`].
    pub rivals: Vec<PossibleValue>,
    /// Two of best and rivals: a usual value, and one implied exactly if the rows share a stand-in
    /// for a gear of 127. They are so near that no rule separates them.
    pub stand_in: Option<StandIn>,
    /// Rows that tell of it.
    pub rows: usize,
    /// Measurements that tell of it.
    pub measured: usize,
    /// The range that the rows within and the measurements allow together.
    pub bounds: Interval,
    /// Whether it is reliable: no rival is near, and more than one row (or one measurement) tells
    /// it.
    pub decided: bool,
}

impl Ranking {
    /// Scales the ranking: the unknown is `by` times as large.
    pub(super) fn scale(&mut self, by: &Ratio) -> Result<()> {
        for candidate in std::iter::once(&mut self.best).chain(&mut self.rivals) {
            candidate.value = candidate.value.times(by)?;
        }
        if let Some(pair) = &mut self.stand_in {
            *pair = StandIn { usual: pair.usual.times(by)?, implied: pair.implied.times(by)? };
        }
        self.bounds = self.bounds.times(by)?;
        Ok(())
    }
}

/// How many rows must agree on a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Quorum(pub(super) usize);

/// Ranks the values of an unknown. `beside`: values that cost nothing to name, such as the same
/// figure known from elsewhere. `None`: nothing tells of it.
pub(super) fn rank(
    rows: &[Says],
    measured: &[Interval],
    reading: Reading,
    beside: &[Ratio],
    quorum: Quorum,
) -> Option<Ranking> {
    let known = |value: &Ratio| beside.contains(value);
    let weighed = weigh_all(rows, measured, reading, beside);
    let agrees =
        |c: &PossibleValue| c.exact >= quorum.0.max(1) && c.exact.saturating_mul(2) >= rows.len();
    let said = weighed.iter().find(|c| agrees(c)).map(|c| c.value).filter(|v| !known(v));
    let mut weighed = weighed.into_iter();
    let best = weighed.next()?;
    let agreed = agrees(&best);
    let near = weighed.filter(|c| c.points < best.points.saturating_add(CLEAR));
    let holds = |value: &Ratio| measured.iter().all(|m| m.holds(value));
    // Rows that agree may share a stand-in: no row then implies the usual screw beside it.
    let mut usual = said.map_or_else(Vec::new, |said| reading.usual_near(&said));
    let odd = said.is_some_and(|said| !usual.contains(&said));
    usual.sort_unstable();
    usual.dedup();
    usual.retain(|value| said.is_some_and(|said| is_stand_in(value, &said)) && holds(value));
    let only = usual_alone(reading, &best, rows, measured, quorum);
    let could = |value: &Ratio| only.as_ref().is_none_or(|only| only.contains(value));
    let open =
        |c: &PossibleValue| c.implied || usual.contains(&c.value) || (!agreed && could(&c.value));
    let mut rivals: Vec<PossibleValue> = near.filter(open).take(RIVALS).collect();
    if odd {
        let is_said = |v: &Ratio| best.value == *v || rivals.iter().any(|r| r.value == *v);
        let unsaid: Vec<Ratio> = usual.iter().filter(|v| !is_said(v)).copied().collect();
        rivals.truncate(RIVALS.saturating_sub(unsaid.len()));
        rivals.extend(unsaid.into_iter().map(|v| weigh(v, reading.cost(&v), rows, measured)));
        rivals.truncate(RIVALS);
    }
    let enough = best.within >= quorum.0 || !measured.is_empty();
    Some(Ranking {
        bounds: bounds(&best, rows, measured),
        rows: rows.len(),
        measured: measured.len(),
        decided: rivals.is_empty() && holds(&best.value) && enough,
        stand_in: stand_in(&best, &rivals, reading),
        best,
        rivals,
    })
}

/// All possible values, fewest points first.
fn weigh_all(
    rows: &[Says],
    measured: &[Interval],
    reading: Reading,
    beside: &[Ratio],
) -> Vec<PossibleValue> {
    let mut values = candidates(rows, measured, reading);
    values.extend_from_slice(beside);
    values.sort_unstable();
    values.dedup();
    let weighed = values.into_iter().map(|value| {
        let known = beside.contains(&value);
        let cost = if known { 1 } else { reading.cost(&value) };
        let mut weighed = weigh(value, cost, rows, measured);
        if !known && !beside.is_empty() {
            weighed.points = weighed.points.saturating_add(ELSEWHERE);
        }
        weighed
    });
    let mut weighed: Vec<PossibleValue> = weighed.collect();
    weighed.sort_by_key(|c| (c.points, c.cost, c.value));
    weighed
}

/// Usual values around a usual best one, if no other value can be near. The rows must all allow the
/// best one, and nothing further from it than a stand-in; no row may imply a value. Threads with pi
/// never do.
fn usual_alone(
    reading: Reading,
    best: &PossibleValue,
    rows: &[Says],
    measured: &[Interval],
    Quorum(quorum): Quorum,
) -> Option<Vec<Ratio>> {
    let (near, all) =
        (Interval::about(best.value, standin::MOST).ok()?, bounds(best, rows, measured));
    let narrow = near.low() <= all.low() && all.high() <= near.high();
    let silent = rows.iter().all(|row| row.exact.is_none());
    let agreed = silent && best.within == rows.len() && best.within >= quorum.max(1);
    let usual = reading.usual_near(&best.value);
    (narrow && agreed && usual.contains(&best.value)).then_some(usual)
}

/// The usual value among these, and the implied one that differs from it by a stand-in.
fn stand_in(best: &PossibleValue, rivals: &[PossibleValue], reading: Reading) -> Option<StandIn> {
    let all = || std::iter::once(best).chain(rivals);
    all().filter(|c| c.implied).find_map(|implied| {
        let near = reading.usual_near(&implied.value);
        let is_it =
            |c: &&PossibleValue| near.contains(&c.value) && is_stand_in(&c.value, &implied.value);
        let usual = all().find(is_it).filter(|_| !near.contains(&implied.value))?;
        Some(StandIn { usual: usual.value, implied: implied.value })
    })
}

/// The values to weigh.
fn candidates(rows: &[Says], measured: &[Interval], reading: Reading) -> Vec<Ratio> {
    let mut implied: Vec<Ratio> = rows.iter().filter_map(|row| row.exact).collect();
    implied.sort_unstable();
    let mut by_count: Vec<(usize, Ratio)> = implied
        .chunk_by(|a, b| a == b)
        .filter_map(|same| Some((same.len(), *same.first()?)))
        .collect();
    by_count.sort_by_key(|(count, _)| std::cmp::Reverse(*count));
    let mut values: Vec<Ratio> =
        by_count.into_iter().take(IMPLIED).map(|(_, value)| value).collect();
    if let Some(most) = values.first().copied() {
        values.extend(reading.usual_near(&most).into_iter().filter(|v| is_stand_in(v, &most)));
    }
    // Measurements that leave a range limit the values to it.
    let room = measured.iter().copied().map(Some).reduce(|a, b| a?.meet(&b?)).flatten();
    let within_room = |interval: &Interval| match room {
        Some(room) => interval.meet(&room),
        None => Some(*interval),
    };
    let mut allowed: Vec<Interval> =
        rows.iter().filter_map(|row| within_room(&row.allowed)).collect();
    match room {
        Some(room) => allowed.push(room),
        None => allowed.extend_from_slice(measured),
    }
    for stretch in sweep(&allowed).into_iter().take(STRETCHES) {
        values.extend(reading.simple(&stretch.interval));
    }
    values
}

/// The points against one value.
fn weigh(value: Ratio, cost: u128, rows: &[Says], measured: &[Interval]) -> PossibleValue {
    let (mut exact, mut within, mut far) = (0_usize, 0_usize, 0_usize);
    let mut others = Vec::new();
    let near = Interval::about(value, standin::MOST).ok();
    let is_far =
        |exact: &Ratio| near.is_some_and(|near| near.holds(exact)) && is_stand_in(exact, &value);
    for row in rows {
        if row.exact == Some(value) {
            exact = exact.saturating_add(1);
        } else if row.allowed.holds(&value) {
            others.extend(row.exact);
        } else if let Some(exact) = row.exact.filter(is_far) {
            others.push(exact);
            far = far.saturating_add(1);
            continue;
        } else {
            continue;
        }
        within = within.saturating_add(1);
    }
    // Rows with the same error have one cause, such as a 63 in place of a 127. The more of them, the
    // less likely is an error.
    others.sort_unstable();
    let alike = others.chunk_by(|a, b| a == b).map(|same| {
        let by_stand_in = same.first().is_some_and(|exact| is_stand_in(exact, &value));
        let points = 1 + 4 * bits(same.len() as u128);
        if by_stand_in { points.min(STAND_IN) } else { points }
    });
    let outside = rows.len().saturating_sub(within).saturating_sub(far);
    let outside = u32::try_from(outside).unwrap_or(u32::MAX);
    let contradicted = measured.iter().filter(|m| !m.holds(&value)).count();
    let contradicted = u32::try_from(contradicted).unwrap_or(u32::MAX);
    let points = alike
        .fold(2 * bits(cost), u32::saturating_add)
        .saturating_add(outside.saturating_mul(OUTSIDE))
        .saturating_add(if far > 0 { FAR } else { 0 })
        .saturating_add(contradicted.saturating_mul(CONTRADICTED));
    PossibleValue { value, exact, within, implied: exact > 0, points, cost }
}

/// Whole part of the binary logarithm.
fn bits(value: u128) -> u32 {
    value.max(1).ilog2()
}

/// The range that all rows that allow the best value allow together.
fn bounds(best: &PossibleValue, rows: &[Says], measured: &[Interval]) -> Interval {
    let all = rows.iter().map(|row| &row.allowed).chain(measured);
    let holding = all.filter(|interval| interval.holds(&best.value)).copied();
    holding.reduce(|a, b| a.meet(&b).unwrap_or(a)).unwrap_or(Interval::exactly(best.value))
}

#[cfg(test)]
mod tests;
