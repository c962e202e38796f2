//! The reading of a target, left to right: what is named, then hand, starts and feed direction in
//! any order. Every error says at which byte.

use super::lookup::Asked;
use super::{Said, Target, Unit, figure};
use crate::thread::row::Size;
use crate::{Error, Hand, Ratio, Result, Series, Thread, Travel, bounds};
use std::fmt::Write;

/// Longest target, in bytes: far above any that a person says.
const LONGEST: usize = 200;
const EXAMPLES: &str =
    "`M10x1.25`, `1/2-13 UNC`, `1.25 mm`, `20 tpi`, `module 1.5` or `0.1 mm/rev`";

/// Reads a whole target.
pub(super) fn target(text: &str) -> Result<Target> {
    if text.len() > LONGEST {
        let at = text.floor_char_boundary(LONGEST);
        return Err(Error::syntax(at, format!("a target has at most {LONGEST} characters"))
            .with_hint(EXAMPLES));
    }
    let mut reader = Reader { text, at: 0 };
    let subject = reader.subject()?;
    let extras = reader.extras(&subject)?;
    assemble(text, &subject, &extras)
}

/// What is named, before hand, starts and direction.
struct Subject {
    said: Said,
    feed: bool,
    /// Starts that the designation implies: `Tr40x14 (P7)`.
    starts: Option<u8>,
    /// The figure is the lead, not the pitch: `3 mm lead 2 starts`.
    is_lead: bool,
}

impl Subject {
    const fn new(said: Said) -> Self {
        Self { said, feed: false, starts: None, is_lead: false }
    }
}

/// What may follow, each with where it was said.
#[derive(Default)]
struct Extras {
    hand: Option<(Hand, usize)>,
    starts: Option<(u8, usize)>,
    travel: Option<(Travel, usize)>,
}

fn assemble(text: &str, subject: &Subject, extras: &Extras) -> Result<Target> {
    let travel = travel_of(subject, extras)?;
    let named = match subject.said {
        Said::Thread(thread) => thread.starts(),
        Said::Figure(..) => 1,
    };
    let starts = match (subject.starts, extras.starts) {
        (Some(_), Some((_, at))) => {
            return Err(Error::syntax(at, "the lead and pitch say the starts already"));
        }
        (said, later) => said.or(later.map(|(starts, _)| starts)).unwrap_or(named),
    };
    let count = Ratio::whole(starts.into())?;
    let said = match subject.said {
        Said::Figure(number, Unit::Tpi) if subject.is_lead => {
            Said::Figure(number.times(&count)?, Unit::Tpi)
        }
        Said::Figure(number, unit) if subject.is_lead => Said::Figure(number.over(&count)?, unit),
        said => said,
    };
    let pitch = said.pitch()?.checked_as_target()?;
    let lead = pitch.times(&count)?.checked_as_target()?;
    let hand = extras.hand.map(|(hand, _)| hand);
    Ok(Target { text: text.trim().to_owned(), said, pitch, lead, starts, hand, travel })
}

fn travel_of(subject: &Subject, extras: &Extras) -> Result<Travel> {
    if !subject.feed {
        return match extras.travel {
            None => Ok(Travel::Thread),
            Some((_, at)) => Err(Error::syntax(at, "only a feed goes along or across")
                .with_hint("a feed is travel per turn: `0.1 mm/rev cross`")),
        };
    }
    if let Some((_, at)) = extras.hand {
        return Err(Error::syntax(at, "a feed has no hand")
            .with_hint("`0.1 mm/rev`, or for a thread `0.1 mm LH`"));
    }
    if let Some((_, at)) = extras.starts {
        return Err(Error::syntax(at, "a feed has no starts"));
    }
    Ok(extras.travel.map_or(Travel::LongFeed, |(travel, _)| travel))
}

/// Where the reading has got to.
struct Reader<'a> {
    text: &'a str,
    at: usize,
}

