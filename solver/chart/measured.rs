//! What was measured on a cut or on the carriage? Reads `10 pitches = 15.9 +- 0.2 mm`.

use super::interval::Interval;
use super::row::Gears;
use crate::{Error, Length, Ratio, Result, When};
use std::str::FromStr;

/// Uncertainty assumed where none is stated: a rule read to 0.2 mm (common practice, no source).
const RULE_MM: Ratio = Ratio::table(1, 5);

/// What was counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Counted {
    /// Pitches or threads: of work of several starts those of all.
    Pitches,
    /// Leads: the pitches of one start.
    Leads,
    /// Turns of the spindle.
    Turns,
}

/// A length measured over some pitches or turns, and the set-up that it was cut with.
///
/// ```
/// use solver::chart::Measured;
/// let cut: Measured = "10 pitches = 15.9 +- 0.2 mm with 40-40".parse()?;
/// assert_eq!(cut.lead()?.low().to_string(), "157/100"); // mm a turn
/// let moved: Measured = "20 turns move 31.75 mm".parse()?;
/// assert!(moved.lead()?.holds(&"1.5875".parse()?));
/// let counted: Measured = "16 threads in 1 in".parse()?;
/// assert!(counted.lead()?.holds(&"1.5875".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Measured {
    /// Pitches, threads or turns.
    pub count: Ratio,
    /// Which of them.
    pub counted: Counted,
    /// Their length.
    pub length: Length,
    /// Its uncertainty, either way.
    pub give_or_take: Length,
    /// Whether the uncertainty was stated; else a rule is assumed.
    pub said: bool,
    /// The gears on the machine, if stated.
    pub gears: Option<Gears>,
    /// The levers, if stated.
    pub levers: When,
    text: String,
}

impl Measured {
    /// As it was typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The lead in mm: all values within the uncertainty.
    ///
    /// # Errors
    /// If the uncertainty is as large as the length.
    pub fn lead(&self) -> Result<Interval> {
        Interval::give_or_take(self.length.mm(), self.give_or_take.mm())?.over(&self.count)
    }
}

const HINT: &str =
    "`10 pitches = 15.9 +- 0.2 mm with 40-40`, `20 turns move 31.75 mm` or `16 threads in 1 in`";

/// Words between the count and the length.
const JOINS: [&str; 8] = ["=", "in", "move", "moves", "over", "are", "is", "measure"];

/// Reads `COUNT pitches|threads|turns =|in|move LENGTH [+- LENGTH] [with TRAIN[, LEVER POSITION]...]`.
impl FromStr for Measured {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let at = |part: &str| part.as_ptr().addr().saturating_sub(text.as_ptr().addr());
        let wrong = |part: &str, what: &str| Error::syntax(at(part), what).with_hint(HINT);
        let (count, used) = Ratio::read(text).map_err(|e| e.with_hint(HINT))?;
        let (word, rest) = word(text.get(used..).unwrap_or_default());
        let counted = match word.to_ascii_lowercase().as_str() {
            "pitch" | "pitches" | "thread" | "threads" => Counted::Pitches,
            "lead" | "leads" => Counted::Leads,
            "turn" | "turns" => Counted::Turns,
            _ => return Err(wrong(word, "pitches, threads or turns were expected")),
        };
        let (join, rest) = self::word(rest);
        if !JOINS.contains(&join.to_ascii_lowercase().as_str()) {
            return Err(wrong(join, "`=`, `in` or `move` was expected"));
        }
        let (length, set_up) = match rest.find(" with ") {
            Some(cut) => (&rest[..cut], Some(&rest[cut + " with ".len()..])),
            None => (rest, None),
        };
        let (length, give_or_take) =
            read_length(length).map_err(|e| e.shifted(at(rest)).with_hint(HINT))?;
        let (gears, levers) = match set_up {
            Some(set_up) => read_set_up(set_up).map_err(|e| e.shifted(at(set_up)))?,
            None => (None, Vec::new()),
        };
        let measured = Self {
            count,
            counted,
            length,
            give_or_take: give_or_take.unwrap_or(Length::from_mm(RULE_MM)),
            said: give_or_take.is_some(),
            gears,
            levers,
            text: text.trim().to_owned(),
        };
        measured.lead()?;
        Ok(measured)
    }
}

