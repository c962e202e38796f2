//! The plan for people: line by line what to set, how many gears are moved, what that rests on. With
//! `--long` what each way through the list costs.

use super::rows::{self, FAR, Row};
use super::{Choice, Group, Kind, Outcome, Request};
use crate::args::Order;
use crate::report::number::grouped;
use crate::report::{Block, Cell, Column, Report, Role, Table, Text};
use crate::words::cautions::HANDS;
use crate::words::change;
use crate::words::doubt;
use crate::words::either;
use crate::words::figures::plural;
use crate::words::search;
use crate::words::set_up::{error_in_short, positions};
use crate::words::shaft::last_shaft;
use crate::words::verdict::tolerances;
use solver::{Lathe, Travel};

/// Names of threads beside a lead.
pub(super) const NAMES: usize = 3;

pub(super) fn write(request: &Request, outcome: &Outcome, report: &mut Report) {
    for line in request.machine.lines() {
        report.note(line);
    }
    report.push(Block::Title(title(request)));
    report.note(summary(request, outcome));
    write_rows(request, outcome, report);
    write_unsure(request, outcome, report);
    write_missed(request, outcome, report);
    if !outcome.unsearched.is_empty() {
        report.heading("Not looked at");
        let leads = outcome.unsearched.iter().filter_map(|line| request.wanted.get(*line));
        let leads: Vec<String> = leads.map(super::Wanted::lead).collect();
        report.note(Text::new(Role::Warning, format!("{}.", leads.join(", "))));
    }
    if !outcome.rows.is_empty() {
        if request.long {
            write_ways(request, outcome, report);
        }
        write_far(request, outcome, report);
        report.note(Text::new(Role::Warning, HANDS));
        report.note(more(request));
    }
    report.brief = in_one_line_each(request, outcome);
}

/// What to type beside it.
fn more(request: &Request) -> Text {
    let chart = Text::from("More: ")
        .and(Role::Typed, "--output chart.html")
        .and(Role::Plain, " (wall chart), ")
        .and(Role::Typed, "trainwright card M10");
    if request.long {
        return chart;
    }
    chart.and(Role::Plain, ", ").and(Role::Typed, "--long")
}

/// Each line with its train and error, for `-q`.
fn in_one_line_each(request: &Request, outcome: &Outcome) -> Vec<Text> {
    let row = |row: &Row| {
        let error = error_in_short(&row.entry.error);
        let far = row.verdict.as_ref().map(|_| format!(" {FAR}")).unwrap_or_default();
        Text::from(format!("{}: ", row.lead))
            .and(Role::Strong, row.entry.train.to_string())
            .and(Role::Plain, format!(", {error}{far}"))
    };
    let none = outcome.unsure.iter().map(|(line, _)| (*line, doubt::TOO_CLOSE));
    let none = none.chain(outcome.missed.iter().map(|(line, _)| (*line, "no train")));
    let none = none.filter_map(|(line, why)| Some((request.wanted.get(line)?, why)));
    let none = none.map(|(wanted, why)| Text::from(format!("{}: {why}", wanted.lead())));
    outcome.rows.iter().map(row).chain(none).collect()
}

pub(super) fn title(request: &Request) -> String {
    format!("Gear table of {}", request.machine.name())
}

/// How many lines are near enough, what that is, and how many gears are moved for them.
fn summary(request: &Request, outcome: &Outcome) -> Text {
    let all = request.wanted.len();
    let far = outcome.rows.iter().filter(|row| row.verdict.is_some()).count();
    let near = outcome.rows.len() - far;
    let role = if near == all { Role::Good } else { Role::Warning };
    let far = if far == 0 { String::new() } else { format!("; {far} not near enough ({FAR})") };
    let missed = match outcome.missed.len() {
        0 => String::new(),
        missed => format!("; {missed} not with these gears"),
    };
    let limit = tolerances(request.wanted.iter());
    let unsure = unsure(outcome);
    Text::new(role, format!("{near} of {} near enough", plural(all, "line")))
        .and(Role::Plain, format!(" ({limit}){far}{missed}{unsure}. {}", moved(request, outcome)))
}

