//! Are sizes, depths, wires and finish what standards and texts print?

use super::{Outcome, all_hold, prints, same};
use serde::Deserialize;
use solver::Length;
use solver::cutting::{Cut, Measure, Side, Tapered, Tip, Wires, finish};
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    sources: BTreeMap<String, String>,
    basic: Vec<Table<[String; 3]>>,
    depth: Vec<Table<[String; 3]>>,
    over: Vec<Table<[String; 4]>>,
    rule: Vec<Table<[String; 3]>>,
    wire: Vec<Table<[String; 3]>>,
    best: Vec<Table<[String; 2]>>,
    finish: Vec<Table<[String; 3]>>,
    taper: Vec<Table<[String; 3]>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table<R> {
    source: String,
    rows: Vec<R>,
}

fn rows() -> Rows {
    toml::from_str(include_str!("../../data/cutting.toml")).unwrap()
}

fn cut(text: &str) -> Result<Cut, Box<dyn Error>> {
    Ok(Cut::of(&text.parse().map_err(|e| format!("{text}: {e}"))?)?)
}

/// That a figure is what is printed to within one in the last place, and whether exactly.
fn nearly(got: Measure, printed: &str) -> Result<bool, Box<dyn Error>> {
    let (number, unit) = printed.split_once(' ').ok_or("a unit")?;
    let figure = if unit == "in" { got.inches() } else { got.mm() };
    let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let off = (figure - number.parse::<f64>()?).abs() * 10_f64.powi(i32::try_from(decimals)?);
    if off < 1.0 {
        return Ok(prints("figure", figure, number).is_ok());
    }
    Err(format!("got {figure}, printed {printed}").into())
}

fn basic([thread, what, printed]: &[String; 3]) -> Result<bool, Box<dyn Error>> {
    let (screw, nut) = (cut(thread)?, cut(thread)?.with_side(Side::Internal));
    let of = match what.as_str() {
        "pitch" => screw.diameters()?.pitch,
        "minor" => {
            let blank = nut.diameters()?.blank(Side::Internal);
            same("the bore is the minor diameter", blank, screw.diameters()?.minor)?;
            blank
        }
        "root" => screw.diameters()?.root,
        "nut root" => nut.diameters()?.root,
        _ => return Err(format!("{what}: no such diameter").into()),
    };
    nearly(of, printed)
}

fn depth([thread, side, printed]: &[String; 3]) -> Result<bool, Box<dyn Error>> {
    let side = match side.as_str() {
        "screw" => Side::External,
        "nut" => Side::Internal,
        _ => return Err(format!("{side}: screw or nut").into()),
    };
    nearly(cut(thread)?.with_side(side).depth(Tip::Form)?.depth, printed)
}

fn length(text: &str) -> Result<Measure, Box<dyn Error>> {
    Ok(text.parse::<Length>()?.into())
}

fn over([thread, wire, pitch, printed]: &[String; 4]) -> Result<bool, Box<dyn Error>> {
    let cut = cut(thread)?;
    let wires = cut.wires()?;
    let pitch = if pitch.is_empty() { cut.diameters()?.pitch } else { length(pitch)? };
    let wire = if wire == "best" { wires.best(&pitch) } else { length(wire)? };
    // Tables leave the lead angle out.
    nearly(wires.over(&wire, &pitch)?.flat, printed)
}

/// Two wires tell slope and offset of the rule.
fn rule([thread, slope, offset]: &[String; 3]) -> Outcome {
    let (cut, pitch) = (cut(thread)?, cut(thread)?.pitch().to_f64());
    let (wires, of) = (cut.wires()?, cut.diameters()?);
    let out = |part: f64| -> Result<(f64, f64), Box<dyn Error>> {
        let wire = length(&format!("{:.6} mm", pitch * part))?;
        Ok((wire.mm(), wires.over(&wire, &of.pitch)?.flat.mm() - of.major.mm()))
    };
    let ((thin, low), (thick, high)) = (out(0.55)?, out(0.75)?);
    let by_wire = (high - low) / (thick - thin);
    prints("by wire", by_wire, slope)?;
    prints("by pitch", (by_wire * thin - low) / pitch, offset)
}

