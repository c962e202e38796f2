//! Where does each part of a train go, or why does it not fit? The full answer for one train.

use super::candidates::Candidate;
use super::fit::{Fit, Gap, InSlot, Mesh, MountedShaft, Mounting, Part, Reason, Refusal};
use super::geometry::{Curve, Geometry};
use super::judge::{Judge, outside, to_outline};
use super::pivot::KNOWN_MM;
use super::point::{Margin, Point};
use super::wheels::{Piece, Planes, Wheels};
use crate::{Shaft, Train};
use std::ops::ControlFlow;

/// Two positions that differ by less are equally good: a nanometre.
const SAME_MM: f64 = 1e-6;

/// Collects every reason and every doubt.
struct Full<'a> {
    geometry: &'a Geometry,
    train: &'a Train,
    planes: &'a Planes,
    reasons: Vec<Reason>,
    /// Sum of all missing distances, in mm.
    missing: f64,
    /// Conditions that are too close to call.
    doubts: Vec<Reason>,
}

impl Full<'_> {
    fn hear(&mut self, margin: Margin, why: impl FnOnce(f64) -> Reason) {
        let short = -margin.value / self.geometry.steps;
        if margin.fails() {
            self.missing += short;
            self.reasons.push(why(short));
        } else if !margin.holds() {
            self.doubts.push(why(short));
        }
    }

    fn part(&self, piece: Piece) -> Part {
        part(self.train, self.planes, piece)
    }

    fn touching(&mut self, margin: Margin, gear: Part, other: Part) {
        let clearance = self.geometry.clearance / self.geometry.steps;
        self.hear(margin, |short| Reason::Touch { gear, other, short, clearance });
    }
}

impl Judge for Full<'_> {
    fn margin(&mut self, margin: Margin, why: impl FnOnce() -> Reason) -> ControlFlow<()> {
        self.hear(margin, |_| why());
        ControlFlow::Continue(())
    }

    fn touch(&mut self, margin: Margin, a: Piece, b: Piece) -> ControlFlow<()> {
        let (gear, other) = (self.part(a), self.part(b));
        self.touching(margin, gear, other);
        ControlFlow::Continue(())
    }

    fn beside(&mut self, margin: Margin, gear: Piece, obstacle: Option<usize>) -> ControlFlow<()> {
        let gear = self.part(gear);
        self.touching(margin, gear, obstacle.map_or(Part::Cover, Part::KeepOut));
        ControlFlow::Continue(())
    }
}

fn part(train: &Train, planes: &Planes, piece: Piece) -> Part {
    match piece {
        Piece::Gear { shaft, plane } => {
            let gears = &train.shafts()[shaft];
            if let Some(idle) = train.idle(shaft).filter(|_| planes.idle[shaft] == plane) {
                let joined_to = gears.driven().teeth;
                return Part::Idle { shaft, teeth: idle.teeth, joined_to, plane };
            }
            // The driven gear of shaft i is in the plane of mesh i - 1.
            let driven = shaft > 0 && planes.meshes[shaft - 1] == plane;
            let gear = if driven { gears.driven() } else { gears.driver() };
            Part::Gear { shaft, teeth: gear.teeth, plane }
        }
        Piece::Hub { shaft } => Part::Hub { shaft },
    }
}

/// The merit of a position: fits or not, then the gap or what is missing.
#[derive(PartialEq, PartialOrd)]
struct Merit(u8, f64);

/// The best position of one train, while its candidates are compared.
struct Weighing<'a> {
    geometry: &'a Geometry,
    train: &'a Train,
    wheels: &'a Wheels,
    best: Option<(Merit, Vec<Reason>, Mounting)>,
    /// Whether the search for some position without an objection ended early.
    cut_short: bool,
}

