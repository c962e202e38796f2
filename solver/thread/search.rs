//! Which threads match some words: `m10`, `19 tpi`, `unf`, `1.0..1.1 mm`, `10 mm 1.5 mm`?
//!
//! A word names a series or is part of a designation. A number without a unit is a size. A number
//! with a unit is a pitch (with `dia` a diameter; the first of two lengths is the diameter). A
//! thread must match everything; with a measured diameter and pitch, nearest first.

use super::near::{nearest_by_diameter, nearest_of};
use super::row::Size;
use super::{Series, Thread, all};
use crate::{Error, Lead, Length, Ratio, Result};

/// Threads that match.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Listing {
    /// The threads.
    pub threads: Vec<Thread>,
    /// Whether they are ordered by distance from the measures (see [`near`](fn@super::near)),
    /// nearest first. Otherwise everything matches, in the order of the tables; for a range of
    /// pitches the finest first.
    pub nearest_first: bool,
}

/// Searches all series; no words: everything.
///
/// ```
/// use solver::thread::search;
/// let found = search("unf 20 tpi")?;
/// assert_eq!(found.threads[0].designation(), "7/16-20 UNF");
/// let found = search("9.9 mm 1.5 mm")?; // diameter and pitch of an unknown thread
/// assert!(found.nearest_first);
/// assert_eq!(found.threads[0].designation(), "M10");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a word names nothing, a number can't be read, or there are more than two measures.
pub fn search(words: &str) -> Result<Listing> {
    let mut reader = Reader { text: words, at: 0 };
    let mut query = Query::default();
    while reader.skip() {
        reader.item(&mut query)?;
    }
    query.threads()
}

/// The words, as read.
#[derive(Default)]
struct Query {
    words: Vec<String>,
    sizes: Vec<Size>,
    /// Numbers after a size: `1.25` of `m10x1.25`, `13` of `1/2-13`.
    pitches: Vec<Ratio>,
    starts: Vec<Ratio>,
    measures: Vec<Measure>,
}

/// A figure with its unit, or two: everything between.
struct Measure {
    low: Lead,
    high: Lead,
    kind: Kind,
    at: usize,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// Marked as a diameter.
    Diameter,
    /// In TPI: a pitch.
    Pitch,
    /// A length: a pitch, or the diameter before one.
    Length,
}

impl Measure {
    fn is_point(&self) -> bool {
        self.low == self.high
    }

    fn holds(&self, value: &Lead) -> bool {
        self.low <= *value && *value <= self.high
    }
}

impl Query {
    fn threads(self) -> Result<Listing> {
        let (diameter, pitch) = self.measured()?;
        let ranged = |measure: Option<&Measure>, value: Option<Lead>| {
            measure.is_none_or(|m| m.is_point() || value.is_some_and(|v| m.holds(&v)))
        };
        let mut kept: Vec<Thread> = all()
            .filter(|t| self.names(*t))
            .filter(|t| ranged(diameter, t.diameter().map(Lead::new)))
            .filter(|t| ranged(pitch, Some(t.pitch())))
            .collect();
        if pitch.is_some_and(|m| !m.is_point()) {
            kept.sort_by_key(Thread::pitch);
        }
        let point = |m: Option<&Measure>| m.filter(|m| m.is_point()).map(|m| m.low);
        Ok(ordered(kept, point(diameter), point(pitch)))
    }

    /// Whether the thread is one of the named ones.
    fn names(&self, thread: Thread) -> bool {
        self.words.iter().all(|word| is_called(thread, word))
            && self.sizes.iter().all(|size| has_size(thread, *size))
            && self.pitches.iter().all(|pitch| thread.has_pitch(pitch))
            && self.starts.iter().all(|starts| Ratio::whole(thread.starts().into()) == Ok(*starts))
    }

