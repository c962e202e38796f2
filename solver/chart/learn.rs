//! What is it that nobody knows of a lathe, by its chart and by what was measured?
//!
//! lead = screw x K x (ratio of the train) x (one ratio a lever). The trains are printed; the rest is
//! found as in `levers` and `constant`. From a chart alone only products can be known: screw x K (the
//! screw constant), or K x the feed figure; and the levers up to a factor that could as well stand in
//! the constant. What is known of the lathe already is taken as it is.

use super::check::{Check, HEADSTOCK, Terms, check};
use super::constant::{Candidate, Kind, Ranking, Reading, Says};
use super::interval::Interval;
use super::levers::{Found, Hard, Item, Unknowns};
use super::measured::Measured;
use super::row::{Gears, Row};
use super::settle::{Settle, settle};
use crate::{
    Error, Lathe, Lead, Length, Lever, LeverPosition, Parts, Ratio, Result, Travel, bounds,
};
use std::collections::BTreeMap;

/// What a figure of the lathe is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum What {
    /// The lead of the lead screw, K being known.
    LeadScrew,
    /// K: turns of the first gear for one of the spindle, the screw being known.
    Headstock,
    /// Lead screw x K: what equal gears cut (with every lever at its reference).
    ScrewConstant,
    /// Travel for one turn of the lead screw or feed shaft, K being known.
    Feed(Travel),
    /// The same x K, K not being known.
    FeedConstant(Travel),
    /// The feed along the bed is by half nut.
    HalfNut,
}

/// A figure that was learned.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Constant {
    /// What it is.
    pub what: What,
    /// The kind of travel whose rows speak of it.
    pub travel: Travel,
    /// The constant that it was read from, in mm: value and rivals are of this.
    pub ranking: Ranking,
    /// The known factor in that constant: K in mm/mm, or the screw in mm.
    pub factor: Ratio,
}

impl Constant {
    /// The figure itself for one candidate: a lead in mm, or a plain ratio for the headstock.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn figure(&self, candidate: &Candidate) -> Result<Ratio> {
        candidate.value.over(&self.factor)
    }

    /// The least and the greatest that the figure can be.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn bounds(&self) -> Result<Interval> {
        self.ranking.bounds.over(&self.factor)
    }

    /// Whether the figure is a length (else a plain ratio).
    pub const fn is_length(&self) -> bool {
        !matches!(self.what, What::Headstock)
    }
}

/// A lever position that was not known.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LearnedPosition {
    /// The lever.
    pub lever: String,
    /// The position.
    pub position: String,
    /// Its ratio; `None`: it counts as 1, and the constant holds what it really is.
    pub ranking: Option<Ranking>,
}

impl LearnedPosition {
    /// Its ratio.
    pub fn ratio(&self) -> Ratio {
        self.ranking.as_ref().map_or(Ratio::ONE, |ranking| ranking.best.value)
    }
}

/// What was learned.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Learned {
    /// Constants that were not known, of threads first.
    pub constants: Vec<Constant>,
    /// Lever positions that were not known, in the order of the lathe.
    pub positions: Vec<LearnedPosition>,
    /// The chart, judged on the lathe as learned.
    pub check: Check,
    /// Whether each measurement agrees with the lathe as learned.
    pub measured: Vec<bool>,
    /// The measurement that would settle what is open, or confirm what rests on little.
    pub settle: Option<Settle>,
    /// Whether everything that was unknown and that rows speak of can be relied on.
    pub decided: bool,
    /// The lathe with what was learned filled in.
    pub parts: Parts,
    /// A figure that the lathe's parts have no room for: feeds where K can't be told apart.
    pub unwritten: Vec<What>,
}

