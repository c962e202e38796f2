//! One request with the lathe that it is about: what a command says to it, and the page of that.

use super::file::File;
use super::frame::frame;
use super::place::Place;
use crate::args::Args;
use crate::asked::context::{Asks, Context, Given};
use crate::command;
use crate::failure::Failure;
use crate::http::{Answer, Asked};
use crate::progress::Progress;
use crate::render::Frame;
use crate::report::Report;
use maud::{Markup, html};
use std::sync::atomic::Ordering::Relaxed;

/// The title of what could not be read.
const NOT_UNDERSTOOD: &str = "Not understood";
/// Lines of a list at most.
const MOST_LINES: usize = 200;

/// One request, with the lathe that it is about.
pub(super) struct Visit<'s> {
    pub(super) asked: &'s Asked,
    pub(super) place: Place,
    pub(super) given: Given,
    pub(super) file: Option<&'s File>,
    pub(super) progress: &'s Progress,
}

impl Visit<'_> {
    /// What a command says, asked as words of the command line; values stand behind `--` or `=`, so that
    /// none is an option. No file is opened for it.
    pub(super) fn report(&self, words: &[&str]) -> Result<Report, Failure> {
        self.report_of(&self.given, words)
    }

    /// The same of another lathe or with a chart.
    pub(super) fn report_of(&self, given: &Given, words: &[&str]) -> Result<Report, Failure> {
        self.run(given, words, true)
    }

    /// The same of this lathe, without pictures.
    pub(super) fn undrawn(&self, words: &[&str]) -> Result<Report, Failure> {
        self.run(&self.given, words, false)
    }

    fn run(&self, given: &Given, words: &[&str], drawn: bool) -> Result<Report, Failure> {
        let args = Args::read(["trainwright"].iter().chain(words))
            .map_err(|error| Failure::from(&error))?;
        let asks = Asks { answers: false, picture: false, drawn };
        let context = Context { progress: self.progress, asks, given: Some(given) };
        let mut report = command::run(&args.command, &context)?.into_page()?;
        report.leave_out_commands();
        Ok(report)
    }

    /// Whether the work was not told to end.
    pub(super) fn is_whole(&self) -> bool {
        !self.progress.cancel().flag().load(Relaxed)
    }

    pub(super) fn value(&self, name: &str) -> &str {
        self.asked.value(name).unwrap_or_default().trim()
    }

    /// Those of these boxes that were filled, as options of the command line.
    pub(super) fn options<'n>(&self, names: impl IntoIterator<Item = &'n str>) -> Vec<String> {
        let filled = names.into_iter().map(|name| (name, self.value(name)));
        let filled = filled.filter(|(_, value)| !value.is_empty());
        filled.map(|(name, value)| format!("--{name}={value}")).collect()
    }

    /// A page that says why there is nothing on it.
    pub(super) fn refused(&self, title: &str, failure: &Failure) -> Answer {
        let page = frame(&self.place, "none", self.value("target"), &html! {});
        let words = html! { h1 { (title) } (refusal(failure)) };
        Answer::page(page.page_of(title, &words)).with_status(400)
    }

    /// The page of a report, or why there is none; `before`: boxes and links over it.
    pub(super) fn page_of(
        &self,
        (here, title): (&str, &'static str),
        report: Result<Report, Failure>,
        before: impl FnOnce(Option<&Report>) -> Markup,
    ) -> Answer {
        let asked = self.value("target");
        match report {
            Ok(report) => {
                let frame = frame(&self.place, here, asked, &before(Some(&report)));
                let frame = Frame { title, ..frame };
                Answer::page(frame.page(&report))
            }
            Err(failure) => {
                let frame = frame(&self.place, here, asked, &before(None));
                let words = html! { h1 { (NOT_UNDERSTOOD) } (refusal(&failure)) };
                Answer::page(frame.page_of(NOT_UNDERSTOOD, &words)).with_status(400)
            }
        }
    }

    /// Lines of a list; of more than are taken there is none.
    fn list(&self) -> Result<Vec<&str>, Failure> {
        let lines = self.value("list").lines().map(str::trim).filter(|line| !line.is_empty());
        let lines: Vec<&str> = lines.collect();
        if lines.len() > MOST_LINES {
            let wrong = format!("the list has {} lines", lines.len());
            return Err(Failure::wrong(wrong, format!("{MOST_LINES} at most on a page")));
        }
        Ok(lines)
    }

    /// The report of a command that takes a list; without lines of the everyday one.
    pub(super) fn listed(&self, words: &[&str]) -> Result<Report, Failure> {
        let list = self.list()?;
        let mut words = words.to_vec();
        if list.is_empty() {
            words.push("--common");
        } else {
            words.push("--");
            words.extend(list);
        }
        self.report(&words)
    }
}

/// What is wrong, and what would be right.
pub(super) fn refusal(failure: &Failure) -> Markup {
    html! {
        @for failure in failure.clone().each() {
            p.refusal {
                strong.warning { (failure.in_words()) }
                @if let Some(right) = failure.right_in_words() { br; "Right would be: " (right) }
            }
        }
    }
}
