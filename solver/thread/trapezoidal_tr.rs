//! ISO metric trapezoidal threads: ISO 2904. Rows of a single table are not all in it.
//! Compared in up to 4 open tables; each row says how sure it is.

use super::Series;
use super::row::{Row, by_size, degrees, mm};
use crate::Ratio;

/// ISO metric trapezoidal.
pub(crate) static SERIES: Series = Series {
    key: "tr",
    name: "ISO metric trapezoidal",
    said: &["tr"],
    standard: Some("ISO 2904"),
    angle: Some(degrees("30")),
    rows: ROWS,
};

/// Clearance between root and crest, in mm, for a pitch in mm: ISO 2904; from an open table.
pub(crate) const fn clearance(pitch: f64) -> Ratio {
    match pitch {
        _ if pitch < 2.0 => Ratio::table(3, 20),
        _ if pitch <= 5.0 => Ratio::table(1, 4),
        _ if pitch <= 12.0 => Ratio::table(1, 2),
        _ => Ratio::table(1, 1),
    }
}

const ROWS: &[Row] = by_size! {
    mm("Tr", "x", "")
    "8": 1.5;
    "9": 2, 1.5;
    "10": 2, 1.5;
    "11": 3, 2;
    "12": 3, 2;
    "14": 3, 2;
    "16": 4, 3, 2;
    "18": 4, 3, 2;
    "20": 4, 3 s, 2;
    "22": 8, 5, 3;
    "24": 8, 5, 3;
    "26": 8, 5, 3;
    "28": 8, 5, 3;
    "30": 10, 6, 3;
    "32": 10, 6, 3;
    "34": 10, 6, 3;
    "36": 10, 6, 3;
    "38": 10, 7, 3;
    "40": 10, 7, 3;
    "42": 10, 7, 3;
    "44": 12, 7, 3;
    "46": 12, 8, 3;
    "48": 12, 8, 3;
    "50": 12, 8, 3;
    "52": 12, 8, 3;
    "55": 14, 9, 3;
    "60": 14, 9, 3;
    "65": 16, 10, 4;
    "70": 16, 10, 4;
    "75": 16, 10, 4;
    "80": 16, 10, 4;
    "85": 18, 12, 4;
    "90": 18, 12, 4;
    "95": 18, 12, 4;
    "100": 20, 12, 4;
    "105": 20, 12, 4;
    "110": 20, 12, 4;
    "115": 22, 14, 12 s, 6;
    "120": 22, 14, 12 s, 6;
    "125": 22, 14, 12 s, 6;
    "130": 22, 14, 12 s, 6;
    "135": 24, 14, 12 s, 6;
    "140": 24, 14, 12 s, 6;
    "145": 24, 14, 12 s, 6;
    "150": 24, 16, 12 s, 6;
    "155": 24, 16, 12 s, 6;
    "160": 28, 16, 12 s, 6;
    "165": 28, 16, 12 s, 6;
    "170": 28, 16, 12 s, 6;
    "175": 28, 16, 12 s, 8;
    "180": 28, 18, 12 s, 8;
    "185": 32, 24 s, 18, 12 s, 8;
    "190": 32, 24 s, 18, 12 s, 8;
    "195": 32, 24 s, 18, 12 s, 8;
    "200": 32, 24 s, 18, 12 s, 8;
    "205": 4 s;
    "210": 36, 24 s, 20, 12 s, 8, 4 s;
    "215": 4 s;
    "220": 36, 24 s, 20, 12 s, 8, 4 s;
    "230": 36, 24 s, 20, 12 s, 8, 4 s;
    "235": 4 s;
    "240": 36, 24 s, 22, 20 s, 12 s, 8, 4 s;
    "250": 40, 24 s, 22, 12, 4 s;
    "260": 40, 24 s, 22, 20 s, 12, 4 s;
    "270": 40, 24, 12;
    "275": 4 s;
    "280": 40, 24, 12, 4 s;
    "290": 44, 24, 12, 4 s;
    "295": 4 s;
    "300": 44, 24, 12, 4 s;
    "310": 5 s;
    "315": 5 s;
};
