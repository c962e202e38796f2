//! Which standard threads are there, and what are their pitches?
//!
//! One table for each series in `thread/`, each with its standard. Pitches and diameters are exact, as the
//! standard prints them: in mm, or 25.4 mm over TPI (worms: times pi). Tolerances are in
//! [`tolerance`](crate::tolerance); hand, starts and feeds belong to a [`Target`](crate::Target).
//!
//! ```
//! use solver::thread;
//! let found = thread::search("unf 20 tpi")?;
//! assert_eq!(found.threads[0].designation(), "7/16-20 UNF");
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic)]

use crate::{Lead, Length, Ratio};
use std::fmt;

pub(crate) mod acme;
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
pub(crate) mod trapezoidal_tr;
mod un;
mod unc;
mod unef;
mod unf;
mod worm_dp;
mod worm_module;

pub use near::near;
pub use search::{Listing, search};

/// Every series, in the order of look-up by name.
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

/// How sure a row of a table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Sureness {
    /// Two or more open tables have it, and all agree.
    CrossChecked,
    /// Two or more agree; another one differs.
    Majority,
    /// The tables disagree, and it is open which is right.
    Split,
    /// One table only.
    Single,
    /// From the table of a sister standard with the same sizes and pitches.
    SisterStandard,
    /// Exact by definition; the size is a choice.
    Formula,
    /// From memory, without a table.
    Memory,
}

impl Sureness {
    /// Whether to look it up once more before use.
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
            Self::Single => "one source only",
            Self::SisterStandard => "from its sister standard",
            Self::Formula => "exact by formula",
            Self::Memory => "unverified",
        })
    }
}

