//! Unified coarse: ASME B1.1.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Majority};
use super::row::{Row, degrees, inch};

/// Unified coarse.
pub(crate) static SERIES: Series = Series {
    key: "unc",
    name: "Unified coarse",
    said: &["unc"],
    standard: Some("ASME B1.1"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("#1-64 UNC", "0.073", "64", CrossChecked),
    inch("#2-56 UNC", "0.086", "56", CrossChecked),
    inch("#3-48 UNC", "0.099", "48", CrossChecked),
    inch("#4-40 UNC", "0.112", "40", CrossChecked),
    inch("#5-40 UNC", "1/8", "40", CrossChecked),
    inch("#6-32 UNC", "0.138", "32", CrossChecked),
    inch("#8-32 UNC", "0.164", "32", CrossChecked),
    inch("#10-24 UNC", "0.19", "24", CrossChecked),
    inch("#12-24 UNC", "0.216", "24", CrossChecked),
    inch("1/4-20 UNC", "1/4", "20", CrossChecked),
    inch("5/16-18 UNC", "5/16", "18", CrossChecked),
    inch("3/8-16 UNC", "3/8", "16", CrossChecked),
    inch("7/16-14 UNC", "7/16", "14", CrossChecked),
    inch("1/2-13 UNC", "1/2", "13", CrossChecked),
    inch("9/16-12 UNC", "9/16", "12", CrossChecked),
    inch("5/8-11 UNC", "5/8", "11", CrossChecked),
    inch("3/4-10 UNC", "3/4", "10", CrossChecked),
    inch("7/8-9 UNC", "7/8", "9", CrossChecked),
    inch("1-8 UNC", "1", "8", CrossChecked),
    inch("1 1/8-7 UNC", "1 1/8", "7", CrossChecked),
    inch("1 1/4-7 UNC", "1 1/4", "7", CrossChecked),
    inch("1 3/8-6 UNC", "1 3/8", "6", CrossChecked),
    inch("1 1/2-6 UNC", "1 1/2", "6", CrossChecked),
    inch("1 3/4-5 UNC", "1 3/4", "5", CrossChecked),
    inch("2-4.5 UNC", "2", "4 1/2", Majority),
    inch("2 1/4-4.5 UNC", "2 1/4", "4 1/2", Majority),
    inch("2 1/2-4 UNC", "2 1/2", "4", CrossChecked),
    inch("2 3/4-4 UNC", "2 3/4", "4", CrossChecked),
    inch("3-4 UNC", "3", "4", CrossChecked),
    inch("3 1/4-4 UNC", "3 1/4", "4", CrossChecked),
    inch("3 1/2-4 UNC", "3 1/2", "4", CrossChecked),
    inch("3 3/4-4 UNC", "3 3/4", "4", CrossChecked),
    inch("4-4 UNC", "4", "4", CrossChecked),
];
