//! `threads`: which threads are known, and which one is this?

use crate::args::Threads;
use crate::failure::Failure;
use crate::report::{Answer, Block, Cell, Column, Report, Role, Says, Table, Text};
use crate::words::figures::{lead_mm, measure, tpi};
use solver::thread::{self, Listing};
use solver::{Series, Thread};

/// Threads shown to a person who measured one: the rest are farther off than anyone measures.
const NEAREST: usize = 20;

/// Answers `threads`.
///
/// # Errors
/// If a word can't be read.
pub(super) fn run(threads: &Threads) -> Result<Report, Failure> {
    let words = threads.words.join(" ");
    if words.trim().is_empty() {
        return Ok(series());
    }
    let listing = thread::search(&words).map_err(|e| Failure::typed("threads", &words, &e))?;
    Ok(list(&words, &listing))
}

/// Every series with how many threads it has.
fn series() -> Report {
    let table = Table::of(
        Series::all(),
        [
            (Column::named("series", ""), &|series| series.name().into()),
            (Column::named("word", ""), &|series| Text::new(Role::Typed, series.key()).into()),
            (Column::named("threads", ""), &|series| series.threads().count().into()),
            (Column::named("standard", ""), &|series| series.standard().into()),
        ],
    );
    let mut report = Report::new();
    report.note("Known series. `threads WORD` lists one; `threads 13.1 mm 19 tpi` names a thread that was measured.");
    report.table(table);
    report.records = Some(records(thread::all()));
    report
}

/// Numbers alone may be anything: the same with units.
fn with_units(words: &str) -> Option<String> {
    let numbers: Vec<&str> = words.split_whitespace().collect();
    let numbers = numbers.iter().all(|n| n.parse::<solver::Ratio>().is_ok()).then_some(numbers)?;
    match numbers[..] {
        [one] => Some(format!("With a unit: `threads {one} mm` or `threads {one} tpi`.")),
        [size, pitch] => Some(format!(
            "With units: `threads {size} mm {pitch} mm` or `threads {size} mm {pitch} tpi`."
        )),
        _ => None,
    }
}

fn list(words: &str, listing: &Listing) -> Report {
    let mut report = Report::new();
    let found = listing.threads.len();
    if found == 0 {
        report.note(Text::new(Role::Warning, format!("No known thread matches {words}.")));
        if let Some(hint) = with_units(words) {
            report.note(hint);
        }
        report.answer = Answer::No;
        report.records = Some(records(std::iter::empty()));
        return report;
    }
    let shown = if listing.nearest_first { found.min(NEAREST) } else { found };
    let threads = || listing.threads.iter().copied().take(shown);
    report.note(match (listing.nearest_first, found) {
        (true, _) => format!("Nearest first, the {shown} nearest of {found}:"),
        (false, 1) => "One thread:".to_string(),
        (false, _) => format!("{found} threads:"),
    });
    report.table(page(threads()));
    report.brief = threads()
        .map(|t| {
            let mm = lead_mm(&t.pitch()).marked();
            Text::from(format!("{}: {mm} mm, {} TPI", t.designation(), tpi(&t.pitch()).marked()))
        })
        .collect();
    report.push(Block::Facts(series_of(threads())));
    let notes: Vec<Text> = threads()
        .filter_map(|t| Some(format!("{}: {}", t.designation(), t.note()?).into()))
        .collect();
    if !notes.is_empty() {
        report.push(Block::List(notes));
    }
    report.records = Some(records(threads()));
    report
}

/// What the words of the series stand for, each once.
fn series_of(threads: impl Iterator<Item = Thread>) -> Vec<(String, Text)> {
    let mut facts: Vec<(String, Text)> = Vec::new();
    for series in threads.map(|t| t.series()) {
        if facts.iter().all(|(key, _)| key != series.key()) {
            let standard = series.standard().unwrap_or("no standard named");
            facts.push((series.key().to_string(), format!("{}, {standard}", series.name()).into()));
        }
    }
    facts
}

/// The table for people.
fn page(threads: impl Iterator<Item = Thread>) -> Table {
    let columns: [(Column, Says<'_, Thread>); 7] = [
        (Column::new("designation", "thread", ""), &|thread| {
            Text::new(Role::Strong, thread.designation()).into()
        }),
        (Column::new("diameter_mm", "dia.", "mm"), &diameter),
        (Column::new("pitch_mm", "pitch", "mm"), &|thread| lead_mm(&thread.pitch()).into()),
        (Column::new("tpi", "TPI", ""), &|thread| tpi(&thread.pitch()).into()),
        (Column::new("angle_degrees", "angle", ""), &angle),
        (Column::new("series", "series", ""), &|thread| thread.series().key().into()),
        (Column::new("note", "note", "").second(), &|thread| {
            let several = (thread.starts() > 1).then(|| format!("{} starts", thread.starts()));
            let doubtful = thread.sureness().wants_a_check();
            let doubtful = doubtful.then(|| format!("{}: check it", thread.sureness()));
            let note: Vec<String> = several.into_iter().chain(doubtful).collect();
            (!note.is_empty()).then(|| note.join(", ")).into()
        }),
    ];
    let mut table = Table::of(threads, columns);
    table.drop_empty();
    table
}

fn diameter(thread: &Thread) -> Cell {
    thread.diameter().map(|diameter| measure(&diameter.mm())).into()
}

fn angle(thread: &Thread) -> Cell {
    thread.included_angle().map(|angle| measure(&angle)).into()
}

/// The table for programs.
fn records(threads: impl Iterator<Item = Thread>) -> Table {
    Table::keyed(
        threads,
        [
            ("designation", &|thread| thread.designation().into()),
            ("series", &|thread| thread.series().name().into()),
            ("diameter_mm", &diameter),
            ("pitch_mm", &|thread| lead_mm(&thread.pitch()).into()),
            ("tpi", &|thread| tpi(&thread.pitch()).into()),
            ("lead_mm", &|thread| lead_mm(&thread.lead()).into()),
            ("starts", &|thread| usize::from(thread.starts()).into()),
            ("angle_degrees", &angle),
            ("standard", &|thread| thread.series().standard().into()),
            ("sure", &|thread| thread.sureness().to_string().into()),
            ("note", &|thread| thread.note().into()),
        ],
    )
}
