//! The chart for the wall: one side of paper in letters as large as it allows, on a screen to be
//! filtered and sorted.
//!
//! How large its letters are and how wide its columns; `html/wall.rs` makes the page of that and
//! `svg/wall.rs` the picture. Nothing is told by colour alone: gears that were not there in the line
//! above are bold and boxed.

use crate::report::drawing::in_lines;
use crate::report::wall::{Column, Line, Piece, Wall};
use unicode_width::UnicodeWidthChar;

/// Width of an average letter over its height; where there is no Arial or the like letters are as wide
/// as this.
pub(super) const WIDE: f64 = 0.56;
/// Space between two columns, in letters' heights.
const GAP: f64 = 0.9;

impl Column {
    /// Height of its letters over that of the chart.
    pub(super) const fn letters(self) -> f64 {
        match self {
            Self::Lead | Self::Shaft => 1.1,
            Self::Lever => 1.0,
            Self::Names => 0.66,
            Self::Dial | Self::Swap | Self::Error => SMALL,
        }
    }

    /// Whether its words may take two lines, where a chart has lines so high.
    pub(super) const fn wraps(self) -> bool {
        matches!(self, Self::Names | Self::Dial | Self::Swap)
    }

    /// Its width over the height of the chart's letters, which is about `chart` mm, where it is the
    /// column at `at`.
    fn width(self, at: usize, wall: &Wall, two_lines: bool, chart: f64) -> f64 {
        let cell = |line: &Line| {
            if matches!(self, Self::Shaft | Self::Lever) {
                return figures(line.cells.get(at).map_or(&[], Vec::as_slice));
            }
            // Bold letters are wider.
            let long =
                |p: &Piece| length(&p.text) * if p.new || self == Self::Lead { 1.2 } else { 1.0 };
            let lengths = || line.cells.get(at).into_iter().flatten().map(long);
            let all: f64 = lengths().map(|long| long + 1.2).sum();
            if !self.wraps() || !(two_lines || self == Self::Names) {
                return all;
            }
            let longest = lengths().map(|long| long + 1.0).fold(0.0, f64::max);
            (all * 0.62).max(longest).max(all.min(SHORT))
        };
        let head = wall.groups.first().and_then(|group| group.heads.get(at));
        let head = head.map_or(0.0, |head| length(head)) * readable(HEAD, chart);
        let widest = wall
            .lines()
            .map(|line| cell(line) * readable(self.letters(), chart))
            .fold(head, f64::max);
        widest.mul_add(WIDE, GAP)
    }
}

/// Width of gears or of a lever's position, in average letters, where digits are widest: with the room
/// about each, and a `+` between two. What is new is bold and in a box.
fn figures(pieces: &[Piece]) -> f64 {
    let one = |piece: &Piece| {
        let (letter, about): (f64, f64) = if piece.new { (1.25, 1.0) } else { (1.14, 0.65) };
        letter.mul_add(length(&piece.text), about)
    };
    pieces.iter().map(|piece| one(piece) + 1.5).sum()
}

/// Height of the letters of long words over that of the chart.
const SMALL: f64 = 0.72;

/// So few letters stand in one line all the same.
const SHORT: f64 = 13.0;

/// Letters of a text; wide ones count twice.
pub(super) fn length(text: &str) -> f64 {
    let columns = |c: char| u8::try_from(c.width().unwrap_or(0)).unwrap_or(0);
    text.chars().map(|c| f64::from(columns(c))).sum()
}

/// Height of the letters of a head over that of the chart.
pub(super) const HEAD: f64 = 0.62;
/// Margins of the paper, in mm.
pub(super) const MARGIN: f64 = 8.0;
/// Letters, in mm: no larger, and none smaller (7 pt).
const LETTERS: (f64, f64) = (6.0, 2.47);

/// How full the paper is made at most: where there is no Arial or the like, letters are wider and more
/// lines are broken.
const FULL: f64 = 0.95;

/// How large the letters are, and how wide the columns.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    /// Each with its width over the height of the letters.
    pub(super) columns: Vec<(Column, f64)>,
    /// Height of the letters, in mm.
    pub(super) letters: f64,
    /// Whether words of long columns take two lines.
    pub(super) two_lines: bool,
    /// Whether one side of the paper holds it all.
    pub(super) one_side: bool,
}

