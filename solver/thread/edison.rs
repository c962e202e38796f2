//! Lamp caps with a rolled round thread. E26/E27 is from a table, the others are from memory.
//! Read in one open table.

use super::Series;
use super::Sureness::{Memory, Single};
use super::row::{Row, pipe};

/// Edison lamp cap.
pub(crate) static SERIES: Series = Series {
    key: "edison",
    name: "Edison lamp cap",
    said: &["e", "edison"],
    standard: None,
    angle: None,
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    pipe("E10", "10", "14", Memory),
    pipe("E14", "14", "9", Memory),
    pipe("E27", "27", "7", Single).also("E26").note("E26 has the same pitch"),
    pipe("E33", "33", "6", Memory),
    pipe("E40", "40", "4", Memory),
];
