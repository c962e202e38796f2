//! Which owned gear does each number of a train mean? Only this file decides.
//!
//! A typed or printed train has teeth only. Gears of one number may differ in tooth size, in their
//! places and in the gear joined to them. So all choices of gears from the box are compared, gear by
//! gear along the power path. A choice is dropped once it must lack more than the best so far.
//! Whether it fits the bracket is another module's question.

mod walk;

use super::given::{Given, Lack, Origin};
use super::{End, Lathe};
use crate::{Gear, Joined, Place, Result, Shaft, Teeth, Train};
use walk::Walk;

/// Cost of one lack. The number of lacks decides first; among equals the most telling lacks: an
/// owned gear at a wrong place, then one with too few owned, then two that don't mesh, then one that
/// is not owned.
const PLACE: u32 = 1000;
const APART: u32 = 1001;
const TOO_FEW: u32 = 1002;
const UNLIKE: u32 = 1003;
const MISSING: u32 = 1004;

impl Lathe {
    /// The best choices of gears from the box for a train, with `last` on the driven shaft. All
    /// choices without a lack; if there are none, those that lack least. At least one, at most 64
    /// with different tooth sizes or joined pairs.
    ///
    /// ```
    /// use solver::{End, Gear, GearSet, Lathe, Lead, Parts, Teeth};
    /// // A 40 of module 1 and one of 20 DP, and a 60 of 20 DP.
    /// let mut gears = GearSet::new();
    /// for (teeth, size) in [(40, "module 1"), (40, "20 DP"), (60, "20 DP")] {
    ///     gears.add(Gear::new(Teeth::new(teeth)?).with_size(Some(size.parse()?)), 1)?;
    /// }
    /// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
    /// let ways = lathe.give(&"40-60".parse()?, &End::Any)?;
    /// let first = ways[0].train.gears().next().unwrap();
    /// assert_eq!(first.size.unwrap().to_string(), "20 DP"); // the 40 that the 60 meshes with
    /// assert!(ways.len() == 1 && ways[0].lacks.is_empty());
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// Never for a checked train; only the type of [`Train::new`] allows for one.
    pub fn give(&self, train: &Train, last: &End) -> Result<Vec<Given>> {
        let puzzle = Puzzle::new(self, train, last);
        let mut walk = Walk::new(&puzzle);
        walk.on(None, 0);
        let mut ways: Vec<Given> = Vec::new();
        let mut seen: Vec<Vec<(Gear, Option<Gear>)>> = Vec::new();
        for way in &walk.best {
            let given = puzzle.given(train, way)?;
            let alike = given.train.gears().zip(&given.origins).map(|(gear, origin)| {
                let anywhere = |g: &Gear| Gear::new(g.teeth).with_size(g.size).with_angle(g.angle);
                (anywhere(gear), self.partner(*origin).map(|p| anywhere(&p)))
            });
            let alike = alike.collect();
            if !seen.contains(&alike) {
                seen.push(alike);
                ways.push(given);
            }
        }
        Ok(ways)
    }

    /// The gear joined to this one.
    pub fn partner(&self, origin: Origin) -> Option<Gear> {
        let Origin::Joined { pair, side } = origin else { return None };
        let [first, second] = self.parts.gears.joined().get(pair)?.gears;
        Some(if side == 0 { second } else { first })
    }
}

/// A gear that a number may mean.
#[derive(Debug, Clone, Copy)]
struct Choice {
    origin: Origin,
    /// `None`: not owned, and typed without a size.
    gear: Option<Gear>,
    /// Gears of one class mesh.
    class: Option<usize>,
    /// Its cost by itself.
    cost: u32,
}

/// A train and all possible meanings of its numbers.
struct Puzzle<'l> {
    lathe: &'l Lathe,
    last: &'l End,
    /// The numbers, in power-path order.
    gears: Vec<Gear>,
    /// Whether a gear is keyed to the one before it.
    keyed: Vec<bool>,
    places: Vec<Place>,
    choices: Vec<Vec<Choice>>,
    /// The least cost of the gears after a choice, counts apart.
    rest: Vec<Vec<u32>>,
    sleeves: usize,
}

