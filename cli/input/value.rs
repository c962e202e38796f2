//! How is one value written in a lathe or gear-set file? Numbers, lengths and names as people write
//! them, read into the solver's exact types; a value of several JSON kinds through [`Forms`].
//!
//! Where a value stands (file, line, path) is not known here: `json` adds it.

use super::wrong::Wrong;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use solver::{
    Degrees, Hand, Lead, Length, Offset, Place, PressureAngle, Ratio, Teeth, ToothSize, Turns,
    bounds,
};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt;
use std::marker::PhantomData;

/// A value that may be written as more than one kind of JSON. A kind that is left out is refused.
pub(super) trait Forms: Sized {
    /// What can stand here, in words.
    const WANTED: &'static str;

    /// Read from text in quotes.
    fn text(_: &str) -> Option<Result<Self, Wrong>> {
        None
    }

    /// Read from a number, given as its digits.
    fn number(_: &str) -> Option<Result<Self, Wrong>> {
        None
    }

    /// Read from a list.
    fn list<'de, A: SeqAccess<'de>>(_: A) -> Option<Result<Self, A::Error>> {
        None
    }

    /// Read from an object.
    fn object<'de, A: MapAccess<'de>>(_: A) -> Option<Result<Self, A::Error>> {
        None
    }
}

struct AnyForm<T>(PhantomData<T>);

impl<T: Forms> AnyForm<T> {
    fn wanted<E: serde::de::Error>(given: impl fmt::Display) -> E {
        E::custom(Wrong::new(format!("{given} can't stand here"), T::WANTED))
    }

    fn read<E: serde::de::Error>(
        read: Option<Result<T, Wrong>>,
        given: impl fmt::Display,
    ) -> Result<T, E> {
        read.ok_or_else(|| Self::wanted(given))?.map_err(E::custom)
    }
}

impl<'de, T: Forms> Visitor<'de> for AnyForm<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(T::WANTED)
    }

    fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<T, E> {
        Self::read(T::text(text), format_args!("the text {text:?}"))
    }

    fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<T, E> {
        Self::read(T::number(&number.to_string()), format_args!("the number {number}"))
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<T, E> {
        Self::read(T::number(&number.to_string()), format_args!("the number {number}"))
    }

    // Exact: a file's numbers have at most 15 digits (see `json`), and the shortest decimal that
    // reads as the nearest double of such a number is that number.
    fn visit_f64<E: serde::de::Error>(self, number: f64) -> Result<T, E> {
        Self::read(T::number(&number.to_string()), format_args!("the number {number}"))
    }

    fn visit_bool<E: serde::de::Error>(self, value: bool) -> Result<T, E> {
        Err(Self::wanted(value))
    }

    fn visit_unit<E: serde::de::Error>(self) -> Result<T, E> {
        Err(Self::wanted("null"))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<T, A::Error> {
        T::list(list).unwrap_or_else(|| Err(Self::wanted("a list")))
    }

    fn visit_map<A: MapAccess<'de>>(self, object: A) -> Result<T, A::Error> {
        T::object(object).unwrap_or_else(|| Err(Self::wanted("an object")))
    }
}

/// Reads a value of any of its forms.
pub(super) fn any_form<'de, T: Forms, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    from.deserialize_any(AnyForm(PhantomData))
}

/// Reads the rest of a list as `T`s.
pub(super) fn items<'de, T: Deserialize<'de>, A: SeqAccess<'de>>(
    list: A,
) -> Result<Vec<T>, A::Error> {
    Vec::deserialize(SeqAccessDeserializer::new(list))
}

/// Reads an object as a `T`.
pub(super) fn fields<'de, T: Deserialize<'de>, A: MapAccess<'de>>(
    object: A,
) -> Result<T, A::Error> {
    T::deserialize(MapAccessDeserializer::new(object))
}

/// `Deserialize` by way of [`Forms`], and the JSON Schema that says the same.
macro_rules! forms {
    ($type:ty, $schema:expr) => {
        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                super::value::any_form(from)
            }
        }

        impl schemars::JsonSchema for $type {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($type).into()
            }

            fn inline_schema() -> bool {
                true
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let schema: fn(&mut schemars::SchemaGenerator) -> schemars::Schema = $schema;
                schema(generator)
            }
        }
    };
}
pub(super) use forms;

/// A struct that is written as an object and as nothing else (by itself a list of its values would
/// be read too).
#[derive(Debug, Clone, Default)]
pub(super) struct Braced<T>(pub(super) T);

