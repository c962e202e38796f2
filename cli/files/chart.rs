//! The chart file: what is printed on the cover of a lathe, as CSV or as JSON?
//!
//! CSV has a header line; `table` says which columns it may have. JSON is one object, the struct here,
//! which is also the source of its schema. What a row says is turned into the solver's row by `cell`.

mod cell;
mod table;

use super::form::{Braced, Forms, Ordered, forms};
use super::json;
use super::source::Source;
use super::value::{Format, Mark, Whole};
use crate::failure::{Failure, MOST};
use cell::Said;
use schemars::{JsonSchema, json_schema};
use serde::Deserialize;
use solver::bounds;
use solver::chart::ChartRow;

/// A chart and the file that it came from.
#[derive(Debug, Clone)]
pub struct OpenChart {
    /// What messages call the file.
    pub name: String,
    /// Its rows.
    pub rows: Vec<ChartRow>,
    /// Of each row its line in the file, from 1.
    pub lines: Vec<usize>,
    /// Of each row `file:line:column`.
    places: Vec<String>,
}

impl OpenChart {
    /// Rows that stand in no file.
    pub fn of_rows(name: String, rows: Vec<ChartRow>) -> Self {
        let lines = (1..=rows.len()).collect();
        Self { name, rows, lines, places: Vec::new() }
    }

    /// The same, its rows counted without the line of its headings.
    #[must_use]
    pub fn without_heading(mut self) -> Self {
        self.lines.iter_mut().for_each(|line| *line = line.saturating_sub(1));
        self
    }

    /// `file:line:column` of what an error of the solver is about: `rows[3]`.
    pub fn locate(&self, path: &str) -> Option<&str> {
        let index = path.strip_prefix("rows[")?.split(']').next()?.parse::<usize>().ok()?;
        self.places.get(index).map(String::as_str)
    }

    /// Takes one row more, which begins in a line and a column.
    fn push(&mut self, (line, column): (usize, usize), row: ChartRow) -> Result<(), Failure> {
        let place = format!("{}:{line}:{column}", self.name);
        let count = self.rows.len() as u64 + 1;
        if let Err(error) = bounds::CHART_ROWS.check(count) {
            return Err(Failure::from(error).placed(place));
        }
        self.rows.push(row);
        self.lines.push(line);
        self.places.push(place);
        Ok(())
    }
}

/// A chart as it hangs on a machine.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "Chart")]
pub(super) struct ChartFile {
    /// Where the schema of this file is; for editors, not read.
    #[serde(rename = "$schema", default)]
    #[schemars(example = &"chart.schema.json")]
    _schema: Option<String>,
    /// Version of this format: 1.
    #[serde(rename = "format")]
    #[schemars(example = 1)]
    _format: Format,
    /// What the chart is called.
    #[serde(default, rename = "name")]
    #[schemars(example = &"Chart inside the gear cover")]
    _name: String,
    /// Anything else.
    #[serde(default, rename = "note")]
    #[schemars(example = &"The row for 19 TPI can't be read.")]
    _note: String,
    /// The rows, from top to bottom.
    rows: Vec<Braced<Row>>,
}

/// One row: what is printed, and the set-up.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Row {
    /// What is printed, exactly as it is printed, with its unit; feeds by "/rev", across the bed with
    /// "cross".
    #[schemars(example = &"11 1/2 tpi", example = &"1.25 mm", example = &"module 1", example = &"0.0049 in/rev", example = &"0.05 mm/rev cross")]
    thread: Figure,
    /// The gears in power-path order; `*` is an idler of any size. Left out: the gears
    /// on the machine.
    #[schemars(example = &"40-55+50-65", example = &"25-*-20")]
    train: Option<Wheels>,
    /// The levers with their positions.
    #[serde(default)]
    #[schemars(example = example_levers())]
    levers: Ordered<Mark>,
    /// Starts of the thread, where the printed figure is its pitch; 1 unless said.
    #[schemars(example = 1)]
    starts: Option<Whole>,
    /// Whether the figure is rounded to its last digit; feeds are, threads are not, unless said.
    #[schemars(example = false)]
    rounded: Option<bool>,
    /// How far the maker may have gone from the printed thread in this row.
    #[schemars(example = &"0.5%", example = &"2000ppm")]
    within: Option<Within>,
}

fn example_levers() -> serde_json::Value {
    serde_json::json!({"Range": "A", "Cone": 3})
}

macro_rules! text_of {
    ($name:ident, $doc:literal, $wanted:literal) => {
        #[doc = $doc]
        #[derive(Debug)]
        struct $name(String);

        impl Forms for $name {
            const WANTED: &'static str = $wanted;

            fn text(text: &str) -> Option<Result<Self, Failure>> {
                Some(Ok(Self(text.to_owned())))
            }
        }
        forms!($name, |_| json_schema!({"type": "string"}));
    };
}
text_of!(Figure, "A printed figure.", "a figure with its unit, such as \"11 1/2 tpi\"");
text_of!(Wheels, "Gears.", "gears in power-path order, such as \"40-55+50-65\"");
text_of!(Within, "An approximation.", "\"0.5%\" or \"2000ppm\"");

impl Row {
    fn row(self) -> Result<ChartRow, Failure> {
        let mut said = Said::default();
        said.figure(&self.thread.0).map_err(|e| e.at("thread"))?;
        if let Some(train) = &self.train {
            said.train(&train.0).map_err(|e| e.at("train"))?;
        }
        for (lever, Mark(position)) in self.levers.0 {
            said.levers.push((lever, position));
        }
        if let Some(Whole(starts)) = self.starts {
            said.starts(&starts.to_string()).map_err(|e| e.at("starts"))?;
        }
        said.rounded = self.rounded;
        if let Some(within) = &self.within {
            said.within(&within.0).map_err(|e| e.at("within"))?;
        }
        said.row()
    }
}

/// Where the lines of a text begin: places of many rows without counting from the top for each.
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let after = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { text, starts: std::iter::once(0).chain(after).collect() }
    }

    /// Line and column, from 1; columns count characters.
    pub(super) fn place(&self, offset: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        (line, self.text.get(start..offset).unwrap_or_default().chars().count() + 1)
    }
}

/// Reads a chart: JSON if it begins with a brace, else CSV. `levers`: names of the lathe's levers,
/// which columns may bear.
///
/// # Errors
/// With file, line and column.
pub(super) fn read(source: &Source, levers: &[String]) -> Result<OpenChart, Failure> {
    let mut chart = OpenChart {
        name: source.name.clone(),
        rows: Vec::new(),
        lines: Vec::new(),
        places: Vec::new(),
    };
    if source.text.trim_start().starts_with(['{', '[']) {
        let file: ChartFile = json::read(source)?;
        let lines = Lines::of(&source.text);
        let places = json::places_of_items(source, "rows");
        let mut wrong = Vec::new();
        for (i, row) in file.rows.into_iter().enumerate() {
            match row.0.row() {
                Ok(row) => chart.push(lines.place(places.get(i).copied().unwrap_or(0)), row)?,
                Err(error) => wrong.push(json::locate(source, error.at(format!("rows[{i}]")))),
            }
            if wrong.len() >= MOST {
                break;
            }
        }
        if let Some(wrong) = Failure::all(wrong) {
            return Err(wrong);
        }
    } else {
        table::read(source, levers, &mut chart)?;
    }
    if chart.rows.is_empty() {
        let wrong = Failure::wrong("the chart has no row", "at least one row below the header");
        return Err(wrong.placed(source.place(0)));
    }
    Ok(chart)
}
