//! The gear-set file: which gears the person owns.
//!
//! One JSON object with a name and a `gears` object; the same `gears` object stands in a lathe file.
//! What the gears can do is the solver's business.

use super::form::{Braced, Forms, fields, forms, items};
use super::value::{Angle, Format, Pitch, ToothCount, Where, Whole};
use crate::failure::{Failure, MOST};
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use serde::de::{Error as _, MapAccess, SeqAccess};
use solver::{
    Gear, GearSet, Joined, Outside, Place, Places, PressureAngle, Teeth, ToothSize, bounds,
};

/// Keys of a gear-set file: what has no other is one (a lathe file has a lead screw).
pub(super) const KEYS: &[&str] = &["$schema", "format", "name", "note", "gears"];

/// A box of gears.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Gear set")]
pub(super) struct GearSetFile {
    /// Where the schema of this file is; for editors, not read.
    #[serde(rename = "$schema", default)]
    #[schemars(example = &"gears.schema.json")]
    _schema: Option<String>,
    /// Version of this format: 1.
    #[serde(rename = "format")]
    #[schemars(example = 1)]
    _format: Format,
    /// What the box is called.
    #[schemars(example = &"Fives, 20 to 100")]
    pub(super) name: String,
    /// What it is good for, where it came from.
    #[serde(default)]
    #[schemars(example = &"One each; 127 for exact metric threads on an inch lead screw.")]
    pub(super) note: String,
    /// The gears.
    pub(super) gears: Braced<Gears>,
}

/// Gears owned. Where no gear states a pitch, module 1 is assumed; some stating one and some not is
/// an error.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Gears {
    /// Tooth size of every gear that states none of its own.
    #[schemars(example = &"module 1", example = &"20 DP")]
    pitch: Option<Pitch>,
    /// Pressure angle in degrees of every gear that states none of its own; 20 unless said.
    #[schemars(example = 20, example = 14.5)]
    pressure_angle: Option<Angle>,
    /// Loose gears: teeth, once for each gear, or an object where there is more to say.
    #[serde(default)]
    #[schemars(example = example_owned())]
    owned: Vec<Owned>,
    /// Gears that are fixed to each other for good, such as 127/120.
    #[serde(default)]
    #[schemars(example = example_joined())]
    joined: Vec<Braced<JoinedPair>>,
}

fn example_owned() -> serde_json::Value {
    serde_json::json!([20, 20, 25, {"teeth": 127, "places": ["stud", "driven"]}])
}

fn example_joined() -> serde_json::Value {
    serde_json::json!([{"gears": [127, 120], "turn_round": true}])
}

/// One loose gear: its teeth, or an object.
#[derive(Debug)]
struct Owned(LooseGear);

/// A loose gear of which there is more to say than its teeth.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LooseGear {
    /// Teeth: 5 to 400.
    #[schemars(example = 40)]
    teeth: ToothCount,
    /// How many of them are owned; 1 unless said.
    #[schemars(example = 2)]
    count: Option<Whole>,
    /// Tooth size, where it differs.
    #[schemars(example = &"20 DP")]
    pitch: Option<Pitch>,
    /// Pressure angle in degrees, where it differs.
    #[schemars(example = 14.5)]
    pressure_angle: Option<Angle>,
    /// Where bore and key let it go; everywhere unless said.
    #[schemars(example = ["driving", "stud"])]
    places: Option<Vec<Where>>,
    /// Outside diameter as a caliper over the tips reads it: `trainwright gear` then checks teeth and
    /// tooth size against it. The search does not use it.
    #[schemars(example = &"42.0 mm", example = &"2.1 in")]
    outside: Option<Diameter>,
}

/// An outside diameter as it was measured.
#[derive(Debug, Clone, Copy)]
struct Diameter(Outside);

impl Forms for Diameter {
    const WANTED: &'static str = "the diameter over the tips with its unit, such as \"42.0 mm\"";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(text.parse().and_then(Outside::new).map(Self).map_err(Failure::from))
    }
}
forms!(Diameter, |_| json_schema!({"type": "string", "examples": ["42.0 mm", "2.1 in"]}));

impl Forms for Owned {
    const WANTED: &'static str = "a number of teeth, such as 40, or {\"teeth\": 40, ...}";

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
        Some(ToothCount::number(digits)?.map(|teeth| {
            let (count, pitch, pressure_angle, places, outside) = (None, None, None, None, None);
            Self(LooseGear { teeth, count, pitch, pressure_angle, places, outside })
        }))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self))
    }
}
forms!(Owned, |generator| {
    let (teeth, object) =
        (generator.subschema_for::<ToothCount>(), generator.subschema_for::<LooseGear>());
    json_schema!({"anyOf": [teeth, object]})
});

