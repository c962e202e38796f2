//! Which machine is the question about? From the words typed to a checked lathe, and where it came
//! from.

use crate::args::{self, value::Typed};
use crate::failure::Failure;
use crate::files::{self, OpenLathe, Origin, Surroundings};
use crate::keys;
use crate::report::{Role, Text};
use solver::{Fitted, Lathe, Lead, Parts, Travel};
use std::ffi::{OsStr, OsString};
use std::path::PathBuf;

/// What is said where no lathe was named.
const OWN: &str = "Describe yours: trainwright lathe new";

/// A lathe with its origin.
#[derive(Debug)]
pub(crate) struct Machine {
    /// The lathe.
    pub(crate) lathe: Lathe,
    /// Where it came from, in words.
    pub(crate) from: String,
    /// Whether nothing was given, so that a demo lathe stands in.
    pub(crate) demo: bool,
    /// Why what was recorded as on it can't be, where that is so.
    pub(crate) stale: Option<String>,
    /// What names it in another command: ` --lathe tug`; empty where it is found without words.
    argument: String,
    /// The file, where there is one.
    open: Option<OpenLathe>,
}

impl Machine {
    /// The machine in force: that of a file or a name, or the gears and the screw that were typed.
    ///
    /// # Errors
    /// If a file can't be used, a word can't be read, or nothing says what screw the gears drive.
    pub(crate) fn of(words: &args::Machine) -> Result<Self, Failure> {
        let machine = match (&words.gears, &words.screw) {
            (Some(gears), Some(screw)) => Self::of_gears_and_screw(gears, screw)?,
            (gears, _) => Self::of_file(words.lathe.as_deref(), gears.as_deref())?,
        };
        let machine = match words.studs {
            Some(studs) => machine.with_studs(studs)?,
            None => machine,
        };
        Ok(Self { argument: argument(words), ..machine })
    }

    /// The lathe that stands in place of a file.
    pub(crate) fn given(open: OpenLathe, from: String, demo: bool) -> Self {
        let lathe = open.lathe.clone();
        Self { lathe, from, demo, stale: None, argument: String::new(), open: Some(open) }
    }

    /// The lathe of a file that is not there yet.
    pub(crate) fn of_new(open: OpenLathe) -> Self {
        Self {
            lathe: open.lathe.clone(),
            from: open.source.name.clone(),
            demo: false,
            stale: None,
            argument: String::new(),
            open: Some(open),
        }
    }

    fn of_gears_and_screw(gears: &OsStr, screw: &Typed<Lead>) -> Result<Self, Failure> {
        let set = files::gear_set(gears)?;
        let mut parts = Parts::plain(set.gears, screw.value);
        parts.name = format!("gears {} on a lead screw of {screw}", set.name);
        Ok(Self {
            lathe: Lathe::new(parts)?,
            from: "--gears and --screw; the driving gear turns as fast as the spindle".to_string(),
            demo: false,
            stale: None,
            argument: String::new(),
            open: None,
        })
    }

    fn of_file(lathe: Option<&OsStr>, gears: Option<&OsStr>) -> Result<Self, Failure> {
        let found = Surroundings::of_process().lathe(lathe);
        let (open, origin) = found?;
        let demo = origin == Origin::Demo;
        if demo && gears.is_some() {
            return Err(Failure::new("--gears: which lead screw do these gears drive?").with_hint(
                "--screw 8tpi or --screw 3mm beside it, or --lathe FILE for a lathe of your own",
            ));
        }
        let mut machine = Self {
            lathe: open.lathe.clone(),
            from: origin_in_words(&open, &origin),
            demo,
            stale: None,
            argument: String::new(),
            open: Some(open),
        };
        if let Some(gears) = gears {
            let set = files::gear_set(gears)?;
            machine.from =
                format!("{}, with the gears {} in place of its own", machine.from, set.name);
            machine.remake(|parts| parts.gears = set.gears)?;
        }
        Ok(machine)
    }

    fn with_studs(mut self, studs: u8) -> Result<Self, Failure> {
        self.remake(|parts| {
            parts.studs = studs;
            parts.studs_stated = true;
        })?;
        Ok(self)
    }

    fn remake(&mut self, change: impl FnOnce(&mut Parts)) -> Result<(), Failure> {
        let mut parts = self.lathe.parts().clone();
        change(&mut parts);
        self.lathe = Lathe::new(parts)?;
        Ok(())
    }

    /// The file that describes it, where there is one and nothing typed stands in place of a part.
    pub(crate) fn file(&self) -> Option<&OpenLathe> {
        self.open.as_ref().filter(|open| open.lathe.parts() == self.lathe.parts())
    }

    /// The file that says what is on it, beside its own.
    pub(crate) fn now_file(&self) -> Option<PathBuf> {
        self.open.as_ref()?.now_file()
    }

