//! Where do lines and circles meet? In doubles, each result with a bound on its own error.
//!
//! Lengths are counted in steps so fine that every given length is a whole number of them
//! (`Bracket::steps_per_mm`). Sums and differences of lengths are then exact; only square roots and
//! angles have errors. A bound of 0 means exact.

use std::f64::consts::TAU;

/// Greatest error of one operation on doubles, as a part of the result (2^-53); doubled, to cover
/// the rounding of the bounds.
const ROUND: f64 = f64::EPSILON;

/// A point within `err` of the true one.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Point {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) err: f64,
}

impl Point {
    pub(super) const ORIGIN: Self = Self { x: 0.0, y: 0.0, err: 0.0 };

    pub(super) const fn new(x: f64, y: f64, err: f64) -> Self {
        Self { x, y, err }
    }

    fn is_origin(&self) -> bool {
        self.err == 0.0 && self.x == 0.0 && self.y == 0.0
    }

    /// Distance, and its error.
    #[inline]
    pub(super) fn distance(&self, other: &Self) -> (f64, f64) {
        let (x, y) = (self.x - other.x, self.y - other.y);
        let distance = (x * x + y * y).sqrt();
        (distance, self.err + other.err + 4.0 * ROUND * (distance + self.size() + other.size()))
    }

    /// At least its distance from the origin.
    pub(super) fn size(&self) -> f64 {
        self.x.abs() + self.y.abs()
    }

    /// The same, with its error increased by `err`.
    pub(super) fn blurred(&self, err: f64) -> Self {
        Self { err: self.err + err, ..*self }
    }

    /// Turned about the origin; `turn` is cosine and sine.
    pub(super) fn turned(&self, (cos, sin): (f64, f64)) -> Self {
        Self {
            x: self.x * cos - self.y * sin,
            y: self.x * sin + self.y * cos,
            err: self.err + 4.0 * ROUND * self.size(),
        }
    }
}

/// A value that must not be below zero, with its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Margin {
    pub(super) value: f64,
    pub(super) err: f64,
}

impl Margin {
    pub(super) const fn new(value: f64, err: f64) -> Self {
        Self { value, err }
    }

    /// No margin needed.
    pub(super) const FREE: Self = Self { value: f64::INFINITY, err: 0.0 };

    /// Unknown.
    pub(super) const UNKNOWN: Self = Self { value: 0.0, err: f64::INFINITY };

    /// Certainly below zero.
    #[inline]
    pub(super) fn fails(&self) -> bool {
        self.value < -self.err
    }

    /// Certainly not below zero.
    #[inline]
    pub(super) fn holds(&self) -> bool {
        self.value >= self.err
    }

    pub(super) fn least(self, other: Self) -> Self {
        if other.value < self.value { other } else { self }
    }
}

/// A length and its error.
pub(super) type Distance = (f64, f64);

/// Half a chord: the square root of `radius^2 - off^2`, where `off` has the error `err`. Zero where
/// they don't meet. Near a tangent its error is far larger than `err`.
#[inline]
fn half_chord((radius, radius_err): Distance, (off, err): Distance) -> Distance {
    let square = ((radius - off) * (radius + off)).max(0.0);
    let square_err = 2.0 * (off.abs() + err) * err
        + 2.0 * (radius + radius_err) * radius_err
        + 4.0 * ROUND * radius * radius;
    let half = square.sqrt();
    let half_err = if square > square_err { square_err / half } else { (2.0 * square_err).sqrt() };
    (half, half_err + ROUND * half)
}

/// Where a circle about `centre` meets a line that runs `offset` beside the origin in direction
/// `dir`: the places along the line, far one first; where they don't meet, the nearest place.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnLine {
    /// Whether they meet.
    pub(super) meets: Margin,
    /// Along the line, with their errors.
    pub(super) along: [(f64, f64); 2],
}

impl OnLine {
    /// About a point of the line itself.
    pub(super) fn beside((along, err): Distance, (radius, radius_err): Distance) -> Self {
        let err = err + radius_err;
        Self { meets: Margin::FREE, along: [(along + radius, err), (along - radius, err)] }
    }
}

#[inline]
pub(super) fn circle_line(
    centre: &Point,
    (radius, radius_err): Distance,
    dir: (f64, f64),
    offset: f64,
) -> OnLine {
    if centre.is_origin() && offset == 0.0 {
        // The root of a double's square is exactly that double.
        return OnLine::beside((0.0, 0.0), (radius, radius_err));
    }
    if dir == (1.0, 0.0) && offset == 0.0 && centre.y == 0.0 && centre.err == 0.0 {
        // Along the arm's own line through the pivot: sums of lengths, so exact.
        return OnLine::beside((centre.x, 0.0), (radius, radius_err));
    }
    let foot = centre.x * dir.0 + centre.y * dir.1;
    let side = centre.y * dir.0 - centre.x * dir.1;
    let err = if centre.is_origin() {
        0.0
    } else {
        centre.err + 4.0 * ROUND * (centre.size() + offset.abs())
    };
    let off = side - offset;
    let (half, half_err) = half_chord((radius, radius_err), (off, err));
    let along_err = err + half_err + ROUND * (foot.abs() + half);
    OnLine {
        meets: Margin::new(radius - off.abs(), err + radius_err),
        along: [(foot + half, along_err), (foot - half, along_err)],
    }
}

