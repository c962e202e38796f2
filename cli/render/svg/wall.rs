//! The chart as a picture: SVG 1.1, one user unit is 1 mm of paper.

use super::{Escaped, Mm};
use crate::render::wall::{FOOT, HEAD, Layout, MARGIN, WIDE, high, lead, length, readable, rows};
use crate::report::drawing::wrapped;
use crate::report::wall::{Column, Group, Line, Piece, Wall};
use std::fmt::{self, Write};

/// The picture; as high as its lines ask for, where the paper does not hold them.
pub(super) fn picture(wall: &Wall) -> Result<String, fmt::Error> {
    let layout = Layout::of(wall);
    let mut body = String::new();
    let mut pen = Pen { out: &mut body, wall, layout: &layout, size: layout.letters, down: MARGIN };
    pen.head()?;
    for group in &wall.groups {
        pen.group(group)?;
    }
    pen.foot()?;
    let high = (pen.down + MARGIN).max(wall.paper.high);
    let (w, h) = (Mm(wall.paper.wide), Mm(high));
    let mut out = String::new();
    writeln!(out, r#"<?xml version="1.0" encoding="UTF-8"?>"#)?;
    writeln!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" version="1.1" role="img" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">"#
    )?;
    writeln!(out, "<title>Gear chart of {}</title>", Escaped(&wall.lathe))?;
    writeln!(
        out,
        "<style>text{{font-family:Arial,Helvetica,'DejaVu Sans',sans-serif;fill:#111}}.b{{font-weight:bold}}</style>"
    )?;
    writeln!(out, r##"<rect width="{w}" height="{h}" fill="#fff"/>"##)?;
    out.push_str(&body);
    writeln!(out, "</svg>")?;
    Ok(out)
}

struct Pen<'a> {
    out: &'a mut String,
    wall: &'a Wall,
    layout: &'a Layout,
    /// Height of the letters.
    size: f64,
    /// How far the sheet is filled.
    down: f64,
}

