//! Is there exactly one way to close all meshes near a place, and how exactly is it known? A proof.
//!
//! ```text
//!   Unknown: the swing and each stud's place in its slot; a mesh of width a between two shafts
//!     P and Q is closed where f = (|Q - P|^2 - a^2) / 2a = 0. As many meshes as unknowns.
//!   With Y near the inverse of the derivatives J at x, and J' those anywhere in the box x +- r,
//!     |Y f(x)| + |1 - Y J'| r < r  in each unknown
//!   means that the box holds exactly one zero (R. Krawczyk, 1969), no further from x than the left
//!   side. How much J' differs from J follows from how far the shafts can move in the box.
//! ```

use super::candidates::Candidate;
use super::geometry::{Curve, Geometry};
use super::meet::Place;
use super::point::{Distance, Margin, Point, on_line};
use super::wheels::{SHAFTS, Wheels};

/// Unknowns: the swing, then each stud's place.
const MOST: usize = SHAFTS - 1;
type Vector = [f64; MOST];
type Matrix = [Vector; MOST];

/// Steps of Newton's method, and of making the bounds closer.
const STEPS: usize = 8;
/// Added to a bound for its own rounding, as a part of it.
const SPARE: f64 = 1e-9;

/// A shaft that moves with one unknown.
#[derive(Clone, Copy, Default)]
struct Moving {
    at: (f64, f64),
    /// The error of `at`.
    err: f64,
    /// For one unit of the unknown.
    velocity: (f64, f64),
    speed: f64,
    /// How much the velocity changes for one unit of the unknown.
    bend: f64,
}

impl Moving {
    fn apart(&self, other: &Self) -> f64 {
        let (x, y) = (other.at.0 - self.at.0, other.at.1 - self.at.1);
        (x * x + y * y).sqrt()
    }
}

impl Geometry {
    /// The only way to close all meshes near `seen`, in its slots, if it is proven unique within the
    /// errors of `seen`.
    pub(super) fn only_root(
        &self,
        wheels: &Wheels,
        seen: &Candidate,
        swing: (f64, f64),
    ) -> Option<Candidate> {
        let system = System { geometry: self, wheels, seen, count: wheels.studs() + 1 };
        system.only_root(swing)
    }
}

struct System<'a> {
    geometry: &'a Geometry,
    wheels: &'a Wheels,
    seen: &'a Candidate,
    count: usize,
}

