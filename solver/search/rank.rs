//! The order of trains of one lead: gears, gears handled, kindness, levers, teeth.
//!
//! One total order, the same on any number of threads. The leads themselves are ordered by the
//! stream; here everything is whole numbers.

use super::path::{LONGEST, Path};
use super::stock::{KindId, Stock};
use crate::{Teeth, Train};

/// Drivers below this many teeth wear and undercut: 17 is the theory at 20 degrees, 20 the habit
/// (common practice, no source).
const SMALL: u16 = 20;

/// Gears, handled, small drivers, largest step, largest gear: packed, most significant first.
/// Smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Head(u64);

/// What decides between two trains of the same lead; smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    pub(super) head: Head,
    /// Index of the setting.
    pub(super) setting: u32,
    teeth: [u16; LONGEST],
    shape: u32,
    kinds: [KindId; LONGEST],
}

/// The fitted set-up, as the search compares with it.
#[derive(Debug, Default)]
pub(super) struct Fitted(Option<Vec<((u8, bool), Teeth)>>);

impl Fitted {
    pub(super) fn new(train: Option<&Train>) -> Self {
        Self(train.map(Train::places))
    }

    /// Gears taken off plus gears put on, as [`Train::handled_from`].
    fn handled(&self, path: &Path, stock: &Stock) -> usize {
        let Some(old) = &self.0 else { return path.gears() };
        let (mut shaft, mut outer, mut stays) = (0_u8, false, 0);
        let last = path.gears() - 1;
        for (i, &kind) in path.kinds().iter().enumerate() {
            if path.is_keyed(i) {
                outer = !outer;
            } else if i > 0 {
                shaft += 1;
            }
            let key = if i == last { u8::MAX } else { shaft };
            let teeth = stock.kind(kind).gear.teeth;
            stays += usize::from(old.contains(&((key, outer), teeth)));
        }
        old.len() + path.gears() - 2 * stays
    }

    /// No arrangement of `gears` gears with these among them handles fewer.
    fn handled_at_least(&self, gears: usize, idlers: usize, teeth: impl Fn(u16) -> bool) -> usize {
        let Some(old) = &self.0 else { return gears };
        let stays = idlers + old.iter().filter(|(_, t)| teeth(t.get())).count();
        old.len() + gears - 2 * stays.min(gears).min(old.len())
    }
}

impl Head {
    fn pack(gears: usize, handled: usize, small: u64, step: u64, largest: u16) -> Self {
        // At most 8 gears, 16 handled, 7 meshes, a 32-bit step and 400 teeth: see the test.
        Self(
            (gears as u64) << 52
                | (handled as u64) << 46
                | small << 42
                | step << 10
                | u64::from(largest),
        )
    }

    #[inline]
    pub(super) fn of(path: &Path, stock: &Stock, fitted: &Fitted) -> Self {
        let (mut small, mut step, mut largest, mut before) = (0, 0, 0, 0);
        for (i, &kind) in path.kinds().iter().enumerate() {
            let z = stock.kind(kind).teeth;
            largest = z.max(largest);
            if i > 0 && !path.is_keyed(i) {
                small += u64::from(before < SMALL);
                step = step.max(whole_step(before, z));
            }
            before = z;
        }
        Self::pack(path.gears(), fitted.handled(path, stock), small, step, largest)
    }

    /// No arrangement of these gears and so many idlers comes before this. Without idlers the
    /// small drivers are settled, and no pairing has a smaller largest step than smallest with
    /// smallest up to largest with largest.
    pub(super) fn at_least(
        drivers: &mut [u16],
        driven: &mut [u16],
        idlers: usize,
        fitted: &Fitted,
    ) -> Self {
        drivers.sort_unstable();
        driven.sort_unstable();
        let small = drivers.iter().map(|z| u64::from(*z < SMALL)).sum();
        let steps = drivers.iter().zip(&*driven).map(|(a, b)| whole_step(*a, *b));
        let step = if idlers == 0 { steps.max().unwrap_or(0) } else { 0 };
        let largest = drivers.iter().chain(&*driven).copied().max().unwrap_or(0);
        let gears = drivers.len() + driven.len() + idlers;
        let handled =
            fitted.handled_at_least(gears, idlers, |z| drivers.contains(&z) || driven.contains(&z));
        Self::pack(gears, handled, small, step, largest)
    }

    /// Gears, handled and small drivers: what comes before the largest step.
    pub(super) const fn before_step(self) -> u64 {
        self.0 >> 42
    }

    /// The largest step.
    pub(super) const fn step(self) -> u64 {
        self.0 >> 10 & 0xFFFF_FFFF
    }

    pub(super) const fn gears(self) -> usize {
        (self.0 >> 52) as usize
    }

    pub(super) const fn handled(self) -> usize {
        (self.0 >> 46 & 0x3F) as usize
    }
}

impl Key {
    pub(super) fn of(head: Head, path: &Path, setting: u32, stock: &Stock) -> Self {
        let mut teeth = [0; LONGEST];
        let mut kinds = [0; LONGEST];
        for (i, &kind) in path.kinds().iter().enumerate() {
            teeth[i] = stock.kind(kind).teeth;
            // The machine's own gears are numbered after all others, so they come last here too.
            kinds[i] = kind;
        }
        Self { head, setting, teeth, shape: path.shape(), kinds }
    }
}

/// max/min as a whole number that keeps the order: two different steps of gears up to 400 teeth
/// differ by at least 1/160,000, far more than 2^-22.
#[inline]
pub(super) fn whole_step(a: u16, b: u16) -> u64 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    u64::from((u32::from(high) << 22) / u32::from(low.max(1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_keep_their_order() {
        // The closest two steps there are: 400/399 against 399/398.
        assert!(whole_step(399, 400) < whole_step(398, 399));
        assert_eq!(whole_step(20, 40), whole_step(200, 100));
        assert!(whole_step(5, 400) < 1 << 32);
    }

    #[test]
    fn a_head_holds_the_largest_values() {
        let head = Head::pack(8, 16, 7, whole_step(5, 400), 400);
        assert_eq!((head.gears(), head.handled()), (8, 16));
        assert!(Head::pack(8, 15, 15, u64::from(u32::MAX), 1023) < head);
    }
}
