//! What did the person type? One line at a time, from whatever is read and written.
//!
//! It knows the words that mean something at every question (`?`, `back`, `rest`), no question.

use crate::failure::is_unseen;
use std::io::{self, BufRead, Read, Write};

/// Most bytes of one line.
const LIMIT: u64 = 64 << 10;

/// What came to a prompt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// An answer.
    Answer(String),
    /// An empty line.
    Nothing,
    /// `?`.
    Help,
    /// `back`.
    Back,
    /// `rest` or `done`: no more questions.
    Rest,
    /// There is nothing more to read.
    End,
}

/// Someone to ask.
#[derive(Debug)]
pub struct Person<R, W> {
    from: R,
    to: W,
    width: usize,
}

impl<R: BufRead, W: Write> Person<R, W> {
    /// One who types here and reads there, in so many columns.
    pub fn new(from: R, to: W, width: usize) -> Self {
        Self { from, to, width: width.clamp(20, 80) }
    }

    /// Says something: each line is wrapped, and further lines of it stand as far in as its first.
    ///
    /// # Errors
    /// If it can't be written.
    pub fn say(&mut self, text: &str) -> io::Result<()> {
        text.lines().try_for_each(|line| writeln!(self.to, "{}", wrapped(line, self.width)))
    }

    /// Prompts, and reads one line.
    ///
    /// # Errors
    /// If there is no reading or writing.
    pub fn ask(&mut self, prompt: &str) -> io::Result<Said> {
        write!(self.to, "{prompt}> ")?;
        self.to.flush()?;
        let mut line = Vec::new();
        self.from.by_ref().take(LIMIT).read_until(b'\n', &mut line)?;
        if line.is_empty() {
            // The prompt's line is left, so that what follows has one of its own.
            writeln!(self.to)?;
            return Ok(Said::End);
        }
        Ok(understood(String::from_utf8_lossy(&line).trim()))
    }
}

fn understood(line: &str) -> Said {
    match line.to_lowercase().as_str() {
        "" => Said::Nothing,
        "?" | "help" => Said::Help,
        "back" => Said::Back,
        "rest" | "done" => Said::Rest,
        _ => Said::Answer(line.to_owned()),
    }
}

/// Words in lines; control characters, which names may hold, are replaced.
fn wrapped(line: &str, width: usize) -> String {
    let indent: String = line.chars().take_while(|c| *c == ' ').collect();
    let mut text = indent.clone();
    let mut column = indent.len();
    for word in line.split_whitespace() {
        let word: String = word.chars().map(|c| if is_unseen(c) { '?' } else { c }).collect();
        let long = unicode_width::UnicodeWidthStr::width(word.as_str());
        if column > indent.len() && column + 1 + long > width {
            text = text + "\n" + &indent;
            column = indent.len();
        } else if column > indent.len() {
            text.push(' ');
            column += 1;
        }
        text += &word;
        column += long;
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_that_mean_something_at_every_prompt() {
        let mut written = Vec::new();
        let mut person =
            Person::new(&b" 8 tpi \n\n?\nBACK\nrest\nDone\nname\xff\nlast"[..], &mut written, 80);
        let mut said = || person.ask("screw").unwrap();
        assert_eq!(said(), Said::Answer("8 tpi".into()));
        assert_eq!(
            [said(), said(), said(), said(), said()],
            [Said::Nothing, Said::Help, Said::Back, Said::Rest, Said::Rest]
        );
        assert_eq!(said(), Said::Answer("name\u{fffd}".into()));
        assert_eq!([said(), said()], [Said::Answer("last".into()), Said::End]);
        assert!(written.starts_with(b"screw> screw> ") && written.ends_with(b"screw> \n"));
    }

    #[test]
    fn a_narrow_terminal_is_wrapped_to() {
        let mut written = Vec::new();
        let mut person = Person::new(&b""[..], &mut written, 20);
        person.say("  count the threads\u{1b} in one inch\n\nend").unwrap();
        let text = String::from_utf8(written).unwrap();
        assert_eq!(text, "  count the threads?\n  in one inch\n\nend\n");
    }
}
