//! Text for reading: 80 columns, aligned on the decimal point, clear without any colour.
//!
//! On a terminal, prose is wrapped to its width and a table that is wider than it is written row
//! by row, label beside value. In a pipe or a file prose is wrapped to 80 columns and a table is
//! never wrapped: nothing depends on the terminal then.

use super::Renderer;
use crate::failure::is_unseen;
use crate::report::{Answer, Block, Cell, Report, Role, Span, Table, Text};
use anstyle::{AnsiColor, Style};
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// Columns that text is made for.
pub(super) const USUAL_WIDTH: usize = 80;
/// Narrowest width that prose is wrapped to.
const LEAST_WIDTH: usize = 20;

#[derive(Debug)]
pub(super) struct Terminal {
    prose: usize,
    table: Option<usize>,
}

impl Terminal {
    /// For a terminal so wide; `None`: for a pipe or a file.
    pub(super) fn new(width: Option<usize>) -> Self {
        let prose = width.unwrap_or(USUAL_WIDTH).clamp(LEAST_WIDTH, USUAL_WIDTH);
        Self { prose, table: width }
    }
}

impl Renderer for Terminal {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        let mut after_heading = true;
        for block in report.blocks.iter().filter(|block| !block.is_silent()) {
            // One empty line between blocks, none below a heading.
            if !after_heading {
                writeln!(out)?;
            }
            self.write_block(block, out)?;
            after_heading = matches!(block, Block::Title(_) | Block::Heading(_));
        }
        Ok(report.answer)
    }
}

impl Terminal {
    fn write_block(&self, block: &Block, out: &mut dyn Write) -> io::Result<()> {
        match block {
            Block::Title(text) => {
                self.write_prose(&Text::new(Role::Strong, text.as_str()), "", "", out)?;
                writeln!(out, "{}", "=".repeat(text.width().min(self.prose)))
            }
            Block::Heading(text) => {
                self.write_prose(&Text::new(Role::Strong, text.as_str()), "", "", out)
            }
            Block::Note(text) => self.write_prose(text, "", "", out),
            Block::List(items) => {
                items.iter().try_for_each(|item| self.write_prose(item, "  - ", "    ", out))
            }
            Block::Steps(steps) => {
                steps.iter().try_for_each(|step| self.write_prose(step, "  [ ] ", "      ", out))
            }
            Block::Facts(facts) => self.write_facts(facts, out),
            Block::Table(table) => self.write_table(table, out),
            Block::Picture { in_letters: text, .. } | Block::Letters(text) => {
                self.write_letters(text, out)
            }
            Block::Verbatim(text) => out.write_all(text.as_bytes()),
        }
    }

    /// A picture in letters. Where it is too wide, what is said at the end of a line goes below it.
    fn write_letters(&self, text: &str, out: &mut dyn Write) -> io::Result<()> {
        text.lines().try_for_each(|line| {
            let wide = self.table.is_some_and(|width| line.width() > width);
            match line.rfind(REMARK).filter(|_| wide) {
                Some(at) => {
                    let (drawn, said) = line.split_at(at);
                    writeln!(out, "{}", drawn.trim_end())?;
                    self.write_prose(&said.trim().into(), BELOW, BELOW, out)
                }
                None => writeln!(out, "{line}"),
            }
        })
    }

    fn write_facts(&self, facts: &[(String, Text)], out: &mut dyn Write) -> io::Result<()> {
        let width = facts.iter().map(|(label, _)| label.width()).max().unwrap_or(0);
        let rest = " ".repeat(width + 4);
        // A column of labels that takes half a narrow line is no column.
        let is_column = rest.width() * 2 <= self.prose;
        facts.iter().try_for_each(|(label, value)| {
            let label = clean(label);
            let first = if is_column {
                format!("  {}  ", padded(&label, width))
            } else {
                format!("  {label}: ")
            };
            self.write_prose(value, &first, &rest, out)
        })
    }

