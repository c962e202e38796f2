//! Which ratio, direction and last gear has each position of the levers?

use super::{Combination, End, HeadstockPosition, Lathe, Lever, LeverPosition, When};
use crate::{Error, Fix, Hand, Lead, Ratio, Result, Travel, Turns, Where, bounds};

/// All levers and the headstock in one position each.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Setting {
    /// Index of the headstock position.
    pub headstock: usize,
    /// Index of the position of each lever, in the order of the levers.
    pub levers: Vec<usize>,
    /// Travel per spindle turn with equal gears: screw (or feed) x K x G, in mm.
    pub constant: Lead,
    /// Direction of headstock, levers and the screw's own hand together; tumbler and train apart.
    pub turns: Turns,
    /// The gear that the driven shaft takes in this setting.
    pub last: End,
}

/// Every allowed setting, and the number of those left out.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Settings {
    /// The allowed ones, in the order of the file: headstock first, then lever by lever.
    pub list: Vec<Setting>,
    /// Number left out with an unknown ratio.
    pub unknown: usize,
    /// Number left out as forbidden.
    pub forbidden: usize,
}

impl Lathe {
    /// Travel per turn of the lead screw or feed shaft.
    fn travel_figure(&self, travel: Travel) -> Result<Lead> {
        let parts = &self.parts;
        let feed = match travel {
            Travel::Thread => None,
            Travel::LongFeed => parts.feeds.long,
            Travel::CrossFeed => Some(parts.feeds.cross.ok_or_else(|| {
                Error::no_such("the lathe's cross feed is not described")
                    .with_fix(Fix::CrossFeed)
                    .at(&[Where::Feeds])
            })?),
        };
        feed.or(parts.lead_screw.lead).ok_or_else(|| {
            Error::unknown("the lead of the lead screw is unknown")
                .with_hint(
                    "count its threads in one inch (\"8 tpi\") or measure ten of them (\"3 mm\")",
                )
                .at(&[Where::LeadScrew, Where::Lead])
        })
    }

    /// Every allowed setting for a kind of travel.
    ///
    /// # Errors
    /// If nothing is known from which a train could be computed, if there are too many settings, or
    /// a constant is too large.
    pub fn settings(&self, travel: Travel) -> Result<Settings> {
        let parts = &self.parts;
        let by_constant = parts.screw_constant.filter(|_| {
            travel == Travel::Thread || (travel == Travel::LongFeed && parts.feeds.long.is_none())
        });
        let figure = match by_constant {
            Some(constant) => constant,
            None => self.travel_figure(travel)?,
        };
        let levers = &parts.gearbox.levers;
        let count = levers
            .iter()
            .map(|l| l.positions.len())
            .try_fold(parts.headstock.len(), usize::checked_mul)
            .unwrap_or(usize::MAX);
        bounds::SETTINGS.check(count as u64).map_err(|e| e.at(&[Where::Gearbox, Where::Levers]))?;
        let mut found = Settings { list: Vec::new(), unknown: 0, forbidden: 0 };
        let question = Question { lathe: self, travel, figure, by_constant: by_constant.is_some() };
        for (h, position) in parts.headstock.iter().enumerate() {
            let mut at = vec![0_usize; levers.len()];
            loop {
                question.add(&mut found, h, position, &at)?;
                // Counts up, the last lever fastest.
                let Some(turn) = (0..levers.len())
                    .rev()
                    .find(|&i| at[i].saturating_add(1) < levers[i].positions.len())
                else {
                    break;
                };
                at[turn] = at[turn].saturating_add(1);
                at[turn.saturating_add(1)..].fill(0);
            }
        }
        if found.list.is_empty() { Err(question.no_setting(&found)) } else { Ok(found) }
    }

    fn too_large(&self, what: &str) -> Error {
        let plain = self.parts.gearbox.levers.is_empty();
        let place = if plain { Where::Headstock } else { Where::Gearbox };
        Error::too_large(what).with_hint("simpler ratios").at(&[place])
    }
}

/// One kind of travel on a lathe.
struct Question<'l> {
    lathe: &'l Lathe,
    travel: Travel,
    /// Travel per turn of the lead screw or feed shaft; with a screw constant, of the spindle.
    figure: Lead,
    by_constant: bool,
}

