//! Which openings of the meshes let a train fit where some mesh can't be set freely? With a stud in
//! a hole or a fixed arm there are more meshes than movements. Each mesh may then be open by any
//! amount from the least to the greatest opening. The ranges are divided until the answer is known.
//!
//! ```text
//!   A cell is a range of openings for the meshes that can be set, and a range of the swing where the
//!   arm pivots on a point of its own. The chain of studs is placed with bounds on its places:
//!     - a condition that certainly fails within the bounds refuses the cell;
//!     - the middle of the cell fits: that is the answer;
//!     - else the cell is halved where it is widest.
//!   What is left of cells under a ten-thousandth of a mm is too close to call. What is left when
//!   `MOST_CELLS` are halved is not settled.
//! ```

use super::candidates::{Candidate, Cell, Chain, Finish, Told};
use super::geometry::{Base, Curve, Geometry};
use super::judge::Verdict;
use super::pivot::{KNOWN_MM, halves, swings};
use super::point::Point;
use super::wheels::{SHAFTS, Wheels};
use std::collections::VecDeque;
use std::ops::ControlFlow;

/// Smallest cell (mm): a double gives no more digits.
const LEAST_MM: f64 = 1e-11;

/// A range of a cell that can be halved.
#[derive(Clone, Copy)]
enum Part {
    Swing,
    Opening(usize),
}

impl Geometry {
    /// A position that fits, where some mesh can't be set freely; `Close` or `CutShort`: one that
    /// may fit; `None`: there is certainly none. `ask` says `No` only of conditions that fail
    /// anywhere within the errors of a candidate.
    pub(super) fn search_between(
        &self,
        wheels: &Wheels,
        ask: &dyn Fn(&Candidate) -> Verdict,
    ) -> Option<(Verdict, Candidate)> {
        let hole = |curve: &Curve| matches!(curve, Curve::Hole { .. });
        if wheels.studs() == 0 || !(self.is_fixed() || self.slots.iter().any(hole)) {
            return None;
        }
        let mut cells = VecDeque::new();
        for cell in self.first_cells() {
            self.trace(wheels, &cell, None, &mut |seen| {
                if self.is_tied(seen) && ask(seen) != Verdict::No {
                    cells.push_back((cell, *seen));
                }
                ControlFlow::Continue(())
            });
        }
        let mut close: Option<Candidate> = None;
        let mut left = self.most_cells;
        while let Some((cell, seen)) = cells.pop_front() {
            if let Some(way) = self.way_in(wheels, &cell, &seen, ask) {
                return Some((Verdict::Fits, way));
            }
            let widest = self.widest_part(wheels, &cell, &seen);
            let Some(part) = widest.filter(|_| left > 0) else {
                let cut_short = widest.is_some();
                if close.is_none_or(|before| cut_short && !before.cut_short) {
                    close = Some(Candidate { cut_short, ..seen });
                }
                continue;
            };
            left -= 1;
            for half in cell.halves(part) {
                self.trace(wheels, &half, Some(&seen), &mut |seen| {
                    if ask(seen) != Verdict::No {
                        cells.push_back((half, *seen));
                    }
                    ControlFlow::Continue(())
                });
            }
        }
        close.map(|seen| (if seen.cut_short { Verdict::CutShort } else { Verdict::Close }, seen))
    }

    /// All openings, and the swing where nothing else determines it.
    fn first_cells(&self) -> Vec<Cell> {
        let open = [self.open(); SHAFTS - 1];
        match self.swing {
            Some((swing, _)) if self.is_fixed() => vec![Cell { swing: (swing, 0.0), open }],
            _ if self.base != Base::Point => vec![Cell { swing: (0.0, 0.0), open }],
            limits => swings(limits).map(|swing| Cell { swing, open }).collect(),
        }
    }

    /// The positions in a cell, each with bounds on its places.
    fn trace(&self, wheels: &Wheels, cell: &Cell, only: Option<&Candidate>, told: &mut Told<'_>) {
        let swings = self.base != Base::Point && !self.is_fixed();
        let finish = if swings { Finish::Swing } else { Finish::Fixed };
        let from_last = self.base != Base::First || self.is_fixed();
        let chain = Chain { from_last, cell: Some(cell), only, ..Chain::new(self, wheels, finish) };
        let mut start =
            if swings { self.at_rest(wheels) } else { self.at_swing(wheels, cell.swing) };
        // The listener ends the walk when it needs no more.
        let _ = chain.place(1, &mut start, told);
    }

