//! Tool, top slide and depth of cut.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::command::figures::rounded;
use crate::report::job::{Size, Tooling, TopSlide};
use crate::report::{Role, Text};
use solver::cutting::{self, Along, Cut, Ground, Measure, Tip};
use solver::{Hand, Length, Ratio, Result};

/// Deepest first pass, in mm, where nobody said how many there are (common practice, no source).
const FIRST_PASS: (u128, u128) = (1, 4);
/// Passes that a card has room for where nobody said how many there are.
const MOST_PASSES: u32 = 16;

/// For the tool that was stated, else for one ground for the form.
///
/// # Errors
/// If the tool is too wide for the groove.
pub(super) fn of(job: &Job<'_>, top_slide_is_taken: bool) -> Result<Option<Tooling>> {
    let Some(cut) = &job.cut else { return Ok(None) };
    let depth = cut.depth(job.work.tip)?;
    let marks = marks_of(job, cut, &depth.depth)?;
    let (tip, tip_size) = tip(job.work.tip, cut.ground());
    let angle = cut.form().half_angle().times(&Ratio::whole(2)?)?;
    Ok(Some(Tooling {
        included_angle: angle.to_string(),
        form_assumed: cut.is_form_assumed(),
        tip,
        tip_size,
        tip_stated: job.work.tip != Tip::Form,
        depth: size::of_measure(&depth.depth),
        form_depth: size::of_measure(&depth.form),
        passes_mm: marks.iter().map(|mark| rounded(*mark, 6)).collect(),
        root: match (depth.is_too_blunt(), depth.is_deeper()) {
            (true, _) => "too shallow",
            (_, true) => "deeper",
            _ => "of the form",
        },
        slide: if top_slide_is_taken { None } else { Some(slide(cut, &depth.depth, &marks)?) },
        lead_angle: cut.diameters().ok().map(|of| rounded(cut.lead_angle(&of.pitch), 6)),
        taper: cut.taper().map(|taper| taper.to_string()),
    }))
}

/// The marks of pointed tools, on whose area the rule rests.
fn marks_of(job: &Job<'_>, cut: &Cut, depth: &Measure) -> Result<Vec<f64>> {
    if !cut.form().is_pointed() {
        return Ok(Vec::new());
    }
    let first = Length::from_mm(Ratio::new(FIRST_PASS.0, FIRST_PASS.1)?);
    let usual = || cutting::passes_for(depth, first).min(MOST_PASSES);
    cutting::passes(depth, job.work.passes.unwrap_or_else(usual))
}

fn tip(stated: Tip, ground: Ground) -> (&'static str, Option<Size>) {
    let exact = |length: &Length| Some(size::of_length(length));
    match (stated, ground) {
        (Tip::Nose(radius), _) => ("nose", exact(&radius)),
        (Tip::Flat(width), _) => ("flat", exact(&width)),
        (Tip::Sharp, _) => ("point", None),
        (Tip::Form, Ground::Nose(radius)) => ("nose", Some(size::of_mm(radius))),
        (Tip::Form, Ground::Flat(width)) => ("flat", Some(size::of_mm(width))),
        (Tip::Form, _) => ("form", None),
    }
}

fn slide(cut: &Cut, depth: &Measure, marks: &[f64]) -> Result<TopSlide> {
    let slide = cut.top_slide(depth)?;
    let longer = slide.travel / depth.mm();
    Ok(TopSlide {
        from_cross_slide: slide.from_cross_slide.to_string(),
        from_bed: slide.from_bed.to_string(),
        toward: match slide.along {
            Along::Headstock => "headstock",
            Along::Tailstock => "tailstock",
        },
        travel: size::of_mm(slide.travel),
        passes_mm: marks.iter().map(|mark| rounded(mark * longer, 6)).collect(),
    })
}

