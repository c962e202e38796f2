//! The passes that are left of a half-cut groove, as the slides show them.

use super::page::Facts;
use crate::report::Text;
use crate::words::size;
use solver::cutting::SPRING_PASSES;
use solver::job::Rest;

/// What the slides add to their readings from here.
pub(super) fn facts(rest: &Rest, is_wide: bool) -> Facts {
    let mut facts = middle(rest, is_wide);
    if !rest.flank_passes.is_empty() {
        let from = if rest.passes.is_empty() {
            "at full depth, along the bed: add to the top slide's last reading at one flank; backlash out; \
             the same at the other flank"
        } else {
            "then at full depth, along the bed, from the middle to one flank; back to the middle, backlash \
             out; the same the other way"
        };
        let spring = format!(". Then {SPRING_PASSES} spring passes with the full tool:");
        facts.push(("flanks", format!("{}, {from}{spring}", rest.flank_passes.len()).into()));
        facts.extend(rows(&rest.flank_passes));
    }
    facts
}

/// By infeed.
fn middle(rest: &Rest, is_wide: bool) -> Facts {
    if rest.passes.is_empty() {
        return Vec::new();
    }
    let how = if is_wide { " in the middle with the narrower tool" } else { "" };
    let count = match rest.passes.len() {
        1 => format!("1{how}"),
        count => format!("{count}{how} of equal chips"),
    };
    let spring =
        if is_wide { String::new() } else { format!(", then {SPRING_PASSES} spring passes") };
    let passes = format!(
        "{count}{spring}; add to the slide reading of the last pass (a dial that counts the diameter: twice \
         as much):"
    );
    let mut facts = vec![("passes", Text::from(passes))];
    facts.extend(rows(&rest.passes));
    if !rest.slide_passes.is_empty() {
        facts.push(("angled", "along the top slide, where it feeds:".into()));
        facts.extend(rows(&rest.slide_passes));
    }
    facts
}

fn rows(marks: &[f64]) -> Facts {
    let row = |digits: fn(&f64) -> String| Text::readings(marks.iter().map(digits));
    vec![("mm", row(size::mm)), ("in", row(size::inches))]
}
