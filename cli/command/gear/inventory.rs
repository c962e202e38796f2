//! Is a box of gears what its file says? Measured gears against their entries, and what is easily
//! mistaken in the box.

use super::{capital, identify, size_in_words, undercut};
use crate::failure::Failure;
use crate::files::{self, Origin, Surroundings};
use crate::report::{Answer, Block, Cell, Column, Report, Role, Table, Text};
use crate::words::figures::{measure, off_mm, real};
use solver::caliper::{self, MeasuredOver, PossibleGear, look_alike};
use solver::{Gear, GearSet, Outside, PressureAngle, ToothSize};
use std::ffi::OsStr;

/// Answers for a lathe's gears or for a box.
///
/// # Errors
/// If the file can't be used.
pub(super) fn run(lathe: Option<&OsStr>, gears: Option<&OsStr>) -> Result<Report, Failure> {
    let mut report = Report::new();
    let (name, set) = if let Some(gears) = gears {
        let set = files::gear_set(gears)?;
        (set.name, set.gears)
    } else {
        of_lathe(lathe, &mut report)?
    };
    write(&name, &set, &mut report)?;
    Ok(report)
}

/// The lathe in force, by name, and its gears.
fn of_lathe(lathe: Option<&OsStr>, report: &mut Report) -> Result<(String, GearSet), Failure> {
    let (open, origin) = Surroundings::of_process().lathe(lathe)?;
    if origin == Origin::Demo {
        let how = "These are the gears of a demo lathe. For your own: --gears or --lathe FILE, or \
                   trainwright lathe new.";
        report.asides.push(how.to_string());
        report.note(how);
    }
    let parts = open.lathe.parts();
    let name = if parts.name.is_empty() { "a lathe without a name" } else { &parts.name };
    Ok((name.to_string(), parts.gears.clone()))
}

/// What a reading says of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verdict {
    Agrees,
    Contradicts,
    /// No size is stated: this is the nearest.
    LooksLike,
    /// No size is stated, and none reads so.
    NoSizeFits,
}

impl Verdict {
    const fn words(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Contradicts => "contradicts",
            Self::LooksLike => "looks like",
            Self::NoSizeFits => "no size fits",
        }
    }

    const fn is_wrong(self) -> bool {
        matches!(self, Self::Contradicts | Self::NoSizeFits)
    }
}

/// One measured gear.
struct MeasuredGear {
    gear: Gear,
    read: Outside,
    /// What it is taken for: as stated, or the nearest standard size where none is.
    taken: PossibleGear,
    verdict: Verdict,
    /// What there is to say beyond the verdict.
    text: Option<String>,
}

fn entry(gear: &Gear, read: Outside) -> Result<MeasuredGear, Failure> {
    let (taken, verdict, text) = match gear.size {
        Some(size) => stated(gear, size, read)?,
        None => unstated(gear, read)?,
    };
    Ok(MeasuredGear { gear: *gear, read, taken, verdict, text })
}

type Judged = (PossibleGear, Verdict, Option<String>);

fn stated(gear: &Gear, size: ToothSize, read: Outside) -> Result<Judged, Failure> {
    let checked = caliper::check(gear.teeth, size, read, MeasuredOver::Tips)?;
    Ok(if checked.contradicts() {
        (checked.stated, Verdict::Contradicts, Some(identify::verdict(&checked)))
    } else {
        (checked.stated, Verdict::Agrees, None)
    })
}

fn unstated(gear: &Gear, read: Outside) -> Result<Judged, Failure> {
    let teeth = gear.teeth;
    let found = caliper::identify(teeth, read, MeasuredOver::Tips)?;
    let (first, second) = (found.nearest, found.next);
    Ok(if !first.fits() {
        let text = format!("{teeth}: no standard tooth size reads so; count and measure again.");
        (first, Verdict::NoSizeFits, Some(text))
    } else if found.is_sure() {
        (first, Verdict::LooksLike, None)
    } else {
        let (a, b) = (size_in_words(&first.size), size_in_words(&second.size));
        let text = format!("{teeth}: {a} or {b}: the reading leaves both open.");
        (first, Verdict::LooksLike, Some(text))
    })
}

