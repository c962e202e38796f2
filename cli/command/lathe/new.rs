//! `lathe new`: what can a person say of a lathe, standing beside it, and which file is that?
//!
//! The questions stand in `files/draft/questions.rs`, the talk in `new/dialog.rs`, the page that follows in
//! `new/page.rs`. What an answer means, and whether it can be, `input` knows: it is read as the
//! file is. The lathe file is part of the report; until it is written the answers are kept beside it
//! (`new/kept.rs`).

mod dialog;
mod kept;
mod page;

use super::facts;
use crate::args::New;
use crate::failure::Failure;
use crate::files::{self, Draft, Given, Key, OpenLathe};
use crate::progress::Progress;
use crate::report::Report;
use std::path::{Path, PathBuf};

/// Answers `lathe new`.
///
/// # Errors
/// If an answer can't be used, or too little is said and nobody can be asked.
pub(in crate::command) fn run(
    new: &New,
    may_ask: bool,
    progress: &Progress,
) -> Result<Report, Failure> {
    let folder = folder(&new.file);
    let given = given(new)?;
    let asks = may_ask && new.answers.is_none();
    if !asks {
        enough(&given)?;
    }
    let draft = taken(given, &folder)?;
    let draft = if asks { dialog::ask(draft, &new.file, &folder)? } else { draft };
    let name = if new.is_printed() { "the answers".into() } else { new.file.display().to_string() };
    let text = draft.text();
    let open = files::lathe_of_text_in(&name, &text, Some(&folder))?;
    let mut report = report(new, &draft, text, open, progress);
    report.spent = kept::beside(&new.file).filter(|_| asks);
    Ok(report)
}

fn report(new: &New, draft: &Draft, text: String, open: OpenLathe, progress: &Progress) -> Report {
    if new.is_printed() {
        return page::printed(text);
    }
    let mut report = page::written(&new.file, draft, open, progress);
    report.lathe_file = Some(text);
    report
}

/// The folder that the file will stand in: a gear-set file is looked for there.
fn folder(file: &Path) -> PathBuf {
    file.parent().map(Path::to_path_buf).unwrap_or_default()
}

/// What a file of answers and the flags say, in the order of the questions; flags go before.
fn given(new: &New) -> Result<Vec<Given>, Failure> {
    let flags = flags(new);
    let is_flag = |key| flags.iter().any(|flag| flag.key == key);
    let mut given = match &new.answers {
        Some(path) => files::answers(path)?,
        None => Vec::new(),
    };
    given.retain(|answer| !is_flag(answer.key));
    given.extend(flags.iter().cloned());
    given.sort_by_key(|answer| answer.key);
    Ok(given)
}

fn flags(new: &New) -> Vec<Given> {
    let given = |(key, said): &(Key, String)| Given {
        key: *key,
        said: said.clone(),
        place: format!("--{}", key.name()),
    };
    new.said.0.iter().map(given).collect()
}

/// Where nobody can be asked the two must be said that no lathe is without.
fn enough(given: &[Given]) -> Result<(), Failure> {
    let is_said = |key: Key| given.iter().any(|answer| answer.key == key);
    let missing: Vec<&str> =
        [(Key::Screw, "--screw 8tpi (or unknown)"), (Key::Gears, "--gears 20,25,30x2")]
            .into_iter()
            .filter(|(key, _)| !is_said(*key))
            .map(|(_, flag)| flag)
            .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let flags = missing.join(" and ");
    let wrong =
        format!("lathe new: nobody can be asked here, and too little is said without {flags}");
    let hint = "those flags, --answers FILE, or a terminal without --no-input (`trainwright lathe new \
                --help` lists all)";
    Err(Failure::new(wrong).with_hint(hint))
}

/// The draft that the given answers make.
fn taken(given: Vec<Given>, folder: &Path) -> Result<Draft, Failure> {
    given.into_iter().try_fold(Draft::default(), |draft, Given { key, said, place }| {
        draft.with(key, &said, Some(folder)).map_err(|wrong| {
            wrong.under(&format!("{place}: {}: ", crate::failure::shortened(&said)))
        })
    })
}

/// Parts that have a value also where nobody said it, with the questions that say it.
const ASSUMED: [(&str, &[Key]); 16] = [
    ("lead screw", &[Key::Screw, Key::Hand, Key::Starts]),
    ("driving gear", &[Key::Ratio, Key::Turns]),
    ("tumbler", &[Key::Tumbler]),
    ("teeth", &[Key::Pitch, Key::Angle]),
    ("studs", &[Key::Studs, Key::Sleeves]),
    ("on driving shaft", &[]),
    ("on lead screw", &[]),
    ("on gearbox shaft", &[]),
    ("banjo", &[Key::ArmAngle]),
    ("least clearance", &[Key::StudDistance]),
    ("hubs", &[Key::HubFirst, Key::HubStud, Key::HubLast]),
    ("planes", &[]),
    ("meshes", &[]),
    ("longitudinal feed", &[]),
    ("half nut", &[Key::HalfNut]),
    ("motor reverses", &[Key::Reverse]),
];

/// What is known of a lathe so far: nothing that only stands in for what was not said.
pub(in crate::command) fn known(draft: &Draft, folder: Option<&Path>) -> Vec<(String, String)> {
    let Ok(sketch) = draft.sketch(folder) else { return Vec::new() };
    let stands_in = |part: &str| {
        sketch.lacks_gears && matches!(part, "gears" | "teeth")
            || sketch.lacks_slots && (part == "studs" || part.starts_with("slot"))
    };
    let is_said = |part: &str| {
        let assumed = ASSUMED.iter().find(|(name, _)| *name == part);
        assumed.is_none_or(|(_, keys)| keys.iter().any(|key| draft.said(*key).is_some()))
    };
    let known = facts::of(&sketch.open.lathe).into_iter();
    let known = known.filter(|(part, _)| !stands_in(part) && is_said(part));
    let hand_is_said = draft.said(Key::Hand).is_some();
    known
        .map(|(part, value)| match &*part {
            "lead screw" if !hand_is_said => (part, value.replace(" hand", " hand assumed")),
            _ => (part, value),
        })
        .collect()
}