impl<T: serde::de::DeserializeOwned> Forms for Braced<T> {
    const WANTED: &'static str = "an object in braces";

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self))
    }
}

impl<'de, T: serde::de::DeserializeOwned> Deserialize<'de> for Braced<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        any_form(from)
    }
}

impl<T: JsonSchema> JsonSchema for Braced<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// An object with an example of how it is written.
pub(super) trait Example {
    /// How it is written.
    const EXAMPLE: &'static str;
}

/// A struct that is written as an object and as nothing else, where the example says it better than
/// [`Braced`].
#[derive(Debug, Clone, Default)]
pub(super) struct Like<T>(pub(super) T);

impl<T: serde::de::DeserializeOwned + Example> Forms for Like<T> {
    const WANTED: &'static str = T::EXAMPLE;

    fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
        Some(fields(object).map(Self))
    }
}

impl<'de, T: serde::de::DeserializeOwned + Example> Deserialize<'de> for Like<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        any_form(from)
    }
}

impl<T: JsonSchema> JsonSchema for Like<T> {
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

/// The version of the file format.
#[derive(Debug, Clone, Copy)]
pub(super) struct Format;

impl Forms for Format {
    const WANTED: &'static str = "the number 1, the only format so far";

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        (digits == "1").then_some(Ok(Self))
    }
}
forms!(Format, |_| json_schema!({"const": 1}));

/// A whole number; its bounds are checked where it is used.
#[derive(Debug, Clone, Copy)]
pub(super) struct Whole(pub(super) u64);

impl Forms for Whole {
    const WANTED: &'static str = "a whole number";

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        digits.parse().ok().map(|n| Ok(Self(n)))
    }
}
forms!(Whole, |_| json_schema!({"type": "integer", "minimum": 0}));

/// A count that fits a byte once its bounds are checked.
pub(super) fn small(
    key: &str,
    given: Option<Whole>,
    default: u8,
    bounds: bounds::Bounds,
) -> Result<u8, Wrong> {
    let Some(Whole(given)) = given else { return Ok(default) };
    let checked = bounds.check(given).map_err(|e| Wrong::from(e).at(key))?;
    Ok(u8::try_from(checked).unwrap_or(u8::MAX))
}

/// Teeth of a gear.
#[derive(Debug, Clone, Copy)]
pub(super) struct ToothCount(pub(super) Teeth);

impl Forms for ToothCount {
    const WANTED: &'static str = "a number of teeth, such as 40";

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        let teeth = digits.parse().ok()?;
        Some(Teeth::new(teeth).map(Self).map_err(Wrong::from))
    }
}
forms!(ToothCount, |_| {
    let bounds = solver::bounds::TEETH;
    json_schema!({"type": "integer", "minimum": bounds.low, "maximum": bounds.high})
});

/// A ratio: turns out for one turn in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turned(pub(super) Ratio);

impl Forms for Turned {
    const WANTED: &'static str = "a ratio such as \"1/2\" or 2";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().map(Self).map_err(|error| match text.trim_start().strip_prefix('-') {
            Some(_) => {
                Wrong::new("a ratio is over 0", "leave the minus out; a sense goes into `turns`")
            }
            None => Wrong::from(error),
        }))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        Self::text(digits)
    }
}
forms!(Turned, |_| json_schema!({"anyOf": [
    {"type": "string", "examples": ["1/2", "16/23", "1"]},
    {"type": "number", "exclusiveMinimum": 0}
]}));

/// A lead or feed with its unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Travelled(pub(super) Lead);

impl Forms for Travelled {
    const WANTED: &'static str =
        "a length with its unit, such as \"3 mm\", \"1/8 in\" or \"8 tpi\"";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(lead(text).and_then(Lead::checked_as_target).map(Self).map_err(Wrong::from))
    }
}
forms!(Travelled, |_| json_schema!({"type": "string", "examples": ["3 mm", "1/8 in", "8 tpi"]}));

/// A length, or threads per inch: `1/8 in`, `3 mm`, `8 tpi`.
fn lead(text: &str) -> solver::Result<Lead> {
    let (number, used) = Ratio::read(text)?;
    match text.get(used..).unwrap_or_default().trim() {
        unit if unit.eq_ignore_ascii_case("tpi") => Lead::from_tpi(number),
        "" => text.parse::<Length>().map(Lead::new).map_err(|e| {
            let number = text.trim();
            e.with_hint(format!("\"{number} mm\", \"{number} in\" or \"{number} tpi\""))
        }),
        _ => text.parse().map(Lead::new).map_err(|e: solver::Error| match e.hint() {
            Some("mm or in") => e.with_hint("mm, in or tpi"),
            _ => e,
        }),
    }
}

