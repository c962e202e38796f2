//! Why is a row wrong? Every single slip that explains it, likeliest first.
//!
//! The slips: two gears exchanged, an idler for a pair and the reverse, one wrong digit or two
//! exchanged, a gear of the next row, 127/100 for 127/120, a lever one position further, mm for
//! threads per inch. `prior` has the points of each. Added are points for a remaining error and for
//! gears that are not owned.

use super::cause::{Cause, Explanation};
use super::figure::shown_as;
use super::machine::Machine;
use super::prior;
use super::row::{ChartRow, Printed, Unit};
use super::simplest::{height, mantissa};
use super::verdict::{AllowedErrors, RowCut, Verdict};
use crate::slip::{misread, places, with_shaft, with_teeth};
use crate::{Error, Gear, Lack, LeadError, Ratio, Result, Shaft, Teeth, Train};

/// Most explanations kept for a row.
const KEPT: usize = 8;

/// All single corrections of a row, likeliest first. `beside`: the rows above and below it.
pub(super) fn explain(
    machine: &Machine<'_>,
    row: &ChartRow,
    beside: [Option<&ChartRow>; 2],
    cut: &RowCut,
    terms: &AllowedErrors,
) -> Result<Vec<Explanation>> {
    let mut case = Case { machine, row, beside, cut, within: terms.of(row), found: Vec::new() };
    let train = row.gears.as_ref().map(|gears| &gears.train);
    let of_gears = [Case::teeth, Case::studs, Case::swaps, Case::reversed];
    let of_figure = [Case::value, Case::units, Case::levers, Case::approximation];
    let by_gears = train.into_iter().flat_map(|t| of_gears.iter().map(move |by| (by, t)));
    let found = by_gears.map(|(by, train)| by(&mut case, train)).collect::<Vec<_>>();
    // A correction with numbers out of range is skipped.
    let found = found.into_iter().chain(of_figure.iter().map(|by| by(&mut case)));
    found.filter(|r| !r.as_ref().is_err_and(Error::is_too_large)).collect::<Result<()>>()?;
    Ok(case.sorted())
}

/// One wrong row.
struct Case<'a> {
    machine: &'a Machine<'a>,
    row: &'a ChartRow,
    beside: [Option<&'a ChartRow>; 2],
    cut: &'a RowCut,
    within: Ratio,
    found: Vec<Explanation>,
}