impl Layout {
    /// The one with the larger letters: high lines, or low ones.
    pub(super) fn of(wall: &Wall) -> Self {
        let (low, high) = (Self::with(wall, false), Self::with(wall, true));
        if low.letters > high.letters || (low.one_side && low.letters >= high.letters) {
            low
        } else {
            high
        }
    }

    /// The smaller the letters, the more room the least ones take beside them: a few rounds settle it.
    fn with(wall: &Wall, two_lines: bool) -> Self {
        let first = Self::about(wall, two_lines, LETTERS.0);
        (0..8).fold(first, |layout, _| Self::about(wall, two_lines, layout.letters))
    }

    /// The same for letters that are taken to be so large; they become no larger.
    fn about(wall: &Wall, two_lines: bool, chart: f64) -> Self {
        let width = |at, column: &Column| column.width(at, wall, two_lines, chart);
        let column = |(at, column): (usize, &Column)| (*column, width(at, column));
        let columns: Vec<(Column, f64)> = wall.columns.iter().enumerate().map(column).collect();
        let wide: f64 = columns.iter().map(|column| column.1).sum();
        let across = 2.0_f64.mul_add(-MARGIN, wall.paper.wide) / wide;
        let room = 2.0_f64.mul_add(-MARGIN, wall.paper.high) * FULL - head_and_foot(wall);
        let lines: f64 = wall.lines().map(|line| lead(high(&columns, line, chart), chart)).sum();
        let groups: f64 = wall.groups.iter().map(|_| 1.0).sum();
        // A group has a heading and a line of heads.
        let down = room / groups.mul_add(2.6, lines);
        let letters = across.min(down).min(chart);
        let one_side = letters >= LETTERS.1;
        Self { columns, letters: letters.max(LETTERS.1), two_lines, one_side }
    }

    /// All columns together.
    pub(super) fn wide(&self) -> f64 {
        self.columns.iter().map(|column| column.1).sum()
    }
}

/// From line to line over the height of the letters, which is `chart` mm, where the cells of a line
/// take up to so many rows.
pub(super) fn lead(rows: usize, chart: f64) -> f64 {
    let rows: f64 = (0..rows).map(|_| 1.0).sum();
    1.45_f64.max(rows.mul_add(readable(SMALL, chart) * 1.05, 0.1))
}

/// The words of a cell in rows, where the column is so wide.
pub(super) fn rows<'p>(column: Column, width: f64, pieces: &'p [Piece], chart: f64) -> Vec<String> {
    let words = pieces.iter().map(|piece: &'p Piece| piece.text.as_str());
    let letters = (width - GAP * 0.6) / (readable(column.letters(), chart) * WIDE);
    in_lines(words, |text| length(text) <= letters)
}

/// How many rows a line takes.
pub(super) fn high(columns: &[(Column, f64)], line: &Line, chart: f64) -> usize {
    let cells = columns.iter().zip(&line.cells).filter(|((column, _), _)| column.wraps());
    let rows = cells.map(|((column, width), pieces)| rows(*column, *width, pieces, chart).len());
    rows.max().unwrap_or(1)
}

/// Height of small letters over that of the chart, which is `chart` mm: none is too small to be read.
pub(super) fn readable(small: f64, chart: f64) -> f64 {
    small.max(LETTERS.1 / chart)
}

/// What stands above and below the lines, in mm.
fn head_and_foot(wall: &Wall) -> f64 {
    let wide = 2.0_f64.mul_add(-MARGIN, wall.paper.wide) / (FOOT * 0.5);
    let rows = |text: &str| (length(text) / wide).ceil();
    let lines: f64 = wall.foot.iter().map(|text| rows(text)).sum();
    // The caution is larger and bold.
    let caution = rows(wall.caution) + 1.0;
    (lines + caution * 1.2).mul_add(FOOT * 1.3, TITLE + 4.0)
}

/// Height of the title with what stands beside it, in mm.
const TITLE: f64 = 18.0;
/// Height of the letters of notes, in mm.
pub(super) const FOOT: f64 = 2.9;
