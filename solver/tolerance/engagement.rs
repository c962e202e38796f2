//! Over what length does a lead error count? Groups of engagement, ISO 965-1.
//!
//! N goes from the upper limit of S to the lower limit of L. The standard's table is rounded, and
//! differs in places by up to 17 % from its formula, so the table itself is here. It is from one
//! open table, half of it confirmed by a second; the row of 1.4 x 0.2 is from memory.

use super::iso965::{is_pitch, range, thousandths};
use super::{Standard, pitch, unified_engagement};
use crate::{Length, Ratio, Thread};

/// Length assumed for an unknown thread: 25 mm (common practice, no source).
const UNNAMED: Length = Length::from_mm(Ratio::table(25, 1));

struct Row {
    up_to: u64,
    pitch: u64,
    /// Limits of N in micrometres.
    normal: [u64; 2],
}

const fn row(up_to: &str, pitch: &str, over: &str, to: &str) -> Row {
    Row {
        up_to: thousandths(up_to),
        pitch: thousandths(pitch),
        normal: [thousandths(over), thousandths(to)],
    }
}

/// Diameter up to, pitch, N over, N up to; in mm.
#[rustfmt::skip]
const TABLE: &[Row] = &[
    row("1.4", "0.2", "0.5", "1.4"),
    row("1.4", "0.25", "0.6", "1.7"),
    row("1.4", "0.3", "0.7", "2"),
    row("2.8", "0.2", "0.5", "1.5"),
    row("2.8", "0.25", "0.6", "1.9"),
    row("2.8", "0.35", "0.8", "2.6"),
    row("2.8", "0.4", "1", "3"),
    row("2.8", "0.45", "1.3", "3.8"),
    row("5.6", "0.35", "1", "3"),
    row("5.6", "0.5", "1.5", "4.5"),
    row("5.6", "0.6", "1.7", "5"),
    row("5.6", "0.7", "2", "6"),
    row("5.6", "0.75", "2.2", "6.7"),
    row("5.6", "0.8", "2.5", "7.5"),
    row("11.2", "0.75", "2.4", "7.1"),
    row("11.2", "1", "3", "9"),
    row("11.2", "1.25", "4", "12"),
    row("11.2", "1.5", "5", "15"),
    row("22.4", "1", "3.8", "11"),
    row("22.4", "1.25", "4.5", "13"),
    row("22.4", "1.5", "5.6", "16"),
    row("22.4", "1.75", "6", "18"),
    row("22.4", "2", "8", "24"),
    row("22.4", "2.5", "10", "30"),
    row("45", "1", "4", "12"),
    row("45", "1.5", "6.3", "19"),
    row("45", "2", "8.5", "25"),
    row("45", "3", "12", "36"),
    row("45", "3.5", "15", "45"),
    row("45", "4", "18", "53"),
    row("45", "4.5", "21", "63"),
    row("90", "1.5", "7.5", "22"),
    row("90", "2", "9.5", "28"),
    row("90", "3", "15", "45"),
    row("90", "4", "19", "56"),
    row("90", "5", "24", "71"),
    row("90", "5.5", "28", "85"),
    row("90", "6", "32", "95"),
    row("180", "2", "12", "36"),
    row("180", "3", "18", "53"),
    row("180", "4", "24", "71"),
    row("180", "6", "36", "106"),
    row("180", "8", "45", "132"),
    row("355", "3", "20", "60"),
    row("355", "4", "26", "80"),
    row("355", "6", "40", "118"),
    row("355", "8", "50", "150"),
];

/// The length of engagement, as ISO 965-1 groups it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EngagementGroup {
    /// S, up to the lower limit of N.
    Short,
    /// N: the length for a class without an addition.
    Normal,
    /// L, over the upper limit of N.
    Long,
}

/// The normal lengths of engagement of a metric thread.
///
/// ```
/// use solver::thread;
/// use solver::tolerance::{Engagement, EngagementGroup};
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// let lengths = Engagement::of(&m10).unwrap();
/// assert_eq!((lengths.over(), lengths.up_to()), ("5 mm".parse()?, "15 mm".parse()?));
/// assert_eq!(lengths.group(&"20 mm".parse()?), EngagementGroup::Long);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Engagement {
    over: Length,
    up_to: Length,
}

impl Engagement {
    /// Of a thread of a table; `None` where its standard has no groups, or none for that pitch.
    pub fn of(thread: &Thread) -> Option<Self> {
        if Standard::of(thread.series()) != Some(Standard::Iso965) {
            return None;
        }
        Self::metric(&thread.diameter()?, &pitch(thread))
    }

    /// Of an ISO metric profile of this diameter and pitch.
    pub fn metric(diameter: &Length, pitch: &Length) -> Option<Self> {
        let end = range(diameter)?;
        let row = TABLE.iter().find(|row| row.up_to == end && is_pitch(row.pitch, pitch))?;
        let [over, up_to] = row.normal.map(|um| Length::from_mm(Ratio::table(um, 1000)));
        Some(Self { over, up_to })
    }

    /// The longest of group S: N begins above it.
    pub const fn over(&self) -> Length {
        self.over
    }

    /// The longest of group N.
    pub const fn up_to(&self) -> Length {
        self.up_to
    }

    /// The group of a length.
    pub fn group(&self, length: &Length) -> EngagementGroup {
        if *length <= self.over {
            EngagementGroup::Short
        } else if *length <= self.up_to {
            EngagementGroup::Normal
        } else {
            EngagementGroup::Long
        }
    }
}

/// The source of a length that was not stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum LengthBasis {
    /// The upper limit of group N.
    GroupN,
    /// Without groups: one diameter (common practice, no source; of UNC and UNF: ASME B1.1).
    Diameter,
    /// A unified thread of another series: 9 pitches (ASME B1.1).
    NinePitches,
    /// No diameter is known: 25 mm.
    Unnamed,
}

/// The length of engagement assumed where none is stated.
///
/// ```
/// use solver::tolerance::{LengthBasis, default_length};
/// use solver::Target;
/// let of = |text: &str| Ok::<_, solver::Error>(default_length(text.parse::<Target>()?.thread().as_ref()));
/// assert_eq!(of("M10")?, ("15 mm".parse()?, LengthBasis::GroupN));
/// assert_eq!(of("1/2 BSW")?, ("1/2 in".parse()?, LengthBasis::Diameter));
/// assert_eq!(of("1.5 mm")?, ("25 mm".parse()?, LengthBasis::Unnamed));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn default_length(thread: Option<&Thread>) -> (Length, LengthBasis) {
    let Some(thread) = thread else { return (UNNAMED, LengthBasis::Unnamed) };
    if let Some(groups) = Engagement::of(thread) {
        return (groups.up_to(), LengthBasis::GroupN);
    }
    match (thread.diameter(), unified_engagement(thread)) {
        (Some(diameter), Some(nine)) if nine != diameter => (nine, LengthBasis::NinePitches),
        (Some(diameter), _) => (diameter, LengthBasis::Diameter),
        (None, _) => (UNNAMED, LengthBasis::Unnamed),
    }
}
