//! Does a train certainly fit, or certainly not, where an arm pivots on a point of its own, a stud is
//! in a hole or the arm can't swing? The swing and the place of each stud along its slot are divided
//! into boxes. Turning the arm by an angle moves a stud by no more than that times its distance from
//! the pivot, so within a box no distance changes by more than the studs can move, and a box in which
//! something fails by more than that is done with. No other formula than the distance of two points.

use super::rig::{Chain, Rig, Slot, Spot, apart, giver};
use super::stand::{assignments, clear, in_range, patterns};

/// Boxes looked at for one train; what is then left is not known.
const MOST_BOXES: usize = 10_000;
/// Studs known so well (mm) are known well enough: what is then left is too close to say.
const KNOWN: f64 = 1e-7;
/// A margin that is no more than this (mm) is not trusted.
const TRUSTED: f64 = 1e-6;
/// Where studs are known no better (mm) nobody asks what touches what.
const COARSE: f64 = 0.3;

/// The swing in degrees, then the place of each stud: middle and half width.
#[derive(Debug, Clone)]
struct Part {
    middle: Vec<f64>,
    half: Vec<f64>,
}

/// One choice of slots.
struct Hunt<'a> {
    rig: &'a Rig,
    chain: &'a Chain,
    slots: &'a [usize],
    patterns: &'a [Vec<Vec<u8>>],
    /// Least and greatest distance of each mesh.
    meshes: Vec<[f64; 2]>,
    /// Whether some mesh can't be set at will, so that each may be open as far as any.
    tied: bool,
}

/// Whether it fits; nothing: that is too close to say, or would take too long.
pub(crate) fn fits(rig: &Rig, chain: &Chain) -> Option<bool> {
    let (studs, patterns) = (chain.len() - 2, patterns(rig, chain));
    let mut left = MOST_BOXES;
    let mut known = true;
    for slots in assignments(rig, studs).iter().filter(|_| !patterns.is_empty()) {
        match Hunt::new(rig, chain, slots, &patterns).look(&mut left) {
            Some(true) => return Some(true),
            Some(false) => {}
            None => known = false,
        }
    }
    known.then_some(false)
}

/// Whether this is what [`fits`] is for.
pub(crate) fn is_asked(rig: &Rig, chain: &Chain) -> bool {
    let own = matches!(rig.pivot, super::rig::Pivot::At(_));
    chain.len() > 2 && (own || rig.fixed_swing().is_some() || rig.slots.iter().any(Slot::is_hole))
}

impl<'a> Hunt<'a> {
    fn new(
        rig: &'a Rig,
        chain: &'a Chain,
        slots: &'a [usize],
        patterns: &'a [Vec<Vec<u8>>],
    ) -> Self {
        let hole = slots.iter().any(|&slot| rig.slots[slot].is_hole());
        let tied = hole || rig.fixed_swing().is_some();
        let opening = [rig.opening[0], rig.opening[usize::from(tied)]];
        let mesh = |two: &[Vec<super::rig::Wheel>]| {
            let nominal = giver(&two[0]).pitch_radius() + two[1][0].pitch_radius();
            opening.map(|by| nominal + by)
        };
        Self { rig, chain, slots, patterns, meshes: chain.windows(2).map(mesh).collect(), tied }
    }

    fn look(&self, left: &mut usize) -> Option<bool> {
        let ends = self.slots.iter().map(|&slot| match self.rig.slots[slot] {
            Slot::Straight { from, to, .. } | Slot::Arc { from, to, .. } => [from, to],
        });
        let swing = self.rig.swing.unwrap_or([-180.0, 180.0]);
        let ends: Vec<[f64; 2]> = std::iter::once(swing).chain(ends).collect();
        let whole = Part {
            middle: ends.iter().map(|[from, to]| f64::midpoint(*from, *to)).collect(),
            half: ends.iter().map(|[from, to]| (to - from) / 2.0 + 1e-9).collect(),
        };
        let mut parts = vec![whole];
        let mut known = true;
        while let Some(part) = parts.pop() {
            let points = self.points(&part.middle);
            let moves = self.moves(&part, &points);
            let far = moves.iter().flatten().fold(0.0, |a: f64, b| a.max(*b));
            if self.fails(&points, &moves) {
                continue;
            }
            if self.fits(&part, far) {
                return Some(true);
            }
            if *left == 0 {
                return None;
            }
            if far < KNOWN {
                known = false;
                continue;
            }
            *left -= 1;
            // What moves a stud furthest is halved.
            let by = |at: usize| moves.iter().map(|m| m[at]).fold(0.0, f64::max);
            let widest = (0..part.half.len()).max_by(|a, b| by(*a).total_cmp(&by(*b)))?;
            for side in [-0.5, 0.5] {
                let mut half = part.clone();
                half.middle[widest] += side * part.half[widest];
                half.half[widest] *= 0.5 * (1.0 + 1e-9);
                parts.push(half);
            }
        }
        known.then_some(false)
    }

