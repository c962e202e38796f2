//! Which trains can cut each line? Every train that fits and is within the tolerance.

use super::levers::Levers;
use super::mount::Mount;
use crate::search::{Arrangement, Ask, Line, Options, Search, Solution, each};
use crate::{Done, Lathe, Lead, LeadError, Result, Watch, bounds};
use std::collections::HashMap;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

/// Most trains held for all lines together, and for one line. Usual lists have some ten thousand
/// with two ratio pairs. A large box with three pairs would have millions, and every plan compares
/// each.
const MOST_TRAINS: usize = 400_000;
const MOST_OF_A_LINE: usize = 50_000;
/// Trains with more ratio pairs than asked, for a line that nothing else reaches.
const CLOSEST: usize = 2_000;
/// Most ratio pairs of such trains.
const MOST_PAIRS: usize = 3;

/// How many trains are held.
#[derive(Debug, Clone, Copy)]
struct Room {
    all: usize,
    line: usize,
    closest: usize,
}

const ROOM: Room = Room { all: MOST_TRAINS, line: MOST_OF_A_LINE, closest: CLOSEST };

/// A train with its levers, as plans need it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) arrangement: Arrangement,
    /// Index into `TrainTable::mounts`.
    pub(super) train: u32,
    /// Where the levers stand, by number.
    pub(super) state: u32,
    /// |error| in parts per 10^9, to the nearest.
    pub(super) ppb: u32,
}

/// What the candidates of a line lack.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "four facts that vary by themselves")]
pub(super) struct Lacks {
    /// There were too many: the closest are there.
    pub(super) further: bool,
    /// The search was cancelled.
    pub(super) rest: bool,
    /// Longer trains: the tables would be too large.
    pub(super) longer: bool,
    /// The nearest train of an unreachable line: the search gave up.
    pub(super) nearest: bool,
}

impl Lacks {
    /// Whether candidates may be missing.
    const fn any(self) -> bool {
        self.further || self.rest || self.longer
    }
}

/// The candidates of one line, the best first.
#[derive(Debug, Default)]
pub(super) struct Row {
    pub(super) candidates: Vec<Candidate>,
    /// Where there are none: the nearest that fits,
    pub(super) nearest: Option<Solution>,
    /// and the closest within tolerance that is too close to call.
    pub(super) unsure: Option<Solution>,
    /// Idlers that a train of one ratio pair may have.
    pub(super) idlers: usize,
    /// What is missing.
    pub(super) lacks: Lacks,
    /// Index into `TrainTable::searches`: where they come from.
    pub(super) search: usize,
    /// Whether they are the closest with more ratio pairs than asked for.
    pub(super) wider: bool,
}

/// The lines with all their trains: the base of every plan.
///
/// See [`crate::plan`] for an example.
#[derive(Debug)]
pub struct TrainTable<'l> {
    pub(super) lines: Vec<Line>,
    searches: Vec<Search<'l>>,
    pub(super) rows: Vec<Row>,
    /// Each different train: gears by kind in their places.
    pub(super) mounts: Vec<Mount>,
    pub(super) levers: Levers,
    /// The fitted set-up, or an empty machine.
    pub(super) start: (Mount, u32),
    /// Whether no row lacks a train.
    pub(super) complete: bool,
    pub(super) watch: Watch<'l>,
}

impl<'l> TrainTable<'l> {
    /// Lists all trains for all lines. The options limit the ratio pairs: two are quick and usual.
    /// Idlers: one in a train of one ratio pair, none in longer ones; more only for a line that
    /// nothing else reaches. A cancelled table has the trains found so far.
    ///
    /// # Errors
    /// If the lathe leaves a needed figure unknown, or the list is empty or too long.
    pub fn new(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        watch: Watch<'l>,
    ) -> Result<Self> {
        Self::made(lathe, lines, options, (false, ROOM), watch)
    }

    /// The same, but a line without a train gets the closest trains with one ratio pair more, then
    /// with two, up to three pairs ([`TrainTable::wider`]).
    ///
    /// # Errors
    /// As [`TrainTable::new`].
    pub fn widened(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        watch: Watch<'l>,
    ) -> Result<Self> {
        Self::made(lathe, lines, options, (true, ROOM), watch)
    }