    /// Diameter and pitch.
    fn measured(&self) -> Result<(Option<&Measure>, Option<&Measure>)> {
        let of = |kind| self.measures.iter().filter(move |m| m.kind == kind);
        let mut diameters: Vec<_> = of(Kind::Diameter).collect();
        let mut pitches: Vec<_> = of(Kind::Pitch).collect();
        let lengths: Vec<_> = of(Kind::Length).collect();
        match &lengths[..] {
            [] => {}
            [one] if pitches.is_empty() => pitches.push(one),
            [first, rest @ ..] => {
                diameters.push(first);
                pitches.extend(rest);
            }
        }
        let extra = diameters.get(1).or(pitches.get(1));
        match extra {
            Some(extra) => Err(Error::syntax(extra.at, "one diameter and one pitch are enough")
                .with_hint("`10 mm 1.5 mm`, `1.0..1.1 mm` or `0.5 in dia 20 tpi`")),
            None => Ok((diameters.first().copied(), pitches.first().copied())),
        }
    }
}

/// The threads that exactly match the one given figure, else nearest first.
fn ordered(kept: Vec<Thread>, diameter: Option<Lead>, pitch: Option<Lead>) -> Listing {
    let exact: Vec<Thread> = kept
        .iter()
        .filter(|t| pitch.is_none_or(|p| t.pitch() == p))
        .filter(|t| diameter.is_none_or(|d| t.diameter().map(Lead::new) == Some(d)))
        .copied()
        .collect();
    let both = diameter.is_some() && pitch.is_some();
    if !both && (!exact.is_empty() || kept.is_empty()) {
        return Listing { threads: exact, nearest_first: false };
    }
    let across = diameter.map(|d| Length::from_mm(d.mm()));
    let threads = match (across, pitch) {
        (across, Some(pitch)) => nearest_of(kept.into_iter(), across, &pitch),
        (Some(across), None) => nearest_by_diameter(kept, &across),
        (None, None) => kept,
    };
    Listing { threads, nearest_first: true }
}

/// Whether a word names the thread's series or is part of its designation.
fn is_called(thread: Thread, word: &str) -> bool {
    let series = thread.series();
    let has = |text: &str| words_of(text).any(|w| w.eq_ignore_ascii_case(word));
    series.said().iter().any(|said| said.split(' ').any(|w| w == word))
        || series.key() == word
        || has(series.name())
        || has(thread.designation())
        || thread.also().is_some_and(has)
}

/// Words with their hyphens, such as `C-mount`.
fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !(c.is_alphabetic() || c == '-'))
        .map(|word| word.trim_matches('-'))
        .filter(|word| !word.is_empty())
}

