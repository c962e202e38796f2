//! What was found, for people: first the choice of fewest gears against error, then the set-up to
//! start from in plain words, then the list by error, what it rests on, and the cautions.

use super::entry::Entry;
use super::{Machine, Outcome, Request, counted, lists};
use crate::command::figures::{drift, lead_inch, lead_mm, measure, ppm, tpi};
use crate::report::number::grouped;
use crate::report::{Block, Report, Role, Text};
use solver::{Gear, Lathe, Shaft, Target, Travel};

/// What is said at the end of every answer.
const CAUTIONS: [&str; 4] = [
    "Unplug or lock off the lathe before the gear cover comes off; cover on before power. \
     Sleeves, hair and fingers clear; chuck key and hand crank out.",
    "Turn the spindle by hand through one full turn of the lead screw, then take a scratch pass \
     and measure it before you cut.",
    "Don't move tumbler or levers while anything turns, unless the machine's manual says so. \
     Never engage feed and half nut together.",
    "This is arithmetic and geometry: no word on strength, speed or the fitness of a part. The \
     machine's manual and local rules come first, and for pressure, lifting, vehicle, aircraft, \
     firearm or structural threads a qualified person and the standard.",
];

/// The whole page.
pub(super) fn write(request: &Request, outcomes: &[Outcome], report: &mut Report) {
    let machine = &request.machine;
    if machine.demo {
        report.note(Text::new(Role::Warning, demo_line(machine)));
    } else {
        let name = Text::from("Lathe: ").and(Role::Strong, machine.name());
        report.note(name.and(Role::Faint, format!(" ({})", machine.from)));
    }
    for outcome in outcomes {
        write_outcome(request, outcome, report);
    }
    report.heading("Before you cut");
    report.push(Block::List(CAUTIONS.map(|caution| format!("- {caution}").into()).into()));
}

/// Which lathe stands in where none was given.
pub(super) fn demo_line(machine: &Machine) -> String {
    format!(
        "Lathe: {}, {}. For your own: --lathe FILE, or lathe.json in this folder.",
        machine.name(),
        machine.from
    )
}

/// What `-v` says of one search.
pub(super) fn detail(outcome: &Outcome) -> String {
    let proof = &outcome.found.proof;
    format!(
        "{}: {} choices of gears in {} lever positions, up to {} ratio pairs, {}",
        outcome.target.text(),
        grouped(proof.combinations),
        proof.positions,
        proof.pairs,
        if proof.complete { "all searched" } else { "not all searched" }
    )
}

fn write_outcome(request: &Request, outcome: &Outcome, report: &mut Report) {
    report.push(Block::Title(outcome.target.text().to_string()));
    report.note(understood(outcome));
    if let Some(warning) = doubtful(&outcome.target) {
        report.note(Text::new(Role::Warning, warning));
    }
    if outcome.solutions.is_empty() {
        write_nothing(request, outcome, report);
    } else {
        lists::write_choice(request, outcome, report);
        write_set_up(request, outcome, report);
        lists::write_ranking(request, outcome, report);
    }
    write_refused(outcome, report);
    let hints = hints(request, outcome);
    if !hints.is_empty() {
        report.heading("Hints");
        report
            .push(Block::List(hints.into_iter().map(|hint| format!("- {hint}").into()).collect()));
    }
    report.note(proof(request, outcome));
}

/// The target as it was understood.
fn understood(outcome: &Outcome) -> Text {
    let target = &outcome.target;
    let lead = target.lead();
    let figure = format!("{} mm", lead_mm(&lead).marked());
    match target.travel() {
        Travel::Thread => {
            let starts = match target.starts() {
                1 => String::new(),
                n => format!("{n} starts, pitch {} mm, ", lead_mm(&target.pitch()).marked()),
            };
            let hand = outcome.hand.map(|hand| format!(", {hand} hand")).unwrap_or_default();
            let kind = target.thread().map_or("Thread", |t| t.series().name());
            Text::from(format!("{kind}: {starts}lead "))
                .and(Role::Strong, figure)
                .and(Role::Plain, format!(" = {} TPI{hand}.", tpi(&lead).marked()))
        }
        travel => {
            let along = if travel == Travel::CrossFeed { "across" } else { "along" };
            let inch = lead_inch(&lead).marked();
            Text::from("Feed ").and(Role::Strong, figure).and(
                Role::Plain,
                format!(" = {inch} in for one turn of the spindle, {along} the bed."),
            )
        }
    }
}

/// A warning where the row of the thread's table is not sure.
fn doubtful(target: &Target) -> Option<String> {
    let thread = target.thread().filter(|t| t.sureness().wants_a_check())?;
    Some(format!(
        "{}: {}; look it up once more before you cut.",
        thread.designation(),
        thread.sureness()
    ))
}

