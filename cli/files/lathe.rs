//! The lathe file: how is one lathe described in JSON?
//!
//! The structs here hold what a file says and are the source of its JSON Schema; `lathe/parts.rs` turns
//! them into the solver's parts, where contradictions are found.

mod now;
mod parts;

pub(crate) use now::written;
pub(super) use now::{NowFile, beside, read};

use super::bracket::BracketEntry;
use super::form::{Braced, Forms, Like, OrUnknown, Ordered, fields, forms, items};
use super::gearset::GearsOrName;
use super::value::{Format, Mark, ScrewHand, Sense, ToothCount, Travelled, Turned, Whole};
use crate::failure::Failure;
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde::de::{MapAccess, SeqAccess};
use solver::{End, Train};

/// A screw-cutting lathe: what turns what, and which gears are owned.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Lathe")]
pub(super) struct LatheFile {
    /// Where the schema of this file is; for editors, not read.
    #[serde(rename = "$schema", default)]
    #[schemars(example = &"lathe.schema.json")]
    _schema: Option<String>,
    /// Version of this format: 1.
    #[serde(rename = "format")]
    #[schemars(example = 1)]
    _format: Format,
    /// What the lathe is called.
    #[serde(default)]
    #[schemars(example = &"Bench lathe by the window")]
    name: String,
    /// Anything else.
    #[serde(default)]
    #[schemars(example = &"Lead counted: 8 threads in one inch.")]
    note: String,
    /// The lead screw.
    lead_screw: Option<Braced<Screw>>,
    /// The thread that equal gears cut, in place of the headstock's ratio and the lead screw's
    /// lead, where only that is known.
    #[schemars(example = &"8 tpi")]
    screw_constant: Option<Travelled>,
    /// How the spindle drives the shaft of the driving gear.
    headstock: Option<Braced<Headstock>>,
    /// The gears owned: the name of a set, or a set written out.
    pub(super) gears: GearsOrName,
    /// How many studs the banjo takes: 0 to 3; 1 unless said.
    #[schemars(example = 1)]
    studs: Option<Whole>,
    /// The banjo, where it has been measured; left out, reach is not checked.
    #[serde(rename = "banjo")]
    bracket: Option<Like<BracketEntry>>,
    /// Keyed sleeves, each of which makes a pair of two loose gears on a stud; as many as studs
    /// unless said. Joined gears need none.
    #[schemars(example = 1)]
    sleeves: Option<Whole>,
    /// What the two end shafts take.
    #[serde(default)]
    ends: Braced<EndShafts>,
    /// The set-up on the machine between jobs.
    fitted: Option<Braced<FittedSetUp>>,
    /// The quick-change gearbox.
    #[serde(default)]
    gearbox: Braced<QuickChange>,
    /// The power feeds.
    #[serde(default)]
    feeds: Braced<FeedTravel>,
    /// Whether there is a half nut; not known unless said.
    #[schemars(example = true)]
    half_nut: Option<bool>,
    /// Whether the motor can be reversed; not known unless said.
    #[schemars(example = true)]
    reverse: Option<bool>,
    /// The thread dial, or a list of dial gears that can be exchanged, or null.
    dial: Option<Dials>,
    /// Spindle speeds in turns per minute: a list, or the ends of a range.
    spindle_rpm: Option<SpindleSpeeds>,
}

/// The lead screw.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Screw {
    /// Carriage travel in one turn, or "unknown".
    #[schemars(example = &"1/8 in", example = &"8 tpi", example = &"3 mm", example = &"unknown")]
    lead: Option<OrUnknown<Travelled>>,
    /// Its hand; right unless said.
    #[schemars(example = &"right")]
    hand: Option<ScrewHand>,
    /// Its starts; 1 unless said.
    #[schemars(example = 1)]
    starts: Option<Whole>,
}

/// The way from the spindle to the driving gear: one ratio, or `positions` of a lever (also two
/// shafts on which the driving gear goes).
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Headstock {
    /// Turns of the driving gear for one turn of the spindle, or "unknown".
    #[schemars(example = &"1", example = &"1/2", example = &"unknown")]
    ratio: Option<OrUnknown<Turned>>,
    /// Its sense against the spindle, tumbler apart; unknown unless said.
    #[schemars(example = &"same")]
    turns: Option<Sense>,
    /// Several ways, by the names that they have on the machine.
    #[schemars(example = example_positions())]
    positions: Option<Ordered<Braced<HeadstockWay>>>,
    /// Positions of the tumbler gears with the sense that each gives; left out: no tumbler.
    #[schemars(example = example_tumbler())]
    tumbler: Option<Ordered<Sense>>,
}

