//! Why nothing was done, in one line and what to try: everything that ends with exit code 2 or 74.

use crate::keys;
use clap::error::{ContextKind, ContextValue};
use std::fmt::{self, Write};
use std::process::ExitCode;

/// Bad input, or an output file that exists.
pub(crate) const BAD_INPUT: u8 = 2;
/// Output that could not be written (`EX_IOERR` of sysexits.h).
const NOT_WRITTEN: u8 = 74;

/// Why nothing was done: where, what is wrong, what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// Where in which file, `file:line:column`; or what stands for the file. Empty: it was typed, or it
    /// is not known yet where in the file it stands.
    pub(crate) place: String,
    /// Key at fault, such as `gearbox.levers[0]`; empty for the whole.
    pub(crate) path: String,
    /// What is wrong.
    pub(crate) what: String,
    /// What would be right.
    pub(crate) right: Option<String>,
    /// The text that was typed and the byte offset of its first bad character.
    typed: Option<Box<(String, usize)>>,
    code: u8,
    /// What else is wrong, further down in the file.
    next: Option<Box<Failure>>,
    /// How many errors beside all these are left out.
    pub(crate) more: u32,
}

/// Most errors of one file that are said.
pub(crate) const MOST: usize = 10;

impl Failure {
    /// Bad input.
    pub(crate) fn new(what: impl Into<String>) -> Self {
        Self {
            place: String::new(),
            path: String::new(),
            what: what.into(),
            right: None,
            typed: None,
            code: BAD_INPUT,
            next: None,
            more: 0,
        }
    }

    /// All that is wrong with a file, in order; none: nothing is.
    pub(crate) fn all(failures: impl IntoIterator<Item = Self>) -> Option<Self> {
        let mut failures: Vec<Self> = failures.into_iter().collect();
        let left_out = failures.split_off(failures.len().min(MOST));
        let each = failures.iter().chain(&left_out).map(|failure| failure.more);
        let more = each.fold(0, u32::saturating_add);
        let more = u32::try_from(left_out.len()).unwrap_or(u32::MAX).saturating_add(more);
        for failure in &mut failures {
            failure.more = 0;
        }
        let all = failures.into_iter().rev().reduce(|next, failure| failure.then(next))?;
        Some(Self { more, ..all })
    }

    fn then(mut self, next: Self) -> Self {
        self.next = Some(Box::new(next));
        self
    }

    /// Each by itself.
    pub(crate) fn each(mut self) -> Vec<Self> {
        let next = self.next.take();
        let rest = next.map(|next| next.each()).unwrap_or_default();
        std::iter::once(self).chain(rest).collect()
    }

    /// Something that a file says and that can't be, and what would be right.
    pub(crate) fn wrong(what: impl Into<String>, right: impl Into<String>) -> Self {
        Self::new(what).with_hint(right)
    }

    /// Output that could not be written.
    pub(crate) fn not_written(what: impl Into<String>) -> Self {
        Self { code: NOT_WRITTEN, ..Self::new(what) }
    }

    /// A text typed for `argument` that the library refused.
    pub(crate) fn typed(argument: &str, text: &str, error: &solver::Error) -> Self {
        Self {
            right: keys::hint(error),
            typed: error.offset().map(|at| Box::new((text.to_string(), at))),
            ..Self::new(format!("{argument} `{}`: {error}", shortened(text)))
        }
    }

    /// The same, found at a key. A path that is already there lies below this one.
    pub(crate) fn at(mut self, outer: impl Into<String>) -> Self {
        let inner = std::mem::replace(&mut self.path, outer.into());
        if !inner.is_empty() {
            let dot = if inner.starts_with('[') || self.path.is_empty() { "" } else { "." };
            self.path = format!("{}{dot}{inner}", self.path);
        }
        self
    }

    /// The same, found at a place.
    pub(crate) fn placed(self, place: impl Into<String>) -> Self {
        Self { place: place.into(), ..self }
    }

    /// What is wrong and what would be right, wherever it stands.
    pub(crate) fn anywhere(self) -> Self {
        Self { place: String::new(), path: String::new(), ..self }
    }

