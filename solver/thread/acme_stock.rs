//! Acme rod and nut sizes that are common in stock but are not in ASME B1.5.
//! Read in one open table.

use super::Series;
use super::Sureness::Single;
use super::row::{Row, degrees, inch};

/// Acme outside the standard.
pub(crate) static SERIES: Series = Series {
    key: "acme-stock",
    name: "Acme outside the standard",
    said: &["acme"],
    standard: None,
    angle: Some(degrees("29")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("5/8-6 ACME", "5/8", "6", Single),
    inch("5/8-10 ACME", "5/8", "10", Single),
    inch("3/4-5 ACME", "3/4", "5", Single),
    inch("3/4-8 ACME", "3/4", "8", Single),
    inch("3/4-10 ACME", "3/4", "10", Single),
    inch("7/8-5 ACME", "7/8", "5", Single),
    inch("7/8-8 ACME", "7/8", "8", Single),
    inch("1-4 ACME", "1", "4", Single),
    inch("1-6 ACME", "1", "6", Single),
    inch("1-8 ACME", "1", "8", Single),
    inch("1-10 ACME", "1", "10", Single),
    inch("1 1/8-4 ACME", "1 1/8", "4", Single),
    inch("1 1/8-6 ACME", "1 1/8", "6", Single),
];
