//! Which simple fractions are in an interval? In ascending order of numerator x denominator.
//!
//! The simplest fraction of an interval (Stern-Brocot tree; Graham, Knuth, Patashnik, Concrete
//! Mathematics, ch. 4.5; from memory) has the least numerator and the least denominator of all
//! fractions in it. Without it, the simplest fractions on either side come next.

use super::interval::Interval;
use crate::Ratio;
use num_integer::Integer;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// One end of an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct End {
    value: Ratio,
    /// Whether the value itself is excluded.
    open: bool,
}

/// An interval on the way down: no low end is zero, no high end is infinite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Range {
    low: Option<End>,
    high: Option<End>,
}

/// Numerator x denominator: how simple a fraction is.
pub(super) fn height(value: &Ratio) -> u128 {
    value.numer().saturating_mul(value.denom())
}

/// The simplest fraction; `None`: there is none, or it is out of range.
fn simplest(range: &Range) -> Option<Ratio> {
    let low = range.low.map_or(0, |end| end.value.numer() / end.value.denom());
    let at_whole = range.low.is_none_or(|end| end.value.is_whole());
    let takes_low = at_whole && range.low.is_some_and(|end| !end.open);
    let next = if takes_low { low } else { low.checked_add(1)? };
    let whole = Ratio::new(next, 1).ok()?;
    let inside = |end: End| if end.open { whole < end.value } else { whole <= end.value };
    if range.high.is_none_or(inside) {
        return Some(whole);
    }
    // No whole number: low + 1/y, with y between the reciprocals of the rest.
    let beyond = |end: End| {
        let part = end.value.numer().checked_sub(low.checked_mul(end.value.denom())?)?;
        // An end that is a whole number leaves no rest.
        Ratio::new(end.value.denom(), part).ok().map(|value| End { value, open: end.open })
    };
    let y =
        simplest(&Range { low: range.high.and_then(beyond), high: range.low.and_then(beyond) })?;
    let numer = low.checked_mul(y.numer())?.checked_add(y.denom())?;
    Ratio::new(numer, y.numer()).ok()
}

/// The `count` simplest fractions of an interval, simplest first.
pub(super) fn in_order(interval: &Interval, count: usize) -> Vec<Ratio> {
    let closed = |value| Some(End { value, open: false });
    let mut heap = BinaryHeap::new();
    let push = |heap: &mut BinaryHeap<_>, range: Range| {
        if range
            .low
            .zip(range.high)
            .is_some_and(|(low, high)| low.value == high.value && (low.open || high.open))
        {
            return;
        }
        if let Some(value) = simplest(&range) {
            heap.push(Reverse((height(&value), value, range)));
        }
    };
    push(&mut heap, Range { low: closed(interval.low()), high: closed(interval.high()) });
    let mut found = Vec::new();
    while found.len() < count {
        let Some(Reverse((_, value, range))) = heap.pop() else { break };
        found.push(value);
        let open = Some(End { value, open: true });
        push(&mut heap, Range { low: range.low, high: open });
        push(&mut heap, Range { low: open, high: range.high });
    }
    found
}

/// The decimal with the fewest digits in an interval: 0.45 of 0.4482 to 0.4509.
pub(super) fn decimal(interval: &Interval) -> Option<Ratio> {
    // From coarse to fine: hundreds, tens, ones, tenths, ... An interval of one value may have none.
    let scales = (0..=6_i32).rev().chain((1..=9).map(|place: i32| -place));
    scales.into_iter().find_map(|scale| {
        let ten = 10_u128.checked_pow(scale.unsigned_abs())?;
        let unit = if scale >= 0 { Ratio::new(ten, 1) } else { Ratio::new(1, ten) }.ok()?;
        let low = interval.low().over(&unit).ok()?;
        let steps = low.numer().div_ceil(low.denom());
        let value = Ratio::new(steps, 1).ok()?.times(&unit).ok()?;
        interval.holds(&value).then_some(value)
    })
}

/// The digits of a decimal without its point and the zeros around them, as a number: 45 of 0.450.
/// `None`: it is not a decimal.
pub(super) fn mantissa(value: &Ratio) -> Option<u128> {
    let (mut denom, mut twos, mut fives) = (value.denom(), 0_u32, 0_u32);
    while denom.is_even() {
        (denom, twos) = (denom / 2, twos.saturating_add(1));
    }
    while denom.is_multiple_of(5) {
        (denom, fives) = (denom / 5, fives.saturating_add(1));
    }
    if denom != 1 {
        return None;
    }
    let places = twos.max(fives);
    let up = 2_u128.checked_pow(places.saturating_sub(twos))?;
    let mut digits = value
        .numer()
        .checked_mul(up)?
        .checked_mul(5_u128.checked_pow(places.saturating_sub(fives))?)?;
    while digits.is_multiple_of(10) {
        digits /= 10;
    }
    Some(digits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    #[test]
    fn fractions_come_simplest_first() {
        let list = |low: &str, high: &str, count| {
            let interval = Interval::new(ratio(low), ratio(high)).unwrap();
            in_order(&interval, count).iter().map(Ratio::to_string).collect::<Vec<_>>()
        };
        assert_eq!(list("0.4945", "0.5071", 2), ["1/2", "36/71"]);
        assert_eq!(list("15.7", "16.2", 2), ["16", "63/4"]);
        assert_eq!(list("3", "3", 4), ["3"]);
        assert_eq!(list("3.14159", "3.14160", 1), ["355/113"]);
    }

    #[test]
    fn decimals_with_few_digits() {
        let of = |low: &str, high: &str| {
            decimal(&Interval::new(ratio(low), ratio(high)).unwrap()).map(|d| d.to_string())
        };
        assert_eq!(of("0.4482", "0.4509").as_deref(), Some("9/20"));
        assert_eq!(of("1/3", "1/3"), None);
        assert_eq!(of("2", "900").as_deref(), Some("100"));
        let digits = |text: &str| mantissa(&ratio(text));
        assert_eq!(
            (digits("0.450"), digits("1/8"), digits("300"), digits("1/3")),
            (Some(45), Some(125), Some(3), None)
        );
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        // Every fraction of small terms, found by trying all.
        #[test]
        fn none_is_left_out_and_the_order_is_right(a in 1_u64..200, b in 1_u64..40, wide in 0_u64..30, of in 1_u64..60) {
            let low = Ratio::table(a, b);
            let high = if wide == 0 { low } else { low.plus(&Ratio::table(wide, of)).unwrap() };
            let interval = Interval::new(low, high).unwrap();
            let fast = in_order(&interval, 12);
            let limit = fast.last().map_or(0, height).min(4000);
            let mut slow: Vec<(u128, Ratio)> = Vec::new();
            for q in 1..=limit {
                for p in 1..=limit / q {
                    let value = Ratio::new(p, q).unwrap();
                    if value.denom() == q && interval.holds(&value) {
                        slow.push((height(&value), value));
                    }
                }
            }
            slow.sort_unstable();
            let fast: Vec<(u128, Ratio)> = fast.into_iter().map(|v| (height(&v), v)).filter(|(h, _)| *h <= limit).collect();
            prop_assert!(fast.is_sorted());
            let below = |list: &[(u128, Ratio)]| list.iter().filter(|(h, _)| *h < limit).copied().collect::<Vec<_>>();
            prop_assert_eq!(below(&fast), below(&slow));
        }
    }
}
