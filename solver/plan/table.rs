//! Which trains can cut each line? Every train that fits and is within the tolerance. Where there is
//! none the tolerance is widened, once, to the error of the nearest train that fits, if the line allows
//! it ([`crate::plan::Line::at_worst`]): then all trains of that error.

use super::found::{Found, Lacks, widen};
use super::levers::Levers;
use super::mount::{Mount, Trip};
use crate::search::{Arrangement, Line, Options, Search, Solution, each};
use crate::{Done, Fitted, Lathe, LeadError, Result, Watch, bounds};
use std::collections::HashMap;
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

/// Most trains held for all lines together, and for one line. Usual lists have some ten thousand
/// with two gear pairs. A large box with three pairs would have millions, and every plan compares
/// each.
const MOST_TRAINS: usize = 400_000;
const MOST_OF_A_LINE: usize = 50_000;
/// Trains with more gear pairs than asked, for a line that nothing else reaches.
const CLOSEST: usize = 2_000;

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

/// The candidates of one line, the best first.
#[derive(Debug, Default)]
pub(super) struct Row {
    pub(super) candidates: Vec<Candidate>,
    /// Where none is within the tolerance: the nearest that fits,
    pub(super) nearest: Option<Solution>,
    /// and the closest within tolerance that is too close to call.
    pub(super) unsure: Option<Solution>,
    /// Idlers that a train of one gear pair may have.
    pub(super) idlers: usize,
    /// What is missing.
    pub(super) lacks: Lacks,
    /// Index into `TrainTable::searches`: where they come from.
    pub(super) search: usize,
    /// Whether they are the closest with more gear pairs than asked for.
    pub(super) wider: bool,
    /// Whether none was within the tolerance, and it was widened to the error of the nearest.
    pub(super) widened: bool,
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
    /// What is on the machine, or an empty machine.
    pub(super) start: (Mount, u32),
    /// The fitted set-up, which is put back at the end; `None`: there is none.
    pub(super) home: Option<(Mount, u32)>,
    /// Whether no row lacks a train.
    pub(super) complete: bool,
    pub(super) watch: Watch<'l>,
}

impl<'l> TrainTable<'l> {
    /// Lists all trains for all lines. The options limit the gear pairs: two are quick and usual.
    /// Idlers: one in a train of one gear pair, none in longer ones; more only for a line that
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

    /// The same, but a line without a train gets the closest trains with one gear pair more, then
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
        for (line, found) in lines.iter().zip(&mut found) {
            found.take_nearest(&searches, line, room.closest, watch)?;
        }
        let mut levers = Levers::default();
        let mount = |of: &Fitted| Mount::new(of.train.places().into_iter());
        let now = lathe.on_now();
        let start = (now.map_or(Mount::EMPTY, mount), levers.enter_set_up(lathe, now));
        let fitted = lathe.parts().fitted.as_ref();
        let home = fitted.map(|of| (mount(of), levers.enter_set_up(lathe, fitted)));
        let mut table = Self {
            lines,
            searches,
            rows: Vec::new(),
            mounts: Vec::new(),
            levers,
            start,
            home,
            complete: true,
            watch,
        };
        let mut numbers = HashMap::new();
        for (line, found) in found.into_iter().enumerate() {
            let row = table.row(line, found, &mut numbers);
            table.complete &= !(row.lacks.any() || row.widened && row.lacks.nearest);
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
        let Found { nearest, unsure, idlers, lacks, search, wider, widened, .. } = found;
        let nearest = nearest.map(|(_, nearest)| nearest);
        Row { candidates, nearest, unsure, idlers, lacks, search, wider, widened }
    }

    /// The lines, in the given order.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Trains (with levers) within tolerance, for each line; of [`TrainTable::widened_to`] the nearest.
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

    /// Lines that no train reaches within tolerance, but the nearest that fits is planned with: the
    /// tolerance was widened to its error ([`Line::at_worst`]).
    pub fn widened_to(&self) -> impl Iterator<Item = (usize, &LeadError)> {
        let widened = self.rows.iter().enumerate().filter(|(_, row)| row.widened);
        widened.filter_map(|(line, row)| Some((line, &row.nearest.as_ref()?.error)))
    }

    /// Whether a line that nothing reaches may still have a nearer train than in
    /// [`TrainTable::unreachable`] or [`TrainTable::widened_to`], or one at all: the search for it gave
    /// up, or left longer ones out.
    pub fn may_come_nearer(&self, line: usize) -> bool {
        self.rows.get(line).is_some_and(|row| row.lacks.nearest || row.lacks.longer)
    }

    /// Lines with more set-ups within tolerance than are held (the closest), with the number held.
    pub fn cut(&self) -> impl Iterator<Item = (usize, usize)> {
        let cut = self.rows.iter().enumerate().filter(|(_, row)| row.lacks.further);
        cut.map(|(line, row)| (line, row.candidates.len()))
    }

    /// Gear pairs searched, and allowed, where the tables would have been too large for all: of the
    /// first such search.
    pub fn pairs_left_out(&self) -> Option<(usize, usize)> {
        let row = self.rows.iter().find(|row| row.lacks.longer)?;
        let proof = self.searches.get(row.search)?.proof(2 * bounds::PAIRS);
        Some((proof.pairs, proof.allowed))
    }

    fn empty(&self) -> impl Iterator<Item = (usize, &Row)> {
        self.rows.iter().enumerate().filter(|(_, row)| row.candidates.is_empty())
    }

    /// Most idlers of a train of one gear pair for this line; longer trains have one fewer.
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

    /// From what is on the machine to the fitted set-up, which is put back.
    pub(super) fn trip(&self) -> Trip {
        Trip { start: self.start.0, home: self.home.map(|(mount, _)| mount) }
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

    /// Lines that only trains with more gear pairs than asked reach: the closest of these, not all.
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

#[cfg(test)]
mod tests;