// Characters and words.
impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    /// Skips spaces; whether there were any.
    fn skip(&mut self) -> bool {
        let trimmed = self.rest().trim_start();
        let start = self.at;
        self.at = self.text.len() - trimmed.len();
        self.at > start
    }

    fn eat(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        match self.peek() {
            Some(c) if wanted(c) => {
                self.at += c.len_utf8();
                true
            }
            _ => false,
        }
    }

    /// The word at this place, as typed.
    fn word(&self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
        &rest[..end]
    }

    /// The rest up to a space, cut to what an error can quote.
    fn quoted(&self) -> String {
        self.rest().split_whitespace().next().unwrap_or("").chars().take(24).collect()
    }

    /// Eats a phrase in any case: a space in it stands for spaces, a hyphen or nothing; `x` also
    /// for the sign. A phrase that ends in a letter must end a word, one that ends in a digit a
    /// number.
    fn eat_phrase(&mut self, phrase: &str) -> bool {
        let start = self.at;
        let all = phrase.chars().all(|wanted| match wanted {
            ' ' => {
                self.skip();
                self.eat(|c| c == '-');
                self.skip();
                true
            }
            'x' => self.eat(is_times),
            _ => self.eat(|c| c.eq_ignore_ascii_case(&wanted)),
        });
        let last = phrase.chars().next_back().unwrap_or(' ');
        let goes_on = self.peek().is_some_and(|c| {
            if last.is_alphabetic() { c.is_alphabetic() } else { c.is_ascii_digit() || c == '.' }
        });
        if all && !goes_on {
            return true;
        }
        self.at = start;
        false
    }

    /// Eats the first of these phrases that is there.
    fn eat_any<T: Copy>(&mut self, phrases: &[(&str, T)]) -> Option<T> {
        phrases.iter().find(|(phrase, _)| self.eat_phrase(phrase)).map(|(_, value)| *value)
    }

    fn number(&mut self) -> Result<Ratio> {
        let (number, used) = Ratio::read(self.rest()).map_err(|e| e.shifted(self.at))?;
        self.at += used;
        Ok(number)
    }

    fn starts_number(&self) -> bool {
        self.peek().is_some_and(|c| c.is_ascii_digit() || c == '.')
    }

    /// An error here, with what was found.
    fn unknown(&self) -> Error {
        Error::syntax(self.at, format!("`{}` is not understood", self.quoted()))
    }
}

const fn is_times(c: char) -> bool {
    matches!(c, 'x' | 'X' | '×' | '*')
}