    /// Adds what to do instead.
    pub(crate) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.right = Some(hint.into());
        self
    }

    /// Says what was typed for the argument that asked for it: `--nose: `.
    pub(crate) fn under(mut self, argument: &str) -> Self {
        self.what = format!("{argument}{}", self.what);
        self
    }

    /// Says which of several things that were typed asked for it.
    pub(crate) fn asked_for_by(mut self, text: &str) -> Self {
        self.what = format!("{} (asked for by `{}`)", self.what, shortened(text));
        self
    }

    /// What is said on stderr: what a file has wrong in one line, what was typed with its place below
    /// it, and what to try, each on its own line.
    pub(crate) fn told(&self) -> String {
        let each = self.clone().each();
        let mut lines: Vec<String> = each.iter().map(Self::told_alone).collect();
        match (self.more, each.len()) {
            (0, MOST..) => lines.push(format!("trainwright: {MOST} errors; there may be more")),
            (0, _) => {}
            (1, _) => lines.push("trainwright: 1 error more".into()),
            (more, _) => lines.push(format!("trainwright: {more} errors more")),
        }
        lines.join("\n")
    }

    /// The line of its file, from 1, where it has one: `file:line:column`.
    pub(crate) fn line(&self) -> Option<usize> {
        let mut parts = self.place.rsplit(':').filter_map(|part| part.parse().ok());
        let last = parts.next()?;
        Some(parts.next().unwrap_or(last))
    }

    /// What is wrong, as a page says it: options are boxes there.
    pub(crate) fn in_words(&self) -> String {
        let path = if self.path.is_empty() { String::new() } else { format!("{}: ", self.path) };
        plain(&(path + &self.what)).replace("--", "")
    }

    /// What would be right, as a page says it; nothing where that is a command.
    pub(crate) fn right_in_words(&self) -> Option<String> {
        let right = self.right.as_ref().filter(|right| {
            let words = ["trainwright", "FILE", "--gears", "--lathe", "`"];
            !words.iter().any(|word| right.contains(word))
        })?;
        Some(plain(right).replace("--", ""))
    }

    fn told_alone(&self) -> String {
        if !self.place.is_empty() {
            return format!("trainwright: {self}");
        }
        let path = if self.path.is_empty() { String::new() } else { format!("{}: ", self.path) };
        let caret = self.typed.as_ref().and_then(|typed| caret(&typed.0, typed.1));
        let caret = caret.map(|caret| format!("\n{caret}")).unwrap_or_default();
        let hint = self.right.as_ref().map(|right| format!("\ntry: {right}")).unwrap_or_default();
        format!("trainwright: {}{caret}{hint}", plain(&(path + &self.what)))
    }

    pub(crate) fn exit_code(&self) -> ExitCode {
        ExitCode::from(self.code)
    }
}

impl From<solver::Error> for Failure {
    fn from(error: solver::Error) -> Self {
        Self::from(&error)
    }
}

impl From<&solver::Error> for Failure {
    fn from(error: &solver::Error) -> Self {
        Self {
            path: keys::path(error).unwrap_or_default(),
            right: keys::hint(error),
            ..Self::new(error.to_string())
        }
    }
}

/// What the argument reader refused: its first paragraph, and its tips or the usage as what to try.
impl From<&clap::Error> for Failure {
    fn from(error: &clap::Error) -> Self {
        // What a reader of ours refused has said all.
        let source = std::error::Error::source(error);
        if let Some(failure) = source.and_then(|e| e.downcast_ref::<Self>()) {
            return failure.clone();
        }
        if let Some(hint) = meant(error) {
            let word = typed_command(error).unwrap_or_default();
            return Self::new(format!("there is no command `{}`", shortened(word))).with_hint(hint);
        }
        let text = error.render().to_string();
        let line = |line: &str| line.trim().to_string();
        let message: Vec<String> =
            text.lines().map(line).take_while(|l| !l.is_empty() && !l.starts_with('[')).collect();
        let tips = text.lines().filter_map(|l| l.trim().strip_prefix("tip: ")).map(line);
        // How to pass `-1mm` on is no help to those who need a length.
        let tips: Vec<String> = tips.filter(|tip| !tip.starts_with("to pass")).collect();
        let message = message.join(" ");
        let failure = Self::new(message.strip_prefix("error: ").unwrap_or(&message));
        failure.with_hint(if tips.is_empty() { way_out(&text) } else { tips.join("; ") })
    }
}

/// The word that was typed where a command was expected.
fn typed_command(error: &clap::Error) -> Option<&str> {
    match error.get(ContextKind::InvalidSubcommand)? {
        ContextValue::String(word) => Some(word),
        _ => None,
    }
}

