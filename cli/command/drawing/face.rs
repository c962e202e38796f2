//! The view from the cover end, to scale: gears, arm, slots, what is in the way, and the sizes that
//! a person sets.
//!
//! ```text
//!   up |  (first)      the operator stands on the right; a spindle that runs forward
//!      |     \         turns clockwise
//!      |    (stud)
//!      |     /
//!      |  (last) <- origin
//!      +---------- right
//! ```

use super::figure::{Axle, Figure, Wheel};
use super::machine::{Machine, outline, spot};
use super::meet;
use super::place::{Crowd, WordBox};
use super::scale::{Bounds, ROOM, bar};
use super::shapes::{arc, direction, length, minus, plus, strip, times, toward, turned};
use super::{LARGE, MARGIN, Paper, SMALL, Subject, WIDTH};
use crate::report::drawing::{Anchor, Form, Lettering, Part, Point, Shape, View};
use crate::words::figures::tenth;
use solver::bracket::{Mounting, Reason};
use solver::{Bracket, KeepOut, Slot, Turns};

/// Gaps below this are marked, in mm.
const NARROW: f64 = 2.0;
/// Below this a distance counts as none, in mm.
const NOTHING: f64 = 1e-6;
/// Widths of slot and arm, in mm of paper: they are not part of a lathe's description.
const SLOT: f64 = 4.0;
const ARM: f64 = 12.0;

const WORDS: Lettering = Lettering { height: SMALL, bold: false, anchor: Anchor::Middle };
const HEAVY: Lettering = Lettering { height: SMALL, bold: true, anchor: Anchor::Middle };
const COUNT: Lettering = Lettering { height: LARGE, bold: true, anchor: Anchor::Middle };

/// The view and the height that it takes.
pub(super) fn draw(
    subject: &Subject<'_>,
    bracket: &Bracket,
    mounting: &Mounting,
    figure: &Figure,
    paper: Paper,
) -> (View, f64) {
    let (mut face, height) = Face::new(bracket, mounting, figure, paper);
    face.surroundings(bracket);
    // Without a stud the arm is out of the way.
    let arm = mounting.swing.is_some();
    if arm {
        face.arm(bracket);
    }
    face.gears(figure);
    if arm {
        face.slots();
    }
    face.lines(mounting);
    face.turns(figure, subject.first_turns);
    face.clashes(subject.fit.reasons(), figure, bracket);
    face.gaps(mounting, figure, bracket);
    face.meshes(mounting, figure, bracket);
    face.counts(figure);
    // What is refused gets no sizes to set.
    if let Some(mounting) = subject.fit.mounting() {
        face.swing(mounting);
        face.studs(mounting);
    }
    face.names(bracket);
    let below = face.frame(height);
    (face.view, height + below)
}

/// The view while it is drawn.
struct Face {
    view: View,
    crowd: Crowd,
    machine: Machine,
    /// Width of the sheet.
    width: f64,
}

impl Face {
    /// An empty view with room for everything, and its height on the paper.
    fn new(
        bracket: &Bracket,
        mounting: &Mounting,
        figure: &Figure,
        Paper { width, height, .. }: Paper,
    ) -> (Self, f64) {
        let machine = Machine::of(bracket, mounting);
        let mut bounds = Bounds::default();
        machine.outline(bracket).for_each(|point| bounds.hold(point, 0.0));
        for axle in &figure.axles {
            axle.at.iter().for_each(|at| bounds.hold(*at, axle.reach()));
        }
        let scale = bounds.scale(width, height);
        let (low, high) = (bounds.low, bounds.high);
        let height = (high.1 - low.1).mul_add(scale, 2.0 * ROOM.1);
        let spare = ((high.0 - low.0).mul_add(-scale, width) / 2.0).max(0.0);
        let origin = (scale.mul_add(-low.0, spare), scale.mul_add(high.1, ROOM.1));
        let paper = ((MARGIN - origin.0, origin.1 - height), (width - MARGIN - origin.0, origin.1));
        let crowd = Crowd { paper, ..Crowd::default() };
        (Self { view: View::new("face", origin, scale), crowd, machine, width }, height)
    }

    /// mm of the machine on the paper.
    fn paper(&self, point: Point) -> Point {
        times(point, self.view.scale)
    }