    fn made(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        (wider, room): (bool, Room),
        watch: Watch<'l>,
    ) -> Result<Self> {
        bounds::LINES.check(lines.len() as u64)?;
        let mut searches: Vec<Search<'l>> = Vec::new();
        for line in &lines {
            if searches.iter().all(|search| search.travel() != line.travel) {
                searches.push(Search::new(lathe, line.travel, options.clone())?.watched(watch));
            }
        }
        let most = (room.all / lines.len().max(1)).min(room.line);
        let done = AtomicU64::new(0);
        let found = each(&lines, |line| {
            let search = searches.iter().position(|search| search.travel() == line.travel);
            let search = search.unwrap_or_default();
            let found = Found::new(&searches, search, line, most, watch);
            watch.tell(Done::Lines(done.fetch_add(1, Relaxed) + 1, lines.len() as u64));
            found
        });
        let mut found = found.into_iter().collect::<Result<Vec<Found>>>()?;
        if wider {
            widen(&mut searches, &lines, &mut found, options, room.closest, watch)?;
        }
        let mut levers = Levers::default();
        let fitted = lathe.parts().fitted.as_ref();
        let start = fitted.map_or(Mount::EMPTY, |f| Mount::new(f.train.places().into_iter()));
        let start = (start, levers.enter_fitted(lathe));
        let mut table = Self {
            lines,
            searches,
            rows: Vec::new(),
            mounts: Vec::new(),
            levers,
            start,
            complete: true,
            watch,
        };
        let mut numbers = HashMap::new();
        for (line, found) in found.into_iter().enumerate() {
            let row = table.row(line, found, &mut numbers);
            table.complete &= !row.lacks.any();
            table.rows.push(row);
        }
        Ok(table)
    }

    /// Numbers the trains and lever states of one line.
    fn row(&mut self, line: usize, found: Found, numbers: &mut HashMap<[u16; 9], u32>) -> Row {
        let search = &self.searches[found.search];
        let ask = self.lines[line].ask();
        let mut states: HashMap<(usize, Option<usize>), u32> = HashMap::new();
        let mut candidates = Vec::with_capacity(found.arrangements.len());
        for (arrangement, ppb) in found.arrangements {
            let train = *numbers.entry(search.identity_of(&arrangement)).or_insert_with(|| {
                self.mounts.push(Mount::new(search.places_of(&arrangement)));
                // Far below 2^32.
                u32::try_from(self.mounts.len() - 1).unwrap_or(u32::MAX)
            });
            let setting = arrangement.setting();
            let tumbler = search.tumbler_of(&ask, &arrangement);
            let state = *states
                .entry((setting, tumbler))
                .or_insert_with(|| self.levers.enter(&search.settings()[setting], tumbler));
            candidates.push(Candidate { arrangement, train, state, ppb });
        }
        let Found { nearest, unsure, idlers, lacks, search, wider, .. } = found;
        Row { candidates, nearest, unsure, idlers, lacks, search, wider }
    }

    /// The lines, in the given order.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Trains (with levers) within tolerance, for each line.
    pub fn counts(&self) -> impl Iterator<Item = usize> {
        self.rows.iter().map(|row| row.candidates.len())
    }

    /// Different trains, levers apart.
    pub fn trains(&self) -> usize {
        self.mounts.len()
    }

    /// Lines without a train before the search was cancelled.
    pub fn unsearched(&self) -> impl Iterator<Item = usize> {
        self.empty().filter(|(_, row)| row.lacks.rest).map(|(line, _)| line)
    }

    /// Lines without a train that surely fits, with the closest of those too close to call.
    pub fn unsure(&self) -> impl Iterator<Item = (usize, &Solution)> {
        let searched = self.empty().filter(|(_, row)| !row.lacks.rest);
        searched.filter_map(|(line, row)| Some((line, row.unsure.as_ref()?)))
    }

    /// Lines that no train reaches within tolerance, with the nearest train that fits.
    pub fn unreachable(&self) -> impl Iterator<Item = (usize, Option<&Solution>)> {
        let none = self.empty().filter(|(_, row)| !row.lacks.rest && row.unsure.is_none());
        none.map(|(line, row)| (line, row.nearest.as_ref()))
    }

