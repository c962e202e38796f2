//! From the text of a file to one of its structs; and where in the text a key stands.
//!
//! A syntax tree with positions comes first: it finds bad JSON, names that stand twice and numbers
//! with more digits than can be held. Then the struct is read; what goes wrong there, or later in
//! the solver, is looked up in the tree by its path.

use super::node::Node;
use super::source::Source;
use crate::failure::Failure;
use jsonc_parser::ast::{Object, ObjectProp, Value};
use jsonc_parser::common::Ranged;
use jsonc_parser::cst::{CstInputValue, CstNode, CstObjectProp, CstRootNode};
use jsonc_parser::errors::ParseErrorKind;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use serde::de::DeserializeOwned;
use serde_path_to_error::Segment;
use std::fmt;

/// Digits that a double keeps whatever the number (C standard, `DBL_DIG`).
const DIGITS: usize = 15;

/// How the reader begins to say that a key should not be there.
const UNKNOWN_KEY: &str = "unknown field `";

/// Reads a struct.
///
/// # Errors
/// With file, line, column and path.
pub(super) fn read<T: DeserializeOwned>(source: &Source) -> Result<T, Failure> {
    let tree = tree(source)?;
    check(source, &tree, &mut KeyPath::default())?;
    if tree.as_object().is_none() {
        let wrong = Failure::wrong("the file holds no object", "{ \"format\": 1, ... }");
        return Err(wrong.placed(source.place(tree.start())));
    }
    let mut json = serde_json::Deserializer::from_str(&source.text);
    serde_path_to_error::deserialize(&mut json).map_err(|error| {
        let said = error.inner().to_string();
        let by_name = said.starts_with(UNKNOWN_KEY);
        let wrong = reworded(error.inner());
        located(source, &tree, &KeyPath::of(error.path()), wrong, by_name)
    })
}

/// A failure at the key that `wrong` names.
pub(super) fn locate(source: &Source, wrong: Failure) -> Failure {
    match tree(source) {
        Ok(tree) => located(source, &tree, &KeyPath::parse(&wrong.path), wrong, false),
        Err(_) => wrong.placed(&source.name),
    }
}

/// `by_name`: where its name stands, since it should not be there at all.
fn located(
    source: &Source,
    tree: &Value<'_>,
    path: &KeyPath,
    mut failure: Failure,
    by_name: bool,
) -> Failure {
    let found = Found::at(tree, path);
    let offset = found.name.filter(|_| by_name).unwrap_or(found.value);
    let last = path.0.iter().rev().find_map(|step| match step {
        Step::Key(key) => Some(key.replace('_', " ") + ": "),
        Step::Index(_) => None,
    });
    // "studs: studs: 9 is outside 0 to 3" says it once too often.
    let what = last.and_then(|last| failure.what.strip_prefix(&last).map(str::to_owned));
    failure.what = what.unwrap_or(failure.what);
    failure.path = found.path.to_string();
    failure.placed(source.place(offset))
}

/// The bytes at which the items of a list at the top of the file stand.
pub(super) fn places_of_items(source: &Source, key: &str) -> Vec<usize> {
    let tree = tree(source).ok();
    let list = tree.as_ref().and_then(Value::as_object).and_then(|object| object.get_array(key));
    list.map_or_else(Vec::new, |list| list.elements.iter().map(Ranged::start).collect())
}

/// The text of a file without these keys and with these values put in, each in place of what
/// stands there, else as a new key with the objects around it; all else stays as it was written. `None`:
/// a path leads through something else.
pub(super) fn edited(source: &Source, out: &[String], put: &[(String, Node)]) -> Option<String> {
    let root = CstRootNode::parse(&source.text, &strict()).ok()?;
    for path in out {
        let (steps, value) = (KeyPath::parse(path).0, root.value()?);
        let found = steps.iter().try_fold(value, |at, step| inside(&at, step));
        let property = found.and_then(|found| found.parent()?.as_object_prop());
        property.into_iter().for_each(CstObjectProp::remove);
    }
    for (path, value) in put {
        let steps = KeyPath::parse(path).0;
        let (mut at, mut rest) = (root.value()?, &steps[..]);
        while let [step, more @ ..] = rest
            && let Some(next) = inside(&at, step).filter(|_| !more.is_empty())
        {
            (at, rest) = (next, more);
        }
        match rest {
            [Step::Key(key), inner @ ..] => {
                let object = at.as_object()?;
                match object.get(key) {
                    Some(property) => property.set_value(input(value)),
                    None => drop(object.append(key, nested(inner, value)?)),
                }
            }
            // One more behind the last.
            [Step::Index(i)] => {
                let list = at.as_array()?;
                (*i == list.elements().len()).then(|| list.append(input(value)))?;
            }
            _ => return None,
        }
    }
    Some(root.to_string())
}