/// The section.
pub(super) fn write(job: &Job<'_>, depth: Option<&Tooling>, page: &mut Page) {
    page.section("Tool and depth");
    let Some((depth, cut)) = depth.zip(job.cut.as_ref()) else {
        let why = job.no_form.as_deref().unwrap_or("its form is not known");
        page.note(format!("No depth and no sizes: {why}. Take them from a sample."));
        return;
    };
    page.facts(facts(job, depth, cut));
    match depth.root {
        "too shallow" => page.warning(
            "Too blunt: at the right pitch diameter the mate binds on its crest. A finer tool.",
        ),
        "deeper" => {
            page.note("Finer than the form wants: the root is deeper and the work weaker there.");
        }
        _ => {}
    }
    if depth.form_assumed {
        page.note("The 60° form was taken, since only a pitch was named (--form for another).");
    }
    if let Some(taper) = &depth.taper {
        page.note(format!(
            "Tapered {} on the diameter: it takes a taper attachment; the tailstock is not set over.",
            taper.replace('/', " in ")
        ));
    }
}

fn facts(job: &Job<'_>, depth: &Tooling, cut: &Cut) -> Vec<(&'static str, Text)> {
    let mut facts = vec![("tool", Text::from(tool(depth)))];
    if let Some(angle) = depth.lead_angle {
        facts.push(("relief", Text::from(relief(angle, cut.hand()))));
    }
    facts.push(("depth", depth_in_words(job, depth)));
    facts.extend(marks(&depth.passes_mm));
    match &depth.slide {
        Some(slide) => {
            facts.push(("or swung", slide_in_words(job, slide)));
            facts.extend(marks(&slide.passes_mm));
        }
        None => facts.push(("top slide", "parallel to the bed: infeed by the cross slide".into())),
    }
    facts
}

fn tool(depth: &Tooling) -> String {
    let angle = degrees(&depth.included_angle);
    let size = depth.tip_size.as_ref().map(size::both).unwrap_or_default();
    let end = match depth.tip {
        "nose" => format!("nose radius {size}"),
        "flat" => format!("flat {size} wide"),
        _ => "a sharp point".to_string(),
    };
    let whose = if depth.tip_stated { "as stated" } else { "as the form wants it" };
    format!("{angle} included, {end}, {whose}; at centre height, set square by the gauge")
}

/// A fraction of a degree, as protractors are read.
fn degrees(exact: &str) -> String {
    let value = exact.parse::<Ratio>().map_or(f64::NAN, |ratio| ratio.to_f64());
    format!("{}°", (value * 100.0).round() / 100.0)
}

fn relief(angle: f64, hand: Hand) -> String {
    let side = match hand {
        Hand::Right => "left",
        Hand::Left => "right",
    };
    format!("{angle:.1}° lead angle: relieve the {side} side that much more, the other less")
}

fn depth_in_words(job: &Job<'_>, depth: &Tooling) -> Text {
    let double = 2.0 * depth.depth.mm;
    let across = job.cut.and_then(|cut| Some(cut.diameters().ok()?.blank(job.work.side)));
    let across = across.map(|blank| format!(" of {} mm", size::mm(&size::of_measure(&blank))));
    let across = across.unwrap_or_default();
    let way = if job.is_nut() {
        format!("outward from a bore{across}")
    } else {
        format!("inward from a blank{across}")
    };
    strong(size::both(&depth.depth)).and(
        Role::Plain,
        format!(" straight, {way}; a dial that counts the diameter moves {double:.3} mm"),
    )
}

/// What the dial shows after each pass.
fn marks(passes: &[f64]) -> Option<(&'static str, Text)> {
    let all: Vec<String> = passes.iter().map(|mm| format!("{mm:.2}")).collect();
    let words = format!("{} mm ({} passes of equal chips)", all.join(" "), all.len());
    (!all.is_empty()).then(|| ("marks", words.into()))
}

fn slide_in_words(job: &Job<'_>, slide: &TopSlide) -> Text {
    let way = if job.is_nut() { "outward" } else { "inward" };
    let (cross, bed) = (degrees(&slide.from_cross_slide), degrees(&slide.from_bed));
    strong(format!("top slide {cross}"))
        .and(
            Role::Plain,
            format!(
                " from the cross slide's line ({bed} from the bed's), so that it feeds {way} and \
                 toward the {}: travel ",
                slide.toward
            ),
        )
        .and(Role::Strong, size::both(&slide.travel))
        .and(Role::Plain, " in all. Tool out and back by the cross slide, to the same mark")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_are_read_as_on_a_protractor() {
        assert_eq!(degrees("59/2"), "29.5°");
        assert_eq!(degrees("93/4"), "23.25°");
        assert_eq!(degrees("60"), "60°");
    }
}
