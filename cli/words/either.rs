//! Two gears of which nobody has measured whether they mesh directly: what is set and what is cut if
//! they do, and if an idler is needed. Every page says both.

use crate::answer::Entry;
use crate::answer::entry::Branch;
use solver::Hand;

/// `tumbler up`, `right hand`.
fn in_words(branch: &Branch, hands_differ: bool) -> String {
    match (&branch.tumbler, branch.hand) {
        (Some(tumbler), Some(hand)) if hands_differ => format!("tumbler {tumbler}, {hand} hand"),
        (Some(tumbler), _) => format!("tumbler {tumbler}"),
        (None, Some(hand)) => format!("{hand} hand"),
        (None, None) => "the hand is not known".to_string(),
    }
}

/// `down (idler: up)`: the tumbler for the train as it is written, and for the other case.
pub(crate) fn tumbler(entry: &Entry) -> Option<String> {
    let set = entry.tumbler.as_ref()?;
    let with_idler = !entry.train.studs().is_empty();
    let other =
        entry.either.as_ref().map(|[direct, idler]| if with_idler { direct } else { idler });
    let other = other.and_then(|branch| branch.tumbler.as_ref()).filter(|other| *other != set);
    Some(match (other, with_idler) {
        (None, _) => set.clone(),
        (Some(other), false) => format!("{set} (idler: {other})"),
        (Some(other), true) => format!("{set} (no idler: {other})"),
    })
}

/// What the short form of [`tumbler`] means, by the first entry that has it; `None`: none has.
pub(crate) fn meaning<'e>(mut entries: impl Iterator<Item = &'e Entry>) -> Option<String> {
    entries.find_map(|entry| {
        let short = tumbler(entry).filter(|set| Some(set) != entry.tumbler.as_ref())?;
        let [direct, idler] = entry.either.as_ref()?;
        let (direct, idler) = direct.tumbler.as_ref().zip(idler.tumbler.as_ref())?;
        Some(format!(
            "{OPEN} Tumbler {short}: {direct} if they mesh directly, {idler} if an idler is needed. \
             {CHECK}"
        ))
    })
}

/// The two cases where the tumbler hangs on them; `None`: it is settled.
pub(crate) fn tumbler_sentences(entry: &Entry, studs: u8) -> Option<[String; 2]> {
    let both = entry.either.as_ref()?;
    both.iter().find(|branch| branch.tumbler.is_some())?;
    cases(both, studs)
}

/// The two cases of a thread, a sentence each; `None`: it is settled, or neither hand is known.
/// `studs`: those of the lathe.
pub(crate) fn sentences(entry: &Entry, studs: u8) -> Option<[String; 2]> {
    cases(entry.either.as_ref()?, studs)
}

/// Directly and with an idler, a sentence each; `None`: neither hand is known.
pub(crate) fn cases([direct, idler]: &[Branch; 2], studs: u8) -> Option<[String; 2]> {
    let differ = direct.hand != idler.hand;
    direct.hand.or(idler.hand)?;
    // Two idlers turn it round twice.
    let two = match (&idler.tumbler, direct.hand) {
        (None, Some(hand)) if studs > 1 => format!("; two idlers: {hand} hand"),
        _ => String::new(),
    };
    Some([
        format!("If they mesh directly: {}.", in_words(direct, differ)),
        format!("If an idler is needed: {}{two}.", in_words(idler, differ)),
    ])
}

/// The hand that is cut in every case; `None`: it is not known, or each case cuts another.
pub(crate) fn hand(entry: &Entry) -> Option<Hand> {
    let same = entry.either.as_ref().is_none_or(|[direct, idler]| direct.hand == idler.hand);
    entry.hand.filter(|_| same)
}

/// Why there are two cases.
pub(crate) const OPEN: &str =
    "The banjo is not measured: two gears may mesh directly, or need an idler.";

/// How to see which hand is cut.
pub(crate) const CHECK: &str = "Check the hand before the scratch pass: half nut closed, \
    spindle forward by hand; carriage toward the headstock = right hand.";