impl Pen<'_> {
    /// One line of text; its foot stands at `down`.
    fn text(&mut self, right: f64, size: f64, bold: bool, text: &str) -> fmt::Result {
        let class = if bold { r#" class="b""# } else { "" };
        writeln!(
            self.out,
            r#"<text x="{}" y="{}" font-size="{}"{class}>{}</text>"#,
            Mm(right),
            Mm(self.down),
            Mm(size),
            Escaped(text)
        )
    }

    fn rule(&mut self, thick: f64) -> fmt::Result {
        writeln!(
            self.out,
            r##"<path d="M{} {}H{}" stroke="#111" stroke-width="{}"/>"##,
            Mm(MARGIN),
            Mm(self.down),
            Mm(self.wall.paper.wide - MARGIN),
            Mm(thick)
        )
    }

    fn head(&mut self) -> fmt::Result {
        self.down += 6.0;
        self.text(MARGIN, 6.0, true, &self.wall.lathe)?;
        let wide = 2.0_f64.mul_add(-MARGIN, self.wall.paper.wide);
        for line in wrapped(self.wall.caution, |text| in_bold(text) * 3.4 <= wide) {
            self.down += 4.4;
            self.text(MARGIN, 3.2, true, &line)?;
        }
        self.down += 5.0;
        let mut about = vec!["Gears for threads and feeds".to_owned()];
        if !self.wall.fitted.is_empty() {
            about.push(format!("begins with {}", self.wall.fitted));
        }
        let date = self.wall.date.as_deref().unwrap_or("____________");
        let about = format!("{}. Date: {date}", about.join("; "));
        self.text(MARGIN, 3.2, false, &about)?;
        if let Some(standing) = &self.wall.standing {
            self.down += 4.4;
            self.text(MARGIN, 3.2, true, standing)?;
        }
        self.down += 2.0;
        Ok(())
    }

    fn group(&mut self, group: &Group) -> fmt::Result {
        self.down += self.size * 1.3;
        self.text(MARGIN, self.size * 1.05, true, &group.name)?;
        self.down += self.size * 0.3;
        self.rule(0.4)?;
        self.down += self.size * 0.75;
        let mut right = MARGIN;
        for ((_, width), head) in self.layout.columns.iter().zip(&group.heads) {
            self.text(right, self.size * readable(HEAD, self.size), false, head)?;
            right += width * self.size;
        }
        self.down += self.size * 0.15;
        group.lines.iter().enumerate().try_for_each(|(at, line)| self.line(at, line))
    }

    fn line(&mut self, at: usize, line: &Line) -> fmt::Result {
        let rows = high(&self.layout.columns, line, self.size);
        let high = self.size * lead(rows, self.size);
        if at % 2 == 1 {
            writeln!(
                self.out,
                r##"<rect x="{}" y="{}" width="{}" height="{}" fill="#efefef"/>"##,
                Mm(MARGIN),
                Mm(self.down),
                Mm(2.0_f64.mul_add(-MARGIN, self.wall.paper.wide)),
                Mm(high)
            )?;
        }
        self.down += high / 2.0 + self.size * 0.36;
        let mut right = MARGIN;
        for ((column, width), pieces) in self.layout.columns.iter().zip(&line.cells) {
            self.cell(*column, right, *width, pieces)?;
            right += width * self.size;
        }
        self.down += high / 2.0 - self.size * 0.36;
        self.rule(0.1)
    }

    /// `wide`: the column's width over the height of the letters.
    fn cell(&mut self, column: Column, right: f64, wide: f64, pieces: &[Piece]) -> fmt::Result {
        let size = self.size * readable(column.letters(), self.size);
        if column.wraps() {
            return self.rows(right, size, &rows(column, wide, pieces, self.size));
        }
        let mut right = right;
        for (i, piece) in pieces.iter().enumerate() {
            if i > 0 && piece.text != "?" {
                self.text(right, size, false, "+")?;
                right += size * 0.75;
            }
            self.piece(right, size, column == Column::Lead, piece)?;
            let wide = if piece.new { in_bold(&piece.text) } else { length(&piece.text) * WIDE };
            right += wide.mul_add(size, size * 0.2);
        }
        Ok(())
    }

    /// In a box where it was not so in the line above.
    fn piece(&mut self, right: f64, size: f64, bold: bool, piece: &Piece) -> fmt::Result {
        if piece.new {
            let wide = in_bold(&piece.text) * size;
            writeln!(
                self.out,
                r##"<rect x="{}" y="{}" width="{}" height="{}" fill="none" stroke="#111" stroke-width=".25"/>"##,
                Mm(size.mul_add(-0.1, right)),
                Mm(size.mul_add(-0.85, self.down)),
                Mm(size.mul_add(0.2, wide)),
                Mm(size * 1.08)
            )?;
        }
        self.text(right, size, bold || piece.new, &piece.text)
    }

    /// In as many rows as it takes, in the middle of the line.
    fn rows(&mut self, right: f64, size: f64, rows: &[String]) -> fmt::Result {
        let foot = self.down;
        let more: f64 = rows.iter().skip(1).map(|_| 1.0).sum();
        self.down -= size * more.mul_add(0.5, 0.05);
        for text in rows {
            self.text(right, size, false, text)?;
            self.down += size;
        }
        self.down = foot;
        Ok(())
    }

    fn foot(&mut self) -> fmt::Result {
        self.down += FOOT;
        for paragraph in &self.wall.foot {
            self.down += FOOT * 0.2;
            self.paragraph(paragraph)?;
        }
        Ok(())
    }

    fn paragraph(&mut self, words: &str) -> fmt::Result {
        let wide = 2.0_f64.mul_add(-MARGIN, self.wall.paper.wide) / (FOOT * 0.52);
        for text in wrapped(words, |text| length(text) <= wide) {
            self.down += FOOT * 1.25;
            self.text(MARGIN, FOOT, false, &text)?;
        }
        Ok(())
    }
}

/// How wide a word is in bold letters, in parts of their height: those of the usual sans-serif fonts and
/// a little more, as a box is drawn round it.
fn in_bold(word: &str) -> f64 {
    let letter = |c: char| match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ' ' => 0.3,
        '(' | ')' | 'f' | 'r' | 't' | '-' | '/' => 0.38,
        'm' | 'M' | 'W' => 0.92,
        'w' => 0.82,
        '0'..='9' => 0.58,
        c if c.is_uppercase() => 0.75,
        _ => 0.64,
    };
    word.chars().map(letter).sum()
}
