//! A book of one lathe: one file, read on a phone at the machine and printed as a booklet.
//!
//! On a screen it is one column: index, sheets, chapters; a script of the page filters the index, keeps
//! the ticks and the screen on, and nothing needs it. On paper each sheet is one side, on A4, A5 and
//! Letter alike: every size is a part of the side's width, so that the numbers of the pages are known
//! here (`book/sides.rs`).

mod sides;

use super::{LOOKS, Section, block_of, head, inline, picture, plain, table, wall, words};
use crate::render::wall::Layout;
use crate::report::book::{Book, Entry, Index, Row, Sheet};
use crate::report::wall::Wall;
use crate::report::{Block, Report};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sides::{Item, Part, Side, Sides};

/// The style sheet, behind that of every page.
const BOOK: &str = include_str!("book.css");
/// Filters the index, keeps ticks and the screen on.
const SCRIPT: &str = include_str!("book.js");

/// The page.
pub(super) fn page(book: &Book) -> String {
    let sides = Sides::of(book);
    let pages = sides.of_rows();
    let tables: String = book.sheets.iter().map(|sheet| table::looks(&sheet.page)).collect();
    let looks = format!("{LOOKS}{BOOK}{tables}");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&plain(&book.lathe), &looks, None))
            body.book {
                main { @for (at, side) in sides.all.iter().enumerate() { (side_of(book, &sides, &pages, at, side)) } }
                (bar(book))
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

/// For one thumb.
fn bar(book: &Book) -> Markup {
    html! {
        nav aria-label="Parts" {
            a href="#index" { "Index" }
            button #awake type="button" hidden aria-pressed="false" { "Keep the screen on" }
            @for (at, chapter) in book.chapters.iter().enumerate() {
                a href=(format!("#c{at}")) { (chapter.heading) }
            }
        }
    }
}

/// One side of paper; on a screen a part of the page. `pages`: of each row.
fn side_of(book: &Book, sides: &Sides<'_>, pages: &[usize], at: usize, side: &Side<'_>) -> Markup {
    let folio = html! { p.folio { (plain(&book.lathe)) " " b { (at + 1) } } };
    match side {
        Side::Index(items) => html! {
            section.side.contents id=[(at == 0).then_some("index")] {
                (folio)
                @if at == 0 { (front(book)) }
                div.columns { (items_of(book, sides, pages, items)) }
            }
        },
        Side::Sheet { at, sheet, rows, letters } => sheet_of(&folio, *at, sheet, rows, *letters),
        Side::Rows { at, sheet, rows } => html! {
            section.side.more {
                (folio)
                p.head { (words(&sheet.title)) ", more threads" }
                div.columns { @for row in *rows { (row_of(*at, row)) } }
            }
        },
        Side::Blocks { chapter, blocks } => chapter_of(
            &folio,
            *chapter,
            &html! { div.columns { @for block in blocks { (block_in(block)) } } },
        ),
        Side::Wall { chapter, wall } => chapter_of(&folio, *chapter, &wall_of(&wall.0, &wall.1)),
    }
}

/// A side of a chapter; on a screen its heading is said once.
fn chapter_of(folio: &Markup, part: Part<'_>, held: &Markup) -> Markup {
    html! {
        section.side.chapter id=[part.first.then(|| format!("c{}", part.number))] {
            (folio)
            h2 class=[(!part.first).then_some("head")] { (part.heading) }
            (held)
        }
    }
}

/// Title, what is on the lathe, and the box that filters.
fn front(book: &Book) -> Markup {
    html! {
        h1 { (words(&book.lathe)) }
        @for block in &book.front { (block_in(block)) }
        form.find hidden {
            label for="find" { "Thread or feed, as you say it" }
            input #find type="search" placeholder="M10, 16 tpi, 0.1 mm" autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="go";
            p #none hidden { "Nothing in this book is called so." }
        }
    }
}

/// A block of no sheet: it has no drawing.
fn block_in(block: &Block) -> Markup {
    match block {
        Block::Heading(text) => html! { h3 { (words(text)) } },
        block => block_of(&Report::new(), block),
    }
}

/// Entries under their headings.
fn items_of(book: &Book, sides: &Sides<'_>, pages: &[usize], items: &[Item<'_>]) -> Markup {
    let lists = items.chunk_by(|_, next| matches!(next, Item::Entry(_)));
    html! {
        @for list in lists {
            @match list.first() {
                Some(Item::Index(Index { name, .. })) => h2 { (name) },
                Some(Item::Chapters) => (contents(book, sides)),
                Some(Item::Group { name, continued }) => {
                    div.group {
                        h3 class=[continued.then_some("head")] { (name) @if *continued { ", more" } }
                        ul.entries { @for item in list { @if let Item::Entry(entry) = item { (entry_of(pages, entry)) } } }
                    }
                }
                _ => {},
            }
        }
    }
}

