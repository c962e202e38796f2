//! What there is to choose from: for each line every train within its tolerance that stands.

use super::levers::Levers;
use super::mount::Mount;
use crate::search::{Arrangement, Ask, Line, Options, Search, Solution, each};
use crate::{Lathe, Lead, LeadError, Result, bounds};
use std::collections::HashMap;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

/// Trains held for all lines together, and for one line: usual lists have some ten thousand with two
/// ratio pairs, a large box with three pairs would have millions, and every plan looks at each.
const MOST_TRAINS: usize = 400_000;
const MOST_OF_A_LINE: usize = 50_000;
/// Trains with more ratio pairs than asked for, held for a line that nothing else reaches.
const CLOSEST: usize = 2_000;
/// Ratio pairs of such trains at most.
const MOST_PAIRS: usize = 3;

/// A train with its levers, as far as plans look at it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    pub(super) arrangement: Arrangement,
    /// Index into `Table::mounts`.
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
    /// Where there are none.
    pub(super) nearest: Option<Solution>,
    /// Idlers that a train of one ratio pair may have.
    pub(super) idlers: usize,
    /// Whether all of them are there.
    pub(super) complete: bool,
    /// Index into `Table::searches`: where they come from.
    pub(super) search: usize,
    /// Whether they are the closest with more ratio pairs than asked for.
    pub(super) wider: bool,
}

/// The lines with all their trains, from which plans are made.
///
/// See [`crate::plan`] for an example.
#[derive(Debug)]
pub struct Table<'l> {
    pub(super) lines: Vec<Line>,
    searches: Vec<Search<'l>>,
    pub(super) rows: Vec<Row>,
    /// Each different train: gears by kind in their places.
    pub(super) mounts: Vec<Mount>,
    pub(super) levers: Levers,
    /// The fitted set-up, or an empty machine.
    pub(super) start: (Mount, u32),
}

impl<'l> Table<'l> {
    /// Lists all trains for all lines. The options say how many ratio pairs a train may have: two are
    /// quick and usual. Idlers: one in a train of one ratio pair, none in longer ones; more only for
    /// a line that nothing reaches without. A cancelled table holds what was found by then.
    ///
    /// # Errors
    /// If the lathe leaves something unknown that is needed, or the list is empty or too long.
    pub fn new(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        cancel: &AtomicBool,
    ) -> Result<Self> {
        Self::made(lathe, lines, options, false, cancel)
    }

    /// The same, but a line that nothing reaches gets the closest trains with one ratio pair more, then
    /// with two, up to three pairs ([`Table::wider`]).
    ///
    /// # Errors
    /// As [`Table::new`].
    pub fn widened(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        cancel: &AtomicBool,
    ) -> Result<Self> {
        Self::made(lathe, lines, options, true, cancel)
    }

    fn made(
        lathe: &'l Lathe,
        lines: Vec<Line>,
        options: &Options,
        wider: bool,
        cancel: &AtomicBool,
    ) -> Result<Self> {
        bounds::LINES.check(lines.len() as u64)?;
        let mut searches: Vec<Search<'l>> = Vec::new();
        for line in &lines {
            if searches.iter().all(|search| search.travel() != line.travel) {
                searches.push(Search::new(lathe, line.travel, options.clone())?);
            }
        }
        let most = (MOST_TRAINS / lines.len().max(1)).min(MOST_OF_A_LINE);
        let found = each(&lines, |line| {
            let search = searches.iter().position(|search| search.travel() == line.travel);
            let search = search.unwrap_or_default();
            Found::new(&searches, search, line, most, cancel)
        });
        let mut found = found.into_iter().collect::<Result<Vec<Found>>>()?;
        if wider {
            widen(&mut searches, &lines, &mut found, options, cancel)?;
        }
        let mut levers = Levers::default();
        let fitted = lathe.parts().fitted.as_ref();
        let start = fitted.map_or(Mount::EMPTY, |f| Mount::new(f.train.places().into_iter()));
        let start = (start, levers.enter_fitted(lathe));
        let mut table =
            Self { lines, searches, rows: Vec::new(), mounts: Vec::new(), levers, start };
        let mut numbers = HashMap::new();
        for (line, found) in found.into_iter().enumerate() {
            let row = table.row(line, found, &mut numbers);
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
        let Found { nearest, idlers, complete, search, wider, .. } = found;
        Row { candidates, nearest, idlers, complete, search, wider }
    }

    /// The lines, in the order given.
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

    /// Lines for which no train was found before the search was cancelled.
    pub fn unsearched(&self) -> impl Iterator<Item = usize> {
        let none = |(_, row): &(usize, &Row)| row.candidates.is_empty() && !row.complete;
        self.rows.iter().enumerate().filter(none).map(|(line, _)| line)
    }

    /// Lines that no train reaches within tolerance, with the nearest train that stands.
    pub fn unreachable(&self) -> impl Iterator<Item = (usize, Option<&Solution>)> {
        let none = |(_, row): &(usize, &Row)| row.candidates.is_empty() && row.complete;
        self.rows.iter().enumerate().filter(none).map(|(line, row)| (line, row.nearest.as_ref()))
    }

    /// Idlers that a train of one ratio pair may have for this line; longer trains have one fewer.
    pub fn idlers(&self, line: usize) -> Option<usize> {
        self.rows.get(line).map(|row| row.idlers)
    }

    /// Whether every line has all its trains: the search was not cancelled and none had too many.
    pub fn is_complete(&self) -> bool {
        self.rows.iter().all(|row| row.complete)
    }

    /// Whether a plan ends where it began: with the fitted set-up put back.
    pub(super) fn is_round(&self) -> bool {
        self.start.0.len() > 0
    }

    /// The lines that can be cut, in the order given.
    pub(super) fn reached(&self) -> Vec<usize> {
        (0..self.rows.len()).filter(|&line| !self.rows[line].candidates.is_empty()).collect()
    }

    /// The lines of an order that can be cut.
    pub(super) fn reached_of(&self, order: &[usize]) -> Vec<usize> {
        let can = |line: &usize| self.rows.get(*line).is_some_and(|r| !r.candidates.is_empty());
        order.iter().copied().filter(can).collect()
    }

    /// The search that the trains of a line come from.
    pub fn search(&self, line: usize) -> Option<&Search<'l>> {
        self.searches.get(self.rows.get(line)?.search)
    }