/// The point at a place along a line.
#[inline]
pub(super) fn on_line((along, err): (f64, f64), dir: (f64, f64), offset: f64) -> Point {
    let straight = dir == (1.0, 0.0);
    Point::new(
        dir.0 * along - dir.1 * offset,
        dir.1 * along + dir.0 * offset,
        if straight { err } else { err + 4.0 * ROUND * (along.abs() + offset.abs()) },
    )
}

/// Where two circles meet: at distance `from` from `centre` and `to` from `other`.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnCircle {
    /// Whether they are near enough to each other: from + to - distance.
    pub(super) reaches: Margin,
    /// Whether neither lies inside the other: distance - |from - to|.
    pub(super) crosses: Margin,
    pub(super) points: [Point; 2],
}

/// `apart`: the distance of the two centres, if it is known more exactly than from their places.
/// Where the circles don't meet, both points are the nearest place on the first circle.
#[inline]
pub(super) fn circle_circle(
    centre: &Point,
    from: f64,
    other: &Point,
    (to, to_err): Distance,
    apart: Option<f64>,
) -> OnCircle {
    let (found, found_err) = centre.distance(other);
    let (distance, err) = apart.map_or((found, found_err), |d| (d, 0.0));
    let span = distance.max(f64::MIN_POSITIVE);
    // Along the line of centres: (d^2 + from^2 - to^2) / 2d.
    let spread = (from - to) * (from + to) / span;
    let along = 0.5 * (span + spread);
    // No span is shorter.
    let least = (span - err).max(f64::MIN_POSITIVE);
    let along_err = 0.5 * err * (1.0 + spread.abs() / least)
        + (to + to_err) * to_err / least
        + 4.0 * ROUND * (span + spread.abs() + from + to);
    let along = along.clamp(-from, from);
    let (half, half_err) = half_chord((from, 0.0), (along, along_err));
    let (ux, uy) = ((other.x - centre.x) / span, (other.y - centre.y) / span);
    // The direction turns by the error of the centres: an arc is at most pi/2 times its sine.
    let point_err = centre.err
        + along_err
        + half_err
        + from * (1.6 * found_err / span).min(2.0)
        + 8.0 * ROUND * (from + centre.size());
    let at = |half: f64| {
        Point::new(centre.x + ux * along - uy * half, centre.y + uy * along + ux * half, point_err)
    };
    OnCircle {
        reaches: Margin::new(from + to - distance, err + to_err),
        crosses: Margin::new(distance - (from - to).abs(), err + to_err),
        points: [at(half), at(-half)],
    }
}

/// How far an angle is inside a range, whole turns apart: its distance from the nearer end, below
/// zero outside; and which end that is (false: the lower).
pub(super) fn inside(angle: f64, (from, to): (f64, f64)) -> (f64, bool) {
    (-2..=2)
        .map(|turns| {
            let angle = angle + f64::from(turns) * TAU;
            let (low, high) = (angle - from, to - angle);
            if low <= high { (low, false) } else { (high, true) }
        })
        .fold((f64::NEG_INFINITY, false), |best, next| if next.0 > best.0 { next } else { best })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_radial_slot_is_exact() {
        let met = circle_line(&Point::ORIGIN, (57.5, 0.0), (0.6, 0.8), 0.0);
        assert_eq!(met.along, [(57.5, 0.0), (-57.5, 0.0)]);
        assert!(met.meets.holds());
    }

    #[test]
    fn a_tangent_says_how_little_it_knows() {
        let centre = Point::new(30.0, 40.0, 1e-12);
        let met = circle_line(&centre, (40.0, 0.0), (1.0, 0.0), 0.0);
        assert!(!met.meets.fails() && !met.meets.holds());
        assert!(met.along[0].1 > 1e-6 && met.along[0].1 < 1e-4, "{met:?}");
    }

    #[test]
    fn angles_count_whole_turns_away() {
        let (margin, upper) = inside(350.0_f64.to_radians(), (-0.5, 1.0));
        assert!((margin - (0.5 - 10.0_f64.to_radians())).abs() < 1e-12 && !upper);
        assert!(inside(2.0, (-0.5, 1.0)).0 < 0.0 && inside(2.0, (-0.5, 1.0)).1);
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig {
            failure_persistence: None, ..Default::default()
        })]

        #[test]
        fn points_lie_where_they_should(
            x in -300.0..300.0, y in -300.0..300.0, a in 1.0..200.0, b in 1.0..200.0,
            angle in -7.0_f64..7.0, offset in -50.0..50.0,
        ) {
            let (centre, other) = (Point::new(x, y, 1e-13), Point::ORIGIN);
            let met = circle_circle(&centre, a, &other, (b, 0.0), None);
            if met.reaches.holds() && met.crosses.holds() {
                for point in met.points {
                    proptest::prop_assert!((point.distance(&centre).0 - a).abs() <= 1e-9);
                    proptest::prop_assert!((point.distance(&other).0 - b).abs() <= 1e-9);
                }
            }
            let dir = (angle.cos(), angle.sin());
            let met = circle_line(&centre, (a, 0.0), dir, offset);
            if met.meets.holds() {
                for along in met.along {
                    let point = on_line(along, dir, offset);
                    proptest::prop_assert!((point.distance(&centre).0 - a).abs() <= 1e-9);
                }
            }
        }
    }
}
