//! The thread is half cut: where it is, what is left, which slide readings come next.

use super::Card;
use super::page::{Page, strong};
use super::rest;
use crate::report::{Role, Text};
use crate::words::size;
use solver::cutting::Blank;
use solver::job::{Conicity, Gauge, NextCut, Stage};

/// The section, where something was measured.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some(next) = &card.job.next else { return };
    page.section("Next cut");
    let mut facts = vec![("measured", measured(next)), ("pitch now", pitch(next))];
    if next.stage != Stage::TooDeep {
        facts.push(("left", left(card, next)));
        facts.extend(in_class(card, next));
    }
    rest::write(&facts, &next.rest, next.aside.is_some(), page);
    match next.stage {
        Stage::Cutting => {
            let first = card.job.pick_up.map(|_| "Pick up the thread first, as below.".to_owned());
            page.steps(first.into_iter().chain(steps(card, next)));
        }
        Stage::InClass => page.note(strong(format!(
            "Done: inside {} at every place measured. Spring passes only.",
            goal(card)
        ))),
        Stage::PerhapsTooDeep => page.warning(format!(
            "Perhaps {} already: the uncertainty reaches past {}. Measure finer before another cut.",
            too_far(card),
            goal(card)
        )),
        Stage::TooDeep => page.warning(format!(
            "{} already: {} past {}. Cut no more.",
            capital(too_far(card)),
            size::both(&next.left.to_last.map_or(0.0, |left| -2.0 * left)),
            goal(card)
        )),
    }
    if matches!(next.stage, Stage::PerhapsTooDeep | Stage::TooDeep) {
        page.note(rescue(card, next));
    }
    if let Some(conicity) = &next.conicity {
        page.note(taper(card, conicity));
    }
}

/// What holds the pitch diameter.
fn goal(card: &Card<'_>) -> String {
    match (&card.job.mate, card.job.limits) {
        (Some(_), _) => "the fit to its screw".to_owned(),
        (None, limits) => {
            limits.map(|limits| format!("class {}", limits.class())).unwrap_or_default()
        }
    }
}

