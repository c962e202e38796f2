//! Which lathe and which gears? Opens lathe and gear-set files, and says in one line where in
//! which file something is wrong: `file:line:column: key: what is wrong; what would be right`.
//!
//! What a lathe can cut is the library's business; printing is the commands'. Another front end reads
//! the same files through it.

mod ask;
mod bracket;
mod chart;
mod draft;
mod form;
mod gearset;
mod json;
mod lathe;
mod list;
mod node;
mod shipped;
mod source;
mod value;

pub use crate::failure::Failure;
pub use ask::{Person, Said};
pub use chart::OpenChart;
pub use draft::{Draft, Given, Key, Question, answers, changed, is_no, is_unsure, now};
pub(crate) use lathe::written;
pub use list::OpenList;
pub(crate) use node::Node;
pub use shipped::{CHARTS, LATHES, SETS, Shipped};
pub use source::Source;

use etcetera::base_strategy::{self, BaseStrategy};
use gearset::{GearSetFile, Gears, GearsOrName};
use lathe::{LatheFile, NowFile};
use solver::{Fitted, GearSet, Lathe};
use std::env;
use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};

/// The variable that names the lathe.
pub const VARIABLE: &str = "TRAINWRIGHT_LATHE";

/// A lathe and the file that it came from.
#[derive(Debug, Clone)]
pub struct OpenLathe {
    /// The lathe.
    pub lathe: Lathe,
    /// Its file.
    pub source: Source,
}

impl OpenLathe {
    /// `file:line:column` of a key such as `gearbox.forbidden[0]`: for what turns out wrong only
    /// when the lathe is used. A key that is not there: the nearest around it.
    pub fn locate(&self, path: &str) -> String {
        json::locate(&self.source, Failure::wrong("", "").at(path)).place
    }

    /// The text of the file with these keys taken out and these values (text in quotes) put in; all
    /// else stays as it was written. `None`: a path leads through something else.
    pub fn completed(&self, out: &[String], put: &[(String, String)]) -> Option<String> {
        let put: Vec<_> = put.iter().map(|(path, text)| (path.clone(), Node::text(text))).collect();
        json::edited(&self.source, out, &put)
    }

    /// Its file; `None`: it is built in, or came from the standard input.
    pub fn path(&self) -> Option<PathBuf> {
        Some(PathBuf::from(&self.source.name)).filter(|path| path.is_file())
    }

    /// The file beside its own that says what is on it.
    pub fn now_file(&self) -> Option<PathBuf> {
        self.path().map(|path| lathe::beside(&path))
    }

    /// What that file says; `None`: there is none, or the fitted set-up is on. Whether it can be on this
    /// lathe is not looked at.
    ///
    /// # Errors
    /// If the file can't be read.
    pub fn recorded(&self) -> Result<Option<Fitted>, Failure> {
        self.now_file().map_or(Ok(None), |path| lathe::read(&path))
    }

    /// Whether an object stands at a path.
    pub fn has_object(&self, path: &str) -> bool {
        json::is_object(&self.source, path)
    }
}

/// A gear set and the file that it came from.
#[derive(Debug, Clone)]
pub struct OpenSet {
    /// What it is called.
    pub name: String,
    /// What it is good for.
    pub note: String,
    /// The gears.
    pub gears: GearSet,
}

/// Where the lathe in force came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// It was named on the command line.
    Asked,
    /// [`VARIABLE`] names it.
    Variable,
    /// `lathe.json` in the folder.
    Folder,
    /// `lathe.json` of the configuration folder.
    Configuration,
    /// Nothing was given: the first of [`LATHES`].
    Demo,
}

/// Where a lathe is looked for when the command line names none.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// What [`VARIABLE`] holds.
    pub variable: Option<OsString>,
    /// The folder in which `lathe.json` may stand.
    pub folder: PathBuf,
    /// The configuration folder.
    pub configuration: Option<PathBuf>,
}

impl Surroundings {
    /// Those of this process. An empty variable counts as unset. The configuration folder is that of
    /// the system: `XDG_CONFIG_HOME`, else `~/.config` (XDG Base Directory Specification); macOS
    /// `~/Library/Application Support`; Windows `%APPDATA%`.
    pub fn of_process() -> Self {
        let native = base_strategy::choose_native_strategy().ok();
        let folder = native.map(|native| configuration(&native, cfg!(target_vendor = "apple")));
        Self {
            variable: env::var_os(VARIABLE).filter(|value| !value.is_empty()),
            folder: PathBuf::new(),
            configuration: folder.filter(|path| path.is_absolute()),
        }
    }

