//! British Standard Fine: BS 84.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Majority, Single};
use super::row::{Row, degrees, inch};

/// British Standard Fine.
pub(crate) static SERIES: Series = Series {
    key: "bsf",
    name: "British Standard Fine",
    said: &["bsf"],
    standard: Some("BS 84"),
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/16 BSF", "1/16", "60", Single),
    inch("3/32 BSF", "3/32", "48", Single),
    inch("1/8 BSF", "1/8", "40", Single),
    inch("5/32 BSF", "5/32", "32", Single),
    inch("3/16 BSF", "3/16", "32", Majority),
    inch("7/32 BSF", "7/32", "28", CrossChecked),
    inch("1/4 BSF", "1/4", "26", CrossChecked),
    inch("9/32 BSF", "9/32", "26", CrossChecked),
    inch("5/16 BSF", "5/16", "22", Majority),
    inch("3/8 BSF", "3/8", "20", CrossChecked),
    inch("7/16 BSF", "7/16", "18", Majority),
    inch("1/2 BSF", "1/2", "16", CrossChecked),
    inch("9/16 BSF", "9/16", "16", Majority),
    inch("5/8 BSF", "5/8", "14", Majority),
    inch("11/16 BSF", "11/16", "14", Majority),
    inch("3/4 BSF", "3/4", "12", CrossChecked),
    inch("13/16 BSF", "13/16", "12", Single),
    inch("7/8 BSF", "7/8", "11", Majority),
    inch("1 BSF", "1", "10", CrossChecked),
    inch("1 1/8 BSF", "1 1/8", "9", CrossChecked),
    inch("1 1/4 BSF", "1 1/4", "9", CrossChecked),
    inch("1 3/8 BSF", "1 3/8", "8", CrossChecked),
    inch("1 1/2 BSF", "1 1/2", "8", CrossChecked),
    inch("1 5/8 BSF", "1 5/8", "8", CrossChecked),
    inch("1 3/4 BSF", "1 3/4", "7", CrossChecked),
    inch("1 7/8 BSF", "1 7/8", "7", Single),
    inch("2 BSF", "2", "7", CrossChecked),
    inch("2 1/4 BSF", "2 1/4", "6", CrossChecked),
    inch("2 1/2 BSF", "2 1/2", "6", CrossChecked),
    inch("2 3/4 BSF", "2 3/4", "6", CrossChecked),
    inch("3 BSF", "3", "5", CrossChecked),
    inch("3 1/4 BSF", "3 1/4", "5", CrossChecked),
    inch("3 1/2 BSF", "3 1/2", "4 1/2", CrossChecked),
    inch("3 3/4 BSF", "3 3/4", "4 1/2", CrossChecked),
    inch("4 BSF", "4", "4 1/2", CrossChecked),
    inch("4 1/4 BSF", "4 1/4", "4", CrossChecked),
    inch("4 1/2 BSF", "4 1/2", "4", Single),
];
