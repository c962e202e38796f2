//! HTML: one file for printing and for a phone; pictures inside, no network, no script.
//!
//! What stands under a heading is a section. On a screen the sections are one column with large
//! letters, and a bar at the lower edge jumps between them. A report that is one side of paper is
//! printed as such, on A4 or Letter alike (198 x 267 mm within the margins): in two columns, in
//! letters that are the smaller the more it says ([`Density`]). Nothing is told by colour alone.

mod book;
mod table;
mod wall;

use super::{Renderer, svg};
use crate::failure::is_unseen;
use crate::report::drawing::Drawing;
use crate::report::{Answer, Block, Cell, Report, Role, Span, Text};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Html;

/// Scripts of pages, by their names, for who serves them beside the pages.
pub(crate) const SCRIPTS: [(&str, &str); 1] = [wall::SCRIPT];

/// The style sheet.
const LOOKS: &str = include_str!("html/looks.css");

impl Renderer for Html {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        let page = Frame::default().page(report);
        out.write_all(page.as_bytes()).map(|()| report.answer)
    }
}

/// What stands round a page that is served; a page in a file has nothing of it, and its scripts in
/// itself.
#[derive(Debug, Clone, Default)]
pub(crate) struct Frame {
    /// Before all else.
    pub(crate) before: Markup,
    /// What the page is called where its report does not say it.
    pub(crate) title: &'static str,
    /// After all else.
    pub(crate) after: Markup,
    /// More looks.
    pub(crate) looks: &'static str,
    /// Where the scripts are, by their names; none: in the page.
    pub(crate) scripts: Option<String>,
    /// A script of every page.
    pub(crate) script: Option<&'static str>,
    /// The icon of every page, where the scripts are.
    pub(crate) icon: Option<&'static str>,
}

impl Frame {
    /// The page of a report: its book, or its chart for the wall, where it has one. A book has no frame.
    pub(crate) fn page(&self, report: &Report) -> String {
        if let Some(book) = &report.book {
            return book::page(book);
        }
        let page = match &report.wall {
            Some(chart) => wall::page(chart, self),
            None => page(report, self),
        };
        page.into_string()
    }

    /// A page of other content.
    pub(crate) fn page_of(&self, title: &str, content: &Markup) -> String {
        let main = html! { main { (content) } };
        self.whole(title, LOOKS, ("pages", None), &main).into_string()
    }

    fn whole(
        &self,
        title: &str,
        looks: &str,
        (class, style): (&str, Option<String>),
        content: &Markup,
    ) -> Markup {
        html! {
            (DOCTYPE)
            html lang="en" {
                (head(title, &format!("{looks}{}", self.looks), self.icon_link()))
                body class=(class) style=[style] {
                    (self.before)
                    (content)
                    (self.after)
                    @if let Some((name, place)) = self.script.zip(self.scripts.as_ref()) {
                        script src=(format!("{place}{name}")) {}
                    }
                }
            }
        }
    }

    /// A page in a file has no icon.
    fn icon_link(&self) -> Option<Markup> {
        let place =
            self.icon.zip(self.scripts.as_ref()).map(|(name, place)| format!("{place}{name}"));
        place.map(|place| html! { link rel="icon" type="image/svg+xml" href=(place); })
    }

    /// A script, by its name and its text.
    fn scripted(&self, name: &str, text: &str) -> Markup {
        html! {
            @if let Some(place) = &self.scripts { script src=(format!("{place}{name}")) {} }
            @else { script { (PreEscaped(text)) } }
        }
    }
}

/// A heading with what stands under it; what stands before the first heading has none.
struct Section<'r> {
    heading: Option<&'r str>,
    blocks: Vec<&'r Block>,
}

impl<'r> Section<'r> {
    fn all(report: &'r Report) -> Vec<Self> {
        let mut sections = vec![Self { heading: None, blocks: Vec::new() }];
        for block in &report.blocks {
            match block {
                Block::Heading(text) => {
                    sections.push(Self { heading: Some(text), blocks: Vec::new() });
                }
                block => {
                    if let Some(section) = sections.last_mut() {
                        section.blocks.push(block);
                    }
                }
            }
        }
        // On a phone nobody looks for it.
        for section in sections.iter_mut().filter(|section| section.heading.is_some()) {
            section.blocks.sort_by_key(|block| !matches!(block, Block::Picture { .. }));
        }
        sections.retain(|section| section.heading.is_some() || !section.blocks.is_empty());
        sections
    }
}

