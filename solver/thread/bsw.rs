//! British Standard Whitworth: BS 84.
//! Compared in up to 6 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Majority};
use super::row::{Row, degrees, inch};

/// British Standard Whitworth.
pub(crate) static SERIES: Series = Series {
    key: "bsw",
    name: "British Standard Whitworth",
    said: &["bsw", "whitworth", "whit"],
    standard: Some("BS 84"),
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/16 BSW", "1/16", "60", CrossChecked),
    inch("3/32 BSW", "3/32", "48", CrossChecked),
    inch("1/8 BSW", "1/8", "40", CrossChecked),
    inch("5/32 BSW", "5/32", "32", CrossChecked),
    inch("3/16 BSW", "3/16", "24", CrossChecked),
    inch("7/32 BSW", "7/32", "24", CrossChecked),
    inch("1/4 BSW", "1/4", "20", CrossChecked),
    inch("5/16 BSW", "5/16", "18", CrossChecked),
    inch("3/8 BSW", "3/8", "16", CrossChecked),
    inch("7/16 BSW", "7/16", "14", CrossChecked),
    inch("1/2 BSW", "1/2", "12", CrossChecked),
    inch("9/16 BSW", "9/16", "12", CrossChecked),
    inch("5/8 BSW", "5/8", "11", CrossChecked),
    inch("11/16 BSW", "11/16", "11", CrossChecked),
    inch("3/4 BSW", "3/4", "10", CrossChecked),
    inch("7/8 BSW", "7/8", "9", CrossChecked),
    inch("1 BSW", "1", "8", CrossChecked),
    inch("1 1/8 BSW", "1 1/8", "7", CrossChecked),
    inch("1 1/4 BSW", "1 1/4", "7", CrossChecked),
    inch("1 3/8 BSW", "1 3/8", "6", CrossChecked),
    inch("1 1/2 BSW", "1 1/2", "6", CrossChecked),
    inch("1 5/8 BSW", "1 5/8", "5", CrossChecked),
    inch("1 3/4 BSW", "1 3/4", "5", CrossChecked),
    inch("1 7/8 BSW", "1 7/8", "4 1/2", CrossChecked),
    inch("2 BSW", "2", "4 1/2", CrossChecked),
    inch("2 1/4 BSW", "2 1/4", "4", CrossChecked),
    inch("2 1/2 BSW", "2 1/2", "4", CrossChecked),
    inch("2 3/4 BSW", "2 3/4", "3 1/2", CrossChecked),
    inch("3 BSW", "3", "3 1/2", CrossChecked),
    inch("3 1/4 BSW", "3 1/4", "3 1/4", CrossChecked),
    inch("3 1/2 BSW", "3 1/2", "3 1/4", CrossChecked),
    inch("3 3/4 BSW", "3 3/4", "3", CrossChecked),
    inch("4 BSW", "4", "3", CrossChecked),
    inch("4 1/4 BSW", "4 1/4", "2 7/8", Majority),
    inch("4 1/2 BSW", "4 1/2", "2 7/8", Majority),
    inch("4 3/4 BSW", "4 3/4", "2 3/4", CrossChecked),
    inch("5 BSW", "5", "2 3/4", CrossChecked),
    inch("5 1/4 BSW", "5 1/4", "2 5/8", CrossChecked),
    inch("5 1/2 BSW", "5 1/2", "2 5/8", CrossChecked),
    inch("5 3/4 BSW", "5 3/4", "2 1/2", CrossChecked),
    inch("6 BSW", "6", "2 1/2", CrossChecked),
];
