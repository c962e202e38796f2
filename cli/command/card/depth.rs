//! Tool, depth of cut and its passes, top slide.

use super::Card;
use super::page::{Facts, Page, strong};
use crate::report::{Role, Text};
use crate::words::size::{self, Mm};
use solver::Hand;
use solver::cutting::{Along, Blank, FIRST, PassRule, SPRING_PASSES, Tip, TopSlide};
use solver::job::{Groove, NoForm, Root, Tool};

/// Passes that are shown each; of more, a few.
pub(super) const SHOWN: usize = 20;
/// Of so many.
const FEW: usize = 8;
/// The first ones are far apart: each of them is shown.
const FIRST_ONES: usize = 4;

/// The section.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    page.section("Tool and depth");
    let Some(groove) = &card.job.groove else {
        page.note(match &card.job.no_form {
            Some(NoForm::Unknown(why)) => {
                format!("No depth and no sizes: {why}. Measure a sample.")
            }
            _ => "No depth: say the form and depth, --form ... --depth ... (a pitch over 6 mm may be \
                  an oil groove or a worm; --form 60 for a 60° thread)."
                .to_string(),
        });
        return;
    };
    let facts = |shown| facts(card, groove, shown);
    if groove.passes.marks.len() > SHOWN || shifts(groove).len() > SHOWN {
        page.facts_in_short(facts(SHOWN), facts(usize::MAX));
    } else {
        page.facts(facts(SHOWN));
    }
    warnings(card, groove, page);
    if card.job.cut.is_some_and(|cut| cut.is_form_assumed()) {
        page.note("The 60° form is assumed, since only a pitch was named (--form for another).");
    }
}

