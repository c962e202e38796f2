//! Worms by diametral pitch: pitch = pi / DP inches, lead = pitch x starts. The table is a
//! selection; any DP can be asked for.

use super::Series;
use super::row::{Row, dp};

/// Worm by diametral pitch.
pub(crate) static SERIES: Series = Series {
    key: "dp",
    name: "Worm by diametral pitch",
    said: &["dp"],
    standard: None,
    angle: None,
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    dp("6 DP", "6"),
    dp("8 DP", "8"),
    dp("10 DP", "10"),
    dp("12 DP", "12"),
    dp("14 DP", "14"),
    dp("16 DP", "16"),
    dp("18 DP", "18"),
    dp("20 DP", "20"),
    dp("22 DP", "22"),
    dp("24 DP", "24"),
    dp("26 DP", "26"),
    dp("28 DP", "28"),
    dp("30 DP", "30"),
    dp("32 DP", "32"),
    dp("36 DP", "36"),
    dp("40 DP", "40"),
    dp("48 DP", "48"),
    dp("64 DP", "64"),
];
