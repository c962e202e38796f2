//! `config`: which lathe is in force, and where was it looked for?

use crate::failure::Failure;
use crate::files::{LATHES, OpenLathe, Origin, Surroundings, VARIABLE};
use crate::report::{Block, Report, Role, Table, Text};
use std::ffi::OsStr;
use std::path::PathBuf;

/// Answers `config`.
///
/// # Errors
/// If the lathe in force can't be used.
pub(super) fn run(asked: Option<&OsStr>) -> Result<Report, Failure> {
    let around = Surroundings::of_process();
    let (open, origin) = around.lathe(asked)?;
    let mut report = Report::new();
    report.heading("The lathe in force");
    report.push(Block::Facts(vec![
        ("lathe".into(), open.lathe.parts().name.as_str().into()),
        ("described by".into(), open.source.name.as_str().into()),
        ("from".into(), from(&origin).into()),
    ]));
    let places = places(&around, asked);
    report.records = Some(records(&places, &origin, &open));
    report.heading("Places, first one that names a lathe");
    report.push(Block::Facts(places.into_iter().map(|p| (p.name.to_owned(), p.words())).collect()));
    Ok(report)
}

/// One row a place: for spreadsheets and programs.
fn records(places: &[Place], origin: &Origin, open: &OpenLathe) -> Table {
    let yes = |is: bool| (if is { "yes" } else { "no" }).into();
    let in_force = |place: &Place| place.origin == *origin;
    Table::keyed(
        places,
        [
            ("place", &|place| place.name.into()),
            ("path", &|place| place.path.as_deref().into()),
            ("names_a_lathe", &|place| yes(place.is_there)),
            ("in_force", &|place| yes(in_force(place))),
            ("lathe", &|place| in_force(place).then_some(open.lathe.parts().name.as_str()).into()),
        ],
    )
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

/// A place that could name a lathe.
struct Place {
    name: &'static str,
    origin: Origin,
    /// What it holds, or the file that would be read.
    path: Option<String>,
    is_there: bool,
}

impl Place {
    fn words(&self) -> Text {
        match (&self.path, &self.origin) {
            (Some(path), _) if self.is_there => path.as_str().into(),
            (Some(path), _) => Text::new(Role::Faint, format!("no {path}")),
            (None, Origin::Configuration) => {
                Text::new(Role::Faint, "there is none: no home folder is known")
            }
            (None, _) => Text::new(Role::Faint, "not given"),
        }
    }
}

/// Every place in the order in which they are asked, and what it holds.
fn places(around: &Surroundings, asked: Option<&OsStr>) -> Vec<Place> {
    let given = |name, origin, value: Option<&OsStr>| Place {
        name,
        origin,
        path: value.map(|value| value.display().to_string()),
        is_there: value.is_some(),
    };
    let file = |name, origin, folder: Option<PathBuf>| {
        let path = folder.map(|folder| folder.join("lathe.json"));
        let is_there = path.as_ref().is_some_and(|path| path.exists());
        Place { name, origin, path: path.map(|path| path.display().to_string()), is_there }
    };
    let configured = around.configuration.as_ref().map(|c| c.join("trainwright"));
    let demo = LATHES.first().map(|lathe| OsStr::new(lathe.name));
    vec![
        given("--lathe", Origin::Asked, asked),
        given(VARIABLE, Origin::Variable, around.variable.as_deref()),
        file("this folder", Origin::Folder, Some(around.folder.clone())),
        file("configuration", Origin::Configuration, configured),
        given("demo lathe", Origin::Demo, demo),
    ]
}
