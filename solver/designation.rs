//! What lead is wanted? Reads `M10x1.25`, `11 1/2 tpi`, `Tr 40x14 (P7) LH` or `0.1 mm/rev cross` exactly.
//!
//! A thread asks for a lead (pitch x starts) and may ask for a hand; a feed asks for travel per turn. An
//! error names the standard threads near a mistyped one. Knows no lathe and no gears.

#![deny(clippy::float_arithmetic)]

use crate::{Error, Hand, Lead, Length, Ratio, Result, Thread, Travel, thread};
use std::fmt;
use std::str::FromStr;

mod extras;
mod lookup;
mod read;
mod reader;
mod subject;

/// A thread or feed to cut.
///
/// Two targets are equal if they ask for the same, in any spelling.
///
/// ```
/// use solver::{Hand, Target};
/// let target: Target = "tr 40 x 14 (p7) left hand".parse()?;
/// assert_eq!(target.to_string(), "Tr40x14 (P7) LH");
/// assert_eq!(target.lead().to_string(), "14 mm");
/// assert_eq!((target.starts(), target.hand()), (2, Some(Hand::Left)));
///
/// let error = "M10x1.3".parse::<Target>().unwrap_err();
/// assert_eq!(error.offset(), Some(4)); // at the 1.3
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Target {
    text: String,
    said: Said,
    pitch: Lead,
    lead: Lead,
    starts: u8,
    hand: Option<Hand>,
    travel: Travel,
}

/// A thread of a table, or a figure with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Said {
    Thread(Thread),
    Figure(Ratio, Unit),
}

/// The unit of a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Mm,
    Inch,
    Tpi,
    Module,
    Dp,
}

impl Unit {
    /// The pitch (or feed) of a figure in this unit. Worms: pitch = pi x module = pi / DP inches
    /// (any text on worm gearing: the axial pitch of the worm is the circular pitch of the wheel).
    fn pitch(self, number: Ratio) -> Result<Lead> {
        Ok(match self {
            Self::Mm => Lead::new(Length::from_mm(number)),
            Self::Inch => Lead::new(Length::from_inch(number)?),
            Self::Tpi => Lead::from_tpi(number)?,
            Self::Module => Lead::times_pi(Length::from_mm(number)),
            Self::Dp => Lead::times_pi(Length::from_inch(number.recip())?),
        })
    }

    /// Whether it is a unit of worms.
    const fn is_worm(self) -> bool {
        matches!(self, Self::Module | Self::Dp)
    }
}

impl Said {
    fn pitch(&self) -> Result<Lead> {
        match self {
            Self::Thread(thread) => Ok(thread.pitch()),
            Self::Figure(number, unit) => unit.pitch(*number),
        }
    }

    const fn is_worm(&self) -> bool {
        match self {
            Self::Thread(thread) => thread.pitch().has_pi(),
            Self::Figure(_, unit) => unit.is_worm(),
        }
    }
}

impl Target {
    /// As typed, without the spaces around it.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same under another name.
    #[must_use]
    pub fn named(self, text: &str) -> Self {
        Self { text: text.trim().to_owned(), ..self }
    }

    /// Travel in one turn: the gears are chosen for it.
    pub const fn lead(&self) -> Lead {
        self.lead
    }

    /// From one thread to the next: lead over starts. Of a feed: the feed.
    pub const fn pitch(&self) -> Lead {
        self.pitch
    }

    /// Starts; 1 if not stated.
    pub const fn starts(&self) -> u8 {
        self.starts
    }

    /// The hand, if stated.
    pub const fn hand(&self) -> Option<Hand> {
        self.hand
    }

    /// A thread, or a longitudinal feed or across the bed.
    pub const fn travel(&self) -> Travel {
        self.travel
    }

