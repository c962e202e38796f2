//! One set-up in plain words: which gear goes where, what the levers and the tumbler are set to,
//! what it cuts, and which gears come off and go on to get there from the fitted set-up.

use crate::answer::{Entry, Outcome, Request, idler_that_may_stay};
use crate::command::drawing;
use crate::report::number::grouped;
use crate::report::{Block, Report, Role, Text};
use crate::words::change::{self, joined_pair};
use crate::words::figures::{adds_up, lead_inch, lead_mm, measure, tpi};
use crate::words::reasons::Speaker;
use crate::words::search::{counted, part};
use crate::words::set_up::{
    OUTRUNS, any_of, assumption, error_in_short, levers_in_words, named, on_it, reasons,
    without_tumbler,
};
use crate::words::shaft::last_shaft;
use crate::words::{doubt, either, verdict};
use solver::bracket::Fit;
use solver::judge::train_now;
use solver::{Control, Gear, GearAt, GearChange, Lathe, Shaft, Train};

/// The set-up to start from: the fewest gears that are near enough, else the closest train.
pub(super) fn write(request: &Request, outcome: &Outcome, report: &mut Report) {
    let Some(entry) = outcome.first_choice() else { return };
    report.push(Block::Facts(facts(request, outcome, entry)));
    if request.long {
        write_edge(request, entry, report);
    }
    write_warnings(outcome, entry, report);
}

/// What a train does that was typed, and every reason why it can't stand.
pub(super) fn write_judged(request: &Request, outcome: &Outcome, report: &mut Report) {
    let stands = outcome.solutions.first().or(outcome.nearest.as_ref());
    let Some(entry) = stands.or_else(|| outcome.refused.first()) else { return };
    let reasons = reasons(&request.machine.lathe, entry);
    let assumption = assumption(&request.machine.lathe, entry, request.arbor);
    let verdict = match (&entry.fit, outcome.nearest.is_some()) {
        _ if !reasons.is_empty() => Text::new(Role::Warning, "No: it can't be set up so."),
        (_, true) => Text::new(
            Role::Warning,
            format!("No: it is not within {}.", part(&outcome.allowed.part())),
        ),
        (fit @ Fit::TooClose(_), _) => Text::new(Role::Warning, doubt::verdict(fit)),
        (Fit::Fits(_), _) => Text::new(Role::Good, "It fits."),
        _ if assumption.is_some() => Text::from("Nothing that is known speaks against it."),
        _ => Text::from("Nothing speaks against it."),
    };
    let other = reasons.is_empty() && outcome.nearest.is_none() && outcome.is_another(entry);
    report.note(if other {
        verdict.and(Role::Warning, format!(" But it gives {}.", verdict::another(&outcome.allowed)))
    } else {
        verdict
    });
    if !reasons.is_empty() {
        report.push(Block::List(reasons.into_iter().map(|reason| reason.text.into()).collect()));
    }
    if let Some(assumption) = assumption {
        report.note(Text::new(Role::Warning, assumption));
    }
    report.push(Block::Facts(facts(request, outcome, entry)));
    write_edge(request, entry, report);
    write_warnings(outcome, entry, report);
}

/// Which gear stands in which plane, where that is not plain.
fn write_edge(request: &Request, entry: &Entry, report: &mut Report) {
    let pairs = entry.train.studs().iter().any(|stud| matches!(stud, Shaft::Pair { .. }));
    if pairs || request.machine.lathe.parts().bracket.is_some() {
        // Pages show the picture at their top.
        let in_letters = drawing::in_letters(&request.machine.lathe, &entry.train, &entry.fit);
        report.push(Block::Picture { drawings: Vec::new(), in_letters });
    }
}