/// Learns what a lathe's description leaves unknown.
///
/// ```
/// use solver::chart::{Gears, Printed, Row, Terms, Unit, What, blank, learn};
/// use solver::{Lathe, Travel};
/// let row = |tpi: &str, train: &str| -> solver::Result<Row> {
///     Ok(Row::new(Printed::new(tpi, Unit::Tpi, Travel::Thread)?).with_gears(Gears::new(train.parse()?)))
/// };
/// let rows = [row("10", "24-60")?, row("11 1/2", "24-69")?, row("16", "24-96")?];
/// let learned = learn(&Lathe::new(blank(&rows)?)?, &rows, &[], &Terms::default())?;
/// assert!(learned.decided);
/// assert_eq!(learned.constants[0].what, What::ScrewConstant);
/// assert_eq!(learned.parts.screw_constant.unwrap().tpi()?.to_string(), "4");
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a row (`rows[3]`) or a measurement (`measured[0]`) names what the lathe does not have, or leaves
/// open a lever or the gears; if there is nothing to learn from; if a number does not fit.
pub fn learn(lathe: &Lathe, rows: &[Row], measured: &[Measured], terms: &Terms) -> Result<Learned> {
    if rows.is_empty() && measured.is_empty() {
        return Err(Error::conflict("there is no row and no measurement to learn from"));
    }
    bounds::CHART_ROWS.check(rows.len().max(1) as u64)?;
    let machine = Machine::new(lathe, rows, measured);
    let mut unknowns = machine.unknowns(rows, measured, terms)?;
    unknowns.solve()?;
    machine.learned(&unknowns, rows, measured, terms)
}

/// A lathe of which nothing is known but what a chart shows: its gears, and its levers by name. Where
/// no row names gears, two equal ones stand for those on the machine.
///
/// # Errors
/// If there are too many different gears.
pub fn blank(rows: &[Row]) -> Result<Parts> {
    let mut gears = crate::GearSet::new();
    let mut most: BTreeMap<crate::Teeth, usize> = BTreeMap::new();
    for row in rows.iter().filter_map(|row| row.gears.as_ref()) {
        let all: Vec<_> = row.train.gears().map(|gear| gear.teeth).collect();
        for teeth in &all {
            let count = all.iter().filter(|t| *t == teeth).count();
            let entry = most.entry(*teeth).or_default();
            *entry = count.max(*entry);
        }
    }
    if most.is_empty() {
        most.insert(crate::Teeth::new(60)?, 2);
    }
    for (teeth, count) in most {
        gears.add(crate::Gear::new(teeth), count as u64)?;
    }
    let mut parts = Parts::plain(gears, Lead::new(Length::from_mm(Ratio::ONE)));
    parts.lead_screw.lead = None;
    parts.headstock.iter_mut().for_each(|position| position.ratio = None);
    for (lever, position) in rows.iter().flat_map(|row| &row.levers) {
        add_position(&mut parts.gearbox.levers, lever, position);
    }
    parts.studs =
        rows.iter().filter_map(|row| row.gears.as_ref()).map(studs).max().unwrap_or(1).max(1);
    Ok(parts)
}

fn studs(gears: &Gears) -> u8 {
    u8::try_from(gears.train.studs().len()).unwrap_or(u8::MAX).max(u8::from(gears.free_idler))
}

fn add_position(levers: &mut Vec<Lever>, lever: &str, position: &str) {
    let at = levers.iter().position(|l| l.name == lever).unwrap_or_else(|| {
        levers.push(Lever { name: lever.to_owned(), positions: Vec::new() });
        levers.len().saturating_sub(1)
    });
    let Some(lever) = levers.get_mut(at) else { return };
    if !lever.positions.iter().any(|p| p.name == position) {
        lever.positions.push(LeverPosition {
            name: position.to_owned(),
            ratio: None,
            turns: crate::Turns::Same,
            only: None,
        });
    }
}

const TRAVELS: [Travel; 3] = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];

fn index(travel: Travel) -> usize {
    TRAVELS.iter().position(|t| *t == travel).unwrap_or(0)
}

/// The lathe with its headstock as one more lever, where that has several positions.
struct Machine<'l> {
    lathe: &'l Lathe,
    levers: Vec<Lever>,
    /// Whether the first of the levers is the headstock.
    headstock: bool,
    /// K, where the headstock has one position.
    k: Option<Ratio>,
    /// Kinds of travel that rows and measurements speak of.
    spoken: [bool; 3],
}

impl<'l> Machine<'l> {
    fn new(lathe: &'l Lathe, rows: &[Row], measured: &[Measured]) -> Self {
        let parts = lathe.parts();
        let mut levers = parts.gearbox.levers.clone();
        let headstock = parts.headstock.len() > 1 && !levers.iter().any(|l| l.name == HEADSTOCK);
        if headstock {
            let position = |p: &crate::HeadstockPosition| LeverPosition {
                name: p.name.clone(),
                ratio: p.ratio,
                turns: p.turns,
                only: None,
            };
            let positions = parts.headstock.iter().map(position).collect();
            levers.insert(0, Lever { name: HEADSTOCK.to_owned(), positions });
        }
        let k = if headstock {
            Some(Ratio::ONE)
        } else {
            parts.headstock.first().and_then(|p| p.ratio)
        };
        let mut spoken = [!measured.is_empty(), false, false];
        for row in rows {
            spoken[index(row.printed.travel())] = true;
        }
        Self { lathe, levers, headstock, k, spoken }
    }

