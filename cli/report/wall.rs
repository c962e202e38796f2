//! A chart for the wall, before anybody decides how it looks: lines in groups, each with its cells.

/// Paper that it is for, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Paper {
    /// As style sheets call it.
    pub(crate) name: &'static str,
    pub(crate) wide: f64,
    pub(crate) high: f64,
}

/// What a column holds; each renderer maps it to its own looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Column {
    /// The thread or feed.
    Lead,
    Names,
    /// Gears of one shaft.
    Shaft,
    Lever,
    Dial,
    Error,
    /// What to do from the line above.
    Swap,
}

/// A piece of a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) text: String,
    /// Not so in the line above.
    pub(crate) new: bool,
}

/// One thread or feed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    /// The lead in mm, to sort by.
    pub(crate) mm: f64,
    /// Gears moved for it, to sort by.
    pub(crate) moved: usize,
    /// One a column, in pieces that stay whole.
    pub(crate) cells: Vec<Vec<Piece>>,
}

/// Lines of one kind.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Group {
    pub(crate) name: String,
    /// One a column.
    pub(crate) heads: Vec<String>,
    pub(crate) lines: Vec<Line>,
}

/// The chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wall {
    /// The lathe's name.
    pub(crate) lathe: String,
    /// What to mind before hands go in.
    pub(crate) caution: &'static str,
    /// What is fitted at the start, in words.
    pub(crate) fitted: String,
    /// Levers that stand in one place in all lines, in words.
    pub(crate) standing: Option<String>,
    pub(crate) paper: Paper,
    /// `None`: a line to write it on.
    pub(crate) date: Option<String>,
    pub(crate) columns: Vec<Column>,
    pub(crate) groups: Vec<Group>,
    /// What stands below the lines, a paragraph each.
    pub(crate) foot: Vec<String>,
}

impl Wall {
    pub(crate) fn lines(&self) -> impl Iterator<Item = &Line> {
        self.groups.iter().flat_map(|group| &group.lines)
    }

    /// Takes the columns away that say nothing in any line, but for leads, shafts and levers.
    pub(crate) fn drop_empty(&mut self) {
        for at in (0..self.columns.len()).rev() {
            let column = self.columns.get(at);
            let stays = matches!(column, Some(Column::Lead | Column::Shaft | Column::Lever));
            let said =
                |line: &Line| line.cells.get(at).into_iter().flatten().any(|p| !p.text.is_empty());
            if stays || self.lines().any(said) {
                continue;
            }
            self.remove(at);
        }
    }

    /// The same chart without the columns of a kind.
    pub(crate) fn without(mut self, kind: Column) -> Self {
        while let Some(at) = self.columns.iter().position(|column| *column == kind) {
            self.remove(at);
        }
        self
    }

    fn remove(&mut self, at: usize) {
        self.columns.remove(at);
        for group in &mut self.groups {
            group.heads.remove(at);
            group.lines.iter_mut().for_each(|line| drop(line.cells.remove(at)));
        }
    }
}