/// A place on the bracket, or a size that may be nothing: a length with a sign or none.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mm(pub(super) Offset);

impl Forms for Mm {
    const WANTED: &'static str = "a length with its unit, such as \"34 mm\" or \"1 1/4 in\"";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().map(Self).map_err(Wrong::from))
    }
}
forms!(Mm, |_| json_schema!({"type": "string", "examples": ["34 mm", "1 1/4 in", "-10 mm"]}));

/// A length over 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct MmOver0(pub(super) Length);

impl Forms for MmOver0 {
    const WANTED: &'static str = Mm::WANTED;

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        let offset = match Mm::text(text)? {
            Ok(Mm(offset)) => offset,
            Err(wrong) => return Some(Err(wrong)),
        };
        let over_0 = offset.size().filter(|_| !offset.is_negative());
        let wrong = || Wrong::new(format!("{} is not over 0", text.trim()), Self::WANTED);
        Some(over_0.map(|mm| Self(Length::from_mm(mm))).ok_or_else(wrong))
    }
}
forms!(MmOver0, |_| json_schema!({"type": "string", "examples": ["80 mm", "3 1/8 in"]}));

/// An angle on the bracket.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slant(pub(super) Degrees);

impl Forms for Slant {
    const WANTED: &'static str = "degrees from -360 to 360, such as 15 or -22.5";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().map(Self).map_err(Wrong::from))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        Self::text(digits)
    }
}
forms!(Slant, |_| json_schema!({"anyOf": [
    {"type": "number", "minimum": -360, "maximum": 360},
    {"type": "string", "examples": ["22 1/2"]}
]}));

/// Something that the person may not know yet.
#[derive(Debug, Clone, Copy)]
pub(super) struct OrUnknown<T>(pub(super) Option<T>);

impl<T: Forms> Forms for OrUnknown<T> {
    const WANTED: &'static str = T::WANTED;

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        if text.trim().eq_ignore_ascii_case("unknown") {
            return Some(Ok(Self(None)));
        }
        let read = T::text(text)?.map(|value| Self(Some(value)));
        Some(read.map_err(|mut wrong| {
            wrong.right = Some(match wrong.right {
                Some(right) => format!("{right}, or \"unknown\""),
                None => format!("{}, or \"unknown\"", T::WANTED),
            });
            wrong
        }))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        Some(T::number(digits)?.map(|value| Self(Some(value))))
    }
}

impl<'de, T: Forms> Deserialize<'de> for OrUnknown<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        any_form(from)
    }
}

impl<T: JsonSchema> JsonSchema for OrUnknown<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("{}OrUnknown", T::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let known = generator.subschema_for::<T>();
        json_schema!({"anyOf": [{"const": "unknown"}, known]})
    }
}

/// Tooth size.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pitch(pub(super) ToothSize);

impl Forms for Pitch {
    const WANTED: &'static str = "a tooth size such as \"module 1\" or \"20 DP\"";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().map(Self).map_err(Wrong::from))
    }
}
forms!(Pitch, |_| json_schema!({"type": "string", "examples": ["module 1", "20 DP"]}));

/// Pressure angle in degrees.
#[derive(Debug, Clone, Copy)]
pub(super) struct Angle(pub(super) PressureAngle);

impl Forms for Angle {
    const WANTED: &'static str = "degrees, such as 20 or 14.5";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        Some(text.parse().and_then(PressureAngle::new).map(Self).map_err(Wrong::from))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        Self::text(digits)
    }
}
forms!(Angle, |_| json_schema!({"anyOf": [
    {"type": "number", "minimum": 10, "maximum": 35},
    {"type": "string", "examples": ["14.5"]}
]}));

/// A name as it is marked on the machine: text, or a plain number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Mark(pub(super) String);

impl Forms for Mark {
    const WANTED: &'static str = "a name such as \"A\" or 8";

    fn text(text: &str) -> Option<Result<Self, Wrong>> {
        let named = !text.trim().is_empty();
        named.then(|| Ok(Self(text.to_owned())))
    }

    fn number(digits: &str) -> Option<Result<Self, Wrong>> {
        Some(Ok(Self(digits.to_owned())))
    }
}
forms!(Mark, |_| json_schema!({"anyOf": [{"type": "string", "minLength": 1}, {"type": "number"}]}));

