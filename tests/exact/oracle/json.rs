//! A lathe file as a plain tree that keeps the order of its keys, which counts in such a file.

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::fmt;

/// Any JSON value; numbers as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Json {
    Null,
    Truth(bool),
    Number(String),
    Text(String),
    List(Vec<Json>),
    Map(Vec<(String, Json)>),
}

impl Json {
    pub(crate) fn read(text: &str) -> Self {
        serde_json::from_str(text).expect("the test's own file is JSON")
    }

    /// The value at a key; nothing where there is none.
    pub(crate) fn get(&self, key: &str) -> Option<&Self> {
        self.pairs().iter().find(|(k, _)| k == key).map(|(_, v)| v)
    }

    /// The pairs of a map; none of anything else.
    pub(crate) fn pairs(&self) -> &[(String, Self)] {
        if let Self::Map(pairs) = self { pairs } else { &[] }
    }

    /// The values of a list; none of anything else.
    pub(crate) fn list(&self) -> &[Self] {
        if let Self::List(values) = self { values } else { &[] }
    }

    /// The text of a string or number.
    pub(crate) fn text(&self) -> &str {
        match self {
            Self::Text(text) | Self::Number(text) => text,
            _ => panic!("a string or number was expected, not {self:?}"),
        }
    }

    pub(crate) fn whole(&self) -> u64 {
        self.text().parse().expect("a whole number")
    }

    pub(crate) fn is_map(&self) -> bool {
        matches!(self, Self::Map(_))
    }
}

impl<'de> Deserialize<'de> for Json {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Tree)
    }
}

struct Tree;

impl<'de> Visitor<'de> for Tree {
    type Value = Json;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Json, E> {
        Ok(Json::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Json, E> {
        Ok(Json::Truth(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Json, E> {
        Ok(Json::Number(value.to_string()))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Json, E> {
        Ok(Json::Number(value.to_string()))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Json, E> {
        Ok(Json::Number(value.to_string()))
    }

    fn visit_str<E>(self, value: &str) -> Result<Json, E> {
        Ok(Json::Text(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Json, A::Error> {
        let mut values = Vec::new();
        while let Some(value) = from.next_element()? {
            values.push(value);
        }
        Ok(Json::List(values))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Json, A::Error> {
        let mut pairs = Vec::new();
        while let Some(pair) = from.next_entry()? {
            pairs.push(pair);
        }
        Ok(Json::Map(pairs))
    }
}
