//! Steel conduit threads: DIN 40430 (withdrawn, still in use).
//! Compared in up to 2 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, pipe};

/// Steel conduit (Pg).
pub(crate) static SERIES: Series = Series {
    key: "pg",
    name: "Steel conduit (Pg)",
    said: &["pg"],
    standard: Some("DIN 40430"),
    angle: Some(degrees("80")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    pipe("Pg 7", "12.5", "20", CrossChecked),
    pipe("Pg 9", "15.2", "18", Single),
    pipe("Pg 11", "18.6", "18", Single),
    pipe("Pg 13.5", "20.4", "18", Single),
    pipe("Pg 16", "22.5", "18", Single),
    pipe("Pg 21", "28.3", "16", Single),
    pipe("Pg 29", "37", "16", Single),
    pipe("Pg 36", "47", "16", Single),
    pipe("Pg 42", "54", "16", Single),
    pipe("Pg 48", "59.3", "16", Single),
];
