//! What stands round every page: where to go, the box for a thread, what to do next.

use super::place::{LATHE, Place};
use crate::render::Frame;
use maud::{Markup, html};

const LOOKS: &str = include_str!("serve.css");

/// The script of every page: ticks, the screen that stays on, an answer while one types.
pub(super) const SCRIPT: (&str, &str) = ("page.js", include_str!("page.js"));

/// The icon of every page: a gear.
pub(super) const ICON: (&str, &str) = ("icon.svg", include_str!("icon.svg"));

/// Most letters of what is typed into one box.
pub(super) const MOST_LETTERS: usize = 200;

/// Pages that every page leads to, with their names.
const PAGES: [(&str, &str); 6] = [
    ("", "Threads"),
    ("chart", "Wall chart"),
    ("check", "Check a chart"),
    ("buy", "What to buy"),
    ("more", "More"),
    ("lathe", "The lathe"),
];

/// The frame of a page. `here`: which page; `asked`: what stands in the box; `next`: what to do next.
pub(super) fn frame(place: &Place, here: &str, asked: &str, next: &Markup) -> Frame {
    let before = html! {
        div.top {
            form.ask action=(place.own("find")) role="search" {
                label for="target" { "Thread or feed, as you say it" }
                div {
                    input #target name="target" value=(asked) placeholder="M10, 11 1/2 tpi, 0.1 mm/rev"
                        maxlength=(MOST_LETTERS) autocomplete="off" autocapitalize="off"
                        spellcheck="false" enterkeyhint="search" data-hint=(place.own("hint"));
                    (hidden(place))
                    button { "Find" }
                }
                output.hint for="target" {}
            }
            nav.pages aria-label="Pages" {
                @for (page, name) in PAGES {
                    a href=(place.link(page, &[])) aria-current=[(page == here).then_some("page")] { (name) }
                }
            }
            (next)
        }
    };
    Frame {
        before,
        title: "",
        after: html! {},
        looks: LOOKS,
        scripts: Some(place.own("")),
        script: Some(SCRIPT.0),
        icon: Some(ICON.0),
    }
}

/// The described lathe, for a form to send along.
pub(super) fn hidden(place: &Place) -> Markup {
    html! {
        @if let Some(packed) = &place.packed { input type="hidden" name=(LATHE) value=(packed); }
    }
}

/// What to do next: links, each with the words for it.
pub(super) fn actions(links: &[(String, &str)]) -> Markup {
    html! {
        @if !links.is_empty() {
            p.next { @for (place, words) in links { a.button href=(place) { (words) } " " } }
        }
    }
}

/// A box with its label, and what an entry looks like.
pub(super) struct Entry<'e> {
    pub(super) name: &'e str,
    pub(super) label: &'e str,
    pub(super) value: &'e str,
    pub(super) such_as: &'e str,
}

impl Entry<'_> {
    /// One line.
    pub(super) fn line(&self) -> Markup {
        html! {
            p.entry {
                label for=(self.name) { (self.label) }
                input id=(self.name) name=(self.name) value=(self.value) placeholder=(self.such_as)
                    maxlength=(MOST_LETTERS) autocomplete="off" autocapitalize="off" spellcheck="false";
            }
        }
    }

    /// Several lines.
    pub(super) fn lines(&self, rows: usize) -> Markup {
        html! {
            p.entry {
                label for=(self.name) { (self.label) }
                textarea id=(self.name) name=(self.name) rows=(rows) placeholder=(self.such_as)
                    autocapitalize="off" spellcheck="false" { (self.value) }
            }
        }
    }
}