// What is named.
impl Reader<'_> {
    fn subject(&mut self) -> Result<Subject> {
        self.skip();
        let at = self.at;
        if self.rest().is_empty() {
            return Err(Error::syntax(at, "a thread or feed is missing").with_hint(EXAMPLES));
        }
        if let Some(thread) = self.thread_by_full_name() {
            return Ok(Subject::new(Said::Thread(thread)));
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

    /// Threads that are known by a name of their own: `C-mount`, `RMS`.
    fn thread_by_full_name(&mut self) -> Option<Thread> {
        let mut named = Series::all()
            .iter()
            .flat_map(|series| series.threads())
            .filter(|t| t.series().said().is_empty() || t.also().is_some());
        named.find(|t| {
            self.eat_phrase(t.designation()) || t.also().is_some_and(|name| self.eat_phrase(name))
        })
    }

    /// The longest word for a series that stands here.
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
            return Ok(Subject::new(Said::Figure(self.number()?, unit)));
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
            return self.measure(figure_of(size, start)?, unit);
        }
        let pitch = self.pitch_part()?;
        self.skip();
        let name = self.series_name();
        if let Some(unit) = name.and_then(worm_unit)
            && pitch.is_none()
        {
            return Ok(Subject::new(Said::Figure(figure_of(size, start)?, unit)));
        }
        if name.is_none() && pitch.is_none() {
            return Err(self.nothing_after(size, size_text, start));
        }
        self.designated(start, size_text, name, (size, start), pitch, None)
    }

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
        let mut subject = Subject::new(Said::Thread(thread));
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

    /// `x1.25`, `-13`, `x Ph14`: a pitch (or lead) that follows a size, and where it stands.
    fn pitch_part(&mut self) -> Result<Option<(Ratio, usize)>> {
        let start = self.at;
        self.skip();
        let sign = self.at;
        if !self.eat(|c| c == '-' || is_times(c)) {
            self.at = start;
            return Ok(None);
        }
        self.skip();
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

    fn unit(&mut self) -> Option<Unit> {
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
        ]);
        if unit.is_none() {
            self.at = start;
        }
        unit
    }

    /// After a figure and its unit: `/rev`, `pitch` or `lead`.
    fn measure(&mut self, number: Ratio, unit: Unit) -> Result<Subject> {
        let mut subject = Subject::new(Said::Figure(number, unit));
        self.skip();
        let slash = self.at;
        if self.eat(|c| c == '/') || self.eat_phrase("per") {
            self.skip();
            let turn = [("rev", ()), ("revolution", ()), ("turn", ()), ("r", ())];
            if self.eat_any(&turn).is_none() {
                return Err(self.unknown().with_hint("a feed is per turn: `0.1 mm/rev`"));
            }
            if unit == Unit::Tpi {
                return Err(Error::syntax(slash, "a feed is so much per turn, not TPI")
                    .with_hint("`0.1 mm/rev` or `0.004 in/rev`"));
            }
            subject.feed = true;
        } else {
            subject.is_lead = self.eat_any(&[("lead", true), ("pitch", false)]).unwrap_or(false);
        }
        Ok(subject)
    }

    /// A number that nothing known follows.
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
        Ok(pitch) => format!(" (= {} mm)", figure(&pitch.mm())),
        Err(_) => String::new(),
    };
    let mut hint = format!(
        "`{text} mm`, `{text} tpi`{} or `{text} in`{}",
        in_mm(Unit::Tpi),
        in_mm(Unit::Inch)
    );
    if !number.is_whole() {
        let _ =
            write!(hint, "; for a size name its series: `{text} UNC`, `{text} BSW`, `G {text}`");
    }
    Error::syntax(start, format!("`{text}` has no unit: what does it count?")).with_hint(hint)
}

fn zero(at: usize) -> Error {
    Error::syntax(at, "the number is 0").with_hint("a number over 0")
}

fn figure_of(size: Size, at: usize) -> Result<Ratio> {
    size.number.ok_or_else(|| zero(at))
}

fn either_thread_or_module(size: Size, at: usize) -> Error {
    let size = size.number.map_or_else(|| "0".to_owned(), |n| figure(&n));
    Error::syntax(at, format!("`m {size}` can be a thread or a worm"))
        .with_hint(format!("`M{size}` is the metric thread, `module {size}` the worm"))
}

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

fn checked_starts(number: &Ratio, at: usize) -> Result<u8> {
    if !number.is_whole() {
        return Err(Error::syntax(at, "starts are a whole number").with_hint("`2 starts`"));
    }
    let count = u64::try_from(number.numer()).unwrap_or(u64::MAX);
    let count = bounds::STARTS.check(count).map_err(|e| Error::syntax(at, e.to_string()))?;
    u8::try_from(count).map_err(|_| Error::too_large("the number of starts"))
}

/// `Tr40x14` without its pitch: says how several starts are written.
fn several_starts_hint(error: Error, asked: &Asked<'_>, own: Option<(Ratio, usize)>) -> Error {
    if asked.name != Some("tr") || own.is_some() {
        return error;
    }
    let hint = error.hint().unwrap_or("").to_owned();
    error.with_hint(format!("{hint}; several starts: `Tr 40x14 (P7)`, lead then pitch"))
}