    /// Whether a line without a train may still have a nearer one than in [`TrainTable::unreachable`], or
    /// one at all: the search for it gave up, or left longer ones out.
    pub fn may_come_nearer(&self, line: usize) -> bool {
        self.rows.get(line).is_some_and(|row| row.lacks.nearest || row.lacks.longer)
    }

    /// Lines with more set-ups within tolerance than are held (the closest), with the number held.
    pub fn cut(&self) -> impl Iterator<Item = (usize, usize)> {
        let cut = self.rows.iter().enumerate().filter(|(_, row)| row.lacks.further);
        cut.map(|(line, row)| (line, row.candidates.len()))
    }

    /// Ratio pairs searched, and allowed, where the tables would have been too large for all: of the
    /// first such search.
    pub fn pairs_left_out(&self) -> Option<(usize, usize)> {
        let row = self.rows.iter().find(|row| row.lacks.longer)?;
        let proof = self.searches.get(row.search)?.proof(2 * bounds::PAIRS);
        Some((proof.pairs, proof.allowed))
    }

    fn empty(&self) -> impl Iterator<Item = (usize, &Row)> {
        self.rows.iter().enumerate().filter(|(_, row)| row.candidates.is_empty())
    }

    /// Most idlers of a train of one ratio pair for this line; longer trains have one fewer.
    pub fn idlers(&self, line: usize) -> Option<usize> {
        self.rows.get(line).map(|row| row.idlers)
    }

    /// Whether every line has all its trains: the search was not cancelled, no line had too many,
    /// the tables had room for trains of all lengths, and every train is settled.
    pub fn is_complete(&self) -> bool {
        self.complete && self.is_settled()
    }

    /// Whether every train is settled: see [`Search::is_settled`].
    pub fn is_settled(&self) -> bool {
        self.searches.iter().all(Search::is_settled)
    }

    /// Whether a plan ends where it began: with the fitted set-up put back.
    pub(super) fn is_round(&self) -> bool {
        self.start.0.len() > 0
    }

    /// The lines that can be cut, in the given order.
    pub(super) fn reached(&self) -> Vec<usize> {
        (0..self.rows.len()).filter(|&line| !self.rows[line].candidates.is_empty()).collect()
    }

    /// The lines of an order that can be cut.
    pub(super) fn reached_of(&self, order: &[usize]) -> Vec<usize> {
        let can = |line: &usize| self.rows.get(*line).is_some_and(|r| !r.candidates.is_empty());
        order.iter().copied().filter(can).collect()
    }

    /// The search behind the trains of a line.
    pub fn search(&self, line: usize) -> Option<&Search<'l>> {
        self.searches.get(self.rows.get(line)?.search)
    }

    /// Lines that only trains with more ratio pairs than asked reach: the closest of these, not all.
    pub fn wider(&self) -> impl Iterator<Item = usize> {
        self.rows.iter().enumerate().filter(|(_, row)| row.wider).map(|(line, _)| line)
    }

    /// A candidate as an answer.
    pub(super) fn solution(&self, line: usize, candidate: &Candidate) -> Result<Option<Solution>> {
        let ask = self.lines[line].ask();
        let search = self.search(line);
        search.map(|s| s.solution_of(&ask, &candidate.arrangement)).transpose()
    }
}

/// Finds longer trains for the lines without one.
fn widen<'l>(
    searches: &mut Vec<Search<'l>>,
    lines: &[Line],
    found: &mut [Found],
    options: &Options,
    most: usize,
    watch: Watch<'l>,
) -> Result<()> {
    let usual = searches.len();
    for at in 0..usual {
        let (travel, lathe) = (searches[at].travel(), searches[at].lathe());
        let longest = MOST_PAIRS.min(lathe.pairs_at_once() + 1);
        for pairs in options.pairs.saturating_add(1)..=longest {
            let open = |found: &Found| found.search == at && found.arrangements.is_empty();
            if watch.is_cancelled() || !found.iter().any(open) {
                break;
            }
            searches.push(
                Search::new(lathe, travel, options.clone().with_pairs(pairs))?.watched(watch),
            );
            let search = searches.len() - 1;
            for (line, found) in lines.iter().zip(found.iter_mut()).filter(|(_, f)| open(f)) {
                found.widen(searches, search, line, most, watch)?;
            }
        }
    }
    Ok(())
}

