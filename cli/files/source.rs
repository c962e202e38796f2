//! The bytes of one file: read within limits, and where in them something stands.

use crate::failure::Failure;
use std::fs::File;
use std::io::{IsTerminal, Read};
use std::path::Path;

/// Most bytes of a lathe or gear-set file: a thousand times what a full one takes.
const LIMIT: usize = 1 << 20;
/// Most bytes of a chart.
const CHART_LIMIT: usize = 16 << 20;

/// One file as text, with the name by which messages call it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Path as given, or what it is.
    pub name: String,
    /// All of it.
    pub text: String,
}

impl Source {
    /// A text that is in memory.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self { name: name.into(), text: text.into() }
    }

    /// Reads a file.
    ///
    /// # Errors
    /// If it is no file, can't be opened, is too large or not UTF-8.
    pub(super) fn file(path: &Path) -> Result<Self, Failure> {
        Self::of_file(path, LIMIT)
    }

    /// Reads the file of a chart.
    ///
    /// # Errors
    /// As [`Source::file`].
    pub(super) fn chart_file(path: &Path) -> Result<Self, Failure> {
        Self::of_file(path, CHART_LIMIT)
    }

    fn of_file(path: &Path, limit: usize) -> Result<Self, Failure> {
        let name = path.display().to_string();
        let failed = |wrong: Failure| wrong.placed(&name);
        if path.is_dir() {
            return Err(failed(Failure::wrong("this is a folder", "name the file in it")));
        }
        let file = File::open(path).map_err(|e| failed(cant_open(&e)))?;
        Self::read(name, file, limit)
    }

    /// Reads standard input.
    ///
    /// # Errors
    /// If nothing is piped into it, it is too large or not UTF-8.
    pub(super) fn standard_input() -> Result<Self, Failure> {
        Self::of_standard_input(LIMIT, "trainwright ... - < lathe.json")
    }

    /// Reads a chart from standard input.
    ///
    /// # Errors
    /// As [`Source::standard_input`].
    pub(super) fn chart_on_standard_input() -> Result<Self, Failure> {
        Self::of_standard_input(CHART_LIMIT, "trainwright check - < chart.csv")
    }

    /// Reads a list of targets from standard input.
    ///
    /// # Errors
    /// As [`Source::standard_input`].
    pub(super) fn list_on_standard_input() -> Result<Self, Failure> {
        Self::of_standard_input(LIMIT, "trainwright table --list - < list.txt")
    }

    /// Reads a file of answers from standard input.
    ///
    /// # Errors
    /// As [`Source::standard_input`].
    pub(super) fn answers_on_standard_input() -> Result<Self, Failure> {
        Self::of_standard_input(LIMIT, "trainwright lathe new --answers - < answers.txt")
    }

    fn of_standard_input(limit: usize, right: &str) -> Result<Self, Failure> {
        let (input, name) = (std::io::stdin(), "standard input".to_owned());
        if input.is_terminal() {
            let wrong = Failure::wrong("nothing is piped into it", right);
            return Err(wrong.placed(name));
        }
        Self::read(name, input.lock(), limit)
    }

    fn read(name: String, from: impl Read, limit: usize) -> Result<Self, Failure> {
        let mut bytes = Vec::new();
        let read = from.take(limit as u64 + 1).read_to_end(&mut bytes);
        let failed = |place: &str, wrong: Failure| Err(wrong.placed(place));
        if let Err(error) = read {
            return failed(&name, cant_open(&error));
        }
        if bytes.len() > limit {
            let right = if limit == LIMIT {
                "a lathe, a gear set or a list has a few kilobytes"
            } else {
                "a chart has a row for each thread"
            };
            return failed(
                &name,
                Failure::wrong(format!("larger than {} MiB", limit >> 20), right),
            );
        }
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Self { name, text: text.trim_start_matches('\u{feff}').to_owned() }),
            Err(error) => {
                let good = error.utf8_error().valid_up_to();
                let before = error.as_bytes().iter().take(good);
                let line = before.filter(|b| **b == b'\n').count() + 1;
                let right = "save the file as UTF-8 text";
                failed(&format!("{name}:{line}"), Failure::wrong("not UTF-8 text", right))
            }
        }
    }

    /// `file:line:column` of a byte; columns count characters from 1.
    pub(super) fn place(&self, offset: usize) -> String {
        let mut end = offset.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let before = self.text.get(..end).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        let column = before.get(start..).unwrap_or_default().chars().count() + 1;
        format!("{}:{line}:{column}", self.name)
    }
}

fn cant_open(error: &std::io::Error) -> Failure {
    match error.kind() {
        std::io::ErrorKind::NotFound => Failure::wrong(
            "there is no such file",
            "check the path; `trainwright sets` lists what is built in",
        ),
        std::io::ErrorKind::PermissionDenied => {
            Failure::wrong("reading it is not permitted", "give yourself the right to read it")
        }
        _ => Failure::wrong(format!("can't be read: {error}"), "a readable file"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_lines_and_characters() {
        let source = Source::new("f", "ab\n\u{e9}x");
        assert_eq!(source.place(0), "f:1:1");
        assert_eq!(source.place(3), "f:2:1");
        assert_eq!(source.place(4), "f:2:1"); // inside a character
        assert_eq!(source.place(5), "f:2:2");
        assert_eq!(source.place(99), "f:2:3");
    }

    #[test]
    fn limits_and_encodings() {
        let read = |bytes: &[u8]| Source::read("f".into(), bytes, LIMIT).map_err(|e| e.to_string());
        assert_eq!(read(b"\xef\xbb\xbf{}").unwrap().text, "{}");
        assert_eq!(
            read(b"{\n\"\xff\"}").unwrap_err(),
            "f:2: not UTF-8 text; save the file as UTF-8 text"
        );
        assert!(read(&vec![b' '; LIMIT]).is_ok());
        assert!(read(&vec![b' '; LIMIT + 1]).unwrap_err().starts_with("f: larger than 1 MiB"));
        assert!(Source::read("f".into(), std::io::repeat(b' '), LIMIT).is_err());
    }
}
