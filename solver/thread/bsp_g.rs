//! Parallel pipe threads, not for tight joints on the thread: ISO 228-1. The diameter is the
//! one the standard lists, not the name.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Majority, Single, Split};
use super::row::{Row, degrees, pipe};

/// BSP parallel pipe.
pub(crate) static SERIES: Series = Series {
    key: "g",
    name: "BSP parallel pipe",
    said: &["g", "bsp", "bspp"],
    standard: Some("ISO 228-1"),
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    pipe("G 1/16", "7.723", "28", CrossChecked),
    pipe("G 1/8", "9.728", "28", CrossChecked),
    pipe("G 1/4", "13.157", "19", CrossChecked),
    pipe("G 3/8", "16.662", "19", CrossChecked),
    pipe("G 1/2", "20.955", "14", CrossChecked),
    pipe("G 5/8", "22.911", "14", CrossChecked),
    pipe("G 3/4", "26.441", "14", CrossChecked),
    pipe("G 7/8", "30.201", "14", CrossChecked),
    pipe("G 1", "33.249", "11", CrossChecked),
    pipe("G 1 1/8", "37.897", "11", CrossChecked),
    pipe("G 1 1/4", "41.91", "11", CrossChecked),
    pipe("G 1 3/8", "44.32", "11", Split).note("not in ISO 228-1"),
    pipe("G 1 1/2", "47.803", "11", CrossChecked),
    pipe("G 1 5/8", "52.883", "11", Single).note("not in ISO 228-1"),
    pipe("G 1 3/4", "53.746", "11", Majority),
    pipe("G 1 7/8", "56.998", "11", Single).note("not in ISO 228-1"),
    pipe("G 2", "59.614", "11", CrossChecked),
    pipe("G 2 1/4", "65.71", "11", CrossChecked),
    pipe("G 2 1/2", "75.184", "11", CrossChecked),
    pipe("G 2 3/4", "81.534", "11", CrossChecked),
    pipe("G 3", "87.884", "11", CrossChecked),
    pipe("G 3 1/4", "93.98", "11", Single).note("not in ISO 228-1"),
    pipe("G 3 1/2", "100.33", "11", CrossChecked),
    pipe("G 3 3/4", "106.68", "11", Single).note("not in ISO 228-1"),
    pipe("G 4", "113.03", "11", CrossChecked),
    pipe("G 4 1/2", "125.73", "11", CrossChecked),
    pipe("G 5", "138.43", "11", CrossChecked),
    pipe("G 5 1/2", "151.13", "11", CrossChecked),
    pipe("G 6", "163.83", "11", CrossChecked),
    pipe("G 7", "189.23", "10", Single).note("not in ISO 228-1"),
    pipe("G 8", "214.63", "10", Single).note("not in ISO 228-1"),
    pipe("G 9", "240.03", "10", Single).note("not in ISO 228-1"),
    pipe("G 10", "265.43", "10", Single).note("not in ISO 228-1"),
    pipe("G 11", "290.83", "8", Single).note("not in ISO 228-1"),
    pipe("G 12", "316.23", "8", Single).note("not in ISO 228-1"),
    pipe("G 13", "347.472", "8", Single).note("not in ISO 228-1"),
    pipe("G 14", "372.872", "8", Single).note("not in ISO 228-1"),
    pipe("G 15", "398.272", "8", Single).note("not in ISO 228-1"),
    pipe("G 16", "423.672", "8", Single).note("not in ISO 228-1"),
    pipe("G 17", "449.072", "8", Single).note("not in ISO 228-1"),
    pipe("G 18", "474.472", "8", Single).note("not in ISO 228-1"),
];
