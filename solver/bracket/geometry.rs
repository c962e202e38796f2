//! The bracket ready for many trains: sizes in whole steps, places in one frame, slots as curves,
//! choices of planes.

use super::point::{Distance, Point, on_line};
use super::wheels::{Planes, SHAFTS, Wheel, Wheels, plane_choices};
use crate::{Bracket, FirstShaft, Gear, GearSet, Offset, Pivot, Ratio, Result, Shape, Slot, Spot};
use std::sync::OnceLock;

/// A slot in the arm's frame.
#[derive(Debug, Clone, Copy)]
pub(super) enum Curve {
    Line {
        dir: (f64, f64),
        offset: f64,
        from: f64,
        to: f64,
    },
    /// With its distance from the pivot and the error of that, and its place along its own line.
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

/// Most cells halved for one train in one choice of planes; the rest is then not settled.
const MOST_CELLS: u32 = 50_000;
/// Most ranges halved for one train; the rest is then not settled.
const MOST_RANGES: u32 = 100_000;

/// Bounds are widened by this part, so that rounding can't make them too tight.
const SPARE: f64 = 1e-9;

/// A figure of the machine that gears must clear.
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
    pub(super) bounds: Bounds,
}

/// A box around a figure, its sides along the axes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    low: Point,
    high: Point,
}

impl Bounds {
    pub(super) fn of(figure: &Figure) -> Self {
        let (corners, radius) = match figure {
            Figure::Circle { at, radius } => (std::slice::from_ref(at), *radius),
            Figure::Polygon(corners) => (&corners[..], 0.0),
        };
        let err = corners.iter().map(|c| c.err).fold(0.0, f64::max);
        let end = |of: fn(&Point) -> f64, sign: f64| {
            let furthest = corners.iter().map(|c| sign * of(c)).fold(f64::NEG_INFINITY, f64::max);
            sign * (furthest + radius)
        };
        let corner = |sign| Point::new(end(|c| c.x, sign), end(|c| c.y, sign), err);
        Self { low: corner(-1.0), high: corner(1.0) }
    }

    /// Whether a point is certainly further than `need` from the figure: by a millionth more, which no
    /// rounding reaches.
    #[inline]
    pub(super) fn is_clear(&self, point: &Point, need: f64) -> bool {
        let across = (self.low.x - point.x).max(point.x - self.high.x);
        let up = (self.low.y - point.y).max(point.y - self.high.y);
        let apart = across.max(up);
        apart - need > 1e-6 * apart.abs() + 8.0 * (point.err + self.low.err)
    }
}

/// The pivot of the arm.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Base {
    First,
    Last,
    Point,
}

/// A bracket ready for use: sizes in steps, curves, choices of planes.
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
    /// The least radius on a shaft in any plane beside that of a mesh: its hub or a gear.
    bare: [f64; 3],
    pub(super) clearance: f64,
    pub(super) opening: (f64, f64),
    /// Openings tried for a stud in a slot: the least; the greatest too where something can't be set
    /// freely.
    pub(super) openings: Vec<Distance>,
    /// By number of studs, by which of them carry pairs, and by which shafts carry a gear without
    /// work. Each entry is worked out at its first use.
    choices: Vec<OnceLock<Vec<Planes>>>,
    pub(super) cover: Option<Vec<Point>>,
    pub(super) keep_out: Vec<Obstacle>,
    /// Most work for one train: see `between.rs` and `pivot.rs`.
    pub(super) most_cells: u32,
    pub(super) most_ranges: u32,
}

impl Geometry {
    /// Prepares a bracket.
    ///
    /// # Errors
    /// If the bracket contradicts itself, or its lengths and the gears' tooth sizes have no common
    /// measure small enough; a checked [`Lathe`](crate::Lathe) excludes that.
    pub fn new(bracket: &Bracket, gears: &GearSet) -> Result<Self> {
        bracket.check(0)?;
        Self::of_checked(bracket, gears)
    }

