//! `schema`: which keys may a file have that the program reads or writes?

use crate::args::{Schema, SchemaOf};
use crate::failure::Failure;
use crate::input::{self, FileKind};
use crate::report::{Block, Report, found};

/// Answers `schema`: the JSON Schema as it is, in every form of answer.
///
/// # Errors
/// Never; the type is that of every command.
#[expect(clippy::unnecessary_wraps, reason = "the type is that of every command")]
pub(super) fn run(schema: Schema) -> Result<Report, Failure> {
    let text = match schema.which {
        SchemaOf::Lathe => input::schema_text(FileKind::Lathe),
        SchemaOf::Gears => input::schema_text(FileKind::Gears),
        SchemaOf::Find => found::schema_text(),
    };
    let mut report = Report::new();
    report.push(Block::Verbatim(text));
    Ok(report)
}
