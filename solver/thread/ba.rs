//! British Association: BS 93. The pitch of n BA is 0.9^n mm, rounded to two decimals; read in
//! Kaye & Laby, Tables of Physical and Chemical Constants, 1941, p. 25.
//! Compared in up to 4 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, mm};

/// British Association.
pub(crate) static SERIES: Series = Series {
    key: "ba",
    name: "British Association",
    said: &["ba"],
    standard: Some("BS 93"),
    angle: Some(degrees("47.5")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    mm("25 BA", "0.25", "0.07", Single).note("0.072 mm in three decimals (from memory)"),
    mm("24 BA", "0.29", "0.08", Single).note("0.080 mm in three decimals (from memory)"),
    mm("23 BA", "0.33", "0.09", Single).note("0.089 mm in three decimals (from memory)"),
    mm("22 BA", "0.37", "0.1", Single).note("0.098 mm in three decimals (from memory)"),
    mm("21 BA", "0.42", "0.11", Single),
    mm("20 BA", "0.48", "0.12", Single),
    mm("19 BA", "0.54", "0.14", Single),
    mm("18 BA", "0.62", "0.15", Single),
    mm("17 BA", "0.7", "0.17", Single),
    mm("16 BA", "0.79", "0.19", CrossChecked),
    mm("15 BA", "0.9", "0.21", CrossChecked),
    mm("14 BA", "1", "0.23", CrossChecked),
    mm("13 BA", "1.2", "0.25", CrossChecked),
    mm("12 BA", "1.3", "0.28", CrossChecked),
    mm("11 BA", "1.5", "0.31", CrossChecked),
    mm("10 BA", "1.7", "0.35", CrossChecked),
    mm("9 BA", "1.9", "0.39", CrossChecked),
    mm("8 BA", "2.2", "0.43", CrossChecked),
    mm("7 BA", "2.5", "0.48", CrossChecked),
    mm("6 BA", "2.8", "0.53", CrossChecked),
    mm("5 BA", "3.2", "0.59", CrossChecked),
    mm("4 BA", "3.6", "0.66", CrossChecked),
    mm("3 BA", "4.1", "0.73", CrossChecked),
    mm("2 BA", "4.7", "0.81", CrossChecked),
    mm("1 BA", "5.3", "0.9", CrossChecked),
    mm("0 BA", "6", "1", CrossChecked),
];
