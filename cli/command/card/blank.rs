//! The blank, while the fitted gears still feed: what it is turned or bored to, chamfered, undercut and held.

use super::Card;
use super::bore;
use super::page::{Page, strong};
use super::{taper, undercut};
use crate::report::Role;
use crate::words::size;
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
    let steps = [
        first,
        Some(chamfer(card)),
        Some(taper::run_out(card).unwrap_or_else(|| undercut::step(card))),
        undercut::place(card),
        support(card),
    ];
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
    // A nut for one screw is bored to that screw, not to a drill of a table.
    let bore = card.job.bore.iter().filter(|_| card.job.mate.is_none()).flat_map(bore::facts);
    let size = (label, figure.and(Role::Plain, format!("{more}{class}")));
    page.facts(std::iter::once(size).chain(bore).collect());
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

/// Common practice, no source.
fn support(card: &Card<'_>) -> Option<String> {
    let clear = if card.runs_away() { " The tool runs toward it: leave it room." } else { "" };
    let long = "Longer than three diameters from the chuck: support it with a tailstock centre.";
    (!card.is_nut()).then(|| format!("{long}{clear}"))
}
