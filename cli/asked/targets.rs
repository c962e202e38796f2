//! Which words name which target? `11 1/2 tpi M10` is two targets: from the left, the longest run
//! of words that can be read as one.

use super::roughness;
use crate::failure::Failure;
use solver::{Hand, Target};

/// Most words of one target: `Tr 40 x 14 (P7) left hand` has seven.
const MOST_WORDS: usize = 8;

/// Reads the targets.
///
/// # Errors
/// If some words name none.
pub(crate) fn read(words: &[String]) -> Result<Vec<Target>, Failure> {
    let mut targets = Vec::new();
    let mut rest = words;
    while !rest.is_empty() {
        let (target, used) = longest(rest).ok_or_else(|| refused(rest))?;
        targets.push(target);
        rest = rest.get(used..).unwrap_or_default();
    }
    Ok(targets)
}

/// The target that the longest run of words names, and how many words it took.
fn longest(words: &[String]) -> Option<(Target, usize)> {
    (1..=run(words)).rev().find_map(|n| {
        let target = words.get(..n)?.join(" ").parse().ok()?;
        Some((target, n))
    })
}

/// How many words may belong together: a quoted one stands alone.
fn run(words: &[String]) -> usize {
    let single = |word: &&String| !word.trim().contains(char::is_whitespace);
    words.iter().take(MOST_WORDS).take_while(single).count().max(1)
}

/// Why the first words name no target: all of them up to where a target begins.
fn refused(words: &[String]) -> Failure {
    if roughness::is(words) {
        return roughness::only_for_the_card(words);
    }
    let begins = |&n: &usize| words.get(n..).is_some_and(|rest| longest(rest).is_some());
    let end = (1..run(words)).find(begins).unwrap_or_else(|| run(words));
    let text = words.get(..end).unwrap_or_default().join(" ");
    match text.parse::<Target>() {
        Err(error) => Failure::typed("target", &text, &error),
        // The whole can't be read here, since the longest run was tried.
        Ok(_) => Failure::new(format!("target `{text}`: can't be read")),
    }
}

/// The hand asked: by `--hand`, by the target, else right; a feed has none.
pub(crate) fn hand_of(target: &Target, said: Option<Hand>) -> Result<Option<Hand>, Failure> {
    let refused = |why: &str| Failure::new(format!("--hand: `{}` {why}", target.text()));
    match (target.travel().is_feed(), said, target.hand()) {
        (true, Some(_), _) => {
            Err(refused("is a feed, which has no hand").with_hint("leave --hand out"))
        }
        (true, None, _) => Ok(None),
        (false, Some(said), Some(hand)) if said != hand => {
            Err(refused(&format!("says {hand} hand")).with_hint("say the hand in one place"))
        }
        (false, said, hand) => Ok(said.or(hand).or(Some(Hand::Right))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(words: &[&str]) -> Vec<String> {
        let words: Vec<String> = words.iter().map(ToString::to_string).collect();
        read(&words).unwrap().iter().map(|t| t.text().to_string()).collect()
    }

    #[test]
    fn words_that_belong_together_need_no_quotes() {
        assert_eq!(texts(&["11", "1/2", "tpi"]), ["11 1/2 tpi"]);
        assert_eq!(texts(&["M10", "M12"]), ["M10", "M12"]);
        assert_eq!(texts(&["M10", "LH", "0.1", "mm/rev", "cross"]), ["M10 LH", "0.1 mm/rev cross"]);
        assert_eq!(texts(&["1.25 mm", "19 tpi"]), ["1.25 mm", "19 tpi"]);
    }

    #[test]
    fn an_error_shows_the_words_up_to_the_next_target() {
        let words = ["11", "1/2", "tqi", "M10"].map(String::from);
        assert!(read(&words).unwrap_err().to_string().contains("`11 1/2 tqi`"));
    }
}
