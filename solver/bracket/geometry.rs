//! The bracket made ready for many trains, and where the studs of a train can stand.
//!
//! ```text
//!   arm's frame: the pivot at the origin, the arm's own line along x, angles clockwise in the face
//!   view. With the pivot on an end shaft (the base) there are as many distances as unknowns:
//!     base - stud:  |P| = a      meets its slot in up to two points
//!     stud - stud:  |P - P'| = a meets its slot in up to two points
//!     stud - far shaft: |F - P| = a and |F| = C: two points, each of which is a swing of the arm
//! ```
//!
//! Every choice of slots, every point and both swings are tried. A pivot that is a point of its own
//! has the same closed forms for one stud; with more the swing is searched in steps of
//! [`STEPS`] to a turn (two answers closer than that to each other can be missed: the answer says
//! that it was stepped).
//!
//! Where a stud stands in a hole, or the arm can't swing, some mesh can't be set at will: each is
//! then tried at its least and its greatest opening. That finds every way for holes alone and for
//! slots alone; with several studs in slots beside one in a hole, a way between the two can be
//! missed.

use super::point::{Margin, OnCircle, OnLine, Point, circle_circle, circle_line, inside, on_line};
use super::wheels::{Planes, SHAFTS, Wheel, Wheels, plane_choices};
use crate::{Bracket, FirstShaft, Gear, GearSet, Offset, Pivot, Ratio, Result, Shape, Slot, Spot};
use std::f64::consts::TAU;
use std::ops::ControlFlow;

/// Steps of the swing where it must be searched: half a degree.
const STEPS: u32 = 720;

/// A slot in the arm's frame.
#[derive(Debug, Clone, Copy)]
pub(super) enum Curve {
    Line {
        dir: (f64, f64),
        offset: f64,
        from: f64,
        to: f64,
    },
    /// With its distance from the pivot and the error of that, and its place along the line that it
    /// was measured on.
    Hole {
        at: Point,
        from_pivot: (f64, f64),
        along: f64,
    },
    Arc {
        centre: Point,
        radius: f64,
        from: f64,
        to: f64,
    },
}

/// What gears must stay clear of, as a figure of the machine.
#[derive(Debug, Clone)]
pub(super) enum Figure {
    Circle { at: Point, radius: f64 },
    Polygon(Vec<Point>),
}

/// A keep-out with a bit for each plane.
#[derive(Debug, Clone)]
pub(super) struct Obstacle {
    pub(super) figure: Figure,
    pub(super) planes: u8,
}

/// What the arm swings about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Base {
    First,
    Last,
    Point,
}

/// A bracket made ready: sizes in steps, curves, choices of planes.
#[derive(Debug, Clone)]
pub struct Geometry {
    pub(super) bracket: Bracket,
    /// Steps in a mm.
    pub(super) steps: f64,
    half_steps: Ratio,
    pub(super) base: Base,
    /// The end shafts in the machine's frame: the pivot at the origin, x toward the other shaft
    /// (the first, where the pivot is a point).
    pub(super) first: Point,
    pub(super) last: Point,
    /// Their distance, exact where it was given as such.
    pub(super) centres: (f64, f64),
    /// The pivot in the face view (mm), and the direction of x there.
    pub(super) origin: (f64, f64),
    pub(super) along: (f64, f64),
    pub(super) slots: Vec<Curve>,
    /// Least and greatest swing, in radians.
    pub(super) swing: Option<(f64, f64)>,
    pub(super) least_stud: f64,
    hubs: [f64; 3],
    pub(super) clearance: f64,
    pub(super) opening: (f64, f64),
    /// Openings tried for a stud in a slot: the least, and where something can't be moved to suit,
    /// the greatest too.
    openings: Vec<f64>,
    /// By number of studs and by which of them carry pairs.
    choices: Vec<Vec<Planes>>,
    pub(super) cover: Option<Vec<Point>>,
    pub(super) keep_out: Vec<Obstacle>,
}

/// A stud's place in a slot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) slot: usize,
    /// Along the slot, in steps, or the direction from the arc's centre, in radians.
    pub(super) along: f64,
    /// How well the mesh meets the slot, and the slot's nearest distance.
    pub(super) meets: Margin,
    pub(super) nearest: f64,
    /// How far inside the slot's ends (in steps), and which end is nearer (true: the upper).
    pub(super) ends: Margin,
    pub(super) upper: bool,
    /// Distance of the mesh toward the base.
    pub(super) distance: f64,
}