fn write(name: &str, set: &GearSet, report: &mut Report) -> Result<(), Failure> {
    let measured = set.measured().iter().map(|(gear, read)| entry(gear, *read));
    let measured = measured.collect::<Result<Vec<_>, _>>()?;
    let doubts = doubts(set);
    report.heading(format!("Gears of {name}"));
    if measured.is_empty() {
        report.note(
            "No gear has its outside diameter in the file, so nothing is checked. Measure one over the \
             tips and enter it: {\"teeth\": 40, \"outside\": \"42.0 mm\"}.",
        );
    } else {
        report.table(page(&measured));
    }
    let said = measured.iter().filter_map(|e| Some(Text::new(Role::Warning, e.text.clone()?)));
    let said: Vec<Text> = said.chain(doubts.iter().map(|(_, text)| text.as_str().into())).collect();
    if !said.is_empty() {
        report.push(Block::List(said));
    }
    if measured.iter().any(|entry| entry.verdict.is_wrong()) {
        report.answer = Answer::No;
    } else if !measured.is_empty() {
        let entries = format!("Entries with a reading: {}; nothing contradicts.", measured.len());
        report.note(Text::new(Role::Good, entries));
    }
    report.records = Some(records(&measured, &doubts));
    Ok(())
}

fn teeth(entry: &MeasuredGear) -> Cell {
    usize::from(entry.gear.teeth.get()).into()
}

fn taken(entry: &MeasuredGear) -> Cell {
    size_in_words(&entry.taken.size).into()
}

fn read(entry: &MeasuredGear) -> Cell {
    measure(&entry.read.length().mm()).into()
}

/// The table for people.
fn page(entries: &[MeasuredGear]) -> Table {
    Table::of(
        entries,
        [
            (Column::named("teeth", ""), &|e| teeth(e)),
            (Column::new("verdict", "", ""), &|e| {
                let role = if e.verdict.is_wrong() { Role::Warning } else { Role::Good };
                Text::new(role, e.verdict.words()).into()
            }),
            (Column::new("tooth_size", "tooth size", ""), &|e| taken(e)),
            (Column::new("read_mm", "reads", "mm"), &|e| read(e)),
            (Column::new("should_mm", "should read", "mm"), &|e| real(e.taken.should_mm).into()),
            (Column::new("off_mm", "off", "mm"), &|e| off_mm(e.taken.off_mm).into()),
        ],
    )
}

/// The table for programs.
fn records(entries: &[MeasuredGear], doubts: &[(&'static str, String)]) -> Table {
    let mut table = Table::keyed(
        entries,
        [
            ("kind", &|e| e.verdict.words().into()),
            ("teeth", &|e| teeth(e)),
            ("tooth_size", &|e| taken(e)),
            ("read_mm", &|e| read(e)),
            ("should_mm", &|e| real(e.taken.should_mm).into()),
            ("off_mm", &|e| off_mm(e.taken.off_mm).into()),
            ("text", &|e| e.text.clone().into()),
        ],
    );
    for (kind, text) in doubts {
        let mut row: Vec<Cell> = vec![(*kind).into()];
        row.extend(std::iter::repeat_n(Cell::Empty, 5).chain([text.as_str().into()]));
        table.push(row);
    }
    table
}

/// What is easily mistaken in the box, each with its kind.
fn doubts(set: &GearSet) -> Vec<(&'static str, String)> {
    let gears: Vec<&Gear> = set.all().collect();
    let mut angles: Vec<PressureAngle> = gears.iter().map(|gear| gear.angle).collect();
    angles.sort_unstable();
    angles.dedup();
    let mut sizes: Vec<ToothSize> = gears.iter().filter_map(|gear| gear.size).collect();
    sizes.sort_unstable_by_key(ToothSize::module);
    sizes.dedup_by_key(|size| size.module());
    let alike = sizes.windows(2).filter_map(|two| match two {
        [a, b] if look_alike(a, b) => Some(format!(
            "{} and {} look alike and don't run together: mark the gears.",
            capital(&size_in_words(a)),
            size_in_words(b)
        )),
        _ => None,
    });
    let angled = (angles.len() > 1).then(|| {
        let list: Vec<String> =
            angles.iter().map(|angle| measure(&angle.degrees()).marked()).collect();
        let list = list.join(" and ");
        format!("Teeth of {list} degrees look alike and don't run together: mark the gears.")
    });
    let undercut = angles.iter().filter_map(|angle| undercut(&gears, *angle));
    alike
        .chain(angled)
        .map(|text| ("look alike", text))
        .chain(undercut.map(|text| ("undercut", text)))
        .collect()
}
