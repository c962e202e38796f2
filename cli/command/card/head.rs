//! What the card is for, and what stands on every card: making safe first, and what this is not.

use super::Card;
use super::adds_up;
use super::page::{Page, strong};
use crate::report::{Block, Role, Text};
use crate::words::cautions;
use crate::words::figures::{lead_mm, tpi};
use crate::words::search::other_hand;
use crate::words::set_up::error_in_short;
use crate::words::size;

/// Title, lathe, and what is cut.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    page.push(Block::Title(format!("{}: {}", card.target().text(), card.entry.train)));
    for line in card.request.machine.lines() {
        page.note(line);
    }
    page.warning(cautions::HANDS);
}

/// What is cut, and whether it is near enough. What is wanted of a half-cut thread comes before it.
pub(super) fn write_job(card: &Card<'_>, page: &mut Page) {
    if page.has_sections() {
        page.section("Job");
    }
    page.facts(facts(card));
    if card.job.pick_up.is_some() {
        page.note("Gears and levers stay as they are (the card without --reset has them).");
    } else if card.is_begun() {
        page.note("Are these gears still on? Then leave out Gears and Levers.");
    }
    adds_up::write(card, page);
    if let Some(other) = other_hand(card.outcome).filter(|_| card.request.rank.is_none()) {
        page.warning(other);
    }
}

fn facts(card: &Card<'_>) -> Vec<(&'static str, Text)> {
    let mut facts = vec![("job", Text::from(wanted(card)))];
    let exact = card.entry.error.is_zero();
    let short = error_in_short(&card.entry.error);
    let off = if exact { "exact".to_string() } else { format!("{short} off") };
    let role = if !card.entry.error.within(&card.outcome.allowed.part()) {
        Role::Warning
    } else if exact {
        Role::Good
    } else {
        Role::Plain
    };
    let (label, gives) = gives(card);
    facts.push((label, gives.and(Role::Plain, ", ").and(role, off)));
    if let (quotient, -1) = card.entry.error.cut_over_asked() {
        facts.push(("pi", format!("cut as {quotient}").into()));
    }
    facts.extend(card.job.adds_up.iter().flat_map(|of| adds_up::facts(card, of)));
    facts
}

/// What the set-up truly cuts or feeds.
pub(super) fn gives(card: &Card<'_>) -> (&'static str, Text) {
    let lead = card.lead();
    if card.is_feed() {
        let feeds = strong(size::fine(&lead));
        return ("feeds", feeds.and(Role::Plain, " for one turn of the spindle"));
    }
    let tpi = format!(" = {} TPI", tpi(&lead).marked());
    ("cuts", strong(size::both(&lead)).and(Role::Plain, tpi))
}

/// `ISO metric coarse, right hand screw, class 6g, lead 1.5 mm`.
fn wanted(card: &Card<'_>) -> String {
    let target = card.target();
    let asked = lead_mm(&target.lead()).marked();
    if card.is_feed() {
        let way = if card.is_across() { "across" } else { "along the bed" };
        return format!("a feed of {asked} mm a turn, {way}");
    }
    let part = if card.is_nut() { "nut" } else { "screw" };
    let hand = card.hand().map_or_else(String::new, |hand| format!("{hand} hand "));
    let kind = target.thread().map(|thread| format!("{}, ", thread.series().name()));
    let class = card.job.limits.map(|limits| format!(", class {}", limits.class()));
    let starts = match target.starts() {
        1 => String::new(),
        n => format!("{n} starts, pitch {} mm, ", lead_mm(&target.pitch()).marked()),
    };
    let away = if card.asked.work.away { ", cut away from the headstock" } else { "" };
    format!(
        "{}{hand}{part}{}, {starts}lead {asked} mm{away}",
        kind.unwrap_or_default(),
        class.unwrap_or_default()
    )
}

/// Before a cover is opened; the caution itself is at the top.
pub(super) fn write_safe(page: &mut Page) {
    page.section("Make safe");
    page.steps(["Lathe isolated: press start, nothing moves."]);
}

/// What this is not.
pub(super) fn write_limits(card: &Card<'_>, page: &mut Page) {
    let fit = if card.entry.fit.mounting().is_some() {
        "Whether it fits rests on the banjo in the lathe file. "
    } else {
        "Whether the gears reach each other was not checked. "
    };
    page.note(Text::new(Role::Faint, format!("{} {fit}{}", cautions::AT_REST, cautions::LIMITS)));
}
