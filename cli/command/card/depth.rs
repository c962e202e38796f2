//! Tool, depth of cut and its passes, top slide.

use super::groove::{self, Groove};
use super::job::{Job, NoForm};
use super::page::{Facts, Page, strong};
use super::size;
use crate::report::job::{Aim, Root, Size, Slot, Tooling, TopSlide};
use crate::report::{Role, Text};
use crate::words::figures::rounded;
use solver::cutting::{Along, Cut, FIRST, Ground, Plan, SPRING_PASSES, Tip};
use solver::{Hand, Ratio, Result};

/// Passes that are shown each; of more, a few.
const SHOWN: usize = 20;
/// Of so many.
const FEW: usize = 8;
/// The first ones are far apart: each of them is shown.
const FIRST_ONES: usize = 4;

/// For the tool that was stated, else for one ground for the form.
///
/// # Errors
/// None for the angles of threads.
pub(super) fn of(job: &Job<'_>, top_slide_is_taken: bool) -> Result<Option<Tooling>> {
    let Some(groove) = &job.groove else { return Ok(None) };
    let (tip, tip_size) = tip(job);
    let taken = top_slide_is_taken || groove.slot.is_some();
    let slide = job.cut.filter(|_| !taken).map(|cut| slide(&cut, groove)).transpose()?;
    let angle = job.cut.map(|cut| cut.form().half_angle().times(&Ratio::whole(2)?)).transpose()?;
    Ok(Some(Tooling {
        included_angle: angle.map(|angle| angle.to_string()),
        form_assumed: job.cut.is_some_and(|cut| cut.is_form_assumed()),
        tip,
        tip_size,
        tip_stated: job.work.tip != Tip::Form,
        depth: size::of_measure(&groove.depth),
        depth_stated: job.work.depth.is_some(),
        form_depth: groove.of_form.map(|depth| size::of_measure(&depth.form)),
        aim: groove.blank.filter(|_| job.work.depth.is_none()).map(|blank| Aim {
            pitch: size::of_measure(&blank.pitch()),
            middle_of_class: blank.is_of_class(),
        }),
        passes_mm: all(&groove.passes.marks, 1.0),
        equal_chips: groove.passes.are_equal,
        first_is_deep: groove.passes.is_first_deep,
        last_is_thin: groove.passes.is_last_thin,
        spring_passes: SPRING_PASSES,
        slot: groove.slot.as_ref().map(|slot| Slot {
            flat: size::of_length(&slot.flat),
            shifts_mm: all(&slot.shifts, 1.0),
        }),
        root: groove.of_form.map(|depth| match (depth.is_too_blunt(), depth.is_deeper()) {
            (true, _) => Root::TooShallow,
            (_, true) => Root::Deeper,
            _ => Root::OfTheForm,
        }),
        root_diameter: groove
            .blank
            .map(|blank| size::of_mm(blank.root(job.work.side, &groove.depth))),
        slide,
        lead_angle: job.cut.and_then(|cut| {
            let pitch = cut.diameters().ok()?.pitch;
            Some(rounded(cut.lead_angle(&pitch), 6))
        }),
        taper: job.cut.and_then(|cut| cut.taper()).map(|taper| taper.to_string()),
    }))
}

fn all(marks: &[f64], longer: f64) -> Vec<f64> {
    marks.iter().map(|mark| rounded(mark * longer, 6)).collect()
}

fn tip(job: &Job<'_>) -> (&'static str, Option<Size>) {
    let exact = |length| Some(size::of_length(&length));
    let Some(cut) = &job.cut else {
        let radius = job.work.depth.map(|depth| groove::radius(job.work, depth));
        return ("nose", radius.and_then(exact));
    };
    match (job.work.tip, cut.ground()) {
        (Tip::Nose(radius), _) => ("nose", exact(radius)),
        (Tip::Flat(width), _) => ("flat", exact(width)),
        (Tip::Sharp, _) => ("point", None),
        (Tip::Form, Ground::Nose(radius)) => ("nose", Some(size::of_mm(radius))),
        (Tip::Form, Ground::Flat(width)) => ("flat", Some(size::of_mm(width))),
        (Tip::Form, _) => ("form", None),
    }
}

fn slide(cut: &Cut, groove: &Groove) -> Result<TopSlide> {
    let slide = cut.top_slide(&groove.depth)?;
    Ok(TopSlide {
        from_cross_slide: slide.from_cross_slide.to_string(),
        from_bed: slide.from_bed.to_string(),
        toward: match slide.along {
            Along::Headstock => "headstock",
            Along::Tailstock => "tailstock",
        },
        travel: size::of_mm(slide.travel),
        passes_mm: all(&groove.passes.marks, slide.travel / groove.depth.mm()),
    })
}

