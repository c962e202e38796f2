//! The chart on the lathe, typed into a grid: each row with its verdict, and what the whole says of the
//! lathe.

use super::frame::{Entry, frame, hidden};
use super::visit::{Visit, refusal};
use crate::asked::context::Given;
use crate::failure::Failure;
use crate::http::Answer;
use crate::report::{Cell, Report};
use maud::{Markup, html};
use solver::chart::HEADSTOCK;

/// Rows that stand there to begin with, and that are added when they are full.
const ROWS: usize = 8;
/// Rows at most.
const MOST_ROWS: usize = 120;

/// What was typed.
struct Grid {
    /// Headings of the columns, as a chart file has them.
    heads: Vec<String>,
    /// A row: a cell under each heading.
    rows: Vec<Vec<String>>,
}

impl Grid {
    /// The columns that this lathe needs, filled from the address: `c0`, `c1`... each once a row.
    fn of(visit: &Visit<'_>) -> Self {
        let parts = visit.given.lathe.lathe.parts();
        let mut heads = vec!["thread".to_owned(), "train".to_owned()];
        heads.extend(parts.gearbox.levers.iter().map(|lever| format!("lever {}", lever.name)));
        if parts.headstock.len() > 1 {
            heads.push(format!("lever {HEADSTOCK}"));
        }
        let names: Vec<String> = (0..heads.len()).map(|at| format!("c{at}")).collect();
        let columns: Vec<Vec<&str>> =
            names.iter().map(|name| visit.asked.values(name).map(str::trim).collect()).collect();
        let longest = columns.iter().map(Vec::len).max().unwrap_or(0);
        let cell = |column: &[&str], row: usize| column.get(row).map_or("", |cell| cell).to_owned();
        let rows = (0..longest)
            .map(|row| columns.iter().map(|column| cell(column, row)).collect::<Vec<String>>());
        // What was left empty is no row; its place is given to the next.
        let rows = rows.filter(|row| row.iter().any(|cell| !cell.is_empty()));
        Self { heads, rows: rows.collect() }
    }

    /// As a chart file; columns that nobody filled are left out.
    fn csv(&self) -> Result<String, Failure> {
        if self.rows.len() > MOST_ROWS {
            let wrong = format!("the chart has {} rows", self.rows.len());
            return Err(Failure::wrong(wrong, format!("{MOST_ROWS} at most on a page")));
        }
        let is_used = |at: &usize| {
            *at == 0 || self.rows.iter().any(|row| row.get(*at).is_some_and(|c| !c.is_empty()))
        };
        let used: Vec<usize> = (0..self.heads.len()).filter(is_used).collect();
        let cells = |row: &[String]| {
            used.iter().map(|at| row.get(*at).cloned().unwrap_or_default()).collect::<Vec<_>>()
        };
        let mut out = csv::Writer::from_writer(Vec::new());
        let failed = |_| Failure::new("the chart can't be put together");
        for row in std::iter::once(&self.heads).chain(&self.rows) {
            out.write_record(cells(row)).map_err(|e| failed(e.to_string()))?;
        }
        let bytes = out.into_inner().map_err(|e| failed(e.to_string()))?;
        String::from_utf8(bytes).map_err(|e| failed(e.to_string()))
    }

    /// The form with what was answered: something of each row, or refusals; and the status.
    fn said(
        &self,
        visit: &Visit<'_>,
        page: &str,
        said: Result<Vec<Markup>, &Failure>,
        intro: &Markup,
        more: &Markup,
    ) -> (Markup, u16) {
        let (said, rest, status) = match said {
            Ok(said) => (said, html! {}, 200),
            Err(failure) => {
                let (said, rest) = refusals(failure, self.rows.len());
                (said, rest, 400)
            }
        };
        (html! { (intro) (rest) (self.form(visit, page, &said, more)) }, status)
    }

    /// The form: rows that were typed, each with what is said of it, then empty ones.
    fn form(&self, visit: &Visit<'_>, page: &str, said: &[Markup], more: &Markup) -> Markup {
        let empty = ROWS.max(self.rows.len() + 3).min(MOST_ROWS) - self.rows.len().min(MOST_ROWS);
        let heads = self.heads.iter().map(|head| match head.as_str() {
            "thread" => "Thread or feed",
            "train" => "Gears",
            head => head.strip_prefix("lever ").unwrap_or(head),
        });
        let heads: Vec<&str> = heads.collect();
        let none = Vec::new();
        let rows = self.rows.iter().chain(std::iter::repeat_n(&none, empty));
        html! {
            form.grid action=(visit.place.own(page)) {
                div.rows style=(format!("--columns:{}", heads.len())) {
                    @for (i, row) in rows.enumerate() {
                        div.row role="group" aria-label=(format!("Line {}", i + 1)) {
                            @for (at, head) in heads.iter().enumerate() {
                                label {
                                    span { (head) }
                                    input name=(format!("c{at}"))
                                        value=(row.get(at).map(String::as_str).unwrap_or_default())
                                        placeholder=(if i > 0 { "" } else if at == 0 { "11 1/2 tpi" } else if at == 1 { "40-*-57" } else { "" })
                                        maxlength="60" autocomplete="off" autocapitalize="off" spellcheck="false";
                                }
                            }
                            @if let Some(said) = said.get(i) { div.said { (said) } }
                        }
                    }
                }
                (more)
                (hidden(&visit.place))
                button { (if page == "check" { "Is it right?" } else { "What does it say?" }) }
            }
        }
    }
}

