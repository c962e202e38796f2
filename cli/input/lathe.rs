//! The lathe file: how is one lathe described in JSON?
//!
//! The structs here hold what a file says and are the source of its JSON Schema; `parts` turns them
//! into the solver's parts, where contradictions are found.

use super::bracket::BracketEntry;
use super::gearset::GearsOrName;
use super::value::{
    Braced, Format, Forms, Like, Mark, OrUnknown, Ordered, ScrewHand, Sense, ToothCount, Travelled,
    Turned, Whole, fields, forms, items, small,
};
use super::wrong::Wrong;
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde::de::{MapAccess, SeqAccess};
use solver::{
    Combination, Dial, End, Ends, Feeds, Fitted, GearSet, Gearbox, Hand, HeadstockPosition, Lead,
    LeadScrew, Lever, LeverPosition, Parts, Ratio, Speeds, Train, Travel, Turns, When, bounds,
};

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
    /// How the spindle drives the shaft of the first gear.
    headstock: Option<Braced<Headstock>>,
    /// The gears owned: the name of a set, or a set written out.
    pub(super) gears: GearsOrName,
    /// How many studs the bracket takes: 0 to 3; 1 unless said.
    #[schemars(example = 1)]
    studs: Option<Whole>,
    /// The bracket, where it has been measured; left out, reach is not checked.
    bracket: Option<Like<BracketEntry>>,
    /// Keyed sleeves, each of which makes a pair of two loose gears on a stud; as many as studs
    /// unless said. Joined gears need none.
    #[schemars(example = 1)]
    sleeves: Option<Whole>,
    /// What the two end shafts take.
    #[serde(default)]
    ends: Braced<EndShafts>,
    /// The set-up that stands on the machine between jobs.
    fitted: Option<Braced<FittedSetUp>>,
    /// The quick-change gearbox.
    #[serde(default)]
    gearbox: Braced<QuickChange>,
    /// The power feeds.
    #[serde(default)]
    feeds: Braced<FeedTravel>,
    /// Whether there is a half nut; true unless said.
    #[schemars(example = true)]
    half_nut: Option<bool>,
    /// Whether the motor can be reversed; true unless said.
    #[schemars(example = true)]
    reverse: Option<bool>,
    /// The half-nut dial, or a list of dial gears that can be exchanged, or null.
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

/// The way from the spindle to the first gear: one ratio, or `positions` of a lever (also two
/// shafts on which the first gear can stand).
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Headstock {
    /// Turns of the first gear for one turn of the spindle, or "unknown".
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

/// One way from the spindle to the first gear.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HeadstockWay {
    /// Turns of the first gear for one turn of the spindle, or "unknown".
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
    first: Option<EndGear>,
    /// The lead screw, or the gearbox input.
    #[schemars(example = [30, 40])]
    last: Option<EndGear>,
}

/// Which gears an end shaft takes.
#[derive(Debug)]
struct EndGear(End);

impl Forms for EndGear {
    const WANTED: &'static str =
        "\"any\", a number (the machine's own gear) or a list of gears owned, such as [30, 40]";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        (text.trim() == "any").then_some(Ok(Self(End::Any)))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
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

/// Levers with the position that each stands in.
type Levers = Ordered<Mark>;

/// What stands on the machine between jobs.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FittedSetUp {
    /// Gears in power-path order.
    #[schemars(example = &"20-80+20-80")]
    train: FittedTrain,
    /// Where the levers stand.
    #[serde(default = "no_levers")]
    #[schemars(example = example_levers())]
    levers: Levers,
}

fn no_levers() -> Levers {
    Ordered(Vec::new())
}

fn example_levers() -> serde_json::Value {
    serde_json::json!({"Range": "A"})
}

/// A train in power-path order.
#[derive(Debug)]
struct FittedTrain(Train);

impl Forms for FittedTrain {
    const WANTED: &'static str = "gears in power-path order, such as \"20-80+20-80\"";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().map(Self).map_err(Wrong::from))
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
    /// Combinations that must never be set; a few levers are enough, the others are then free.
    #[serde(default)]
    #[schemars(example = example_forbidden())]
    forbidden: Vec<Levers>,
    /// Combinations that need a last gear of their own.
    #[serde(default)]
    needs_last: Vec<Braced<NeedsLast>>,
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
    /// Where it serves threads only, or feeds only.
    #[schemars(example = &"feed")]
    only: Option<Only>,
}

