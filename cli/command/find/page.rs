//! What was found, for people: the chosen set-up, the next choices, what the proof covers, cautions.
//! With `--long` every list.

use super::{lists, next, remedies, set_up};
use crate::answer::{Outcome, Request};
use crate::report::drawing::Drawing;
use crate::report::number::grouped;
use crate::report::{Block, Report, Role, Text};
use crate::words::figures::{lead_inch, lead_mm, measure, plural, tpi};
use crate::words::search::{other_hand, part, unchecked};
use crate::words::set_up::{error_in_short, reasons};
use crate::words::verdict::another;
use crate::words::{cautions, doubt};
use solver::{Hand, Target, Travel};

/// The whole page: for each target the answer, with `--long` every list; then cautions and what to type
/// next.
pub(super) fn write(
    request: &Request,
    outcomes: &[Outcome],
    views: Vec<Vec<Drawing>>,
    report: &mut Report,
) {
    for line in request.machine.lines() {
        report.note(line);
    }
    for (outcome, views) in outcomes.iter().zip(views) {
        write_outcome(request, outcome, views, report);
    }
    if request.long {
        write_legend(request, outcomes, report);
    }
    if request.long || request.machine.lathe.parts().bracket.is_none() {
        report.note(unchecked(&request.machine.lathe, request.arbor.is_some()));
    }
    // Nothing is mounted where nothing fits; what is too close to call is tried on the lathe. A picture has
    // the caution above.
    let answered = outcomes.iter().find(|outcome| outcome.is_answered());
    report.mounts = answered.is_some();
    if report.mounts && report.drawings.is_empty() {
        report.note(Text::new(Role::Warning, cautions::HANDS));
    }
    if let Some(more) = more(request, answered) {
        report.note(more);
    }
    report.brief = outcomes.iter().map(in_one_line).collect();
}

/// What to type next: `--long` for the lists, and the card of the first target that has an answer.
fn more(request: &Request, answered: Option<&Outcome>) -> Option<Text> {
    let lists = (!request.long && request.train.is_none())
        .then(|| Text::from("All lists: ").and(Role::Typed, "--long"));
    let Some(answered) = answered else { return lists };
    let target = answered.target.text().trim();
    let quoted = if target.contains(' ') { format!("\"{target}\"") } else { target.to_owned() };
    let hand = answered.hand.filter(|hand| *hand == Hand::Left && answered.target.hand().is_none());
    let hand = hand.map(|hand| format!(" --hand {hand}"));
    let train = request.train.as_ref().map(|train| format!(" --train {train}"));
    let card = format!(
        "trainwright card {quoted}{}{}{}",
        request.machine.argument(),
        hand.unwrap_or_default(),
        train.unwrap_or_default()
    );
    // The command is last, so that no full stop is copied with it.
    let lists = lists.map_or_else(Text::default, |lists| lists.and(Role::Plain, ". "));
    Some(lists.and(Role::Plain, "Job card: ").and(Role::Typed, card))
}

/// The train and its error, for `-q`.
fn in_one_line(outcome: &Outcome) -> Text {
    let target = Text::from(format!("{}: ", outcome.target.text().trim()));
    match outcome.first_choice() {
        Some(entry) => {
            let line = target
                .and(Role::Strong, entry.train.to_string())
                .and(Role::Plain, format!(", {}", error_in_short(&entry.error)));
            let other = outcome.is_another(entry);
            if other {
                line.and(Role::Warning, format!(", {}", another(&outcome.allowed)))
            } else {
                line
            }
        }
        None => target.and(Role::Warning, "no train"),
    }
}

/// What the words of the lists mean: the same for every target, so it is said once.
fn write_legend(request: &Request, outcomes: &[Outcome], report: &mut Report) {
    let listed = |outcome: &&Outcome| outcome.proof.is_some() && !outcome.solutions.is_empty();
    let threads = |outcome: &Outcome| !outcome.target.travel().is_feed();
    if outcomes.iter().any(|outcome| listed(&outcome)) {
        let sum = if outcomes.iter().filter(listed).any(threads) {
            format!(" It adds up to the µm given in {} mm.", measure(&request.over.mm()).marked())
        } else {
            String::new()
        };
        report.heading("Legend");
        report.note(format!(
            "Fewest gears first: the closest train of each number of gears. Error: + is longer than \
             asked.{sum} ~ marks a rounded figure."
        ));
    }
}

