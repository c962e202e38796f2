//! Which ratio has each lever position? It follows from rows that differ in that lever alone.
//!
//! Two rows that agree in every other unknown lever give the quotient of two positions of one lever;
//! all such pairs vote. A found lever is divided out, so that more rows agree. The rest comes from
//! rows in which everything else is known. At the end all rows vote once more on every figure, so
//! that an early wrong row is outvoted.

use super::constant::{Quorum, Ranking, Says, rank};
use super::interval::{Interval, held};
use super::reading::Reading;
use crate::{Ratio, Result};
use std::collections::BTreeMap;

/// One row for the unknowns: lead = constant x the ratios of its lever positions.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// Thread, long feed, cross feed: 0 to 2.
    pub(super) travel: usize,
    /// Lead over the train's ratio and over the known lever ratios.
    pub(super) says: Says,
    /// The unknown positions that are engaged: lever and position.
    pub(super) at: Vec<(usize, usize)>,
}

/// A measured cut, likewise.
#[derive(Debug, Clone)]
pub(super) struct Hard {
    pub(super) travel: usize,
    pub(super) allowed: Interval,
    pub(super) at: Vec<(usize, usize)>,
}

/// Rows that differ in one lever alone: what they share (travel, other open positions), then the
/// rows by their position of that lever.
type Alike = BTreeMap<(usize, Vec<(usize, usize)>), BTreeMap<usize, Vec<Says>>>;

/// The source of a figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Found {
    /// It was known.
    Known(Ratio),
    /// Assumed as 1: only products with it can be known.
    Reference,
    /// From the rows.
    Learned(Box<Ranking>),
}

impl Found {
    pub(super) const fn value(&self) -> Ratio {
        match self {
            Self::Known(value) => *value,
            Self::Reference => Ratio::ONE,
            Self::Learned(ranking) => ranking.best.value,
        }
    }
}

/// All unknowns.
#[derive(Debug)]
pub(super) struct Unknowns {
    pub(super) items: Vec<Item>,
    pub(super) hard: Vec<Hard>,
    /// Constants of the three kinds of travel, and how each is read.
    pub(super) constants: [Option<Found>; 3],
    pub(super) readings: [Reading; 3],
    /// Constant of a feed over that of the threads, where only K is unknown of it.
    pub(super) ties: [Option<Ratio>; 3],
    /// Lever positions.
    pub(super) positions: BTreeMap<(usize, usize), Found>,
    /// A factor that all positions of one lever share: lever, and the factor.
    pub(super) shared: Option<(usize, Ranking)>,
}

/// Most rows at one position paired with rows at another: enough for a vote.
const PAIRED: usize = 12;
/// Rounds of the last vote.
const ROUNDS: usize = 4;
/// One exact row is enough for a lever position: nothing else tells of it.
const LEVER: Quorum = Quorum(1);
/// Two rows for a constant.
pub(super) const CONSTANT: Quorum = Quorum(2);

impl Unknowns {
    /// Finds all that the rows tell.
    ///
    /// # Errors
    /// If a number is out of range.
    pub(super) fn solve(&mut self) -> Result<()> {
        while self.pair_a_lever()? {}
        self.share_what_is_known()?;
        while self.find_a_constant()? || self.find_a_position()? || self.take_a_reference() {}
        self.ask_again()?;
        self.make_usual()
    }

    fn is_open(&self, at: (usize, usize)) -> bool {
        !self.positions.contains_key(&at)
    }

    /// The unknown positions of a row, one lever apart.
    fn others(&self, at: &[(usize, usize)], lever: usize) -> Vec<(usize, usize)> {
        at.iter().copied().filter(|p| p.0 != lever && self.is_open(*p)).collect()
    }

    /// What a row tells once its known levers are divided out, those of `lever` kept.
    fn without_known(&self, item: &Item, lever: usize) -> Result<Says> {
        let known = item.at.iter().filter(|p| p.0 != lever).filter_map(|p| self.positions.get(p));
        known.into_iter().try_fold(item.says, |says, found| says.over(&found.value()))
    }

    /// Levers that rows use and that have an open position, those with the fewest positions first:
    /// more rows then vote on each.
    fn open_levers(&self) -> Vec<usize> {
        let mut open: BTreeMap<usize, std::collections::BTreeSet<usize>> = BTreeMap::new();
        for at in self.items.iter().flat_map(|item| &item.at).filter(|at| self.is_open(**at)) {
            open.entry(at.0).or_default().insert(at.1);
        }
        let mut levers: Vec<(usize, usize)> = open.into_iter().map(|(l, p)| (p.len(), l)).collect();
        levers.sort_unstable();
        levers.into_iter().map(|(_, lever)| lever).collect()
    }