/// What a lever position serves.
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

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(OrUnknown::text(text)?.map(Self::plain))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
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
struct NeedsLast {
    /// The levers.
    #[schemars(example = example_levers())]
    when: Levers,
    /// What the last shaft takes then, in place of `ends.last`.
    #[schemars(example = [65])]
    last: EndGear,
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

/// One half-nut dial or several that can be exchanged.
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

/// A half-nut dial.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct DialEntry {
    /// Teeth of the dial's gear on the lead screw.
    #[schemars(example = 16)]
    teeth: Whole,
    /// Lines on the dial, evenly spaced.
    #[schemars(example = 8)]
    lines: Whole,
    /// What stands beside the lines, going round; left out: they are numbered.
    #[serde(default)]
    #[schemars(example = ["1", "", "2", "", "3", "", "4", ""])]
    labels: Vec<Label>,
}

/// What stands beside a line of a dial; may be empty.
#[derive(Debug)]
struct Label(String);

impl Forms for Label {
    const WANTED: &'static str = "what stands beside the line, such as \"1\" or \"\"";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(Ok(Self(text.to_owned())))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
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

impl LatheFile {
    /// The solver's parts, with the gears that the file names or holds.
    ///
    /// # Errors
    /// With the key at fault.
    pub(super) fn parts(self, gears: GearSet) -> Result<Parts, Wrong> {
        let screw = self.lead_screw.unwrap_or_default().0;
        let headstock = self.headstock.unwrap_or_default().0;
        check_constant(self.screw_constant, &screw, &headstock)?;
        let studs = small("studs", self.studs, 1, bounds::STUDS)?;
        let ends = Ends {
            first: self.ends.0.first.map_or(End::Any, |e| e.0),
            last: self.ends.0.last.map_or(End::Any, |e| e.0),
        };
        let gearbox = self.gearbox.0.gearbox();
        check_own_ends(&gears, &ends, &gearbox)?;
        let mut parts = Parts::plain(gears, Lead::new(solver::Length::from_mm(Ratio::ONE)));
        parts.name = self.name;
        parts.note = self.note;
        parts.lead_screw = screw.screw()?;
        parts.screw_constant = self.screw_constant.map(|t| t.0);
        parts.tumbler = headstock.tumbler();
        parts.headstock = headstock.ways(self.screw_constant.is_some())?;
        parts.studs = studs;
        parts.studs_stated = self.studs.is_some();
        parts.sleeves = match self.sleeves {
            None => None,
            sleeves => Some(small("sleeves", sleeves, 0, SLEEVES)?),
        };
        parts.ends = ends;
        parts.bracket =
            self.bracket.map(|b| b.0.bracket().map_err(|e| e.at("bracket"))).transpose()?;
        parts.fitted = self.fitted.map(|f| f.0.fitted());
        parts.gearbox = gearbox;
        parts.feeds =
            Feeds { long: self.feeds.0.long.map(|t| t.0), cross: self.feeds.0.cross.map(|t| t.0) };
        parts.half_nut = self.half_nut.unwrap_or(true);
        parts.reverse = self.reverse.unwrap_or(true);
        parts.dials = self.dial.map_or(Ok(Vec::new()), Dials::dials)?;
        parts.speeds = self.spindle_rpm.map(SpindleSpeeds::speeds).transpose()?;
        Ok(parts)
    }
}

/// A sleeve more than there are studs serves no one.
const SLEEVES: bounds::Bounds = {
    let mut bounds = bounds::STUDS;
    bounds.name = "sleeves";
    bounds
};

/// The screw constant stands in place of the headstock's ratio and the lead screw's lead; without
/// it both must be there.
fn check_constant(
    constant: Option<Travelled>,
    screw: &Screw,
    headstock: &Headstock,
) -> Result<(), Wrong> {
    let Some(Travelled(constant)) = constant else {
        return if screw.lead.is_none() {
            Err(Wrong::new(
                "the lead of the lead screw is missing",
                "\"lead_screw\": {\"lead\": \"8 tpi\"}, or \"unknown\", or a `screw_constant`",
            )
            .at("lead_screw"))
        } else {
            Ok(())
        };
    };
    let ways = headstock.positions.iter().flat_map(|p| &p.0);
    let of_ways =
        ways.map(|(name, way)| (format!("headstock.positions[{name:?}].ratio"), &way.0.ratio));
    let here = std::iter::once(("headstock.ratio".to_owned(), &headstock.ratio));
    if let Some((path, _)) = here.chain(of_ways).find(|(_, ratio)| ratio.is_some()) {
        return Err(Wrong::new(
            "`screw_constant` already holds the headstock's ratio",
            "leave out one of the two",
        )
        .at(path));
    }
    match screw.lead {
        None | Some(OrUnknown(None)) => Ok(()),
        Some(OrUnknown(Some(Travelled(lead)))) => {
            let ratio = constant.mm().over(&lead.mm()).map_err(Wrong::from)?;
            Err(Wrong::new(
                "`screw_constant` stands in place of the lead screw's lead",
                format!(
                    "leave `screw_constant` out and say \"headstock\": {{\"ratio\": \"{ratio}\"}}"
                ),
            )
            .at("lead_screw.lead"))
        }
    }
}

/// The machine's own end gears have the box's usual pitch, so it must be certain.
fn check_own_ends(gears: &GearSet, ends: &Ends, gearbox: &Gearbox) -> Result<(), Wrong> {
    let special = gearbox.needs_last.iter().map(|(_, end)| end);
    let own = [&ends.first, &ends.last].into_iter().chain(special).find_map(|end| match end {
        End::Own(teeth) => Some(teeth),
        _ => None,
    });
    match own {
        Some(teeth) if !gears.usual_is_certain() => Err(Wrong::new(
            format!("the gears owned differ in pitch, and that of the machine's own {teeth} is not stated"),
            "state the usual one as `gears.pitch`",
        )
        .at("ends")),
        _ => Ok(()),
    }
}

impl Screw {
    fn screw(self) -> Result<LeadScrew, Wrong> {
        Ok(LeadScrew {
            lead: self.lead.and_then(|l| l.0).map(|t| t.0),
            hand: self.hand.map_or(Hand::Right, Hand::from),
            starts: small("lead_screw.starts", self.starts, 1, bounds::STARTS)?,
        })
    }
}

impl Headstock {
    fn tumbler(&self) -> Vec<(String, Turns)> {
        let positions = self.tumbler.iter().flat_map(|t| &t.0);
        positions.map(|(name, sense)| (name.clone(), Turns::from(*sense))).collect()
    }

