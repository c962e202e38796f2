//! What is said once the file is made: all that is known, a first answer from it, and what next.

use crate::args::shell;
use crate::asked::machine::Machine;
use crate::command::find;
use crate::command::lathe::{facts, list, records, warnings};
use crate::files::{Draft, OpenLathe};
use crate::progress::Progress;
use crate::report::{Block, Report, Role, Text};
use solver::Lathe;
use std::path::Path;

/// A thread that most people cut sooner or later.
const EVERYDAY: &str = "M10";

/// The lathe file as the answer.
pub(super) fn printed(text: String) -> Report {
    let mut report = Report::new();
    report.push(Block::Verbatim(text));
    report
}

/// The page about a file that is being written.
pub(super) fn written(file: &Path, draft: &Draft, open: OpenLathe, progress: &Progress) -> Report {
    let mut report = Report::new();
    let lathe = open.lathe.clone();
    let done = format!("{}: written, a lathe: {}", file.display(), facts::summary(&lathe));
    report.note(Text::new(Role::Good, done));
    if draft.lacks_slots() {
        report.note("The banjo was left out: it has no slot for its studs.");
    }
    let known = facts::of(&lathe);
    report.records = Some(records(&known));
    report
        .push(Block::Facts(known.into_iter().map(|(part, value)| (part, value.into())).collect()));
    list("Not known", Role::Plain, &warnings::unknown(&lathe), &mut report);
    list("Doubtful", Role::Warning, &warnings::warnings(&lathe), &mut report);
    report.heading(format!("A first answer: {EVERYDAY}"));
    match find::first_answer(Machine::of_new(open), EVERYDAY, progress) {
        Ok(answer) => report.blocks.extend(answer.blocks),
        Err(failure) => {
            let why = failure.told();
            let why = why.strip_prefix("trainwright: ").unwrap_or(&why).replace('\n', "; ");
            report.note(format!("None yet: {why}."));
        }
    }
    report.heading("What next");
    report.push(Block::List(next(file, &lathe)));
    report
}

/// Commands that go on from here.
fn next(file: &Path, lathe: &Lathe) -> Vec<Text> {
    let name = shell::word(&file.display().to_string());
    let here = file == Path::new("lathe.json");
    let with = if here { String::new() } else { format!(" --lathe {name}") };
    let does = |command: String, what: &str| {
        Text::new(Role::Typed, command).and(Role::Plain, format!(": {what}"))
    };
    let mut lines = Vec::new();
    if !warnings::unknown(lathe).is_empty() {
        lines.push(does(
            format!("trainwright learn CHART --lathe {name} --complete new.json"),
            "what is not known, from the lathe's own chart or from cuts that you measure",
        ));
    }
    lines.push(does(format!("trainwright find M8{with}"), "trains for any other thread or feed"));
    lines.push(does(
        format!("trainwright card {EVERYDAY}{with}"),
        "one page to take to the machine",
    ));
    lines.push(does(
        format!("trainwright lathe check {name}"),
        "after every change of the file: feeds, forbidden levers and keep-outs go in there too \
         (trainwright schema lathe)",
    ));
    let place = if here {
        "In this folder the file is used by itself; elsewhere say --lathe, or set \
         TRAINWRIGHT_LATHE to its path."
    } else {
        "To leave --lathe out, set TRAINWRIGHT_LATHE to the file's path, or call it lathe.json and \
         work in its folder."
    };
    lines.push(place.into());
    lines
}
