//! The lathe as it stands: lead screw, fixed gearing, levers, gears owned, shafts and studs.
//!
//! It knows what turns what and by how much (all exact); it computes no train and no geometry.
//! A lathe is made from [`Parts`] through [`Lathe::new`], which refuses what contradicts itself
//! and names the key of the lathe file that is at fault.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod bracket;

pub use bracket::{Bracket, FirstShaft, HubRadii, KeepOut, Pivot, Shape, Slot, Spot};

use crate::{Error, GearSet, Hand, Lead, Ratio, Result, Teeth, Train, Travel, Turns, bounds};
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

/// The lead screw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeadScrew {
    /// Carriage travel in one turn; `None` if unknown.
    pub lead: Option<Lead>,
    /// Its own hand.
    pub hand: Hand,
    /// Its own starts: with several, the half nut can close at every pitch.
    pub starts: u8,
}

/// One way in which the spindle drives the first-gear shaft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeadstockPosition {
    /// As it is called on the machine; empty where there is only one.
    pub name: String,
    /// Turns of the first-gear shaft for one turn of the spindle; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// Its sense, tumbler apart.
    pub turns: Turns,
}

/// One position of a lever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeverPosition {
    /// As it is marked on the machine.
    pub name: String,
    /// Turns out for one turn in; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// Its sense.
    pub turns: Turns,
    /// Where it serves threads only or feeds only.
    pub only: Option<Travel>,
}

/// One lever of the gearbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lever {
    /// As it is marked on the machine.
    pub name: String,
    /// Its positions, in the order of the file.
    pub positions: Vec<LeverPosition>,
}

/// Some levers, each in a named position.
pub type When = Vec<(String, String)>;

/// Levers whose joint ratio is not the product of their own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Combination {
    /// The levers it names; their own ratios and senses don't count here, other levers' do.
    pub when: When,
    /// Turns out for one turn in; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// The sense of the levers named, together.
    pub turns: Turns,
}

/// The quick-change gearbox.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Gearbox {
    /// The levers, in the order of the file.
    pub levers: Vec<Lever>,
    /// Combinations that must never be set.
    pub forbidden: Vec<When>,
    /// Combinations that need a last gear of their own.
    pub needs_last: Vec<(When, End)>,
    /// Combinations whose ratio is no product.
    pub combinations: Vec<Combination>,
}

/// Which gears an end shaft takes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum End {
    /// Any gear owned.
    #[default]
    Any,
    /// The machine's own gear, which is none of the owned ones.
    Own(Teeth),
    /// Owned gears of these sizes only.
    Owned(Vec<Teeth>),
}

/// The gear ends.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ends {
    /// The shaft driven by the spindle.
    pub first: End,
    /// The lead screw, or the gearbox input.
    pub last: End,
}

/// Travel for one turn of the lead screw or feed shaft, after the gearbox.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Feeds {
    /// Along the bed; `None`: by half nut on the lead screw.
    pub long: Option<Lead>,
    /// Across the bed; `None`: no figure.
    pub cross: Option<Lead>,
}

/// A half-nut dial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dial {
    /// Teeth of the dial gear.
    pub teeth: u16,
    /// Lines, evenly spaced.
    pub lines: u16,
    /// What stands beside each line.
    pub labels: Vec<String>,
}

/// Spindle speeds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Speeds {
    /// Anything between two speeds.
    Range(RangeInclusive<u32>),
    /// These only.
    List(Vec<u32>),
}

/// The set-up that stands on the machine between jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fitted {
    /// The train.
    pub train: Train,
    /// The levers.
    pub levers: When,
}

