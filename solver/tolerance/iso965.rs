//! What are the tolerances and fundamental deviations of ISO metric threads? ISO 965-1.
//!
//! Figures are as the table prints them, in micrometres, with a letter for their source: none, two
//! or more open tables agree; `s`, one table only (Machinery's Handbook, 31st ed., p. 2025); `d`,
//! the tables disagree; `m`, from memory, and within one R40 step of the standard's formula. The
//! crest table and the deviations are from memory as a whole, and tested against their formulas.
//! Uncertain figures of nuts at 0.2 and 0.25 mm are left out.

use super::class::Letter;
use crate::thread::Sureness;
use crate::{Error, Length, Ratio, Result};

/// One figure of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cell {
    um: u64,
    pub(super) sureness: Sureness,
}

impl Cell {
    /// In mm.
    pub(super) const fn mm(&self) -> Ratio {
        Ratio::table(self.um, 1000)
    }
}

/// Upper ends of the diameter ranges in micrometres; the first begins above 0.99 mm. Each range
/// includes its upper end.
const RANGES: [u64; 9] = [1_400, 2_800, 5_600, 11_200, 22_400, 45_000, 90_000, 180_000, 355_000];
const ABOVE: u64 = 990;

/// The upper end of the range of a diameter, in micrometres.
pub(super) fn range(diameter: &Length) -> Option<u64> {
    let mm = diameter.mm();
    let within = |um: &u64| mm <= Ratio::table(*um, 1000);
    RANGES.into_iter().find(within).filter(|_| mm > Ratio::table(ABOVE, 1000))
}

/// Whether a table's pitch, in micrometres, is this one.
pub(super) fn is_pitch(um: u64, pitch: &Length) -> bool {
    pitch.mm() == Ratio::table(um, 1000)
}

/// Tolerances of one diameter range and pitch: one for each grade from the first.
struct Row<const N: usize> {
    up_to: u64,
    pitch: u64,
    grades: [Option<Cell>; N],
}

const fn row<const N: usize>(up_to: &str, pitch: &str, grades: &str) -> Row<N> {
    Row { up_to: thousandths(up_to), pitch: thousandths(pitch), grades: cells(grades) }
}

/// Figures that depend on the pitch alone.
struct Crest {
    pitch: u64,
    /// Deviations at e, f, g (below the basic size); G is as far above as g is below.
    deviations: [Option<Cell>; 3],
    /// Td, major diameter of the bolt: grades 4, 6, 8.
    bolt: [Option<Cell>; 3],
    /// TD1, minor diameter of the nut: grades 4 to 8.
    nut: [Option<Cell>; 5],
}

const fn crest(pitch: &str, deviations: &str, bolt: &str, nut: &str) -> Crest {
    Crest {
        pitch: thousandths(pitch),
        deviations: cells(deviations),
        bolt: cells(bolt),
        nut: cells(nut),
    }
}

/// `25s 32 - 50m`: figures, and where there is none.
const fn cells<const N: usize>(text: &str) -> [Option<Cell>; N] {
    let text = text.as_bytes();
    let mut found = [None; N];
    let (mut at, mut n) = (0, 0);
    while at < text.len() {
        let mut um = 0;
        while at < text.len() && text[at].is_ascii_digit() {
            um = um * 10 + (text[at] - b'0') as u64;
            at += 1;
        }
        let mark = if at < text.len() { text[at] } else { b' ' };
        if um > 0 {
            found[n] = Some(Cell { um, sureness: sureness(mark) });
        }
        at += if mark == b' ' { 1 } else { 2 };
        n += 1;
    }
    assert!(n == N, "a figure or a dash for each grade");
    found
}

const fn sureness(mark: u8) -> Sureness {
    match mark {
        b' ' => Sureness::CrossChecked,
        b's' => Sureness::Single,
        b'd' => Sureness::Split,
        b'm' => Sureness::Memory,
        _ => panic!("a mark is s, d or m"),
    }
}

