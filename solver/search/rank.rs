//! Which train of one lead comes first? Gears, gears moved, kindness, levers, teeth.
//!
//! One total order, the same on any number of threads. The stream orders the leads; here everything
//! is whole numbers.

use super::path::{LONGEST, Path};
use super::stock::{KindId, Stock};
use crate::{GearPlace, Teeth, Train};

/// Drivers with fewer teeth wear and are undercut: 17 by theory at 20 degrees, 20 by habit (common
/// practice, no source).
pub(super) const SMALL: u16 = 20;

/// Gears, gears moved, small drivers, largest step, largest gear: packed, most significant first.
/// Smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Head(u64);

/// The order of two trains of the same lead; smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    pub(super) head: Head,
    /// Index of the setting.
    pub(super) setting: u32,
    teeth: [u16; LONGEST],
    shape: u32,
    kinds: [KindId; LONGEST],
}

/// What is on the machine, as the search compares it.
#[derive(Debug, Default)]
pub(super) struct Fitted(Option<Vec<(GearPlace, Teeth)>>);

impl Fitted {
    pub(super) fn new(train: Option<&Train>) -> Self {
        Self(train.map(Train::places))
    }

    /// Gears taken off plus gears put on, as [`Train::handled_from`].
    fn handled(&self, path: &Path, stock: &Stock) -> usize {
        let Some(old) = &self.0 else { return path.gears() };
        let stays = path.places(stock).filter(|place| old.contains(place)).count();
        old.len() + path.gears() - 2 * stays
    }

    /// No arrangement of `gears` gears that include these moves fewer.
    pub(super) fn handled_at_least(
        &self,
        gears: usize,
        idlers: usize,
        has: impl Fn(Teeth) -> bool,
    ) -> usize {
        let Some(old) = &self.0 else { return gears };
        let stays = idlers + old.iter().filter(|(_, teeth)| has(*teeth)).count();
        old.len() + gears - 2 * stays.min(gears).min(old.len())
    }
}

impl Head {
    pub(super) fn pack(gears: usize, handled: usize, small: u64, step: u32, largest: u16) -> Self {
        // At most 8 gears, 16 moved, 7 meshes, a 32-bit step and 400 teeth: see the test.
        Self(
            (gears as u64) << 52
                | (handled as u64) << 46
                | small << 42
                | u64::from(step) << 10
                | u64::from(largest),
        )
    }

    #[inline]
    pub(super) fn of(path: &Path, stock: &Stock, fitted: &Fitted) -> Self {
        let (mut small, mut step, mut largest) = (0, 0, 0);
        let mut before: Option<(KindId, u16)> = None;
        for (i, &kind) in path.kinds().iter().enumerate() {
            let z = stock.teeth(kind);
            largest = z.max(largest);
            if let Some((driver, teeth)) = before.filter(|_| !path.is_keyed(i)) {
                small += u64::from(teeth < SMALL);
                step = step.max(stock.step(driver, kind));
            }
            before = Some((kind, z));
        }
        Self::pack(path.gears(), fitted.handled(path, stock), small, step, largest)
    }

    /// Gears, gears moved and small drivers: the key down to the largest step.
    pub(super) const fn before_step(self) -> u64 {
        self.0 >> 42
    }

    /// The largest step.
    pub(super) const fn step(self) -> u32 {
        (self.0 >> 10 & 0xFFFF_FFFF) as u32
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
            teeth[i] = stock.teeth(kind);
            // The machine's own gears are numbered after all others, so they come last here too.
            kinds[i] = kind;
        }
        Self { head, setting, teeth, shape: path.shape(), kinds }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_head_holds_the_largest_values() {
        let head = Head::pack(8, 16, 7, u32::MAX - 1, 400);
        assert_eq!((head.gears(), head.handled()), (8, 16));
        assert!(Head::pack(8, 15, 15, u32::MAX, 1023) < head);
    }
}