/// What follows the sheets, for paper: a phone has the bar.
fn contents(book: &Book, sides: &Sides<'_>) -> Markup {
    html! {
        div.group.head {
            ul.entries { @for (at, chapter) in book.chapters.iter().enumerate() {
                li { a href=(format!("#c{at}")) { span { b { (chapter.heading) } } span {} span {} i { (sides.of_chapter(at)) } } }
            } }
        }
    }
}

fn entry_of(pages: &[usize], entry: &Entry) -> Markup {
    html! {
        li { a href=(format!("#t{}", entry.row)) {
            span { b { (plain(&entry.name)) } " " span.also { (plain(&entry.also)) } }
            span.train { (plain(&entry.train)) }
            span.error { (plain(&entry.error)) }
            i { @if let Some(page) = pages.get(entry.row) { (page) } }
        } }
    }
}

fn sheet_of(folio: &Markup, at: usize, sheet: &Sheet, rows: &[Row], letters: f64) -> Markup {
    let style = format!("--points:{letters}");
    html! {
        section.side.sheet id=(format!("s{at}")) data-key=(plain(&sheet.key)) style=(style) {
            (folio)
            h2 { span.which { "Set-up " (at + 1) } " " (words(&sheet.title)) }
            p.for { @for row in rows { a href=(format!("#t{}", row.number)) { (words(&row.name)) } " " } }
            div.columns {
                @for section in Section::all(&sheet.page) {
                    @if let Some(heading) = section.heading { h3 { (words(heading)) } }
                    @for block in section.blocks { (block_on(sheet, at == 0, block)) }
                }
                p.again hidden { button type="button" { "Clear the ticks" } }
                @for row in rows { (row_of(at, row)) }
            }
        }
    }
}

/// A block of a sheet; the first picture of the book brings the looks of all.
fn block_on(sheet: &Sheet, first: bool, block: &Block) -> Markup {
    let Block::Picture { drawings, .. } = block else { return block_of(&sheet.page, block) };
    let drawing = |number: &usize| Some((*number, sheet.page.drawings.get(*number)?));
    html! {
        figure { @for (number, drawing) in drawings.iter().filter_map(drawing) {
            (picture(drawing, first && number == 0))
        } }
    }
}

/// A thread with its figures.
fn row_of(sheet: usize, row: &Row) -> Markup {
    html! {
        article.row id=(format!("t{}", row.number)) {
            h3 { span { (words(&row.name)) } " " a href=(format!("#s{sheet}")) { "to the set-up" } }
            dl { @for (label, value) in &row.facts {
                div { dt { (plain(label)) } " " dd { (inline(value)) } " " }
            } }
        }
    }
}

/// The chart for the wall, in letters of a part of the side's width.
fn wall_of(wall: &Wall, layout: &Layout) -> Markup {
    html! {
        div.wall style=(format!("--letters:{:.4}", sides::wall_letters(layout))) {
            p.about {
                @if !wall.fitted.is_empty() { span { "fitted " strong { (plain(&wall.fitted)) } } }
                @if let Some(standing) = &wall.standing { strong { (plain(standing)) } }
                span.date { "Date: " (plain(wall.date.as_deref().unwrap_or("____________"))) }
            }
            @for group in &wall.groups { (wall::group_of(layout, group)) }
            footer { @for text in &wall.foot { p { (plain(text)) } } }
        }
    }
}