    /// The lathe in force, and where it came from.
    ///
    /// # Errors
    /// If the file that is in force can't be used.
    pub fn lathe(&self, asked: Option<&OsStr>) -> Result<(OpenLathe, Origin), Failure> {
        if let Some(asked) = asked {
            return Ok((lathe(asked)?, Origin::Asked));
        }
        if let Some(variable) = &self.variable {
            let open = lathe(variable).map_err(|failure| self.of_variable(failure))?;
            return Ok((open, Origin::Variable));
        }
        let in_folder = (Some(self.folder.clone()), Origin::Folder);
        let configured = self.configuration.as_ref().map(|c| c.join("trainwright"));
        for (folder, origin) in [in_folder, (configured, Origin::Configuration)] {
            if let Some(path) = folder.map(|f| f.join("lathe.json")).filter(|p| p.exists()) {
                return Ok((open_lathe(Source::file(&path)?, Some(&parent(&path)))?, origin));
            }
        }
        Ok((demo()?, Origin::Demo))
    }

    /// What the variable names can't be used: which places count is said too.
    fn of_variable(&self, failure: Failure) -> Failure {
        let right = failure.right.as_ref().map(|right| format!("{right}; ")).unwrap_or_default();
        let configured = self.configuration.as_ref().map(|c| {
            let path = c.join("trainwright").join("lathe.json");
            format!(" and {}", path.display())
        });
        let right = format!(
            "{right}looked at: --lathe (not given), then this variable; without it lathe.json in this \
             folder{} would follow",
            configured.unwrap_or_default()
        );
        let place = format!("{VARIABLE}: {}", failure.place);
        failure.with_hint(right).placed(place)
    }
}

/// Where a system keeps what its owner sets. Apple's Preferences are for its own lists: files that a
/// program makes go into Application Support (File System Programming Guide, Table 1-1).
fn configuration(system: &impl BaseStrategy, apple: bool) -> PathBuf {
    if apple { system.data_dir() } else { system.config_dir() }
}

/// The lathe that is used where none is given.
fn demo() -> Result<OpenLathe, Failure> {
    let [first, ..] = LATHES else {
        return Err(Failure::wrong("none", "build one in").placed("demo"));
    };
    lathe_of_text(&built_in(first), first.text)
}

/// By which name messages call a built-in file.
fn built_in(shipped: &Shipped) -> String {
    format!("built-in {}", shipped.name)
}

/// A lathe from text, without opening any file: gears are listed in it, or those of a built-in set.
/// `name` stands for the file in messages.
///
/// # Errors
/// If it can't be used.
pub fn lathe_of_text(name: &str, text: &str) -> Result<OpenLathe, Failure> {
    open_lathe(Source::new(name, text), None)
}

/// A lathe from text, whose gear-set file stands in a folder; without one no file is opened.
///
/// # Errors
/// If it can't be used.
pub fn lathe_of_text_in(
    name: &str,
    text: &str,
    folder: Option<&Path>,
) -> Result<OpenLathe, Failure> {
    open_lathe(Source::new(name, text), folder)
}

/// A gear set from text: `name` stands for the file in messages.
///
/// # Errors
/// If it can't be used.
pub fn gear_set_of_text(name: &str, text: &str) -> Result<OpenSet, Failure> {
    open_set(&Source::new(name, text))
}

/// The lathe of a file, of standard input (`-`), or of a built-in name.
///
/// # Errors
/// If there is none, or it can't be used.
pub fn lathe(spec: impl AsRef<OsStr>) -> Result<OpenLathe, Failure> {
    let (source, folder) = source(spec.as_ref(), LATHES, "lathe")?;
    open_lathe(source, Some(&folder))
}

/// The gears of a file, of standard input (`-`), of a built-in name, or of a list: `20,25,30x2`.
///
/// # Errors
/// If there is none, or it can't be used.
pub fn gear_set(spec: impl AsRef<OsStr>) -> Result<OpenSet, Failure> {
    let spec = spec.as_ref();
    let list = spec.to_str().filter(|text| {
        let listed = text.trim_start().starts_with(|c: char| c.is_ascii_digit());
        listed && !is_path(spec) && !Path::new(spec).is_file()
    });
    if let Some(text) = list {
        let gears = gearset::inline(text).map_err(|wrong| wrong.placed(format!("gears {text}")))?;
        return Ok(OpenSet { name: text.to_owned(), note: String::new(), gears });
    }
    open_set(&source(spec, SETS, "gear set")?.0)
}

