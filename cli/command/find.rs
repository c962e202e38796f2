//! `find`: which trains cut this thread, or give this feed?
//!
//! Words become targets (`targets.rs`), each target is searched here, and what was found
//! becomes plain entries (`find/entry.rs`), from which the page for people (`find/page.rs`,
//! `find/lists.rs`, `find/set_up.rs`), the records and the document for programs (`find/data.rs`) and
//! the pictures (`find/pictures.rs`) are made. A train that was typed is judged (`find/judge.rs`).
//! Why a train can't stand is put into words in one place (`reasons.rs`).

mod data;
pub(super) mod either;
mod entry;
mod judge;
mod lists;
mod page;
mod pictures;
mod remedies;
mod set_up;

use super::machine::Machine;
use super::{targets, words};
use crate::args::{self, Find};
use crate::failure::Failure;
use crate::interrupt;
use crate::progress::Progress;
use crate::report::{Answer, Report};
pub(super) use data::{fit_word, in_a_cell, solution, state, target, travel};
pub(super) use entry::Entry;
pub(super) use judge::fit_of;
pub(super) use lists::error_in_short;
pub(super) use page::{detail, is_all, part, unchecked};
pub(super) use pictures::subject;
pub(super) use set_up::{
    OUTRUNS, fitted_instead, idler_that_may_stay, last_shaft, levers_in_words,
};

use remedies::Help;
use solver::search::{Ask, Options, Others, Proof, Remedy, Search};
use solver::{Hand, LeastClearance, Length, Ratio, Target, Teeth, Train, Travel, Watch, bounds};

/// Arrangements counted for one lead; past it the answer says "at least".
const MOST_OTHERS: u64 = 100_000;
/// Arrangements listed for one lead; past it the list says so. Nobody reads more, and each is held.
const MOST_LISTED: usize = 20_000;

/// Error of a thread that counts as near enough where nothing was said: 200 ppm, 5 µm in 25 mm
/// (common practice, no source).
const USUAL_TOLERANCE: (u128, u128) = (200, 1_000_000);

/// The same for a feed: 1 %, since nothing has to fit a feed (common practice, no source).
const USUAL_TOLERANCE_OF_A_FEED: (u128, u128) = (1, 100);

/// What was asked, understood.
pub(super) struct Request {
    pub(super) machine: Machine,
    pub(super) targets: Vec<(Target, Option<Hand>)>,
    pub(super) count: usize,
    pub(super) within: Option<Ratio>,
    pub(super) over: Length,
    pub(super) all: bool,
    /// The least room beside a shaft; nothing where no fit is checked.
    pub(super) arbor: Option<LeastClearance>,
    /// To be judged instead of a search.
    pub(super) train: Option<Train>,
    /// Which of the closest is drawn, from 1.
    pub(super) rank: Option<usize>,
}

/// What was found for one target.
pub(super) struct Outcome {
    pub(super) target: Target,
    pub(super) hand: Option<Hand>,
    /// What was searched; nothing where a train was judged.
    pub(super) proof: Option<Proof>,
    /// What counts as near enough.
    pub(super) tolerance: Ratio,
    pub(super) solutions: Vec<Entry>,
    pub(super) trade_off: Vec<Entry>,
    /// Whether no row of it, and nothing better with one gear more, can have been missed.
    pub(super) trade_off_complete: bool,
    /// Index into `trade_off`: the fewest gears that are near enough.
    pub(super) fewest: Option<usize>,
    /// Whether closer ones that are too close to call had no room among the solutions.
    pub(super) unlisted: bool,
    /// Closer, but can't stand.
    pub(super) refused: Vec<Entry>,
    /// Where nothing near enough stands: what would help.
    pub(super) remedies: Vec<Help>,
    pub(super) nearest: Option<Entry>,
    pub(super) one_more: Option<(Entry, Teeth)>,
    /// Where the chosen set-up is not near enough: the best of the other hand, if it is much closer.
    pub(super) other_hand: Option<Entry>,
    /// Lever positions left out, since a ratio is unknown.
    pub(super) unknown_positions: usize,
}