/// The section.
pub(super) fn write(job: &Job<'_>, tooling: Option<&Tooling>, page: &mut Page) {
    page.section("Tool and depth");
    let Some(tooling) = tooling else {
        page.note(match &job.no_form {
            Some(NoForm::Unknown(why)) => {
                format!("No depth and no sizes: {why}. Measure a sample.")
            }
            _ => "No depth: say the form and depth, --form ... --depth ... (a pitch over 6 mm may be \
                  an oil groove or a worm; --form 60 for a 60° thread)."
                .to_string(),
        });
        return;
    };
    let facts = |shown| facts(job, tooling, shown);
    if tooling.passes_mm.len() > SHOWN || shifts(tooling).len() > SHOWN {
        page.facts_in_short(facts(SHOWN), facts(usize::MAX));
    } else {
        page.facts(facts(SHOWN));
    }
    warnings(job, tooling, page);
    if tooling.form_assumed {
        page.note("The 60° form is assumed, since only a pitch was named (--form for another).");
    }
}

fn warnings(job: &Job<'_>, tooling: &Tooling, page: &mut Page) {
    match tooling.root {
        Some(Root::TooShallow) if tooling.depth_stated => {
            page.warning("Too shallow for this form: the mate binds on its crest.");
        }
        Some(Root::TooShallow) => page.warning(
            "Too blunt: at the right pitch diameter the mate binds on its crest. A finer tool.",
        ),
        Some(Root::Deeper) => {
            page.note("Finer than the form wants: the root is deeper and the work weaker there.");
        }
        _ => {}
    }
    if tooling.first_is_deep && matches!(job.work.plan, Plan::Count(_)) {
        page.warning(format!(
            "First pass {}: over {:.2} mm (0.010 in). More passes, or none stated.",
            size::both(&size::of_mm(tooling.passes_mm.first().copied().unwrap_or_default())),
            FIRST.to_f64()
        ));
    }
    if tooling.last_is_thin {
        page.warning("Last pass under 0.02 mm (0.0008 in): the tool rubs. Fewer passes.");
    }
}

fn facts(job: &Job<'_>, tooling: &Tooling, shown: usize) -> Facts {
    let mut facts = vec![("tool", Text::from(tool(tooling)))];
    if let Some((angle, cut)) = tooling.lead_angle.zip(job.cut) {
        facts.push(("relief", Text::from(relief(angle, cut.hand()))));
    }
    facts.push(("depth", depth_in_words(job, tooling)));
    facts.extend(aim(job, tooling));
    facts.push(("passes", passes_in_words(tooling, shown)));
    facts.extend(readings(&tooling.passes_mm, shown));
    match (&tooling.slide, &tooling.slot) {
        (Some(slide), _) => {
            facts.push(("angled", slide_in_words(job, slide)));
            facts.extend(readings(&slide.passes_mm, shown));
        }
        (None, Some(_)) => {
            facts.push(("flanks", aside(tooling)));
            facts.extend(readings(shifts(tooling), shown));
        }
        (None, None) => {
            facts.push(("top slide", "parallel to the bed: infeed by the cross slide".into()));
        }
    }
    facts
}

