//! Does every shipped file load, keep to its schema, and do the schemas say what is read?
//!
//! `UPDATE_SCHEMAS=1 cargo test schemas` writes the schemas anew.

use crate::input::{self, FileKind, LATHES, SETS};
use serde_json::Value;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("gearsets")
}

fn schema(kind: FileKind) -> Value {
    serde_json::to_value(input::schema(kind)).unwrap()
}

/// What breaks the schema, first of all.
fn against(kind: FileKind, text: &str) -> Result<(), String> {
    let file: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
    jsonschema::validate(&schema(kind), &file).map_err(|e| format!("{}: {e}", e.instance_path()))
}

#[test]
fn schemas_are_those_of_the_structs() {
    for (kind, name) in [(FileKind::Lathe, "lathe"), (FileKind::Gears, "gears")] {
        let path = folder().join(format!("{name}.schema.json"));
        let made = input::schema_text(kind);
        if std::env::var_os("UPDATE_SCHEMAS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap();
        assert!(kept == made, "{} is out of date: UPDATE_SCHEMAS=1", path.display());
    }
}

#[test]
fn every_shipped_set_loads_and_keeps_to_the_schema() {
    assert!(SETS.len() >= 6);
    for set in SETS {
        let open = input::gear_set(set.name).unwrap();
        assert!(!open.name.is_empty() && !open.note.is_empty(), "{}", set.name);
        assert_eq!(against(FileKind::Gears, set.text), Ok(()), "{}", set.name);
    }
}

#[test]
fn every_demo_lathe_loads_and_keeps_to_the_schema() {
    assert_eq!(LATHES.len(), 3);
    for lathe in LATHES {
        let open = input::lathe(lathe.name).unwrap();
        assert!(open.lathe.parts().fitted.is_some(), "{}", lathe.name);
        assert_eq!(against(FileKind::Lathe, lathe.text), Ok(()), "{}", lathe.name);
    }
}
