//! The rows of CSV, from those of the document: a column is a key, or the keys on the way to it with
//! `_` between them.

use crate::report::{Cell, Column, Table};
use serde::Serialize;
use serde_json::Value;

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
        Value::Object(values) => {
            let named = |(name, value)| Some(format!("{name}={}", words(value)?));
            all(values.iter().filter_map(named).collect())
        }
        value => Some(value.to_string()),
    }
}