fn write_warnings(outcome: &Outcome, entry: &Entry, report: &mut Report) {
    if outcome.hand.is_some() && entry.hand.is_none() {
        report.note(Text::new(Role::Warning, SENSE_TEST));
    }
}

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
    let mount = in_words(request, entry) + &bridged(request, outcome, entry);
    let pi = match entry.error.cut_over_asked() {
        (quotient, -1) => Some(format!("cut as {quotient}").into()),
        _ => None,
    };
    // Of a train that was typed all is said.
    let full = request.long || outcome.proof.is_none();
    let long = |text: Option<Text>| text.filter(|_| full);
    let feed = outcome.target.travel().is_feed();
    let (cut, also) = if feed { ("feeds", "same feed") } else { ("cuts", "also cut by") };
    let coarse = outruns_the_spindle(request, outcome, entry);
    let head = [
        ("train", Some(Text::new(Role::Strong, entry.train.to_string()))),
        ("error", Some(error_in_words(request, outcome, entry))),
        ("pi", long(pi)),
        ("mount", Some(mount.into())),
    ];
    let tail = [
        ("levers", set_in_words(&request.machine.lathe, entry)),
        ("gears moved", change_in_words(request, outcome, entry).map(Text::from)),
        ("speed", coarse.then(|| Text::new(Role::Warning, OUTRUNS))),
        (cut, long(Some(cuts(outcome, entry)))),
        (also, long(others(request, outcome, entry).map(Text::from))),
    ];
    let named = |(label, text): (&str, Option<Text>)| Some((label.to_string(), text?));
    let mut facts: Vec<(String, Text)> = head.into_iter().filter_map(named).collect();
    if outcome.is_another(entry) && !full {
        facts.truncate(2);
        return facts;
    }
    // Where the studs go comes after what goes on them.
    facts.extend(idlers(entry).filter(|_| full));
    facts.extend(standing(request, entry));
    facts.extend(tail.into_iter().filter_map(named));
    facts
}

/// Which idlers would do, where there is a choice.
fn idlers(entry: &Entry) -> Option<(String, Text)> {
    let words = match &entry.idlers[..] {
        [] | [_] => return None,
        ones if ones.iter().all(|idlers| idlers.len() == 1) => {
            format!("{} reaches; any will do", any_of(&ones.concat()))
        }
        many => format!("{} choices of idlers reach", many.len()),
    };
    Some(("idler".to_string(), words.into()))
}

/// Where the studs stand, how far the arm is swung, and what is tight.
fn standing(request: &Request, entry: &Entry) -> Vec<(String, Text)> {
    let Some(mounting) = entry.fit.mounting() else { return Vec::new() };
    let speaker = Speaker::new(&request.machine.lathe, &entry.train);
    let swing = speaker.swing(mounting).map(|swing| ("arm angle".to_string(), swing));
    let tightest = speaker.tightest(mounting).map(|gap| ("clearance".to_string(), gap));
    let close = doubt::in_full(&request.machine.lathe, &entry.fit);
    let close = close.map(|words| ("fit".to_string(), words));
    let lines = speaker.studs(mounting).into_iter().chain(swing).chain(tightest);
    let lines = lines.map(|(label, words)| (label, Text::from(words)));
    let close = close.map(|(label, words)| (label, Text::new(Role::Warning, words)));
    lines.chain(close).collect()
}

fn others(request: &Request, outcome: &Outcome, entry: &Entry) -> Option<String> {
    let listed = outcome.solutions.iter().find(|s| s.lead == entry.lead)?;
    let others = listed.others.filter(|o| o.count > 0)?;
    let plural = if others.count == 1 && !others.at_least { "" } else { "s" };
    let fit = if plural.is_empty() { "fits" } else { "fit" };
    let tried = match others.tried {
        tried if entry.fit.mounting().is_some() && tried > others.count && !others.at_least => {
            format!(" that {fit}, of {} tried", grouped(tried.into()))
        }
        _ => String::new(),
    };
    let list = if request.all { "" } else { " (--all lists them)" };
    Some(format!("{} other set-up{plural}{tried}{list}", counted(others)))
}

/// What is to be set, the tumbler in full where it is an open question.
fn set_in_words(lathe: &Lathe, entry: &Entry) -> Option<Text> {
    let words = match either::tumbler_sentences(lathe, entry) {
        None => levers_in_words(lathe, entry),
        Some(cases) => {
            let levers = Some(named(without_tumbler(lathe, &entry.setting)))
                .filter(|levers| !levers.is_empty());
            let levers = levers.map(|levers| format!("{levers}."));
            levers.into_iter().chain(cases).collect::<Vec<_>>().join(" ")
        }
    };
    (!words.is_empty()).then(|| Text::new(Role::Strong, words))
}

fn cuts(outcome: &Outcome, entry: &Entry) -> Text {
    let mm = format!("{} mm", lead_mm(&entry.lead).marked());
    if outcome.target.travel().is_feed() {
        return Text::from(format!("{mm} = {} in per turn", lead_inch(&entry.lead).marked()));
    }
    let hand = entry.settled_hand().map(|hand| format!(", {hand} hand")).unwrap_or_default();
    Text::from(format!("{mm} = {} TPI{hand}", tpi(&entry.lead).marked()))
}

