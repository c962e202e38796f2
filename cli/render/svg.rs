//! SVG 1.1: pictures for print, screen and phone, one below the other, no font and no script of
//! their own.
//!
//! One user unit is 1 mm of paper. Colours are apart for those who don't see red from green, every
//! meaning has a line style or a word of its own besides, and the smallest letters are 1/36 of the
//! width, so that they can be read on a phone.

mod wall;

use super::Renderer;
use crate::failure::is_unseen;
use crate::report::drawing::{Anchor, Drawing, Form, Lettering, Part, Point, Shape, View};
use crate::report::{Answer, Report};
use std::fmt::{self, Write as _};
use std::io::{self, Write};

#[derive(Debug)]
pub(super) struct Svg;

impl Renderer for Svg {
    fn render(&self, report: &Report, out: &mut dyn Write) -> io::Result<Answer> {
        if let Some(chart) = &report.wall {
            let picture = wall::picture(chart).map_err(io::Error::other)?;
            return out.write_all(picture.as_bytes()).map(|()| report.answer);
        }
        let mut text = String::new();
        write_sheets(report.sheets(), &mut text).map_err(io::Error::other)?;
        out.write_all(text.as_bytes()).map(|()| report.answer)
    }
}

/// Looks of each part: colours of Okabe and Ito, "Color Universal Design", 2008 (from memory),
/// light for areas and dark for lines.
const fn looks(part: Part) -> &'static str {
    match part {
        Part::Driver => "fill:#cfe4f5;fill-opacity:.75;stroke:#00527f;stroke-width:.9",
        Part::Driven => "fill:#fdebc4;fill-opacity:.75;stroke:#7a4f00;stroke-width:.6",
        Part::Idler => "fill:#eeeeee;fill-opacity:.75;stroke:#00664b;stroke-width:.6",
        Part::Idle => "fill:#fff;fill-opacity:.6;stroke:#555;stroke-width:.6",
        Part::Teeth => "fill:none;stroke:#333;stroke-width:.2",
        Part::Pitch => "fill:none;stroke:#555;stroke-width:.2;stroke-dasharray:4 1 .8 1",
        Part::Hub => "fill:#888;fill-opacity:.5;stroke:#222;stroke-width:.4",
        Part::Spacer => "fill:url(#hatch);stroke:#222;stroke-width:.4",
        Part::Slot => "fill:none;stroke:#222;stroke-width:.5",
        Part::Arm => "fill:#ddd;stroke:#999;stroke-width:.3",
        Part::KeepOut => "fill:url(#hatch);stroke:#222;stroke-width:.6",
        Part::Cover => "fill:none;stroke:#222;stroke-width:.9;stroke-dasharray:6 2 1 2",
        Part::Clash => "fill:url(#cross);stroke:#a50000;stroke-width:1.2",
        Part::Gap => "fill:none;stroke:#a50000;stroke-width:1",
        Part::Label => "fill:none;stroke:#444;stroke-width:.25",
        Part::Dimension => "fill:none;stroke:#111;stroke-width:.3",
        Part::Turn => "fill:none;stroke:#111;stroke-width:.7",
        Part::Lead => "fill:none;stroke:#00527f;stroke-width:.12",
        Part::Scale => "fill:none;stroke:#555;stroke-width:.3",
        Part::Exact => "fill:#00664b;stroke:#00664b;stroke-width:.4",
        Part::Near => "fill:#fff;stroke:#00664b;stroke-width:.7",
        Part::Missed => "fill:none;stroke:#a50000;stroke-width:.7",
        Part::Unsure => "fill:#fff;stroke:#7a4f00;stroke-width:.5",
    }
}

/// Outlines by how many planes stand in front: whole, then more and more broken.
const BEHIND: [&str; 4] = ["none", "3 1.2", "1.2 1", ".6 1.4"];

/// Space between two sheets, in mm.
const BETWEEN: f64 = 8.0;