fn tool(tooling: &Tooling) -> String {
    let angle = tooling
        .included_angle
        .as_deref()
        .map_or_else(|| "round".to_string(), |angle| format!("{} included", degrees(angle)));
    let size = tooling.tip_size.as_ref().map(size::both).unwrap_or_default();
    let end = match tooling.tip {
        "nose" => format!("nose radius {size}"),
        "flat" => format!("flat {size} wide"),
        _ => "a sharp point".to_string(),
    };
    let whose = match (tooling.tip_stated, &tooling.included_angle) {
        (true, _) => "as stated",
        (false, Some(_)) => "as the form wants it",
        (false, None) => "assumed (--nose for another)",
    };
    let set = if tooling.included_angle.is_some() { ", set square by the gauge" } else { "" };
    format!("{angle}, {end}, {whose}; at centre height{set}")
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

fn depth_in_words(job: &Job<'_>, tooling: &Tooling) -> Text {
    let double = size::of_mm(2.0 * tooling.depth.mm);
    let surface = if job.is_nut() { "outward from the bore" } else { "inward from the blank" };
    let blank = job.groove.as_ref().and_then(|groove| groove.blank);
    let across = blank.map_or_else(String::new, |blank| {
        format!(" of {} mm", size::mm(&size::of_measure(&blank.across())))
    });
    let stated = if tooling.depth_stated { " as stated" } else { "" };
    strong(size::both(&tooling.depth)).and(
        Role::Plain,
        format!(
            "{stated}, straight infeed, {surface}{across}; a dial that counts the diameter moves {}",
            size::both(&double)
        ),
    )
}

fn aim(job: &Job<'_>, tooling: &Tooling) -> Option<(&'static str, Text)> {
    let aim = tooling.aim.as_ref()?;
    let class = job.limits.filter(|_| aim.middle_of_class).map(|limits| limits.class());
    let of = class.map_or_else(
        || "the basic size: no class is known here, leave clearance".to_string(),
        |class| format!("the middle of {class}"),
    );
    Some(("aim", format!("pitch diameter {}, {of}", size::both(&aim.pitch)).into()))
}

fn passes_in_words(tooling: &Tooling, shown: usize) -> Text {
    let count = tooling.passes_mm.len();
    let how = match &tooling.slot {
        Some(slot) => format!(
            " in the middle with a narrower tool, flat {}, same angle",
            size::both(&slot.flat)
        ),
        None => String::new(),
    };
    let chips =
        if tooling.equal_chips { ", equal chips" } else { ", equal chips, then even steps" };
    let spring = format!(", then {} spring passes without infeed", tooling.spring_passes);
    let spring = if tooling.slot.is_some() { String::new() } else { spring };
    let some =
        if count > shown { "; slide readings, some by number:" } else { "; slide readings:" };
    format!("{count}{how}{chips}{spring}{some}").into()
}

fn shifts(tooling: &Tooling) -> &[f64] {
    tooling.slot.as_ref().map(|slot| slot.shifts_mm.as_slice()).unwrap_or_default()
}

/// From the slot to the flanks.
fn aside(tooling: &Tooling) -> Text {
    let shifts = shifts(tooling);
    let most = size::of_mm(shifts.last().copied().unwrap_or_default());
    Text::from("at full depth, top slide parallel to the bed: ")
        .and(Role::Strong, size::both(&most))
        .and(
            Role::Plain,
            format!(
                " from the middle in {} passes; back to the middle, backlash out; the same the other \
                 way. Then {} spring passes with the tool above",
                shifts.len(),
                tooling.spring_passes
            ),
        )
}

/// What the slide shows after each pass, both ways; of many passes some, with their numbers.
fn readings(passes: &[f64], shown: usize) -> Facts {
    let figures = |digits: fn(&Size) -> String| -> Text {
        let figure = |i: usize| digits(&size::of_mm(passes[i]));
        let all = if passes.len() > shown {
            let numbered = |i: usize| format!("{}: {}", i + 1, figure(i));
            few(passes.len()).into_iter().map(numbered).collect::<Vec<_>>().join(", ")
        } else {
            (0..passes.len()).map(figure).collect::<Vec<_>>().join(" ")
        };
        all.into()
    };
    vec![("mm", figures(size::mm)), ("in", figures(size::inches))]
}

/// The first ones, some in even steps, the last.
fn few(count: usize) -> Vec<usize> {
    let step = (count - FIRST_ONES).div_ceil(FEW - FIRST_ONES).max(1);
    let mut places: Vec<usize> = (0..FIRST_ONES).collect();
    places.extend((FIRST_ONES..count).filter(|i| (i + 1) % step == 0 && i + 1 + step / 2 <= count));
    if places.last() != Some(&(count - 1)) {
        places.push(count - 1);
    }
    places
}

fn slide_in_words(job: &Job<'_>, slide: &TopSlide) -> Text {
    let way = if job.is_nut() { "outward" } else { "inward" };
    let (cross, bed) = (degrees(&slide.from_cross_slide), degrees(&slide.from_bed));
    Text::from("or top slide ")
        .and(Role::Strong, cross)
        .and(
            Role::Plain,
            format!(
                " from the cross slide's line ({bed} from the bed's), feeding {way} and toward the \
                 {}: travel ",
                slide.toward
            ),
        )
        .and(Role::Strong, size::both(&slide.travel))
        .and(Role::Plain, "; tool out and back by the cross slide")
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

    #[test]
    fn of_many_passes_a_few_are_shown_with_both_ends() {
        for count in SHOWN + 1..=200 {
            let few = few(count);
            assert!(few.starts_with(&[0, 1, 2, 3]) && few.ends_with(&[count - 1]), "{few:?}");
            assert!(few.is_sorted_by(|a, b| a < b) && few.len() <= FEW + 1, "{few:?}");
        }
    }
}
