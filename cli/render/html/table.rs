//! A table: where it is wider than its place, a list of blocks, one a row, each figure beside its
//! label.
//!
//! How wide it is is reckoned here, in widths of its letters, as a style sheet can't ask it; the place
//! is measured by the browser (CSS Containment 3: container queries), on every screen and on paper.

use super::{cell_of, is_measure, plain};
use crate::report::{Block, Cell, Report, Role, Table, Text};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// Width of an average letter over its height, plain and bold: of figures in `DejaVu Sans`, which are
/// as wide as any.
const WIDE: (f64, f64) = (0.636, 0.696);
/// Space beside a cell, in heights of its letters.
const GAP: f64 = 0.75;
/// More in front of a warning.
const MARKED: f64 = 0.75;
/// A column of words is made no narrower than so many letters, if there are.
const COMFORT: f64 = 12.0;
/// A label and its figure, of so many letters together, have a line of their own in a block.
const LONG: usize = 14;

/// What turns a table of a class into blocks in a place less wide.
const BLOCKS: &str = "@container (max-width:WIDEem){
.wWIDE thead{display:none}
.wWIDE,.wWIDE tbody{display:block}
.wWIDE tr{display:grid;grid-template-columns:repeat(auto-fill,minmax(8.6em,1fr));gap:.1em .6em;padding:.45em 0;border-top:1px solid #333}
.wWIDE td{display:flex;flex-wrap:wrap;gap:.1em .5em;align-items:baseline;min-width:0;border:0;padding:0;text-align:left;overflow-wrap:anywhere}
.wWIDE td:empty{display:none}
.wWIDE td:not([data-head=''])::before{content:attr(data-head);color:#444}
.wWIDE .long{grid-column:1/-1}
}
";

/// The table.
pub(super) fn table_of(table: &Table) -> Markup {
    let heads: Vec<String> = table.columns.iter().map(|column| plain(&column.heading())).collect();
    let number = |i: usize| table.is_numeric(i).then_some("number");
    html! {
        div.table { table class=(format!("w{}", wide(table))) {
            thead { tr { @for (i, head) in heads.iter().enumerate() {
                th scope="col" class=[number(i)] { (head) }
            } } }
            tbody { @for row in &table.rows { tr {
                @for (i, (cell, head)) in row.iter().zip(&heads).enumerate() {
                    td class=[class(table.is_numeric(i), head, cell)] data-head=(head) { (cell_of(cell)) }
                }
            } } }
        } }
    }
}

fn class(number: bool, head: &str, cell: &Cell) -> Option<&'static str> {
    let long = head.chars().count() + cell.words().chars().count() > LONG;
    match (number, long) {
        (true, true) => Some("number long"),
        (true, false) => Some("number"),
        (false, true) => Some("long"),
        (false, false) => None,
    }
}

/// The style sheet of all tables of a report.
pub(super) fn looks(report: &Report) -> String {
    let tables = report.blocks.iter().filter_map(|block| match block {
        Block::Table(table) => Some(wide(table)),
        _ => None,
    });
    let all: BTreeSet<u32> = tables.collect();
    all.into_iter().map(|wide| BLOCKS.replace("WIDE", &wide.to_string())).collect()
}

/// The width that a table asks for, in heights of its letters.
fn wide(table: &Table) -> u32 {
    let column = |i: usize| {
        let head = table.columns.get(i).map(|column| in_column(&column.heading().into()));
        let cells = table.rows.iter().filter_map(|row| row.get(i)).map(|cell| match cell {
            Cell::Text(text) => in_column(text),
            cell => in_column(&cell.words().into()),
        });
        GAP + cells.chain(head).fold(0.0, f64::max)
    };
    let all: f64 = (0..table.columns.len()).map(column).sum();
    // Of a table a few dozen letters wide.
    (0..1000).find(|wide| f64::from(*wide) >= all).unwrap_or(1000)
}

/// How wide a text makes its column: its longest word, or a few words side by side.
fn in_column(text: &Text) -> f64 {
    let (mut longest, mut all, mut marked) = (0.0_f64, 0.0, 0.0);
    for span in text.spans() {
        let letter = if span.role == Role::Plain { WIDE.0 } else { WIDE.1 };
        let mut width = 0.0;
        let mut before = "";
        for word in span.text.split(' ') {
            let letters: f64 = word.chars().map(|_| letter).sum();
            width = if is_measure(before, word) { width + letter + letters } else { letters };
            longest = longest.max(width);
            all += letters + letter;
            before = word;
        }
        if span.role == Role::Warning {
            marked = MARKED;
        }
    }
    longest.max(all.min(COMFORT * WIDE.0)) + marked
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Column;

    #[test]
    fn a_table_is_as_wide_as_its_longest_words() {
        let of = |head: &'static str, cell: &str| {
            let mut table = Table::new(vec![Column::named(head, "")]);
            table.push(vec![cell.into()]);
            wide(&table)
        };
        assert_eq!(of("a", "b"), 3);
        assert_eq!(of("a", "0123456789012345678"), 13);
        // Words may stand one below the other, but not a figure and its unit.
        assert_eq!(of("a", "many words that are short"), 9);
        assert!(of("a", "1234567890 mm") > of("a", "1234567890 nn"));
    }
}
