//! The plan for people: what each way through the list costs, then line by line what to set.

use super::rows::{self, Row};
use super::{Choice, Group, Kind, Outcome, Request};
use crate::args::Order;
use crate::report::number::grouped;
use crate::report::{Block, Cell, Column, Report, Role, Table, Text};
use crate::words::change;
use crate::words::doubt;
use crate::words::either;
use crate::words::figures::plural;
use crate::words::search::part;
use crate::words::set_up::{error_in_short, positions};
use crate::words::shaft::last_shaft;
use solver::{Lathe, Ratio, Travel};

/// Names of threads that stand beside a lead.
const NAMES: usize = 3;

/// What is said wherever gears are swapped.
pub(super) const CAUTIONS: [&str; 4] = [
    "Isolate the lathe before the cover is opened; close it before the spindle turns.",
    "Chuck key out. Turn the spindle by hand once round after every swap.",
    "A paper's thickness of play in each mesh. First pass a scratch pass: measure it.",
    "The machine's manual and the rules of your shop come first.",
];

pub(super) fn write(request: &Request, outcome: &Outcome, report: &mut Report) {
    report.note(request.machine.line());
    report.push(Block::Title(title(request)));
    report.note(summary(request, outcome));
    if !outcome.rows.is_empty() {
        write_ways(request, outcome, report);
        write_rows(request, outcome, report);
        write_back(request, outcome, report);
    }
    write_unsure(request, outcome, report);
    write_missed(request, outcome, report);
    if !outcome.unsearched.is_empty() {
        report.heading("Not looked at");
        let leads = outcome.unsearched.iter().filter_map(|line| request.wanted.get(*line));
        let leads: Vec<String> = leads.map(super::Wanted::lead).collect();
        report.note(Text::new(Role::Warning, format!("{}.", leads.join(", "))));
    }
    report.heading("Mind");
    report.push(Block::List(CAUTIONS.map(Text::from).into()));
}

pub(super) fn title(request: &Request) -> String {
    format!("Gear table of {}", request.machine.name())
}

/// How many lines can be cut.
fn summary(request: &Request, outcome: &Outcome) -> Text {
    let (all, can) = (request.wanted.len(), outcome.rows.len());
    let tolerance = tolerances(request).join(", ");
    let role = if can == all { Role::Good } else { Role::Warning };
    Text::new(role, format!("{can} of {}", plural(all, "line")))
        .and(Role::Plain, format!(" can be cut within {tolerance}{}.", unsure(outcome)))
}

/// `; 1 is too close to call`, where that is so.
fn unsure(outcome: &Outcome) -> String {
    match outcome.unsure.len() {
        0 => String::new(),
        1 => format!("; 1 is {}", doubt::TOO_CLOSE),
        n => format!("; {n} are {}", doubt::TOO_CLOSE),
    }
}

/// Each tolerance with what it holds for, those of single lines apart.
fn tolerances(request: &Request) -> Vec<String> {
    let mut said: Vec<(bool, Ratio)> =
        request.wanted.iter().map(|wanted| (wanted.is_feed(), wanted.line.within)).collect();
    said.sort_unstable();
    said.dedup();
    let word = |(feed, within): &(bool, Ratio)| {
        format!("{} ({})", part(within), if *feed { "feeds" } else { "threads" })
    };
    said.iter().map(word).collect()
}

/// What each way through the list costs.
fn write_ways(request: &Request, outcome: &Outcome, report: &mut Report) {
    report.heading("Gears to handle");
    let own = outcome.chosen(request.order).map(|choice| choice.kind);
    let table = Table::of(
        &outcome.choices,
        [
            (Column::new("way", "", ""), &|choice| way(choice).into()),
            (Column::named("handled", ""), &|choice| choice.plan.cost.handled.into()),
            (Column::new("least", "at least", ""), &|choice| match choice.kind {
                Kind::Closest => Cell::Empty,
                Kind::Fewest => choice.plan.bound.least().map(|n| plural(n, "train")).into(),
                _ => choice.plan.bound.least().into(),
            }),
            (Column::named("levers", ""), &|choice| choice.plan.cost.levers.into()),
            (Column::named("trains", ""), &|choice| choice.plan.trains.into()),
            (Column::new("mark", "", ""), &|choice| {
                (Some(choice.kind) == own).then(|| Text::new(Role::Good, "*")).into()
            }),
        ],
    );
    report.table(table);
    report.note(format!("* {}", saving(request, outcome)));
    report.note(proof(request, outcome));
}

