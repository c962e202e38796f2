//! Which thread of the tables is meant, and if none: which ones are near?

use super::figure;
use crate::thread::row::Size;
use crate::{Error, Ratio, Result, Series, Thread};
use std::fmt::Write;

/// The series written without a name: `1/2-13`.
const UNIFIED: [&str; 4] = ["unc", "unf", "unef", "un"];

/// A designation in its parts, each with its byte offset.
pub(super) struct Asked<'a> {
    /// All of it, as typed.
    pub(super) text: &'a str,
    /// The part that states the size, as typed: `M10`, `1/2`.
    pub(super) size_text: &'a str,
    /// The word for the series; none: Unified.
    pub(super) name: Option<&'static str>,
    pub(super) size: Size,
    pub(super) size_at: usize,
    /// Pitch in mm or TPI, as the series has it.
    pub(super) pitch: Option<(Ratio, usize)>,
}

impl Asked<'_> {
    /// The thread.
    ///
    /// # Errors
    /// A near miss, with the threads that exist.
    pub(super) fn thread(&self) -> Result<Thread> {
        let sized = self.of_size();
        if sized.is_empty() {
            return Err(self.no_such_size());
        }
        match self.pitch {
            Some((pitch, at)) => sized
                .iter()
                .find(|t| t.has_pitch(&pitch))
                .copied()
                .ok_or_else(|| self.no_such_pitch(&pitch, at)),
            None => match &sized[..] {
                [only] => Ok(*only),
                several => several
                    .iter()
                    .find(|t| t.goes_by_size())
                    .copied()
                    .ok_or_else(|| self.pitch_is_missing(several)),
            },
        }
    }

    fn series(&self) -> impl Iterator<Item = &'static Series> {
        named(self.name)
    }

    /// The threads of that size. A whole number that is no size in inches may be a numbered one:
    /// `10-32`.
    fn of_size(&self) -> Vec<Thread> {
        let with = |gauge| -> Vec<Thread> {
            let wanted = Size { gauge, ..self.size };
            self.series().flat_map(Series::threads).filter(|t| t.size() == wanted).collect()
        };
        let fits = |threads: &[Thread]| match self.pitch {
            Some((pitch, _)) => threads.iter().any(|t| t.has_pitch(&pitch)),
            None => !threads.is_empty(),
        };
        let as_typed = with(self.size.gauge);
        if self.size.gauge || fits(&as_typed) {
            return as_typed;
        }
        let numbered = with(true);
        if fits(&numbered) || as_typed.is_empty() { numbered } else { as_typed }
    }

    fn no_such_size(&self) -> Error {
        let mut sizes: Vec<Thread> = self.series().flat_map(Series::threads).collect();
        sizes.retain(|t| t.size().gauge == self.size.gauge);
        sizes.sort_by_key(|t| t.size().number);
        let below = sizes.iter().rev().find(|t| t.size().number < self.size.number);
        // Of several of one size the first is the usual one.
        let below = below.and_then(|last| sizes.iter().find(|t| t.size() == last.size()));
        let above = sizes.iter().find(|t| t.size().number > self.size.number);
        let near: Vec<_> = below.into_iter().chain(above).map(Thread::designation).collect();
        Error::syntax(self.size_at, format!("`{}` is not a size in the thread tables", self.text))
            .with_hint(format!("the nearest: {}; {}", near.join(", "), self.other_ways()))
    }

    /// How to ask for a thread outside the tables.
    fn other_ways(&self) -> String {
        let pitch = match self.pitch {
            Some((pitch, _)) => format!("`{} {}`", figure(&pitch), self.unit()),
            None => "`1.25 mm` or `20 tpi`".to_owned(),
        };
        let worm = match (self.name, self.size.number) {
            (Some("m"), Some(module)) => format!("; the worm is `module {}`", figure(&module)),
            _ => String::new(),
        };
        format!("for a pitch alone say {pitch}{worm}")
    }

    /// The unit of a pitch in these series.
    fn unit(&self) -> &'static str {
        if self.series().flat_map(Series::threads).any(|t| t.is_in_tpi()) { "tpi" } else { "mm" }
    }

    fn no_such_pitch(&self, pitch: &Ratio, at: usize) -> Error {
        let unit = self.unit();
        let mut hint = format!("{} comes with {}", self.size_text, self.pitches(unit));
        let elsewhere = self.elsewhere(pitch);
        if !elsewhere.is_empty() {
            let _ = write!(hint, "; there is {}", elsewhere.join(", "));
        }
        let _ = write!(hint, "; for any other pitch say `{} {unit}`", figure(pitch));
        Error::syntax(at, format!("`{}` is not in the thread tables", self.text)).with_hint(hint)
    }

    /// The pitches of this size: `1.5 (coarse), 1.25, 1 mm`.
    fn pitches(&self, unit: &str) -> String {
        let unified = self.name.is_none_or(|name| UNIFIED.contains(&name));
        let wide = Self { name: self.name.filter(|_| !unified), pitch: None, ..*self };
        let mut sized = wide.of_size();
        // A pitch of a named series is in the constant-pitch one too: once is enough.
        let all = sized.clone();
        sized.retain(|t| all.iter().find(|u| u.pitch() == t.pitch()) == Some(t));
        let list: Vec<_> =
            sized.iter().map(|t| format!("{}{}", as_said(*t), label(*t, unified))).collect();
        format!("{} {unit}", list.join(", "))
    }

    /// Threads of other series with this size and pitch, both in the same unit.
    fn elsewhere(&self, pitch: &Ratio) -> Vec<&'static str> {
        let tpi = self.unit() == "tpi";
        let alike = |t: Thread| {
            t.is_in_tpi() == tpi && (tpi || t.diameter().map(|d| d.mm()) == self.size.number)
        };
        Series::all()
            .iter()
            .filter(|series| !self.series().any(|own| own == **series))
            .flat_map(|series| series.threads())
            .filter(|t| t.size() == self.size && t.has_pitch(pitch) && alike(*t))
            .map(|t| t.designation())
            .take(4)
            .collect()
    }

    fn pitch_is_missing(&self, several: &[Thread]) -> Error {
        let list: Vec<_> = several.iter().map(Thread::designation).collect();
        Error::syntax(self.size_at, format!("`{}`: which pitch?", self.text))
            .with_hint(list.join(", "))
    }
}

/// The series of a word; none: Unified.
fn named(name: Option<&'static str>) -> impl Iterator<Item = &'static Series> {
    Series::all().iter().copied().filter(move |series| match name {
        Some(name) => series.said().contains(&name),
        None => UNIFIED.contains(&series.key()),
    })
}

/// A pitch as written: in TPI or mm.
fn as_said(thread: Thread) -> String {
    let pitch = thread.pitch();
    match pitch.tpi() {
        Ok(tpi) if thread.is_in_tpi() => figure(&tpi),
        _ => figure(&pitch.mm()),
    }
}

/// The one of several series with this pitch.
fn label(thread: Thread, unified: bool) -> String {
    match thread.series().key() {
        "metric-coarse" => " (coarse)".to_owned(),
        key if unified => format!(" ({})", key.to_uppercase()),
        _ => String::new(),
    }
}