/// The sense in which a shaft turns, against the one that drives it.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Sense {
    /// The same way round.
    Same,
    /// The other way round.
    Opposite,
    /// Not known yet.
    Unknown,
}

impl From<Sense> for Turns {
    fn from(sense: Sense) -> Self {
        match sense {
            Sense::Same => Self::Same,
            Sense::Opposite => Self::Opposite,
            Sense::Unknown => Self::Unknown,
        }
    }
}

/// Hand of a screw.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum ScrewHand {
    /// The usual one.
    Right,
    /// The other one.
    Left,
}

impl From<ScrewHand> for Hand {
    fn from(hand: ScrewHand) -> Self {
        match hand {
            ScrewHand::Right => Self::Right,
            ScrewHand::Left => Self::Left,
        }
    }
}

/// Where a gear's bore or key lets it go.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum Where {
    /// On the shaft that the spindle drives.
    First,
    /// On a stud of the bracket.
    Stud,
    /// On the lead screw, or the gearbox input.
    Last,
}

impl From<Where> for Place {
    fn from(place: Where) -> Self {
        match place {
            Where::First => Self::First,
            Where::Stud => Self::Stud,
            Where::Last => Self::Last,
        }
    }
}

/// A map whose order counts and whose names stand in it once.
#[derive(Debug, Clone)]
pub(super) struct Ordered<V>(pub(super) Vec<(String, V)>);

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Ordered<V> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Entries<V>(PhantomData<V>);

        impl<'de, V: Deserialize<'de>> Visitor<'de> for Entries<V> {
            type Value = Ordered<V>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("names with their values, in braces")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Ordered<V>, A::Error> {
                let mut entries: Vec<(String, V)> = Vec::new();
                let mut names = BTreeSet::new();
                while let Some(name) = map.next_key::<String>()? {
                    let value = map.next_value()?;
                    if name.trim().is_empty() {
                        return Err(A::Error::custom("a name is empty; name it as it is marked"));
                    }
                    if !names.insert(name.clone()) {
                        return Err(A::Error::custom(format!("{name} stands here twice")));
                    }
                    entries.push((name, value));
                }
                Ok(Ordered(entries))
            }
        }

        from.deserialize_map(Entries(PhantomData))
    }
}

impl<V: JsonSchema> JsonSchema for Ordered<V> {
    fn schema_name() -> Cow<'static, str> {
        format!("MapOf{}", V::schema_name()).into()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<V>();
        json_schema!({"type": "object", "propertyNames": {"minLength": 1}, "additionalProperties": value})
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lead_mm(text: &str) -> String {
        match lead(text) {
            Ok(lead) => lead.mm().to_string(),
            Err(error) => Wrong::from(error).to_string(),
        }
    }

    #[test]
    fn leads_in_three_units() {
        assert_eq!(lead_mm("1/8 in"), "127/40");
        assert_eq!(lead_mm("8 TPI"), "127/40");
        assert_eq!(lead_mm("11 1/2 tpi"), "254/115");
        assert_eq!(lead_mm(" 3mm "), "3");
        assert_eq!(lead_mm("8"), "a length needs its unit; \"8 mm\", \"8 in\" or \"8 tpi\"");
        assert_eq!(lead_mm("8 kg"), "`kg` is not a unit of length; mm, in or tpi");
    }

    #[test]
    fn a_map_keeps_its_order_and_refuses_a_name_twice() {
        let read = |text| serde_json::from_str::<Ordered<Whole>>(text);
        let names: Vec<_> =
            read(r#"{"b": 1, "a": 2}"#).unwrap().0.into_iter().map(|e| e.0).collect();
        assert_eq!(names, ["b", "a"]);
        assert!(
            read(r#"{"b": 1, "b": 2}"#).unwrap_err().to_string().starts_with("b stands here twice")
        );
        assert!(read(r#"{" ": 1}"#).is_err());
    }

    #[test]
    fn decimals_are_exact() {
        let read = |text| serde_json::from_str::<Turned>(text).map(|t| t.0.to_string());
        assert_eq!(read("0.1").unwrap(), "1/10");
        assert_eq!(read("1.10000000000001").unwrap(), "110000000000001/100000000000000");
        assert_eq!(read("2").unwrap(), "2");
        assert!(read("1e30").is_ok() && read("1e39").is_err() && read("-2").is_err());
    }
}
