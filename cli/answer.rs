//! What was asked for a target, understood, and what the library found for it: the trains of a search,
//! or a train that was typed, in plain entries (`answer/entry.rs`). Commands say it, each in its way.

pub(crate) mod entry;
mod judge;

use crate::args::{COUNT, OVER, Terms};
use crate::asked::machine::Machine;
use crate::asked::targets;
use crate::failure::Failure;
use crate::progress::Progress;
pub(crate) use entry::Entry;
pub(crate) use judge::fit_of;
use solver::job::SetUp;
use solver::search::{Ask, MachineChange, Options, Proof, Remedies, Remedy, Search};
use solver::tolerance::{Allowed, Verdict};
use solver::{Hand, Lathe, LeastClearance, Length, Ratio, Target, Teeth, Train, Watch};

/// Arrangements counted for one lead; past it the answer says "at least".
const MOST_OTHERS: u64 = 100_000;
/// Arrangements listed for one lead; past it the list says so. Nobody reads more, and each is held.
const MOST_LISTED: usize = 20_000;

/// What was asked, understood.
pub(crate) struct Request {
    pub(crate) machine: Machine,
    pub(crate) targets: Vec<(Target, Option<Hand>)>,
    pub(crate) count: usize,
    pub(crate) within: Option<Ratio>,
    pub(crate) over: Length,
    pub(crate) all: bool,
    /// Whether all lists are shown, not only the answer.
    pub(crate) long: bool,
    /// Whether it is worked out what would help where nothing is near enough; that can take far longer
    /// than the search.
    pub(crate) helps: bool,
    /// The least room beside a shaft; nothing where no fit is checked.
    pub(crate) arbor: Option<LeastClearance>,
    /// To be judged instead of a search.
    pub(crate) train: Option<Train>,
    /// Which of the closest is drawn, from 1.
    pub(crate) rank: Option<usize>,
}

/// What was found for one target.
pub(crate) struct Outcome {
    pub(crate) target: Target,
    pub(crate) hand: Option<Hand>,
    /// What was searched; nothing where a train was judged.
    pub(crate) proof: Option<Proof>,
    /// What is near enough.
    pub(crate) allowed: Allowed,
    pub(crate) solutions: Vec<Entry>,
    pub(crate) trade_off: Vec<Entry>,
    /// Whether no row of it, and nothing better with one gear more, can have been missed.
    pub(crate) trade_off_complete: bool,
    /// Index into `trade_off`: the fewest gears that are near enough.
    pub(crate) fewest: Option<usize>,
    /// Whether closer ones that are too close to call had no room among the solutions.
    pub(crate) unlisted: bool,
    /// Closer, but can't stand.
    pub(crate) refused: Vec<Entry>,
    /// Where nothing near enough stands: what would help.
    pub(crate) remedies: Vec<Help>,
    /// Whether all of these were looked for to the end.
    pub(crate) remedies_complete: bool,
    pub(crate) nearest: Option<Entry>,
    pub(crate) one_more: Option<(Entry, Teeth)>,
    /// Where the chosen set-up is not near enough: the best of the other hand, if it is much closer.
    pub(crate) other_hand: Option<Entry>,
    /// Lever positions left out, since a ratio is unknown.
    pub(crate) unknown_positions: usize,
}

impl Outcome {
    /// One of a target that nothing was searched for.
    pub(crate) const fn bare(target: Target, hand: Option<Hand>, allowed: Allowed) -> Self {
        Self {
            target,
            hand,
            proof: None,
            allowed,
            solutions: Vec::new(),
            trade_off: Vec::new(),
            trade_off_complete: true,
            fewest: None,
            unlisted: false,
            refused: Vec::new(),
            remedies: Vec::new(),
            remedies_complete: true,
            nearest: None,
            one_more: None,
            other_hand: None,
            unknown_positions: 0,
        }
    }

    /// An answer of the list, from 1.
    ///
    /// # Errors
    /// If there are not so many.
    pub(crate) fn ranked(&self, rank: usize) -> Result<&Entry, Failure> {
        rank.checked_sub(1).and_then(|at| self.solutions.get(at)).ok_or_else(|| {
            let (text, have) = (self.target.text(), self.solutions.len());
            Failure::new(format!("--rank {rank}: {text} has {have} answers"))
        })
    }

    /// The set-up to start from: the fewest gears that are near enough, else what is near enough and too
    /// close to call, else the closest.
    pub(crate) fn first_choice(&self) -> Option<&Entry> {
        let fewest = self.fewest.and_then(|i| self.trade_off.get(i));
        let sure = self.solutions.iter().find(|entry| !entry.is_too_close());
        fewest.or(self.unsure()).or(sure).or_else(|| self.solutions.first())
    }

