//! A book of one lathe, before anybody decides how it looks: an index, a sheet for each set-up with the
//! threads that it cuts, and chapters.

use super::wall::Wall;
use super::{Block, Report, Text};

/// The book.
#[derive(Debug)]
pub(crate) struct Book {
    /// The lathe's name.
    pub(crate) lathe: String,
    /// What stands under it.
    pub(crate) front: Vec<Block>,
    /// Ways to look up a thread.
    pub(crate) indexes: Vec<Index>,
    pub(crate) sheets: Vec<Sheet>,
    /// What follows the sheets.
    pub(crate) chapters: Vec<Chapter>,
}

/// One way to look up a thread: by name, by pitch.
#[derive(Debug)]
pub(crate) struct Index {
    pub(crate) name: &'static str,
    pub(crate) groups: Vec<Group>,
}

/// Entries of one kind.
#[derive(Debug)]
pub(crate) struct Group {
    pub(crate) name: &'static str,
    pub(crate) entries: Vec<Entry>,
}

/// A thread or a feed, and where it is.
#[derive(Debug)]
pub(crate) struct Entry {
    /// What is looked up.
    pub(crate) name: String,
    /// What it is called besides: the pitch of a name, the names of a pitch.
    pub(crate) also: String,
    pub(crate) train: String,
    /// In short.
    pub(crate) error: String,
    /// Number of its row, counted through all sheets from 0.
    pub(crate) row: usize,
}

/// A set-up: what is done for it, then what it cuts.
#[derive(Debug)]
pub(crate) struct Sheet {
    /// The train.
    pub(crate) title: String,
    /// What tells it from every other sheet, in whatever book it is.
    pub(crate) key: String,
    /// Its blocks and drawings.
    pub(crate) page: Report,
    pub(crate) rows: Vec<Row>,
}

/// A thread or a feed on its sheet.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) number: usize,
    pub(crate) name: String,
    pub(crate) facts: Vec<(String, Text)>,
}

/// A part behind the sheets.
#[derive(Debug)]
pub(crate) struct Chapter {
    pub(crate) heading: &'static str,
    pub(crate) holds: Holds,
}

/// What a chapter is.
#[derive(Debug)]
pub(crate) enum Holds {
    Blocks(Vec<Block>),
    Wall(Wall),
}