fn write_sheets(drawings: &[Drawing], out: &mut String) -> fmt::Result {
    let width = drawings.iter().map(|d| d.size.0).fold(1.0, f64::max);
    let gaps: f64 = drawings.iter().skip(1).map(|_| BETWEEN).sum();
    let height = drawings.iter().map(|d| d.size.1).sum::<f64>() + gaps;
    let (w, h) = (Mm(width), Mm(height));
    writeln!(out, r#"<?xml version="1.0" encoding="UTF-8"?>"#)?;
    writeln!(
        out,
        r#"<svg xmlns="http://www.w3.org/2000/svg" version="1.1" role="img" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">"#
    )?;
    let all = |words: fn(&Drawing) -> &str| {
        Escaped(drawings.iter().map(words).collect::<Vec<_>>().join("; ")).to_string()
    };
    writeln!(out, "<title>{}</title>", all(|d| &d.title))?;
    writeln!(out, "<desc>{}</desc>", all(|d| &d.description))?;
    write_looks(out)?;
    writeln!(out, r##"<rect width="{w}" height="{h}" fill="#fff"/>"##)?;
    let mut down = 0.0;
    for drawing in drawings {
        writeln!(out, r#"<g class="sheet" transform="translate(0 {})">"#, Mm(down))?;
        drawing.views.iter().try_for_each(|view| write_view(view, out))?;
        writeln!(out, "</g>")?;
        down += drawing.size.1 + BETWEEN;
    }
    writeln!(out, "</svg>")
}

/// A drawing inside an HTML page, as wide as its place; the looks are there once for the whole page.
pub(super) fn inline(drawing: &Drawing, with_looks: bool) -> String {
    let mut out = String::new();
    // A String takes everything.
    let _ = write_inline(drawing, with_looks, &mut out);
    out
}

fn write_inline(drawing: &Drawing, with_looks: bool, out: &mut String) -> fmt::Result {
    let (w, h) = (Mm(drawing.size.0), Mm(drawing.size.1));
    writeln!(
        out,
        r#"<svg class="drawing" role="img" viewBox="0 0 {w} {h}"><title>{}</title><desc>{}</desc>"#,
        Escaped(&drawing.title),
        Escaped(&drawing.description)
    )?;
    if with_looks {
        write_looks(out)?;
    }
    writeln!(out, r##"<rect width="{w}" height="{h}" fill="#fff"/>"##)?;
    drawing.views.iter().try_for_each(|view| write_view(view, out))?;
    writeln!(out, "</svg>")
}

/// The style sheet, and the hatchings that it names.
fn write_looks(out: &mut String) -> fmt::Result {
    writeln!(out, "<style>")?;
    writeln!(out, "text{{font-family:Arial,Helvetica,'DejaVu Sans',sans-serif;fill:#111}}")?;
    writeln!(out, ".halo{{stroke:#fff;stroke-width:1.6;stroke-linejoin:round;fill:#fff}}")?;
    writeln!(out, ".line{{fill:none}}.round{{stroke-linecap:round;stroke-linejoin:round}}")?;
    writeln!(out, ".head{{fill:#111;stroke:none}}")?;
    for (part, name) in Part::ALL {
        writeln!(out, ".{name}{{{}}}", looks(part))?;
    }
    for (i, dashes) in BEHIND.iter().enumerate().skip(1) {
        writeln!(out, ".b{i}{{stroke-dasharray:{dashes}}}")?;
    }
    writeln!(out, "</style>")?;
    for (id, path) in [("hatch", "M0 3L3 0"), ("cross", "M0 3L3 0M0 0L3 3")] {
        writeln!(
            out,
            r##"<defs><pattern id="{id}" width="3" height="3" patternUnits="userSpaceOnUse"><path d="{path}" stroke="#222" stroke-width=".35"/></pattern></defs>"##
        )?;
    }
    Ok(())
}

fn write_view(view: &View, out: &mut String) -> fmt::Result {
    writeln!(
        out,
        r#"<g class="view-{}" data-scale="{}" data-right="{}" data-down="{}">"#,
        view.name,
        view.scale,
        Mm(view.origin.0),
        Mm(view.origin.1)
    )?;
    let pen = Pen { origin: view.origin, scale: view.scale };
    view.shapes.iter().try_for_each(|shape| pen.shape(shape, out))?;
    writeln!(out, "</g>")
}

/// From a view to the sheet.
struct Pen {
    origin: Point,
    scale: f64,
}

impl Pen {
    fn place(&self, (right, up): Point) -> Point {
        (self.scale.mul_add(right, self.origin.0), self.scale.mul_add(-up, self.origin.1))
    }

    fn shape(&self, shape: &Shape, out: &mut String) -> fmt::Result {
        let class = class(shape);
        match &shape.form {
            Form::Text { at, text, lettering } => {
                return write_text(shape.part, self.place(*at), text, *lettering, out);
            }
            Form::Circle { at, radius } => {
                let (x, y) = self.place(*at);
                let r = Mm(radius * self.scale);
                write!(out, r#"<circle class="{class}" cx="{}" cy="{}" r="{r}""#, Mm(x), Mm(y))?;
            }
            Form::Line(points) | Form::Arrow(points) => {
                write!(out, r#"<path class="{class} line" d="{}""#, self.path(points))?;
            }
            Form::Polygon(points) => {
                write!(out, r#"<path class="{class}" d="{}Z""#, self.path(points))?;
            }
            Form::Strokes(strokes) => {
                write!(out, r#"<path class="{class}" d=""#)?;
                strokes.iter().try_for_each(|s| out.write_str(&self.path(s)))?;
                write!(out, "\"")?;
            }
            Form::Strip { along, width } => return self.strip(shape.part, along, *width, out),
        }
        match &shape.title {
            Some(title) => writeln!(out, "><title>{}</title></{}>", Escaped(title), tag(shape))?,
            None => writeln!(out, "/>")?,
        }
        match &shape.form {
            Form::Arrow(points) => self.head(points, out),
            _ => Ok(()),
        }
    }

    fn path(&self, points: &[Point]) -> String {
        let mut path = String::new();
        for (i, point) in points.iter().enumerate() {
            let (x, y) = self.place(*point);
            // A String takes everything.
            let _ = write!(path, "{}{} {}", if i == 0 { 'M' } else { 'L' }, Mm(x), Mm(y));
        }
        path
    }

    /// A wide line below a narrower one, so that strips which cross make one outline.
    fn strip(&self, part: Part, along: &[Point], width: f64, out: &mut String) -> fmt::Result {
        let (name, path) = (part.name(), self.path(along));
        let wide = width * self.scale;
        for (colour, wide) in [("#999", wide + 0.8), ("#ddd", wide)] {
            writeln!(
                out,
                r#"<path class="{name} line round" style="stroke:{colour};stroke-width:{}" d="{path}"/>"#,
                Mm(wide)
            )?;
        }
        Ok(())
    }

    fn head(&self, points: &[Point], out: &mut String) -> fmt::Result {
        let [.., before, end] = points else { return Ok(()) };
        let ((x0, y0), (x, y)) = (self.place(*before), self.place(*end));
        let length = (x - x0).hypot(y - y0).max(1e-9);
        let (dx, dy) = ((x - x0) / length, (y - y0) / length);
        let corner = |back: f64, side: f64| {
            let x = x - back * dx - side * dy;
            format!("{} {}", Mm(x), Mm(y - back * dy + side * dx))
        };
        let tip = corner(0.0, 0.0);
        writeln!(
            out,
            r#"<path class="head" d="M{tip}L{}L{}Z"/>"#,
            corner(3.4, 1.5),
            corner(3.4, -1.5)
        )
    }
}

fn tag(shape: &Shape) -> &'static str {
    if matches!(shape.form, Form::Circle { .. }) { "circle" } else { "path" }
}

fn class(shape: &Shape) -> String {
    match shape.behind {
        0 => shape.part.name().to_string(),
        n => format!("{} b{}", shape.part.name(), usize::from(n).min(BEHIND.len() - 1)),
    }
}

/// Words, with white below them where they may stand on lines.
fn write_text(
    part: Part,
    (x, y): Point,
    text: &str,
    lettering: Lettering,
    out: &mut String,
) -> fmt::Result {
    let anchor = match lettering.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let weight = if lettering.bold { r#" font-weight="bold""# } else { "" };
    let place = format!(
        r#"x="{}" y="{}" font-size="{}" text-anchor="{anchor}"{weight}"#,
        Mm(x),
        Mm(y),
        Mm(lettering.height)
    );
    let words = Escaped(text);
    writeln!(out, r#"<text class="halo" aria-hidden="true" {place}>{words}</text>"#)?;
    let colour = if matches!(part, Part::Clash | Part::Gap) { "#a50000" } else { "#111" };
    writeln!(out, r#"<text data-part="{}" fill="{colour}" {place}>{words}</text>"#, part.name())
}

/// Thousandths of a mm; what is no number is nowhere.
pub(super) struct Mm(pub(super) f64);

impl fmt::Display for Mm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = format!("{:.3}", if self.0.is_finite() { self.0 } else { 0.0 });
        let text = text.trim_end_matches('0').trim_end_matches('.');
        f.write_str(if text == "-0" { "0" } else { text })
    }
}

/// Text as XML holds it: its own marks escaped, characters that it does not allow replaced (XML
/// 1.0, section 2.2).
pub(super) struct Escaped<T>(pub(super) T);

impl<T: AsRef<str>> fmt::Display for Escaped<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for c in self.0.as_ref().chars() {
            match c {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                '\'' => f.write_str("&apos;")?,
                '\t' | '\n' | '\r' => f.write_char(' ')?,
                c if is_unseen(c) || matches!(c, '\u{fffe}' | '\u{ffff}') => {
                    f.write_char('\u{fffd}')?;
                }
                c => f.write_char(c)?,
            }
        }
        Ok(())
    }
}