/// What comes before the body of every page.
fn head(title: &str, looks: &str, icon: Option<Markup>) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light";
            title { (title) }
            @if let Some(icon) = icon { (icon) }
            style { (PreEscaped(looks)) }
        }
    }
}

fn page(report: &Report, frame: &Frame) -> Markup {
    let sections = Section::all(report);
    let has_title = report.blocks.iter().any(|block| matches!(block, Block::Title(_)));
    let title = report.blocks.iter().find_map(|block| match block {
        Block::Heading(_) if !frame.title.is_empty() => None,
        Block::Title(text) | Block::Heading(text) => Some(plain(text)),
        _ => None,
    });
    let looks = format!("{LOOKS}{}", table::looks(report));
    let density = report.one_side.then(|| Density::of(report));
    let class = if report.one_side { "one-side" } else { "pages" };
    let content = html! {
        main {
            @if !has_title && !frame.title.is_empty() { h1 { (frame.title) } }
            @for (i, section) in sections.iter().enumerate() {
                (section_of(report, i, section, density))
            }
            @if !has_places(report) && !report.drawings.is_empty() {
                (pictures(report, &(0..report.drawings.len()).collect::<Vec<_>>()))
            }
        }
        @if report.one_side { (bar(&sections)) }
    };
    let title = title.unwrap_or_else(|| frame.title.to_owned());
    let title = if title.is_empty() { "trainwright".to_owned() } else { title };
    frame.whole(&title, &looks, (class, density.map(Density::style)), &content)
}

fn section_of(
    report: &Report,
    index: usize,
    section: &Section<'_>,
    density: Option<Density>,
) -> Markup {
    let blocks = html! { @for block in &section.blocks { (block_of(report, block)) } };
    let Some(heading) = section.heading else { return html! { header { (blocks) } } };
    let whole = density.is_some_and(|density| density.section(report, section) <= SHORT);
    let class = whole.then_some("short");
    html! { section id=(format!("s{index}")) class=[class] { h2 { (words(heading)) } (blocks) } }
}

/// Whether some block says where the drawings stand.
fn has_places(report: &Report) -> bool {
    report.blocks.iter().any(|block| matches!(block, Block::Picture { .. }))
}

/// The drawing that stands first: it brings the looks of all.
fn first_placed(report: &Report) -> usize {
    let placed = report.blocks.iter().find_map(|block| match block {
        Block::Picture { drawings, .. } => drawings.first(),
        _ => None,
    });
    placed.copied().unwrap_or(0)
}

