//! Are circles, contact, interference and undercut of gears what texts print?

use super::{Outcome, all_hold, prints, same};
use serde::Deserialize;
use solver::involute::{Pair, is_undercut, undercut_limit};
use solver::{Gear, PressureAngle, Teeth, ToothSize};
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    sources: BTreeMap<String, String>,
    circles: Vec<Circles>,
    module: Vec<Table<(String, String)>>,
    contact: Vec<Contact>,
    interference: Vec<Table<(u64, u64)>>,
    undercut: Vec<Table<(String, String, u64)>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table<R> {
    source: String,
    rows: Vec<R>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Circles {
    source: String,
    teeth: u64,
    size: String,
    pitch: String,
    outside: String,
    root: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Contact {
    source: String,
    teeth: [u64; 2],
    size: String,
    path: Option<String>,
    ratio: String,
}

fn rows() -> Rows {
    toml::from_str(include_str!("../../data/teeth.toml")).unwrap()
}

fn gear(teeth: u64, size: &str) -> Result<Gear, Box<dyn Error>> {
    Ok(Gear::new(Teeth::new(teeth)?).with_size(Some(size.parse()?)))
}

impl Circles {
    fn run(&self) -> Outcome {
        let (teeth, size): (_, ToothSize) = (Teeth::new(self.teeth)?, self.size.parse()?);
        same("pitch", size.pitch_diameter(teeth)?, self.pitch.parse()?)?;
        same("outside", size.outside_diameter(teeth)?, self.outside.parse()?)?;
        same("root", size.root_diameter(teeth)?, self.root.parse()?)
    }
}

impl Contact {
    fn run(&self) -> Outcome {
        let [driver, driven] = self.teeth;
        let pair = Pair::new(gear(driver, &self.size)?, gear(driven, &self.size)?)?;
        same("interferes", pair.interferes(), false)?;
        if let Some(path) = &self.path {
            prints("path", pair.path_of_contact(), path)?;
        }
        prints("contact ratio", pair.contact_ratio(), &self.ratio)
    }
}

fn runs_up_to(&(pinion, largest): &(u64, u64)) -> Outcome {
    let fouls = |with| -> Result<bool, Box<dyn Error>> {
        Ok(Pair::new(gear(pinion, "module 2")?, gear(with, "module 2")?)?.interferes())
    };
    same("the largest", fouls(largest)?, false)?;
    same("one more", fouls(largest + 1)?, true)
}

fn undercut_from((degrees, limit, least): &(String, String, u64)) -> Outcome {
    let angle = PressureAngle::new(degrees.parse()?)?;
    prints("limit", undercut_limit(angle), limit)?;
    let cut =
        |teeth| Ok::<_, Box<dyn Error>>(is_undercut(&gear(teeth, "module 1")?.with_angle(angle)));
    same("the least", cut(*least)?, false)?;
    same("one less", cut(*least - 1)?, true)
}

#[test]
fn teeth_are_as_published() {
    let rows = rows();
    let name = |source: &str| rows.sources[source].clone();
    all_hold(&rows.circles, Circles::run, |c| {
        format!("{} of {}: {}", c.teeth, c.size, name(&c.source))
    });
    all_hold(&rows.contact, Contact::run, |c| {
        format!("{:?} of {}: {}", c.teeth, c.size, name(&c.source))
    });
    for table in &rows.module {
        let module = |(dp, module): &(String, String)| {
            prints("module", dp.parse::<ToothSize>()?.module().mm().to_f64(), module)
        };
        all_hold(&table.rows, module, |row| format!("{}: {}", row.0, name(&table.source)));
    }
    for table in &rows.interference {
        all_hold(&table.rows, runs_up_to, |row| format!("{}: {}", row.0, name(&table.source)));
    }
    for table in &rows.undercut {
        all_hold(&table.rows, undercut_from, |row| format!("{}: {}", row.0, name(&table.source)));
    }
}

#[test]
fn no_row_of_teeth_is_lost() {
    let rows = rows();
    let in_tables = |count: &[usize]| count.iter().sum::<usize>();
    let counts = [
        rows.circles.len(),
        in_tables(&rows.module.iter().map(|t| t.rows.len()).collect::<Vec<_>>()),
        rows.contact.len(),
        in_tables(&rows.interference.iter().map(|t| t.rows.len()).collect::<Vec<_>>()),
        in_tables(&rows.undercut.iter().map(|t| t.rows.len()).collect::<Vec<_>>()),
    ];
    assert_eq!(counts, [5, 9, 3, 4, 2]);
    let used: BTreeSet<&String> = rows
        .circles
        .iter()
        .map(|c| &c.source)
        .chain(rows.module.iter().map(|t| &t.source))
        .chain(rows.contact.iter().map(|c| &c.source))
        .chain(rows.interference.iter().map(|t| &t.source))
        .chain(rows.undercut.iter().map(|t| &t.source))
        .collect();
    assert_eq!(used, rows.sources.keys().collect(), "sources named and sources used");
}
