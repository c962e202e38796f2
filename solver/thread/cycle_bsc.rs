//! Cycle threads: BS 811.
//! Compared in up to 4 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, inch};

/// British Standard Cycle.
pub(crate) static SERIES: Series = Series {
    key: "bsc",
    name: "British Standard Cycle",
    said: &["bsc", "cycle", "cei"],
    standard: Some("BS 811"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/8-40 BSC", "1/8", "40", CrossChecked),
    inch("5/32-32 BSC", "5/32", "32", CrossChecked),
    inch("3/16-32 BSC", "3/16", "32", CrossChecked),
    inch("7/32-26 BSC", "7/32", "26", Single),
    inch("1/4-26 BSC", "1/4", "26", CrossChecked),
    inch("9/32-26 BSC", "9/32", "26", Single),
    inch("5/16-26 BSC", "5/16", "26", CrossChecked),
    inch("3/8-26 BSC", "3/8", "26", CrossChecked),
    inch("7/16-20 BSC", "7/16", "20", CrossChecked).note("heavy variant, beside 26 TPI"),
    inch("7/16-26 BSC", "7/16", "26", CrossChecked),
    inch("1/2-20 BSC", "1/2", "20", CrossChecked).note("heavy variant, beside 26 TPI"),
    inch("1/2-26 BSC", "1/2", "26", CrossChecked),
    inch("9/16-20 BSC", "9/16", "20", CrossChecked).note("heavy variant, beside 26 TPI"),
    inch("9/16-26 BSC", "9/16", "26", CrossChecked),
    inch("5/8-20 BSC", "5/8", "20", CrossChecked).note("heavy variant, beside 26 TPI"),
    inch("5/8-26 BSC", "5/8", "26", CrossChecked),
    inch("11/16-20 BSC", "11/16", "20", Single).note("heavy variant, beside 26 TPI"),
    inch("11/16-26 BSC", "11/16", "26", CrossChecked),
    inch("3/4-20 BSC", "3/4", "20", CrossChecked).note("heavy variant, beside 26 TPI"),
    inch("3/4-26 BSC", "3/4", "26", CrossChecked),
    inch("31/32-30 BSC", "31/32", "30", Single),
    inch("1-24 BSC", "1", "24", Single),
    inch("1-26 BSC", "1", "26", CrossChecked),
    inch("1.370-24 BSC", "1.37", "24", Single).note("bottom brackets; called 1 3/8-24 as well"),
    inch("1 3/8-24 BSC", "1 3/8", "24", CrossChecked).note("the nominal name; the same thread as 1.370-24 BSC"),
    inch("1 3/8-26 BSC", "1 3/8", "26", Single),
];
