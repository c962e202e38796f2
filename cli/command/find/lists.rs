//! The lists of trains: the choice of fewest gears against error, the ranking by error, and with
//! `--all` every set-up of one lead.

use crate::answer::{Entry, Outcome, Request};
use crate::report::number::{Number, grouped};
use crate::report::{Cell, Column, Report, Role, Table, Text};
use crate::words::figures::{adds_up, is_in_per_cent, lead_inch, lead_mm, ppm, tpi};
use crate::words::search::{counted, part};
use crate::words::set_up::error_in_short;
use crate::words::{doubt, either};
use solver::{Lathe, LeadError, Length, Ratio, Target, Travel};

/// For each number of gears the closest train, fewest first. A row that is far off is left out
/// where more gears do better: it is a different thread.
pub(super) fn write_choice(request: &Request, outcome: &Outcome, report: &mut Report) {
    let rows = &outcome.trade_off;
    let unsure = outcome.unsure().map(|entry| {
        format!(
            "Whether a train within {} fits is {}: {}, {}.",
            part(&outcome.allowed.part()),
            doubt::in_short(&entry.fit),
            entry.train,
            error_in_short(&entry.error)
        )
    });
    report.heading("Fewest gears first");
    if rows.is_empty() {
        // Nothing is sure to fit: there is nothing to choose from.
        let none = unsure.unwrap_or_else(|| "No train was found that is sure to fit.".to_string());
        report.note(Text::new(Role::Warning, none));
        if let Some(nearest) = &outcome.nearest {
            let (train, error) = (&nearest.train, error_in_short(&nearest.error));
            report.note(format!("The nearest that is sure to fit: {train}, {error}."));
        }
        return;
    }
    let hopeless = rows.iter().take_while(|entry| entry.is_far_off()).count();
    let from = hopeless.min(rows.len().saturating_sub(1));
    let shape = TrainColumns::of(&request.machine.lathe, rows, outcome);
    let mut columns = vec![Column::new("gears", "gears", "")];
    columns.extend(shape.columns());
    columns.push(Column::new("mark", "", ""));
    let mut table = Table::new(columns);
    for (i, entry) in rows.iter().enumerate().skip(from) {
        let mut row = vec![entry.gears().into()];
        row.extend(shape.cells(request, entry));
        let mark = (outcome.fewest == Some(i)).then(|| Text::new(Role::Good, "*"));
        row.push(mark.into());
        table.push(row);
    }
    report.table(table);
    let mut note = about_choice(outcome, unsure);
    if from > 0 && from == hopeless {
        note += " With fewer gears it is more than 10 % off.";
    }
    if !outcome.trade_off_complete {
        note += " The search was cut short: a row may be missing.";
    }
    report.note(note);
}

/// What the star marks, or that nothing is near enough; `unsure`: what may be.
fn about_choice(outcome: &Outcome, unsure: Option<String>) -> String {
    let tolerance = part(&outcome.allowed.part());
    let mut note = match outcome.fewest {
        Some(_) => format!("* fewest gears within {tolerance}."),
        None if !outcome.trade_off_complete => {
            unsure.unwrap_or_else(|| format!("No train was found within {tolerance}."))
        }
        None => unsure.unwrap_or_else(|| format!("No train comes within {tolerance}.")),
    };
    if outcome.fewest.is_none() {
        let feed = meant_as_a_feed(&outcome.target);
        note += &feed.map_or_else(String::new, |feed| format!(" {feed}"));
    }
    note
}

/// What to type where a bare length is finer than lathes cut threads: 0.2 mm (common practice, no source).
pub(super) fn meant_as_a_feed(target: &Target) -> Option<String> {
    let length: Length = target.text().parse().ok()?;
    let is_fine = length.mm() < Ratio::new(1, 5).ok()?;
    (is_fine && target.travel() == Travel::Thread)
        .then(|| format!("If it is meant as a feed: {}/rev.", target.text().trim()))
}

/// Different leads, closest first.
pub(super) fn write_ranking(request: &Request, outcome: &Outcome, report: &mut Report) {
    report.heading("Closest first");
    let shape = TrainColumns::of(&request.machine.lathe, &outcome.solutions, outcome);
    let mut columns = vec![Column::new("rank", "", "")];
    columns.extend(shape.columns());
    columns.push(Column::new("others", "also by", "").second());
    let mut table = Table::new(columns);
    for (i, entry) in outcome.solutions.iter().enumerate() {
        let mut row = vec![(i + 1).into()];
        row.extend(shape.cells(request, entry));
        row.push(entry.others.map(counted).into());
        table.push(row);
    }
    report.table(table);
    for (i, entry) in outcome.solutions.iter().enumerate() {
        write_arrangements(request, outcome, i + 1, entry, report);
    }
}

