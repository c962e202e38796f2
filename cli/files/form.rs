//! In which kinds of JSON may a value be written? One value of several kinds through [`Forms`], and what
//! is wrapped around values: an object that must be one, a value that nobody knows yet, a map in order.
//!
//! Where a value stands (file, line, path) is not known here: `json` adds it.

use crate::failure::Failure;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{DeserializeOwned, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::fmt;
use std::marker::PhantomData;

/// A value that may be written as more than one kind of JSON. A kind that is left out is refused.
pub(super) trait Forms: Sized {
    /// What can stand here, in words.
    const WANTED: &'static str;

    /// Read from text in quotes.
    fn text(_: &str) -> Option<Result<Self, Failure>> {
        None
    }

    /// Read from a number, given as its digits.
    fn number(_: &str) -> Option<Result<Self, Failure>> {
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

/// How a refusal of a kind of JSON ends.
pub(super) const CANT_STAND: &str = " can't stand here";

struct AnyForm<T>(PhantomData<T>);

impl<T: Forms> AnyForm<T> {
    fn wanted<E: serde::de::Error>(given: impl fmt::Display) -> E {
        E::custom(Failure::wrong(format!("{given}{CANT_STAND}"), T::WANTED))
    }

    fn read<E: serde::de::Error>(
        read: Option<Result<T, Failure>>,
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
                super::form::any_form(from)
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

/// An object with an example of how it is written.
pub(super) trait Example {
    /// How it is written.
    const EXAMPLE: &'static str;
}

/// A wrapper of a struct that is written as an object and as nothing else (by itself a list of its
/// values would be read too).
macro_rules! object {
    ($(#[$what:meta])* $name:ident<T: $($bound:path),+>, $wanted:expr) => {
        $(#[$what])*
        #[derive(Debug, Clone, Default)]
        pub(super) struct $name<T>(pub(super) T);

        impl<T: $($bound +)+> Forms for $name<T> {
            const WANTED: &'static str = $wanted;

            fn object<'de, A: MapAccess<'de>>(object: A) -> Option<Result<Self, A::Error>> {
                Some(fields(object).map(Self))
            }
        }

        impl<'de, T: $($bound +)+> Deserialize<'de> for $name<T> {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                any_form(from)
            }
        }

        impl<T: JsonSchema> JsonSchema for $name<T> {
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
    };
}

object! {
    /// A struct that is written as an object.
    Braced<T: DeserializeOwned>, "an object in braces"
}

object! {
    /// The same, where an example says it better.
    Like<T: DeserializeOwned, Example>, T::EXAMPLE
}

/// Something that the person may not know yet.
#[derive(Debug, Clone, Copy)]
pub(super) struct OrUnknown<T>(pub(super) Option<T>);

impl<T: Forms> Forms for OrUnknown<T> {
    const WANTED: &'static str = T::WANTED;

    fn text(text: &str) -> Option<Result<Self, Failure>> {
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

    fn number(digits: &str) -> Option<Result<Self, Failure>> {
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

/// A map whose order counts and whose names stand in it once.
#[derive(Debug, Clone)]
pub(super) struct Ordered<V>(pub(super) Vec<(String, V)>);

impl<V> Default for Ordered<V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

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
                        return Err(A::Error::custom(format!("{name} appears twice")));
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

    #[test]
    fn a_map_keeps_its_order_and_refuses_a_name_twice() {
        let read = |text| serde_json::from_str::<Ordered<u64>>(text);
        let names: Vec<_> =
            read(r#"{"b": 1, "a": 2}"#).unwrap().0.into_iter().map(|e| e.0).collect();
        assert_eq!(names, ["b", "a"]);
        assert!(
            read(r#"{"b": 1, "b": 2}"#).unwrap_err().to_string().starts_with("b appears twice")
        );
        assert!(read(r#"{" ": 1}"#).is_err());
    }
}