    /// mm of paper on the machine.
    fn mm(&self, paper: f64) -> f64 {
        paper / self.view.scale
    }

    /// Words with their middle there, in mm of paper.
    fn words(&mut self, part: Part, middle: Point, text: &str, lettering: Lettering) {
        // Letters stand on their line: a third of their height below their middle.
        let at = (middle.0, middle.1 - lettering.height * 0.35);
        let at = times(at, 1.0 / self.view.scale);
        self.view.write(part, at, text, lettering);
    }

    /// Words beside a point of the machine.
    fn note(&mut self, part: Part, point: Point, text: &str, lettering: Lettering) {
        let block = WordBox::of(&[(text, lettering)]);
        let block = self.crowd.beside(block, self.paper(point));
        let from = self.paper(point);
        let to = block.edge_toward(from);
        if length(minus(from, to)) > 6.0 {
            let line = [from, to].map(|p| times(p, 1.0 / self.view.scale));
            self.view.draw(Part::Label, Form::Line(line.into()));
        }
        self.words(part, block.middle, text, lettering);
    }

    /// Words keep off an outline.
    fn keep_off(&mut self, corners: &[Point]) {
        let next = corners.iter().cycle().skip(1);
        let edges = corners.iter().zip(next).map(|(a, b)| [*a, *b].map(|p| self.paper(p)));
        let edges: Vec<[Point; 2]> = edges.collect();
        self.crowd.lines.extend(edges);
    }

    fn surroundings(&mut self, bracket: &Bracket) {
        if let Some(cover) = &bracket.cover {
            let corners: Vec<Point> = cover.iter().map(spot).collect();
            self.keep_off(&corners);
            self.view.draw(Part::Cover, Form::Polygon(corners));
        }
        for KeepOut { name, shape, .. } in &bracket.keep_out {
            let form = match shape {
                solver::Shape::Circle { at, radius } => {
                    let (at, radius) = (spot(at), radius.mm().to_f64());
                    self.crowd.circles.push((self.paper(at), radius * self.view.scale));
                    Form::Circle { at, radius }
                }
                solver::Shape::Polygon(corners) => {
                    let corners: Vec<Point> = corners.iter().map(spot).collect();
                    self.keep_off(&corners);
                    Form::Polygon(corners)
                }
            };
            self.view.titled(Part::KeepOut, name.clone(), form);
        }
    }

    fn arm(&mut self, bracket: &Bracket) {
        let arm = self.mm(ARM);
        let pivot = self.machine.pivot;
        for (line, kind) in self.machine.slots.iter().zip(&bracket.slots) {
            let mut along = match kind {
                Slot::Straight { .. } => vec![pivot],
                Slot::Arc { .. } => {
                    line.get(line.len() / 2).map(|p| vec![pivot, *p, pivot]).unwrap_or_default()
                }
            };
            along.extend(line);
            self.view.draw(Part::Arm, Form::Strip { along, width: arm });
        }
    }

    /// Slots stand out in front of the gears, or nobody sees where a stud is.
    fn slots(&mut self) {
        let half = self.mm(SLOT) / 2.0;
        for line in &self.machine.slots {
            self.view.draw(Part::Slot, Form::Polygon(strip(line, half)));
            let line = line.first().zip(line.last()).map(|(a, b)| [*a, *b]);
            let line = line.map(|line| line.map(|p| times(p, self.view.scale)));
            self.crowd.lines.extend(line);
        }
    }

    /// The lines of sizes and meshes, which words keep off.
    fn lines(&mut self, mounting: &Mounting) {
        let places: Vec<Point> = mounting.shafts.iter().map(|s| (s.right, s.up)).collect();
        let pivot = self.machine.pivot;
        let studs = mounting.shafts.iter().filter(|s| s.slot.is_some());
        let mut lines: Vec<[Point; 2]> = studs.map(|s| [pivot, (s.right, s.up)]).collect();
        lines.extend(places.windows(2).map(|w| [w[0], w[1]]));
        self.crowd.lines.extend(lines.into_iter().map(|l| l.map(|p| times(p, self.view.scale))));
    }

