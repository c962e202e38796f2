//! What is measured: diameters with their limits, and three wires.

use super::job::Job;
use super::page::Page;
use super::size;
use super::taper;
use crate::report::job::{Diameter, Size, Sizes, Tooling, Wires};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::figures::{measure, rounded};
use solver::cutting::{Cut, Measure, axial_module};
use solver::tolerance::{Limit, Limits};
use solver::{Length, Sureness};

/// `None` where no diameter is known.
pub(super) fn of(job: &Job<'_>) -> Option<Sizes> {
    let cut = job.cut?;
    let basic = cut.diameters().ok()?;
    let limit = |of: fn(&Limits) -> Limit| job.limits.as_ref().map(of);
    let diameter = |basic: &Measure, limit: Option<Limit>| Diameter {
        basic: size::of_measure(basic),
        least: limit.and_then(|l| l.least()).map(|l| size::of_length(&l)),
        greatest: limit.and_then(|l| l.greatest()).map(|l| size::of_length(&l)),
    };
    Some(Sizes {
        part: if job.is_nut() { "nut" } else { "screw" },
        class: job.limits.map(|limits| limits.class().to_string()),
        major: diameter(&basic.major, limit(Limits::major)),
        pitch: diameter(&basic.pitch, limit(Limits::pitch)),
        minor: diameter(&basic.minor, limit(Limits::minor)),
        wires: wires(job, &cut, &basic.pitch, job.limits.map(|limits| limits.pitch())),
        taper: taper::of(&cut),
    })
}

/// `None` for a nut, a taper, and where no wire fits.
fn wires(job: &Job<'_>, cut: &Cut, pitch: &Measure, limit: Option<Limit>) -> Option<Wires> {
    let wires = cut.wires().ok()?;
    let best = wires.best(pitch);
    let wire = job.work.wire.map_or(best, Measure::from);
    let over = wires.over(&wire, pitch).ok()?;
    let at = |length: Option<Length>| {
        let over = wires.over(&wire, &Measure::from(length?)).ok()?;
        Some(size::of_measure(&over.over))
    };
    let limits = limit.and_then(|limit| Some([at(limit.least())?, at(limit.greatest())?]));
    Some(Wires {
        best: size::of_measure(&best),
        wire: size::of_measure(&wire),
        usable: [wires.least(pitch), wires.greatest(pitch)].map(|wire| size::of_measure(&wire)),
        over_basic: size::of_measure(&over.over),
        over_limits: limits,
        over_basic_without_lead_angle: size::of_measure(&over.flat),
        lead_angle_adds_mm: rounded(over.lead_adds(), 6),
    })
}

/// The section.
pub(super) fn write(
    job: &Job<'_>,
    sizes: Option<&Sizes>,
    tooling: Option<&Tooling>,
    page: &mut Page,
) {
    if job.cut.is_none() {
        return;
    }
    page.section("Sizes");
    let Some(sizes) = sizes else {
        match job.cut.and_then(|cut| cut.taper()) {
            Some(on_diameter) => page.note(taper::unknown(&on_diameter)),
            None => page.note("No diameter is known (--diameter): measure against the mate."),
        }
        return;
    };
    if let Some(taper) = &sizes.taper {
        taper::write(job, sizes, taper, page);
        return;
    }
    page.table(table(sizes));
    page.note(what_they_are(job, sizes, tooling));
    if let Some(worm) = worm(job) {
        page.note(worm);
    }
    match &sizes.wires {
        Some(wires) => page.note(wires_in_words(wires)),
        None if job.is_nut() => {
            page.note("Try it with the mate or a plug gauge: go in, no-go not.");
        }
        None => {}
    }
    if let Some(doubt) = job.limits.as_ref().and_then(doubt) {
        page.note(doubt);
    }
}

/// How far the tolerance can be trusted, where that is not far.
fn doubt(limits: &Limits) -> Option<String> {
    let why = match limits.sureness() {
        Sureness::Memory => "unverified",
        Sureness::Split => "tables disagree",
        sureness if sureness.wants_a_check() => "one source only",
        _ => return None,
    };
    Some(format!("Tolerance: {why}. Check it in {}.", limits.class().standard()))
}

