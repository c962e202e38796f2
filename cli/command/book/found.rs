//! Which set-up cuts which thread: sheets with their threads, and what is out of reach.

use crate::answer::{Entry, Outcome, Request, now_instead};
use crate::asked::wanted::Wanted;
use crate::command::card::Card;
use crate::command::table;
use crate::failure::Failure;
use crate::report::Report;
use crate::report::Text;
use crate::report::book::{Row, Sheet};
use crate::words::set_up::levers_in_words;
use crate::words::{search, verdict};
use solver::job::Work;
use solver::tolerance::Allowed;
use solver::{Target, Travel};

/// What was found for a list.
#[derive(Default)]
pub(super) struct Found {
    pub(super) sheets: Vec<Sheet>,
    /// In the order of the rows of the sheets' lines: by kind, coarse before fine.
    pub(super) threads: Vec<Thread>,
    pub(super) missed: Vec<Missed>,
}

/// A thread or a feed with its set-up.
pub(super) struct Thread {
    pub(super) target: Target,
    pub(super) name: String,
    /// Metric, inch, pipe, a worm, a feed.
    pub(super) kind: &'static str,
    /// Index into the list.
    pub(super) line: usize,
    pub(super) sheet: usize,
    pub(super) entry: Entry,
    /// Levers and tumbler, in words.
    pub(super) levers: String,
    pub(super) verdict: Text,
}

/// One that nothing is near enough for.
pub(super) struct Missed {
    pub(super) name: String,
    /// What comes nearest.
    pub(super) nearest: String,
}

impl Found {
    /// Every thread of every line; `drawn`: with what stands on the sheets.
    ///
    /// # Errors
    /// If the lathe can't be used for one of them.
    pub(super) fn of(
        request: &Request,
        wanted: &[Wanted],
        outcomes: &mut [Outcome],
        drawn: bool,
    ) -> Result<Self, Failure> {
        let mut found = Self::default();
        for line in table::chart_order(&request.machine.lathe, wanted) {
            let Some((wanted, outcome)) = wanted.get(line).zip(outcomes.get_mut(line)) else {
                continue;
            };
            for (target, allowed) in &wanted.asked {
                outcome.turn_to(target, *allowed);
                found.push(request, line, wanted, outcome, allowed, drawn)?;
            }
        }
        Ok(found)
    }

    fn push(
        &mut self,
        request: &Request,
        line: usize,
        wanted: &Wanted,
        outcome: &Outcome,
        allowed: &Allowed,
        drawn: bool,
    ) -> Result<(), Failure> {
        let refused = |e: &solver::Error| request.machine.refused(e);
        let target = outcome.target.clone();
        let name = target.thread().map_or_else(|| wanted.lead(), |_| target.to_string());
        let near = |entry: &&Entry| entry.error.within(&allowed.part());
        let Some(first) = outcome.first_choice().filter(near) else {
            self.missed.push(Missed { name, nearest: nearest(outcome) });
            return Ok(());
        };
        let now = now_instead(request, outcome, first).map_err(|e| refused(&e))?;
        let entry = now.unwrap_or_else(|| first.clone());
        let levers = levers_in_words(&request.machine.lathe, &entry);
        let known = self.threads.iter().find(|known| {
            known.target.travel() == target.travel()
                && known.target.starts() == target.starts()
                && is_same(&known.entry, &entry)
        });
        let sheet = known.map_or(self.sheets.len(), |known| known.sheet);
        let card = || Card::new(request, outcome, &entry, Work::default());
        if sheet == self.sheets.len() {
            let page =
                if drawn { card()?.sheet().map_err(|e| refused(&e))? } else { Report::new() };
            let key = key(request, &target, &entry, &levers);
            let title = entry.train.to_string();
            self.sheets.push(Sheet { title, key, page, rows: Vec::new() });
        }
        let facts = if drawn { card()?.line() } else { Vec::new() };
        if let Some(sheet) = self.sheets.get_mut(sheet) {
            let row = Row { number: self.threads.len(), name: name.clone(), facts };
            sheet.rows.push(row);
        }
        let kind = kind(wanted, &target);
        let verdict = verdict::in_words(allowed, &entry.error);
        self.threads.push(Thread { target, name, kind, line, sheet, entry, levers, verdict });
        Ok(())
    }

    /// Whether some set-up is too close to call.
    pub(super) fn is_unsure(&self) -> bool {
        self.threads.iter().any(|thread| thread.entry.is_too_close())
    }
}

/// Keys of the series of pipe threads.
const PIPE: [&str; 3] = ["g", "r", "npt"];

fn kind(line: &Wanted, target: &Target) -> &'static str {
    match target.thread().map(|of| of.series().key()) {
        Some(key) if PIPE.contains(&key) => "Pipe threads",
        _ => table::Group::of(line).name(),
    }
}

/// Whether two entries are one set-up, whatever they are compared with.
fn is_same(a: &Entry, b: &Entry) -> bool {
    a.train == b.train
        && a.setting == b.setting
        && (a.tumbler, a.hand, a.either) == (b.tumbler, b.hand, b.either)
}

/// What tells a set-up from every other one.
fn key(request: &Request, target: &Target, entry: &Entry, levers: &str) -> String {
    let travel = match target.travel() {
        Travel::Thread => String::new(),
        feed => format!(", {}", crate::words::set_up::travel(feed)),
    };
    let starts = match target.starts() {
        1 => String::new(),
        starts => format!(", {starts} starts"),
    };
    format!("{}: {}, {levers}{travel}{starts}", request.machine.name(), entry.train)
}

/// What comes nearest, with its verdict.
fn nearest(outcome: &Outcome) -> String {
    let nearest = outcome.first_choice().or(outcome.nearest.as_ref());
    let said = search::nearest(nearest, outcome.is_all());
    let verdict = nearest.map(|n| verdict::in_words(&outcome.allowed, &n.error).words());
    let verdict = verdict.map(|verdict| format!(": {verdict}")).unwrap_or_default();
    let other = search::other_hand(outcome).map(|other| format!(" {other}")).unwrap_or_default();
    format!("{said}{verdict}.{other}")
}