impl Weighing<'_> {
    fn weigh(&mut self, planes: &Planes, candidate: &Candidate) {
        let Self { geometry, train, wheels, .. } = *self;
        let unplaced = geometry.hear(train, planes, |full| geometry.unplaced(wheels, planes, full));
        let placed =
            geometry.hear(train, planes, |full| geometry.placed(wheels, planes, candidate, full));
        let (mut merit, reasons) = merit(&unplaced, &placed);
        let mut mounting = geometry.mounting(train, wheels, planes, candidate);
        if reasons.is_empty() {
            self.cut_short |= candidate.cut_short;
            mounting.doubts = [&unplaced.doubts[..], &placed.doubts[..]].concat();
            merit.1 = mounting.tightest.map_or(f64::INFINITY, |gap| gap.mm);
        }
        let better = self.best.as_ref().is_none_or(|(old, ..)| {
            merit.0 > old.0 || (merit.0 == old.0 && merit.1 > old.1 + SAME_MM)
        });
        if better {
            self.best = Some((merit, reasons, mounting));
        }
    }

    fn fits(&self) -> bool {
        self.best.as_ref().is_some_and(|(merit, ..)| merit.0 == 2)
    }

    fn answer(self) -> Fit {
        match self.best {
            Some((Merit(2, _), _, mounting)) => Fit::Fits(Box::new(mounting)),
            Some((Merit(1, _), _, mut mounting)) => {
                if self.cut_short && !mounting.doubts.contains(&Reason::CutShort) {
                    mounting.doubts.push(Reason::CutShort);
                }
                Fit::TooClose(Box::new(mounting))
            }
            Some((_, reasons, mounting)) => {
                Fit::Refused(Box::new(Refusal { reasons, attempt: Some(mounting) }))
            }
            // A relaxed bracket always has a position; without one nothing is claimed.
            None => Fit::NotChecked,
        }
    }
}

impl Geometry {
    /// Where the train goes, with the largest least gap; or every reason why it does not fit, and
    /// the nearest that it comes to fitting. A gear without work ([`Train::idle`]) is tried in the
    /// plane nearer to the headstock and in the one further from it.
    ///
    /// ```
    /// use solver::bracket::{Fit, Geometry, Reason};
    /// use solver::{Bracket, Gear, GearSet, Teeth, Train};
    ///
    /// // Shafts 80 mm apart; the arm pivots on the screw, its slot takes a stud 34 to 70 mm away.
    /// let bracket = Bracket::plain("80 mm".parse()?, "34 mm".parse()?, "70 mm".parse()?);
    /// let geometry = Geometry::new(&bracket, &GearSet::new())?;
    ///
    /// let train: Train = "45-55+50-65".parse()?; // module 1 where nothing is stated
    /// let Fit::Fits(mounting) = geometry.fit(&train) else { panic!() };
    /// assert_eq!(mounting.meshes[1].centres, 57.5); // the stud's place along the slot
    /// assert!((mounting.swing.unwrap() - 38.43).abs() < 0.01); // degrees
    ///
    /// let short: Train = "21-30+45-50".parse()?;
    /// let reasons = geometry.fit(&short);
    /// assert!(reasons.reasons().contains(&Reason::TooShort { sum: 73.0, distance: 80.0 }));
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn fit(&self, train: &Train) -> Fit {
        let wheels = self.wheels(train);
        let choices = self.choices(&wheels);
        let impossible = if choices.is_empty() {
            Some(self.no_planes(train, &wheels))
        } else {
            let needed = wheels.studs();
            (self.places() < needed).then_some(Reason::Studs { needed })
        };
        if let Some(reason) = impossible {
            return Fit::Refused(Box::new(Refusal { reasons: vec![reason], attempt: None }));
        }
        let mut weighing =
            Weighing { geometry: self, train, wheels: &wheels, best: None, cut_short: false };
        for planes in choices {
            for relaxed in [false, true] {
                if relaxed && weighing.fits() {
                    break;
                }
                // Never ends early.
                let _ = self.candidates(&wheels, relaxed, &mut |candidate| {
                    weighing.weigh(planes, candidate);
                    ControlFlow::Continue(())
                });
            }
        }
        if !weighing.fits() {
            for planes in choices {
                if let Some((_, candidate)) = self.between(&wheels, planes) {
                    weighing.weigh(planes, &candidate);
                }
            }
        }
        weighing.answer()
    }