/// `0.35` as 350.
pub(super) const fn thousandths(text: &str) -> u64 {
    let text = text.as_bytes();
    let (mut value, mut places, mut at) = (0, 0, 0);
    let mut behind = false;
    while at < text.len() {
        if text[at] == b'.' {
            behind = true;
        } else {
            assert!(text[at].is_ascii_digit());
            value = value * 10 + (text[at] - b'0') as u64;
            places += behind as u32;
        }
        at += 1;
    }
    assert!(places <= 3);
    value * 10_u64.pow(3 - places)
}

/// Td2, grades 3 to 9.
#[rustfmt::skip]
const BOLT: &[Row<7>] = &[
    row("1.4", "0.2", "24m 30m 38m 48m - - -"),
    row("1.4", "0.25", "26m 34m 42m 53m - - -"),
    row("1.4", "0.3", "28m 36m 45m 56m - - -"),
    row("2.8", "0.2", "25s 32 40s 50 - - -"),
    row("2.8", "0.25", "28s 36 45s 56 - - -"),
    row("2.8", "0.35", "32s 40 50s 63 80s - -"),
    row("2.8", "0.4", "34s 42 53s 67 85s - -"),
    row("2.8", "0.45", "36s 45 56s 71 90s - -"),
    row("5.6", "0.35", "34s 42 53s 67 85s - -"),
    row("5.6", "0.5", "38s 48 60s 75 95s - -"),
    row("5.6", "0.6", "42s 53 67s 85 106s - -"),
    row("5.6", "0.7", "45s 56 71s 90 112s - -"),
    row("5.6", "0.75", "45s 56 71s 90 112s - -"),
    row("5.6", "0.8", "48s 60 75s 95 118s 150s 190s"),
    row("11.2", "0.75", "50s 63 80s 100 125s - -"),
    row("11.2", "1", "56s 71 90s 112 140s 180s 224s"),
    row("11.2", "1.25", "60s 75 95s 118 150s 190s 236s"),
    row("11.2", "1.5", "67s 85 106s 132 170s 212s 265s"),
    row("22.4", "1", "60s 75 95s 118 150s 190s 236s"),
    row("22.4", "1.25", "67s 85 106s 132 170s 212s 265s"),
    row("22.4", "1.5", "71s 90 112s 140 180s 224s 280s"),
    row("22.4", "1.75", "75s 95 118s 150 190s 236s 300s"),
    row("22.4", "2", "80s 100 125s 160 200s 250s 315s"),
    row("22.4", "2.5", "85s 106 132s 170 212s 265s 335s"),
    row("45", "1", "63s 80 100s 125 160s 200s 250s"),
    row("45", "1.5", "75s 95 118s 150 190s 236s 300s"),
    row("45", "2", "85s 106 132s 170 212s 265s 335s"),
    row("45", "3", "100s 125 160s 200 250s 315m 400m"),
    row("45", "3.5", "106m 132m 170m 212m 265m 335m 425m"),
    row("45", "4", "112m 140m 180m 224m 280m 355m 450m"),
    row("45", "4.5", "118m 150m 190m 236m 300m 375m 475m"),
    row("90", "1.5", "80m 100m 125m 160 200m 250m 315m"),
    row("90", "2", "90m 112m 140m 180 224m 280m 355m"),
    row("90", "3", "106m 132m 170m 212m 265m 335m 425m"),
    row("90", "4", "118m 150m 190m 236m 300m 375m 475m"),
    row("90", "5", "125m 160m 200m 250 315m 400m 500m"),
    row("90", "5.5", "132m 170m 212m 265m 335m 425m 530m"),
    row("90", "6", "140m 180m 224m 280m 355m 450m 560m"),
    row("180", "2", "95m 118m 150m 190m 236m 300m 375m"),
    row("180", "3", "112m 140m 180m 224m 280m 355m 450m"),
    row("180", "4", "125m 160m 200m 250m 315m 400m 500m"),
    row("180", "6", "150m 190m 236m 300m 375m 475m 600m"),
    row("180", "8", "170m 212m 265m 335m 425m 530m 670m"),
    row("355", "3", "125m 160m 200m 250m 315m 400m 500m"),
    row("355", "4", "140m 180m 224m 280m 355m 450m 560m"),
    row("355", "6", "160m 200m 250m 315m 400m 500m 630m"),
    row("355", "8", "180m 224m 280m 355m 450m 560m 710m"),
];