    /// The middle of a cell, if the train fits there.
    fn way_in(
        &self,
        wheels: &Wheels,
        cell: &Cell,
        only: &Candidate,
        ask: &dyn Fn(&Candidate) -> Verdict,
    ) -> Option<Candidate> {
        let middle =
            Cell { swing: (cell.swing.0, 0.0), open: cell.open.map(|(middle, _)| (middle, 0.0)) };
        let mut found = None;
        self.trace(wheels, &middle, Some(only), &mut |way| {
            if ask(way) != Verdict::Fits {
                return ControlFlow::Continue(());
            }
            found = Some(*way);
            ControlFlow::Break(())
        });
        found
    }

    /// The range that moves the studs furthest within a cell; `None` where all is known well enough.
    fn widest_part(&self, wheels: &Wheels, cell: &Cell, seen: &Candidate) -> Option<Part> {
        let studs = wheels.studs();
        let from_last = self.base != Base::First || self.is_fixed();
        let shaft = |k: usize| if from_last { studs + 1 - k } else { k };
        let mesh = |k: usize| shaft(k - 1).min(shaft(k));
        // How far the studs from the `k`-th on move if a place before it, or its mesh, moves by this
        // much.
        let moved = |from: usize, by: f64| {
            let mut by = by;
            let mut most = by;
            for k in from..=studs {
                let Some(along) = self.along(seen, shaft(k - 1), shaft(k)) else { break };
                let apart = seen.points[shaft(k - 1)].distance(&seen.points[shaft(k)]).0;
                // Square to the slot the stud moves by the square root.
                by *= apart / (apart * along).max((2.0 * apart * by).sqrt()).max(f64::MIN_POSITIVE);
                most = most.max(by);
            }
            most
        };
        let in_slot = |k: &usize| self.along(seen, shaft(k - 1), shaft(*k)).is_some();
        let openings = (1..=studs).filter(in_slot).map(|k| (cell.open[mesh(k)].1, k));
        let swings = self.base != Base::Point && !self.is_fixed();
        let last = swings.then(|| (cell.open[mesh(studs + 1)].1, studs + 1));
        let openings = openings.chain(last).map(|(by, k)| (by, k, Part::Opening(mesh(k))));
        let far = |shaft: &Point| shaft.distance(&Point::ORIGIN).0;
        let arm = far(&self.first) + far(&self.last);
        let all = openings.chain([(cell.swing.1 * arm, 1, Part::Swing)]);
        let divisible = all.filter(|(by, ..)| *by > LEAST_MM * self.steps);
        let sized = divisible.map(|(by, k, part)| (moved(k, by), part));
        let widest = sized.max_by(|a, b| a.0.total_cmp(&b.0))?;
        // Near a tangent the places are far less exact than the openings.
        let err = seen.points.iter().map(|point| point.err).fold(0.0, f64::max);
        (widest.0.max(err) > KNOWN_MM * self.steps).then_some(widest.1)
    }

    /// The direction of a stud's mesh along its slot: 1 along it, 0 square to it; `None` in a hole.
    fn along(&self, seen: &Candidate, before: usize, here: usize) -> Option<f64> {
        let place = seen.places[here]?;
        let (from, at) = (&seen.points[before], &seen.points[here]);
        let along = match &self.slots[place.slot] {
            Curve::Line { dir, .. } => *dir,
            Curve::Arc { .. } => (-place.along.sin(), place.along.cos()),
            Curve::Hole { .. } => return None,
        };
        let apart = from.distance(at).0.max(f64::MIN_POSITIVE);
        Some(((at.x - from.x) * along.0 + (at.y - from.y) * along.1).abs() / apart)
    }
}

impl Cell {
    fn halves(&self, part: Part) -> [Self; 2] {
        let mut both = [*self; 2];
        match part {
            Part::Swing => {
                let swings = halves(self.swing);
                for (half, swing) in both.iter_mut().zip(swings) {
                    half.swing = swing;
                }
            }
            Part::Opening(mesh) => {
                let opens = halves(self.open[mesh]);
                for (half, open) in both.iter_mut().zip(opens) {
                    half.open[mesh] = open;
                }
            }
        }
        both
    }
}