    /// Gears, those that stand behind first; then hubs and shaft ends.
    fn gears(&mut self, figure: &Figure) {
        let all =
            figure.placed().flat_map(|(axle, at)| axle.wheels.iter().map(move |w| (axle, at, w)));
        let mut wheels: Vec<(&Axle, Point, &Wheel)> = all.collect();
        // In one plane the larger first, lest it hide the other.
        wheels.sort_by(|a, b| a.2.plane.cmp(&b.2.plane).then(b.2.tip().total_cmp(&a.2.tip())));
        for (axle, at, wheel) in wheels {
            self.gear(figure.outermost(), axle, at, wheel);
        }
        for (axle, at) in figure.placed() {
            if axle.hub > 0.0 {
                self.view.draw(Part::Hub, Form::Circle { at, radius: axle.hub });
                self.crowd.circles.push((self.paper(at), axle.hub * self.view.scale));
            }
            let cross = [(0.0, 1.0), (1.0, 0.0)].map(|way| {
                let half = times(way, self.mm(2.5));
                [minus(at, half), plus(at, half)]
            });
            self.view.draw(Part::Dimension, Form::Strokes(cross.into()));
        }
    }

    fn gear(&mut self, outermost: u8, axle: &Axle, at: Point, wheel: &Wheel) {
        let behind = outermost.saturating_sub(wheel.plane);
        let title = Some(wheel.title(axle));
        let form = Form::Circle { at, radius: wheel.tip() };
        self.view.shapes.push(Shape { part: wheel.part, behind, form, title });
        self.view.draw(Part::Pitch, Form::Circle { at, radius: wheel.pitch() });
        let tooth = |i: u16| {
            let way = turned((0.0, 1.0), 360.0 * f64::from(i) / f64::from(wheel.teeth));
            [plus(at, times(way, wheel.root())), plus(at, times(way, wheel.tip()))]
        };
        self.view.draw(Part::Teeth, Form::Strokes((0..wheel.teeth).map(tooth).collect()));
        self.crowd.circles.push((self.paper(at), wheel.tip() * self.view.scale));
    }

    /// An arrow round each shaft; each mesh turns the sense round.
    fn turns(&mut self, figure: &Figure, first: Turns) {
        let places: Vec<Point> = figure.axles.iter().filter_map(|axle| axle.at).collect();
        for (i, axle) in figure.axles.iter().enumerate() {
            let (Some(at), Some((a, b))) = (axle.at, axle.ends()) else { continue };
            let others: Point = places.iter().fold((0.0, 0.0), |sum, p| plus(sum, minus(at, *p)));
            let out = direction((0.0, 0.0), others);
            let clockwise = (first != Turns::Opposite) == i.is_multiple_of(2);
            let sweep = if clockwise { 70.0 } else { -70.0 };
            // Between hub and teeth where there is room, else round the outside.
            let inside = a.root().min(b.root()) * 0.8;
            let roomy = inside > axle.hub * 1.2 && inside * self.view.scale > 8.0;
            let radius = if roomy { inside } else { axle.reach() + self.mm(2.5) };
            let points = arc(at, radius, turned(out, -sweep / 2.0), sweep);
            let middle = self.paper(toward(at, plus(at, out), radius));
            let size = self.view.scale * radius * 0.9;
            self.crowd.blocks.push(WordBox { middle, size: (size.min(6.0), size.min(6.0)) });
            let sense = if clockwise { "clockwise" } else { "counterclockwise" };
            let title = format!("{} turns {sense}", axle.name);
            self.view.titled(Part::Turn, title, Form::Arrow(points));
        }
    }

    /// The arm's line against the line between the shafts.
    fn swing(&mut self, mounting: &Mounting) {
        let Some(swing) = mounting.swing else { return };
        let Machine { pivot, base, along, .. } = self.machine;
        // Inside the arm, whose end the pointer does not pass.
        let ends = self.machine.slots.iter().flatten();
        let reach = ends.map(|end| length(minus(*end, pivot))).fold(0.0, f64::max);
        let radius = self.mm(24.0).min(reach / 1.25);
        for way in [base, along] {
            let line = vec![pivot, plus(pivot, times(way, radius * 1.25))];
            self.view.draw(Part::Dimension, Form::Line(line));
        }
        if swing.abs() > 1.0 {
            let points = arc(pivot, radius, base, swing);
            self.view.draw(Part::Dimension, Form::Arrow(points));
        }
        let middle = plus(pivot, times(turned(base, swing / 2.0), radius));
        self.note(Part::Dimension, middle, &format!("{}°", tenth(swing)), WORDS);
    }

