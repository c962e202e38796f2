//! What would make a closer train fit? One limit of the machine is lifted at a time.
//!
//! Only leads closer than the answer are tried, closest first, each with all its arrangements. For
//! each kind of change: the least one with which the closest of them fits.

use super::pass::{Answered, Stop};
use super::path::Path;
use super::rank::{Head, Key};
use super::{Ask, Search, Solution};
use crate::bracket::{Fit, Geometry, InSlot, Verdict};
use crate::{
    Bracket, Gear, Lathe, Lead, LeadError, Offset, Ratio, Result, Shaft, Slot, Teeth, Train, bounds,
};
use std::ops::ControlFlow;

/// Most arrangements of one lead that are tried.
const MOST_TRIED: u64 = 20_000;

/// Most arrangements that are tried with one more stud: about a second.
const MOST_WITH_STUD: u64 = 2_000_000;

/// One change to the machine.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum MachineChange {
    /// A longer slot.
    Slot {
        /// Its index.
        slot: usize,
        /// The place of the stud: see [`InSlot::along`].
        along: f64,
        /// How far beyond its end, in mm.
        beyond: f64,
    },
    /// Less clearance between parts, in mm.
    Clearance {
        /// The clearance then left.
        left: f64,
    },
    /// An idler of one of these sizes, which are not owned.
    Idler(Vec<Teeth>),
    /// One more stud.
    Stud,
}

/// A change, and the train that then fits.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Remedy {
    /// The change.
    pub change: MachineChange,
    /// The train, on the changed machine.
    pub solution: Solution,
}

/// What would make a closer train fit.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Remedies {
    /// At most one of each kind.
    pub list: Vec<Remedy>,
    /// Whether all were looked for to the end: with one more stud there can be too many trains.
    pub complete: bool,
}

impl Remedies {
    /// Where nothing has to be looked for.
    pub const fn none() -> Self {
        Self { list: Vec::new(), complete: true }
    }
}

/// One kind of change: the machine without that limit, and the least change so far.
struct Lifted {
    geometry: Geometry,
    best: Option<(f64, MachineChange, u32, Path, Train, Fit)>,
}

