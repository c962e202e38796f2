//! The plan as a chart for the wall.

use super::page::{self, CAUTIONS, lever_names};
use super::rows::{self, Row};
use super::{Outcome, Request};
use crate::args::{self, Order};
use crate::report::wall::{Group, Lever, Line, Paper, Wall};
use crate::words::change;
use crate::words::doubt;
use crate::words::figures::ppm;
use crate::words::set_up::positions;

/// Puts it together.
pub(super) fn of(request: &Request, outcome: &Outcome, asked: &args::Table) -> Wall {
    let lathe = &request.machine.lathe;
    let studs = rows::studs(&outcome.rows);
    let levers = lever_names(&outcome.rows);
    let fitted = lathe.parts().fitted.as_ref();
    let mut before: Option<&Row> = None;
    let mut groups: Vec<Group> = Vec::new();
    for (name, rows) in rows::grouped(request, &outcome.rows) {
        let lines = rows.iter().map(|row| {
            // The first line, and a line by itself, comes after the fitted set-up.
            let before = before.replace(row).filter(|_| request.order != Order::Single);
            let old = before.map(|before| positions(&before.entry));
            let fitted = || fitted.map(|fitted| fitted.levers.clone()).unwrap_or_default();
            line(row, &old.unwrap_or_else(fitted), studs, &levers)
        });
        let (lines, feeds) = (lines.collect(), rows::are_feeds(rows));
        groups.push(Group { name: name.to_string(), feeds, lines });
    }
    Wall {
        lathe: request.machine.name().to_string(),
        standing: page::standing(&outcome.rows),
        fitted: fitted.map(|fitted| fitted.train.to_string()).unwrap_or_default(),
        paper: paper(asked.paper),
        date: asked.date.clone(),
        shafts: rows::shaft_names(lathe, studs),
        levers,
        swap: page::swap_heading(request.order),
        groups,
        back: back(request, outcome),
        notes: request
            .machine
            .demo_note()
            .into_iter()
            .chain(page::notes(request, outcome))
            .collect(),
        missed: missed(request, outcome),
        cautions: CAUTIONS.map(str::to_string).into(),
    }
}

const fn paper(paper: args::Paper) -> Paper {
    match paper {
        args::Paper::A4 => Paper { name: "A4", wide: 210.0, high: 297.0 },
        args::Paper::A3 => Paper { name: "A3", wide: 297.0, high: 420.0 },
        args::Paper::Letter => Paper { name: "Letter", wide: 215.9, high: 279.4 },
    }
}

/// `old`: where the levers stood before.
fn line(row: &Row, old: &[(String, String)], studs: usize, levers: &[String]) -> Line {
    let own = positions(&row.entry);
    let at = |list: &[(String, String)], name: &str| {
        list.iter().find(|(own, _)| own == name).map(|(_, position)| position.clone())
    };
    let lever = |name: &String| Lever {
        position: at(&own, name).unwrap_or_default(),
        new: at(&own, name).is_some() && at(&own, name) != at(old, name),
    };
    Line {
        lead: row.lead.clone(),
        names: page::names(row).unwrap_or_default(),
        mm: row.entry.lead.to_f64(),
        shafts: rows::by_shaft(row, studs),
        levers: levers.iter().map(lever).collect(),
        dial: row.dial.clone().unwrap_or_default(),
        error: row.error().unwrap_or_default(),
        swap: row.swap(),
        handled: row.cost.handled,
        unsure: row.entry.is_too_close(),
    }
}

/// From the last line to the fitted set-up.
fn back(request: &Request, outcome: &Outcome) -> Option<String> {
    let fitted = request.machine.lathe.parts().fitted.as_ref()?;
    if request.order == Order::Single {
        return Some(format!("After each: back to the fitted {}.", fitted.train));
    }
    let steps = outcome.back.as_ref().map(change::in_few_words)?;
    let steps = steps.map(|steps| format!(": {steps}")).unwrap_or_default();
    Some(format!("After the last line back to the fitted {}{steps}.", fitted.train))
}

fn missed(request: &Request, outcome: &Outcome) -> Vec<String> {
    let one = |(line, nearest): &(usize, Option<crate::answer::Entry>)| {
        let wanted = request.wanted.get(*line)?;
        // A tenth off is another thread: of no use to anybody.
        let near = nearest.as_ref().filter(|n| ppm(&n.error).to_f64().abs() < 100_000.0);
        let near = near.map(|n| format!(" (nearest {})", page::off(&n.error)));
        Some(format!("{}{}", wanted.lead(), near.unwrap_or_default()))
    };
    let unsure = outcome.unsure.iter().filter_map(|(line, entry)| {
        let lead = request.wanted.get(*line)?.lead();
        Some(format!("{lead} ({}: {})", doubt::in_short(&entry.fit), entry.train))
    });
    unsure.chain(outcome.missed.iter().filter_map(one)).collect()
}
