//! `card`: all that the job takes, on one page, in the order of the work.
//!
//! The set-up is the one that `find` describes first, another one of its list (`--rank`), or a train of
//! one's own (`--train`); where the work has several starts, the one of them that is indexed most
//! easily. The library works out the job (`solver::job`); each section has a file here that puts it into
//! words, and `document/card.rs` makes the document of it. A card is only made for what can be set up and
//! cuts the thread that was asked.

mod adds_up;
mod back;
mod blank;
mod bore;
mod by_hand;
mod choice;
mod depth;
mod feed;
mod gears;
mod head;
mod mate;
mod next_cut;
mod nut;
mod order;
mod page;
mod pick_up;
mod rest;
mod roughness;
mod set_up;
mod short;
mod sizes;
mod speed;
mod starts;
mod surface;
mod taper;
mod tried;
mod undercut;
mod work;
mod worm;

use super::{drawing, now};
use crate::answer::{self, Entry, Outcome, Request};
use crate::args;
use crate::asked::context::Context;
use crate::document::Head;
use crate::document::card as document;
use crate::document::find::Solution;
use crate::document::lead::Target as Asked;
use crate::failure::Failure;
use crate::report::drawing::Drawing;
use crate::report::{Answer, Block, Report, Role, Text};
use crate::words::search;
use crate::words::shaft::last_shaft;
use page::Page;
use solver::job::{self, Job, Refused};
use solver::scratch_pass::Spindle;
use solver::{Hand, Lathe, Lead, Length, Target, Travel};

/// What every section of the card is made from.
pub(super) struct Card<'a> {
    request: &'a Request,
    outcome: &'a Outcome,
    entry: &'a Entry,
    asked: job::Request<'a>,
    job: Job,
}

/// Answers `card`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(card: &args::Card, context: &Context<'_>) -> Result<Report, Failure> {
    if card.order {
        return order::run(card, context);
    }
    let (mut request, ra) = asked(card, context)?;
    if card.put_back_done {
        return now::fitted(request.machine, "card --put-back-done");
    }
    if card.done {
        now::place(&request.machine, "card --done")?;
    }
    let [(target, _)] = &request.targets[..] else {
        let texts: Vec<&str> = request.targets.iter().map(|(target, _)| target.text()).collect();
        return Err(Failure::new(format!(
            "a card is for one job, not for {}",
            texts.join(" and ")
        ))
        .with_hint("one card after the other, or --order beside them"));
    };
    let work = job::Work { roughness: ra, ..work::of(&card.work, target)? };
    // Of all arrangements the one is taken that is indexed most easily.
    request.all = target.starts() > 1;
    let outcomes = request.answer(context.progress)?;
    let [outcome] = &outcomes[..] else { return Err(Failure::new("no target")) };
    let mut report = match choose(&request, outcome)? {
        Ok(entry) if card.done => {
            let lathe = &request.machine.lathe;
            let set_up = lathe.set_up_after(&entry.train, &entry.setting, entry.tumbler);
            return now::record(request.machine, set_up, "card --done");
        }
        Ok(entry) => Card::new(&request, outcome, &entry, work)?.written(context.asks.drawn),
        Err(reasons) => no_card(&request, outcome, &reasons),
    };
    report.asides.extend(request.machine.asides());
    report.details = outcomes.iter().map(search::detail).collect();
    Ok(report)
}

/// The set-up that a card is for, or as sentences why there is none: where the gears that are
/// on do the same, those.
///
/// # Errors
/// If `--rank` asks for more than there is, or the lathe can't be used.
pub(super) fn choose(
    request: &Request,
    outcome: &Outcome,
) -> Result<Result<Entry, Vec<String>>, Failure> {
    let entry = match choice::of(request, outcome)? {
        Ok(entry) => entry,
        Err(reasons) => return Ok(Err(reasons)),
    };
    let now = answer::now_instead(request, outcome, entry);
    let now = now.map_err(|e| request.machine.refused(&e))?;
    Ok(Ok(now.unwrap_or_else(|| entry.clone())))
}

/// The question as `find` would be asked, for as many answers as `--rank` needs; with the roughness that
/// was asked for in place of a feed.
fn asked(card: &args::Card, context: &Context<'_>) -> Result<(Request, Option<Length>), Failure> {
    let machine = now::machine(&card.machine, context)?;
    let (request, ra) = match roughness::of(card, machine)? {
        Ok((request, ra)) => (request, Some(ra)),
        Err(machine) => (Request::new(machine, &card.target, &card.terms)?, None),
    };
    let request = Request {
        count: request.count.max(card.rank.unwrap_or_default()),
        over: card.work.over.unwrap_or(request.over),
        rank: card.rank,
        ..request
    };
    Ok((request, ra))
}

impl<'a> Card<'a> {
    /// Works it out.
    ///
    /// # Errors
    /// If something of the work can't be, or the lathe can't be used for it.
    pub(super) fn new(
        request: &'a Request,
        outcome: &'a Outcome,
        entry: &'a Entry,
        work: job::Work,
    ) -> Result<Self, Failure> {
        let (lathe, target) = (&request.machine.lathe, &outcome.target);
        let asked = job::Request::new(lathe, target, entry.set_up.clone())
            .with_hand(outcome.hand)
            .with_options(request.options())
            .with_work(work);
        let job = Job::new(&asked).map_err(|e| match e {
            Refused::Lathe(e) => request.machine.refused(&e),
            e => work::refused(&e, target),
        })?;
        Ok(Self { request, outcome, entry, asked, job })
    }

