//! Which trains are within a tolerance? All of them, not only the best of each lead: the candidates
//! of a plan.

use super::found::Closest;
use super::pass::{Answered, Stop};
use super::path::Path;
use super::rank::{Head, Key};
use super::stream::{Hit, Stream, Wanted};
use super::walk::Pruned;
use super::{Ask, Search, Solution, Tuning};
use crate::{Error, GearPlace, Lead, LeadError, Result, Teeth, Train};
use std::cmp::Ordering;
use std::ops::ControlFlow;

/// A train with its levers, held small; only its own [`Search`] can read it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrangement {
    /// The number of its search: kinds and settings are numbers of that one.
    search: u64,
    key: Key,
    path: Path,
}

impl Arrangement {
    /// Index into [`Search::settings`].
    pub const fn setting(&self) -> usize {
        self.key.setting as usize
    }

    /// Gears in the train, idlers included.
    pub fn gears(&self) -> usize {
        self.path.gears()
    }
}

/// All arrangements of one lead.
struct Lot {
    lead: Lead,
    error: LeadError,
    /// |error| in doubles.
    size: f64,
    arrangements: Vec<Arrangement>,
}

impl Lot {
    /// Whether both err by exactly the same amount.
    fn ties(&self, other: &Self) -> bool {
        (self.size - other.size).abs() <= 1e-12 * (1.0 + self.size)
            && self.error.compare_size(&other.error) == Ordering::Equal
    }
}

type Visit<'v> = dyn FnMut(&Lead, &[Arrangement]) -> ControlFlow<()> + 'v;

/// Gives out leads of equal error, in the order of [`Search::find`].
fn give(run: &mut Vec<Lot>, visit: &mut Visit<'_>) -> ControlFlow<()> {
    if run.len() > 1 {
        let head = |lot: &Lot| lot.arrangements.first().map(|a| a.key.head);
        run.sort_by_cached_key(|lot| (head(lot), !lot.error.is_longer()));
    }
    run.drain(..).try_for_each(|lot| visit(&lot.lead, &lot.arrangements))
}