/// One way for a train to stand, in the arm's frame; shafts in power-path order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) points: [Point; SHAFTS],
    pub(super) places: [Option<Place>; SHAFTS],
    /// How well the last mesh closes: long enough, and not too unequal.
    pub(super) reaches: Margin,
    pub(super) crosses: Margin,
    /// The last two distances: stud to far shaft, and base to stud.
    pub(super) sides: (f64, f64),
    /// Cosine and sine of the swing.
    pub(super) turn: (f64, f64),
    /// Found in steps.
    pub(super) stepped: bool,
    /// The arm could not be swung to close the last mesh.
    pub(super) fixed: bool,
}

impl Candidate {
    const EMPTY: Self = Self {
        points: [Point::ORIGIN; SHAFTS],
        places: [None; SHAFTS],
        reaches: Margin::FREE,
        crosses: Margin::FREE,
        sides: (0.0, 0.0),
        turn: (1.0, 0.0),
        stepped: false,
        fixed: false,
    };
}

/// Told of each candidate.
pub(super) type Told<'a> = dyn FnMut(&Candidate) -> ControlFlow<()> + 'a;

impl Geometry {
    /// Makes a bracket ready.
    ///
    /// # Errors
    /// If its lengths and the gears' tooth sizes have no common measure that can be held; a checked
    /// [`Lathe`](crate::Lathe) rules that out.
    pub fn new(bracket: &Bracket, gears: &GearSet) -> Result<Self> {
        let unit = bracket.steps_per_mm(gears)?;
        #[expect(clippy::cast_precision_loss, reason = "below 2^38")]
        let steps = unit as f64;
        let unit = Ratio::whole(unit)?;
        let scaled = |o: &Offset| -> f64 {
            let size = o.size().map_or(0.0, |mm| mm.times(&unit).unwrap_or(mm).to_f64());
            if o.is_negative() { -size } else { size }
        };
        let frame = Frame::new(bracket, &scaled, steps);
        let hubs = &bracket.hub_radii;
        let swing = bracket.swing.map(|(a, b)| (a.to_f64().to_radians(), b.to_f64().to_radians()));
        let opening = (scaled(&bracket.opening.0), scaled(&bracket.opening.1));
        let slots: Vec<Curve> = bracket.slots.iter().map(|s| curve(s, &scaled)).collect();
        let rigid = slots.iter().any(|s| matches!(s, Curve::Hole { .. }))
            || swing.is_some_and(|(from, to)| from >= to);
        let openings = if rigid && opening.0 < opening.1 {
            vec![opening.0, opening.1]
        } else {
            vec![opening.0]
        };
        let point = |spot: &Spot| frame.point(spot, steps);
        Ok(Self {
            steps,
            half_steps: unit.over(&Ratio::table(2, 1))?,
            base: frame.base,
            first: frame.first,
            last: frame.last,
            centres: frame.centres,
            origin: (frame.pivot.0 / steps, frame.pivot.1 / steps),
            along: frame.along,
            slots,
            swing,
            least_stud: scaled(&bracket.least_stud),
            hubs: [scaled(&hubs.first), scaled(&hubs.stud), scaled(&hubs.last)],
            clearance: scaled(&bracket.clearance),
            opening,
            openings,
            choices: choices(bracket),
            cover: bracket.cover.as_ref().map(|c| c.iter().map(point).collect()),
            keep_out: bracket.keep_out.iter().map(|k| obstacle(k, &point, &scaled)).collect(),
            bracket: bracket.clone(),
        })
    }

    /// The bracket that it was made from.
    pub const fn bracket(&self) -> &Bracket {
        &self.bracket
    }

    /// A gear as the geometry sees it.
    pub(crate) fn wheel(&self, gear: &Gear) -> Wheel {
        // A whole number of steps for the gears that the steps were made for.
        let half = gear.module().times(&self.half_steps).map_or(0.0, |h| h.to_f64());
        Wheel::new(half, gear.teeth.get())
    }

    /// Radius of the hub of a shaft of a train with so many shafts.
    #[inline]
    pub(super) fn hub(&self, shaft: usize, shafts: usize) -> f64 {
        match shaft {
            0 => self.hubs[0],
            s if s + 1 == shafts => self.hubs[2],
            _ => self.hubs[1],
        }
    }

    /// The planes that a train can take.
    pub(super) fn choices(&self, wheels: &Wheels) -> &[Planes] {
        &self.choices[wheels.studs() << 3 | wheels.stud_pairs()]
    }

    /// No stud can stand further from the pivot.
    pub(super) fn reach(&self) -> f64 {
        let far = |curve: &Curve| match curve {
            Curve::Line { offset, from, to, .. } => from.abs().max(to.abs()) + offset.abs(),
            Curve::Hole { from_pivot, .. } => from_pivot.0 + from_pivot.1,
            Curve::Arc { centre, radius, .. } => centre.distance(&Point::ORIGIN).0 + radius,
        };
        self.slots.iter().map(far).fold(0.0, f64::max) * (1.0 + 1e-9)
    }