impl Outcome {
    /// An answer of the list, from 1.
    ///
    /// # Errors
    /// If there are not so many.
    pub(super) fn ranked(&self, rank: usize) -> Result<&Entry, Failure> {
        rank.checked_sub(1).and_then(|at| self.solutions.get(at)).ok_or_else(|| {
            let (text, have) = (self.target.text(), self.solutions.len());
            Failure::new(format!("--rank {rank}: {text} has {have} answers"))
        })
    }

    /// The set-up to start from: the fewest gears that are near enough, else what is near enough and too
    /// close to call, else the closest.
    pub(super) fn first_choice(&self) -> Option<&Entry> {
        let fewest = self.fewest.and_then(|i| self.trade_off.get(i));
        let sure = self.solutions.iter().find(|entry| !entry.is_too_close());
        fewest.or(self.unsure()).or(sure).or_else(|| self.solutions.first())
    }

    /// Near enough, but too close to call.
    pub(super) fn unsure(&self) -> Option<&Entry> {
        let near = |entry: &&Entry| entry.is_too_close() && entry.error.within(&self.tolerance);
        self.solutions.iter().find(near)
    }

    /// Whether the answer is a sure yes; what is too close to call is none.
    pub(super) fn is_sure(&self) -> bool {
        self.first_choice().is_some_and(|entry| !entry.is_too_close())
    }
}

/// Answers `find`.
///
/// # Errors
/// If something typed or read can't be used.
pub(super) fn run(find: &Find, progress: &Progress) -> Result<Report, Failure> {
    answered(&Request::of(find)?, progress)
}

/// What `find` says of one target, as if nothing else had been typed.
///
/// # Errors
/// If the lathe can't be used for it.
pub(super) fn first_answer(
    machine: Machine,
    target: &str,
    progress: &Progress,
) -> Result<Report, Failure> {
    let words = ["trainwright", "find", target];
    let typed =
        <args::Args as clap::Parser>::try_parse_from(words).map_err(|e| Failure::from(&e))?;
    let args::Command::Find(find) = &typed.command else { return Ok(Report::new()) };
    answered(&Request::on(find, || Ok(machine))?, progress)
}

fn answered(request: &Request, progress: &Progress) -> Result<Report, Failure> {
    let outcomes = request.answer(progress)?;
    let mut report = Report::new();
    page::write(request, &outcomes, &mut report);
    report.records = Some(data::records(request, &outcomes));
    report.document = Some(Box::new(data::document(request, &outcomes)));
    report.drawings = pictures::all(request, &outcomes)?;
    report.asides.extend(request.machine.demo_line());
    report.details = outcomes.iter().map(page::detail).collect();
    if !outcomes.iter().all(Outcome::is_sure) {
        report.answer = Answer::No;
    }
    Ok(report)
}

impl Request {
    /// What was typed, understood.
    ///
    /// # Errors
    /// If it can't be.
    pub(super) fn of(find: &Find) -> Result<Self, Failure> {
        Self::on(find, || Machine::of(&find.machine))
    }

    /// What was typed, on a machine.
    fn on(
        find: &Find,
        machine: impl FnOnce() -> Result<Machine, Failure>,
    ) -> Result<Self, Failure> {
        let terms = &find.terms;
        let within =
            terms.within.as_deref().map(|w| words::tolerance("--within", w)).transpose()?;
        let targets = targets::read(&find.targets)?;
        let with_hand = |target| hand_of(&target, terms.hand).map(|hand| (target, hand));
        Ok(Self {
            count: words::count("--count", &find.count, &bounds::ANSWERS)?,
            within,
            over: words::length("--over", &find.over)?,
            all: find.all,
            arbor: words::arbor(&terms.clearance)?,
            targets: targets.into_iter().map(with_hand).collect::<Result<_, _>>()?,
            machine: machine()?,
            train: terms.train.as_deref().map(train).transpose()?,
            rank: find.rank.as_deref().map(|n| rank(n, &find.count)).transpose()?,
        })
    }

    /// The trains for each target, or what the typed train does for it.
    ///
    /// # Errors
    /// If the lathe can't be used for it.
    pub(super) fn answer(&self, progress: &Progress) -> Result<Vec<Outcome>, Failure> {
        match &self.train {
            Some(train) => self.judge(train),
            None => self.search(progress),
        }
    }

