//! Brass thread: Whitworth form, 26 TPI at every diameter. Common practice, no standard was
//! read.
//! Compared in up to 2 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, inch};

/// British Standard Brass.
pub(crate) static SERIES: Series = Series {
    key: "bsb",
    name: "British Standard Brass",
    said: &["bsb", "brass"],
    standard: None,
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/8-26 BSB", "1/8", "26", CrossChecked),
    inch("3/16-26 BSB", "3/16", "26", Single),
    inch("1/4-26 BSB", "1/4", "26", CrossChecked),
    inch("5/16-26 BSB", "5/16", "26", CrossChecked),
    inch("3/8-26 BSB", "3/8", "26", CrossChecked),
    inch("7/16-26 BSB", "7/16", "26", CrossChecked),
    inch("1/2-26 BSB", "1/2", "26", CrossChecked),
    inch("9/16-26 BSB", "9/16", "26", Single),
    inch("5/8-26 BSB", "5/8", "26", CrossChecked),
    inch("3/4-26 BSB", "3/4", "26", CrossChecked),
    inch("7/8-26 BSB", "7/8", "26", CrossChecked),
    inch("1-26 BSB", "1", "26", CrossChecked),
    inch("1 1/8-26 BSB", "1 1/8", "26", CrossChecked),
    inch("1 1/4-26 BSB", "1 1/4", "26", CrossChecked),
    inch("1 3/8-26 BSB", "1 3/8", "26", Single),
    inch("1 1/2-26 BSB", "1 1/2", "26", CrossChecked),
    inch("1 3/4-26 BSB", "1 3/4", "26", Single),
    inch("2-26 BSB", "2", "26", Single),
];