/// Is the chart right?
pub(super) fn check(visit: &Visit<'_>) -> Answer {
    let grid = Grid::of(visit);
    let intro = html! {
        p { "Type what the chart on the lathe says: a thread, and the gears for it from the driving gear to \
             the last one. " strong { "*" } " is an idler of any size." }
    };
    if grid.rows.is_empty() {
        let content = html! { (intro) (grid.form(visit, "check", &[], &html! {})) };
        return shown(visit, "check", "Check a chart", None, &content, 200);
    }
    let report = with_chart(visit, &grid, &["check", "the-chart"]);
    let said = |report: &Report| verdicts(report, grid.rows.len());
    let (before, status) = grid.said(visit, "check", report.as_ref().map(said), &intro, &html! {});
    shown(visit, "check", "Check a chart", report.ok().as_ref(), &before, status)
}

/// The heading of what is learned.
const UNKNOWN: &str = "An unknown lead screw or ratio";

/// What does the chart, or a cut, say of a lathe?
pub(super) fn learn(visit: &Visit<'_>) -> Answer {
    let grid = Grid::of(visit);
    let measured = visit.value("measured");
    let boxes = Entry {
        name: "measured",
        label: "What you measured, one cut a line",
        value: measured,
        such_as: "10 pitches = 15.9 +- 0.2 mm with 40-40",
    }
    .lines(3);
    let intro = html! {
        p { "Type rows of the chart on the lathe, a cut that you measured, or both." }
    };
    let cuts: Vec<String> = measured
        .lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(|line| format!("--measured={line}"))
        .collect();
    if grid.rows.is_empty() && cuts.is_empty() {
        let content = html! { (intro) (grid.form(visit, "learn", &[], &boxes)) };
        return shown(visit, "more", UNKNOWN, None, &content, 200);
    }
    let mut words = vec!["learn"];
    words.extend(cuts.iter().map(String::as_str));
    words.extend((!grid.rows.is_empty()).then_some("the-chart"));
    // A demo lathe is nobody's: a cut alone says nothing of it.
    let report = if visit.given.demo && grid.rows.is_empty() {
        let right = "rows of your chart beside the cut, or your lathe described first (The lathe)";
        Err(Failure::wrong("this is a demo lathe, which nobody measured", right))
    } else {
        with_chart(visit, &grid, &words)
    };
    let said = report.as_ref().map(|_| Vec::new());
    let (before, status) = grid.said(visit, "learn", said, &intro, &boxes);
    shown(visit, "more", UNKNOWN, report.ok().as_ref(), &before, status)
}

fn with_chart(visit: &Visit<'_>, grid: &Grid, words: &[&str]) -> Result<Report, Failure> {
    let given = Given { chart: grid.csv()?, ..visit.given.clone() };
    visit.report_of(&given, words)
}

fn shown(
    visit: &Visit<'_>,
    here: &str,
    title: &str,
    report: Option<&Report>,
    before: &Markup,
    status: u16,
) -> Answer {
    let page = if let Some(report) = report {
        // The report brings a heading of its own.
        let boxes = html! { div.boxes { p { strong { (title) } } (before) } };
        frame(&visit.place, here, "", &boxes).page(report)
    } else {
        let content = html! { h1 { (title) } (before) };
        frame(&visit.place, here, "", &html! {}).page_of(title, &content)
    };
    Answer::page(page).with_status(status)
}

/// What is said of each row.
fn verdicts(report: &Report, rows: usize) -> Vec<Markup> {
    let Some(records) = report.records() else { return Vec::new() };
    let column = |key: &str| records.columns.iter().position(|column| column.key == key);
    let cell = |row: &[Cell], key: &str| {
        column(key).and_then(|at| row.get(at)).map(Cell::words).unwrap_or_default()
    };
    let said = |row: &Vec<Cell>| {
        let (verdict, why) = (cell(row, "verdict"), cell(row, "likeliest"));
        let ppm = cell(row, "cut.error_ppm");
        let good = ["exact", "rounded", "near"].contains(&&*verdict);
        html! {
            @if good { span.good { (verdict) } } @else { strong.warning { (verdict) } }
            @if !ppm.is_empty() && verdict != "exact" { " " (ppm) " ppm" }
            @if !why.is_empty() { ": " (why) }
        }
    };
    records.rows.iter().take(rows).map(said).collect()
}

/// Refusals, each beside its row; and what belongs to none.
fn refusals(failure: &Failure, rows: usize) -> (Vec<Markup>, Markup) {
    let mut beside: Vec<Vec<Failure>> = vec![Vec::new(); rows];
    let mut rest = Vec::new();
    for one in failure.clone().each() {
        // The first line has the headings.
        let row = one.line().and_then(|line| line.checked_sub(2));
        match row.and_then(|row| beside.get_mut(row)) {
            Some(row) => row.push(one),
            None => rest.push(one),
        }
    }
    let all = |failures: &[Failure]| html! { @for one in failures { (refusal(one)) } };
    (beside.iter().map(|row| all(row)).collect(), all(&rest))
}
