//! Which character, word, phrase or number comes next? A place in a typed text, with the byte of
//! each error.

use crate::{Error, Ratio, Result};

/// The place reached in the text.
pub(super) struct Reader<'a> {
    pub(super) text: &'a str,
    pub(super) at: usize,
}

impl<'a> Reader<'a> {
    pub(super) fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    pub(super) fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    /// Skips spaces; true if there were any.
    pub(super) fn skip(&mut self) -> bool {
        let trimmed = self.rest().trim_start();
        let start = self.at;
        self.at = self.text.len() - trimmed.len();
        self.at > start
    }

    pub(super) fn eat(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        match self.peek() {
            Some(c) if wanted(c) => {
                self.at += c.len_utf8();
                true
            }
            _ => false,
        }
    }

    /// The word at this place, as typed.
    pub(super) fn word(&self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
        &rest[..end]
    }

    /// The rest up to a space, cut to what an error can quote.
    pub(super) fn quoted(&self) -> String {
        self.rest().split_whitespace().next().unwrap_or("").chars().take(24).collect()
    }

    /// Eats a phrase in any case: a space in it matches spaces, a hyphen or nothing; `x` also
    /// for the sign, with spaces around it. A phrase that ends in a letter must end a word, one
    /// that ends in a digit a number.
    pub(super) fn eat_phrase(&mut self, phrase: &str) -> bool {
        let start = self.at;
        let all = phrase.chars().all(|wanted| match wanted {
            ' ' => {
                self.skip();
                self.eat(|c| c == '-');
                self.skip();
                true
            }
            'x' => {
                self.skip();
                let found = self.eat(is_times);
                self.skip();
                found
            }
            _ => self.eat(|c| c.eq_ignore_ascii_case(&wanted)),
        });
        let last = phrase.chars().next_back().unwrap_or(' ');
        let goes_on = self.peek().is_some_and(|c| {
            if last.is_alphabetic() { c.is_alphabetic() } else { c.is_ascii_digit() || c == '.' }
        });
        if all && !goes_on {
            return true;
        }
        self.at = start;
        false
    }

    /// Skips the first of these phrases that comes next.
    pub(super) fn eat_any<T: Copy>(&mut self, phrases: &[(&str, T)]) -> Option<T> {
        phrases.iter().find(|(phrase, _)| self.eat_phrase(phrase)).map(|(_, value)| *value)
    }

    pub(super) fn number(&mut self) -> Result<Ratio> {
        let (number, used) =
            Ratio::read(self.rest()).map_err(|e| placed(e.shifted(self.at), self.at))?;
        self.at += used;
        Ok(number)
    }

    pub(super) fn starts_number(&self) -> bool {
        self.peek().is_some_and(|c| c.is_ascii_digit() || c == '.')
    }

    /// An error here, with the text found.
    pub(super) fn unknown(&self) -> Error {
        Error::syntax(self.at, format!("`{}` is not understood", self.quoted()))
    }
}

pub(super) const fn is_times(c: char) -> bool {
    matches!(c, 'x' | 'X' | '×' | '*')
}

/// An error without a place gets one: the message and the hint stay.
pub(super) fn placed(error: Error, at: usize) -> Error {
    if error.offset().is_some() {
        return error;
    }
    let hint = error.hint().unwrap_or("such as 1.25 mm or 20 tpi").to_owned();
    Error::syntax(at, error.to_string()).with_hint(hint)
}
