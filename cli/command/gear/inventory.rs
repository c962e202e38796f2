//! Is a box of gears what its file says? Measured gears against their entries, and what is easily
//! mistaken in the box.

use super::{capital, identify, size_in_words, undercut};
use crate::command::figures::{measure, off_mm, real};
use crate::failure::Failure;
use crate::input::{self, Origin, Surroundings};
use crate::report::{Answer, Block, Cell, Column, Report, Role, Table, Text};
use solver::caliper::{self, Candidate, Over, look_alike};
use solver::{Gear, GearSet, Outside, PressureAngle, ToothSize};

/// Answers for a lathe's gears or for a box.
///
/// # Errors
/// If the file can't be used.
pub(super) fn run(lathe: Option<&str>, gears: Option<&str>) -> Result<Report, Failure> {
    let refused = |e: input::Failure| Failure::new(e.to_string());
    let mut report = Report::new();
    let (name, set) = match gears {
        Some(gears) => {
            let set = input::gear_set(gears).map_err(refused)?;
            (set.name, set.gears)
        }
        None => {
            let (open, origin) = Surroundings::of_process().lathe(lathe).map_err(refused)?;
            if origin == Origin::Demo {
                let how = "These are the gears of a demo lathe: --gears or --lathe FILE, or lathe.json \
                           in the folder, for your own.";
                report.asides.push(how.to_string());
                report.note(how);
            }
            (open.lathe.parts().name.clone(), open.lathe.parts().gears.clone())
        }
    };
    write(&name, &set, &mut report)?;
    Ok(report)
}

/// One measured gear.
struct Entry {
    gear: Gear,
    read: Outside,
    /// What it is taken for: as stated, or the nearest standard size where none is.
    taken: Candidate,
    verdict: &'static str,
    /// What there is to say beyond the verdict.
    text: Option<String>,
}

fn entry(gear: &Gear, read: Outside) -> Result<Entry, Failure> {
    let with = |taken, verdict, text| Entry { gear: *gear, read, taken, verdict, text };
    if let Some(size) = gear.size {
        let checked = caliper::check(gear.teeth, size, read, Over::Tips)?;
        return Ok(if checked.contradicts() {
            with(checked.stated, "contradicts", Some(identify::verdict(&checked)))
        } else {
            with(checked.stated, "agrees", None)
        });
    }
    let found = caliper::identify(gear.teeth, read, Over::Tips)?;
    let Some((first, second)) = found.nearest_two() else {
        return Err(Failure::new("no standard tooth size is known"));
    };
    Ok(if !first.fits() {
        let text =
            format!("{}: no standard tooth size reads so; count and measure again.", gear.teeth);
        with(*first, "no size fits", Some(text))
    } else if found.is_sure() {
        with(*first, "looks like", None)
    } else {
        let (a, b) = (size_in_words(&first.size), size_in_words(&second.size));
        let text = format!("{}: {a} or {b}: the reading leaves both open.", gear.teeth);
        with(*first, "looks like", Some(text))
    })
}

fn write(name: &str, set: &GearSet, report: &mut Report) -> Result<(), Failure> {
    let measured = set.measured().iter().map(|(gear, read)| entry(gear, *read));
    let measured = measured.collect::<Result<Vec<_>, _>>()?;
    let doubts = doubts(set);
    let name = if name.is_empty() { "a lathe without a name" } else { name };
    report.heading(format!("Gears of {name}"));
    if measured.is_empty() {
        report.note(
            "No gear has its outside diameter in the file, so nothing is checked. Measure one over the \
             tips and enter it: {\"teeth\": 40, \"outside\": \"42.0 mm\"}.",
        );
    } else {
        report.table(page(&measured));
    }
    let texts: Vec<Text> = measured
        .iter()
        .filter_map(|e| Some(Text::new(Role::Warning, e.text.clone()?)))
        .chain(doubts.iter().map(|(_, text)| text.as_str().into()))
        .collect();
    if !texts.is_empty() {
        report.push(Block::List(texts));
    }
    let wrong =
        measured.iter().filter(|e| matches!(e.verdict, "contradicts" | "no size fits")).count();
    if wrong > 0 {
        report.answer = Answer::No;
    } else if !measured.is_empty() {
        let good = format!(
            "{} of {} kinds measured: nothing contradicts.",
            measured.len(),
            set.all().count()
        );
        report.note(Text::new(Role::Good, good));
    }
    report.records = Some(records(&measured, &doubts));
    Ok(())
}

fn taken(entry: &Entry) -> String {
    size_in_words(&entry.taken.size)
}

/// The table for people.
fn page(entries: &[Entry]) -> Table {
    let mut table = Table::new(vec![
        Column::new("teeth", "teeth", ""),
        Column::new("verdict", "", ""),
        Column::new("tooth_size", "tooth size", ""),
        Column::new("read_mm", "reads", "mm"),
        Column::new("should_mm", "should read", "mm"),
        Column::new("off_mm", "off", "mm"),
    ]);
    for entry in entries {
        let role = if entry.verdict == "agrees" { Role::Good } else { Role::Warning };
        table.push(vec![
            usize::from(entry.gear.teeth.get()).into(),
            Text::new(role, entry.verdict).into(),
            taken(entry).into(),
            measure(&entry.read.length().mm()).into(),
            real(entry.taken.should_mm).into(),
            off_mm(entry.taken.off_mm).into(),
        ]);
    }
    table
}

/// The table for programs.
fn records(entries: &[Entry], doubts: &[(&'static str, String)]) -> Table {
    let keys = ["kind", "teeth", "tooth_size", "read_mm", "should_mm", "off_mm", "text"];
    let mut table = Table::new(keys.map(|key| Column::new(key, key, "")).into());
    for entry in entries {
        table.push(vec![
            entry.verdict.into(),
            usize::from(entry.gear.teeth.get()).into(),
            taken(entry).into(),
            measure(&entry.read.length().mm()).into(),
            real(entry.taken.should_mm).into(),
            off_mm(entry.taken.off_mm).into(),
            entry.text.clone().into(),
        ]);
    }
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
