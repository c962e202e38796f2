//! `schema`: which keys may a file have that the program reads or writes?

use crate::args::{Schema, SchemaOf};
use crate::document;
use crate::files::{self, FileKind};
use crate::report::{self, Block, Report};

/// Answers `schema`: the JSON Schema as it is, in every form of answer.
pub(super) fn run(schema: Schema) -> Report {
    let mut report = Report::new();
    report.push(Block::Verbatim(text(schema.which)));
    report
}

fn text(of: SchemaOf) -> String {
    match of {
        SchemaOf::Lathe => files::schema_text(FileKind::Lathe),
        SchemaOf::Gears => files::schema_text(FileKind::Gears),
        SchemaOf::Chart => files::schema_text(FileKind::Chart),
        SchemaOf::Now => files::schema_text(FileKind::Now),
        SchemaOf::Find => report::schema_text::<document::find::Document>(),
        SchemaOf::Reach => report::schema_text::<document::reach::Whole>(),
        SchemaOf::Check => report::schema_text::<document::check::Checked>(),
        SchemaOf::Learn => report::schema_text::<document::learn::Learned>(),
        SchemaOf::Table => report::schema_text::<document::table::Document>(),
        SchemaOf::Buy => report::schema_text::<document::buy::Document>(),
        SchemaOf::Why => report::schema_text::<document::why::Document>(),
        SchemaOf::Card => report::schema_text::<document::card::Written>(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::ValueEnum;

    /// `UPDATE_SCHEMAS=1 cargo test schema` writes them anew.
    #[test]
    fn the_published_schemas_are_those_that_are_printed() {
        for of in SchemaOf::value_variants() {
            let name = of.to_possible_value().unwrap();
            let path =
                format!("{}/gearsets/{}.schema.json", env!("CARGO_MANIFEST_DIR"), name.get_name());
            if std::env::var_os("UPDATE_SCHEMAS").is_some() {
                std::fs::write(&path, text(*of)).unwrap();
            }
            let kept = std::fs::read_to_string(&path).unwrap();
            assert!(kept == text(*of), "{path} is out of date: UPDATE_SCHEMAS=1");
        }
    }
}
