//! Taper pipe threads, tight on the thread: ISO 7-1. The diameter is that of the gauge plane;
//! sizes and pitches are shared with ISO 228-1.
//! Compared in up to 4 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, pipe};

/// BSP taper pipe.
pub(crate) static SERIES: Series = Series {
    key: "r",
    name: "BSP taper pipe",
    said: &["r", "rc", "bspt"],
    standard: Some("ISO 7-1"),
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    pipe("R 1/16", "7.723", "28", CrossChecked),
    pipe("R 1/8", "9.728", "28", CrossChecked),
    pipe("R 1/4", "13.157", "19", CrossChecked),
    pipe("R 3/8", "16.662", "19", CrossChecked),
    pipe("R 1/2", "20.955", "14", CrossChecked),
    pipe("R 3/4", "26.441", "14", CrossChecked),
    pipe("R 1", "33.249", "11", CrossChecked),
    pipe("R 1 1/4", "41.91", "11", CrossChecked),
    pipe("R 1 1/2", "47.803", "11", CrossChecked),
    pipe("R 2", "59.614", "11", CrossChecked),
    pipe("R 2 1/2", "75.184", "11", CrossChecked),
    pipe("R 3", "87.884", "11", CrossChecked),
    pipe("R 4", "113.03", "11", CrossChecked),
    pipe("R 5", "138.43", "11", Single),
    pipe("R 6", "163.83", "11", Single),
];
