//! The view on edge: planes as columns, the headstock on the left; shafts one below the other in
//! power-path order, each so far from the one before that gears which mesh touch.

use super::figure::{Axle, Figure, Wheel};
use super::{LARGE, MARGIN, SMALL, WIDTH, width_of};
use crate::report::drawing::{Anchor, Form, Lettering, Part, Point, View};

/// Width of the names at the left, and of the words at the right.
const NAMES: f64 = 48.0;
const WORDS: f64 = 46.0;
/// Thickness of a shaft.
const SHAFT: f64 = 1.5;

/// The view and the height that it takes; the gears take `height` mm of paper at most.
pub(super) fn draw(figure: &Figure, height: f64) -> (View, f64) {
    let levels = levels(&figure.axles);
    let high = figure.axles.first().map_or(0.0, Axle::reach);
    let tops = figure.axles.iter().zip(&levels).map(|(axle, level)| level + axle.reach());
    let high = tops.fold(high, f64::max);
    let lows = figure.axles.iter().zip(&levels).map(|(axle, level)| level - axle.reach());
    let low = lows.fold(0.0, f64::min);
    let scale = (height / (high - low).max(1e-6)).min(1.0);
    let edge = Edge {
        view: View::new("edge", (MARGIN, scale.mul_add(high, 2.0 * SMALL + 2.0)), scale),
        planes: figure.planes,
        used: figure.outermost(),
        width: (WIDTH - 2.0 * MARGIN - NAMES - WORDS) / f64::from(figure.planes.max(1)),
    };
    edge.draw(figure, &levels, (low, high))
}

/// Height of each shaft: below the one before by the pitch radii of the two gears that mesh.
fn levels(axles: &[Axle]) -> Vec<f64> {
    let mut level = 0.0;
    let mut levels = vec![level];
    for pair in axles.windows(2) {
        if let [driver, driven] = pair
            && let (Some((_, from)), Some((to, _))) = (driver.ends(), driven.ends())
        {
            level -= from.pitch() + to.pitch();
        }
        levels.push(level);
    }
    levels
}

struct Edge {
    view: View,
    planes: u8,
    /// The outermost that a gear stands in.
    used: u8,
    /// Of one plane, in mm of paper.
    width: f64,
}

impl Edge {
    fn draw(mut self, figure: &Figure, levels: &[f64], (low, high): Point) -> (View, f64) {
        self.head(low, high);
        for (axle, level) in figure.axles.iter().zip(levels) {
            self.shaft(axle, *level);
        }
        // All words after all lines, so that none is hidden.
        for (axle, level) in figure.axles.iter().zip(levels) {
            axle.wheels.iter().for_each(|wheel| self.count(wheel, *level));
            self.words(axle, *level);
        }
        let height = (high - low).mul_add(self.view.scale, 2.0 * SMALL + 2.0 + SMALL);
        (self.view, height)
    }

    /// A place across, in mm of paper, and a height of the machine.
    fn at(&self, across: f64, level: f64, up: f64) -> Point {
        (across / self.view.scale, level + up / self.view.scale)
    }

    /// Middle of a plane, in mm of paper.
    fn column(&self, plane: u8) -> f64 {
        self.width.mul_add(f64::from(plane) - 0.5, NAMES)
    }

    /// Half the width of a gear on edge.
    fn half(&self) -> f64 {
        (self.width * 0.28).min(9.0)
    }

    fn head(&mut self, low: f64, high: f64) {
        let lettering = |anchor| Lettering { height: SMALL, bold: false, anchor };
        let up = SMALL * 0.9;
        let headstock = self.at(0.0, high, up);
        self.view.write(Part::Label, headstock, "headstock", lettering(Anchor::Start));
        for plane in 1..=self.planes {
            let at = self.at(self.column(plane), high, up);
            let text = match (plane, self.planes) {
                (1, 2..) => "1 inner".to_string(),
                (plane, planes) if plane == planes && planes > 1 => format!("{plane} outer"),
                (plane, _) => plane.to_string(),
            };
            self.view.write(Part::Label, at, text, lettering(Anchor::Middle));
        }
        let cover = self.at(WIDTH - 2.0 * MARGIN, high, up);
        self.view.write(Part::Label, cover, "cover", lettering(Anchor::End));
        for plane in 0..=self.planes {
            let across = self.width.mul_add(f64::from(plane), NAMES);
            let line = vec![self.at(across, high, 0.0), self.at(across, low, 0.0)];
            self.view.draw(Part::Pitch, Form::Line(line));
        }
    }

