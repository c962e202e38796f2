//! The bore of a nut: how much thread it leaves, and tap drills.

use super::page::Facts;
use crate::report::Text;
use crate::words::size;
use solver::cutting::Overlap;
use solver::job::Bore;

/// Overlap of the bore, with what it is a part of, and the drills.
pub(super) fn facts(bore: &Bore) -> Facts {
    let mut facts = vec![("thread", Text::from(whole(&bore.engagement)))];
    for (label, (drill, leaves)) in ["tap drill", "or"].into_iter().zip(&bore.drills) {
        let size = drill.size();
        let name = if drill.is_metric() {
            format!("{drill} ({} in)", size::inches(&size))
        } else {
            format!("{drill}, {}", size::both(&size))
        };
        facts.push((label, format!("{name}: {}", parts(leaves)).into()));
    }
    facts
}

/// `90 % of the basic overlap (1.0825 P), 75 % of 3/4 H (1.299 P, as inch tables count)`.
fn whole(of: &Overlap) -> String {
    let american = of.of_american.map_or_else(String::new, |part| {
        format!(", {} of 3/4 H (1.299 P, as inch tables count)", per_cent(part))
    });
    format!("{} of the basic overlap ({:.4} P){american}", per_cent(of.of_basic), of.basic)
}

fn parts(of: &Overlap) -> String {
    let american = of.of_american.map_or_else(String::new, |part| format!(", {}", per_cent(part)));
    format!("{}{american}", per_cent(of.of_basic))
}

fn per_cent(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}
