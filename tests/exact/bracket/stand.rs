//! Can a train stand on a bracket? Slow and obvious: turns the arm step by step, slides studs along
//! their slots, and closes in by halving. No formula beside the distance of two points.
//!
//! The answer is a margin in mm: by how much everything that is asked holds at the best place, or
//! fails to at the least bad one.

use super::rig::{
    Chain, KeepOut, Pivot, Rig, Shape, Slot, Spot, Wheel, apart, giver, minus, plus, times, turned,
};

/// Steps of the swing in one turn.
const STEPS: u16 = 720;
/// Steps where the studs have to be placed anew at each.
const COARSE: u16 = 240;
/// A stud so far (mm) beyond its slot is not looked at further.
const BEYOND: f64 = -1.0;

/// One way to stand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stand {
    /// Degrees; nothing without a stud.
    pub(crate) swing: Option<f64>,
    /// The shafts in power-path order.
    pub(crate) points: Vec<Spot>,
    /// Slot and place of each stud.
    pub(crate) places: Vec<(usize, f64)>,
    /// The planes of each shaft's gears.
    pub(crate) planes: Vec<Vec<u8>>,
    pub(crate) margin: f64,
}

/// How well a train stands.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Verdict {
    /// With studs in slots at the least opening.
    pub(crate) least: f64,
    /// With any opening allowed wherever a hole or a fixed arm leaves no choice: no less than
    /// `least`, and found in steps.
    pub(crate) most: f64,
    /// Whether other openings than the least were looked at.
    pub(crate) stepped: bool,
    /// The best way to stand at the least opening, also where the margin is below zero.
    pub(crate) stand: Option<Stand>,
}

impl Verdict {
    /// Whether it stands; nothing: too close to say.
    pub(crate) fn fits(&self) -> Option<bool> {
        let never = if self.stepped { -0.3 } else { -1e-6 };
        if self.least > 1e-6 {
            return Some(true);
        }
        (self.most < never).then_some(false)
    }
}

/// Judges a train.
pub(crate) fn judge(rig: &Rig, chain: &Chain) -> Verdict {
    let mut hunt = Hunt::new(rig, chain);
    for slots in assignments(rig, chain.len() - 2) {
        hunt.look(&slots, &hunt.low.clone());
    }
    let (least, stand) = (hunt.best, hunt.stand.take());
    let free = |slots: &Vec<usize>| {
        let hole = slots.iter().any(|&slot| rig.slots[slot].is_hole());
        !slots.is_empty() && (hole || rig.fixed_swing().is_some())
    };
    let free: Vec<_> = assignments(rig, chain.len() - 2).into_iter().filter(free).collect();
    let stepped = least < 1e-6 && !free.is_empty();
    for slots in free.iter().filter(|_| stepped) {
        for distances in hunt.openings() {
            hunt.look(slots, &distances);
        }
    }
    Verdict { least, most: hunt.best, stepped, stand }
}

