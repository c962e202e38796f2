//! Chance for tests.

/// Numbers that look random, the same every time.
pub(super) struct Dice(pub(super) u64);

impl Dice {
    fn next(&mut self) -> u32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        u32::try_from(self.0 >> 33).unwrap()
    }

    pub(super) fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next()).unwrap() % most
    }

    pub(super) fn part(&mut self) -> f64 {
        f64::from(self.next()) / f64::from(1_u32 << 31)
    }
}
