//! What a command has to say, before anybody decides how it looks.
//!
//! One model for every command and every format. A report is a list of blocks for people, one
//! table of records for CSV, and one document for JSON. Cells keep the exact value; `number` makes
//! digits of it as late as possible. Text carries roles (a value, a warning), never colours. What
//! a gear or a lathe is, this module does not know.

pub(crate) mod book;
mod commands;
pub(crate) mod drawing;
pub(crate) mod number;
pub(crate) mod wall;

pub(crate) use commands::without as without_commands;

use crate::failure::Failure;
use number::Number;
use serde::Serialize;
use serde::ser::SerializeMap;
use std::borrow::Cow;
use std::io::{self, Write};
use std::path::PathBuf;

/// What a piece of text is for; each renderer maps it to its own looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Role {
    /// Running text.
    #[default]
    Plain,
    /// What the eye should find first.
    Strong,
    /// A good answer: exact, or near enough.
    Good,
    /// Something to heed.
    Warning,
    /// An aside that may be skipped.
    Faint,
    /// Words to be typed: a command, a key of a file.
    Typed,
    /// A reading that is ticked off when it is reached.
    Tick,
}

/// A piece of text with its role.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) role: Role,
    pub(crate) text: String,
}

/// A line of text made of spans.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Text(Vec<Span>);

impl Text {
    /// Text in one role.
    pub(crate) fn new(role: Role, text: impl Into<String>) -> Self {
        Self::default().and(role, text)
    }

    /// This text, then another piece.
    pub(crate) fn and(mut self, role: Role, text: impl Into<String>) -> Self {
        self.0.push(Span { role, text: text.into() });
        self
    }

    /// Readings one after the other, each to be ticked off.
    pub(crate) fn readings(all: impl IntoIterator<Item = String>) -> Self {
        let with = |text: Self, reading| {
            let text = if text.0.is_empty() { text } else { text.and(Role::Plain, " ") };
            text.and(Role::Tick, reading)
        };
        all.into_iter().fold(Self::default(), with)
    }

    pub(crate) fn spans(&self) -> &[Span] {
        &self.0
    }

    /// The words alone.
    pub(crate) fn words(&self) -> String {
        self.0.iter().map(|span| span.text.as_str()).collect()
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self::new(Role::Plain, text)
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self::new(Role::Plain, text)
    }
}

/// One figure or word of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Cell {
    /// Nothing known: empty in every format, never 0.
    Empty,
    /// Words.
    Text(Text),
    /// A count.
    Whole(u128),
    /// An exact value with the way its digits are made.
    Number(Number),
}

impl Cell {
    /// As people read it.
    pub(crate) fn words(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.words(),
            Self::Whole(count) => count.to_string(),
            Self::Number(number) => number.marked(),
        }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.into())
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text.into())
    }
}

impl From<Text> for Cell {
    fn from(text: Text) -> Self {
        Self::Text(text)
    }
}

impl From<Number> for Cell {
    fn from(number: Number) -> Self {
        Self::Number(number)
    }
}

impl From<usize> for Cell {
    fn from(count: usize) -> Self {
        Self::Whole(count as u128)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(cell: Option<T>) -> Self {
        cell.map_or(Self::Empty, Into::into)
    }
}

/// A column: its key in CSV and JSON, its heading for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Column {
    /// `lead_mm`: small letters, unit included.
    pub(crate) key: Cow<'static, str>,
    /// `lead`: what people read.
    pub(crate) name: Cow<'static, str>,
    /// `mm`, or empty.
    pub(crate) unit: &'static str,
    /// Whether text may put it on a second line, where the table is too wide for one.
    pub(crate) second: bool,
}

impl Column {
    pub(crate) fn new(
        key: impl Into<Cow<'static, str>>,
        name: impl Into<Cow<'static, str>>,
        unit: &'static str,
    ) -> Self {
        Self { key: key.into(), name: name.into(), unit, second: false }
    }

    /// One whose heading is its key: where nobody but a program reads the key, or the name is enough.
    pub(crate) fn named(name: impl Into<Cow<'static, str>>, unit: &'static str) -> Self {
        let name = name.into();
        Self::new(name.clone(), name, unit)
    }

    /// The same column, for the second line where one is too narrow.
    pub(crate) fn second(mut self) -> Self {
        self.second = true;
        self
    }

    /// Heading with unit.
    pub(crate) fn heading(&self) -> String {
        match (&*self.name, self.unit) {
            (name, "") => name.to_string(),
            ("", unit) => unit.to_string(),
            (name, unit) => format!("{name} {unit}"),
        }
    }
}

/// What a column says of an item.
pub(crate) type Says<'s, T> = &'s dyn Fn(&T) -> Cell;

/// Rows under columns; a row has one cell a column.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Table {
    pub(crate) columns: Vec<Column>,
    pub(crate) rows: Vec<Vec<Cell>>,
}

