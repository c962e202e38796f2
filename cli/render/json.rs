//! JSON: the report's document, indented, one newline at its end.

use super::Renderer;
use crate::report::{Answer, Block, Report};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Json {
    pub(super) on_terminal: bool,
}

impl Renderer for Json {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        // What is JSON already, such as a schema, is passed on.
        if let [Block::Verbatim(text)] = &report.blocks[..] {
            return out.write_all(text.as_bytes()).map(|()| report.answer);
        }
        match &report.stream {
            Some(stream) => stream.write_json(self.on_terminal, out),
            None => report.write_json(out).map(|()| report.answer).map_err(io::Error::from),
        }
    }
}
