//! Which tolerance class does a name mean? `6g`, `4g6g`, `5H`, `2A`, `3B`, A and B of pipe threads,
//! `7e` of trapezoidal threads, `2G` of Acme threads, `normal` of British Association threads.

use crate::Thread;
use crate::{Error, Result};
use std::fmt;
use std::str::FromStr;

/// A tolerance class of one of the standards.
///
/// ```
/// use solver::tolerance::{Class, Standard};
/// let bolt: Class = "4g6g".parse()?; // pitch diameter 4g, major diameter 6g
/// assert_eq!((bolt.standard(), bolt.is_internal()), (Standard::Iso965, false));
/// assert_eq!(bolt.to_string(), "4g6g");
/// assert!("2B".parse::<Class>()?.is_internal());
/// assert_eq!("5g".parse::<Class>().unwrap_err().hint(), Some("5g4g, 5g6g or 5g8g"));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Class(pub(super) Kind);

/// The parts of a class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Kind {
    Metric(Metric),
    Unified { number: Number, internal: bool },
    Pipe(Pipe),
    Graded { grade: Grade, internal: bool },
}

/// A class of ISO 2903, ASME B1.5 or BS 93, by its grade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Grade {
    /// 7e, 7H.
    Seven,
    /// 8e, 8H.
    Eight,
    /// 2G, of screws and of nuts.
    Two,
    /// 3G.
    Three,
    /// 4G.
    Four,
    Normal,
    Close,
}

/// A class of ISO 965-1: grades of the pitch diameter and of the crest (the bolt's major diameter, the
/// nut's minor diameter), and one position for both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Metric {
    pub(super) pitch: u8,
    pub(super) crest: u8,
    pub(super) letter: Letter,
    pub(super) internal: bool,
}

/// Fundamental deviation; capital for a nut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Letter {
    E,
    F,
    G,
    H,
}

/// 1, 2 or 3 of ASME B1.1: free, normal, close.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Number {
    One,
    Two,
    Three,
}

/// Classes of ISO 228-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Pipe {
    A,
    B,
    /// The internal thread has one class, without a name.
    Internal,
}

/// A standard that has limits for threads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Standard {
    /// ISO metric threads.
    Iso965,
    /// Unified inch threads.
    AsmeB11,
    /// Parallel pipe threads.
    Iso228,
    /// ISO trapezoidal threads.
    Iso2903,
    /// Acme threads, general purpose.
    AsmeB15,
    /// British Association threads.
    Bs93,
}

impl fmt::Display for Standard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Iso965 => "ISO 965-1",
            Self::AsmeB11 => "ASME B1.1",
            Self::Iso228 => "ISO 228-1",
            Self::Iso2903 => "ISO 2903",
            Self::AsmeB15 => "ASME B1.5",
            Self::Bs93 => "BS 93",
        })
    }
}

impl Standard {
    /// The common classes, the usual one first, for lists and hints. ISO 965-1 has other
    /// combinations of grade and position too.
    pub const fn classes(self, internal: bool) -> &'static [Class] {
        match (self, internal) {
            (Self::Iso965, false) => METRIC_BOLTS,
            (Self::Iso965, true) => METRIC_NUTS,
            (Self::AsmeB11, false) => &UNIFIED_BOLTS,
            (Self::AsmeB11, true) => &UNIFIED_NUTS,
            (Self::Iso228, false) => &[Class(Kind::Pipe(Pipe::A)), Class(Kind::Pipe(Pipe::B))],
            (Self::Iso228, true) => &[Class(Kind::Pipe(Pipe::Internal))],
            (Self::Iso2903, false) => &TRAPEZOIDAL_SCREWS,
            (Self::Iso2903, true) => &TRAPEZOIDAL_NUTS,
            (Self::AsmeB15, false) => &ACME_SCREWS,
            (Self::AsmeB15, true) => &ACME_NUTS,
            (Self::Bs93, false) => &ASSOCIATION_SCREWS,
            (Self::Bs93, true) => &ASSOCIATION_NUTS,
        }
    }

    /// Whether its classes can only be read for a given thread: see [`Class::read`].
    const fn has_names_of_its_own(self) -> bool {
        matches!(self, Self::Iso2903 | Self::AsmeB15 | Self::Bs93)
    }

    /// The usual class: 6g and 6H, 2A and 2B, A, 7e and 7H, 2G, normal. For a thread see [`super::default_class`].
    pub const fn default_class(self, internal: bool) -> Class {
        self.classes(internal)[0]
    }
}

