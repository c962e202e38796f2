//! CSV (RFC 4180): a header always, one row a record, full figures; what is unknown is empty.

use super::Renderer;
use crate::failure::is_unseen;
use crate::report::{Answer, Block, Cell, Column, Report};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Csv {
    pub(super) on_terminal: bool,
}

impl Renderer for Csv {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        if let [Block::Verbatim(text)] = &report.blocks[..] {
            return out.write_all(text.as_bytes()).map(|()| report.answer);
        }
        let mut answer = report.answer;
        let mut writer = ::csv::Writer::from_writer(out);
        if let Some(stream) = &report.stream {
            header(&mut writer, &stream.columns())?;
            answer = stream.rows(self.on_terminal, &mut |row| record(&mut writer, row))?;
        } else if let Some(table) = report.records() {
            header(&mut writer, &table.columns)?;
            table.rows.iter().try_for_each(|row| record(&mut writer, row))?;
        }
        writer.flush().map(|()| answer)
    }
}

fn header(writer: &mut ::csv::Writer<impl Write>, columns: &[Column]) -> io::Result<()> {
    writer.write_record(columns.iter().map(|column| &*column.key)).map_err(as_io)
}

fn record(writer: &mut ::csv::Writer<impl Write>, row: &[Cell]) -> io::Result<()> {
    writer.write_record(row.iter().map(full)).map_err(as_io)
}

/// The error of the stream as it was: its kind tells a closed pipe from a full disk.
fn as_io(error: ::csv::Error) -> io::Error {
    match error.into_kind() {
        ::csv::ErrorKind::Io(error) => error,
        other => io::Error::other(format!("{other:?}")),
    }
}

fn full(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => harmless(&text.words()),
        Cell::Whole(count) => count.to_string(),
        Cell::Number(number) => number.full(),
    }
}

/// Words as no spreadsheet takes them for a formula, and no terminal for a command: such a beginning gets
/// an apostrophe before it, what is not seen is replaced.
fn harmless(words: &str) -> String {
    let words = words.replace(is_unseen, "\u{fffd}");
    let is_figure = words.parse::<f64>().is_ok();
    if words.starts_with(['=', '+', '-', '@']) && !is_figure { format!("'{words}") } else { words }
}
