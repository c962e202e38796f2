//! What speaks against an assignment of owned gears to the numbers of a train, and how much.

use super::super::number::{Q, number};
use super::super::sheet::{End, Kind, Owner};
use super::{Case, MOST, Typed};
use solver::{Gear, Train};
use std::collections::{BTreeMap, BTreeSet};

/// For each number the kind that it means; nothing: a gear that is not owned.
pub(super) type Way = Vec<Option<usize>>;

impl Case {
    pub(super) fn place(&self, at: usize) -> usize {
        if at == 0 { 0 } else { 1 + usize::from(at + 1 == self.typed.len()) }
    }

    fn end(&self, at: usize) -> Option<&End> {
        [Some(&self.sheet.first), None, Some(&self.last)][self.place(at)]
    }

    /// Numbers the classes of gears that mesh.
    pub(super) fn classify(&mut self) {
        let typed: Vec<Kind> = (0..self.typed.len()).map(|at| self.unowned(at)).collect();
        let all: Vec<&Kind> = self.sheet.kinds.iter().chain(&typed).collect();
        let class = |kind: &&Kind| all.iter().position(|head| head.meshes(kind)).expect("itself");
        let classes: Vec<usize> = all.iter().map(class).collect();
        let (kinds, typed) = classes.split_at(self.sheet.kinds.len());
        self.classes = kinds.to_vec();
        for (number, class) in self.typed.iter_mut().zip(typed) {
            number.class = number.size.map(|_| *class);
        }
    }

    /// A gear that is as it was typed, or as most gears of the box.
    fn unowned(&self, at: usize) -> Kind {
        let (pitch, angle) = match self.typed[at].size {
            Some(size) => (Some(size.to_owned()), number("20")),
            None => {
                (self.sheet.kinds[0].pitch.as_ref().map(|_| "module 1".to_owned()), number("20"))
            }
        };
        let owner = Owner::Loose;
        Kind { teeth: self.typed[at].teeth, pitch, angle, places: [true; 3], owner }
    }

    /// What a number may mean.
    fn choices(&self, at: usize) -> Vec<Option<usize>> {
        let typed = &self.typed[at];
        let own = self.end(at) == Some(&End::Own(typed.teeth));
        let as_typed = self.unowned(at);
        let means = |kind: &Kind| {
            let machine = kind.owner == Owner::Machine;
            let size = machine || typed.size.is_none() || kind.meshes(&as_typed);
            kind.teeth == typed.teeth && machine == own && size
        };
        let kinds = self.sheet.kinds.iter().enumerate();
        let owned = kinds.filter(|(_, kind)| means(kind)).map(|(i, _)| Some(i));
        // The machine's own gear is there.
        owned.chain((!own).then_some(None)).collect()
    }

    /// Every assignment; nothing if there are too many.
    pub(super) fn ways(&self) -> Option<Vec<Way>> {
        let choices: Vec<_> = (0..self.typed.len()).map(|at| self.choices(at)).collect();
        if choices.iter().map(Vec::len).product::<usize>() > MOST {
            return None;
        }
        let mut ways = vec![Vec::new()];
        for choices in choices {
            let longer = |way: &Way| {
                let all = choices.iter().map(|choice| [way.as_slice(), &[*choice]].concat());
                all.collect::<Vec<_>>()
            };
            ways = ways.iter().flat_map(longer).collect();
        }
        Some(ways)
    }

    pub(super) fn joint(&self, kind: Option<usize>) -> Option<usize> {
        match self.sheet.kinds[kind?].owner {
            Owner::Joint(joint) => Some(joint),
            _ => None,
        }
    }

    /// Whether number `at` and the one before it are the two sides of one joined pair.
    pub(super) fn is_joint(&self, way: &Way, at: usize) -> bool {
        self.typed[at].keyed
            && self.joint(way[at]).is_some()
            && self.joint(way[at - 1]) == self.joint(way[at])
            && way[at - 1] != way[at]
    }

    pub(super) fn loose_pairs(&self, way: &Way) -> usize {
        let loose = |at: &usize| self.joint(way[*at]).is_none();
        let pairs = (1..way.len()).filter(|&at| self.typed[at].keyed);
        pairs.filter(|at| loose(at) && loose(&(at - 1))).count()
    }

