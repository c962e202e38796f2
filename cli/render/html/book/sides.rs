//! What is on which side of paper, and so on which page.
//!
//! Heights are reckoned as for a job card ([`Density`]), in mm of A4; the style sheet makes parts of the
//! side's width of them, so that A5 holds the same in smaller letters.

use super::super::{Density, FULL, lines_in};
use crate::render::wall::{Layout, high, lead};
use crate::report::book::{Book, Entry, Holds, Index, Row, Sheet};
use crate::report::wall::{Group, Paper, Wall};
use crate::report::{Block, Report, Text};

/// Letters of a sheet in points of A4; A5 has seven tenths of them.
const LETTERS: (f64, f64) = (12.0, 9.0);
/// The least, for a sheet that says very much.
const LEAST: f64 = 7.0;
/// Density of everything but sheets.
const PLAIN: Density = Density { points: LETTERS.1 };
/// What title and number of a side take of both columns, in mm.
const HEAD: f64 = 40.0;
/// What both columns of a side hold, in mm: all sizes shrink with the lower of width and height, so that
/// every paper is as high as A4.
const ROOM: f64 = 2.0 * 285.0 * FULL;
/// What the box that nobody prints and the title take, in mm.
const TITLE: f64 = 20.0;
/// Letters of an entry beside its train.
const NAME: f64 = 24.0;
/// Lines that a heading of the index takes.
const HEADING: f64 = 2.5;

/// A heading or an entry of an index.
#[derive(Debug, Clone, Copy)]
pub(super) enum Item<'b> {
    Index(&'b Index),
    /// The chapters.
    Chapters,
    Group {
        name: &'static str,
        continued: bool,
    },
    Entry(&'b Entry),
}

/// One side.
#[derive(Debug)]
pub(super) enum Side<'b> {
    Index(Vec<Item<'b>>),
    /// A set-up with its first threads, in letters so high.
    Sheet {
        at: usize,
        sheet: &'b Sheet,
        rows: &'b [Row],
        letters: f64,
    },
    /// More of its threads.
    Rows {
        at: usize,
        sheet: &'b Sheet,
        rows: &'b [Row],
    },
    Blocks {
        chapter: Part<'b>,
        blocks: Vec<Block>,
    },
    Wall {
        chapter: Part<'b>,
        wall: Box<(Wall, Layout)>,
    },
}

/// A side of a chapter.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part<'b> {
    pub(super) number: usize,
    pub(super) heading: &'b str,
    /// Whether the chapter begins here.
    pub(super) first: bool,
}

/// All sides in their order.
#[derive(Debug)]
pub(super) struct Sides<'b> {
    pub(super) all: Vec<Side<'b>>,
}

impl<'b> Sides<'b> {
    pub(super) fn of(book: &'b Book) -> Self {
        let mut all: Vec<Side<'b>> = indexes(book).into_iter().map(Side::Index).collect();
        all.extend(book.sheets.iter().enumerate().flat_map(|(at, sheet)| sheet_sides(at, sheet)));
        for (number, chapter) in book.chapters.iter().enumerate() {
            let part = |i| Part { number, heading: chapter.heading, first: i == 0 };
            match &chapter.holds {
                Holds::Blocks(blocks) => all.extend(
                    parts(blocks)
                        .into_iter()
                        .enumerate()
                        .map(|(i, blocks)| Side::Blocks { chapter: part(i), blocks }),
                ),
                Holds::Wall(wall) => {
                    let (layout, walls) = walls(wall);
                    let side = |(i, wall)| Side::Wall {
                        chapter: part(i),
                        wall: Box::new((wall, layout.clone())),
                    };
                    all.extend(walls.into_iter().enumerate().map(side));
                }
            }
        }
        Self { all }
    }

