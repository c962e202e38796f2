//! The plan as a chart for the wall.

use super::page::{self, lever_names};
use super::rows::{self, Row};
use super::{Outcome, Request};
use crate::args::{self, Order};
use crate::report::wall::{Column, Group, Line, Paper, Piece, Wall};
use crate::words::cautions;

use crate::words::doubt;
use crate::words::figures::ppm;
use crate::words::set_up::{error_in_short, positions};
use solver::Lathe;

/// Puts it together.
pub(super) fn of(
    request: &Request,
    outcome: &Outcome,
    on: args::Paper,
    date: Option<String>,
) -> Wall {
    let lathe = &request.machine.lathe;
    let studs = rows::studs(&outcome.rows);
    let levers = lever_names(lathe, &outcome.rows);
    let begins = match request.order {
        Order::Single => lathe.parts().fitted.as_ref(),
        _ => lathe.on_now(),
    };
    let columns = columns(request, rows::shaft_names(lathe, studs), &levers);
    let mut before: Option<&Row> = None;
    let mut groups: Vec<Group> = Vec::new();
    for (name, rows) in rows::grouped(request, &outcome.rows) {
        let lines = rows.iter().map(|row| {
            // The first line comes after what is on it, a line by itself after the fitted set-up.
            let before = before.replace(row).filter(|_| request.order != Order::Single);
            let old = before.map(|before| positions(lathe, &before.entry));
            let first = || begins.map(|begins| begins.levers.clone()).unwrap_or_default();
            line(lathe, row, &old.unwrap_or_else(first), studs, &levers)
        });
        let lines = lines.collect();
        let mut heads: Vec<String> = columns.iter().map(|(_, head)| head.clone()).collect();
        if let Some(head) = heads.first_mut().filter(|_| rows::are_feeds(rows)) {
            "feed".clone_into(head);
        }
        groups.push(Group { name: name.to_string(), heads, lines });
    }
    let mut wall = Wall {
        lathe: request.machine.name().to_string(),
        caution: cautions::HANDS,
        standing: page::standing(lathe, &outcome.rows),
        fitted: begins.map(|begins| begins.train.to_string()).unwrap_or_default(),
        paper: paper(on),
        date,
        columns: columns.iter().map(|(column, _)| *column).collect(),
        groups,
        foot: foot(request, outcome, studs),
    };
    wall.drop_empty();
    wall
}

/// The columns with their heads.
fn columns(request: &Request, shafts: Vec<String>, levers: &[String]) -> Vec<(Column, String)> {
    let one = |column, head: &str| std::iter::once((column, head.to_owned()));
    one(Column::Lead, "thread")
        .chain(one(Column::Names, "for"))
        .chain(shafts.into_iter().map(|name| (Column::Shaft, name)))
        .chain(levers.iter().map(|name| (Column::Lever, name.clone())))
        .chain(one(Column::Dial, "dial"))
        .chain(one(Column::Error, "error"))
        .chain(one(Column::Swap, page::swap_heading(request.order)))
        .collect()
}

/// What stands below the lines: the way back, what is missed, what the signs mean, cautions.
fn foot(request: &Request, outcome: &Outcome, studs: usize) -> Vec<String> {
    let missed = missed(request, outcome);
    let missed =
        (!missed.is_empty()).then(|| format!("Not with these gears: {}.", missed.join(", ")));
    let wheels = outcome.rows.iter().flat_map(|row| rows::by_shaft(row, studs)).flatten();
    let box_needed = wheels.into_iter().any(|wheel| !wheel.new);
    let signs = format!("In a box: what is changed {}.", page::swap_heading(request.order));
    let notes = box_needed.then_some(signs).into_iter().chain(request.machine.demo_note());
    let notes: Vec<String> = notes
        .chain(page::notes(request, outcome))
        .chain(page::dial_words(request, outcome))
        .collect();
    let far = Some(page::far(outcome).join(" ")).filter(|far| !far.is_empty());
    let back = page::back(request, outcome).into_iter();
    back.chain(far).chain(missed).chain([notes.join(" ")]).collect()
}

const fn paper(paper: args::Paper) -> Paper {
    match paper {
        args::Paper::A4 => Paper { name: "A4", wide: 210.0, high: 297.0 },
        args::Paper::A3 => Paper { name: "A3", wide: 297.0, high: 420.0 },
        args::Paper::Letter => Paper { name: "Letter", wide: 215.9, high: 279.4 },
    }
}

/// `old`: where the levers stood before.
fn line(
    lathe: &Lathe,
    row: &Row,
    old: &[(String, String)],
    studs: usize,
    levers: &[String],
) -> Line {
    let own = positions(lathe, &row.entry);
    let at = |list: &[(String, String)], name: &str| {
        list.iter().find(|(own, _)| own == name).map(|(_, position)| position.clone())
    };
    let plain = |text: String| vec![Piece { text, new: false }];
    let lever = |name: &String| {
        let position = at(&own, name).filter(|position| !position.is_empty());
        let new = at(&own, name) != at(old, name);
        position.map(|text| Piece { text, new }).into_iter().collect()
    };
    let mut shafts = rows::by_shaft(row, studs);
    if let Some(last) = shafts.last_mut().filter(|_| row.entry.is_too_close()) {
        last.extend(plain("?".to_owned()));
    }
    // Neither a name nor a set of lines of the thread dial is broken.
    let mut cells = vec![plain(row.lead.clone()), whole(page::names(row, page::NAMES), ", ")];
    cells.extend(shafts.into_iter().chain(levers.iter().map(lever)));
    cells.push(whole(row.dial.clone(), " or "));
    cells.push(plain(row.error().unwrap_or_default()));
    cells.push(whole(Some(row.swap()), " "));
    Line { mm: row.entry.lead.to_f64(), moved: row.cost.handled, cells }
}

/// The parts of a text, each with the sign behind it, to be kept whole.
fn whole(text: Option<String>, sign: &str) -> Vec<Piece> {
    let text = text.unwrap_or_default();
    let part = |part: &str| Piece { text: part.trim_end().to_owned(), new: false };
    text.split_inclusive(sign).map(part).filter(|piece| !piece.text.is_empty()).collect()
}

fn missed(request: &Request, outcome: &Outcome) -> Vec<String> {
    let one = |(line, nearest): &(usize, Option<crate::answer::Entry>)| {
        let wanted = request.wanted.get(*line)?;
        // A tenth off: of no use to anybody.
        let near = nearest.as_ref().filter(|n| ppm(&n.error).to_f64().abs() < 100_000.0);
        let near = near.map(|n| format!(" (nearest {})", error_in_short(&n.error)));
        Some(format!("{}{}", wanted.lead(), near.unwrap_or_default()))
    };
    let unsure = outcome.unsure.iter().filter_map(|(line, entry)| {
        let lead = request.wanted.get(*line)?.lead();
        Some(format!("{lead} ({}: {})", doubt::in_short(&entry.fit), entry.train))
    });
    unsure.chain(outcome.missed.iter().filter_map(one)).collect()
}