    /// Turns the answer to another target of the same lead, hand and travel, with what is near enough for
    /// that.
    pub(crate) fn turn_to(&mut self, target: &Target, allowed: Allowed) {
        self.target = target.clone();
        self.allowed = allowed;
        self.fewest = fewest(&self.trade_off, &allowed);
    }

    /// Near enough, but too close to call.
    pub(crate) fn unsure(&self) -> Option<&Entry> {
        let near =
            |entry: &&Entry| entry.is_too_close() && entry.error.within(&self.allowed.part());
        self.solutions.iter().find(near)
    }

    /// Whether all was searched, the lever positions with an unknown ratio too.
    pub(crate) fn is_all(&self) -> bool {
        self.proof.as_ref().is_some_and(|proof| proof.complete && proof.unknown == 0)
    }

    /// Whether the answer is a sure yes; what is too close to call is none.
    pub(crate) fn is_sure(&self) -> bool {
        self.is_answered() && self.first_choice().is_some_and(|entry| !entry.is_too_close())
    }

    /// Whether there is a train for the thread or feed that was asked.
    pub(crate) fn is_answered(&self) -> bool {
        self.first_choice().is_some_and(|entry| !self.is_another(entry))
    }

    /// Whether a train is so far off that it gives another thread or feed.
    pub(crate) fn is_another(&self, entry: &Entry) -> bool {
        self.allowed.verdict(&entry.error) == Verdict::Another
    }
}

/// A change to the machine, and the train that it would let stand.
pub(crate) struct Help {
    pub(crate) change: MachineChange,
    pub(crate) entry: Entry,
}

impl Request {
    /// What was asked of a machine: some targets, with what every command says of a train.
    ///
    /// # Errors
    /// If some words name no target, or a hand does not go with it.
    pub(crate) fn new(
        machine: Machine,
        targets: &[String],
        terms: &Terms,
    ) -> Result<Self, Failure> {
        let with_hand = |target| targets::hand_of(&target, terms.hand).map(|hand| (target, hand));
        let targets =
            targets::read(targets)?.into_iter().map(with_hand).collect::<Result<_, _>>()?;
        Ok(Self {
            within: terms.within,
            train: terms.train.clone(),
            helps: true,
            ..Self::of_list(machine, targets, terms.clearance.least())?
        })
    }

    /// The same of a list that was understood already, each target with its hand; without what would help.
    ///
    /// # Errors
    /// None: the length that errors are added up over is a constant.
    pub(crate) fn of_list(
        machine: Machine,
        targets: Vec<(Target, Option<Hand>)>,
        arbor: Option<LeastClearance>,
    ) -> Result<Self, Failure> {
        Ok(Self {
            targets,
            machine,
            count: COUNT,
            within: None,
            over: OVER.parse()?,
            all: false,
            long: false,
            helps: false,
            arbor,
            train: None,
            rank: None,
        })
    }

