//! A picture as a list of shapes in mm, each with its part; what a part looks like, each renderer
//! decides.
//!
//! A drawing is a sheet of paper, measured in mm from its upper left corner. On it stand views: a
//! view has a scale (mm of paper for one mm of what it shows), and in it right and up count positive.

/// What a shape stands for; the renderer's choice of colour, line and filling hangs on this alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Part {
    /// A gear that gives the motion on.
    Driver,
    /// A gear that takes the motion.
    Driven,
    /// A gear that does both.
    Idler,
    /// A gear that does neither, joined to one that does.
    Idle,
    /// Teeth, between root and tip.
    Teeth,
    /// A pitch circle.
    Pitch,
    /// Hub, washer, nut, shaft end.
    Hub,
    /// What holds a gear in its plane.
    Spacer,
    /// Where a stud can be clamped.
    Slot,
    /// The arm of the banjo.
    Arm,
    /// What gears must stay clear of.
    KeepOut,
    /// What gears must stay inside of.
    Cover,
    /// Two parts in each other's way.
    Clash,
    /// Little room, or a mesh that stays open.
    Gap,
    /// A line that belongs to words.
    Label,
    /// A size and its lines.
    Dimension,
    /// Which way round a shaft turns.
    Turn,
    /// A lead that can be cut, on an axis.
    Lead,
    /// What an axis stands for.
    Scale,
    /// A standard pitch that is met exactly.
    Exact,
    /// One that is met within the tolerance.
    Near,
    /// One that is not met.
    Missed,
    /// One that is met by a train that is too close to call.
    Unsure,
}

impl Part {
    /// Every one, with its name: small letters, for style sheets and searches.
    pub(crate) const ALL: [(Self, &'static str); 23] = [
        (Self::Driver, "gear-driver"),
        (Self::Driven, "gear-driven"),
        (Self::Idler, "idler"),
        (Self::Idle, "gear-idle"),
        (Self::Teeth, "teeth"),
        (Self::Pitch, "pitch"),
        (Self::Hub, "hub"),
        (Self::Spacer, "spacer"),
        (Self::Slot, "slot"),
        (Self::Arm, "arm"),
        (Self::KeepOut, "keep-out"),
        (Self::Cover, "cover"),
        (Self::Clash, "clash"),
        (Self::Gap, "gap"),
        (Self::Label, "label"),
        (Self::Dimension, "dimension"),
        (Self::Turn, "turn"),
        (Self::Lead, "lead"),
        (Self::Scale, "scale"),
        (Self::Exact, "exact"),
        (Self::Near, "near"),
        (Self::Missed, "missed"),
        (Self::Unsure, "unsure"),
    ];

    /// Its name.
    pub(crate) fn name(self) -> &'static str {
        Self::ALL.iter().find(|(part, _)| *part == self).map_or("", |(_, name)| name)
    }
}

/// A place in a view: right, up.
pub(crate) type Point = (f64, f64);

/// Which side of a text its place is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// Lettering: its height in mm of paper, and its weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lettering {
    pub(crate) height: f64,
    pub(crate) bold: bool,
    pub(crate) anchor: Anchor,
}

/// The form of a shape; lengths in mm of what the view shows.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Form {
    Circle {
        at: Point,
        radius: f64,
    },
    /// An open line through points.
    Line(Vec<Point>),
    /// The same with a head at its end.
    Arrow(Vec<Point>),
    /// Separate strokes, as one shape.
    Strokes(Vec<[Point; 2]>),
    /// A closed outline.
    Polygon(Vec<Point>),
    /// A rounded strip so wide, along a line.
    Strip {
        along: Vec<Point>,
        width: f64,
    },
    Text {
        at: Point,
        text: String,
        lettering: Lettering,
    },
}

/// One shape.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shape {
    pub(crate) part: Part,
    /// How many planes stand in front of it: the foremost have whole outlines, others broken ones.
    pub(crate) behind: u8,
    pub(crate) form: Form,
    /// What it is, for a reader who can't see it.
    pub(crate) title: Option<String>,
}

/// A part of a drawing with its own scale.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct View {
    /// `face`, `edge`, `words`: for searches.
    pub(crate) name: &'static str,
    /// Where its origin stands on the sheet: right, down.
    pub(crate) origin: Point,
    /// mm of paper for one mm of what it shows.
    pub(crate) scale: f64,
    pub(crate) shapes: Vec<Shape>,
}

impl View {
    pub(crate) fn new(name: &'static str, origin: Point, scale: f64) -> Self {
        Self { name, origin, scale, shapes: Vec::new() }
    }

    /// Adds a shape in the foremost plane.
    pub(crate) fn draw(&mut self, part: Part, form: Form) {
        self.shapes.push(Shape { part, behind: 0, form, title: None });
    }

    /// The same with a title: what it is, for a reader who points at it.
    pub(crate) fn titled(&mut self, part: Part, title: String, form: Form) {
        self.shapes.push(Shape { part, behind: 0, form, title: Some(title) });
    }

    /// Adds words, if there are any.
    pub(crate) fn write(
        &mut self,
        part: Part,
        at: Point,
        text: impl Into<String>,
        lettering: Lettering,
    ) {
        let text = text.into();
        if !text.is_empty() {
            self.draw(part, Form::Text { at, text, lettering });
        }
    }
}

/// A sheet with its views.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    /// What it shows, in a few words.
    pub(crate) title: String,
    /// The same in sentences, for a reader who can't see it.
    pub(crate) description: String,
    /// Width and height of the sheet in mm.
    pub(crate) size: Point,
    pub(crate) views: Vec<View>,
    /// What a page says above it: what to mind first.
    pub(crate) above: Vec<String>,
    /// What a page says below it: what the signs mean.
    pub(crate) below: Vec<String>,
}

/// Lines that fit: broken between words, and inside a word that is longer than a line.
pub(crate) fn wrapped(text: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    in_lines(text.split_whitespace(), fits)
}

/// The same for words that may have spaces in them.
pub(crate) fn in_lines<'w>(
    words: impl Iterator<Item = &'w str>,
    fits: impl Fn(&str) -> bool,
) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {word}")) => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.extend(cut(word, &fits)),
        }
    }
    lines
}

/// A word in pieces that fit, each of one letter at least.
fn cut(word: &str, fits: impl Fn(&str) -> bool) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for c in word.chars() {
        match pieces.last_mut() {
            Some(piece) if piece.is_empty() || fits(&format!("{piece}{c}")) => piece.push(c),
            _ => pieces.push(c.to_string()),
        }
    }
    pieces
}
