//! Which thread (`M10x1.25`, `1/2-13 UNC`, `2BA`) or figure with unit (`11 1/2 tpi`, `module 1.5`,
//! `0.1 mm/rev`) is named?

use super::extras::{checked_starts, class_hint, is_class, is_extra};
use super::lookup::Asked;
use super::reader::{Reader, is_times};
use super::{Said, Target, Unit, figure};
use crate::thread::row::Size;
use crate::{Error, Lead, Ratio, Result, Series, Thread, thread};
use std::fmt::Write;

pub(super) const EXAMPLES: &str =
    "`M10x1.25`, `1/2-13 UNC`, `1.25 mm`, `20 tpi`, `module 1.5` or `0.1 mm/rev`";

/// The thread or figure, before hand, starts and direction.
pub(super) struct Subject {
    pub(super) said: Said,
    /// Its place in the text.
    pub(super) at: usize,
    pub(super) feed: bool,
    /// Starts that the designation implies: `Tr40x14 (P7)`.
    pub(super) starts: Option<u8>,
    /// The figure is the lead, not the pitch: `3 mm lead 2 starts`.
    pub(super) is_lead: bool,
}

impl Subject {
    const fn new(said: Said, at: usize) -> Self {
        Self { said, at, feed: false, starts: None, is_lead: false }
    }
}