    /// Studs that there is room for: any number in a slot, one in a hole.
    pub(super) fn places(&self) -> usize {
        let hole = |curve: &Curve| matches!(curve, Curve::Hole { .. });
        if self.slots.iter().all(hole) { self.slots.len() } else { usize::MAX }
    }

    /// Whether some mesh may have to be opened further than the least, since nothing can be moved.
    #[inline]
    pub(super) fn is_rigid(&self) -> bool {
        self.openings.len() > 1
    }

    /// The widest opening of a mesh.
    #[inline]
    pub(super) fn widest(&self) -> f64 {
        if self.is_rigid() { self.opening.1 } else { self.opening.0 }
    }

    /// Whether the arm can't swing at all.
    pub(super) fn is_fixed(&self) -> bool {
        self.swing.is_some_and(|(from, to)| from >= to)
    }

    /// Calls `told` with every way for the train to stand as far as its meshes and slots go; what
    /// touches what is not asked here. `relaxed`: as if slots had no ends, and with parts left open
    /// where a mesh can't be closed.
    pub(super) fn candidates(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = wheels.shafts();
        let mut candidate = Candidate::EMPTY;
        candidate.points[0] = self.first;
        candidate.points[shafts - 1] = self.last;
        if shafts == 2 {
            return told(&candidate);
        }
        let from_last = self.base != Base::First;
        let chain = |from_last| Chain { geometry: self, wheels, relaxed, from_last };
        if self.is_fixed() {
            let (swing, _) = self.swing.unwrap_or_default();
            let mut candidate = self.at_turn(wheels, (swing.cos(), swing.sin()));
            chain(true).place(1, &mut candidate, &Finish::Fixed, told)?;
            return chain(false).place(1, &mut candidate, &Finish::Fixed, told);
        }
        match self.base {
            Base::First | Base::Last => {
                chain(from_last).place(1, &mut candidate, &Finish::Swing, told)
            }
            Base::Point if shafts == 3 => self.about_point(wheels, relaxed, told),
            Base::Point => self.stepped(wheels, relaxed, told),
        }
    }

    /// Where the base of the chain stands, if trains can be grown from it: an arm that swings about
    /// an end shaft. The flag says whether that is the last shaft.
    pub(crate) fn start(&self) -> Option<(Vec<Point>, bool)> {
        let grows = self.base != Base::Point && !self.is_fixed();
        grows.then(|| (vec![Point::ORIGIN], self.base == Base::Last))
    }

    /// Where the next stud can stand, with a mesh from any of these places.
    pub(crate) fn onward(&self, from: &[Point], gear: &Wheel, next: &Wheel) -> Vec<Point> {
        let mut found = Vec::new();
        for point in from {
            for &open in &self.openings {
                let distance = (gear.nominal(next) + open, 0.0);
                for (slot, curve) in self.slots.iter().enumerate() {
                    // Never broken off.
                    let _ = self.meet(slot, curve, point, distance, false, &mut |p, _| {
                        found.push(p);
                        ControlFlow::Continue(())
                    });
                }
            }
        }
        found
    }

    /// Whether the far shaft can be reached from any of these places.
    pub(crate) fn closes(&self, from: &[Point], gear: &Wheel, last: &Wheel) -> bool {
        let distance = gear.nominal(last) + self.opening.0;
        from.iter().any(|point| {
            let (arm, err) = point.distance(&Point::ORIGIN);
            let err = err + self.centres.1;
            arm + distance - self.centres.0 >= -err
                && self.centres.0 - (arm - distance).abs() >= -err
        })
    }

    /// One stud, the arm pivoting on a point: the two meshes fix the stud, its distance from the
    /// pivot fixes the place in the slot, and that the swing.
    fn about_point(&self, wheels: &Wheels, relaxed: bool, told: &mut Told<'_>) -> ControlFlow<()> {
        // In a slot both meshes can be closed to the least opening.
        let (a, b) = (wheels.nominal(0) + self.opening.0, wheels.nominal(1) + self.opening.0);
        let apart = Some(self.centres.0).filter(|_| self.centres.1 == 0.0);
        let met = circle_circle(&self.last, b, &self.first, a, apart);
        let meets = relaxed || !(met.reaches.fails() || met.crosses.fails());
        for stud in met.points.into_iter().filter(|_| meets) {
            let from_pivot = stud.distance(&Point::ORIGIN);
            for (slot, curve) in self.slots.iter().enumerate() {
                if matches!(curve, Curve::Hole { .. }) {
                    continue;
                }
                let origin = &Point::ORIGIN;
                self.meet(slot, curve, origin, from_pivot, relaxed, &mut |point, place| {
                    let mut candidate = self.turned_to(wheels, &point, &stud, place);
                    (candidate.reaches, candidate.crosses) = (met.reaches, met.crosses);
                    candidate.sides = (a, b);
                    told(&candidate)
                })?;
            }
        }
        self.holes_about_point(wheels, relaxed, told)
    }