fn write_outcome(request: &Request, outcome: &Outcome, views: Vec<Drawing>, report: &mut Report) {
    report.push(Block::Title(understood(outcome)));
    let first = report.drawings.len();
    report.drawings.extend(views);
    let drawings = (first..report.drawings.len()).collect();
    report.push(Block::Picture { drawings, in_letters: String::new() });
    if let Some(warning) = doubtful(&outcome.target) {
        report.note(Text::new(Role::Warning, warning));
    }
    if is_tapered(&outcome.target) {
        report.note("A taper thread: the gears give its lead; the taper takes an attachment.");
    }
    if outcome.proof.is_none() {
        set_up::write_judged(request, outcome, report);
        return;
    }
    match outcome.first_choice() {
        None => write_nothing(request, outcome, report),
        Some(entry) if outcome.is_another(entry) => {
            let other = another(&outcome.allowed);
            report.note(Text::new(Role::Warning, format!("No: the nearest train gives {other}.")));
            if let Some(feed) = lists::meant_as_a_feed(&outcome.target).filter(|_| !request.long) {
                report.note(feed);
            }
            report.push(Block::Facts(set_up::facts(request, outcome, entry)));
        }
        Some(_) => set_up::write(request, outcome, report),
    }
    if request.long {
        write_lists(request, outcome, report);
        report.note(format!("Compared: {}", proof(request, outcome)));
    } else {
        let next = next::rows(request, outcome);
        let rows = next.into_iter().chain([("compared", proof(request, outcome).into())]);
        report.push(Block::Facts(rows.map(|(label, text)| (label.to_owned(), text)).collect()));
    }
}

/// Every list of one target.
fn write_lists(request: &Request, outcome: &Outcome, report: &mut Report) {
    if !outcome.solutions.is_empty() {
        lists::write_choice(request, outcome, report);
        lists::write_ranking(request, outcome, report);
    }
    write_refused(request, outcome, report);
    write_remedies(request, outcome, report);
    if let Some(other) = other_hand(outcome) {
        report.note(Text::new(Role::Strong, other));
    }
    let hints = remedies::hints(request, outcome);
    if !hints.is_empty() {
        report.heading("Hints");
        report.push(Block::List(hints.into_iter().map(Text::from).collect()));
    }
}

/// The target as it was understood: `M10: ISO metric coarse, lead 1.5 mm = ~16.9333 TPI, right hand`.
fn understood(outcome: &Outcome) -> String {
    let target = &outcome.target;
    let (text, lead) = (target.text().trim(), target.lead());
    let figure = format!("{} mm", lead_mm(&lead).marked());
    match target.travel() {
        Travel::Thread => {
            let starts = match target.starts() {
                1 => String::new(),
                n => format!("{n} starts, pitch {} mm, ", lead_mm(&target.pitch()).marked()),
            };
            let hand = outcome.hand.map(|hand| format!(", {hand} hand")).unwrap_or_default();
            let series = target.thread().map(|thread| format!("{}, ", thread.series().name()));
            let series = series.unwrap_or_default();
            format!("{text}: {series}{starts}lead {figure} = {} TPI{hand}", tpi(&lead).marked())
        }
        travel => {
            let way = if travel == Travel::CrossFeed { "cross" } else { "longitudinal" };
            format!("{text}: {way} feed, {figure} = {} in per turn", lead_inch(&lead).marked())
        }
    }
}

/// A warning where threads per inch were probably meant, or the row of the thread's table is not sure.
fn doubtful(target: &Target) -> Option<String> {
    if let Some(number) = target.perhaps_tpi() {
        return Some(format!(
            "A lead of {number} in is unusual: {number} threads per inch is `{number} tpi`."
        ));
    }
    let thread = target.thread().filter(|t| t.sureness().wants_a_check())?;
    Some(format!(
        "{}: {}; look it up once more before you cut.",
        thread.designation(),
        thread.sureness()
    ))
}

/// Whether the thread is one of the taper pipe threads (ISO 7-1, ASME B1.20.1).
fn is_tapered(target: &Target) -> bool {
    target.thread().is_some_and(|thread| ["r", "npt"].contains(&thread.series().key()))
}