    /// The constant of a kind of travel, where it is known; a feed without a figure is not.
    fn known(&self, travel: Travel) -> Result<Option<Ratio>> {
        let parts = self.lathe.parts();
        let figure = match travel {
            Travel::Thread => {
                if let Some(constant) = parts.screw_constant {
                    return Ok(Some(constant.mm()));
                }
                parts.lead_screw.lead
            }
            Travel::LongFeed => parts.feeds.long,
            Travel::CrossFeed => parts.feeds.cross,
        };
        figure.zip(self.k).map(|(figure, k)| figure.mm().times(&k)).transpose()
    }

    /// What a learned constant means, and the factor in it that is known. `k`: K as far as it is
    /// known by then.
    fn meaning(&self, travel: Travel, k: Option<Ratio>) -> (What, Ratio) {
        let screw = self.lathe.parts().lead_screw.lead;
        match (travel, k, screw) {
            (Travel::Thread, Some(k), _) => (What::LeadScrew, k),
            (Travel::Thread, None, Some(screw)) => (What::Headstock, screw.mm()),
            (Travel::Thread, None, None) => (What::ScrewConstant, Ratio::ONE),
            (feed, Some(k), _) => (What::Feed(feed), k),
            (feed, None, _) => (What::FeedConstant(feed), Ratio::ONE),
        }
    }

    fn reading(&self, travel: Travel) -> Reading {
        match self.meaning(travel, self.k) {
            (What::Headstock, factor) => Reading { factor, kind: Kind::Ratio },
            (What::ScrewConstant | What::FeedConstant(_), factor) => {
                Reading { factor, kind: Kind::Product }
            }
            (_, factor) => Reading { factor, kind: Kind::Length },
        }
    }

    fn unknowns(&self, rows: &[Row], measured: &[Measured], terms: &Terms) -> Result<Unknowns> {
        let mut positions = BTreeMap::new();
        for (l, lever) in self.levers.iter().enumerate() {
            for (p, position) in lever.positions.iter().enumerate() {
                if let Some(ratio) = position.ratio {
                    positions.insert((l, p), Found::Known(ratio));
                }
            }
        }
        let mut unknowns = Unknowns {
            items: Vec::with_capacity(rows.len()),
            hard: Vec::new(),
            constants: [None, None, None],
            readings: TRAVELS.map(|travel| self.reading(travel)),
            positions,
            shared: None,
        };
        for (known, travel) in unknowns.constants.iter_mut().zip(TRAVELS) {
            *known = self.known(travel)?.map(Found::Known);
        }
        for (i, row) in rows.iter().enumerate() {
            if let Some(item) = self.item(row, terms).map_err(|e| e.at(format!("rows[{i}]")))? {
                unknowns.items.push(item);
            }
        }
        for (i, cut) in measured.iter().enumerate() {
            unknowns.hard.push(self.hard(cut).map_err(|e| e.at(format!("measured[{i}]")))?);
        }
        Ok(unknowns)
    }

    /// One row as the unknowns see it; `None`: a combination of levers stands in for their ratios, or
    /// the numbers are out of all bounds.
    fn item(&self, row: &Row, terms: &Terms) -> Result<Option<Item>> {
        let at = self.engaged(&row.levers, row.printed.travel())?;
        if self.is_combination(&row.levers) {
            return Ok(None);
        }
        let standing = self.lathe.parts().fitted.as_ref().map(|fitted| &fitted.train);
        let ratio = row.ratio(standing)?;
        let approximation = row.within.unwrap_or(terms.thread);
        let says =
            Says { allowed: row.printed.allows(&approximation)?, exact: row.printed.exactly()? };
        Ok(Some(Item { travel: index(row.printed.travel()), says: says.over(&ratio)?, at }))
    }