    /// Lines that only trains with more ratio pairs than asked for reach: of these the closest are there,
    /// not all.
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

/// Looks for longer trains for the lines that nothing reaches.
fn widen(
    searches: &mut Vec<Search<'_>>,
    lines: &[Line],
    found: &mut [Found],
    options: &Options,
    cancel: &AtomicBool,
) -> Result<()> {
    let usual = searches.len();
    for at in 0..usual {
        let (travel, lathe) = (searches[at].travel(), searches[at].lathe());
        let most = MOST_PAIRS.min(usize::from(lathe.parts().studs) + 1);
        for pairs in options.pairs.saturating_add(1)..=most {
            let open = |found: &Found| found.search == at && found.arrangements.is_empty();
            if cancel.load(Relaxed) || !found.iter().any(open) {
                break;
            }
            searches.push(Search::new(lathe, travel, options.clone().with_pairs(pairs))?);
            let search = searches.len() - 1;
            for (line, found) in lines.iter().zip(found.iter_mut()).filter(|(_, f)| open(f)) {
                found.widen(searches, search, line, cancel)?;
            }
        }
    }
    Ok(())
}

/// What the search found for one line.
#[derive(Default)]
struct Found {
    arrangements: Vec<(Arrangement, u32)>,
    nearest: Option<Solution>,
    idlers: usize,
    complete: bool,
    search: usize,
    wider: bool,
}

impl Found {
    fn new(
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        most: usize,
        cancel: &AtomicBool,
    ) -> Result<Self> {
        let search = &searches[at];
        let ask = line.ask();
        let studs = usize::from(search.lathe().parts().studs);
        let mut found = Self { complete: true, search: at, ..Self::default() };
        if cancel.load(Relaxed) {
            found.complete = false;
            return Ok(found);
        }
        for idlers in 1..=studs.max(1) {
            found.idlers = idlers;
            search.within(&ask, idlers, &mut |lead, arrangements| {
                found.take(ppb(lead, &ask.lead), arrangements, most, cancel)
            })?;
            if !found.arrangements.is_empty() || !found.complete {
                return Ok(found);
            }
        }
        let nearest = search.find(&Ask { within: None, ..ask })?;
        found.nearest = nearest.solutions.into_iter().find(Solution::stands);
        Ok(found)
    }

