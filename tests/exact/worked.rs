//! Does the library get what published texts print?
//!
//! One row of `data/worked.toml` is one case: its source, what the text says, and under `check` what
//! is exactly true of it. A row that is misspelt, or that nothing here checks, does not load. The
//! printed plates stand in `data/plates.toml`, teeth in `data/teeth.toml`, sizes of threads in
//! `data/cutting.toml`, limits in `data/limits.csv`.

mod book;
mod cutting;
mod drills;
mod engage;
mod limits;
mod optimum;
mod plates;
mod stand_in;
mod teeth;

use serde::Deserialize;
use solver::search::{Ask, Options, Search, Solution};
use solver::{Gear, GearSet, Lathe, Lead, Parts, Target, Teeth};
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::fmt::Debug;

/// What a case comes to.
pub(crate) type Outcome = Result<(), Box<dyn Error>>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    sources: BTreeMap<String, String>,
    case: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    id: String,
    source: String,
    #[serde(default)]
    place: String,
    says: String,
    #[serde(default)]
    note: String,
    check: Check,
}

/// The kinds of case. The match in [`Case::run`] leaves none out.
#[derive(Deserialize)]
#[serde(rename_all = "snake_case")]
enum Check {
    Cuts(book::Cuts),
    Lead(book::LeadOfStarts),
    Shift(book::Shift),
    Lookup(plates::Lookup),
    Optimum(optimum::Optimum),
    StandIn(stand_in::StandIn),
    Dial(engage::DialLines),
    Index(engage::Index),
}

impl Case {
    fn run(&self) -> Outcome {
        match &self.check {
            Check::Cuts(check) => check.run(),
            Check::Lead(check) => check.run(),
            Check::Shift(check) => check.run(),
            Check::Lookup(check) => check.run(),
            Check::Optimum(check) => check.run(),
            Check::StandIn(check) => check.run(),
            Check::Dial(check) => check.run(),
            Check::Index(check) => check.run(),
        }
    }

    const fn kind(&self) -> &'static str {
        match &self.check {
            Check::Cuts(_) => "cuts",
            Check::Lead(_) => "lead",
            Check::Shift(_) => "shift",
            Check::Lookup(_) => "lookup",
            Check::Optimum(_) => "optimum",
            Check::StandIn(_) => "stand-in",
            Check::Dial(_) => "dial",
            Check::Index(_) => "index",
        }
    }
}

fn rows() -> Rows {
    toml::from_str(include_str!("../data/worked.toml")).unwrap()
}

#[test]
fn every_published_example_holds() {
    let Rows { sources, case } = rows();
    all_hold(&case, Case::run, |case| {
        let note = if case.note.is_empty() { "" } else { "; " };
        let source = &sources[&case.source];
        format!("{} ({source}, {}: {}{note}{})", case.id, case.place, case.says, case.note)
    });
}

/// None is lost, none is read as something else.
#[test]
fn every_row_is_a_case() {
    let rows = rows();
    let mut kinds = BTreeMap::new();
    for case in &rows.case {
        *kinds.entry(case.kind()).or_insert(0) += 1;
    }
    let wanted = [
        ("cuts", 16),
        ("dial", 3),
        ("index", 2),
        ("lead", 1),
        ("lookup", 1),
        ("optimum", 3),
        ("shift", 3),
        ("stand-in", 8),
    ];
    assert_eq!(kinds.into_iter().collect::<Vec<_>>(), wanted);
    let ids: BTreeSet<_> = rows.case.iter().map(|case| &case.id).collect();
    assert_eq!(ids.len(), rows.case.len(), "an id stands twice");
    let used: BTreeSet<_> = rows.case.iter().map(|case| &case.source).collect();
    assert_eq!(used, rows.sources.keys().collect(), "sources named and sources used");
}

