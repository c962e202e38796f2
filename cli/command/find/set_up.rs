//! One set-up in plain words: which gear goes where, what the levers and the tumbler are set to,
//! what it cuts, and which gears come off and go on to get there from the fitted set-up.

use super::entry::Entry;
use super::lists::error_in_short;
use super::page::tolerance;
use super::remedies::any_of;
use super::{Outcome, Request, counted};
use crate::command::change::{self, joined_pair};
use crate::command::doubt;
use crate::command::drawing;
use crate::command::figures::{drift, lead_inch, lead_mm, measure, tpi};
use crate::command::reasons::Speaker;
use crate::report::job::Placed;
use crate::report::number::grouped;
use crate::report::{Block, Report, Role, Text};
use solver::bracket::Fit;
use solver::{Gear, Lathe, Shaft, Train, Turns};

/// The set-up to start from: the fewest gears that are near enough, else the closest train.
pub(super) fn write(request: &Request, outcome: &Outcome, report: &mut Report) {
    let Some(entry) = outcome.first_choice() else { return };
    let why = if outcome.fewest.is_some() {
        format!("fewest gears within {}", tolerance(outcome))
    } else if entry.is_too_close() {
        doubt::TOO_CLOSE.to_string()
    } else {
        "the closest".to_string()
    };
    report.heading(format!("Set-up: {why}"));
    report.push(Block::Facts(facts(request, outcome, entry)));
    write_edge(request, entry, report);
    write_warnings(request, outcome, entry, report);
}

/// What a train does that was typed, and every reason why it can't stand.
pub(super) fn write_judged(request: &Request, outcome: &Outcome, report: &mut Report) {
    let stands = outcome.solutions.first().or(outcome.nearest.as_ref());
    let Some(entry) = stands.or_else(|| outcome.refused.first()) else { return };
    let reasons = entry.reasons(&request.machine.lathe);
    let verdict = match (&entry.fit, outcome.nearest.is_some()) {
        _ if !reasons.is_empty() => Text::new(Role::Warning, "No: it can't be set up so."),
        (_, true) => {
            Text::new(Role::Warning, format!("No: it is not within {}.", tolerance(outcome)))
        }
        (Fit::TooClose(_), _) => Text::new(Role::Warning, doubt::MEASURE_IT),
        (Fit::Fits(_), _) => Text::new(Role::Good, "It fits."),
        _ => Text::from("Nothing speaks against it."),
    };
    report.note(verdict);
    if !reasons.is_empty() {
        report.push(Block::List(reasons.into_iter().map(|reason| reason.text.into()).collect()));
    }
    report.push(Block::Facts(facts(request, outcome, entry)));
    write_edge(request, entry, report);
    write_warnings(request, outcome, entry, report);
}

/// Which gear stands in which plane, where that is not plain.
fn write_edge(request: &Request, entry: &Entry, report: &mut Report) {
    let pairs = entry.train.studs().iter().any(|stud| matches!(stud, Shaft::Pair { .. }));
    if pairs || request.machine.lathe.parts().bracket.is_some() {
        report.push(Block::Letters(drawing::in_letters(&entry.train, &entry.fit)));
    }
}

fn write_warnings(request: &Request, outcome: &Outcome, entry: &Entry, report: &mut Report) {
    if outcome.hand.is_some() && entry.hand.is_none() {
        report.note(Text::new(Role::Warning, SENSE_TEST));
    }
    if outruns_the_spindle(request, outcome, entry) {
        report.note(Text::new(Role::Warning, OUTRUNS));
    }
}

/// What a screw that turns faster than the spindle asks for (common practice, no source).
pub(in crate::command) const OUTRUNS: &str = "Coarse: the lead screw turns faster than the spindle. Turn the spindle by \
    hand or run it at its slowest.";

/// Whether the lead screw turns faster than the spindle: then the thread is coarser than the screw.
fn outruns_the_spindle(request: &Request, outcome: &Outcome, entry: &Entry) -> bool {
    !outcome.target.travel().is_feed()
        && !entry.is_far_off()
        && request.machine.lathe.parts().lead_screw.outruns(&entry.lead)
}

