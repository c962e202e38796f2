//! The lathe: what is known of it, the questions about a new one, and the answers of this one to change.
//!
//! The questions are those of `lathe new`; all stand on one page, each with its echo or its refusal below
//! it. What comes out is a lathe file: part of the address, a download, or, where that is allowed,
//! written over the file that is served.

use super::frame::{MOST_LETTERS, actions, frame, hidden};
use super::place::{Place, packed};
use super::visit::{Visit, refusal};
use crate::command::lathe::{known, warnings};
use crate::files::{self, Draft, Key, OpenLathe, Question};
use crate::http::Answer;
use crate::render::Frame;
use crate::report::without_commands;
use crate::words::cautions;
use maud::{Markup, html};
use solver::Lathe;

/// The page of a lathe.
pub(super) fn lathe(visit: &Visit<'_>) -> Answer {
    let links = actions(&[
        (visit.place.link("lathe/change", &[]), "Change an answer"),
        (visit.place.own("lathe/new"), "Describe another lathe"),
        (visit.place.link("lathe/file", &[]), "Its file"),
    ]);
    match visit.report(&["lathe", "show"]) {
        Ok(report) => {
            let frame = frame(&visit.place, "lathe", "", &links);
            Answer::page(Frame { title: "The lathe", ..frame }.page(&report))
        }
        Err(failure) => visit.refused("The lathe", &failure),
    }
}

/// Its file, to be kept.
pub(super) fn file(visit: &Visit<'_>) -> Answer {
    let text = visit.given.lathe.source.text.clone();
    Answer::of_kind("application/json; charset=utf-8", text).kept_as("lathe.json")
}

/// What stands below a question.
type Echo = (Key, Markup);

/// The questions about a lathe that nobody has described yet.
pub(super) fn new(visit: &Visit<'_>) -> Answer {
    let mut draft = Draft::default();
    let mut echoes = Vec::new();
    let mut refused = 0;
    for question in Key::questions() {
        for said in answers(visit, question) {
            let before = known(&draft, None);
            match draft.with(question.key, &said, None) {
                Ok(with) => {
                    draft = with;
                    let facts = known(&draft, None);
                    echoes.push((question.key, news(&before, &facts)));
                }
                Err(failure) => {
                    refused += 1;
                    echoes.push((question.key, refusal(&failure)));
                }
            }
        }
    }
    let is_begun = !echoes.is_empty();
    let made = draft.said(Key::Gears).map(|_| {
        let text = draft.text();
        files::lathe_of_text("the answers", &text)
    });
    let result = match made {
        _ if !is_begun => html! {},
        None => html! { p { strong.warning { "Not yet a lathe: " } "its gears are missing." } },
        Some(Err(failure)) => refusal(&failure),
        Some(Ok(open)) => done(visit, &open, refused, draft.lacks_slots()),
    };
    let said = |question: &Question| answers(visit, question).join("\n");
    let content = html! {
        h1 { "Describe a lathe" }
        p { "Answer what you know and leave the rest empty. The gears and the lead screw come first." }
        (result)
        (form(visit, "lathe/new", &said, &echoes))
    };
    page(visit, "Describe a lathe", &content)
}

/// The answers of a lathe, to be changed.
pub(super) fn change(visit: &Visit<'_>) -> Answer {
    let first = &visit.given.lathe;
    let mut open = first.clone();
    let mut echoes = Vec::new();
    let (mut refused, mut changes) = (0, 0);
    for question in Key::questions() {
        let Some(said) = visit.asked.value(&name(question)).map(str::trim) else { continue };
        let now = files::now(first, question.key).unwrap_or_default();
        let said = match said {
            _ if said == now => continue,
            "" if question.may_be_none => "no",
            "" => continue,
            said => said,
        };
        match files::changed(&open, (question.key, None), said, None) {
            Ok(changed) => {
                let (before, facts) = (
                    crate::command::lathe::facts(&open.lathe),
                    crate::command::lathe::facts(&changed.lathe),
                );
                changes += 1;
                open = changed;
                echoes.push((question.key, news(&before, &facts)));
            }
            Err(failure) => {
                refused += 1;
                echoes.push((question.key, refusal(&failure)));
            }
        }
    }
    let result = if changes > 0 {
        done(visit, &open, refused, false)
    } else {
        html! {}
    };
    let said = |question: &Question| {
        let typed = visit.asked.value(&name(question)).map(str::to_owned);
        typed.or_else(|| files::now(first, question.key)).unwrap_or_default()
    };
    let content = html! {
        h1 { "Change an answer" }
        (result)
        (form(visit, "lathe/change", &said, &echoes))
    };
    page(visit, "Change an answer", &content)
}