/// The way; what is not proven to be the best is the best that was found.
fn way(choice: &Choice) -> &'static str {
    let proven = choice.plan.is_proven();
    match choice.kind {
        Kind::Best if !proven => "in the best order found",
        Kind::Fewest if !proven => "fewest different trains found",
        Kind::Closest => "the closest train for each line",
        Kind::Chart => "by kind, coarse before fine",
        Kind::Listed => "as listed",
        Kind::Best => "in the best order",
        Kind::Fewest => "fewest different trains",
        Kind::Single => "each by itself, and back",
    }
}

/// What planning saves.
pub(super) fn saving(request: &Request, outcome: &Outcome) -> String {
    let (Some(own), Some(naive)) =
        (outcome.chosen(request.order), outcome.choices.iter().find(|c| c.kind == Kind::Closest))
    else {
        return "the plan below.".to_string();
    };
    let (few, many) = (own.plan.cost.handled, naive.plan.cost.handled);
    let saved = many.saturating_sub(few);
    if saved == 0 || own.kind == Kind::Single {
        return "the plan below.".to_string();
    }
    format!("the plan below: {few} gears handled in place of {many}, {saved} saved.")
}

/// Over what it is proven, or that it was cut short.
fn proof(request: &Request, outcome: &Outcome) -> String {
    let fitted = request.machine.lathe.parts().fitted.as_ref();
    let from = fitted.map_or_else(
        || "from an empty bracket".to_string(),
        |fitted| format!("from the fitted set-up {} and back to it", fitted.train),
    );
    let set_ups = grouped(outcome.set_ups() as u128);
    let handled = format!("Gears handled: each one taken off or put on (shifted: both), {from}.");
    if !outcome.all_there {
        return format!(
            "{handled} No bound is known: {}. The plan is the best found of {set_ups} set-ups.",
            outcome.left_out.join("; ")
        );
    }
    let leads = |lines: &mut dyn Iterator<Item = usize>| {
        let leads: Vec<String> =
            lines.filter_map(|line| request.wanted.get(line)).map(super::Wanted::lead).collect();
        leads.join(", ")
    };
    let wider = leads(&mut outcome.wider.iter().copied());
    let wider = match outcome.longest {
        Some(pairs) if !wider.is_empty() => format!(" ({pairs} for {wider})"),
        _ => String::new(),
    };
    let most = outcome.idlers.iter().map(|(_, idlers)| *idlers).max();
    let idlers = most.map_or_else(String::new, |most| {
        let lines = leads(&mut outcome.idlers.iter().map(|(line, _)| *line));
        format!(", up to {most} idlers for {lines}")
    });
    let over = format!(
        "{handled} At least: no plan does with less, over all {set_ups} set-ups within tolerance that \
         fit, of up to {}{wider}; idlers beside one ratio pair only{idlers}.",
        plural(request.pairs, "ratio pair")
    );
    if outcome.left_out.is_empty() {
        over
    } else {
        format!("{over} {}: what is here is the best so far.", outcome.left_out.join("; "))
    }
}

/// Line by line.
fn write_rows(request: &Request, outcome: &Outcome, report: &mut Report) {
    for (heading, rows) in rows::grouped(request, &outcome.rows) {
        report.heading(heading);
        report.table(table(request, outcome, rows));
    }
    if let Some(standing) = standing(&request.machine.lathe, &outcome.rows) {
        report.note(Text::new(Role::Strong, standing));
    }
    for note in notes(request, outcome) {
        report.note(note);
    }
}

fn table(request: &Request, outcome: &Outcome, here: &[Row]) -> Table {
    let lathe = &request.machine.lathe;
    let levers = lever_names(lathe, &outcome.rows);
    let thread = if rows::are_feeds(here) { "feed" } else { "thread" };
    let mut columns = vec![Column::new("thread", thread, ""), Column::new("train", "gears", "")];
    columns.extend(levers.iter().map(|name| Column::new(name.clone(), name.clone(), "")));
    columns.push(Column::new("error", "error", ""));
    columns.push(Column::new("swap", swap_heading(request.order), ""));
    columns.push(Column::new("dial", "dial", "").second());
    columns.push(Column::new("names", "for", "").second());
    let mut table = Table::new(columns);
    for row in here {
        let own = positions(lathe, &row.entry);
        let mut cells =
            vec![Text::new(Role::Strong, row.lead.clone()).into(), Cell::from(gears(row))];
        cells.extend(levers.iter().map(|name| {
            Cell::from(own.iter().find(|(own, _)| own == name).map(|(_, p)| p.clone()))
        }));
        cells.push(row.error().into());
        cells.push(row.swap().into());
        cells.push(row.dial.clone().into());
        cells.push(names(row).into());
        table.push(cells);
    }
    table.drop_empty();
    table
}

