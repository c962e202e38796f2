//! The leads for programs: each row is worked out while the one before is written, so that millions
//! take no more memory than a few.

use super::survey::{Standard, State, Survey, quotient};
use super::top_rows::TopRows;
use super::walk::{Row, walk};
use super::{Request, Sort};
use crate::command::figures::{lead_mm, measure, ppm, rounded, tpi};
use crate::command::find::{Entry, either, in_a_cell, state, travel};
use crate::failure::Failure;
use crate::progress::Progress;
use crate::report::found::Named;
use crate::report::reached::{
    Asked, Beside, Document, FORMAT, Gap, Nearest, Reached, Standard as Pitch, Summary,
};
use crate::report::{Answer, Cell, Column, Stream};
use num_rational::BigRational;
use num_traits::{One, ToPrimitive};
use serde::ser::{Error, SerializeSeq};
use serde::{Serialize, Serializer};
use solver::{LeadError, Thread, reach};
use std::cell::{Cell as Slot, RefCell};
use std::io;
use std::rc::Rc;

/// Rows that are sorted in memory at most; ascending leads come as they are.
const MOST_SORTED: usize = 100_000;

const COLUMNS: [&str; 15] = [
    "lead_mm",
    "lead_mm_exact",
    "tpi",
    "train",
    "gears",
    "levers",
    "headstock",
    "tumbler",
    "hand",
    "ratio",
    "fit",
    "below",
    "below_error_ppm",
    "above",
    "above_error_ppm",
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
        COLUMNS.map(|key| Column::new(key, key, "")).into()
    }

    fn rows(&self, give: &mut dyn FnMut(&[Cell]) -> io::Result<()>) -> io::Result<()> {
        match self.each(|row| give(&cells(row)))? {
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

fn cells(row: &Row) -> Vec<Cell> {
    let entry = &row.entry;
    let beside = |beside: &Option<reach::Beside>| -> [Cell; 2] {
        [beside.map(|b| b.thread.designation()).into(), beside.map(|b| ppm(&b.error)).into()]
    };
    let [below, below_error] = beside(&row.below);
    let [above, above_error] = beside(&row.above);
    vec![
        lead_mm(&entry.lead).into(),
        lead_mm(&entry.lead).exact().into(),
        tpi(&entry.lead).into(),
        entry.train.to_string().into(),
        entry.gears.into(),
        in_a_cell(&entry.levers).into(),
        entry.headstock.clone().into(),
        either::tumbler(entry).into(),
        entry.hand.map(|hand| hand.to_string()).into(),
        measure(&entry.ratio).into(),
        state(entry).into(),
        below,
        below_error,
        above,
        above_error,
    ]
}

/// The leads of the document, worked out while they are written.
#[derive(Debug)]
pub(super) struct Leads(Rc<Run>);

impl Serialize for Leads {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(None)?;
        match self.0.each(|row| list.serialize_element(&lead(row)))? {
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
        format: FORMAT,
        lathe: request.machine.name().to_string(),
        lathe_from: request.machine.from.clone(),
        asked: asked(request),
        leads: Leads(Rc::clone(run)),
        summary: Outcome(Rc::clone(run)),
    }
}

fn asked(request: &Request) -> Asked {
    let mm = |lead: Option<solver::Lead>| lead.map(|lead| lead.mm().to_string());
    let pi = |lead: Option<solver::Lead>| i8::from(lead.is_some_and(|lead| lead.has_pi()));
    Asked {
        travel: travel(request.travel),
        hand: request.hand.map(|hand| hand.to_string()),
        from_mm: mm(request.from),
        from_pi: pi(request.from),
        to_mm: mm(request.to),
        to_pi: pi(request.to),
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

fn lead(row: &Row) -> Reached {
    let entry = &row.entry;
    Reached {
        lead_mm: entry.lead.mm().to_string(),
        lead_pi: i8::from(entry.lead.has_pi()),
        lead_mm_rounded: lead_mm(&entry.lead).to_f64(),
        tpi_rounded: tpi(&entry.lead).to_f64(),
        train: entry.train.to_string(),
        shafts: entry.shafts(),
        gears: entry.gears,
        levers: Named(entry.levers.clone()),
        headstock: entry.headstock.clone(),
        tumbler: entry.tumbler.clone(),
        hand: entry.hand.map(|hand| hand.to_string()),
        either: either::data(entry),
        ratio: entry.ratio.to_string(),
        fit: state(entry),
        below: row.below.as_ref().map(beside),
        above: row.above.as_ref().map(beside),
    }
}

fn beside(beside: &reach::Beside) -> Beside {
    let lead = beside.thread.lead();
    Beside {
        thread: beside.thread.designation().to_string(),
        lead_mm: lead.mm().to_string(),
        lead_pi: i8::from(lead.has_pi()),
        error: exact(&beside.error),
        error_ppm: ppm(&beside.error).to_f64(),
    }
}

fn exact(error: &LeadError) -> Option<String> {
    error.exact().map(|error| error.to_string())
}

fn summary(request: &Request, survey: &Survey, listed: u64) -> Summary {
    let mm = |lead: &Option<solver::Lead>| lead.map(|lead| lead.mm().to_string());
    Summary {
        complete: survey.is_complete(),
        left_out: left_out(survey),
        leads: survey.leads,
        too_close: survey.too_close,
        listed,
        refused: survey.refused,
        shortest_mm: mm(&survey.shortest),
        longest_mm: mm(&survey.longest),
        lead_pi: i8::from(survey.longest.is_some_and(|lead| lead.has_pi())),
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
        from_mm: from.mm().to_string(),
        to_mm: to.mm().to_string(),
        per_cent: rounded(share.to_f64().unwrap_or(f64::NAN) * 100.0, 6),
        share: share.to_string(),
    }
}

fn pitch(request: &Request, standard: &Standard) -> Pitch {
    let nearest = |(entry, error): (&Entry, LeadError)| Nearest {
        lead_mm: entry.lead.mm().to_string(),
        train: entry.train.to_string(),
        error: exact(&error),
        error_ppm: ppm(&error).to_f64(),
    };
    Pitch {
        lead_mm: standard.lead.mm().to_string(),
        lead_pi: i8::from(standard.lead.has_pi()),
        threads: standard.threads.iter().map(Thread::designation).collect(),
        state: standard.state(&request.within).map(State::word),
        nearest: standard.nearest.as_ref().zip(standard.error()).map(nearest),
    }
}
