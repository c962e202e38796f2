//! What are the tolerances of ISO trapezoidal threads? ISO 2903, classes 7e and 8e of screws, 7H and
//! 8H of nuts.
//!
//! From memory, in micrometres, and unverified against the standard. The tests compare each figure
//! with the published formulas of ISO 965-1: Td2 of grade 6 is 90 P^0.4 d^0.1 (d the geometric mean
//! of the range), a screw's crest 0.63 (180 P^(2/3) - 3.15 / √P), a nut's 0.63 x 230 P^0.7, position
//! e 50 + 11 P; rounded to the series R 40, where a step is 6 %. Grades are four steps apart, a
//! nut's pitch diameter five above a screw's. A screw's root may be 1.25 Td2 + e below its greatest.
//! Pitches over 12 mm are left out: their deviations differ from the formula.

use super::class::Grade;
use crate::{Error, Length, Ratio, Result};

/// ISO 497, R 40, the part needed here.
const R40: [u64; 42] = [
    125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300, 315, 335, 355,
    375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950, 1000,
    1060, 1120, 1180, 1250, 1320,
];

/// Figures by the pitch (thousandths of a mm): position e, tolerances of the crests.
struct Crest {
    pitch: u64,
    deviation: u64,
    screw: u64,
    nut: u64,
}

const fn crest(pitch: u64, deviation: u64, screw: u64, nut: u64) -> Crest {
    Crest { pitch, deviation, screw, nut }
}

const CRESTS: [Crest; 11] = [
    crest(1500, 67, 150, 190),
    crest(2000, 71, 180, 236),
    crest(3000, 85, 236, 315),
    crest(4000, 95, 300, 375),
    crest(5000, 106, 335, 450),
    crest(6000, 118, 375, 500),
    crest(7000, 125, 425, 560),
    crest(8000, 132, 450, 630),
    crest(9000, 140, 500, 670),
    crest(10_000, 150, 530, 710),
    crest(12_000, 170, 600, 800),
];

/// Diameters over the first up to the second (tenths of a mm); pitch (thousandths) and Td2 of grade 6.
type Range = (u64, u64, &'static [(u64, u64)]);

#[rustfmt::skip]
const FLANKS: [Range; 6] = [
    (56, 112, &[(1500, 132), (2000, 150), (3000, 170)]),
    (112, 224, &[(2000, 160), (3000, 180), (4000, 212), (5000, 224), (8000, 280)]),
    (224, 450, &[(3000, 200), (5000, 236), (6000, 265), (7000, 280), (8000, 300), (10_000, 315), (12_000, 335)]),
    (450, 900, &[(3000, 212), (4000, 250), (8000, 315), (9000, 335), (10_000, 335), (12_000, 375)]),
    (900, 1800, &[(4000, 265), (6000, 300), (8000, 335), (12_000, 400)]),
    (1800, 3550, &[(8000, 355), (12_000, 425)]),
];

/// Tolerances in mm.
pub(super) struct Tolerances {
    /// Position e.
    pub(super) deviation: Ratio,
    /// Pitch diameter.
    pub(super) pitch: Ratio,
    /// Major diameter of a screw, minor of a nut.
    pub(super) crest: Ratio,
}

/// Of a size and grade.
///
/// # Errors
/// If there is no figure for it.
pub(super) fn tolerances(
    diameter: &Length,
    pitch: &Length,
    grade: Grade,
    internal: bool,
) -> Result<Tolerances> {
    let um = |um| Ratio::table(um, 1000);
    let is_pitch = |thousandths: u64| pitch.mm() == um(thousandths);
    let within = |range: &&Range| {
        let [over, to] = [range.0, range.1].map(|tenths| Ratio::table(tenths, 10));
        diameter.mm() > over && diameter.mm() <= to
    };
    let flank = FLANKS.iter().find(within).and_then(|range| {
        let base = range.2.iter().find(|(pitch, _)| is_pitch(*pitch))?.1;
        let steps = grade.steps() + if internal { 5 } else { 0 };
        R40.get(R40.iter().position(|step| *step == base)? + steps)
    });
    let crest = CRESTS.iter().find(|row| is_pitch(row.pitch));
    let (Some(flank), Some(crest)) = (flank, crest) else {
        return Err(Error::no_such(format!(
            "no tolerance is known here for a pitch of {pitch} on {diameter}"
        ))
        .with_hint("the tables of ISO 2903"));
    };
    Ok(Tolerances {
        deviation: um(crest.deviation),
        pitch: um(*flank),
        crest: um(if internal { crest.nut } else { crest.screw }),
    })
}

#[cfg(test)]
#[expect(clippy::float_arithmetic, reason = "the standard's formulas have broken powers")]
mod tests {
    use super::*;

    fn float(value: u64) -> f64 {
        f64::from(u32::try_from(value).unwrap())
    }

    /// Distance between two figures in steps of R 40: twice 20 steps make ten times as much.
    fn steps_off(figure: u64, formula: f64) -> f64 {
        (40.0 * (float(figure) / formula).log10()).abs()
    }

    /// Formulas of ISO 965-1, from two open texts. In its own table 1 row in 9 is the next step.
    #[test]
    fn figures_from_memory_lie_within_a_step_of_the_formulas() {
        for (over, to, pitches) in FLANKS {
            let mean = (float(over) * float(to)).sqrt() / 10.0;
            for (pitch, um) in pitches {
                let formula = 90.0 * (float(*pitch) / 1000.0).powf(0.4) * mean.powf(0.1);
                assert!(steps_off(*um, formula) < 1.0, "{to} {pitch}: {um} {formula}");
            }
        }
        for row in &CRESTS {
            let p = float(row.pitch) / 1000.0;
            let screw = 0.63 * (180.0 * p.powf(2.0 / 3.0) - 3.15 / p.sqrt());
            let nut = 0.63 * 230.0 * p.powf(0.7);
            let e = 50.0 + 11.0 * p;
            assert!(steps_off(row.screw, screw) < 1.0, "{p}: {} {screw}", row.screw);
            assert!(steps_off(row.nut, nut) < 1.0, "{p}: {} {nut}", row.nut);
            assert!(steps_off(row.deviation, e) < 1.4, "{p}: {} {e}", row.deviation);
        }
    }

    /// R 40 is 10^(1/40) a step, rounded (ISO 497).
    #[test]
    fn steps_are_those_of_r_40() {
        for pair in R40.windows(2) {
            let step = float(pair[1]) / float(pair[0]);
            assert!((1.04..1.08).contains(&step), "{pair:?}");
        }
        for (index, step) in (0_u32..).zip(R40) {
            let exact = 125.0 * 10.0_f64.powf(f64::from(index) / 40.0);
            assert!((float(step) / exact - 1.0).abs() < 0.02, "{step} {exact}");
        }
    }
}
