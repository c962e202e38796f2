//! A list of threads and feeds as a file: a target a line, with a tolerance of its own behind a comma.
//!
//! `# ...` is a comment, empty lines are left out; quotes and Windows line ends are the csv crate's
//! business. What the words mean is not known here.

use super::chart::Lines;
use super::source::Source;
use crate::failure::Failure;

/// One line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// `file:line:column` of the target.
    pub place: String,
    /// The target as it stands.
    pub target: String,
    /// The tolerance as it stands, where there is one.
    pub within: Option<String>,
}

/// The lines of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenList {
    /// In the order of the file.
    pub lines: Vec<Listed>,
}

/// Reads a list.
///
/// # Errors
/// If a line has more than two cells, or there is none.
pub(super) fn read(source: &Source) -> Result<OpenList, Failure> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(source.text.as_bytes());
    let (places, mut lines) = (Lines::of(&source.text), Vec::new());
    for record in reader.records() {
        let fail = |offset: usize, wrong: Failure| wrong.placed(source.place(offset));
        // Text in memory is UTF-8 and rows may have any length: nothing is left that can fail.
        let record =
            record.map_err(|e| fail(0, Failure::wrong(e.to_string(), "a target a line")))?;
        let from = record.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
        let at = from + indent(source.text.get(from..).unwrap_or_default());
        let right = "a target a line, with a tolerance behind a comma: M10, 0.05%";
        match (record.get(0).unwrap_or_default(), record.get(1), record.len()) {
            ("", None, _) => {}
            ("", ..) => return Err(fail(at, Failure::wrong("no target here", right))),
            (target, within, 1 | 2) => {
                let (line, column) = places.place(at);
                lines.push(Listed {
                    place: format!("{}:{line}:{column}", source.name),
                    target: target.to_owned(),
                    within: within.filter(|w| !w.is_empty()).map(str::to_owned),
                });
            }
            (.., cells) => {
                let what = format!("{cells} cells, where there are two at most");
                return Err(fail(at, Failure::wrong(what, right)));
            }
        }
    }
    if lines.is_empty() {
        let wrong = Failure::wrong("no targets", "a target a line: M10, 11 1/2 tpi, 0.1 mm/rev");
        return Err(wrong.placed(&source.name));
    }
    Ok(OpenList { lines })
}

/// Bytes of white space, empty lines and comments before the row.
fn indent(text: &str) -> usize {
    let mut rest = text.trim_start();
    while rest.starts_with('#') {
        rest = rest.split_once('\n').map_or("", |(_, after)| after).trim_start();
    }
    text.len() - rest.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Result<Vec<(String, String, Option<String>)>, String> {
        let lines = read(&Source::new("l", text)).map_err(|e| e.to_string())?.lines;
        Ok(lines.into_iter().map(|l| (l.place, l.target, l.within)).collect())
    }

    #[test]
    fn a_target_a_line() {
        let text = "# for the week\r\n\r\nM10 , 0.05%\r\n  11 1/2 tpi\r\n\"0.1 mm/rev\",\r\n";
        let line = |place: &str, target: &str, within: Option<&str>| {
            (place.to_owned(), target.to_owned(), within.map(str::to_owned))
        };
        assert_eq!(
            of(text).unwrap(),
            [
                line("l:3:1", "M10", Some("0.05%")),
                line("l:4:3", "11 1/2 tpi", None),
                line("l:5:1", "0.1 mm/rev", None)
            ]
        );
    }

    #[test]
    fn what_is_no_list_is_told_with_its_place() {
        assert!(of("").unwrap_err().starts_with("l: no targets; "));
        assert!(of("# only\n").unwrap_err().starts_with("l: no targets; "));
        assert!(of("M10\n, 1%\n").unwrap_err().starts_with("l:2:1: no target here; "));
        assert!(of("M10\nM8, 1%, 2\n").unwrap_err().starts_with("l:2:1: 3 cells"));
    }
}
