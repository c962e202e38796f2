//! The leads as they are written: for people the first of them, for programs all; each row is worked out
//! while the one before is written, so that millions take no more memory than a few.

use super::row::Row;
use super::survey::{Standard, State, Survey, quotient};
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
use num_rational::BigRational;
use num_traits::{One, ToPrimitive};
use serde::ser::SerializeSeq;
use serde::{Serialize, Serializer};
use solver::{LeadError, Thread, reach};
use std::cell::RefCell;
use std::io;

/// Rows of a page where nothing was said.
const SHOWN: usize = 40;

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
        walk(&self.request, &Progress::new(self.quiet), |mut walk| {
            let rows = walk.rows(self.request.count.unwrap_or(SHOWN))?;
            let rows = rows.collect::<Result<Vec<_>, _>>()?;
            let survey = walk.finish()?;
            let mut report = Report::new();
            page::write(&self.request, survey, &rows, &mut report);
            report.drawings = vec![picture::draw(&self.request, survey)];
            report.answer = answer(survey.sure);
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
        walk(&self.request, &self.progress(on_terminal), |walk| {
            let mut giving = Giving::of(walk);
            giving.each(|row| give(&records::cells(&KEYS, &lead(&self.request, row))))??;
            giving.walk.finish()?;
            Ok(answer(giving.sure))
        })
    }

    fn write_json(&self, on_terminal: bool, out: &mut dyn io::Write) -> io::Result<Answer> {
        walk(&self.request, &self.progress(on_terminal), |walk| {
            let giving = RefCell::new(Giving::of(walk));
            let document = Document {
                head: Head::of(&self.request.machine),
                asked: asked(&self.request),
                leads: Listed(&self.request, &giving),
                summary: Outcome(&self.request, &giving),
            };
            let written = document.write_json(out);
            let giving = giving.into_inner();
            giving.failure.map_or(Ok(()), Err)?;
            written?;
            Ok(answer(giving.sure))
        })
    }
}

impl Leads {
    /// Rows that come onto the terminal are progress enough.
    fn progress(&self, on_terminal: bool) -> Progress {
        Progress::new(self.quiet || on_terminal)
    }
}

/// Neither yes nor no is no yes.
const fn answer(sure: u64) -> Answer {
    if sure == 0 { Answer::No } else { Answer::Yes }
}

/// A walk whose rows are given out.
#[derive(Debug)]
struct Giving<'w> {
    walk: Walk<'w>,
    most: usize,
    /// Given out so far.
    listed: u64,
    /// Of these, those that are sure.
    sure: u64,
    failure: Option<Failure>,
}

impl<'w> Giving<'w> {
    fn of(walk: Walk<'w>) -> Self {
        let most = walk.request.count.unwrap_or(usize::MAX);
        Self { walk, most, listed: 0, sure: 0, failure: None }
    }

    /// Gives out every row, until `give` or the work fails.
    fn each<E>(
        &mut self,
        mut give: impl FnMut(&Row) -> Result<(), E>,
    ) -> Result<Result<(), Failure>, E> {
        let rows = match self.walk.rows(self.most) {
            Ok(rows) => rows,
            Err(failure) => return Ok(Err(failure)),
        };
        for row in rows {
            match row {
                Ok(row) => give(&row).map(|()| {
                    self.listed += 1;
                    self.sure += u64::from(!row.entry.is_too_close());
                })?,
                Err(failure) => return Ok(Err(failure)),
            }
        }
        Ok(Ok(()))
    }

    /// Keeps why the work failed, which JSON has no words for.
    fn failed<E: serde::ser::Error>(&mut self, failure: Failure) -> E {
        self.failure = Some(failure);
        E::custom("the work failed")
    }
}

/// The leads of the document, worked out while they are written.
#[derive(Debug)]
struct Listed<'a, 'w>(&'a Request, &'a RefCell<Giving<'w>>);

impl Serialize for Listed<'_, '_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(None)?;
        let mut giving = self.1.borrow_mut();
        match giving.each(|row| list.serialize_element(&lead(self.0, row)))? {
            Ok(()) => list.end(),
            Err(failure) => Err(giving.failed(failure)),
        }
    }
}

/// What they came to: known when they are written.
#[derive(Debug)]
struct Outcome<'a, 'w>(&'a Request, &'a RefCell<Giving<'w>>);

impl Serialize for Outcome<'_, '_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut giving = self.1.borrow_mut();
        let listed = giving.listed;
        let summary = giving.walk.finish().map(|survey| summary(self.0, survey, listed));
        summary.map_err(|failure| giving.failed(failure))?.serialize(serializer)
    }
}

fn asked(request: &Request) -> Asked {
    Asked {
        travel: travel(request.travel),
        hand: request.hand.map(|hand| hand.to_string()),
        from: request.from.as_ref().map(Lead::from),
        to: request.to.as_ref().map(Lead::from),
        ratio_pairs: request.pairs,
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

fn summary(request: &Request, survey: &Survey, listed: u64) -> Summary {
    Summary {
        complete: survey.is_complete(),
        left_out: left_out(survey),
        leads: survey.leads,
        too_close: survey.too_close,
        listed,
        refused: survey.refused,
        shortest: survey.shortest.as_ref().map(Lead::from),
        longest: survey.longest.as_ref().map(Lead::from),
        widest_gap: survey.gap.map(|(from, to)| gap(&from, &to)),
        standards: survey.standards.iter().map(|standard| pitch(request, standard)).collect(),
    }
}

/// What was not looked at, a sentence each.
fn left_out(survey: &Survey) -> Vec<String> {
    let ended =
        survey.ended.then(|| "Ctrl-C ended the work: longer leads were not looked at".into());
    survey.left_out.clone().into_iter().chain(ended).collect()
}

fn gap(from: &solver::Lead, to: &solver::Lead) -> Gap {
    let share = quotient(to, from) - BigRational::one();
    Gap {
        from: Lead::from(from),
        to: Lead::from(to),
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