fn write_nothing(request: &Request, outcome: &Outcome, report: &mut Report) {
    let why = match (&request.within, &outcome.nearest) {
        (Some(_), Some(_)) if outcome.is_all() => {
            format!("No: nothing within {}. The nearest:", part(&outcome.allowed.part()))
        }
        (Some(_), Some(_)) => format!(
            "No: nothing within {} was found, but not all was searched. The nearest:",
            part(&outcome.allowed.part())
        ),
        _ => format!("No: {}.", why_nothing(request, outcome)),
    };
    report.note(Text::new(Role::Warning, why));
    if let Some(nearest) = &outcome.nearest {
        report.push(Block::Facts(set_up::facts(request, outcome, nearest)));
    }
}

/// Why no train stands at all.
fn why_nothing(request: &Request, outcome: &Outcome) -> &'static str {
    let parts = request.machine.lathe.parts();
    if !outcome.is_all() {
        "none was found, but not all was searched"
    } else if !outcome.refused.is_empty() && parts.bracket.is_some() {
        "no train of these gears fits on the banjo (--no-fit leaves that out)"
    } else if !outcome.refused.is_empty() {
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

fn write_refused(request: &Request, outcome: &Outcome, report: &mut Report) {
    if outcome.refused.is_empty() {
        return;
    }
    report.heading("Closer, but does not fit");
    let lines = outcome.refused.iter().map(|entry| {
        let error = error_in_short(&entry.error);
        let reasons = reasons(&request.machine.lathe, entry).into_iter().map(|reason| reason.text);
        let reasons = reasons.collect::<Vec<_>>().join(" ");
        Text::new(Role::Strong, entry.train.to_string())
            .and(Role::Plain, format!(", {error}: {reasons}"))
    });
    report.push(Block::List(lines.collect()));
}

/// What would let a closer train fit.
fn write_remedies(request: &Request, outcome: &Outcome, report: &mut Report) {
    if outcome.remedies.is_empty() {
        return;
    }
    report.heading("What would let a closer train fit");
    let bracket = request.machine.lathe.parts().bracket.as_ref();
    let lines = outcome.remedies.iter().map(|help| remedies::text(help, bracket).into());
    report.push(Block::List(lines.collect()));
}

/// What the answer rests on: `20,310 choices; nothing closer exists.` With `--long` also how many keyed
/// pairs a train of them has: one less than gear pairs.
fn proof(request: &Request, outcome: &Outcome) -> String {
    let Some(proof) = &outcome.proof else { return String::new() };
    let positions = match proof.positions {
        1 => String::new(),
        n => format!(" at {n} lever positions"),
    };
    let longer = doubt::longer_left_out(proof.pairs, proof.allowed);
    let keyed = match proof.pairs.saturating_sub(1) {
        _ if !request.long => String::new(),
        0 => ", no keyed pairs".to_owned(),
        keyed => format!(", up to {}", plural(keyed, "keyed pair")),
    };
    let searched = format!("{} choices{positions}{keyed}", grouped(proof.combinations));
    let verdict = if proof.complete && outcome.unlisted {
        "; nothing closer is sure to fit. More that are too close to call are not listed: --count."
    } else if proof.complete && outcome.solutions.is_empty() {
        if outcome.nearest.is_some() { "; nothing comes nearer." } else { "; there is none." }
    } else if proof.complete && !outcome.refused.is_empty() {
        "; nothing closer fits."
    } else if proof.complete {
        "; nothing closer exists."
    } else if let Some(ended) = doubt::ended(proof.stopped) {
        return format!("{searched}. NOT COMPLETE: {ended}.");
    } else if let Some(longer) = longer {
        return format!("{searched}. NOT COMPLETE: {longer}; one of them may be closer.");
    } else if let Some(unsettled) = doubt::unsettled(proof.settled) {
        return format!("{searched}. NOT COMPLETE: {unsettled}.");
    } else if outcome.solutions.is_empty() {
        ". NOT COMPLETE: the search was cut short; there may be a train."
    } else {
        ". NOT COMPLETE: the search was cut short; nothing closer than the last row was missed."
    };
    // What a lever position with an unknown ratio cuts nobody knows.
    let unknown = doubt::unknown(proof.unknown);
    let unknown = unknown.map_or_else(String::new, |unknown| format!(" NOT COMPLETE: {unknown}."));
    searched + verdict + &unknown
}