    /// A stud in a hole of an arm that pivots on a point: one mesh is closed at its least or its
    /// greatest opening, the other must then lie between these.
    fn holes_about_point(
        &self,
        wheels: &Wheels,
        relaxed: bool,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        for (slot, curve) in self.slots.iter().enumerate() {
            let Curve::Hole { at, from_pivot, along } = curve else { continue };
            for (mesh, open) in
                [0, 1].into_iter().flat_map(|m| self.openings.iter().map(move |o| (m, o)))
            {
                let (shaft, other) =
                    if mesh == 0 { (&self.first, &self.last) } else { (&self.last, &self.first) };
                let distance = wheels.nominal(mesh) + open;
                let met = circle_circle(&Point::ORIGIN, from_pivot.0, shaft, distance, None);
                if !relaxed && (met.reaches.fails() || met.crosses.fails()) {
                    continue;
                }
                for stud in met.points {
                    let (apart, err) = stud.distance(other);
                    let nominal = wheels.nominal(1 - mesh);
                    let meets = Margin::new(apart - nominal - self.opening.0, err)
                        .least(Margin::new(nominal + self.opening.1 - apart, err));
                    if !relaxed && meets.fails() {
                        continue;
                    }
                    let place = Place {
                        slot,
                        along: *along,
                        meets,
                        nearest: apart,
                        ends: Margin::FREE,
                        upper: false,
                        distance: nominal + self.opening.0,
                    };
                    let mut candidate = self.turned_to(wheels, at, &stud, place);
                    (candidate.reaches, candidate.crosses) = (met.reaches, met.crosses);
                    candidate.sides = (distance, from_pivot.0);
                    told(&candidate)?;
                }
            }
        }
        ControlFlow::Continue(())
    }

    /// The only stud, at `point` of the arm and at `stud` of the machine.
    fn turned_to(&self, wheels: &Wheels, point: &Point, stud: &Point, place: Place) -> Candidate {
        let mut candidate = self.at_turn(wheels, turn_between(point, stud));
        let back = (candidate.turn.0, -candidate.turn.1);
        candidate.points[1] = Point { err: point.err.max(stud.err), ..stud.turned(back) };
        candidate.places[1] = Some(place);
        candidate
    }

    /// Two studs or more, the arm pivoting on a point: the swing is searched.
    fn stepped(&self, wheels: &Wheels, relaxed: bool, told: &mut Told<'_>) -> ControlFlow<()> {
        let (from, to) = self.swing.unwrap_or((-0.5 * TAU, 0.5 * TAU));
        let steps = ((to - from) / TAU * f64::from(STEPS)).ceil().max(1.0);
        let mut before: Vec<Option<f64>> = Vec::new();
        let mut nearest = (f64::INFINITY, 0.5 * (from + to));
        let mut step = 0.0;
        while step <= steps {
            let swing = from + (to - from) * step / steps;
            let now = self.gaps_at(wheels, swing);
            for (branch, (old, new)) in before.iter().zip(&now).enumerate() {
                if let (Some(old), Some(new)) = (old, new)
                    && (*old <= 0.0) != (*new <= 0.0)
                {
                    let start = swing - (to - from) / steps;
                    self.close_in(wheels, branch, (start, swing), told)?;
                }
            }
            let least = now.iter().flatten().map(|g| g.abs()).fold(f64::INFINITY, f64::min);
            if least < nearest.0 {
                nearest = (least, swing);
            }
            before = now;
            step += 1.0;
        }
        if relaxed {
            let mut candidate = self.at_swing(wheels, nearest.1);
            let chain = Chain { geometry: self, wheels, relaxed: true, from_last: true };
            return chain.place(1, &mut candidate, &Finish::Fixed, told);
        }
        ControlFlow::Continue(())
    }

    fn at_swing(&self, wheels: &Wheels, swing: f64) -> Candidate {
        Candidate { stepped: true, ..self.at_turn(wheels, (swing.cos(), swing.sin())) }
    }

    /// The end shafts with the arm so turned.
    fn at_turn(&self, wheels: &Wheels, turn: (f64, f64)) -> Candidate {
        let mut candidate = Candidate { turn, ..Candidate::EMPTY };
        candidate.points[0] = self.first.turned((turn.0, -turn.1));
        candidate.points[wheels.shafts() - 1] = self.last.turned((turn.0, -turn.1));
        candidate
    }

    /// For each branch (slots and roots, in a fixed order) how far the last mesh is from closing.
    fn gaps_at(&self, wheels: &Wheels, swing: f64) -> Vec<Option<f64>> {
        let mut gaps = Vec::new();
        self.branches(wheels, swing, &mut |branch| {
            gaps.push(branch.map(|(candidate, wanted)| gap(&candidate, wanted)));
        });
        gaps
    }

