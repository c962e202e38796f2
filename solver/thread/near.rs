//! Which thread could this be, by measured diameter and pitch?
//!
//! The distance is |d - d0| / d0 + |p - p0| / p0, with d0 and p0 as measured: a tenth of error in
//! the diameter counts as much as a tenth in the pitch. The comparison is exact: times p0 every
//! distance is x + y pi with fractions x and y (y is 0 without a worm).

use super::{Thread, all};
use crate::number::compare_with_pi;
use crate::{Lead, Length};
use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};
use std::cmp::Ordering;

/// Every thread, nearest first to a pitch and, where given, a diameter; threads without a diameter
/// then come last. Among equals the order is that of the tables.
///
/// ```
/// use solver::{Lead, thread};
/// // Measured: 9.9 mm over the crests, ten pitches in 15 mm.
/// let found = thread::near(Some("9.9 mm".parse()?), &Lead::new("1.5 mm".parse()?));
/// assert_eq!(found[0].designation(), "M10");
/// # Ok::<(), solver::Error>(())
/// ```
pub fn near(diameter: Option<Length>, pitch: &Lead) -> Vec<Thread> {
    nearest_of(all(), diameter, pitch)
}

/// The same among some threads.
pub(super) fn nearest_of(
    threads: impl Iterator<Item = Thread>,
    diameter: Option<Length>,
    pitch: &Lead,
) -> Vec<Thread> {
    let mut found: Vec<_> =
        threads.map(|thread| (Distance::of(thread, diameter, pitch), thread)).collect();
    found.sort_by(|(a, _), (b, _)| a.cmp(b));
    found.into_iter().map(|(_, thread)| thread).collect()
}

/// Threads with a diameter, nearest to `diameter` first.
pub(super) fn nearest_by_diameter(mut threads: Vec<Thread>, diameter: &Length) -> Vec<Thread> {
    let asked = diameter.mm().to_big();
    threads.retain(|t| t.diameter().is_some());
    threads.sort_by_cached_key(|t| t.diameter().map(|own| (own.mm().to_big() - &asked).abs()));
    threads
}

/// `plain` + `pi` x pi, in mm; `None`: no diameter to compare.
struct Distance(Option<Sum>);

struct Sum {
    plain: BigRational,
    pi: BigRational,
}

impl Sum {
    /// The share of a lead.
    fn part(&mut self, lead: &Lead) -> &mut BigRational {
        if lead.has_pi() { &mut self.pi } else { &mut self.plain }
    }
}

impl Distance {
    fn of(thread: Thread, diameter: Option<Length>, pitch: &Lead) -> Self {
        let mut sum = pitch_gap(&thread.pitch(), pitch);
        let Some(asked) = diameter else {
            return Self(Some(sum));
        };
        let Some(own) = thread.diameter() else {
            return Self(None);
        };
        let (own, asked) = (own.mm().to_big(), asked.mm().to_big());
        let share = (own - &asked).abs() / asked * pitch.mm().to_big();
        *sum.part(pitch) += share;
        Self(Some(sum))
    }

    fn cmp(&self, other: &Self) -> Ordering {
        match (&self.0, &other.0) {
            (Some(a), Some(b)) => sign(&(&a.plain - &b.plain), &(&a.pi - &b.pi)),
            (a, b) => b.is_some().cmp(&a.is_some()),
        }
    }
}

/// |a - b|.
fn pitch_gap(a: &Lead, b: &Lead) -> Sum {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    let mut sum = Sum { plain: BigRational::zero(), pi: BigRational::zero() };
    for (lead, sign) in [(high, 1), (low, -1)] {
        let part = lead.mm().to_big() * BigInt::from(sign);
        *sum.part(lead) += part;
    }
    sum
}

/// `plain` + `pi` x pi against 0.
fn sign(plain: &BigRational, pi: &BigRational) -> Ordering {
    if pi.is_zero() {
        return plain.cmp(&BigRational::zero());
    }
    // Above 0 if pi is more than -plain / pi, for a positive factor.
    let order = compare_with_pi(&(-plain / pi)).reverse();
    if pi.is_positive() { order } else { order.reverse() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(diameter: Option<&str>, pitch: &Lead) -> &'static str {
        let diameter = diameter.map(|d| d.parse().unwrap());
        near(diameter, pitch).first().unwrap().designation()
    }

    fn lead(text: &str) -> Lead {
        Lead::new(text.parse().unwrap())
    }

    // 20.955 mm and 14 TPI: ISO 228-1, table 1, G 1/2.
    #[test]
    fn a_pipe_is_known_by_its_outside() {
        let fourteen = Lead::from_tpi("14".parse().unwrap()).unwrap();
        assert_eq!(first(Some("20.9 mm"), &fourteen), "G 1/2");
    }

    #[test]
    fn worms_and_threads_are_compared_exactly() {
        // pi mm is nearer to module 1 than to any thread; 3.1 mm is not.
        assert_eq!(first(None, &Lead::times_pi("1 mm".parse().unwrap())), "module 1");
        assert_eq!(first(None, &lead("3.141592653589793 mm")), "module 1");
        assert_eq!(first(None, &lead("3 mm")), "M24");
    }

    #[test]
    fn what_has_no_diameter_comes_last_where_one_is_asked() {
        let found = near(Some("10 mm".parse().unwrap()), &lead("1.5 mm"));
        let worms = found.iter().rev().take_while(|t| t.diameter().is_none()).count();
        assert_eq!(worms, all().filter(|t| t.diameter().is_none()).count());
        assert_eq!(found.len(), all().count());
    }

    #[test]
    fn the_sign_of_a_sum_with_pi() {
        let big = |n: i64, d: i64| BigRational::new(n.into(), d.into());
        assert_eq!(sign(&big(-22, 7), &big(1, 1)), Ordering::Less);
        assert_eq!(sign(&big(22, 7), &big(-1, 1)), Ordering::Greater);
        assert_eq!(sign(&big(-333, 106), &big(1, 1)), Ordering::Greater);
        assert_eq!(sign(&big(-1, 2), &big(0, 1)), Ordering::Less);
    }
}
