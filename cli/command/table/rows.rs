//! One line of the plan: its set-up, what changes from the line before it, what the dial says.

use super::{Group, Request};
use crate::answer::Entry;
use crate::args::Order;
use crate::asked::wanted::Wanted;
use crate::report::Text;
use crate::report::wall::Piece;
use crate::words::figures::ppm;
use crate::words::set_up::{error_in_short, positions};
use crate::words::shaft::{driven_shaft, label};
use crate::words::{change, dial, verdict};
use solver::judge::{fitted_train, train_now};
use solver::plan::{Cost, Step, TrainTable};
use solver::{GearChange, Lathe, LeadError, OnShaft, Result, Shaft, Teeth, Train};

/// An error that is told, in ppm: below it lies what nobody can measure on a thread, 1.25 µm in 25 mm
/// (common practice, no source).
const TOLD: f64 = 50.0;

/// Marks a line that is not near enough.
pub(super) const FAR: &str = "!";

/// A line of the list with its set-up.
pub(super) struct Row {
    /// Index into the list.
    pub(super) line: usize,
    pub(super) group: Group,
    /// `1.5 mm`, `16 tpi`.
    pub(super) lead: String,
    /// `M10`, `M11`.
    pub(super) names: Vec<String>,
    pub(super) entry: Entry,
    /// What is handled for it.
    pub(super) cost: Cost,
    /// From the line before, or from what is on the machine.
    pub(super) change: Option<GearChange>,
    /// `any line`, `keep closed`; nothing for a feed.
    pub(super) dial: Option<String>,
    /// Trains within tolerance that it was chosen from; with a verdict the nearest.
    pub(super) trains: usize,
    /// What the nearest is, where nothing is near enough: `poor for class 6g: 12 % of its tolerance`.
    pub(super) verdict: Option<Text>,
}

impl Row {
    /// Every line of a plan, in its order.
    pub(super) fn all(
        request: &Request,
        table: &TrainTable<'_>,
        steps: &[Step],
    ) -> Result<Vec<Self>> {
        let lathe = &request.machine.lathe;
        let (fitted, now) = (fitted_train(lathe), train_now(lathe));
        let fitted = fitted.as_ref();
        let counts: Vec<usize> = table.counts().collect();
        let mut before = match request.order {
            Order::Single => fitted,
            _ => now.as_ref(),
        };
        let mut rows = Vec::with_capacity(steps.len());
        for step in steps {
            let found = request.wanted.get(step.line).zip(table.search(step.line));
            let Some((wanted, search)) = found else { continue };
            let Some(mut entry) = Entry::of(search, &step.solution) else { continue };
            entry.idlers = search.idlers(&wanted.line.ask(), &step.solution)?;
            let widened = table.widened_to().any(|(line, _)| line == step.line);
            rows.push(Self {
                verdict: widened.then(|| verdict::in_words(&wanted.allowed, &entry.error)),
                trains: counts.get(step.line).copied().unwrap_or(0),
                cost: step.cost,
                ..Self::after(before, lathe, wanted, step.line, entry)?
            });
            before = match request.order {
                Order::Single => fitted,
                _ => Some(&step.solution.train),
            };
        }
        Ok(rows)
    }

    /// Set-ups that were chosen one by one, by the line of the list, as a chart has them.
    pub(super) fn each_from_fitted(
        request: &Request,
        mut chosen: Vec<(usize, Entry)>,
    ) -> Result<Vec<Self>> {
        let lathe = &request.machine.lathe;
        let (train, fitted) = (fitted_train(lathe), lathe.parts().fitted.as_ref());
        let chart = super::chart_order(lathe, &request.wanted);
        chosen.sort_by_key(|(line, _)| chart.iter().position(|at| at == line));
        let row = |(line, entry): (usize, Entry)| {
            let wanted = request.wanted.get(line)?;
            let row = Self::after(train.as_ref(), lathe, wanted, line, entry);
            let stays = |set: &(String, String)| fitted.is_some_and(|f| f.levers.contains(set));
            Some(row.map(|mut row| {
                // Where no swaps are told nothing is said of gears that are shifted.
                row.change.iter_mut().for_each(|change| change.shifted.clear());
                row.cost.handled = row.entry.handled;
                let set = positions(lathe, &row.entry);
                row.cost.levers = set.iter().filter(|set| !stays(set)).count();
                row
            }))
        };
        chosen.into_iter().filter_map(row).collect()
    }

