//! The leads as they are written: for people the first of them, for programs all; each row is worked out
//! while the one before is written, so that millions take no more memory than a few.

use super::row::Row;
use super::survey::{Standard, State, Survey, share};
use super::walk::{Walk, walk};
use super::{Request, Sort, page, picture};
use crate::answer::Entry;
use crate::document::lead::{Error, Lead};
use crate::document::reach::{Asked, Beside, Document, Gap, Reached, Standard as Pitch, Summary};
use crate::document::set_up::{SetUp, Way};
use crate::document::{Head, records};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::{Answer, Cell, Column, Document as _, Report, Stream};
use crate::words::figures::rounded;
use crate::words::set_up::travel;
use num_traits::ToPrimitive;
use serde::{Serialize, Serializer};
use solver::{LeadError, Thread, reach};
use std::cell::RefCell;
use std::io;

/// Rows of a page where nothing was said.
const SHOWN: (usize, usize) = (5, 40);

/// Columns of the records.
const KEYS: [&str; 17] = [
    "lead_mm_rounded",
    "lead_mm",
    "pi",
    "tpi_rounded",
    "train",
    "gears",
    "levers",
    "headstock",
    "tumbler",
    "either",
    "hand",
    "ratio_rounded",
    "fit.state",
    "below.thread",
    "below.error_ppm",
    "above.thread",
    "above.error_ppm",
];

/// The leads that were asked: worked out when they are written.
#[derive(Debug)]
pub(super) struct Leads {
    pub(super) request: Request,
    /// Whether no progress is shown.
    pub(super) quiet: bool,
}

impl Stream for Leads {
    fn page(&self) -> Result<Report, Failure> {
        let shown = if self.request.long { SHOWN.1 } else { SHOWN.0 };
        let most = self.request.count.unwrap_or(shown);
        walk(&self.request, most, &Progress::new(self.quiet), |walk| {
            let rows: Vec<Row> = walk.by_ref().collect();
            let survey = walk.finish()?;
            let mut report = Report::new();
            page::write(&self.request, survey, &rows, &mut report);
            report.drawings = vec![picture::draw(&self.request, survey)];
            report.answer = answer(survey);
            Ok(report)
        })
    }

    fn columns(&self) -> Vec<Column> {
        records::columns(&KEYS)
    }

    fn rows(
        &self,
        on_terminal: bool,
        give: &mut dyn FnMut(&[Cell]) -> io::Result<()>,
    ) -> io::Result<Answer> {
        self.all(on_terminal, |walk| {
            walk.try_for_each(|row| give(&records::cells(&KEYS, &lead(&self.request, &row))))?;
            Ok(answer(walk.finish()?))
        })
    }

    fn write_json(&self, on_terminal: bool, out: &mut dyn io::Write) -> io::Result<Answer> {
        self.all(on_terminal, |walk| {
            let walk = RefCell::new(walk);
            let document = Document {
                head: Head::of(&self.request.machine),
                asked: asked(&self.request),
                leads: Listed(&self.request, &walk),
                summary: Outcome(&self.request, &walk),
            };
            document.write_json(out)?;
            let survey = &walk.borrow().survey;
            Ok(answer(survey))
        })
    }
}

impl Leads {
    /// Goes through all leads; rows that come onto the terminal are progress enough.
    fn all<T>(
        &self,
        on_terminal: bool,
        go: impl FnOnce(&mut Walk<'_>) -> io::Result<T>,
    ) -> io::Result<T> {
        let most = self.request.count.unwrap_or(usize::MAX);
        walk(&self.request, most, &Progress::new(self.quiet || on_terminal), go)
    }
}

/// Neither yes nor no is no yes.
const fn answer(survey: &Survey) -> Answer {
    if survey.sure == 0 { Answer::No } else { Answer::Yes }
}

/// The leads of the document, worked out while they are written.
#[derive(Debug)]
struct Listed<'a, 'w>(&'a Request, &'a RefCell<&'a mut Walk<'w>>);

impl Serialize for Listed<'_, '_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.1.borrow_mut().by_ref().map(|row| lead(self.0, &row)))
    }
}

/// What they came to: known when they are written.
#[derive(Debug)]
struct Outcome<'a, 'w>(&'a Request, &'a RefCell<&'a mut Walk<'w>>);

impl Serialize for Outcome<'_, '_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut walk = self.1.borrow_mut();
        let survey = walk.finish().map_err(serde::ser::Error::custom)?;
        summary(self.0, survey).serialize(serializer)
    }
}

fn asked(request: &Request) -> Asked {
    Asked {
        travel: travel(request.travel),
        hand: request.hand.map(|hand| hand.to_string()),
        from: request.from.as_ref().map(Lead::from),
        to: request.to.as_ref().map(Lead::from),
        gear_pairs: request.pairs,
        within: request.within.to_string(),
        standard_only: request.standard,
        sort: match request.sort {
            Sort::Lead => "lead",
            Sort::Error => "error",
            Sort::Gears => "gears",
        },
        count: request.count,
    }
}

fn lead(request: &Request, row: &Row) -> Reached {
    Reached {
        set_up: SetUp::of(&request.machine.lathe, &row.entry),
        below: row.below.as_ref().map(beside),
        above: row.above.as_ref().map(beside),
    }
}

fn beside(beside: &reach::Beside) -> Beside {
    Beside {
        thread: beside.thread.designation().to_string(),
        lead: Lead::from(&beside.thread.lead()),
        error: Error::from(&beside.error),
    }
}

fn summary(request: &Request, survey: &Survey) -> Summary {
    let most = request.count.map_or(u64::MAX, |count| count as u64);
    Summary {
        complete: survey.is_complete(),
        left_out: left_out(survey),
        leads: survey.leads,
        too_close: survey.too_close,
        listed: survey.listed.min(most),
        refused: survey.refused,
        shortest: survey.shortest.as_ref().map(Lead::from),
        longest: survey.longest.as_ref().map(Lead::from),
        widest_gap: survey.gap.as_ref().map(gap),
        standards: survey.standards.iter().map(|standard| pitch(request, standard)).collect(),
    }
}

/// What was not looked at, a sentence each.
fn left_out(survey: &Survey) -> Vec<String> {
    let ended =
        survey.ended.then(|| "Ctrl-C ended the work: longer leads were not looked at".into());
    survey.left_out.clone().into_iter().chain(ended).collect()
}

fn gap(gap: &(solver::Lead, solver::Lead)) -> Gap {
    let share = share(gap);
    Gap {
        from: Lead::from(&gap.0),
        to: Lead::from(&gap.1),
        per_cent: rounded(share.to_f64().unwrap_or(f64::NAN) * 100.0, 6),
        share: share.to_string(),
    }
}

fn pitch(request: &Request, standard: &Standard) -> Pitch {
    let nearest = |(entry, error): (&Entry, LeadError)| Way {
        set_up: SetUp::of(&request.machine.lathe, entry),
        error: Error::from(&error),
    };
    Pitch {
        lead: Lead::from(&standard.lead),
        threads: standard.threads.iter().map(Thread::designation).collect(),
        state: standard.state(&request.within).map(State::word),
        nearest: standard.nearest.as_ref().zip(standard.error()).map(nearest),
    }
}
