//! What is unknown of a lathe, by its description and its chart?

use super::constant::Says;
use super::interval::held;
use super::learned::What;
use super::levers::{Found, Hard, Item, Unknowns};
use super::measured::Measured;
use super::reading::{Kind, Reading};
use super::row::ChartRow;
use super::verdict::{AllowedErrors, HEADSTOCK};
use crate::{
    Error, Fix, HeadstockPosition, Lathe, Lead, Lever, LeverPosition, Ratio, Result, Travel, When,
    Where,
};
use std::collections::BTreeMap;

pub(super) const TRAVELS: [Travel; 3] = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];

pub(super) fn index(travel: Travel) -> usize {
    TRAVELS.iter().position(|t| *t == travel).unwrap_or(0)
}

/// The lathe with its headstock as one more lever, where that has several positions.
pub(super) struct HalfKnown<'l> {
    pub(super) lathe: &'l Lathe,
    pub(super) levers: Vec<Lever>,
    /// Whether the first of the levers is the headstock.
    pub(super) headstock: bool,
    /// K, where the headstock has one position.
    pub(super) k: Option<Ratio>,
    /// Kinds of travel that rows and measurements tell of.
    pub(super) spoken: [bool; 3],
}

impl<'l> HalfKnown<'l> {
    pub(super) fn new(lathe: &'l Lathe, rows: &[ChartRow], measured: &[Measured]) -> Self {
        let parts = lathe.parts();
        let mut levers = parts.gearbox.levers.clone();
        let headstock = parts.headstock.len() > 1 && !levers.iter().any(|l| l.name == HEADSTOCK);
        if headstock {
            let position = |p: &HeadstockPosition| LeverPosition {
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

    /// The constant of a kind of travel, where known; a feed without a figure is unknown.
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

    /// Known feeds over the known screw, where only K is unknown; a feed known by itself depends on
    /// nothing.
    fn ties(&self) -> [Option<Ratio>; 3] {
        let parts = self.lathe.parts();
        let tie = |feed: Option<Lead>| {
            let screw = parts.lead_screw.lead.filter(|_| self.k.is_none())?;
            feed?.mm().over(&screw.mm()).ok()
        };
        [None, tie(parts.feeds.long), tie(parts.feeds.cross)]
    }

    /// The meaning of a learned constant, and the known factor in it. `k`: K as far as it is known
    /// by then.
    pub(super) fn meaning(&self, travel: Travel, k: Option<Ratio>) -> (What, Ratio) {
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

    pub(super) fn unknowns(
        &self,
        rows: &[ChartRow],
        measured: &[Measured],
        terms: &AllowedErrors,
    ) -> Result<Unknowns> {
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
            ties: self.ties(),
            positions,
            shared: None,
        };
        for (known, travel) in unknowns.constants.iter_mut().zip(TRAVELS) {
            *known = self.known(travel)?.map(Found::Known);
        }
        for (i, row) in rows.iter().enumerate() {
            if let Some(item) =
                self.item(row, terms).map_err(|e| e.at(&[Where::Rows, Where::Item(i)]))?
            {
                unknowns.items.push(item);
            }
        }
        for (i, cut) in measured.iter().enumerate() {
            unknowns
                .hard
                .push(self.hard(cut).map_err(|e| e.at(&[Where::Measured, Where::Item(i)]))?);
        }
        Ok(unknowns)
    }

    /// One row for the unknowns; `None`: a combination of levers replaces their ratios, or the
    /// numbers are out of all bounds.
    fn item(&self, row: &ChartRow, terms: &AllowedErrors) -> Result<Option<Item>> {
        let at = self.engaged(&row.levers, row.printed.travel())?;
        if self.is_combination(&row.levers) {
            return Ok(None);
        }
        let standing = self.lathe.parts().fitted.as_ref().map(|fitted| &fitted.train);
        let ratio = row.ratio(standing);
        let approximation = row.within.unwrap_or(terms.thread);
        let says =
            Says { allowed: row.printed.allows(&approximation)?, exact: row.printed.exactly()? };
        let says = held(says.over(&ratio))?;
        Ok(says.map(|says| Item { travel: index(row.printed.travel()), says, at }))
    }

    fn hard(&self, cut: &Measured) -> Result<Hard> {
        let fitted = self.lathe.parts().fitted.as_ref();
        let train = cut.gears.as_ref().map(|gears| &gears.train).or(fitted.map(|f| &f.train));
        let Some(train) = train else {
            return Err(Error::unknown("which gears were on the machine?")
                .with_hint(format!("{} with 40-40", cut.text())));
        };
        let at = self.engaged(&cut.levers, Travel::Thread)?;
        Ok(Hard { travel: 0, allowed: cut.lead()?.over(&train.ratio())?, at })
    }

    fn is_combination(&self, levers: &When) -> bool {
        self.lathe
            .parts()
            .gearbox
            .combinations
            .iter()
            .any(|c| c.when.iter().all(|w| levers.contains(w)))
    }

    /// Index of lever and position for each lever: the named position, else the only one for this
    /// travel, else that of the fitted set-up.
    fn engaged(&self, named: &When, travel: Travel) -> Result<Vec<(usize, usize)>> {
        if let Some((lever, _)) =
            named.iter().find(|(lever, _)| !self.levers.iter().any(|l| l.name == *lever))
        {
            let wrong = Error::no_such(format!("the lathe has no lever {lever}"));
            let known = names(self.levers.iter().map(|l| &l.name));
            return Err(if known.is_empty() {
                wrong.with_fix(Fix::Levers)
            } else {
                wrong.with_hint(format!("levers: {known}"))
            });
        }
        let position = |(l, lever)| Ok((l, self.position(lever, named, travel)?));
        self.levers.iter().enumerate().map(position).collect()
    }

    /// The engaged position of one lever.
    fn position(&self, lever: &Lever, named: &When, travel: Travel) -> Result<usize> {
        let said =
            |when: &When| when.iter().find(|(name, _)| *name == lever.name).map(|(_, p)| p.clone());
        let index = |name: String| lever.positions.iter().position(|p| p.name == name);
        if let Some(name) = said(named) {
            return index(name.clone()).ok_or_else(|| {
                Error::no_such(format!("lever {} has no position {name}", lever.name)).with_hint(
                    format!("positions: {}", names(lever.positions.iter().map(|p| &p.name))),
                )
            });
        }
        let allowed = |p: &LeverPosition| {
            p.only.is_none_or(|o| o == travel || (o.is_feed() && travel.is_feed()))
        };
        let open: Vec<usize> = (0..lever.positions.len())
            .filter(|p| lever.positions.get(*p).is_some_and(allowed))
            .collect();
        if let [only] = open[..] {
            return Ok(only);
        }
        let fitted = self.lathe.parts().fitted.as_ref();
        let fitted = fitted.and_then(|f| said(&f.levers)).and_then(index);
        fitted.filter(|p| open.contains(p)).ok_or_else(|| {
            Error::unknown(format!("in which position is lever {}?", lever.name))
                .with_hint("name every lever, in a column of its name")
        })
    }
}

fn names<'a>(list: impl Iterator<Item = &'a String>) -> String {
    list.map(String::as_str).collect::<Vec<_>>().join(", ")
}