    /// The ways from the spindle to the first gear. `by_constant`: their ratios lie in the screw
    /// constant.
    fn ways(self, by_constant: bool) -> Result<Vec<HeadstockPosition>, Wrong> {
        let Some(Ordered(positions)) = self.positions else {
            let only = HeadstockWay { ratio: self.ratio, turns: self.turns };
            return Ok(vec![
                only.named(String::new(), by_constant).map_err(|e| e.at("headstock"))?,
            ]);
        };
        let beside = [("ratio", self.ratio.is_some()), ("turns", self.turns.is_some())];
        if let Some((key, _)) = beside.into_iter().find(|(_, there)| *there) {
            return Err(Wrong::new(
                format!("`{key}` stands beside `positions`"),
                "say it in each position",
            )
            .at(format!("headstock.{key}")));
        }
        let named = |(name, Braced(way)): (String, Braced<HeadstockWay>)| {
            let path = format!("headstock.positions[{name:?}]");
            way.named(name, by_constant).map_err(|e| e.at(path))
        };
        positions.into_iter().map(named).collect()
    }
}

impl HeadstockWay {
    fn named(self, name: String, by_constant: bool) -> Result<HeadstockPosition, Wrong> {
        if self.ratio.is_none() && !by_constant {
            return Err(Wrong::new(
                "the ratio from the spindle to the first gear is missing",
                "its turns for one of the spindle: \"headstock\": {\"ratio\": \"1\"}, or \"unknown\"",
            ));
        }
        Ok(HeadstockPosition {
            name,
            ratio: self.ratio.and_then(|r| r.0).map(|t| t.0),
            turns: self.turns.map_or(Turns::Unknown, Turns::from),
        })
    }
}

impl FittedSetUp {
    fn fitted(self) -> Fitted {
        Fitted { train: self.train.0, levers: when(self.levers) }
    }
}

fn when(levers: Levers) -> When {
    levers.0.into_iter().map(|(lever, Mark(position))| (lever, position)).collect()
}

impl QuickChange {
    fn gearbox(self) -> Gearbox {
        Gearbox {
            levers: self.levers.into_iter().map(|l| l.0.lever()).collect(),
            forbidden: self.forbidden.into_iter().map(when).collect(),
            needs_last: self.needs_last.into_iter().map(|n| (when(n.0.when), n.0.last.0)).collect(),
            combinations: self.combinations.into_iter().map(|c| c.0.combination()).collect(),
        }
    }
}

impl LeverEntry {
    fn lever(self) -> Lever {
        let position = |(name, LeverWay(way)): (String, LeverWay)| LeverPosition {
            name,
            ratio: way.ratio.0.map(|t| t.0),
            turns: way.turns.map_or(Turns::Same, Turns::from),
            only: way.only.map(Only::travel),
        };
        Lever { name: self.name.0, positions: self.positions.0.into_iter().map(position).collect() }
    }
}

impl Only {
    /// Any feed stands for both.
    const fn travel(self) -> Travel {
        match self {
            Self::Thread => Travel::Thread,
            Self::Feed => Travel::LongFeed,
        }
    }
}

impl CombinationEntry {
    fn combination(self) -> Combination {
        Combination {
            when: when(self.when),
            ratio: self.ratio.0.map(|t| t.0),
            turns: self.turns.map_or(Turns::Same, Turns::from),
        }
    }
}

impl Dials {
    fn dials(self) -> Result<Vec<Dial>, Wrong> {
        let dial =
            |(i, dial): (usize, DialEntry)| dial.dial().map_err(|e| e.at(format!("dial[{i}]")));
        self.0.into_iter().enumerate().map(dial).collect()
    }
}

impl DialEntry {
    fn dial(self) -> Result<Dial, Wrong> {
        let of = |key: &str, value: Whole| {
            let checked = bounds::DIAL_TEETH.check(value.0);
            u16::try_from(value.0).map_err(|_| match checked {
                Err(range) => Wrong::from(range).at(key),
                Ok(_) => Wrong::new("too large", "a smaller number").at(key),
            })
        };
        Ok(Dial {
            teeth: of("teeth", self.teeth)?,
            lines: of("lines", self.lines)?,
            labels: self.labels.into_iter().map(|l| l.0).collect(),
        })
    }
}

impl SpindleSpeeds {
    fn speeds(self) -> Result<Speeds, Wrong> {
        match self {
            Self::List(list) if list.is_empty() => {
                Err(Wrong::new("the list is empty", Self::WANTED).at("spindle_rpm"))
            }
            Self::List(list) => {
                let path = |i| format!("spindle_rpm[{i}]");
                let speeds = list.into_iter().enumerate().map(|(i, s)| speed(s, &path(i)));
                Ok(Speeds::List(speeds.collect::<Result<_, _>>()?))
            }
            Self::Range(SpeedRange { from, to }) => {
                let (slow, fast) = (speed(from, "spindle_rpm.from")?, speed(to, "spindle_rpm.to")?);
                if slow > fast {
                    return Err(Wrong::new(
                        format!("the range runs down, from {slow} to {fast}"),
                        "the slower speed first",
                    )
                    .at("spindle_rpm"));
                }
                Ok(Speeds::Range(slow..=fast))
            }
        }
    }
}

fn speed(given: Whole, path: &str) -> Result<u32, Wrong> {
    let checked = bounds::SPINDLE.check(given.0).map_err(|e| Wrong::from(e).at(path))?;
    Ok(u32::try_from(checked).unwrap_or(u32::MAX))
}
