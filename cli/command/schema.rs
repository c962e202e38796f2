//! `schema`: which keys may a file have that the program reads or writes?

use crate::args::{Schema, SchemaOf};
use crate::document;
use crate::files::{self, FileKind};
use crate::report::{self, Block, Report};

/// Answers `schema`: the JSON Schema as it is, in every form of answer.
pub(super) fn run(schema: Schema) -> Report {
    let text = match schema.which {
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
    };
    let mut report = Report::new();
    report.push(Block::Verbatim(text));
    report
}