pub(super) const fn swap_heading(order: Order) -> &'static str {
    match order {
        Order::Single => "from the fitted gears",
        _ => "from the line above",
    }
}

/// The train; an idler, whose size is free, in brackets: `20-(75)-60`.
fn gears(row: &Row) -> String {
    let shafts = row.entry.train.shafts();
    let last = shafts.len().saturating_sub(1);
    let one = |(at, shaft): (usize, &solver::Shaft)| {
        let teeth: Vec<String> = shaft.gears().map(|gear| gear.teeth.to_string()).collect();
        let idler = at > 0 && at < last && teeth.len() == 1;
        if idler { format!("({})", teeth.join("")) } else { teeth.join("+") }
    };
    let unsure = if row.entry.is_too_close() { " ?" } else { "" };
    shafts.iter().enumerate().map(one).collect::<Vec<_>>().join("-") + unsure
}

/// Every lever that some line sets, in the order of the machine, with its positions.
fn levers(lathe: &Lathe, rows: &[Row]) -> Vec<(String, Vec<String>)> {
    let mut levers: Vec<(String, Vec<String>)> = Vec::new();
    for (name, position) in rows.iter().flat_map(|row| positions(lathe, &row.entry)) {
        match levers.iter_mut().find(|(known, _)| *known == name) {
            Some((_, positions)) if positions.contains(&position) => {}
            Some((_, positions)) => positions.push(position),
            None => levers.push((name, vec![position])),
        }
    }
    levers
}

/// The levers that move within the list.
pub(super) fn lever_names(lathe: &Lathe, rows: &[Row]) -> Vec<String> {
    levers(lathe, rows).into_iter().filter(|(_, p)| p.len() > 1).map(|(name, _)| name).collect()
}

/// Those that stand still: `tumbler up`.
pub(super) fn standing(lathe: &Lathe, rows: &[Row]) -> Option<String> {
    let still = levers(lathe, rows).into_iter().filter(|(_, positions)| positions.len() == 1);
    let words: Vec<String> =
        still.map(|(name, positions)| format!("{name} {}", positions.concat())).collect();
    (!words.is_empty()).then(|| format!("All lines: {}.", words.join(", ")))
}

/// The threads that a line is for.
pub(super) fn names(row: &Row) -> Option<String> {
    let shown: Vec<&str> = row.names.iter().take(NAMES).map(String::as_str).collect();
    let more = row.names.len() - shown.len();
    let text = shown.join(", ");
    (!text.is_empty()).then(|| if more > 0 { format!("{text} +{more}") } else { text })
}

/// What the signs of the table mean.
pub(super) fn notes(request: &Request, outcome: &Outcome) -> Vec<String> {
    let rows = &outcome.rows;
    let last = last_shaft(&request.machine.lathe);
    let mut notes = vec![format!(
        "Gears: from the first shaft to {last}; + joins two on one stud, the first of them is driven."
    )];
    let shifts = |row: &Row| row.change.as_ref().is_some_and(|c| !c.shifted.is_empty());
    if rows.iter().any(shifts) {
        notes.push(
            "Shift: the same gear on the same shaft, one plane further in or out.".to_string(),
        );
    }
    let idler = |row: &Row| {
        row.entry.train.studs().iter().any(|stud| matches!(stud, solver::Shaft::One(_)))
    };
    if rows.iter().any(idler) {
        notes.push("( ) is an idler: any size that reaches both neighbours.".to_string());
    }
    if rows.iter().any(|row| row.entry.is_too_close()) {
        notes.push("? fits or not is too close to call: try it with the cover open and the lathe isolated.".to_string());
    }
    if rows.iter().any(|row| row.dial.as_ref().is_some_and(|dial| dial.contains("same"))) {
        notes.push(
            "Thread dial: close always on the same line, or the same set, that you began with."
                .to_string(),
        );
    }
    if let [first, _, ..] = &request.machine.lathe.parts().dials[..] {
        notes.push(format!("{}t and so on: the dial gear to mesh, by its teeth.", first.teeth));
    }
    if rows.iter().any(|row| row.error().is_some()) {
        notes.push(
            "Error: told from 50 ppm on (1.25 µm in 25 mm); the rest is nearer or exact."
                .to_string(),
        );
    }
    notes.extend(open(request, rows));
    let unknown = |row: &&Row| {
        row.entry.hand.is_none()
            && request.wanted.get(row.line).is_some_and(|w| w.line.travel == Travel::Thread)
    };
    if rows.iter().any(|row| unknown(&row)) {
        notes.push("The hand that is cut is not known: try it before the first pass.".to_string());
    }
    notes
}