    /// The same for the bracket of a checked lathe, or a variant that needs no check: with slots
    /// longer than any machine's.
    pub(crate) fn of_checked(bracket: &Bracket, gears: &GearSet) -> Result<Self> {
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
        let rigid = slots.iter().any(|s| matches!(s, Curve::Hole { .. })) || is_fixed(swing);
        let mut openings = vec![(opening.0, 0.0)];
        openings.extend((rigid && opening.0 < opening.1).then_some((opening.1, 0.0)));
        let point = |spot: &Spot| frame.point(spot, steps);
        let half_steps = unit.over(&Ratio::table(2, 1))?;
        let hubs = [scaled(&hubs.first), scaled(&hubs.stud), scaled(&hubs.last)];
        let tips = gears.all().map(|gear| wheel(gear, &half_steps).tip);
        let least_tip = tips.fold(f64::INFINITY, f64::min);
        Ok(Self {
            steps,
            half_steps,
            base: frame.base,
            first: frame.first,
            last: frame.last,
            centres: frame.centres,
            origin: (frame.pivot.0 / steps, frame.pivot.1 / steps),
            along: frame.along,
            slots,
            swing,
            least_stud: scaled(&bracket.least_stud),
            hubs,
            bare: hubs.map(|hub| hub.min(least_tip)),
            clearance: scaled(&bracket.clearance),
            opening,
            openings,
            choices: vec![OnceLock::new(); (SHAFTS - 1) << (SHAFTS + 3)],
            cover: bracket.cover.as_ref().map(|c| c.iter().map(point).collect()),
            keep_out: bracket.keep_out.iter().map(|k| obstacle(k, &point, &scaled)).collect(),
            most_cells: MOST_CELLS,
            most_ranges: MOST_RANGES,
            bracket: bracket.clone(),
        })
    }

    /// With at most this many halvings for one train. For the tests.
    #[doc(hidden)]
    #[must_use]
    pub const fn with_work(mut self, halvings: u32) -> Self {
        (self.most_cells, self.most_ranges) = (halvings, halvings);
        self
    }

    /// The bracket that it was made from.
    pub const fn bracket(&self) -> &Bracket {
        &self.bracket
    }

    /// A gear as the geometry sees it.
    pub(crate) fn wheel(&self, gear: &Gear) -> Wheel {
        wheel(gear, &self.half_steps)
    }

    /// Radius of the hub of a shaft, of a train with `shafts` shafts.
    #[inline]
    pub(super) fn hub(&self, shaft: usize, shafts: usize) -> f64 {
        match shaft {
            0 => self.hubs[0],
            s if s + 1 == shafts => self.hubs[2],
            _ => self.hubs[1],
        }
    }

    /// The least radius on a shaft in a plane beside that of a mesh; arguments as in
    /// [`Geometry::hub`].
    #[inline]
    pub(super) fn bare(&self, shaft: usize, shafts: usize) -> f64 {
        match shaft {
            0 => self.bare[0],
            s if s + 1 == shafts => self.bare[2],
            _ => self.bare[1],
        }
    }

    /// The possible planes of a train.
    #[inline]
    pub(super) fn choices(&self, wheels: &Wheels) -> &[Planes] {
        self.choices_of(wheels.studs(), wheels.stud_pairs(), wheels.idles())
    }

    /// The possible planes of a train, by number of studs, by which of them carry pairs, and by
    /// which shafts carry a gear without work.
    #[inline]
    pub(super) fn choices_of(&self, studs: usize, pairs: usize, idles: usize) -> &[Planes] {
        let at = (studs << 3 | pairs) << SHAFTS | idles;
        self.choices[at].get_or_init(|| choices(&self.bracket, studs, (pairs, idles)))
    }

    /// The greatest distance of a stud from the pivot.
    pub(super) fn reach(&self) -> f64 {
        let far = |curve: &Curve| match curve {
            Curve::Line { offset, from, to, .. } => from.abs().max(to.abs()) + offset.abs(),
            Curve::Hole { from_pivot, .. } => from_pivot.0 + from_pivot.1,
            Curve::Arc { centre, radius, .. } => centre.distance(&Point::ORIGIN).0 + radius,
        };
        self.slots.iter().map(far).fold(0.0, f64::max) * (1.0 + SPARE)
    }

