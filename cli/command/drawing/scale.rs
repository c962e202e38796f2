//! How large is a picture drawn, so that it and its words have room on the sheet?

use crate::report::drawing::Point;

/// Room for words left and right of the gears, and above and below, in mm of paper.
pub(super) const ROOM: Point = (26.0, 12.0);
/// The least and greatest of what must be seen.
#[derive(Debug)]
pub(super) struct Bounds {
    pub(super) low: Point,
    pub(super) high: Point,
}

impl Default for Bounds {
    fn default() -> Self {
        Self { low: (0.0, 0.0), high: (0.0, 0.0) }
    }
}

impl Bounds {
    pub(super) fn hold(&mut self, (right, up): Point, round: f64) {
        self.low = (self.low.0.min(right - round), self.low.1.min(up - round));
        self.high = (self.high.0.max(right + round), self.high.1.max(up + round));
    }

    /// mm of paper to a mm of the machine: the largest of the usual scales that leaves room for the words.
    pub(super) fn scale(&self, width: f64, height: f64) -> f64 {
        let fits = |scale: &f64| {
            (self.high.0 - self.low.0).mul_add(*scale, 2.0 * ROOM.0) <= width
                && (self.high.1 - self.low.1).mul_add(*scale, 2.0 * ROOM.1) <= height
        };
        let smaller = [1.0, 10.0, 100.0, 1e3, 1e4].into_iter();
        let smaller = smaller.flat_map(|ten| SMALLER.map(|part| 1.0 / (part * ten)));
        LARGER.into_iter().chain(smaller).find(fits).unwrap_or(1e-5)
    }
}

/// The usual scales down to 1:1, and below it by tens.
const LARGER: [f64; 5] = [5.0, 4.0, 3.0, 2.0, 1.5];
const SMALLER: [f64; 12] =
    [1.0, 1.25, 4.0 / 3.0, 1.5, 5.0 / 3.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];

/// A round length of 20 to 50 mm on the paper.
pub(super) fn bar(scale: f64) -> f64 {
    let mut size = 1e6;
    for step in [2.0, 2.5, 2.0].iter().cycle().take(24) {
        if size * scale <= 50.0 {
            break;
        }
        size /= step;
    }
    size
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEIGHT: f64 = 150.0;

    #[test]
    fn the_bar_is_a_round_length_that_fits() {
        for (scale, wanted) in [(1.0, 50.0), (0.8, 50.0), (0.5, 100.0), (2.0, 20.0), (0.01, 5000.0)]
        {
            assert!((bar(scale) - wanted).abs() < 1e-6, "{scale}: {}", bar(scale));
        }
    }

    #[test]
    fn any_machine_has_a_scale() {
        for size in [1.0, 30.0, 100.0, 400.0, 9000.0, 40_000.0] {
            let mut bounds = Bounds::default();
            bounds.hold((0.0, 0.0), size / 2.0);
            let by = bounds.scale(180.0, HEIGHT);
            assert!(by * size <= HEIGHT, "{size}: {by}");
            // No more than is needed: the next larger one would not fit, or it is the largest.
            assert!(by * size * 2.1 > HEIGHT - 2.0 * ROOM.1 || by >= 5.0, "{size}: {by}");
        }
    }
}