impl<'l> Puzzle<'l> {
    fn new(lathe: &'l Lathe, train: &Train, last: &'l End) -> Self {
        let gears: Vec<Gear> = train.gears().copied().collect();
        let mut keyed = Vec::new();
        for shaft in train.shafts() {
            keyed.extend([false, true].iter().take(shaft.gears().count()));
        }
        let end = gears.len().saturating_sub(1);
        let place = |i: usize| match i {
            0 => Place::First,
            i if i == end => Place::Last,
            _ => Place::Stud,
        };
        let mut puzzle = Self {
            lathe,
            last,
            keyed,
            places: (0..gears.len()).map(place).collect(),
            gears,
            choices: Vec::new(),
            rest: Vec::new(),
            sleeves: lathe.loose_pairs_at_once(),
        };
        let mut classes: Vec<Gear> = Vec::new();
        puzzle.choices = (0..puzzle.gears.len()).map(|i| puzzle.choices(i, &mut classes)).collect();
        puzzle.rest = puzzle.rests();
        puzzle
    }

    fn end(&self, at: usize) -> Option<&End> {
        match self.places[at] {
            Place::First => Some(&self.lathe.parts.ends.first),
            Place::Last => Some(self.last),
            Place::Stud => None,
        }
    }

    /// Every meaning of a number.
    fn choices(&self, at: usize, classes: &mut Vec<Gear>) -> Vec<Choice> {
        let set = &self.lathe.parts.gears;
        let (typed, place) = (self.gears[at], self.places[at]);
        let mut class = |gear: &Gear| {
            let known = classes.iter().position(|head| head.meshes_with(gear));
            known.unwrap_or_else(|| {
                classes.push(*gear);
                classes.len().saturating_sub(1)
            })
        };
        let mut choice = |origin, gear: Gear, cost| {
            let class = Some(class(&gear));
            Choice { origin, gear: Some(gear), class, cost }
        };
        let end = self.end(at);
        if end == Some(&End::Own(typed.teeth)) {
            return vec![choice(Origin::Own, set.usual(typed.teeth), 0)];
        }
        let refused = match end {
            Some(End::Own(_)) => PLACE,
            Some(End::Owned(list)) if !list.contains(&typed.teeth) => PLACE,
            _ => 0,
        };
        let cost = |gear: &Gear| {
            let goes = gear.places.allow(place);
            if goes { refused } else { refused.saturating_add(PLACE) }
        };
        let means = |gear: &Gear| {
            gear.teeth == typed.teeth && (typed.size.is_none() || gear.meshes_with(&typed))
        };
        let mut all = Vec::new();
        for (i, (gear, _)) in set.loose().iter().enumerate().filter(|(_, (gear, _))| means(gear)) {
            all.push(choice(Origin::Loose(i), *gear, cost(gear)));
        }
        for (pair, joined) in set.joined().iter().enumerate() {
            for (side, gear) in joined.gears.iter().enumerate().filter(|(_, gear)| means(gear)) {
                all.push(choice(Origin::Joined { pair, side }, *gear, cost(gear)));
            }
        }
        let mut missing = choice(Origin::Missing, typed, refused.saturating_add(MISSING));
        if typed.size.is_none() {
            (missing.gear, missing.class) = (None, None);
        }
        all.push(missing);
        all
    }

    /// The cost of two neighbouring gears: whether they mesh, or can share a stud.
    fn link(&self, a: &Choice, class: Option<usize>, b: &Choice, keyed: bool) -> u32 {
        match (keyed, a.origin, b.origin) {
            (false, ..) => match (class, b.class) {
                (Some(a), Some(b)) if a != b => UNLIKE,
                _ => 0,
            },
            (_, Origin::Joined { pair, side }, Origin::Joined { pair: p, side: s })
                if pair == p && side != s =>
            {
                let joined = self.lathe.parts.gears.joined().get(pair);
                let turned = side == 1 && !joined.is_some_and(|joined| joined.turn_round);
                if turned { APART } else { 0 }
            }
            (_, Origin::Joined { .. }, _) | (_, _, Origin::Joined { .. }) => APART,
            _ => 0,
        }
    }