fn example_positions() -> serde_json::Value {
    serde_json::json!({"normal": {"ratio": "1", "turns": "same"}, "coarse x8": {"ratio": "8", "turns": "opposite"}})
}

fn example_tumbler() -> serde_json::Value {
    serde_json::json!({"up": "same", "down": "opposite"})
}

/// One way from the spindle to the driving gear.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HeadstockWay {
    /// Turns of the driving gear for one turn of the spindle, or "unknown".
    #[schemars(example = &"8")]
    ratio: Option<OrUnknown<Turned>>,
    /// Its sense against the spindle, tumbler apart; unknown unless said.
    #[schemars(example = &"opposite")]
    turns: Option<Sense>,
}

/// What the end shafts take.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct EndShafts {
    /// The shaft that the spindle drives.
    #[schemars(example = &"any", example = 40)]
    driving: Option<EndGear>,
    /// The lead screw, or the gearbox shaft.
    #[schemars(example = [30, 40])]
    driven: Option<EndGear>,
}

/// Which gears an end shaft takes.
#[derive(Debug)]
struct EndGear(End);

impl Forms for EndGear {
    const WANTED: &'static str =
        "\"any\", a number (the machine's own gear) or a list of gears owned, such as [30, 40]";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        (text.trim() == "any").then_some(Ok(Self(End::Any)))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Some(ToothCount::number(digits)?.map(|teeth| Self(End::Own(teeth.0))))
    }

    fn list<'de, A: SeqAccess<'de>>(list: A) -> Option<Result<Self, A::Error>> {
        let owned = |list: Vec<ToothCount>| End::Owned(list.into_iter().map(|t| t.0).collect());
        Some(items(list).map(owned).map(Self))
    }
}
forms!(EndGear, |generator| {
    let teeth = generator.subschema_for::<ToothCount>();
    json_schema!({"anyOf": [{"const": "any"}, teeth, {"type": "array", "items": teeth, "minItems": 1}]})
});

/// Levers with the position of each.
type Levers = Ordered<Mark>;

/// What is on the machine between jobs.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FittedSetUp {
    /// Gears in power-path order.
    #[schemars(example = &"20-80+20-80")]
    train: FittedTrain,
    /// Positions of the levers.
    #[serde(default)]
    #[schemars(example = example_levers())]
    levers: Levers,
    /// Position of the headstock, where it has several; left out: not known.
    #[schemars(example = &"normal")]
    headstock: Option<Mark>,
    /// Position of the tumbler; left out: not known.
    #[schemars(example = &"up")]
    tumbler: Option<Mark>,
}

fn example_levers() -> serde_json::Value {
    serde_json::json!({"Range": "A"})
}

/// A train in power-path order.
#[derive(Debug)]
struct FittedTrain(Train);

impl Forms for FittedTrain {
    const WANTED: &'static str = "gears in power-path order, such as \"20-80+20-80\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().map(Self).map_err(Failure::from))
    }
}
forms!(FittedTrain, |_| json_schema!({"type": "string", "examples": ["20-80+20-80"]}));

/// The quick-change gearbox: its turns are the product of one ratio for each lever, unless a
/// listed combination replaces some of them.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct QuickChange {
    /// The levers.
    #[serde(default)]
    levers: Vec<Braced<LeverEntry>>,
    /// Combinations that must never be set; a few levers are enough, all else is then free.
    #[serde(default)]
    #[schemars(example = example_forbidden())]
    forbidden: Vec<Levers>,
    /// Combinations that need a last gear of their own.
    #[serde(default)]
    needs_driven: Vec<Braced<NeedsDriven>>,
    /// Combinations whose ratio is not the product of their levers' ratios.
    #[serde(default)]
    combinations: Vec<Braced<CombinationEntry>>,
}

fn example_forbidden() -> serde_json::Value {
    serde_json::json!([{"Range": "B", "Step": "8"}])
}

/// A lever.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LeverEntry {
    /// As it is marked on the machine.
    #[schemars(example = &"Range")]
    name: Mark,
    /// Its positions, each with turns out for one turn in, or "unknown".
    #[schemars(example = example_lever_positions())]
    positions: Ordered<LeverWay>,
}

fn example_lever_positions() -> serde_json::Value {
    serde_json::json!({"A": "1", "B": {"ratio": "1/2", "turns": "opposite"}})
}

/// One position of a lever: its ratio, or an object.
#[derive(Debug)]
struct LeverWay(LeverWayFields);

/// A position of a lever of which there is more to say than its ratio.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LeverWayFields {
    /// Turns out for one turn in, or "unknown".
    #[schemars(example = &"1/2")]
    ratio: OrUnknown<Turned>,
    /// Its sense; same unless said.
    #[schemars(example = &"opposite")]
    turns: Option<Sense>,
    /// Where it works for threads only, or feeds only.
    #[schemars(example = &"feed")]
    only: Option<Only>,
}

