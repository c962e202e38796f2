//! From the text of a file to one of its structs; and where in the text a key stands.
//!
//! A syntax tree with positions comes first: it finds bad JSON, names that stand twice and numbers
//! with more digits than can be held. Then the struct is read; what goes wrong there, or later in
//! the solver, is looked up in the tree by its path.

mod edit;
mod more;
mod path;

pub(super) use edit::edited;
pub(super) use more::others;

use super::source::Source;
use crate::failure::{Failure, MOST};
use jsonc_parser::ast::{Object, ObjectProp, Value};
use jsonc_parser::common::Ranged;
use jsonc_parser::errors::ParseErrorKind;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use path::{Found, KeyPath, Step};
use serde::de::DeserializeOwned;

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
    let mut wrong = Vec::new();
    check(source, &tree, &mut KeyPath::default(), &mut wrong);
    if let Some(wrong) = Failure::all(wrong) {
        return Err(wrong);
    }
    if tree.as_object().is_none() {
        let wrong = Failure::wrong("the file holds no object", "{ \"format\": 1, ... }");
        return Err(wrong.placed(source.place(tree.start())));
    }
    let mut json = serde_json::Deserializer::from_str(&source.text);
    serde_path_to_error::deserialize(&mut json)
        .map_err(|error| more::all::<T>(source, &tree, error))
}

/// A failure, or each of several, at the key that it names.
pub(super) fn locate(source: &Source, wrong: Failure) -> Failure {
    let mut each = wrong.each().into_iter().map(|wrong| locate_one(source, wrong));
    let first = each.next();
    Failure::all(first.into_iter().chain(each)).unwrap_or_else(|| Failure::new("nothing is wrong"))
}

fn locate_one(source: &Source, wrong: Failure) -> Failure {
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

/// Finds what reading would pass over: a name twice in one object, a number that would be rounded.
fn check(source: &Source, value: &Value<'_>, path: &mut KeyPath, wrong: &mut Vec<Failure>) {
    let fail = |offset, path: &KeyPath, what: String, right: &str| {
        Failure::wrong(what, right).at(path.to_string()).placed(source.place(offset))
    };
    // Each place is counted from the start of the file.
    if wrong.len() >= MOST {
        return;
    }
    match value {
        Value::NumberLit(number)
            if number.value.chars().filter(char::is_ascii_digit).count() > DIGITS =>
        {
            let what = format!("a number with more than {DIGITS} digits");
            let right = "put it in quotes, or give fewer digits";
            wrong.push(fail(number.range.start, path, what, right));
        }
        Value::Array(array) => array.elements.iter().enumerate().for_each(|(i, element)| {
            path.within(Step::Index(i), |path| check(source, element, path, wrong));
        }),
        Value::Object(object) => {
            if let Some(twice) = named_twice(object) {
                let name = twice.name.as_str();
                let right = "each name once";
                wrong.push(fail(twice.range.start, path, format!("`{name}` appears twice"), right));
            }
            object.properties.iter().for_each(|property| {
                let step = Step::Key(property.name.as_str().to_owned());
                path.within(step, |path| check(source, &property.value, path, wrong));
            });
        }
        _ => {}
    }
}

fn named_twice<'o, 'a>(object: &'o Object<'a>) -> Option<&'o ObjectProp<'a>> {
    let mut seen = std::collections::HashSet::new();
    object.properties.iter().find(|property| !seen.insert(property.name.as_str()))
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

/// Keys that had another name in files of earlier versions.
const RENAMED: [(&str, &str); 11] = [
    ("bracket", "banjo"),
    ("first_shaft", "driving_shaft"),
    ("first_planes", "driving_planes"),
    ("swing", "arm_angle"),
    ("swing", "arm-angle"),
    ("first", "driving"),
    ("last", "driven"),
    ("needs_last", "needs_driven"),
    ("last_planes", "driven_planes"),
    ("hub-first", "hub-driving"),
    ("hub-last", "hub-driven"),
];

/// The known word that is nearest to `given`, else all of them.
pub(super) fn nearest(given: &str, known: &[String]) -> String {
    let renamed = RENAMED.iter().find(|(old, new)| *old == given && known.iter().any(|k| k == new));
    if let Some((_, new)) = renamed {
        return format!("its name is now `{new}`");
    }
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
        "driving_shaft" => "\"80 mm\"",
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
    fn a_typo_finds_its_word() {
        let known = ["lead_screw", "headstock", "gears"].map(str::to_owned);
        assert_eq!(nearest("leadscrew", &known), "did you mean `lead_screw`?");
        assert_eq!(nearest("Gear", &known), "did you mean `gears`?");
        assert_eq!(nearest("colour", &known), "known: lead_screw, headstock, gears");
    }
}