/// How to find out which way the screw turns.
const SENSE_TEST: &str = "Which hand it cuts is not known: some sense of turning is not described. \
    Try it: half nut closed, turn the spindle forward by hand; carriage toward the headstock = \
    right hand. If it is the wrong one, flip the tumbler; where there is none, put one idler in or \
    take one out. Reversing the motor never changes the hand.";

/// Label and value of all that is to be done and known.
pub(super) fn facts(request: &Request, outcome: &Outcome, entry: &Entry) -> Vec<(String, Text)> {
    let cuts_label = if outcome.target.travel().is_feed() { "feeds" } else { "cuts" };
    let mount = in_words(request, entry) + &bridged(request, outcome, entry);
    let levers = levers_in_words(entry);
    let set = (!levers.is_empty()).then(|| Text::new(Role::Strong, levers));
    let pi = match entry.error.cut_over_asked() {
        (quotient, -1) => Some(format!("taken as {quotient}").into()),
        _ => None,
    };
    let facts = [
        ("train", Some(Text::new(Role::Strong, entry.train.to_string()))),
        ("mount", Some(mount.into())),
        ("set", set),
        (cuts_label, Some(cuts(outcome, entry))),
        ("error", Some(error_in_words(request, outcome, entry))),
        ("pi", pi),
        ("change", change_in_words(request, entry).map(Text::from)),
        ("others", others(outcome, entry).map(Text::from)),
    ];
    let mut facts: Vec<_> = facts.into();
    let stands: Vec<_> = idlers(entry).into_iter().chain(standing(request, entry)).collect();
    // Where the studs go comes after what goes on them.
    facts.splice(2..2, stands.iter().map(|(label, text)| (label.as_str(), Some(text.clone()))));
    facts.into_iter().filter_map(|(label, text)| Some((label.to_string(), text?))).collect()
}

/// Which idlers would do, where there is a choice.
fn idlers(entry: &Entry) -> Option<(String, Text)> {
    let words = match &entry.idlers[..] {
        [] | [_] => return None,
        ones if ones.iter().all(|idlers| idlers.len() == 1) => {
            format!("{} reaches; any will do", any_of(&ones.concat()))
        }
        many => format!("{} choices of idlers reach (--all lists them)", many.len()),
    };
    Some(("idler".to_string(), words.into()))
}

/// Where the studs stand, how far the arm is swung, and what is tight.
fn standing(request: &Request, entry: &Entry) -> Vec<(String, Text)> {
    let Some(mounting) = entry.fit.mounting() else { return Vec::new() };
    let speaker = Speaker::new(&request.machine.lathe, &entry.train);
    let swing = speaker.swing(mounting).map(|swing| ("swing".to_string(), swing));
    let tightest = speaker.tightest(mounting).map(|gap| ("tightest".to_string(), gap));
    let close = doubt::in_full(&request.machine.lathe, &entry.fit);
    let close = close.map(|words| ("fit".to_string(), words));
    let lines = speaker.studs(mounting).into_iter().chain(swing).chain(tightest);
    let lines = lines.map(|(label, words)| (label, Text::from(words)));
    let close = close.map(|(label, words)| (label, Text::new(Role::Warning, words)));
    lines.chain(close).collect()
}

fn others(outcome: &Outcome, entry: &Entry) -> Option<String> {
    let listed = outcome.solutions.iter().find(|s| s.lead == entry.lead)?;
    let others = listed.others.filter(|o| o.count > 0)?;
    let tried = match others.tried {
        tried if entry.fit.mounting().is_some() && tried > others.count && !others.at_least => {
            let fit = if others.count == 1 { "fits" } else { "fit" };
            format!(" and {fit}, of {} tried", grouped(tried.into()))
        }
        _ => String::new(),
    };
    let (what, have) = match (outcome.target.travel().is_feed(), others.count) {
        (true, 1) => ("feed", "set-up gives"),
        (true, _) => ("feed", "set-ups give"),
        (false, 1) => ("lead", "set-up cuts"),
        (false, _) => ("lead", "set-ups cut"),
    };
    Some(format!("{} more {have} this {what}{tried} (--all lists them)", counted(others)))
}

