//! The first page: the lathe, what is on it, everyday threads with their gears.

use super::frame::{actions, frame};
use super::visit::{Visit, refusal};
use crate::asked::context::Given;
use crate::command::lathe::fitted as in_words;
use crate::command::now;
use crate::failure::Failure;
use crate::http::Answer;
use crate::report::{Cell, Report, without_commands};
use maud::{Markup, html};
use solver::Fitted;
use std::sync::{Arc, Mutex, PoisonError};

/// Lathes whose everyday threads are kept: more than one shop describes in an hour.
const KEPT: usize = 8;

/// Everyday threads that were worked out, by the lathe; the latest last.
#[derive(Debug, Default)]
pub(super) struct Kept(Mutex<Vec<(Known, Arc<Everyday>)>>);

/// The text of a lathe's file, and what is on it.
type Known = (String, Option<Fitted>);

/// The everyday threads of a lathe.
#[derive(Debug, Default)]
struct Everyday {
    groups: Vec<Group>,
    missed: Vec<String>,
}

/// One kind of them.
#[derive(Debug)]
struct Group {
    kind: String,
    tiles: Vec<Tile>,
}

/// Threads that one set-up cuts.
#[derive(Debug)]
struct Tile {
    sheet: String,
    names: Vec<String>,
    train: String,
    levers: String,
    verdict: String,
}

impl Kept {
    /// Those of a lathe: kept, else worked out.
    fn of(&self, visit: &Visit<'_>, given: &Given) -> Result<Arc<Everyday>, Failure> {
        let lathe = (given.lathe.source.text.clone(), given.now.clone());
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = kept().iter().find(|(of, _)| *of == lathe).map(|(_, all)| Arc::clone(all));
        if let Some(known) = known {
            return Ok(known);
        }
        let report = visit.undrawn(&["book", "--common", "--from-now"])?;
        let everyday = Arc::new(Everyday::of(&report));
        if visit.is_whole() {
            let mut kept = kept();
            if kept.len() >= KEPT {
                kept.remove(0);
            }
            kept.push((lathe, Arc::clone(&everyday)));
        }
        Ok(everyday)
    }
}

impl Everyday {
    /// As the book lists them.
    fn of(report: &Report) -> Self {
        let mut all = Self::default();
        let Some(records) = report.records() else { return all };
        let column = |key: &str| records.columns.iter().position(|column| column.key == key);
        let columns = ["target", "kind", "train", "set", "verdict", "sheet"].map(column);
        for row in &records.rows {
            let [name, kind, train, levers, verdict, sheet] = columns
                .map(|at| at.and_then(|at| row.get(at)).map(Cell::words).unwrap_or_default());
            if train.is_empty() {
                all.missed.push(name);
                continue;
            }
            let at = all.groups.iter().position(|group| group.kind == kind);
            let at = at.unwrap_or_else(|| {
                all.groups.push(Group { kind, tiles: Vec::new() });
                all.groups.len() - 1
            });
            let Some(group) = all.groups.get_mut(at) else { continue };
            if let Some(tile) = group.tiles.iter_mut().find(|tile| tile.sheet == sheet) {
                tile.names.push(name);
            } else {
                let names = vec![name];
                group.tiles.push(Tile { sheet, names, train, levers, verdict });
            }
        }
        all
    }
}

/// The page.
pub(super) fn page(visit: &Visit<'_>, kept: &Kept) -> Answer {
    let given = &visit.given;
    let (lathe, stale) = now::on(&given.lathe.lathe, given.now.clone());
    let stale = stale.map(|stale| without_commands(&stale));
    let name = match &*lathe.parts().name {
        "" => "A lathe without a name",
        name => name,
    };
    let now = lathe.on_now().map(|now| in_words(&lathe, now));
    let everyday = kept.of(visit, given);
    let content = html! {
        h1 { (name) }
        @if let Some((train, does)) = now.as_ref().map(|now| now.split_once(": ").unwrap_or((now, ""))) {
            dl { div { dt { "on it now" } dd { strong { (train) } br; (does) } } }
        }
        @if let Some(stale) = stale { p { strong.warning { (stale) } } }
        @if given.demo {
            p { strong.warning { "This is a demo lathe." } " Describe yours first." }
        }
        (actions(&links(visit)))
        @match &everyday {
            Ok(everyday) => (list(visit, everyday)),
            Err(failure) => (refusal(failure)),
        }
    };
    let frame = frame(&visit.place, "", "", &html! {});
    Answer::page(frame.page_of(name, &content))
}

fn links(visit: &Visit<'_>) -> Vec<(String, &'static str)> {
    let own = if visit.given.demo {
        (visit.place.own("lathe/new"), "Describe your lathe")
    } else {
        (visit.place.link("lathe", &[]), "The lathe")
    };
    vec![own, (visit.place.link("book", &[]), "The book, to take along")]
}

fn list(visit: &Visit<'_>, everyday: &Everyday) -> Markup {
    let mut tiles = everyday.groups.iter().flat_map(|group| &group.tiles);
    let levers = tiles.next().map(|tile| &tile.levers).filter(|levers| !levers.is_empty());
    let same = levers.filter(|levers| tiles.all(|tile| tile.levers == **levers));
    html! {
        @if let Some(levers) = same { p { "All of these: " strong { (levers) } "." } }
        @for (i, group) in everyday.groups.iter().enumerate() {
            details open[i == 0] {
                summary { (group.kind) " " span.faint { "(" (group.tiles.len()) ")" } }
                ul.tiles { @for tile in &group.tiles { (tile_of(visit, tile, same.is_none())) } }
            }
        }
        @if !everyday.missed.is_empty() {
            details {
                summary { "Not in reach " span.faint { "(" (everyday.missed.len()) ")" } }
                ul.tiles { @for name in &everyday.missed {
                    li { a href=(visit.place.link("find", &[("target", name)])) {
                        b { (name) } span.faint { "what comes nearest" }
                    } }
                } }
            }
        }
    }
}

fn tile_of(visit: &Visit<'_>, tile: &Tile, levers: bool) -> Markup {
    let first = tile.names.first().map(String::as_str).unwrap_or_default();
    html! {
        li { a href=(visit.place.link("find", &[("target", first)])) {
            b { (first) }
            span { (tile.train) }
            @if levers && !tile.levers.is_empty() { span { (tile.levers) } }
            span.faint { (tile.verdict) }
            @if tile.names.len() > 1 {
                span.faint { "also " (tile.names[1..].join(", ")) }
            }
        } }
    }
}