    fn hard(&self, cut: &Measured) -> Result<Hard> {
        let fitted = self.lathe.parts().fitted.as_ref();
        let train = cut.gears.as_ref().map(|gears| &gears.train).or(fitted.map(|f| &f.train));
        let Some(train) = train else {
            return Err(Error::unknown(format!("`{}`: which gears stood then?", cut.text()))
                .with_hint(format!("{} with 40-40", cut.text())));
        };
        let at = self.engaged(&cut.levers, Travel::Thread)?;
        Ok(Hard { travel: 0, allowed: cut.lead()?.over(&train.ratio()?)?, at })
    }

    fn is_combination(&self, levers: &crate::When) -> bool {
        self.lathe
            .parts()
            .gearbox
            .combinations
            .iter()
            .any(|c| c.when.iter().all(|w| levers.contains(w)))
    }

    /// The lever positions that are engaged: those named, those of the fitted set-up, or the only ones
    /// that serve.
    fn engaged(&self, named: &crate::When, travel: Travel) -> Result<Vec<(usize, usize)>> {
        let names = |list: Vec<&str>| list.join(", ");
        for (lever, _) in named {
            if !self.levers.iter().any(|l| l.name == *lever) {
                let known = names(self.levers.iter().map(|l| l.name.as_str()).collect());
                let hint = if known.is_empty() {
                    "its file describes none".to_owned()
                } else {
                    format!("levers: {known}")
                };
                return Err(
                    Error::no_such(format!("the lathe has no lever {lever}")).with_hint(hint)
                );
            }
        }
        let fitted = self.lathe.parts().fitted.as_ref();
        let mut at = Vec::new();
        for (l, lever) in self.levers.iter().enumerate() {
            let said = |when: &crate::When| {
                when.iter().find(|(name, _)| *name == lever.name).map(|(_, p)| p.clone())
            };
            let serves = |p: &LeverPosition| {
                p.only.is_none_or(|o| o == travel || (o.is_feed() && travel.is_feed()))
            };
            if let Some(name) = said(named) {
                let p = lever.positions.iter().position(|p| p.name == name).ok_or_else(|| {
                    let known = names(lever.positions.iter().map(|p| p.name.as_str()).collect());
                    Error::no_such(format!("lever {} has no position {name}", lever.name))
                        .with_hint(format!("positions: {known}"))
                })?;
                at.push((l, p));
                continue;
            }
            let serving: Vec<usize> = (0..lever.positions.len())
                .filter(|p| lever.positions.get(*p).is_some_and(serves))
                .collect();
            let by_fitted = fitted.and_then(|f| said(&f.levers));
            let standing =
                by_fitted.and_then(|name| lever.positions.iter().position(|p| p.name == name));
            match (&serving[..], standing.filter(|p| serving.contains(p))) {
                ([only], _) => at.push((l, *only)),
                (_, Some(standing)) => at.push((l, standing)),
                _ => {
                    return Err(Error::unknown(format!(
                        "in which position is lever {}?",
                        lever.name
                    ))
                    .with_hint("name every lever, in a column of its name"));
                }
            }
        }
        Ok(at)
    }

    fn learned(
        &self,
        unknowns: &Unknowns,
        rows: &[Row],
        measured: &[Measured],
        terms: &Terms,
    ) -> Result<Learned> {
        let mut constants: Vec<Constant> = Vec::new();
        let mut k = self.k;
        for (found, travel) in unknowns.constants.iter().zip(TRAVELS) {
            let Some(Found::Learned(ranking)) =
                found.as_ref().filter(|_| self.spoken[index(travel)])
            else {
                continue;
            };
            let (mut what, factor) = self.meaning(travel, k);
            if what == What::Headstock {
                k = Some(ranking.best.value.over(&factor)?);
            }
            let thread = unknowns.constants[0].as_ref().map(Found::value);
            if travel == Travel::LongFeed && thread == Some(ranking.best.value) {
                what = What::HalfNut;
            }
            constants.push(Constant { what, travel, ranking: ranking.clone(), factor });
        }
        let positions = self.positions(unknowns);
        // For judging the rows K x screw is enough: all of it stands in the screw.
        let judged = self.filled(&constants, &positions, true)?;
        let (completed, unwritten) =
            (self.filled(&constants, &positions, false)?, self.unwritten(&constants));
        let judge = Lathe::new(judged)?;
        let check = if rows.is_empty() {
            Check { rows: Vec::new(), groups: Vec::new() }
        } else {
            check(&judge, rows, terms)?
        };
        let holds = measured
            .iter()
            .enumerate()
            .map(|(i, _)| holds(unknowns, i))
            .collect::<Result<Vec<bool>>>()?;
        let shared = unknowns.shared.as_ref().is_none_or(|(_, ranking)| ranking.decided);
        let decided = shared
            && constants.iter().all(|c| c.ranking.decided)
            && positions.iter().all(|p| p.ranking.as_ref().is_none_or(|r| r.decided))
            && holds.iter().all(|h| *h);
        let settle = settle(&judge, &constants, &positions, rows, measured)?;
        Ok(Learned {
            constants,
            positions,
            check,
            measured: holds,
            settle,
            decided,
            parts: completed,
            unwritten,
        })
    }