/// The tolerance in ppm.
pub(super) fn tolerance(request: &Request) -> String {
    let million = num_rational::BigRational::from_integer(1_000_000.into());
    let ppm = crate::report::number::Number::measure(request.tolerance.to_big() * million);
    format!("{} ppm", ppm.marked())
}

/// The set-up to start from: the fewest gears that are near enough, else the closest train.
fn write_set_up(request: &Request, outcome: &Outcome, report: &mut Report) {
    let fewest = outcome.fewest.and_then(|i| outcome.trade_off.get(i));
    let Some(entry) = fewest.or_else(|| outcome.solutions.first()) else { return };
    let why = if fewest.is_some() {
        format!("fewest gears within {}", tolerance(request))
    } else {
        "the closest".to_string()
    };
    report.heading(format!("Set-up: {why}"));
    report.push(Block::Facts(facts(request, outcome, entry)));
    if outcome.hand.is_some() && entry.hand.is_none() {
        report.note(Text::new(Role::Warning, SENSE_TEST));
    }
}

/// How to find out which way the screw turns.
const SENSE_TEST: &str = "Which hand it cuts is not known: some sense of turning is not described. \
    Try it: half nut closed, turn the spindle forward by hand; carriage toward the headstock = \
    right hand. If it is the wrong one, flip the tumbler; where there is none, put one idler in or take one \
    out. Reversing the motor never changes the hand.";

fn facts(request: &Request, outcome: &Outcome, entry: &Entry) -> Vec<(String, Text)> {
    let mut facts = vec![
        ("train".to_string(), Text::new(Role::Strong, entry.train.to_string())),
        ("mount".to_string(), in_words(request, entry).into()),
    ];
    let levers = levers_in_words(entry);
    if !levers.is_empty() {
        facts.push(("set".to_string(), Text::new(Role::Strong, levers)));
    }
    facts.push((
        if entry.hand.is_none() && outcome.hand.is_none() { "feeds" } else { "cuts" }.to_string(),
        cuts(outcome, entry),
    ));
    facts.push(("error".to_string(), error_in_words(request, entry)));
    if let (quotient, -1) = entry.error.cut_over_asked() {
        facts.push(("for pi".to_string(), format!("{quotient}").into()));
    }
    if let Some(fitted) = &request.machine.lathe.parts().fitted {
        let gears = plural(entry.handled, "gear");
        let text = format!("{gears} off and on, from the fitted {}", fitted.train);
        facts.push(("change".to_string(), text.into()));
    }
    let listed = outcome.solutions.iter().find(|s| s.lead == entry.lead);
    if let Some(others) = listed.and_then(|s| s.others).filter(|o| o.count > 0) {
        let text = format!("{} more set-ups have this lead (--all lists them)", counted(others));
        facts.push(("others".to_string(), text.into()));
    }
    facts
}

fn levers_in_words(entry: &Entry) -> String {
    let headstock = entry.headstock.iter().map(|name| format!("headstock {name}"));
    let levers = entry.levers.iter().map(|(lever, position)| format!("{lever} {position}"));
    let tumbler = entry.tumbler.iter().map(|name| format!("tumbler {name}"));
    headstock.chain(levers).chain(tumbler).collect::<Vec<_>>().join(", ")
}

fn cuts(outcome: &Outcome, entry: &Entry) -> Text {
    let mm = format!("{} mm", lead_mm(&entry.lead).marked());
    if outcome.target.travel().is_feed() {
        return Text::from(format!("{mm} = {} in per turn", lead_inch(&entry.lead).marked()));
    }
    let hand = entry.hand.map(|hand| format!(", {hand} hand")).unwrap_or_default();
    Text::from(format!("{mm} = {} TPI{hand}", tpi(&entry.lead).marked()))
}

fn error_in_words(request: &Request, entry: &Entry) -> Text {
    if entry.error.is_zero() {
        return Text::new(Role::Good, "none: exact");
    }
    let over = measure(&request.over.mm()).marked();
    let way = if entry.error.is_longer() { "long" } else { "short" };
    Text::from(format!(
        "{} ppm: {} µm in {over} mm ({way})",
        ppm(&entry.error).shown().text,
        drift(&entry.error, &request.over).shown().text
    ))
}

fn error_in_short(entry: &Entry) -> String {
    if entry.error.is_zero() {
        return "exact".to_string();
    }
    format!("{} ppm", ppm(&entry.error).shown().text)
}

/// "40 on the first shaft drives 55; 50 is keyed to it and drives 65 on the lead screw."
fn in_words(request: &Request, entry: &Entry) -> String {
    let last_shaft = if request.machine.lathe.parts().gearbox.levers.is_empty() {
        "the lead screw"
    } else {
        "the gearbox input"
    };
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
        let step = match shaft {
            Shaft::One(gear) if i == 0 => format!("{} on the first shaft drives ", name(gear)),
            Shaft::One(gear) if last => format!("{} on {last_shaft}.", name(gear)),
            Shaft::One(gear) => format!("{}, an idler, which drives ", name(gear)),
            Shaft::Pair { driven, driver } => {
                format!("{}; {} is keyed to it and drives ", name(driven), name(driver))
            }
        };
        words += &step;
    }
    if entry.train.meshes() == 1 {
        words += " Any idler that bridges the two leaves the lead alone and turns the screw the \
                  other way";
        words += if entry.tumbler.is_some() { ": then flip the tumbler." } else { "." };
    }
    words
}

