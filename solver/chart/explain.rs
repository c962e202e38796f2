//! Why is a row wrong? Every single slip that would make it right, likeliest first.
//!
//! Which slips people make on plates is common practice, no source: one digit or two neighbouring
//! ones, a gear in the other place, an idler for a pair, 127/100 for 127/120, a lever one further, mm
//! for threads per inch. Each costs points; a correction that is exact, owned and one digit away
//! costs least.

use super::check::{Cut, Machine, Terms, Verdict};
use super::figure::{misread, shown_as};
use super::row::{Printed, Row, Unit};
use super::simplest::{height, mantissa};
use crate::{Error, Gear, LeadError, Ratio, Result, Setting, Shaft, Teeth, Train};

/// What may be wrong with a row, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// A tooth count.
    Teeth {
        /// Which gear, counted along the power path from 0.
        gear: usize,
        /// What the row says.
        says: Teeth,
        /// What makes it right.
        right: Teeth,
        /// The train then.
        train: Train,
    },
    /// The gear beside the 127: 127/100 for 127/120 and the like.
    Partner {
        /// What the row says.
        says: Teeth,
        /// What makes it right.
        right: Teeth,
        /// The train then.
        train: Train,
    },
    /// A pair where the row has an idler.
    PairForIdler {
        /// The train then.
        train: Train,
    },
    /// An idler where the row has a pair.
    IdlerForPair {
        /// The train then.
        train: Train,
    },
    /// A pair, or the whole train, the other way round.
    TurnedRound {
        /// The train then.
        train: Train,
    },
    /// The printed figure.
    Value {
        /// What the gears and levers cut, as this row would print it.
        right: String,
        /// Whether that is all of it.
        exact: bool,
    },
    /// The unit of the printed figure.
    Unit(Unit),
    /// The levers.
    Levers(Setting),
    /// Nothing: the maker came no nearer.
    Approximation,
}

/// One way to put a row right.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Explanation {
    /// What is wrong.
    pub cause: Cause,
    /// Whether the row is then exact.
    pub exact: bool,
    /// Whether the gears of the correction are owned (where it names any).
    pub owned: bool,
    points: u32,
}

/// Explanations kept of a row.
const KEPT: usize = 8;

/// All single corrections of a row, likeliest first.
pub(super) fn explain(
    machine: &Machine<'_>,
    row: &Row,
    cut: &Cut,
    terms: &Terms,
) -> Result<Vec<Explanation>> {
    let mut case = Case { machine, row, cut, within: terms.of(row), found: Vec::new() };
    let train = row.gears.as_ref().map(|gears| &gears.train);
    let of_gears = [Case::teeth, Case::studs, Case::turned];
    let of_figure = [Case::value, Case::units, Case::levers, Case::approximation];
    let by_gears = train.into_iter().flat_map(|t| of_gears.iter().map(move |by| (by, t)));
    let found = by_gears.map(|(by, train)| by(&mut case, train)).collect::<Vec<_>>();
    // A correction whose numbers can't be held is none.
    let found = found.into_iter().chain(of_figure.iter().map(|by| by(&mut case)));
    found.filter(|r| !r.as_ref().is_err_and(Error::is_too_large)).collect::<Result<()>>()?;
    Ok(case.sorted())
}

/// One wrong row.
struct Case<'a> {
    machine: &'a Machine<'a>,
    row: &'a Row,
    cut: &'a Cut,
    within: Ratio,
    found: Vec<Explanation>,
}