/// Two gears fixed to each other for good.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct JoinedPair {
    /// Their teeth: on a stud the first is driven and the second drives on.
    #[schemars(example = [127, 120])]
    gears: TwoGears,
    /// Whether the pair also goes on its stud the other way round; true unless said.
    #[schemars(example = false)]
    turn_round: Option<bool>,
    /// How many such pairs are owned; 1 unless said.
    #[schemars(example = 1)]
    count: Option<Whole>,
    /// Tooth size, where it differs.
    #[schemars(example = &"20 DP")]
    pitch: Option<Pitch>,
    /// Pressure angle in degrees, where it differs.
    #[schemars(example = 20)]
    pressure_angle: Option<Angle>,
    /// Where bore and key let it go; everywhere unless said.
    #[schemars(example = ["stud"])]
    places: Option<Vec<Where>>,
}

/// The driven and the driving gear of a joined pair.
#[derive(Debug, Clone, Copy)]
struct TwoGears([ToothCount; 2]);

impl Forms for TwoGears {
    const WANTED: &'static str = "two numbers of teeth, the driven gear first: [127, 120]";

    fn list<'de, A: SeqAccess<'de>>(list: A) -> Option<Result<Self, A::Error>> {
        Some(items(list).and_then(|gears: Vec<ToothCount>| {
            let gears = <[ToothCount; 2]>::try_from(gears);
            gears.map(Self).map_err(|gears| {
                let what = format!("a joined pair of {}", gears.len());
                A::Error::custom(Failure::wrong(what, Self::WANTED))
            })
        }))
    }
}
forms!(TwoGears, |generator| {
    let teeth = generator.subschema_for::<ToothCount>();
    json_schema!({"type": "array", "items": teeth, "minItems": 2, "maxItems": 2})
});

/// What the gears of a box have unless they say otherwise.
struct Usual {
    size: Option<ToothSize>,
    angle: PressureAngle,
}

impl Usual {
    fn gear(
        &self,
        teeth: ToothCount,
        pitch: Option<Pitch>,
        angle: Option<Angle>,
        places: Option<&[Where]>,
    ) -> Result<Gear, Failure> {
        let places = match places {
            None => Places::ALL,
            Some([]) => {
                return Err(Failure::wrong(
                    "the gear can go nowhere",
                    "leave `places` out, or name driving, stud, driven",
                )
                .at("places"));
            }
            Some(list) => Places::only(&list.iter().map(|w| Place::from(*w)).collect::<Vec<_>>()),
        };
        Ok(Gear::new(teeth.0)
            .with_size(pitch.map(|p| p.0).or(self.size))
            .with_angle(angle.map_or(self.angle, |a| a.0))
            .with_places(places))
    }
}

impl Gears {
    /// The box that the file describes.
    ///
    /// # Errors
    /// With each gear that can't be.
    pub(super) fn set(&self) -> Result<GearSet, Failure> {
        let usual = Usual {
            size: self.pitch.map(|p| p.0),
            angle: self.pressure_angle.map_or(PressureAngle::TWENTY, |a| a.0),
        };
        let mut set = GearSet::new().with_usual(usual.size, usual.angle);
        let mut wrong = Wrong::default();
        for (i, Owned(gear)) in self.owned.iter().enumerate() {
            wrong.note(gear.add_to(&mut set, &usual), || format!("gears.owned[{i}]"));
        }
        for (i, Braced(pair)) in self.joined.iter().enumerate() {
            wrong.note(pair.add_to(&mut set, &usual), || format!("gears.joined[{i}]"));
        }
        if wrong.0.is_empty() {
            wrong.note(set.check().map_err(Failure::from), || "gears".into());
        }
        Failure::all(wrong.0).map_or(Ok(set), Err)
    }
}

/// What is wrong with a box. A bound that is passed again and again is said once, with how often.
#[derive(Default)]
struct Wrong(Vec<Failure>);

impl Wrong {
    fn note(&mut self, added: Result<(), Failure>, place: impl Fn() -> String) {
        let Err(error) = added else { return };
        let again = |said: &Failure| error.path.is_empty() && said.what == error.what;
        if self.0.len() >= MOST || self.0.iter().any(again) {
            if let Some(first) = self.0.first_mut() {
                first.more = first.more.saturating_add(1);
            }
        } else {
            self.0.push(error.at(place()));
        }
    }
}

impl LooseGear {
    fn add_to(&self, set: &mut GearSet, usual: &Usual) -> Result<(), Failure> {
        let gear =
            usual.gear(self.teeth, self.pitch, self.pressure_angle, self.places.as_deref())?;
        set.add(gear, self.count.map_or(1, |n| n.0))?;
        if let Some(Diameter(outside)) = self.outside {
            set.note_outside(gear, outside);
        }
        Ok(())
    }
}

