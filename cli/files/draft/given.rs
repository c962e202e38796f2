//! Which answers were given beforehand, in a file, and where does each stand?

use super::super::{Source, json};
use super::Key;
use crate::failure::{Failure, shortened};
use std::path::Path;

/// An answer of a file of answers: its key, the answer, and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// What it is about.
    pub key: Key,
    /// What was said.
    pub said: String,
    /// `file:line`, or the flag.
    pub place: String,
}

/// The answers of a file, or of standard input (`-`): one a line, `key: answer`; `#` opens a line
/// that is not read, and a key without an answer is skipped.
///
/// # Errors
/// If it can't be read, or a line has no key that is known.
pub fn answers(path: &Path) -> Result<Vec<Given>, Failure> {
    let source = if path.as_os_str() == "-" {
        Source::answers_on_standard_input()?
    } else {
        Source::file(path)?
    };
    answers_of(&source)
}

fn answers_of(source: &Source) -> Result<Vec<Given>, Failure> {
    let lines = source.text.lines().enumerate().map(|(i, line)| (i + 1, line.trim()));
    let said = lines.filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let given = said.map(|(number, line)| {
        let place = format!("{}:{number}", source.name);
        let (word, said) = line.split_once(':').unwrap_or((line, ""));
        let key = Key::named(word.trim()).map_err(|wrong| wrong.placed(&place))?;
        Ok(Given { key, said: said.trim().to_owned(), place })
    });
    let given: Vec<Given> = given.collect::<Result<_, Failure>>()?;
    Ok(given.into_iter().filter(|given| !given.said.is_empty()).collect())
}

impl Key {
    /// The key of a word.
    ///
    /// # Errors
    /// If there is none: with the nearest.
    pub fn named(word: &str) -> Result<Self, Failure> {
        Self::of(word).ok_or_else(|| {
            let names: Vec<String> = Self::ALL.iter().map(|key| key.name().to_owned()).collect();
            let what = format!("`{}` is no question", shortened(word));
            Failure::wrong(what, json::nearest(word, &names))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_of_answers_says_where_it_is_wrong() {
        let read = |text: &str| answers_of(&Source::new("f", text));
        let given = read("# the Dinghy\nname: a: b\n\nhand:\nscrew : 8 tpi\n").unwrap();
        let said: Vec<_> = given.iter().map(|g| (g.key, g.said.as_str(), &*g.place)).collect();
        assert_eq!(said, [(Key::Name, "a: b", "f:2"), (Key::Screw, "8 tpi", "f:5")]);
        let wrong = read("name: x\nscrw: 8 tpi").unwrap_err().to_string();
        assert!(
            wrong.starts_with("f:2: `scrw` is no question") && wrong.contains("screw"),
            "{wrong}"
        );
    }
}