/// TD2, grades 4 to 8.
#[rustfmt::skip]
const NUT: &[Row<5>] = &[
    row("1.4", "0.2", "40m - - - -"),
    row("1.4", "0.25", "45m 56m - - -"),
    row("1.4", "0.3", "48m 60m 75m - -"),
    row("2.8", "0.2", "42m - - - -"),
    row("2.8", "0.25", "48m 60m - - -"),
    row("2.8", "0.35", "53m 67m 85 - -"),
    row("2.8", "0.4", "56m 71m 90 - -"),
    row("2.8", "0.45", "60m 75m 95 - -"),
    row("5.6", "0.35", "56m 71m 90m - -"),
    row("5.6", "0.5", "63m 80m 100 125m -"),
    row("5.6", "0.6", "71m 90m 112 140m -"),
    row("5.6", "0.7", "75m 95m 118 150m -"),
    row("5.6", "0.75", "75m 95m 118 150m -"),
    row("5.6", "0.8", "80m 100m 125 160m 200m"),
    row("11.2", "0.75", "85m 106m 132 170m -"),
    row("11.2", "1", "95m 118m 150 190m 236m"),
    row("11.2", "1.25", "100m 125m 160 200m 250m"),
    row("11.2", "1.5", "112m 140m 180 224m 280m"),
    row("22.4", "1", "100m 125m 160 200m 250m"),
    row("22.4", "1.25", "112m 140m 180d 224m 280m"),
    row("22.4", "1.5", "118m 150m 190 236m 300m"),
    row("22.4", "1.75", "125m 160m 200 250m 315m"),
    row("22.4", "2", "132m 170m 212 265m 335m"),
    row("22.4", "2.5", "140m 180m 224 280m 355m"),
    row("45", "1", "106m 132m 170m 212m -"),
    row("45", "1.5", "125m 160m 200 250m 315m"),
    row("45", "2", "140m 180m 224 280m 355m"),
    row("45", "3", "170m 212m 265 335m 425m"),
    row("45", "3.5", "180m 224m 280 355m 450m"),
    row("45", "4", "190m 236m 300 375m 475m"),
    row("45", "4.5", "200m 250m 315 400m 500m"),
    row("90", "1.5", "132m 170m 212 265m 335m"),
    row("90", "2", "150m 190m 236 300m 375m"),
    row("90", "3", "180m 224m 280m 355m 450m"),
    row("90", "4", "200m 250m 315m 400m 500m"),
    row("90", "5", "212m 265m 335 425m 530m"),
    row("90", "5.5", "224m 280m 355 450m 560m"),
    row("90", "6", "236m 300m 375 475m 600m"),
    row("180", "2", "160s 200s 250 315s 400s"),
    row("180", "3", "190s 236s 300 375s 475s"),
    row("180", "4", "212s 265s 335s 425s 530s"),
    row("180", "6", "250s 315s 400 500s 630s"),
    row("180", "8", "280s 355s 450 560s 710s"),
    row("355", "3", "212s 265s 335 425s 530s"),
    row("355", "4", "236s 300s 375s 475s 600s"),
    row("355", "6", "265s 335s 425s 530s 670s"),
    row("355", "8", "300s 375s 475s 600s 750s"),
];