/// For one thumb: a link a section.
fn bar(sections: &[Section<'_>]) -> Markup {
    html! {
        nav aria-label="Sections" {
            @for (i, section) in sections.iter().enumerate() {
                @if let Some(heading) = section.heading {
                    a href=(format!("#s{i}")) { (plain(heading)) }
                }
            }
        }
    }
}

fn block_of(report: &Report, block: &Block) -> Markup {
    match block {
        Block::Title(text) => html! { h1 { (words(text)) } },
        Block::Heading(text) => html! { h2 { (words(text)) } },
        Block::Note(text) => html! { p { (inline(text)) } },
        Block::List(items) => html! { ul { @for item in items { li { (inline(item)) } } } },
        Block::Steps(steps) => html! {
            ol.steps {
                @for step in steps {
                    li { label { input type="checkbox"; span { (inline(step)) } } }
                }
            }
        },
        Block::Picture { drawings, .. } => pictures(report, drawings),
        Block::Facts(facts) => html! {
            dl { @for (label, value) in facts {
                div { dt { (plain(label)) } dd { (inline(value)) } }
            } }
        },
        Block::Table(table) => table::table_of(table),
        Block::Letters(text) | Block::Verbatim(text) => {
            html! { pre style=[narrow(text)] { (lines(text)) } }
        }
    }
}

/// Lines so long are made small enough for a phone rather than broken: there they have 9 px at least.
const NARROW: usize = 60;

fn narrow(text: &str) -> Option<String> {
    let columns = text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    (columns <= NARROW).then(|| format!("--columns:{}", columns.max(1)))
}

fn pictures(report: &Report, numbers: &[usize]) -> Markup {
    let drawing = |number: &usize| {
        Some(picture(report.drawings.get(*number)?, first_placed(report) == *number))
    };
    let pictures: Vec<Markup> = numbers.iter().filter_map(drawing).collect();
    html! { @if !pictures.is_empty() { figure { @for picture in pictures { (picture) } } } }
}

/// One drawing; the first of a page brings the looks of all.
fn picture(drawing: &Drawing, with_looks: bool) -> Markup {
    let width = format!("--wide:{:.3}", (drawing.size.0 / WIDEST).min(1.0));
    html! {
        @for line in &drawing.above { p { strong.warning { (line) } } }
        div.picture style=(width) { (PreEscaped(svg::inline(drawing, with_looks))) }
        @if !drawing.below.is_empty() {
            p.below { @for line in &drawing.below { (line) " " } }
        }
    }
}

fn cell_of(cell: &Cell) -> Markup {
    match cell {
        Cell::Empty => html! {},
        Cell::Text(text) => inline(text),
        Cell::Whole(count) => html! { (count) },
        Cell::Number(number) => html! { (number.marked()) },
    }
}

fn inline(text: &Text) -> Markup {
    html! {
        @for span in text.spans() {
            @match span.role {
                Role::Plain => { (words(&span.text)) }
                Role::Strong => { strong { (words(&span.text)) } }
                Role::Good => { span.good { (words(&span.text)) } }
                Role::Warning => { strong.warning { (words(&span.text)) } }
                Role::Tick => { label.tick { input type="checkbox"; span { (plain(&span.text)) } } }
                Role::Faint => { span.faint { (words(&span.text)) } }
                Role::Typed => { code { (plain(&span.text)) } }
            }
        }
    }
}

/// Text whose lines don't end inside a train, an option, or between a number and its unit.
fn words(text: &str) -> Markup {
    let text = plain(text);
    let words: Vec<&str> = text.split(' ').collect();
    html! {
        @for (i, word) in words.iter().enumerate() {
            @if i > 0 { (if is_measure(words[i - 1], word) { '\u{a0}' } else { ' ' }) }
            @if is_whole(word) { span.whole { (word) } } @else { (word) }
        }
    }
}

/// Whether a word is a unit of the number before it.
fn is_measure(number: &str, unit: &str) -> bool {
    let unit = unit.trim_end_matches(|c: char| c.is_ascii_punctuation() && c != '%');
    number.ends_with(|c: char| c.is_ascii_digit()) && UNITS.contains(&unit)
}

const UNITS: [&str; 9] = ["mm", "in", "µm", "TPI", "DP", "ppm", "%", "rpm", "s"];

/// Whether a word has a hyphen that is no place for a line to end: `45-55+50-65`, `--wire`.
fn is_whole(word: &str) -> bool {
    let hyphens = || word.match_indices('-').map(|(at, _)| &word[at + 1..]);
    word.starts_with("--")
        || word.starts_with("(--")
        || hyphens().any(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Control characters, line breaks among them, become spaces.
pub(super) fn plain(text: &str) -> String {
    text.chars().map(|c| if is_unseen(c) { ' ' } else { c }).collect()
}

/// The same, but lines stay lines.
fn lines(text: &str) -> String {
    text.chars().map(|c| if is_unseen(c) && c != '\n' { ' ' } else { c }).collect()
}

/// Letters and pictures with which one side of paper holds the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Density {
    /// Height of the letters in points.
    points: f64,
}

/// Millimetres of a point.
const POINT: f64 = 25.4 / 72.0;

/// Letters from the roomiest to the tightest, in points, and the step between two densities.
const LETTERS: (f64, f64) = (9.5, 7.0);
const STEP: f64 = 0.125;

/// Width of the widest drawing, in its own mm: all are drawn on one scale of letters.
const WIDEST: f64 = 180.0;

/// What both A4 and Letter hold: two columns within margins of 6 mm.
const COLUMN: (f64, f64) = (97.0, 267.0);

/// Width of an average letter over its height: of Arial, and of what stands in for it.
const WIDE: f64 = 0.46;

/// How full the columns are made at most: what is not broken leaves gaps, and where there is no
/// Arial or the like, letters are wider (`DejaVu Sans` takes 8 % more than is reckoned here).
const FULL: f64 = 0.87;

/// What both columns hold, in mm.
const ROOM: f64 = 2.0 * COLUMN.1 * FULL;

/// A section so short, in mm, is not broken between the columns: one that is longer could leave a
/// gap that makes a second sheet.
const SHORT: f64 = 25.0;

impl Density {
    /// The roomiest that holds it, else the tightest.
    fn of(report: &Report) -> Self {
        // Text alone has no picture whose place makes up for wide letters.
        let room = if report.drawings.is_empty() { ROOM * 0.92 } else { ROOM };
        Self::roomiest(LETTERS, |density| density.height(report) <= room)
            .unwrap_or(Self { points: LETTERS.1 })
    }

    /// The roomiest, from one height of letters down to another, that something holds for.
    fn roomiest((from, to): (f64, f64), holds: impl Fn(&Self) -> bool) -> Option<Self> {
        let smaller = |density: &Self| {
            let points = density.points - STEP;
            (points >= to).then_some(Self { points })
        };
        std::iter::successors(Some(Self { points: from }), smaller).find(holds)
    }

    /// What the style sheet asks for.
    fn style(self) -> String {
        let (points, lead, picture) = (self.points, self.lead(), self.picture());
        format!("--letters:{points}pt;--lead:{lead:.3};--picture:{picture:.3}")
    }

    /// Height of the letters in mm.
    fn letters(self) -> f64 {
        self.points * POINT
    }

    /// From line to line over the height of the letters: the smaller these, the closer.
    fn lead(self) -> f64 {
        (self.points - LETTERS.1).mul_add(0.04, 1.1)
    }

    /// From line to line in mm.
    fn line(self) -> f64 {
        self.letters() * self.lead()
    }

    /// How large pictures are: 1 if the widest is as wide as the column.
    fn picture(self) -> f64 {
        (self.points - LETTERS.1).mul_add(0.1, 0.95).min(1.0)
    }

    /// How long one column with all of it would be, in mm.
    fn height(self, report: &Report) -> f64 {
        report.blocks.iter().map(|block| self.block(report, block)).sum()
    }

    /// How long a section would be.
    fn section(self, report: &Report, section: &Section<'_>) -> f64 {
        let blocks = section.blocks.iter().map(|block| self.block(report, block));
        self.heading() + blocks.sum::<f64>()
    }

    fn heading(self) -> f64 {
        self.line().mul_add(1.2, 3.2)
    }

    fn block(self, report: &Report, block: &Block) -> f64 {
        match block {
            Block::Title(text) => 8.0 * lines_in(text, COLUMN.0 / 2.5),
            Block::Heading(_) => self.heading(),
            Block::Note(text) => self.text(text, 0.0) + 0.9,
            Block::List(items) => items.iter().map(|item| self.text(item, 5.0)).sum::<f64>() + 0.9,
            Block::Steps(items) => items.iter().map(|item| self.text(item, 4.0) + 0.4).sum(),
            Block::Facts(facts) => {
                let label = 5.0_f64.mul_add(self.letters(), 1.0);
                facts.iter().map(|(_, text)| self.text(text, label)).sum::<f64>() + 0.9
            }
            Block::Table(table) => {
                table.rows.iter().map(|row| self.row(row)).sum::<f64>() + self.line() + 1.5
            }
            Block::Letters(text) | Block::Verbatim(text) => {
                self.line() * text.lines().map(|_| 1.0).sum::<f64>()
            }
            Block::Picture { drawings, .. } => self.pictures(report, drawings),
        }
    }

    /// Lines of a text beside something so wide.
    fn text(self, text: &Text, beside: f64) -> f64 {
        // A reading that is ticked off has a box before it.
        let reckoned = |span: &Span| match span.role {
            Role::Tick => format!("[]{}", span.text),
            _ => span.text.clone(),
        };
        let words: String = text.spans().iter().map(reckoned).collect();
        self.line() * lines_in(&words, (COLUMN.0 - beside) / (self.letters() * WIDE))
    }

    fn row(self, row: &[Cell]) -> f64 {
        let letters: usize = row
            .iter()
            .map(|cell| match cell {
                Cell::Text(text) => text.words().chars().count() + 2,
                _ => 8,
            })
            .sum();
        let letters = "x".repeat(letters);
        self.line().mul_add(lines_in(&letters, COLUMN.0 / (self.letters() * WIDE)), 0.4)
    }

    fn pictures(self, report: &Report, numbers: &[usize]) -> f64 {
        let drawings = numbers.iter().filter_map(|number| report.drawings.get(*number));
        let heights = drawings.map(|drawing| drawing.size.1);
        heights.map(|height| height * COLUMN.0 / WIDEST * self.picture() + 1.5).sum()
    }
}

/// Lines of a text with so many letters in a line.
fn lines_in(text: &str, letters: f64) -> f64 {
    let words = text.split_whitespace().map(|word| word.chars().map(|_| 1.0).sum::<f64>());
    let mut lines = 1.0;
    let mut used = 0.0;
    for word in words {
        if used > 0.0 && used + 1.0 + word > letters {
            lines += 1.0;
            used = word;
        } else {
            used += word + if used > 0.0 { 1.0 } else { 0.0 };
        }
    }
    lines
}