const METRIC_BOLTS: &[Class] = &[
    metric(6, 6, Letter::G, false),
    metric(6, 6, Letter::H, false),
    metric(6, 6, Letter::F, false),
    metric(6, 6, Letter::E, false),
    metric(4, 4, Letter::H, false),
    metric(4, 6, Letter::G, false),
    metric(8, 8, Letter::G, false),
];
const METRIC_NUTS: &[Class] = &[
    metric(6, 6, Letter::H, true),
    metric(6, 6, Letter::G, true),
    metric(5, 5, Letter::H, true),
    metric(4, 4, Letter::H, true),
    metric(7, 7, Letter::H, true),
];
const UNIFIED_BOLTS: [Class; 3] = unified(false);
const UNIFIED_NUTS: [Class; 3] = unified(true);

const TRAPEZOIDAL_SCREWS: [Class; 2] = [graded(Grade::Seven, false), graded(Grade::Eight, false)];
const TRAPEZOIDAL_NUTS: [Class; 2] = [graded(Grade::Seven, true), graded(Grade::Eight, true)];
const ACME_SCREWS: [Class; 3] = acme(false);
const ACME_NUTS: [Class; 3] = acme(true);
const ASSOCIATION_SCREWS: [Class; 2] = [graded(Grade::Normal, false), graded(Grade::Close, false)];
const ASSOCIATION_NUTS: [Class; 1] = [graded(Grade::Normal, true)];

const fn graded(grade: Grade, internal: bool) -> Class {
    Class(Kind::Graded { grade, internal })
}

const fn acme(internal: bool) -> [Class; 3] {
    [graded(Grade::Two, internal), graded(Grade::Three, internal), graded(Grade::Four, internal)]
}

const fn metric(pitch: u8, crest: u8, letter: Letter, internal: bool) -> Class {
    Class(Kind::Metric(Metric { pitch, crest, letter, internal }))
}

/// The ISO 965-1 class up to M1.4 where none is stated.
pub(super) const fn small_metric(internal: bool) -> Class {
    if internal { metric(5, 5, Letter::H, true) } else { metric(6, 6, Letter::H, false) }
}

const fn unified(internal: bool) -> [Class; 3] {
    [
        Class(Kind::Unified { number: Number::Two, internal }),
        Class(Kind::Unified { number: Number::Three, internal }),
        Class(Kind::Unified { number: Number::One, internal }),
    ]
}

impl Class {
    /// Reads the class of a thread. Standards share names: `4G` is a screw's of ASME B1.5 and a
    /// nut's of ISO 965-1. `None` for a thread without a name.
    ///
    /// ```
    /// use solver::thread;
    /// use solver::tolerance::{Class, Standard};
    /// let acme = thread::all().find(|t| t.designation() == "1/2-10 ACME").unwrap();
    /// let class = Class::read("4g", Some(&acme), false)?;
    /// assert_eq!((class.standard(), class.is_internal()), (Standard::AsmeB15, false));
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If no standard has a class of that name.
    pub fn read(text: &str, thread: Option<&Thread>, internal: bool) -> Result<Self> {
        let standard = thread.and_then(|thread| Standard::of(thread.series()));
        let own = standard.filter(|standard| standard.has_names_of_its_own());
        let named = |internal: bool| {
            let classes = own.map(|own| own.classes(internal)).unwrap_or_default();
            classes.iter().find(|class| class.is_called(text)).copied()
        };
        named(internal).or_else(|| named(!internal)).map_or_else(|| text.parse(), Ok)
    }

