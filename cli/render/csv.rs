//! CSV (RFC 4180): a header always, one row a record, full figures; what is unknown is empty.

use super::Renderer;
use crate::report::{Block, Cell, Report};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Csv;

impl Renderer for Csv {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<()> {
        if let [Block::Verbatim(text)] = &report.blocks[..] {
            return out.write_all(text.as_bytes());
        }
        let Some(table) = report.records() else { return Ok(()) };
        let mut writer = ::csv::Writer::from_writer(out);
        writer.write_record(table.columns.iter().map(|column| &*column.key))?;
        for row in &table.rows {
            writer.write_record(row.iter().map(full))?;
        }
        writer.flush()
    }
}

fn full(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => text.words(),
        Cell::Whole(count) => count.to_string(),
        Cell::Number(number) => number.full(),
    }
}
