//! Can a named train be put together from the box, and does it fit?
//!
//! Its numbers are teeth; [`Lathe::give`] finds the gears for them. Where several choices are equally good,
//! the bracket decides (without one the arbor rule): the first choice that fits.
//!
//! ```
//! use solver::judge::{Room, set};
//! use solver::{End, Gear, GearSet, Lathe, Lead, Parts, Teeth};
//! let mut gears = GearSet::new();
//! gears.add(Gear::new(Teeth::new(30)?), 1)?;
//! gears.add(Gear::new(Teeth::new(60)?), 1)?;
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//! let room = Room::of(&lathe, None)?;
//! assert!(set(&lathe, &room, &"30-60".parse()?, &End::Any)?.fits());
//! assert!(!set(&lathe, &room, &"30-30".parse()?, &End::Any)?.fits()); // only one 30
//! # Ok::<(), solver::Error>(())
//! ```

use crate::bracket::{Fit, Geometry, Reason, Refusal};
use crate::{
    Either, End, Error, Fitted, Given, Hand, Lack, Lathe, Lead, LeadError, LeastClearance, Result,
    Setting, ShaftClearance, Train, Travel,
};
use std::cmp::Ordering;

/// What decides whether a train fits.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum Room {
    /// Nothing.
    Unasked,
    /// The bracket.
    Bracket(Box<Geometry>),
    /// The arbor rule.
    Shafts(LeastClearance),
}

impl Room {
    /// The bracket of a lathe; where it is not described the arbor rule; nothing without `least`.
    ///
    /// # Errors
    /// If the bracket's lengths have no common measure small enough.
    pub fn of(lathe: &Lathe, least: Option<LeastClearance>) -> Result<Self> {
        let Some(least) = least else { return Ok(Self::Unasked) };
        Ok(match Self::on_bracket(lathe)? {
            Self::Unasked => Self::Shafts(least),
            bracket => bracket,
        })
    }

    /// The bracket of a lathe; nothing where it is not described.
    ///
    /// # Errors
    /// If the bracket's lengths have no common measure small enough.
    pub fn on_bracket(lathe: &Lathe) -> Result<Self> {
        let parts = lathe.parts();
        let Some(bracket) = &parts.bracket else { return Ok(Self::Unasked) };
        Ok(Self::Bracket(Box::new(Geometry::new(bracket, &parts.gears)?)))
    }

    /// Whether its verdict depends on an assumed distance or tooth size.
    fn is_assumed(&self, train: &Train) -> bool {
        match self {
            Self::Shafts(LeastClearance::Assumed) => true,
            Self::Shafts(LeastClearance::Stated(_)) => {
                train.gears().any(|gear| gear.size.is_none())
            }
            _ => false,
        }
    }

    /// Whether there is room for a train.
    ///
    /// # Errors
    /// If the tooth sizes have no common measure small enough.
    pub fn fit(&self, given: &Given) -> Result<Fit> {
        let least = match self {
            Self::Unasked => return Ok(Fit::NotChecked),
            Self::Bracket(geometry) => return Ok(geometry.fit(&given.train)),
            Self::Shafts(least) => least.mm(),
        };
        let train = &given.train;
        let idle = (0..train.shafts().len()).filter_map(|shaft| train.idle(shaft));
        let near = ShaftClearance::new(train.gears().chain(idle), least)?.too_near(train);
        let reason = |near: &crate::TooNear| Reason::Arbor {
            tip: near.tip,
            joined_to: near.joined_to,
            axis: near.axis,
            short: near.short.to_f64(),
        };
        let reasons: Vec<Reason> = near.iter().map(reason).collect();
        if reasons.is_empty() {
            return Ok(Fit::NotChecked);
        }
        Ok(Fit::Refused(Box::new(Refusal { reasons, attempt: None })))
    }
}

/// A train with gears from the box.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Set {
    /// The gears for its numbers, and the missing ones.
    pub given: Given,
    /// Whether it fits.
    pub fit: Fit,
    /// Reasons by the arbor rule with an assumed distance or tooth size: no refusal, but to be
    /// measured.
    pub assumed: Vec<Reason>,
}

