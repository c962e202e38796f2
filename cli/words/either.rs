//! Two gears of which nobody has measured whether they mesh directly: what is set and what is cut if
//! they do, and if an idler is needed. Every page says both.

use crate::answer::Entry;
use solver::{Control, Cuts, Either, Lathe};

/// What the tumbler is set to in one of the cases.
pub(crate) fn tumbler_of(lathe: &Lathe, cuts: Cuts) -> Option<&str> {
    cuts.tumbler.map(|at| lathe.position_name(Control::Tumbler, at))
}

/// `tumbler up`, `right hand`.
fn in_words(lathe: &Lathe, cuts: Cuts, hands_differ: bool) -> String {
    match (tumbler_of(lathe, cuts), cuts.hand) {
        (Some(tumbler), Some(hand)) if hands_differ => format!("tumbler {tumbler}, {hand} hand"),
        (Some(tumbler), _) => format!("tumbler {tumbler}"),
        (None, Some(hand)) => format!("{hand} hand"),
        (None, None) => "the hand is not known".to_string(),
    }
}

/// `down (idler: up)`: the tumbler for the train as it is written, and for the other case.
pub(crate) fn tumbler(lathe: &Lathe, entry: &Entry) -> Option<String> {
    let name = |at| lathe.position_name(Control::Tumbler, at);
    let set = entry.tumbler?;
    let with_idler = !entry.train.studs().is_empty();
    let other = entry.either.map(|e| if with_idler { e.direct } else { e.with_idler });
    let other = other.and_then(|cuts| cuts.tumbler).filter(|other| *other != set).map(name);
    let set = name(set);
    Some(match (other, with_idler) {
        (None, _) => set.to_string(),
        (Some(other), false) => format!("{set} (idler: {other})"),
        (Some(other), true) => format!("{set} (no idler: {other})"),
    })
}

/// What the short form of [`tumbler`] means, by the first entry that has it; `None`: none has.
pub(crate) fn meaning<'e>(
    lathe: &Lathe,
    mut entries: impl Iterator<Item = &'e Entry>,
) -> Option<String> {
    entries.find_map(|entry| {
        let set = entry.tumbler.map(|at| lathe.position_name(Control::Tumbler, at));
        let short = tumbler(lathe, entry).filter(|short| Some(short.as_str()) != set)?;
        let Either { direct, with_idler, .. } = entry.either?;
        let (direct, idler) = tumbler_of(lathe, direct).zip(tumbler_of(lathe, with_idler))?;
        Some(format!(
            "{OPEN} Tumbler {short}: {direct} if they mesh directly, {idler} if an idler is needed. \
             {CHECK}"
        ))
    })
}

/// The two cases where the tumbler hangs on them; `None`: it is settled.
pub(crate) fn tumbler_sentences(lathe: &Lathe, entry: &Entry) -> Option<[String; 2]> {
    let either = entry.either?;
    either.direct.tumbler.or(either.with_idler.tumbler)?;
    sentences(lathe, either)
}

/// Directly and with an idler, a sentence each; `None`: neither hand is known.
pub(crate) fn sentences(lathe: &Lathe, either: Either) -> Option<[String; 2]> {
    let Either { direct, with_idler, .. } = either;
    let differ = direct.hand != with_idler.hand;
    direct.hand.or(with_idler.hand)?;
    // Two idlers turn it round twice.
    let two = match (with_idler.tumbler, direct.hand) {
        (None, Some(hand)) if lathe.parts().studs > 1 => format!("; two idlers: {hand} hand"),
        _ => String::new(),
    };
    Some([
        format!("If they mesh directly: {}.", in_words(lathe, direct, differ)),
        format!("If an idler is needed: {}{two}.", in_words(lathe, with_idler, differ)),
    ])
}

/// Why there are two cases.
pub(crate) const OPEN: &str =
    "The banjo is not measured: two gears may mesh directly, or need an idler.";

/// How to see which hand is cut.
pub(crate) const CHECK: &str = "Check the hand before the scratch pass: half nut closed, \
    spindle forward by hand; carriage toward the headstock = right hand.";