    fn positions(&self, unknowns: &Unknowns) -> Vec<LearnedPosition> {
        let learned = unknowns.positions.iter().filter_map(|((l, p), found)| {
            let ranking = match found {
                Found::Known(_) => return None,
                Found::Reference => None,
                Found::Learned(ranking) => Some(ranking.clone()),
            };
            let lever = self.levers.get(*l)?;
            let position = lever.positions.get(*p)?.name.clone();
            Some(LearnedPosition { lever: lever.name.clone(), position, ranking })
        });
        learned.collect()
    }

    /// Feeds that can't be written down: only their product with K is known, and K is not.
    fn unwritten(&self, constants: &[Constant]) -> Vec<What> {
        constants
            .iter()
            .map(|c| c.what)
            .filter(|what| matches!(what, What::FeedConstant(_)))
            .collect()
    }

    /// The lathe's parts with what was learned. `judged`: so that every row can be computed, with the
    /// whole constant in the screw where K can't be told apart.
    fn filled(
        &self,
        constants: &[Constant],
        positions: &[LearnedPosition],
        judged: bool,
    ) -> Result<Parts> {
        let mut parts = self.lathe.parts().clone();
        for position in positions {
            set_ratio(&mut parts, self.headstock, position);
        }
        for constant in constants {
            let figure = constant.figure(&constant.ranking.best)?;
            let lead = Lead::new(Length::from_mm(figure));
            match constant.what {
                What::LeadScrew => parts.lead_screw.lead = Some(lead),
                What::Headstock => set_k(&mut parts, figure),
                What::ScrewConstant if judged => {
                    parts.lead_screw.lead = Some(lead);
                    set_k(&mut parts, Ratio::ONE);
                }
                What::ScrewConstant => parts.screw_constant = Some(lead),
                What::Feed(Travel::CrossFeed) => parts.feeds.cross = Some(lead),
                What::Feed(_) => parts.feeds.long = Some(lead),
                What::FeedConstant(travel) if judged => {
                    set_k(&mut parts, Ratio::ONE);
                    match travel {
                        Travel::CrossFeed => parts.feeds.cross = Some(lead),
                        _ => parts.feeds.long = Some(lead),
                    }
                }
                What::FeedConstant(_) | What::HalfNut => {}
            }
        }
        Ok(parts)
    }
}

/// Whether a measurement agrees with what was learned; one that could not be computed does not.
fn holds(unknowns: &Unknowns, index: usize) -> Result<bool> {
    let (Some(hard), Some(constant)) = (unknowns.hard.get(index), &unknowns.constants[0]) else {
        return Ok(false);
    };
    let mut lead = constant.value();
    for at in &hard.at {
        match unknowns.positions.get(at) {
            Some(found) => lead = lead.times(&found.value())?,
            None => return Ok(false),
        }
    }
    Ok(hard.allowed.holds(&lead))
}

fn set_k(parts: &mut Parts, k: Ratio) {
    parts.headstock.iter_mut().for_each(|position| position.ratio = Some(k));
}

fn set_ratio(parts: &mut Parts, headstock: bool, learned: &LearnedPosition) {
    let ratio = Some(learned.ratio());
    if headstock && learned.lever == HEADSTOCK {
        let mut positions = parts.headstock.iter_mut();
        if let Some(position) = positions.find(|p| p.name == learned.position) {
            position.ratio = ratio;
        }
        return;
    }
    let mut levers = parts.gearbox.levers.iter_mut();
    let lever = levers.find(|l| l.name == learned.lever);
    let position = lever.and_then(|l| l.positions.iter_mut().find(|p| p.name == learned.position));
    if let Some(position) = position {
        position.ratio = ratio;
    }
}
