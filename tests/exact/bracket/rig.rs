//! A bracket and a train in the tests' own terms: read from a lathe file's words, written as such
//! words, and given to the library; mirrored, reversed.

use crate::oracle::json::Json;
use crate::oracle::number::millimetres;
use num_traits::ToPrimitive;
use solver::{Bracket, Gear, GearSet, Shaft, Teeth, Train};
use std::fmt::Write as _;

/// A place or a direction in the face view: right, up.
pub(crate) type Spot = [f64; 2];

pub(crate) fn plus(a: Spot, b: Spot) -> Spot {
    [a[0] + b[0], a[1] + b[1]]
}

pub(crate) fn minus(a: Spot, b: Spot) -> Spot {
    [a[0] - b[0], a[1] - b[1]]
}

pub(crate) fn times(a: Spot, k: f64) -> Spot {
    [a[0] * k, a[1] * k]
}

pub(crate) fn apart(a: Spot, b: Spot) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// Whether two figures of a file are one.
#[expect(clippy::float_cmp, reason = "they are as they were written")]
pub(crate) fn same(a: f64, b: f64) -> bool {
    a == b
}

/// Clockwise in the face view: up turns to the right.
pub(crate) fn turned([right, up]: Spot, degrees: f64) -> Spot {
    let (sin, cos) = degrees.to_radians().sin_cos();
    [right * cos + up * sin, up * cos - right * sin]
}

/// One of the two end shafts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Pivot {
    Last,
    First,
    At(Spot),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Slot {
    Straight { from: f64, to: f64, angle: f64, offset: f64 },
    Arc { along: f64, across: f64, radius: f64, from: f64, to: f64 },
}

impl Slot {
    pub(crate) fn is_hole(&self) -> bool {
        matches!(self, Self::Straight { from, to, .. } if same(*from, *to))
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Shape {
    Circle(Spot, f64),
    Polygon(Vec<Spot>),
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KeepOut {
    pub(crate) shape: Shape,
    /// Empty: all.
    pub(crate) planes: Vec<u8>,
}

/// A bracket: lengths in mm, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rig {
    pub(crate) first: Spot,
    pub(crate) pivot: Pivot,
    pub(crate) slots: Vec<Slot>,
    pub(crate) swing: Option<[f64; 2]>,
    pub(crate) least_stud: f64,
    /// Driving shaft, studs, driven shaft.
    pub(crate) hubs: [f64; 3],
    pub(crate) clearance: f64,
    pub(crate) planes: u8,
    /// Of the first and the last gear; empty: all.
    pub(crate) end_planes: [Vec<u8>; 2],
    pub(crate) opening: [f64; 2],
    pub(crate) cover: Option<Vec<Spot>>,
    pub(crate) keep_outs: Vec<KeepOut>,
    /// What a written length is counted in: `mm` or `in`. The numbers here stay as they are.
    pub(crate) unit: &'static str,
}

/// One stud in one slot on a bracket that pivots on the driven shaft.
impl Default for Rig {
    fn default() -> Self {
        Self {
            first: [0.0, 80.0],
            pivot: Pivot::Last,
            slots: vec![Slot::Straight { from: 34.0, to: 70.0, angle: 0.0, offset: 0.0 }],
            swing: None,
            least_stud: 0.0,
            hubs: [0.0; 3],
            clearance: 1.0,
            planes: 2,
            end_planes: [Vec::new(), Vec::new()],
            opening: [0.0, 0.2],
            cover: None,
            keep_outs: Vec::new(),
            unit: "mm",
        }
    }
}

/// A gear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wheel {
    pub(crate) teeth: u64,
    pub(crate) module: f64,
    /// It meshes with nothing: it is joined to the gear before it on its shaft.
    pub(crate) idle: bool,
}

impl Wheel {
    #[expect(clippy::cast_precision_loss, reason = "teeth are few")]
    fn teeth(&self) -> f64 {
        self.teeth as f64
    }

    pub(crate) fn pitch_radius(&self) -> f64 {
        self.module * self.teeth() / 2.0
    }

    pub(crate) fn scaled(&self, by: f64) -> Self {
        Self { module: by * self.module, ..*self }
    }

