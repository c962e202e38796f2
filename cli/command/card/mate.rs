//! A nut that is cut to one screw.

use super::Card;
use super::page::{Page, strong};
use crate::report::{Role, Text};
use crate::words::size;
use solver::job::{Root, ToMate};

/// The section, where a screw was stated.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some(to) = &card.job.mate else { return };
    page.section("Cut to its screw");
    let mut facts = vec![
        ("screw", format!("pitch diameter {}, as measured", size::both(&to.mate)).into()),
        ("clearance", clearance(to)),
        ("cut to", wanted(to)),
    ];
    facts.extend(bore(card));
    page.facts(facts);
    write_tool(card, page);
    page.steps([
        "Wires don't go into a nut: its own screw is the gauge. Wipe both clean.",
        "Try it after the pass before the last: spindle stopped, tool clear, turned in by hand.",
        "After the last pass it binds: spring passes, then 0.02 mm more at a time until it runs through.",
    ]);
    page.note("It fits this screw. The limits under Sizes are for any screw of the class.");
}

fn clearance(to: &ToMate) -> Text {
    let classes = to.classes.map(|[nut, screw]| (format!("{nut}/{screw}"), nut.standard()));
    match (&to.clearance, classes) {
        (Some(clearance), Some((pair, standard))) => strong(size::both(clearance))
            .and(Role::Plain, format!(", the least between {pair} ({standard})")),
        (_, Some((pair, standard))) => {
            format!("none: {pair} leaves none ({standard}); open it by trial").into()
        }
        _ => "none is known for this thread: open it by trial".into(),
    }
}

/// From where, and how deep.
fn bore(card: &Card<'_>) -> Option<(&'static str, Text)> {
    let groove = card.job.groove.as_ref()?;
    let across = groove.blank?.across();
    let deep = format!(", then {} of depth outward", size::both(&groove.depth));
    Some(("bore", strong(size::both(&across)).and(Role::Plain, deep)))
}

fn wanted(to: &ToMate) -> Text {
    let tolerance = to.up_to.map(|up_to| {
        let class = to.classes.map(|[nut, _]| format!(", the tolerance of {nut}"));
        format!(", up to {}{}", size::both(&up_to), class.unwrap_or_default())
    });
    strong(size::both(&to.wanted))
        .and(Role::Plain, format!(" pitch diameter{}", tolerance.unwrap_or_default()))
}

/// Whether there is room for the screw's crests.
fn write_tool(card: &Card<'_>, page: &mut Page) {
    let Some(groove) = card.job.groove.as_ref().filter(|of| of.root() == Some(Root::TooShallow))
    else {
        return;
    };
    let flat =
        card.job.cut.zip(groove.blank).and_then(|(cut, blank)| ToMate::widest_flat(&cut, &blank));
    page.warning(match flat.filter(|flat| *flat > 0.0) {
        Some(flat) => format!(
            "The screw's crests would bind at the root: a tool with a flat of {} or less (--flat).",
            size::both(&flat)
        ),
        None => "The screw's crests would bind at the root of any tool: turn them down.".to_owned(),
    });
}
