//! The chart for the wall: one side of paper in letters as large as it allows, on a screen to be
//! filtered and sorted.
//!
//! Columns and their widths are told here; `wall/page.rs` makes the page of them and `wall/picture.rs`
//! the picture. Nothing is told by colour alone: gears that were not there in the line above are bold
//! and boxed, idlers stand in brackets.

mod page;
mod picture;

pub(super) use page::page;
pub(super) use picture::picture;

use crate::report::wall::{Group, Line, Wall};
use unicode_width::UnicodeWidthChar;

/// A column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Lead,
    Names,
    Shaft(usize),
    Lever(usize),
    Dial,
    Error,
    Swap,
}

/// A piece of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Piece {
    text: String,
    /// Not so in the line above.
    new: bool,
}

/// Width of an average letter over its height; where there is no Arial or the like letters are as wide
/// as this.
const WIDE: f64 = 0.52;
/// Space between two columns, in letters' heights.
const GAP: f64 = 0.9;

impl Column {
    /// The columns that some line needs.
    fn all(wall: &Wall) -> Vec<Self> {
        let mut columns = vec![Self::Lead];
        columns.extend(wall.has(|line| &line.names).then_some(Self::Names));
        columns.extend((0..wall.shafts.len()).map(Self::Shaft));
        columns.extend((0..wall.levers.len()).map(Self::Lever));
        columns.extend(wall.has(|line| &line.dial).then_some(Self::Dial));
        columns.extend(wall.has(|line| &line.error).then_some(Self::Error));
        columns.extend(wall.has(|line| &line.swap).then_some(Self::Swap));
        columns
    }

    fn head<'w>(self, wall: &'w Wall, group: &Group) -> &'w str {
        match self {
            Self::Lead if group.feeds => "feed",
            Self::Lead => "thread",
            Self::Names => "for",
            Self::Shaft(at) => wall.shafts.get(at).map_or("", String::as_str),
            Self::Lever(at) => wall.levers.get(at).map_or("", String::as_str),
            Self::Dial => "dial",
            Self::Error => "error",
            Self::Swap => wall.swap,
        }
    }

    fn pieces(self, line: &Line) -> Vec<Piece> {
        let plain = |text: &str| vec![Piece { text: text.to_owned(), new: false }];
        match self {
            Self::Lead => plain(&line.lead),
            // Neither a name nor a set of lines of the thread dial is broken.
            Self::Names => whole(&line.names, ", "),
            Self::Dial => whole(&line.dial, " or "),
            Self::Shaft(at) => {
                let wheels = line.shafts.get(at).map(Vec::as_slice).unwrap_or_default();
                let piece = |wheel: &crate::report::wall::Wheel| Piece {
                    text: if wheel.idler {
                        format!("({})", wheel.teeth)
                    } else {
                        wheel.teeth.to_string()
                    },
                    new: wheel.new,
                };
                let mut pieces: Vec<Piece> = wheels.iter().map(piece).collect();
                if line.unsure && at + 1 == line.shafts.len() {
                    pieces.push(Piece { text: "?".to_owned(), new: false });
                }
                pieces
            }
            Self::Lever(at) => line
                .levers
                .get(at)
                .filter(|lever| !lever.position.is_empty())
                .map(|lever| vec![Piece { text: lever.position.clone(), new: lever.new }])
                .unwrap_or_default(),
            Self::Error => plain(&line.error),
            Self::Swap => whole(&line.swap, " "),
        }
    }

    /// What the column is called in a style sheet.
    const fn class(self) -> &'static str {
        match self {
            Self::Lead => "lead",
            Self::Names => "names",
            Self::Shaft(_) => "shaft",
            Self::Lever(_) => "lever",
            Self::Dial => "dial",
            Self::Error => "error",
            Self::Swap => "swap",
        }
    }

    /// Height of its letters over that of the chart.
    const fn letters(self) -> f64 {
        match self {
            Self::Lead | Self::Shaft(_) => 1.1,
            Self::Lever(_) => 1.0,
            Self::Names => 0.66,
            Self::Dial | Self::Swap | Self::Error => 0.72,
        }
    }

    /// Whether its words may take two lines, where a chart has lines so high.
    const fn wraps(self) -> bool {
        matches!(self, Self::Names | Self::Dial | Self::Swap)
    }

    /// Its width over the height of the chart's letters.
    fn width(self, wall: &Wall, two_lines: bool) -> f64 {
        let cell = |line: &Line| {
            let pieces = self.pieces(line);
            let all: f64 = pieces.iter().map(|piece| length(&piece.text) + 1.2).sum();
            if !self.wraps() || !(two_lines || self == Self::Names) {
                return all;
            }
            let longest = pieces.iter().map(|piece| length(&piece.text) + 1.0).fold(0.0, f64::max);
            (all * 0.62).max(longest).max(all.min(SHORT))
        };
        let head = wall.groups.first().map_or("", |group| self.head(wall, group));
        let head = length(head) * HEAD;
        let widest = wall.lines().map(|line| cell(line) * self.letters()).fold(head, f64::max);
        widest.mul_add(WIDE, GAP)
    }
}

