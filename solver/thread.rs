//! Which standard threads are there, and what are their pitches?
//!
//! One table a series in `thread/`, each with its standard. Pitches and diameters are exact: what
//! the standard prints, in mm or as 25.4 mm over TPI (worms: times pi). Knows no tolerances and no
//! designations with hand, starts or feeds: see `target`.

#![deny(clippy::float_arithmetic)]

use crate::{Lead, Length, Ratio};
use std::fmt;

mod acme;
mod acme_stock;
mod ba;
mod brass_bsb;
mod bsf;
mod bsp_g;
mod bsp_r;
mod bsw;
mod cycle_bsc;
mod edison;
mod metric_coarse;
mod metric_fine;
mod model_engineer;
mod near;
mod npt;
mod optical_camera;
mod pg_conduit;
pub(crate) mod row;
mod search;
mod stub_acme;
mod trapezoidal_tr;
mod un;
mod unc;
mod unef;
mod unf;
mod worm_dp;
mod worm_module;

pub use near::near;
pub use search::{Listing, search};

/// Every series; a thread that is asked for by name is looked up in this order.
static SERIES: &[&Series] = &[
    &metric_coarse::SERIES,
    &metric_fine::SERIES,
    &unc::SERIES,
    &unf::SERIES,
    &unef::SERIES,
    &un::SERIES,
    &bsw::SERIES,
    &bsf::SERIES,
    &ba::SERIES,
    &brass_bsb::SERIES,
    &model_engineer::SERIES,
    &cycle_bsc::SERIES,
    &bsp_g::SERIES,
    &bsp_r::SERIES,
    &npt::SERIES,
    &trapezoidal_tr::SERIES,
    &acme::SERIES,
    &stub_acme::SERIES,
    &acme_stock::SERIES,
    &optical_camera::SERIES,
    &pg_conduit::SERIES,
    &edison::SERIES,
    &worm_module::SERIES,
    &worm_dp::SERIES,
];

/// How far a row of a table can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sureness {
    /// Two or more open tables have it, and all that have it agree.
    CrossChecked,
    /// Two or more agree; another one differs.
    Majority,
    /// The tables disagree and none was shown to be right.
    Split,
    /// One table only.
    Single,
    /// Read in the table of the sister standard that shares its sizes and pitches.
    SisterStandard,
    /// Exact by definition; the size is a choice.
    Formula,
    /// From memory: no table was read.
    Memory,
}

impl Sureness {
    /// Whether a person should look it up once more before relying on it.
    pub const fn wants_a_check(self) -> bool {
        matches!(self, Self::Split | Self::Single | Self::Memory)
    }
}

impl fmt::Display for Sureness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::CrossChecked => "cross-checked",
            Self::Majority => "most tables agree",
            Self::Split => "tables disagree",
            Self::Single => "one table only",
            Self::SisterStandard => "from its sister standard",
            Self::Formula => "exact by formula",
            Self::Memory => "from memory",
        })
    }
}

/// A family of threads with one form.
#[derive(Debug)]
pub struct Series {
    key: &'static str,
    name: &'static str,
    /// The words that stand for it in a designation, lower case.
    said: &'static [&'static str],
    standard: Option<&'static str>,
    angle: Option<Ratio>,
    /// Whether a pitch in a designation is in TPI.
    tpi: bool,
    rows: &'static [row::Row],
}

impl Series {
    /// Every series.
    pub fn all() -> &'static [&'static Self] {
        SERIES
    }

    /// A short word for it: `metric-fine`, `unc`.
    pub const fn key(&self) -> &'static str {
        self.key
    }

    /// Its name in full.
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// The standard; `None` where it is common practice or a formula.
    pub const fn standard(&self) -> Option<&'static str> {
        self.standard
    }

    /// Its threads: by diameter, then the coarsest pitch first.
    pub fn threads(&'static self) -> impl Iterator<Item = Thread> {
        self.rows.iter().map(move |row| Thread { series: self, row })
    }

    /// The words that stand for it in a designation, lower case.
    pub(crate) const fn said(&self) -> &'static [&'static str] {
        self.said
    }

    /// Whether a pitch in a designation is in TPI.
    pub(crate) const fn is_in_tpi(&self) -> bool {
        self.tpi
    }
}

impl PartialEq for Series {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Series {}

/// A thread of one of the series.
///
/// ```
/// use solver::thread;
/// let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
/// assert_eq!(m10.pitch().to_string(), "3/2 mm");
/// assert_eq!(m10.series().standard(), Some("ISO 261"));
/// ```
#[derive(Clone, Copy)]
pub struct Thread {
    series: &'static Series,
    row: &'static row::Row,
}

impl Thread {
    /// As it is written: `M10x1.25`, `1/2-13 UNC`. No two threads share one.
    pub const fn designation(&self) -> &'static str {
        self.row.designation
    }

    /// The series it belongs to.
    pub const fn series(&self) -> &'static Series {
        self.series
    }

    /// Nominal (major) diameter as the standard lists it; worms have none.
    pub const fn diameter(&self) -> Option<Length> {
        self.row.diameter
    }

    /// From one thread to the next, along the axis.
    pub const fn pitch(&self) -> Lead {
        self.row.pitch
    }

    /// Pitch times starts.
    pub fn lead(&self) -> Lead {
        let starts = Ratio::table(self.row.starts.into(), 1);
        // The largest pitch of a table times 99 fits by far; a test walks every row.
        self.row.pitch.times(&starts).unwrap_or(self.row.pitch)
    }

    /// Included flank angle in degrees; `None` for round forms and worms.
    pub fn included_angle(&self) -> Option<Ratio> {
        self.row.angle.or(self.series.angle)
    }

    /// Starts.
    pub const fn starts(&self) -> u8 {
        self.row.starts
    }

    /// How far the row can be trusted.
    pub const fn sureness(&self) -> Sureness {
        self.row.sureness
    }

    /// What else a person should know.
    pub const fn note(&self) -> Option<&'static str> {
        self.row.note
    }

    /// Another name that it is asked for by.
    pub(crate) const fn also(&self) -> Option<&'static str> {
        self.row.also
    }

    /// The size in the designation.
    pub(crate) const fn size(&self) -> row::Size {
        self.row.size
    }

    /// Whether it has this pitch, in mm or TPI as its series says it.
    pub(crate) fn has_pitch(&self, pitch: &Ratio) -> bool {
        let asked = if self.series.tpi {
            Lead::from_tpi(*pitch)
        } else {
            Ok(Lead::new(Length::from_mm(*pitch)))
        };
        asked.is_ok_and(|lead| lead == self.row.pitch)
    }

    /// Whether the designation leaves the pitch out: `M10`, `1/4 BSW`.
    pub(crate) const fn goes_by_size(&self) -> bool {
        !self.row.full
    }
}

impl PartialEq for Thread {
    fn eq(&self, other: &Self) -> bool {
        self.designation() == other.designation()
    }
}

impl Eq for Thread {}

impl fmt::Debug for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Thread({})", self.designation())
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.designation())
    }
}

/// Every thread of every series.
pub fn all() -> impl Iterator<Item = Thread> {
    SERIES.iter().flat_map(|series| series.threads())
}