/// What stands one step inside a value.
fn inside(at: &CstNode, step: &Step) -> Option<CstNode> {
    match step {
        Step::Key(key) => at.as_object()?.get(key)?.value(),
        Step::Index(i) => at.as_array()?.elements().into_iter().nth(*i),
    }
}

fn input(value: &Node) -> CstInputValue {
    match value {
        Node::Text(text) => CstInputValue::String(text.clone()),
        Node::Number(word) if matches!(&**word, "true" | "false") => {
            CstInputValue::Bool(word == "true")
        }
        Node::Number(digits) => CstInputValue::Number(digits.clone()),
        Node::List(items) => CstInputValue::Array(items.iter().map(input).collect()),
        Node::Object(pairs) => {
            let pair = |(key, value): &(String, Node)| (key.clone(), input(value));
            CstInputValue::Object(pairs.iter().map(pair).collect())
        }
    }
}

/// A value with the objects around it.
fn nested(keys: &[Step], value: &Node) -> Option<CstInputValue> {
    keys.iter().rev().try_fold(input(value), |inner, step| match step {
        Step::Key(key) => Some(CstInputValue::Object(vec![(key.clone(), inner)])),
        Step::Index(_) => None,
    })
}

/// Whether an object stands at a path.
pub(super) fn is_object(source: &Source, path: &str) -> bool {
    let Ok(tree) = tree(source) else { return false };
    let found = Found::at(&tree, &KeyPath::parse(path)).value;
    source.text.get(found..).is_some_and(|rest| rest.starts_with('{'))
}

fn strict() -> ParseOptions {
    ParseOptions {
        allow_comments: false,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    }
}

/// Whether the file holds an object with these keys and no other.
pub(super) fn has_only_keys(source: &Source, keys: &[&str]) -> bool {
    let tree = tree(source).ok();
    tree.as_ref().and_then(Value::as_object).is_some_and(|object| {
        object.properties.iter().all(|property| keys.contains(&property.name.as_str()))
    })
}

fn tree(source: &Source) -> Result<Value<'_>, Failure> {
    let bad = |offset, what: String, right: &str| {
        Failure::wrong(what, right).placed(source.place(offset))
    };
    match parse_to_ast(&source.text, &CollectOptions::default(), &strict()) {
        Ok(parsed) => parsed
            .value
            .ok_or_else(|| bad(0, "the file is empty".into(), "an object: { \"format\": 1, ... }")),
        Err(error) => {
            let what = error.kind().to_string();
            let mut letters = what.chars();
            let first = letters.next().map(|c| c.to_ascii_lowercase());
            let what: String = first.into_iter().chain(letters).collect();
            Err(bad(error.range().start, format!("not JSON: {what}"), mended(error.kind())))
        }
    }
}

/// How a text becomes JSON.
const fn mended(kind: &ParseErrorKind) -> &'static str {
    match kind {
        ParseErrorKind::TrailingCommasNotAllowed => "leave the last comma out",
        ParseErrorKind::CommentsNotAllowed => "put it into \"note\"",
        ParseErrorKind::SingleQuotedStringsNotAllowed => "double quotes",
        ParseErrorKind::MultipleRootJsonValues => "one object, and nothing after its last brace",
        ParseErrorKind::NestingDepthExceeded => "a few levels are enough",
        _ => "mend the text here or just before",
    }
}