impl Table {
    pub(crate) fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new() }
    }

    /// A row for each item, of columns that stand beside what they say of it.
    pub(crate) fn of<T, const N: usize>(
        items: impl IntoIterator<Item = T>,
        columns: [(Column, Says<'_, T>); N],
    ) -> Self {
        let row = |item: T| columns.iter().map(|(_, says)| says(&item)).collect();
        let rows = items.into_iter().map(row).collect();
        Self { rows, columns: columns.map(|(column, _)| column).into() }
    }

    /// The same for programs: columns by their keys.
    pub(crate) fn keyed<T, const N: usize>(
        items: impl IntoIterator<Item = T>,
        columns: [(&'static str, Says<'_, T>); N],
    ) -> Self {
        Self::of(items, columns.map(|(key, says)| (Column::named(key, ""), says)))
    }

    pub(crate) fn push(&mut self, row: Vec<Cell>) {
        debug_assert_eq!(row.len(), self.columns.len(), "one cell a column");
        self.rows.push(row);
    }

    /// Takes the columns away in which no row has anything.
    pub(crate) fn drop_empty(&mut self) {
        for at in (0..self.columns.len()).rev() {
            if self.rows.iter().all(|row| matches!(row.get(at), None | Some(Cell::Empty))) {
                self.columns.remove(at);
                self.rows.iter_mut().for_each(|row| drop(row.remove(at)));
            }
        }
    }

    /// Whether column `i` holds figures, which are aligned on the decimal point.
    pub(crate) fn is_numeric(&self, i: usize) -> bool {
        self.rows.iter().any(|row| matches!(row.get(i), Some(Cell::Whole(_) | Cell::Number(_))))
    }
}

/// A stretch of a report, for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Block {
    /// What all that follows is about.
    Title(String),
    /// A heading.
    Heading(String),
    /// A paragraph.
    Note(Text),
    /// Short lines, one below the other.
    List(Vec<Text>),
    /// What is to be done, in this order; each step is ticked off.
    Steps(Vec<Text>),
    /// Where drawings stand, side by side if there is room.
    Picture {
        /// Their numbers among the drawings of the report.
        drawings: Vec<usize>,
        /// What stands there where there are letters only: lines as they are, or nothing.
        in_letters: String,
    },
    /// Label and value, one below the other.
    Facts(Vec<(String, Text)>),
    /// A table.
    Table(Table),
    /// A picture in letters, in every form: lines as they are, a remark at the end of some.
    Letters(String),
    /// Text to be passed on as it is, such as a JSON Schema.
    Verbatim(String),
}

impl Block {
    /// Whether there is nothing of it in letters.
    pub(crate) fn is_silent(&self) -> bool {
        matches!(self, Self::Picture { in_letters, .. } if in_letters.is_empty())
    }
}

/// Whether every question was answered with a yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Answer {
    /// Exit code 0.
    #[default]
    Yes,
    /// Ran, but some answer is a no: exit code 1.
    No,
}

/// The JSON Schema (2020-12) of a document, with a newline at its end.
pub(crate) fn schema_text<T: schemars::JsonSchema>() -> String {
    let schema = schemars::schema_for!(T);
    // A schema is JSON already: writing it can't fail.
    serde_json::to_string_pretty(&schema).unwrap_or_default() + "\n"
}

/// Something that can be written as JSON; for every `Serialize`.
pub(crate) trait Document: std::fmt::Debug {
    /// Indented JSON with a newline at its end.
    fn write_json(&self, out: &mut dyn Write) -> serde_json::Result<()>;
}

impl<T: Serialize + std::fmt::Debug> Document for T {
    fn write_json(&self, out: &mut dyn Write) -> serde_json::Result<()> {
        serde_json::to_writer_pretty(&mut *out, self)?;
        writeln!(out).map_err(serde_json::Error::io)
    }
}

/// What is worked out when it is written, once: its records may be millions, and none is held.
pub(crate) trait Stream: std::fmt::Debug {
    /// For people and as a picture.
    ///
    /// # Errors
    /// If the work fails.
    fn page(&self) -> Result<Report, Failure>;

    /// Columns of the records.
    fn columns(&self) -> Vec<Column>;

    /// Gives out row by row; the answer, when all are written.
    ///
    /// # Errors
    /// If `give` fails, or the work does: then the [`Failure`] is in the error.
    fn rows(
        &self,
        on_terminal: bool,
        give: &mut dyn FnMut(&[Cell]) -> io::Result<()>,
    ) -> io::Result<Answer>;

    /// Writes the document; the answer, when all is written.
    ///
    /// # Errors
    /// If writing fails, or the work does: then the [`Failure`] is in the error.
    fn write_json(&self, on_terminal: bool, out: &mut dyn Write) -> io::Result<Answer>;
}

