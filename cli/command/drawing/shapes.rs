//! Plane geometry of a picture: turns, arcs, what two circles share, the nearest point of an outline.
//! Right and up count positive, turns clockwise.

use crate::report::drawing::Point;

/// Steps of a whole turn where a curve is drawn as a line.
const STEPS: f64 = 72.0;

pub(super) fn plus(a: Point, b: Point) -> Point {
    (a.0 + b.0, a.1 + b.1)
}

pub(super) fn minus(a: Point, b: Point) -> Point {
    (a.0 - b.0, a.1 - b.1)
}

pub(super) fn times(a: Point, by: f64) -> Point {
    (a.0 * by, a.1 * by)
}

pub(super) fn length(a: Point) -> f64 {
    // Of sizes on paper no square is too large or too small, and this is told much sooner than `hypot`.
    a.0.mul_add(a.0, a.1 * a.1).sqrt()
}

/// From `a` so far in the direction of `b`; up where they coincide.
pub(super) fn toward(a: Point, b: Point, far: f64) -> Point {
    plus(a, times(direction(a, b), far))
}

/// The direction from `a` to `b`; up where they coincide.
pub(super) fn direction(a: Point, b: Point) -> Point {
    let way = minus(b, a);
    let size = length(way);
    if size < 1e-9 { (0.0, 1.0) } else { times(way, 1.0 / size) }
}

/// Turned clockwise, by degrees.
pub(super) fn turned((x, y): Point, degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (x.mul_add(cos, y * sin), y.mul_add(cos, -x * sin))
}

/// Points of an arc: from the direction `from`, clockwise by degrees (negative: the other way).
pub(super) fn arc(centre: Point, radius: f64, from: Point, degrees: f64) -> Vec<Point> {
    let steps = (degrees.abs() / 360.0 * STEPS).ceil().max(2.0);
    let mut points = Vec::new();
    let mut step = 0.0;
    while step <= steps {
        points.push(plus(centre, times(turned(from, degrees * step / steps), radius)));
        step += 1.0;
    }
    points
}

/// The outline of what two circles share; `None` where one lies in the other or they don't meet.
pub(super) fn lens(a: (Point, f64), b: (Point, f64)) -> Option<Vec<Point>> {
    let distance = length(minus(b.0, a.0));
    if distance >= a.1 + b.1 || distance <= (a.1 - b.1).abs() {
        return None;
    }
    let half = |r: f64, other: f64| {
        let cos = (r * r + distance * distance - other * other) / (2.0 * r * distance);
        cos.clamp(-1.0, 1.0).acos().to_degrees()
    };
    let side = |(centre, r): (Point, f64), other: (Point, f64)| {
        let half = half(r, other.1);
        arc(centre, r, turned(direction(centre, other.0), -half), 2.0 * half)
    };
    let mut outline = side(a, b);
    outline.extend(side(b, a));
    Some(outline)
}

/// The outline of a strip with round ends, so far to either side of a line.
pub(super) fn strip(line: &[Point], half: f64) -> Vec<Point> {
    let (Some(first), Some(last)) = (line.first(), line.last()) else { return Vec::new() };
    let start = line.get(1).map_or((0.0, 1.0), |next| direction(*first, *next));
    let end = line.iter().rev().nth(1).map_or((0.0, 1.0), |before| direction(*before, *last));
    let side = |way: Point, at: &Point| plus(*at, times(turned(way, -90.0), half));
    let edge = |from: &[Point], ends: (Point, Point), flip: bool| -> Vec<Point> {
        let mut ways = vec![ends.0];
        ways.extend(from.windows(3).map(|w| direction(w[0], w[2])));
        ways.push(ends.1);
        let flipped = |way: Point| if flip { times(way, -1.0) } else { way };
        from.iter().zip(ways).map(|(at, way)| side(flipped(way), at)).collect()
    };
    let mut outline = edge(line, (start, end), false);
    outline.extend(arc(*last, half, turned(end, -90.0), 180.0));
    let mut back = edge(line, (start, end), true);
    back.reverse();
    outline.extend(back);
    outline.extend(arc(*first, half, turned(start, 90.0), 180.0));
    outline
}

/// The nearest point of a closed outline.
pub(super) fn nearest(outline: &[Point], to: Point) -> Option<Point> {
    let next = outline.iter().cycle().skip(1);
    let on_edge = |(a, b): (&Point, &Point)| {
        let edge = minus(*b, *a);
        let way = minus(to, *a);
        let square = edge.0.mul_add(edge.0, edge.1 * edge.1).max(1e-12);
        let part = (way.0.mul_add(edge.0, way.1 * edge.1) / square).clamp(0.0, 1.0);
        plus(*a, times(edge, part))
    };
    let far = |p: &Point| length(minus(*p, to));
    outline.iter().zip(next).map(on_edge).min_by(|a, b| far(a).total_cmp(&far(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Point, b: Point) -> bool {
        length(minus(a, b)) < 1e-9
    }

    #[test]
    fn turns_are_clockwise() {
        assert!(near(turned((0.0, 1.0), 90.0), (1.0, 0.0)));
        let quarter = arc((10.0, 0.0), 2.0, (0.0, 1.0), 90.0);
        assert!(near(quarter[0], (10.0, 2.0)) && near(*quarter.last().unwrap(), (12.0, 0.0)));
    }

    #[test]
    fn a_lens_lies_in_both_circles() {
        let (a, b) = (((0.0, 0.0), 5.0), ((6.0, 0.0), 3.0));
        for point in lens(a, b).unwrap() {
            assert!(length(minus(point, a.0)) < a.1 + 1e-9, "{point:?}");
            assert!(length(minus(point, b.0)) < b.1 + 1e-9, "{point:?}");
        }
        assert!(lens(a, ((8.0, 0.0), 3.0)).is_none() && lens(a, ((1.0, 0.0), 3.0)).is_none());
    }

    #[test]
    fn the_outline_of_a_strip_keeps_its_distance() {
        let bent = arc((0.0, 0.0), 40.0, (0.0, 1.0), 60.0);
        for line in [&bent[..], &[(0.0, 0.0), (0.0, 30.0)], &[(5.0, 5.0), (5.0, 5.0)]] {
            let far =
                |p: &Point| line.iter().map(|q| length(minus(*p, *q))).fold(f64::MAX, f64::min);
            let outline = strip(line, 3.0);
            assert!(outline.len() > 20);
            assert!(outline.iter().all(|p| (2.9..4.0).contains(&far(p))), "{outline:?}");
        }
    }

    #[test]
    fn the_nearest_point_lies_on_an_edge_or_a_corner() {
        let square = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)];
        assert!(near(nearest(&square, (2.0, -3.0)).unwrap(), (2.0, 0.0)));
        assert!(near(nearest(&square, (-3.0, 5.0)).unwrap(), (0.0, 4.0)));
        // The closing edge counts too.
        assert!(near(nearest(&square, (1.0, 2.0)).unwrap(), (0.0, 2.0)));
    }
}