/// Refuses what reading would pass over: a name twice in one object, a number that would be rounded.
fn check(source: &Source, value: &Value<'_>, path: &mut KeyPath) -> Result<(), Failure> {
    let fail = |offset, path: &KeyPath, what: String, right: &str| {
        Failure::wrong(what, right).at(path.to_string()).placed(source.place(offset))
    };
    match value {
        Value::NumberLit(number)
            if number.value.chars().filter(char::is_ascii_digit).count() > DIGITS =>
        {
            let what = format!("a number with more than {DIGITS} digits");
            Err(fail(number.range.start, path, what, "put it in quotes, or give fewer digits"))
        }
        Value::Array(array) => array.elements.iter().enumerate().try_for_each(|(i, element)| {
            path.within(Step::Index(i), |path| check(source, element, path))
        }),
        Value::Object(object) => {
            if let Some(twice) = named_twice(object) {
                let name = twice.name.as_str();
                let right = "each name once";
                return Err(fail(
                    twice.range.start,
                    path,
                    format!("`{name}` appears twice"),
                    right,
                ));
            }
            object.properties.iter().try_for_each(|property| {
                let step = Step::Key(property.name.as_str().to_owned());
                path.within(step, |path| check(source, &property.value, path))
            })
        }
        _ => Ok(()),
    }
}

fn named_twice<'o, 'a>(object: &'o Object<'a>) -> Option<&'o ObjectProp<'a>> {
    let mut seen = std::collections::HashSet::new();
    object.properties.iter().find(|property| !seen.insert(property.name.as_str()))
}

/// Where a key was found.
struct Found {
    /// Byte at which its value stands; if it is not there: the nearest value around it.
    value: usize,
    /// Byte at which its name stands, if it has one.
    name: Option<usize>,
    /// The way there as this file has it.
    path: KeyPath,
}

