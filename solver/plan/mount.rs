//! Which gear is in which place, and how many gears are moved from one mount to the next?

use crate::{GearPlace, Teeth};
use std::hash::{BuildHasherDefault, Hasher};

/// Gears of the longest train.
const LONGEST: usize = 8;
/// Padding of an unused slot; no gear in a place has this number.
const NONE: u16 = u16::MAX;

/// Where a plan begins and ends.
#[derive(Debug, Clone, Copy)]
pub(super) struct Trip {
    /// What is on the machine.
    pub(super) start: Mount,
    /// What is put back at the end; `None`: a plan may end anywhere.
    pub(super) home: Option<Mount>,
}

impl Trip {
    /// Gears moved from here to the end.
    pub(super) fn home_from(&self, from: &Mount) -> u32 {
        self.home.map_or(0, |home| from.distance(&home))
    }

    /// 1 where every plan moves an odd number of gears, 0 where every one an even; `None`: either.
    pub(super) fn parity(&self) -> Option<u32> {
        self.home.map(|home| (self.start.count() + home.count()) % 2)
    }
}

/// Gears in their places. A place is a shaft and a plane; a gear in another place is another gear
/// here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Mount {
    /// One number for each gear in its place, ascending.
    gears: [u16; LONGEST],
    len: u8,
}

impl Mount {
    /// An empty machine.
    pub(super) const EMPTY: Self = Self { gears: [NONE; LONGEST], len: 0 };

    /// From [`crate::Train::places`].
    pub(super) fn new(places: impl Iterator<Item = (GearPlace, Teeth)>) -> Self {
        let mut mount = Self::EMPTY;
        for (slot, (place, teeth)) in mount.gears.iter_mut().zip(places) {
            // Five shafts; teeth are at most 400.
            *slot = (place.shaft as u16 * 2 + u16::from(place.outer)) * 401 + teeth.get();
            mount.len += 1;
        }
        mount.gears.sort_unstable();
        mount
    }

    pub(super) fn len(&self) -> usize {
        self.len.into()
    }

    /// Number of gears.
    pub(super) fn count(&self) -> u32 {
        self.len.into()
    }

    pub(super) fn gears(&self) -> &[u16] {
        &self.gears[..self.len()]
    }

    /// Gears taken off and put on from one to the other: [`crate::Train::handled_from`].
    #[inline]
    pub(super) fn distance(&self, other: &Self) -> u32 {
        let (mut i, mut j, mut common) = (0, 0, 0);
        while i < self.len() && j < other.len() {
            let (a, b) = (self.gears[i], other.gears[j]);
            common += u32::from(a == b);
            i += usize::from(a <= b);
            j += usize::from(b <= a);
        }
        u32::from(self.len) + u32::from(other.len) - 2 * common
    }

    /// The gears chosen by the bits of `which`.
    pub(super) fn part(&self, which: u32) -> Self {
        let mut part = Self::EMPTY;
        for (i, &gear) in self.gears().iter().enumerate() {
            if which >> i & 1 == 1 {
                part.gears[part.len()] = gear;
                part.len += 1;
            }
        }
        part
    }

    /// Every subset of its gears, also all of them and none.
    pub(super) fn parts(&self) -> impl Iterator<Item = Self> + '_ {
        (0..1_u32 << self.len).map(|which| self.part(which))
    }

    /// Without one of its gears.
    pub(super) fn without(&self, at: usize) -> Self {
        self.part(!(1 << at))
    }

    /// All of it as one number.
    pub(super) fn key(&self) -> u128 {
        self.gears.iter().fold(0, |key, &gear| key << 16 | u128::from(gear))
    }
}

/// A quick hash of [`Mount::key`]. Tables by mount are never listed, so no order depends on it.
#[derive(Default)]
pub(super) struct Mix(u64);

impl Hasher for Mix {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.write_u128(byte.into());
        }
    }

    fn write_u128(&mut self, key: u128) {
        const ODD: u64 = 0x9E37_79B9_7F4A_7C15;
        #[expect(clippy::cast_possible_truncation, reason = "both halves are taken")]
        for half in [key as u64, (key >> 64) as u64] {
            let mixed = (self.0 ^ half).wrapping_mul(ODD);
            self.0 = mixed ^ mixed >> 32;
        }
    }
}

/// A table by [`Mount::key`].
pub(super) type ByMount<T> = std::collections::HashMap<u128, T, BuildHasherDefault<Mix>>;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Train;
    use proptest::prelude::*;

    fn mount(text: &str) -> Mount {
        Mount::new(text.parse::<Train>().unwrap().places().into_iter())
    }

    #[test]
    fn parts_are_all_choices() {
        let train = mount("40-55+50-65");
        let mut parts: Vec<Mount> = train.parts().collect();
        parts.sort_unstable();
        parts.dedup();
        assert_eq!(parts.len(), 16);
        assert!(parts.contains(&train) && parts.contains(&Mount::EMPTY));
        assert_eq!(train.without(0).distance(&train), 1);
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_distance_is_what_is_handled(
            a in prop::collection::vec((5_u64..9, 5_u64..9, any::<bool>()), 0..4),
            b in prop::collection::vec((5_u64..9, 5_u64..9, any::<bool>()), 0..4),
            ends in prop::collection::vec(5_u64..9, 4),
        ) {
            let train = |studs: &[(u64, u64, bool)], ends: &[u64]| {
                let studs: Vec<String> = studs
                    .iter()
                    .map(|(a, b, pair)| if *pair { format!("{a}+{b}-") } else { format!("{a}-") })
                    .collect();
                format!("{}-{}{}", ends[0], studs.concat(), ends[1]).parse::<Train>().unwrap()
            };
            let (a, b) = (train(&a, &ends[..2]), train(&b, &ends[2..]));
            let places = |t: &Train| Mount::new(t.places().into_iter());
            prop_assert_eq!(places(&a).distance(&places(&b)) as usize, a.handled_from(&b));
        }
    }
}