    /// Closes in on the swing at which a branch meshes.
    fn close_in(
        &self,
        wheels: &Wheels,
        branch: usize,
        (mut low, mut high): (f64, f64),
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let at = |swing: f64| {
            let mut found = None;
            let mut count = 0;
            self.branches(wheels, swing, &mut |b| {
                if count == branch {
                    found = b;
                }
                count += 1;
            });
            found
        };
        let Some((first, wanted)) = at(low) else { return ControlFlow::Continue(()) };
        let sign = gap(&first, wanted) <= 0.0;
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            match at(middle) {
                Some((c, wanted)) if (gap(&c, wanted) <= 0.0) == sign => low = middle,
                Some(_) => high = middle,
                None => return ControlFlow::Continue(()),
            }
        }
        match at(high) {
            // A jump of the branch is no closing.
            Some((c, wanted)) if gap(&c, wanted).abs() <= 1e-7 * self.steps => told(&c),
            _ => ControlFlow::Continue(()),
        }
    }

    /// Every choice of slots and roots from the last shaft to the first stud, in a fixed order;
    /// `None` where a mesh does not meet its slot.
    fn branches(
        &self,
        wheels: &Wheels,
        swing: f64,
        give: &mut dyn FnMut(Option<(Candidate, f64)>),
    ) {
        let studs = wheels.studs();
        let per_stud = self.slots.len() * 2;
        let all = (0..studs).fold(1, |n: usize, _| n * per_stud);
        let start = self.at_swing(wheels, swing);
        let wanted = wheels.nominal(0) + self.opening.0;
        for branch in 0..all {
            let mut rest = branch;
            let mut candidate = start;
            let placed = (1..=studs).rev().all(|stud| {
                let (slot, root) = (rest % per_stud / 2, rest % 2);
                rest /= per_stud;
                let distance = wheels.nominal(stud) + self.opening.0;
                let towards = candidate.points[stud + 1];
                let mut roots = 0;
                let mut done = false;
                let _ = self.meet(
                    slot,
                    &self.slots[slot],
                    &towards,
                    (distance, 0.0),
                    false,
                    &mut |p, place| {
                        if roots == root {
                            candidate.points[stud] = p;
                            candidate.places[stud] = Some(place);
                            done = true;
                        }
                        roots += 1;
                        ControlFlow::Continue(())
                    },
                );
                done
            });
            give(placed.then_some((candidate, wanted)));
        }
    }

    /// The points of a slot at a distance from a point; the ones certainly beyond its ends only
    /// if `relaxed`, and then also the nearest place where it does not reach.
    pub(super) fn meet(
        &self,
        slot: usize,
        curve: &Curve,
        from: &Point,
        (distance, distance_err): (f64, f64),
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        self.meet_from(slot, curve, (from, None), (distance, distance_err), relaxed, give)
    }

    /// The same; `beside`: the place of `from` along this very slot, if it stands there. Two studs
    /// in one straight slot are exactly as far apart along it as their mesh is wide.
    fn meet_from(
        &self,
        slot: usize,
        curve: &Curve,
        (from, beside): (&Point, Option<(f64, f64)>),
        (distance, distance_err): (f64, f64),
        relaxed: bool,
        give: &mut dyn FnMut(Point, Place) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let blank = Place {
            slot,
            along: 0.0,
            meets: Margin::FREE,
            nearest: 0.0,
            ends: Margin::FREE,
            upper: false,
            distance,
        };
        match curve {
            Curve::Line { dir, offset, from: low, to: high } => {
                let mut met = beside.map_or_else(
                    || circle_line(from, distance, *dir, *offset),
                    |along| OnLine::beside(along, distance),
                );
                met.meets.err += distance_err;
                if met.meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                for (i, mut along) in met.along.into_iter().enumerate() {
                    if i == 1 && along.0 >= met.along[0].0 {
                        break;
                    }
                    // The radius errs too: it moves the place by as much over the cosine.
                    along.1 += if distance_err > 0.0 {
                        spread(distance_err, &met.along, distance)
                    } else {
                        0.0
                    };
                    let (under, over) = (along.0 - low, high - along.0);
                    let ends = Margin::new(under.min(over), along.1);
                    if ends.fails() && !relaxed {
                        continue;
                    }
                    let nearest = distance - met.meets.value.min(0.0);
                    let place = Place {
                        along: along.0,
                        meets: met.meets,
                        nearest,
                        ends,
                        upper: over < under,
                        ..blank
                    };
                    give(on_line(along, *dir, *offset), place)?;
                }
                ControlFlow::Continue(())
            }
            Curve::Hole { at, from_pivot, along } => {
                let (apart, err) =
                    if *from == Point::ORIGIN { *from_pivot } else { from.distance(at) };
                // The mesh may be opened from the least to the greatest opening.
                let spare = self.opening.1 - self.opening.0;
                let meets = Margin::new(apart - distance, err + distance_err)
                    .least(Margin::new(distance + spare - apart, err + distance_err));
                if meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                give(*at, Place { along: *along, meets, nearest: apart, ..blank })
            }
            Curve::Arc { centre, radius, from: low, to: high } => {
                let OnCircle { mut reaches, crosses, points } =
                    circle_circle(from, distance, centre, *radius, None);
                reaches.err += distance_err;
                let meets = reaches.least(crosses);
                if meets.fails() && !relaxed {
                    return ControlFlow::Continue(());
                }
                for point in points {
                    let along = (point.y - centre.y).atan2(point.x - centre.x);
                    let (margin, upper) = inside(along, (*low, *high));
                    let ends = Margin::new(margin * radius, point.err + distance_err);
                    if ends.fails() && !relaxed {
                        continue;
                    }
                    let nearest = distance - meets.value.min(0.0);
                    let at = if relaxed && meets.fails() {
                        nearest_on_arc(centre, *radius, from)
                    } else {
                        point
                    };
                    give(at, Place { along, meets, nearest, ends, upper, ..blank })?;
                }
                ControlFlow::Continue(())
            }
        }
    }
}