/// Deviations at e, f, g; Td at grades 4, 6, 8; TD1 at grades 4 to 8. All from memory.
#[rustfmt::skip]
const CREST: &[Crest] = &[
    crest("0.2", "- - 17", "36 56 -", "38 - - - -"),
    crest("0.25", "- - 18", "42 67 -", "45 56 - - -"),
    crest("0.3", "- - 18", "48 75 -", "53 67 85 - -"),
    crest("0.35", "- 34 19", "53 85 -", "63 80 100 - -"),
    crest("0.4", "- 34 19", "60 95 -", "71 90 112 - -"),
    crest("0.45", "- 35 20", "63 100 -", "80 100 125 - -"),
    crest("0.5", "50 36 20", "67 106 -", "90 112 140 180 -"),
    crest("0.6", "53 36 21", "80 125 -", "100 125 160 200 -"),
    crest("0.7", "56 38 22", "90 140 -", "112 140 180 224 -"),
    crest("0.75", "56 38 22", "90 140 -", "118 150 190 236 -"),
    crest("0.8", "60 38 24", "95 150 236", "125 160 200 250 315"),
    crest("1", "60 40 26", "112 180 280", "150 190 236 300 375"),
    crest("1.25", "63 42 28", "132 212 335", "170 212 265 335 425"),
    crest("1.5", "67 45 32", "150 236 375", "190 236 300 375 475"),
    crest("1.75", "71 48 34", "170 265 425", "212 265 335 425 530"),
    crest("2", "71 52 38", "180 280 450", "236 300 375 475 600"),
    crest("2.5", "80 58 42", "212 335 530", "280 355 450 560 710"),
    crest("3", "85 63 48", "236 375 600", "315 400 500 630 800"),
    crest("3.5", "90 70 53", "265 425 670", "355 450 560 710 900"),
    crest("4", "95 75 60", "300 475 750", "375 475 600 750 950"),
    crest("4.5", "100 80 63", "315 500 800", "425 530 670 850 1060"),
    crest("5", "106 85 71", "335 530 850", "450 560 710 900 1120"),
    crest("5.5", "112 90 75", "355 560 900", "475 600 750 950 1180"),
    crest("6", "118 95 80", "375 600 950", "500 630 800 1000 1250"),
    crest("8", "140 118 100", "450 710 1180", "630 800 1000 1250 1600"),
];

/// The figures of a diameter and pitch.
fn of<const N: usize>(rows: &[Row<N>], d: &Length, pitch: &Length) -> [Option<Cell>; N] {
    let up_to = range(d);
    let mut rows = rows.iter();
    let row = rows.find(|row| Some(row.up_to) == up_to && is_pitch(row.pitch, pitch));
    row.map_or([None; N], |row| row.grades)
}

/// The figure of a grade, or an error with the grades that exist.
fn pick(
    graded: impl Iterator<Item = (u8, Option<Cell>)>,
    grade: u8,
    missing: impl FnOnce(&[String]) -> Error,
) -> Result<Cell> {
    let there: Vec<(u8, Cell)> = graded.filter_map(|(g, cell)| Some((g, cell?))).collect();
    let found = there.iter().find(|(g, _)| *g == grade).map(|(_, cell)| *cell);
    found.ok_or_else(|| {
        let grades: Vec<String> = there.iter().map(|(g, _)| g.to_string()).collect();
        missing(&grades)
    })
}

/// Tolerance of the pitch diameter: Td2 or TD2.
pub(super) fn pitch_tolerance(
    diameter: &Length,
    pitch: &Length,
    grade: u8,
    internal: bool,
) -> Result<Cell> {
    let missing = |grades: &[String]| missing(diameter, pitch, grade, "pitch diameter", grades);
    if internal {
        pick((4..).zip(of(NUT, diameter, pitch)), grade, missing)
    } else {
        pick((3..).zip(of(BOLT, diameter, pitch)), grade, missing)
    }
}

/// Tolerance of the crest: Td of the bolt's major diameter or TD1 of the nut's minor diameter.
pub(super) fn crest_tolerance(
    diameter: &Length,
    pitch: &Length,
    grade: u8,
    internal: bool,
) -> Result<Cell> {
    let what = if internal { "minor diameter" } else { "major diameter" };
    let missing = |grades: &[String]| missing(diameter, pitch, grade, what, grades);
    let row = CREST.iter().find(|row| is_pitch(row.pitch, pitch));
    if internal {
        pick((4..).zip(row.map_or([None; 5], |row| row.nut)), grade, missing)
    } else {
        pick([4, 6, 8].into_iter().zip(row.map_or([None; 3], |row| row.bolt)), grade, missing)
    }
}

/// How far a position is from the basic size; `None`: at it.
pub(super) fn deviation(
    diameter: &Length,
    pitch: &Length,
    letter: Letter,
    internal: bool,
) -> Result<Option<Ratio>> {
    let column = match (letter, internal) {
        (Letter::H, _) => return Ok(None),
        (Letter::E, false) => 0,
        (Letter::F, false) => 1,
        (Letter::G, _) => 2,
        (Letter::E | Letter::F, true) => {
            return Err(Error::conflict("a nut has positions G and H only"));
        }
    };
    let row = CREST.iter().find(|row| is_pitch(row.pitch, pitch));
    let cell = row.and_then(|row| row.deviations[column]);
    cell.map(|cell| Some(cell.mm())).ok_or_else(|| {
        Error::no_such(format!(
            "ISO 965-1 has no position {} at {diameter} x {pitch}",
            letter.name(internal)
        ))
        .with_hint("position h or H, or g or G at its pitches of 0.2 to 8 mm")
    })
}