impl System<'_> {
    fn only_root(&self, (swing, half): (f64, f64)) -> Option<Candidate> {
        let mut start = Vector::default();
        start[0] = swing;
        for (at, place) in start.iter_mut().zip(&self.seen.places).take(self.count).skip(1) {
            *at = place.as_ref()?.along;
        }
        let (x, inverse) = self.zero(start)?;
        // A box about the zero that holds all of `seen`; its sides in the units of the unknowns.
        let units = self.units();
        let mut size = ((x[0] - swing).abs() + half) / units[0];
        for stud in 1..self.count {
            // An arc is at most pi/2 times its chord.
            let err = match self.curve(stud)? {
                Curve::Arc { .. } => 1.6 * self.seen.points[stud].err,
                _ => self.seen.points[stud].err,
            };
            size = size.max((x[stud] - start[stud]).abs() / units[stud] + err);
        }
        let mut radius = units.map(|unit| 1.01 * size * unit);
        if !self.contracts(&x, &inverse, &mut radius) {
            return None;
        }
        // Each step leaves a smaller box with the zero inside.
        for _ in 0..STEPS {
            if !self.contracts(&x, &inverse, &mut radius) {
                break;
            }
        }
        self.candidate(&x, &radius)
    }

    /// The end of Newton's method, and the inverse of the derivatives there.
    fn zero(&self, mut x: Vector) -> Option<(Vector, Matrix)> {
        for _ in 0..STEPS {
            let moving = self.moving(&x)?;
            let (f, _) = self.gaps(&moving);
            let inverse = inverse(self.derivatives(&moving), self.count)?;
            let step = times(&inverse, &f, self.count);
            for i in 0..self.count {
                x[i] -= step[i];
            }
            let units = self.units();
            let far = (0..self.count).map(|i| (step[i] / units[i]).abs()).fold(0.0, f64::max);
            if far <= 1e-9 * self.geometry.steps {
                let moving = self.moving(&x)?;
                return Some((x, self::inverse(self.derivatives(&moving), self.count)?));
            }
        }
        None
    }

    /// Whether a box about `x` certainly holds exactly one zero; then makes the box smaller.
    fn contracts(&self, x: &Vector, inverse: &Matrix, radius: &mut Vector) -> bool {
        let Some(moving) = self.moving(x) else { return false };
        let (f, f_err) = self.gaps(&moving);
        let derivatives = self.derivatives(&moving);
        let spread = self.spread(&moving, radius);
        let n = self.count;
        let mut next = Vector::default();
        for i in 0..n {
            let mut bound = 0.0;
            for j in 0..n {
                bound += inverse[i][j].abs() * (f[j].abs() + f_err[j]);
                let mut off = if i == j { 1.0 } else { 0.0 };
                let mut size = 0.0;
                let mut more = 0.0;
                for k in 0..n {
                    off -= inverse[i][k] * derivatives[k][j];
                    size += (inverse[i][k] * derivatives[k][j]).abs();
                    more += inverse[i][k].abs() * spread[k][j];
                }
                bound += (off.abs() + more + 1e-13 * (1.0 + size)) * radius[j];
            }
            next[i] = bound * (1.0 + SPARE);
        }
        // Compared in this direction: a NaN is no proof.
        let inside = (0..n).all(|i| next[i] < radius[i]);
        if inside {
            *radius = next;
        }
        inside
    }

    /// The change that moves a shaft by about one step.
    fn units(&self) -> Vector {
        let far = |shaft: &Point| shaft.distance(&Point::ORIGIN).0;
        let arm = far(&self.geometry.first).max(far(&self.geometry.last));
        let mut units = [1.0; MOST];
        units[0] = 1.0 / arm.max(f64::MIN_POSITIVE);
        for (stud, unit) in units.iter_mut().enumerate().take(self.count).skip(1) {
            if let Some(Curve::Arc { radius, .. }) = self.curve(stud) {
                *unit = 1.0 / radius;
            }
        }
        units
    }

    fn curve(&self, stud: usize) -> Option<&Curve> {
        Some(&self.geometry.slots[self.seen.places[stud]?.slot])
    }

    /// The shafts in the arm's frame, and how they move: the ends with the swing.
    fn moving(&self, x: &Vector) -> Option<[Moving; SHAFTS]> {
        let mut moving = [Moving::default(); SHAFTS];
        let turn = (x[0].cos(), -x[0].sin());
        for (shaft, at) in [(0, &self.geometry.first), (self.count, &self.geometry.last)] {
            let point = at.turned(turn);
            let far = at.distance(&Point::ORIGIN).0;
            moving[shaft] = Moving {
                at: (point.x, point.y),
                err: point.err,
                velocity: (point.y, -point.x),
                speed: far,
                bend: far,
            };
        }
        for stud in 1..self.count {
            let curve = self.curve(stud)?;
            let point = curve.point((x[stud], 0.0));
            let (velocity, speed, bend) = match curve {
                Curve::Line { dir, .. } => (*dir, 1.0, 0.0),
                Curve::Arc { radius, .. } => {
                    let (sin, cos) = x[stud].sin_cos();
                    ((-radius * sin, radius * cos), *radius, *radius)
                }
                Curve::Hole { .. } => return None,
            };
            moving[stud] = Moving { at: (point.x, point.y), err: point.err, velocity, speed, bend };
        }
        Some(moving)
    }

    /// Width of a mesh.
    fn wanted(&self, mesh: usize) -> f64 {
        self.wheels.nominal(mesh) + self.geometry.opening.0
    }

    /// How far each mesh is from closing, and the error of that.
    fn gaps(&self, moving: &[Moving; SHAFTS]) -> (Vector, Vector) {
        let (mut gaps, mut errs) = (Vector::default(), Vector::default());
        for mesh in 0..self.count {
            let (p, q, a) = (&moving[mesh], &moving[mesh + 1], self.wanted(mesh));
            let apart = p.apart(q);
            gaps[mesh] = (apart - a) * (apart + a) / (2.0 * a);
            // The points, the differences, and the rest of the sum.
            let far = p.at.0.abs() + p.at.1.abs() + q.at.0.abs() + q.at.1.abs();
            let err = p.err + q.err + 4.0 * f64::EPSILON * (far + apart + a);
            errs[mesh] = err * (apart + a + err) / a;
        }
        (gaps, errs)
    }

    fn derivatives(&self, moving: &[Moving; SHAFTS]) -> Matrix {
        let mut all = Matrix::default();
        for mesh in 0..self.count {
            let (p, q, a) = (&moving[mesh], &moving[mesh + 1], self.wanted(mesh));
            let along = ((q.at.0 - p.at.0) / a, (q.at.1 - p.at.1) / a);
            let rate = |v: (f64, f64)| along.0 * v.0 + along.1 * v.1;
            all[mesh][self.unknown(mesh)] -= rate(p.velocity);
            all[mesh][self.unknown(mesh + 1)] += rate(q.velocity);
        }
        all
    }

    /// How much each derivative can change within a box.
    fn spread(&self, moving: &[Moving; SHAFTS], radius: &Vector) -> Matrix {
        let mut all = Matrix::default();
        for mesh in 0..self.count {
            let (p, q, a) = (&moving[mesh], &moving[mesh + 1], self.wanted(mesh));
            let (of_p, of_q) = (radius[self.unknown(mesh)], radius[self.unknown(mesh + 1)]);
            let moved = p.speed * of_p + q.speed * of_q;
            let apart = p.apart(q);
            let change =
                |m: &Moving, by: f64| (moved * m.speed + (apart + moved) * m.bend * by) / a;
            all[mesh][self.unknown(mesh)] += change(p, of_p);
            all[mesh][self.unknown(mesh + 1)] += change(q, of_q);
        }
        all
    }

    /// The unknown that moves a shaft: the swing moves both ends.
    const fn unknown(&self, shaft: usize) -> usize {
        if shaft == self.count { 0 } else { shaft }
    }

    fn candidate(&self, x: &Vector, radius: &Vector) -> Option<Candidate> {
        let mut root = self.geometry.at_swing(self.wheels, (x[0], radius[0]));
        for stud in 1..self.count {
            let place = self.seen.places[stud]?;
            let curve = self.curve(stud)?;
            let along = (x[stud], radius[stud]);
            let (ends, upper) = curve.ends(along);
            root.points[stud] = curve.point(along);
            root.places[stud] =
                Some(Place { along: x[stud], meets: Margin::FREE, ends, upper, ..place });
        }
        Some(root)
    }
}

