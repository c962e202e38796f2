//! The blank, while the fitted gears still feed: what it is turned or bored to, chamfered, undercut and held.

use super::Card;
use super::page::{Page, strong};
use super::taper;
use crate::report::Role;
use crate::words::size;
use solver::Hand;
use solver::cutting::{Against, Blank};

/// Everything that comes before the gears come off.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let blank = card.job.groove.as_ref().and_then(|groove| groove.blank);
    let off = blank.and_then(|blank| blank.against_class());
    if card.is_begun() && matches!(off, None | Some(Against::Within)) {
        return;
    }
    page.section("Blank");
    if let Some(blank) = &blank {
        write_size(card, blank, page);
    }
    if let Some(taper) = card.job.sizes.as_ref().and_then(|sizes| sizes.taper.as_ref()) {
        page.facts(vec![taper::blank(card, taper)]);
    } else if card.job.cut.is_some_and(|cut| cut.taper().is_some()) {
        page.note("Turn or bore its taper first; its size is not known here (see Sizes).");
    }
    if card.is_begun() {
        return;
    }
    let first = card.is_nut().then(|| "Bore it first: the thread is cut in the bore.".to_string());
    let first = first.filter(|_| blank.is_none_or(|blank| !blank.is_measured()));
    let steps = [first, Some(chamfer(card)), Some(undercut(card)), support(card)];
    page.steps(steps.into_iter().flatten());
}

/// The diameter.
fn write_size(card: &Card<'_>, blank: &Blank, page: &mut Page) {
    let figure = strong(size::both(&blank.across()));
    let class = match (blank.allowed(), card.job.limits) {
        (Some([least, greatest]), Some(limits)) => {
            format!("; class {} allows {}", limits.class(), size::range([&least, &greatest]))
        }
        _ => ", the basic size: no class is known here".to_string(),
    };
    let (label, more) = match (blank.is_measured(), card.is_nut()) {
        (true, true) => ("bore", ", as measured"),
        (true, false) => ("blank", ", as measured"),
        (false, true) => ("bore to", " (--blank for another)"),
        (false, false) => ("turn to", " (--blank for another)"),
    };
    page.facts(vec![(label, figure.and(Role::Plain, format!("{more}{class}")))]);
    match (blank.against_class(), card.is_nut()) {
        (Some(Against::Over), false) => {
            page.warning("Blank over its class: turn it smaller, the nut binds on its crests.");
        }
        (Some(Against::Under), true) => {
            page.warning("Bore under its class: bore it larger, the screw binds on its crests.");
        }
        (Some(Against::Under | Against::Over), _) => page.warning(
            "Outside of its class: the crests are lower. The pitch diameter below is still right.",
        ),
        _ => {}
    }
}

/// Common practice, no source.
fn chamfer(card: &Card<'_>) -> String {
    let to = if card.is_nut() { "mouth of the bore a little over" } else { "end down to" };
    let depth =
        if card.is_nut() { "the thread's major diameter" } else { "the root of the thread" };
    format!("Chamfer the {to} {depth}.")
}

/// Where the thread ends, or starts, by its hand: the carriage of a right-hand thread runs toward the
/// headstock, that of a left-hand one away from it (common practice, no source).
fn undercut(card: &Card<'_>) -> String {
    let at = if card.is_nut() { "the bottom of a blind bore" } else { "the headstock end" };
    match (card.hand(), card.is_nut()) {
        (Some(Hand::Left), _) => {
            let bore = if card.is_nut() { " (a through bore: clear behind it)" } else { "" };
            format!(
                "Undercut at {at}{bore}: the thread starts there. The tool begins in it and runs away from \
                 the chuck."
            )
        }
        (_, true) => "A blind bore: undercut at its bottom; the tool runs out there.".to_string(),
        (_, false) => format!("Undercut at {at}: the tool runs out there."),
    }
}

/// Common practice, no source.
fn support(card: &Card<'_>) -> Option<String> {
    let clear = match card.hand() {
        Some(Hand::Left) => " The tool runs toward it: leave it room.",
        _ => "",
    };
    let long = "Longer than three diameters from the chuck: support it with a tailstock centre.";
    (!card.is_nut()).then(|| format!("{long}{clear}"))
}
