//! A judged chart: summary, wrong rows with their reasons, all rows.

use super::{LISTED, words};
use crate::document::check as document;
use crate::document::lead::{Error, Lead};
use crate::document::records;
use crate::document::set_up::Fit as Fits;
use crate::files::OpenChart;
use crate::report::{Answer, Block, Cell, Column, Report, Role, Says, Table, Text};
use crate::words::doubt;
use crate::words::either;
use crate::words::figures::{self, plural};
use crate::words::lacks;
use crate::words::set_up::{error_in_short, travel};
use crate::words::shop;
use solver::bracket::Fit;
use solver::chart::{ChartRow, Check, CheckedRow, Explanation, Verdict, right};
use solver::{Hand, Lathe, LeadError, Travel};
use std::collections::BTreeMap;

/// A chart and what was found of it.
pub(super) struct JudgedPage<'a> {
    lathe: &'a Lathe,
    chart: &'a OpenChart,
    check: &'a Check,
    /// Whether it is known which gears are owned.
    box_known: bool,
}

/// Explanations that people are shown; programs get all.
const SHOWN: usize = 3;
/// Wrong rows that the short page explains.
const WRONG: usize = 5;
/// Remarks that it has room for; more are counted.
const REMARKED: usize = 3;

/// Columns of the records of `check`.
const KEYS: [&str; 13] = [
    "line",
    "printed",
    "travel",
    "train",
    "levers",
    "verdict",
    "cut.lead_mm_rounded",
    "cut.error_ppm",
    "should_print",
    "missing",
    "fit.state",
    "group",
    "likeliest",
];

/// The rows of a judged chart as records.
pub(super) fn records(judged: &document::Judged) -> Table {
    records::table(&KEYS, &judged.rows)
}

/// Verdicts in the order of the summary.
const VERDICTS: [&str; 6] = ["exact", "rounded", "near", "wrong", "impossible", "unknown"];

pub(super) const fn answer(yes: bool) -> Answer {
    if yes { Answer::Yes } else { Answer::No }
}

/// A row of the chart with what was found.
#[derive(Clone, Copy)]
struct JudgedRow<'a> {
    /// Its place in the chart, from 0.
    index: usize,
    /// Its line in the file.
    line: usize,
    row: &'a ChartRow,
    checked: &'a CheckedRow,
}

impl<'a> JudgedPage<'a> {
    pub(super) const fn new(
        lathe: &'a Lathe,
        chart: &'a OpenChart,
        check: &'a Check,
        box_known: bool,
    ) -> Self {
        Self { lathe, chart, check, box_known }
    }