impl Reader<'_> {
    /// Reads the thread or figure.
    pub(super) fn subject(&mut self) -> Result<Subject> {
        self.skip();
        let at = self.at;
        if self.rest().is_empty() {
            return Err(Error::syntax(at, "a thread or feed is missing").with_hint(EXAMPLES));
        }
        if let Some(thread) = self.thread_by_full_name() {
            return Ok(Subject::new(Said::Thread(thread), at));
        }
        if let Some(name) = self.series_name() {
            return self.after_name(name, at);
        }
        if self.starts_number() || matches!(self.peek(), Some('#' | '-' | '+')) {
            return self.after_number(at);
        }
        Err(Error::syntax(at, format!("`{}` is not a thread, pitch or feed", self.quoted()))
            .with_hint(EXAMPLES))
    }

    /// Threads with a name of their own: `C-mount`, `RMS`.
    fn thread_by_full_name(&mut self) -> Option<Thread> {
        let mut named = Series::all()
            .iter()
            .flat_map(|series| series.threads())
            .filter(|t| t.series().said().is_empty() || t.also().is_some());
        named.find(|t| {
            self.eat_phrase(t.designation()) || t.also().is_some_and(|name| self.eat_phrase(name))
        })
    }

    /// The longest series name that comes next.
    fn series_name(&mut self) -> Option<&'static str> {
        let start = self.at;
        let mut best: Option<(&'static str, usize)> = None;
        for name in Series::all().iter().flat_map(|series| series.said()) {
            if self.eat_phrase(name) && best.is_none_or(|(_, end)| self.at > end) {
                best = Some((name, self.at));
            }
            self.at = start;
        }
        let (name, end) = best?;
        self.at = end;
        Some(name)
    }

    /// `M10x1.25`, `G 1/2`, `Acme 3/4-6`, `module 1.5`.
    fn after_name(&mut self, name: &'static str, start: usize) -> Result<Subject> {
        let spaced = self.skip();
        let size_at = self.at;
        if !self.starts_number() && self.peek() != Some('#') {
            return Err(Error::syntax(self.at, "a size must follow").with_hint(sizes_of(name)));
        }
        if let Some(unit) = worm_unit(name) {
            return Ok(Subject::new(Said::Figure(self.number()?, unit), start));
        }
        let size = self.size()?;
        let size_text = &self.text[start..self.at];
        let pitch = self.pitch_part()?;
        if name == "m" && spaced && pitch.is_none() {
            return Err(either_thread_or_module(size, start));
        }
        let own_pitch = self.pitch_of_several()?;
        self.designated(start, size_text, Some(name), (size, size_at), pitch, own_pitch)
    }

    /// `1.25 mm`, `1/2-13 UNC`, `2BA`, `20 DP`, `#10-32`.
    fn after_number(&mut self, start: usize) -> Result<Subject> {
        let size = self.size()?;
        let size_text = &self.text[start..self.at];
        if !size.gauge
            && let Some(unit) = self.unit()
        {
            return self.measure(figure_of(size, start)?, unit, start);
        }
        let pitch = self.pitch_part()?;
        self.skip();
        let name = self.series_name();
        if let Some(unit) = name.and_then(worm_unit)
            && pitch.is_none()
        {
            return Ok(Subject::new(Said::Figure(figure_of(size, start)?, unit), start));
        }
        if name.is_none() && pitch.is_none() {
            return Err(self.nothing_after(size, size_text, start));
        }
        self.designated(start, size_text, name, (size, start), pitch, None)
    }

    /// Looks the thread up.
    fn designated(
        &self,
        start: usize,
        size_text: &str,
        name: Option<&'static str>,
        (size, size_at): (Size, usize),
        pitch: Option<(Ratio, usize)>,
        own_pitch: Option<(Ratio, usize)>,
    ) -> Result<Subject> {
        let text = self.text[start..self.at].trim();
        let asked = Asked { text, size_text, name, size, size_at, pitch: own_pitch.or(pitch) };
        let thread = asked.thread().map_err(|e| several_starts_hint(e, &asked, own_pitch))?;
        let mut subject = Subject::new(Said::Thread(thread), start);
        if let (Some((lead, at)), Some((pitch, _))) = (pitch, own_pitch) {
            subject.starts = Some(starts_between(&lead, &pitch, at)?);
        }
        Ok(subject)
    }

    /// A size, which unlike other numbers may be 0.
    fn size(&mut self) -> Result<Size> {
        let gauge = self.eat(|c| c == '#');
        let mut rest = self.rest().chars();
        let goes_on = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
        if rest.next() == Some('0') && !rest.next().is_some_and(goes_on) {
            self.at += 1;
            return Ok(Size { number: None, gauge });
        }
        Ok(Size { number: Some(self.number()?), gauge })
    }

    /// `x1.25`, `-13`, `x Ph14`: a pitch (or lead) after a size, and its place.
    fn pitch_part(&mut self) -> Result<Option<(Ratio, usize)>> {
        let start = self.at;
        self.skip();
        let sign = self.at;
        if !self.eat(|c| c == '-' || is_times(c)) {
            self.at = start;
            return Ok(None);
        }
        let hyphen = self.text[sign..].starts_with('-');
        self.skip();
        if hyphen && is_extra(self.word()) {
            // `M10-LH`
            self.at = start;
            return Ok(None);
        }
        if is_class(self.rest()) {
            return Err(class_hint(sign, self.rest()));
        }
        if self.rest().get(..2).is_some_and(|ph| ph.eq_ignore_ascii_case("ph")) {
            self.at += 2;
            self.skip();
        }
        let at = self.at;
        let number = self.number()?;
        self.skip();
        if self.eat_start_word() {
            // `M10 x 2 starts`
            self.at = start;
            return Ok(None);
        }
        Ok(Some((number, at)))
    }

    /// `(P7)` or `P7`: the pitch where the figure before it was the lead.
    fn pitch_of_several(&mut self) -> Result<Option<(Ratio, usize)>> {
        let start = self.at;
        self.skip();
        let open = self.eat(|c| c == '(');
        self.skip();
        if !self.eat(|c| c.eq_ignore_ascii_case(&'p')) {
            if open {
                return Err(Error::syntax(self.at, "`P` and the pitch must follow")
                    .with_hint("`Tr 40x14 (P7)`"));
            }
            self.at = start;
            return Ok(None);
        }
        self.skip();
        let at = self.at;
        let pitch = self.number()?;
        self.skip();
        if open && !self.eat(|c| c == ')') {
            return Err(Error::syntax(self.at, "`)` is missing").with_hint("`Tr 40x14 (P7)`"));
        }
        Ok(Some((pitch, at)))
    }

    /// A unit of length, or TPI.
    pub(super) fn unit(&mut self) -> Option<Unit> {
        let start = self.at;
        self.skip();
        let unit = self.eat_any(&[
            ("\"", Unit::Inch),
            ("″", Unit::Inch),
            ("mm", Unit::Mm),
            ("in", Unit::Inch),
            ("inch", Unit::Inch),
            ("inches", Unit::Inch),
            ("tpi", Unit::Tpi),
            ("threads per inch", Unit::Tpi),
            ("threads/inch", Unit::Tpi),
            ("threads/in", Unit::Tpi),
            ("threads", Unit::Tpi),
        ]);
        if unit.is_none() {
            self.at = start;
        }
        unit
    }

    /// After a figure and its unit: `/rev`, `pitch` or `lead`.
    fn measure(&mut self, number: Ratio, unit: Unit, start: usize) -> Result<Subject> {
        let mut subject = Subject::new(Said::Figure(number, unit), start);
        self.skip();
        let slash = self.at;
        if self.eat(|c| c == '/') || self.eat_phrase("per") {
            self.skip();
            let turn = [("rev", ()), ("revolution", ()), ("turn", ()), ("r", ())];
            if self.eat_any(&turn).is_none() {
                return Err(self.unknown().with_hint("a feed is per turn: `0.1 mm/rev`"));
            }
            if unit == Unit::Tpi {
                return Err(Error::syntax(slash, "a feed is travel per turn, not TPI")
                    .with_hint("`0.1 mm/rev` or `0.004 in/rev`"));
            }
            subject.feed = true;
        } else {
            subject.is_lead = self.eat_any(&[("lead", true), ("pitch", false)]).unwrap_or(false);
        }
        Ok(subject)
    }

    /// A number without a known unit after it.
    fn nothing_after(&self, size: Size, text: &str, start: usize) -> Error {
        let word = self.word();
        if !word.is_empty() && !is_extra(word) {
            return Error::syntax(self.at, format!("`{word}` is not a unit or a thread series"))
                .with_hint("`mm`, `in`, `tpi`, `mm/rev`, or a series such as UNC, BSW, BA, NPT");
        }
        let text = text.trim();
        if size.gauge {
            return Error::syntax(self.at, format!("`{text}`: a pitch or series must follow"))
                .with_hint("`#10-32` or `#10 UNF`");
        }
        match size.number {
            None => zero(start),
            Some(number) => bare_number(text, &number, start),
        }
    }
}