/// `+125 ppm: 3.1 µm long in 25 mm; inside class 6g: 2 % of its tolerance`.
fn error_in_words(request: &Request, outcome: &Outcome, entry: &Entry) -> Text {
    if entry.error.is_zero() {
        return Text::new(Role::Good, "exact");
    }
    let error = error_in_short(&entry.error);
    let feed = outcome.target.travel().is_feed();
    if entry.is_far_off() || outcome.is_another(entry) {
        let other = verdict::another(&outcome.allowed);
        return Text::new(Role::Warning, format!("{error}: {other}"));
    }
    let way = if entry.error.is_longer() { "long" } else { "short" };
    let sum = if feed {
        format!(" ({way})")
    } else {
        let over = measure(&request.over.mm()).marked();
        let um = adds_up(&entry.error, &request.over).shown().text;
        format!(": {} µm {way} in {over} mm", um.trim_start_matches(['+', '-']))
    };
    let verdict = verdict::in_words(&outcome.allowed, &entry.error);
    let text = Text::from(format!("{error}{sum}; "));
    verdict.spans().iter().fold(text, |text, span| text.and(span.role, &*span.text))
}

/// "40 on the driving shaft drives 55; 50 is keyed to it and drives 65 on the lead screw."
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
            Shaft::One(gear) if i == 0 => format!("{} on the driving shaft drives ", of(gear)),
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

/// What is said where nobody has measured whether two gears mesh directly.
fn bridged(request: &Request, outcome: &Outcome, entry: &Entry) -> String {
    let Some(either) = entry.either else { return String::new() };
    let open = if entry.train.studs().is_empty() {
        " Not measured: do they mesh directly, or is an idler needed?"
    } else {
        " Not measured: is the idler needed?"
    };
    if outcome.target.travel().is_feed() {
        return format!(
            "{open} The feed is the same; with one idler more or less it runs the other way."
        );
    }
    let lathe = &request.machine.lathe;
    if either::tumbler_sentences(lathe, entry).is_some() {
        return format!("{open} {}", either::CHECK);
    }
    match either::sentences(lathe, either) {
        Some(cases) => format!("{open} {} {}", cases.join(" "), either::CHECK),
        None => format!("{open} One idler more or less turns the hand round."),
    }
}

/// Which gears come off and which go on, from what is on the machine.
fn change_in_words(request: &Request, outcome: &Outcome, entry: &Entry) -> Option<String> {
    let lathe = &request.machine.lathe;
    let now = &train_now(lathe)?;
    if let Some(change) = as_it_is(lathe, outcome, entry, now) {
        return Some(change);
    }
    let mut change = GearChange::between(now, &entry.train);
    let idler = idler_that_may_stay(lathe, outcome, entry);
    // It is moved only if it is not needed.
    change.off.retain(|gear| idler.is_none_or(|idler| idler != gear.teeth));
    let step = |gears: &[GearAt], words: [&str; 2]| {
        let [before, after] = words;
        (!gears.is_empty()).then(|| format!("{before} {}{after}", change::in_short(gears)))
    };
    let off = step(&change.off, ["take off", ""]);
    let on = step(&change.on, ["put on", ""]);
    let (shifted, turned) = change.shifted_and_turned();
    let turn = step(&turned, ["put", " on the other way round"]);
    let shift = step(&shifted, ["shift", " on its shaft to the other plane"]);
    let stays = idler.map(|idler| format!("the {idler} may stay as the idler"));
    let steps: Vec<String> = [off, on, turn, shift, stays].into_iter().flatten().collect();
    let from = if request.long { format!(" ({}: {now})", on_it(lathe)) } else { String::new() };
    Some(steps.join("; ") + &from)
}

/// Where the train on the machine does as well.
fn as_it_is(lathe: &Lathe, outcome: &Outcome, entry: &Entry, now: &Train) -> Option<String> {
    if entry.train.places() == now.places() {
        return Some(format!("none: {now} is {}", on_it(lathe)));
    }
    let cuts = lathe.does_now(&entry.setting, &entry.train, outcome.hand).ok()??;
    let tumbler = match cuts.tumbler.filter(|at| entry.tumbler != Some(*at)) {
        Some(at) => format!(", with the tumbler {}", lathe.position_name(Control::Tumbler, at)),
        None if outcome.hand.is_none() && now.meshes() % 2 != entry.train.meshes() % 2 => {
            "; the screw turns the other way then".to_string()
        }
        None => String::new(),
    };
    Some(match lathe.not_as_fitted() {
        Some(_) => format!("none needed: {now}, on it now, does the same{tumbler}"),
        None => format!("none needed: the fitted {now} does the same{tumbler}"),
    })
}