    pub(crate) fn tip_radius(&self) -> f64 {
        self.module * (self.teeth() + 2.0) / 2.0
    }
}

/// The gears of each shaft, in power-path order; on a stud pair the driven one first. After a single
/// gear there may be an idle one.
pub(crate) type Chain = Vec<Vec<Wheel>>;

/// `40-55+50-65`, all of one module; `40-(55,127)-65`: the 55 is joined to an idle 127.
pub(crate) fn chain(text: &str, module: f64) -> Chain {
    let wheel =
        |teeth: &str, idle: bool| Wheel { teeth: teeth.parse().expect("teeth"), module, idle };
    let shaft = |shaft: &str| match shaft.trim_matches(['(', ')']).split_once(',') {
        Some((works, idle)) => vec![wheel(works, false), wheel(idle, true)],
        None => shaft.split('+').map(|teeth| wheel(teeth, false)).collect(),
    };
    text.split('-').map(shaft).collect()
}

/// The gear of a shaft that gives the motion on.
pub(crate) fn giver(shaft: &[Wheel]) -> &Wheel {
    shaft.iter().rfind(|wheel| !wheel.idle).expect("a gear that works")
}

fn mm(said: &Json) -> f64 {
    let (sign, size) = match said.text().strip_prefix('-') {
        Some(size) => (-1.0, size),
        None => (1.0, said.text()),
    };
    sign * millimetres(size).and_then(|mm| mm.to_f64()).expect("a length")
}

fn degrees(said: &Json) -> f64 {
    said.text().parse().expect("degrees")
}

fn spot(said: &Json) -> Spot {
    ["right", "up"].map(|key| mm(said.get(key).expect(key)))
}

fn planes(said: Option<&Json>) -> Vec<u8> {
    let one = |plane: &Json| u8::try_from(plane.whole()).expect("few");
    said.map_or(&[][..], Json::list).iter().map(one).collect()
}

fn slot(said: &Json) -> Slot {
    let length = |said: &Json, key: &str| said.get(key).map_or(0.0, mm);
    let angle = |said: &Json, key: &str| said.get(key).map_or(0.0, degrees);
    if let Some(arc) = said.get("arc") {
        let [along, across, radius] = ["along", "across", "radius"].map(|key| length(arc, key));
        return Slot::Arc { along, across, radius, from: angle(arc, "from"), to: angle(arc, "to") };
    }
    let [from, to] = ["from", "to"].map(|key| mm(said.get("at").or(said.get(key)).expect(key)));
    Slot::Straight { from, to, angle: angle(said, "angle"), offset: length(said, "offset") }
}

fn keep_out(said: &Json) -> KeepOut {
    let shape = match said.get("circle") {
        Some(circle) => Shape::Circle(spot(circle), mm(circle.get("radius").expect("radius"))),
        None => {
            Shape::Polygon(said.get("polygon").expect("a shape").list().iter().map(spot).collect())
        }
    };
    KeepOut { shape, planes: planes(said.get("planes")) }
}

impl Rig {
    /// The value of a lathe file's key `bracket`.
    pub(crate) fn read(said: &Json) -> Self {
        let key = |key: &str| said.get(key);
        let within = |outer: &str, inner: &str| key(outer).and_then(|o| o.get(inner));
        let length = |said: Option<&Json>, unless: f64| said.map_or(unless, mm);
        let first = key("driving_shaft").expect("driving_shaft");
        Self {
            first: if first.is_map() { spot(first) } else { [0.0, mm(first)] },
            pivot: match key("pivot") {
                Some(at) if at.is_map() => Pivot::At(spot(at)),
                Some(word) if word.text() == "driving" => Pivot::First,
                _ => Pivot::Last,
            },
            slots: key("slots").map_or(&[][..], Json::list).iter().map(slot).collect(),
            swing: key("arm_angle")
                .map(|swing| ["from", "to"].map(|end| degrees(swing.get(end).expect(end)))),
            least_stud: length(key("least_stud_distance"), 0.0),
            hubs: ["driving", "stud", "driven"].map(|at| length(within("hub_radii", at), 0.0)),
            clearance: length(key("clearance"), 1.0),
            planes: key("planes").map_or(2, |n| u8::try_from(n.whole()).expect("few")),
            end_planes: ["driving_planes", "driven_planes"].map(|end| planes(key(end))),
            opening: [
                length(within("opening", "least"), 0.0),
                length(within("opening", "greatest"), 0.2),
            ],
            cover: key("cover").map(|cover| cover.list().iter().map(spot).collect()),
            keep_outs: key("keep_out").map_or(&[][..], Json::list).iter().map(keep_out).collect(),
            unit: "mm",
        }
    }

    /// Rounded: 51.04 + 20 is 71.03999999999999 in doubles.
    fn said(&self, size: f64) -> String {
        format!("{} {}", (size * 1e6).round() / 1e6, self.unit)
    }