    fn rests(&self) -> Vec<Vec<u32>> {
        let mut rest: Vec<Vec<u32>> = self.choices.iter().map(|c| vec![0; c.len()]).collect();
        for at in (1..self.gears.len()).rev() {
            let least = |a: &Choice| {
                let of = |(i, b): (usize, &Choice)| {
                    let link = self.link(a, a.class, b, self.keyed[at]);
                    link.saturating_add(b.cost).saturating_add(rest[at][i])
                };
                self.choices[at].iter().enumerate().map(of).min().unwrap_or(0)
            };
            let before = at.saturating_sub(1);
            rest[before] = self.choices[before].iter().map(least).collect();
        }
        rest
    }

    /// Whether the two go on a stud as one joined pair.
    fn is_joined(&self, way: &[Choice], at: usize) -> bool {
        let before = at.checked_sub(1).and_then(|before| way.get(before));
        let (Some(a), Some(b)) = (before, way.get(at)) else { return false };
        match (a.origin, b.origin) {
            (Origin::Joined { pair, side }, Origin::Joined { pair: p, side: s }) => {
                self.keyed[at] && pair == p && side != s
            }
            _ => false,
        }
    }

    /// Whether gear `at` makes a pair of loose gears with the one before it.
    fn is_loose_pair(&self, way: &[Choice], at: usize) -> bool {
        let is_joined = |choice: &Choice| matches!(choice.origin, Origin::Joined { .. });
        let pair = at.checked_sub(1).and_then(|before| way.get(before..=at));
        self.keyed[at] && pair.is_some_and(|pair| !pair.iter().any(is_joined))
    }

    /// How often a choice uses a gear of the same origin.
    fn uses(&self, way: &[Choice], origin: Origin) -> usize {
        let same = |(at, choice): (usize, &Choice)| match (choice.origin, origin) {
            (Origin::Joined { pair, .. }, Origin::Joined { pair: p, .. }) => {
                pair == p && !self.is_joined(way, at)
            }
            (a, b) => a == b,
        };
        way.iter().enumerate().filter(|(at, choice)| same((*at, choice))).count()
    }

    /// How many are owned.
    fn owned(&self, origin: Origin) -> usize {
        let set = &self.lathe.parts.gears;
        match origin {
            Origin::Own | Origin::Missing => usize::MAX,
            Origin::Loose(at) => set.loose().get(at).map_or(0, |(_, count)| (*count).into()),
            Origin::Joined { pair, .. } => {
                set.joined().get(pair).map_or(0, |joined| joined.count.into())
            }
        }
    }

    /// The cost of the last gear beyond the choice itself: counts and sleeves.
    fn counted(&self, way: &[Choice]) -> u32 {
        let at = way.len().saturating_sub(1);
        let Some(choice) = way.last() else { return 0 };
        let taken = !self.is_joined(way, at);
        let few = taken && self.uses(way, choice.origin) > self.owned(choice.origin);
        let pairs = || (0..way.len()).filter(|at| self.is_loose_pair(way, *at)).count();
        let bare = self.is_loose_pair(way, at) && pairs() > self.sleeves;
        u32::from(few).saturating_add(u32::from(bare)).saturating_mul(TOO_FEW)
    }