impl Set {
    /// Whether there is no reason against it; too close to call is none.
    pub fn fits(&self) -> bool {
        self.given.lacks.is_empty() && !matches!(self.fit, Fit::Refused(_))
    }
}

/// A train with its gears, and whether it fits. Of equally good choices the first that fits, else
/// the first that is too close to call, else the first.
///
/// ```
/// use solver::judge::{Room, set};
/// use solver::{End, Gear, GearSet, Lathe, Lead, Parts, Teeth};
/// let mut gears = GearSet::new();
/// for (teeth, size) in [(30, "module 1"), (60, "module 1"), (60, "20 DP")] {
///     gears.add(Gear::new(Teeth::new(teeth)?).with_size(Some(size.parse()?)), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
/// let train = set(&lathe, &Room::of(&lathe, None)?, &"30-60".parse()?, &End::Any)?;
/// assert!(train.fits());
/// // Two 30s are not owned.
/// let train = set(&lathe, &Room::of(&lathe, None)?, &"30-30".parse()?, &End::Any)?;
/// assert!(!train.fits() && train.given.lacks.len() == 1);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the tooth sizes have no common measure small enough.
pub fn set(lathe: &Lathe, room: &Room, train: &Train, last: &End) -> Result<Set> {
    let mut first: Option<Set> = None;
    for given in lathe.give(train, last)? {
        let (fit, assumed) = match room.fit(&given)? {
            Fit::Refused(refusal) if room.is_assumed(&given.train) => {
                (Fit::NotChecked, refusal.reasons)
            }
            fit => (fit, Vec::new()),
        };
        let rank = |fit: &Fit, assumed: &[Reason]| match fit {
            Fit::Refused(_) => 2,
            Fit::TooClose(_) => 1,
            _ => u8::from(!assumed.is_empty()),
        };
        let rest = first.as_ref().map_or(3, |set| rank(&set.fit, &set.assumed));
        let own = rank(&fit, &assumed);
        if own < rest {
            let done = own == 0;
            first = Some(Set { given, fit, assumed });
            if done {
                break;
            }
        }
    }
    first.ok_or_else(|| Error::conflict("no train"))
}

/// The train of a set-up with gears from the box, on the bracket, with its levers.
///
/// # Errors
/// If the bracket's lengths have no common measure small enough.
pub fn mounted(lathe: &Lathe, set_up: &Fitted) -> Result<Set> {
    let room = Room::on_bracket(lathe)?;
    let travels = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];
    let settings = travels.into_iter().flat_map(|t| lathe.settings_as_in(set_up, t));
    let mut lasts: Vec<End> = settings.map(|setting| setting.last).collect();
    if lasts.is_empty() {
        lasts.push(lathe.parts().ends.last.clone());
    }
    let mut seen: Vec<&End> = Vec::new();
    let mut best: Option<Set> = None;
    for last in &lasts {
        if seen.contains(&last) {
            continue;
        }
        seen.push(last);
        let set = set(lathe, &room, &set_up.train, last)?;
        let rank = |set: &Set| (!set.fits(), set.given.lacks.len());
        if best.as_ref().is_none_or(|best| rank(&set) < rank(best)) {
            best = Some(set);
        }
    }
    best.ok_or_else(|| Error::conflict("no train"))
}

/// The fitted train, with its gears as far as they are certain; `None`: nothing is fitted.
pub fn fitted_train(lathe: &Lathe) -> Option<Train> {
    lathe.parts().fitted.as_ref().map(|fitted| train_of(lathe, fitted))
}

/// The train on the machine now, with its gears as far as they are certain; `None`: nobody has said.
pub fn train_now(lathe: &Lathe) -> Option<Train> {
    lathe.on_now().map(|now| train_of(lathe, now))
}

fn train_of(lathe: &Lathe, set_up: &Fitted) -> Train {
    mounted(lathe, set_up).map_or_else(|_| set_up.train.clone(), |set| set.given.train)
}

/// The lead or feed that a train should cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// The drive of the tool.
    pub travel: Travel,
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed, or where it does not matter.
    pub hand: Option<Hand>,
}

