//! The way from a whole file to a value in it, and where that stands in the text.

use jsonc_parser::ast::Value;
use jsonc_parser::common::Ranged;
use serde_path_to_error::Segment;
use std::fmt;

/// Where a key was found.
pub(super) struct Found {
    /// Byte at which its value stands; if it is not there: the nearest value around it.
    pub(super) value: usize,
    /// Byte at which its name stands, if it has one.
    pub(super) name: Option<usize>,
    /// The way there as this file has it.
    pub(super) path: KeyPath,
}

impl Found {
    pub(super) fn at(tree: &Value<'_>, path: &KeyPath) -> Self {
        let (mut at, mut lost) = (tree, false);
        let mut found = Self { value: 0, name: None, path: KeyPath::default() };
        for step in &path.0 {
            let next = match (step, at) {
                (Step::Key(key), Value::Object(object)) => object.get(key).map(|property| {
                    found.name = Some(property.range.start);
                    &property.value
                }),
                (Step::Index(i), Value::Array(array)) => array.elements.get(*i),
                // One dial needs no list.
                (Step::Index(0), Value::Object(_)) => continue,
                _ => None,
            };
            found.path.0.push(step.clone());
            lost |= next.is_none();
            at = next.filter(|_| !lost).unwrap_or(at);
        }
        found.value = at.start();
        found
    }
}

/// One step from a value to one inside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    Key(String),
    Index(usize),
}

/// The way from the whole file to a value: `gearbox.levers[0].positions["x 8"]`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct KeyPath(pub(super) Vec<Step>);

impl KeyPath {
    pub(super) fn of(path: &serde_path_to_error::Path) -> Self {
        Self(
            path.iter()
                .filter_map(|segment| match segment {
                    Segment::Seq { index } => Some(Step::Index(*index)),
                    Segment::Map { key } => Some(Step::Key(key.clone())),
                    Segment::Enum { .. } | Segment::Unknown => None,
                })
                .collect(),
        )
    }

    /// Reads what `Display` writes; what is not understood is left out.
    pub(super) fn parse(text: &str) -> Self {
        let mut steps = Vec::new();
        let mut rest = text;
        while !rest.is_empty() {
            if let Some(inner) = rest.strip_prefix('[') {
                let (step, after) = bracketed(inner);
                steps.extend(step);
                rest = after;
            } else {
                let rest_of = rest.strip_prefix('.').unwrap_or(rest);
                let end = rest_of.find(['.', '[']).unwrap_or(rest_of.len());
                let (key, after) = rest_of.split_at(end);
                if !key.is_empty() {
                    steps.push(Step::Key(key.to_owned()));
                } else if after.len() == rest.len() {
                    break;
                }
                rest = after;
            }
        }
        Self(steps)
    }

    pub(super) fn within<T>(&mut self, step: Step, inside: impl FnOnce(&mut Self) -> T) -> T {
        self.0.push(step);
        let result = inside(self);
        self.0.pop();
        result
    }
}

/// What follows a `[`: an index or a name in quotes, and the text after the `]`.
fn bracketed(text: &str) -> (Option<Step>, &str) {
    let mut names = serde_json::Deserializer::from_str(text).into_iter::<serde_json::Value>();
    let step = match names.next() {
        Some(Ok(serde_json::Value::String(name))) => Some(Step::Key(name)),
        Some(Ok(number)) => number.as_u64().and_then(|n| usize::try_from(n).ok()).map(Step::Index),
        _ => None,
    };
    let used = if step.is_some() { names.byte_offset() } else { 0 };
    let after = text.get(used..).unwrap_or_default();
    (step, after.split_once(']').map_or("", |(_, after)| after))
}

impl fmt::Display for KeyPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, step) in self.0.iter().enumerate() {
            match step {
                Step::Index(index) => write!(f, "[{index}]")?,
                Step::Key(key) if is_plain(key) => {
                    write!(f, "{}{key}", if i > 0 { "." } else { "" })?;
                }
                Step::Key(key) => write!(f, "[{}]", serde_json::Value::from(key.as_str()))?,
            }
        }
        Ok(())
    }
}

fn is_plain(key: &str) -> bool {
    !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || c == '_' || c == '-' || c == '$')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_round_trip() {
        for text in ["", "gears", "a.b[0].c", "gearbox.levers[12][\"x 8\"].ratio", "[\"a.b\"][3]"] {
            assert_eq!(KeyPath::parse(text).to_string(), text);
        }
        for odd in ["[", "]", "..", "a..b", "[x]", "a[", "[\"", "."] {
            let _ = KeyPath::parse(odd).to_string();
        }
    }
}