    /// The trains for each target, or what the typed train does for it.
    ///
    /// # Errors
    /// If the lathe can't be used for it.
    pub(crate) fn answer(&self, progress: &Progress) -> Result<Vec<Outcome>, Failure> {
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
            let stands = |e: &Entry| !e.is_refused();
            let only = |wanted: &dyn Fn(&Entry) -> bool| entry.clone().filter(wanted);
            Ok(Outcome {
                solutions: only(&|e| stands(e) && near(e)).into_iter().collect(),
                refused: only(&|e| !stands(e)).into_iter().collect(),
                nearest: only(&|e| stands(e) && !near(e)),
                ..Outcome::bare(target.clone(), *hand, self.allowed(target))
            })
        };
        self.targets.iter().map(judged).collect()
    }

    fn search(&self, progress: &Progress) -> Result<Vec<Outcome>, Failure> {
        let refused = |e: solver::Error| self.machine.refused(&e);
        progress.expect(self.targets.len());
        let options = self.options();
        let watch = Watch::cancelled_by(progress.cancel().flag());
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

    /// What is near enough for a target: what was stated, else what is usual.
    pub(crate) fn allowed(&self, target: &Target) -> Allowed {
        let usual = Allowed::usual(target.thread().as_ref(), target.travel());
        self.within.map_or(usual, |within| usual.stated(within))
    }

    /// What the search heeds.
    pub(crate) fn options(&self) -> Options {
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
            .filter_map(Result::transpose)
            .collect::<Result<_, _>>()?;
        let (trade_off, trade_off_complete) = trade_off(search, &ask)?;
        let refused = found.refused.iter().filter_map(entry);
        let allowed = self.allowed(target);
        let tolerance = allowed.part();
        let near = |s: &&solver::search::Solution| s.fits() && s.error.within(&tolerance);
        let remedies = match found.solutions.iter().find(near) {
            None if self.helps => search.remedies(&ask, &found.refused)?,
            _ => Remedies::none(),
        };
        let help = |r: &Remedy| Some(Help { change: r.change.clone(), entry: entry(&r.solution)? });
        let best = found.solutions.iter().find(|s| s.fits());
        let one_more = self.helps.then(|| search.one_more(&ask, best)).transpose()?;
        let other_hand = search.other_hand(&ask, best, &tolerance)?;
        Ok(Outcome {
            target: target.clone(),
            hand,
            other_hand: other_hand.as_ref().and_then(entry),
            solutions,
            fewest: fewest(&trade_off, &allowed),
            allowed,
            trade_off,
            trade_off_complete,
            unlisted: found.unlisted,
            refused: refused.collect(),
            remedies: remedies.list.iter().filter_map(help).collect(),
            remedies_complete: remedies.complete,
            nearest: found.nearest.as_ref().and_then(entry),
            unknown_positions: search.lathe().settings(target.travel())?.unknown,
            one_more: one_more
                .and_then(|more| more.better)
                .and_then(|(s, teeth)| Some((entry(&s)?, teeth))),
            proof: Some(found.proof),
        })
    }

    /// An entry of the list, with what else has its lead.
    fn listed(
        &self,
        search: &Search<'_>,
        ask: &Ask,
        solution: &solver::search::Solution,
    ) -> solver::Result<Option<Entry>> {
        let Some(mut entry) = Entry::of(search, solution) else { return Ok(None) };
        entry.idlers = search.idlers(ask, solution)?;
        entry.others = Some(search.others(ask, solution, MOST_OTHERS)?);
        if self.all {
            let (all, _) = search.all(ask, solution, MOST_LISTED)?;
            entry.arrangements = all.iter().filter_map(|s| Entry::of(search, s)).collect();
        }
        Ok(Some(entry))
    }
}

/// Index of the row with the fewest gears that is near enough.
fn fewest(trade_off: &[Entry], allowed: &Allowed) -> Option<usize> {
    trade_off.iter().position(|entry| entry.error.within(&allowed.part()))
}

/// The closest train of each number of gears, with its idlers; whether none can have been missed.
fn trade_off(search: &Search<'_>, ask: &Ask) -> solver::Result<(Vec<Entry>, bool)> {
    let rows = search.trade_off(ask)?;
    let with_idlers = |s: &_| {
        let idlers = search.idlers(ask, s)?;
        Ok(Entry::of(search, s).map(|entry| Entry { idlers, ..entry }))
    };
    let entries = rows.rows.iter().map(with_idlers).filter_map(Result::transpose);
    Ok((entries.collect::<solver::Result<_>>()?, rows.complete))
}

/// What a search heeds: the banjo and the arbors, or neither.
pub(crate) fn options(arbor: Option<LeastClearance>) -> Options {
    let least = arbor.map(|arbor| arbor.mm());
    Options::default().with_arbor(least).with_bracket(arbor.is_some())
}

/// Where two gears may want an idler and it leaves the hand alone: the one that is on the machine.
pub(crate) fn idler_that_may_stay(
    lathe: &Lathe,
    outcome: &Outcome,
    entry: &Entry,
) -> Option<Teeth> {
    lathe.idler_that_may_stay(&entry.train, entry.either, outcome.hand)
}

/// The train on the machine where it does the same as an entry of the list, so that no gear is moved; `None`:
/// it does not, or it is that entry, or something was asked for by its train or rank.
///
/// # Errors
/// If the train can't be.
pub(crate) fn now_instead(
    request: &Request,
    outcome: &Outcome,
    entry: &Entry,
) -> solver::Result<Option<Entry>> {
    let lathe = &request.machine.lathe;
    let Some(now) = lathe.on_now() else { return Ok(None) };
    let asked = request.train.is_some() || request.rank.is_some() || outcome.target.starts() > 1;
    if asked || now.train.places() == entry.train.places() {
        return Ok(None);
    }
    let Some(cuts) = lathe.does_now(&entry.setting, &entry.train, outcome.hand)? else {
        return Ok(None);
    };
    let fit = fit_of(request, &now.train)?;
    if !fit.reasons().is_empty() {
        return Ok(None);
    }
    let set_up = SetUp {
        train: now.train.clone(),
        setting: entry.setting.clone(),
        tumbler: cuts.tumbler,
        hand: cuts.hand,
        either: None,
        lead: entry.lead,
        error: entry.error,
        fit,
    };
    Ok(Some(Entry::new(lathe, set_up)))
}