impl Case<'_> {
    /// Enters a correction by its train if it makes the row right.
    fn try_train(
        &mut self,
        train: &Train,
        points: u32,
        cause: impl FnOnce(Train) -> Cause,
    ) -> Result<()> {
        let lead = self.cut.setting.constant.times(&train.ratio()?)?;
        let owned = self.can_be_mounted(train);
        let points = points.saturating_add(if owned { 0 } else { 4 });
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
            Verdict::Rounded => 1,
            Verdict::Approximate => 4,
            _ => return Ok(()),
        };
        let points = points.saturating_add(more);
        self.found.push(Explanation { cause: cause(), exact: more == 0, owned, points });
        Ok(())
    }

    /// Whether the gears of a train are owned, or stand on the machine anyway.
    fn can_be_mounted(&self, train: &Train) -> bool {
        let said: Vec<Teeth> =
            self.row.gears.iter().flat_map(|g| g.train.gears()).map(|g| g.teeth).collect();
        let count = |list: &[Teeth], teeth| list.iter().filter(|t| **t == teeth).count();
        let all: Vec<Teeth> = train.gears().map(|gear| gear.teeth).collect();
        // A gear that the row itself names may be the machine's own.
        all.iter().all(|t| count(&all, *t) <= self.machine.owned(*t).max(count(&said, *t)))
    }

    /// What is printed over what is cut.
    fn factor(&self) -> Result<Option<Ratio>> {
        let asked = self.row.printed.lead()?;
        if asked.has_pi() != self.cut.lead.has_pi() {
            return Ok(None);
        }
        asked.mm().over(&self.cut.lead.mm()).map(Some)
    }

    /// One gear at a time: the count that makes the row right.
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
                self.try_train(&train, 1, |train| Cause::Partner { says, right, train })?;
                continue;
            }
            let points = if misread(&says.to_string(), &right.to_string()) { 2 } else { 5 };
            self.try_train(&train, points, |train| Cause::Teeth {
                gear: index,
                says,
                right,
                train,
            })?;
        }
        Ok(())
    }

    /// Each stud: an idler that should be a pair, a pair that should be an idler.
    fn studs(&mut self, train: &Train) -> Result<()> {
        let joined: Vec<[Teeth; 2]> = self
            .machine
            .lathe
            .parts()
            .gears
            .joined()
            .iter()
            .map(|j| [j.gears[0].teeth, j.gears[1].teeth])
            .collect();
        let loose: Vec<Teeth> =
            self.machine.lathe.parts().gears.loose().iter().map(|(g, _)| g.teeth).collect();
        for (i, stud) in train.studs().iter().enumerate() {
            match stud {
                Shaft::Pair { driven, driver } => {
                    let fixed = joined.iter().any(|j| is_of(*j, driven.teeth, driver.teeth));
                    let points = if fixed { 3 } else { 6 };
                    for idler in [driven, driver] {
                        self.with_stud(train, i, Shaft::One(*idler), points, |train| {
                            Cause::IdlerForPair { train }
                        })?;
                    }
                    let round = Shaft::Pair { driven: *driver, driver: *driven };
                    self.with_stud(train, i, round, 4, |train| Cause::TurnedRound { train })?;
                }
                Shaft::One(idler) => {
                    let partners =
                        joined.iter().filter_map(|j| partner(*j, idler.teeth)).map(|t| (t, 2));
                    let others = loose.iter().filter(|t| **t != idler.teeth).map(|t| (*t, 7));
                    for (partner, points) in partners.chain(others).collect::<Vec<_>>() {
                        let other = Gear::new(partner);
                        for (driven, driver) in [(*idler, other), (other, *idler)] {
                            let pair = Shaft::Pair { driven, driver };
                            self.with_stud(train, i, pair, points, |train| Cause::PairForIdler {
                                train,
                            })?;
                        }
                    }
                }
            }
        }
        Ok(())
    }

    fn with_stud(
        &mut self,
        train: &Train,
        stud: usize,
        shaft: Shaft,
        points: u32,
        cause: impl FnOnce(Train) -> Cause,
    ) -> Result<()> {
        let mut shafts = train.shafts().to_vec();
        if let Some(old) = shafts.get_mut(stud.saturating_add(1)) {
            *old = shaft;
        }
        match Train::new(shafts) {
            Ok(changed) => self.try_train(&changed, points, cause),
            Err(_) => Ok(()),
        }
    }

    /// First and last gear in each other's place, and the whole train the other way round.
    fn turned(&mut self, train: &Train) -> Result<()> {
        let turn = |shaft: &Shaft| match shaft {
            Shaft::One(gear) => Shaft::One(*gear),
            Shaft::Pair { driven, driver } => Shaft::Pair { driven: *driver, driver: *driven },
        };
        let round: Vec<Shaft> = train.shafts().iter().rev().map(turn).collect();
        let mut ends = train.shafts().to_vec();
        if let Some(last) = ends.len().checked_sub(1) {
            ends.swap(0, last);
        }
        let same = round == ends;
        for shafts in [Some(round), (!same).then_some(ends)].into_iter().flatten() {
            if let Ok(changed) = Train::new(shafts) {
                self.try_train(&changed, 4, |train| Cause::TurnedRound { train })?;
            }
        }
        Ok(())
    }

    /// The figure that should be printed.
    fn value(&mut self) -> Result<()> {
        let Some(value) = self.row.printed.value_of(&self.cut.lead)? else { return Ok(()) };
        let (right, exact) = shown_as(&self.row.printed, &value);
        // A figure that nobody prints is a poor correction.
        let odd = height(&value) > 400 && mantissa(&value).is_none_or(|digits| digits > 999);
        let points = match (misread(self.row.printed.text(), &right), exact && !odd) {
            (true, true) => 2,
            (true, false) => 4,
            (false, true) => 5,
            (false, false) => 8,
        };
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
                self.enter_as(&other, &self.cut.lead, 3, true, || Cause::Unit(unit))?;
            }
        }
        Ok(())
    }

    /// Other positions of the levers: one lever first.
    fn levers(&mut self) -> Result<()> {
        let ratio = self.row.ratio(self.machine.standing())?;
        let here = &self.cut.setting;
        for setting in self.machine.settings(self.row.printed.travel())? {
            let moved = setting.levers.iter().zip(&here.levers).filter(|(a, b)| a != b).count()
                + usize::from(setting.headstock != here.headstock);
            if moved > 0 {
                let lead = setting.constant.times(&ratio)?;
                let points = if moved == 1 { 4 } else { 8 };
                self.enter(&lead, points, true, || Cause::Levers(setting.clone()))?;
            }
        }
        Ok(())
    }

    /// As near as the maker came: not within what is allowed, but within five times that.
    fn approximation(&mut self) -> Result<()> {
        let five = self.within.times(&Ratio::whole(5)?)?;
        if LeadError::of(&self.cut.lead, &self.row.printed.lead()?).within(&five) {
            let cause = Cause::Approximation;
            self.found.push(Explanation { cause, exact: false, owned: true, points: 4 });
        }
        Ok(())
    }

    /// Likeliest first; the printed figure is among the first three unless nobody would print it.
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
        if let Some(at) = value.filter(|&at| at > 2 && self.found[at].points < 8) {
            self.found[2..=at].rotate_right(1);
        }
        self.found.truncate(KEPT);
        self.found
    }
}

