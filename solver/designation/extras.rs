//! What may follow a thread or feed? Hand, starts, direction of a feed, in any order.

use super::reader::{Reader, is_times};
use crate::{Error, Hand, Ratio, Result, Travel, bounds};

/// The additions, each with its place in the text.
#[derive(Default)]
pub(super) struct Extras {
    pub(super) hand: Option<(Hand, usize)>,
    pub(super) starts: Option<(u8, usize)>,
    pub(super) travel: Option<(Travel, usize)>,
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

/// Whether an addition may start with this word.
pub(super) fn is_extra(word: &str) -> bool {
    let word = word.to_ascii_lowercase();
    let first = |phrase: &str| phrase.split(' ').next() == Some(&word[..]);
    HANDS.iter().any(|(p, _)| first(p))
        || DIRECTIONS.iter().any(|(p, _)| first(p))
        || STARTS_IN_WORDS.iter().any(|(p, _)| first(p))
}

impl Reader<'_> {
    /// All additions up to the end of the text; for a worm also that word.
    pub(super) fn extras(&mut self, is_worm: bool) -> Result<Extras> {
        let mut extras = Extras::default();
        loop {
            self.skip();
            let at = self.at;
            if self.rest().is_empty() {
                return Ok(extras);
            }
            if let Some(hand) = self.hand() {
                once(&mut extras.hand, (hand, at), "the hand")?;
            } else if let Some(travel) = self.eat_any(DIRECTIONS) {
                once(&mut extras.travel, (travel, at), "the direction")?;
            } else if let Some(starts) = self.starts()? {
                once(&mut extras.starts, (starts, at), "the number of starts")?;
            } else if !(is_worm && self.eat_phrase("worm")) {
                return Err(self.leftover());
            }
        }
    }

    /// `LH`, `-LH`, `left hand`.
    fn hand(&mut self) -> Option<Hand> {
        let start = self.at;
        self.eat(|c| c == '-');
        self.skip();
        let hand = self.eat_any(HANDS);
        if hand.is_none() {
            self.at = start;
        }
        hand
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
        if self.eat(|c| c == '0') && self.eat_start_word() {
            return Err(Error::syntax(at, "a thread has at least one start"));
        }
        self.at = at;
        if self.starts_number()
            && let Ok(number) = self.number()
            && self.eat_start_word()
        {
            return checked_starts(&number, at).map(Some);
        }
        self.at = start;
        Ok(None)
    }

    pub(super) fn eat_start_word(&mut self) -> bool {
        self.eat_any(&[(" starts", ()), (" start", ())]).is_some()
    }

    fn leftover(&self) -> Error {
        let rest = self.rest();
        let after_hyphen = rest.strip_prefix('-').map(str::trim_start);
        if let Some(class) = after_hyphen.filter(|class| is_class(class)) {
            return class_hint(self.at, class);
        }
        if matches!(self.word(), "A" | "B" | "a" | "b") {
            return class_hint(self.at, self.word());
        }
        self.unknown()
            .with_hint("after it may come `LH` or `RH`, `2 starts`; after a feed `cross` or `long`")
    }
}

/// Fills a field that may be filled once.
fn once<T>(place: &mut Option<(T, usize)>, value: (T, usize), what: &str) -> Result<()> {
    if place.is_some() {
        return Err(Error::syntax(value.1, format!("{what} is said twice")));
    }
    *place = Some(value);
    Ok(())
}

/// A number of starts.
pub(super) fn checked_starts(number: &Ratio, at: usize) -> Result<u8> {
    if !number.is_whole() {
        return Err(Error::syntax(at, "starts are a whole number").with_hint("`2 starts`"));
    }
    let count = u64::try_from(number.numer()).unwrap_or(u64::MAX);
    let count = bounds::STARTS.check(count).map_err(|e| Error::syntax(at, e.to_string()))?;
    u8::try_from(count).map_err(|_| Error::too_large("the number of starts"))
}

/// `6g`, `2A`: a tolerance class.
pub(super) fn is_class(text: &str) -> bool {
    let mut chars = text.chars();
    chars.next().is_some_and(|c| c.is_ascii_digit())
        && chars.next().is_some_and(|c| "abefgh".contains(c.to_ascii_lowercase()))
        && !chars.next().is_some_and(char::is_alphabetic)
}

/// The error for a tolerance class.
pub(super) fn class_hint(at: usize, class: &str) -> Error {
    let class: String = class.chars().take_while(|c| c.is_alphanumeric()).take(4).collect();
    Error::syntax(at, format!("a tolerance class (`{class}`) does not change the lead"))
        .with_hint("leave it out")
}
