//! `Ra 1.6`, `Ra 63 uin cross`: a roughness in place of a feed.

use crate::failure::{Failure, shortened};
use solver::{Length, Ratio, Travel};

/// A roughness that a feed is to leave.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Roughness {
    /// As it was typed.
    pub(crate) text: String,
    /// Ra.
    pub(crate) ra: Length,
    /// Along or across.
    pub(crate) travel: Travel,
}

/// Nobody turns a face so rough: 1 mm.
const MOST: Ratio = Ratio::ONE;
/// What would be right.
const RIGHT: &str = "Ra 1.6, Ra 63 uin, or Ra 1.6 cross for a face";

/// Whether words name a roughness.
pub(crate) fn is(words: &[String]) -> bool {
    after_ra(&words.join(" ")).is_some()
}

/// What stands behind `Ra`.
fn after_ra(text: &str) -> Option<&str> {
    let (ra, rest) = text.trim().split_at_checked(2)?;
    let begins = |sign: char| sign.is_ascii_digit() || sign.is_whitespace() || sign == '.';
    (ra.eq_ignore_ascii_case("ra") && rest.starts_with(begins)).then_some(rest)
}

/// Reads it; `None`: the words name something else.
///
/// # Errors
/// If what stands behind `Ra` is no roughness.
pub(crate) fn read(words: &[String]) -> Result<Option<Roughness>, Failure> {
    let text = words.join(" ").trim().to_owned();
    let Some(rest) = after_ra(&text) else { return Ok(None) };
    let wrong = |why: &str| Failure::wrong(format!("target `{}`: {why}", shortened(&text)), RIGHT);
    let rest = rest.trim_start();
    let (number, used) = Ratio::read(rest).map_err(|_| wrong("a number was expected behind Ra"))?;
    let mut words: Vec<&str> = rest.get(used..).unwrap_or_default().split_whitespace().collect();
    let travel = match words.last() {
        Some(&"cross") => {
            words.pop();
            Travel::CrossFeed
        }
        _ => Travel::LongFeed,
    };
    let unit = match words[..] {
        [] | ["um" | "µm" | "μm"] => Ratio::new(1, 1000)?,
        ["uin" | "µin" | "μin"] => Ratio::new(254, 10_000_000)?,
        _ => return Err(wrong("a roughness in um or uin was expected")),
    };
    let ra = number.times(&unit).map_err(|_| wrong("the number is too large"))?;
    if ra > MOST {
        return Err(wrong("no turned face is so rough"));
    }
    Ok(Some(Roughness { ra: Length::from_mm(ra), text, travel }))
}

/// The error of every command but `card`.
pub(crate) fn only_for_the_card(words: &[String]) -> Failure {
    let text = words.join(" ");
    let text = shortened(text.trim());
    Failure::wrong(
        format!("target `{text}`: a roughness is no thread and no feed"),
        format!("trainwright card \"{text}\" --nose 0.4mm finds the feed"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ra(text: &str) -> Option<(String, Travel)> {
        let words: Vec<String> = text.split(' ').map(String::from).collect();
        read(&words).unwrap().map(|of| (of.ra.to_string(), of.travel))
    }

    #[test]
    fn units_and_ways_are_read() {
        let long = |mm: &str| Some((mm.to_owned(), Travel::LongFeed));
        assert_eq!(ra("Ra 1.6"), long("1/625 mm"));
        assert_eq!(ra("ra1.6 µm"), long("1/625 mm"));
        // 63 x 0.0254 µm.
        assert_eq!(ra("Ra 63 uin"), long("8001/5000000 mm"));
        assert_eq!(ra("RA .8 um cross"), Some(("1/1250 mm".to_owned(), Travel::CrossFeed)));
        for other in ["M10", "0.1 mm/rev", "Rattle", "Rd 20"] {
            assert_eq!(ra(other), None, "{other}");
        }
    }

    #[test]
    fn what_is_no_roughness_is_refused() {
        for (text, said) in [
            ("Ra fine", "a number was expected"),
            ("Ra 1.6 mm", "in um or uin"),
            ("Ra 0", "a number was expected"),
            ("Ra 2000", "so rough"),
        ] {
            let words: Vec<String> = text.split(' ').map(String::from).collect();
            let error = read(&words).unwrap_err().to_string();
            assert!(error.contains(said) && error.contains("Ra 63 uin"), "{text}: {error}");
        }
    }
}
