//! Markdown (`CommonMark` with pipe tables): for notes, forums and repositories.

use super::Renderer;
use crate::failure::is_unseen;
use crate::report::{Answer, Block, Cell, Report, Role, Table, Text};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Markdown;

impl Renderer for Markdown {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        for (i, block) in report.blocks.iter().filter(|block| !block.is_silent()).enumerate() {
            if i > 0 {
                writeln!(out)?;
            }
            write_block(block, out)?;
        }
        Ok(report.answer)
    }
}

fn write_block(block: &Block, out: &mut dyn Write) -> io::Result<()> {
    match block {
        Block::Title(text) => writeln!(out, "# {}", escaped(text)),
        Block::Heading(text) => writeln!(out, "## {}", escaped(text)),
        Block::Note(text) => writeln!(out, "{}", inline(text)),
        Block::List(items) => items.iter().try_for_each(|item| writeln!(out, "- {}", inline(item))),
        Block::Steps(steps) => {
            steps.iter().try_for_each(|step| writeln!(out, "- [ ] {}", inline(step)))
        }
        Block::Facts(facts) => facts.iter().try_for_each(|(label, value)| {
            writeln!(out, "- {}: {}", escaped(label), inline(value))
        }),
        Block::Table(table) => write_table(table, out),
        Block::Picture { in_letters: text, .. } | Block::Letters(text) | Block::Verbatim(text) => {
            write!(out, "```\n{text}```\n")
        }
    }
}

fn write_table(table: &Table, out: &mut dyn Write) -> io::Result<()> {
    let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    writeln!(out, "{}", row(table.columns.iter().map(|c| escaped(&c.heading())).collect()))?;
    let ruler = (0..table.columns.len())
        .map(|i| if table.is_numeric(i) { "---:" } else { "---" }.to_string());
    writeln!(out, "{}", row(ruler.collect()))?;
    table
        .rows
        .iter()
        .try_for_each(|cells| writeln!(out, "{}", row(cells.iter().map(cell).collect())))
}

fn cell(cell: &Cell) -> String {
    match cell {
        Cell::Empty => String::new(),
        Cell::Text(text) => inline(text),
        Cell::Whole(count) => count.to_string(),
        Cell::Number(number) => number.marked(),
    }
}

fn inline(text: &Text) -> String {
    let span = |role, words: &str| match role {
        Role::Strong | Role::Warning if !words.trim().is_empty() => {
            format!("**{}**", escaped(words))
        }
        Role::Typed => format!("`{}`", one_line(words).replace('`', "'").replace('|', "\\|")),
        _ => escaped(words),
    };
    text.spans().iter().map(|s| span(s.role, &s.text)).collect()
}

/// Control characters, line breaks among them, become spaces: a cell is one line.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if is_unseen(c) { ' ' } else { c }).collect()
}

/// A backslash before every mark that Markdown or HTML would take for its own.
fn escaped(text: &str) -> String {
    one_line(text).chars().fold(String::new(), |mut done, c| {
        if matches!(c, '\\' | '|' | '*' | '_' | '<' | '>' | '[' | ']' | '`' | '#' | '&') {
            done.push('\\');
        }
        done.push(c);
        done
    })
}
