//! The blank, while the fitted gears still feed: what it is turned or bored to, chamfered, undercut and held.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use super::taper;
use crate::report::Role;
use crate::report::job::{Against, Blank, Sizes};
use solver::{Hand, cutting};

/// `None` where no diameter is known.
pub(super) fn of(job: &Job<'_>) -> Option<Blank> {
    let blank = job.groove.as_ref()?.blank.as_ref()?;
    Some(Blank {
        across: size::of_measure(&blank.across()),
        measured: blank.is_measured(),
        allowed: blank.allowed().map(|both| both.map(|length| size::of_length(&length))),
        in_class: blank.against_class().map(|against| match against {
            cutting::Against::Under => Against::Under,
            cutting::Against::Within => Against::Within,
            cutting::Against::Over => Against::Over,
        }),
    })
}

/// Everything that comes before the gears come off.
pub(super) fn write(job: &Job<'_>, blank: Option<&Blank>, sizes: Option<&Sizes>, page: &mut Page) {
    page.section("Blank");
    if let Some(blank) = blank {
        write_size(job, blank, page);
    }
    if let Some((sizes, taper)) = sizes.and_then(|sizes| Some((sizes, sizes.taper.as_ref()?))) {
        page.facts(vec![taper::blank(job, sizes, taper)]);
    } else if job.cut.is_some_and(|cut| cut.taper().is_some()) {
        page.note("Turn or bore its taper first; its size is not known here (see Sizes).");
    }
    let first = job.is_nut().then(|| "Bore it first: the thread is cut in the bore.".to_string());
    let first = first.filter(|_| blank.is_none_or(|blank| !blank.measured));
    let steps = [first, Some(chamfer(job)), Some(undercut(job)), support(job)];
    page.steps(steps.into_iter().flatten());
}

/// The diameter.
fn write_size(job: &Job<'_>, blank: &Blank, page: &mut Page) {
    let figure = strong(size::both(&blank.across));
    let class = match (&blank.allowed, job.limits) {
        (Some([least, greatest]), Some(limits)) => format!(
            "; class {} allows {} to {} mm ({} to {} in)",
            limits.class(),
            size::mm(least),
            size::mm(greatest),
            size::inches(least),
            size::inches(greatest)
        ),
        _ => ", the basic size: no class is known here".to_string(),
    };
    let (label, more) = match (blank.measured, job.is_nut()) {
        (true, true) => ("bore", ", as measured"),
        (true, false) => ("blank", ", as measured"),
        (false, true) => ("bore to", " (--blank for another)"),
        (false, false) => ("turn to", " (--blank for another)"),
    };
    page.facts(vec![(label, figure.and(Role::Plain, format!("{more}{class}")))]);
    match (blank.in_class, job.is_nut()) {
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
fn chamfer(job: &Job<'_>) -> String {
    let to = if job.is_nut() { "mouth of the bore a little over" } else { "end down to" };
    let depth = if job.is_nut() { "the thread's major diameter" } else { "the root of the thread" };
    format!("Chamfer the {to} {depth}.")
}

/// Where the thread ends, or starts, by its hand: the carriage of a right-hand thread runs toward the
/// headstock, that of a left-hand one away from it (common practice, no source).
fn undercut(job: &Job<'_>) -> String {
    let at = if job.is_nut() { "the bottom of a blind bore" } else { "the headstock end" };
    match (job.hand(), job.is_nut()) {
        (Some(Hand::Left), _) => {
            let bore = if job.is_nut() { " (a through bore: clear behind it)" } else { "" };
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
fn support(job: &Job<'_>) -> Option<String> {
    let clear = match job.hand() {
        Some(Hand::Left) => " The tool runs toward it: leave it room.",
        _ => "",
    };
    let long = "Longer than three diameters from the chuck: support it with a tailstock centre.";
    (!job.is_nut()).then(|| format!("{long}{clear}"))
}
