//! The `bracket` of a lathe file: what does a person measure on it, and how is that written?
//!
//! The structs here hold what the file says and are the source of its JSON Schema; `bracket` turns
//! them into the solver's, where what can't be is found. No geometry here.

use super::form::{Example, Forms, Like, fields, forms, items};
use super::value::{Mark, Mm, MmOver0, Slant, Whole, small};
use crate::failure::Failure;
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde::de::{MapAccess, SeqAccess};
use solver::{
    Bracket, Degrees, FirstShaft, HubRadii, KeepOut, Offset, Pivot, Shape, Slot, Spot, bounds,
};

/// The banjo, measured: with it every train is tried on the machine, and it is said where the
/// studs go. Lengths with their unit, in mm or inches; angles in degrees, clockwise as seen from
/// the cover end. The arm's own line runs from the pivot through the middle of the banjo.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Banjo")]
pub(super) struct BracketEntry {
    /// From the axis of the driven shaft to that of the driving shaft: one distance (the driving shaft is then
    /// drawn straight above), or a place measured both ways.
    #[schemars(example = &"80 mm", example = example_place())]
    #[serde(rename = "driving_shaft")]
    first_shaft: FirstShaftEntry,
    /// What the banjo swings about: the driven shaft unless said, the driving shaft, or another point.
    #[schemars(example = &"driven")]
    pivot: Option<PivotEntry>,
    /// Where studs can be clamped: straight slots, stud holes, arc slots. Empty without studs.
    #[schemars(example = example_slots())]
    slots: Vec<Like<SlotEntry>>,
    /// Arm angle against the line from the pivot to the other shaft (to the first
    /// shaft where the pivot is a point of its own); left out: freely.
    #[serde(rename = "arm_angle")]
    swing: Option<Like<SwingEntry>>,
    /// The nearest that the axis of a stud may come to that of the driving shaft; 0 mm unless said.
    #[schemars(example = &"34 mm")]
    least_stud_distance: Option<Mm>,
    /// Radii of hubs, washers and nuts, whichever is largest.
    #[serde(default)]
    hub_radii: Like<HubRadiiEntry>,
    /// Least clearance between what must not touch; 1 mm unless said.
    #[schemars(example = &"1 mm")]
    clearance: Option<Mm>,
    /// Planes for gears, counted from the headstock outward: 1 to 4; 2 unless said.
    #[schemars(example = 2)]
    planes: Option<Whole>,
    /// Planes that the driving shaft's gear goes in; all unless said.
    #[schemars(example = [1])]
    #[serde(rename = "driving_planes")]
    first_planes: Option<PlaneList>,
    /// Planes that the driven shaft's gear goes in; all unless said.
    #[schemars(example = [1, 2])]
    driven_planes: Option<PlaneList>,
    /// How far a mesh is opened beyond the sum of the pitch radii, for backlash.
    #[serde(default)]
    opening: Like<OpeningEntry>,
    /// Outline of the cover, corner by corner, that all gears must stay inside of.
    cover: Option<Vec<Like<Place>>>,
    /// Parts of the machine that gears must stay clear of.
    #[serde(default)]
    keep_out: Vec<Like<KeepOutEntry>>,
}

impl Example for BracketEntry {
    const EXAMPLE: &'static str =
        "{\"driving_shaft\": \"80 mm\", \"slots\": [{\"from\": \"34 mm\", \"to\": \"70 mm\"}]}";
}

fn example_place() -> serde_json::Value {
    serde_json::json!({"right": "-30 mm", "up": "75 mm"})
}

fn example_slots() -> serde_json::Value {
    serde_json::json!([
        {"from": "34 mm", "to": "70 mm"},
        {"at": "60 mm", "angle": 15},
        {"arc": {"along": "60 mm", "across": "-10 mm", "radius": "40 mm", "from": -30, "to": 45}}
    ])
}

/// A place in the view from the cover end, from the axis of the driven shaft.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Place {
    /// Toward the operator; away from them with a minus.
    #[schemars(example = &"-30 mm")]
    right: Mm,
    /// Upward; downward with a minus.
    #[schemars(example = &"75 mm")]
    up: Mm,
}

impl From<Place> for Spot {
    fn from(place: Place) -> Self {
        Self { right: place.right.0, up: place.up.0 }
    }
}

impl Example for Place {
    const EXAMPLE: &'static str = "a place such as {\"right\": \"-30 mm\", \"up\": \"75 mm\"}";
}

