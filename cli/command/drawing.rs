//! The picture of one train: a title, the view from the cover end to scale, the view on edge, and
//! the words that belong beside them.
//!
//! Every size comes from the library's [`Fit`] and [`Bracket`]; nothing is judged here. Tip circles
//! are m (z + 2), roots m (z - 2.5), pitch circles m z across (ISO 53).

mod edge;
mod face;
mod figure;
mod machine;
mod meet;
mod place;
mod plain;
mod scale;
mod shapes;
mod subject;

use crate::report::drawing::{Anchor, Drawing, Lettering, Part, View, wrapped};
use crate::words::shaft::driven_shaft;
use figure::Figure;
use solver::bracket::Fit;
use solver::{Bracket, Lathe, Train, Turns};
use unicode_width::UnicodeWidthChar;

pub(super) use subject::of as subject;

/// Width of a sheet: A4 less its margins, in mm.
const WIDTH: f64 = 180.0;
/// Height of the smallest letters: 1/36 of the width, so that they can be read on a phone.
const SMALL: f64 = WIDTH / 36.0;
const LARGE: f64 = 8.0;
/// Space round everything.
const MARGIN: f64 = 4.0;
/// Line pitch over letter height.
const LEADING: f64 = 1.3;

/// Room for the view from the cover end.
#[derive(Debug, Clone, Copy)]
struct Paper {
    width: f64,
    /// The greatest height.
    height: f64,
    /// That of the gears on edge.
    edge: f64,
}

/// A sheet of its own.
const SHEET: Paper = Paper { width: WIDTH, height: 150.0, edge: 75.0 };
/// A place on a page that says much besides: letters as high, so gears smaller.
const PLACE: Paper = Paper { width: 135.0, height: 88.0, edge: 44.0 };

/// What is to be drawn, with the words that go with it.
#[derive(Debug)]
pub(super) struct Subject<'a> {
    /// What the shaft of the last gear is called.
    pub(super) driven: &'static str,
    pub(super) train: &'a Train,
    pub(super) fit: &'a Fit,
    pub(super) bracket: Option<&'a Bracket>,
    /// How the driving shaft turns against the spindle.
    pub(super) first_turns: Turns,
    /// Target and train.
    pub(super) title: String,
    /// What to mind before hands go in; none where there is nothing to mount.
    pub(super) caution: Option<&'static str>,
    /// What it is not, for the eye before the picture: it does not fit.
    pub(super) warning: Option<String>,
    /// Lathe, lead and error, levers.
    pub(super) facts: Vec<String>,
    /// Where the studs go, or why it can't stand.
    pub(super) notes: Vec<String>,
}

/// Draws it.
pub(super) fn draw(subject: &Subject<'_>) -> Drawing {
    let figure = Figure::of(subject.train, subject.fit, subject.driven);
    let mut sheet = Sheet { down: MARGIN, views: Vec::new() };
    sheet.words(&[&subject.title], 7.0, true, Part::Label);
    sheet.words(&subject.warning.iter().collect::<Vec<_>>(), 6.0, true, Part::Clash);
    sheet.words(&subject.caution.iter().collect::<Vec<_>>(), SMALL, true, Part::Label);
    sheet.words(&subject.facts.iter().collect::<Vec<_>>(), SMALL, false, Part::Label);
    match subject.bracket.zip(figure::shown(subject.fit)) {
        Some((bracket, mounting)) => {
            sheet.view(face::draw(subject, bracket, mounting, &figure, SHEET));
        }
        None => sheet.words(&[no_face(subject)], SMALL, true, Part::Label),
    }
    sheet.words(&subject.notes.iter().collect::<Vec<_>>(), SMALL, false, Part::Label);
    sheet.view(edge::draw(&figure, SHEET.edge));
    let legend = legend(subject, &figure);
    sheet.words(&legend.iter().collect::<Vec<_>>(), SMALL, false, Part::Label);
    let warning = subject.warning.iter().map(|warning| format!(" - {warning}"));
    Drawing {
        title: std::iter::once(subject.title.clone()).chain(warning).collect(),
        description: description(subject, &figure),
        size: (WIDTH, sheet.down + MARGIN),
        views: sheet.views,
        above: Vec::new(),
        below: Vec::new(),
    }
}