fn table(sizes: &Sizes) -> Table {
    let limited = sizes.class.is_some();
    let columns: &[(&'static str, &'static str)] = if limited {
        &[("", ""), ("least", "mm"), ("greatest", "mm"), ("least", "in"), ("greatest", "in")]
    } else {
        &[("", ""), ("basic", "mm"), ("basic", "in")]
    };
    let columns = columns.iter().map(|(name, unit)| Column::new(*name, *name, unit));
    let mut table = Table::new(columns.collect());
    let rows = [("major", &sizes.major), ("pitch", &sizes.pitch), ("minor", &sizes.minor)];
    for (name, of) in rows {
        let figure = |size: Option<&Size>, digits: fn(&Size) -> String| {
            size.map_or(Cell::Empty, |size| Cell::from(digits(size)))
        };
        let (least, greatest) = (of.least.as_ref(), of.greatest.as_ref());
        let basic = Some(&of.basic);
        let name = Cell::from(name);
        table.push(if limited {
            vec![
                name,
                figure(least, size::mm),
                figure(greatest, size::mm),
                figure(least, size::inches),
                figure(greatest, size::inches),
            ]
        } else {
            vec![name, figure(basic, size::mm), figure(basic, size::inches)]
        });
    }
    table
}

fn what_they_are(job: &Job<'_>, sizes: &Sizes, tooling: Option<&Tooling>) -> String {
    let root = root_in_words(job, sizes, tooling).unwrap_or_default();
    match (&sizes.class, job.limits) {
        (Some(class), Some(limits)) => {
            format!("Class {class}, {}.{root}", limits.class().standard())
        }
        _ => format!("Basic sizes of the form, no class is known here: leave clearance.{root}"),
    }
}

/// Where the tool's depth takes the root: inside its limits, or against the crest of the mate.
fn root_in_words(job: &Job<'_>, sizes: &Sizes, tooling: Option<&Tooling>) -> Option<String> {
    let root = tooling?.root_diameter.as_ref()?;
    let (name, of, sign) =
        if job.is_nut() { ("major", &sizes.major, 1.0) } else { ("minor", &sizes.minor, -1.0) };
    let near = if job.is_nut() { &of.least } else { &of.greatest };
    let near = near.as_ref().unwrap_or(&of.basic);
    let past = sign * (root.mm - near.mm);
    let inside = match (&of.least, &of.greatest) {
        (Some(least), Some(greatest)) => Some((least.mm..=greatest.mm).contains(&root.mm)),
        _ => None,
    };
    let where_to = match inside {
        Some(true) => "inside its limits".to_string(),
        Some(false) => "outside its limits".to_string(),
        None if past.abs() < 0.0005 => format!("to the {name}"),
        None if past > 0.0 => format!("past the {name}: room for the mate's crests"),
        None => format!("short of the {name} of {} mm", size::mm(near)),
    };
    Some(format!(" The tool's depth takes the root to {}, {where_to}.", size::both(root)))
}

fn wires_in_words(wires: &Wires) -> Text {
    let over = match &wires.over_limits {
        Some([least, greatest]) => format!(
            "{} to {} mm ({} to {} in)",
            size::mm(least),
            size::mm(greatest),
            size::inches(least),
            size::inches(greatest)
        ),
        None => format!("{} at the basic size", size::both(&wires.over_basic)),
    };
    let [least, greatest] = &wires.usable;
    let best = if wires.wire == wires.best {
        String::new()
    } else {
        format!(", best {}", size::mm(&wires.best))
    };
    Text::from("Over three wires of ")
        .and(Role::Plain, size::both(&wires.wire))
        .and(Role::Plain, ": ")
        .and(Role::Strong, over)
        .and(
            Role::Plain,
            format!(
                ", lead angle included. Wires from {} to {} mm will do{best} (--wire).",
                size::mm(least),
                size::mm(greatest)
            ),
        )
}

/// A wheel cut with a cutter of this module asks for a larger axial one.
fn worm(job: &Job<'_>) -> Option<String> {
    let (module, pitch) = (job.cut?.module()?.exact()?, job.cut?.diameters().ok()?.pitch.exact()?);
    let normal = axial_module(module, job.starts(), pitch).ok()?;
    Some(format!(
        "For a wheel that was cut with a cutter of module {}, gear for module {:.4} instead.",
        measure(&module.mm()).marked(),
        normal.axial.mm()
    ))
}