/// What a command has to say.
#[derive(Debug, Default)]
pub(crate) struct Report {
    /// For people: text and Markdown.
    pub(crate) blocks: Vec<Block>,
    /// The answer in one line a question, for `-q`; none: `blocks` is as short as it gets.
    pub(crate) brief: Vec<Text>,
    /// For CSV; `None`: the first table of the blocks.
    pub(crate) records: Option<Table>,
    /// In place of all else, where it is worked out only when it is written.
    pub(crate) stream: Option<Box<dyn Stream>>,
    /// For JSON; `None`: the records, one object a row.
    pub(crate) document: Option<Box<dyn Document>>,
    /// Pictures, one below the other: of one set-up from several sides, or of several targets.
    pub(crate) drawings: Vec<drawing::Drawing>,
    /// The same with all words on them, for a file of pictures; none: `drawings`.
    pub(crate) sheets: Vec<drawing::Drawing>,
    /// A chart for the wall: what HTML and SVG show in place of the blocks.
    pub(crate) wall: Option<wall::Wall>,
    /// A book: what HTML writes in place of the blocks.
    pub(crate) book: Option<Box<book::Book>>,
    /// A lathe file that was asked for beside the answer, where it can be made.
    pub(crate) lathe_file: Option<String>,
    /// A file that was read and is to be written over, with its new text.
    pub(crate) rewritten: Option<(PathBuf, String)>,
    /// A file that has served once all is written.
    pub(crate) spent: Option<PathBuf>,
    /// Whether it has a set-up for the lathe: then a card is offered, and that it is on can be recorded.
    pub(crate) mounts: bool,
    /// Whether the blocks are one side of paper, to be taken to the machine.
    pub(crate) one_side: bool,
    /// Asides for stderr where the format is not text; `-q` silences them.
    pub(crate) asides: Vec<String>,
    /// What `-v` adds on stderr.
    pub(crate) details: Vec<String>,
    /// Decides the exit code.
    pub(crate) answer: Answer,
}

impl Report {
    pub(crate) fn new() -> Self {
        Self::default()
    }

    /// The page in place of what would be worked out while it is written.
    ///
    /// # Errors
    /// If the work fails.
    pub(crate) fn into_page(self) -> Result<Self, Failure> {
        match &self.stream {
            Some(stream) => {
                Ok(Self { asides: self.asides, details: self.details, ..stream.page()? })
            }
            None => Ok(self),
        }
    }

    /// What a file of pictures shows.
    pub(crate) fn sheets(&self) -> &[drawing::Drawing] {
        if self.sheets.is_empty() { &self.drawings } else { &self.sheets }
    }

    /// The short form in place of the page, a line each.
    pub(crate) fn keep_brief(&mut self) {
        let lines = self.brief.iter().map(|line| line.words() + "\n");
        self.blocks = vec![Block::Verbatim(lines.collect())];
    }

    /// Takes out what a terminal is told to type: for a page that has links and boxes in its place.
    pub(crate) fn leave_out_commands(&mut self) {
        commands::leave_out(self);
    }

    pub(crate) fn heading(&mut self, text: impl Into<String>) -> &mut Self {
        self.push(Block::Heading(text.into()))
    }

    pub(crate) fn note(&mut self, text: impl Into<Text>) -> &mut Self {
        self.push(Block::Note(text.into()))
    }

    pub(crate) fn table(&mut self, table: Table) -> &mut Self {
        self.push(Block::Table(table))
    }

    pub(crate) fn push(&mut self, block: Block) -> &mut Self {
        self.blocks.push(block);
        self
    }

    /// What CSV writes.
    pub(crate) fn records(&self) -> Option<&Table> {
        self.records.as_ref().or_else(|| {
            self.blocks.iter().find_map(|block| match block {
                Block::Table(table) => Some(table),
                _ => None,
            })
        })
    }

    /// What JSON writes.
    ///
    /// # Errors
    /// If a value can't be written as JSON.
    pub(crate) fn write_json(&self, out: &mut dyn Write) -> serde_json::Result<()> {
        let rows = || Rows { format: 1, rows: self.records().map(objects).unwrap_or_default() };
        match &self.document {
            Some(document) => document.write_json(out),
            None => rows().write_json(out),
        }
    }
}

/// The document of a report that has none of its own.
#[derive(Debug, Serialize)]
struct Rows<'a> {
    format: u8,
    rows: Vec<Row<'a>>,
}

fn objects(table: &Table) -> Vec<Row<'_>> {
    table.rows.iter().map(|cells| Row { columns: &table.columns, cells }).collect()
}

/// A row as an object in column order; an exact fraction stands beside each number that has one.
#[derive(Debug)]
struct Row<'a> {
    columns: &'a [Column],
    cells: &'a [Cell],
}

impl Serialize for Row<'_> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        for (column, cell) in self.columns.iter().zip(self.cells) {
            match cell {
                Cell::Empty => map.serialize_entry(&column.key, &None::<()>)?,
                Cell::Text(text) => map.serialize_entry(&column.key, &text.words())?,
                Cell::Whole(count) => map.serialize_entry(&column.key, count)?,
                Cell::Number(number) => {
                    map.serialize_entry(&column.key, &number.to_f64())?;
                    if let Some(exact) = number.exact() {
                        map.serialize_entry(&format!("{}_exact", column.key), &exact)?;
                    }
                }
            }
        }
        map.end()
    }
}