    /// The gears; one that is not owned is of the size of those that it meshes with.
    pub(super) fn resolved(&self, way: &Way) -> Vec<Kind> {
        // A size that was typed stays.
        let one = |(at, kind): (usize, &Option<usize>)| match kind {
            Some(kind) => Some(self.sheet.kinds[*kind].clone()),
            None => self.typed[at].size.is_some().then(|| self.unowned(at)),
        };
        let mut gears: Vec<Option<Kind>> = way.iter().enumerate().map(one).collect();
        let like = |gear: &Kind, at: usize| {
            Kind { places: [true; 3], ..gear.clone() }.with(self.typed[at].teeth)
        };
        for at in 1..gears.len() {
            if let (None, Some(before), false) = (&gears[at], &gears[at - 1], self.typed[at].keyed)
            {
                gears[at] = Some(like(before, at));
            }
        }
        for at in (1..gears.len()).rev() {
            if let (None, Some(after), false) = (&gears[at - 1], &gears[at], self.typed[at].keyed) {
                gears[at - 1] = Some(like(after, at - 1));
            }
        }
        let whole = gears.into_iter().enumerate();
        whole.map(|(at, gear)| gear.unwrap_or_else(|| self.unowned(at))).collect()
    }

    /// Whether a number does not mesh with the one before it: with the last one of a size that is known.
    fn unlike(&self, way: &Way) -> Vec<bool> {
        let mut last = None;
        let one = |(at, kind): (usize, &Option<usize>)| {
            let class = kind.map_or(self.typed[at].class, |kind| Some(self.classes[kind]));
            let before = last.filter(|_| !self.typed[at].keyed);
            last = class.or(before);
            before.is_some() && class.is_some() && before != class
        };
        way.iter().enumerate().map(one).collect()
    }

    /// Faults of a way, each with how much it says: the fewer the better, then the more it says.
    pub(super) fn faults(&self, way: &Way) -> Vec<u8> {
        let unlike = self.unlike(way);
        let mut faults = Vec::new();
        for at in 0..way.len() {
            let refused = self.end(at).is_some_and(|end| !takes(end, self.typed[at].teeth));
            faults.extend(refused.then_some(0));
            match way[at] {
                None => faults.push(4),
                Some(kind) if !self.sheet.kinds[kind].places[self.place(at)] => faults.push(0),
                Some(_) => {}
            }
            if at > 0 && self.typed[at].keyed {
                faults.extend(self.keyed_wrong(way, at).map(|_| 1));
            } else if unlike[at] {
                faults.push(3);
            }
        }
        let (short, joints) = self.short(way);
        let few = short.values().chain(joints.values()).map(|(needed, owned)| needed - owned);
        let bare = self.loose_pairs(way).saturating_sub(self.sheet.sleeves.min(self.sheet.studs));
        faults.extend(std::iter::repeat_n(2, few.sum::<usize>() + bare));
        faults
    }

    /// How a keyed number can't be keyed so.
    fn keyed_wrong(&self, way: &Way, at: usize) -> Option<String> {
        let teeth = [self.typed[at - 1].teeth, self.typed[at].teeth];
        if self.is_joint(way, at) {
            let joint = &self.sheet.joints[self.joint(way[at])?];
            let turned = way[at - 1] == Some(joint.driver) && !joint.turn_round;
            return turned.then(|| format!("turned {teeth:?}"));
        }
        let (side, other) = match (self.joint(way[at - 1]), self.joint(way[at])) {
            (None, None) => return None,
            (Some(_), _) => (at - 1, at),
            _ => (at, at - 1),
        };
        let kind = way[side]?;
        let joint = &self.sheet.joints[self.joint(way[side])?];
        let partner = &self.sheet.kinds[joint.driven + joint.driver - kind];
        Some(format!(
            "apart {} {} {}",
            self.typed[side].teeth, partner.teeth, self.typed[other].teeth
        ))
    }

