//! Which values are possible, and where do most intervals overlap?

use crate::{Error, Ratio, Result};

/// Everything from one value to another, both included.
///
/// ```
/// use solver::chart::Interval;
/// let about = Interval::about("3.175".parse()?, "1/500".parse()?)?;
/// assert!(about.holds(&"3.18".parse()?) && !about.holds(&"3.2".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Interval {
    low: Ratio,
    high: Ratio,
}

impl Interval {
    /// From `low` to `high`.
    ///
    /// # Errors
    /// If they are in the wrong order.
    pub fn new(low: Ratio, high: Ratio) -> Result<Self> {
        if low > high {
            return Err(Error::conflict(format!("{low} to {high} runs down")));
        }
        Ok(Self { low, high })
    }

    /// This value alone.
    pub const fn exactly(value: Ratio) -> Self {
        Self { low: value, high: value }
    }

    /// `value`, with this part of it on both sides: 1/500 is 0.2 %.
    ///
    /// # Errors
    /// If that is all of it or more, or a number is out of range.
    pub fn about(value: Ratio, part: Ratio) -> Result<Self> {
        Self::give_or_take(value, value.times(&part)?)
    }

    /// `value`, give or take `by`.
    ///
    /// # Errors
    /// If that reaches zero, or a number is out of range.
    pub fn give_or_take(value: Ratio, by: Ratio) -> Result<Self> {
        let low = value.apart(&by)?.filter(|_| by < value).ok_or_else(|| {
            Error::conflict(format!("{value}, give or take {by}, reaches zero"))
                .with_hint("a smaller uncertainty")
        })?;
        Ok(Self { low, high: value.plus(&by)? })
    }

    /// The least value.
    pub const fn low(&self) -> Ratio {
        self.low
    }

    /// The greatest value.
    pub const fn high(&self) -> Ratio {
        self.high
    }

    /// Whether a value is inside.
    pub fn holds(&self, value: &Ratio) -> bool {
        self.low <= *value && *value <= self.high
    }

    /// All values times one.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn times(&self, by: &Ratio) -> Result<Self> {
        Ok(Self { low: self.low.times(by)?, high: self.high.times(by)? })
    }

    /// All values divided by one.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn over(&self, by: &Ratio) -> Result<Self> {
        self.times(&by.recip())
    }

    /// One divided by all values.
    pub fn recip(&self) -> Self {
        Self { low: self.high.recip(), high: self.low.recip() }
    }

    /// All quotients of two.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn quotient(&self, other: &Self) -> Result<Self> {
        Ok(Self { low: self.low.over(&other.high)?, high: self.high.over(&other.low)? })
    }

    /// The values in both.
    pub fn meet(&self, other: &Self) -> Option<Self> {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        (low <= high).then_some(Self { low, high })
    }
}

/// A stretch inside `count` intervals; slightly further on either side there are fewer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Overlap {
    /// The stretch.
    pub interval: Interval,
    /// How many hold it.
    pub count: usize,
}

/// Every stretch with more intervals than on both sides of it, the fullest first, then from the low
/// end up. One pass over the sorted ends: exact, n log n.
pub fn sweep(intervals: &[Interval]) -> Vec<Overlap> {
    let starts = intervals.iter().map(|i| (i.low, false));
    let mut ends: Vec<(Ratio, bool)> =
        starts.chain(intervals.iter().map(|i| (i.high, true))).collect();
    // Closed intervals: at equal values all starts come before any end.
    ends.sort_unstable();
    let (mut count, mut opened) = (0_usize, None);
    let mut found = Vec::new();
    for (value, closes) in ends {
        if !closes {
            count = count.saturating_add(1);
            opened = Some(value);
            continue;
        }
        if let Some(low) = opened.take() {
            found.push(Overlap { interval: Interval { low, high: value }, count });
        }
        count = count.saturating_sub(1);
    }
    found.sort_by_key(|overlap| std::cmp::Reverse(overlap.count));
    found
}

/// A number out of range is skipped: other rows remain.
pub(super) fn held<T>(value: Result<T>) -> Result<Option<T>> {
    match value {
        Err(error) if error.is_too_large() => Ok(None),
        other => other.map(Some),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn interval(low: &str, high: &str) -> Interval {
        Interval::new(low.parse().unwrap(), high.parse().unwrap()).unwrap()
    }

    #[test]
    fn closed_ends_meet() {
        let found = sweep(&[interval("1", "2"), interval("2", "3"), interval("5", "6")]);
        assert_eq!(found[0], Overlap { interval: interval("2", "2"), count: 2 });
        assert_eq!(found[1], Overlap { interval: interval("5", "6"), count: 1 });
        assert!(sweep(&[]).is_empty());
    }

    #[test]
    fn what_runs_down_or_reaches_zero_is_refused() {
        let one = Ratio::ONE;
        assert!(Interval::new("2".parse().unwrap(), one).unwrap_err().is_conflict());
        assert!(Interval::about(one, one).unwrap_err().is_conflict());
        assert!(Interval::give_or_take(one, "2".parse().unwrap()).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        // Brute force: the count at every end of every interval; the greatest count begins at a
        // start.
        #[test]
        fn the_sweep_agrees_with_counting_everywhere(list in prop::collection::vec((1_u64..60, 0_u64..20, 1_u64..8), 1..25)) {
            let list: Vec<Interval> = list.into_iter()
                .map(|(low, wide, of)| Interval::new(Ratio::table(low, of), Ratio::table(low + wide, of)).unwrap())
                .collect();
            let count = |value: &Ratio| list.iter().filter(|i| i.holds(value)).count();
            let most = list.iter().map(|i| count(&i.low)).max().unwrap();
            let found = sweep(&list);
            prop_assert_eq!(found[0].count, most);
            for overlap in &found {
                prop_assert_eq!(count(&overlap.interval.low), overlap.count);
                prop_assert_eq!(count(&overlap.interval.high), overlap.count);
            }
            for value in list.iter().map(|i| i.low).filter(|v| count(v) == most) {
                prop_assert!(found.iter().any(|o| o.count == most && o.interval.holds(&value)));
            }
        }
    }
}
