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
//! assert!(set(&lathe, &room, &"30-60".parse()?, &End::Any)?.stands());
//! assert!(!set(&lathe, &room, &"30-30".parse()?, &End::Any)?.stands()); // only one 30
//! # Ok::<(), solver::Error>(())
//! ```

use crate::bracket::{Fit, Geometry, Reason, Refusal};
use crate::{
    Either, End, Error, Given, Hand, Lack, Lathe, Lead, LeadError, LeastClearance, Result, Setting,
    ShaftClearance, Train, Travel,
};
use std::cmp::Ordering;

/// What a train is held against beside the box of gears.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub enum Room {
    /// Nothing.
    Unasked,
    /// The bracket.
    Bracket(Box<Geometry>),
    /// The shop's rule.
    Shafts(LeastClearance),
}

impl Room {
    /// The bracket of a lathe; where it is not described the shop's rule; nothing without `least`.
    ///
    /// # Errors
    /// If the bracket's lengths have no common measure that can be held.
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
    /// If the bracket's lengths have no common measure that can be held.
    pub fn on_bracket(lathe: &Lathe) -> Result<Self> {
        let parts = lathe.parts();
        let Some(bracket) = &parts.bracket else { return Ok(Self::Unasked) };
        Ok(Self::Bracket(Box::new(Geometry::new(bracket, &parts.gears)?)))
    }

    /// Whether what it says of a train rests on a distance or a tooth size that nobody stated.
    fn is_assumed(&self, train: &Train) -> bool {
        match self {
            Self::Shafts(LeastClearance::Assumed) => true,
            Self::Shafts(LeastClearance::Stated(_)) => {
                train.gears().any(|gear| gear.size.is_none())
            }
            _ => false,
        }
    }

    /// Whether there is the room that a train needs.
    ///
    /// # Errors
    /// If its tooth sizes have no common measure that can be held.
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

/// A train out of the box, in its place.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Set {
    /// The gears that its numbers mean, and what is not there.
    pub given: Given,
    /// Whether it fits.
    pub fit: Fit,
    /// What the shop's rule says against it with a distance or a tooth size that nobody stated: no
    /// refusal, to be measured.
    pub assumed: Vec<Reason>,
}

impl Set {
    /// Whether nothing speaks against it; what is too close to call does not.
    pub fn stands(&self) -> bool {
        self.given.lacks.is_empty() && !matches!(self.fit, Fit::Refused(_))
    }
}

/// A train with the gears that it means, and whether it fits: of several ways that are equally good
/// the first that does, else the first that is too close to call, else the first.
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
/// assert!(train.stands());
/// // Two 30s are not owned.
/// let train = set(&lathe, &Room::of(&lathe, None)?, &"30-30".parse()?, &End::Any)?;
/// assert!(!train.stands() && train.given.lacks.len() == 1);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the tooth sizes have no common measure that can be held.
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

/// The fitted train out of the box and on the bracket, with the levers as fitted. `None`: nothing is
/// fitted.
///
/// # Errors
/// If the bracket's lengths have no common measure that can be held.
pub fn fitted(lathe: &Lathe) -> Result<Option<Set>> {
    let Some(fitted) = &lathe.parts().fitted else { return Ok(None) };
    let room = Room::on_bracket(lathe)?;
    let travels = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];
    let settings = travels.into_iter().flat_map(|t| lathe.settings_as_fitted(t));
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
        let set = set(lathe, &room, &fitted.train, last)?;
        let rank = |set: &Set| (!set.stands(), set.given.lacks.len());
        if best.as_ref().is_none_or(|best| rank(&set) < rank(best)) {
            best = Some(set);
        }
    }
    Ok(best)
}

/// The fitted train, with the gears that its numbers mean as far as they can be told; `None`: nothing is
/// fitted.
pub fn fitted_train(lathe: &Lathe) -> Option<Train> {
    let set = fitted(lathe).ok().flatten();
    set.map(|set| set.given.train).or_else(|| Some(lathe.parts().fitted.as_ref()?.train.clone()))
}

/// What is asked of a train.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// What moves the tool.
    pub travel: Travel,
    /// Lead, or travel per turn.
    pub lead: Lead,
    /// Hand of the thread; `None` for a feed, or where it does not matter.
    pub hand: Option<Hand>,
}

/// A train, judged.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Judged {
    /// Its gears, what is not there, and whether it fits.
    pub set: Set,
    /// The setting of headstock and levers.
    pub setting: Setting,
    /// Index of the tumbler position; `None`: there is none, or it does not matter.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some sense is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Where the bracket does not tell whether two gears mesh directly: both cases.
    pub either: Option<Either>,
    /// The hand that was asked and can't be cut so.
    pub not_hand: Option<Hand>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Against what was asked.
    pub error: LeadError,
}

/// Something that speaks against a train.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Objection {
    /// There is not the room for it.
    Room(Reason),
    /// Something is not there.
    Lack(Lack),
    /// It cuts the other hand.
    Hand {
        /// The hand asked.
        asked: Hand,
    },
}

impl Judged {
    /// All that speaks against it; nothing: it can be set up so, as far as was asked.
    pub fn objections(&self) -> Vec<Objection> {
        let room = self.set.fit.reasons().iter().map(|reason| Objection::Room(*reason));
        let lacks = self.set.given.lacks.iter().cloned().map(Objection::Lack);
        let hand = self.not_hand.map(|asked| Objection::Hand { asked });
        room.chain(lacks).chain(hand).collect()
    }
}

/// Judges a train that somebody names: what it cuts in the setting that suits it best, and all that
/// speaks against it. `None`: the lathe has no setting for this kind of travel.
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
/// If the lathe leaves something unknown that is needed, or a number does not fit.
pub fn judge(lathe: &Lathe, room: &Room, train: &Train, asked: &Asked) -> Result<Option<Judged>> {
    let ratio = train.ratio();
    // Settings that take the same last gear take the same gears out of the box.
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
        let not_hand = asked.hand.filter(|_| !cuts.serves(asked.hand));
        let rank = (!set.stands(), set.given.lacks.len(), not_hand.is_some());
        let better = best.as_ref().is_none_or(|(best, least, _)| {
            let order = rank.cmp(best).then_with(|| error.compare_size(least));
            order == Ordering::Less
        });
        // The first of equals stays.
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

/// Settings in which the train can be set up come first, then those that cut the hand asked; of these
/// the one that comes nearest.
type Rank = (bool, usize, bool);