    /// The page of each row, by its number.
    pub(super) fn of_rows(&self) -> Vec<usize> {
        let mut pages = Vec::new();
        for (at, side) in self.all.iter().enumerate() {
            if let Side::Sheet { rows, .. } | Side::Rows { rows, .. } = side {
                pages.extend(rows.iter().map(|row| (row.number, at + 1)));
            }
        }
        pages.sort_unstable();
        pages.into_iter().map(|(_, page)| page).collect()
    }

    /// The page on which a chapter begins, from 1.
    pub(super) fn of_chapter(&self, number: usize) -> usize {
        let is_it = |side: &Side<'_>| match side {
            Side::Blocks { chapter, .. } | Side::Wall { chapter, .. } => chapter.number == number,
            _ => false,
        };
        self.all.iter().position(is_it).map_or(0, |at| at + 1)
    }
}

/// Headings and entries, side by side.
fn indexes(book: &Book) -> Vec<Vec<Item<'_>>> {
    let line = PLAIN.line();
    let mut sides = vec![vec![Item::Chapters]];
    // As wide as both columns, so half as high, in both of them.
    let front: f64 = book.front.iter().map(|block| PLAIN.block(&Report::new(), block)).sum();
    let mut used = book.chapters.iter().fold(front + TITLE + HEAD, |used, _| used + line);
    for index in &book.indexes {
        let mut headings = vec![Item::Index(index)];
        for group in &index.groups {
            headings.push(Item::Group { name: group.name, continued: false });
            for entry in &group.entries {
                let both = format!("{} {}", entry.name, entry.also);
                let high = line.mul_add(lines_in(&both, NAME), 0.8);
                let above = |headings: &[Item<'_>]| -> f64 {
                    headings.iter().map(|_| HEADING * line).sum()
                };
                if used + above(&headings) + high > ROOM {
                    used = HEAD;
                    sides.push(Vec::new());
                    if headings.is_empty() {
                        headings.push(Item::Group { name: group.name, continued: true });
                    }
                }
                used += above(&headings) + high;
                if let Some(side) = sides.last_mut() {
                    side.append(&mut headings);
                    side.push(Item::Entry(entry));
                }
            }
        }
    }
    sides
}

/// A set-up on one side, with as many of its threads as there is room for; the others follow.
fn sheet_sides(at: usize, sheet: &Sheet) -> Vec<Side<'_>> {
    let blocks = |density: &Density| HEAD + density.height(&sheet.page);
    let all = |density: &Density| {
        let rows: f64 = sheet.rows.iter().map(|row| row_height(*density, row)).sum();
        blocks(density) + rows <= ROOM
    };
    if let Some(density) = Density::roomiest(LETTERS, all) {
        return vec![Side::Sheet { at, sheet, rows: &sheet.rows, letters: density.points }];
    }
    let density = Density::roomiest((LETTERS.1, LEAST), |density| blocks(density) <= ROOM);
    let density = density.unwrap_or(Density { points: LEAST });
    let (rows, mut rest) = filled(&sheet.rows, density, ROOM - blocks(&density), 0);
    let mut sides = vec![Side::Sheet { at, sheet, rows, letters: density.points }];
    while !rest.is_empty() {
        let (rows, more) = filled(rest, PLAIN, ROOM - HEAD, 1);
        sides.push(Side::Rows { at, sheet, rows });
        rest = more;
    }
    sides
}

/// Rows that the room holds, at least some, and the others.
fn filled(rows: &[Row], density: Density, room: f64, least: usize) -> (&[Row], &[Row]) {
    let mut used = 0.0;
    let fits = rows.iter().take_while(|row| {
        used += row_height(density, row);
        used <= room
    });
    let count = fits.count().max(least).min(rows.len());
    rows.split_at(count)
}

/// Name and figures run on.
fn row_height(density: Density, row: &Row) -> f64 {
    let facts = row.facts.iter().map(|(label, text)| format!("{label} {}; ", text.words()));
    let words: String = std::iter::once(format!("{} ", row.name)).chain(facts).collect();
    density.text(&Text::from(words), 4.0) + 2.0
}

