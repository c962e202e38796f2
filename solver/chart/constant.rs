//! Which constant do most rows agree on, and which others come close?
//!
//! A candidate is a constant that some row implies exactly as printed, or the simplest fraction of a
//! stretch where most rows overlap. Each has points against it, in the way in which a short message
//! is weighed (minimum description length; the weights are ours): what it takes to name the constant,
//! what it takes to name the rows that it does not explain. Fewest points win; twelve more are a
//! chance of one in four thousand, and no rival.

use super::interval::{Interval, sweep};
use super::simplest::{decimal, height, in_order, mantissa};
use super::standin::{self, is_stand_in, screws_in};
use crate::{Ratio, Result};
use num_integer::Integer;

/// What one row says of an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Says {
    /// What it allows.
    pub(super) allowed: Interval,
    /// What it is if the row is meant exactly.
    pub(super) exact: Option<Ratio>,
}

impl Says {
    /// What the same row says of the unknown, once a factor beside it is known.
    pub(super) fn over(&self, factor: &Ratio) -> Result<Self> {
        Ok(Self {
            allowed: self.allowed.over(factor)?,
            exact: self.exact.map(|exact| exact.over(factor)).transpose()?,
        })
    }
}

/// How an unknown is read, once a known factor is taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Reading {
    /// The known factor.
    pub(super) factor: Ratio,
    /// What is left.
    pub(super) kind: Kind,
}

/// What an unknown is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// K: a plain ratio.
    Ratio,
    /// A lever of a gearbox: any ratio of two gears is as good as another.
    Lever,
    /// A length: a screw, a feed.
    Length,
    /// A screw times K.
    Product,
}

/// Terms of K that a headstock has as a rule (common practice, no source).
const K_TERMS: u64 = 4;
/// A screw of so many halves of a mm or of a thread per inch is a usual one (common practice, no
/// source).
const HALVES: u128 = 80;

impl Reading {
    pub(super) const LEVER: Self = Self { factor: Ratio::ONE, kind: Kind::Lever };

    /// How long it takes to name a value: numerator x denominator, in the unit that suits it best. A
    /// decimal counts by its digits, three to one (there are about so many fractions as simple).
    fn cost(&self, value: &Ratio) -> u128 {
        let Ok(read) = value.over(&self.factor) else { return u128::MAX };
        match self.kind {
            Kind::Ratio => height(&read),
            // Its fourth root: a quarter of the points.
            Kind::Lever => height(&read).isqrt().isqrt(),
            Kind::Length => length_cost(&read),
            Kind::Product => usual_k().fold(length_cost(&read), |cost, k| {
                let screw = read.over(&k).ok().filter(is_usual_screw);
                cost.min(screw.map_or(u128::MAX, |s| length_cost(&s).saturating_mul(height(&k))))
            }),
        }
    }

    /// Usual screws, times a usual K where that is open, or usual K alone, around a value: as near as a
    /// stand-in for a 127 may be.
    fn usual_near(&self, value: &Ratio) -> Vec<Ratio> {
        let near = value.over(&self.factor).and_then(|read| Interval::about(read, standin::MOST));
        let Ok(near) = near else { return Vec::new() };
        let found: Vec<Ratio> = match self.kind {
            Kind::Lever => return Vec::new(),
            Kind::Ratio => usual_k().filter(|k| near.holds(k)).collect(),
            Kind::Length => screws_in(Ok(near)),
            Kind::Product => {
                let of = |k: Ratio| screws_in(near.over(&k)).into_iter().map(move |s| s.times(&k));
                usual_k().flat_map(of).flatten().collect()
            }
        };
        found.iter().filter_map(|value| value.times(&self.factor).ok()).collect()
    }