    /// What a train that was typed does for each target.
    fn judge(&self, train: &Train) -> Result<Vec<Outcome>, Failure> {
        let judged = |(target, hand): &(Target, Option<Hand>)| {
            let entry = judge::judge(self, train, target, *hand)
                .map_err(|e| self.machine.refused(&e).asked_for_by(target.text()))?;
            let near = |e: &Entry| self.within.is_none_or(|within| e.error.within(&within));
            let stands = |e: &Entry| e.reasons(&self.machine.lathe).is_empty();
            let only = |wanted: &dyn Fn(&Entry) -> bool| entry.clone().filter(wanted);
            Ok(Outcome {
                target: target.clone(),
                hand: *hand,
                proof: None,
                tolerance: self.within.map_or_else(|| usual_tolerance(target.travel()), Ok)?,
                solutions: only(&|e| stands(e) && near(e)).into_iter().collect(),
                trade_off: Vec::new(),
                trade_off_complete: true,
                fewest: None,
                unlisted: false,
                refused: only(&|e| !stands(e)).into_iter().collect(),
                nearest: only(&|e| stands(e) && !near(e)),
                remedies: Vec::new(),
                one_more: None,
                other_hand: None,
                unknown_positions: 0,
            })
        };
        self.targets.iter().map(judged).collect()
    }

    fn search(&self, progress: &Progress) -> Result<Vec<Outcome>, Failure> {
        let refused = |e: solver::Error| self.machine.refused(&e);
        progress.expect(self.targets.len());
        let options = self.options();
        let watch = Watch::cancelled_by(interrupt::listen());
        // The tables are made once for threads and once for each feed.
        let mut searches: Vec<Search<'_>> = Vec::new();
        for (target, _) in &self.targets {
            let travel = target.travel();
            if searches.iter().all(|search| search.travel() != travel) {
                let search = Search::new(&self.machine.lathe, travel, options.clone());
                let search = search.map_err(|e| refused(e).asked_for_by(target.text()))?;
                searches.push(search.watched(watch));
            }
        }
        let mut outcomes = Vec::new();
        for (target, hand) in &self.targets {
            if let Some(search) = searches.iter().find(|s| s.travel() == target.travel()) {
                outcomes.push(self.outcome(search, target, *hand).map_err(refused)?);
                progress.step();
            }
        }
        Ok(outcomes)
    }

    /// What the search heeds.
    pub(super) fn options(&self) -> Options {
        options(self.arbor)
    }

    fn outcome(
        &self,
        search: &Search<'_>,
        target: &Target,
        hand: Option<Hand>,
    ) -> solver::Result<Outcome> {
        let ask =
            Ask::new(target.lead()).with_hand(hand).with_count(self.count).with_within(self.within);
        let found = search.find(&ask)?;
        let entry = |solution: &_| Entry::of(search, solution);
        let solutions = found
            .solutions
            .iter()
            .map(|s| self.listed(search, &ask, s))
            .collect::<Result<_, _>>()?;
        let rows = search.trade_off(&ask)?;
        let with_idlers = |s: &_| Ok(Entry { idlers: search.idlers(&ask, s)?, ..entry(s)? });
        let trade_off: Vec<Entry> =
            rows.rows.iter().map(with_idlers).collect::<solver::Result<_>>()?;
        let refused = found.refused.iter().map(entry);
        let tolerance = self.within.map_or_else(|| usual_tolerance(target.travel()), Ok)?;
        let near = |s: &&solver::search::Solution| s.stands() && s.error.within(&tolerance);
        let remedies = match found.solutions.iter().find(near) {
            Some(_) => Vec::new(),
            None => search.remedies(&ask, &found.refused)?,
        };
        let help = |r: &Remedy| Ok(Help { change: r.change.clone(), entry: entry(&r.solution)? });
        let one_more = search.one_more(&ask, found.solutions.iter().find(|s| s.stands()))?;
        let best = found.solutions.iter().find(|s| s.stands());
        let other_hand = search.other_hand(&ask, best, &tolerance)?;
        Ok(Outcome {
            target: target.clone(),
            hand,
            other_hand: other_hand.as_ref().map(entry).transpose()?,
            solutions,
            fewest: trade_off.iter().position(|e| e.error.within(&tolerance)),
            tolerance,
            trade_off,
            trade_off_complete: rows.complete,
            unlisted: found.unlisted,
            refused: refused.collect::<solver::Result<_>>()?,
            remedies: remedies.iter().map(help).collect::<solver::Result<_>>()?,
            nearest: found.nearest.as_ref().map(entry).transpose()?,
            unknown_positions: search.lathe().settings(target.travel())?.unknown,
            one_more: one_more.better.map(|(s, teeth)| Ok((entry(&s)?, teeth))).transpose()?,
            proof: Some(found.proof),
        })
    }