    fn spot_text(&self, [right, up]: Spot) -> String {
        format!(r#"{{"right": "{}", "up": "{}"}}"#, self.said(right), self.said(up))
    }

    fn outline_text(&self, corners: &[Spot]) -> String {
        list(corners.iter().map(|&corner| self.spot_text(corner)))
    }

    fn slot_text(&self, slot: &Slot) -> String {
        let said = |size: f64| self.said(size);
        match *slot {
            Slot::Straight { from, to, angle, offset } if same(from, to) => format!(
                r#"{{"at": "{}", "angle": {angle}, "offset": "{}"}}"#,
                said(from),
                said(offset)
            ),
            Slot::Straight { from, to, angle, offset } => format!(
                r#"{{"from": "{}", "to": "{}", "angle": {angle}, "offset": "{}"}}"#,
                said(from),
                said(to),
                said(offset)
            ),
            Slot::Arc { along, across, radius, from, to } => {
                let [along, across, radius] = [along, across, radius].map(said);
                format!(
                    r#"{{"arc": {{"along": "{along}", "across": "{across}", "radius": "{radius}",
                        "from": {from}, "to": {to}}}}}"#
                )
            }
        }
    }

    fn keep_out_text(&self, (at, keep_out): (usize, &KeepOut)) -> String {
        let shape = match &keep_out.shape {
            Shape::Circle([right, up], radius) => format!(
                r#""circle": {{"right": "{}", "up": "{}", "radius": "{}"}}"#,
                self.said(*right),
                self.said(*up),
                self.said(*radius)
            ),
            Shape::Polygon(corners) => format!(r#""polygon": {}"#, self.outline_text(corners)),
        };
        let planes = match &keep_out.planes[..] {
            [] => String::new(),
            planes => format!(r#", "planes": {planes:?}"#),
        };
        format!(r#"{{"name": "part {at}", {shape}{planes}}}"#)
    }

    /// As the value of a lathe file's key `bracket`.
    pub(crate) fn text(&self) -> String {
        let said = |size: f64| self.said(size);
        let first = match self.first {
            [right, up] if same(right, 0.0) && up > 0.0 => format!("\"{}\"", said(up)),
            spot => self.spot_text(spot),
        };
        let pivot = match self.pivot {
            Pivot::Last => "\"driven\"".to_owned(),
            Pivot::First => "\"driving\"".to_owned(),
            Pivot::At(spot) => self.spot_text(spot),
        };
        let slots = list(self.slots.iter().map(|slot| self.slot_text(slot)));
        let [a, b, c] = self.hubs.map(said);
        let mut text = format!(
            r#"{{"driving_shaft": {first}, "pivot": {pivot}, "slots": {slots},
            "least_stud_distance": "{}", "clearance": "{}", "planes": {},
            "hub_radii": {{"driving": "{a}", "stud": "{b}", "driven": "{c}"}},
            "opening": {{"least": "{}", "greatest": "{}"}}"#,
            said(self.least_stud),
            said(self.clearance),
            self.planes,
            said(self.opening[0]),
            said(self.opening[1]),
        );
        if let Some([from, to]) = self.swing {
            write!(text, r#", "arm_angle": {{"from": {from}, "to": {to}}}"#)
                .expect("a string grows");
        }
        for (key, planes) in ["driving_planes", "driven_planes"].iter().zip(&self.end_planes) {
            if !planes.is_empty() {
                write!(text, r#", "{key}": {planes:?}"#).expect("a string grows");
            }
        }
        if let Some(cover) = &self.cover {
            write!(text, r#", "cover": {}"#, self.outline_text(cover)).expect("a string grows");
        }
        if !self.keep_outs.is_empty() {
            let parts = list(self.keep_outs.iter().enumerate().map(|k| self.keep_out_text(k)));
            write!(text, r#", "keep_out": {parts}"#).expect("a string grows");
        }
        text + "}"
    }

    /// As the library holds it.
    pub(crate) fn bracket(&self) -> Bracket {
        use solver::{FirstShaft, HubRadii, KeepOut, Shape, Slot as Held, Spot as At};
        let offset = |size: f64| self.said(size).parse().expect("a length with a sign");
        let length = |size: f64| self.said(size).parse().expect("a length");
        let angle = |degrees: f64| degrees.to_string().parse().expect("an angle");
        let at = |[right, up]: Spot| At { right: offset(right), up: offset(up) };
        let outline = |corners: &Vec<Spot>| corners.iter().copied().map(at).collect::<Vec<_>>();
        let slot = |slot: &Slot| match *slot {
            Slot::Straight { from, to, angle: turn, offset: aside } => Held::Straight {
                from: offset(from),
                to: offset(to),
                angle: angle(turn),
                offset: offset(aside),
            },
            Slot::Arc { along, across, radius, from, to } => Held::Arc {
                along: offset(along),
                across: offset(across),
                radius: length(radius),
                from: angle(from),
                to: angle(to),
            },
        };
        let keep_out = |(index, part): (usize, &self::KeepOut)| KeepOut {
            name: format!("part {index}"),
            shape: match &part.shape {
                self::Shape::Circle(spot, radius) => {
                    Shape::Circle { at: at(*spot), radius: length(*radius) }
                }
                self::Shape::Polygon(corners) => Shape::Polygon(outline(corners)),
            },
            planes: part.planes.clone(),
        };
        let [first, stud, last] = self.hubs.map(offset);
        let first_shaft = match self.first {
            [right, up] if same(right, 0.0) && up > 0.0 => FirstShaft::Away(length(up)),
            spot => FirstShaft::At(at(spot)),
        };
        let mut bracket = Bracket::of(first_shaft, self.slots.iter().map(slot).collect());
        bracket.pivot = match self.pivot {
            Pivot::Last => solver::Pivot::Last,
            Pivot::First => solver::Pivot::First,
            Pivot::At(spot) => solver::Pivot::At(at(spot)),
        };
        bracket.swing = self.swing.map(|[from, to]| (angle(from), angle(to)));
        bracket.least_stud = offset(self.least_stud);
        bracket.hub_radii = HubRadii { first, stud, last };
        bracket.clearance = offset(self.clearance);
        bracket.planes = self.planes;
        bracket.first_planes.clone_from(&self.end_planes[0]);
        bracket.last_planes.clone_from(&self.end_planes[1]);
        bracket.opening = (offset(self.opening[0]), offset(self.opening[1]));
        bracket.cover = self.cover.as_ref().map(outline);
        bracket.keep_out = self.keep_outs.iter().enumerate().map(keep_out).collect();
        bracket
    }

    /// Seen in a mirror: right is left, clockwise is the other way.
    pub(crate) fn mirrored(&self) -> Self {
        let spot = |[right, up]: Spot| [0.0 - right, up];
        let slot = |slot: &Slot| match *slot {
            Slot::Straight { from, to, angle, offset } => {
                Slot::Straight { from, to, angle: 0.0 - angle, offset: 0.0 - offset }
            }
            Slot::Arc { along, across, radius, from, to } => {
                Slot::Arc { along, across: 0.0 - across, radius, from: 0.0 - to, to: 0.0 - from }
            }
        };
        Self {
            first: spot(self.first),
            pivot: self.pivot.moved(spot),
            slots: self.slots.iter().map(slot).collect(),
            swing: self.swing.map(|[from, to]| [0.0 - to, 0.0 - from]),
            ..self.clone().with_surroundings(spot)
        }
    }

    /// All that the driving shaft is becomes the driven shaft's, and the other way round. The pivot is
    /// one of the two, and no distance of the studs from the driving shaft is asked.
    pub(crate) fn reversed(&self) -> Self {
        let spot = |at: Spot| minus(at, self.first);
        let [first, stud, last] = self.hubs;
        let [first_planes, last_planes] = self.end_planes.clone();
        Self {
            first: minus([0.0, 0.0], self.first),
            pivot: if self.pivot == Pivot::Last { Pivot::First } else { Pivot::Last },
            hubs: [last, stud, first],
            end_planes: [last_planes, first_planes],
            ..self.clone().with_surroundings(spot)
        }
    }

    /// Every length so many times as large.
    pub(crate) fn scaled(&self, by: f64) -> Self {
        let spot = |at: Spot| times(at, by);
        let slot = |slot: &Slot| match *slot {
            Slot::Straight { from, to, angle, offset } => {
                Slot::Straight { from: by * from, to: by * to, angle, offset: by * offset }
            }
            Slot::Arc { along, across, radius, from, to } => {
                Slot::Arc { along: by * along, across: by * across, radius: by * radius, from, to }
            }
        };
        let mut rig = Self {
            first: spot(self.first),
            pivot: self.pivot.moved(spot),
            slots: self.slots.iter().map(slot).collect(),
            least_stud: by * self.least_stud,
            hubs: self.hubs.map(|hub| by * hub),
            clearance: by * self.clearance,
            opening: self.opening.map(|opening| by * opening),
            ..self.clone().with_surroundings(spot)
        };
        for part in &mut rig.keep_outs {
            if let Shape::Circle(_, radius) = &mut part.shape {
                *radius *= by;
            }
        }
        rig
    }

    fn with_surroundings(mut self, spot: impl Fn(Spot) -> Spot) -> Self {
        for corner in self.cover.iter_mut().flatten() {
            *corner = spot(*corner);
        }
        for part in &mut self.keep_outs {
            match &mut part.shape {
                Shape::Circle(at, _) => *at = spot(*at),
                Shape::Polygon(corners) => {
                    for corner in corners {
                        *corner = spot(*corner);
                    }
                }
            }
        }
        self
    }

    /// The swing, if there is but one.
    pub(crate) fn fixed_swing(&self) -> Option<f64> {
        self.swing.filter(|[from, to]| same(*from, *to)).map(|[from, _]| from)
    }

    /// The pivot's place.
    pub(crate) fn pivot_at(&self) -> Spot {
        match self.pivot {
            Pivot::Last => [0.0, 0.0],
            Pivot::First => self.first,
            Pivot::At(spot) => spot,
        }
    }

    /// The direction of the arm's own line at a swing.
    pub(crate) fn arm(&self, swing: f64) -> Spot {
        let to = match self.pivot {
            Pivot::First => [0.0, 0.0],
            Pivot::Last | Pivot::At(_) => self.first,
        };
        let line = minus(to, self.pivot_at());
        turned(times(line, 1.0 / line[0].hypot(line[1])), swing)
    }

    /// A place in a slot at a swing: so many mm along a straight slot, degrees along an arc.
    pub(crate) fn in_slot(&self, slot: &Slot, swing: f64, along: f64) -> Spot {
        self.track(slot, swing).at(along)
    }

    /// A slot in the face view.
    pub(crate) fn track(&self, slot: &Slot, swing: f64) -> Track {
        let arm = self.arm(swing);
        let across = turned(arm, 90.0);
        match *slot {
            Slot::Straight { angle, offset, .. } => {
                let along = turned(arm, angle);
                let foot = plus(self.pivot_at(), times(turned(arm, angle + 90.0), offset));
                Track { foot, along, across, radius: None }
            }
            Slot::Arc { along: ahead, across: aside, radius, .. } => {
                let middle = plus(times(arm, ahead), times(across, aside));
                let foot = plus(self.pivot_at(), middle);
                Track { foot, along: arm, across, radius: Some(radius) }
            }
        }
    }
}

/// A slot in the face view, thought without ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Track {
    foot: Spot,
    along: Spot,
    across: Spot,
    radius: Option<f64>,
}

impl Track {
    pub(crate) fn at(&self, along: f64) -> Spot {
        let Some(radius) = self.radius else { return plus(self.foot, times(self.along, along)) };
        let (sin, cos) = along.to_radians().sin_cos();
        plus(self.foot, plus(times(self.along, radius * cos), times(self.across, radius * sin)))
    }
}

impl Pivot {
    fn moved(self, spot: impl Fn(Spot) -> Spot) -> Self {
        if let Self::At(at) = self { Self::At(spot(at)) } else { self }
    }
}

fn list(parts: impl Iterator<Item = String>) -> String {
    format!("[{}]", parts.collect::<Vec<_>>().join(", "))
}

/// The gears of a train as the library holds them; `inch`: modules count in inches.
pub(crate) fn train(chain: &Chain, unit: &str) -> Train {
    let gear = |wheel: &Wheel| {
        let teeth = Teeth::new(wheel.teeth).expect("teeth");
        let module = if unit == "in" { wheel.module * 25.4 } else { wheel.module };
        // Rounded: 0.1 x 25.4 is 2.5399999999999996 in doubles.
        let size = format!("module {}", (module * 1e6).round() / 1e6);
        Gear::new(teeth).with_size(Some(size.parse().expect("a tooth size")))
    };
    let shaft = |shaft: &Vec<Wheel>| match &shaft[..] {
        [one] => Shaft::One(gear(one)),
        [works, idle] if idle.idle => Shaft::One(gear(works)),
        [driven, driver] => Shaft::Pair { driven: gear(driven), driver: gear(driver) },
        _ => panic!("one or two gears on a shaft"),
    };
    let train = Train::new(chain.iter().map(shaft).collect()).expect("a train");
    let idle = |shaft: &Vec<Wheel>| shaft.iter().find(|wheel| wheel.idle).map(gear);
    let joined = chain.iter().enumerate().filter_map(|(i, shaft)| Some((i, idle(shaft)?)));
    joined.fold(train, |train, (i, idle)| train.with_partner(i, idle))
}

/// A box that holds just a train's gears, and those that are joined to them.
pub(crate) fn gears(train: &Train) -> GearSet {
    let mut set = GearSet::new();
    let idle = (0..train.shafts().len()).filter_map(|shaft| train.idle(shaft));
    for gear in train.gears().chain(idle) {
        set.add(*gear, 1).expect("few gears");
    }
    set
}