    const fn lathe(&self) -> &'a Lathe {
        self.asked.lathe
    }

    const fn target(&self) -> &'a Target {
        self.asked.target
    }

    fn is_feed(&self) -> bool {
        self.asked.is_feed()
    }

    fn is_across(&self) -> bool {
        self.target().travel() == Travel::CrossFeed
    }

    /// The lead that the train truly cuts.
    fn lead(&self) -> Lead {
        self.entry.lead
    }

    /// Whether the thread is begun: measured, tried with its mate, or picked up again.
    const fn is_begun(&self) -> bool {
        self.has_next_cut() || self.job.pick_up.is_some()
    }

    /// Whether the passes that are left are known.
    const fn has_next_cut(&self) -> bool {
        self.job.next.is_some() || self.job.tried.is_some()
    }

    fn is_nut(&self) -> bool {
        self.asked.is_nut()
    }

    /// The hand that is cut; where a sense is not known the one that was asked.
    fn hand(&self) -> Option<Hand> {
        self.asked.hand()
    }

    /// Whether the tool begins in the undercut and runs away from the headstock.
    fn runs_away(&self) -> bool {
        !self.is_feed() && (self.asked.work.away || self.hand() == Some(Hand::Left))
    }

    /// Whether the spindle turns in reverse in the cut.
    fn is_reversed(&self) -> bool {
        !self.is_feed() && self.asked.spindle() == Spindle::Reverse
    }

    /// What the driven shaft is called.
    fn last_shaft(&self) -> &'static str {
        last_shaft(self.lathe())
    }

    /// Before the first cut.
    fn write_set_up(&self, drawings: usize, page: &mut Page) {
        head::write_safe(page);
        gears::write(self, drawings, page);
        gears::write_levers(self, page);
        if !self.is_feed() {
            by_hand::write_direction(self, page);
        }
        by_hand::write_by_hand(self, page);
        if self.is_begun() {
            return;
        }
        if let Some((scratch, speed)) = self.job.scratch.as_ref().zip(self.job.speed.as_ref()) {
            by_hand::write_scratch(self, scratch, speed, page);
        }
    }

    /// The sections, and the document that goes with them; `drawn`: with pictures.
    fn written(&self, drawn: bool) -> Report {
        let mut page = Page::default();
        head::write(self, &mut page);
        mate::write(self, &mut page);
        next_cut::write(self, &mut page);
        tried::write(self, &mut page);
        pick_up::write(self, &mut page);
        head::write_job(self, &mut page);
        if !self.is_feed() {
            blank::write(self, &mut page);
        }
        // Who picks a thread up has set up, turned and scratched it long ago.
        let subject = || drawing::subject(self.request, self.outcome, self.entry);
        let is_new = self.job.pick_up.is_none();
        let drawings = if drawn && is_new { drawing::views(&subject()) } else { Vec::new() };
        if is_new {
            self.write_set_up(drawings.len(), &mut page);
        }
        if let Some(nut) = &self.job.nut {
            nut::write(self, nut, &mut page);
        }
        if !self.is_feed() {
            depth::write(self, &mut page);
        }
        sizes::write(self, &mut page);
        if let Some(starts) = &self.job.starts {
            starts::write(self, starts, &mut page);
        }
        if let Some(speed) = &self.job.speed {
            speed::write(self, speed, &mut page);
        }
        if let Some(feed) = &self.job.feed {
            feed::write(self, feed, &mut page);
            surface::write_for_a_feed(self, &mut page);
        }
        back::write(self, &mut page);
        head::write_limits(self, &mut page);
        self.report(page, drawings)
    }

    fn report(&self, page: Page, drawings: Vec<Drawing>) -> Report {
        let mut report = page.report;
        report.one_side = true;
        report.mounts = true;
        report.records = Some(page::records(&report.blocks, &page.whole));
        report.drawings = drawings;
        let rank = self.request.rank.unwrap_or(1);
        let solution = Solution::of(self.request, &self.outcome.allowed, rank, self.entry);
        let card = document::Card::of(&self.asked, &self.job, solution, back::restores(self));
        report.document =
            Some(Box::new(document(self.request, self.outcome, Some(card), Vec::new())));
        // Neither yes nor no is no yes.
        if self.entry.is_too_close() {
            report.answer = Answer::No;
        }
        report
    }
}

fn document(
    request: &Request,
    outcome: &Outcome,
    card: Option<document::Card>,
    reasons: Vec<String>,
) -> document::Written {
    document::Written::One(Box::new(document::Document {
        head: Head::of(&request.machine),
        target: Asked::asked(outcome),
        card,
        reasons,
    }))
}

/// What is said where there is nothing to set up.
fn no_card(request: &Request, outcome: &Outcome, reasons: &[String]) -> Report {
    let mut report = Report::new();
    report.push(Block::Title(outcome.target.text().to_string()));
    report.note(Text::new(Role::Warning, "No card."));
    report.push(Block::List(reasons.iter().map(|reason| reason.as_str().into()).collect()));
    report.note("`trainwright find` lists what comes nearest and what would help.");
    report.records = Some(page::records(&report.blocks, &[]));
    report.document = Some(Box::new(document(request, outcome, None, reasons.to_vec())));
    report.answer = Answer::No;
    report
}

/// The set-up, or as sentences why there is none.
type Chosen<'o> = std::result::Result<&'o Entry, Vec<String>>;
