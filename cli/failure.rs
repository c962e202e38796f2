//! Why nothing was done, in one line and what to try: everything that ends with exit code 2 or 74.

use crate::keys;
use std::fmt;
use std::process::ExitCode;

/// Bad input, or an output file that exists.
pub(crate) const BAD_INPUT: u8 = 2;
/// Output that could not be written (`EX_IOERR` of sysexits.h).
const NOT_WRITTEN: u8 = 74;

/// Why nothing was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Failure {
    message: String,
    /// The text that was typed and the byte offset of its first bad character.
    typed: Option<(String, usize)>,
    hint: Option<String>,
    code: u8,
}

impl Failure {
    /// Bad input.
    pub(crate) fn new(message: impl Into<String>) -> Self {
        Self { message: plain(&message.into()), typed: None, hint: None, code: BAD_INPUT }
    }

    /// Output that could not be written.
    pub(crate) fn not_written(message: impl Into<String>) -> Self {
        Self { code: NOT_WRITTEN, ..Self::new(message) }
    }

    /// A text typed for `argument` that the library refused.
    pub(crate) fn typed(argument: &str, text: &str, error: &solver::Error) -> Self {
        Self {
            message: format!("{argument} `{}`: {error}", shortened(text)),
            typed: error.offset().map(|at| (text.to_string(), at)),
            hint: keys::hint(error),
            code: BAD_INPUT,
        }
    }

    /// Adds what to do instead.
    pub(crate) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Says what was typed for the argument that asked for it: `--nose: `.
    pub(crate) fn under(mut self, argument: &str) -> Self {
        self.message = format!("{argument}{}", self.message);
        self
    }

    /// Says which of several things that were typed asked for it.
    pub(crate) fn asked_for_by(mut self, text: &str) -> Self {
        self.message = format!("{} (asked for by `{}`)", self.message, shortened(text));
        self
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
        let message =
            keys::path(error).map_or_else(|| error.to_string(), |p| format!("{p}: {error}"));
        Self { hint: keys::hint(error), ..Self::new(message) }
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

/// What is typed or stands in a file may hold line ends and terminal escapes.
fn plain(text: &str) -> String {
    text.replace(char::is_control, "?")
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

impl std::error::Error for Failure {}

/// `trainwright: what: why`, then the place and what to try, each on its own line.
impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "trainwright: {}", self.message)?;
        if let Some(caret) = self.typed.as_ref().and_then(|(text, at)| caret(text, *at)) {
            write!(f, "\n{caret}")?;
        }
        if let Some(hint) = &self.hint {
            write!(f, "\ntry: {hint}")?;
        }
        Ok(())
    }
}