    /// The least distance of a stud from the pivot.
    pub(super) fn nearest(&self) -> f64 {
        let near = |curve: &Curve| match curve {
            Curve::Line { offset, from, to, .. } => {
                let along = if *from <= 0.0 && *to >= 0.0 { 0.0 } else { from.abs().min(to.abs()) };
                along.max(offset.abs())
            }
            Curve::Hole { from_pivot, .. } => from_pivot.0 - from_pivot.1,
            Curve::Arc { centre, radius, .. } => (centre.distance(&Point::ORIGIN).0 - radius).abs(),
        };
        self.slots.iter().map(near).fold(f64::INFINITY, f64::min) * (1.0 - SPARE)
    }

    /// The greatest distance between two studs.
    pub(super) fn span(&self) -> f64 {
        match self.slots[..] {
            [Curve::Line { from, to, .. }] => (to - from) * (1.0 + SPARE),
            _ => 2.0 * self.reach(),
        }
    }

    /// The work of one test of a train with `studs` studs, in tests of the closed form: 40 to 60 for
    /// each choice of slots and points (measured 2026-11-30 on ten gears, one slot and two, two
    /// studs and three).
    pub(crate) fn cost(&self, studs: usize) -> u64 {
        if self.base != Base::Point || self.is_fixed() || studs < 2 {
            return 1;
        }
        let branches = (0..studs).fold(1, |n: u64, _| n * 2 * self.slots.len() as u64);
        50 * branches
    }

    /// Studs with a place: any number in a slot, one in a hole.
    pub(super) fn places(&self) -> usize {
        let hole = |curve: &Curve| matches!(curve, Curve::Hole { .. });
        if self.slots.iter().all(hole) { self.slots.len() } else { usize::MAX }
    }

    /// Whether some mesh may have to be open further than the least, since nothing can move.
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
        is_fixed(self.swing)
    }
}

fn is_fixed(swing: Option<(f64, f64)>) -> bool {
    swing.is_some_and(|(from, to)| from >= to)
}

/// The places of the shafts in the machine's frame.
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
    let figure = match &keep_out.shape {
        Shape::Circle { at, radius } => {
            Figure::Circle { at: point(at), radius: scaled(&(*radius).into()) }
        }
        Shape::Polygon(corners) => Figure::Polygon(corners.iter().map(point).collect()),
    };
    let bounds = Bounds::of(&figure);
    Obstacle { figure, planes: if planes == 0 { u8::MAX } else { planes }, bounds }
}

/// A gear as the geometry sees it; `half_steps`: half the steps in a mm.
fn wheel(gear: &Gear, half_steps: &Ratio) -> Wheel {
    // A whole number of steps for the gears that the steps were made for.
    let half = gear.module().times(half_steps).map_or(0.0, |h| h.to_f64());
    Wheel::new(half, gear.teeth.get())
}

/// The choices of planes of a train with `studs` studs, some of which carry pairs, and with gears
/// without work on some shafts. Where nothing distinguishes the planes, choices with the same
/// pattern count once.
fn choices(bracket: &Bracket, studs: usize, which: (usize, usize)) -> Vec<Planes> {
    let told_apart = bracket.keep_out.iter().any(|k| !k.planes.is_empty());
    let ends = |list: &[u8], plane: u8| list.is_empty() || list.contains(&plane);
    let mut found = plane_choices(
        studs,
        which,
        bracket.planes,
        |p| ends(&bracket.first_planes, p),
        |p| ends(&bracket.last_planes, p),
    );
    if !told_apart {
        let mut seen = Vec::new();
        found.retain(|planes| {
            let mark = pattern(planes, studs + 1);
            let new = !seen.contains(&mark);
            seen.push(mark);
            new
        });
    }
    found
}

/// Which meshes and gears without work share planes.
fn pattern(planes: &Planes, meshes: usize) -> Vec<usize> {
    let idle = planes.idle.iter().filter(|plane| **plane > 0);
    let planes: Vec<u8> = planes.meshes[..meshes].iter().chain(idle).copied().collect();
    planes.iter().map(|p| planes.iter().position(|q| q == p).unwrap_or(0)).collect()
}