/// How much further a place along a line can lie when the radius errs.
fn spread(err: f64, along: &[(f64, f64); 2], radius: f64) -> f64 {
    let half = 0.5 * (along[0].0 - along[1].0);
    if half > radius * 1e-6 { err * radius / half } else { (2.0 * radius * err).sqrt() + err }
}

fn nearest_on_arc(centre: &Point, radius: f64, from: &Point) -> Point {
    let (distance, err) = centre.distance(from);
    let span = distance.max(f64::MIN_POSITIVE);
    Point::new(
        centre.x + (from.x - centre.x) / span * radius,
        centre.y + (from.y - centre.y) / span * radius,
        err + from.err,
    )
}

fn gap(candidate: &Candidate, wanted: f64) -> f64 {
    candidate.points[0].distance(&candidate.points[1]).0 - wanted
}

/// The turn (cosine, sine) that brings `from` to the direction of `to`.
fn turn_between(from: &Point, to: &Point) -> (f64, f64) {
    let (a, b) = (from.distance(&Point::ORIGIN).0, to.distance(&Point::ORIGIN).0);
    let span = (a * b).max(f64::MIN_POSITIVE);
    ((from.x * to.x + from.y * to.y) / span, (from.x * to.y - from.y * to.x) / span)
}

/// How the chain of studs is closed.
enum Finish {
    /// The far shaft stands at its distance from the pivot; the arm swings to suit.
    Swing,
    /// Both end shafts are where they are.
    Fixed,
}

/// Studs placed one after the other from a shaft whose place is known.
struct Chain<'a> {
    geometry: &'a Geometry,
    wheels: &'a Wheels,
    relaxed: bool,
    /// Whether it starts at the last shaft.
    from_last: bool,
}