/// Whether the box holds gears that don't mesh with each other: then each is named with its size.
fn tooth_sizes_are_mixed(lathe: &Lathe) -> bool {
    let mut gears = lathe.parts().gears.all();
    let first = gears.next();
    first.is_some_and(|first| gears.any(|gear| !gear.meshes_with(first)))
}

fn write_nothing(request: &Request, outcome: &Outcome, report: &mut Report) {
    let why = match (&request.within, &outcome.nearest) {
        (Some(_), Some(_)) => format!("No: nothing within {}. The nearest:", tolerance(request)),
        _ => format!("No: {}.", why_nothing(request, outcome)),
    };
    report.note(Text::new(Role::Warning, why));
    if let Some(nearest) = &outcome.nearest {
        report.push(Block::Facts(facts(request, outcome, nearest)));
    }
}

/// Why no train stands at all.
fn why_nothing(request: &Request, outcome: &Outcome) -> &'static str {
    let parts = request.machine.lathe.parts();
    if !outcome.refused.is_empty() {
        "every train of these gears runs a gear into a neighbouring shaft (--no-fit leaves that out)"
    } else if parts.gears.total() < 2 {
        "a train needs two gears at least"
    } else if outcome.hand.is_some() && parts.tumbler.is_empty() && parts.studs < 2 {
        "no train of these gears cuts that hand: without a tumbler it takes one more idler, and a \
         stud for it (--studs)"
    } else {
        "no train of these gears meets what the end shafts, the studs and the hand ask for"
    }
}

fn write_refused(outcome: &Outcome, report: &mut Report) {
    if outcome.refused.is_empty() {
        return;
    }
    report.heading("Closer, but does not fit");
    let lines = outcome.refused.iter().map(|(entry, reason)| {
        let error = error_in_short(entry);
        Text::new(Role::Strong, entry.train.to_string())
            .and(Role::Plain, format!(", {error}: {reason}"))
    });
    report.push(Block::List(lines.collect()));
}

/// What would help.
pub(super) fn hints(request: &Request, outcome: &Outcome) -> Vec<String> {
    let parts = request.machine.lathe.parts();
    let mut hints = Vec::new();
    if let Some((entry, teeth)) = &outcome.one_more {
        let loose = parts.gears.loose().iter().filter(|(gear, _)| gear.teeth == *teeth);
        let owned: usize = loose.map(|(_, count)| usize::from(*count)).sum();
        hints.push(format!(
            "One more {teeth} would come closer: {} needs {} x {teeth}, you own {owned}: {}.",
            entry.train,
            owned + 1,
            error_in_short(entry)
        ));
    }
    if outcome.unknown_positions > 0 {
        hints.push(format!(
            "{} could not be searched: a ratio is unknown (`trainwright lathe show` says which).",
            plural(outcome.unknown_positions, "lever position")
        ));
    }
    if !parts.studs_stated {
        hints.push(
            "1 stud was taken, since the lathe does not say; --studs 2 tries two.".to_string(),
        );
    }
    hints
}

fn plural(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

/// What the answer rests on.
fn proof(request: &Request, outcome: &Outcome) -> String {
    let proof = &outcome.found.proof;
    let positions = match proof.positions {
        1 => String::new(),
        n => format!(" over {n} lever positions"),
    };
    let pairs = plural(proof.pairs, "ratio pair");
    let searched = format!(
        "Compared: {} choices of gears{positions}, up to {pairs}",
        grouped(proof.combinations)
    );
    let studs = usize::from(request.machine.lathe.parts().studs);
    let verdict = if proof.complete && outcome.solutions.is_empty() {
        "; there is no other."
    } else if proof.complete && !outcome.refused.is_empty() {
        "; nothing closer fits."
    } else if proof.complete {
        "; nothing closer exists."
    } else if proof.pairs <= studs {
        ". NOT COMPLETE: trains with more ratio pairs were left out; one of them may be closer."
    } else {
        ". NOT COMPLETE: the search was cut short; nothing closer than the last row was missed."
    };
    let fit = if request.arbor.is_some() {
        " Each gear on a stud clears the next shaft; reach not checked: the bracket is not described."
    } else {
        " Neither clearance nor reach was checked (--no-fit)."
    };
    let size = request.machine.lathe.parts().gears.all().all(|gear| gear.size.is_none());
    let module = if size && request.arbor.is_some() {
        " Module 1 was taken: no gear says its pitch."
    } else {
        ""
    };
    searched + verdict + fit + module
}