    /// The closest trains of a search for longer ones, or the nearest.
    fn widen(
        &mut self,
        searches: &[Search<'_>],
        at: usize,
        line: &Line,
        cancel: &AtomicBool,
    ) -> Result<()> {
        let search = &searches[at];
        // Without a tolerance the closest come first and the rest is never looked at.
        let ask = Ask { within: None, ..line.ask() };
        search.within(&ask, 1, &mut |lead, arrangements| {
            if !LeadError::of(lead, &ask.lead).within(&line.within) {
                return ControlFlow::Break(());
            }
            let room = CLOSEST.saturating_sub(self.arrangements.len());
            let kept = arrangements.iter().take(room).map(|a| (*a, ppb(lead, &ask.lead)));
            self.arrangements.extend(kept);
            if cancel.load(Relaxed) || self.arrangements.len() >= CLOSEST {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;
        if !self.arrangements.is_empty() {
            (self.search, self.wider) = (at, true);
            return Ok(());
        }
        let nearest = search.find(&ask)?;
        if let Some(nearest) = nearest.solutions.into_iter().find(Solution::stands) {
            self.nearest = Some(nearest);
        }
        Ok(())
    }

    fn take(
        &mut self,
        ppb: u32,
        arrangements: &[Arrangement],
        most: usize,
        cancel: &AtomicBool,
    ) -> ControlFlow<()> {
        let room = most.saturating_sub(self.arrangements.len());
        if arrangements.len() > room || cancel.load(Relaxed) {
            self.complete = false;
        }
        let kept = arrangements.iter().take(room.max(usize::from(self.arrangements.is_empty())));
        self.arrangements.extend(kept.map(|a| (*a, ppb)));
        if self.complete { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
    }
}

/// |error| in parts per 10^9, for the last tie-break between plans only.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn ppb(cut: &Lead, asked: &Lead) -> u32 {
    let error = cut.to_f64() / asked.to_f64() - 1.0;
    (error.abs() * 1e9).round().clamp(0.0, 4e9) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Gear, GearSet, Length, Parts, Teeth};

    /// Three 20s, three 60s and two studs on a screw of 27 mm.
    fn lathe() -> Lathe {
        let mut gears = GearSet::new();
        for teeth in [20, 60] {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 3).unwrap();
        }
        let mut parts = Parts::plain(gears, mm("27"));
        parts.studs = 2;
        Lathe::new(parts).unwrap()
    }

    fn mm(text: &str) -> Lead {
        Lead::new(Length::from_mm(text.parse().unwrap()))
    }

    #[test]
    fn a_line_that_two_pairs_do_not_reach_gets_longer_trains() {
        let (lathe, cancel) = (lathe(), AtomicBool::new(false));
        let lines = vec![Line::new(mm("9")).with_hand(None), Line::new(mm("1")).with_hand(None)];
        let options = Options::default().with_pairs(2).with_arbor(None);
        let short = Table::new(&lathe, lines.clone(), &options, &cancel).unwrap();
        assert_eq!(short.unreachable().map(|(line, _)| line).collect::<Vec<_>>(), [1]);
        assert_eq!(short.wider().count(), 0);
        let wide = Table::widened(&lathe, lines.clone(), &options, &cancel).unwrap();
        assert_eq!((wide.unreachable().count(), wide.wider().collect::<Vec<_>>()), (0, vec![1]));
        let plan = wide.as_listed(&cancel).unwrap();
        let trains: Vec<String> =
            plan.steps.iter().map(|step| step.solution.train.to_string()).collect();
        assert_eq!(trains[1], "20-60+20-60+20-60");
        assert_eq!(wide.search(1).unwrap().proof(8).pairs, 3);
        assert_eq!(wide.search(0).unwrap().proof(8).pairs, 2);
        // Not even three pairs reach 1/81.
        let far = vec![Line::new(mm("1/3")).with_hand(None)];
        let far = Table::widened(&lathe, far, &options, &cancel).unwrap();
        let nearest: Vec<_> = far.unreachable().map(|(_, near)| near.unwrap().gears).collect();
        assert_eq!(nearest, [6]);
    }

    #[test]
    fn a_cancelled_table_tells_what_was_not_searched() {
        let (lathe, cancel) = (lathe(), AtomicBool::new(true));
        let lines = vec![Line::new(mm("9")).with_hand(None)];
        let table = Table::widened(&lathe, lines, &Options::default(), &cancel).unwrap();
        assert_eq!(table.unsearched().collect::<Vec<_>>(), [0]);
        assert_eq!(table.unreachable().count(), 0);
        assert!(!table.is_complete());
    }

    #[test]
    fn any_order_may_be_asked_for() {
        let (lathe, cancel) = (lathe(), AtomicBool::new(false));
        let lines: Vec<Line> =
            ["9", "27", "81"].map(|lead| Line::new(mm(lead)).with_hand(None)).into();
        let table = Table::new(&lathe, lines, &Options::default(), &cancel).unwrap();
        // Lines that there are none of are left out.
        let plan = table.in_order(&[2, 7, 0], &cancel).unwrap();
        assert_eq!(plan.steps.iter().map(|step| step.line).collect::<Vec<_>>(), [2, 0]);
        let alone = table.each_from_fitted(&[2, 7, 0]).unwrap();
        assert_eq!(alone.steps.iter().map(|step| step.line).collect::<Vec<_>>(), [2, 0]);
        // From an empty machine, and nothing is put back.
        let each: usize = alone.steps.iter().map(|step| step.solution.gears).sum();
        assert_eq!((alone.cost.handled, alone.is_proven()), (each, true));
        let naive = table.naive_in_order(&[2, 7, 0]).unwrap();
        assert_eq!(naive.steps.len(), 2);
        assert!(plan.cost.handled <= naive.cost.handled);
    }
}
