//! A feed: the finish that it leaves, and the finest that the gears can give.

use super::Card;
use super::page::Page;
use crate::report::{Cell, Column, Table};
use crate::words::size::{self, Mm};
use solver::Lathe;
use solver::job::{Feed, Finest};

/// The headstock and the levers of the finest feed, name and position.
fn positions<'a>(lathe: &'a Lathe, finest: &'a Finest) -> Vec<(&'a str, &'a str)> {
    let headstock = lathe.headstock_name(&finest.setting).map(|at| ("headstock", at));
    headstock.into_iter().chain(lathe.lever_names(&finest.setting)).collect()
}

/// The section.
pub(super) fn write(card: &Card<'_>, feed: &Feed, page: &mut Page) {
    page.section("Finish");
    let columns = ["nose mm", "ridges µm", ""].map(|name| Column::new(name, name, ""));
    let mut table = Table::new(columns.into());
    for row in &feed.finish {
        let ridges = row.ridges_um().map_or(Cell::Empty, |um| Cell::from(format!("{um:.1}")));
        let coarse = row.ridges.is_none().then_some("feed too coarse for it");
        table.push(vec![
            Cell::from(format!("{:.1}", row.nose.mm_rounded())),
            ridges,
            coarse.into(),
        ]);
    }
    table.drop_empty();
    page.table(table);
    page.note("At best: feed² / (8 x nose radius). Chatter and a worn edge make it rougher.");
    if let Some(finest) = &feed.finest {
        let named = positions(card.lathe(), finest).into_iter();
        let levers: Vec<String> = named.map(|(name, at)| format!(", {name} {at}")).collect();
        let way = if card.is_across() { "across" } else { "along" };
        page.note(format!(
            "Finest feed {way} that fits: {} with {}{}.",
            size::fine(&finest.travel),
            finest.train,
            levers.concat()
        ));
    }
}