#[test]
fn a_row_that_nothing_checks_is_refused() {
    let row = |check: &str| {
        let text = format!("id = 'x'\nsource = 'x'\nsays = 'x'\n[check.{check}");
        toml::from_str::<Case>(&text).map(|case| case.kind())
    };
    assert_eq!(row("cuts]\nconstant='x'\ntarget='x'\ntrain='x'\nratio='x'"), Ok("cuts"));
    assert!(row("cut]\nconstant='x'\ntarget='x'\ntrain='x'\nratio='x'").is_err());
    assert!(row("lead]\ntarget='x'\nlead='x'\npitch='x'\nstarts=1\nstart=1").is_err());
}

/// Runs every row, and fails with the names of all that don't hold.
pub(crate) fn all_hold<R>(rows: &[R], run: impl Fn(&R) -> Outcome, name: impl Fn(&R) -> String) {
    assert!(!rows.is_empty());
    let wrong: Vec<String> = rows
        .iter()
        .filter_map(|row| run(row).err().map(|e| format!("== {}\n   {e}\n", name(row))))
        .collect();
    assert!(wrong.is_empty(), "{} of {}\n{}", wrong.len(), rows.len(), wrong.concat());
}

/// That two values are the same.
#[expect(clippy::needless_pass_by_value, reason = "values made on the spot are read easiest")]
pub(crate) fn same<T: PartialEq + Debug>(what: &str, got: T, wanted: T) -> Outcome {
    if got == wanted {
        return Ok(());
    }
    Err(format!("{what}: got {got:?}, wanted {wanted:?}").into())
}

/// That a figure, rounded as the text rounds it, is what the text prints.
pub(crate) fn prints(what: &str, figure: f64, printed: &str) -> Outcome {
    let places = printed.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let got = if printed.starts_with(['+', '-']) {
        format!("{figure:+.places$}")
    } else {
        format!("{figure:.places$}")
    };
    same(what, got.as_str(), printed)
}

/// The lead that a text such as `7 tpi`, `3 mm` or `module 1` asks for.
pub(crate) fn lead(text: &str) -> Result<Lead, Box<dyn Error>> {
    let target: Target = text.parse().map_err(|e| format!("{text}: {e}"))?;
    Ok(target.lead())
}

/// A lathe that is a box of gears, so many of each, on a screw.
fn lathe(gears: &BTreeMap<u16, u64>, screw: Lead, studs: usize) -> Result<Lathe, Box<dyn Error>> {
    let mut set = GearSet::new();
    for (teeth, count) in gears {
        set.add(Gear::new(Teeth::new((*teeth).into())?), *count)?;
    }
    let mut parts = Parts::plain(set, screw);
    parts.studs = u8::try_from(studs)?;
    Ok(Lathe::new(parts)?)
}

/// How many of each size a list holds.
fn counted(teeth: impl IntoIterator<Item = u16>) -> BTreeMap<u16, u64> {
    let mut counts = BTreeMap::new();
    for teeth in teeth {
        *counts.entry(teeth).or_default() += 1;
    }
    counts
}

/// Every arrangement counts here, also those that only a large centre distance allows.
pub(crate) fn any_arrangement() -> Options {
    Options::default().with_arbor(None)
}

/// The leads nearest to what is asked.
pub(crate) fn nearest(search: &Search, ask: &Ask) -> Result<Vec<Solution>, Box<dyn Error>> {
    let found = search.find(ask)?;
    same("the proof is complete", found.proof.complete, true)?;
    Ok(found.solutions)
}

/// Every train with the lead of a solution.
pub(crate) fn arrangements(
    search: &Search,
    ask: &Ask,
    solution: &Solution,
) -> Result<Vec<Solution>, Box<dyn Error>> {
    let (all, more) = search.all(ask, solution, 1_000_000)?;
    same("the list is cut", more, false)?;
    let others = search.others(ask, solution, 1_000_000)?;
    same("others counted and listed", others.count + 1, all.len() as u64)?;
    Ok(all)
}