    /// Each row with its line and its verdict.
    fn all(&self) -> impl Iterator<Item = JudgedRow<'a>> {
        let lines = self.chart.lines.iter().copied();
        let rows = lines.zip(&self.chart.rows).zip(&self.check.rows).enumerate();
        rows.map(|(index, ((line, row), checked))| JudgedRow { index, line, row, checked })
    }

    fn group_of(&self, index: usize) -> Option<usize> {
        self.check.groups.iter().position(|group| group.rows.contains(&index))
    }

    fn counts(&self) -> BTreeMap<&'static str, usize> {
        let mut counts = BTreeMap::new();
        for JudgedRow { checked, .. } in self.all() {
            *counts.entry(words::verdict(&checked.verdict)).or_default() += 1;
        }
        counts
    }

    /// The whole page: what is wrong, and with `long` every row.
    pub(super) fn write(&self, long: bool, report: &mut Report) {
        report.note(self.summary());
        self.write_wrong(long, report);
        if long {
            report.heading("All rows");
            report.table(self.table(true));
            report.note(
                "Cuts: by these gears and levers; ~ is rounded. Error: + is longer than printed. \
                 Near: within the maker's approximation. Rounded: the printed digits are right.",
            );
        }
        let remarked = self.all().filter(|at| self.is_remarked(at)).count();
        if !long && (1..=REMARKED).contains(&remarked) {
            report.heading("Right, with a remark");
            report.table(self.table(false));
        } else if !long && remarked > 0 {
            report.note(
                Text::from(format!("Of the right rows {remarked} have a remark: "))
                    .and(Role::Typed, "--long")
                    .and(Role::Plain, "."),
            );
        }
        if let Some(hand) = self.hand() {
            report.note(hand);
        }
        let free = |row: &ChartRow| row.gears.as_ref().is_some_and(|gears| gears.free_idler);
        if self.chart.rows.iter().any(free) {
            report.note("* is an idler of any size.");
        }
        if !long {
            report.note(
                Text::from("More: ")
                    .and(Role::Typed, "--long")
                    .and(Role::Plain, " (every row), ")
                    .and(Role::Typed, "--print")
                    .and(Role::Plain, " (the chart as it should be)"),
            );
        }
        report.brief = self.brief();
    }

    /// The verdict, then what is wrong a line a row, for `-q`.
    fn brief(&self) -> Vec<Text> {
        let wrong = self.all().filter(|row| !row.checked.verdict.holds());
        let row = |JudgedRow { line, row, checked, .. }: JudgedRow<'_>| {
            let error = checked.cut.as_ref().map(|cut| format!(", {}", error_in_short(&cut.error)));
            let (printed, error) = (words::printed(&row.printed), error.unwrap_or_default());
            let verdict = words::verdict(&checked.verdict);
            Text::from(format!(
                "line {line}: {printed} by {}: {verdict}{error}",
                words::set_up(row)
            ))
        };
        std::iter::once(self.summary()).chain(wrong.map(row)).collect()
    }

    /// A chart says nothing of the hand; where nobody knows whether two gears mesh directly, both cases
    /// by the first such row.
    fn hand(&self) -> Option<String> {
        let parts = self.lathe.parts();
        let open = |JudgedRow { line, row, checked, .. }: JudgedRow<'_>| {
            let gears = row.gears.as_ref().filter(|_| row.printed.travel() == Travel::Thread)?;
            let settled = parts.bracket.is_some() || (gears.free_idler && parts.tumbler.is_empty());
            let cut = checked.cut.as_ref().filter(|_| !settled)?;
            let cases = self.lathe.either(&cut.setting, &gears.train, Some(Hand::Right));
            let cases = either::sentences(self.lathe, cases?)?;
            Some(format!("Right hand by {} (line {line}): {}", gears.train, cases.join(" ")))
        };
        let row = self.all().find_map(open)?;
        Some(format!("The hand is not checked. {} {row} {}", either::OPEN, either::CHECK))
    }

    /// How many rows hold.
    pub(super) fn summary(&self) -> Text {
        let counts = self.counts();
        let each = VERDICTS.iter().filter_map(|v| Some(format!("{} {v}", counts.get(v)?)));
        let text = format!(
            "{}: {}.",
            plural(self.chart.rows.len(), "row"),
            each.collect::<Vec<_>>().join(", ")
        );
        let role = if self.check.holds() { Role::Good } else { Role::Warning };
        Text::new(role, text)
    }

    /// What is wrong: groups first, then row by row.
    pub(super) fn write_wrong(&self, long: bool, report: &mut Report) {
        let groups: Vec<Text> = self
            .check
            .groups
            .iter()
            .map(|group| {
                let lines: Vec<usize> =
                    group.rows.iter().filter_map(|i| self.chart.lines.get(*i).copied()).collect();
                let first = group.rows.first().and_then(|i| self.chart.rows.get(*i));
                let feed = first.is_some_and(|row| row.printed.travel() != Travel::Thread);
                Text::new(
                    Role::Warning,
                    words::group(self.lathe, group, &words::lines(&lines), feed),
                )
            })
            .collect();
        if !groups.is_empty() {
            report.heading("Made for another lathe");
            report.push(Block::List(groups));
        }
        let mut wrong = Vec::new();
        for JudgedRow { index, line, row, checked } in self.all() {
            if !checked.verdict.holds() && self.group_of(index).is_none() {
                wrong.push((format!("line {line}"), self.why(row, checked)));
            }
        }
        let shown = if long { LISTED } else { WRONG };
        let more = wrong.len().saturating_sub(shown);
        wrong.truncate(shown);
        if !wrong.is_empty() {
            report.heading("Wrong rows");
            report.push(Block::Facts(wrong));
        }
        if more > 0 {
            let all = if long { "see the table, or --format csv" } else { "--long" };
            report.note(format!("{more} more rows are wrong: {all}."));
        }
    }

    /// One wrong row in a sentence or two.
    fn why(&self, row: &ChartRow, checked: &CheckedRow) -> Text {
        let said = format!("{} by {}", words::printed(&row.printed), words::set_up(row));
        let Some(cut) = &checked.cut else {
            let why = match &checked.verdict {
                Verdict::Impossible(error) | Verdict::Unknown(error) => error.to_string(),
                _ => "not worked out".to_owned(),
            };
            return Text::new(Role::Plain, format!("{said}: {why}."));
        };
        let error = error_in_short(&cut.error);
        let value = right(&row.printed, &cut.lead).ok().flatten();
        let cuts = value.map_or_else(
            || shop::lead(&cut.lead),
            |(text, exact)| {
                format!("{}{}", if exact { "" } else { "~" }, words::figure(&row.printed, &text))
            },
        );
        let mut text = Text::new(Role::Plain, format!("{said} cuts {cuts}, {error}."));
        let say = |e| words::explanation(self.lathe, row, e, self.box_known);
        let (likely, tied) = (&checked.explanations, checked.likeliest().len());
        for (i, explanation) in likely.iter().take(SHOWN.max(tied)).enumerate() {
            let before = match i {
                0 => " Likeliest: ",
                i if i < tied => "; or, as likely, ",
                _ => "; or ",
            };
            let role = if i == 0 { Role::Strong } else { Role::Plain };
            text = text.and(Role::Plain, before).and(role, say(explanation));
        }
        if !likely.is_empty() {
            text = text.and(Role::Plain, ".");
        }
        text
    }

    /// Whether something is to be said of a right row.
    fn is_remarked(&self, at: &JudgedRow<'_>) -> bool {
        at.checked.verdict.holds() && self.remark(at.index, at.checked).is_some()
    }

    /// Of right rows only those with a remark, unless `long` asks for all.
    fn table(&self, long: bool) -> Table {
        let columns: [(Column, Says<'_, JudgedRow<'_>>); 7] = [
            (Column::named("line", ""), &|at| at.line.into()),
            (Column::named("printed", ""), &|at| {
                Text::new(Role::Strong, words::printed(&at.row.printed)).into()
            }),
            (Column::new("set_up", "gears, levers", ""), &|at| words::set_up(at.row).into()),
            (Column::named("cuts", ""), &|at| cuts(at.row, at.checked)),
            (Column::named("error", ""), &|at| {
                at.checked.cut.as_ref().map(|cut| error(&cut.error)).into()
            }),
            (Column::new("verdict", "", ""), &|at| {
                let role = if at.checked.verdict.holds() { Role::Good } else { Role::Warning };
                Text::new(role, words::verdict(&at.checked.verdict)).into()
            }),
            (Column::named("remark", "").second(), &|at| self.remark(at.index, at.checked).into()),
        ];
        let mut table = Table::of(self.all().filter(|at| long || self.is_remarked(at)), columns);
        table.drop_empty();
        table
    }

    fn remark(&self, index: usize, checked: &CheckedRow) -> Option<String> {
        let mut remarks: Vec<String> =
            checked.lacks.iter().map(|lack| lacks::in_short(self.lathe, lack)).collect();
        match (&checked.fit, checked.idler) {
            (Fit::Refused(_), Some(_)) => remarks.push("no idler owned makes it fit".to_owned()),
            (Fit::Refused(_), None) => remarks.push("does not fit on the banjo".to_owned()),
            (Fit::TooClose(_), _) => remarks.extend(doubt::in_full(self.lathe, &checked.fit)),
            _ => {}
        }
        if checked.cut.as_ref().is_some_and(|cut| cut.levers_open) {
            remarks.push("levers not named: the nearest are assumed".to_owned());
        }
        if self.group_of(index).is_some() {
            remarks.push("for another lathe".to_owned());
        }
        (!remarks.is_empty()).then(|| remarks.join("; "))
    }

    /// What the banjo says of the gears of a row, or of those on the machine.
    fn fit(&self, row: &ChartRow, checked: &CheckedRow) -> Fits {
        let fitted = || self.lathe.parts().fitted.as_ref().map(|fitted| fitted.train.clone());
        let train = checked.train(row).or_else(fitted);
        Fits::on(self.lathe, train.as_ref(), &checked.fit)
    }

    /// For programs.
    pub(super) fn document(&self) -> document::Judged {
        let explanation = |row: &ChartRow, e: &Explanation| document::Explanation {
            kind: words::kind(&e.cause),
            text: words::explanation(self.lathe, row, e, self.box_known),
            exact: e.exact,
            owned: e.owned,
        };
        let rows = self.all().map(|JudgedRow { index, line, row, checked }| {
            let cut = checked.cut.as_ref();
            document::Row {
                line,
                printed: words::printed(&row.printed),
                travel: travel(row.printed.travel()),
                train: words::train(row),
                levers: row.levers.iter().cloned().collect(),
                verdict: words::verdict(&checked.verdict),
                cut: cut.map(|cut| document::Cut {
                    lead: Lead::from(&cut.lead),
                    error: Error::from(&cut.error),
                }),
                should_print: should_print(row, checked),
                missing: checked
                    .lacks
                    .iter()
                    .map(|lack| lacks::in_short(self.lathe, lack))
                    .collect(),
                fit: self.fit(row, checked),
                group: self.group_of(index),
                likeliest: checked.likeliest().iter().map(|e| explanation(row, e).text).collect(),
                explanations: checked.explanations.iter().map(|e| explanation(row, e)).collect(),
            }
        });
        let groups = self.check.groups.iter().map(|group| document::Group {
            lines: group.rows.iter().filter_map(|i| self.chart.lines.get(*i).copied()).collect(),
            factor: group.factor.to_string(),
            screw: group.screw.as_ref().map(Lead::from),
        });
        document::Judged {
            holds: self.check.holds(),
            counts: self.counts(),
            rows: rows.collect(),
            groups: groups.collect(),
        }
    }
}