    /// The number of a thread's pitch that was said in inches and is an inch or more, as of no thread
    /// (common practice, no source): threads per inch were probably meant.
    ///
    /// ```
    /// use solver::Target;
    /// let perhaps = |text: &str| text.parse::<Target>().ok()?.perhaps_tpi().map(|n| n.to_string());
    /// assert_eq!(perhaps("8\""), Some("8".to_owned()));
    /// for plain in ["8 tpi", "1/8 in", "50 mm", "1/2-13 UNC"] {
    ///     assert_eq!(perhaps(plain), None);
    /// }
    /// ```
    pub fn perhaps_tpi(&self) -> Option<Ratio> {
        match self.said {
            Said::Figure(number, Unit::Inch) if !self.travel.is_feed() => {
                Some(number).filter(|number| *number >= Ratio::ONE)
            }
            _ => None,
        }
    }

    /// The thread of a table that it names; worms: the row of that module or DP, if there is one.
    pub fn thread(&self) -> Option<Thread> {
        match self.said {
            Said::Thread(thread) => Some(thread),
            Said::Figure(_, unit) if unit.is_worm() => worm_row(&self.pitch, self.starts),
            Said::Figure(..) => None,
        }
    }
}

/// The row of a worm: with its starts if there is one, else with one start.
fn worm_row(pitch: &Lead, starts: u8) -> Option<Thread> {
    let with = |starts| thread::all().find(|t| t.pitch() == *pitch && t.starts() == starts);
    with(starts).or_else(|| with(1))
}

impl PartialEq for Target {
    fn eq(&self, other: &Self) -> bool {
        let key = |t: &Self| (t.pitch, t.lead, t.starts, t.hand, t.travel, t.thread());
        key(self) == key(other)
    }
}

impl Eq for Target {}

impl FromStr for Target {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        read::target(text)
    }
}

/// The lead of a screw: a length, or threads per inch.
///
/// ```
/// use solver::Lead;
/// for text in ["1/8 in", "8 tpi", "8 threads per inch", "3.175 mm"] {
///     assert_eq!(text.parse::<Lead>()?.mm().to_string(), "127/40");
/// }
/// assert!("8".parse::<Lead>().is_err());
/// # Ok::<(), solver::Error>(())
/// ```
impl FromStr for Lead {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        read::lead(text)
    }
}

/// A form that reads back as an equal target.
impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.said {
            Said::Thread(thread) => self.fmt_thread(thread, f)?,
            Said::Figure(number, unit) => self.fmt_figure(&number, unit, f)?,
        }
        match self.hand {
            Some(Hand::Left) => f.write_str(" LH"),
            Some(Hand::Right) => f.write_str(" RH"),
            None => Ok(()),
        }
    }
}

impl Target {
    fn fmt_thread(&self, thread: Thread, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let designation = thread.designation();
        if self.starts == thread.starts() {
            return f.write_str(designation);
        }
        // ISO 2904 and 2902: Tr, diameter x lead, (P pitch).
        match designation.split_once('x') {
            Some((size, pitch)) if thread.series().key() == "tr" => {
                write!(f, "{size}x{} (P{pitch})", figure(&self.lead.mm()))
            }
            _ => write!(f, "{designation} {} starts", self.starts),
        }
    }

    fn fmt_figure(&self, number: &Ratio, unit: Unit, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = figure(number);
        match unit {
            Unit::Mm => write!(f, "{number} mm")?,
            Unit::Inch => write!(f, "{number} in")?,
            Unit::Tpi => write!(f, "{number} tpi")?,
            Unit::Module => write!(f, "module {number}")?,
            Unit::Dp => write!(f, "{number} DP")?,
        }
        match self.travel {
            Travel::Thread if self.starts > 1 => write!(f, " {} starts", self.starts),
            Travel::Thread => Ok(()),
            Travel::LongFeed => f.write_str("/rev"),
            Travel::CrossFeed => f.write_str("/rev cross"),
        }
    }
}

/// A number in its shortest exact form: a decimal if it ends within six places, else a fraction.
fn figure(number: &Ratio) -> String {
    const MILLION: u128 = 1_000_000;
    let (whole, rest) = (number.numer() / number.denom(), number.numer() % number.denom());
    match rest.checked_mul(MILLION) {
        Some(places) if places.is_multiple_of(number.denom()) => {
            let text = format!("{whole}.{:06}", places / number.denom());
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        _ => number.to_string(),
    }
}

#[cfg(test)]
mod tests;
