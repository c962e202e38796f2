//! What are the limits of this thread's diameters, and does an error of its lead matter?
//!
//! Limits follow the standard of the series: ISO 965-1 (tables by pitch and diameter), ASME B1.1 (formulas
//! with the standard's rounding) and ISO 228-1. Those of ISO 2903, ASME B1.5 and BS 93 are from memory or one
//! source, and marked so ([`Limits::sureness`]). Other series have none here: the formula of BS 84 was read
//! in one text, which contradicts itself.
//!
//! A limit is the basic size ([`Basic`]), moved by the deviation or allowance of the class, less or plus
//! the tolerance. All three are figures of the standard, so a limit is exact:
//!
//! ```text
//! bolt   major  d  - es,  down to  - Td       nut   minor  D1 + EI,  up to  + TD1
//!        pitch  d2 - es,  down to  - Td2            pitch  D2 + EI,  up to  + TD2
//!        minor  d1 - es   at most                   major  D  + EI   at least
//! ```
//!
//! Not known here: plating, gauges and classes for long engagement. Where a thread carries load, ask a
//! qualified person and read the standard itself.
//!
//! ```
//! use solver::thread;
//! use solver::tolerance::Limits;
//! let m10 = thread::all().find(|t| t.designation() == "M10").unwrap();
//! let bolt = Limits::of(&m10, "6g".parse()?)?;
//! assert_eq!(bolt.pitch().greatest(), Some("8.994 mm".parse()?));
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic)]

use crate::thread::Series;
use crate::{Length, Ratio, Thread};

mod adds_up;
mod allowed;
mod b1_1;
mod b1_5;
mod basic;
mod bs93;
mod class;
mod engagement;
mod graded;
mod iso228;
mod iso2903;
mod iso965;
mod limits;
mod of_thread;

pub use adds_up::{CumulativeError, cumulative_error, diameter_equivalent};
pub use allowed::{Allowed, AllowedBasis, Verdict};
pub use basic::Basic;
pub use class::{Class, Standard};
pub use engagement::{Engagement, EngagementGroup, LengthBasis, default_length};
pub use limits::{Limit, Limits};

impl Standard {
    /// The standard with limits for a series; `None`: no limits are known here.
    pub fn of(series: &Series) -> Option<Self> {
        match series.key() {
            "metric-coarse" | "metric-fine" => Some(Self::Iso965),
            "unc" | "unf" | "unef" | "un" => Some(Self::AsmeB11),
            "g" => Some(Self::Iso228),
            "tr" => Some(Self::Iso2903),
            "acme" => Some(Self::AsmeB15),
            "ba" => Some(Self::Bs93),
            _ => None,
        }
    }
}

/// The pitch as a length: only worms have pi in it, and they have no limits.
fn pitch(thread: &Thread) -> Length {
    Length::from_mm(thread.pitch().mm())
}

/// The class assumed where none is stated; `None` where no limits are known.
///
/// 6g and 6H, but 6h and 5H up to M1.4 (ISO 965-1, designation; from memory); 2A and 2B; A; 7e and 7H; 2G;
/// normal.
///
/// ```
/// use solver::{thread, tolerance};
/// let of = |name: &str| {
///     let thread = thread::all().find(|t| t.designation() == name).unwrap();
///     tolerance::default_class(&thread, false).map(|class| class.to_string())
/// };
/// assert_eq!(of("M10").as_deref(), Some("6g"));
/// assert_eq!(of("1/2-13 UNC").as_deref(), Some("2A"));
/// assert_eq!(of("1/2 BSW"), None);
/// ```
pub fn default_class(thread: &Thread, internal: bool) -> Option<Class> {
    let standard = Standard::of(thread.series())?;
    let small = thread.diameter().is_some_and(|d| d.mm() <= Ratio::table(14, 10));
    match standard {
        Standard::Iso965 if small => Some(class::small_metric(internal)),
        _ => Some(standard.default_class(internal)),
    }
}