fn missing(diameter: &Length, pitch: &Length, grade: u8, what: &str, grades: &[String]) -> Error {
    let hint = match (grades, pitches(diameter).as_slice()) {
        ([], []) => "diameters over 0.99 mm, to 355 mm".to_owned(),
        ([], some) => format!("at that diameter it has pitches of {} mm", some.join(", ")),
        (some, _) => format!("there it has grade {}", some.join(", ")),
    };
    Error::no_such(format!("ISO 965-1 has no grade {grade} for the {what} at {diameter} x {pitch}"))
        .with_hint(hint)
}

/// The pitches that have tolerances at a diameter, as text.
fn pitches(diameter: &Length) -> Vec<String> {
    let up_to = range(diameter);
    let rows = BOLT.iter().filter(|row| Some(row.up_to) == up_to);
    rows.map(|row| Ratio::table(row.pitch, 1000).to_f64().to_string()).collect()
}

#[cfg(test)]
#[expect(clippy::float_arithmetic, reason = "formulas to hold a table against")]
mod tests {
    use super::*;

    /// The steps of R40 for rounding tolerances (ISO 3), in one decade.
    const R40: [f64; 40] = [
        100.0, 106.0, 112.0, 118.0, 125.0, 132.0, 140.0, 150.0, 160.0, 170.0, 180.0, 190.0, 200.0,
        212.0, 224.0, 236.0, 250.0, 265.0, 280.0, 300.0, 315.0, 335.0, 355.0, 375.0, 400.0, 425.0,
        450.0, 475.0, 500.0, 530.0, 560.0, 600.0, 630.0, 670.0, 710.0, 750.0, 800.0, 850.0, 900.0,
        950.0,
    ];

    /// Which step, counted from 1 micrometre, is nearest.
    fn step(um: f64) -> i64 {
        let decade = um.log10().floor();
        let in_decade = um / 10.0_f64.powf(decade) * 100.0;
        let off = |at: &usize| (R40.get(*at).copied().unwrap_or(1000.0) / in_decade).ln().abs();
        let near = (0..=40).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap();
        #[expect(clippy::cast_possible_truncation, reason = "a small whole number")]
        let decades = decade as i64;
        decades * 40 + i64::try_from(near).unwrap()
    }

    #[expect(clippy::cast_precision_loss, reason = "table figures are small")]
    fn float(um: u64) -> f64 {
        um as f64
    }

    /// How many figures are no step, one step or more from a formula.
    fn steps_off<const N: usize>(
        rows: impl Iterator<Item = ([Option<Cell>; N], [f64; N])>,
    ) -> [u32; 3] {
        let mut counts = [0; 3];
        for (cells, formula) in rows {
            for (cell, formula) in cells.into_iter().zip(formula) {
                let Some(cell) = cell else { continue };
                let off = (step(float(cell.um)) - step(formula)).unsigned_abs().min(2);
                counts[usize::try_from(off).unwrap()] += 1;
            }
        }
        counts
    }

    /// ISO 965-1: Td2(6) = 90 P^0.4 d^0.1, d the geometric mean of the range.
    fn flank(up_to: u64, pitch: u64) -> f64 {
        let at = RANGES.iter().position(|end| *end == up_to).unwrap();
        let over = if at == 0 { ABOVE } else { RANGES[at - 1] };
        let mean = (float(over) * float(up_to)).sqrt() / 1000.0;
        90.0 * (float(pitch) / 1000.0).powf(0.4) * mean.powf(0.1)
    }

    #[test]
    fn r40_steps_are_told_apart() {
        assert_eq!(step(100.0) - step(95.0), 1);
        assert_eq!(step(1060.0) - step(1000.0), 1);
        assert_eq!(step(42.0) - step(40.0), 1);
        assert_eq!(step(24.0) - step(18.0), 5);
    }