impl JoinedPair {
    fn add_to(&self, set: &mut GearSet, usual: &Usual) -> Result<(), Failure> {
        let gear =
            |teeth| usual.gear(teeth, self.pitch, self.pressure_angle, self.places.as_deref());
        let TwoGears([driven, driver]) = self.gears;
        let mut joined = Joined::new(gear(driven)?, gear(driver)?)
            .with_turn_round(self.turn_round.unwrap_or(true));
        let count = bounds::COPIES.check(self.count.map_or(1, |n| n.0));
        joined.count = count
            .map(|n| u8::try_from(n).unwrap_or(u8::MAX))
            .map_err(|e| Failure::from(e).at("count"))?;
        Ok(set.join(joined)?)
    }
}

/// The gears of a lathe file: the name of a set, or a set written out.
#[derive(Debug)]
pub(super) enum GearsOrName {
    /// A shipped set, or a gear-set file beside the lathe file.
    Named(String),
    /// Written out.
    Here(Gears),
}

impl Forms for GearsOrName {
    const WANTED: &'static str =
        "the name of a gear set, such as \"fives-20-100\", or {\"owned\": [20, 25, ...]}";

    fn text(text: &str) -> Option<Result<Self, Failure>> {
        Some(Ok(Self::Named(text.to_owned())))
    }

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self::Here))
    }
}
forms!(GearsOrName, |generator| {
    let gears = generator.subschema_for::<Gears>();
    json_schema!({"anyOf": [
        {"type": "string", "minLength": 1, "examples": ["fives-20-100", "my-gears.json"]},
        gears
    ]})
});

/// One entry of a list of gears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Listed {
    /// Teeth, and how many of them.
    Loose(u64, u64),
    /// A joined pair, the driven gear first.
    Joined([u64; 2]),
}

/// What a list holds: `20,25,30x2,127+120`.
///
/// # Errors
/// Says which entry can't be read.
pub(super) fn listed(text: &str) -> Result<Vec<Listed>, Failure> {
    let entries = text.split([',', ' ']).map(str::trim).filter(|e| !e.is_empty());
    entries.map(entry).collect()
}

pub(super) const LIST: &str = "sizes with commas between them, such as 20,25,30x2 (two 30s)";

fn entry(entry: &str) -> Result<Listed, Failure> {
    let number = |digits: &str| {
        let is_range = entry.starts_with(|c: char| c.is_ascii_digit())
            && (entry.contains('-') || entry.contains("..") || entry.contains('\u{2013}'));
        let what = if is_range { "is a range: write every gear" } else { "is no gear" };
        let wrong = |_| Failure::wrong(format!("`{entry}` {what}"), LIST);
        digits.trim().parse::<u64>().map_err(wrong)
    };
    if let Some((driven, driver)) = entry.split_once('+') {
        return Ok(Listed::Joined([number(driven)?, number(driver)?]));
    }
    let (teeth, count) = entry.split_once(['x', 'X', '×']).unwrap_or((entry, "1"));
    Ok(Listed::Loose(number(teeth)?, number(count)?))
}

/// The box written as a list on the command line: `20,25,30x2,127+120`.
///
/// # Errors
/// Says which entry can't be read.
pub(super) fn inline(text: &str) -> Result<GearSet, Failure> {
    let mut set = GearSet::new();
    for entry in listed(text)? {
        match entry {
            Listed::Loose(teeth, count) => set.add(Gear::new(Teeth::new(teeth)?), count)?,
            Listed::Joined([driven, driver]) => {
                let gear = |teeth| Teeth::new(teeth).map(Gear::new);
                set.join(Joined::new(gear(driven)?, gear(driver)?))?;
            }
        }
    }
    set.check().map_err(|_| Failure::wrong("the list holds no gear", LIST))?;
    Ok(set)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(text: &str) -> Vec<(u16, u8)> {
        inline(text).unwrap().loose().iter().map(|(g, n)| (g.teeth.get(), *n)).collect()
    }

    #[test]
    fn a_list_on_the_command_line() {
        assert_eq!(counts("20, 25,30x2,20"), [(20, 2), (25, 1), (30, 2)]);
        assert_eq!(counts("20 25"), [(20, 1), (25, 1)]);
    }

    #[test]
    fn a_bad_list_says_which_entry() {
        let wrong = |text| inline(text).unwrap_err().to_string();
        assert!(wrong("20,abc").starts_with("`abc` is no gear; sizes with commas"));
        assert!(wrong("20,30x").starts_with("`30x` is no gear"));
        assert!(wrong(" , ").starts_with("the list holds no gear"));
        assert_eq!(wrong("20,3"), "teeth: 3 is outside 5 to 400");
        assert_eq!(wrong("20x1000000"), "gear 20: gears of one size: 1000000 is outside 1 to 99");
        assert_eq!(wrong("20x0"), "gear 20: gears of one size: 0 is outside 1 to 99");
    }
}