    /// Usual values around a usual one that all rows allow, where they allow nothing that is further from
    /// it than a stand-in. No other value comes near then, though no row implies one: threads with pi
    /// never do.
    fn usual_alone(
        &self,
        best: &Candidate,
        rows: &[Says],
        measured: &[Interval],
        Quorum(quorum): Quorum,
    ) -> Option<Vec<Ratio>> {
        let (near, all) =
            (Interval::about(best.value, standin::MOST).ok()?, bounds(best, rows, measured));
        let narrow = near.low() <= all.low() && all.high() <= near.high();
        let agreed = best.within == rows.len() && best.within >= quorum.max(1);
        let usual = self.usual_near(&best.value);
        (narrow && agreed && usual.contains(&best.value)).then_some(usual)
    }

    /// The simplest values of an interval.
    fn simple(&self, interval: &Interval) -> Vec<Ratio> {
        let Ok(read) = interval.over(&self.factor) else { return Vec::new() };
        let mut found = in_order(&read, SIMPLE);
        if matches!(self.kind, Kind::Length | Kind::Product) {
            found.extend(decimal(&read));
            if let Ok(inches) = read.over(&Ratio::INCH) {
                let in_inches = in_order(&inches, SIMPLE).into_iter().chain(decimal(&inches));
                found.extend(in_inches.filter_map(|inch| inch.times(&Ratio::INCH).ok()));
            }
        }
        if self.kind == Kind::Product {
            found.extend(usual_k().flat_map(|k| usual_products(&read, &k)));
        }
        found.iter().filter_map(|value| value.times(&self.factor).ok()).collect()
    }
}

/// How long it takes to name a length.
fn length_cost(mm: &Ratio) -> u128 {
    let digits = |value: &Ratio| mantissa(value).map_or(u128::MAX, |d| d.saturating_mul(3));
    let cost = height(mm).min(digits(mm));
    match mm.over(&Ratio::INCH) {
        Ok(inches) => cost.min(height(&inches)).min(digits(&inches)),
        Err(_) => cost,
    }
}

/// 1, 1/2, 2, 1/3, 2/3, ... 4/3.
fn usual_k() -> impl Iterator<Item = Ratio> {
    let terms = (1..=K_TERMS).flat_map(|up| (1..=K_TERMS).map(move |down| (up, down)));
    terms.filter(|(up, down)| up.gcd(down) == 1).map(|(up, down)| Ratio::table(up, down))
}

/// Whole or half threads per inch, whole or half mm.
fn is_usual_screw(mm: &Ratio) -> bool {
    let halves = |v: &Ratio| v.denom() <= 2 && v.numer().saturating_mul(2) <= HALVES * v.denom();
    halves(mm) || Ratio::INCH.over(mm).is_ok_and(|tpi| halves(&tpi))
}

/// Usual screws times K inside an interval.
fn usual_products(interval: &Interval, k: &Ratio) -> Vec<Ratio> {
    let screws = |range: Result<Interval>, inch: bool| {
        let halves = range.and_then(|r| r.times(&Ratio::table(2, 1)));
        let Ok(halves) = halves else { return Vec::new() };
        let low = halves.low().numer().div_ceil(halves.low().denom());
        let high = (halves.high().numer() / halves.high().denom()).min(HALVES);
        let screw = move |n| {
            let half = Ratio::new(n, 2).ok()?;
            if inch { Ratio::INCH.over(&half).ok() } else { Some(half) }
        };
        (low..=high).filter_map(screw).collect()
    };
    let own = interval.over(k);
    let tpi = own.as_ref().ok().map(|mm| mm.recip().times(&Ratio::INCH));
    let mut found = screws(own, false);
    found.extend(tpi.into_iter().flat_map(|tpi| screws(tpi, true)));
    found.iter().filter_map(|screw| screw.times(k).ok()).collect()
}

/// Simple fractions tried of each stretch in each unit.
const SIMPLE: usize = 10;
/// Stretches looked into.
const STRETCHES: usize = 6;
/// Different constants that rows imply exactly and that are tried, the most frequent first.
const IMPLIED: usize = 48;
/// Rivals that are kept.
pub const RIVALS: usize = 5;
/// Points by which a rival is no rival.
const CLEAR: u32 = 12;
/// Points for a value that is not one known from elsewhere, where there is such a one.
const ELSEWHERE: u32 = 6;
/// Points for a row that a constant does not explain.
const OUTSIDE: u32 = 8;
/// Most points for rows that are off alike by a stand-in for a 127: it is one of a dozen and counts once,
/// however many rows have it.
const STAND_IN: u32 = 9;
/// Points for rows that are all off by a stand-in, but by more than is allowed: three rows outside.
const FAR: u32 = 24;
/// Points for a measurement that it contradicts.
const CONTRADICTED: u32 = 100;