/// Where `#` is left out, both kinds of size match: `10` finds `#10` too.
fn has_size(thread: Thread, asked: Size) -> bool {
    thread.size().number == asked.number && (thread.size().gauge || !asked.gauge)
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    /// Skips spaces; true if anything follows.
    fn skip(&mut self) -> bool {
        self.at = self.text.len() - self.rest().trim_start().len();
        self.at < self.text.len()
    }

    fn eat(&mut self, text: &str) -> bool {
        let found = self.rest().get(..text.len()).is_some_and(|r| r.eq_ignore_ascii_case(text));
        if found {
            self.at += text.len();
        }
        found
    }

    fn starts_number(&self) -> bool {
        self.rest().starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '#')
    }

    fn item(&mut self, query: &mut Query) -> Result<()> {
        if self.starts_number() {
            return self.figure(query);
        }
        let at = self.at;
        let word = self.word();
        match &word[..] {
            "" => Err(self.unknown(at)),
            "dia" | "diameter" => self.diameter(query, at),
            "x" if !query.sizes.is_empty() && self.skip() && self.starts_number() => {
                query.pitches.push(self.number()?);
                Ok(())
            }
            _ if all().any(|t| is_called(t, &word)) => {
                query.words.push(word);
                Ok(())
            }
            _ => Err(self.unknown(at)),
        }
    }

    /// Letters with hyphens between them, lower case.
    fn word(&mut self) -> String {
        let rest = self.rest();
        let end = rest.find(|c: char| !(c.is_alphabetic() || c == '-')).unwrap_or(rest.len());
        let word = rest[..end].trim_end_matches('-');
        self.at += word.len();
        word.to_lowercase()
    }

    /// `dia` makes the measure beside it a diameter.
    fn diameter(&mut self, query: &mut Query, at: usize) -> Result<()> {
        let before = query.measures.last_mut().filter(|m| m.kind == Kind::Length);
        if let Some(measure) = before {
            measure.kind = Kind::Diameter;
            return Ok(());
        }
        let known = query.measures.len();
        if self.skip() && self.starts_number() {
            self.figure(query)?;
        }
        match query.measures.get_mut(known) {
            Some(measure) if measure.kind == Kind::Length => measure.kind = Kind::Diameter,
            _ => {
                return Err(Error::syntax(at, "a diameter needs a length beside it")
                    .with_hint("`10 mm dia` or `dia 0.5 in`"));
            }
        }
        Ok(())
    }

    /// A size, a measure, or a range of measures.
    fn figure(&mut self, query: &mut Query) -> Result<()> {
        let at = self.at;
        let gauge = self.eat("#");
        if self.is_zero() {
            self.at += 1;
            query.sizes.push(Size { number: None, gauge });
            return self.pitch_after_size(query);
        }
        let number = self.number()?;
        self.skip();
        let upper = if self.eat("..") { Some(self.number()?) } else { None };
        if let Some(measure) = self.measure(number, upper, at)? {
            query.measures.push(measure);
            return Ok(());
        }
        if self.starts_word() {
            query.starts.push(number);
            return Ok(());
        }
        if upper.is_some() {
            return Err(Error::syntax(self.at, "a range needs its unit")
                .with_hint("`1.0..1.1 mm` or `18..20 tpi`"));
        }
        query.sizes.push(Size { number: Some(number), gauge });
        self.pitch_after_size(query)
    }

    /// `-13` of `1/2-13`, `×1.25` of `m10×1.25`.
    fn pitch_after_size(&mut self, query: &mut Query) -> Result<()> {
        let start = self.at;
        if (self.eat("-") || self.eat("×")) && self.starts_number() {
            query.pitches.push(self.number()?);
            return Ok(());
        }
        self.at = start;
        Ok(())
    }

    fn starts_word(&mut self) -> bool {
        let start = self.at;
        let found = self.skip() && matches!(&self.word()[..], "starts" | "start");
        if !found {
            self.at = start;
        }
        found
    }

    fn is_zero(&self) -> bool {
        let mut chars = self.rest().chars();
        let goes_on = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
        chars.next() == Some('0') && !chars.next().is_some_and(goes_on)
    }

    /// A number that ends where a range's dots begin.
    fn number(&mut self) -> Result<Ratio> {
        let rest = self.rest();
        let end = rest.find("..").unwrap_or(rest.len());
        let (number, used) = Ratio::read(&rest[..end]).map_err(|e| e.shifted(self.at))?;
        self.at += used;
        Ok(number)
    }

    fn measure(&mut self, a: Ratio, b: Option<Ratio>, at: usize) -> Result<Option<Measure>> {
        let start = self.at;
        self.skip();
        let unit = if self.eat("\"") { "\"".to_owned() } else { self.word() };
        let b = b.unwrap_or(a);
        let in_mm = |n| Result::Ok(Lead::new(Length::from_mm(n)));
        let in_inch = |n| Result::Ok(Lead::new(Length::from_inch(n)?));
        let (a, b, kind) = match &unit[..] {
            "mm" => (in_mm(a)?, in_mm(b)?, Kind::Length),
            "in" | "inch" | "inches" | "\"" => (in_inch(a)?, in_inch(b)?, Kind::Length),
            "tpi" => (Lead::from_tpi(a)?, Lead::from_tpi(b)?, Kind::Pitch),
            _ => {
                self.at = start;
                return Ok(None);
            }
        };
        Ok(Some(Measure { low: a.min(b), high: a.max(b), kind, at }))
    }

    fn unknown(&self, at: usize) -> Error {
        let rest = self.text.get(at..).unwrap_or("");
        let word: String = rest.split_whitespace().next().unwrap_or("").chars().take(24).collect();
        let keys: Vec<_> = Series::all().iter().map(|series| series.key()).collect();
        Error::syntax(at, format!("`{word}` names no series and no thread"))
            .with_hint(format!("`m10`, `19 tpi`, `1.0..1.1 mm`, or one of {}", keys.join(", ")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn found(words: &str) -> Vec<&'static str> {
        search(words).unwrap().threads.iter().map(Thread::designation).collect()
    }

    #[test]
    fn a_size_finds_every_pitch_of_it() {
        let m10 = ["M10", "M10x1.25", "M10x1.12", "M10x1", "M10x0.75", "M10x0.5"];
        assert_eq!(found("m10"), m10);
        assert_eq!(found("tr 40"), ["Tr40x10", "Tr40x7", "Tr40x3"]);
        assert_eq!(found("2ba"), ["2 BA"]);
        assert_eq!(found("0 BA"), ["0 BA"]);
        assert_eq!(found("10-32"), ["#10-32 UNF", "#10-32 UN"]);
        assert_eq!(found("whitworth 1/4"), ["1/4 BSW"]);
        assert_eq!(found("module 1 3 starts"), ["module 1 3 starts"]);
        assert!(found("m11.5").is_empty());
    }

    // 19 TPI belongs to the 1/4 and 3/8 pipe sizes only: ISO 228-1 and ISO 7-1, table 1.
    #[test]
    fn a_pitch_finds_all_that_have_it() {
        assert_eq!(found("19 tpi"), ["G 1/4", "G 3/8", "R 1/4", "R 3/8"]);
        assert_eq!(found("18..20 TPI unf").len(), 4);
        assert!(found("1.27 mm").contains(&"1/4-20 UNC"));
    }

    #[test]
    fn a_range_holds_both_ends_and_runs_from_fine_to_coarse() {
        for words in ["1.0..1.1mm", "1..1.1 mm", "1.1 .. 1 mm"] {
            let listing = search(words).unwrap();
            let pitches: Vec<_> = listing.threads.iter().map(Thread::pitch).collect();
            assert!(pitches.is_sorted(), "{words}");
            assert_eq!(pitches.first().unwrap().to_string(), "1 mm");
            assert!(found(words).contains(&"M6") && !found(words).contains(&"R 1/8"));
        }
        assert!(found("1.05..1.06 mm").contains(&"5/16-24 UNF"));
    }

    #[test]
    fn an_unknown_thread_is_named_by_diameter_and_pitch() {
        let listing = search("9.8 mm 1.5 mm").unwrap();
        assert!(listing.nearest_first);
        assert_eq!(listing.threads[0].designation(), "M10");
        assert_eq!(found("20.9 mm 14 tpi")[0], "G 1/2");
        assert_eq!(found("metric 0.39 in 1.5 mm")[0], "M10");
        assert_eq!(found("1.28 mm unc")[0], "1/4-20 UNC");
        assert_eq!(found("10.1 mm dia")[0], "M10");
        assert_eq!(found("dia 10 mm bsf").len(), 37);
    }

    #[test]
    fn a_mistake_says_where_and_what_would_be_right() {
        for (words, at, hint) in [
            ("m10 foo", 4, "`19 tpi`"),
            ("1.0..1.1", 8, "18..20 tpi"),
            ("unf 1,25 mm", 5, "full stop"),
            ("10 mm 1.5 mm 3 mm", 13, "`10 mm 1.5 mm`"),
            ("dia", 0, "`10 mm dia`"),
            ("1..", 3, "1.25"),
            ("😀", 0, "metric-coarse"),
            ("-5", 0, "`m10`"),
        ] {
            let error = search(words).unwrap_err();
            assert_eq!(error.offset(), Some(at), "{words}: {error}");
            assert!(error.hint().unwrap().contains(hint), "{words}: {:?}", error.hint());
        }
    }

    #[test]
    fn every_thread_is_found_by_its_designation() {
        for thread in all() {
            let listing = search(thread.designation()).unwrap();
            assert!(listing.threads.contains(&thread), "{thread}");
        }
        assert_eq!(search("").unwrap().threads.len(), all().count());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn no_words_break_it(words in "([a-z0-9#./,\"× -]|mm|tpi|\\.\\.|dia|\\PC){0,16}") {
            if let Err(error) = search(&words) {
                prop_assert!(error.offset().is_none_or(|at| words.is_char_boundary(at)));
            }
        }
    }
}
