//! A gear chart for the wall, before anybody decides how it looks: lines in groups, each with its gears
//! by shaft and its levers.

/// Paper that it is for, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Paper {
    /// As style sheets call it.
    pub(crate) name: &'static str,
    pub(crate) wide: f64,
    pub(crate) high: f64,
}

/// One gear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wheel {
    pub(crate) teeth: u16,
    /// An idler, whose size is free.
    pub(crate) idler: bool,
    /// Put there for this line: it was not there in the line above.
    pub(crate) new: bool,
}

/// A lever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Lever {
    /// Where it stands; empty: anywhere.
    pub(crate) position: String,
    /// Moved for this line.
    pub(crate) new: bool,
}

/// One thread or feed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    /// `1.5 mm`.
    pub(crate) lead: String,
    /// `M10, M11`.
    pub(crate) names: String,
    /// The lead in mm, to sort by.
    pub(crate) mm: f64,
    /// By shaft: first, studs, last; a shaft that is not used is empty.
    pub(crate) shafts: Vec<Vec<Wheel>>,
    /// One for each of the chart's levers.
    pub(crate) levers: Vec<Lever>,
    /// Where the half nut may close.
    pub(crate) dial: String,
    /// Where it matters.
    pub(crate) error: String,
    /// What to do from the line above.
    pub(crate) swap: String,
    /// Gears handled for it.
    pub(crate) handled: usize,
    /// Whether it is not certain that it fits.
    pub(crate) unsure: bool,
}

/// Lines of one kind.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Group {
    pub(crate) name: String,
    /// Whether all of its lines are feeds.
    pub(crate) feeds: bool,
    pub(crate) lines: Vec<Line>,
}

/// The chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wall {
    /// The lathe's name.
    pub(crate) lathe: String,
    /// What is fitted at the start, in words.
    pub(crate) fitted: String,
    /// Levers that stand in one place in all lines, in words.
    pub(crate) standing: Option<String>,
    pub(crate) paper: Paper,
    /// `None`: a line to write it on.
    pub(crate) date: Option<String>,
    /// Heads of the shafts.
    pub(crate) shafts: Vec<String>,
    /// Heads of the levers.
    pub(crate) levers: Vec<String>,
    /// Head of what changes.
    pub(crate) swap: &'static str,
    pub(crate) groups: Vec<Group>,
    /// After the last line.
    pub(crate) back: Option<String>,
    /// What the signs mean.
    pub(crate) notes: Vec<String>,
    /// Lines that nothing reaches.
    pub(crate) missed: Vec<String>,
    pub(crate) cautions: Vec<String>,
}

impl Wall {
    pub(crate) fn lines(&self) -> impl Iterator<Item = &Line> {
        self.groups.iter().flat_map(|group| &group.lines)
    }

    /// Whether some line says something there: else the column is left out.
    pub(crate) fn has(&self, of: fn(&Line) -> &str) -> bool {
        self.lines().any(|line| !of(line).is_empty())
    }
}