/// What a lathe is described by; every field may be set, [`Lathe::new`] checks the whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Parts {
    /// What the person calls it.
    pub name: String,
    /// Anything else.
    pub note: String,
    /// Lead screw.
    pub lead_screw: LeadScrew,
    /// Thread cut with equal gears, in place of headstock ratio and lead screw.
    pub screw_constant: Option<Lead>,
    /// Ways in which the spindle drives the first shaft: at least one.
    pub headstock: Vec<HeadstockPosition>,
    /// Tumbler positions with their senses; empty: no tumbler.
    pub tumbler: Vec<(String, Turns)>,
    /// Gears owned.
    pub gears: GearSet,
    /// Studs that can stand on the bracket.
    pub studs: u8,
    /// Whether `studs` was stated (else it is the one that every bracket has).
    pub studs_stated: bool,
    /// Keyed sleeves, so pairs that can stand at once; `None`: as many as studs.
    pub sleeves: Option<u8>,
    /// What the end shafts take.
    pub ends: Ends,
    /// What stands on it between jobs.
    pub fitted: Option<Fitted>,
    /// Gearbox; no levers: none.
    pub gearbox: Gearbox,
    /// Power feeds.
    pub feeds: Feeds,
    /// Whether there is a half nut.
    pub half_nut: bool,
    /// Whether the motor can be reversed.
    pub reverse: bool,
    /// Half-nut dials, exchangeable.
    pub dials: Vec<Dial>,
    /// Spindle speeds, where known.
    pub speeds: Option<Speeds>,
    /// The bracket, where it has been measured.
    pub bracket: Option<Bracket>,
}

impl Parts {
    /// The least that says something: a box of gears and a lead screw driven one to one, one stud,
    /// senses unknown.
    pub fn plain(gears: GearSet, lead: Lead) -> Self {
        Self {
            name: String::new(),
            note: String::new(),
            lead_screw: LeadScrew { lead: Some(lead), hand: Hand::Right, starts: 1 },
            screw_constant: None,
            headstock: vec![HeadstockPosition {
                name: String::new(),
                ratio: Some(Ratio::ONE),
                turns: Turns::Unknown,
            }],
            tumbler: Vec::new(),
            gears,
            studs: 1,
            studs_stated: false,
            sleeves: None,
            ends: Ends::default(),
            fitted: None,
            gearbox: Gearbox::default(),
            feeds: Feeds::default(),
            half_nut: true,
            reverse: true,
            dials: Vec::new(),
            speeds: None,
            bracket: None,
        }
    }
}

/// All levers and the headstock in one position each: what multiplies the train's ratio.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Setting {
    /// Index of the headstock position.
    pub headstock: usize,
    /// Index of the position of each lever, in the order of the levers.
    pub levers: Vec<usize>,
    /// Travel per spindle turn with equal gears: screw (or feed) x K x G, in mm.
    pub constant: Lead,
    /// Sense of headstock, levers and the screw's own hand together; tumbler and train apart.
    pub turns: Turns,
    /// What the last shaft takes in this setting.
    pub last: End,
}

/// Every allowed setting, and how many were left out.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Settings {
    /// The allowed ones, in the order of the file: headstock first, then lever by lever.
    pub list: Vec<Setting>,
    /// Left out since a ratio is unknown.
    pub unknown: usize,
    /// Left out since they are forbidden.
    pub forbidden: usize,
}

/// A lathe that has been checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lathe {
    parts: Parts,
}

