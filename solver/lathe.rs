//! What drives what on this lathe? Lead screw, fixed gearing, levers, owned gears, shafts and studs.
//!
//! All ratios are exact; trains and geometry are worked out elsewhere. [`Lathe::new`] makes a lathe from
//! [`Parts`]. It refuses parts that contradict each other, and names the key of the lathe file at fault.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod bracket;
mod checks;
mod give;
mod given;
mod now;
mod restore;
mod sense;
mod settings;
mod shafts;

pub use bracket::{Bracket, FirstShaft, HubRadii, KeepOut, Pivot, Shape, Slot, Spot};
pub use given::{Given, Lack, Origin};
pub use restore::{Control, Restored};
pub use sense::{Cuts, Either};
pub use settings::{Setting, Settings};
pub(crate) use shafts::Counted;
pub use shafts::{LeastClearance, ShaftClearance, TooNear};

use crate::{GearSet, Hand, Lead, Ratio, Result, Teeth, Train, Travel, Turns, Where};
use checks::check_dial;
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

impl LeadScrew {
    /// Whether it turns faster than the spindle for this lead, where its own is known. The gears
    /// then carry more than they are made for. Exact.
    ///
    /// ```
    /// use solver::{Hand, Lead, LeadScrew};
    /// let lead = Some(Lead::from_tpi("8".parse()?)?);
    /// let screw = LeadScrew { lead, hand: Hand::Right, starts: 1 };
    /// // 8 TPI are 3.175 mm.
    /// assert!(!screw.outruns(&Lead::new("3.175 mm".parse()?)));
    /// assert!(screw.outruns(&Lead::new("3.176 mm".parse()?)));
    /// // Module 1 is 3.1416 mm, 1.02 is 3.2044 mm.
    /// assert!(!screw.outruns(&Lead::times_pi("1 mm".parse()?)));
    /// assert!(screw.outruns(&Lead::times_pi("1.02 mm".parse()?)));
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn outruns(&self, lead: &Lead) -> bool {
        self.lead.is_some_and(|own| *lead > own)
    }

    /// Whether its lead is an inch or more, as on no lathe (common practice, no source): threads per
    /// inch were probably read as inches.
    pub fn is_doubtful(&self) -> bool {
        const INCH: Ratio = Ratio::table(127, 5);
        self.lead.is_some_and(|lead| lead.mm() >= INCH)
    }
}

/// One way in which the spindle drives the first-gear shaft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeadstockPosition {
    /// Its name on the machine; empty where there is only one.
    pub name: String,
    /// Turns of the first-gear shaft for one turn of the spindle; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// Its direction, tumbler apart.
    pub turns: Turns,
}

/// One position of a lever.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct LeverPosition {
    /// Its mark on the machine.
    pub name: String,
    /// Turns out for one turn in; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// Its direction.
    pub turns: Turns,
    /// The kind of travel, if it works for threads only or feeds only.
    pub only: Option<Travel>,
}

impl LeverPosition {
    /// A position for threads and feeds alike.
    pub const fn new(name: String, ratio: Option<Ratio>, turns: Turns) -> Self {
        Self { name, ratio, turns, only: None }
    }

    /// For threads only, or for feeds only.
    pub const fn with_only(mut self, only: Option<Travel>) -> Self {
        self.only = only;
        self
    }
}

/// One lever of the gearbox.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lever {
    /// Its mark on the machine.
    pub name: String,
    /// Its positions, in the order of the file.
    pub positions: Vec<LeverPosition>,
}

/// Some levers, each in a named position.
pub type When = Vec<(String, String)>;

/// Levers with a joint ratio that is not the product of their own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Combination {
    /// The levers that it names; it replaces their own ratios and directions.
    pub when: When,
    /// Turns out for one turn in; `None` if unknown.
    pub ratio: Option<Ratio>,
    /// The direction of these levers, together.
    pub turns: Turns,
}

/// The quick-change gearbox.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Gearbox {
    /// The levers, in the order of the file.
    pub levers: Vec<Lever>,
    /// Combinations that must never be set.
    pub forbidden: Vec<When>,
    /// Combinations that need their own last gear.
    pub needs_last: Vec<(When, End)>,
    /// Combinations with a ratio that is not the product.
    pub combinations: Vec<Combination>,
}

/// Which gears an end shaft takes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub enum End {
    /// Any gear owned.
    #[default]
    Any,
    /// The machine's own gear, not in the box.
    Own(Teeth),
    /// Owned gears of these sizes only.
    Owned(Vec<Teeth>),
}

impl End {
    /// Whether the shaft takes a gear of this size: the machine's own or one of the owned ones.
    pub fn takes(&self, teeth: Teeth) -> bool {
        match self {
            Self::Any => true,
            Self::Own(own) => *own == teeth,
            Self::Owned(list) => list.contains(&teeth),
        }
    }
}

/// The gear ends.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ends {
    /// The shaft driven by the spindle.
    pub first: End,
    /// The lead screw, or the gearbox shaft.
    pub last: End,
}

/// Travel for one turn of the lead screw or feed shaft, after the gearbox.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Feeds {
    /// Along the bed; `None`: by half nut on the lead screw.
    pub long: Option<Lead>,
    /// Across the bed; `None`: no figure.
    pub cross: Option<Lead>,
}

/// A thread dial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dial {
    /// Teeth of the dial gear.
    pub teeth: u16,
    /// Lines, evenly spaced.
    pub lines: u16,
    /// The mark beside each line.
    pub labels: Vec<String>,
}