/// `12 gears moved from 20-80+20-80 and back; 16 by the closest trains.`
pub(super) fn moved(request: &Request, outcome: &Outcome) -> String {
    let Some(own) = outcome.chosen(request.order) else { return String::new() };
    let of = |kind| outcome.choices.iter().find(|choice| choice.kind == kind);
    let beside = |kind, words: &str| {
        let cost = of(kind).filter(|_| own.kind != Kind::Single)?.plan.cost.handled;
        (cost != own.plan.cost.handled).then(|| format!("; {cost} {words}"))
    };
    let closest = beside(Kind::Closest, "with the closest train for each line");
    let best = beside(Kind::Best, "in the best order (--plan best)");
    let lathe = &request.machine.lathe;
    let from = match (lathe.not_as_fitted(), &lathe.parts().fitted) {
        (Some(now), Some(fitted)) if own.kind != Kind::Single => {
            Some(format!(" from {}, on it now, and back to {}", now.train, fitted.train))
        }
        (_, Some(fitted)) => Some(format!(" from {} and back", fitted.train)),
        (now, None) => now.map(|now| format!(" from {}, on it now", now.train)),
    };
    format!(
        "{} moved{}{}{}.",
        plural(own.plan.cost.handled, "gear"),
        from.unwrap_or_default(),
        closest.filter(|_| request.long).unwrap_or_default(),
        best.filter(|_| own.kind != Kind::Fewest).unwrap_or_default()
    )
}

/// `; 1 is too close to call`, where that is so.
fn unsure(outcome: &Outcome) -> String {
    match outcome.unsure.len() {
        0 => String::new(),
        1 => format!("; 1 is {}", doubt::TOO_CLOSE),
        n => format!("; {n} are {}", doubt::TOO_CLOSE),
    }
}

