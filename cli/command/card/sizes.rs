//! What is measured: diameters with their limits, and three wires.

use super::Card;
use super::page::Page;
use super::{taper, worm};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::size;
use solver::job::{RootAt, Sizes, WiresOver};
use solver::tolerance::{Limit, Limits};
use solver::{Length, Sureness};

/// The section.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some(cut) = &card.job.cut else { return };
    page.section("Sizes");
    let Some(sizes) = &card.job.sizes else {
        match cut.cone() {
            Some(cone) => {
                for note in taper::unknown(&cone, card.job.set_over.as_ref()) {
                    page.note(note);
                }
            }
            None => page.note("No diameter is known (--diameter): measure against the mate."),
        }
        return;
    };
    if let Some(taper) = &sizes.taper {
        taper::write(card, sizes, taper, page);
        return;
    }
    page.table(table(sizes, card.job.limits.as_ref()));
    page.note(what_they_are(card, sizes));
    if let Some(pipe) = taper::parallel_pipe(card) {
        page.note(pipe);
    }
    for note in worm::notes(card, sizes) {
        page.note(note);
    }
    match &sizes.wires {
        Some(wires) => page.note(wires_in_words(wires)),
        None if card.is_nut() => {
            page.note("Try it with the mate or a plug gauge: go in, no-go not.");
        }
        None => {}
    }
    if let Some(doubt) = card.job.limits.as_ref().and_then(doubt) {
        page.note(doubt);
    }
}

/// How far the tolerance can be trusted, where that is not far.
pub(super) fn doubt(limits: &Limits) -> Option<String> {
    let why = match limits.sureness() {
        Sureness::Memory => "unverified",
        Sureness::Split => "tables disagree",
        sureness if sureness.wants_a_check() => "one source only",
        _ => return None,
    };
    Some(format!("Tolerance: {why}. Check it in {}.", limits.class().standard()))
}

fn table(sizes: &Sizes, limits: Option<&Limits>) -> Table {
    let columns: &[(&'static str, &'static str)] = if limits.is_some() {
        &[("", ""), ("least", "mm"), ("greatest", "mm"), ("least", "in"), ("greatest", "in")]
    } else {
        &[("", ""), ("basic", "mm"), ("basic", "in")]
    };
    let columns = columns.iter().map(|(name, unit)| Column::new(*name, *name, unit));
    let mut table = Table::new(columns.collect());
    let basic = &sizes.basic;
    let rows = [
        ("major", basic.major, limits.map(Limits::major)),
        ("pitch", basic.pitch, limits.map(Limits::pitch)),
        ("minor", basic.minor, limits.map(Limits::minor)),
    ];
    for (name, basic, limit) in rows {
        let name = Cell::from(name);
        table.push(match limit {
            Some(limit) => {
                let both = [limit.least(), limit.greatest()];
                let figures = |digits: fn(&Length) -> String| {
                    both.map(|size| size.as_ref().map(digits).map_or(Cell::Empty, Cell::from))
                };
                let figures = figures(size::mm).into_iter().chain(figures(size::inches));
                std::iter::once(name).chain(figures).collect()
            }
            None => vec![name, size::mm(&basic).into(), size::inches(&basic).into()],
        });
    }
    table
}

fn what_they_are(card: &Card<'_>, sizes: &Sizes) -> String {
    let root = root_in_words(card, sizes).unwrap_or_default();
    match card.job.limits {
        Some(limits) => {
            format!("Class {}, {}.{root}", limits.class(), limits.class().standard())
        }
        _ => format!("Basic sizes of the form, no class is known here: leave clearance.{root}"),
    }
}

/// Where the tool's depth takes the root: inside its limits, or against the crest of the mate.
fn root_in_words(card: &Card<'_>, sizes: &Sizes) -> Option<String> {
    let root = card.job.groove.as_ref()?.root_mm?;
    let name = if card.is_nut() { "major" } else { "minor" };
    let where_to = match sizes.root? {
        RootAt::Inside => "inside its limits".to_string(),
        RootAt::Outside => "outside its limits".to_string(),
        RootAt::Basic => format!("to the {name}"),
        RootAt::Past => format!("past the {name}: room for the mate's crests"),
        RootAt::Short(near) => format!("short of the {name} of {} mm", size::mm(&near)),
    };
    Some(format!(" The tool's depth takes the root to {}, {where_to}.", size::both(&root)))
}

/// `9.732 to 9.968 mm (0.3831 to 0.3924 in)`; of an open limit its one end.
pub(super) fn between(limit: &Limit) -> Option<String> {
    match (limit.least(), limit.greatest()) {
        (Some(least), Some(greatest)) => Some(size::range([&least, &greatest])),
        (Some(least), None) => Some(format!("from {}", size::both(&least))),
        (None, Some(greatest)) => Some(format!("up to {}", size::both(&greatest))),
        (None, None) => None,
    }
}

/// What three wires measure.
pub(super) fn over_wires(wires: &WiresOver) -> Text {
    let over = match &wires.limits {
        Some([least, greatest]) => size::range([least, greatest]),
        None => format!("{} at the basic size", size::both(&wires.basic.over)),
    };
    Text::from("Over three wires of ")
        .and(Role::Plain, size::both(&wires.wire))
        .and(Role::Plain, ": ")
        .and(Role::Strong, over)
}

fn wires_in_words(wires: &WiresOver) -> Text {
    let [least, greatest] = &wires.usable;
    let best = if wires.wire == wires.best {
        String::new()
    } else {
        format!(", best {}", size::mm(&wires.best))
    };
    over_wires(wires).and(
        Role::Plain,
        format!(
            ", lead angle included. Wires from {} to {} mm will do{best} (--wire).",
            size::mm(least),
            size::mm(greatest)
        ),
    )
}