/// A value that an unknown may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Candidate {
    /// The value.
    pub value: Ratio,
    /// Rows that are then exactly as printed.
    pub exact: usize,
    /// Rows that are then within what is allowed, the exact ones included.
    pub within: usize,
    /// Whether some row says exactly this.
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
    /// What the rows imply exactly.
    pub implied: Ratio,
}

/// What the rows make of one unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ranking {
    /// The likeliest value.
    pub best: Candidate,
    /// Others that can't be ruled out, likeliest first; at most [`RIVALS`].
    pub rivals: Vec<Candidate>,
    /// Of best and rivals a usual one, and one that rows imply exactly if they have a stand-in for a
    /// gear of 127 in common. So near are the two that no rule tells them apart.
    pub stand_in: Option<StandIn>,
    /// Rows that speak of it.
    pub rows: usize,
    /// Measurements that speak of it.
    pub measured: usize,
    /// Everything that the rows within and the measurements allow together.
    pub bounds: Interval,
    /// Whether it can be relied on: nothing else comes near, and more than one row says so (or one
    /// measurement).
    pub decided: bool,
}

impl Ranking {
    /// The same ranking of an unknown that is so many times as large.
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

/// How many rows have to agree before a value is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Quorum(pub(super) usize);

/// Ranks what an unknown may be. `beside`: values that cost nothing to name, such as the same figure
/// known from elsewhere. `None`: nothing speaks of it.
pub(super) fn rank(
    rows: &[Says],
    measured: &[Interval],
    reading: Reading,
    beside: &[Ratio],
    quorum: Quorum,
) -> Option<Ranking> {
    let mut values = candidates(rows, measured, reading);
    values.extend_from_slice(beside);
    values.sort_unstable();
    values.dedup();
    let known = |value: &Ratio| beside.contains(value);
    let weighed = values.into_iter().map(|value| {
        let cost = if known(&value) { 1 } else { reading.cost(&value) };
        let mut weighed = weigh(value, cost, rows, measured);
        if !known(&value) && !beside.is_empty() {
            weighed.points = weighed.points.saturating_add(ELSEWHERE);
        }
        weighed
    });
    let mut weighed: Vec<Candidate> = weighed.collect();
    weighed.sort_by_key(|c| (c.points, c.cost, c.value));
    let agrees =
        |c: &Candidate| c.exact >= quorum.0.max(1) && c.exact.saturating_mul(2) >= rows.len();
    let said = weighed.iter().find(|c| agrees(c)).map(|c| c.value).filter(|v| !known(v));
    let mut weighed = weighed.into_iter();
    let best = weighed.next()?;
    let agreed = agrees(&best);
    let near = weighed.filter(|c| c.points < best.points.saturating_add(CLEAR));
    let holds = |value: &Ratio| measured.iter().all(|m| m.holds(value));
    // Rows that agree may share a stand-in: the usual screw beside it is implied by none of them.
    let mut usual = said.map_or_else(Vec::new, |said| reading.usual_near(&said));
    let odd = said.filter(|said| !usual.contains(said));
    usual.sort_unstable();
    usual.dedup();
    usual.retain(|value| said.is_some_and(|said| is_stand_in(value, &said)) && holds(value));
    let only = reading.usual_alone(&best, rows, measured, quorum);
    let could = |value: &Ratio| only.as_ref().is_none_or(|only| only.contains(value));
    let open =
        |c: &Candidate| c.implied || usual.contains(&c.value) || (!agreed && could(&c.value));
    let mut rivals: Vec<Candidate> = near.filter(open).take(RIVALS).collect();
    if odd.is_some() {
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

/// The usual value among these, and the implied one that differs from it by a stand-in.
fn stand_in(best: &Candidate, rivals: &[Candidate], reading: Reading) -> Option<StandIn> {
    let all = || std::iter::once(best).chain(rivals);
    all().filter(|c| c.implied).find_map(|implied| {
        let near = reading.usual_near(&implied.value);
        let is_it =
            |c: &&Candidate| near.contains(&c.value) && is_stand_in(&c.value, &implied.value);
        let usual = all().find(is_it).filter(|_| !near.contains(&implied.value))?;
        Some(StandIn { usual: usual.value, implied: implied.value })
    })
}

/// What is worth weighing.
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
    // Where the measurements leave room, only that room counts.
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
fn weigh(value: Ratio, cost: u128, rows: &[Says], measured: &[Interval]) -> Candidate {
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
    // Rows that are off alike have one reason, such as a 63 in place of a 127; the more of them, the
    // more it takes to believe that they are off at all.
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
    Candidate { value, exact, within, implied: exact > 0, points, cost }
}

/// Whole part of the binary logarithm.
fn bits(value: u128) -> u32 {
    value.max(1).ilog2()
}

/// What all rows that allow the best value allow together.
fn bounds(best: &Candidate, rows: &[Says], measured: &[Interval]) -> Interval {
    let all = rows.iter().map(|row| &row.allowed).chain(measured);
    let holding = all.filter(|interval| interval.holds(&best.value)).copied();
    holding.reduce(|a, b| a.meet(&b).unwrap_or(a)).unwrap_or(Interval::exactly(best.value))
}

#[cfg(test)]
mod tests {
    use super::*;

    const LENGTH: Reading = Reading { factor: Ratio::ONE, kind: Kind::Length };

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    fn thread(constant: &str) -> Says {
        let exact = ratio(constant);
        let allowed = Interval::about(exact, Ratio::table(1, 500)).unwrap();
        Says { allowed, exact: Some(exact) }
    }

    fn between(low: &str, high: &str) -> Interval {
        Interval::new(ratio(low), ratio(high)).unwrap()
    }

    #[test]
    fn usual_screws_have_whole_or_half_threads_or_millimetres() {
        for (mm, usual) in [
            ("3", true),
            ("7/2", true),
            ("127/40", true),
            ("254/115", true),
            ("40", true),
            ("81/2", false),
            ("13/4", false),
            ("127/41", false),
            ("200/63", false),
        ] {
            assert_eq!(is_usual_screw(&ratio(mm)), usual, "{mm}");
        }
        // 8 TPI is 3.175 mm; with K = 1/2 it cuts 1.5875 mm.
        let of = |low, high, k| usual_products(&between(low, high), &ratio(k));
        assert_eq!(of("3.17", "3.18", "1"), [ratio("127/40")]);
        assert_eq!(of("1.58", "1.6", "1/2"), [ratio("127/80")]);
        assert_eq!(of("3.9", "4", "1"), [ratio("4"), ratio("254/65")]);
        assert_eq!(of("3.19", "3.2", "1"), []);
    }

    fn ranked(rows: &[Says], measured: &[Interval]) -> Ranking {
        rank(rows, measured, LENGTH, &[], Quorum(2)).unwrap()
    }

    // Ten pitches of equal gears measured as 15.9 +- 0.2 mm: 16 TPI; and 1.6 mm can't be ruled out. A
    // screw of 8 TPI known besides leaves a headstock of 1/2 alone.
    #[test]
    fn a_measurement_alone() {
        let measured = [between("1.57", "1.61")];
        let by_length = ranked(&[], &measured);
        assert_eq!(by_length.best.value, ratio("25.4/16"));
        assert!(!by_length.decided && by_length.rivals.iter().any(|r| r.value == ratio("1.6")));
        let reading = Reading { factor: ratio("3.175"), kind: Kind::Ratio };
        let by_ratio = rank(&[], &measured, reading, &[], Quorum(2)).unwrap();
        assert!(by_ratio.decided && by_ratio.best.value == ratio("25.4/16"));
        assert_eq!(by_ratio.bounds, measured[0]);
    }

    // Twelve metric rows through a 63 in place of a 127 agree exactly on 200/63 mm; five inch rows are
    // exact on 8 TPI, and nobody made a screw of 200/63 mm.
    #[test]
    fn rows_that_are_off_alike_do_not_outvote_a_plain_screw() {
        let rows: Vec<Says> = std::iter::repeat_n(thread("200/63"), 12)
            .chain(std::iter::repeat_n(thread("3.175"), 5))
            .collect();
        let ranking = ranked(&rows, &[]);
        assert_eq!(ranking.best.value, ratio("3.175"));
        assert_eq!((ranking.best.exact, ranking.best.within), (5, 17));
    }

    #[test]
    fn two_screws_in_one_chart_are_rivals_until_something_is_measured() {
        let rows: Vec<Says> = std::iter::repeat_n(thread("2.54"), 10)
            .chain(std::iter::repeat_n(thread("2.5"), 10))
            .collect();
        let open = ranked(&rows, &[]);
        assert!(!open.decided && open.rivals.len() == 1);
        let settled = ranked(&rows, &[between("2.52", "2.56")]);
        assert!(settled.decided && settled.best.value == ratio("2.54"));
        let contradicted = ranked(&rows, &[between("2.6", "2.7")]);
        assert!(!contradicted.decided);
    }

    #[test]
    fn one_row_alone_decides_nothing() {
        assert!(!ranked(&[thread("3.175")], &[]).decided);
        assert!(ranked(&[thread("3.175"), thread("3.175")], &[]).decided);
        assert!(rank(&[], &[], LENGTH, &[], Quorum(2)).is_none());
    }

    /// A row with pi: nothing exact, and the maker's approximation on both sides.
    fn with_pi(constant: &str) -> Says {
        Says { exact: None, ..thread(constant) }
    }

    // Modules through 22/7 (402 ppm long) and 355/113 for pi: no row implies 1.5 mm, and nobody made a
    // screw of 7493/5000 mm, which is 0.059 in.
    #[test]
    fn rows_with_pi_leave_no_rivals_that_nobody_made() {
        let product = Reading { factor: Ratio::ONE, kind: Kind::Product };
        let ranked = |rows: &[Says], reading| rank(rows, &[], reading, &[], Quorum(2)).unwrap();
        for (screw, low, high) in [("1.5", "1.4994", "1.5"), ("25.4/16", "1.587", "1.5876")] {
            let rows = [with_pi(low), with_pi(high), with_pi(high)];
            for reading in [product, LENGTH] {
                let ranking = ranked(&rows, reading);
                assert!(ranking.decided && ranking.best.value == ratio(screw), "{ranking:?}");
            }
            // One row is not enough.
            assert!(!ranked(&rows[..1], product).decided);
            // A row that does not agree leaves it open.
            let astray = ranked(&[&rows[..], &[with_pi("1.9")]].concat(), product);
            assert!(!astray.decided, "{astray:?}");
        }
        // Rounded feeds allow more: 10 TPI and 2.5 mm.
        let feed = |low, high| Says { allowed: between(low, high), exact: None };
        let feeds = ranked(&[feed("2.4", "2.6"), feed("2.49", "2.59")], product);
        assert!(!feeds.decided && feeds.rivals.iter().any(|r| r.value == ratio("2.5")));
    }

    // A wide overlap holds 27/17 mm, which has smaller terms in mm than 16 TPI (127/80).
    #[test]
    fn a_figure_is_read_in_the_unit_that_suits_it() {
        assert_eq!(LENGTH.cost(&ratio("25.4/16")), 16);
        assert_eq!(LENGTH.cost(&ratio("27/17")), 459);
        assert_eq!(LENGTH.cost(&ratio("0.45")), 135);
        assert_eq!(LENGTH.cost(&ratio("0.508")), 6); // 0.02 in
    }
}