/// What each way through the list costs.
fn write_ways(request: &Request, outcome: &Outcome, report: &mut Report) {
    report.heading("Gears moved");
    let own = outcome.chosen(request.order).map(|choice| choice.kind);
    let table = Table::of(
        &outcome.choices,
        [
            (Column::new("way", "", ""), &|choice| way(choice).into()),
            (Column::named("moved", ""), &|choice| choice.plan.cost.handled.into()),
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
    report.note(
        "* the plan above. Moved: each gear taken off or put on; shifted to another plane: both.",
    );
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

/// The same for the short page; `None`: something was left out, which is to be said in full.
fn in_short(request: &Request, outcome: &Outcome) -> Option<String> {
    let whole = outcome.all_there && outcome.left_out.is_empty() && outcome.nearest() == 0;
    whole.then(|| format!("{}.", bound(request, outcome)))
}

/// Over what it is proven, or that it was cut short.
fn proof(request: &Request, outcome: &Outcome) -> String {
    let set_ups = grouped(outcome.set_ups() as u128);
    if !outcome.all_there {
        return format!(
            "No bound is known: {}. The plan is the best found of {set_ups} set-ups.",
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
    let nearest = match outcome.nearest() {
        0 => String::new(),
        n => format!("; for lines with {FAR} over the {} nearest", grouped(n as u128)),
    };
    let simple = if request.long || most.is_some() { "; idlers in simple trains only" } else { "" };
    let over = format!(
        "{}, over all {set_ups} set-ups within tolerance that fit, of up to {}{wider}{simple}{idlers}{nearest}.",
        bound(request, outcome),
        plural(request.pairs, "gear pair")
    );
    if outcome.left_out.is_empty() {
        over
    } else {
        format!("{over} {}: what is here is the best so far.", outcome.left_out.join("; "))
    }
}

/// `No choice of trains in this order moves fewer than 12 gears`.
fn bound(request: &Request, outcome: &Outcome) -> String {
    let own = outcome.chosen(request.order);
    let least = own.and_then(|choice| choice.plan.bound.least()).unwrap_or(0);
    match own.map(|choice| choice.kind) {
        Some(Kind::Fewest) => format!("No plan has fewer than {}", plural(least, "train")),
        Some(Kind::Best) => format!("No order moves fewer than {}", plural(least, "gear")),
        _ => format!("No other choice in this order moves fewer than {}", plural(least, "gear")),
    }
}

/// Line by line.
fn write_rows(request: &Request, outcome: &Outcome, report: &mut Report) {
    for (heading, rows) in rows::grouped(request, &outcome.rows) {
        report.heading(heading);
        report.table(table(request, outcome, rows));
    }
    if outcome.rows.is_empty() {
        return;
    }
    let standing = standing(&request.machine.lathe, &outcome.rows);
    let standing = standing.map_or_else(Text::default, |standing| {
        Text::new(Role::Strong, standing).and(Role::Plain, " ")
    });
    let mut rest = notes(request, outcome);
    if request.long {
        rest.extend(dial_words(request, outcome));
        rest.extend(back(request, outcome));
    } else {
        rest.extend(dial(&outcome.rows));
        rest.extend(back(request, outcome));
        rest.extend(in_short(request, outcome));
    }
    report.note(standing.and(Role::Plain, rest.join(" ")));
}

/// What is not near enough, and the proof where it is not said in short, in one paragraph.
fn write_far(request: &Request, outcome: &Outcome, report: &mut Report) {
    let mut text = Text::default();
    let far = far(outcome).join(" ");
    if !far.is_empty() {
        text = text.and(Role::Warning, far).and(Role::Plain, " ");
    }
    if request.long || in_short(request, outcome).is_none() {
        text = text.and(Role::Plain, proof(request, outcome));
    }
    if !text.words().is_empty() {
        report.note(text);
    }
}

/// What the thread dial says, where it is the same for all lines.
fn dial(rows: &[Row]) -> Option<String> {
    let mut all = rows.iter().filter_map(|row| row.dial.as_deref());
    let first = all.next()?;
    let is_same = all.all(|other| other == first);
    let said = if is_same { first } else { "by line (--long)" };
    Some(format!("Thread dial: {said}."))
}

/// The nearest where nothing is near enough, each with its verdict.
pub(super) fn far(outcome: &Outcome) -> Vec<String> {
    let said = |row: &Row| {
        let nearer = if outcome.nearer.contains(&row.line) { ", not all was searched" } else { "" };
        Some(format!("{}: {}{nearer}.", row.lead, row.verdict.as_ref()?.words()))
    };
    let said: Vec<String> = outcome.rows.iter().filter_map(said).collect();
    let head = (!said.is_empty()).then(|| format!("{FAR} the nearest that fits."));
    head.into_iter().chain(said).collect()
}

fn table(request: &Request, outcome: &Outcome, here: &[Row]) -> Table {
    let lathe = &request.machine.lathe;
    let levers = lever_names(lathe, &outcome.rows);
    let thread = if rows::are_feeds(here) { "feed" } else { "thread" };
    let mut columns = vec![Column::new("thread", thread, ""), Column::new("train", "gears", "")];
    columns.extend(levers.iter().map(|name| Column::new(name.clone(), name.clone(), "")));
    columns.push(Column::new("error", "error", ""));
    columns.push(Column::new("swap", swap_heading(request.order), ""));
    if request.long {
        columns.push(Column::new("dial", "dial", "").second());
        columns.push(Column::new("names", "for", "").second());
    }
    let mut table = Table::new(columns);
    for row in here {
        let own = positions(lathe, &row.entry);
        let lead = Text::new(Role::Strong, row.lead.clone());
        let name = names(row, 1).filter(|_| !request.long);
        let name = name.map_or_else(String::new, |name| format!(", {name}"));
        let mut cells = vec![lead.and(Role::Plain, name).into(), Cell::from(gears(row))];
        cells.extend(levers.iter().map(|name| {
            Cell::from(own.iter().find(|(own, _)| own == name).map(|(_, p)| p.clone()))
        }));
        cells.push(row.error().into());
        cells.push(row.swap().into());
        if request.long {
            cells.push(row.dial.clone().into());
            cells.push(names(row, NAMES).into());
        }
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

/// The train, and whether that it fits is open.
fn gears(row: &Row) -> String {
    let unsure = if row.entry.is_too_close() { " ?" } else { "" };
    format!("{}{unsure}", row.entry.train)
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

/// The threads that a line is for, the first `shown` by name.
pub(super) fn names(row: &Row, shown: usize) -> Option<String> {
    let shown: Vec<&str> = row.names.iter().take(shown).map(String::as_str).collect();
    let more = row.names.len() - shown.len();
    let text = shown.join(", ");
    (!text.is_empty()).then(|| if more > 0 { format!("{text} +{more}") } else { text })
}

/// What the signs of the table mean.
pub(super) fn notes(request: &Request, outcome: &Outcome) -> Vec<String> {
    let rows = &outcome.rows;
    let last = last_shaft(&request.machine.lathe);
    let mut notes = vec![format!("Gears: driving gear first, {last} last; + joins a keyed pair.")];
    let shifts = |row: &Row| row.change.as_ref().is_some_and(|c| !c.shifted.is_empty());
    if rows.iter().any(shifts) {
        notes.push("Shift: one plane further in or out.".to_string());
    }
    let idler = |row: &Row| {
        row.entry.train.studs().iter().any(|stud| matches!(stud, solver::Shaft::One(_)))
    };
    if rows.iter().any(idler) {
        notes.push("A single gear on a stud is an idler: any size that reaches.".to_string());
    }
    if rows.iter().any(|row| row.entry.is_too_close()) {
        notes.push("? fits or not is too close to call: try it with the cover open and the lathe isolated.".to_string());
    }
    // Where every line shows one, nobody asks why some do not.
    let shown = rows.iter().filter(|row| row.error().is_some()).count();
    if (1..rows.len()).contains(&shown) {
        notes.push("Error: from 50 ppm on (1.3 µm in 25 mm).".to_string());
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

/// What the words of the thread dial mean: `same line`, and `16t` where a dial has several gears.
pub(super) fn dial_words(request: &Request, outcome: &Outcome) -> Vec<String> {
    let same = |row: &Row| row.dial.as_ref().is_some_and(|dial| dial.contains("same"));
    let same = outcome.rows.iter().any(same);
    let same = same.then(|| "Thread dial: the line, or the set, that you began with.".to_string());
    let several = match &request.machine.lathe.parts().dials[..] {
        [first, _, ..] => {
            Some(format!("{}t and so on: the dial gear to mesh, by its teeth.", first.teeth))
        }
        _ => None,
    };
    same.into_iter().chain(several).collect()
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

/// From the last line to the fitted set-up.
pub(super) fn back(request: &Request, outcome: &Outcome) -> Option<String> {
    let fitted = request.machine.lathe.parts().fitted.as_ref()?;
    if request.order == Order::Single {
        return Some(format!("After each: back to the fitted {}.", fitted.train));
    }
    let steps = outcome.back.as_ref().map(change::in_few_words)?;
    let steps = steps.map(|steps| format!(": {steps}")).unwrap_or_default();
    Some(format!("After the last line back to the fitted {}{steps}.", fitted.train))
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
    report.heading("Not with these gears");
    let mut list = Vec::new();
    for (line, nearest) in &outcome.missed {
        let Some(wanted) = request.wanted.get(*line) else { continue };
        let near = search::nearest(nearest.as_ref(), !outcome.nearer.contains(line));
        list.push(Text::new(Role::Warning, wanted.lead()).and(Role::Plain, format!(": {near}.")));
    }
    report.push(Block::List(list));
    report.note(search::what_helps());
}