/// A judged train.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Judged {
    /// Its gears, the missing ones, and whether it fits.
    pub set: Set,
    /// The setting of headstock and levers.
    pub setting: Setting,
    /// Index of the tumbler position; `None`: there is none, or it is free.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some direction is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Both cases, where two gears may mesh directly or not and no bracket decides.
    pub either: Option<Either>,
    /// The asked hand, if the train can't cut it.
    pub not_hand: Option<Hand>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Error from the target.
    pub error: LeadError,
}

/// A reason against a train.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Objection {
    /// There is no room for it.
    Room(Reason),
    /// Something is missing.
    Lack(Lack),
    /// It cuts the other hand.
    Hand {
        /// The asked hand.
        asked: Hand,
    },
}

impl Judged {
    /// All reasons against it; none: it can be set up, as far as was asked.
    pub fn objections(&self) -> Vec<Objection> {
        let room = self.set.fit.reasons().iter().map(|reason| Objection::Room(*reason));
        let lacks = self.set.given.lacks.iter().cloned().map(Objection::Lack);
        let hand = self.not_hand.map(|asked| Objection::Hand { asked });
        room.chain(lacks).chain(hand).collect()
    }
}

/// Judges a named train: its cut in the best setting, and all reasons against it. `None`: the lathe
/// has no setting for this kind of travel.
///
/// ```
/// use solver::judge::{Asked, Objection, Room, judge};
/// use solver::{Gear, GearSet, Hand, Lack, Lathe, Lead, Parts, Teeth, Travel};
/// let mut gears = GearSet::new();
/// for teeth in [20, 40, 60] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
/// let lead = Lead::from_tpi("16".parse()?)?;
/// let asked = Asked { travel: Travel::Thread, lead, hand: Some(Hand::Right) };
/// let room = Room::of(&lathe, None)?;
/// let good = judge(&lathe, &room, &"20-60-40".parse()?, &asked)?.unwrap();
/// assert!(good.objections().is_empty() && good.error.is_zero());
/// let bad = judge(&lathe, &room, &"20-60-60-40".parse()?, &asked)?.unwrap();
/// assert!(matches!(bad.objections()[0], Objection::Lack(Lack::Gear { needed: 2, owned: 1, .. })));
/// assert!(matches!(bad.objections()[1], Objection::Lack(Lack::Studs { needed: 2, owned: 1, .. })));
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the lathe leaves a needed figure unknown, or a number is out of range.
pub fn judge(lathe: &Lathe, room: &Room, train: &Train, asked: &Asked) -> Result<Option<Judged>> {
    let ratio = train.ratio();
    // Settings with the same last gear take the same gears from the box.
    let mut sets: Vec<(End, Set)> = Vec::new();
    let mut best: Option<(Rank, LeadError, Judged)> = None;
    for setting in lathe.settings(asked.travel)?.list {
        let known = sets.iter().position(|(last, _)| *last == setting.last);
        let at = known.unwrap_or(sets.len());
        if known.is_none() {
            sets.push((setting.last.clone(), set(lathe, room, train, &setting.last)?));
        }
        let Some((_, set)) = sets.get(at) else { continue };
        let lead = setting.constant.times(&ratio)?;
        let error = LeadError::of(&lead, &asked.lead);
        let cuts = lathe.cuts(&setting, train.meshes(), asked.hand);
        let (tumbler, hand) = (cuts.tumbler, cuts.hand);
        let not_hand = asked.hand.filter(|_| !cuts.gives(asked.hand));
        let rank = (!set.fits(), set.given.lacks.len(), not_hand.is_some());
        let better = best.as_ref().is_none_or(|(best, least, _)| {
            let order = rank.cmp(best).then_with(|| error.compare_size(least));
            order == Ordering::Less
        });
        // Of equals the first stays.
        if better {
            let set = set.clone();
            let either = match set.fit.mounting() {
                Some(_) => None,
                None => lathe.either(&setting, train, asked.hand),
            };
            let judged = Judged { set, setting, tumbler, hand, either, not_hand, lead, error };
            best = Some((rank, error, judged));
        }
    }
    Ok(best.map(|(.., judged)| judged))
}

/// Settings in which the train can be set up come first, then those that cut the asked hand; of
/// these the nearest.
type Rank = (bool, usize, bool);