impl Question<'_> {
    /// Why no position of the levers works.
    fn no_setting(&self, found: &Settings) -> Error {
        if found.unknown == 0 {
            return Error::no_such("no lever position gives this travel").at(&[Where::Gearbox]);
        }
        let headstock = &self.lathe.parts.headstock;
        let (message, place): (_, &[Where]) =
            if !self.by_constant && headstock.iter().all(|p| p.ratio.is_none()) {
                let message = "how fast the spindle drives the driving gear is unknown";
                (message, &[Where::Headstock, Where::Ratio])
            } else {
                ("every lever position has an unknown ratio", &[Where::Gearbox])
            };
        let hint =
            "mark the chuck and the driving gear, turn the chuck by hand and count: \"1\", \"1/2\"";
        Error::unknown(message).with_hint(hint).at(place)
    }

    /// Adds the setting of one position of headstock and levers, or counts the reason against it.
    fn add(
        &self,
        found: &mut Settings,
        headstock: usize,
        position: &HeadstockPosition,
        at: &[usize],
    ) -> Result<()> {
        let gearbox = &self.lathe.parts.gearbox;
        let positions: Vec<&LeverPosition> =
            gearbox.levers.iter().zip(at).map(|(l, &i)| &l.positions[i]).collect();
        if !positions.iter().all(|p| self.is_served_by(p.only)) {
            return Ok(());
        }
        let stands = |(lever, name): &(String, String)| {
            let mut set = gearbox.levers.iter().zip(&positions);
            set.any(|(l, p)| l.name == *lever && p.name == *name)
        };
        let matches = |when: &When| when.iter().all(stands);
        if gearbox.forbidden.iter().any(matches) {
            found.forbidden = found.forbidden.saturating_add(1);
            return Ok(());
        }
        let (constant, turns) = self.ratio_and_sense(position, &positions, matches)?;
        let Some(constant) = constant else {
            found.unknown = found.unknown.saturating_add(1);
            return Ok(());
        };
        if !constant.mm().fits(bounds::CONSTANT_BITS) {
            let what = format!("lead screw x headstock x gearbox, {constant},");
            return Err(self.lathe.too_large(&what));
        }
        let last = self.last_gear(matches)?.clone();
        found.list.push(Setting { headstock, levers: at.to_vec(), constant, turns, last });
        Ok(())
    }

    fn is_served_by(&self, only: Option<Travel>) -> bool {
        only.is_none_or(|o| o == self.travel || (o.is_feed() && self.travel.is_feed()))
    }

    /// A combination replaces the levers that it names; `None`: some ratio is unknown.
    fn ratio_and_sense(
        &self,
        position: &HeadstockPosition,
        positions: &[&LeverPosition],
        matches: impl Fn(&When) -> bool,
    ) -> Result<(Option<Lead>, Turns)> {
        let gearbox = &self.lathe.parts.gearbox;
        let active: Vec<&Combination> =
            gearbox.combinations.iter().filter(|c| matches(&c.when)).collect();
        let named =
            |lever: &Lever| active.iter().any(|c| c.when.iter().any(|(n, _)| *n == lever.name));
        let own = gearbox.levers.iter().zip(positions).filter(|(l, _)| !named(l));
        let own = own.map(|(_, p)| (p.ratio, p.turns));
        let joint = active.iter().map(|c| (c.ratio, c.turns));
        // The screw constant includes the headstock's ratio, but not its direction.
        let ratio = if self.by_constant { Some(Ratio::ONE) } else { position.ratio };
        let head = (ratio, position.turns);
        let mut constant = Some(self.figure);
        let mut turns = match self.lathe.parts.lead_screw.hand {
            Hand::Right => Turns::Same,
            Hand::Left => Turns::Opposite,
        };
        let too_large = |_| self.lathe.too_large("lead screw x headstock x gearbox");
        for (ratio, sense) in std::iter::once(head).chain(own).chain(joint) {
            constant = match (constant, ratio) {
                (Some(c), Some(r)) => Some(c.times(&r).map_err(too_large)?),
                _ => None,
            };
            turns = turns.then(sense);
        }
        Ok((constant, turns))
    }

    /// The gears that the driven shaft takes.
    fn last_gear(&self, matches: impl Fn(&When) -> bool) -> Result<&End> {
        let parts = &self.lathe.parts;
        let needed = parts.gearbox.needs_last.iter().filter(|(when, _)| matches(when));
        let mut needed = needed.map(|(_, end)| end);
        let Some(end) = needed.next() else { return Ok(&parts.ends.last) };
        if needed.any(|other| other != end) {
            return Err(Error::conflict(
                "two rules ask for different last gears in one lever position",
            )
            .with_hint("let one of them name more levers, or forbid that position")
            .at(&[Where::Gearbox, Where::NeedsLast]));
        }
        Ok(end)
    }
}