    /// Only case separates a trapezoidal nut from a screw.
    fn is_called(self, text: &str) -> bool {
        let name = self.to_string();
        if self.standard() == Standard::Iso2903 {
            name == text
        } else {
            name.eq_ignore_ascii_case(text)
        }
    }

    /// Its standard.
    pub const fn standard(&self) -> Standard {
        match self.0 {
            Kind::Metric(_) => Standard::Iso965,
            Kind::Unified { .. } => Standard::AsmeB11,
            Kind::Pipe(_) => Standard::Iso228,
            Kind::Graded { grade, .. } => grade.standard(),
        }
    }

    /// Whether it is for an internal thread.
    pub const fn is_internal(&self) -> bool {
        match self.0 {
            Kind::Metric(Metric { internal, .. })
            | Kind::Unified { internal, .. }
            | Kind::Graded { internal, .. } => internal,
            Kind::Pipe(pipe) => matches!(pipe, Pipe::Internal),
        }
    }
}

impl Grade {
    const fn standard(self) -> Standard {
        match self {
            Self::Seven | Self::Eight => Standard::Iso2903,
            Self::Two | Self::Three | Self::Four => Standard::AsmeB15,
            Self::Normal | Self::Close => Standard::Bs93,
        }
    }

    /// Steps of R 40 above grade 6 of ISO 2903.
    pub(super) const fn steps(self) -> usize {
        if matches!(self, Self::Eight) { 8 } else { 4 }
    }

    const fn name(self, internal: bool) -> &'static str {
        match (self, internal) {
            (Self::Seven, false) => "7e",
            (Self::Seven, true) => "7H",
            (Self::Eight, false) => "8e",
            (Self::Eight, true) => "8H",
            (Self::Two, _) => "2G",
            (Self::Three, _) => "3G",
            (Self::Four, _) => "4G",
            (Self::Normal, _) => "normal",
            (Self::Close, _) => "close",
        }
    }
}

impl Letter {
    pub(super) const fn name(self, internal: bool) -> char {
        match (self, internal) {
            (Self::E, false) => 'e',
            (Self::F, false) => 'f',
            (Self::G, false) => 'g',
            (Self::H, false) => 'h',
            (Self::E, true) => 'E',
            (Self::F, true) => 'F',
            (Self::G, true) => 'G',
            (Self::H, true) => 'H',
        }
    }

    const fn read(c: char) -> Option<(Self, bool)> {
        match c {
            'e' => Some((Self::E, false)),
            'f' => Some((Self::F, false)),
            'g' => Some((Self::G, false)),
            'h' => Some((Self::H, false)),
            'G' => Some((Self::G, true)),
            'H' => Some((Self::H, true)),
            _ => None,
        }
    }
}

impl fmt::Display for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self.0 {
            Kind::Metric(class) => class.text(),
            Kind::Unified { number, internal } => {
                format!("{}{}", number.digit(), if internal { 'B' } else { 'A' })
            }
            Kind::Pipe(Pipe::A) => "A".to_owned(),
            Kind::Pipe(Pipe::B) => "B".to_owned(),
            Kind::Pipe(Pipe::Internal) => "internal".to_owned(),
            Kind::Graded { grade, internal } => grade.name(internal).to_owned(),
        };
        f.pad(&text)
    }
}

impl Number {
    const fn digit(self) -> char {
        match self {
            Self::One => '1',
            Self::Two => '2',
            Self::Three => '3',
        }
    }
}

impl Metric {
    fn text(self) -> String {
        let letter = self.letter.name(self.internal);
        if self.pitch == self.crest {
            format!("{}{letter}", self.pitch)
        } else {
            format!("{}{letter}{}{letter}", self.pitch, self.crest)
        }
    }

