//! JSON: the report's document, indented, one newline at its end.

use super::Renderer;
use crate::report::{Block, Report};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Json;

impl Renderer for Json {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<()> {
        // What is JSON already, such as a schema, is passed on.
        if let [Block::Verbatim(text)] = &report.blocks[..] {
            return out.write_all(text.as_bytes());
        }
        Ok(report.write_json(out)?)
    }
}
