//! A feed: the finish that it leaves, and the finest that the gears can give.

use super::Card;
use super::page::{Page, strong};
use crate::report::{Column, Role, Table, Text};
use crate::words::set_up::{named, without_tumbler};
use crate::words::size::{self, Mm};
use solver::job::{Feed, Smooth};

/// The section.
pub(super) fn write(card: &Card<'_>, feed: &Feed, page: &mut Page) {
    page.section("Finish");
    if let Some(wanted) = &feed.wanted {
        page.note(reached(wanted));
    }
    let mut table = Table::of(
        &feed.finish,
        [
            (Column::named("nose mm", ""), &|row| format!("{:.1}", row.nose.mm_rounded()).into()),
            (Column::named("ridges µm", ""), &|row| {
                row.ridges_um().map(|um| format!("{um:.1}")).into()
            }),
            (Column::named("Ra µm", ""), &|row| {
                row.roughness_um().map(|um| format!("{um:.2}")).into()
            }),
            (Column::named("", ""), &|row| {
                row.ridges.is_none().then_some("feed too coarse for it").into()
            }),
        ],
    );
    table.drop_empty();
    page.table(table);
    page.note(
        "At best: ridges feed² / (8 x nose radius), Ra about a quarter of them. Chatter and a worn edge make it \
         rougher.",
    );
    if let Some(note) = feed.wanted.as_ref().and_then(|wanted| by_levers(card, wanted)) {
        page.note(note);
    }
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

/// `Ra 1.6 µm, nose as stated: feeds up to 0.1413 mm reach it by theory; this is the coarsest that fits.`
fn reached(wanted: &Smooth) -> Text {
    let ra = 1000.0 * wanted.ra.mm_rounded();
    let limit = wanted.limit.mm_rounded();
    let limit = format!("{:.4} mm", (limit * 1e4).floor() / 1e4);
    let is_it = "by theory only; this feed is the coarsest below it that fits.";
    let ra = format!("{ra:.3}");
    let ra = ra.trim_end_matches('0').trim_end_matches('.');
    strong(format!("Ra {ra} µm"))
        .and(Role::Plain, format!(" needs a feed up to {limit} with this nose, {is_it}"))
}

/// What the gears that are on give.
fn by_levers(card: &Card<'_>, wanted: &Smooth) -> Option<String> {
    let (feed, setting) = wanted.by_levers.as_ref()?;
    if *feed == card.lead() {
        return None;
    }
    let levers = named(without_tumbler(card.lathe(), setting));
    let levers = if levers.is_empty() { levers } else { format!(", {levers}") };
    Some(format!("Without moving a gear: {}{levers}.", size::fine(feed)))
}