/// What a lever position works for.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum Only {
    /// Screw cutting.
    Thread,
    /// Power feed, along or across.
    Feed,
}

impl Forms for LeverWay {
    const WANTED: &'static str =
        "a ratio such as \"1/2\", \"unknown\", or {\"ratio\": \"1/2\", ...}";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(OrUnknown::text(text)?.map(Self::plain))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Some(OrUnknown::number(digits)?.map(Self::plain))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self))
    }
}
forms!(LeverWay, |generator| {
    let ratio = generator.subschema_for::<OrUnknown<Turned>>();
    let object = generator.subschema_for::<LeverWayFields>();
    json_schema!({"anyOf": [ratio, object]})
});

impl LeverWay {
    const fn plain(ratio: OrUnknown<Turned>) -> Self {
        Self(LeverWayFields { ratio, turns: None, only: None })
    }
}

/// A combination that needs a last gear of its own.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct NeedsDriven {
    /// The levers.
    #[schemars(example = example_levers())]
    when: Levers,
    /// What the driven shaft takes then, in place of `ends.driven`.
    #[schemars(example = [65])]
    driven: EndGear,
}

/// A combination whose ratio is not a product.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct CombinationEntry {
    /// The levers; the ratios and senses of those not named still count.
    #[schemars(example = example_levers())]
    when: Levers,
    /// Turns out for one turn in of the levers named, together, or "unknown".
    #[schemars(example = &"16/23")]
    ratio: OrUnknown<Turned>,
    /// Their sense; same unless said.
    #[schemars(example = &"same")]
    turns: Option<Sense>,
}

/// Travel for one turn of the lead screw or feed shaft, after the gearbox.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FeedTravel {
    /// Along the bed; left out: by half nut, the lead of the lead screw.
    #[schemars(example = &"0.5 mm")]
    long: Option<Travelled>,
    /// Across the bed.
    #[schemars(example = &"0.25 mm")]
    cross: Option<Travelled>,
}

/// One thread dial or several that can be exchanged.
#[derive(Debug)]
struct Dials(Vec<DialEntry>);

impl Forms for Dials {
    const WANTED: &'static str = "{\"teeth\": 16, \"lines\": 8}, a list of such, or null";

    fn list<'de, A: SeqAccess<'de>>(list: A) -> Option<Result<Self, A::Error>> {
        Some(items(list).map(Self))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(|dial| Self(vec![dial])))
    }
}
forms!(Dials, |generator| {
    let dial = generator.subschema_for::<DialEntry>();
    json_schema!({"anyOf": [dial, {"type": "array", "items": dial}]})
});

/// A thread dial.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DialEntry {
    /// Teeth of the dial's gear on the lead screw.
    #[schemars(example = 16)]
    teeth: Whole,
    /// Lines on the dial, evenly spaced.
    #[schemars(example = 8)]
    lines: Whole,
    /// What is written beside the lines, going round; left out: they are numbered.
    #[serde(default)]
    #[schemars(example = ["1", "", "2", "", "3", "", "4", ""])]
    labels: Vec<Label>,
}

/// What is written beside a line of a dial; may be empty.
#[derive(Debug)]
struct Label(String);

impl Forms for Label {
    const WANTED: &'static str = "what is written beside the line, such as \"1\" or \"\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(Ok(Self(text.to_owned())))
    }

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Self::text(digits)
    }
}
forms!(Label, |_| json_schema!({"type": ["string", "number"]}));

/// Spindle speeds.
#[derive(Debug)]
enum SpindleSpeeds {
    List(Vec<Whole>),
    Range(SpeedRange),
}

/// The ends of a range of spindle speeds.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SpeedRange {
    /// Slowest, turns per minute.
    #[schemars(example = 60)]
    from: Whole,
    /// Fastest, turns per minute.
    #[schemars(example = 1500)]
    to: Whole,
}

impl Forms for SpindleSpeeds {
    const WANTED: &'static str = "a list such as [60, 120, 250], or {\"from\": 60, \"to\": 1500}";

    fn list<'de, A: SeqAccess<'de>>(list: A) -> Option<Result<Self, A::Error>> {
        Some(items(list).map(Self::List))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self::Range))
    }
}
forms!(SpindleSpeeds, |generator| {
    let (speed, range) =
        (generator.subschema_for::<Whole>(), generator.subschema_for::<SpeedRange>());
    json_schema!({"anyOf": [{"type": "array", "items": speed, "minItems": 1}, range]})
});