fn too_far(card: &Card<'_>) -> &'static str {
    if card.is_nut() { "oversize" } else { "undersize" }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `10.450 mm (0.4114 in) over wires of 0.900 mm, ± 0.010 mm assumed: a micrometer`.
fn measured(next: &NextCut) -> Text {
    let of = &next.measured;
    let readings: Vec<String> = of.readings.iter().map(size::both).collect();
    let how = match (of.gauge, &next.wire) {
        (Gauge::Wires, Some(wire)) => format!("over wires of {}", size::both(wire)),
        (Gauge::Wires, None) => "over wires".to_string(),
        (Gauge::Pitch, _) => "pitch diameter".to_string(),
        (Gauge::Depth, _) => "deep from the surface of the blank".to_string(),
        (Gauge::Root, _) => "across the root".to_string(),
    };
    let usual = match of.gauge {
        Gauge::Wires | Gauge::Pitch => "a micrometer's, assumed",
        Gauge::Depth => "a slide's, assumed",
        Gauge::Root => "a caliper's, assumed",
    };
    let whose = if of.stated.is_some() { "as stated" } else { usual };
    format!("{} {how}; ± {} mm, {whose}", readings.join(", "), size::mm(&of.off())).into()
}

fn pitch(next: &NextCut) -> Text {
    let bounds = size::range([&next.pitch.least, &next.pitch.greatest]);
    // A depth says nothing of the flanks of a wide groove.
    let is_narrow = next.aside.is_some() && next.measured.gauge.is_of_depth();
    let narrow = if is_narrow { "; by the narrower tool, no flank cut yet" } else { "" };
    strong(size::both(&next.pitch.likely)).and(Role::Plain, format!(", from {bounds}{narrow}"))
}

/// What is left to the aim: infeed, or the way of each flank of a wide groove.
fn left(card: &Card<'_>, next: &NextCut) -> Text {
    if let (Some(deep), Some(aside)) = (next.rest.passes.last(), next.rest.flank_passes.last()) {
        let flanks = format!(" of depth in the middle, then {} to each flank", size::both(aside));
        return strong(size::both(deep)).and(Role::Plain, flanks);
    }
    let left = next.left.to_aim * next.aside.unwrap_or(1.0);
    let way = match next.aside {
        Some(_) => "along the bed, at each flank",
        None => "square to the axis",
    };
    let aim = match (next.left.to_last, &card.job.mate) {
        (_, Some(_)) => "size for its screw",
        (Some(_), None) => "middle of the class",
        (None, None) => "basic size",
    };
    if left > 0.0 {
        strong(size::both(&left)).and(Role::Plain, format!(" to the {aim}, {way}"))
    } else {
        Text::from(format!("{} past the {aim}, {way}", size::both(&-left)))
    }
}

/// Between which cuts it is in its class: by the reading, and whatever its error.
fn in_class(card: &Card<'_>, next: &NextCut) -> Option<(&'static str, Text)> {
    let by = next.aside.unwrap_or(1.0);
    let is_middle = !next.rest.passes.is_empty() && next.aside.is_some();
    let (first, last) = next.left.to_first.zip(next.left.to_last)?;
    if is_middle || last <= 0.0 || next.stage != Stage::Cutting {
        return None;
    }
    let span = if first > 0.0 {
        format!("after {}", size::range([&(by * first), &(by * last)]))
    } else {
        format!("by the reading already, {} more at most", size::both(&(by * last)))
    };
    let surely = match next.sure {
        Some([from, to]) => {
            format!("; surely after {}", size::range([&(by * from), &(by * to)]))
        }
        None => "; the reading is too coarse to be sure".to_owned(),
    };
    let label = if card.job.mate.is_some() { "fits" } else { "in class" };
    Some((label, format!("{span}{surely}").into()))
}

/// Common practice, no source.
fn steps(card: &Card<'_>, next: &NextCut) -> Vec<String> {
    let first = "Spring pass first, no infeed. If it still cuts, measure again.".to_string();
    let way = if card.is_nut() { "outward" } else { "inward" };
    let dial =
        format!("Turn the dial {way} to each reading; past it: back a full turn, backlash out.");
    match (next.rest.passes.len(), next.rest.flank_passes.len()) {
        (0, 0) => vec!["At its size: spring passes only.".to_string()],
        (0, _) => vec![
            first,
            "One flank, spring pass; then the other. Measure again before the last pass of the second."
                .to_string(),
        ],
        (_, 1..) => vec![
            dial,
            "Measure over wires when the middle is at depth: before that they say little.".to_string(),
        ],
        (1, 0) => vec![
            first,
            dial,
            "Half of the pass first, then a spring pass: measure again.".to_string(),
        ],
        (count, 0) => vec![
            first,
            dial,
            format!(
                "Stop after pass {} of {count}, one spring pass: measure again before the last.",
                count - 1
            ),
        ],
    }
}

/// What can still be done.
fn rescue(card: &Card<'_>, next: &NextCut) -> String {
    let classes: Vec<String> = next.meets.iter().map(ToString::to_string).collect();
    let other = if card.job.mate.is_some() {
        None
    } else if classes.is_empty() {
        Some("No other common class holds it.".to_owned())
    } else {
        let what = format!("Its pitch diameter is still inside class {}", classes.join(" or "));
        let blank = card.job.groove.as_ref().and_then(|of| of.blank).filter(Blank::is_measured);
        let crests = match blank {
            Some(_) => "; so is the blank",
            None => ": check its crests too (--blank)",
        };
        Some(format!("{what}{crests}. Is that class enough for the job?"))
    };
    let matched = if card.is_nut() {
        "Or cut its screw to match, tried in this nut. Mark both as a pair.".to_owned()
    } else {
        format!(
            "Or cut a nut to match (--internal --mate {}mm), tried on this screw. Mark both as a pair.",
            size::mm(&next.pitch.likely)
        )
    };
    let short = "A shorter length of engagement does not mend it. Where it carries load, scrap it.";
    let all = other.into_iter().chain([matched, short.to_owned()]);
    all.collect::<Vec<_>>().join(" ")
}

/// Between centres the tailstock sets the axis; a larger end stood further from the tool (common practice,
/// no source; Jones, Turning and Boring, ch. I, sets the tailstock over for a taper).
fn taper(card: &Card<'_>, of: &Conicity) -> String {
    if !of.is_sure && of.differs {
        return "No taper, but the places differ by more than their uncertainty: the work bends or is not \
                round. Measure each place once more."
            .to_string();
    }
    if !of.is_sure {
        return "Taper: none shown, the readings differ by less than their uncertainty."
            .to_string();
    }
    let (free_larger, grows) = (of.grows < 0.0, of.grows.abs());
    let end = if free_larger { "free end" } else { "headstock end" };
    let rate = of.um_per_mm().map_or_else(
        || " (`over 20 mm` beside the readings gives it per mm)".to_string(),
        |rate| format!(", {:.2} µm per mm of length", rate.abs()),
    );
    let cure = match (card.is_nut(), free_larger) {
        (true, _) => {
            "Bore and thread with the headstock's axis straight: the top slide does not change it."
        }
        (false, true) => {
            "Between centres: tailstock toward the tool. In the chuck: the work springs away, spring \
             passes. The top slide does not change it."
        }
        (false, false) => {
            "Between centres: tailstock away from the tool. The top slide does not change it."
        }
    };
    format!("Taper: the {end} is larger by {}{rate}. {cure}", size::both(&grows))
}