    /// Grades in the standard's tables.
    fn checked(self, crest_at: usize) -> Result<Class> {
        let (pitch, crest): (&[u8], &[u8]) = if self.internal {
            (&[4, 5, 6, 7, 8], &[4, 5, 6, 7, 8])
        } else {
            (&[3, 4, 5, 6, 7, 8, 9], &[4, 6, 8])
        };
        if !pitch.contains(&self.pitch) {
            return Err(Error::syntax(
                0,
                format!("no grade {} for the pitch diameter", self.pitch),
            )
            .with_hint(list(pitch.iter())));
        }
        if !crest.contains(&self.crest) {
            let which = if self.internal { "minor" } else { "major" };
            let with = |crest: &u8| Self { crest: *crest, ..self }.long_text();
            return Err(Error::syntax(
                crest_at,
                format!("no grade {} for the {which} diameter", self.crest),
            )
            .with_hint(list(crest.iter().map(with))));
        }
        Ok(Class(Kind::Metric(self)))
    }

    fn long_text(self) -> String {
        let letter = self.letter.name(self.internal);
        format!("{}{letter}{}{letter}", self.pitch, self.crest)
    }
}

/// `a, b or c`.
fn list<T: fmt::Display>(items: impl Iterator<Item = T>) -> String {
    let items: Vec<String> = items.map(|item| item.to_string()).collect();
    match items.as_slice() {
        [some @ .., last] if !some.is_empty() => format!("{} or {last}", some.join(", ")),
        _ => items.concat(),
    }
}

/// Reads a class of ISO 965-1, ASME B1.1 or ISO 228-1 ([`Class::read`] for all). Case counts: `6G`
/// is a nut and `6g` a bolt.
impl FromStr for Class {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let parts: Vec<char> = text.chars().collect();
        match *parts.as_slice() {
            ['A'] => Ok(Self(Kind::Pipe(Pipe::A))),
            ['B'] => Ok(Self(Kind::Pipe(Pipe::B))),
            ['i', 'n', 't', 'e', 'r', 'n', 'a', 'l'] => Ok(Self(Kind::Pipe(Pipe::Internal))),
            [number @ '1'..='3', side @ ('A' | 'B' | 'a' | 'b')] => {
                Ok(Self(unified_kind(number, side.eq_ignore_ascii_case(&'b'))))
            }
            [grade, letter] => metric_class([grade, letter], None),
            [grade, letter, crest, again] => metric_class([grade, letter], Some([crest, again])),
            _ => Err(unknown(0)),
        }
    }
}

const fn unified_kind(number: char, internal: bool) -> Kind {
    let number = match number {
        '1' => Number::One,
        '2' => Number::Two,
        _ => Number::Three,
    };
    Kind::Unified { number, internal }
}

fn metric_class(first: [char; 2], second: Option<[char; 2]>) -> Result<Class> {
    let (pitch, letter, internal) = part(first, 0)?;
    let Some(second) = second else {
        return Metric { pitch, crest: pitch, letter, internal }.checked(0);
    };
    let (crest, again, _) = part(second, 2)?;
    if first[1] != second[1] {
        return Err(Error::syntax(3, "both grades have the same position").with_hint(format!(
            "{pitch}{0}{crest}{0} or {pitch}{1}{crest}{1}",
            first[1],
            again.name(second[1].is_ascii_uppercase())
        )));
    }
    Metric { pitch, crest, letter, internal }.checked(2)
}

/// `6g`: only ASCII passes the first check, so that places are bytes.
fn part([grade, letter]: [char; 2], at: usize) -> Result<(u8, Letter, bool)> {
    let grade = grade.to_digit(10).and_then(|d| u8::try_from(d).ok()).ok_or_else(|| unknown(at))?;
    let (letter, internal) = Letter::read(letter).ok_or_else(|| unknown(at.saturating_add(1)))?;
    Ok((grade, letter, internal))
}

fn unknown(at: usize) -> Error {
    Error::syntax(at, "a tolerance class was expected")
        .with_hint("6g, 4g6g or 6H (ISO 965-1), 2A or 2B (ASME B1.1), A or B (ISO 228-1)")
}

#[cfg(test)]
mod tests;
