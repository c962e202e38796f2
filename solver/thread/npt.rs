//! American taper pipe threads: ASME B1.20.1. The diameter is the outside of the pipe.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, inch};

/// American taper pipe.
pub(crate) static SERIES: Series = Series {
    key: "npt",
    name: "American taper pipe",
    said: &["npt"],
    standard: Some("ASME B1.20.1"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/16 NPT", "5/16", "27", CrossChecked),
    inch("1/8 NPT", "0.405", "27", CrossChecked),
    inch("1/4 NPT", "0.54", "18", CrossChecked),
    inch("3/8 NPT", "0.675", "18", CrossChecked),
    inch("1/2 NPT", "0.84", "14", CrossChecked),
    inch("3/4 NPT", "1.05", "14", CrossChecked),
    inch("1 NPT", "1.315", "11 1/2", CrossChecked),
    inch("1 1/4 NPT", "1.66", "11 1/2", CrossChecked),
    inch("1 1/2 NPT", "1.9", "11 1/2", CrossChecked),
    inch("2 NPT", "2 3/8", "11 1/2", CrossChecked),
    inch("2 1/2 NPT", "2 7/8", "8", CrossChecked),
    inch("3 NPT", "3 1/2", "8", CrossChecked),
    inch("3 1/2 NPT", "4", "8", CrossChecked),
    inch("4 NPT", "4 1/2", "8", CrossChecked),
    inch("4 1/2 NPT", "5", "8", Single),
    inch("5 NPT", "5.563", "8", CrossChecked),
    inch("6 NPT", "6 5/8", "8", CrossChecked),
    inch("8 NPT", "8 5/8", "8", CrossChecked),
    inch("10 NPT", "10 3/4", "8", CrossChecked),
    inch("12 NPT", "12 3/4", "8", CrossChecked),
    inch("14 NPT", "14", "8", CrossChecked),
    inch("16 NPT", "16", "8", CrossChecked),
];
