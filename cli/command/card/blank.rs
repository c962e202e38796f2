//! What the work is turned or bored to before the gears are changed.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::report::Role;
use crate::report::job::{Against, Blank};
use solver::cutting;

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

/// The section.
pub(super) fn write(job: &Job<'_>, blank: &Blank, page: &mut Page) {
    page.section("Blank");
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