/// The chart of a file, of standard input (`-`), or of a built-in name. `levers`: the names of the
/// lathe's levers.
///
/// # Errors
/// If there is none, or it can't be used: where, what is wrong, what would be right.
pub fn chart(spec: impl AsRef<OsStr>, levers: &[String]) -> Result<OpenChart, Failure> {
    let spec = spec.as_ref();
    let source = if spec == "-" {
        Source::chart_on_standard_input()?
    } else if let Some(found) = shipped::find(CHARTS, &spec.to_string_lossy()) {
        return chart_of_text(&built_in(&found), found.text, levers);
    } else if is_path(spec) || is_table(spec) || Path::new(spec).exists() {
        Source::chart_file(Path::new(spec))?
    } else {
        return Err(neither(spec, CHARTS, "chart"));
    };
    chart::read(&source, levers)
}

/// What is neither a file nor built in.
fn neither(spec: &OsStr, shipped: &[Shipped], what: &str) -> Failure {
    let given = spec.to_string_lossy();
    let right = shipped::nearest(shipped, &given);
    let place = if given.is_empty() { "\"\"".into() } else { given.into_owned() };
    Failure::wrong(format!("neither a file nor a built-in {what}"), right).placed(place)
}

/// The known word that is nearest to `given`, else all of them.
pub fn nearest(given: &str, known: &[String]) -> String {
    json::nearest(given, known)
}

/// The targets of a file or of standard input (`-`): a line each, with a tolerance behind a comma.
///
/// # Errors
/// If it can't be read.
pub fn list(spec: impl AsRef<OsStr>) -> Result<OpenList, Failure> {
    let spec = spec.as_ref();
    let source = if spec == "-" {
        Source::list_on_standard_input()?
    } else {
        Source::file(Path::new(spec))?
    };
    list::read(&source)
}

/// A list from text: `name` stands for the file in messages.
///
/// # Errors
/// If it can't be read.
#[allow(dead_code, reason = "for the fuzz target")]
pub fn list_of_text(name: &str, text: &str) -> Result<OpenList, Failure> {
    list::read(&Source::new(name, text))
}

/// A chart from text: `name` stands for the file in messages.
///
/// # Errors
/// If it can't be used.
pub fn chart_of_text(name: &str, text: &str, levers: &[String]) -> Result<OpenChart, Failure> {
    chart::read(&Source::new(name, text.trim_start_matches('\u{feff}')), levers)
}

fn is_table(spec: &OsStr) -> bool {
    let ending = Path::new(spec).extension();
    ending.is_some_and(|e| ["csv", "tsv", "txt"].iter().any(|known| e.eq_ignore_ascii_case(known)))
}

/// Separators are ASCII everywhere, also in a name that is not UTF-8.
fn is_path(spec: &OsStr) -> bool {
    let json = Path::new(spec).extension().is_some_and(|e| e.eq_ignore_ascii_case("json"));
    json || spec.as_encoded_bytes().iter().any(|b| std::path::is_separator((*b).into()))
}

fn parent(path: &Path) -> PathBuf {
    path.parent().map(Path::to_path_buf).unwrap_or_default()
}

/// A file of either kind.
#[derive(Debug, Clone)]
pub enum OpenFile {
    /// A lathe.
    Lathe(Box<OpenLathe>),
    /// A gear set.
    Gears(OpenSet),
}

/// The lathe or gear set of a file, of standard input (`-`), or of a built-in name.
///
/// # Errors
/// If there is none, or it can't be used.
pub fn open(spec: impl AsRef<OsStr>) -> Result<OpenFile, Failure> {
    let spec = spec.as_ref();
    if shipped::find(SETS, &spec.to_string_lossy()).is_some() {
        return gear_set(spec).map(OpenFile::Gears);
    }
    let (source, folder) = source(spec, LATHES, "lathe")?;
    if json::has_only_keys(&source, gearset::KEYS) {
        return open_set(&source).map(OpenFile::Gears);
    }
    open_lathe(source, Some(&folder)).map(|open| OpenFile::Lathe(Box::new(open)))
}

