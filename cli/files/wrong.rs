//! What is wrong in a file, before it is known where in the file that stands.

use crate::keys;
use std::fmt::{self, Write};

/// Something that a file says and that can't be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Key at fault, such as `gearbox.levers[0]`; empty for the whole.
    pub path: String,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub right: Option<String>,
}

impl Wrong {
    /// What is wrong, and what would be right.
    pub(super) fn new(what: impl Into<String>, right: impl Into<String>) -> Self {
        Self { path: String::new(), what: what.into(), right: Some(right.into()) }
    }

    /// The same, found at a key. A path that is already there lies below this one.
    pub(super) fn at(mut self, outer: impl Into<String>) -> Self {
        let inner = std::mem::replace(&mut self.path, outer.into());
        if !inner.is_empty() {
            let dot = if inner.starts_with('[') || self.path.is_empty() { "" } else { "." };
            self.path = format!("{}{dot}{inner}", self.path);
        }
        self
    }
}

impl From<solver::Error> for Wrong {
    fn from(error: solver::Error) -> Self {
        Self {
            path: keys::path(&error).unwrap_or_default(),
            what: error.to_string(),
            right: keys::hint(&error),
        }
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        OneLine(&self.what).fmt(f)?;
        self.right.as_ref().map_or(Ok(()), |right| write!(f, "; {}", OneLine(right)))
    }
}

/// Longest part of a message: a file may hold a key of a million letters.
const LONGEST: usize = 600;

/// A text that may hold line ends and terminal escapes, printed without them; of a very long one the
/// middle is left out, since its end says where and what.
pub(super) struct OneLine<'a>(pub(super) &'a str);

impl fmt::Display for OneLine<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut plain = |part: &str| {
            part.chars().try_for_each(|c| f.write_char(if c.is_control() { '?' } else { c }))
        };
        let byte = |nth: usize| self.0.char_indices().nth(nth).map(|(at, _)| at);
        let ends = byte(LONGEST).and_then(|_| {
            let tail = self.0.char_indices().rev().nth(LONGEST / 2)?.0;
            Some((self.0.get(..byte(LONGEST / 2)?)?, self.0.get(tail..)?))
        });
        let Some((head, tail)) = ends else { return plain(self.0) };
        plain(head)?;
        plain("...")?;
        plain(tail)
    }
}

impl std::error::Error for Wrong {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_nest() {
        let wrong = Wrong::new("x", "y").at("[2]").at("levers").at("gearbox");
        assert_eq!(
            (wrong.path.as_str(), wrong.to_string().as_str()),
            ("gearbox.levers[2]", "x; y")
        );
        assert_eq!(Wrong::new("x", "y").at("a").at("").path, "a");
    }

    #[test]
    fn of_what_is_very_long_both_ends_are_shown() {
        let said = OneLine(&format!("a{}b", "\u{e9}".repeat(1_000_000))).to_string();
        assert!(said.starts_with("a\u{e9}") && said.ends_with("\u{e9}b") && said.contains("..."));
        assert!(said.chars().count() < LONGEST + 10);
        let whole = "x".repeat(LONGEST);
        assert_eq!(OneLine(&whole).to_string(), whole);
    }

    #[test]
    fn what_is_wrong_is_one_line_of_plain_text() {
        assert_eq!(Wrong::new("`a\nb`", "c\u{1b}[31m").to_string(), "`a?b`; c?[31m");
    }
}