    /// What that file says.
    ///
    /// # Errors
    /// If it can't be read.
    pub(crate) fn recorded(&self) -> Result<Option<Fitted>, Failure> {
        self.open.as_ref().map_or(Ok(None), OpenLathe::recorded)
    }

    /// Whether it is known what a train feeds, not only what it cuts.
    pub(crate) fn has_feed(&self) -> bool {
        self.lathe.settings(Travel::LongFeed).is_ok()
    }

    /// Its name, or that it has none.
    pub(crate) fn name(&self) -> &str {
        match self.lathe.parts().name.as_str() {
            "" => "a lathe without a name",
            name => name,
        }
    }

    /// Which lathe it is.
    pub(crate) fn line(&self) -> Text {
        if let Some(demo) = self.demo_line() {
            return Text::new(Role::Warning, demo);
        }
        let name = Text::from("Lathe: ").and(Role::Strong, self.name());
        name.and(Role::Faint, format!(" ({})", self.from))
    }

    /// Which lathe it is, and what is on it where that is not the fitted set-up.
    pub(crate) fn lines(&self) -> Vec<Text> {
        let now = self.now_line().map(|now| Text::new(Role::Strong, now));
        let stale = self.stale.as_ref().map(|stale| Text::new(Role::Warning, stale.as_str()));
        std::iter::once(self.line()).chain(now).chain(stale).collect()
    }

    /// What is on it, where that is not the fitted set-up.
    fn now_line(&self) -> Option<String> {
        self.lathe.not_as_fitted().map(|now| format!("On it now: {}.", set_up(&self.lathe, now)))
    }

    /// What is said on stderr where the answer is for a program.
    pub(crate) fn asides(&self) -> Vec<String> {
        [self.demo_line(), self.now_line(), self.stale.clone()].into_iter().flatten().collect()
    }

    /// Its name without what follows a comma: `Dinghy`.
    fn short_name(&self) -> &str {
        self.name().split(',').next().unwrap_or_default()
    }

    /// Which lathe is used where none was given.
    pub(crate) fn demo_line(&self) -> Option<String> {
        self.demo.then(|| format!("Demo lathe: {}. {OWN}", self.short_name()))
    }

    /// That a lathe stands in, where its name is said elsewhere.
    pub(crate) fn demo_note(&self) -> Option<String> {
        self.demo.then(|| format!("This is a demo lathe. {OWN}."))
    }

    /// What names it in another command: ` --lathe tug`; empty where it is found without words.
    pub(crate) fn argument(&self) -> &str {
        &self.argument
    }

    /// An error about the lathe, with its place in the lathe's file.
    pub(crate) fn refused(&self, error: &solver::Error) -> Failure {
        let Some((open, path)) = self.open.as_ref().zip(keys::path(error)) else {
            return Failure::from(error);
        };
        let failure = Failure::new(format!("{}: {path}: {error}", open.locate(&path)));
        match keys::hint(error) {
            Some(hint) => failure.with_hint(hint),
            None => failure,
        }
    }
}

/// Where a lathe came from.
pub(crate) fn origin_in_words(open: &OpenLathe, origin: &Origin) -> String {
    let name = &open.source.name;
    match origin {
        Origin::Asked => name.clone(),
        Origin::Variable => format!("{name}, from the variable {}", files::VARIABLE),
        Origin::Folder => format!("{name} in this folder"),
        Origin::Configuration => format!("{name}, from the configuration folder"),
        Origin::Demo => "a demo lathe that comes with the program".to_string(),
    }
}

/// A set-up: `40-80+63-80, Range B, tumbler up`.
pub(crate) fn set_up(lathe: &Lathe, set_up: &Fitted) -> String {
    let at = |control| {
        let at = lathe.position_in(set_up, control)?;
        Some(format!(", {} {}", lathe.control_name(control), lathe.position_name(control, at)))
    };
    let set: String = lathe.controls().filter_map(at).collect();
    format!("{}{set}", set_up.train)
}

/// The words that name a machine, as they were typed.
fn argument(words: &args::Machine) -> String {
    let screw = words.screw.as_ref().map(|screw| screw.text.clone());
    let studs = words.studs.map(|studs| studs.to_string());
    let text = |word: &Option<OsString>| word.as_ref().map(|w| w.to_string_lossy().into_owned());
    let all = [
        ("--lathe", text(&words.lathe)),
        ("--gears", text(&words.gears)),
        ("--screw", screw),
        ("--studs", studs),
    ];
    let said = all.into_iter().filter_map(|(name, value)| Some((name, value?)));
    said.flat_map(|(name, value)| {
        [" ".to_owned(), name.to_owned(), " ".to_owned(), args::shell::word(&value)]
    })
    .collect()
}
