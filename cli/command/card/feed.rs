//! A feed: the finish that it leaves, and the finest that the gears can give.

use super::job::Job;
use super::page::Page;
use super::size;
use crate::answer::Entry;
use crate::document::set_up::Named;
use crate::report::job::{Feed, Finest, Finish};
use crate::report::{Cell, Column, Table};
use crate::words::figures::rounded;
use crate::words::set_up::levers_in_words;
use solver::cutting;
use solver::{Length, Ratio, Result};

/// Noses of everyday tools, in tenths of a mm (common practice, no source).
const NOSES: [u128; 3] = [2, 4, 8];

/// `None` for a thread.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>, finest: Option<&Entry>) -> Result<Option<Feed>> {
    if !job.is_feed() {
        return Ok(None);
    }
    let usual =
        || NOSES.iter().map(|tenths| Ratio::new(*tenths, 10).map(Length::from_mm)).collect();
    let noses: Vec<Length> = job.work.nose().map_or_else(usual, |nose| Ok(vec![nose]))?;
    Ok(Some(Feed {
        travel: size::of_lead(&job.lead()),
        finish: noses.iter().map(|nose| finish(job, nose)).collect(),
        finest: finest.map(|entry| Finest {
            travel: size::of_lead(&entry.lead),
            train: entry.train.to_string(),
            levers: Named(entry.levers.clone()),
        }),
    }))
}

/// Too coarse for the nose, or through a worm: no figure.
fn finish(job: &Job<'_>, nose: &Length) -> Finish {
    let lead = job.lead();
    let exact = (!lead.has_pi()).then(|| Length::from_mm(lead.mm()));
    let ridges = exact.and_then(|feed| cutting::finish(feed, *nose).ok());
    Finish {
        nose: size::of_length(nose),
        ridges_um: ridges.map(|ridges| rounded(ridges.mm().to_f64() * 1000.0, 6)),
    }
}

/// The section.
pub(super) fn write(job: &Job<'_>, feed: &Feed, finest: Option<&Entry>, page: &mut Page) {
    page.section("Finish");
    let columns = ["nose mm", "ridges µm", ""].map(|name| Column::new(name, name, ""));
    let mut table = Table::new(columns.into());
    for row in &feed.finish {
        let ridges = row.ridges_um.map_or(Cell::Empty, |um| Cell::from(format!("{um:.1}")));
        let coarse = row.ridges_um.is_none().then_some("feed too coarse for it");
        table.push(vec![Cell::from(format!("{:.1}", row.nose.mm)), ridges, coarse.into()]);
    }
    table.drop_empty();
    page.table(table);
    page.note("At best: feed² / (8 x nose radius). Chatter and a worn edge make it rougher.");
    if let Some((facts, entry)) = feed.finest.as_ref().zip(finest) {
        let levers = levers_in_words(entry);
        let levers = if levers.is_empty() { String::new() } else { format!(", {levers}") };
        let way = if job.is_across() { "across" } else { "along" };
        page.note(format!(
            "Finest feed {way} that fits: {} with {}{levers}.",
            size::fine(&facts.travel),
            facts.train
        ));
    }
}