/// Where the driving shaft is.
#[derive(Debug)]
struct FirstShaftEntry(FirstShaft);

impl Forms for FirstShaftEntry {
    const WANTED: &'static str = "the distance of the two shafts such as \"80 mm\", or \
        {\"right\": \"-30 mm\", \"up\": \"75 mm\"} from the axis of the driven shaft";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(MmOver0::text(text)?.map(|away| Self(FirstShaft::Away(away.0))))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields::<Place, A>(object).map(|place| Self(FirstShaft::At(place.into()))))
    }
}
forms!(FirstShaftEntry, |generator| {
    let (away, place) = (generator.subschema_for::<MmOver0>(), generator.subschema_for::<Place>());
    json_schema!({"anyOf": [away, place]})
});

/// What the banjo swings about.
#[derive(Debug)]
struct PivotEntry(Pivot);

impl Forms for PivotEntry {
    const WANTED: &'static str = "\"driven\", \"driving\", or {\"right\": \"20 mm\", \"up\": \"-15 mm\"} \
        from the axis of the driven shaft";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        match text.trim() {
            "driven" => Some(Ok(Self(Pivot::Last))),
            "driving" => Some(Ok(Self(Pivot::First))),
            _ => None,
        }
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields::<Place, A>(object).map(|place| Self(Pivot::At(place.into()))))
    }
}
forms!(PivotEntry, |generator| {
    let place = generator.subschema_for::<Place>();
    json_schema!({"anyOf": [{"enum": ["driven", "driving"]}, place]})
});

/// Where studs can be clamped: a straight slot (`from` and `to`), a hole (`at`), or an arc slot
/// (`arc`).
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = slot_forms()))]
struct SlotEntry {
    /// Nearest place of a stud's axis along the slot, from the pivot (with an offset: from the foot
    /// of the perpendicular from the pivot).
    #[schemars(example = &"34 mm")]
    from: Option<Mm>,
    /// Furthest place.
    #[schemars(example = &"70 mm")]
    to: Option<Mm>,
    /// The place of a stud hole.
    #[schemars(example = &"60 mm")]
    at: Option<Mm>,
    /// Its direction against the arm's own line; 0 unless said.
    #[schemars(example = 15)]
    angle: Option<Slant>,
    /// How far it runs beside the pivot, clockwise positive; 0 mm unless said.
    #[schemars(example = &"0 mm")]
    offset: Option<Mm>,
    /// An arc slot.
    arc: Option<Like<ArcEntry>>,
}

fn slot_forms() -> serde_json::Value {
    serde_json::json!([
        {"required": ["from", "to"], "properties": {"at": false, "arc": false}},
        {"required": ["at"], "properties": {"from": false, "to": false, "arc": false}},
        {"required": ["arc"], "maxProperties": 1}
    ])
}

/// The three ways in which a slot is written.
const SLOT_FORMS: &str = "a slot {\"from\": \"34 mm\", \"to\": \"70 mm\"}, a hole \
    {\"at\": \"60 mm\"} (either with \"angle\" and \"offset\" where there are any), or \
    {\"arc\": {\"along\": \"60 mm\", \"across\": \"0 mm\", \"radius\": \"40 mm\", \"from\": -30, \
    \"to\": 45}}";

impl Example for SlotEntry {
    const EXAMPLE: &'static str = SLOT_FORMS;
}

/// An arc slot.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ArcEntry {
    /// Its centre along the arm's own line, from the pivot.
    #[schemars(example = &"60 mm")]
    along: Mm,
    /// Its centre across that line, clockwise positive.
    #[schemars(example = &"-10 mm")]
    across: Mm,
    /// Radius of the line that the stud's axis follows.
    #[schemars(example = &"40 mm")]
    radius: MmOver0,
    /// Direction of one end seen from its centre, against the arm's own line.
    #[schemars(example = -30)]
    from: Slant,
    /// Direction of the other end, clockwise from the first.
    #[schemars(example = 45)]
    to: Slant,
}

impl Example for ArcEntry {
    const EXAMPLE: &'static str = "{\"along\": \"60 mm\", \"across\": \"0 mm\", \"radius\": \"40 mm\", \
        \"from\": -30, \"to\": 45}";
}

/// Arm angle, clockwise positive.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SwingEntry {
    /// Least.
    #[schemars(example = -60)]
    from: Slant,
    /// Greatest.
    #[schemars(example = 75)]
    to: Slant,
}

