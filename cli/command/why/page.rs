//! What went wrong, for people.

use super::{Case, words};
use crate::report::{Block, Report, Role, Text};
use crate::words::figures::{measure, off_mm};
use crate::words::set_up::levers_in_words;
use crate::words::{cautions, size};
use solver::why::{Explanation, Instrument, Look, Misreading, Verdict};

/// Explanations that the page has room for.
const SHOWN: usize = 5;

/// The page: what was asked and read, what explains it, the look that decides.
pub(super) fn write(case: &Case<'_>, report: &mut Report) {
    report.note(case.request.machine.line());
    let target = case.outcome.target.text();
    report.push(Block::Title(format!("{target}: what went wrong?")));
    report.push(Block::Facts(facts(case)));
    verdict(case, report);
    if !case.answer.explanations.is_empty() {
        report.push(list(case, &case.answer.explanations));
        alike(case, report);
    }
    if !case.answer.nearest.is_empty() {
        report.heading("Nearest, but no explanation");
        report.push(list(case, &case.answer.nearest));
    }
    if let Some(look) = case.answer.look {
        let words = words::look(&case.request.machine.lathe, look);
        report.heading("Look");
        report.note(Text::new(Role::Strong, words.clone()));
        if matches!(look, Look::Teeth { .. } | Look::Keyed { .. } | Look::Studs(_)) {
            report.note(Text::new(Role::Warning, cautions::HANDS));
        }
        report.brief.push(words.into());
    }
    if !case.answer.faults.is_empty() {
        let seen = case.seen.map_or("", words::seen_word);
        report.heading(format!("What makes a thread {seen}"));
        let faults = case.answer.faults.iter().map(|fault| words::fault(*fault).into());
        report.push(Block::List(faults.collect()));
    }
}

/// The set-up, what it should measure, and what came out.
fn facts(case: &Case<'_>) -> Vec<(String, Text)> {
    let lathe = &case.request.machine.lathe;
    let levers = levers_in_words(lathe, case.entry);
    let set_up = std::iter::once(case.entry.train.to_string());
    let set_up = set_up.chain((!levers.is_empty()).then_some(levers));
    let set_up = set_up.collect::<Vec<_>>().join(", ");
    let mut facts = vec![("set-up".to_owned(), set_up.into())];
    if let Some(((measured, reading), should)) = case.measured.as_ref().zip(case.answer.should) {
        facts.push(("should measure".to_owned(), size::both(&should).into()));
        let by = measure(&reading.give_or_take.mm()).marked();
        let from = match reading.instrument {
            Instrument::Rule => format!(" (±{by} mm assumed, by a rule)"),
            Instrument::Caliper => format!(" (±{by} mm assumed, by a caliper)"),
            _ => String::new(),
        };
        facts.push(("measured".to_owned(), format!("{}{from}", measured.text()).into()));
    }
    let hand = case.hand.map(|hand| ("came out".to_owned(), format!("{hand} hand").into()));
    let seen = case.seen.map(|seen| ("seen".to_owned(), words::seen_word(seen).to_owned().into()));
    facts.extend(hand.into_iter().chain(seen));
    facts
}

fn verdict(case: &Case<'_>, report: &mut Report) {
    let count = case.answer.explanations.len();
    let (role, words) = match case.answer.verdict {
        Verdict::Right => (Role::Good, right(case).to_owned()),
        Verdict::One if count == 1 => (Role::Strong, "One mistake explains it.".to_owned()),
        Verdict::One => {
            let agree = format!("{count} mistakes explain it, each alone; the most common first.");
            (Role::Strong, agree)
        }
        Verdict::Two => {
            let pairs =
                if count == 1 { "one pair does".into() } else { format!("{count} pairs do") };
            (Role::Strong, format!("No single mistake explains it; of two together {pairs}."))
        }
        _ => (
            Role::Warning,
            "Nothing explains it: no mistake on this lathe, and no two together.".to_owned(),
        ),
    };
    report.note(Text::new(role, words.clone()));
    if case.answer.verdict == Verdict::Nothing {
        report.note(
            "Measure again. Then check the lathe's file: the lead screw, the gears of the box, the \
             positions of the levers.",
        );
    }
    let first = case.answer.explanations.first();
    let lathe = &case.request.machine.lathe;
    report.brief = vec![first.map_or(words, |one| words::explanation(lathe, one)).into()];
}

fn right(case: &Case<'_>) -> &'static str {
    match (&case.measured, case.hand, case.seen) {
        (None, None, Some(_)) => "Nothing was measured: no mistake of the gearing is looked for.",
        (None, ..) => "It is the hand that this set-up cuts.",
        _ => "It measures as it should: the gearing is right.",
    }
}

/// Explanations that no measuring tells from the first.
fn alike(case: &Case<'_>, report: &mut Report) {
    let all: Vec<String> = case
        .answer
        .explanations
        .iter()
        .enumerate()
        .filter(|(_, one)| case.answer.explanations.first().is_some_and(|f| f.measures_as(one)))
        .map(|(at, _)| (at + 1).to_string())
        .collect();
    let shown = case.answer.explanations.len().min(SHOWN);
    let more = case.answer.explanations.len() - shown;
    if let [all @ .., last] = &all[..]
        && !all.is_empty()
        && case.measured.is_some()
    {
        report.note(format!("{} and {last} measure the same: only a look tells.", all.join(", ")));
    }
    if more > 0 {
        let words = Text::from(format!("{more} more are rarer. All: "));
        report.note(words.and(Role::Typed, "--format csv").and(Role::Plain, "."));
    }
    let one_start = Misreading::StartAsPitch;
    let first = case.answer.explanations.first();
    if first.is_some_and(|one| one.causes == [solver::why::Cause::Reading(one_start)]) {
        report.note("Then nothing is wrong with the gearing: cut the other starts.");
    }
}

/// Explanations, each with what it would measure.
fn list(case: &Case<'_>, all: &[Explanation]) -> Block {
    let each = all.iter().take(SHOWN).enumerate();
    Block::Facts(each.map(|(at, one)| ((at + 1).to_string(), said(case, one))).collect())
}

/// `the 127 alone in mesh, as an idler: 15.875 mm, reading +0.002 mm off; made sometimes.`
fn said(case: &Case<'_>, one: &Explanation) -> Text {
    let text = words::explanation(&case.request.machine.lathe, one);
    let mut text = Text::new(Role::Strong, text);
    if let Some(((_, reading), measures)) = case.measured.as_ref().zip(one.measures) {
        let [least, greatest] = [&measures.least, &measures.greatest].map(size::mm);
        let length = if least == greatest { least } else { format!("{least} to {greatest}") };
        let off = off_mm(measures.off(reading)).shown().text;
        text = text.and(Role::Plain, format!(": {length} mm, reading {off} mm off"));
    }
    let hand = one.hand.filter(|_| case.hand.is_some());
    let hand = hand.map_or_else(String::new, |hand| format!(", {hand} hand"));
    text.and(Role::Plain, format!("{hand}; made {}.", words::common(one.points)))
}
