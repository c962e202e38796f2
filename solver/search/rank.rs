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

/// What decides between two trains of the same lead; smaller is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Key {
    /// Gears, handled, small drivers, largest step, largest gear: packed, most significant first.
    kind: u128,
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
}

impl Key {
    pub(super) fn of(path: &Path, setting: u32, stock: &Stock, fitted: &Fitted) -> Self {
        let mut teeth = [0; LONGEST];
        let mut kinds = [0; LONGEST];
        let (mut small, mut step, mut largest) = (0_u128, 0_u128, 0_u16);
        for (i, &kind) in path.kinds().iter().enumerate() {
            let z = stock.kind(kind).teeth;
            teeth[i] = z;
            // The machine's own gears are numbered after all others, so they come last here too.
            kinds[i] = kind;
            largest = largest.max(z);
            if i > 0 && !path.is_keyed(i) {
                let before = teeth[i - 1];
                small += u128::from(before < SMALL);
                step = step.max(whole_step(before, z));
            }
        }
        let gears = path.gears() as u128;
        let handled = fitted.handled(path, stock) as u128;
        let kind = gears << 96 | handled << 80 | small << 72 | step << 16 | u128::from(largest);
        Self { kind, setting, teeth, shape: path.shape(), kinds }
    }

    pub(super) const fn gears(&self) -> usize {
        (self.kind >> 96) as usize
    }

    pub(super) const fn handled(&self) -> usize {
        (self.kind >> 80 & 0xFFFF) as usize
    }

    /// The part that is compared between leads that err by the same amount on opposite sides.
    pub(super) const fn kindness(&self) -> u128 {
        self.kind
    }
}

/// max/min as a whole number that keeps the order: two different steps of gears up to 400 teeth
/// differ by at least 1/160,000, far more than 2^-32.
fn whole_step(a: u16, b: u16) -> u128 {
    let (low, high) = if a < b { (a, b) } else { (b, a) };
    (u128::from(high) << 32) / u128::from(low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_keep_their_order() {
        // The closest two steps there are: 399/400 against 398/399, upside down.
        assert!(whole_step(399, 400) < whole_step(398, 399));
        assert_eq!(whole_step(20, 40), whole_step(200, 100));
        assert!(whole_step(5, 400) < 1 << 56);
    }
}