    /// Loose kinds and joined pairs that are used more often than owned: needed, owned.
    #[expect(clippy::type_complexity, reason = "two maps of two numbers")]
    fn short(
        &self,
        way: &Way,
    ) -> (BTreeMap<usize, (usize, usize)>, BTreeMap<usize, (usize, usize)>) {
        let mut loose = BTreeMap::new();
        let mut joints = BTreeMap::new();
        for (at, kind) in way.iter().enumerate() {
            let Some(kind) = *kind else { continue };
            let owned = self.count(kind);
            match self.sheet.kinds[kind].owner {
                Owner::Loose => loose.entry(kind).or_insert((0, owned)).0 += 1,
                Owner::Joint(_) if self.is_joint(way, at) => {}
                Owner::Joint(joint) => joints.entry(joint).or_insert((0, owned)).0 += 1,
                Owner::Machine => {}
            }
        }
        loose.retain(|_, (needed, owned)| needed > owned);
        joints.retain(|_, (needed, owned)| needed > owned);
        (loose, joints)
    }

    /// What speaks against a way, in words.
    pub(super) fn objections(&self, way: &Way) -> BTreeSet<String> {
        let gears = self.resolved(way);
        let mut said = BTreeSet::new();
        for at in 0..way.len() {
            let teeth = self.typed[at].teeth;
            if self.end(at).is_some_and(|end| !takes(end, teeth)) {
                said.insert(format!("end {} {teeth}", at == 0));
            }
            if way[at].is_some_and(|kind| !self.sheet.kinds[kind].places[self.place(at)]) {
                said.insert(format!("place {} {teeth}", self.place(at)));
            }
            if at > 0 && self.typed[at].keyed {
                said.extend(self.keyed_wrong(way, at));
            } else if at > 0 && !gears[at - 1].meshes(&gears[at]) {
                said.insert(format!("unlike {} {teeth}", self.typed[at - 1].teeth));
            }
        }
        said.extend(self.too_few(way, &gears));
        let (pairs, shafts) =
            (self.loose_pairs(way), self.typed.iter().filter(|t| !t.keyed).count());
        if pairs > self.sheet.sleeves && self.file.contains("sleeves") {
            said.insert(format!("sleeves {pairs} {}", self.sheet.sleeves));
        }
        if shafts - 2 > self.sheet.studs {
            said.insert(format!("studs {} {}", shafts - 2, self.sheet.studs));
        }
        said
    }

    /// Gears and joined pairs that are needed more often than they are there.
    fn too_few(&self, way: &Way, gears: &[Kind]) -> BTreeSet<String> {
        let mut said = BTreeSet::new();
        let mut teeth_said = BTreeSet::new();
        let (loose, _) = self.short(way);
        let mut joints: Vec<usize> = vec![0; self.sheet.joints.len()];
        for (at, kind) in way.iter().enumerate() {
            if let (Some(joint), false) = (self.joint(*kind), self.is_joint(way, at)) {
                joints[joint] += 1;
            }
        }
        let used = joints.clone();
        let mut done: Vec<&Kind> = Vec::new();
        for gear in gears {
            let alike = |other: &Kind| other.teeth == gear.teeth && other.meshes(gear);
            if done.iter().any(|before| alike(before)) {
                continue;
            }
            done.push(gear);
            let kinds = || (0..self.sheet.kinds.len()).filter(|&k| alike(&self.sheet.kinds[k]));
            let boxed = |kind: &usize| self.sheet.kinds[*kind].owner != Owner::Machine;
            let needed = (0..way.len())
                .filter(|&at| alike(&gears[at]) && way[at].is_none_or(|kind| boxed(&kind)))
                .count();
            let owned: usize = kinds().filter(boxed).map(|kind| self.count(kind)).sum();
            let missing =
                (0..way.len()).filter(|&at| way[at].is_none() && alike(&gears[at])).count();
            let over: usize = kinds().filter_map(|k| loose.get(&k)).map(|(n, own)| n - own).sum();
            let short = missing + over;
            let side = kinds()
                .filter_map(|kind| self.joint(Some(kind)))
                .find(|&joint| used[joint] + short > self.count(self.sheet.joints[joint].driven));
            match side {
                Some(joint) if short > 0 && needed <= owned => joints[joint] += short,
                _ if short > 0 || needed > owned => {
                    teeth_said.insert(gear.teeth);
                    let there = owned.min(needed - short);
                    said.insert(format!("gear {} {} {needed} {there}", gear.teeth, gear.module()));
                }
                _ => {}
            }
        }
        for (joint, needed) in self.sheet.joints.iter().zip(joints) {
            let owned = self.count(joint.driven);
            let teeth = [joint.driven, joint.driver].map(|kind| self.sheet.kinds[kind].teeth);
            if needed > owned && !teeth.iter().any(|teeth| teeth_said.contains(teeth)) {
                said.insert(format!("joint {teeth:?} {needed} {owned}"));
            }
        }
        said
    }