/// Spindle speeds.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Speeds {
    /// Any speed between two limits.
    Range(RangeInclusive<u32>),
    /// These speeds only.
    List(Vec<u32>),
}

/// A whole set-up, such as that on the machine between jobs.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Fitted {
    /// The train.
    pub train: Train,
    /// The levers; one without a name here is unknown.
    pub levers: When,
    /// Position of the headstock; `None`: unknown, or there is only one.
    pub headstock: Option<String>,
    /// Position of the tumbler; `None`: unknown, or there is none.
    pub tumbler: Option<String>,
}

impl Fitted {
    /// A train with levers; the rest unknown.
    pub const fn new(train: Train, levers: When) -> Self {
        Self { train, levers, headstock: None, tumbler: None }
    }
}

/// The description of a lathe; every field may be set, [`Lathe::new`] checks the whole.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Parts {
    /// Its name.
    pub name: String,
    /// A remark.
    pub note: String,
    /// Lead screw.
    pub lead_screw: LeadScrew,
    /// Thread cut by equal gears, in place of headstock ratio and lead screw.
    pub screw_constant: Option<Lead>,
    /// Ways in which the spindle drives the driving shaft: at least one.
    pub headstock: Vec<HeadstockPosition>,
    /// Tumbler positions with their directions; empty: no tumbler.
    pub tumbler: Vec<(String, Turns)>,
    /// Gears owned.
    pub gears: GearSet,
    /// Studs on the bracket.
    pub studs: u8,
    /// Whether `studs` was stated (else one is assumed).
    pub studs_stated: bool,
    /// Keyed sleeves, so loose pairs at once; `None`: as many as studs.
    pub sleeves: Option<u8>,
    /// What the end shafts take.
    pub ends: Ends,
    /// The set-up on it between jobs.
    pub fitted: Option<Fitted>,
    /// Gearbox; no levers: none.
    pub gearbox: Gearbox,
    /// Power feeds.
    pub feeds: Feeds,
    /// Whether there is a half nut; `None`: unknown.
    pub half_nut: Option<bool>,
    /// Whether the motor can be reversed; `None`: unknown.
    pub reverse: Option<bool>,
    /// Half-nut dials, exchangeable.
    pub dials: Vec<Dial>,
    /// Spindle speeds, where known.
    pub speeds: Option<Speeds>,
    /// The bracket, where it has been measured.
    pub bracket: Option<Bracket>,
}

impl Parts {
    /// The least description: a box of gears and a lead screw driven one to one, one stud,
    /// directions unknown.
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
            half_nut: None,
            reverse: None,
            dials: Vec::new(),
            speeds: None,
            bracket: None,
        }
    }
}

/// A checked lathe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lathe {
    parts: Parts,
    /// What is on it, where that is not the fitted set-up.
    now: Option<Fitted>,
}

impl Lathe {
    /// Checks the parts.
    ///
    /// # Errors
    /// With the key of the lathe file at fault: levers or positions named twice or unknown, two
    /// rules that contradict each other, a constant that is too large or has pi in it, a bad gear
    /// box.
    pub fn new(parts: Parts) -> Result<Self> {
        parts.check()?;
        let lathe = Self { parts, now: None };
        lathe.check_lever_rules()?;
        lathe.check_fitted()?;
        lathe.check_ends()?;
        for (i, dial) in lathe.parts.dials.iter().enumerate() {
            check_dial(dial).map_err(|e| e.at(&[Where::Dials, Where::Item(i)]))?;
        }
        // Unknown figures are allowed; the rest must give numbers in range.
        for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
            match lathe.settings(travel) {
                Err(e) if e.is_unknown() || e.is_no_such() => {}
                other => drop(other?),
            }
        }
        Ok(lathe)
    }

    /// The parts that it was made from.
    pub const fn parts(&self) -> &Parts {
        &self.parts
    }

    /// Pairs of loose gears that can be on studs at once: each needs a sleeve and a stud.
    pub fn loose_pairs_at_once(&self) -> usize {
        self.parts.sleeves.unwrap_or(self.parts.studs).min(self.parts.studs).into()
    }

    /// Keyed pairs that can be on studs at once: a joined pair needs no sleeve.
    ///
    /// ```
    /// use solver::{Gear, GearSet, Joined, Lathe, Lead, Parts, Teeth};
    /// let [a, b] = [Gear::new(Teeth::new(120)?), Gear::new(Teeth::new(127)?)];
    /// let mut gears = GearSet::new();
    /// gears.add(a, 2)?;
    /// gears.join(Joined::new(b, a))?;
    /// let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
    /// (parts.studs, parts.sleeves) = (2, Some(0));
    /// assert_eq!(Lathe::new(parts)?.pairs_at_once(), 1);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn pairs_at_once(&self) -> usize {
        let joined = self.parts.gears.joined().iter();
        let joined: usize = joined.map(|joined| usize::from(joined.count)).sum();
        self.loose_pairs_at_once().saturating_add(joined).min(self.parts.studs.into())
    }

    /// The gears that the driven shaft takes, usually and in combinations of levers with their own
    /// last gear.
    pub fn last_ends(&self) -> impl Iterator<Item = &End> {
        let special = self.parts.gearbox.needs_last.iter().map(|(_, end)| end);
        std::iter::once(&self.parts.ends.last).chain(special)
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
}
