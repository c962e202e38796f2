//! A train as it is drawn: shafts in power-path order, and on each its gears with their planes.

use crate::report::drawing::{Part, Point};
use crate::words::shaft::label;
use solver::bracket::{Fit, MountedShaft, Mounting};
use solver::{Gear, OnShaft, Shaft, Train};

/// A gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wheel {
    pub(super) teeth: u16,
    /// In mm.
    pub(super) module: f64,
    /// 1 stands next to the headstock.
    pub(super) plane: u8,
    pub(super) part: Part,
}

impl Wheel {
    fn of(gear: &Gear, plane: u8, part: Part) -> Self {
        Self { teeth: gear.teeth.get(), module: gear.module().to_f64(), plane, part }
    }

    /// `40 teeth, stud 1, plane 2`.
    pub(super) fn title(&self, axle: &Axle) -> String {
        let idle = if self.part == Part::Idle { ", joined, no work" } else { "" };
        format!("{} teeth, {}, plane {}{idle}", self.teeth, axle.name, self.plane)
    }

    /// Radius of the pitch circle.
    pub(super) fn pitch(&self) -> f64 {
        self.module * f64::from(self.teeth) / 2.0
    }

    /// Radius of the tip circle (ISO 53: addendum m).
    pub(super) fn tip(&self) -> f64 {
        self.pitch() + self.module
    }

    /// Radius of the root circle (ISO 53: dedendum 1.25 m).
    pub(super) fn root(&self) -> f64 {
        1.25_f64.mul_add(-self.module, self.pitch())
    }
}

/// A shaft with what it carries, the driven gear first.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axle {
    pub(super) name: &'static str,
    /// Its place in the face view, where that is known.
    pub(super) at: Option<Point>,
    /// Radius of its hub; 0 where none was stated.
    pub(super) hub: f64,
    /// One without work is the last.
    pub(super) wheels: Vec<Wheel>,
    /// Whether they are a joined pair.
    pub(super) joined: bool,
}

impl Axle {
    /// The gear that takes the motion, and the one that gives it on.
    pub(super) fn ends(&self) -> Option<(&Wheel, &Wheel)> {
        let works = |wheel: &&Wheel| wheel.part != Part::Idle;
        self.wheels.iter().find(works).zip(self.wheels.iter().rfind(works))
    }

    /// Radius of its largest gear.
    pub(super) fn reach(&self) -> f64 {
        self.wheels.iter().map(Wheel::tip).fold(self.hub, f64::max)
    }
}

/// A train with its planes, and with its places where the banjo is described.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figure {
    pub(super) axles: Vec<Axle>,
    pub(super) planes: u8,
    /// Whether no tooth size is stated, so that module 1 was taken.
    pub(super) assumed_module: bool,
}

impl Figure {
    /// `driven`: what the shaft of its last gear is called.
    pub(super) fn of(train: &Train, fit: &Fit, driven: &'static str) -> Self {
        let mounting = shown(fit);
        let axles = match mounting {
            Some(mounting) => placed(train, mounting, driven),
            None => unplaced(train, driven),
        };
        let used = outermost(&axles);
        Self {
            planes: mounting.map_or(used, |m| m.planes.max(used)),
            assumed_module: train.gears().all(|gear| gear.size.is_none()),
            axles,
        }
    }

    /// The shafts that have a place.
    pub(super) fn placed(&self) -> impl Iterator<Item = (&Axle, Point)> {
        self.axles.iter().filter_map(|axle| Some((axle, axle.at?)))
    }

    /// The outermost plane that a gear stands in.
    pub(super) fn outermost(&self) -> u8 {
        outermost(&self.axles)
    }

    /// Whether some gear is behind the outermost plane.
    pub(super) fn has_planes_behind(&self) -> bool {
        let outermost = self.outermost();
        self.axles.iter().flat_map(|axle| &axle.wheels).any(|wheel| wheel.plane < outermost)
    }

    /// Whether every shaft has a place.
    pub(super) fn fits(&self) -> bool {
        self.axles.iter().all(|axle| axle.at.is_some())
    }
}

fn outermost(axles: &[Axle]) -> u8 {
    axles.iter().flat_map(|axle| &axle.wheels).map(|wheel| wheel.plane).max().unwrap_or(1)
}

/// How a train stands, or comes nearest to standing.
pub(super) fn shown(fit: &Fit) -> Option<&Mounting> {
    match fit {
        Fit::Refused(refusal) => refusal.attempt.as_ref(),
        fit => fit.mounting(),
    }
}

/// What a gear does on its shaft: the first of a pair is driven, an end gear drives or is driven.
fn part(shaft: &Shaft, gear: usize, index: usize, shafts: usize) -> Part {
    match (shaft, gear) {
        _ if index == 0 => Part::Driver,
        _ if index + 1 == shafts => Part::Driven,
        (Shaft::One(_), _) => Part::Idler,
        (Shaft::Pair { .. }, 0) => Part::Driven,
        (Shaft::Pair { .. }, _) => Part::Driver,
    }
}

fn placed(train: &Train, mounting: &Mounting, driven: &'static str) -> Vec<Axle> {
    let shafts = train.shafts().len();
    let axle = |(i, (shaft, standing)): (usize, (&Shaft, &MountedShaft))| {
        let wheel = |(g, (gear, plane)): (usize, &(Gear, u8))| {
            Wheel::of(gear, *plane, part(shaft, g, i, shafts))
        };
        let idle = standing.idle.iter().map(|(gear, plane)| Wheel::of(gear, *plane, Part::Idle));
        Axle {
            name: label(OnShaft::of(i, shafts), driven),
            at: Some((standing.right, standing.up)),
            hub: standing.hub,
            wheels: standing.gears.iter().enumerate().map(wheel).chain(idle).collect(),
            joined: train.partner(i).is_some(),
        }
    };
    train.shafts().iter().zip(&mounting.shafts).enumerate().map(axle).collect()
}

/// Without a banjo there are two planes, and each pair changes between them. A gear without work is
/// in the other one.
fn unplaced(train: &Train, driven: &'static str) -> Vec<Axle> {
    let shafts = train.shafts().len();
    let mut places = train.places().into_iter();
    let axle = |(i, shaft): (usize, &Shaft)| {
        let wheel = |(g, gear): (usize, &Gear)| {
            let outer = places.next().is_some_and(|(place, _)| place.outer);
            Wheel::of(gear, 1 + u8::from(outer), part(shaft, g, i, shafts))
        };
        let mut wheels: Vec<Wheel> = shaft.gears().enumerate().map(wheel).collect();
        if let Some((gear, works)) = train.idle(i).zip(wheels.first()) {
            wheels.push(Wheel::of(gear, 3 - works.plane.clamp(1, 2), Part::Idle));
        }
        let joined = train.partner(i).is_some();
        Axle { name: label(OnShaft::of(i, shafts), driven), at: None, hub: 0.0, wheels, joined }
    };
    train.shafts().iter().enumerate().map(axle).collect()
}
