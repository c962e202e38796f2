//! How many bits does it take to name a constant, and which values are usual around it?

use super::interval::Interval;
use super::simplest::{decimal, height, in_order, mantissa};
use super::standin::{self, screws_in};
use crate::{Ratio, Result};
use num_integer::Integer;

/// How an unknown is read, once a known factor is divided out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Reading {
    /// The known factor.
    pub(super) factor: Ratio,
    /// The kind of the rest.
    pub(super) kind: Kind,
}

/// The kind of an unknown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// K: a plain ratio.
    Ratio,
    /// A lever of a gearbox: all ratios of two gears are equally likely.
    Lever,
    /// A length: a screw, a feed.
    Length,
    /// A screw times K.
    Product,
}

/// Simple fractions tried in each stretch and unit.
const SIMPLE: usize = 10;
/// Usual terms of K in a headstock (common practice, no source).
const K_TERMS: u64 = 4;
/// A usual screw has up to this many halves of a mm or of a thread per inch (common practice, no
/// source).
const HALVES: u128 = 80;

impl Reading {
    pub(super) const LEVER: Self = Self { factor: Ratio::ONE, kind: Kind::Lever };

    /// The cost of naming a value: numerator x denominator, in the unit that suits it best. A
    /// decimal costs three for each digit (about as many fractions are as simple).
    pub(super) fn cost(&self, value: &Ratio) -> u128 {
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

    /// Usual screws, times a usual K where that is open, or usual K alone, around a value: within a
    /// stand-in for a 127.
    pub(super) fn usual_near(&self, value: &Ratio) -> Vec<Ratio> {
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

    /// The simplest values of an interval.
    pub(super) fn simple(&self, interval: &Interval) -> Vec<Ratio> {
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

/// The cost of naming a length.
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
pub(super) fn is_usual_screw(mm: &Ratio) -> bool {
    let halves = |v: &Ratio| v.denom() <= 2 && v.numer().saturating_mul(2) <= HALVES * v.denom();
    halves(mm) || Ratio::INCH.over(mm).is_ok_and(|tpi| halves(&tpi))
}

/// Usual screws times K inside an interval.
pub(super) fn usual_products(interval: &Interval, k: &Ratio) -> Vec<Ratio> {
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
