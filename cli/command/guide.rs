//! `guide`: short pages on how to describe a lathe, read an answer, use a file.
//!
//! A page is a Markdown file of `cli/guide/`, shown as a report, so that each form of answer has it.

use crate::failure::Failure;
use crate::report::{Block, Report, Role, Text};
use crate::words::guide::{PAGES, Page};
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

/// Answers `guide`: one page, or the list of all.
///
/// # Errors
/// If there is no such page.
pub(super) fn run(page: Option<&str>) -> Result<Report, Failure> {
    let Some(name) = page else { return Ok(contents()) };
    let found = PAGES.iter().find(|page| page.name == name);
    let names = || PAGES.iter().map(|page| page.name.to_owned()).collect::<Vec<_>>();
    found.map(|page| shown(page.text)).ok_or_else(|| {
        Failure::new(format!("guide: there is no page `{}`", crate::failure::shortened(name)))
            .with_hint(crate::files::nearest(name, &names()))
    })
}

fn contents() -> Report {
    let mut report = Report::new();
    report.push(Block::Title("Guide".into()));
    let row = |page: &Page| (page.name.to_owned(), Text::from(page.title()));
    report.push(Block::Facts(PAGES.iter().map(row).collect()));
    let typed = Text::from("One page: ").and(Role::Typed, "trainwright guide banjo");
    report.note(typed);
    report
}

/// A page of Markdown as blocks: headings, paragraphs, lists, tables, code as it is.
fn shown(markdown: &str) -> Report {
    let mut page = Making::default();
    Parser::new_ext(markdown, Options::ENABLE_TABLES).for_each(|event| page.hear(event));
    page.report
}

/// A page while its Markdown is read.
#[derive(Default)]
struct Making {
    report: Report,
    text: Text,
    role: Role,
    list: Vec<Text>,
    row: Vec<Text>,
    /// Rows of a table: label and value.
    facts: Vec<(String, Text)>,
    code: Option<String>,
}

impl Making {
    fn hear(&mut self, event: Event<'_>) {
        match event {
            Event::Start(Tag::CodeBlock(_)) => self.code = Some(String::new()),
            Event::Start(Tag::Strong | Tag::Emphasis) => self.role = Role::Strong,
            Event::End(TagEnd::Strong | TagEnd::Emphasis) => self.role = Role::Plain,
            Event::End(end) => self.end(end),
            Event::Text(text) => match &mut self.code {
                Some(code) => code.push_str(&text),
                None => self.say(self.role, &text),
            },
            Event::Code(text) => self.say(Role::Typed, &text),
            Event::SoftBreak | Event::HardBreak => self.say(Role::Plain, " "),
            _ => (),
        }
    }

    fn say(&mut self, role: Role, text: &str) {
        self.text = std::mem::take(&mut self.text).and(role, text);
    }

    fn end(&mut self, end: TagEnd) {
        match end {
            TagEnd::Heading(level) => {
                let words = std::mem::take(&mut self.text).words();
                let heading = if level == HeadingLevel::H1 { Block::Title } else { Block::Heading };
                self.report.push(heading(words));
            }
            TagEnd::Paragraph => {
                let text = std::mem::take(&mut self.text);
                self.report.note(text);
            }
            TagEnd::CodeBlock => {
                if let Some(code) = self.code.take() {
                    self.report.push(Block::Letters(code.trim_end().into()));
                }
            }
            TagEnd::Item => self.list.push(std::mem::take(&mut self.text)),
            TagEnd::List(_) => {
                let list = std::mem::take(&mut self.list);
                self.report.push(Block::List(list));
            }
            TagEnd::TableCell => self.row.push(std::mem::take(&mut self.text)),
            // The headings say no more than the page does.
            TagEnd::TableHead => self.row.clear(),
            TagEnd::TableRow => {
                let mut row = std::mem::take(&mut self.row).into_iter();
                self.facts
                    .extend(row.next().zip(row.next()).map(|(key, value)| (key.words(), value)));
            }
            TagEnd::Table => {
                let facts = std::mem::take(&mut self.facts);
                self.report.push(Block::Facts(facts));
            }
            _ => (),
        }
    }
}