/// Stores the result of the search for one line.
#[derive(Default)]
struct Found {
    arrangements: Vec<(Arrangement, u32)>,
    nearest: Option<Solution>,
    unsure: Option<Solution>,
    idlers: usize,
    lacks: Lacks,
    search: usize,
    wider: bool,
}

impl Found {
    fn new(
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        most: usize,
        watch: Watch<'_>,
    ) -> Result<Self> {
        let search = &searches[at];
        let ask = line.ask();
        let studs = usize::from(search.lathe().parts().studs);
        let mut found = Self { search: at, ..Self::default() };
        found.lacks.longer = !search.proof(ask.gears).complete;
        if watch.is_cancelled() {
            found.lacks.rest = true;
            return Ok(found);
        }
        for idlers in 1..=studs.max(1) {
            found.idlers = idlers;
            search.within(&ask, idlers, &mut |lead, arrangements| {
                found.take(ppb(lead, &ask.lead), arrangements, most, watch)
            })?;
            found.lacks.rest |= watch.is_cancelled();
            if !found.arrangements.is_empty() || found.lacks.rest {
                return Ok(found);
            }
        }
        found.unsure = search.closest(&ask)?.unsure;
        found.come_near(search, &ask)?;
        found.lacks.rest |= watch.is_cancelled();
        Ok(found)
    }

    /// Without a train: the nearest that fits.
    fn come_near(&mut self, search: &Search<'_>, ask: &Ask) -> Result<()> {
        let nearest = search.find(&Ask { within: None, ..ask.clone() })?;
        self.lacks.nearest = !nearest.proof.complete;
        if let Some(nearest) = nearest.solutions.into_iter().find(Solution::fits) {
            self.nearest = Some(nearest);
        }
        Ok(())
    }

    /// The closest trains of a search for longer ones, or the nearest.
    fn widen(
        &mut self,
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        most: usize,
        watch: Watch<'_>,
    ) -> Result<()> {
        let search = &searches[at];
        // Without a tolerance the closest come first and the rest is never visited.
        let ask = Ask { within: None, ..line.ask() };
        let longer = !search.proof(ask.gears).complete;
        search.within(&ask, 1, &mut |lead, arrangements| {
            if !LeadError::of(lead, &ask.lead).within(&line.within) {
                return ControlFlow::Break(());
            }
            self.take(ppb(lead, &ask.lead), arrangements, most, watch)
        })?;
        self.lacks.longer |= longer;
        self.lacks.rest |= watch.is_cancelled();
        if !self.arrangements.is_empty() {
            (self.search, self.wider) = (at, true);
            return Ok(());
        }
        if self.unsure.is_none() {
            self.unsure = search.closest(&line.ask())?.unsure;
            self.search = if self.unsure.is_some() { at } else { self.search };
        }
        self.come_near(search, &ask)?;
        self.lacks.rest |= watch.is_cancelled();
        Ok(())
    }

    fn take(
        &mut self,
        ppb: u32,
        arrangements: &[Arrangement],
        most: usize,
        watch: Watch<'_>,
    ) -> ControlFlow<()> {
        let room = most.saturating_sub(self.arrangements.len());
        self.lacks.further |= arrangements.len() > room;
        self.lacks.rest |= watch.is_cancelled();
        let kept = arrangements.iter().take(room.max(usize::from(self.arrangements.is_empty())));
        self.arrangements.extend(kept.map(|a| (*a, ppb)));
        if self.lacks.further || self.lacks.rest {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

/// |error| in parts per 10^9, for the last tie-break between plans only.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn ppb(cut: &Lead, asked: &Lead) -> u32 {
    let error = cut.to_f64() / asked.to_f64() - 1.0;
    (error.abs() * 1e9).round().clamp(0.0, 4e9) as u32
}

#[cfg(test)]
mod tests;
