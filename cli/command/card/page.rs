//! The card as it fills up: sections in the order of the work, counted.

use crate::report::{Block, Cell, Column, Report, Role, Table, Text};

/// Labels and values.
pub(super) type Facts = Vec<(&'static str, Text)>;

/// The blocks of a card.
#[derive(Debug, Default)]
pub(super) struct Page {
    pub(super) report: Report,
    /// Blocks that are shown in short, by their place, as spreadsheets get them.
    pub(super) whole: Vec<(usize, Block)>,
    sections: usize,
}

impl Page {
    /// Begins the next section of the work.
    pub(super) fn section(&mut self, heading: &str) {
        self.sections += 1;
        self.report.heading(format!("{} {heading}", self.sections));
    }

    /// Whether a section was begun.
    pub(super) const fn has_sections(&self) -> bool {
        self.sections > 0
    }

    /// Things to do, in this order.
    pub(super) fn steps<T: Into<Text>>(&mut self, steps: impl IntoIterator<Item = T>) {
        let steps: Vec<Text> = steps.into_iter().map(Into::into).collect();
        if !steps.is_empty() {
            self.report.push(Block::Steps(steps));
        }
    }

    pub(super) fn note(&mut self, text: impl Into<Text>) {
        self.report.note(text);
    }

    pub(super) fn warning(&mut self, text: impl Into<String>) {
        self.report.note(Text::new(Role::Warning, text));
    }

    /// Label and value, one below the other.
    pub(super) fn facts(&mut self, facts: Facts) {
        let facts: Vec<_> =
            facts.into_iter().map(|(label, text)| (label.to_string(), text)).collect();
        if !facts.is_empty() {
            self.report.push(Block::Facts(facts));
        }
    }

    /// The same, where the page has no room for all of it.
    pub(super) fn facts_in_short(&mut self, short: Facts, whole: Facts) {
        let whole = whole.into_iter().map(|(label, text)| (label.to_string(), text)).collect();
        self.whole.push((self.report.blocks.len(), Block::Facts(whole)));
        self.facts(short);
    }

    pub(super) fn table(&mut self, table: Table) {
        self.report.table(table);
    }

    pub(super) fn push(&mut self, block: Block) {
        self.report.push(block);
    }
}

/// A figure that is set or measured.
pub(super) fn strong(text: impl Into<String>) -> Text {
    Text::new(Role::Strong, text)
}

/// The same words, as a sentence begins.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect()
}

/// For spreadsheets, with `whole` in place of what is shown in short: one row a step, a fact, a note or a row of a table, under its section.
pub(super) fn records(blocks: &[Block], whole: &[(usize, Block)]) -> Table {
    let columns = ["section", "item", "value"].map(|key| Column::new(key, key, ""));
    let mut records = Table::new(columns.into());
    let mut section = String::new();
    for (place, block) in blocks.iter().enumerate() {
        let block = whole.iter().find(|(of, _)| *of == place).map_or(block, |(_, whole)| whole);
        if let Block::Title(text) | Block::Heading(text) = block {
            section.clone_from(text);
        }
        for (item, value) in items(block) {
            records.push(vec![section.clone().into(), item.into(), value.into()]);
        }
    }
    records
}

fn items(block: &Block) -> Vec<(String, String)> {
    let named = |name: &str, texts: &[Text]| {
        texts.iter().map(|text| (name.to_string(), text.words())).collect()
    };
    match block {
        Block::Note(text) => named("note", std::slice::from_ref(text)),
        Block::List(texts) => named("point", texts),
        Block::Steps(texts) => named("step", texts),
        Block::Facts(facts) => {
            facts.iter().map(|(label, text)| (label.clone(), text.words())).collect()
        }
        Block::Table(table) => table.rows.iter().map(|row| row_of(table, row)).collect(),
        _ => Vec::new(),
    }
}

/// What a row says: each cell behind its heading, with its unit.
fn row_of(table: &Table, row: &[Cell]) -> (String, String) {
    let cells = table.columns.iter().zip(row).map(|(column, cell)| (column, cell.words()));
    let said: Vec<String> = cells
        .filter(|(_, words)| !words.is_empty())
        .map(|(column, words)| {
            let parts = [&*column.name, &words, column.unit];
            parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
        })
        .collect();
    ("row".to_string(), said.join("; "))
}
