//! The rows of CSV, from those of the document: a column is a key, or the keys on the way to it with
//! `_` between them.

use crate::report::{Cell, Column, Table};
use serde::Serialize;
use serde_json::{Map, Value};

/// The columns of these keys: `target.text` is `target_text`.
pub(crate) fn columns(keys: &[&str]) -> Vec<Column> {
    let column = |key: &&str| {
        let name = key.replace('.', "_");
        Column::new(name.clone(), name, "")
    };
    keys.iter().map(column).collect()
}

/// What a row of the document has under these keys.
pub(crate) fn cells(keys: &[&str], row: &impl Serialize) -> Vec<Cell> {
    // What the documents hold has a form in JSON.
    let row = serde_json::to_value(row).unwrap_or_default();
    let cell = |key: &&str| {
        let value = key.split('.').try_fold(&row, |value, key| value.get(key));
        words(value.unwrap_or(&Value::Null)).into()
    };
    keys.iter().map(cell).collect()
}

/// Rows of the document as records.
pub(crate) fn table<T: Serialize>(keys: &[&str], rows: impl IntoIterator<Item = T>) -> Table {
    let mut table = Table::new(columns(keys));
    rows.into_iter().for_each(|row| table.push(cells(keys, &row)));
    table
}

/// A value in a cell: of a list each, of an object each with its name; nothing where there is none.
fn words(value: &Value) -> Option<String> {
    let all = |parts: Vec<String>| (!parts.is_empty()).then(|| parts.join("; "));
    match value {
        Value::Null => None,
        Value::String(text) => Some(text.clone()),
        Value::Array(values) => all(values.iter().filter_map(words).collect()),
        Value::Object(values) => all(named(values)),
        // A whole figure has no point.
        Value::Number(number) if number.is_f64() => {
            number.as_f64().map(|figure| figure.to_string())
        }
        value => Some(value.to_string()),
    }
}

/// `Range=B`; of an object inside `direct.tumbler=up`.
fn named(values: &Map<String, Value>) -> Vec<String> {
    let of = |(name, value): (&String, &Value)| match value {
        Value::Object(inner) => named(inner).iter().map(|one| format!("{name}.{one}")).collect(),
        value => Vec::from_iter(words(value).map(|value| format!("{name}={value}"))),
    };
    values.iter().flat_map(of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_cell_is_what_the_document_has_under_its_keys() {
        let row = json!({
            "target": {"text": "1 mm"}, "hand": null, "error_ppm": -2.5, "rank": 1, "over": 25.0,
            "levers": {"Range": "B", "Step": "3"}, "names": ["M6", "M7"], "empty": [],
            "either": {"direct": {"tumbler": null, "hand": "left"}, "with_idler": {"hand": "right"}},
        });
        let of = |key: &str| match &cells(&[key], &row)[..] {
            [Cell::Text(text)] => Some(text.words()),
            _ => None,
        };
        for (key, cell) in [
            ("target.text", Some("1 mm")),
            ("hand", None),
            ("error_ppm", Some("-2.5")),
            ("rank", Some("1")),
            ("over", Some("25")),
            ("levers", Some("Range=B; Step=3")),
            ("names", Some("M6; M7")),
            ("empty", None),
            ("either", Some("direct.hand=left; with_idler.hand=right")),
            ("nowhere.text", None),
        ] {
            assert_eq!(of(key).as_deref(), cell, "{key}");
        }
        assert_eq!(columns(&["target.text"])[0].key, "target_text");
    }
}