/// What a number without a unit may mean.
fn bare_number(text: &str, number: &Ratio, start: usize) -> Error {
    let in_mm = |unit: Unit| match unit.pitch(*number) {
        Ok(pitch) => format!(" ({})", in_mm(&pitch)),
        Err(_) => String::new(),
    };
    let mut hint = format!(
        "`{text} mm`, `{text} tpi`{} or `{text} in`{}",
        in_mm(Unit::Tpi),
        in_mm(Unit::Inch)
    );
    let metric = format!("M{text}");
    if text.contains('/') {
        let sizes = [format!("{text} UNC"), format!("{text} BSW"), format!("G {text}")];
        for size in sizes.iter().filter(|size| size.parse::<Target>().is_ok()) {
            let _ = write!(hint, ", or a size: `{size}`");
        }
    } else if thread::all().any(|t| t.designation() == metric) {
        let _ = write!(hint, "; the thread is `{metric}`");
    }
    Error::syntax(start, format!("`{text}` has no unit: what does it count?")).with_hint(hint)
}

/// `= 12.7 mm`, or `about 2.2087 mm` where no decimal is exact.
fn in_mm(pitch: &Lead) -> String {
    let exact = figure(&pitch.mm());
    if exact.contains('/') {
        format!("about {:.4} mm", pitch.to_f64())
    } else {
        format!("= {exact} mm")
    }
}

/// The error for the number 0.
fn zero(at: usize) -> Error {
    Error::syntax(at, "the number is 0").with_hint("a number over 0")
}

/// The number of a size that is a figure after all.
fn figure_of(size: Size, at: usize) -> Result<Ratio> {
    size.number.ok_or_else(|| zero(at))
}

/// `m 1.5` with the space is a module, without it a metric thread.
fn either_thread_or_module(size: Size, at: usize) -> Error {
    let size = size.number.map_or_else(|| "0".to_owned(), |n| figure(&n));
    Error::syntax(at, format!("`m {size}` can be a thread or a worm"))
        .with_hint(format!("`M{size}` is a metric thread, `module {size}` a worm"))
}

/// Two examples of a series.
fn sizes_of(name: &str) -> String {
    let own = |series: &&&Series| series.said().contains(&name);
    let examples: Vec<_> = Series::all()
        .iter()
        .filter(own)
        .flat_map(|series| series.threads().skip(10).take(1).chain(series.threads().take(1)))
        .map(|t| format!("`{}`", t.designation()))
        .take(2)
        .collect();
    format!("such as {}", examples.join(" or "))
}

/// The words for worms.
fn worm_unit(name: &str) -> Option<Unit> {
    match name {
        "module" | "mod" => Some(Unit::Module),
        "dp" => Some(Unit::Dp),
        _ => None,
    }
}

/// Starts of a thread with this lead and pitch.
fn starts_between(lead: &Ratio, pitch: &Ratio, at: usize) -> Result<u8> {
    let starts = lead.over(pitch)?;
    if !starts.is_whole() {
        let (lead, pitch) = (figure(lead), figure(pitch));
        return Err(Error::syntax(at, format!("a lead of {lead} is no multiple of P{pitch}"))
            .with_hint("lead = pitch x starts: `Tr 40x14 (P7)` has two starts"));
    }
    checked_starts(&starts, at)
}

/// `Tr40x14` without its pitch: says how several starts are written.
fn several_starts_hint(error: Error, asked: &Asked<'_>, own: Option<(Ratio, usize)>) -> Error {
    if asked.name != Some("tr") || own.is_some() {
        return error;
    }
    let hint = error.hint().unwrap_or("").to_owned();
    error.with_hint(format!("{hint}; several starts: `Tr 40x14 (P7)`, lead then pitch"))
}