    /// The standard rounds the formula to R40 and prints some figures one step further.
    #[test]
    fn flank_tolerances_are_within_one_step_of_the_formula() {
        let bolts = BOLT.iter().map(|row| {
            let six = flank(row.up_to, row.pitch);
            (row.grades, [0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0].map(|share| share * six))
        });
        assert_eq!(steps_off(bolts), [264, 32, 0]);
        let nuts = NUT.iter().map(|row| {
            let six = flank(row.up_to, row.pitch);
            (row.grades, [0.85, 1.06, 1.32, 1.7, 2.12].map(|share| share * six))
        });
        assert_eq!(steps_off(nuts), [179, 26, 0]);
    }

    /// Td(6) = 180 P^(2/3) - 3.15 / P^(1/2); TD1(6) = 433 P - 190 P^1.22 to 0.8 mm, 230 P^0.7 above.
    #[test]
    fn crest_tolerances_are_within_one_step_of_the_formula() {
        let pitch = |row: &Crest| float(row.pitch) / 1000.0;
        let bolts = CREST.iter().map(|row| {
            let p = pitch(row);
            let six = 180.0 * p.powf(2.0 / 3.0) - 3.15 / p.sqrt();
            (row.bolt, [0.63, 1.0, 1.6].map(|share| share * six))
        });
        assert_eq!(steps_off(bolts), [57, 8, 0]);
        let nuts = CREST.iter().map(|row| {
            let p = pitch(row);
            let fine = 433.0 * p - 190.0 * p.powf(1.22);
            let six = if row.pitch <= 800 { fine } else { 230.0 * p.powf(0.7) };
            (row.nut, [0.63, 0.8, 1.0, 1.25, 1.6].map(|share| share * six))
        });
        assert_eq!(steps_off(nuts), [93, 13, 0]);
    }

    /// e 50 + 11 P, f 30 + 11 P, g 15 + 11 P micrometres; the standard's table rounds them, and
    /// changes e at 0.5 mm.
    #[test]
    fn deviations_follow_their_formulas() {
        for row in CREST {
            for (cell, start) in row.deviations.into_iter().zip([50.0, 30.0, 15.0]) {
                let Some(cell) = cell else { continue };
                let off = start + 11.0 * float(row.pitch) / 1000.0 - float(cell.um);
                let bound = if (row.pitch, start) == (500, 50.0) { 6.0 } else { 4.0 };
                assert!(off.abs() < bound, "{} {start} {off}", row.pitch);
            }
        }
    }

    #[test]
    fn tables_rise_with_the_grade_the_pitch_and_the_diameter() {
        fn rising<const N: usize>(rows: &[Row<N>]) {
            for row in rows {
                assert!(row.grades.iter().flatten().map(|cell| cell.um).is_sorted_by(|a, b| a < b));
                let finer = rows.iter().filter(|r| r.up_to == row.up_to && r.pitch < row.pitch);
                let smaller = rows.iter().filter(|r| r.pitch == row.pitch && r.up_to < row.up_to);
                for less in finer.chain(smaller) {
                    for (a, b) in less.grades.iter().zip(&row.grades) {
                        let (Some(a), Some(b)) = (a, b) else { continue };
                        assert!(a.um <= b.um, "{} {}", row.up_to, row.pitch);
                    }
                }
            }
            let key = |row: &Row<N>| (row.up_to, row.pitch);
            assert!(rows.iter().map(key).is_sorted_by(|a, b| a < b));
        }
        rising(BOLT);
        rising(NUT);
        assert!(BOLT.iter().map(|r| (r.up_to, r.pitch)).eq(NUT.iter().map(|r| (r.up_to, r.pitch))));
        assert!(CREST.iter().map(|row| row.pitch).is_sorted_by(|a, b| a < b));
    }

    #[test]
    fn a_range_holds_its_upper_end() {
        let of = |mm: &str| range(&Length::from_mm(mm.parse().unwrap()));
        assert_eq!(of("0.99"), None);
        assert_eq!((of("1"), of("1.4"), of("1.401")), (Some(1400), Some(1400), Some(2800)));
        assert_eq!((of("355"), of("355.001")), (Some(355_000), None));
    }
}