/// The length of engagement in ASME B1.1 for the tolerance of a unified thread: one diameter for
/// UNC, UNF and UN of 4, 6 and 8 TPI, 9 pitches for the others. `None`: no unified thread.
///
/// ```
/// use solver::{thread, tolerance};
/// let of = |name: &str| {
///     let thread = thread::all().find(|t| t.designation() == name).unwrap();
///     tolerance::unified_engagement(&thread).map(|length| length.inches())
/// };
/// assert_eq!(of("1/2-13 UNC"), Some("1/2".parse()));
/// assert_eq!(of("1/2-28 UNEF"), Some("9/28".parse()));
/// assert_eq!(of("M10"), None);
/// ```
pub fn unified_engagement(thread: &Thread) -> Option<Length> {
    if Standard::of(thread.series()) != Some(Standard::AsmeB11) {
        return None;
    }
    b1_1::engagement(thread, &thread.diameter()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::thread;

    pub(super) fn named(designation: &str) -> Thread {
        thread::all().find(|t| t.designation() == designation).unwrap()
    }

    #[test]
    fn which_series_have_limits() {
        let with: Vec<_> = Series::all()
            .iter()
            .filter_map(|s| Standard::of(s).map(|standard| (s.key(), standard)))
            .collect();
        let wanted = [
            ("metric-coarse", Standard::Iso965),
            ("metric-fine", Standard::Iso965),
            ("unc", Standard::AsmeB11),
            ("unf", Standard::AsmeB11),
            ("unef", Standard::AsmeB11),
            ("un", Standard::AsmeB11),
            ("ba", Standard::Bs93),
            ("g", Standard::Iso228),
            ("tr", Standard::Iso2903),
            ("acme", Standard::AsmeB15),
        ];
        assert_eq!(with, wanted);
        for series in Series::all() {
            let thread = series.threads().next().unwrap();
            let refused = |class: &str| {
                Limits::of(&thread, class.parse().unwrap()).is_err_and(|e| e.is_no_such())
            };
            let unknown = ["6g", "2A", "A"].into_iter().all(refused);
            assert_eq!(unknown, Standard::of(series).is_none(), "{thread}");
            assert_eq!(default_class(&thread, true).is_none(), unknown, "{thread}");
        }
    }

    /// Number of threads of each series with limits at the usual class.
    #[test]
    fn how_many_threads_have_limits() {
        let mut counts = Vec::new();
        for series in Series::all() {
            if Standard::of(series).is_none() {
                continue;
            }
            let usual = |internal| {
                let has = |t: &Thread| Limits::of(t, default_class(t, internal).unwrap()).is_ok();
                series.threads().filter(has).count()
            };
            counts.push((series.key(), series.threads().count(), usual(false), usual(true)));
        }
        let wanted = [
            ("metric-coarse", 43, 43, 43),
            ("metric-fine", 458, 353, 345),
            ("unc", 33, 33, 33),
            ("unf", 24, 24, 24),
            ("unef", 25, 25, 25),
            ("un", 312, 312, 312),
            ("ba", 26, 11, 11),
            ("g", 41, 24, 24),
            ("tr", 238, 142, 142),
            ("acme", 21, 21, 21),
        ];
        assert_eq!(counts, wanted);
    }

    #[test]
    fn the_length_that_a_unified_tolerance_is_made_for() {
        for (name, inches) in [
            ("1/2-20 UNF", "1/2"),
            ("2-6 UN", "2"),
            ("2-8 UN", "2"),
            ("3-4 UN", "3"),
            ("15/16-12 UN", "3/4"),
            ("1/2-28 UNEF", "9/28"),
        ] {
            let length = Length::from_inch(inches.parse().unwrap()).unwrap();
            assert_eq!(unified_engagement(&named(name)), Some(length), "{name}");
        }
    }

    #[test]
    fn what_is_not_in_iso_228_has_no_limits() {
        for thread in Series::all().iter().find(|s| s.key() == "g").unwrap().threads() {
            let has = Limits::of(&thread, Standard::Iso228.default_class(false)).is_ok();
            assert_eq!(has, thread.note() != Some("not in ISO 228-1"), "{thread}");
        }
    }

    #[test]
    fn the_length_that_counts() {
        let of = |name: &str| {
            let (length, basis) = default_length(Some(&named(name)));
            (length.to_string(), basis)
        };
        assert_eq!(of("M10"), ("15 mm".into(), LengthBasis::GroupN));
        assert_eq!(of("M10x0.5"), ("10 mm".into(), LengthBasis::Diameter));
        assert_eq!(of("1/2-13 UNC"), ("127/10 mm".into(), LengthBasis::Diameter));
        assert_eq!(of("1/2-28 UNEF"), ("1143/140 mm".into(), LengthBasis::NinePitches));
        assert_eq!(of("Tr40x7"), ("40 mm".into(), LengthBasis::Diameter));
        assert_eq!(of("module 1"), ("25 mm".into(), LengthBasis::Unnamed));
        assert_eq!(default_length(None).1, LengthBasis::Unnamed);
        let m10 = Engagement::of(&named("M10")).unwrap();
        let group = |text: &str| m10.group(&text.parse().unwrap());
        assert_eq!(
            ["5 mm", "5.001 mm", "15 mm", "15.001 mm"].map(group),
            [
                EngagementGroup::Short,
                EngagementGroup::Normal,
                EngagementGroup::Normal,
                EngagementGroup::Long
            ]
        );
        assert_eq!(Engagement::of(&named("1/2-13 UNC")), None);
    }

    #[test]
    fn the_smallest_metric_threads_have_classes_of_their_own() {
        let usual = |name: &str| {
            [false, true].map(|internal| default_class(&named(name), internal).unwrap().to_string())
        };
        assert_eq!(usual("M1.4"), ["6h", "5H"]);
        assert_eq!(usual("M1.6"), ["6g", "6H"]);
        assert_eq!(usual("#0-80 UNF"), ["2A", "2B"]);
    }
}