impl Case<'_> {
    /// Adds a correction by its train if it makes the row right.
    fn try_train(
        &mut self,
        train: &Train,
        points: u32,
        cause: impl FnOnce(Train) -> Cause,
    ) -> Result<()> {
        let lead = self.cut.setting.constant.times(&train.ratio())?;
        let owned = self.can_be_mounted(train);
        let points = points.saturating_add(if owned { 0 } else { prior::NOT_OWNED });
        self.enter(&lead, points, owned, || cause(train.clone()))
    }

    fn enter(
        &mut self,
        lead: &crate::Lead,
        points: u32,
        owned: bool,
        cause: impl FnOnce() -> Cause,
    ) -> Result<()> {
        self.enter_as(&self.row.printed.clone(), lead, points, owned, cause)
    }

    fn enter_as(
        &mut self,
        printed: &Printed,
        lead: &crate::Lead,
        points: u32,
        owned: bool,
        cause: impl FnOnce() -> Cause,
    ) -> Result<()> {
        let more = match Verdict::of(printed, lead, &self.within)? {
            Verdict::Exact => 0,
            Verdict::Rounded => prior::ROUNDED,
            Verdict::Approximate => prior::NEAR,
            _ => return Ok(()),
        };
        let points = points.saturating_add(more);
        self.found.push(Explanation { cause: cause(), exact: more == 0, owned, points });
        Ok(())
    }

    /// Whether the gears of a train are owned, or on the machine anyway, and go on the end shafts as
    /// well as those of the row.
    fn can_be_mounted(&self, train: &Train) -> bool {
        let ends = |train: &Train| {
            let ways = self.machine.lathe.give(train, &self.cut.setting.last).unwrap_or_default();
            let lacks = ways.iter().take(1).flat_map(|way| &way.lacks);
            lacks.filter(|lack| matches!(lack, Lack::End { .. })).count()
        };
        let own = self.row.gears.as_ref().map_or(0, |gears| ends(&gears.train));
        if ends(train) > own {
            return false;
        }
        let said: Vec<Teeth> =
            self.row.gears.iter().flat_map(|g| g.train.gears()).map(|g| g.teeth).collect();
        let count = |list: &[Teeth], teeth| list.iter().filter(|t| **t == teeth).count();
        let all: Vec<Teeth> = train.gears().map(|gear| gear.teeth).collect();
        // A gear named in the row may be the machine's own.
        all.iter().all(|t| count(&all, *t) <= self.machine.owned(*t).max(count(&said, *t)))
    }

    /// Printed lead over cut lead.
    fn factor(&self) -> Result<Option<Ratio>> {
        let asked = self.row.printed.lead()?;
        if asked.has_pi() != self.cut.lead.has_pi() {
            return Ok(None);
        }
        asked.mm().over(&self.cut.lead.mm()).map(Some)
    }

    /// One gear at a time: the tooth count that makes the row right.
    fn teeth(&mut self, train: &Train) -> Result<()> {
        let Some(factor) = self.factor()? else { return Ok(()) };
        for (index, (shaft, drives)) in places(train).into_iter().enumerate() {
            let is_idler = shaft > 0
                && shaft < train.meshes()
                && matches!(train.shafts().get(shaft), Some(Shaft::One(_)));
            let Some(gear) = train.gears().nth(index).filter(|_| !is_idler) else { continue };
            let says = gear.teeth;
            let wanted = Ratio::whole(says.get().into())?.times(&if drives {
                factor
            } else {
                factor.recip()
            })?;
            let Some(right) = nearest_teeth(&wanted).filter(|right| *right != says) else {
                continue;
            };
            let Some(train) = with_teeth(train, index, right) else { continue };
            let beside = mate(&train, shaft, right);
            if beside == Some(127)
                && [says.get(), right.get()].iter().any(|t| matches!(t, 100 | 120))
            {
                let cause = |train| Cause::Partner { says, right, train };
                self.try_train(&train, prior::PARTNER, cause)?;
                continue;
            }
            let points = if misread(&says.to_string(), &right.to_string()) {
                prior::GEAR_DIGIT
            } else if self.is_beside(index, says) {
                prior::NEIGHBOUR
            } else {
                prior::GEAR
            };
            self.try_train(&train, points, |train| Cause::Teeth {
                gear: index,
                says,
                right,
                train,
            })?;
        }
        Ok(())
    }

    /// Whether a simple train of owned gears cuts the printed lead.
    fn two_gears_do(&self) -> Result<bool> {
        let (asked, constant) = (self.row.printed.lead()?, self.cut.setting.constant);
        if asked.has_pi() != constant.has_pi() {
            return Ok(false);
        }
        let wanted = asked.mm().over(&constant.mm())?;
        let mut owned: Vec<Teeth> =
            self.machine.lathe.parts().gears.all().map(|gear| gear.teeth).collect();
        owned.dedup();
        // Driving gear over last.
        let last = |first: &Teeth| {
            let last = Ratio::whole(first.get().into()).and_then(|f| f.over(&wanted)).ok();
            let last = last.filter(Ratio::is_whole).and_then(|l| u64::try_from(l.numer()).ok());
            last.and_then(|teeth| Teeth::new(teeth).ok())
        };
        let pairs = owned.iter().filter_map(|first| Some((*first, last(first)?)));
        Ok(pairs.into_iter().any(|(a, b)| self.machine.owned(b) > usize::from(a == b)))
    }

    /// Whether the row above or below has this gear in the same place.
    fn is_beside(&self, index: usize, teeth: Teeth) -> bool {
        let trains = self.beside.iter().flatten().filter_map(|row| row.gears.as_ref());
        trains.filter_map(|gears| gears.train.gears().nth(index)).any(|gear| gear.teeth == teeth)
    }

    /// Each stud: an idler that should be a pair, a pair that should be an idler or is turned round.
    fn studs(&mut self, train: &Train) -> Result<()> {
        let factor = self.factor()?;
        let needless = if self.two_gears_do()? { prior::NEEDLESS } else { 0 };
        for (i, stud) in train.studs().iter().enumerate() {
            match stud {
                Shaft::Pair { driven, driver } => {
                    let points = self.of_stud(prior::IDLER_FOR_PAIR, driven.teeth, driver.teeth);
                    for idler in [driven, driver] {
                        self.with_stud(train, i, Shaft::One(*idler), points, |train| {
                            Cause::IdlerForPair { train }
                        })?;
                    }
                    let round = Shaft::Pair { driven: *driver, driver: *driven };
                    let cause = |train| Cause::TurnedRound { train };
                    self.with_stud(train, i, round, prior::SWAPPED, cause)?;
                }
                Shaft::One(idler) => {
                    let Some(factor) = factor else { continue };
                    let own = Ratio::whole(idler.teeth.get().into())?;
                    // The missing gear drives, or is driven.
                    for (wanted, drives) in
                        [(own.times(&factor)?, true), (own.over(&factor)?, false)]
                    {
                        let Some(teeth) = nearest_teeth(&wanted).filter(|t| *t != idler.teeth)
                        else {
                            continue;
                        };
                        let other = Gear::new(teeth);
                        let (driven, driver) =
                            if drives { (*idler, other) } else { (other, *idler) };
                        let points = self.of_stud(prior::PAIR_FOR_IDLER, idler.teeth, teeth);
                        let points = points.saturating_add(needless);
                        let pair = Shaft::Pair { driven, driver };
                        let cause = |train| Cause::PairForIdler { train };
                        self.with_stud(train, i, pair, points, cause)?;
                    }
                }
            }
        }
        Ok(())
    }

    /// Points for a stud with these two gears: fewer where they are joined.
    fn of_stud(&self, points: u32, a: Teeth, b: Teeth) -> u32 {
        let joined = self.machine.lathe.parts().gears.joined();
        let fixed = joined.iter().map(|joined| joined.gears.map(|gear| gear.teeth));
        let fixed = fixed.into_iter().any(|pair| pair == [a, b] || pair == [b, a]);
        points.saturating_sub(if fixed { prior::JOINED } else { 0 })
    }

    fn with_stud(
        &mut self,
        train: &Train,
        stud: usize,
        shaft: Shaft,
        points: u32,
        cause: impl FnOnce(Train) -> Cause,
    ) -> Result<()> {
        match with_shaft(train, stud.saturating_add(1), shaft) {
            Some(changed) => self.try_train(&changed, points, cause),
            None => Ok(()),
        }
    }

    /// Any two gears of different shafts exchanged: of one mesh, first and last, further apart. Two
    /// drivers, or two driven gears, change nothing.
    fn swaps(&mut self, train: &Train) -> Result<()> {
        let gears: Vec<Teeth> = train.gears().map(|gear| gear.teeth).collect();
        let shafts = places(train);
        for (i, &a) in gears.iter().enumerate() {
            for (j, &b) in gears.iter().enumerate().skip(i.saturating_add(1)) {
                let same_shaft = shafts.get(i).map(|p| p.0) == shafts.get(j).map(|p| p.0);
                if same_shaft || a == b {
                    continue;
                }
                let swapped = with_teeth(train, i, b).and_then(|train| with_teeth(&train, j, a));
                let Some(swapped) = swapped else { continue };
                let cause = |train| Cause::Swapped { gears: [a, b], train };
                self.try_train(&swapped, prior::SWAPPED, cause)?;
            }
        }
        Ok(())
    }

    /// The whole train turned round.
    fn reversed(&mut self, train: &Train) -> Result<()> {
        let turn = |shaft: &Shaft| match shaft {
            Shaft::One(gear) => Shaft::One(*gear),
            Shaft::Pair { driven, driver } => Shaft::Pair { driven: *driver, driver: *driven },
        };
        match Train::new(train.shafts().iter().rev().map(turn).collect()) {
            Ok(round) => {
                self.try_train(&round, prior::REVERSED, |train| Cause::TurnedRound { train })
            }
            Err(_) => Ok(()),
        }
    }

    /// The figure that should be printed.
    fn value(&mut self) -> Result<()> {
        let Some(value) = self.row.printed.value_of(&self.cut.lead)? else { return Ok(()) };
        let (right, exact) = shown_as(&self.row.printed, &value);
        // A figure that no chart prints is an unlikely correction.
        let odd = height(&value) > 400 && mantissa(&value).is_none_or(|digits| digits > 999);
        let digit = misread(self.row.printed.text(), &right);
        let points = if digit { prior::FIGURE_DIGIT } else { prior::FIGURE };
        let points = points.saturating_add(if exact && !odd { 0 } else { prior::ODD_FIGURE });
        self.found.push(Explanation {
            cause: Cause::Value { right, exact },
            exact,
            owned: true,
            points,
        });
        Ok(())
    }

    /// The same figure in another unit.
    fn units(&mut self) -> Result<()> {
        let printed = &self.row.printed.clone();
        for unit in [Unit::Mm, Unit::Inch, Unit::Tpi, Unit::Module, Unit::Dp] {
            if unit == printed.unit() {
                continue;
            }
            let same = Printed::new(printed.text(), unit, printed.travel())
                .and_then(|p| p.with_starts(printed.starts()));
            if let Ok(other) = same {
                self.enter_as(&other, &self.cut.lead, prior::UNIT, true, || Cause::Unit(unit))?;
            }
        }
        Ok(())
    }

    /// Other positions of the levers: one lever first.
    fn levers(&mut self) -> Result<()> {
        let ratio = self.row.ratio(self.machine.standing());
        let here = &self.cut.setting;
        for setting in self.machine.settings(self.row.printed.travel())? {
            let places = setting.levers.iter().chain([&setting.headstock]);
            let before = here.levers.iter().chain([&here.headstock]);
            let moved: Vec<usize> =
                places.zip(before).map(|(a, b)| a.abs_diff(*b)).filter(|d| *d > 0).collect();
            let points = match moved[..] {
                [] => continue,
                [1] => prior::NEXT_POSITION,
                [_] => prior::POSITION,
                _ => prior::POSITIONS,
            };
            let lead = setting.constant.times(&ratio)?;
            self.enter(&lead, points, true, || Cause::Levers(setting.clone()))?;
        }
        Ok(())
    }

    /// The maker's approximation: beyond what is allowed, but within five times that.
    fn approximation(&mut self) -> Result<()> {
        let five = self.within.times(&Ratio::whole(5)?)?;
        if LeadError::of(&self.cut.lead, &self.row.printed.lead()?).within(&five) {
            let cause = Cause::Approximation;
            let points = prior::APPROXIMATION;
            self.found.push(Explanation { cause, exact: false, owned: true, points });
        }
        Ok(())
    }

    /// Likeliest first; the printed figure is among the first three unless no chart would print it.
    fn sorted(mut self) -> Vec<Explanation> {
        self.found.sort_by_key(|explanation| explanation.points);
        let mut seen: Vec<Train> = Vec::new();
        self.found.retain(|e| match e.cause.train() {
            Some(train) if seen.contains(train) => false,
            Some(train) => {
                seen.push(train.clone());
                true
            }
            None => true,
        });
        let value = self.found.iter().position(|e| matches!(e.cause, Cause::Value { .. }));
        let tied = self.found.iter().take_while(|e| e.is_as_likely_as(&self.found[0])).count();
        let third = tied.max(2);
        let odd = prior::FIGURE.saturating_add(prior::ODD_FIGURE);
        if let Some(at) = value.filter(|&at| at > third && self.found[at].points < odd) {
            self.found[third..=at].rotate_right(1);
        }
        self.found.truncate(KEPT);
        self.found
    }
}

/// The other gear on a shaft that carries `teeth`.
fn mate(train: &Train, shaft: usize, teeth: Teeth) -> Option<u16> {
    match train.shafts().get(shaft)? {
        Shaft::Pair { driven, driver } if driver.teeth == teeth => Some(driven.teeth.get()),
        Shaft::Pair { driver, .. } => Some(driver.teeth.get()),
        Shaft::One(_) => None,
    }
}

/// The nearest whole number of teeth.
fn nearest_teeth(wanted: &Ratio) -> Option<Teeth> {
    let twice = wanted.numer().checked_mul(2)?.checked_add(wanted.denom())?;
    let whole = twice / wanted.denom().checked_mul(2)?;
    Teeth::new(u64::try_from(whole).ok()?).ok()
}