/// What is cut, in the unit of the row.
fn cuts(row: &ChartRow, checked: &CheckedRow) -> Cell {
    let value = checked.cut.as_ref().map(|cut| row.printed.value_of(&cut.lead).ok().flatten());
    match value {
        Some(Some(value)) => Cell::from(figures::measure(&value)),
        Some(None) => checked.cut.as_ref().map(|cut| figures::lead_mm(&cut.lead)).into(),
        None => Cell::Empty,
    }
}

/// An error; of none the verdict beside it says "exact".
fn error(error: &LeadError) -> String {
    if error.is_zero() { "0".to_owned() } else { error_in_short(error) }
}

/// What the row should print for its gears and levers.
fn should_print(row: &ChartRow, checked: &CheckedRow) -> Option<String> {
    let cut = checked.cut.as_ref()?;
    let (digits, _) = right(&row.printed, &cut.lead).ok().flatten()?;
    Some(words::figure(&row.printed, &digits))
}

/// The chart as it should be, as a chart file has it: CSV can be checked again.
pub(super) fn write_right(lathe: &Lathe, chart: &OpenChart, check: &Check, report: &mut Report) {
    let mut levers: Vec<&str> = Vec::new();
    for (lever, _) in chart.rows.iter().flat_map(|row| &row.levers) {
        if !levers.contains(&lever.as_str()) {
            levers.push(lever);
        }
    }
    let mut columns = vec![
        Column::new("thread", "thread", ""),
        Column::new("train", "gears", ""),
        Column::new("starts", "starts", ""),
        Column::new("rounded", "rounded", ""),
    ];
    columns.extend(
        levers.iter().map(|lever| Column::new(format!("lever {lever}"), (*lever).to_owned(), "")),
    );
    let mut table = Table::new(columns);
    for (row, checked) in chart.rows.iter().zip(&check.rows) {
        let kept = is_kept(checked);
        let printed = words::printed(&row.printed);
        let text = if kept { printed } else { should_print(row, checked).unwrap_or(printed) };
        // Feeds are rounded and threads are not, unless the row says otherwise.
        let as_rule = row.printed.travel().is_feed() == row.printed.half_digit().is_some();
        let rounded = if row.printed.half_digit().is_some() { "yes" } else { "no" };
        let starts = row.printed.starts();
        let mut cells = vec![
            text.into(),
            words::train(row).into(),
            (starts > 1).then(|| usize::from(starts)).into(),
            (!as_rule).then_some(rounded).into(),
        ];
        cells.extend(levers.iter().map(|lever| Cell::from(row.position(lever))));
        table.push(cells);
    }
    report.push(Block::Title(format!("The chart as {} cuts it", name_of(lathe))));
    report.records = Some(table.clone());
    table.drop_empty();
    report.table(table);
}

/// Whether a row is printed as it was.
const fn is_kept(checked: &CheckedRow) -> bool {
    checked.verdict.holds() || checked.cut.is_none()
}

/// Under the right chart: how much of the old one was wrong.
pub(super) fn write_changed(chart: &OpenChart, check: &Check, report: &mut Report) {
    let rows = chart.rows.iter().zip(&check.rows);
    let changed = rows.filter(|(_, checked)| !is_kept(checked)).count();
    report.note(if changed == 0 {
        "Nothing had to be changed.".to_owned()
    } else {
        format!(
            "{} changed; an approximation within the tolerance stays as it was printed.",
            plural(changed, "row")
        )
    });
}

fn name_of(lathe: &Lathe) -> &str {
    match lathe.parts().name.as_str() {
        "" => "the lathe",
        name => name,
    }
}