    /// Finds the positions of one lever from pairs of rows; true if there was one.
    fn pair_a_lever(&mut self) -> Result<bool> {
        for lever in self.open_levers() {
            let groups = self.alike_but_for(lever)?;
            let known = self.positions.keys().any(|at| at.0 == lever);
            // The reference for the others: the first position with a pair.
            let paired = || {
                let positions = groups.values().filter(|g| g.len() > 1).flat_map(BTreeMap::keys);
                positions.copied().min()
            };
            let reference = if known { None } else { paired() };
            if !known && reference.is_none() {
                continue;
            }
            if let Some(reference) = reference {
                self.positions.insert((lever, reference), Found::Reference);
            }
            let mut any = reference.is_some();
            while let Some((position, votes)) = self.most_votes(lever, &groups)? {
                let Some(ranking) = rank(&votes, &[], Reading::LEVER, &[], LEVER) else { break };
                self.positions.insert((lever, position), Found::Learned(Box::new(ranking)));
                any = true;
            }
            if any {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Rows that differ in one lever alone, by its position.
    fn alike_but_for(&self, lever: usize) -> Result<Alike> {
        let mut groups: BTreeMap<_, BTreeMap<usize, Vec<Says>>> = BTreeMap::new();
        for item in &self.items {
            let Some(at) = item.at.iter().find(|p| p.0 == lever) else { continue };
            let Some(says) = held(self.without_known(item, lever))? else { continue };
            let key = (item.travel, self.others(&item.at, lever));
            let rows = groups.entry(key).or_default().entry(at.1).or_default();
            if rows.len() < PAIRED {
                rows.push(says);
            }
        }
        Ok(groups)
    }

    /// The open position with the most pairs, and what they tell.
    fn most_votes(&self, lever: usize, groups: &Alike) -> Result<Option<(usize, Vec<Says>)>> {
        let mut votes: BTreeMap<usize, Vec<Says>> = BTreeMap::new();
        for rows in groups.values() {
            for (position, here) in rows.iter().filter(|(p, _)| self.is_open((lever, **p))) {
                for (other, there) in rows {
                    let Some(found) = self.positions.get(&(lever, *other)) else { continue };
                    for (a, b) in here.iter().flat_map(|a| there.iter().map(move |b| (a, b))) {
                        let vote = held(quotient(a, b, &found.value()))?;
                        votes.entry(*position).or_default().extend(vote);
                    }
                }
            }
        }
        // Of equals the first position.
        Ok(votes.into_iter().rev().max_by_key(|(_, votes)| votes.len()))
    }

    /// Levers without a known position have a reference. Where a constant is known, the last of them
    /// includes the remaining factor.
    fn share_what_is_known(&mut self) -> Result<()> {
        let free = |lever: usize| {
            let mut of = self.positions.iter().filter(|(at, _)| at.0 == lever);
            of.clone().count() > 0 && of.all(|(_, found)| !matches!(found, Found::Known(_)))
        };
        let levers: Vec<usize> = self.positions.keys().map(|at| at.0).collect();
        let Some(last) = levers.into_iter().rev().find(|lever| free(*lever)) else { return Ok(()) };
        let (mut rows, mut hard) = (Vec::new(), Vec::new());
        for item in &self.items {
            let Some(Found::Known(constant)) = &self.constants[item.travel] else { continue };
            if item.at.iter().any(|p| p.0 == last) && item.at.iter().all(|p| !self.is_open(*p)) {
                let says = self.all_divided(item.says, &item.at).and_then(|s| s.over(constant));
                rows.extend(held(says)?);
            }
        }
        for item in &self.hard {
            let Some(Found::Known(constant)) = &self.constants[item.travel] else { continue };
            if item.at.iter().any(|p| p.0 == last) && item.at.iter().all(|p| !self.is_open(*p)) {
                let says = Says { allowed: item.allowed, exact: None };
                hard.push(self.all_divided(says, &item.at)?.over(constant)?.allowed);
            }
        }
        let Some(ranking) = rank(&rows, &hard, Reading::LEVER, &[], CONSTANT) else {
            return Ok(());
        };
        let by = ranking.best.value;
        for (at, found) in &mut self.positions {
            if at.0 == last {
                match found {
                    Found::Reference => *found = Found::Learned(Box::new(ranking.clone())),
                    Found::Learned(own) => own.scale(&by)?,
                    Found::Known(_) => {}
                }
            }
        }
        self.shared = Some((last, ranking));
        Ok(())
    }

    fn all_divided(&self, says: Says, at: &[(usize, usize)]) -> Result<Says> {
        at.iter()
            .filter_map(|p| self.positions.get(p))
            .try_fold(says, |says, found| says.over(&found.value()))
    }

    /// What rows and measurements tell of the constant of one kind of travel.
    fn of_constant(&self, travel: usize) -> Result<(Vec<Says>, Vec<Interval>)> {
        let solved = |at: &[(usize, usize)]| at.iter().all(|p| !self.is_open(*p));
        let rows = self.items.iter().filter(|i| i.travel == travel && solved(&i.at));
        let rows = rows.filter_map(|i| held(self.all_divided(i.says, &i.at)).transpose());
        let rows = rows.collect::<Result<_>>()?;
        let hard = self.hard.iter().filter(|i| i.travel == travel && solved(&i.at));
        let hard = hard.map(|i| {
            Ok(self.all_divided(Says { allowed: i.allowed, exact: None }, &i.at)?.allowed)
        });
        Ok((rows, hard.collect::<Result<_>>()?))
    }

    fn rank_constant(&self, travel: usize) -> Result<Option<Ranking>> {
        let (rows, hard) = self.of_constant(travel)?;
        if rows.is_empty() && hard.is_empty() {
            return Ok(None);
        }
        // A feed by half nut has the constant of the threads.
        let thread = self.constants[0].as_ref().filter(|_| travel == 1).map(Found::value);
        let beside: Vec<Ratio> = thread.into_iter().collect();
        Ok(rank(&rows, &hard, self.readings[travel], &beside, CONSTANT))
    }

    fn find_a_constant(&mut self) -> Result<bool> {
        for travel in 0..3 {
            if self.constants[travel].is_none()
                && let Some(ranking) = self.rank_constant(travel)?
            {
                self.constants[travel] = Some(Found::Learned(Box::new(ranking)));
                self.tie_feeds()?;
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// What rows tell of one lever position, where everything else is known.
    fn of_position(&self, at: (usize, usize)) -> Result<(Vec<Says>, Vec<Interval>)> {
        let (mut rows, mut hard) = (Vec::new(), Vec::new());
        let solved = |list: &[(usize, usize)]| {
            list.contains(&at) && list.iter().all(|p| *p == at || !self.is_open(*p))
        };
        let rest = |says: Says, list: &[(usize, usize)], constant: &Found| {
            let others: Vec<_> = list.iter().copied().filter(|p| *p != at).collect();
            self.all_divided(says, &others)?.over(&constant.value())
        };
        for item in self.items.iter().filter(|item| solved(&item.at)) {
            if let Some(constant) = &self.constants[item.travel] {
                rows.extend(held(rest(item.says, &item.at, constant))?);
            }
        }
        for item in self.hard.iter().filter(|item| solved(&item.at)) {
            if let Some(constant) = &self.constants[item.travel] {
                let says = Says { allowed: item.allowed, exact: None };
                hard.push(rest(says, &item.at, constant)?.allowed);
            }
        }
        Ok((rows, hard))
    }

    fn open_positions(&self) -> Vec<(usize, usize)> {
        let rows = self.items.iter().flat_map(|item| &item.at);
        let mut open: Vec<_> = rows
            .chain(self.hard.iter().flat_map(|h| &h.at))
            .copied()
            .filter(|at| self.is_open(*at))
            .collect();
        open.sort_unstable();
        open.dedup();
        open
    }

    fn find_a_position(&mut self) -> Result<bool> {
        for at in self.open_positions() {
            let (rows, hard) = self.of_position(at)?;
            if let Some(ranking) = rank(&rows, &hard, Reading::LEVER, &[], LEVER) {
                self.positions.insert(at, Found::Learned(Box::new(ranking)));
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Nothing tells one open position from the constant of its rows: it counts as 1. One that threads
    /// use comes first: their constant may give those of feeds.
    fn take_a_reference(&mut self) -> bool {
        let travel = |at: &(usize, usize)| {
            self.items.iter().filter(|i| i.at.contains(at)).map(|i| i.travel).min()
        };
        let open = self.open_positions();
        match open.iter().min_by_key(|at| (travel(at).unwrap_or(0), **at)) {
            Some(at) => self.positions.insert(*at, Found::Reference).is_none(),
            None => false,
        }
    }

    /// Votes of all rows on every learned figure, with the others as they are now.
    fn ask_again(&mut self) -> Result<()> {
        for _ in 0..ROUNDS {
            let mut changed = false;
            for travel in 0..3 {
                if let Some(Found::Learned(old)) = &self.constants[travel] {
                    let old = old.best.value;
                    if let Some(ranking) = self.rank_constant(travel)? {
                        changed |= ranking.best.value != old;
                        self.constants[travel] = Some(Found::Learned(Box::new(ranking)));
                    }
                }
            }
            self.tie_feeds()?;
            let learned: Vec<_> = self
                .positions
                .iter()
                .filter_map(|(at, found)| match found {
                    Found::Learned(ranking) => Some((*at, ranking.best.value)),
                    _ => None,
                })
                .collect();
            for (at, old) in learned {
                let (rows, hard) = self.of_position(at)?;
                if let Some(ranking) = rank(&rows, &hard, Reading::LEVER, &[], LEVER) {
                    changed |= ranking.best.value != old;
                    self.positions.insert(at, Found::Learned(Box::new(ranking)));
                }
            }
            if !changed {
                break;
            }
        }
        Ok(())
    }
}

/// What a pair of rows tells: of one position, when the other's ratio is known.
fn quotient(a: &Says, b: &Says, known: &Ratio) -> Result<Says> {
    let exact = match (a.exact, b.exact) {
        (Some(a), Some(b)) => Some(a.over(&b)?.times(known)?),
        _ => None,
    };
    Ok(Says { allowed: a.allowed.quotient(&b.allowed)?.times(known)?, exact })
}