impl Cause {
    /// The train that would be right, where the gears are at fault.
    pub const fn train(&self) -> Option<&Train> {
        match self {
            Self::Teeth { train, .. }
            | Self::Partner { train, .. }
            | Self::PairForIdler { train }
            | Self::IdlerForPair { train }
            | Self::TurnedRound { train } => Some(train),
            _ => None,
        }
    }
}

/// The shaft of each gear along the power path, and whether the gear drives.
fn places(train: &Train) -> Vec<(usize, bool)> {
    let mut places = Vec::new();
    for (i, shaft) in train.shafts().iter().enumerate() {
        match shaft {
            Shaft::One(_) => places.push((i, i == 0)),
            Shaft::Pair { .. } => places.extend([(i, false), (i, true)]),
        }
    }
    places
}

/// The train with another count in one place.
fn with_teeth(train: &Train, index: usize, teeth: Teeth) -> Option<Train> {
    let mut at = 0_usize;
    let mut put = |gear: &Gear| {
        let here = at == index;
        at = at.saturating_add(1);
        if here { Gear::new(teeth) } else { *gear }
    };
    let shafts = train.shafts().iter().map(|shaft| match shaft {
        Shaft::One(gear) => Shaft::One(put(gear)),
        Shaft::Pair { driven, driver } => {
            let driven = put(driven);
            Shaft::Pair { driven, driver: put(driver) }
        }
    });
    Train::new(shafts.collect()).ok()
}

/// The other gear on a shaft that carries `teeth`.
fn mate(train: &Train, shaft: usize, teeth: Teeth) -> Option<u16> {
    match train.shafts().get(shaft)? {
        Shaft::Pair { driven, driver } if driver.teeth == teeth => Some(driven.teeth.get()),
        Shaft::Pair { driver, .. } => Some(driver.teeth.get()),
        Shaft::One(_) => None,
    }
}

fn is_of(joined: [Teeth; 2], a: Teeth, b: Teeth) -> bool {
    joined == [a, b] || joined == [b, a]
}

fn partner(joined: [Teeth; 2], teeth: Teeth) -> Option<Teeth> {
    match joined {
        [a, b] if a == teeth => Some(b),
        [a, b] if b == teeth => Some(a),
        _ => None,
    }
}

/// The nearest whole number of teeth.
fn nearest_teeth(wanted: &Ratio) -> Option<Teeth> {
    let twice = wanted.numer().checked_mul(2)?.checked_add(wanted.denom())?;
    let whole = twice / wanted.denom().checked_mul(2)?;
    Teeth::new(u64::try_from(whole).ok()?).ok()
}