    /// The shafts, in power-path order.
    fn points(&self, at: &[f64]) -> Vec<Spot> {
        let studs = self.slots.iter().zip(&at[1..]);
        let stud =
            |(slot, along): (&usize, &f64)| self.rig.in_slot(&self.rig.slots[*slot], at[0], *along);
        [self.rig.first].into_iter().chain(studs.map(stud)).chain([[0.0, 0.0]]).collect()
    }

    /// How far each shaft can be from where it is in the middle: by the swing, then by each place.
    fn moves(&self, part: &Part, points: &[Spot]) -> Vec<Vec<f64>> {
        let pivot = self.rig.pivot_at();
        let mut moves = vec![vec![0.0; part.half.len()]; points.len()];
        for (stud, slot) in (1..).zip(self.slots) {
            let along = match self.rig.slots[*slot] {
                Slot::Straight { .. } => part.half[stud],
                Slot::Arc { radius, .. } => radius * part.half[stud].to_radians(),
            };
            moves[stud][stud] = along;
            moves[stud][0] = part.half[0].to_radians() * (apart(points[stud], pivot) + along);
        }
        moves
    }

    /// Whether something fails everywhere in a part.
    fn fails(&self, points: &[Spot], moves: &[Vec<f64>]) -> bool {
        let shift: Vec<f64> = moves.iter().map(|m| m.iter().sum()).collect();
        let mesh = |(at, [least, most]): (usize, &[f64; 2])| {
            let (wide, by) = (apart(points[at], points[at + 1]), shift[at] + shift[at + 1]);
            wide + by < *least - 1e-12 || wide - by > *most + 1e-12
        };
        if self.meshes.iter().enumerate().any(mesh) {
            return true;
        }
        let near = |stud: usize| apart(points[stud], points[0]) + shift[stud] < self.rig.least_stud;
        if (1..points.len() - 1).any(near) {
            return true;
        }
        let most = shift.iter().fold(0.0, |a: f64, b| a.max(*b));
        // Two shafts come nearer to each other by no more than both move.
        let room = |planes: &Vec<Vec<u8>>| clear(self.rig, self.chain, planes, points);
        most < COARSE && self.patterns.iter().all(|planes| room(planes) + 2.0 * most < 0.0)
    }

    /// Whether it certainly fits at the middle of a part, or near it.
    fn fits(&self, part: &Part, far: f64) -> bool {
        if self.tied {
            return self.margin(&part.middle) > TRUSTED;
        }
        far < 0.05 && self.closed(&part.middle).is_some_and(|at| self.margin(&at) > TRUSTED)
    }

    /// By how much all that is asked holds; that meshes which can be set are closed is not asked.
    fn margin(&self, at: &[f64]) -> f64 {
        let points = self.points(at);
        let mut margin = f64::INFINITY;
        if self.tied {
            for (mesh, [least, most]) in self.meshes.iter().enumerate() {
                let wide = apart(points[mesh], points[mesh + 1]);
                margin = margin.min(wide - least).min(most - wide);
            }
        }
        for (stud, &slot) in (1..).zip(self.slots) {
            if !self.rig.slots[slot].is_hole() {
                margin = margin.min(in_range(&self.rig.slots[slot], at[stud]));
            }
            margin = margin.min(apart(points[stud], points[0]) - self.rig.least_stud);
        }
        if let (Some([from, to]), None) = (self.rig.swing, self.rig.fixed_swing()) {
            margin = margin.min(at[0] - from).min(to - at[0]);
        }
        if margin < TRUSTED {
            return margin;
        }
        let room = |planes: &Vec<Vec<u8>>| clear(self.rig, self.chain, planes, &points);
        margin.min(self.patterns.iter().map(room).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Every mesh closed to its least distance, near a place: Newton's method, with differences.
    fn closed(&self, near: &[f64]) -> Option<Vec<f64>> {
        let gaps = |at: &[f64]| -> Vec<f64> {
            let points = self.points(at);
            let gap = |(mesh, [least, _]): (usize, &[f64; 2])| {
                apart(points[mesh], points[mesh + 1]) - least
            };
            self.meshes.iter().enumerate().map(gap).collect()
        };
        let mut at = near.to_vec();
        for _ in 0..12 {
            let now = gaps(&at);
            if now.iter().all(|gap| gap.abs() < 1e-11) {
                return Some(at);
            }
            let moved = |i: usize| {
                let mut at = at.clone();
                at[i] += 1e-6;
                gaps(&at).iter().zip(&now).map(|(a, b)| (a - b) / 1e-6).collect::<Vec<_>>()
            };
            let columns: Vec<Vec<f64>> = (0..at.len()).map(moved).collect();
            let steps = super::built::solved(&columns, &now)?;
            if steps.iter().any(|step| step.abs() > 5.0) {
                return None;
            }
            for (at, step) in at.iter_mut().zip(steps) {
                *at -= step;
            }
        }
        None
    }
}
