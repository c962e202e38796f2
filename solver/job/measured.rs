//! What was measured on a thread that is half cut: `wires 10.36, 10.35, 10.33 mm over 20 mm +- 0.01 mm`.

use crate::{Error, Length, Ratio, Result};
use std::str::FromStr;

/// What was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Gauge {
    /// Over three wires.
    Wires,
    /// The pitch diameter itself, by a thread micrometer.
    Pitch,
    /// Depth from the surface of the blank, by the slide's dial.
    Depth,
    /// Diameter at the root, by a caliper.
    Root,
}

impl Gauge {
    const ALL: [(&'static str, Self); 4] = [
        ("wires", Self::Wires),
        ("pitch", Self::Pitch),
        ("depth", Self::Depth),
        ("root", Self::Root),
    ];

    /// The word that is typed for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wires => "wires",
            Self::Pitch => "pitch",
            Self::Depth => "depth",
            Self::Root => "root",
        }
    }

    /// Whether it shows how deep the groove is, not where its flanks are.
    pub const fn is_of_depth(self) -> bool {
        matches!(self, Self::Depth | Self::Root)
    }

    /// Uncertainty of the reading where none is stated: 0.01 mm with a micrometer, 0.05 mm with a caliper
    /// or by a slide's dial (common practice, no source).
    pub const fn usual(self) -> Ratio {
        match self {
            Self::Wires | Self::Pitch => Ratio::table(1, 100),
            Self::Depth | Self::Root => Ratio::table(1, 20),
        }
    }
}

/// A measurement, or one at each of several places along the thread.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Measured {
    /// What was measured.
    pub gauge: Gauge,
    /// The readings, from the free end toward the headstock; never empty, at most [`Measured::MOST`].
    pub readings: Vec<Length>,
    /// From the first place to the last; `None`: not stated, or one place.
    pub along: Option<Length>,
    /// Uncertainty of each reading, as stated.
    pub stated: Option<Length>,
}

/// What is right, for every text that is not.
const SUCH_AS: &str =
    "`wires 10.35 mm`, `pitch 9.1 mm +- 0.01 mm` or `wires 10.36, 10.33 mm over 20 mm`";
/// Widest uncertainty, in mm: more says nothing of a thread.
const COARSEST: Ratio = Ratio::table(1, 2);

impl Measured {
    /// Most places.
    pub const MOST: usize = 9;

    /// Uncertainty of each reading: the stated one, else the usual one of the gauge.
    pub fn off(&self) -> Length {
        self.stated.unwrap_or_else(|| Length::from_mm(self.gauge.usual()))
    }

    fn readings(text: &str, at: usize) -> Result<Vec<Length>> {
        let pieces: Vec<&str> = text.split(',').collect();
        let last = pieces.last().copied().unwrap_or_default();
        let unit = last.trim_start_matches(|c: char| c.is_ascii_digit() || " ./".contains(c));
        let mut readings = Vec::new();
        let mut from = at;
        for piece in &pieces {
            let bare = piece.chars().all(|c| c.is_ascii_digit() || " ./".contains(c));
            let whole = if bare && !piece.trim().is_empty() {
                format!("{piece} {unit}")
            } else {
                (*piece).to_string()
            };
            readings.push(length(&whole, from)?);
            from += piece.len() + 1;
        }
        if readings.len() > Self::MOST {
            return Err(Error::conflict(format!(
                "{} places: {} at most",
                pieces.len(),
                Self::MOST
            ))
            .with_hint("the ends and the middle"));
        }
        Ok(readings)
    }
}

/// A length in a longer text.
fn length(text: &str, at: usize) -> Result<Length> {
    let skipped = text.len() - text.trim_start().len();
    text.trim().parse::<Length>().map_err(|e| e.shifted(at + skipped))
}

/// What follows a word in a text, with its place; the text without it.
fn split_at_word<'a>(text: &'a str, word: &str) -> (&'a str, Option<(&'a str, usize)>) {
    match text.split_once(word) {
        Some((before, after)) => (before, Some((after, before.len() + word.len()))),
        None => (text, None),
    }
}

impl FromStr for Measured {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let lower = text.to_ascii_lowercase();
        let named = Gauge::ALL.into_iter().find(|(word, _)| {
            lower.strip_prefix(word).is_some_and(|rest| !rest.starts_with(char::is_alphabetic))
        });
        let Some((word, gauge)) = named else {
            return Err(Error::syntax(
                0,
                "it does not say what was measured: wires, pitch, depth, root or nut",
            )
            .with_hint(SUCH_AS));
        };
        let sign = if lower.contains('±') { "±" } else { "+-" };
        let (rest, off) = split_at_word(&lower, sign);
        let (rest, along) = split_at_word(rest, " over ");
        let stated = off.map(|(text, at)| length(text, at)).transpose()?;
        if let Some(off) = stated.filter(|off| off.mm() > COARSEST) {
            return Err(Error::conflict(format!(
                "an uncertainty of {off} says nothing of a thread"
            ))
            .with_hint("+- 0.01 mm with a micrometer, +- 0.05 mm with a caliper"));
        }
        let along = along.map(|(text, at)| length(text, at)).transpose()?;
        let readings = Self::readings(rest.get(word.len()..).unwrap_or_default(), word.len())?;
        if along.is_some() && readings.len() < 2 {
            return Err(Error::conflict("one place has no length to go over")
                .with_hint("the readings at both ends: `wires 10.36, 10.33 mm over 20 mm`"));
        }
        Ok(Self { gauge, readings, along, stated })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Measured {
        text.parse().unwrap()
    }

    #[test]
    fn a_measurement_is_read_as_it_is_said() {
        let mm = |text: &str| text.parse::<Length>().unwrap();
        let of = read("wires 10.36, 10.35,10.33 mm over 20 mm +- 0.02 mm");
        assert_eq!((of.gauge, of.along), (Gauge::Wires, Some(mm("20 mm"))));
        assert_eq!(of.readings, ["10.36 mm", "10.35 mm", "10.33 mm"].map(mm));
        assert_eq!((of.stated, of.off()), (Some(mm("0.02 mm")), mm("0.02 mm")));
        assert_eq!(read("Pitch 9.10 mm").off(), mm("0.01 mm"));
        assert_eq!(read("depth 0.6mm ± 0.01 mm").stated, Some(mm("0.01 mm")));
        assert_eq!(read("root 0.335 in").readings, [mm("0.335 in")]);
        assert_eq!(read("wires 0.41 in, 10.4 mm").readings, [mm("0.41 in"), mm("10.4 mm")]);
    }

    #[test]
    fn what_cannot_be_read_says_where_and_what_is_right() {
        for (text, at, wrong) in [
            ("wires 10.35", Some(11), "needs its unit"),
            ("10.35 mm", Some(0), "what was measured"),
            ("wiresome 1 mm", Some(0), "what was measured"),
            ("wires", Some(5), ""),
            ("wires 10.35 tpi", None, "not a unit"),
            ("wires 0 mm", Some(6), ""),
            ("wires 10.35 mm +- 0 mm", Some(18), ""),
            ("wires 10.35 mm +- 2 mm", None, "says nothing"),
            ("wires 10.35 mm over 20 mm", None, "one place"),
            ("wires 1,2,3,4,5,6,7,8,9,10 mm", None, "9 at most"),
        ] {
            let error = text.parse::<Measured>().unwrap_err();
            assert!(error.to_string().contains(wrong), "{text}: {error}");
            assert!(at.is_none() || error.offset() == at, "{text}: {:?}", error.offset());
            assert!(error.hint().is_some() || wrong.is_empty(), "{text}: {error}");
        }
    }
}