/// The views alone, each on a sheet of its own, for a page that has the words: from the cover end
/// where the banjo is described, and on edge.
pub(super) fn views(subject: &Subject<'_>) -> Vec<Drawing> {
    let figure = Figure::of(subject.train, subject.fit, subject.driven);
    let face = subject.bracket.zip(figure::shown(subject.fit));
    let face = face.map(|(bracket, mounting)| {
        (PLACE.width, face::draw(subject, bracket, mounting, &figure, PLACE))
    });
    let views = face.into_iter().chain(std::iter::once((WIDTH, edge::draw(&figure, PLACE.edge))));
    let sheet = |(width, view): (f64, (View, f64))| {
        let mut sheet = Sheet { down: 0.0, views: Vec::new() };
        sheet.view(view);
        Drawing {
            title: subject.title.clone(),
            description: description(subject, &figure),
            size: (width, sheet.down),
            views: sheet.views,
            above: Vec::new(),
            below: Vec::new(),
        }
    };
    views.map(sheet).collect()
}

/// The views alone with what has to be read beside them: what to mind above, what the signs mean below.
pub(super) fn captioned(subject: &Subject<'_>) -> Vec<Drawing> {
    let mut views = views(subject);
    if let Some(first) = views.first_mut() {
        first.above = subject.warning.iter().cloned().collect();
        first.above.extend(subject.caution.map(String::from));
        if subject.bracket.zip(figure::shown(subject.fit)).is_none() {
            first.above.push(no_face(subject).to_owned());
        }
    }
    if let Some(last) = views.last_mut() {
        last.below = legend(subject, &Figure::of(subject.train, subject.fit, subject.driven));
    }
    views
}

