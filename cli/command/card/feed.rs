//! A feed: the finish that it leaves, and the finest that the gears can give.

use super::Card;
use super::page::Page;
use crate::report::{Column, Table};
use crate::words::set_up::{named, without_tumbler};
use crate::words::size::{self, Mm};
use solver::job::Feed;

/// The section.
pub(super) fn write(card: &Card<'_>, feed: &Feed, page: &mut Page) {
    page.section("Finish");
    let mut table = Table::of(
        &feed.finish,
        [
            (Column::named("nose mm", ""), &|row| format!("{:.1}", row.nose.mm_rounded()).into()),
            (Column::named("ridges µm", ""), &|row| {
                row.ridges_um().map(|um| format!("{um:.1}")).into()
            }),
            (Column::named("", ""), &|row| {
                row.ridges.is_none().then_some("feed too coarse for it").into()
            }),
        ],
    );
    table.drop_empty();
    page.table(table);
    page.note("At best: feed² / (8 x nose radius). Chatter and a worn edge make it rougher.");
    if let Some(finest) = &feed.finest {
        let levers = named(without_tumbler(card.lathe(), &finest.setting));
        let levers = if levers.is_empty() { levers } else { format!(", {levers}") };
        let way = if card.is_across() { "cross" } else { "longitudinal" };
        page.note(format!(
            "Finest {way} feed that fits: {} with {}{}.",
            size::fine(&finest.travel),
            finest.train,
            levers
        ));
    }
}
