//! The passes that are left of a half-cut groove, as the slides show them.

use super::depth::{SHOWN, readings};
use super::page::{Facts, Page};
use crate::report::Text;
use solver::cutting::SPRING_PASSES;
use solver::job::Rest;

/// Facts, with what the slides add to their readings from here; of many passes some, by number.
pub(super) fn write(facts: &Facts, rest: &Rest, is_wide: bool, page: &mut Page) {
    let all = |shown| facts.iter().cloned().chain(of(rest, is_wide, shown)).collect();
    if rest.passes.len() > SHOWN || rest.flank_passes.len() > SHOWN {
        page.facts_in_short(all(SHOWN), all(usize::MAX));
    } else {
        page.facts(all(SHOWN));
    }
}

fn of(rest: &Rest, is_wide: bool, shown: usize) -> Facts {
    let mut facts = middle(rest, is_wide, shown);
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
        facts.extend(readings(&rest.flank_passes, shown));
    }
    facts
}

/// By infeed.
fn middle(rest: &Rest, is_wide: bool, shown: usize) -> Facts {
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
    let some = if rest.passes.len() > shown { ", some by number" } else { "" };
    let passes = format!(
        "{count}{spring}; add to the slide reading of the last pass (a dial that counts the diameter: twice \
         as much){some}:"
    );
    let mut facts = vec![("passes", Text::from(passes))];
    facts.extend(readings(&rest.passes, shown));
    if !rest.slide_passes.is_empty() {
        facts.push(("angled", "along the top slide, where it feeds:".into()));
        facts.extend(readings(&rest.slide_passes, shown));
    }
    facts
}
