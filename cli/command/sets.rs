//! `sets`: which gear sets, demo lathes and charts come with the program?

use super::lathe;
use crate::args::Sets;
use crate::failure::Failure;
use crate::files::{self, CHARTS, LATHES, OpenLathe, OpenSet, SETS};
use crate::report::{Block, Cell, Column, Report, Role, Table, Text};
use crate::words::shop as words;
use solver::{Gear, GearSet, Places};

/// Answers `sets`.
///
/// # Errors
/// If there is no set of the name asked for.
pub(super) fn run(sets: &Sets) -> Result<Report, Failure> {
    match sets.name.as_deref() {
        None => all(),
        Some(name) if LATHES.iter().any(|lathe| lathe.name == name) => {
            let open = open_lathe(name)?;
            let mut report = Report::new();
            let from = format!("--lathe {name}");
            lathe::write(&open.lathe, &open.lathe.parts().name, &from, &mut report);
            Ok(report)
        }
        Some(name) => match CHARTS.iter().find(|chart| chart.name == name) {
            Some(chart) => {
                let mut report = Report::new();
                report.push(Block::Verbatim(chart.text.to_owned()));
                Ok(report)
            }
            None => Ok(one(name, &open_set(name)?)),
        },
    }
}

fn open_set(name: &str) -> Result<OpenSet, Failure> {
    files::gear_set(name)
}

fn open_lathe(name: &str) -> Result<OpenLathe, Failure> {
    files::lathe(name)
}

fn all() -> Result<Report, Failure> {
    let mut report = Report::new();
    let columns = ["kind", "name", "title", "gears", "sizes", "note"];
    let mut records = Table::new(columns.map(|key| Column::new(key, key, "")).into());
    let mut row = |kind: &str, name: &str, title: &str, note: &str, gears: &GearSet| {
        let gears_cells = [Cell::from(gears.total()), words::gears(gears).into()];
        let mut cells = vec![kind.into(), name.into(), title.into()];
        cells.extend(gears_cells);
        cells.push(note.into());
        records.push(cells);
    };
    let mut sets = Vec::new();
    for set in SETS {
        let open = open_set(set.name)?;
        row("gear set", set.name, &open.name, &open.note, &open.gears);
        sets.push((set.name.to_string(), described(&open.note, &open.gears)));
    }
    let mut lathes = Vec::new();
    for demo in LATHES {
        let open = open_lathe(demo.name)?;
        let parts = open.lathe.parts();
        row("demo lathe", demo.name, &parts.name, &parts.note, &parts.gears);
        let text = Text::new(Role::Strong, parts.name.as_str())
            .and(Role::Plain, format!(". {}", parts.note));
        lathes.push((demo.name.to_string(), text));
    }
    report.heading("Gear sets: --gears NAME, or \"gears\": \"NAME\" in a lathe file");
    report.push(Block::Facts(sets));
    report.heading("Demo lathes: --lathe NAME; the first one where none is given");
    report.push(Block::Facts(lathes));
    report.heading("Charts: check NAME, learn NAME");
    report.push(Block::Facts(charts(&mut records)));
    report.note("`trainwright sets NAME` shows one of them part by part.");
    report.records = Some(records);
    Ok(report)
}

/// The charts: what their first comment says.
fn charts(records: &mut Table) -> Vec<(String, Text)> {
    let mut charts = Vec::new();
    for chart in CHARTS {
        let comment = chart.text.lines().map_while(|line| line.strip_prefix("# "));
        let words: Vec<&str> = comment.filter(|line| !line.starts_with("columns:")).collect();
        let note = words.join(" ");
        let mut cells: Vec<Cell> = vec!["chart".into(), chart.name.into(), chart.name.into()];
        cells.extend([Cell::Empty, Cell::Empty, note.as_str().into()]);
        records.push(cells);
        charts.push((chart.name.to_owned(), note.into()));
    }
    charts
}

fn described(note: &str, gears: &GearSet) -> Text {
    Text::new(Role::Plain, note).and(Role::Faint, format!(" {}.", words::gears(gears)))
}

fn one(name: &str, set: &OpenSet) -> Report {
    let mut report = Report::new();
    report.heading(if set.name == name {
        name.to_string()
    } else {
        format!("{name}: {}", set.name)
    });
    if !set.note.is_empty() {
        report.note(set.note.as_str());
    }
    report.table(gear_by_gear(&set.gears));
    report
}

/// One row a kind of gear.
fn gear_by_gear(gears: &GearSet) -> Table {
    let columns = [
        ("teeth", ""),
        ("count", ""),
        ("pitch", ""),
        ("angle_deg", "deg"),
        ("places", ""),
        ("joined_to", ""),
    ];
    let names = ["teeth", "owned", "tooth size", "pressure angle", "goes", "joined to"];
    let columns =
        columns.iter().zip(names).map(|((key, unit), name)| Column::new(*key, name, unit));
    let mut table = Table::new(columns.collect());
    let mut row = |gear: &Gear, count: u8, joined: Option<&Gear>| {
        table.push(vec![
            Cell::Whole(gear.teeth.get().into()),
            Cell::Whole(count.into()),
            gear.size.map(|size| size.to_string()).into(),
            words::degrees(gear).into(),
            (if gear.places == Places::ALL {
                "anywhere".into()
            } else {
                words::places(gear.places)
            })
            .into(),
            joined.map(|gear| gear.teeth.to_string()).into(),
        ]);
    };
    for (gear, count) in gears.loose() {
        row(gear, *count, None);
    }
    for joined in gears.joined() {
        let [driven, driver] = &joined.gears;
        row(driven, joined.count, Some(driver));
        row(driver, joined.count, Some(driven));
    }
    table
}