/// A diameter on which the thread hardly rises: tables give wires by the pitch alone.
fn huge(cut: &Cut) -> Result<Measure, Box<dyn Error>> {
    length(&format!("{:.3} mm", 1e5 * cut.pitch().to_f64()))
}

fn taper([thread, what, printed]: &[String; 3]) -> Result<bool, Box<dyn Error>> {
    let of = cut(thread)?.tapered()?.ok_or("no taper")?;
    let american = || of.american.ok_or("no such length");
    let of = match what.as_str() {
        "pitch at the gauge plane" => of.gauge_plane.pitch,
        "minor at the gauge plane" => of.gauge_plane.minor,
        "pitch at the small end" => of.small_end.pitch,
        "major at the small end" => of.small_end.major,
        "L1" => of.gauge_length.into(),
        "turns" => return turns(&of, printed),
        "L2" => american()?.effective,
        "L4" => american()?.whole,
        _ => return Err(format!("{what}: no such size").into()),
    };
    nearly(of, printed)
}

/// Turns to the gauge plane, as rounded in the table.
fn turns(of: &Tapered, printed: &str) -> Result<bool, Box<dyn Error>> {
    prints("turns", of.turns.ok_or("no turns")?.to_f64(), printed)?;
    Ok(false)
}

fn wire([thread, which, printed]: &[String; 3]) -> Outcome {
    let cut = cut(thread)?;
    let of: fn(&Wires, &Measure) -> Measure = match which.as_str() {
        "best" => Wires::best,
        "least" => Wires::least,
        "greatest" => Wires::greatest,
        _ => return Err(format!("{which}: no such wire").into()),
    };
    prints(which, of(&cut.wires()?, &huge(&cut)?).mm() / cut.pitch().to_f64(), printed)
}

fn best([pitch, printed]: &[String; 2]) -> Outcome {
    let cut = cut(pitch)?;
    prints("best wire", cut.wires()?.best(&huge(&cut)?).inches(), printed)
}

fn ridges([feed, nose, printed]: &[String; 3]) -> Outcome {
    prints("ridges", Measure::from(finish(feed.parse()?, nose.parse()?)?).mm(), printed)
}

/// Runs every row of some tables; says how many there are.
fn run<const N: usize>(
    sources: &BTreeMap<String, String>,
    tables: &[Table<[String; N]>],
    check: impl Fn(&[String; N]) -> Outcome,
) -> usize {
    for table in tables {
        all_hold(&table.rows, &check, |row| format!("{row:?}: {}", sources[&table.source]));
    }
    tables.iter().map(|table| table.rows.len()).sum()
}

#[test]
fn cutting_is_as_published() {
    let rows = rows();
    let exact = Cell::new(0);
    let count = |is_exact: Result<bool, Box<dyn Error>>| -> Outcome {
        exact.set(exact.get() + usize::from(is_exact?));
        Ok(())
    };
    let counts = [
        run(&rows.sources, &rows.basic, |row| count(basic(row))),
        run(&rows.sources, &rows.depth, |row| count(depth(row))),
        run(&rows.sources, &rows.over, |row| count(over(row))),
        run(&rows.sources, &rows.rule, rule),
        run(&rows.sources, &rows.wire, wire),
        run(&rows.sources, &rows.best, best),
        run(&rows.sources, &rows.finish, ridges),
        run(&rows.sources, &rows.taper, |row| count(taper(row))),
    ];
    assert_eq!(counts, [266, 28, 4, 2, 11, 2, 3, 187]);
    assert_eq!(exact.get(), 410, "rows exactly as printed");
}

#[test]
fn no_source_of_cutting_is_idle() {
    let rows = rows();
    let three = rows.basic.iter().chain(&rows.depth).chain(&rows.rule).chain(&rows.wire);
    let used: BTreeSet<&String> = three
        .chain(&rows.finish)
        .chain(&rows.taper)
        .map(|t| &t.source)
        .chain(rows.over.iter().map(|t| &t.source))
        .chain(rows.best.iter().map(|t| &t.source))
        .collect();
    assert_eq!(used, rows.sources.keys().collect(), "sources named and sources used");
}
