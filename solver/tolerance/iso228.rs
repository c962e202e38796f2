//! What are the tolerances of parallel pipe threads? ISO 228-1, by pitch and size.
//!
//! The pitch diameter is from two open tables. The crests are from memory: the bolt's major diameter
//! has the tolerance of class B, the nut's minor diameter one for each pitch.

use crate::{Length, Ratio};

struct Row {
    tpi: u64,
    /// Major diameters, micrometres.
    sizes: &'static [u64],
    /// Pitch diameter of the internal thread and of class A, micrometres; class B has twice that.
    pitch: u64,
    /// Minor diameter of the internal thread.
    minor: u64,
}

/// G 1/16 to G 6; at 11 TPI the tolerance is larger after G 2.
#[rustfmt::skip]
const TABLE: [Row; 5] = [
    Row { tpi: 28, sizes: &[7_723, 9_728], pitch: 107, minor: 282 },
    Row { tpi: 19, sizes: &[13_157, 16_662], pitch: 125, minor: 445 },
    Row { tpi: 14, sizes: &[20_955, 22_911, 26_441, 30_201], pitch: 142, minor: 541 },
    Row { tpi: 11, sizes: &[33_249, 37_897, 41_910, 47_803, 53_746, 59_614], pitch: 180, minor: 640 },
    Row {
        tpi: 11,
        sizes: &[65_710, 75_184, 81_534, 87_884, 100_330, 113_030, 125_730, 138_430, 151_130, 163_830],
        pitch: 217,
        minor: 640,
    },
];

/// Tolerances in mm.
pub(super) struct Tolerances {
    /// Pitch diameter, class A and internal.
    pub(super) fine: Ratio,
    /// Pitch diameter, class B; and major diameter of either.
    pub(super) coarse: Ratio,
    /// Minor diameter, internal.
    pub(super) minor: Ratio,
}

/// Of a pipe thread of this size, if the standard has it.
pub(super) fn tolerances(diameter: &Length, pitch: &Length) -> Option<Tolerances> {
    let row = TABLE.iter().find(|row| {
        pitch.mm() == Ratio::table(127, 5 * row.tpi)
            && row.sizes.iter().any(|um| diameter.mm() == Ratio::table(*um, 1000))
    })?;
    let um = |um| Ratio::table(um, 1000);
    Some(Tolerances { fine: um(row.pitch), coarse: um(2 * row.pitch), minor: um(row.minor) })
}