/// Why there is no view from the cover end.
fn no_face(subject: &Subject<'_>) -> &'static str {
    match (subject.bracket, subject.fit) {
        (None, _) => "Banjo not described: no face view.",
        (Some(_), Fit::NotChecked) => "Fit not checked: no face view.",
        (Some(_), _) => "No place for its shafts: no face view.",
    }
}

/// A sheet that says that there is nothing to draw.
pub(super) fn nothing(title: String, why: String) -> Drawing {
    let mut sheet = Sheet { down: MARGIN, views: Vec::new() };
    sheet.words(&[&title], 7.0, true, Part::Label);
    sheet.words(&[&why], SMALL, false, Part::Label);
    Drawing {
        title,
        description: why,
        size: (WIDTH, sheet.down + MARGIN),
        views: sheet.views,
        above: Vec::new(),
        below: Vec::new(),
    }
}

/// The view on edge, in letters.
pub(super) fn in_letters(lathe: &Lathe, train: &Train, fit: &Fit) -> String {
    plain::draw(&Figure::of(train, fit, driven_shaft(lathe)))
}

/// The planes of each shaft's gears, the driven one first; 1 stands next to the headstock.
pub(super) fn planes(train: &Train, fit: &Fit) -> Vec<Vec<u8>> {
    let axles = Figure::of(train, fit, "").axles;
    axles.iter().map(|axle| axle.wheels.iter().map(|wheel| wheel.plane).collect()).collect()
}

/// How many planes are drawn for it, and the outermost that a gear is in.
pub(super) fn depth(train: &Train, fit: &Fit) -> (u8, u8) {
    let figure = Figure::of(train, fit, "");
    (figure.planes, figure.outermost())
}

/// How to read it: only what it holds.
fn legend(subject: &Subject<'_>, figure: &Figure) -> Vec<String> {
    let mut lines = Vec::new();
    if subject.bracket.is_some() && figure.fits() {
        let arrows = match subject.first_turns {
            Turns::Unknown => {
                "Arrows: how the shafts turn against each other; which way round the first one \
                 turns is not known here."
            }
            _ => "Arrows: spindle forward, which is clockwise here.",
        };
        lines.push(arrows.to_string());
        if figure.has_planes_behind() {
            lines.push("Broken outline: in a plane behind, nearer the headstock.".into());
        }
        lines.push(
            "Distances from the lathe file: check with a strip of paper between the teeth.".into(),
        );
        if subject.bracket.is_some_and(|banjo| !banjo.slots.is_empty()) {
            lines.push("Arm: its slots are to scale, its outline is not.".into());
        }
    }
    if figure.assumed_module {
        lines.push("Module 1 assumed: no gear says its pitch.".into());
    }
    lines
}

/// The picture in sentences.
fn description(subject: &Subject<'_>, figure: &Figure) -> String {
    let shafts = figure.axles.iter().map(|axle| {
        let gears = axle.wheels.iter().map(|w| {
            let idle = if w.part == Part::Idle { ", without work" } else { "" };
            format!("{} in plane {}{idle}", w.teeth, w.plane)
        });
        let gears = gears.collect::<Vec<_>>().join(" and ");
        match axle.at {
            Some((right, up)) => {
                format!("{}: {gears}, {right:.1} mm right and {up:.1} mm up.", axle.name)
            }
            None => format!("{}: {gears}.", axle.name),
        }
    });
    let facts = subject.warning.iter().chain(&subject.facts).chain(&subject.notes).cloned();
    facts.chain(shafts).collect::<Vec<_>>().join(" ")
}

/// A sheet that is filled from the top.
struct Sheet {
    down: f64,
    views: Vec<View>,
}

impl Sheet {
    /// Paragraphs, wrapped.
    fn words<T: AsRef<str>>(&mut self, lines: &[T], height: f64, bold: bool, part: Part) {
        if lines.is_empty() {
            return;
        }
        let mut view = View::new("words", (MARGIN, self.down), 1.0);
        let mut up = 0.0;
        let lettering = Lettering { height, bold, anchor: Anchor::Start };
        let fits = |text: &str| width_of(text, lettering) <= WIDTH - 2.0 * MARGIN;
        for line in lines.iter().flat_map(|l| wrapped(l.as_ref(), fits)) {
            up -= height * LEADING;
            view.write(part, (0.0, up), line, lettering);
        }
        self.down += SMALL / 2.0 - up;
        self.views.push(view);
    }

    /// A view that is so high; its origin is given from the top of the space that it takes.
    fn view(&mut self, (mut view, height): (View, f64)) {
        view.origin.1 += self.down;
        self.down += height;
        self.views.push(view);
    }
}

/// Width of a text in mm, of letters as wide as in any font that stands in for Arial (`DejaVu Sans`):
/// bold ones are wider, wide ones (of East Asia) twice as wide.
fn width_of(text: &str, lettering: Lettering) -> f64 {
    let columns: usize = text.chars().map(|c| c.width().unwrap_or(0)).sum();
    #[expect(clippy::cast_precision_loss, reason = "a few hundred columns")]
    let columns = columns as f64;
    columns * lettering.height * if lettering.bold { BOLD } else { PLAIN }
}

/// Width of an average letter over its height.
const PLAIN: f64 = 0.54;
const BOLD: f64 = 0.64;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_nothing_is_lost() {
        let long = "x".repeat(200);
        let letters = Lettering { height: 5.0, bold: false, anchor: Anchor::Start };
        for text in
            ["a few words that are too many for one line", "宽 字 宽字宽字宽字宽字宽字", &long]
        {
            let lines = wrapped(text, |text| width_of(text, letters) <= 60.0);
            assert!(lines.len() > 1, "{lines:?}");
            assert!(lines.iter().all(|line| width_of(line, letters) <= 60.0), "{lines:?}");
            let bare = |text: &str| text.replace(' ', "");
            assert_eq!(bare(&lines.concat()), bare(text));
        }
        assert!(wrapped("  ", |_| true).is_empty());
    }
}