fn warnings(card: &Card<'_>, groove: &Groove, page: &mut Page) {
    match groove.root() {
        Some(Root::TooShallow) if card.asked.work.depth.is_some() => {
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
    if groove.passes.is_first_deep && matches!(card.asked.work.passes, PassRule::Count(_)) {
        page.warning(format!(
            "First pass {}: over {:.2} mm (0.010 in). More passes, or none stated.",
            size::both(&groove.passes.marks.first().copied().unwrap_or_default()),
            FIRST.to_f64()
        ));
    }
    if groove.passes.is_last_thin {
        page.warning("Last pass under 0.02 mm (0.0008 in): the tool rubs. Fewer passes.");
    }
}

fn facts(card: &Card<'_>, groove: &Groove, shown: usize) -> Facts {
    let mut facts = vec![("tool", Text::from(tool(card, groove)))];
    if let Some((angle, cut)) = groove.lead_angle.zip(card.job.cut) {
        let relief =
            if card.is_reversed() { relief_in_reverse(angle) } else { relief(angle, cut.hand()) };
        facts.push(("relief", Text::from(relief)));
    }
    facts.push(("depth", depth_in_words(card, groove)));
    facts.extend(aim(card, groove));
    if card.has_next_cut() {
        facts.extend(half_cut(groove));
        return facts;
    }
    facts.push(("passes", passes_in_words(groove, shown)));
    facts.extend(readings(&groove.passes.marks, shown));
    match (&groove.slide, &groove.slot) {
        (Some(slide), _) => {
            facts.push(("angled", slide_in_words(card, slide)));
            facts.extend(readings(&groove.slide_marks(), shown));
        }
        (None, Some(_)) => {
            facts.push(("flanks", aside(groove)));
            facts.extend(readings(shifts(groove), shown));
        }
        (None, None) => {
            facts.push(("top slide", "parallel to the bed: infeed by the cross slide".into()));
        }
    }
    facts
}

/// One list of passes is enough: that of the next cut.
fn half_cut(groove: &Groove) -> Facts {
    let narrow = groove.slot.as_ref().map(|slot| {
        format!("; in the middle with a narrower tool, flat {}, same angle", size::both(&slot.flat))
    });
    let passes = format!("as under Next cut{}", narrow.unwrap_or_default());
    let slide = groove.slide.as_ref().map(|slide| {
        let cross = degrees(slide.from_cross_slide.to_f64());
        ("angled", format!("top slide {cross} from the cross slide's line").into())
    });
    [("passes", passes.into())].into_iter().chain(slide).collect()
}

fn tool(card: &Card<'_>, groove: &Groove) -> String {
    let half = card.job.cut.map(|cut| cut.form().half_angle());
    let angle = half.map_or_else(
        || "round".to_string(),
        |half| format!("{} included", degrees(2.0 * half.to_f64())),
    );
    let end = tool_end(groove);
    let whose = match (card.asked.work.tip, half) {
        (Tip::Form, Some(_)) => "as the form wants it",
        (Tip::Form, None) => "assumed (--nose for another)",
        _ => "as stated",
    };
    let set = if half.is_some() { ", set square by the gauge" } else { "" };
    let mounted = if card.is_reversed() { UPSIDE_DOWN } else { "" };
    format!("{angle}, {end}, {whose}; at centre height{set}{mounted}")
}

/// In reverse the work moves upward at the front (geometry).
const UPSIDE_DOWN: &str = "; upside down, or upright at the back of the work";

/// The end of the tool that the depth is for.
pub(super) fn tool_end(groove: &Groove) -> String {
    match &groove.tool {
        Tool::Nose(radius) => format!("nose radius {}", size::both(radius)),
        Tool::Flat(width) => format!("flat {} wide", size::both(width)),
        Tool::Point => "a sharp point".to_string(),
    }
}

/// A fraction of a degree, as protractors are read.
fn degrees(value: f64) -> String {
    format!("{}°", (value * 100.0).round() / 100.0)
}

fn relief(angle: f64, hand: Hand) -> String {
    let side = match hand {
        Hand::Right => "left",
        Hand::Left => "right",
    };
    format!("{angle:.1}° lead angle: relieve the {side} side that much more, the other less")
}

/// The side that runs ahead, however the tool is mounted.
fn relief_in_reverse(angle: f64) -> String {
    format!(
        "{angle:.1}° lead angle: relieve the side toward the tailstock that much more, the other less"
    )
}

fn depth_in_words(card: &Card<'_>, groove: &Groove) -> Text {
    let double = 2.0 * groove.depth.mm_rounded();
    let surface = if card.is_nut() { "outward from the bore" } else { "inward from the blank" };
    let across = |blank: Blank| format!(" of {} mm", size::mm(&blank.across()));
    let across = groove.blank.map(across).unwrap_or_default();
    let stated = if card.asked.work.depth.is_some() { " as stated" } else { "" };
    strong(size::both(&groove.depth)).and(
        Role::Plain,
        format!(
            "{stated}, straight infeed, {surface}{across}; a dial that counts the diameter moves {}",
            size::both(&double)
        ),
    )
}

fn aim(card: &Card<'_>, groove: &Groove) -> Option<(&'static str, Text)> {
    let blank = groove.aim(&card.asked.work)?;
    let class = card.job.limits.filter(|_| blank.is_of_class()).map(|limits| limits.class());
    let of = class.map_or_else(
        || match &card.job.mate {
            Some(_) => "for its screw".to_string(),
            None => "the basic size: no class is known here, leave clearance".to_string(),
        },
        |class| format!("the middle of {class}"),
    );
    Some(("aim", format!("pitch diameter {}, {of}", size::both(&blank.pitch())).into()))
}

fn passes_in_words(groove: &Groove, shown: usize) -> Text {
    let count = groove.passes.marks.len();
    let how = match &groove.slot {
        Some(slot) => format!(
            " in the middle with a narrower tool, flat {}, same angle",
            size::both(&slot.flat)
        ),
        None => String::new(),
    };
    let chips =
        if groove.passes.are_equal { ", equal chips" } else { ", equal chips, then even steps" };
    let spring = format!(", then {SPRING_PASSES} spring passes without infeed");
    let spring = if groove.slot.is_some() { String::new() } else { spring };
    let some =
        if count > shown { "; slide readings, some by number:" } else { "; slide readings:" };
    format!("{count}{how}{chips}{spring}{some}").into()
}

fn shifts(groove: &Groove) -> &[f64] {
    groove.slot.as_ref().map(|slot| slot.shifts.as_slice()).unwrap_or_default()
}

/// From the slot to the flanks.
fn aside(groove: &Groove) -> Text {
    let shifts = shifts(groove);
    let most = shifts.last().copied().unwrap_or_default();
    Text::from("at full depth, top slide parallel to the bed: ")
        .and(Role::Strong, size::both(&most))
        .and(
            Role::Plain,
            format!(
                " from the middle in {} passes; back to the middle, backlash out; the same the other \
                 way. Then {SPRING_PASSES} spring passes with the tool above",
                shifts.len()
            ),
        )
}

/// What the slide shows after each pass, both ways; of many passes some, with their numbers.
pub(super) fn readings(passes: &[f64], shown: usize) -> Facts {
    let figures = |digits: fn(&f64) -> String| -> Text {
        let figure = |i: usize| digits(&passes[i]);
        if passes.len() > shown {
            let numbered = |i: usize| format!("{}: {}", i + 1, figure(i));
            few(passes.len()).into_iter().map(numbered).collect::<Vec<_>>().join(", ").into()
        } else {
            Text::readings((0..passes.len()).map(figure))
        }
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

fn slide_in_words(card: &Card<'_>, slide: &TopSlide) -> Text {
    let toward = match slide.along {
        Along::Headstock => "headstock",
        Along::Tailstock => "tailstock",
    };
    let way = if card.is_nut() { "outward" } else { "inward" };
    let (cross, bed) = (degrees(slide.from_cross_slide.to_f64()), degrees(slide.from_bed.to_f64()));
    Text::from("instead: top slide ")
        .and(Role::Strong, cross)
        .and(
            Role::Plain,
            format!(
                " from the cross slide's line ({bed} from the bed's), feeding {way} and toward the \
                 {toward}: travel "
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
        assert_eq!([29.5, 23.25, 60.0].map(degrees), ["29.5°", "23.25°", "60°"]);
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