impl Example for SwingEntry {
    const EXAMPLE: &'static str = "degrees such as {\"from\": -60, \"to\": 75}";
}

/// Radii of what carries the gears: a gear in a neighbouring plane must clear it.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HubRadiiEntry {
    /// Of the driving shaft; 0 mm unless said.
    #[schemars(example = &"12 mm")]
    driving: Option<Mm>,
    /// Of each stud; 0 mm unless said.
    #[schemars(example = &"8 mm")]
    stud: Option<Mm>,
    /// Of the driven shaft; 0 mm unless said.
    #[schemars(example = &"12 mm")]
    driven: Option<Mm>,
}

impl Example for HubRadiiEntry {
    const EXAMPLE: &'static str =
        "radii such as {\"driving\": \"12 mm\", \"stud\": \"8 mm\", \"driven\": \"12 mm\"}";
}

/// How far a mesh is opened: the greatest counts where nothing can be moved.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct OpeningEntry {
    /// Least; 0 mm unless said.
    #[schemars(example = &"0 mm")]
    least: Option<Mm>,
    /// Greatest; 0.2 mm unless said.
    #[schemars(example = &"0.2 mm")]
    greatest: Option<Mm>,
}

impl Example for OpeningEntry {
    const EXAMPLE: &'static str = "lengths such as {\"least\": \"0 mm\", \"greatest\": \"0.2 mm\"}";
}

/// A part of the machine beside the gears: a `circle` or a `polygon`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["circle"]}, {"required": ["polygon"]}]))]
struct KeepOutEntry {
    /// What it is called.
    #[schemars(example = &"lock pin")]
    name: Mark,
    /// Its outline, where it is round.
    circle: Option<Like<CircleEntry>>,
    /// Its outline, corner by corner.
    polygon: Option<Vec<Like<Place>>>,
    /// The planes that it takes up; all unless said.
    #[schemars(example = [1])]
    planes: Option<PlaneList>,
}

impl Example for KeepOutEntry {
    const EXAMPLE: &'static str = "{\"name\": \"lock pin\", \"circle\": {\"right\": \"40 mm\", \"up\": \"-20 mm\", \
        \"radius\": \"6 mm\"}}";
}

const KEEP_OUT_FORMS: &str = "\"circle\": {\"right\": \"40 mm\", \"up\": \"-20 mm\", \
    \"radius\": \"6 mm\"}, or \"polygon\": [{\"right\": \"40 mm\", \"up\": \"-20 mm\"}, ...]";

/// A round part.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct CircleEntry {
    /// Its middle, toward the operator from the axis of the driven shaft.
    #[schemars(example = &"40 mm")]
    right: Mm,
    /// Its middle, upward from the axis of the driven shaft.
    #[schemars(example = &"-20 mm")]
    up: Mm,
    /// Its radius.
    #[schemars(example = &"6 mm")]
    radius: MmOver0,
}

impl Example for CircleEntry {
    const EXAMPLE: &'static str =
        "{\"right\": \"40 mm\", \"up\": \"-20 mm\", \"radius\": \"6 mm\"}";
}

/// Planes, by number.
#[derive(Debug)]
struct PlaneList(Vec<Whole>);

impl Forms for PlaneList {
    const WANTED: &'static str = "a list of planes such as [1, 2]";

    fn list<'de, A: SeqAccess<'de>>(list: A) -> Option<Result<Self, A::Error>> {
        Some(items(list).map(Self))
    }
}
forms!(PlaneList, |_| {
    let bounds = bounds::PLANES;
    let plane = json_schema!({"type": "integer", "minimum": bounds.low, "maximum": bounds.high});
    json_schema!({"type": "array", "items": plane, "minItems": 1})
});