    /// Words in lines; `first` stands before the first line, `rest` before the others.
    fn write_prose(
        &self,
        text: &Text,
        first: &str,
        rest: &str,
        out: &mut dyn Write,
    ) -> io::Result<()> {
        let rest = if rest.width() * 2 > self.prose { "    " } else { rest };
        let mut indent = first;
        let mut line = Line::default();
        let words = words(text);
        for (at, (role, word, gap)) in words.iter().enumerate() {
            let (role, gap) = (*role, *gap);
            let space = usize::from(gap && !line.0.is_empty());
            // What follows without a space, such as a colon in another role, stays with its word.
            let glued = words.iter().skip(at + 1).take_while(|(_, _, gap)| !gap);
            let whole = word.width() + glued.map(|(_, word, _)| word.width()).sum::<usize>();
            if space > 0 && indent.width() + line.width() + space + whole > self.prose {
                line.write(indent, out)?;
                (indent, line) = (rest, Line::default());
                line.push(role, word, false);
            } else {
                line.push(role, word, space > 0);
            }
        }
        line.write(indent, out)
    }

    /// The second line of a row: labels with their values.
    fn write_below(&self, below: &[(String, Piece)], out: &mut dyn Write) -> io::Result<()> {
        let said = below.iter().filter(|(_, piece)| !piece.is_empty());
        let parts: Vec<String> =
            said.map(|(label, piece)| format!("{label} {}", piece.text())).collect();
        if parts.is_empty() {
            return Ok(());
        }
        self.write_prose(&parts.join(", ").into(), BELOW, BELOW, out)
    }

    /// On one line a row where that fits; else with the columns that may go there on a second
    /// line; else, on a narrow terminal, label beside value.
    fn write_table(&self, table: &Table, out: &mut dyn Write) -> io::Result<()> {
        let grid = Grid::of(table, false);
        if grid.width() <= self.table.unwrap_or(USUAL_WIDTH) {
            return grid.write(self, out);
        }
        let split = Grid::of(table, true);
        if self.table.is_none_or(|width| split.width() <= width) {
            return split.write(self, out);
        }
        grid.write_stacked(self, out)
    }
}

/// Words of one line; neighbours in one role make one piece.
#[derive(Debug, Default)]
struct Line(Vec<(Role, String)>);

impl Line {
    fn push(&mut self, role: Role, word: &str, gap: bool) {
        let space = if gap { " " } else { "" };
        match self.0.last_mut() {
            Some((last, text)) if *last == role => text.extend([space, word]),
            Some((_, text)) => {
                *text += space;
                self.0.push((role, word.to_string()));
            }
            None => self.0.push((role, word.to_string())),
        }
    }

    fn width(&self) -> usize {
        self.0.iter().map(|(_, text)| text.width()).sum()
    }

    fn write(&self, indent: &str, out: &mut dyn Write) -> io::Result<()> {
        write!(out, "{indent}")?;
        self.0.iter().try_for_each(|(role, text)| write_styled(*role, text, out))?;
        writeln!(out)
    }
}

/// The words of a text with their roles, and whether a space stood before each.
fn words(text: &Text) -> Vec<(Role, String, bool)> {
    let mut found = Vec::new();
    let mut gap = false;
    for Span { role, text } in text.spans() {
        let text = clean(text);
        let mut pieces = text.split(' ').peekable();
        while let Some(piece) = pieces.next() {
            if !piece.is_empty() {
                found.push((*role, piece.to_string(), gap));
                gap = false;
            }
            gap |= pieces.peek().is_some();
        }
    }
    found
}

/// Names come from files: a control character must not reach the terminal.
fn clean(text: &str) -> String {
    text.chars().map(|c| if is_unseen(c) { '\u{fffd}' } else { c }).collect()
}

fn padded(text: &str, width: usize) -> String {
    format!("{text}{:1$}", "", width.saturating_sub(text.width()))
}

fn style(role: Role) -> Style {
    match role {
        Role::Plain | Role::Tick => Style::new(),
        Role::Strong => Style::new().bold(),
        Role::Good => Style::new().fg_color(Some(AnsiColor::Green.into())).bold(),
        Role::Warning => Style::new().fg_color(Some(AnsiColor::Yellow.into())).bold(),
        Role::Faint => Style::new().dimmed(),
        Role::Typed => Style::new().fg_color(Some(AnsiColor::Cyan.into())),
    }
}

fn write_styled(role: Role, text: &str, out: &mut dyn Write) -> io::Result<()> {
    let style = style(role);
    write!(out, "{style}{text}{style:#}")
}

/// A cell, ready to be aligned: the figures before the decimal point, then the rest.
#[derive(Debug)]
struct Piece {
    role: Role,
    left: String,
    right: String,
}

