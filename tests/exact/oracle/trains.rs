//! Every train of a lathe, one by one: shaft by shaft, each gear in turn.

use super::number::Q;
use super::sheet::{Joint, Kind, Owner, Sheet};

/// The kinds on each shaft, in power-path order; on a stud pair the driven one first.
pub(crate) type Shafts = Vec<Vec<usize>>;

/// Every train that the gears, the studs and the end shafts allow, whatever it cuts; nothing if
/// there are more than `limit`.
pub(crate) fn every_train(sheet: &Sheet, arbor: Option<&Q>, limit: usize) -> Option<Vec<Shafts>> {
    let mut hunt = Hunt { sheet, arbor, limit, left: sheet.counts.clone(), found: Vec::new() };
    for first in 0..sheet.kinds.len() {
        let gear = &sheet.kinds[first];
        if gear.places[0] && sheet.first.takes(gear) {
            hunt.with(&[first], |hunt| hunt.grow(&vec![vec![first]]));
        }
    }
    (hunt.found.len() <= limit).then_some(hunt.found)
}

struct Hunt<'s> {
    sheet: &'s Sheet,
    arbor: Option<&'s Q>,
    limit: usize,
    left: Vec<u64>,
    found: Vec<Shafts>,
}

impl<'s> Hunt<'s> {
    /// Goes on with one piece of each of `kinds` taken out of the box, if there are so many.
    fn with(&mut self, kinds: &[usize], go_on: impl FnOnce(&mut Self)) {
        let before = self.left.clone();
        if kinds.iter().all(|&kind| self.take(kind)) {
            go_on(self);
        }
        self.left = before;
    }

    fn take(&mut self, kind: usize) -> bool {
        if self.left[kind] == 0 {
            return false;
        }
        self.left[kind] -= 1;
        // The other side of a joint goes with it.
        if let Owner::Joint(at) = self.sheet.kinds[kind].owner {
            let Joint { driven, driver, .. } = self.sheet.joints[at];
            self.left[driven + driver - kind] -= 1;
        }
        true
    }

    /// Ends the train in every way, then puts one more stud on in every way.
    fn grow(&mut self, train: &Shafts) {
        if self.found.len() > self.limit {
            return;
        }
        let giver = self.gear(*last_gear(train));
        for last in 0..self.sheet.kinds.len() {
            let gear = self.gear(last);
            if gear.places[2] && giver.meshes(gear) {
                self.with(&[last], |hunt| hunt.keep(with_shaft(train, &[last])));
            }
        }
        if train.len() > self.sheet.studs {
            return;
        }
        for stud in self.studs() {
            let gear = self.gear(stud[0]);
            let longer = with_shaft(train, &stud);
            if giver.meshes(gear) && self.loose_pairs(&longer) <= self.sheet.sleeves {
                // A pair of joined gears is one piece.
                let pieces = if self.is_joint(&stud) { &stud[..1] } else { &stud[..] };
                self.with(pieces, |hunt| hunt.grow(&longer));
            }
        }
    }

    fn gear(&self, kind: usize) -> &'s Kind {
        &self.sheet.kinds[kind]
    }

    /// Everything that one stud can carry.
    fn studs(&self) -> Vec<Vec<usize>> {
        let fit = |kind: &usize| {
            let gear = self.gear(*kind);
            gear.places[1] && gear.owner != Owner::Machine
        };
        let kinds: Vec<usize> = (0..self.sheet.kinds.len()).filter(fit).collect();
        let loose = |kind: &usize| self.gear(*kind).owner == Owner::Loose;
        let mut studs: Vec<Vec<usize>> = kinds.iter().map(|&kind| vec![kind]).collect();
        for &driven in kinds.iter().filter(|k| loose(k)) {
            studs.extend(kinds.iter().filter(|k| loose(k)).map(|&driver| vec![driven, driver]));
        }
        for joint in self.sheet.joints.iter().filter(|j| fit(&j.driven) && fit(&j.driver)) {
            studs.push(vec![joint.driven, joint.driver]);
            if joint.turn_round {
                studs.push(vec![joint.driver, joint.driven]);
            }
        }
        studs
    }

    fn is_joint(&self, stud: &[usize]) -> bool {
        stud.len() == 2 && self.gear(stud[0]).owner != Owner::Loose
    }

    fn loose_pairs(&self, train: &Shafts) -> usize {
        train.iter().filter(|shaft| shaft.len() == 2 && !self.is_joint(shaft)).count()
    }

    fn keep(&mut self, train: Shafts) {
        if self.arbor.is_none_or(|arbor| self.clears(&train, arbor)) {
            self.found.push(train);
        }
    }

    /// Whether all that does not mesh on a shaft, but goes round beside a gear that does, stays clear
    /// of the axis that this gear meshes with: the other gear of a pair, the idle side of a joint.
    fn clears(&self, train: &Shafts, arbor: &Q) -> bool {
        let beside = |shaft: &[usize], meshes: usize| -> Vec<usize> {
            let others = (0..shaft.len()).filter(|&at| at != meshes).map(|at| shaft[at]);
            others.chain(self.sheet.idle(shaft)).collect()
        };
        train.windows(2).all(|two| {
            let driver = two[0].len() - 1;
            let mesh = [two[0][driver], two[1][0]].map(|kind| self.gear(kind));
            let centres = mesh[0].module() * half(mesh[0].teeth + mesh[1].teeth);
            let around = [beside(&two[0], driver), beside(&two[1], 0)].concat();
            let tip = |kind: usize| self.gear(kind).module() * half(self.gear(kind).teeth + 2);
            around.into_iter().all(|kind| &centres - tip(kind) >= *arbor)
        })
    }
}

fn half(number: u64) -> Q {
    Q::new(number.into(), 2.into())
}

fn last_gear(train: &Shafts) -> &usize {
    train.last().and_then(|shaft| shaft.last()).expect("a train has gears")
}

fn with_shaft(train: &Shafts, shaft: &[usize]) -> Shafts {
    let mut longer = train.clone();
    longer.push(shaft.to_vec());
    longer
}

/// Drivers over driven, mesh by mesh: idlers cancel.
pub(crate) fn ratio(sheet: &Sheet, train: &Shafts) -> Q {
    let (drivers, driven) = meshes(sheet, train)
        .iter()
        .fold((1_u64, 1_u64), |(a, b), (driver, driven)| (a * driver, b * driven));
    Q::new(drivers.into(), driven.into())
}

/// Teeth of the driver and the driven gear of each mesh.
pub(crate) fn meshes(sheet: &Sheet, train: &Shafts) -> Vec<(u64, u64)> {
    let teeth = |kind: Option<&usize>| sheet.kinds[*kind.expect("a gear")].teeth;
    train.windows(2).map(|two| (teeth(two[0].last()), teeth(two[1].first()))).collect()
}

/// The most unequal mesh: greater over smaller.
pub(crate) fn spread(sheet: &Sheet, train: &Shafts) -> num_rational::Ratio<u64> {
    let of_mesh = |(a, b): (u64, u64)| num_rational::Ratio::new(a.max(b), a.min(b));
    meshes(sheet, train).into_iter().map(of_mesh).max().expect("a mesh")
}