impl Found {
    fn at(tree: &Value<'_>, path: &KeyPath) -> Self {
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
enum Step {
    Key(String),
    Index(usize),
}

/// The way from the whole file to a value: `gearbox.levers[0].positions["x 8"]`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct KeyPath(Vec<Step>);

impl KeyPath {
    fn of(path: &serde_path_to_error::Path) -> Self {
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
    fn parse(text: &str) -> Self {
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

    fn within<T>(&mut self, step: Step, inside: impl FnOnce(&mut Self) -> T) -> T {
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

/// The reader's message in shop words.
fn reworded(error: &serde_json::Error) -> Failure {
    let text = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    let text = text.strip_suffix(&place).unwrap_or(&text);
    let quoted = |text: &str| -> Vec<String> {
        text.split('`').skip(1).step_by(2).map(str::to_owned).collect()
    };
    if let Some(rest) = text.strip_prefix("missing field ") {
        let key = quoted(rest).concat();
        return Failure::wrong(format!("`{key}` is missing"), how_to_say(&key));
    }
    for (start, what) in [(UNKNOWN_KEY, "key"), ("unknown variant `", "word")] {
        if let Some((given, known)) =
            text.strip_prefix(start).and_then(|t| t.rsplit_once("`, expected "))
        {
            return Failure::wrong(
                format!("the {what} `{given}` is not known here"),
                nearest(given, &quoted(known)),
            );
        }
    }
    if let Some((given, wanted)) =
        text.strip_prefix("invalid type: ").and_then(|t| t.rsplit_once(", expected "))
    {
        return Failure::wrong(
            format!("{} can't stand here", given_words(given)),
            wanted_words(wanted),
        );
    }
    if let Some((what, right)) = text.split_once("; ") {
        return Failure::wrong(what, right);
    }
    Failure::new(text)
}

fn given_words(given: &str) -> String {
    match given.split_once(' ') {
        Some(("string", text)) => format!("the text {text}"),
        Some(("integer", number)) => format!("the number {}", number.trim_matches('`')),
        Some(("boolean", value)) => value.trim_matches('`').to_owned(),
        Some((_, number)) => number.trim_start_matches("point ").trim_matches('`').to_owned(),
        None if given == "sequence" => "a list".into(),
        None if given == "map" => "an object".into(),
        None => given.to_owned(),
    }
}

fn wanted_words(wanted: &str) -> &str {
    match wanted {
        "a boolean" => "true or false",
        "a string" => "text in quotes",
        "a sequence" => "a list in square brackets",
        _ if wanted.starts_with("struct ") => "an object in braces",
        other => other,
    }
}

/// The known word that is nearest to `given`, else all of them.
pub(super) fn nearest(given: &str, known: &[String]) -> String {
    let given = given.to_lowercase();
    let close = known
        .iter()
        .map(|word| (strsim::damerau_levenshtein(&given, &word.to_lowercase()), word))
        .filter(|(distance, word)| *distance <= 1 + word.len() / 4)
        .min_by_key(|(distance, _)| *distance);
    match close {
        Some((_, word)) => format!("did you mean `{word}`?"),
        None => format!("known: {}", known.join(", ")),
    }
}

/// How a key that must be there is written.
fn how_to_say(key: &str) -> String {
    let value = match key {
        "format" => "1",
        "gears" => "{\"owned\": [20, 25, 30]}, or the name of a set",
        "name" => "\"what you call it\"",
        "teeth" => "40",
        "lines" => "8",
        "train" => "\"20-80+20-80\"",
        "ratio" => "\"1/2\", or \"unknown\"",
        "when" => "{\"Range\": \"A\"}",
        "first_shaft" => "\"80 mm\"",
        "slots" => "[{\"from\": \"34 mm\", \"to\": \"70 mm\"}]",
        "right" | "up" | "along" | "across" | "radius" => "\"20 mm\"",
        "rows" => "[{\"thread\": \"8 tpi\", \"train\": \"40-40\"}]",
        "thread" => "\"11 1/2 tpi\"",
        "positions" => "{\"A\": \"1\", \"B\": \"1/2\"}",
        _ => "...",
    };
    format!("add \"{key}\": {value}")
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

    #[test]
    fn a_file_is_changed_in_place() {
        let edited = |text: &str, out: &[&str], put: &[&str]| {
            let out: Vec<String> = out.iter().map(|path| (*path).to_owned()).collect();
            let put: Vec<_> =
                put.iter().map(|path| ((*path).to_owned(), Node::text("9"))).collect();
            edited(&Source::new("f", text), &out, &put)
        };
        let set = |text: &str, path: &str| edited(text, &[], &[path]).unwrap();
        assert_eq!(set(r#"{"a": {"b": "x"}}"#, "a.b"), r#"{"a": {"b": "9"}}"#);
        assert_eq!(set("{}", "a.b"), "{\n  \"a\": {\n    \"b\": \"9\"\n  }\n}");
        // Only the object that gets a key is laid out anew; lines and odd spaces stay.
        assert_eq!(
            set("{\"z\":  0,\n\n \"a\": [1, {\"c\" : 2}]}\n", "a[1].d"),
            "{\"z\":  0,\n\n \"a\": [1, {\n   \"c\" : 2,\n   \"d\": \"9\"\n  }]}\n"
        );
        assert_eq!(set(r#"{"a": [1]}"#, "a[1]"), r#"{"a": [1, "9"]}"#);
        assert_eq!(edited(r#"{"a": [1]}"#, &[], &["a[2]"]), None);
        assert_eq!(edited(r#"{"a": 1}"#, &[], &["a.b"]), None);
        let less = |path: &str| edited(r#"{"a": 1, "b": {"c": 2}, "d": 3}"#, &[path], &[]).unwrap();
        assert_eq!(less("a"), r#"{ "b": {"c": 2}, "d": 3}"#);
        assert_eq!(less("b.c"), r#"{"a": 1, "b": {}, "d": 3}"#);
        assert_eq!(less("d"), r#"{"a": 1, "b": {"c": 2}}"#);
        assert_eq!(less("e"), r#"{"a": 1, "b": {"c": 2}, "d": 3}"#);
    }

    #[test]
    fn a_typo_finds_its_word() {
        let known = ["lead_screw", "headstock", "gears"].map(str::to_owned);
        assert_eq!(nearest("leadscrew", &known), "did you mean `lead_screw`?");
        assert_eq!(nearest("Gear", &known), "did you mean `gears`?");
        assert_eq!(nearest("colour", &known), "known: lead_screw, headstock, gears");
    }
}
