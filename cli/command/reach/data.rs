//! The leads for programs: each row is worked out while the one before is written, so that millions
//! take no more memory than a few.

use super::survey::{Standard, State, Survey, quotient};
use super::top_rows::TopRows;
use super::walk::{Row, walk};
use super::{Request, Sort};
use crate::answer::Entry;
use crate::document::lead::{Error, Lead};
use crate::document::reach::{Asked, Beside, Document, Gap, Reached, Standard as Pitch, Summary};
use crate::document::set_up::{SetUp, Way};
use crate::document::{Head, records};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::{Answer, Cell, Column, Stream};
use crate::words::figures::rounded;
use crate::words::set_up::travel;
use num_rational::BigRational;
use num_traits::{One, ToPrimitive};
use serde::ser::{Error as _, SerializeSeq};
use serde::{Serialize, Serializer};
use solver::{LeadError, Thread, reach};
use std::cell::{Cell as Slot, RefCell};
use std::io;
use std::rc::Rc;

/// Rows that are sorted in memory at most; ascending leads come as they are.
const MOST_SORTED: usize = 100_000;

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

/// The walk that is done while its rows are written.
#[derive(Debug)]
pub(super) struct Run {
    request: Request,
    /// Whether no progress is shown.
    quiet: bool,
    survey: RefCell<Option<Survey>>,
    listed: Slot<u64>,
    /// Of these, those that are sure.
    sure: Slot<u64>,
    failure: RefCell<Option<Failure>>,
}

impl Run {
    pub(super) const fn new(request: Request, quiet: bool) -> Self {
        Self {
            request,
            quiet,
            survey: RefCell::new(None),
            listed: Slot::new(0),
            sure: Slot::new(0),
            failure: RefCell::new(None),
        }
    }

    /// Gives out every row, until `give` fails.
    fn each<E>(&self, mut give: impl FnMut(&Row) -> Result<(), E>) -> Result<Ended, E> {
        let mut failed = None;
        let (mut listed, mut sure) = (0, 0);
        let mut write = |row: &Row| match give(row) {
            Ok(()) => {
                listed += 1;
                sure += u64::from(!row.entry.is_too_close());
                true
            }
            Err(e) => {
                failed = Some(e);
                false
            }
        };
        let ended = self.walk(&mut write);
        self.listed.set(listed);
        self.sure.set(sure);
        failed.map_or(Ok(ended), Err)
    }

    fn walk(&self, write: &mut dyn FnMut(&Row) -> bool) -> Ended {
        let most = self.request.count.unwrap_or(usize::MAX);
        let walked = if self.request.sort == Sort::Lead {
            let mut came = 0;
            self.through(&mut |row| {
                came += 1;
                came > most || write(&row)
            })
        } else {
            self.sorted(most, write)
        };
        match walked {
            Ok(survey) => {
                self.survey.replace(Some(survey));
                Ended::Well
            }
            Err(failure) => {
                self.failure.replace(Some(failure));
                Ended::Badly
            }
        }
    }

    fn through(&self, give: &mut dyn FnMut(Row) -> bool) -> Result<Survey, Failure> {
        walk(&self.request, &Progress::new(self.quiet), give)
    }

    /// Those that come first, where they are not asked as they come.
    fn sorted(&self, most: usize, write: &mut dyn FnMut(&Row) -> bool) -> Result<Survey, Failure> {
        let mut kept = TopRows::new(self.request.sort, most.min(MOST_SORTED));
        let too_many = |kept: &TopRows| most > MOST_SORTED && kept.came() > MOST_SORTED as u64;
        let survey = self.through(&mut |row| {
            kept.push(row);
            !too_many(&kept)
        })?;
        if too_many(&kept) {
            let most = crate::report::number::grouped(MOST_SORTED as u128);
            return Err(Failure::new(format!("--sort: more than {most} leads can't be sorted"))
                .with_hint("--count 1000 beside it, --from and --to closer, or --sort lead"));
        }
        let _ = kept.into_rows().iter().all(write);
        Ok(survey)
    }
}

/// How a walk ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ended {
    Well,
    Badly,
}

const WORK_FAILED: &str = "the work failed";

impl Stream for Run {
    fn columns(&self) -> Vec<Column> {
        records::columns(&KEYS)
    }

    fn rows(&self, give: &mut dyn FnMut(&[Cell]) -> io::Result<()>) -> io::Result<()> {
        match self.each(|row| give(&records::cells(&KEYS, &lead(&self.request, row))))? {
            Ended::Well => Ok(()),
            Ended::Badly => Err(io::Error::other(WORK_FAILED)),
        }
    }

    fn end(&self) -> Result<Answer, Failure> {
        match self.failure.take() {
            Some(failure) => Err(failure),
            // Neither yes nor no is no yes.
            None if self.sure.get() == 0 => Ok(Answer::No),
            None => Ok(Answer::Yes),
        }
    }
}

/// The leads of the document, worked out while they are written.
#[derive(Debug)]
pub(super) struct Leads(Rc<Run>);

impl Serialize for Leads {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(None)?;
        match self.0.each(|row| list.serialize_element(&lead(&self.0.request, row)))? {
            Ended::Well => list.end(),
            Ended::Badly => Err(S::Error::custom(WORK_FAILED)),
        }
    }
}

/// What they came to: known when they are written.
#[derive(Debug)]
pub(super) struct Outcome(Rc<Run>);

impl Serialize for Outcome {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let survey = self.0.survey.borrow();
        let survey = survey.as_ref().ok_or_else(|| S::Error::custom(WORK_FAILED))?;
        summary(&self.0.request, survey, self.0.listed.get()).serialize(serializer)
    }
}

/// The document; its leads are worked out once, when it is written.
pub(super) fn document(run: &Rc<Run>) -> Document<Leads, Outcome> {
    let request = &run.request;
    Document {
        head: Head::of(&request.machine),
        asked: asked(request),
        leads: Leads(Rc::clone(run)),
        summary: Outcome(Rc::clone(run)),
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