impl Chain<'_> {
    /// Power-path index of the shaft that is `k` meshes from the start.
    #[inline]
    fn shaft(&self, k: usize) -> usize {
        if self.from_last { self.wheels.shafts() - 1 - k } else { k }
    }

    /// Places the stud `k` meshes from the start, and all after it.
    fn place(
        &self,
        k: usize,
        candidate: &mut Candidate,
        finish: &Finish,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let (before, here) = (self.shaft(k - 1), self.shaft(k));
        let nominal = self.wheels.nominal(before.min(here));
        let from = candidate.points[before];
        if k + 1 == self.wheels.shafts() {
            if self.is_open_for_nothing(candidate) {
                return ControlFlow::Continue(());
            }
            return match finish {
                Finish::Swing => self.swing(nominal, candidate, told),
                Finish::Fixed => self.fixed(nominal, candidate, told),
            };
        }
        for &open in &self.geometry.openings {
            for (slot, curve) in self.geometry.slots.iter().enumerate() {
                if matches!(curve, Curve::Hole { .. }) && open > self.geometry.opening.0 {
                    continue;
                }
                let distance = (nominal + open, 0.0);
                let beside = candidate.places[before]
                    .filter(|p| p.slot == slot && !p.meets.fails())
                    .map(|p| (p.along, p.ends.err));
                self.geometry.meet_from(
                    slot,
                    curve,
                    (&from, beside),
                    distance,
                    self.relaxed,
                    &mut |point, place| {
                        candidate.points[here] = point;
                        candidate.places[here] = Some(place);
                        self.place(k + 1, candidate, finish, told)
                    },
                )?;
            }
        }
        ControlFlow::Continue(())
    }

    /// Whether a mesh is opened further than the least although all can be moved: no stud stands
    /// in a hole, and the arm swings.
    fn is_open_for_nothing(&self, candidate: &Candidate) -> bool {
        let geometry = self.geometry;
        if !geometry.is_rigid() || geometry.is_fixed() {
            return false;
        }
        let is_hole = |place: &Place| matches!(geometry.slots[place.slot], Curve::Hole { .. });
        let is_open = |(shaft, place): (usize, &Option<Place>)| {
            let mesh = if self.from_last { shaft } else { shaft.saturating_sub(1) };
            place.is_some_and(|p| p.distance > self.wheels.nominal(mesh) + geometry.opening.0)
        };
        let places = &candidate.places[..self.wheels.shafts() - 1];
        !places.iter().flatten().any(is_hole) && places.iter().enumerate().any(is_open)
    }

    /// The far shaft at its distance from the pivot: up to two swings.
    fn swing(
        &self,
        nominal: f64,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = self.wheels.shafts();
        let (far, near) = (self.shaft(shafts - 1), self.shaft(shafts - 2));
        let stud = candidate.points[near];
        let (centres, centres_err) = self.geometry.centres;
        let distance = nominal + self.geometry.opening.0;
        // The only stud of a radial slot is exactly as far away as its mesh is wide.
        let apart = candidate.places[near].and_then(|place| self.arm(&place, shafts));
        let (arm, err) = apart.unwrap_or_else(|| stud.distance(&Point::ORIGIN));
        let err = err + centres_err;
        candidate.reaches = Margin::new(distance + arm - centres, err);
        candidate.crosses = Margin::new(centres - (distance - arm).abs(), err);
        candidate.sides = (distance, arm);
        if !self.relaxed && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        let exact = apart.filter(|(_, err)| *err == 0.0).map(|(arm, _)| arm);
        let met = circle_circle(&Point::ORIGIN, centres, &stud, distance, exact);
        // The arm turns the other way: clockwise swing first.
        for point in [met.points[1], met.points[0]] {
            candidate.points[far] = point;
            candidate.turn = (point.x / centres, -point.y / centres);
            told(candidate)?;
        }
        ControlFlow::Continue(())
    }

    /// How far a stud is from the pivot, where that is known better than from its place.
    fn arm(&self, place: &Place, shafts: usize) -> Option<(f64, f64)> {
        match self.geometry.slots[place.slot] {
            _ if place.meets.fails() => None,
            Curve::Hole { from_pivot, .. } => Some(from_pivot),
            // A slot that points at the pivot.
            Curve::Line { offset: 0.0, .. } => Some((place.along.abs(), place.ends.err)),
            // The only stud is as far away as its mesh is wide.
            _ if shafts == 3 => Some((place.distance, 0.0)),
            _ => None,
        }
    }

    /// The far shaft where it is: the last mesh must close by itself.
    fn fixed(
        &self,
        nominal: f64,
        candidate: &mut Candidate,
        told: &mut Told<'_>,
    ) -> ControlFlow<()> {
        let shafts = self.wheels.shafts();
        let (far, near) = (self.shaft(shafts - 1), self.shaft(shafts - 2));
        let (apart, err) = candidate.points[near].distance(&candidate.points[far]);
        let (least, most) = self.geometry.opening;
        // Where the swing was searched it would have closed the mesh to the least opening.
        let most = if candidate.stepped { least } else { most };
        candidate.reaches = Margin::new(nominal + most - apart, err);
        candidate.crosses = Margin::new(apart - nominal - least, err);
        candidate.sides = (nominal, apart);
        candidate.fixed = true;
        if !self.relaxed && (candidate.reaches.fails() || candidate.crosses.fails()) {
            return ControlFlow::Continue(());
        }
        told(candidate)
    }
}

/// Where the shafts are in the machine's frame.
struct Frame {
    base: Base,
    first: Point,
    last: Point,
    centres: (f64, f64),
    /// In the face view, in steps.
    pivot: (f64, f64),
    along: (f64, f64),
}