/// The parts of a text, each with the sign behind it, to be kept whole.
fn whole(text: &str, sign: &str) -> Vec<Piece> {
    let part = |part: &str| Piece { text: part.trim_end().to_owned(), new: false };
    text.split_inclusive(sign).map(part).filter(|piece| !piece.text.is_empty()).collect()
}

/// So few letters stand in one line all the same.
const SHORT: f64 = 13.0;

/// Letters of a text; wide ones count twice.
fn length(text: &str) -> f64 {
    let columns = |c: char| u8::try_from(c.width().unwrap_or(0)).unwrap_or(0);
    text.chars().map(|c| f64::from(columns(c))).sum()
}

/// Height of the letters of a head over that of the chart.
const HEAD: f64 = 0.62;
/// Margins of the paper, in mm.
const MARGIN: f64 = 8.0;
/// Letters, in mm: no larger, and no smaller on one side.
const LETTERS: (f64, f64) = (6.0, 2.3);

/// How full the paper is made at most: where there is no Arial or the like, letters are wider and more
/// lines are broken.
const FULL: f64 = 0.95;

/// How large the letters are, and how wide the columns.
#[derive(Debug)]
struct Layout {
    /// Each with its width over the height of the letters.
    columns: Vec<(Column, f64)>,
    /// Height of the letters, in mm.
    letters: f64,
    /// Whether words of long columns take two lines.
    two_lines: bool,
    /// Whether one side of the paper holds it all.
    one_side: bool,
}

impl Layout {
    /// The one with the larger letters: high lines, or low ones.
    fn of(wall: &Wall) -> Self {
        let (low, high) = (Self::with(wall, false), Self::with(wall, true));
        if high.letters > low.letters { high } else { low }
    }

    fn with(wall: &Wall, two_lines: bool) -> Self {
        let columns: Vec<(Column, f64)> = Column::all(wall)
            .into_iter()
            .map(|column| (column, column.width(wall, two_lines)))
            .collect();
        let wide: f64 = columns.iter().map(|column| column.1).sum();
        let across = 2.0_f64.mul_add(-MARGIN, wall.paper.wide) / wide;
        let room = 2.0_f64.mul_add(-MARGIN, wall.paper.high) * FULL - head_and_foot(wall);
        let lines: f64 = wall.lines().map(|_| 1.0).sum();
        let groups: f64 = wall.groups.iter().map(|_| 1.0).sum();
        // A group has a heading and a line of heads.
        let down = room / groups.mul_add(2.6, lines * lead(two_lines));
        let letters = across.min(down).min(LETTERS.0);
        let one_side = letters >= LETTERS.1;
        Self { columns, letters: letters.max(LETTERS.1), two_lines, one_side }
    }

    /// All columns together.
    fn wide(&self) -> f64 {
        self.columns.iter().map(|column| column.1).sum()
    }
}

/// From line to line over the height of the letters.
const fn lead(two_lines: bool) -> f64 {
    if two_lines { 1.6 } else { 1.45 }
}

/// What stands above and below the lines, in mm.
fn head_and_foot(wall: &Wall) -> f64 {
    let wide = 2.0_f64.mul_add(-MARGIN, wall.paper.wide) / (FOOT * 0.5);
    let rows = |text: &str| (length(text) / wide).ceil();
    let lines: f64 = foot(wall).iter().map(|text| rows(text)).sum();
    lines.mul_add(FOOT * 1.3, TITLE + 4.0)
}

/// Height of the title with what stands beside it, in mm.
const TITLE: f64 = 18.0;
/// Height of the letters of notes, in mm.
const FOOT: f64 = 2.9;

/// What stands below the lines, a paragraph each.
fn foot(wall: &Wall) -> Vec<String> {
    let missed = (!wall.missed.is_empty())
        .then(|| format!("Not with these gears: {}.", wall.missed.join(", ")));
    let notes = wall.notes.join(" ");
    let signs = format!("In a box: what is changed {}.", wall.swap);
    let box_needed = wall.lines().flat_map(|l| &l.shafts).flatten().any(|wheel| !wheel.new);
    let notes = if box_needed { format!("{signs} {notes}") } else { notes };
    let back = wall.back.clone();
    back.into_iter().chain(missed).chain([notes, wall.cautions.join(" ")]).collect()
}