/// Lines of which nobody has measured whether an idler is needed.
fn open(request: &Request, rows: &[Row]) -> Option<String> {
    let lathe = &request.machine.lathe;
    let is_thread = |row: &&Row| row.group < Group::Feed && row.entry.either.is_some();
    if let Some(meaning) =
        either::meaning(lathe, rows.iter().filter(is_thread).map(|row| &row.entry))
    {
        return Some(meaning);
    }
    let row = rows.iter().find(is_thread)?;
    let cases = either::sentences(lathe, row.entry.either?)?;
    Some(format!("{} {}: {} {}", either::OPEN, row.entry.train, cases.join(" "), either::CHECK))
}

/// After the last line.
fn write_back(request: &Request, outcome: &Outcome, report: &mut Report) {
    let fitted = request.machine.lathe.parts().fitted.as_ref();
    let Some((fitted, back)) = fitted.zip(outcome.back.as_ref()) else { return };
    report.heading("Afterwards");
    if back.is_none() {
        report.note(format!("The gears are the fitted ones again: {}.", fitted.train));
        return;
    }
    let name = last_shaft(&request.machine.lathe);
    let mut steps: Vec<String> = Vec::new();
    if !back.off.is_empty() {
        steps.push(format!("Take off {}.", change::taken_off(&back.off, name)));
    }
    if !back.on.is_empty() {
        steps.push(format!("Put on {}.", change::put_on(&back.on, name)));
    }
    if !back.shifted.is_empty() {
        steps.push(format!("Shift {}.", change::put_on(&back.shifted, name)));
    }
    report.note(format!("Back to the fitted {}. {}", fitted.train, steps.join(" ")));
}

/// Lines that a train reaches which fits or not by less than the arithmetic can tell.
fn write_unsure(request: &Request, outcome: &Outcome, report: &mut Report) {
    if outcome.unsure.is_empty() {
        return;
    }
    report.heading("Too close to call");
    let mut list = Vec::new();
    for (line, entry) in &outcome.unsure {
        let Some(wanted) = request.wanted.get(*line) else { continue };
        let words = doubt::in_full(&request.machine.lathe, &entry.fit);
        let words = format!(
            ": {}, {}. {}",
            entry.train,
            error_in_short(&entry.error),
            words.unwrap_or_default()
        );
        list.push(Text::new(Role::Warning, wanted.lead()).and(Role::Plain, words));
    }
    report.push(Block::List(list));
}

/// Lines that nothing reaches.
fn write_missed(request: &Request, outcome: &Outcome, report: &mut Report) {
    if outcome.missed.is_empty() {
        return;
    }
    report.heading("Not reached");
    let mut list = Vec::new();
    for (line, nearest) in &outcome.missed {
        let Some(wanted) = request.wanted.get(*line) else { continue };
        let near = nearest.as_ref().map_or_else(
            || "no train fits at all".to_string(),
            |n| format!("the nearest is {}, {}", n.train, error_in_short(&n.error)),
        );
        let near = match (outcome.nearer.contains(line), nearest) {
            (false, _) => near,
            (true, Some(_)) => format!("{near}, of what was searched: not all was"),
            (true, None) => "no train was found, but not all was searched".to_string(),
        };
        list.push(Text::new(Role::Warning, wanted.lead()).and(Role::Plain, format!(": {near}.")));
    }
    report.push(Block::List(list));
    report.note(
        "`find` says what would help for one of them, `buy` which gear serves the list best.",
    );
}
