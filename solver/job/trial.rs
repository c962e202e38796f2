//! What a mate does that is tried on a half-cut thread: `nut goes on 2 turns`; or what was measured.

use super::measured::Measured;
use crate::cutting::Side;
use crate::{Error, Ratio, Result};
use std::str::FromStr;

/// What is known of a half-cut thread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Now {
    /// It was measured.
    Measured(Measured),
    /// Its mate was tried.
    Tried(Trial),
}

/// The mate was tried by hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trial {
    /// Which thread the mate has: a nut's is internal.
    pub mate: Side,
    /// What it does.
    pub goes: Goes,
}

/// How far a mate goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goes {
    /// It does not start.
    Not,
    /// It starts and binds after this many turns; `None`: at once.
    Turns(Option<Ratio>),
    /// All the way.
    On,
}

/// What is right, for every text that is not.
const SUCH_AS: &str = "`nut does not start`, `nut starts`, `nut goes on 2 turns` or `nut goes on`; in a nut `screw starts`";
/// Most turns: of more nobody counts them.
const MOST_TURNS: Ratio = Ratio::table(100, 1);
const NOT: [&str; 8] = ["not", "no", "never", "won't", "doesn't", "can't", "cannot", "without"];
const STARTS: [&str; 4] = ["start", "starts", "starting", "enters"];
const GOES: [&str; 12] =
    ["go", "goes", "fits", "runs", "screws", "on", "in", "all", "the", "way", "home", "fully"];
const SMALL: [&str; 9] = ["does", "will", "just", "only", "for", "after", "binds", "a", "and"];
const NUMBERS: [&str; 10] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

impl Trial {
    /// The word for the mate.
    pub const fn word(self) -> &'static str {
        match self.mate {
            Side::Internal => "nut",
            Side::External => "screw",
        }
    }

    /// The mate that a text begins with, and how long its word is.
    fn mate(text: &str) -> Option<(Side, usize)> {
        let known = [("nut", Side::Internal), ("screw", Side::External), ("bolt", Side::External)];
        let first = text.split_whitespace().next()?;
        let (word, side) = known.into_iter().find(|(word, _)| *word == first)?;
        Some((side, text.find(word)? + word.len()))
    }

    /// What follows the mate's word; `from`: where it is in the whole text.
    fn goes(text: &str, from: usize) -> Result<Goes> {
        let wrong = |at: usize, words: String| Err(Error::syntax(at, words).with_hint(SUCH_AS));
        let (mut is_not, mut starts, mut goes, mut turns) = (false, false, false, None);
        let mut words = words(text, from).peekable();
        while let Some((at, word)) = words.next() {
            let begins = number(word);
            if let Some(mut number) = begins {
                // `2 1/2 turns`.
                if let Some(part) = words.peek().and_then(|(_, next)| fraction(next)) {
                    number = number.plus(&part)?;
                    words.next();
                }
                if words.peek().is_some_and(|(_, next)| *next == "a") {
                    words.next();
                }
                if !words.next().is_some_and(|(_, unit)| matches!(unit, "turn" | "turns")) {
                    return wrong(at, format!("`{word}` needs its unit: turns"));
                }
                if number > MOST_TURNS {
                    return wrong(at, format!("{number} turns: {MOST_TURNS} at most"));
                }
                turns = Some(number);
            } else if word == "0" {
                return wrong(at, "0 turns: it does not start".to_owned());
            } else if NOT.contains(&word) {
                is_not = true;
            } else if STARTS.contains(&word) {
                starts = true;
            } else if GOES.contains(&word) {
                goes = true;
            } else if !SMALL.contains(&word) {
                return wrong(at, format!("`{word}` does not say how far it goes"));
            }
        }
        match (is_not, turns, starts, goes) {
            (true, None, true, _) | (true, None, _, true) => Ok(Goes::Not),
            (false, Some(_), ..) | (false, None, true, _) => Ok(Goes::Turns(turns)),
            (false, None, false, true) => Ok(Goes::On),
            _ => wrong(from, "it does not say how far it goes".to_owned()),
        }
    }
}

/// Each word with its place.
fn words(text: &str, from: usize) -> impl Iterator<Item = (usize, &str)> {
    let place = move |word: &str| from + (word.as_ptr().addr() - text.as_ptr().addr());
    text.split([' ', ',', '\t'])
        .filter(|word| !word.is_empty())
        .map(move |word| (place(word), word))
}

/// `2`, `2.5`, `1/2`, `two`, `half`; above 0.
fn number(word: &str) -> Option<Ratio> {
    if word == "half" {
        return Some(Ratio::table(1, 2));
    }
    let named = (1_u64..).zip(NUMBERS).find(|(_, name)| *name == word);
    match named {
        Some((count, _)) => Some(Ratio::table(count, 1)),
        None => word.starts_with(|c: char| c.is_ascii_digit()).then(|| word.parse().ok()).flatten(),
    }
}

/// `1/2` behind a whole number.
fn fraction(word: &str) -> Option<Ratio> {
    number(word).filter(|_| word.contains('/'))
}

impl FromStr for Now {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let lower = text.to_ascii_lowercase().replace('\u{2019}', "'");
        match Trial::mate(&lower) {
            Some((mate, from)) => {
                let goes = Trial::goes(lower.get(from..).unwrap_or_default(), from)?;
                Ok(Self::Tried(Trial { mate, goes }))
            }
            None => text.parse().map(Self::Measured),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trial_is_read_as_it_is_said() {
        let turns = |of: &str| Goes::Turns(Some(of.parse().unwrap()));
        for (text, goes) in [
            ("nut does not start", Goes::Not),
            ("Nut doesn't start", Goes::Not),
            ("nut doesn’t start", Goes::Not),
            ("nut won't go on", Goes::Not),
            ("nut starts", Goes::Turns(None)),
            ("nut just starts", Goes::Turns(None)),
            ("nut 2 turns", turns("2")),
            ("nut goes on 2 turns", turns("2")),
            ("nut goes on two turns and binds", turns("2")),
            ("nut goes on half a turn", turns("1/2")),
            ("nut 2 1/2 turns", turns("5/2")),
            ("nut 1.5 turns", turns("3/2")),
            ("nut goes on", Goes::On),
            ("nut goes on all the way", Goes::On),
        ] {
            let wanted = Now::Tried(Trial { mate: Side::Internal, goes });
            assert_eq!(text.parse::<Now>().unwrap(), wanted, "{text}");
        }
        let screw = Now::Tried(Trial { mate: Side::External, goes: turns("1") });
        assert_eq!("bolt goes in one turn".parse::<Now>().unwrap(), screw);
        assert!(matches!("wires 10.35 mm".parse::<Now>().unwrap(), Now::Measured(_)));
    }

    #[test]
    fn what_says_nothing_is_refused_where_it_is() {
        for (text, at, wrong) in [
            ("nut", 3, "how far"),
            ("nut 2", 4, "needs its unit"),
            ("nut 2 mm", 4, "needs its unit"),
            ("nut 0 turns", 4, "does not start"),
            ("nut 101 turns", 4, "100 at most"),
            ("nut rattles", 4, "`rattles`"),
            ("nut not", 3, "how far"),
            ("nut does not go 2 turns", 3, "how far"),
            ("spanner starts", 0, "what was measured"),
        ] {
            let error = text.parse::<Now>().unwrap_err();
            assert!(error.to_string().contains(wrong), "{text}: {error}");
            assert_eq!(error.offset(), Some(at), "{text}");
            assert!(error.hint().is_some(), "{text}");
        }
    }
}