impl BracketEntry {
    /// The solver's banjo.
    ///
    /// # Errors
    /// With the key at fault, below `bracket`.
    pub(super) fn bracket(self) -> Result<Bracket, Failure> {
        let hubs = self.hub_radii.0;
        let opening = self.opening.0;
        let mut bracket =
            Bracket::of(self.first_shaft.0, each("slots", self.slots, SlotEntry::slot)?);
        bracket.pivot = self.pivot.map_or(Pivot::Last, |p| p.0);
        bracket.swing = self.swing.map(|s| (s.0.from.0, s.0.to.0));
        bracket.least_stud = or_zero(self.least_stud_distance);
        bracket.hub_radii = HubRadii {
            first: or_zero(hubs.driving),
            stud: or_zero(hubs.stud),
            last: or_zero(hubs.driven),
        };
        bracket.clearance = self.clearance.map_or_else(Bracket::usual_clearance, |c| c.0);
        bracket.planes = small("planes", self.planes, 2, bounds::PLANES)?;
        bracket.first_planes = planes("driving_planes", self.first_planes)?;
        bracket.last_planes = planes("driven_planes", self.driven_planes)?;
        bracket.opening =
            (or_zero(opening.least), opening.greatest.map_or_else(Bracket::usual_opening, |o| o.0));
        bracket.cover = self.cover.map(spots);
        bracket.keep_out = each("keep_out", self.keep_out, KeepOutEntry::keep_out)?;
        Ok(bracket)
    }
}

/// Every entry of a list, with its place in the list where one is wrong.
fn each<E, T>(
    key: &str,
    list: Vec<Like<E>>,
    read: impl Fn(E) -> Result<T, Failure>,
) -> Result<Vec<T>, Failure> {
    let one = |(i, Like(entry))| read(entry).map_err(|e| e.at(format!("{key}[{i}]")));
    list.into_iter().enumerate().map(one).collect()
}

fn or_zero(given: Option<Mm>) -> Offset {
    given.map_or(Offset::ZERO, |mm| mm.0)
}

fn spots(corners: Vec<Like<Place>>) -> Vec<Spot> {
    corners.into_iter().map(|corner| corner.0.into()).collect()
}

/// Planes by number; none given: the solver's empty list, which stands for all.
fn planes(key: &str, given: Option<PlaneList>) -> Result<Vec<u8>, Failure> {
    let Some(PlaneList(list)) = given else { return Ok(Vec::new()) };
    if list.is_empty() {
        return Err(Failure::wrong(
            "an empty list leaves no plane",
            "the numbers of the planes, or leave it out for all",
        )
        .at(key));
    }
    let plane = |(i, plane)| small(&format!("{key}[{i}]"), Some(plane), 1, bounds::PLANES);
    list.into_iter().enumerate().map(plane).collect()
}

impl SlotEntry {
    fn slot(self) -> Result<Slot, Failure> {
        let angle = self.angle.map_or(Degrees::ZERO, |a| a.0);
        let offset = or_zero(self.offset);
        let straight = |from: Mm, to: Mm| Slot::Straight { from: from.0, to: to.0, angle, offset };
        match (self.from, self.to, self.at, self.arc) {
            (Some(from), Some(to), None, None) => Ok(straight(from, to)),
            (None, None, Some(at), None) => Ok(straight(at, at)),
            (None, None, None, Some(arc)) if self.angle.is_none() && self.offset.is_none() => {
                Ok(arc.0.slot())
            }
            (None, None, None, Some(_)) => {
                Err(Failure::wrong("an arc has no `angle` or `offset` beside it", SLOT_FORMS))
            }
            (Some(_), None, None, None) => Err(Failure::wrong("`from` without `to`", SLOT_FORMS)),
            (None, Some(_), None, None) => Err(Failure::wrong("`to` without `from`", SLOT_FORMS)),
            (None, None, None, None) => {
                Err(Failure::wrong("neither a slot, a hole nor an arc", SLOT_FORMS))
            }
            _ => {
                Err(Failure::wrong("more than one of slot, hole and arc in one entry", SLOT_FORMS))
            }
        }
    }
}

impl ArcEntry {
    const fn slot(self) -> Slot {
        Slot::Arc {
            along: self.along.0,
            across: self.across.0,
            radius: self.radius.0,
            from: self.from.0,
            to: self.to.0,
        }
    }
}

impl KeepOutEntry {
    fn keep_out(self) -> Result<KeepOut, Failure> {
        let shape = match (self.circle, self.polygon) {
            (Some(Like(CircleEntry { right, up, radius })), None) => {
                Shape::Circle { at: Place { right, up }.into(), radius: radius.0 }
            }
            (None, Some(corners)) => Shape::Polygon(spots(corners)),
            (None, None) => return Err(Failure::wrong("it has no outline", KEEP_OUT_FORMS)),
            (Some(_), Some(_)) => {
                return Err(Failure::wrong(
                    "`circle` and `polygon` in one entry",
                    "one entry for each part, with one of the two",
                ));
            }
        };
        Ok(KeepOut { name: self.name.0, shape, planes: planes("planes", self.planes)? })
    }
}
