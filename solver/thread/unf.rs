//! Unified fine: ASME B1.1.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::CrossChecked;
use super::row::{Row, degrees, inch};

/// Unified fine.
pub(crate) static SERIES: Series = Series {
    key: "unf",
    name: "Unified fine",
    said: &["unf"],
    standard: Some("ASME B1.1"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("#0-80 UNF", "0.06", "80", CrossChecked),
    inch("#1-72 UNF", "0.073", "72", CrossChecked),
    inch("#2-64 UNF", "0.086", "64", CrossChecked),
    inch("#3-56 UNF", "0.099", "56", CrossChecked),
    inch("#4-48 UNF", "0.112", "48", CrossChecked),
    inch("#5-44 UNF", "1/8", "44", CrossChecked),
    inch("#6-40 UNF", "0.138", "40", CrossChecked),
    inch("#8-36 UNF", "0.164", "36", CrossChecked),
    inch("#10-32 UNF", "0.19", "32", CrossChecked),
    inch("#12-28 UNF", "0.216", "28", CrossChecked),
    inch("1/4-28 UNF", "1/4", "28", CrossChecked),
    inch("5/16-24 UNF", "5/16", "24", CrossChecked),
    inch("3/8-24 UNF", "3/8", "24", CrossChecked),
    inch("7/16-20 UNF", "7/16", "20", CrossChecked),
    inch("1/2-20 UNF", "1/2", "20", CrossChecked),
    inch("9/16-18 UNF", "9/16", "18", CrossChecked),
    inch("5/8-18 UNF", "5/8", "18", CrossChecked),
    inch("3/4-16 UNF", "3/4", "16", CrossChecked),
    inch("7/8-14 UNF", "7/8", "14", CrossChecked),
    inch("1-12 UNF", "1", "12", CrossChecked),
    inch("1 1/8-12 UNF", "1 1/8", "12", CrossChecked),
    inch("1 1/4-12 UNF", "1 1/4", "12", CrossChecked),
    inch("1 3/8-12 UNF", "1 3/8", "12", CrossChecked),
    inch("1 1/2-12 UNF", "1 1/2", "12", CrossChecked),
];