/// A family of threads with one form.
#[derive(Debug)]
pub struct Series {
    key: &'static str,
    name: &'static str,
    /// Its words in a designation, lower case.
    said: &'static [&'static str],
    standard: Option<&'static str>,
    angle: Option<Ratio>,
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

    /// Its words in a designation, lower case.
    pub(crate) const fn said(&self) -> &'static [&'static str] {
        self.said
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
    /// As written: `M10x1.25`, `1/2-13 UNC`. No two threads share one.
    pub const fn designation(&self) -> &'static str {
        self.row.designation
    }

    /// Its series.
    pub const fn series(&self) -> &'static Series {
        self.series
    }

    /// Nominal (major) diameter as in the standard; worms have none.
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
        // The largest pitch of a table times 99 is far below the bound; a test checks every row.
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

    /// How sure the row is.
    pub const fn sureness(&self) -> Sureness {
        self.row.sureness
    }

    /// A remark on the row.
    pub const fn note(&self) -> Option<&'static str> {
        self.row.note
    }

    /// Another name for it.
    pub(crate) const fn also(&self) -> Option<&'static str> {
        self.row.also
    }

    /// The size in the designation.
    pub(crate) const fn size(&self) -> row::Size {
        self.row.size
    }

    /// Whether its pitch is in TPI.
    pub(crate) const fn is_in_tpi(&self) -> bool {
        self.row.tpi
    }

    /// Whether it has this pitch, in mm or TPI as its series has it.
    pub(crate) fn has_pitch(&self, pitch: &Ratio) -> bool {
        let asked = if self.row.tpi {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn named(designation: &str) -> Thread {
        all().find(|t| t.designation() == designation).unwrap()
    }

    fn mm(text: &str) -> Lead {
        Lead::new(Length::from_mm(text.parse().unwrap()))
    }

    fn tpi(text: &str) -> Lead {
        Lead::from_tpi(text.parse().unwrap()).unwrap()
    }

    /// The figures as the standards print them. Unless stated, they are from open tables that quote
    /// the standard.
    #[test]
    fn published_pitches() {
        for (designation, diameter, pitch, angle) in [
            // ISO 261, general plan, coarse and fine.
            ("M1.6", "1.6 mm", mm("0.35"), "60"),
            ("M10", "10 mm", mm("1.5"), "60"),
            ("M10x1.25", "10 mm", mm("1.25"), "60"),
            ("M64", "64 mm", mm("6"), "60"),
            // ASME B1.1, table 1.
            ("#10-24 UNC", "0.19 in", tpi("24"), "60"),
            ("1/2-13 UNC", "0.5 in", tpi("13"), "60"),
            ("2-4.5 UNC", "2 in", tpi("4.5"), "60"),
            ("#0-80 UNF", "0.06 in", tpi("80"), "60"),
            ("1/2-20 UNF", "0.5 in", tpi("20"), "60"),
            ("1/2-28 UNEF", "0.5 in", tpi("28"), "60"),
            // BS 84; Whitworth, Miscellaneous Papers on Mechanical Subjects, p. 39.
            ("1/4 BSW", "0.25 in", tpi("20"), "55"),
            ("1/2 BSW", "0.5 in", tpi("12"), "55"),
            ("3 BSW", "3 in", tpi("3.5"), "55"),
            ("1/4 BSF", "0.25 in", tpi("26"), "55"),
            // BS 93; Kaye & Laby, Tables of Physical and Chemical Constants, 1941, p. 25.
            ("0 BA", "6 mm", mm("1"), "47.5"),
            ("2 BA", "4.7 mm", mm("0.81"), "47.5"),
            // ISO 228-1 and ISO 7-1, table 1.
            ("G 1/2", "20.955 mm", tpi("14"), "55"),
            ("R 1", "33.249 mm", tpi("11"), "55"),
            // ASME B1.20.1, table 2.
            ("3/4 NPT", "1.05 in", tpi("14"), "60"),
            ("1 NPT", "1.315 in", tpi("11.5"), "60"),
            // ISO 2904, table 1.
            ("Tr40x7", "40 mm", mm("7"), "30"),
            // ASME B1.5, table 1, and B1.8, table 1.
            ("3/4-6 ACME", "0.75 in", tpi("6"), "29"),
            ("3/4-6 STUB ACME", "0.75 in", tpi("6"), "29"),
            // BS 811.
            ("9/16-20 BSC", "0.5625 in", tpi("20"), "60"),
            // DIN 40430.
            ("Pg 7", "12.5 mm", tpi("20"), "80"),
            // DIN 58888.
            ("RMS 0.8-36 W", "0.8 in", tpi("36"), "55"),
        ] {
            let thread = named(designation);
            assert_eq!(thread.diameter(), Some(diameter.parse().unwrap()), "{designation}");
            assert_eq!(thread.pitch(), pitch, "{designation}");
            assert_eq!(thread.included_angle(), Some(angle.parse().unwrap()), "{designation}");
        }
    }

    // The rule of the series, with the pitch rounded to two decimals: Kaye & Laby, p. 25.
    #[test]
    fn ba_pitches_are_powers_of_nine_tenths() {
        let mut count = 0_u32;
        for thread in ba::SERIES.threads() {
            let n: u32 = thread.designation().trim_end_matches(" BA").parse().unwrap();
            // 0.9^n in hundredths, to the nearest: (100 x 9^n + 10^n / 2) / 10^n.
            let (nine, ten) = (9_u128.pow(n), 10_u128.pow(n));
            let hundredths = (100 * nine + ten / 2) / ten;
            assert_eq!(
                thread.pitch(),
                Lead::new(Length::from_mm(Ratio::new(hundredths, 100).unwrap()))
            );
            count += 1;
        }
        assert_eq!(count, 26);
    }

    // Axial pitch = pi x module = pi / DP inches, lead = pitch x starts: any text on worms.
    #[test]
    fn worm_leads() {
        let length = |text: &str| Lead::times_pi(text.parse().unwrap());
        assert_eq!(named("module 1.5").lead(), length("1.5 mm"));
        assert_eq!(named("module 1 3 starts").lead(), length("3 mm"));
        assert_eq!(named("20 DP").lead(), length("1/20 in"));
        assert_eq!(named("20 DP").diameter(), None);
    }

    #[test]
    fn rows_of_each_series() {
        let counts: Vec<_> = Series::all().iter().map(|s| (s.key(), s.threads().count())).collect();
        let expected = [
            ("metric-coarse", 43),
            ("metric-fine", 458),
            ("unc", 33),
            ("unf", 24),
            ("unef", 25),
            ("un", 312),
            ("bsw", 41),
            ("bsf", 37),
            ("ba", 26),
            ("bsb", 18),
            ("me", 16),
            ("bsc", 26),
            ("g", 41),
            ("r", 15),
            ("npt", 22),
            ("tr", 238),
            ("acme", 21),
            ("stub-acme", 22),
            ("acme-stock", 13),
            ("optics", 13),
            ("pg", 10),
            ("edison", 5),
            ("module", 23),
            ("dp", 18),
        ];
        assert_eq!(counts, expected);
        assert_eq!(all().count(), 1500);
    }

    #[test]
    fn tables_are_sorted_by_diameter_then_from_coarse_to_fine() {
        for series in Series::all() {
            let key = |t: Thread| (t.diameter(), std::cmp::Reverse(t.pitch()), t.starts());
            assert!(series.threads().map(key).is_sorted(), "{}", series.name());
        }
    }

    #[test]
    fn designations_and_keys_are_unique() {
        let mut designations: Vec<_> = all().map(|t| t.designation().to_lowercase()).collect();
        designations.sort();
        designations.dedup();
        assert_eq!(designations.len(), all().count());
        let mut keys: Vec<_> = Series::all().iter().map(|s| s.key()).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Series::all().len());
    }

    #[test]
    fn every_lead_can_be_a_target() {
        for thread in all() {
            let starts = Ratio::whole(thread.starts().into()).unwrap();
            assert_eq!(thread.lead(), thread.pitch().times(&starts).unwrap(), "{thread}");
            thread.lead().checked_as_target().unwrap();
        }
    }

    #[test]
    fn what_is_not_in_the_standard_says_so() {
        for designation in ["M1.7", "M2.3", "M2.6"] {
            assert_eq!(named(designation).note(), Some("not an ISO 261 size"));
        }
        assert_eq!(named("G 1 3/8").note(), Some("not in ISO 228-1"));
        assert!(named("G 1 3/8").sureness().wants_a_check());
        assert!(named("E14").sureness().wants_a_check());
        assert!(!named("M10").sureness().wants_a_check());
    }
}