impl Search<'_> {
    /// The changes with which one of `refused` (from [`Found::refused`](super::Found::refused))
    /// fits: a longer slot, less clearance, an idler of another size, one more stud. None without a
    /// bracket. A cancelled search gives those found until then.
    ///
    /// # Errors
    /// As [`Search::find`].
    pub fn remedies(&self, ask: &Ask, refused: &[Solution]) -> Result<Remedies> {
        let Some(bracket) = self.lathe.parts().bracket.as_ref().filter(|_| self.options.bracket)
        else {
            return Ok(Remedies::none());
        };
        let mut list = Vec::new();
        for lifted in [without_slot_ends(bracket), without_clearance(bracket)] {
            list.extend(self.by_lifting(ask, refused, &lifted, bracket)?);
        }
        list.extend(self.by_idler(ask, refused)?);
        let (by_stud, complete) = self.by_stud(ask, refused)?;
        list.extend(by_stud);
        Ok(Remedies { list, complete })
    }

    /// The least change with which the closest lead has a train that fits, with one limit lifted.
    fn by_lifting(
        &self,
        ask: &Ask,
        refused: &[Solution],
        free: &Bracket,
        bracket: &Bracket,
    ) -> Result<Option<Remedy>> {
        let geometry = Geometry::of_checked(free, &self.lathe.parts().gears)?;
        let mut lifted = Lifted { geometry, best: None };
        for lead in refused.iter().map(|r| &r.lead) {
            self.lift(ask, lead, bracket, &mut lifted)?;
            let Some((_, change, setting, path, train, fit)) = lifted.best.take() else { continue };
            let solution = self.remedied(ask, lead, setting, &path, (train, fit))?;
            return Ok(Some(Remedy { change, solution }));
        }
        Ok(None)
    }

    fn lift(&self, ask: &Ask, lead: &Lead, bracket: &Bracket, lifted: &mut Lifted) -> Result<()> {
        let mut failed = None;
        let mut tried = 0;
        self.each(ask, lead, &mut |setting, path| {
            tried += path.cost(&self.stock);
            if tried > MOST_TRIED {
                return ControlFlow::Break(());
            }
            match self.lifts(path, bracket, lifted) {
                Ok(Some((amount, change, train, fit))) => {
                    lifted.best = Some((amount, change, setting, *path, train, fit));
                }
                Ok(None) => {}
                Err(error) => {
                    failed = Some(error);
                    return ControlFlow::Break(());
                }
            }
            ControlFlow::Continue(())
        })?;
        failed.map_or(Ok(()), Err)
    }

    /// The change for this arrangement, if it is less than the least so far.
    fn lifts(
        &self,
        path: &Path,
        bracket: &Bracket,
        lifted: &Lifted,
    ) -> Result<Option<(f64, MachineChange, Train, Fit)>> {
        let train = path.train(&self.stock)?;
        // Gears in this bracket's own steps: other lengths have other steps.
        if lifted.geometry.verdict(&lifted.geometry.wheels(&train)) != Verdict::Fits {
            return Ok(None);
        }
        let fit = lifted.geometry.fit(&train);
        let change = fit.mounting().and_then(|mounting| {
            let studs = mounting.shafts.iter().filter_map(|shaft| shaft.slot);
            let longer = studs.filter_map(|stud| beyond(bracket, &stud));
            let longest = longer.max_by(|a, b| a.0.total_cmp(&b.0));
            let close = mounting.tightest.map(|gap| gap.mm);
            match (longest, close) {
                (Some(longer), _) => Some(longer),
                (None, Some(left)) => {
                    let wanted = bracket.clearance.to_f64();
                    (left < wanted).then_some((wanted - left, MachineChange::Clearance { left }))
                }
                (None, None) => None,
            }
        });
        let least = lifted.best.as_ref().map_or(f64::INFINITY, |best| best.0);
        Ok(change.filter(|c| c.0 < least).map(|(amount, change)| (amount, change, train, fit)))
    }

    fn remedied(
        &self,
        ask: &Ask,
        lead: &Lead,
        setting: u32,
        path: &Path,
        (train, fit): (Train, Fit),
    ) -> Result<Solution> {
        let head = Head::of(path, &self.stock, &self.fitted);
        let key = Key::of(head, path, setting, &self.stock);
        let error = LeadError::of(lead, &ask.lead);
        let answered = Answered { lead: *lead, error, ranked: (key, *path), stands: true };
        Ok(Solution { train, fit, either: None, ..self.solution(ask, &answered)? })
    }

    /// Idlers of sizes that are not owned, between two owned gears.
    fn by_idler(&self, ask: &Ask, refused: &[Solution]) -> Result<Option<Remedy>> {
        let Some(mounts) = &self.stock.bracket else { return Ok(None) };
        if self.lathe.parts().studs == 0 || ask.gears < 3 {
            return Ok(None);
        }
        for lead in refused.iter().map(|r| &r.lead) {
            let mut found: Option<(u32, Path, Vec<Train>)> = None;
            // Two gears, for either hand.
            let two = Ask { gears: 2, hand: None, ..ask.clone() };
            self.each(&two, lead, &mut |setting, path| {
                if self.accepts(ask.hand, setting, 2) {
                    let trains = with_idlers(path, self, &mounts.geometry);
                    if !trains.is_empty() {
                        found = Some((setting, *path, trains));
                        return ControlFlow::Break(());
                    }
                }
                ControlFlow::Continue(())
            })?;
            let Some((setting, path, mut trains)) = found else { continue };
            let idlers = trains.iter().filter_map(|t| t.studs().first()).map(|s| s.driven().teeth);
            let change = MachineChange::Idler(idlers.collect());
            let train = trains.swap_remove(0);
            let fit = mounts.geometry.fit(&train);
            let mut solution = self.remedied(ask, lead, setting, &path, (train, fit))?;
            let cuts = self.sense(ask.hand, setting as usize, 2).unwrap_or_default();
            (solution.tumbler, solution.hand) = (cuts.tumbler, cuts.hand);
            solution.gears = 3;
            let now = self.lathe.on_now();
            solution.handled = now.map_or(3, |now| solution.train.handled_from(&now.train));
            return Ok(Some(Remedy { change, solution }));
        }
        Ok(None)
    }

    /// The best train with one more stud that is as close as the furthest refused one, and whether that
    /// was looked at to the end.
    fn by_stud(&self, ask: &Ask, refused: &[Solution]) -> Result<(Option<Remedy>, bool)> {
        let mut parts = self.lathe.parts().clone();
        let (Some(furthest), true) =
            (refused.last(), bounds::STUDS.holds(u64::from(parts.studs) + 1))
        else {
            return Ok((None, true));
        };
        if self.watch.is_cancelled() {
            return Ok((None, false));
        }
        parts.studs += 1;
        let lathe = Lathe::new(parts)?;
        let search = Search::new(&lathe, self.travel, self.options.clone())?.watched(self.watch);
        let stop = Stop {
            count: 1,
            within: None,
            below: None,
            at_most: Some(&furthest.error),
            work: MOST_WITH_STUD,
            refused: 0,
        };
        // Never the whole list of trains that fit: it takes longer than all else.
        let pass = search.pass(&search.fields, ask, &stop)?;
        let first = pass.answers.iter().find(|answered| answered.stands);
        let solution = first.map(|answered| search.solution(ask, answered)).transpose()?;
        let complete = solution.is_some() || pass.is_complete();
        let remedy = solution.map(|solution| Remedy { change: MachineChange::Stud, solution });
        Ok((remedy, complete))
    }
}