impl Curve {
    /// The point at a place.
    fn point(&self, (along, err): Distance) -> Point {
        match self {
            Self::Line { dir, offset, .. } => on_line((along, err), *dir, *offset),
            Self::Hole { at, .. } => *at,
            Self::Arc { centre, radius, .. } => {
                let (sin, cos) = along.sin_cos();
                let size = centre.size() + radius * (2.0 + along.abs());
                let err = centre.err + err * radius + 4.0 * f64::EPSILON * size;
                Point::new(centre.x + radius * cos, centre.y + radius * sin, err)
            }
        }
    }
}

fn times(matrix: &Matrix, vector: &Vector, n: usize) -> Vector {
    let mut product = Vector::default();
    for (row, sum) in matrix.iter().zip(&mut product).take(n) {
        *sum = row.iter().zip(vector).take(n).map(|(a, b)| a * b).sum();
    }
    product
}

/// By elimination, the largest pivot first; `None` if it is nearly zero.
fn inverse(mut matrix: Matrix, n: usize) -> Option<Matrix> {
    let mut inverse = Matrix::default();
    for (i, row) in inverse.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for at in 0..n {
        let best = (at..n).max_by(|a, b| matrix[*a][at].abs().total_cmp(&matrix[*b][at].abs()))?;
        matrix.swap(at, best);
        inverse.swap(at, best);
        let pivot = matrix[at][at];
        if pivot.abs() < f64::MIN_POSITIVE || !pivot.is_finite() {
            return None;
        }
        for k in 0..n {
            matrix[at][k] /= pivot;
            inverse[at][k] /= pivot;
        }
        for row in (0..n).filter(|row| *row != at) {
            let factor = matrix[row][at];
            for k in 0..n {
                matrix[row][k] -= factor * matrix[at][k];
                inverse[row][k] -= factor * inverse[at][k];
            }
        }
    }
    Some(inverse)
}
