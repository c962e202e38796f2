//! Two gears of which nobody has measured whether they mesh directly: what is set and what is cut if
//! they do, and if an idler is needed. Every page says both.

use super::entry::Entry;
use crate::report::found;
use solver::{Cuts, Either, Hand, Lathe};

/// What is set and cut in one of the two cases.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::command) struct Branch {
    pub(in crate::command) tumbler: Option<String>,
    pub(in crate::command) hand: Option<Hand>,
}

impl Branch {
    fn of(lathe: &Lathe, cuts: Cuts) -> Self {
        let tumbler = cuts.tumbler.and_then(|at| lathe.parts().tumbler.get(at));
        Self { tumbler: tumbler.map(|(name, _)| name.clone()), hand: cuts.hand }
    }

    /// `tumbler up`, `right hand`.
    fn in_words(&self, hands_differ: bool) -> String {
        match (&self.tumbler, self.hand) {
            (Some(tumbler), Some(hand)) if hands_differ => {
                format!("tumbler {tumbler}, {hand} hand")
            }
            (Some(tumbler), _) => format!("tumbler {tumbler}"),
            (None, Some(hand)) => format!("{hand} hand"),
            (None, None) => "the hand is not known".to_string(),
        }
    }
}

/// Directly, and with an idler.
pub(in crate::command) fn of(lathe: &Lathe, either: Option<Either>) -> Option<[Branch; 2]> {
    either.map(|either| [either.direct, either.with_idler].map(|cuts| Branch::of(lathe, cuts)))
}

/// `down (idler: up)`: the tumbler for the train as it is written, and for the other case.
pub(in crate::command) fn tumbler(entry: &Entry) -> Option<String> {
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
pub(in crate::command) fn meaning<'e>(
    mut entries: impl Iterator<Item = &'e Entry>,
) -> Option<String> {
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
pub(in crate::command) fn tumbler_sentences(entry: &Entry, studs: u8) -> Option<[String; 2]> {
    let both = entry.either.as_ref()?;
    both.iter().find(|branch| branch.tumbler.is_some())?;
    cases(both, studs)
}

/// The two cases of a thread, a sentence each; `None`: it is settled, or neither hand is known.
/// `studs`: those of the lathe.
pub(in crate::command) fn sentences(entry: &Entry, studs: u8) -> Option<[String; 2]> {
    cases(entry.either.as_ref()?, studs)
}

/// Directly and with an idler, a sentence each; `None`: neither hand is known.
pub(in crate::command) fn cases([direct, idler]: &[Branch; 2], studs: u8) -> Option<[String; 2]> {
    let differ = direct.hand != idler.hand;
    direct.hand.or(idler.hand)?;
    // Two idlers turn it round twice.
    let two = match (&idler.tumbler, direct.hand) {
        (None, Some(hand)) if studs > 1 => format!("; two idlers: {hand} hand"),
        _ => String::new(),
    };
    Some([
        format!("If they mesh directly: {}.", direct.in_words(differ)),
        format!("If an idler is needed: {}{two}.", idler.in_words(differ)),
    ])
}

/// The hand that is cut in every case; `None`: it is not known, or each case cuts another.
pub(in crate::command) fn hand(entry: &Entry) -> Option<Hand> {
    let same = entry.either.as_ref().is_none_or(|[direct, idler]| direct.hand == idler.hand);
    entry.hand.filter(|_| same)
}

/// For programs.
pub(in crate::command) fn data(entry: &Entry) -> Option<found::Either> {
    let both = entry.either.as_ref()?;
    both.iter().find_map(|branch| branch.hand)?;
    let [direct, with_idler] = both.clone().map(|branch| found::Branch {
        tumbler: branch.tumbler,
        hand: branch.hand.map(|hand| hand.to_string()),
    });
    Some(found::Either { direct, with_idler })
}

/// Why there are two cases.
pub(in crate::command) const OPEN: &str =
    "The banjo is not measured: two gears may mesh directly, or need an idler.";

/// How to see which hand is cut.
pub(in crate::command) const CHECK: &str = "Check the hand before the scratch pass: half nut closed, \
    spindle forward by hand; carriage toward the headstock = right hand.";