pub(in crate::command) fn levers_in_words(entry: &Entry) -> String {
    let positions = entry.positions().into_iter().map(|(name, at)| format!("{name} {at}"));
    positions.collect::<Vec<_>>().join(", ")
}

fn cuts(outcome: &Outcome, entry: &Entry) -> Text {
    let mm = format!("{} mm", lead_mm(&entry.lead).marked());
    if outcome.target.travel().is_feed() {
        return Text::from(format!("{mm} = {} in per turn", lead_inch(&entry.lead).marked()));
    }
    let hand = entry.hand.map(|hand| format!(", {hand} hand")).unwrap_or_default();
    Text::from(format!("{mm} = {} TPI{hand}", tpi(&entry.lead).marked()))
}

fn error_in_words(request: &Request, outcome: &Outcome, entry: &Entry) -> Text {
    if entry.error.is_zero() {
        return Text::new(Role::Good, "none: exact");
    }
    let error = error_in_short(&entry.error);
    if entry.is_far_off() {
        let other = if outcome.target.travel().is_feed() { "feed" } else { "thread" };
        return Text::new(Role::Warning, format!("{error}: this is a different {other}"));
    }
    let way = if entry.error.is_longer() { "long" } else { "short" };
    if outcome.target.travel().is_feed() {
        return Text::from(format!("{error} ({way})"));
    }
    let over = measure(&request.over.mm()).marked();
    let drift = drift(&entry.error, &request.over).shown().text;
    Text::from(format!("{error}: {drift} µm in {over} mm ({way})"))
}

/// What the last shaft is called.
pub(in crate::command) fn last_shaft(lathe: &Lathe) -> &'static str {
    if lathe.parts().gearbox.levers.is_empty() { "the lead screw" } else { "the gearbox input" }
}

/// "40 on the first shaft drives 55; 50 is keyed to it and drives 65 on the lead screw."
fn in_words(request: &Request, entry: &Entry) -> String {
    let last_shaft = last_shaft(&request.machine.lathe);
    let shafts = entry.train.shafts();
    let mixed = tooth_sizes_are_mixed(&request.machine.lathe);
    let name = |gear: &Gear| match gear.size.filter(|_| mixed) {
        Some(size) => {
            format!("{} ({size}, {}°)", gear.teeth, measure(&gear.angle.degrees()).marked())
        }
        None => gear.teeth.to_string(),
    };
    let mut words = String::new();
    for (i, shaft) in shafts.iter().enumerate() {
        let last = i + 1 == shafts.len();
        let joined =
            entry.train.partner(i).map(|gear| joined_pair(shaft.driven().teeth, gear.teeth));
        let of = |gear: &Gear| match &joined {
            Some(pair) => format!("{} of {pair}", name(gear)),
            None => name(gear),
        };
        let step = match shaft {
            Shaft::One(gear) if i == 0 => format!("{} on the first shaft drives ", of(gear)),
            Shaft::One(gear) if last => format!("{} on {last_shaft}.", of(gear)),
            Shaft::One(gear) => format!("{}, an idler, which drives ", of(gear)),
            Shaft::Pair { driven, driver } if joined.is_some() => {
                format!("{}; its {} drives ", of(driven), name(driver))
            }
            Shaft::Pair { driven, driver } => {
                format!("{}; {} is keyed to it and drives ", name(driven), name(driver))
            }
        };
        words += &step;
    }
    words
}

/// Whether the box holds gears that don't mesh with each other: then each is named with its size.
fn tooth_sizes_are_mixed(lathe: &Lathe) -> bool {
    let mut gears = lathe.parts().gears.all();
    let first = gears.next();
    first.is_some_and(|first| gears.any(|gear| !gear.meshes_with(first)))
}

