//! Tolerances and fundamental deviations of ISO metric threads: ISO 965-1.
//!
//! A figure stands as the table prints it, in micrometres, with a letter for how it is known:
//! none, two or more open tables agree; `s`, one table only (Machinery's Handbook, 31st ed., p. 2025);
//! `d`, the tables disagree; `m`, from memory, and within one R40 step of the standard's formula. The
//! crest table and the deviations are from memory as a whole, and tested against their formulas.

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

/// Upper ends of the diameter ranges in micrometres; the first begins above 0.99 mm. Each range holds
/// its upper end.
const RANGES: [u64; 9] =
    [1_400, 2_800, 5_600, 11_200, 22_400, 45_000, 90_000, 180_000, 355_000];
const ABOVE: u64 = 990;

/// The upper end of the range that holds a diameter, in micrometres.
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

/// What depends on the pitch alone.
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
    row("1.4", "0.2", "40m 50m 63m - -"),
    row("1.4", "0.25", "45m 56m 71m - -"),
    row("1.4", "0.3", "48m 60m 75m - -"),
    row("2.8", "0.2", "42m 53m 67m - -"),
    row("2.8", "0.25", "48m 60m 75m - -"),
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
    crest("0.2", "- - 17", "36 56 -", "38 48 - - -"),
    crest("0.25", "- - 18", "42 67 -", "45 56 71 - -"),
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

fn at<const N: usize>(rows: &[Row<N>], d: &Length, pitch: &Length, index: usize) -> Option<Cell> {
    let up_to = range(d)?;
    let row = rows.iter().find(|row| row.up_to == up_to && is_pitch(row.pitch, pitch))?;
    row.grades.get(index).copied().flatten()
}

/// Tolerance of the pitch diameter: Td2 or TD2.
pub(super) fn pitch_tolerance(
    diameter: &Length,
    pitch: &Length,
    grade: u8,
    internal: bool,
) -> Result<Cell> {
    let index = |first: u8| usize::from(grade.saturating_sub(first));
    let cell = if internal {
        at(NUT, diameter, pitch, index(4))
    } else {
        at(BOLT, diameter, pitch, index(3))
    };
    cell.ok_or_else(|| missing(diameter, pitch, grade, "pitch diameter"))
}

/// Tolerance of the crest: Td of the bolt's major diameter or TD1 of the nut's minor diameter.
pub(super) fn crest_tolerance(
    diameter: &Length,
    pitch: &Length,
    grade: u8,
    internal: bool,
) -> Result<Cell> {
    let row = CREST.iter().find(|row| is_pitch(row.pitch, pitch));
    let cell = row.and_then(|row| match (internal, grade) {
        (true, _) => row.nut.get(usize::from(grade.saturating_sub(4))).copied().flatten(),
        (false, 4 | 6 | 8) => row.bolt[usize::from(grade / 2 - 2)],
        (false, _) => None,
    });
    cell.ok_or_else(|| missing(diameter, pitch, grade, "crest"))
}

/// How far a position lies from the basic size; `None`: not at all.
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

fn missing(diameter: &Length, pitch: &Length, grade: u8, what: &str) -> Error {
    Error::no_such(format!("ISO 965-1 has no grade {grade} for the {what} at {diameter} x {pitch}"))
        .with_hint(match pitches(diameter).as_slice() {
            [] => "diameters over 0.99 mm, to 355 mm".to_owned(),
            some => format!("at that diameter it has pitches of {} mm, and grade 6", some.join(", ")),
        })
}

/// The pitches that have tolerances at a diameter, as text.
fn pitches(diameter: &Length) -> Vec<String> {
    let up_to = range(diameter);
    let rows = BOLT.iter().filter(|row| Some(row.up_to) == up_to);
    rows.map(|row| Ratio::table(row.pitch, 1000).to_f64().to_string()).collect()
}