    fn count(&self, kind: usize) -> usize {
        usize::try_from(self.sheet.counts[kind]).expect("few")
    }

    /// Whether a tip comes too near to the axis beside it, mesh by mesh: how often.
    pub(super) fn too_near(&self, way: &Way, least: &Q) -> usize {
        let gears = self.resolved(way);
        let half = |n: u64| Q::new(n.into(), 2.into());
        // What goes round with a number on its shaft.
        let beside = |at: usize| -> Option<Kind> {
            if self.typed[at].keyed {
                return Some(gears[at - 1].clone());
            }
            if self.typed.get(at + 1).is_some_and(|next| next.keyed) {
                return Some(gears[at + 1].clone());
            }
            let joint = &self.sheet.joints[self.joint(way[at])?];
            Some(self.sheet.kinds[joint.driven + joint.driver - way[at]?].clone())
        };
        let near = |at: usize, axis: usize| {
            let Some(other) = beside(at) else { return false };
            let centres = gears[at].module() * half(gears[at].teeth + gears[axis].teeth);
            centres - other.module() * half(other.teeth + 2) < *least
        };
        let meshes = (1..way.len()).filter(|&at| !self.typed[at].keyed);
        meshes.map(|at| usize::from(near(at - 1, at)) + usize::from(near(at, at - 1))).sum()
    }

    /// The train as the library holds it.
    pub(super) fn train(&self) -> Train {
        let gear = |typed: &Typed| {
            let teeth = solver::Teeth::new(typed.teeth).expect("teeth");
            Gear::new(teeth).with_size(typed.size.map(|size| size.parse().expect("a size")))
        };
        let mut shafts: Vec<solver::Shaft> = Vec::new();
        for typed in &self.typed {
            match (typed.keyed, shafts.last_mut()) {
                (true, Some(last)) => {
                    *last = solver::Shaft::Pair { driven: *last.driven(), driver: gear(typed) };
                }
                _ => shafts.push(solver::Shaft::One(gear(typed))),
            }
        }
        Train::new(shafts).expect("a train")
    }
}

fn takes(end: &End, teeth: u64) -> bool {
    match end {
        End::Any => true,
        End::Own(own) => *own == teeth,
        End::Owned(list) => list.contains(&teeth),
    }
}

impl Kind {
    fn with(self, teeth: u64) -> Self {
        Self { teeth, ..self }
    }
}

/// A gear, wherever it goes.
fn described(kind: &Kind) -> String {
    format!("{} m{} {}deg", kind.teeth, kind.module(), kind.angle)
}

impl Case {
    /// The gears of a way, and what they are joined to.
    pub(super) fn described(&self, way: &Way) -> String {
        let partner = |kind: usize| {
            let joint = &self.sheet.joints[self.joint(Some(kind))?];
            Some(described(&self.sheet.kinds[joint.driven + joint.driver - kind]))
        };
        let gears = self.resolved(way);
        let one = |(gear, kind): (&Kind, &Option<usize>)| {
            format!("{} {:?}", described(gear), kind.and_then(partner))
        };
        gears.iter().zip(way).map(one).collect::<Vec<_>>().join(", ")
    }

    pub(super) fn merit(&self, way: &Way) -> (usize, u32) {
        let faults = self.faults(way);
        (faults.len(), faults.into_iter().map(u32::from).sum())
    }
}

impl Case {
    pub(super) fn is_short_of_studs(&self) -> bool {
        self.typed.iter().filter(|typed| !typed.keyed).count() - 2 > self.sheet.studs
    }
}
