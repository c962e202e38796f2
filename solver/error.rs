//! What went wrong, where, and what would be right?
//!
//! One opaque [`Error`] for the whole library. It has a message, what it is about (outermost first), a hint
//! at the right form, and for typed text the place of the first bad character. "No such train" is not an
//! error but an answer (see `search::Found`).

mod place;

pub use place::{Fix, Where};

use std::fmt;

/// The library's result.
pub type Result<T> = std::result::Result<T, Error>;

/// A request or description that can't be used.
///
/// ```
/// let error = solver::Teeth::new(3).unwrap_err();
/// assert_eq!(error.to_string(), "teeth: 3 is outside 5 to 400");
/// assert!(error.is_range());
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error(Box<Inner>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Inner {
    kind: Kind,
    message: String,
    context: Vec<String>,
    hint: Option<String>,
    fix: Option<Fix>,
    /// From the outside in.
    place: Vec<Where>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Kind {
    Range,
    Syntax { at: usize },
    TooLarge,
    Unknown,
    Conflict,
    NoSuch,
}

impl Error {
    fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self(Box::new(Inner {
            kind,
            message: one_line(message.into()),
            context: Vec::new(),
            hint: None,
            fix: None,
            place: Vec::new(),
        }))
    }

    /// A number outside its bounds; `bounds` is the row of the table.
    pub(crate) fn range(bounds: &crate::bounds::Bounds, given: impl fmt::Display) -> Self {
        let message =
            format!("{}: {given} is outside {} to {}", bounds.name, bounds.low, bounds.high);
        Self::new(Kind::Range, message)
    }

    /// Text that can't be read; `at` is the byte offset of the first bad character.
    pub(crate) fn syntax(at: usize, message: impl Into<String>) -> Self {
        Self::new(Kind::Syntax { at }, message)
    }

    /// An exact value beyond its integers.
    pub(crate) fn too_large(what: impl fmt::Display) -> Self {
        Self::new(Kind::TooLarge, format!("{what} is too large to be held exactly"))
    }

    /// A number that is needed, but is stated as "unknown".
    pub(crate) fn unknown(message: impl Into<String>) -> Self {
        Self::new(Kind::Unknown, message)
    }

    /// Two statements that can't both hold.
    pub(crate) fn conflict(message: impl Into<String>) -> Self {
        Self::new(Kind::Conflict, message)
    }

    /// An unknown name.
    pub(crate) fn no_such(message: impl Into<String>) -> Self {
        Self::new(Kind::NoSuch, message)
    }

    /// Adds what the message is about, at its front.
    pub fn context(mut self, about: impl Into<String>) -> Self {
        self.0.context.insert(0, one_line(about.into()));
        self
    }

    /// Adds the right form, or how to find out.
    pub fn with_hint(mut self, hint: impl Into<String>) -> Self {
        (self.0.hint, self.0.fix) = (Some(one_line(hint.into())), None);
        self
    }

    /// Adds the right form, which each front end writes in its own way.
    pub(crate) fn with_fix(mut self, fix: Fix) -> Self {
        self = self.with_hint(fix.words());
        self.0.fix = Some(fix);
        self
    }

    /// Adds the place; a place already present is within this one.
    pub(crate) fn at(mut self, place: &[Where]) -> Self {
        self.0.place.splice(..0, place.iter().copied());
        self
    }

    /// Moves a syntax error's place by `by` bytes: for a text inside a longer one.
    pub(crate) fn shifted(mut self, by: usize) -> Self {
        if let Kind::Syntax { at } = &mut self.0.kind {
            *at += by;
        }
        self
    }

    /// The right form, where known.
    pub fn hint(&self) -> Option<&str> {
        self.0.hint.as_deref()
    }

    /// Byte offset of the first bad character, for typed text.
    pub fn offset(&self) -> Option<usize> {
        match self.0.kind {
            Kind::Syntax { at } => Some(at),
            _ => None,
        }
    }

    /// The right form, for front ends with their own notation; [`Error::hint`] has it in words.
    pub fn fix(&self) -> Option<Fix> {
        self.0.fix
    }

    /// The place, from the outside in; empty where no part of a machine or chart is concerned.
    ///
    /// ```
    /// use solver::{GearSet, Lathe, Lead, Parts, Where};
    /// let no_gears = Parts::plain(GearSet::new(), Lead::from_tpi("8".parse()?)?);
    /// assert_eq!(Lathe::new(no_gears).unwrap_err().place(), [Where::Gears]);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn place(&self) -> &[Where] {
        &self.0.place
    }

    /// A needed number is stated as "unknown".
    pub fn is_unknown(&self) -> bool {
        self.0.kind == Kind::Unknown
    }

    /// A number outside its bounds.
    pub fn is_range(&self) -> bool {
        self.0.kind == Kind::Range
    }

    /// An exact value beyond its integers.
    pub fn is_too_large(&self) -> bool {
        self.0.kind == Kind::TooLarge
    }

    /// Two statements that can't both hold.
    pub fn is_conflict(&self) -> bool {
        self.0.kind == Kind::Conflict
    }

    /// An unknown name.
    pub fn is_no_such(&self) -> bool {
        self.0.kind == Kind::NoSuch
    }
}

/// Typed text may contain line ends and terminal escapes; a message is one line of plain text.
fn one_line(text: String) -> String {
    if text.contains(char::is_control) { text.replace(char::is_control, "?") } else { text }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for about in &self.0.context {
            write!(f, "{about}: ")?;
        }
        f.write_str(&self.0.message)
    }
}

impl std::error::Error for Error {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn context_reads_from_the_outside_in() {
        let error = Error::conflict("two senses").context("lever Range").context("gearbox");
        assert_eq!(error.to_string(), "gearbox: lever Range: two senses");
    }

    #[test]
    fn places_nest() {
        let lever = [Where::Levers, Where::Item(2)];
        let error = Error::conflict("x").at(&lever).at(&[Where::Gearbox]);
        assert_eq!(error.place(), [Where::Gearbox, Where::Levers, Where::Item(2)]);
    }

    #[test]
    fn messages_are_one_line_of_plain_text() {
        let error = Error::no_such("no lever a\nb\u{1b}[31m").context("x\ty").with_hint("\r");
        assert_eq!(error.to_string(), "x?y: no lever a?b?[31m");
        assert_eq!(error.hint(), Some("?"));
    }

    #[test]
    fn a_shift_moves_only_syntax_errors() {
        assert_eq!(Error::syntax(2, "digit expected").shifted(3).offset(), Some(5));
        assert_eq!(Error::conflict("x").shifted(3).offset(), None);
    }
}