    /// Where each stud stands: its distance from the pivot.
    fn studs(&mut self, mounting: &Mounting) {
        for standing in &mounting.shafts {
            let Some(slot) = standing.slot else { continue };
            let at = (standing.right, standing.up);
            let pivot = self.machine.pivot;
            self.view.draw(Part::Dimension, Form::Arrow(vec![pivot, at]));
            let middle = times(plus(pivot, at), 0.5);
            self.note(Part::Dimension, middle, &format!("{} mm", tenth(slot.from_pivot)), HEAVY);
        }
    }

    /// Both parts of a clash are drawn; what they share is crossed.
    fn clashes(&mut self, reasons: &[Reason], figure: &Figure, bracket: &Bracket) {
        for reason in reasons {
            match reason {
                Reason::Touch { gear, other, short, .. } => {
                    let Some(spot) = meet::clash(*gear, *other, figure, bracket) else { continue };
                    if let Some(shared) = spot.shared {
                        self.view.draw(Part::Clash, Form::Polygon(shared));
                    }
                    self.cross(spot.middle, &format!("{} mm too near", tenth(*short)));
                }
                Reason::NearFirst { stud, distance, least } => {
                    let Some(at) = place(figure, *stud) else { continue };
                    self.cross(at, &format!("{} mm too near first", tenth(least - distance)));
                }
                Reason::SlotEnd { stud, slot, along, end, .. } => {
                    let Some(at) = place(figure, *stud) else { continue };
                    // In an arc the place is an angle: the words below say it.
                    let past = (along - end).abs();
                    let arc = matches!(bracket.slots.get(*slot), Some(Slot::Arc { .. }));
                    let unit = if arc { "°" } else { " mm" };
                    self.cross(at, &format!("{}{unit} past the slot", tenth(past)));
                }
                _ => {}
            }
        }
    }

    fn cross(&mut self, at: Point, text: &str) {
        let half = self.mm(4.0);
        let stroke = |x: f64, y: f64| {
            let way = (x * half, y * half);
            [minus(at, way), plus(at, way)]
        };
        self.view.draw(Part::Clash, Form::Strokes(vec![stroke(1.0, 1.0), stroke(1.0, -1.0)]));
        self.note(Part::Clash, at, text, HEAVY);
    }

    /// Little room is marked, with its size.
    fn gaps(&mut self, mounting: &Mounting, figure: &Figure, bracket: &Bracket) {
        let narrow = mounting.gaps.iter().filter(|gap| (0.0..NARROW).contains(&gap.mm));
        for gap in narrow {
            let Some([from, to]) = meet::gap(gap, figure, bracket) else { continue };
            self.view.draw(Part::Gap, Form::Line(vec![from, to]));
            let middle = times(plus(from, to), 0.5);
            self.view.draw(Part::Gap, Form::Circle { at: middle, radius: self.mm(2.0) });
            self.note(Part::Gap, middle, &format!("{} mm", tenth(gap.mm)), HEAVY);
        }
    }

    /// A mesh that can't close is shown as it stands.
    fn meshes(&mut self, mounting: &Mounting, figure: &Figure, bracket: &Bracket) {
        let most = bracket.opening.1.to_f64();
        for (mesh, pair) in mounting.meshes.iter().zip(figure.axles.windows(2)) {
            let [driver, driven] = pair else { continue };
            let (Some(a), Some(b)) = (driver.at, driven.at) else { continue };
            let (Some((_, from)), Some((to, _))) = (driver.ends(), driven.ends()) else { continue };
            self.view.draw(Part::Pitch, Form::Line(vec![a, b]));
            let open = mesh.centres - mesh.nominal;
            let text = if open > most + NOTHING {
                format!("{} mm open", tenth(open))
            } else if open < -NOTHING {
                format!("{} mm too close", tenth(-open))
            } else {
                continue;
            };
            let ends = [toward(a, b, from.pitch()), toward(b, a, to.pitch())];
            self.view.draw(Part::Gap, Form::Line(ends.into()));
            self.note(Part::Gap, times(plus(ends[0], ends[1]), 0.5), &text, HEAVY);
        }
    }