    /// A line that comes after a train, of which no more is known.
    fn after(
        before: Option<&Train>,
        lathe: &Lathe,
        wanted: &Wanted,
        line: usize,
        entry: Entry,
    ) -> Result<Self> {
        let starts = wanted.target.starts();
        let dial = (!wanted.is_feed()).then(|| dial::in_short(lathe, &entry.lead, starts));
        Ok(Self {
            line,
            group: Group::of(wanted),
            lead: wanted.lead(),
            names: wanted.names.clone(),
            change: before.map(|before| GearChange::between(before, &entry.train)),
            cost: Cost::default(),
            dial: dial.transpose()?,
            trains: 0,
            verdict: None,
            entry,
        })
    }

    /// Its error, where it matters: of a thread, and large enough to be measured; marked where it is not
    /// near enough.
    pub(super) fn error(&self) -> Option<String> {
        if self.verdict.is_some() {
            return Some(format!("{} {FAR}", error_in_short(&self.entry.error)));
        }
        let told = |error: &LeadError| !error.is_zero() && ppm(error).to_f64().abs() >= TOLD;
        let is_thread = self.group < Group::Feed;
        (is_thread && told(&self.entry.error)).then(|| error_in_short(&self.entry.error))
    }

    /// What to do from the line before, in a few words.
    pub(super) fn swap(&self) -> String {
        let Some(change) = &self.change else { return String::new() };
        let idle = if self.cost.levers > 0 { "levers only" } else { "nothing" };
        change::in_few_words(change).unwrap_or_else(|| idle.to_string())
    }
}

/// Rows side by side under their headings: by kind where the plan goes by kind, else all in one.
pub(super) fn grouped<'r>(request: &Request, rows: &'r [Row]) -> Vec<(&'static str, &'r [Row])> {
    let order = match request.order {
        Order::Chart | Order::Single => None,
        Order::Listed => Some("As listed"),
        Order::Fewest => Some("Train by train"),
        Order::Best => Some("In this order"),
    };
    let groups = rows.chunk_by(|a, b| order.is_some() || a.group == b.group);
    let named = |rows: &'_ [Row]| order.or(rows.first().map(|row| row.group.name()));
    groups.map(|rows| (named(rows).unwrap_or_default(), rows)).collect()
}

/// Whether all of them are feeds.
pub(super) fn are_feeds(rows: &[Row]) -> bool {
    rows.iter().all(|row| row.group >= Group::Feed)
}

/// The gears of a row by shaft: first, studs, last; as many studs as the widest row has.
pub(super) fn by_shaft(row: &Row, studs: usize) -> Vec<Vec<Piece>> {
    let shafts = row.entry.train.shafts();
    let is_new = |shaft: OnShaft, teeth: Teeth| {
        row.change.as_ref().is_none_or(|change| change.brings(shaft, teeth))
    };
    let wheels = |(at, shaft): (usize, &Shaft)| {
        let on = OnShaft::of(at, shafts.len());
        let wheel = |teeth: Teeth| Piece { text: teeth.to_string(), new: is_new(on, teeth) };
        shaft.gears().map(|gear| wheel(gear.teeth)).collect::<Vec<_>>()
    };
    let mut cells: Vec<Vec<Piece>> = shafts.iter().enumerate().map(wheels).collect();
    let end = cells.pop().unwrap_or_default();
    cells.resize(studs + 1, Vec::new());
    cells.push(end);
    cells
}

/// Studs of the widest row.
pub(super) fn studs(rows: &[Row]) -> usize {
    rows.iter().map(|row| row.entry.train.studs().len()).max().unwrap_or(0)
}

/// What the shafts are called at the head of a chart.
pub(super) fn shaft_names(lathe: &Lathe, studs: usize) -> Vec<String> {
    let driven = driven_shaft(lathe);
    (0..studs + 2).map(|at| label(OnShaft::of(at, studs + 2), driven).to_string()).collect()
}