    /// The answer for a choice, with its lacks.
    fn given(&self, train: &Train, way: &[Choice]) -> Result<Given> {
        let gears = self.sized(way);
        let mut rest = gears.iter().copied();
        let mut next = |shown: &Gear| rest.next().unwrap_or(*shown);
        let mut shafts = Vec::with_capacity(train.shafts().len());
        for shaft in train.shafts() {
            shafts.push(match shaft {
                Shaft::One(gear) => Shaft::One(next(gear)),
                Shaft::Pair { driven, driver } => {
                    let driven = next(driven);
                    Shaft::Pair { driven, driver: next(driver) }
                }
            });
        }
        let mut train = Train::new(shafts)?;
        // The driven gear of each shaft; a joined pair that works as one gear has its partner beside
        // it.
        let heads = (0..way.len()).filter(|at| !self.keyed[*at]);
        for (shaft, at) in heads.enumerate() {
            let next = at.saturating_add(1);
            let alone = !self.keyed.get(next).is_some_and(|keyed| *keyed);
            if let Some(partner) = self.lathe.partner(way[at].origin)
                && (alone || self.is_joined(way, next))
            {
                train = train.with_partner(shaft, partner);
            }
        }
        let origins = way.iter().map(|choice| choice.origin).collect();
        let lacks = self.lacks(&train, way, &gears);
        Ok(Given { train, origins, lacks })
    }

    /// The gears of a choice; one that is not owned has the size of the gears that it meshes with.
    fn sized(&self, way: &[Choice]) -> Vec<Gear> {
        let mut sized: Vec<Option<Gear>> = way.iter().map(|choice| choice.gear).collect();
        let like = |gear: Option<Gear>, at: usize| {
            gear.map(|g| Gear::new(self.gears[at].teeth).with_size(g.size).with_angle(g.angle))
        };
        for at in 1..sized.len() {
            if sized[at].is_none() && !self.keyed[at] {
                sized[at] = like(sized[at.saturating_sub(1)], at);
            }
        }
        for at in (1..sized.len()).rev() {
            let before = at.saturating_sub(1);
            if sized[before].is_none() && !self.keyed[at] {
                sized[before] = like(sized[at], before);
            }
        }
        let usual = |(gear, typed): (Option<Gear>, &Gear)| {
            let usual = || match typed.size {
                Some(_) => *typed,
                None => self.lathe.parts.gears.usual(typed.teeth),
            };
            gear.unwrap_or_else(usual)
        };
        sized.into_iter().zip(&self.gears).map(usual).collect()
    }

    fn lacks(&self, train: &Train, way: &[Choice], gears: &[Gear]) -> Vec<Lack> {
        let mut lacks = Vec::new();
        let unlike = train.mesh_pairs().filter(|(a, b)| !a.meshes_with(b));
        lacks.extend(unlike.map(|(a, b)| Lack::Unlike { driver: *a, driven: *b }));
        for (at, choice) in way.iter().enumerate() {
            let teeth = self.gears[at].teeth;
            let place = self.places[at];
            if let Some(takes) = self.end(at).filter(|end| !end.takes(teeth)) {
                let (first, takes) = (place == Place::First, takes.clone());
                lacks.push(Lack::End { first, teeth, takes });
            }
            if choice.gear.is_some_and(|gear| !gear.places.allow(place)) {
                lacks.push(Lack::Place { teeth, place });
            }
            lacks.extend(self.keyed_wrong(way, at));
        }
        lacks.extend(self.too_few(way, gears));
        let parts = &self.lathe.parts;
        let (needed, owned) = (train.studs().len(), usize::from(parts.studs));
        if needed > owned {
            lacks.push(Lack::Studs { needed, owned });
        }
        let needed = (0..way.len()).filter(|at| self.is_loose_pair(way, *at)).count();
        // Where sleeves are not counted, a lack is one of studs.
        if let Some(owned) = parts.sleeves.map(usize::from).filter(|owned| needed > *owned) {
            lacks.push(Lack::Sleeves { needed, owned });
        }
        lacks
    }

