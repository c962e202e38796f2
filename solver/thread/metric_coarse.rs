//! ISO metric threads, coarse pitches: ISO 261 (the choice for general use: ISO 262).
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Majority};
use super::row::{Row, degrees, mm};

/// ISO metric coarse.
pub(crate) static SERIES: Series = Series {
    key: "metric-coarse",
    name: "ISO metric coarse",
    said: &["m"],
    standard: Some("ISO 261"),
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    mm("M1", "1", "0.25", CrossChecked),
    mm("M1.1", "1.1", "0.25", CrossChecked),
    mm("M1.2", "1.2", "0.25", CrossChecked),
    mm("M1.4", "1.4", "0.3", Majority),
    mm("M1.6", "1.6", "0.35", CrossChecked),
    mm("M1.7", "1.7", "0.35", CrossChecked).note("not an ISO 261 size"),
    mm("M1.8", "1.8", "0.35", CrossChecked),
    mm("M2", "2", "0.4", CrossChecked),
    mm("M2.2", "2.2", "0.45", CrossChecked),
    mm("M2.3", "2.3", "0.4", CrossChecked).note("not an ISO 261 size"),
    mm("M2.5", "2.5", "0.45", CrossChecked),
    mm("M2.6", "2.6", "0.45", CrossChecked).note("not an ISO 261 size"),
    mm("M3", "3", "0.5", CrossChecked),
    mm("M3.5", "3.5", "0.6", CrossChecked),
    mm("M4", "4", "0.7", CrossChecked),
    mm("M4.5", "4.5", "0.75", CrossChecked),
    mm("M5", "5", "0.8", CrossChecked),
    mm("M6", "6", "1", CrossChecked),
    mm("M7", "7", "1", CrossChecked),
    mm("M8", "8", "1.25", CrossChecked),
    mm("M9", "9", "1.25", CrossChecked),
    mm("M10", "10", "1.5", CrossChecked),
    mm("M11", "11", "1.5", CrossChecked),
    mm("M12", "12", "1.75", CrossChecked),
    mm("M14", "14", "2", CrossChecked),
    mm("M16", "16", "2", CrossChecked),
    mm("M18", "18", "2.5", CrossChecked),
    mm("M20", "20", "2.5", CrossChecked),
    mm("M22", "22", "2.5", CrossChecked),
    mm("M24", "24", "3", CrossChecked),
    mm("M27", "27", "3", CrossChecked),
    mm("M30", "30", "3.5", CrossChecked),
    mm("M33", "33", "3.5", CrossChecked),
    mm("M36", "36", "4", CrossChecked),
    mm("M39", "39", "4", CrossChecked),
    mm("M42", "42", "4.5", CrossChecked),
    mm("M45", "45", "4.5", CrossChecked),
    mm("M48", "48", "5", CrossChecked),
    mm("M52", "52", "5", CrossChecked),
    mm("M56", "56", "5.5", CrossChecked),
    mm("M60", "60", "5.5", CrossChecked),
    mm("M64", "64", "6", CrossChecked),
    mm("M68", "68", "6", CrossChecked),
];