/// Every choice of slots for so many studs; a hole takes one stud.
pub(crate) fn assignments(rig: &Rig, studs: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..studs {
        let longer = |slots: &Vec<usize>| {
            let free = |slot: &usize| !(rig.slots[*slot].is_hole() && slots.contains(slot));
            (0..rig.slots.len())
                .filter(free)
                .map(|slot| [slots.as_slice(), &[slot]].concat())
                .collect::<Vec<_>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}

/// Every choice of planes: those of each shaft's gears.
pub(crate) fn patterns(rig: &Rig, chain: &Chain) -> Vec<Vec<Vec<u8>>> {
    let allowed = |end: usize, plane: &u8| {
        rig.end_planes[end].is_empty() || rig.end_planes[end].contains(plane)
    };
    // A shaft whose driving gear is in a plane.
    let shaft_at = |shaft: &[Wheel], plane: u8| {
        let next = match shaft.len() {
            1 => vec![vec![plane]],
            _ => [plane.wrapping_sub(1), plane + 1].map(|other| vec![plane, other]).to_vec(),
        };
        let inside = |planes: &Vec<u8>| planes.iter().all(|p| (1..=rig.planes).contains(p));
        next.into_iter().filter(inside).collect::<Vec<_>>()
    };
    let mut all: Vec<Vec<Vec<u8>>> = (1..=rig.planes)
        .filter(|plane| allowed(0, plane))
        .flat_map(|plane| shaft_at(&chain[0], plane).into_iter().map(|planes| vec![planes]))
        .collect();
    for (before, shaft) in chain.iter().zip(&chain[1..]) {
        let longer = |pattern: &Vec<Vec<u8>>| {
            let plane = giver_plane(before, pattern.last().expect("a shaft"));
            let kept = shaft_at(shaft, plane).into_iter();
            kept.map(|planes| [pattern.as_slice(), &[planes]].concat()).collect::<Vec<_>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all.retain(|pattern| allowed(1, &pattern.last().expect("a shaft")[0]));
    all
}

/// The plane of the gear of a shaft that gives the motion on.
fn giver_plane(shaft: &[Wheel], planes: &[u8]) -> u8 {
    let works = shaft.iter().zip(planes).rfind(|(wheel, _)| !wheel.idle);
    *works.expect("a gear that works").1
}

/// The studs placed, one after the other, from the shaft that the arm pivots on.
#[derive(Debug, Clone)]
struct Placed {
    points: Vec<Spot>,
    along: Vec<f64>,
    /// How well meshes and slots hold.
    margin: f64,
}

struct Hunt<'a> {
    rig: &'a Rig,
    chain: &'a Chain,
    patterns: Vec<Vec<Vec<u8>>>,
    /// Least and greatest distance of each mesh.
    low: Vec<f64>,
    high: Vec<f64>,
    best: f64,
    stand: Option<Stand>,
}

impl<'a> Hunt<'a> {
    fn new(rig: &'a Rig, chain: &'a Chain) -> Self {
        let nominal = |two: &[Vec<Wheel>]| giver(&two[0]).pitch_radius() + two[1][0].pitch_radius();
        let nominal: Vec<f64> = chain.windows(2).map(nominal).collect();
        let opened = |by: f64| nominal.iter().map(|n| n + by).collect();
        Self {
            rig,
            chain,
            patterns: patterns(rig, chain),
            low: opened(rig.opening[0]),
            high: opened(rig.opening[1]),
            best: f64::NEG_INFINITY,
            stand: None,
        }
    }

    /// Each mesh at its least, middle (unless there are many) and greatest distance.
    fn openings(&self) -> Vec<Vec<f64>> {
        let mut all = vec![Vec::new()];
        for (low, high) in self.low.iter().zip(&self.high) {
            let three = [*low, *high, f64::midpoint(*low, *high)];
            let tried = &three[..if self.low.len() > 3 { 2 } else { 3 }];
            all = all
                .iter()
                .flat_map(|d: &Vec<f64>| tried.iter().map(|last| [d.as_slice(), &[*last]].concat()))
                .collect();
        }
        all
    }

    /// Whether the studs follow one another from the driving shaft.
    fn is_about_first(&self) -> bool {
        self.rig.pivot == Pivot::First
    }

    /// The mesh that closes the chain, and the shafts that it joins: end shaft and stud.
    fn closing(&self) -> (usize, usize, usize) {
        let studs = self.chain.len() - 2;
        if self.is_about_first() { (studs, studs + 1, studs) } else { (0, 0, 1) }
    }

    fn within(&self, mesh: usize, distance: f64) -> f64 {
        (distance - self.low[mesh]).min(self.high[mesh] - distance)
    }

    /// Looks at every way to stand with these slots and these distances of the meshes.
    fn look(&mut self, slots: &[usize], distances: &[f64]) {
        if slots.is_empty() {
            let points = vec![self.rig.first, [0.0, 0.0]];
            let margin = self.within(0, apart(points[0], points[1]));
            self.weigh(slots, None, &Placed { points, along: Vec::new(), margin });
            return;
        }
        for sides in 0..1_u32 << slots.len() {
            self.swing(slots, distances, sides);
        }
    }

    /// Every swing with one choice of sides: on which side of the nearest place in the slot each
    /// stud stands.
    fn swing(&mut self, slots: &[usize], distances: &[f64], sides: u32) {
        let (mesh, end, stud) = self.closing();
        if let Some(swing) = self.rig.fixed_swing() {
            match self.place(slots, distances, sides, swing) {
                Ok(mut placed) => {
                    let closes = self.within(mesh, apart(placed.points[end], placed.points[stud]));
                    placed.margin = placed.margin.min(closes);
                    self.weigh(slots, Some(swing), &placed);
                }
                Err(miss) => self.best = self.best.max(miss),
            }
            return;
        }
        let still = !matches!(self.rig.pivot, Pivot::At(_));
        let rest = self.place(slots, distances, sides, 0.0);
        if still {
            match &rest {
                Err(miss) => {
                    self.best = self.best.max(*miss);
                    return;
                }
                Ok(placed) if placed.margin < BEYOND => {
                    self.best = self.best.max(placed.margin);
                    return;
                }
                Ok(_) => {}
            }
        }
        let (found, nearest) = {
            let at = |swing: f64| {
                if still {
                    rest.clone().ok().map(|placed| self.swung(placed, swing))
                } else {
                    self.place(slots, distances, sides, swing).ok()
                }
            };
            let pivot = self.rig.pivot_at();
            let gap = |swing: f64| match &rest {
                // Only the stud next to the far shaft is asked.
                Ok(placed) if still => {
                    let stud = plus(pivot, turned(minus(placed.points[stud], pivot), swing));
                    Some(apart(placed.points[end], stud) - distances[mesh])
                }
                _ => at(swing).map(|at| apart(at.points[end], at.points[stud]) - distances[mesh]),
            };
            let (swings, nearest) = zeros(&gap, if still { STEPS } else { COARSE });
            let found: Vec<_> =
                swings.into_iter().filter_map(|swing| Some((swing, at(swing)?))).collect();
            (found, nearest)
        };
        self.best = self.best.max(-nearest);
        for (swing, mut placed) in found {
            placed.margin = placed.margin.min(self.swing_margin(swing));
            self.weigh(slots, Some(swing), &placed);
        }
    }

    /// Degrees beyond the limits as mm at a radius of 50 mm.
    fn swing_margin(&self, swing: f64) -> f64 {
        let Some([from, to]) = self.rig.swing else { return f64::INFINITY };
        let turns = (-2..=2).map(|turn| swing + 360.0 * f64::from(turn));
        let inside = turns.map(|swing| (swing - from).min(to - swing));
        50.0 * inside.fold(f64::NEG_INFINITY, f64::max).to_radians()
    }

    /// The studs turned about the pivot; the end shafts stay.
    fn swung(&self, mut placed: Placed, swing: f64) -> Placed {
        let pivot = self.rig.pivot_at();
        let studs = placed.points.len() - 2;
        for point in &mut placed.points[1..=studs] {
            *point = plus(pivot, turned(minus(*point, pivot), swing));
        }
        placed
    }

    /// Places the studs at a swing; else by how much some mesh can't reach its slot.
    fn place(
        &self,
        slots: &[usize],
        distances: &[f64],
        sides: u32,
        swing: f64,
    ) -> Result<Placed, f64> {
        let studs = slots.len();
        let mut points = vec![[0.0, 0.0]; studs + 2];
        points[0] = self.rig.first;
        let mut along = vec![0.0; studs];
        let mut margin = f64::INFINITY;
        for step in 0..studs {
            let (shaft, before, mesh) = if self.is_about_first() {
                (step + 1, step, step)
            } else {
                (studs - step, studs - step + 1, studs - step)
            };
            let slot = &self.rig.slots[slots[shaft - 1]];
            let track = self.rig.track(slot, swing);
            let at = |t: f64| track.at(t);
            let from = points[before];
            if let (Slot::Straight { from: t, .. }, true) = (slot, slot.is_hole()) {
                along[shaft - 1] = *t;
                margin = margin.min(self.within(mesh, apart(at(*t), from)));
            } else {
                let second = sides >> (shaft - 1) & 1 == 1;
                let distance = |t: f64| apart(at(t), from);
                let (t, exists) = meet(slot, &distance, distances[mesh], second)?;
                along[shaft - 1] = t;
                margin = margin.min(exists).min(in_range(slot, t));
            }
            points[shaft] = at(along[shaft - 1]);
        }
        Ok(Placed { points, along, margin })
    }

    /// Asks what touches what, in the best of all planes.
    fn weigh(&mut self, slots: &[usize], swing: Option<f64>, placed: &Placed) {
        let points = &placed.points;
        let studs = &points[1..points.len() - 1];
        let least = studs.iter().map(|&stud| apart(stud, points[0]) - self.rig.least_stud);
        let plain = least.fold(placed.margin, f64::min);
        for planes in &self.patterns {
            let margin = plain.min(clear(self.rig, self.chain, planes, points));
            if margin > self.best || self.stand.is_none() {
                let places = slots.iter().copied().zip(placed.along.iter().copied()).collect();
                let (points, planes) = (points.clone(), planes.clone());
                self.stand = Some(Stand { swing, points, places, planes, margin });
            }
            self.best = self.best.max(margin);
        }
    }
}

/// How far inside its slot, in mm.
pub(crate) fn in_range(slot: &Slot, along: f64) -> f64 {
    match *slot {
        Slot::Straight { from, to, .. } => (along - from).min(to - along),
        Slot::Arc { radius, from, to, .. } => {
            let turns = (-3..=3).map(|turn| along + 360.0 * f64::from(turn));
            let inside = turns.map(|along| (along - from).min(to - along));
            radius * inside.fold(f64::NEG_INFINITY, f64::max).to_radians()
        }
    }
}

/// Where a slot, thought without ends, is at a distance; and by how much it gets there. Else by how
/// much it does not (below zero).
fn meet(
    slot: &Slot,
    distance: &dyn Fn(f64) -> f64,
    wanted: f64,
    second: bool,
) -> Result<(f64, f64), f64> {
    let side = if second { -1.0 } else { 1.0 };
    let (nearest, reach) = match slot {
        Slot::Straight { .. } => (lowest(distance, -2000.0, 2000.0), 2000.0),
        Slot::Arc { .. } => {
            let steps = (0..36).map(|step| 10.0 * f64::from(step));
            let least = steps.min_by(|a, b| distance(*a).total_cmp(&distance(*b)));
            let near = least.expect("steps");
            (lowest(distance, near - 10.0, near + 10.0), 180.0)
        }
    };
    let furthest = nearest + side * reach;
    let exists = (wanted - distance(nearest)).min(distance(furthest) - wanted);
    if exists < 0.0 {
        return Err(exists);
    }
    Ok((halved(&|t| distance(t) - wanted, nearest, furthest), exists))
}

/// Where something that falls and then rises is lowest.
fn lowest(value: &dyn Fn(f64) -> f64, mut from: f64, mut to: f64) -> f64 {
    for _ in 0..75 {
        let (a, b) = (from + (to - from) / 3.0, to - (to - from) / 3.0);
        if value(a) <= value(b) { to = b } else { from = a }
    }
    f64::midpoint(from, to)
}

/// Where something changes sign between two places.
fn halved(value: &dyn Fn(f64) -> f64, mut from: f64, mut to: f64) -> f64 {
    let below = value(from) <= 0.0;
    for _ in 0..70 {
        let middle = f64::midpoint(from, to);
        if (value(middle) <= 0.0) == below { from = middle } else { to = middle }
    }
    f64::midpoint(from, to)
}

type Gap<'g> = &'g dyn Fn(f64) -> Option<f64>;

/// The swings at which a gap closes, and how near it comes where it does not quite.
fn zeros(gap: Gap, steps: u16) -> (Vec<f64>, f64) {
    let step = 360.0 / f64::from(steps);
    let at = |i: u16| f64::from(i) * step;
    let seen: Vec<Option<f64>> = (0..=steps).map(|i| gap(at(i))).collect();
    let mut found = Vec::new();
    let mut nearest = f64::INFINITY;
    for i in 0..usize::from(steps) {
        let (from, to) = (f64_of(i) * step, f64_of(i + 1) * step);
        match (seen[i], seen[i + 1]) {
            (Some(a), Some(b)) if (a <= 0.0) != (b <= 0.0) => found.push(close(gap, from, to)),
            (Some(a), Some(b)) => {
                let after = seen[(i + 2) % usize::from(steps)];
                if let Some(c) = after.filter(|c| (*c <= 0.0) == (b <= 0.0))
                    && b.abs() <= a.abs().min(c.abs())
                {
                    let (zeros, miss) = touch(gap, from, to + step);
                    found.extend(zeros);
                    nearest = nearest.min(miss);
                }
            }
            (None, None) => {}
            (a, b) => {
                // To where the studs can just be placed.
                let (known, unknown) = if a.is_some() { (from, to) } else { (to, from) };
                let edge = edge(gap, known, unknown);
                let (a, b) = (gap(edge).unwrap_or(f64::NAN), a.or(b).expect("one is known"));
                if (a <= 0.0) == (b <= 0.0) {
                    nearest = nearest.min(a.abs());
                } else {
                    found.push(close(gap, edge, known));
                }
            }
        }
    }
    (found, nearest)
}

#[expect(clippy::cast_precision_loss, reason = "steps are few")]
fn f64_of(i: usize) -> f64 {
    i as f64
}

fn close(gap: Gap, from: f64, to: f64) -> f64 {
    let known = |swing: f64| gap(swing).unwrap_or(f64::NAN);
    halved(&known, from, to)
}

/// Where a gap of one sign comes closest to nothing: two zeros, or a near miss.
fn touch(gap: Gap, from: f64, to: f64) -> (Vec<f64>, f64) {
    let sign = gap(from).map_or(1.0, f64::signum);
    let size = |swing: f64| gap(swing).map_or(f64::INFINITY, |gap| sign * gap);
    let lowest = lowest(&size, from, to);
    let least = size(lowest);
    if least > 0.0 {
        return (Vec::new(), least);
    }
    (vec![close(gap, from, lowest), close(gap, lowest, to)], f64::INFINITY)
}

/// The last swing, from a known one toward an unknown one, that is known.
fn edge(gap: Gap, mut known: f64, mut unknown: f64) -> f64 {
    for _ in 0..60 {
        let middle = f64::midpoint(known, unknown);
        if gap(middle).is_some() { known = middle } else { unknown = middle }
    }
    known
}

/// Room between all that must not touch, less what is wanted: the least.
pub(crate) fn clear(rig: &Rig, chain: &Chain, planes: &[Vec<u8>], points: &[Spot]) -> f64 {
    rooms(rig, chain, planes, points)
        .into_iter()
        .map(|room| room - rig.clearance)
        .fold(f64::INFINITY, f64::min)
}

/// Room between each gear and each thing that it must not touch.
pub(crate) fn rooms(rig: &Rig, chain: &Chain, planes: &[Vec<u8>], points: &[Spot]) -> Vec<f64> {
    let mut rooms = Vec::new();
    let gears: Vec<(usize, f64, u8)> = chain
        .iter()
        .zip(planes)
        .enumerate()
        .flat_map(|(shaft, (wheels, planes))| {
            wheels.iter().zip(planes).map(move |(wheel, &plane)| (shaft, wheel.tip_radius(), plane))
        })
        .collect();
    let last = chain.len() - 1;
    let hub = |shaft: usize| rig.hubs[if shaft == 0 { 0 } else { 1 + usize::from(shaft == last) }];
    for &(shaft, tip, plane) in &gears {
        for other in (0..=last).filter(|&other| other != shaft) {
            let between = apart(points[shaft], points[other]);
            match gears.iter().find(|gear| (gear.0, gear.2) == (other, plane)) {
                None => rooms.push(between - tip - hub(other)),
                // Each two gears once.
                Some(gear) if other > shaft && !mesh(chain, planes, shaft, other, plane) => {
                    rooms.push(between - tip - gear.1);
                }
                Some(_) => {}
            }
        }
        let concerns = |part: &&KeepOut| part.planes.is_empty() || part.planes.contains(&plane);
        for part in rig.keep_outs.iter().filter(concerns) {
            rooms.push(outside(&part.shape, points[shaft]) - tip);
        }
        if let Some(cover) = &rig.cover {
            rooms.push(-outside(&Shape::Polygon(cover.clone()), points[shaft]) - tip);
        }
    }
    rooms
}

/// Whether the gears of two shafts in a plane mesh: the one's last with the next one's first.
fn mesh(chain: &Chain, planes: &[Vec<u8>], shaft: usize, other: usize, plane: u8) -> bool {
    let gives = other == shaft + 1 && giver_plane(&chain[shaft], &planes[shaft]) == plane;
    gives && planes[other][0] == plane
}

/// Distance from the edge of a shape; below zero inside.
fn outside(shape: &Shape, at: Spot) -> f64 {
    match shape {
        Shape::Circle(middle, radius) => apart(*middle, at) - radius,
        Shape::Polygon(corners) => {
            let sides = (0..corners.len()).map(|i| [corners[i], corners[(i + 1) % corners.len()]]);
            let edge = sides.clone().map(|side| from_side(side, at)).fold(f64::INFINITY, f64::min);
            // A ray that leaves through an odd number of sides starts inside.
            let crossed = |[a, b]: &[Spot; 2]| {
                let share = (at[1] - a[1]) / (b[1] - a[1]);
                (a[1] > at[1]) != (b[1] > at[1]) && a[0] + share * (b[0] - a[0]) > at[0]
            };
            if sides.filter(crossed).count() % 2 == 1 { -edge } else { edge }
        }
    }
}

/// Distance from a straight line between two corners.
fn from_side([a, b]: [Spot; 2], at: Spot) -> f64 {
    let on = |share: f64| plus(a, times(minus(b, a), share));
    let distance = |share: f64| apart(on(share), at);
    distance(lowest(&distance, 0.0, 1.0))
}
