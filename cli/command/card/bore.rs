//! The bore of a nut: how much thread it leaves, and tap drills.

use super::page::Facts;
use crate::report::Text;
use crate::words::size;
use solver::cutting::Overlap;
use solver::job::Bore;

/// Overlap of the bore, with what it is a part of, and the drills.
pub(super) fn facts(bore: &Bore) -> Facts {
    let mut facts = vec![("thread", Text::from(whole(&bore.engagement)))];
    let drills = bore.drills.iter().map(|(drill, leaves)| {
        let size = drill.size();
        let mm =
            if drill.is_metric() { String::new() } else { format!(", {} mm", size::mm(&size)) };
        format!("{drill}{mm}: {}", parts(leaves))
    });
    let drills = drills.collect::<Vec<_>>().join("; or ");
    if !drills.is_empty() {
        facts.push(("tap drill", drills.into()));
    }
    facts
}

/// `90 % of 1.0825 P (basic), 75 % of 1.299 P (inch tables)`.
fn whole(of: &Overlap) -> String {
    let american = of
        .of_american
        .map_or_else(String::new, |part| format!(", {} of 1.299 P (inch tables)", per_cent(part)));
    format!("{} of {:.4} P (basic){american}", per_cent(of.of_basic), of.basic)
}

fn parts(of: &Overlap) -> String {
    let american = of.of_american.map_or_else(String::new, |part| format!(", {}", per_cent(part)));
    format!("{}{american}", per_cent(of.of_basic))
}

fn per_cent(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}
