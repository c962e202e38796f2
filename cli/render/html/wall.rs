//! The chart as a page: printed without its controls, on a phone a card a line.

use super::{Frame, plain};
use crate::render::wall::Layout;
use crate::report::wall::{Column, Group, Line, Wall};
use maud::{Markup, html};

/// The style sheet.
const LOOKS: &str = include_str!("wall.css");
/// Filters and sorts.
pub(super) const SCRIPT: (&str, &str) = ("wall.js", include_str!("wall.js"));

/// The page.
pub(super) fn page(wall: &Wall, frame: &Frame) -> Markup {
    let layout = Layout::of(wall);
    let side = if layout.one_side { "one-side" } else { "sides" };
    let lines = if layout.two_lines { "high" } else { "low" };
    let letters = layout.letters;
    let paper = format!("@page{{size:{} portrait;margin:8mm}}", wall.paper.name);
    let content = html! {
                header {
                    h1 { (plain(&wall.lathe)) }
                    p.caution { (wall.caution) }
                    p.about {
                        span { "Gears for threads and feeds" }
                        @if !wall.fitted.is_empty() { span { "begins with " strong { (plain(&wall.fitted)) } } }
                        @if let Some(standing) = &wall.standing { strong { (plain(standing)) } }
                        span.date { "Date: " (plain(wall.date.as_deref().unwrap_or("____________"))) }
                    }
                }
                (controls(wall))
                main { @for group in &wall.groups { (group_of(&layout, group)) } }
                footer { @for text in &wall.foot { p { (plain(text)) } } }
                (frame.scripted(SCRIPT.0, SCRIPT.1))
    };
    let title = format!("Gear chart: {}", plain(&wall.lathe));
    let (class, style) = (format!("{side} {lines}"), format!("--letters:{letters:.3}mm"));
    frame.whole(&title, &format!("{LOOKS}{paper}"), (&class, Some(style)), &content)
}

/// For the screen; without a script they are not shown.
fn controls(wall: &Wall) -> Markup {
    html! {
        form.controls hidden {
            label { "Show " input type="search" id="words" placeholder="M10, 16 tpi, 63" autocomplete="off"; }
            @if wall.groups.len() > 1 {
                label { "of " select id="kind" {
                    option value="" { "all" }
                    @for group in &wall.groups { option { (plain(&group.name)) } }
                } }
            }
            label { "sorted " select id="order" {
                option value="plan" { "as planned" }
                option value="down" { "coarse first" }
                option value="up" { "fine first" }
                option value="few" { "fewest swaps first" }
            } }
            p id="loose" hidden { "Filtered or sorted: what to swap from line to line holds only as planned, so it is hidden." }
            p id="none" hidden { "No line has that." }
        }
    }
}

/// Its lines.
pub(super) fn group_of(layout: &Layout, group: &Group) -> Markup {
    let share = |width: &f64| format!("width:{:.2}%", 100.0 * width / layout.wide());
    html! {
        section data-kind=(plain(&group.name)) {
            h2 { (plain(&group.name)) }
            table {
                colgroup { @for (_, width) in &layout.columns { col style=(share(width)); } }
                thead { tr { @for ((column, _), head) in layout.columns.iter().zip(&group.heads) {
                    th scope="col" class=(class(*column)) { (plain(head)) }
                } } }
                tbody { @for (at, line) in group.lines.iter().enumerate() {
                    (line_of(group, layout, at, line))
                } }
            }
        }
    }
}

fn line_of(group: &Group, layout: &Layout, at: usize, line: &Line) -> Markup {
    html! {
        tr data-at=(at) data-mm=(line.mm) data-moved=(line.moved) {
            @for (((column, _), head), pieces) in layout.columns.iter().zip(&group.heads).zip(&line.cells) {
                td class=(class(*column)) data-head=(plain(head)) {
                    @for (i, piece) in pieces.iter().enumerate() {
                        @if i > 0 && *column == Column::Shaft && piece.text != "?" { span.plus { "+" } }
                        @if i > 0 && column.wraps() { " " }
                        @if piece.new { b { (plain(&piece.text)) } } @else { span { (plain(&piece.text)) } }
                    }
                }
            }
        }
    }
}

/// What a column is called in the style sheet.
const fn class(column: Column) -> &'static str {
    match column {
        Column::Lead => "lead",
        Column::Names => "names",
        Column::Shaft => "shaft",
        Column::Lever => "lever",
        Column::Dial => "dial",
        Column::Error => "error",
        Column::Swap => "swap",
    }
}