impl Search<'_> {
    /// Visits every train within `ask.within` that fits (all trains, if that is `None`): all trains
    /// of one lead together, best lead first, best train first. `ask.count` is not used.
    ///
    /// An idler is a free choice, so trains with several are many and seldom useful. Trains of one
    /// gear pair have at most `idlers`, those of more pairs at most one fewer. Cancelled, it ends
    /// as if there were no more.
    ///
    /// ```
    /// use solver::search::{Ask, Options, Search};
    /// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
    /// use std::ops::ControlFlow;
    ///
    /// let mut gears = GearSet::new();
    /// for teeth in [20, 30, 40, 60] {
    ///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
    /// }
    /// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
    /// let search = Search::new(&lathe, Travel::Thread, Options::default().with_pairs(2))?;
    ///
    /// let ask = Ask::new(Lead::from_tpi("16".parse()?)?).with_within(Some("1/5000".parse()?));
    /// let mut trains = Vec::new();
    /// search.within(&ask, 0, &mut |_, arrangements| {
    ///     trains.extend(arrangements.iter().map(|a| search.train_of(a).unwrap().to_string()));
    ///     ControlFlow::Continue(())
    /// })?;
    /// assert_eq!(trains, ["20-40", "30-60"]);
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// Only if a lead can't be held; the limits on the numbers rule that out.
    pub fn within(&self, ask: &Ask, idlers: usize, visit: &mut Visit<'_>) -> Result<()> {
        let most = ask.within.map(|w| w.to_f64());
        // One window over the whole tolerance, unless it holds too many leads.
        let first = most.map_or(self.options.tuning.first, |most| most * (1.0 + 1e-9) + 1e-12);
        let tuning = Tuning { first, ..self.options.tuning };
        let mut stream = Stream::new(&self.fields, &ask.lead, ask.gears, 1, &tuning);
        // Leads of equal error: they are ordered when the run ends.
        let mut run: Vec<Lot> = Vec::new();
        while let Some(groups) = stream.window()? {
            for group in &groups {
                if self.watch.is_cancelled() {
                    let _ = give(&mut run, visit);
                    return Ok(());
                }
                let doubtful = most.is_some_and(|most| group.size > most * (1.0 - 1e-9) - 1e-12);
                let lead = stream.lead(group)?;
                let error = LeadError::of(&lead, &ask.lead);
                if doubtful && ask.within.is_some_and(|within| !error.within(&within)) {
                    let _ = give(&mut run, visit);
                    return Ok(());
                }
                let arrangements = self.arrange(ask, idlers, &stream.hits[group.hits.clone()]);
                if arrangements.is_empty() {
                    continue;
                }
                let lot = Lot { lead, error, size: group.size, arrangements };
                if !run.last().is_none_or(|last| last.ties(&lot))
                    && give(&mut run, visit).is_break()
                {
                    return Ok(());
                }
                run.push(lot);
            }
        }
        let _ = give(&mut run, visit);
        Ok(())
    }

    /// The best train within `ask.within`; also a closer one that is too close to call.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn closest(&self, ask: &Ask) -> Result<Closest> {
        let stop = Stop {
            count: 1,
            within: ask.within.as_ref(),
            below: None,
            at_most: None,
            work: self.options.tuning.budget,
            refused: 0,
        };
        let pass = self.run(ask, &stop)?;
        let first = |stands| {
            let answered = pass.answers.iter().find(|a| a.stands == stands);
            answered.map(|answered| self.solution(ask, answered)).transpose()
        };
        let complete = pass.is_complete() && !self.is_cut(ask.gears);
        Ok(Closest { fits: first(true)?, unsure: first(false)?, complete })
    }

    /// All arrangements of one lead that fit, best first.
    fn arrange(&self, ask: &Ask, idlers: usize, hits: &[Hit]) -> Vec<Arrangement> {
        let mut found = Vec::new();
        let studs = usize::from(self.lathe.parts().studs);
        let mut keep = Pruned(|setting: u32, path: &Path| {
            if path.fits(&self.stock) {
                let head = Head::of(path, &self.stock, &self.fitted);
                let key = Key::of(head, path, setting, &self.stock);
                found.push(Arrangement { search: self.id, key, path: *path });
            }
            ControlFlow::Continue(())
        });
        for hit in hits {
            let pairs = self.fields.list[hit.field as usize].pairs;
            let most = idlers.saturating_sub(usize::from(pairs > 1));
            for idlers in 0..=most.min((studs + 1).saturating_sub(pairs)) {
                let gears = 2 * pairs + idlers;
                let accepts = |setting, meshes| self.accepts(ask.hand, setting, meshes);
                if gears <= ask.gears {
                    let wanted = Wanted { stock: &self.stock, studs, gears, accepts };
                    // Never broken off.
                    let _ = self.fields.walk(&wanted, hit, &mut keep);
                }
            }
        }
        found.sort_unstable_by_key(|a| a.key);
        found
    }

    /// Refuses an arrangement of another search: its numbers would mean other gears and levers.
    fn owns(&self, arrangement: &Arrangement) -> Result<()> {
        if arrangement.search == self.id {
            return Ok(());
        }
        Err(Error::conflict("the arrangement comes from another search")
            .with_hint("ask the search that gave it out"))
    }

    /// The train of an arrangement.
    ///
    /// # Errors
    /// If the arrangement comes from another search, even one of the same lathe.
    pub fn train_of(&self, arrangement: &Arrangement) -> Result<Train> {
        self.owns(arrangement)?;
        arrangement.path.train(&self.stock)
    }

    /// The place of each gear of an arrangement of this search, as [`Train::places`] has it.
    pub(crate) fn places_of(
        &self,
        arrangement: &Arrangement,
    ) -> impl Iterator<Item = (GearPlace, Teeth)> {
        arrangement.path.places(&self.stock)
    }

    /// The tumbler position for the asked hand, for an arrangement of this search; `None`: there is
    /// none, or it does not matter.
    pub(crate) fn tumbler_of(&self, ask: &Ask, arrangement: &Arrangement) -> Option<usize> {
        self.sense(ask.hand, arrangement.setting(), arrangement.path.meshes())?.tumbler
    }

    /// The arrangement as an answer to `ask`.
    ///
    /// # Errors
    /// As [`Search::train_of`].
    pub fn solution_of(&self, ask: &Ask, arrangement: &Arrangement) -> Result<Solution> {
        self.owns(arrangement)?;
        let Arrangement { key, path, .. } = *arrangement;
        let (drivers, driven) = path.products(&self.stock);
        let ratio = crate::Ratio::new(drivers.into(), driven.into())?;
        let lead = self.settings[arrangement.setting()].constant.times(&ratio)?;
        let error = LeadError::of(&lead, &ask.lead);
        self.solution(ask, &Answered { lead, error, ranked: (key, path), stands: true })
    }

    /// Tells the gears of two arrangements apart, for any kind of travel: each gear's kind (those of
    /// the box by number, the machine's own by teeth), then which gears are keyed.
    pub(crate) fn identity_of(&self, arrangement: &Arrangement) -> [u16; 9] {
        const OWN: u16 = 1000;
        let path = &arrangement.path;
        let mut identity = [u16::MAX; 9];
        for (i, &kind) in path.kinds().iter().enumerate() {
            let boxed = usize::from(kind) < self.stock.boxed;
            identity[i] = if boxed { kind } else { OWN + self.stock.teeth(kind) };
        }
        identity[8] = (0..path.gears()).map(|i| u16::from(path.is_keyed(i)) << i).sum();
        identity
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::Options;
    use crate::{Gear, GearSet, Lathe, Length, Parts, Ratio, Travel};

    fn lathe(sizes: &[u64]) -> Lathe {
        let mut gears = GearSet::new();
        for teeth in sizes {
            gears.add(Gear::new(Teeth::new(*teeth).unwrap()), 1).unwrap();
        }
        let screw = Lead::new(Length::from_mm(Ratio::table(3, 1)));
        Lathe::new(Parts::plain(gears, screw)).unwrap()
    }

    fn all_of(search: &Search<'_>, ask: &Ask) -> Vec<Arrangement> {
        let mut all = Vec::new();
        let mut visit = |_: &Lead, found: &[Arrangement]| {
            all.extend_from_slice(found);
            ControlFlow::Continue(())
        };
        search.within(ask, 1, &mut visit).unwrap();
        all
    }

    /// Gears and levers are numbers: in another search they would be other gears, or none.
    #[test]
    fn an_arrangement_is_read_by_its_own_search_only() {
        let (large, small) = (lathe(&[20, 25, 30, 40, 50, 60]), lathe(&[20, 40]));
        let new = |lathe| Search::new(lathe, Travel::Thread, Options::default()).unwrap();
        let (own, twin, other) = (new(&large), new(&large), new(&small));
        let ask = Ask::new(Lead::new(Length::from_mm(Ratio::table(1, 1))));
        let all = all_of(&own, &ask);
        assert!(all.len() > 100);
        for arrangement in &all {
            let train = own.train_of(arrangement).unwrap();
            assert_eq!(own.solution_of(&ask, arrangement).unwrap().train, train);
            for stranger in [&twin, &other] {
                let error = stranger.train_of(arrangement).unwrap_err();
                assert!(error.is_conflict() && error.hint().is_some(), "{error}");
                assert_eq!(stranger.solution_of(&ask, arrangement).unwrap_err(), error);
            }
        }
    }
}
