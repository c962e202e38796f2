//! Which area does a tool remove? Its end and its flanks, at a depth in the work.
//!
//! ```text
//!   nose   y < u: a circle of radius r;  above: flanks that touch it, u = r (1 - sin a)
//!   flat   w + 2 y tan a
//! ```
//!
//! At a depth the tool covers all its earlier outlines, for straight infeed and for any line within
//! its flanks: shifted up by h and sideways by at most h tan a, the outline is inside itself. So the
//! area below the surface depends on the depth alone. A chip is the difference of two such areas,
//! for straight and for angled infeed alike.

use super::{Cut, Ground, Tip};
use crate::Length;

/// The end of a tool and the angle of its flanks.
///
/// ```
/// use solver::cutting::{Cut, Outline, Tip};
/// let screw = Cut::of(&"M10".parse()?)?;
/// let sharp = screw.outline(Tip::Sharp);
/// assert_eq!(format!("{:.4}", sharp.area(1.0)), "0.5774"); // tan 30 degrees
/// let round = Outline::round("1.5 mm".parse()?);
/// assert_eq!(format!("{:.4}", round.area(1.5)), "3.5343"); // half a disc
/// assert_eq!(round.width(9.0), 3.0);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    end: Ground,
    angle: f64,
}

/// Precision of a depth, in mm.
const NEAR: f64 = 1e-9;

impl Outline {
    /// A tool with a round end and square sides, as for an oil groove.
    pub fn round(radius: Length) -> Self {
        Self { end: Ground::Nose(radius.mm().to_f64()), angle: 0.0 }
    }

    pub(super) const fn new(end: Ground, angle: f64) -> Self {
        Self { end, angle }
    }

    /// Width of the flat at its end; `None`: a nose.
    pub(super) const fn flat(&self) -> Option<f64> {
        match self.end {
            Ground::Flat(width) => Some(width),
            Ground::Nose(_) => None,
        }
    }

    /// The same flanks on another flat.
    pub(super) const fn with_flat(self, width: f64) -> Self {
        Self { end: Ground::Flat(width), ..self }
    }

    /// Width of the groove at its surface, in mm, when the tool is `depth` mm deep.
    pub fn width(&self, depth: f64) -> f64 {
        let depth = depth.max(0.0);
        match self.end {
            Ground::Flat(width) => width + 2.0 * depth * self.angle.tan(),
            Ground::Nose(radius) => {
                let round = self.round_part(radius);
                if depth <= round {
                    2.0 * (depth * (2.0 * radius - depth)).max(0.0).sqrt()
                } else {
                    2.0 * (radius * self.angle.cos() + (depth - round) * self.angle.tan())
                }
            }
        }
    }

    /// Area of the groove, in mm², when the tool is `depth` mm deep.
    pub fn area(&self, depth: f64) -> f64 {
        let depth = depth.max(0.0);
        match self.end {
            Ground::Flat(width) => depth * (width + depth * self.angle.tan()),
            Ground::Nose(radius) => {
                let round = self.round_part(radius).min(depth);
                let chord = (round * (2.0 * radius - round)).max(0.0).sqrt();
                let cosine = if radius > 0.0 { 1.0 - round / radius } else { 1.0 };
                let segment =
                    radius * radius * cosine.clamp(-1.0, 1.0).acos() - (radius - round) * chord;
                let above = depth - round;
                segment + above * (2.0 * chord + above * self.angle.tan())
            }
        }
    }

    /// The depth at which the groove has this area, at most `most`: on the flanks by the quadratic of
    /// [`Self::area`], in the round part by halving, to a millionth of a micrometre.
    pub(super) fn depth_of(&self, area: f64, most: f64) -> f64 {
        if self.area(most) <= area {
            return most;
        }
        // Width and depth where the flanks begin, and the area below.
        let (width, round) = match self.end {
            Ground::Flat(width) => (width, 0.0),
            Ground::Nose(radius) => (2.0 * radius * self.angle.cos(), self.round_part(radius)),
        };
        let above = area - self.area(round);
        if above <= 0.0 {
            return self.in_round_part(area, round.min(most));
        }
        let root = (width * width + 4.0 * self.angle.tan() * above).sqrt();
        (round + 2.0 * above / (width + root)).min(most)
    }

    /// The depth of an area that ends below this one.
    fn in_round_part(&self, area: f64, most: f64) -> f64 {
        let (mut low, mut high) = (0.0, most);
        while high - low > NEAR {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if self.area(middle) < area { low = middle } else { high = middle }
        }
        high
    }

    /// Height of the nose's round part above its end.
    fn round_part(&self, radius: f64) -> f64 {
        radius * (1.0 - self.angle.sin())
    }
}

impl Cut {
    /// The outline of a tool for this thread.
    pub fn outline(&self, tip: Tip) -> Outline {
        let end = match tip {
            Tip::Form => self.ground(),
            Tip::Sharp => Ground::Flat(0.0),
            Tip::Nose(radius) => Ground::Nose(radius.mm().to_f64()),
            Tip::Flat(width) => Ground::Flat(width.mm().to_f64()),
        };
        Outline::new(end, self.form().radians())
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::*;
    use crate::Ratio;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The area is the sum of its widths (the trapezoid rule), and the inverse returns to the
        /// start.
        #[test]
        fn area_is_what_the_widths_add_up_to(
            name in prop::sample::select(vec!["1 mm", "Tr40x7", "1/2 BSW", "module 2"]),
            hundredths in 0_u64..120, flat: bool, depth in 0.01_f64..3.0,
        ) {
            let size = Length::from_mm(Ratio::table(hundredths.max(1), 100));
            let tip = match (hundredths, flat) {
                (0, _) => Tip::Sharp,
                (_, true) => Tip::Flat(size),
                (_, false) => Tip::Nose(size),
            };
            let outline = cut(name).outline(tip);
            let steps = 20_000_u32;
            let high = |i: u32| depth * f64::from(i) / f64::from(steps);
            let sum: f64 = (0..steps)
                .map(|i| f64::midpoint(outline.width(high(i)), outline.width(high(i + 1))))
                .sum::<f64>() * depth / f64::from(steps);
            prop_assert!((sum - outline.area(depth)).abs() < 1e-5, "{sum} {}", outline.area(depth));
            let back = outline.depth_of(outline.area(depth), 10.0);
            prop_assert!((back - depth).abs() < 1e-6, "{back} {depth}");
        }
    }
}