/// The next word, and what follows it.
fn word(text: &str) -> (&str, &str) {
    let text = text.trim_start();
    let end = match text.strip_prefix('=') {
        Some(rest) => text.len() - rest.len(),
        None => text.find(|c: char| c.is_whitespace() || c == '=').unwrap_or(text.len()),
    };
    text.split_at(end)
}

/// `15.9 +- 0.2 mm`, `15.9 mm ± 0.2 mm`, `31.75 mm`: the unit may come once, at the end.
fn read_length(text: &str) -> Result<(Length, Option<Length>)> {
    let marks = ["+-", "+/-", "±"];
    let Some((cut, mark)) = marks.iter().find_map(|mark| Some((text.find(mark)?, mark))) else {
        return Ok((text.parse()?, None));
    };
    let (size, by) = (&text[..cut], &text[cut + mark.len()..]);
    let give_or_take: Length = by.parse().map_err(|e: Error| e.shifted(cut + mark.len()))?;
    let (_, used) = Ratio::read(size)?;
    if !size[used..].trim().is_empty() {
        return Ok((size.parse()?, Some(give_or_take)));
    }
    let (_, used) = Ratio::read(by).map_err(|e| e.shifted(cut + mark.len()))?;
    Ok((format!("{size}{}", &by[used..]).parse()?, Some(give_or_take)))
}

/// `40-40`, `40-40, Range A, Cone 3`, `Range A`.
fn read_set_up(text: &str) -> Result<(Option<Gears>, When)> {
    let mut gears = None;
    let mut levers = Vec::new();
    let mut at = 0_usize;
    for part in text.split(',') {
        let name = part.trim();
        if name.starts_with(|c: char| c.is_ascii_digit()) && gears.is_none() {
            gears = Some(Gears::new(name.parse().map_err(|e: Error| e.shifted(at))?));
        } else {
            // The last word is the position, the words before it the lever.
            let (lever, position) =
                name.rsplit_once(|c: char| c.is_whitespace() || c == '=').ok_or_else(|| {
                    Error::syntax(at, "gears, or a lever and its position, were expected")
                        .with_hint("with 40-40, Range A")
                })?;
            levers.push((lever.trim().to_owned(), position.to_owned()));
        }
        at = at.saturating_add(part.len()).saturating_add(1);
    }
    Ok((gears, levers))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measured(text: &str) -> Measured {
        text.parse().unwrap()
    }

    #[test]
    fn measurements_as_people_say_them() {
        let wanted = measured("10 pitches = 15.9 +- 0.2 mm");
        for text in [
            "10 pitches = 15.9 mm ± 0.2 mm",
            "10 threads in 15.9 mm",
            "10 turns move 15.9mm +/- 0.2mm",
            " 10 leads=15.9 mm",
        ] {
            assert_eq!(measured(text).lead().unwrap(), wanted.lead().unwrap(), "{text}");
        }
        assert!(!measured("10 threads in 15.9 mm").said && wanted.said);
        let inch = measured("8 threads in 1 in +- 0.01 in");
        assert!(inch.lead().unwrap().holds(&"3.175".parse().unwrap()));
        let set_up = measured("10 pitches = 15.9 mm with 40-50+30-60, Range A, Feed rod=out");
        assert_eq!(set_up.gears.unwrap().train.to_string(), "40-50+30-60");
        assert_eq!(
            set_up.levers,
            [("Range".into(), "A".into()), ("Feed rod".into(), "out".into())]
        );
    }

    #[test]
    fn what_is_no_measurement_is_refused_at_its_place() {
        for (text, at) in [
            ("", 0),
            ("ten pitches", 0),
            ("10 teeth = 3 mm", 3),
            ("10 pitches about 3 mm", 11),
            ("10 pitches = 3", 14),
            ("10 pitches = 3 +- x mm", 18),
            ("10 pitches = 3 mm with 40-", 26),
            ("10 pitches = 3 mm with A", 23),
        ] {
            let error = text.parse::<Measured>().unwrap_err();
            assert_eq!(error.offset(), Some(at), "{text}: {error}");
            assert!(error.hint().is_some(), "{text}");
        }
        assert!("10 pitches = 1 +- 1 mm".parse::<Measured>().unwrap_err().is_conflict());
    }
}