    /// An entry of the list, with what else has its lead.
    fn listed(
        &self,
        search: &Search<'_>,
        ask: &Ask,
        solution: &solver::search::Solution,
    ) -> solver::Result<Entry> {
        let mut entry = Entry::of(search, solution)?;
        entry.idlers = search.idlers(ask, solution)?;
        entry.others = Some(search.others(ask, solution, MOST_OTHERS)?);
        if self.all {
            let (all, _) = search.all(ask, solution, MOST_LISTED)?;
            entry.arrangements =
                all.iter().map(|s| Entry::of(search, s)).collect::<Result<_, _>>()?;
        }
        Ok(entry)
    }
}

/// `Left hand would be exact: 20-40-80.`, where the hand asked comes out far worse.
pub(super) fn other_hand(outcome: &Outcome) -> Option<String> {
    let (entry, asked) = (outcome.other_hand.as_ref()?, outcome.hand?);
    let hand = match asked.other() {
        Hand::Right => "Right",
        Hand::Left => "Left",
    };
    let train = &entry.train;
    Some(if entry.error.is_zero() {
        format!("{hand} hand would be exact: {train}.")
    } else {
        format!("{hand} hand would be closer: {train}, {}.", error_in_short(&entry.error))
    })
}

/// What a search heeds: the bracket and the arbors, or neither.
pub(super) fn options(arbor: Option<LeastClearance>) -> Options {
    let least = arbor.map(|arbor| arbor.mm());
    Options::default().with_arbor(least).with_bracket(arbor.is_some())
}

/// What is near enough where `--within` says nothing.
pub(super) fn usual_tolerance(travel: Travel) -> solver::Result<Ratio> {
    let (part, whole) = if travel.is_feed() { USUAL_TOLERANCE_OF_A_FEED } else { USUAL_TOLERANCE };
    Ratio::new(part, whole)
}

/// How the others are counted in words: `12`, `at least 100,000`.
fn counted(others: Others) -> String {
    let count = crate::report::number::grouped(others.count.into());
    if others.at_least { format!("at least {count}") } else { count }
}

/// The train of `--train`.
fn train(text: &str) -> Result<Train, Failure> {
    text.parse().map_err(|e| Failure::typed("--train", text, &e))
}

/// The rank of `--rank`: one of those that are listed.
fn rank(text: &str, count: &str) -> Result<usize, Failure> {
    let rank = words::count("--rank", text, &bounds::ANSWERS)?;
    let listed = words::count("--count", count, &bounds::ANSWERS)?;
    if rank > listed {
        return Err(Failure::new(format!("--rank {rank}: only {listed} answers are listed"))
            .with_hint(format!("--count {rank} beside it")));
    }
    Ok(rank)
}

/// The hand asked: by `--hand`, by the target, else right; a feed has none.
pub(super) fn hand_of(target: &Target, said: Option<args::Hand>) -> Result<Option<Hand>, Failure> {
    let said = said.map(|hand| match hand {
        args::Hand::Right => Hand::Right,
        args::Hand::Left => Hand::Left,
    });
    let refused = |why: &str| Failure::new(format!("--hand: `{}` {why}", target.text()));
    match (target.travel().is_feed(), said, target.hand()) {
        (true, Some(_), _) => {
            Err(refused("is a feed, which has no hand").with_hint("leave --hand out"))
        }
        (true, None, _) => Ok(None),
        (false, Some(said), Some(hand)) if said != hand => {
            Err(refused(&format!("says {hand} hand")).with_hint("say the hand in one place"))
        }
        (false, said, hand) => Ok(said.or(hand).or(Some(Hand::Right))),
    }
}