/// The trains with a not owned idler that fit.
fn with_idlers(path: &Path, search: &Search<'_>, geometry: &Geometry) -> Vec<Train> {
    let kind = |i: usize| search.stock.kind(path.kinds()[i]).gear;
    let (first, last) = (kind(0), kind(1));
    let owned = |gear: &Gear| {
        search.stock.kinds[..search.stock.boxed]
            .iter()
            .any(|k| k.gear.teeth == gear.teeth && k.gear.meshes_with(gear))
    };
    let sizes = (bounds::TEETH.low..=bounds::TEETH.high).filter_map(|z| Teeth::new(z).ok());
    let idlers = sizes.map(|z| Gear::new(z).with_size(first.size).with_angle(first.angle));
    let train = |idler: Gear| Train::new([first, idler, last].map(Shaft::One).into()).ok();
    let stands = |train: &Train| matches!(geometry.fit(train), Fit::Fits(_));
    idlers.filter(|idler| !owned(idler)).filter_map(train).filter(stands).collect()
}

/// How far beyond the end of its slot a stud is.
fn beyond(bracket: &Bracket, stud: &InSlot) -> Option<(f64, MachineChange)> {
    let Some(Slot::Straight { from, to, .. }) = bracket.slots.get(stud.slot) else { return None };
    let beyond = (from.to_f64() - stud.along).max(stud.along - to.to_f64());
    let change = MachineChange::Slot { slot: stud.slot, along: stud.along, beyond };
    (beyond > 0.0).then_some((beyond, change))
}

/// The bracket with straight slots from the pivot to ten times their length.
fn without_slot_ends(bracket: &Bracket) -> Bracket {
    let mut free = bracket.clone();
    for slot in &mut free.slots {
        if let Slot::Straight { from, to, .. } = slot
            && from != to
        {
            *from = Offset::ZERO;
            let far = to.size().and_then(|mm| mm.times(&Ratio::table(10, 1)).ok());
            *to = far.map_or(*to, |mm| Offset::new(crate::Length::from_mm(mm)));
        }
    }
    free
}

/// The bracket with no clearance wanted between parts.
fn without_clearance(bracket: &Bracket) -> Bracket {
    Bracket { clearance: Offset::ZERO, ..bracket.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::{Options, Search};
    use crate::{GearSet, Length, Parts, Travel};

    /// Only the slot's ends need quarters of a mm: without them gears are counted in other steps.
    #[test]
    fn what_would_help_is_found_whatever_lengths_are_counted_in() {
        let mut gears = GearSet::new();
        for teeth in [40, 45, 50, 80] {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
        }
        let mm = |size: &str| size.parse::<Length>().unwrap();
        for from in ["34 mm", "34.25 mm", "34.247 mm"] {
            let mut parts = Parts::plain(gears.clone(), Lead::new(mm("3 mm")));
            // The stud of 50-80+40-45 is 42.5 mm from the lead screw; those of other trains are
            // further away.
            parts.bracket = Some(Bracket::plain(mm("80 mm"), mm(from), mm("40 mm")));
            let lathe = Lathe::new(parts).unwrap();
            let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
            let lead = Lead::new(Length::from_mm(Ratio::table(5, 3)));
            let ask = Ask::new(lead).with_hand(None);
            let refused = search.find(&ask).unwrap().refused;
            assert_eq!(refused[0].lead, lead);
            let remedies = search.remedies(&ask, &refused[..1]).unwrap().list;
            let longer = remedies.iter().find_map(|remedy| match remedy.change {
                MachineChange::Slot { beyond, .. } => Some(beyond),
                _ => None,
            });
            assert!(longer.is_some_and(|mm| (mm - 2.5).abs() < 1e-9), "{from}: {remedies:?}");
        }
    }

    /// What one more stud gives is what a search of the lathe with that stud gives.
    #[test]
    fn one_more_stud_is_found_as_a_search_finds_it() {
        let mut gears = GearSet::new();
        for teeth in [20, 25, 30, 35, 40, 45, 50, 60, 65, 80] {
            gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
        }
        let mm = |size: &str| size.parse::<Length>().unwrap();
        let lathe = |studs| {
            let mut parts = Parts::plain(gears.clone(), Lead::new(mm("3 mm")));
            parts.studs = studs;
            parts.bracket = Some(Bracket::plain(mm("110 mm"), mm("30 mm"), mm("100 mm")));
            Lathe::new(parts).unwrap()
        };
        let (one, two) = (lathe(1), lathe(2));
        let search = |lathe| Search::new(lathe, Travel::Thread, Options::default()).unwrap();
        let mut helped = 0;
        for hundredths in (10..300).step_by(7) {
            let lead = Lead::new(Length::from_mm(Ratio::table(hundredths, 100)));
            let ask = Ask::new(lead).with_hand(None).with_count(1);
            let refused = search(&one).find(&ask).unwrap().refused;
            let Some(furthest) = refused.last() else { continue };
            let remedies = search(&one).remedies(&ask, &refused).unwrap();
            assert!(remedies.complete);
            let got = remedies.list.iter().find(|r| r.change == MachineChange::Stud);
            let all = search(&two).find(&ask).unwrap();
            let fits = all.solutions.into_iter().find(Solution::fits);
            let wanted = fits.filter(|s| s.error.compare_size(&furthest.error).is_le());
            assert_eq!(got.map(|r| &r.solution), wanted.as_ref(), "{hundredths}");
            helped += usize::from(got.is_some());
        }
        assert!(helped > 5, "{helped}");
    }
}