impl Lathe {
    /// Checks the parts.
    ///
    /// # Errors
    /// With the key of the lathe file at fault: levers or positions named twice or not known,
    /// two rules that contradict each other, a constant that is too large, a bad gear box.
    pub fn new(parts: Parts) -> Result<Self> {
        bounds::STUDS.check(parts.studs.into()).map_err(|e| e.at("studs"))?;
        bounds::STARTS
            .check(parts.lead_screw.starts.into())
            .map_err(|e| e.context("lead screw").at("lead_screw.starts"))?;
        parts.gears.check().map_err(|e| e.at("gears"))?;
        unique(
            "headstock.positions",
            "headstock position",
            parts.headstock.iter().map(|p| &p.name),
        )?;
        unique("headstock.tumbler", "tumbler position", parts.tumbler.iter().map(|p| &p.0))?;
        if parts.headstock.is_empty() {
            return Err(Error::conflict("the headstock has no position").at("headstock.positions"));
        }
        let gearbox = &parts.gearbox;
        bounds::LEVERS.check(gearbox.levers.len() as u64).map_err(|e| e.at("gearbox.levers"))?;
        unique("gearbox.levers", "lever", gearbox.levers.iter().map(|l| &l.name))?;
        for (i, lever) in gearbox.levers.iter().enumerate() {
            let path = format!("gearbox.levers[{i}]");
            if lever.positions.is_empty() {
                return Err(Error::conflict(format!("lever {} has no position", lever.name))
                    .with_hint("{\"A\": \"1\", \"B\": \"1/2\"}")
                    .at(format!("{path}.positions")));
            }
            unique(
                &format!("{path}.positions"),
                "position",
                lever.positions.iter().map(|p| &p.name),
            )?;
        }
        if let Some(bracket) = &parts.bracket {
            bracket
                .check(parts.studs)
                .and_then(|()| bracket.steps_per_mm(&parts.gears).map(drop))
                .map_err(|e| e.at("bracket"))?;
        }
        let lathe = Self { parts };
        lathe.check_lever_rules()?;
        lathe.check_ends()?;
        for (i, dial) in lathe.parts.dials.iter().enumerate() {
            check_dial(dial).map_err(|e| e.at(format!("dial[{i}]")))?;
        }
        // Unknown figures are legal in a file; everything else must compute.
        for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
            match lathe.settings(travel) {
                Err(e) if e.is_unknown() || e.is_no_such() => {}
                other => drop(other?),
            }
        }
        Ok(lathe)
    }

    /// What it was made from.
    pub const fn parts(&self) -> &Parts {
        &self.parts
    }

    /// Pairs that can stand at once: as many as there are studs and sleeves.
    pub fn pairs_at_once(&self) -> usize {
        self.parts.sleeves.unwrap_or(self.parts.studs).min(self.parts.studs).into()
    }

    /// Names of the lever positions of a setting, lever first.
    pub fn lever_names<'a>(
        &'a self,
        setting: &'a Setting,
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.parts.gearbox.levers.iter().zip(&setting.levers).filter_map(|(lever, at)| {
            Some((lever.name.as_str(), lever.positions.get(*at)?.name.as_str()))
        })
    }

    /// Name of the headstock position of a setting, where there are several.
    pub fn headstock_name(&self, setting: &Setting) -> Option<&str> {
        self.parts
            .headstock
            .get(setting.headstock)
            .map(|p| p.name.as_str())
            .filter(|n| !n.is_empty())
    }

    /// Travel per turn of the lead screw or feed shaft.
    fn travel_figure(&self, travel: Travel) -> Result<Lead> {
        let parts = &self.parts;
        let feed = match travel {
            Travel::Thread => None,
            Travel::LongFeed => parts.feeds.long,
            Travel::CrossFeed => Some(parts.feeds.cross.ok_or_else(|| {
                Error::no_such("the lathe's cross feed is not described")
                    .with_hint("feeds.cross: cross travel for one turn of the lead screw or feed shaft, such as \"0.25 mm\"")
                    .at("feeds")
            })?),
        };
        feed.or(parts.lead_screw.lead).ok_or_else(|| {
            Error::unknown("the lead of the lead screw is unknown")
                .with_hint(
                    "count its threads in one inch (\"8 tpi\") or measure ten of them (\"3 mm\")",
                )
                .at("lead_screw.lead")
        })
    }

    /// Every allowed setting for a kind of travel.
    ///
    /// # Errors
    /// If nothing is known that a train could be computed from, if there are too many settings,
    /// or a constant is too large.
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
        bounds::SETTINGS.check(count as u64).map_err(|e| e.at("gearbox.levers"))?;
        let mut found = Settings { list: Vec::new(), unknown: 0, forbidden: 0 };
        for (h, position) in parts.headstock.iter().enumerate() {
            let mut at = vec![0_usize; levers.len()];
            loop {
                self.add_setting(
                    &mut found,
                    travel,
                    h,
                    position,
                    &at,
                    &figure,
                    by_constant.is_some(),
                )?;
                // Count up, the last lever fastest.
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
        if !found.list.is_empty() {
            return Ok(found);
        }
        Err(if found.unknown > 0 {
            let k_unknown =
                parts.headstock.iter().all(|p| p.ratio.is_none()) && by_constant.is_none();
            let path = if k_unknown { "headstock.ratio" } else { "gearbox" };
            Error::unknown(if k_unknown {
                "how fast the spindle drives the first gear is unknown"
            } else {
                "every lever position has an unknown ratio"
            })
            .with_hint("mark the chuck and the first gear, turn the chuck by hand and count: \"1\", \"1/2\"")
            .at(path)
        } else {
            Error::no_such("no lever position serves this").at("gearbox")
        })
    }

    #[expect(clippy::too_many_arguments, reason = "one private step of `settings`")]
    fn add_setting(
        &self,
        found: &mut Settings,
        travel: Travel,
        headstock: usize,
        position: &HeadstockPosition,
        at: &[usize],
        figure: &Lead,
        by_constant: bool,
    ) -> Result<()> {
        let gearbox = &self.parts.gearbox;
        let positions: Vec<&LeverPosition> =
            gearbox.levers.iter().zip(at).map(|(l, &i)| &l.positions[i]).collect();
        let serves = |only: Option<Travel>| {
            only.is_none_or(|o| o == travel || (o.is_feed() && travel.is_feed()))
        };
        if !positions.iter().all(|p| serves(p.only)) {
            return Ok(());
        }
        let matches = |when: &When| {
            when.iter().all(|(lever, name)| {
                gearbox
                    .levers
                    .iter()
                    .zip(&positions)
                    .any(|(l, p)| l.name == *lever && p.name == *name)
            })
        };
        if gearbox.forbidden.iter().any(matches) {
            found.forbidden = found.forbidden.saturating_add(1);
            return Ok(());
        }
        // Ratios: a combination stands in for the levers that it names.
        let active: Vec<&Combination> =
            gearbox.combinations.iter().filter(|c| matches(&c.when)).collect();
        let named =
            |lever: &Lever| active.iter().any(|c| c.when.iter().any(|(n, _)| *n == lever.name));
        let own = gearbox
            .levers
            .iter()
            .zip(&positions)
            .filter(|(l, _)| !named(l))
            .map(|(_, p)| (p.ratio, p.turns));
        let joint = active.iter().map(|c| (c.ratio, c.turns));
        // With the screw constant the headstock's ratio is inside it, its sense is not.
        let head = (if by_constant { Some(Ratio::ONE) } else { position.ratio }, position.turns);
        let screw = match self.parts.lead_screw.hand {
            Hand::Right => Turns::Same,
            Hand::Left => Turns::Opposite,
        };
        let mut constant = Some(*figure);
        let mut turns = screw;
        for (ratio, sense) in std::iter::once(head).chain(own).chain(joint) {
            constant = match (constant, ratio) {
                (Some(c), Some(r)) => Some(
                    c.times(&r).map_err(|_| self.too_large("lead screw x headstock x gearbox"))?,
                ),
                _ => None,
            };
            turns = turns.then(sense);
        }
        let Some(constant) = constant else {
            found.unknown = found.unknown.saturating_add(1);
            return Ok(());
        };
        if !constant.mm().fits(bounds::CONSTANT_BITS) {
            return Err(self.too_large(&format!("lead screw x headstock x gearbox, {constant},")));
        }
        let mut last = &self.parts.ends.last;
        let mut needed =
            gearbox.needs_last.iter().filter(|(when, _)| matches(when)).map(|(_, end)| end);
        if let Some(end) = needed.next() {
            if needed.any(|other| other != end) {
                return Err(Error::conflict(
                    "two rules ask for different last gears in one lever position",
                )
                .with_hint("let one of them name more levers, or forbid that position")
                .at("gearbox.needs_last"));
            }
            last = end;
        }
        found.list.push(Setting {
            headstock,
            levers: at.to_vec(),
            constant,
            turns,
            last: last.clone(),
        });
        Ok(())
    }

    fn too_large(&self, what: &str) -> Error {
        let path = if self.parts.gearbox.levers.is_empty() { "headstock" } else { "gearbox" };
        Error::too_large(what).with_hint("simpler ratios").at(path)
    }

    fn check_when(&self, when: &When) -> Result<()> {
        let levers = &self.parts.gearbox.levers;
        if when.is_empty() {
            return Err(Error::conflict("names no lever").with_hint("such as {\"Range\": \"A\"}"));
        }
        for (name, position) in when {
            let list = |names: Vec<&str>| names.join(", ");
            let lever = levers.iter().find(|l| l.name == *name).ok_or_else(|| {
                Error::no_such(format!("there is no lever {name}")).with_hint(format!(
                    "levers: {}",
                    list(levers.iter().map(|l| l.name.as_str()).collect())
                ))
            })?;
            if !lever.positions.iter().any(|p| p.name == *position) {
                let known = list(lever.positions.iter().map(|p| p.name.as_str()).collect());
                return Err(Error::no_such(format!("lever {name} has no position {position}"))
                    .with_hint(format!("positions: {known}")));
            }
        }
        Ok(())
    }

    fn check_lever_rules(&self) -> Result<()> {
        let gearbox = &self.parts.gearbox;
        let at = |path: String| move |e: Error| e.at(path);
        for (i, when) in gearbox.forbidden.iter().enumerate() {
            self.check_when(when).map_err(at(format!("gearbox.forbidden[{i}]")))?;
        }
        for (i, (when, _)) in gearbox.needs_last.iter().enumerate() {
            self.check_when(when).map_err(at(format!("gearbox.needs_last[{i}].when")))?;
        }
        for (i, combination) in gearbox.combinations.iter().enumerate() {
            let path = format!("gearbox.combinations[{i}].when");
            self.check_when(&combination.when).map_err(at(path.clone()))?;
            // Two that can hold at once must not speak of the same lever.
            for other in &gearbox.combinations[..i] {
                let shared =
                    |w: &When| w.iter().any(|(n, _)| other.when.iter().any(|(m, _)| n == m));
                let clash = |w: &When| {
                    w.iter().any(|(n, p)| other.when.iter().any(|(m, q)| n == m && p != q))
                };
                if shared(&combination.when) && !clash(&combination.when) {
                    return Err(Error::conflict(
                        "two combinations can hold at once and name the same lever",
                    )
                    .with_hint("let each name all the levers that it depends on")
                    .at(path));
                }
            }
        }
        if let Some(fitted) = self.parts.fitted.as_ref().filter(|f| !f.levers.is_empty()) {
            self.check_when(&fitted.levers).map_err(at("fitted.levers".into()))?;
        }
        Ok(())
    }

    fn check_ends(&self) -> Result<()> {
        let owned = |end: &End, first: bool| -> Result<()> {
            let End::Owned(list) = end else { return Ok(()) };
            if list.is_empty() {
                return Err(Error::conflict("an empty list leaves no gear for this shaft")
                    .with_hint("\"any\", or the sizes that go on"));
            }
            for teeth in list {
                let place = if first { crate::Place::First } else { crate::Place::Last };
                if !self.parts.gears.all().any(|g| g.teeth == *teeth && g.places.allow(place)) {
                    return Err(Error::no_such(format!(
                        "{teeth} is none of the gears owned that go there"
                    ))
                    .with_hint(
                        "a list names owned gears; a single number is the machine's own gear",
                    ));
                }
            }
            Ok(())
        };
        owned(&self.parts.ends.first, true).map_err(|e| e.at("ends.first"))?;
        owned(&self.parts.ends.last, false).map_err(|e| e.at("ends.last"))?;
        for (i, (_, end)) in self.parts.gearbox.needs_last.iter().enumerate() {
            owned(end, false).map_err(|e| e.at(format!("gearbox.needs_last[{i}].last")))?;
        }
        Ok(())
    }
}

fn check_dial(dial: &Dial) -> Result<()> {
    bounds::DIAL_TEETH.check(dial.teeth.into()).map_err(|e| e.at("teeth"))?;
    if dial.lines == 0 || dial.lines > dial.teeth {
        return Err(Error::conflict(format!(
            "a dial of {} teeth can't have {} lines",
            dial.teeth, dial.lines
        ))
        .at("lines"));
    }
    if !dial.labels.is_empty() && dial.labels.len() != usize::from(dial.lines) {
        return Err(Error::conflict(format!(
            "{} labels for {} lines",
            dial.labels.len(),
            dial.lines
        ))
        .with_hint("one label a line, or none")
        .at("labels"));
    }
    Ok(())
}

fn unique<'a>(path: &str, what: &str, names: impl Iterator<Item = &'a String>) -> Result<()> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name) {
            return Err(Error::conflict(format!("{what} {name} stands here twice"))
                .with_hint("each name once")
                .at(path));
        }
    }
    Ok(())
}