fn page(visit: &Visit<'_>, title: &str, content: &Markup) -> Answer {
    Answer::page(frame(&visit.place, "lathe", "", &html! {}).page_of(title, content))
}

/// The name of a question's box.
fn name(question: &Question) -> String {
    format!("a-{}", question.name)
}

/// What was answered: of a question that may be answered several times, a line each.
fn answers(visit: &Visit<'_>, question: &Question) -> Vec<String> {
    let said = visit.asked.value(&name(question)).unwrap_or_default();
    let lines = said.lines().map(str::trim).filter(|line| !line.is_empty());
    let lines = lines.map(str::to_owned).collect::<Vec<_>>();
    if question.repeats || lines.is_empty() { lines } else { vec![lines.join(" ")] }
}

/// What an answer made known.
fn news(before: &[(String, String)], now: &[(String, String)]) -> Markup {
    html! {
        @for (part, value) in now.iter().filter(|fact| !before.contains(fact)) {
            p.echo { (part) ": " strong { (value) } }
        }
    }
}

/// The lathe that came out, and what can be done with it.
fn done(visit: &Visit<'_>, open: &OpenLathe, refused: usize, lacks_slots: bool) -> Markup {
    let text = &open.source.text;
    let links = packed(text).map(|packed| {
        let place = Place::new(visit.place.own(""), Some(packed));
        [
            (place.link("", &[]), "Use this lathe"),
            (place.link("lathe/file", &[]), "Keep it as a file"),
        ]
    });
    html! {
        section.result aria-live="polite" {
            h2 { "So far" }
            @if refused > 0 {
                p { strong.warning { (refused) @if refused == 1 { " answer is" } @else { " answers are" } " refused, see below." } }
            }
            @if lacks_slots { p { "The banjo is left out: it has no slot for its studs." } }
            (doubts(&open.lathe))
            @match links {
                Ok(links) => (actions(&links)),
                Err(failure) => (refusal(&failure)),
            }
            @if let Some(file) = visit.file {
                form method="post" action=(visit.place.own("lathe/keep")) {
                    input type="hidden" name="text" value=(text);
                    input type="hidden" name="was" value=(file.mark(&visit.given.lathe.source.text));
                    button { "Write it into the lathe's file" }
                }
            }
        }
    }
}

fn doubts(lathe: &Lathe) -> Markup {
    let (unknown, doubtful) = (warnings::unknown(lathe), warnings::warnings(lathe));
    html! {
        @if !unknown.is_empty() { p { "Not known:" } ul { @for line in &unknown { li { (without_commands(line)) } } } }
        @if !doubtful.is_empty() {
            p { strong.warning { "Doubtful:" } } ul { @for line in &doubtful { li { (without_commands(line)) } } }
        }
    }
}

fn form(
    visit: &Visit<'_>,
    page: &str,
    said: &dyn Fn(&Question) -> String,
    echoes: &[Echo],
) -> Markup {
    let mut cautioned = false;
    html! {
        form.questions action=(visit.place.own(page)) {
            (hidden(&visit.place))
            @for question in Key::questions() {
                @if question.key.sends_a_hand_in() && !std::mem::replace(&mut cautioned, true) {
                    p { strong.warning { (cautions::HANDS) } }
                }
                (entry(question, &said(question), echoes))
            }
            button { "Look at it" }
        }
    }
}

fn entry(question: &Question, said: &str, echoes: &[Echo]) -> Markup {
    let name = name(question);
    html! {
        div.question {
            label for=(name) { (question.asks) }
            @if question.repeats {
                textarea id=(name) name=(name) rows=(2.max(said.lines().count() + 1))
                    placeholder=(question.such_as) autocapitalize="off" spellcheck="false" { (said) }
            } @else {
                input id=(name) name=(name) value=(said) placeholder=(question.such_as)
                    maxlength=(MOST_LETTERS * 4) autocomplete="off" autocapitalize="off" spellcheck="false";
            }
            @for (_, echo) in echoes.iter().filter(|(key, _)| *key == question.key) { (echo) }
            details { summary { "How to find out" } p { (without_commands(question.help)) } }
        }
    }
}
