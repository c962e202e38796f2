//! Stub Acme: ASME B1.8; its sizes and pitches follow ASME B1.5.
//! Compared in up to 3 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{Single, SisterStandard};
use super::row::{Row, degrees, inch};

/// Stub Acme.
pub(crate) static SERIES: Series = Series {
    key: "stub-acme",
    name: "Stub Acme",
    said: &["stub acme", "acme stub", "stub"],
    standard: Some("ASME B1.8"),
    angle: Some(degrees("29")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/4-16 STUB ACME", "1/4", "16", SisterStandard),
    inch("5/16-14 STUB ACME", "5/16", "14", SisterStandard),
    inch("3/8-12 STUB ACME", "3/8", "12", SisterStandard),
    inch("7/16-12 STUB ACME", "7/16", "12", SisterStandard),
    inch("1/2-10 STUB ACME", "1/2", "10", SisterStandard),
    inch("5/8-4 STUB ACME", "5/8", "4", Single).note("not in ASME B1.8"),
    inch("5/8-8 STUB ACME", "5/8", "8", SisterStandard),
    inch("3/4-6 STUB ACME", "3/4", "6", SisterStandard),
    inch("7/8-6 STUB ACME", "7/8", "6", SisterStandard),
    inch("1-5 STUB ACME", "1", "5", SisterStandard),
    inch("1 1/8-5 STUB ACME", "1 1/8", "5", Single),
    inch("1 1/4-5 STUB ACME", "1 1/4", "5", SisterStandard),
    inch("1 3/8-4 STUB ACME", "1 3/8", "4", Single),
    inch("1 1/2-4 STUB ACME", "1 1/2", "4", SisterStandard),
    inch("1 3/4-4 STUB ACME", "1 3/4", "4", SisterStandard),
    inch("2-4 STUB ACME", "2", "4", SisterStandard),
    inch("2 1/4-3 STUB ACME", "2 1/4", "3", Single),
    inch("2 1/2-3 STUB ACME", "2 1/2", "3", SisterStandard),
    inch("2 3/4-3 STUB ACME", "2 3/4", "3", Single),
    inch("3-2 STUB ACME", "3", "2", SisterStandard),
    inch("3 1/2-2 STUB ACME", "3 1/2", "2", Single),
    inch("4-2 STUB ACME", "4", "2", Single),
];
