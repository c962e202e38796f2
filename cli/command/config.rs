//! `config`: which lathe is in force, and where was it looked for?

use crate::failure::Failure;
use crate::input::{Origin, Surroundings, VARIABLE};
use crate::report::{Block, Report, Role, Text};

/// Answers `config`.
///
/// # Errors
/// If the lathe in force can't be used.
pub(super) fn run(asked: Option<&str>) -> Result<Report, Failure> {
    let around = Surroundings::of_process();
    let (open, origin) = around.lathe(asked).map_err(|e| Failure::new(e.to_string()))?;
    let mut report = Report::new();
    report.heading("The lathe in force");
    report.push(Block::Facts(vec![
        ("lathe".into(), open.lathe.parts().name.as_str().into()),
        ("described by".into(), open.source.name.as_str().into()),
        ("from".into(), from(&origin).into()),
    ]));
    report.heading("Places, first one that names a lathe");
    report.push(Block::Facts(places(&around, asked)));
    Ok(report)
}

fn from(origin: &Origin) -> &'static str {
    match origin {
        Origin::Asked => "--lathe",
        Origin::Variable => VARIABLE,
        Origin::Folder => "this folder",
        Origin::Configuration => "the configuration folder",
        Origin::Demo => "the program itself: nothing names another",
    }
}

/// Every place in the order in which they are asked, and what it holds.
fn places(around: &Surroundings, asked: Option<&str>) -> Vec<(String, Text)> {
    let given = |value: Option<&str>| match value {
        Some(value) => Text::from(value),
        None => Text::new(Role::Faint, "not given"),
    };
    let file = |folder: Option<std::path::PathBuf>| match folder.map(|f| f.join("lathe.json")) {
        Some(path) if path.exists() => Text::from(path.display().to_string()),
        Some(path) => Text::new(Role::Faint, format!("no {}", path.display())),
        None => Text::new(Role::Faint, "there is none: no home folder is known"),
    };
    let configured = around.configuration.as_ref().map(|c| c.join("trainwright"));
    vec![
        ("--lathe".into(), given(asked)),
        (VARIABLE.into(), given(around.variable.as_deref())),
        ("this folder".into(), file(Some(around.folder.clone()))),
        ("configuration".into(), file(configured)),
    ]
}