impl Frame {
    fn new(bracket: &Bracket, scaled: &impl Fn(&Offset) -> f64, steps: f64) -> Self {
        let spot = |s: &Spot| (s.right.to_f64() * steps, s.up.to_f64() * steps);
        let (first, exact) = match &bracket.first {
            FirstShaft::Away(centres) => {
                let size = scaled(&(*centres).into());
                ((0.0, size), Some(size))
            }
            FirstShaft::At(at) => (spot(at), None),
        };
        let size = |(x, y): (f64, f64)| (x * x + y * y).sqrt();
        let found = size(first);
        let centres = exact.map_or((found, 4.0 * f64::EPSILON * found), |c| (c, 0.0));
        let minus = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0, a.1 - b.1);
        let (base, pivot, toward) = match &bracket.pivot {
            Pivot::Last => (Base::Last, (0.0, 0.0), first),
            Pivot::First => (Base::First, first, minus((0.0, 0.0), first)),
            Pivot::At(at) => (Base::Point, spot(at), minus(first, spot(at))),
        };
        let length = size(toward).max(f64::MIN_POSITIVE);
        let along = (toward.0 / length, toward.1 / length);
        let mut frame =
            Self { base, first: Point::ORIGIN, last: Point::ORIGIN, centres, pivot, along };
        let into = |p: (f64, f64)| frame.in_frame(minus(p, pivot));
        let (at_first, at_last) = match base {
            Base::Last => (Point::new(centres.0, 0.0, centres.1), Point::ORIGIN),
            Base::First => (Point::ORIGIN, Point::new(centres.0, 0.0, centres.1)),
            Base::Point => (Point { y: 0.0, ..into(first) }, into((0.0, 0.0))),
        };
        (frame.first, frame.last) = (at_first, at_last);
        frame
    }

    /// A place in the face view, from the pivot, in the machine's frame: y is x turned clockwise.
    fn in_frame(&self, (right, up): (f64, f64)) -> Point {
        let (ex, ey) = self.along;
        let size = right.abs() + up.abs();
        Point::new(right * ex + up * ey, right * ey - up * ex, 8.0 * f64::EPSILON * size)
    }

    /// A place of the machine in its frame.
    fn point(&self, spot: &Spot, steps: f64) -> Point {
        let (right, up) = (spot.right.to_f64() * steps, spot.up.to_f64() * steps);
        self.in_frame((right - self.pivot.0, up - self.pivot.1))
    }
}

fn curve(slot: &Slot, scaled: &impl Fn(&Offset) -> f64) -> Curve {
    match slot {
        Slot::Straight { from, to, angle, offset } => {
            let angle = angle.to_f64().to_radians();
            let dir = if angle == 0.0 { (1.0, 0.0) } else { (angle.cos(), angle.sin()) };
            let (from, to, offset) = (scaled(from), scaled(to), scaled(offset));
            if from < to {
                Curve::Line { dir, offset, from, to }
            } else {
                let at = on_line((from, 0.0), dir, offset);
                let radial = (from.abs(), 0.0);
                let from_pivot = if offset == 0.0 { radial } else { at.distance(&Point::ORIGIN) };
                Curve::Hole { at, from_pivot, along: from }
            }
        }
        Slot::Arc { along, across, radius, from, to } => Curve::Arc {
            centre: Point::new(scaled(along), scaled(across), 0.0),
            radius: scaled(&(*radius).into()),
            from: from.to_f64().to_radians(),
            to: to.to_f64().to_radians(),
        },
    }
}

fn obstacle(
    keep_out: &crate::KeepOut,
    point: &impl Fn(&Spot) -> Point,
    scaled: &impl Fn(&Offset) -> f64,
) -> Obstacle {
    let planes = keep_out.planes.iter().fold(0_u8, |bits, p| bits | 1 << (p & 7));
    Obstacle {
        figure: match &keep_out.shape {
            Shape::Circle { at, radius } => {
                Figure::Circle { at: point(at), radius: scaled(&(*radius).into()) }
            }
            Shape::Polygon(corners) => Figure::Polygon(corners.iter().map(point).collect()),
        },
        planes: if planes == 0 { u8::MAX } else { planes },
    }
}

/// The choices of planes, by studs and by which of them carry pairs. Where nothing tells the planes
/// apart, choices that are the same in relation to each other count once.
fn choices(bracket: &Bracket) -> Vec<Vec<Planes>> {
    let told_apart = bracket.keep_out.iter().any(|k| !k.planes.is_empty());
    let ends = |list: &[u8], plane: u8| list.is_empty() || list.contains(&plane);
    let mut all = Vec::new();
    for studs in 0..SHAFTS - 1 {
        for pairs in 0..8 {
            let mut found = plane_choices(
                studs,
                pairs,
                bracket.planes,
                |p| ends(&bracket.first_planes, p),
                |p| ends(&bracket.last_planes, p),
            );
            if !told_apart {
                let mut seen = Vec::new();
                found.retain(|planes| {
                    let mark = pattern(*planes, studs + 1);
                    let new = !seen.contains(&mark);
                    seen.push(mark);
                    new
                });
            }
            all.push(found);
        }
    }
    all
}

/// Which meshes share planes.
fn pattern(planes: Planes, meshes: usize) -> Vec<usize> {
    let planes = &planes[..meshes];
    planes.iter().map(|p| planes.iter().position(|q| q == p).unwrap_or(0)).collect()
}
