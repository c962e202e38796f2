//! The answers of a talk that is not over: a file of answers beside the lathe file, written whole after
//! each answer, and taken away when the lathe file is written.

use crate::failure::Failure;
use crate::files::{self, Given, Key};
use crate::render;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// The file beside the one that is to be written; none where that is the standard output.
pub(super) fn beside(file: &Path) -> Option<PathBuf> {
    let mut name = file.file_name().filter(|name| *name != "-")?.to_owned();
    name.push(".part");
    Some(file.with_file_name(name))
}

/// Writes the answers.
///
/// # Errors
/// If the file can't be written.
pub(super) fn write<'a>(
    path: &Path,
    answers: impl Iterator<Item = (Key, &'a str)>,
) -> Result<(), Failure> {
    let mut text = String::from("# Answers so far: `trainwright lathe new` goes on from them.\n");
    for (key, said) in answers {
        let _ = writeln!(text, "{}: {said}", key.name());
    }
    render::overwrite(path, &text)
}

/// The answers that are there.
///
/// # Errors
/// If they can't be read.
pub(super) fn read(path: &Path) -> Result<Vec<Given>, Failure> {
    files::answers(path)
}