/// Blocks in parts that each take a side; lists and facts are divided where they must be.
fn parts(blocks: &[Block]) -> Vec<Vec<Block>> {
    let page = Report::new();
    let mut parts: Vec<Vec<Block>> = vec![Vec::new()];
    let mut used = HEAD;
    for block in blocks.iter().flat_map(divided) {
        let high = PLAIN.block(&page, &block);
        if used + high > ROOM {
            used = HEAD;
            parts.push(Vec::new());
        }
        used += high;
        if let Some(part) = parts.last_mut() {
            match (part.last_mut(), block) {
                (Some(Block::List(all)), Block::List(more)) => all.extend(more),
                (Some(Block::Facts(all)), Block::Facts(more)) => all.extend(more),
                (_, block) => part.push(block),
            }
        }
    }
    parts
}

/// A block a line of a list.
fn divided(block: &Block) -> Vec<Block> {
    match block {
        Block::List(items) => items.iter().map(|item| Block::List(vec![item.clone()])).collect(),
        Block::Facts(facts) => facts.iter().map(|fact| Block::Facts(vec![fact.clone()])).collect(),
        block => vec![block.clone()],
    }
}

/// A5: a chart that can be read there can be read on A4.
const SMALL: Paper = Paper { name: "A5", wide: 148.0, high: 210.0 };
/// Width and height of what is printed on it, in mm.
const INSIDE: (f64, f64) = (136.0, 198.0);
/// Letters of a chart that is not wide, in mm.
const WALL: f64 = 3.0;
/// What stands above the lines of a chart, and the space between what is below them, in mm.
const WALL_HEAD: f64 = 16.0;

/// The chart in parts that each take a side, with the layout that they share.
fn walls(wall: &Wall) -> (Layout, Vec<Wall>) {
    let layout = Layout::of(&Wall { paper: SMALL, ..wall.clone() });
    let letters = wall_letters(&layout) * INSIDE.0 / 100.0;
    let foot = wall.foot.iter().fold(0.0, |high, text| 3.2_f64.mul_add(lines_in(text, 90.0), high));
    let room = (INSIDE.1 - WALL_HEAD) * FULL;
    let (mut walls, mut from, mut used) = (Vec::new(), 0, 0.0);
    let all = wall.lines().count();
    let mut at = 0;
    for group in &wall.groups {
        used += 2.6 * letters;
        for line in &group.lines {
            let high = lead(high(&layout.columns, line, letters), letters) * letters;
            let below = if at + 1 == all { foot } else { 0.0 };
            if used + high + below > room && at > from {
                walls.push(cut(wall, from, at));
                (from, used) = (at, 2.6 * letters);
            }
            used += high;
            at += 1;
        }
    }
    walls.push(cut(wall, from, all));
    (layout, walls)
}

/// Some lines of it; what is below the lines only with the last.
fn cut(wall: &Wall, from: usize, to: usize) -> Wall {
    let mut at = 0;
    let groups = wall.groups.iter().filter_map(|group| {
        let first = at;
        at += group.lines.len();
        let here = |i: &usize| (from..to).contains(&(first + i));
        let lines = group.lines.iter().enumerate().filter(|(i, _)| here(i));
        let lines: Vec<_> = lines.map(|(_, line)| line.clone()).collect();
        let heads = group.heads.clone();
        (!lines.is_empty()).then(|| Group { name: group.name.clone(), heads, lines })
    });
    let groups = groups.collect();
    let foot = if to < at { Vec::new() } else { wall.foot.clone() };
    Wall { groups, foot, ..wall.clone() }
}

/// Height of its letters in hundredths of the side's width.
pub(super) fn wall_letters(layout: &Layout) -> f64 {
    WALL.min(INSIDE.0 / layout.wide()) * 100.0 / INSIDE.0
}