    /// Tooth counts, large, each with its shaft; a line leads to the gear where it stands outside.
    fn counts(&mut self, figure: &Figure) {
        for (axle, at) in figure.placed() {
            for wheel in &axle.wheels {
                let count = wheel.teeth.to_string();
                let does = match wheel.part {
                    Part::Idle => ", no work",
                    _ if axle.wheels.iter().filter(|w| w.part != Part::Idle).count() < 2 => "",
                    Part::Driven => ", driven",
                    _ => ", drives",
                };
                let name = format!("{}{does}", axle.name);
                let block = WordBox::of(&[(&count, COUNT), (&name, WORDS)]);
                let (centre, radius) = (self.paper(at), wheel.tip() * self.view.scale);
                let (block, outside) = self.crowd.seat(block, centre, radius);
                if outside {
                    self.leader(&block, centre, radius);
                }
                let (x, y) = block.middle;
                self.words(wheel.part, (x, y + SMALL * 0.6), &count, COUNT);
                self.words(Part::Label, (x, y - LARGE * 0.55), &name, WORDS);
            }
        }
    }

    /// From words to the rim of their gear, in mm of paper.
    fn leader(&mut self, block: &WordBox, centre: Point, radius: f64) {
        let rim = toward(centre, block.middle, radius);
        let line = [block.edge_toward(rim), rim].map(|p| times(p, 1.0 / self.view.scale));
        self.view.draw(Part::Label, Form::Line(line.into()));
        let dot = Form::Circle { at: line[1], radius: self.mm(0.7) };
        self.view.draw(Part::Label, dot);
    }

    /// What the machine's other parts are called.
    fn names(&mut self, bracket: &Bracket) {
        for KeepOut { name, shape, .. } in &bracket.keep_out {
            let points = outline(shape);
            let Some(top) = points.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else {
                continue;
            };
            self.note(Part::KeepOut, top, &short(name), WORDS);
        }
        if let Some(corner) = bracket.cover.as_ref().and_then(|c| c.first()) {
            self.note(Part::Cover, spot(corner), "cover", WORDS);
        }
    }

    /// Below the view: scale bar, and which side the operator is on; the height that they take.
    fn frame(&mut self, height: f64) -> f64 {
        let down = self.view.origin.1 - height - SMALL;
        let left = MARGIN - self.view.origin.0;
        let size = bar(self.view.scale);
        let scale = self.view.scale;
        let at = move |x: f64, y: f64| times((left + x, down + y), 1.0 / scale);
        let end = size * scale;
        let ticks = [
            [at(0.0, 0.0), at(end, 0.0)],
            [at(0.0, -1.5), at(0.0, 1.5)],
            [at(end, -1.5), at(end, 1.5)],
        ];
        self.view.draw(Part::Dimension, Form::Strokes(ticks.into()));
        let words = Lettering { anchor: Anchor::Start, ..WORDS };
        // The length alone: screens and printers scale, so that a ratio would be false.
        self.view.write(Part::Dimension, at(end + 3.0, -SMALL * 0.35), format!("{size} mm"), words);
        let right = self.width - 2.0 * MARGIN;
        // On a narrow sheet it takes a line of its own.
        let lower = if self.width < WIDTH { 1.5 * SMALL } else { 0.0 };
        let arrow = vec![at(right - 10.0, -lower), at(right - 2.0, -lower)];
        self.view.draw(Part::Label, Form::Arrow(arrow));
        let words = Lettering { anchor: Anchor::End, ..WORDS };
        let text = "from the cover end; operator";
        self.view.write(Part::Label, at(right - 12.0, -SMALL * 0.35 - lower), text, words);
        3.0 * SMALL + lower
    }
}

/// A name in few letters.
fn short(name: &str) -> String {
    let mut text: String = name.chars().take(24).collect();
    if name.chars().nth(24).is_some() {
        text.push('…');
    }
    text
}

fn place(figure: &Figure, shaft: usize) -> Option<Point> {
    figure.axles.get(shaft)?.at
}