impl Piece {
    fn of(cell: &Cell, numeric: bool) -> Self {
        let (role, text) = match cell {
            Cell::Empty => (Role::Plain, String::new()),
            Cell::Text(text) => (
                text.spans().first().map(|span| span.role).unwrap_or_default(),
                clean(&text.words()),
            ),
            Cell::Whole(count) => (Role::Plain, count.to_string()),
            Cell::Number(number) => (Role::Plain, number.marked()),
        };
        let point = if numeric { text.find('.').unwrap_or(text.len()) } else { text.len() };
        let (left, right) = text.split_at(point);
        Self { role, left: left.to_string(), right: right.to_string() }
    }

    fn is_empty(&self) -> bool {
        self.left.is_empty() && self.right.is_empty()
    }

    fn text(&self) -> String {
        format!("{}{}", self.left, self.right)
    }
}

/// A table cut into pieces, with the widths of its columns.
#[derive(Debug)]
struct Grid {
    headings: Vec<String>,
    numeric: Vec<bool>,
    rows: Vec<Vec<Piece>>,
    /// What stands on the second line of each row: label and value.
    below: Vec<Vec<(String, Piece)>>,
    /// Widths of the left and right pieces.
    widths: Vec<(usize, usize)>,
}

/// Widths of the pieces before and after the decimal point, column by column.
fn widths(headings: &[String], rows: &[Vec<Piece>]) -> Vec<(usize, usize)> {
    let widest = |i: usize, part: fn(&Piece) -> &String| {
        rows.iter().filter_map(|row| row.get(i)).map(|p| part(p).width()).max().unwrap_or(0)
    };
    let width = |(i, heading): (usize, &String)| {
        let (left, right) = (widest(i, |p| &p.left), widest(i, |p| &p.right));
        (left.max(heading.width().saturating_sub(right)), right)
    };
    headings.iter().enumerate().map(width).collect()
}

/// What stands before a remark in a picture in letters.
const REMARK: &str = "   ";
/// What stands before the second line of a row.
const BELOW: &str = "       ";
/// Columns between two columns.
const GAP: usize = 2;

impl Grid {
    /// The whole table, or (`split`) with the columns that may go there on a second line.
    fn of(table: &Table, split: bool) -> Self {
        let on_first = |i: &usize| !(split && table.columns.get(*i).is_some_and(|c| c.second));
        let (first, second): (Vec<usize>, Vec<usize>) =
            (0..table.columns.len()).partition(on_first);
        // Once a column: asked again for every cell it would cost rows times rows.
        let numeric: Vec<bool> = (0..table.columns.len()).map(|i| table.is_numeric(i)).collect();
        let piece = |row: &[Cell], i: usize| {
            row.get(i).zip(numeric.get(i)).map(|(cell, numeric)| Piece::of(cell, *numeric))
        };
        let heading = |i: usize| table.columns.get(i).map(|c| clean(&c.heading()));
        let rows: Vec<Vec<Piece>> = table
            .rows
            .iter()
            .map(|row| first.iter().filter_map(|&i| piece(row, i)).collect())
            .collect();
        let labelled = |row: &Vec<Cell>| {
            second.iter().filter_map(|&i| Some((heading(i)?, piece(row, i)?))).collect()
        };
        let headings: Vec<String> = first.iter().filter_map(|&i| heading(i)).collect();
        Self {
            widths: widths(&headings, &rows),
            numeric: first.iter().filter_map(|&i| numeric.get(i).copied()).collect(),
            below: table.rows.iter().map(labelled).collect(),
            headings,
            rows,
        }
    }

    /// Columns needed, the indent included.
    fn width(&self) -> usize {
        self.widths.iter().map(|(left, right)| left + right + GAP).sum()
    }

    fn write(&self, terminal: &Terminal, out: &mut dyn Write) -> io::Result<()> {
        let heads = self.headings.iter().zip(&self.numeric).zip(&self.widths);
        let heads = heads.map(|((heading, numeric), (left, right))| {
            let width = left + right;
            let text = padded(heading, width);
            if *numeric { format!("{heading:>width$}") } else { text }
        });
        let line = heads.fold(String::new(), |line, head| line + "  " + &head);
        write_styled(Role::Faint, line.trim_end(), out)?;
        writeln!(out)?;
        self.rows.iter().zip(&self.below).try_for_each(|(row, below)| {
            self.write_row(row, out)?;
            terminal.write_below(below, out)
        })
    }