/// With `--all`: every arrangement of one lead.
fn write_arrangements(
    request: &Request,
    outcome: &Outcome,
    rank: usize,
    entry: &Entry,
    report: &mut Report,
) {
    if entry.arrangements.is_empty() {
        return;
    }
    let listed = entry.arrangements.len();
    let more = entry.others.is_some_and(|o| o.at_least || o.count >= listed as u64);
    let cut = if more { format!(", the first {}", grouped(listed as u128)) } else { String::new() };
    report.heading(format!("All set-ups of {rank}: {} mm{cut}", lead_mm(&entry.lead).marked()));
    let shape = TrainColumns::of(&request.machine.lathe, &entry.arrangements, outcome);
    // Lead and error are the same in all.
    let columns = [Column::new("gears", "gears", ""), Column::new("train", "train", "")];
    let mut table = Table::new(columns.into_iter().chain(shape.setting_columns()).collect());
    for arrangement in &entry.arrangements {
        let train = Text::new(Role::Strong, arrangement.train.to_string());
        let cells = [arrangement.gears().into(), train.into()];
        table.push(cells.into_iter().chain(shape.setting_cells(arrangement)).collect());
    }
    report.table(table);
}

/// Which columns a list of trains needs.
struct TrainColumns<'a> {
    lathe: &'a Lathe,
    feed: bool,
    /// Of headstock, tumbler, hand and fit those that there is something to say of.
    more: Vec<More>,
}

/// A column that a list of trains may need.
#[derive(Debug, Clone, Copy)]
enum More {
    Headstock,
    Tumbler,
    Hand,
    Fit,
}

impl More {
    const fn name(self) -> &'static str {
        match self {
            Self::Headstock => "headstock",
            Self::Tumbler => "tumbler",
            Self::Hand => "hand",
            Self::Fit => "fit",
        }
    }

    fn of(self, lathe: &Lathe, entry: &Entry) -> Option<String> {
        match self {
            Self::Headstock => lathe.headstock_name(&entry.setting).map(str::to_string),
            Self::Tumbler => either::tumbler(lathe, entry),
            Self::Fit => entry.is_too_close().then(|| doubt::in_short(&entry.fit).to_string()),
            Self::Hand => {
                Some(entry.hand.map_or_else(|| "not known".to_string(), |hand| hand.to_string()))
            }
        }
    }
}

impl<'a> TrainColumns<'a> {
    /// For entries of one lathe; the hand is shown where it is not the same in all.
    fn of(lathe: &'a Lathe, entries: &[Entry], outcome: &Outcome) -> Self {
        let first = entries.first();
        let said = |more: &More| match more {
            More::Hand => entries.iter().any(|e| Some(e.hand) != first.map(|f| f.hand)),
            _ => entries.iter().any(|e| more.of(lathe, e).is_some()),
        };
        Self {
            lathe,
            feed: outcome.target.travel().is_feed(),
            more: [More::Headstock, More::Tumbler, More::Hand, More::Fit]
                .into_iter()
                .filter(said)
                .collect(),
        }
    }

    fn columns(&self) -> Vec<Column> {
        let (what, inch) = if self.feed {
            ("feed", Column::new("feed_in", "feed", "in"))
        } else {
            ("lead", Column::new("tpi", "TPI", ""))
        };
        let mut columns = vec![
            Column::new("train", "train", ""),
            Column::new("lead_mm", what, "mm"),
            inch,
            Column::new("error_ppm", "error", "ppm"),
        ];
        if !self.feed {
            columns.push(Column::new("adds_up_to_um", "adds up to", "µm"));
        }
        columns.extend(self.setting_columns());
        columns
    }

    /// What is to be set.
    fn setting_columns(&self) -> impl Iterator<Item = Column> {
        let more = self.more.iter().map(|more| more.name().to_string());
        let levers = self.lathe.parts().gearbox.levers.iter().map(|lever| lever.name.clone());
        let names = levers.chain(more);
        names.map(|name| Column::new(name.clone(), name, "").second())
    }

    fn cells(&self, request: &Request, entry: &Entry) -> Vec<Cell> {
        let mut cells = vec![
            Text::new(Role::Strong, entry.train.to_string()).into(),
            lead_mm(&entry.lead).into(),
            if self.feed { lead_inch(&entry.lead) } else { tpi(&entry.lead) }.into(),
            error_cell(&entry.error),
        ];
        if !self.feed {
            // What a lead error adds up with a different thread is no use to anybody.
            let adds_up = || figure(adds_up(&entry.error, &request.over));
            cells.push((!entry.is_far_off()).then(adds_up).into());
        }
        cells.extend(self.setting_cells(entry));
        cells
    }

    fn setting_cells(&self, entry: &Entry) -> Vec<Cell> {
        let levers = self.lathe.lever_names(&entry.setting).map(|(_, at)| at.to_string().into());
        levers.chain(self.more.iter().map(|more| more.of(self.lathe, entry).into())).collect()
    }
}

/// In parts per million; a large one in per cent.
fn error_cell(error: &LeadError) -> Cell {
    if error.is_zero() {
        Text::new(Role::Good, "exact").into()
    } else if is_in_per_cent(error) {
        Text::new(Role::Warning, error_in_short(error)).into()
    } else {
        figure(ppm(error))
    }
}

/// An error is understood to be rounded: it carries no `~`.
fn figure(number: Number) -> Cell {
    number.unmarked().into()
}