/// The text that `spec` stands for, and the folder that paths in it start from. A built-in name
/// comes before a file of the same name, so that a command means the same in every folder.
fn source(spec: &OsStr, shipped: &[Shipped], what: &str) -> Result<(Source, PathBuf), Failure> {
    if spec == "-" {
        return Ok((Source::standard_input()?, PathBuf::new()));
    }
    if let Some(found) = shipped::find(shipped, &spec.to_string_lossy()) {
        return Ok((Source::new(built_in(&found), found.text), PathBuf::new()));
    }
    let path = Path::new(spec);
    if is_path(spec) || path.exists() {
        return Ok((Source::file(path)?, parent(path)));
    }
    Err(neither(spec, shipped, what))
}

fn open_set(source: &Source) -> Result<OpenSet, Failure> {
    let file: GearSetFile = json::read(source)?;
    let gears = gears_of(&file.gears.0, source)?;
    Ok(OpenSet { name: file.name, note: file.note, gears })
}

fn gears_of(gears: &Gears, source: &Source) -> Result<GearSet, Failure> {
    gears.set().map_err(|wrong| json::locate(source, wrong))
}

/// `folder`: where a gear-set file may stand; without it no file is opened.
fn open_lathe(source: Source, folder: Option<&Path>) -> Result<OpenLathe, Failure> {
    let file: LatheFile = json::read(&source)?;
    let lathe = meant(file, &source, folder).map_err(|first| {
        json::others(&source, first, |left| meant(left, &source, folder).map(drop))
    })?;
    Ok(OpenLathe { lathe, source })
}

/// The lathe that a file means.
fn meant(file: LatheFile, source: &Source, folder: Option<&Path>) -> Result<Lathe, Failure> {
    let gears = match &file.gears {
        GearsOrName::Here(gears) => gears_of(gears, source)?,
        GearsOrName::Named(name) => named_gears(name, source, folder)?,
    };
    let parts = file.parts(gears).map_err(|wrong| json::locate(source, wrong))?;
    Lathe::new(parts).map_err(|error| json::locate(source, error.into()))
}

/// The set that a lathe file names: built in, or a file beside it.
fn named_gears(name: &str, lathe: &Source, folder: Option<&Path>) -> Result<GearSet, Failure> {
    if let Some(found) = shipped::find(SETS, name) {
        return Ok(gear_set_of_text(&built_in(&found), found.text)?.gears);
    }
    let path = folder.map(|folder| folder.join(name));
    let Some(path) = path.filter(|path| is_path(name.as_ref()) && path.is_file()) else {
        let what = match folder {
            Some(_) => {
                format!("`{name}` is neither a built-in gear set nor a file beside this one")
            }
            None => format!("`{name}` is no built-in gear set"),
        };
        let wrong = Failure::wrong(what, shipped::nearest(SETS, name));
        return Err(json::locate(lathe, wrong.at("gears")));
    };
    Ok(open_set(&Source::file(&path)?)?.gears)
}

/// Which schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// Lathe files.
    Lathe,
    /// Gear-set files.
    Gears,
    /// Charts.
    Chart,
    /// What is on a lathe now.
    Now,
}

/// The JSON Schema (2020-12) of a kind of file, made from what reads it.
pub fn schema(kind: FileKind) -> schemars::Schema {
    match kind {
        FileKind::Lathe => schemars::schema_for!(LatheFile),
        FileKind::Gears => schemars::schema_for!(GearSetFile),
        FileKind::Chart => schemars::schema_for!(chart::ChartFile),
        FileKind::Now => schemars::schema_for!(NowFile),
    }
}

/// The schema as a file: indented, with a newline at its end.
pub fn schema_text(kind: FileKind) -> String {
    let schema = serde_json::to_string_pretty(&schema(kind)).unwrap_or_default();
    schema + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use etcetera::base_strategy::{Apple, Windows};

    #[test]
    fn each_system_has_its_configuration_folder() {
        let home = etcetera::home_dir().unwrap();
        let apple = configuration(&Apple::new().unwrap(), true);
        assert_eq!(apple, home.join("Library").join("Application Support"));
        let windows = configuration(&Windows::new().unwrap(), false);
        assert!(
            env::var_os("APPDATA").is_some() || windows == home.join("AppData").join("Roaming")
        );
    }
}
