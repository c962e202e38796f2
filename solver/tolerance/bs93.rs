//! What are the tolerances of British Association threads? BS 93, 0 BA to 10 BA.
//!
//! In mm, by the pitch p. Pitch diameter, read in one open text that quotes the standard: close screws
//! 0.08 p + 0.02, normal screws 0.10 p + 0.025, nuts 0.12 p + 0.03. From memory: major diameter of a screw
//! 0.15 p or 0.20 p, minor diameter 0.16 p + 0.04 or 0.20 p + 0.05, of a nut 0.375 p; normal screws begin
//! 0.025 mm below the basic size. The standard rounds to 0.005 mm; here nothing is rounded.

use super::class::Grade;
use crate::{Ratio, Result};

/// Major diameter of 10 BA, in mm.
pub(super) const SMALLEST: Ratio = Ratio::table(17, 10);

/// Tolerances in mm.
pub(super) struct Tolerances {
    /// How far a normal screw is below the basic size.
    pub(super) allowance: Option<Ratio>,
    /// Pitch diameter.
    pub(super) pitch: Ratio,
    /// Major diameter of a screw, minor of a nut.
    pub(super) crest: Ratio,
    /// Minor diameter of a screw.
    pub(super) root: Option<Ratio>,
}

pub(super) fn tolerances(pitch: &Ratio, grade: Grade, internal: bool) -> Result<Tolerances> {
    let close = grade == Grade::Close;
    // Thousandths: a part of the pitch, and a constant.
    let line = |of_pitch: u64, more: u64| {
        pitch.times(&Ratio::table(of_pitch, 1000))?.plus(&Ratio::table(more, 1000))
    };
    let (flank, crest, root) = match (internal, close) {
        (true, _) => ((120, 30), 375, None),
        (false, true) => ((80, 20), 150, Some((160, 40))),
        (false, false) => ((100, 25), 200, Some((200, 50))),
    };
    Ok(Tolerances {
        allowance: (!internal && !close).then(|| Ratio::table(25, 1000)),
        pitch: line(flank.0, flank.1)?,
        crest: pitch.times(&Ratio::table(crest, 1000))?,
        root: root.map(|(of_pitch, more)| line(of_pitch, more)).transpose()?,
    })
}