/// What people type for a command that has another name, with what does it.
const MEANT: [(&[&str], &str); 9] = [
    (&["wall", "wallchart", "wall-chart"], "`trainwright table --common --output wall.html`"),
    (
        &["print", "pdf"],
        "`trainwright card M10 --output m10.html`, then print the page in a browser",
    ),
    (
        &["chart", "plate"],
        "`trainwright check CHART`, `learn CHART`, or `table --common` for a wall chart",
    ),
    (
        &["edit", "new", "setup", "init", "add"],
        "`trainwright lathe new`, or `trainwright lathe set` for one answer",
    ),
    (
        &["phone", "server", "page", "web", "app", "browser"],
        "`trainwright serve --share`, or `trainwright book --output lathe.html`",
    ),
    (&["show"], "`trainwright lathe show`, or `trainwright sets NAME`"),
    (&["list", "series", "thread"], "`trainwright threads`, or `trainwright sets`"),
    (&["draw", "drawing", "picture"], "`trainwright find M10 --drawing train.svg`"),
    (&["search", "cut", "gears", "train"], "`trainwright find M10`"),
];

/// What does what was typed as a command: another command, or `find` for a thread.
fn meant(error: &clap::Error) -> Option<String> {
    let word = typed_command(error)?;
    let known = MEANT.iter().find(|(words, _)| words.contains(&&*word.to_lowercase()));
    if let Some((_, hint)) = known {
        return Some((*hint).to_owned());
    }
    word.parse::<solver::Target>().is_ok().then(|| format!("`trainwright find {word}`"))
}

/// What to try where the argument reader has no tip: one of the values it lists, else its usage.
fn way_out(text: &str) -> String {
    let after = |start: &str| text.lines().find_map(|line| line.trim().strip_prefix(start));
    if let Some(values) = after("[possible values: ").and_then(|rest| rest.strip_suffix(']')) {
        return format!("one of {values}");
    }
    let usage = after("Usage: ").unwrap_or("trainwright COMMAND");
    format!("{usage} (--help says more)")
}

/// Longest piece of typed text that is shown again.
const SHOWN: usize = 60;

/// One line of what was typed: control characters replaced, long text cut.
pub(crate) fn shortened(text: &str) -> String {
    let mut line: String = plain(text).chars().take(SHOWN).collect();
    if text.chars().nth(SHOWN).is_some() {
        line.push_str("...");
    }
    line
}

/// Whether a character is not seen, or changes how what stands beside it is seen: control characters,
/// line ends among them, characters of no width, and what turns the direction of writing (Unicode
/// Standard Annex 9, table 1; Technical Report 36, section 2.5).
pub(crate) fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
        )
}

/// What is typed or stands in a file may hold line ends and terminal escapes.
fn plain(text: &str) -> String {
    text.replace(is_unseen, "?")
}

/// The text and a caret under its character at byte `at`, or nothing where there is no text or too much.
fn caret(text: &str, at: usize) -> Option<String> {
    let before = text.get(..at)?;
    if text.trim().is_empty() || text.chars().count() > SHOWN {
        return None;
    }
    let column = unicode_width::UnicodeWidthStr::width(shortened(before).as_str());
    Some(format!("  {}\n  {:column$}^", shortened(text), ""))
}

/// Longest part of a message: a file may hold a key of a million letters.
const LONGEST: usize = 600;

/// A text that may hold line ends and terminal escapes, printed without them; of a very long one the
/// middle is left out, since its end says where and what.
struct OneLine<'a>(&'a str);

impl fmt::Display for OneLine<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut plain = |part: &str| {
            part.chars().try_for_each(|c| f.write_char(if is_unseen(c) { '?' } else { c }))
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

impl std::error::Error for Failure {}

/// What fails while it is written says so itself.
impl From<Failure> for std::io::Error {
    fn from(failure: Failure) -> Self {
        Self::other(failure)
    }
}

/// `place: path: what; right` in one line, as far as they are known.
impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for outer in [&self.place, &self.path].into_iter().filter(|outer| !outer.is_empty()) {
            write!(f, "{}: ", OneLine(outer))?;
        }
        OneLine(&self.what).fmt(f)?;
        self.right.as_ref().map_or(Ok(()), |right| write!(f, "; {}", OneLine(right)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_nest() {
        let wrong = Failure::wrong("x", "y").at("[2]").at("levers").at("gearbox");
        assert_eq!(
            (wrong.path.as_str(), wrong.to_string().as_str()),
            ("gearbox.levers[2]", "gearbox.levers[2]: x; y")
        );
        assert_eq!(Failure::wrong("x", "y").at("a").at("").path, "a");
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
        assert_eq!(Failure::wrong("`a\nb`", "c\u{1b}[31m").to_string(), "`a?b`; c?[31m");
    }
}