/// `6g`, `2A`: a tolerance class.
fn is_class(text: &str) -> bool {
    let mut chars = text.chars();
    chars.next().is_some_and(|c| c.is_ascii_digit())
        && chars.next().is_some_and(|c| "abefgh".contains(c.to_ascii_lowercase()))
        && !chars.next().is_some_and(char::is_alphabetic)
}

fn class_hint(at: usize, class: &str) -> Error {
    let class: String = class.chars().take(2).collect();
    Error::syntax(at, format!("a tolerance class (`{class}`) does not change the lead"))
        .with_hint("leave it out")
}

const HANDS: &[(&str, Hand)] = &[
    ("lh", Hand::Left),
    ("rh", Hand::Right),
    ("left handed", Hand::Left),
    ("right handed", Hand::Right),
    ("left hand", Hand::Left),
    ("right hand", Hand::Right),
    ("left", Hand::Left),
    ("right", Hand::Right),
];

const DIRECTIONS: &[(&str, Travel)] = &[
    ("cross feed", Travel::CrossFeed),
    ("cross", Travel::CrossFeed),
    ("long feed", Travel::LongFeed),
    ("long", Travel::LongFeed),
];

const STARTS_IN_WORDS: &[(&str, u8)] = &[
    ("single", 1),
    ("two", 2),
    ("twin", 2),
    ("double", 2),
    ("three", 3),
    ("triple", 3),
    ("four", 4),
    ("six", 6),
];

fn is_extra(word: &str) -> bool {
    let word = word.to_ascii_lowercase();
    let first = |phrase: &str| phrase.split(' ').next() == Some(&word[..]);
    HANDS.iter().any(|(p, _)| first(p))
        || DIRECTIONS.iter().any(|(p, _)| first(p))
        || STARTS_IN_WORDS.iter().any(|(p, _)| first(p))
}

// What may follow.
impl Reader<'_> {
    fn extras(&mut self, subject: &Subject) -> Result<Extras> {
        let mut extras = Extras::default();
        loop {
            self.skip();
            let at = self.at;
            if self.rest().is_empty() {
                return Ok(extras);
            }
            if let Some(hand) = self.eat_any(HANDS) {
                once(&mut extras.hand, (hand, at), "the hand")?;
            } else if let Some(travel) = self.eat_any(DIRECTIONS) {
                once(&mut extras.travel, (travel, at), "the direction")?;
            } else if let Some(starts) = self.starts()? {
                once(&mut extras.starts, (starts, at), "the number of starts")?;
            } else if !(subject.said.is_worm() && self.eat_phrase("worm")) {
                return Err(self.leftover());
            }
        }
    }

    /// `2 starts`, `x 2-start`, `two-start`.
    fn starts(&mut self) -> Result<Option<u8>> {
        let start = self.at;
        if let Some(count) = self.eat_any(STARTS_IN_WORDS) {
            if self.eat_start_word() {
                return Ok(Some(count));
            }
            self.at = start;
            return Ok(None);
        }
        self.eat(is_times);
        self.skip();
        let at = self.at;
        if self.starts_number()
            && let Ok(number) = self.number()
            && self.eat_start_word()
        {
            return checked_starts(&number, at).map(Some);
        }
        self.at = start;
        Ok(None)
    }

    fn eat_start_word(&mut self) -> bool {
        self.eat_any(&[(" starts", ()), (" start", ())]).is_some()
    }

    fn leftover(&self) -> Error {
        let rest = self.rest();
        let after_hyphen = rest.strip_prefix('-').map(str::trim_start);
        if let Some(class) = after_hyphen.filter(|class| is_class(class)) {
            return class_hint(self.at, class);
        }
        self.unknown().with_hint(
            "after it may stand `LH` or `RH`, `2 starts`; after a feed `cross` or `long`",
        )
    }
}

fn once<T>(place: &mut Option<(T, usize)>, value: (T, usize), what: &str) -> Result<()> {
    if place.is_some() {
        return Err(Error::syntax(value.1, format!("{what} is said twice")));
    }
    *place = Some(value);
    Ok(())
}