    fn write_row(&self, row: &[Piece], out: &mut dyn Write) -> io::Result<()> {
        // Spaces are held back until something follows: no line ends in one.
        let mut held = 0;
        for ((piece, numeric), (left, right)) in row.iter().zip(&self.numeric).zip(&self.widths) {
            held += GAP;
            let slack = left.saturating_sub(piece.left.width());
            let after = right.saturating_sub(piece.right.width());
            let (before, after) = if *numeric { (slack, after) } else { (0, slack + after) };
            held += before;
            if piece.is_empty() {
                held += piece.left.width();
            } else {
                write!(out, "{:held$}", "")?;
                write_styled(piece.role, &piece.text(), out)?;
                held = 0;
            }
            held += after;
        }
        writeln!(out)
    }

    /// Row by row, label beside value: for a terminal that is too narrow.
    fn write_stacked(&self, terminal: &Terminal, out: &mut dyn Write) -> io::Result<()> {
        let width = self.headings.iter().map(|h| h.width()).max().unwrap_or(0);
        for (i, row) in self.rows.iter().enumerate() {
            if i > 0 {
                writeln!(out)?;
            }
            for (heading, piece) in self.headings.iter().zip(row) {
                if !piece.is_empty() {
                    let label = format!("  {}  ", padded(heading, width));
                    let rest = " ".repeat(width + 4);
                    let value = Text::new(piece.role, piece.text());
                    terminal.write_prose(&value, &label, &rest, out)?;
                }
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Column;
    use crate::report::number::Number;
    use num_rational::BigRational;

    fn measure(n: i64, d: i64) -> Cell {
        Number::measure(BigRational::new(n.into(), d.into())).into()
    }

    fn report() -> Report {
        let mut table = Table::new(vec![
            Column::new("train", "train", ""),
            Column::new("lead_mm", "lead", "mm"),
            Column::new("others", "others", "").second(),
        ]);
        let train = |text: &str| Text::new(Role::Strong, text).into();
        table.push(vec![train("40-55+50-65"), measure(1143, 1144), "12".into()]);
        table.push(vec![train("20-80"), measure(25, 2), Cell::Empty]);
        let mut report = Report::new();
        report.heading("Closest first");
        report.note(
            "Words that are long enough to be wrapped more than once in forty columns, \
                     and the last of them.",
        );
        report.table(table);
        report.push(Block::Facts(vec![("mount".to_string(), "a wheel on a shaft".into())]));
        report
    }

    /// What is written, colours and all, and the same without.
    fn written(report: &Report, width: Option<usize>) -> (String, String) {
        let mut bytes = Vec::new();
        Terminal::new(width).render(report, &mut bytes).unwrap();
        let text = String::from_utf8(bytes).unwrap();
        let plain = anstream::adapter::strip_str(&text).to_string();
        (text, plain)
    }

    #[test]
    fn figures_stand_on_their_decimal_points() {
        let (_, plain) = written(&report(), None);
        let found: Vec<&str> = plain.lines().filter(|l| l.starts_with("  ")).take(3).collect();
        assert_eq!(found[1].find('.'), found[2].find('.'), "{plain}");
        assert!(found[0].starts_with("  train") && found[0].ends_with("others"), "{plain}");
    }

    #[test]
    fn a_terminal_of_any_width_is_kept() {
        for width in 22..=90 {
            let (_, plain) = written(&report(), Some(width));
            for line in plain.lines() {
                assert!(line.width() <= width, "{width} columns: {line}");
            }
        }
    }

    #[test]
    fn a_table_gives_up_its_last_columns_before_its_rows() {
        let columns = |width| written(&report(), Some(width)).1;
        assert!(columns(40).contains("  40-55+50-65  ~0.999126  12"), "{}", columns(40));
        assert!(columns(28).contains("~0.999126\n       others 12\n"), "{}", columns(28));
        assert!(columns(20).contains("  train    40-55+50-65\n"), "{}", columns(20));
    }

    #[test]
    fn no_line_ends_in_a_space_and_no_meaning_hangs_on_colour() {
        let (text, plain) = written(&report(), None);
        assert!(text.contains('\u{1b}') && !plain.contains('\u{1b}'));
        assert!(plain.lines().all(|line| !line.ends_with(' ')), "{plain}");
    }

    #[test]
    fn spans_keep_their_spaces_and_only_those() {
        let mut report = Report::new();
        report.note(Text::from("lead ").and(Role::Strong, "1.25 mm").and(Role::Plain, ", right"));
        assert_eq!(written(&report, None).1, "lead 1.25 mm, right\n");
    }
}
