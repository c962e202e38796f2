//! Unified extra fine: ASME B1.1.
//! Compared in up to 6 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::CrossChecked;
use super::row::{Row, degrees, inch};

/// Unified extra fine.
pub(crate) static SERIES: Series = Series {
    key: "unef",
    name: "Unified extra fine",
    said: &["unef"],
    standard: Some("ASME B1.1"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("#12-32 UNEF", "0.216", "32", CrossChecked),
    inch("1/4-32 UNEF", "1/4", "32", CrossChecked),
    inch("5/16-32 UNEF", "5/16", "32", CrossChecked),
    inch("3/8-32 UNEF", "3/8", "32", CrossChecked),
    inch("7/16-28 UNEF", "7/16", "28", CrossChecked),
    inch("1/2-28 UNEF", "1/2", "28", CrossChecked),
    inch("9/16-24 UNEF", "9/16", "24", CrossChecked),
    inch("5/8-24 UNEF", "5/8", "24", CrossChecked),
    inch("11/16-24 UNEF", "11/16", "24", CrossChecked),
    inch("3/4-20 UNEF", "3/4", "20", CrossChecked),
    inch("13/16-20 UNEF", "13/16", "20", CrossChecked),
    inch("7/8-20 UNEF", "7/8", "20", CrossChecked),
    inch("15/16-20 UNEF", "15/16", "20", CrossChecked),
    inch("1-20 UNEF", "1", "20", CrossChecked),
    inch("1 1/16-18 UNEF", "1 1/16", "18", CrossChecked),
    inch("1 1/8-18 UNEF", "1 1/8", "18", CrossChecked),
    inch("1 3/16-18 UNEF", "1 3/16", "18", CrossChecked),
    inch("1 1/4-18 UNEF", "1 1/4", "18", CrossChecked),
    inch("1 5/16-18 UNEF", "1 5/16", "18", CrossChecked),
    inch("1 3/8-18 UNEF", "1 3/8", "18", CrossChecked),
    inch("1 7/16-18 UNEF", "1 7/16", "18", CrossChecked),
    inch("1 1/2-18 UNEF", "1 1/2", "18", CrossChecked),
    inch("1 9/16-18 UNEF", "1 9/16", "18", CrossChecked),
    inch("1 5/8-18 UNEF", "1 5/8", "18", CrossChecked),
    inch("1 11/16-18 UNEF", "1 11/16", "18", CrossChecked),
];