    /// Why a train has no planes: for its meshes, or for a gear without work.
    fn no_planes(&self, train: &Train, wheels: &Wheels) -> Reason {
        let planes = self.bracket.planes;
        let mut idles = 0;
        for (i, shaft) in train.shafts().iter().enumerate() {
            let none = self.choices_of(wheels.studs(), wheels.stud_pairs(), idles).is_empty();
            if let (false, Some(idle)) = (none, train.idle(i)) {
                idles |= 1 << i;
                if self.choices_of(wheels.studs(), wheels.stud_pairs(), idles).is_empty() {
                    let joined_to = shaft.driven().teeth;
                    return Reason::NoPlane { teeth: idle.teeth, joined_to, planes };
                }
            }
        }
        Reason::Planes { planes }
    }

    fn hear<'a>(
        &'a self,
        train: &'a Train,
        planes: &'a Planes,
        ask: impl FnOnce(&mut Full<'a>) -> ControlFlow<()>,
    ) -> Full<'a> {
        let mut full = Full {
            geometry: self,
            train,
            planes,
            reasons: Vec::new(),
            missing: 0.0,
            doubts: Vec::new(),
        };
        // It never ends early.
        let _ = ask(&mut full);
        full
    }

    /// A train as the geometry sees it.
    pub(crate) fn wheels(&self, train: &Train) -> Wheels {
        let mut wheels = Wheels::default();
        for (i, shaft) in train.shafts().iter().enumerate() {
            match shaft {
                Shaft::One(gear) => wheels.push(self.wheel(gear), None),
                Shaft::Pair { driven, driver } => {
                    wheels.push(self.wheel(driven), Some(self.wheel(driver)));
                }
            }
            if let Some(idle) = train.idle(i) {
                wheels.push_idle(self.wheel(idle));
            }
        }
        wheels
    }

    fn mounting(
        &self,
        train: &Train,
        wheels: &Wheels,
        planes: &Planes,
        candidate: &Candidate,
    ) -> Mounting {
        let shafts = wheels.shafts();
        let gaps = self.gaps(train, wheels, planes, candidate);
        let meshes = (0..shafts - 1).map(|i| Mesh {
            plane: planes.meshes[i],
            centres: self.centres_of(wheels, candidate, i) / self.steps,
            nominal: wheels.nominal(i) / self.steps,
        });
        let swing = candidate.turn.1.atan2(candidate.turn.0).to_degrees();
        Mounting {
            swing: (shafts > 2).then_some(swing),
            shafts: (0..shafts).map(|i| self.standing(train, planes, candidate, i)).collect(),
            meshes: meshes.collect(),
            tightest: gaps.first().copied(),
            gaps,
            planes: self.bracket.planes,
            doubts: Vec::new(),
        }
    }

    /// The distance of the axes of a mesh. Exactly as set, where the places give the same within a
    /// small error.
    fn centres_of(&self, wheels: &Wheels, candidate: &Candidate, mesh: usize) -> f64 {
        let (found, err) = candidate.points[mesh].distance(&candidate.points[mesh + 1]);
        let made = wheels.nominal(mesh) + self.opening.0;
        let known = err <= KNOWN_MM * self.steps;
        if known && (found - made).abs() <= err { made } else { found }
    }

    fn standing(
        &self,
        train: &Train,
        planes: &Planes,
        candidate: &Candidate,
        shaft: usize,
    ) -> MountedShaft {
        let gears = &train.shafts()[shaft];
        let last = train.shafts().len() - 1;
        let plane = |mesh: usize| planes.meshes[mesh.min(last - 1)];
        let first = self.bracket.first.spot();
        let (right, up) = match shaft {
            0 => (first.right.to_f64(), first.up.to_f64()),
            _ if shaft == last => (0.0, 0.0),
            _ => self.face(&self.in_machine(candidate, shaft, last + 1)),
        };
        MountedShaft {
            right,
            up,
            slot: candidate.places[shaft].map(|place| InSlot {
                slot: place.slot,
                along: match self.slots[place.slot] {
                    Curve::Arc { .. } => place.along.to_degrees(),
                    Curve::Line { .. } | Curve::Hole { .. } => place.along / self.steps,
                },
                from_pivot: candidate.points[shaft].distance(&Point::ORIGIN).0 / self.steps,
            }),
            gears: match gears {
                Shaft::One(gear) => vec![(*gear, plane(shaft.saturating_sub(1)))],
                Shaft::Pair { driven, driver } => {
                    vec![(*driven, plane(shaft - 1)), (*driver, plane(shaft))]
                }
            },
            idle: train.idle(shaft).map(|gear| (*gear, planes.idle[shaft])),
            hub: self.hub(shaft, last + 1) / self.steps,
        }
    }

    /// A place of the machine in the face view, in mm.
    fn face(&self, at: &Point) -> (f64, f64) {
        let (ex, ey) = self.along;
        let (x, y) = (at.x / self.steps, at.y / self.steps);
        (self.origin.0 + x * ex + y * ey, self.origin.1 + x * ey - y * ex)
    }

    /// Every gap, least first.
    fn gaps(
        &self,
        train: &Train,
        wheels: &Wheels,
        planes: &Planes,
        candidate: &Candidate,
    ) -> Vec<Gap> {
        let mut gaps = Vec::new();
        let shafts = wheels.shafts();
        let hub = |shaft| self.hub(shaft, shafts);
        for b in 1..shafts {
            for a in 0..b {
                let apart = if b == a + 1 {
                    self.centres_of(wheels, candidate, a)
                } else if (a, b) == (0, shafts - 1) {
                    self.centres.0
                } else {
                    candidate.points[a].distance(&candidate.points[b]).0
                };
                wheels.touches((a, b), planes, hub, |x, y, need| {
                    let (gear, other) = (part(train, planes, x), part(train, planes, y));
                    gaps.push(Gap { gear, other, mm: (apart - need) / self.steps });
                });
            }
        }
        for shaft in 0..shafts {
            let point = self.in_machine(candidate, shaft, shafts);
            let (gears, count) = wheels.gears(shaft, planes);
            for &(plane, tip) in &gears[..count] {
                let gear = part(train, planes, Piece::Gear { shaft, plane });
                let mut push = |other, apart: f64| {
                    gaps.push(Gap { gear, other, mm: (apart - tip) / self.steps });
                };
                for (i, obstacle) in self.keep_out.iter().enumerate() {
                    if obstacle.planes >> (plane & 7) & 1 == 1 {
                        push(Part::KeepOut(i), outside(&point, &obstacle.figure).0);
                    }
                }
                if let Some(cover) = &self.cover {
                    push(Part::Cover, -to_outline(&point, cover).0);
                }
            }
        }
        gaps.sort_by(|a, b| a.mm.total_cmp(&b.mm));
        gaps
    }
}

/// The merit of one position, gap apart, and the reasons against it.
fn merit(unplaced: &Full<'_>, placed: &Full<'_>) -> (Merit, Vec<Reason>) {
    let mut reasons = [&unplaced.reasons[..], &placed.reasons[..]].concat();
    if reasons.is_empty() {
        let sure = unplaced.doubts.is_empty() && placed.doubts.is_empty();
        return (Merit(if sure { 2 } else { 1 }, 0.0), reasons);
    }
    // Where a mesh can't be closed, conditions on the places mean nothing.
    if reasons.iter().any(is_open) {
        let known = unplaced.reasons.len();
        let mut at = 0;
        reasons.retain(|r| {
            at += 1;
            at <= known || is_open(r) || matches!(r, Reason::SlotEnd { .. })
        });
    }
    (Merit(0, -(unplaced.missing + placed.missing)), reasons)
}

/// Whether a mesh stays open.
fn is_open(reason: &Reason) -> bool {
    matches!(
        reason,
        Reason::OffSlot { .. }
            | Reason::TooShort { .. }
            | Reason::TooUnequal { .. }
            | Reason::Centres { .. }
    )
}
