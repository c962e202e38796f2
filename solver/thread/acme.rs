//! Acme: ASME B1.5.
//! Compared in up to 4 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, SisterStandard};
use super::row::{Row, degrees, inch};
use crate::Ratio;

/// Acme.
pub(crate) static SERIES: Series = Series {
    key: "acme",
    name: "Acme",
    said: &["acme"],
    standard: Some("ASME B1.5"),
    angle: Some(degrees("29")),
    rows: ROWS,
};

/// Clearance between root and crest, in mm, for a pitch in mm: 0.010 in to 10 TPI, 0.005 in finer
/// (ASME B1.5 and B1.8, from memory).
pub(crate) const fn clearance(pitch: f64) -> Ratio {
    if pitch < 2.54 { Ratio::table(127, 1000) } else { Ratio::table(127, 500) }
}

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/4-16 ACME", "1/4", "16", CrossChecked),
    inch("5/16-14 ACME", "5/16", "14", CrossChecked),
    inch("3/8-12 ACME", "3/8", "12", CrossChecked),
    inch("7/16-12 ACME", "7/16", "12", CrossChecked),
    inch("1/2-10 ACME", "1/2", "10", CrossChecked),
    inch("5/8-8 ACME", "5/8", "8", CrossChecked),
    inch("3/4-6 ACME", "3/4", "6", CrossChecked),
    inch("7/8-6 ACME", "7/8", "6", CrossChecked),
    inch("1-5 ACME", "1", "5", CrossChecked),
    inch("1 1/8-5 ACME", "1 1/8", "5", CrossChecked),
    inch("1 1/4-5 ACME", "1 1/4", "5", CrossChecked),
    inch("1 3/8-4 ACME", "1 3/8", "4", SisterStandard),
    inch("1 1/2-4 ACME", "1 1/2", "4", CrossChecked),
    inch("1 3/4-4 ACME", "1 3/4", "4", CrossChecked),
    inch("2-4 ACME", "2", "4", CrossChecked),
    inch("2 1/4-3 ACME", "2 1/4", "3", SisterStandard),
    inch("2 1/2-3 ACME", "2 1/2", "3", CrossChecked),
    inch("2 3/4-3 ACME", "2 3/4", "3", SisterStandard),
    inch("3-2 ACME", "3", "2", CrossChecked),
    inch("3 1/2-2 ACME", "3 1/2", "2", SisterStandard),
    inch("4-2 ACME", "4", "2", SisterStandard),
];
