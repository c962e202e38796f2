//! A set-up in words: what is set, how far off it is, whether it fits and what speaks against it.

use super::figures::{is_in_per_cent, measure, per_cent, ppm};
use super::reasons::{Objection, Speaker};
use super::{either, lacks};
use crate::answer::Entry;
use solver::bracket::{Fit, FitState};
use solver::{Lathe, LeadError, LeastClearance, Setting, Teeth, ToothSize, Travel};

/// What a screw that turns faster than the spindle asks for (common practice, no source).
pub(crate) const OUTRUNS: &str = "Coarse: turn the spindle by hand, or run it at its slowest.";

/// `headstock low, Range B, tumbler up`: all that is set; empty where nothing is.
pub(crate) fn levers_in_words(lathe: &Lathe, entry: &Entry) -> String {
    named(positions(lathe, entry))
}

/// `Range B, tumbler up`.
pub(crate) fn named(positions: Vec<(String, String)>) -> String {
    let named = positions.into_iter().map(|(name, at)| format!("{name} {at}"));
    named.collect::<Vec<_>>().join(", ")
}

/// An error with its unit: ppm, from 1 % on per cent.
pub(crate) fn error_in_short(error: &LeadError) -> String {
    if error.is_zero() {
        "exact".to_string()
    } else if is_in_per_cent(error) {
        format!("{} %", per_cent(error).shown().text)
    } else {
        format!("{} ppm", ppm(error).shown().text)
    }
}

/// `40`, `40 or 41`, `40 to 57`, `40, 44 or 50`.
pub(crate) fn any_of(sizes: &[Teeth]) -> String {
    let run = sizes.windows(2).all(|w| w[0].get() + 1 == w[1].get());
    match sizes {
        [first, .., last] if run && sizes.len() > 2 => format!("{first} to {last}"),
        [most @ .., last] if !most.is_empty() => {
            let most: Vec<String> = most.iter().map(ToString::to_string).collect();
            format!("{} or {last}", most.join(", "))
        }
        [only] => only.to_string(),
        _ => String::new(),
    }
}

/// Everything that is to be set, name and position: headstock, levers, tumbler.
pub(crate) fn positions(lathe: &Lathe, entry: &Entry) -> Vec<(String, String)> {
    let tumbler = either::tumbler(lathe, entry).map(|position| ("tumbler".to_string(), position));
    without_tumbler(lathe, &entry.setting).into_iter().chain(tumbler).collect()
}

/// The headstock where it has several positions, and the levers.
pub(crate) fn without_tumbler(lathe: &Lathe, setting: &Setting) -> Vec<(String, String)> {
    let headstock = lathe.headstock_name(setting).map(|at| ("headstock", at));
    let all = headstock.into_iter().chain(lathe.lever_names(setting));
    all.map(|(name, at)| (name.to_string(), at.to_string())).collect()
}

/// Whether it fits, in the words of the documents.
pub(crate) fn fit_word(fit: &Fit) -> &'static str {
    match fit.state() {
        FitState::Fits => "fits",
        FitState::TooClose => "too close",
        FitState::CutShort => "not settled",
        FitState::DoesNotFit => "does not fit",
        _ => "not checked",
    }
}

/// What moves the tool, in the words of the documents.
pub(crate) const fn travel(travel: Travel) -> &'static str {
    match travel {
        Travel::Thread => "thread",
        Travel::LongFeed => "long feed",
        Travel::CrossFeed => "cross feed",
    }
}

/// All that speaks against it, as sentences.
pub(crate) fn reasons(lathe: &Lathe, entry: &Entry) -> Vec<Objection> {
    let speaker = Speaker::new(lathe, &entry.train);
    let of_fit = entry.fit.reasons().iter().map(|reason| speaker.objection(reason));
    of_fit.chain(entry.objections.iter().filter_map(|one| lacks::objection(lathe, one))).collect()
}

/// What the shop's rule says against it with figures that nobody stated: not a refusal.
pub(crate) fn assumed(lathe: &Lathe, entry: &Entry) -> Vec<Objection> {
    let speaker = Speaker::new(lathe, &entry.train);
    entry.assumed.iter().map(|reason| speaker.objection(reason)).collect()
}

/// The same in words, and what to do; `arbor`: the least room beside a shaft.
pub(crate) fn assumption(
    lathe: &Lathe,
    entry: &Entry,
    arbor: Option<LeastClearance>,
) -> Option<String> {
    let said: Vec<String> = assumed(lathe, entry).into_iter().map(|one| one.text).collect();
    let unsized_gear = entry.train.gears().any(|gear| gear.size.is_none());
    let size = unsized_gear.then(|| ToothSize::ASSUMED.to_string());
    let room = arbor.filter(|arbor| *arbor == LeastClearance::Assumed).map(|arbor| {
        let mm = measure(&arbor.mm()).marked();
        format!("{mm} mm from a tip to the next shaft's axis (--clearance)")
    });
    let figures: Vec<String> = size.into_iter().chain(room).collect();
    (!said.is_empty()).then(|| {
        let figures = figures.join(" and ");
        format!("Assumed: {figures}. By that: {} Measure it on the lathe.", said.join(" "))
    })
}

/// What the train is that a change of gears starts from.
pub(crate) fn on_it(lathe: &Lathe) -> &'static str {
    if lathe.not_as_fitted().is_some() { "on it now" } else { "fitted" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_read_as_people_say_them() {
        let words = |sizes: &[u64]| {
            let sizes: Vec<Teeth> = sizes.iter().map(|z| Teeth::new(*z).unwrap()).collect();
            any_of(&sizes)
        };
        assert_eq!(words(&[40]), "40");
        assert_eq!(words(&[40, 41]), "40 or 41");
        assert_eq!(words(&[40, 41, 42]), "40 to 42");
        assert_eq!(words(&[65, 70, 75]), "65, 70 or 75");
    }
}