    /// Gears and joined pairs that are used more often than owned.
    fn too_few(&self, way: &[Choice], gears: &[Gear]) -> Vec<Lack> {
        let set = &self.lathe.parts.gears;
        let mut lacks: Vec<Lack> = Vec::new();
        // Gears available only as sides of joined pairs in use elsewhere.
        let mut more = vec![0_usize; set.joined().len()];
        for (at, gear) in gears.iter().enumerate() {
            if gears.iter().take(at).any(|before| alike(before, gear)) {
                continue;
            }
            let boxed = gears.iter().zip(way).filter(|(_, choice)| choice.origin != Origin::Own);
            let needed = boxed.filter(|(other, _)| alike(other, gear)).count();
            let owned = set.count(|own| alike(own, gear));
            let short = self.short_of(way, gears, gear).min(needed);
            let joint = self.joint_short_of(way, gear, short);
            if let Some(more) = joint.filter(|_| needed <= owned).and_then(|j| more.get_mut(j)) {
                *more = more.saturating_add(short);
            } else if short > 0 || needed > owned {
                let other_sizes = set.count(|own| own.teeth == gear.teeth) > owned;
                let owned = owned.min(needed.saturating_sub(short));
                lacks.push(Lack::Gear { gear: *gear, needed, owned, other_sizes });
            }
        }
        let said = |teeth: Teeth, lacks: &[Lack]| {
            lacks.iter().any(|l| matches!(l, Lack::Gear { gear, .. } if gear.teeth == teeth))
        };
        for (pair, Joined { gears, count, .. }) in set.joined().iter().enumerate() {
            let more = more.get(pair).copied().unwrap_or(0);
            let needed = self.uses(way, Origin::Joined { pair, side: 0 }).saturating_add(more);
            let owned = usize::from(*count);
            let gears = gears.map(|gear| gear.teeth);
            if needed > owned && !gears.iter().any(|teeth| said(*teeth, &lacks)) {
                lacks.push(Lack::Joint { gears, needed, owned });
            }
        }
        lacks
    }

    /// How many gears like this one a choice uses without having them: loose ones.
    fn short_of(&self, way: &[Choice], gears: &[Gear], gear: &Gear) -> usize {
        let set = &self.lathe.parts.gears;
        let missing =
            |(choice, own): &(&Choice, &Gear)| choice.origin == Origin::Missing && alike(own, gear);
        let missing = way.iter().zip(gears).filter(missing).count();
        let kinds = set.loose().iter().enumerate().filter(|(_, (own, _))| alike(own, gear));
        let over = kinds.map(|(at, (_, count))| {
            self.uses(way, Origin::Loose(at)).saturating_sub((*count).into())
        });
        over.fold(missing, usize::saturating_add)
    }

    /// The joined pair with such a gear that would be needed `short` times more.
    fn joint_short_of(&self, way: &[Choice], gear: &Gear, short: usize) -> Option<usize> {
        let mut all = self.lathe.parts.gears.joined().iter().enumerate();
        let uses = |pair| self.uses(way, Origin::Joined { pair, side: 0 });
        all.position(|(pair, joined)| {
            let has = joined.gears.iter().any(|own| alike(own, gear));
            short > 0 && has && uses(pair).saturating_add(short) > joined.count.into()
        })
    }

    /// A gear of a joined pair, keyed to a wrong gear before it.
    fn keyed_wrong(&self, way: &[Choice], at: usize) -> Option<Lack> {
        let before = at.checked_sub(1)?;
        let (a, b) = (way.get(before)?, way.get(at)?);
        if !self.keyed[at] || self.link(a, a.class, b, true) == 0 {
            return None;
        }
        let (driven, driver) = (self.gears[before].teeth, self.gears[at].teeth);
        if self.is_joined(way, at) {
            return Some(Lack::Turned { driven, driver });
        }
        let apart = |origin, teeth, beside| {
            let partner = self.lathe.partner(origin)?.teeth;
            Some(Lack::Apart { teeth, partner, beside })
        };
        apart(a.origin, driven, driver).or_else(|| apart(b.origin, driver, driven))
    }
}

/// Whether one can replace the other, as far as teeth go.
fn alike(a: &Gear, b: &Gear) -> bool {
    a.teeth == b.teeth && a.meshes_with(b)
}

#[cfg(test)]
mod tests;
