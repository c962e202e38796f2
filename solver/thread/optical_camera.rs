//! Threads of tripods, lens mounts, microscopes and microphone stands: each has its own origin
//! (RMS: DIN 58888). Diameters and pitches in the unit of the name.
//! Compared in up to 5 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, inch, mm, pipe};

/// Optics, camera and microphone.
pub(crate) static SERIES: Series = Series {
    key: "optics",
    name: "Optics, camera and microphone",
    said: &[],
    standard: None,
    angle: Some(degrees("60")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("tripod 1/4-20", "1/4", "20", CrossChecked),
    inch("tripod 3/8-16", "3/8", "16", CrossChecked),
    inch("0.535-40 optics tube", "0.535", "40", Single),
    inch("5/8-27 microphone stand", "5/8", "27", Single).also("microphone stand"),
    inch("RMS 0.8-36 W", "0.8", "36", CrossChecked).angle("55").also("RMS").note("DIN 58888; 0.7965 in, which is met too, lies inside the limits of the male thread"),
    mm("M25x0.75 objective", "25", "0.75", Single),
    inch("C-mount 1-32 UN", "1", "32", CrossChecked).also("C-mount"),
    inch("CS-mount 1-32 UN", "1", "32", CrossChecked).also("CS-mount"),
    inch("1.035-40 optics tube", "1.035", "40", Single),
    mm("M32x0.75 objective", "32", "0.75", Single),
    pipe("M39x26 lens mount", "39", "26", CrossChecked).angle("55"),
    mm("M42x1 lens mount", "42", "1", CrossChecked),
    mm("T-mount M42x0.75", "42", "0.75", CrossChecked).also("T-mount"),
];