    fn shaft(&mut self, axle: &Axle, level: f64) {
        let end = self.width.mul_add(f64::from(self.planes), NAMES);
        let bar = self.bar(NAMES - 6.0, end, level, SHAFT / self.view.scale);
        self.view.draw(Part::Hub, Form::Polygon(bar));
        for plane in spacers(axle) {
            let (left, right) = (self.width.mul_add(f64::from(plane) - 1.0, NAMES), self.width);
            let bar = self.bar(left + 1.0, left + right - 1.0, level, 3.0 / self.view.scale);
            let title = format!("{}: spacer in plane {plane}", axle.name);
            self.view.titled(Part::Spacer, title, Form::Polygon(bar));
        }
        if let [a, b] = &axle.wheels[..] {
            let bar =
                self.bar(self.column(a.plane), self.column(b.plane), level, 2.5 / self.view.scale);
            self.view.draw(Part::Hub, Form::Polygon(bar));
        }
        for wheel in &axle.wheels {
            self.gear(axle, wheel, level);
        }
    }

    fn gear(&mut self, axle: &Axle, wheel: &Wheel, level: f64) {
        let (middle, half) = (self.column(wheel.plane), self.half());
        let bar = self.bar(middle - half, middle + half, level, wheel.tip());
        self.view.titled(wheel.part, wheel.title(axle), Form::Polygon(bar));
        let pitch = [wheel.pitch(), -wheel.pitch()].map(|up| {
            [self.at(middle - half, level + up, 0.0), self.at(middle + half, level + up, 0.0)]
        });
        self.view.draw(Part::Pitch, Form::Strokes(pitch.into()));
    }

    /// A rectangle from left to right (mm of paper), so far above and below a level (mm).
    fn bar(&self, left: f64, right: f64, level: f64, half: f64) -> Vec<Point> {
        let corner = |across, up: f64| self.at(across, level + up, 0.0);
        vec![corner(left, half), corner(right, half), corner(right, -half), corner(left, -half)]
    }

    fn count(&mut self, wheel: &Wheel, level: f64) {
        let text = wheel.teeth.to_string();
        let height = if wheel.tip() * self.view.scale < LARGE / 2.0 { SMALL } else { LARGE };
        let lettering = Lettering { height, bold: true, anchor: Anchor::Middle };
        let beside = width_of(&text, lettering) > 2.0 * self.half();
        let (across, anchor) = if beside {
            (self.column(wheel.plane) + self.half() + 1.0, Anchor::Start)
        } else {
            (self.column(wheel.plane), Anchor::Middle)
        };
        let at = self.at(across, level, -height * 0.35);
        self.view.write(wheel.part, at, text, Lettering { anchor, ..lettering });
    }

    fn words(&mut self, axle: &Axle, level: f64) {
        let lettering = Lettering { height: SMALL, bold: true, anchor: Anchor::Start };
        self.view.write(Part::Label, self.at(0.0, level, -SMALL * 0.35), axle.name, lettering);
        let lettering = Lettering { bold: false, anchor: Anchor::Start, ..lettering };
        let right = self.width.mul_add(f64::from(self.planes), NAMES + 3.0);
        let at = self.at(right, level, -SMALL * 0.35);
        self.view.write(Part::Label, at, beside(axle, self.used), lettering);
    }
}

/// Planes inner of a shaft's gears: something must hold these off the shoulder.
pub(super) fn spacers(axle: &Axle) -> std::ops::Range<u8> {
    1..axle.wheels.iter().map(|wheel| wheel.plane).min().unwrap_or(1)
}

/// What to mind on a shaft of a train that reaches so far out, in few words.
pub(super) fn beside(axle: &Axle, outermost: u8) -> &'static str {
    match (&axle.wheels[..], spacers(axle).is_empty()) {
        ([_, _], true) if axle.joined => "joined pair",
        ([_, _], false) if axle.joined => "joined; spacer",
        ([_, _], true) => "keyed together",
        ([_, _], false) => "keyed; spacer",
        (_, false) => "spacer inner",
        ([wheel], true) if outermost > 1 && wheel.plane == 1 => "inner",
        _ => "",
    }
}