/// What an idler does where two gears alone don't reach each other, as is usual.
fn bridged(request: &Request, outcome: &Outcome, entry: &Entry) -> String {
    // Whether they reach each other is known where the bracket is.
    if entry.train.meshes() != 1 || entry.fit.mounting().is_some() {
        return String::new();
    }
    let what = if outcome.target.travel().is_feed() { "feed" } else { "lead" };
    let then = match (&entry.hand, other_tumbler(&request.machine.lathe, entry)) {
        (Some(_), Some(tumbler)) => format!("stays the same; set the tumbler {tumbler} then."),
        (Some(_), None) => "stays the same, but one idler alone cuts the other hand.".to_string(),
        (None, _) => "stays the same, but the screw turns the other way.".to_string(),
    };
    format!(" Where they don't reach each other, put any idler between: the {what} {then}")
}

/// The first tumbler position that turns the screw the other way than the one that is set.
fn other_tumbler<'l>(lathe: &'l Lathe, entry: &Entry) -> Option<&'l str> {
    let tumbler = &lathe.parts().tumbler;
    let set = tumbler.iter().find(|(name, _)| Some(name) == entry.tumbler.as_ref())?.1;
    let opposite = |turns: &Turns| set.then(*turns) == Turns::Opposite;
    tumbler.iter().find(|(_, turns)| opposite(turns)).map(|(name, _)| name.as_str())
}

/// Which gears come off and which go on, from the fitted set-up.
fn change_in_words(request: &Request, entry: &Entry) -> Option<String> {
    let fitted = &request.machine.lathe.parts().fitted.as_ref()?.train;
    if let Some(change) = as_fitted(request, entry, fitted) {
        return Some(change);
    }
    let change = change::of(fitted, &entry.train);
    let step = |gears: &[Placed], words: [&str; 2]| {
        let [before, after] = words;
        (!gears.is_empty()).then(|| format!("{before} {}{after}", change::in_short(gears)))
    };
    let off = step(&change.off, ["take off", ""]);
    let on = step(&change.on, ["put on", ""]);
    let shift = step(&change.shifted, ["shift", " on its shaft to the other plane"]);
    let steps: Vec<String> = [off, on, shift].into_iter().flatten().collect();
    let idler = idler_that_may_stay(request, entry, fitted);
    Some(format!("{} (fitted: {fitted}){idler}", steps.join("; ")))
}

/// Where two gears may want an idler and it leaves the hand alone: the one that is fitted.
fn idler_that_may_stay(request: &Request, entry: &Entry, fitted: &Train) -> String {
    let hand = entry.hand.is_none() || other_tumbler(&request.machine.lathe, entry).is_some();
    match fitted.studs() {
        [Shaft::One(idler)] if entry.train.meshes() == 1 && hand => {
            let used = entry.train.gears().any(|gear| gear.teeth == idler.teeth);
            if used {
                String::new()
            } else {
                format!("; the {} may stay as the idler", idler.teeth)
            }
        }
        _ => String::new(),
    }
}

/// Where the fitted train does as well: its ratio is the same, and so is the gear on the last
/// shaft, which a lever position may ask for.
fn as_fitted(request: &Request, entry: &Entry, fitted: &Train) -> Option<String> {
    if entry.train.places() == fitted.places() {
        return Some(format!("none: {fitted} is fitted"));
    }
    let last = |train: &Train| train.gears().last().map(|gear| gear.teeth);
    if fitted.ratio().ok()? != entry.ratio || last(fitted) != last(&entry.train) {
        return None;
    }
    let flips = fitted.meshes() % 2 != entry.train.meshes() % 2;
    let tumbler = match (&entry.tumbler, flips) {
        (_, false) => String::new(),
        (Some(_), true) => {
            format!(", with the tumbler {}", other_tumbler(&request.machine.lathe, entry)?)
        }
        // A thread would come out with the other hand.
        (None, true) if entry.hand.is_none() => "; the screw turns the other way then".to_string(),
        (None, true) => return None,
    };
    Some(format!("none needed: the fitted {fitted} does the same{tumbler}"))
}
