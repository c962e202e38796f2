//! A lathe as its file says, gears on shafts, and what turns what.

use crate::oracle::compare::lathe_of;
use crate::oracle::number::{Q, q};
use crate::oracle::sheet::{Owner, Sheet, Travel, then};
use crate::oracle::trains::every_train;
use solver::Lathe;
use std::collections::BTreeSet;

/// Teeth on each shaft; on a stud with two gears the driven one first.
type Shafts = Vec<Vec<u64>>;

/// Gears and levers.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct SetUp {
    pub(super) shafts: Shafts,
    pub(super) headstock: usize,
    pub(super) levers: Vec<usize>,
    pub(super) tumbler: Option<usize>,
}

impl SetUp {
    pub(super) fn new(
        train: &str,
        headstock: usize,
        levers: &[usize],
        tumbler: Option<usize>,
    ) -> Self {
        let shaft = |text: &str| text.split('+').map(|teeth| teeth.parse().unwrap()).collect();
        let shafts = train.split('-').map(shaft).collect();
        Self { shafts, headstock, levers: levers.to_vec(), tumbler }
    }

    pub(super) fn text(&self) -> String {
        let shaft =
            |gears: &Vec<u64>| gears.iter().map(u64::to_string).collect::<Vec<_>>().join("+");
        self.shafts.iter().map(shaft).collect::<Vec<_>>().join("-")
    }

    fn with(&self, shafts: Shafts) -> Self {
        Self { shafts, ..self.clone() }
    }
}

/// The lathe, read twice: by the library and by the sheet.
pub(super) struct Bench {
    pub(super) lathe: Lathe,
    sheet: Sheet,
    /// Every train that can be mounted, by kinds; nothing: too many, the gears are counted.
    every: Option<Vec<Vec<Vec<usize>>>>,
}

impl Bench {
    pub(super) fn read(file: &str) -> Self {
        Self { lathe: lathe_of(file).unwrap(), sheet: Sheet::read(file), every: None }
    }

    /// A lathe with few trains.
    pub(super) fn small(file: &str) -> Option<Self> {
        let (lathe, sheet) = (lathe_of(file).ok()?, Sheet::read(file));
        let every = every_train(&sheet, None, 4_000)?;
        Some(Self { lathe, sheet, every: Some(every) })
    }

    /// A train in the first setting that takes it.
    pub(super) fn first_setting(&self, train: &str) -> SetUp {
        let settings = self.sheet.settings(Travel::Thread);
        let tumbler = (!self.lathe.parts().tumbler.is_empty()).then_some(0);
        let set_up =
            |s: &crate::oracle::sheet::Setting| SetUp::new(train, s.headstock, &s.levers, tumbler);
        let all = settings.iter().map(set_up);
        all.into_iter().find(|set_up| self.can_be(set_up)).expect("a setting")
    }

    /// One of all set-ups.
    pub(super) fn any_set_up(&self, which: usize) -> Option<SetUp> {
        let (every, settings) = (self.every.as_ref()?, self.sheet.settings(Travel::Thread));
        let setting = settings.get(which.checked_rem(settings.len())?)?;
        let train = every.get(which.checked_rem(every.len())?)?;
        let shafts = train.iter().map(|shaft| self.teeth_of(shaft)).collect();
        let tumbler = (!self.lathe.parts().tumbler.is_empty()).then_some(0);
        let (headstock, levers) = (setting.headstock, setting.levers.clone());
        let set_up = SetUp { shafts, headstock, levers, tumbler };
        self.can_be(&set_up).then_some(set_up)
    }

    fn teeth_of(&self, shaft: &[usize]) -> Vec<u64> {
        shaft.iter().map(|&kind| self.sheet.kinds[kind].teeth).collect()
    }

    fn setting(&self, set_up: &SetUp) -> crate::oracle::sheet::Setting {
        let all = self.sheet.settings(Travel::Thread);
        let here = |s: &crate::oracle::sheet::Setting| {
            s.headstock == set_up.headstock && s.levers == set_up.levers
        };
        all.into_iter().find(here).expect("a setting of the sheet")
    }

    /// Travel in one turn of the spindle: gear by gear along the train.
    pub(super) fn cuts(&self, set_up: &SetUp) -> Q {
        self.setting(set_up).constant * turns(&set_up.shafts)
    }

    /// Travel for one tooth of each mesh; the headstock turns the driving shaft as fast as the spindle.
    pub(super) fn teeth(&self, set_up: &SetUp) -> Vec<Q> {
        let constant = self.setting(set_up).constant;
        let of = |mesh: usize| {
            let rest = &set_up.shafts[mesh + 1..];
            &constant * turns(rest) / q(i64::try_from(rest[0][0]).unwrap(), 1)
        };
        (0..set_up.shafts.len() - 1).map(of).collect()
    }

    /// How the screw turns against the spindle, the tumbler as it is.
    pub(super) fn sense(&self, set_up: &SetUp) -> Option<i8> {
        let meshes = if set_up.shafts.len() % 2 == 1 { 1 } else { -1 };
        then(self.setting(set_up).sense, Some(meshes))
    }

    /// Every set-up with one mistake that changes the lead.
    pub(super) fn mistakes(&self, right: &SetUp) -> BTreeSet<SetUp> {
        let mut all = Vec::new();
        for setting in self.sheet.settings(Travel::Thread) {
            let levers = setting.levers.iter().zip(&right.levers).filter(|(a, b)| a != b).count();
            if levers + usize::from(setting.headstock != right.headstock) == 1 {
                let (headstock, levers) = (setting.headstock, setting.levers);
                all.push(SetUp { headstock, levers, ..right.clone() });
            }
        }
        let mut trains = exchanged(&right.shafts);
        let loose = self.sheet.kinds.iter().filter(|kind| kind.owner == Owner::Loose);
        let loose: BTreeSet<u64> = loose.map(|kind| kind.teeth).collect();
        trains.extend(replaced(&right.shafts, &loose));
        trains.extend(studs_changed(&right.shafts, &loose));
        if let Some(fitted) = &self.lathe.parts().fitted {
            trains.push(SetUp::new(&fitted.train.to_string(), 0, &[], None).shafts);
        }
        all.extend(trains.into_iter().map(|shafts| right.with(shafts)));
        all.retain(|one| one != right && self.can_be(one));
        all.into_iter().collect()
    }

    /// Whether the gears of a set-up are owned and go where it needs them.
    fn can_be(&self, set_up: &SetUp) -> bool {
        let last = self.setting(set_up).last;
        if let Some(every) = &self.every {
            let same = |train: &&Vec<Vec<usize>>| {
                let end = train.last().and_then(|shaft| shaft.first());
                train.len() == set_up.shafts.len()
                    && train.iter().zip(&set_up.shafts).all(|(a, b)| self.teeth_of(a) == *b)
                    && end.is_some_and(|&kind| last.takes(&self.sheet.kinds[kind]))
            };
            return every.iter().any(|train| same(&train));
        }
        // Pieces of a demo lathe: loose gears, and joined pairs that stay together.
        let mut left = self.sheet.counts.clone();
        let end = set_up.shafts.len() - 1;
        set_up
            .shafts
            .iter()
            .enumerate()
            .all(|(at, shaft)| self.take(&mut left, &last, at, end, shaft))
            && set_up.shafts.len() <= self.sheet.studs + 2
    }

    fn take(
        &self,
        left: &mut [u64],
        last: &crate::oracle::sheet::End,
        at: usize,
        end: usize,
        shaft: &[u64],
    ) -> bool {
        let kinds = &self.sheet.kinds;
        let stud = at > 0 && at < end;
        for joint in self.sheet.joints.iter().filter(|_| stud) {
            let teeth = [joint.driven, joint.driver].map(|kind| kinds[kind].teeth);
            let together = match shaft {
                [one] => teeth.contains(one),
                two => two == teeth || (joint.turn_round && two == [teeth[1], teeth[0]]),
            };
            if together && left[joint.driven] > 0 {
                left[joint.driven] -= 1;
                left[joint.driver] -= 1;
                return true;
            }
        }
        shaft.iter().all(|teeth| {
            let goes = |kind: &usize| {
                let gear = &kinds[*kind];
                let end_takes = match at {
                    0 => self.sheet.first.takes(gear),
                    _ if at == end => last.takes(gear),
                    _ => gear.owner == Owner::Loose,
                };
                let machine = gear.owner == Owner::Machine;
                let place = if at == 0 {
                    0
                } else if at == end {
                    2
                } else {
                    1
                };
                gear.teeth == *teeth
                    && gear.places[place]
                    && end_takes
                    && (machine || left[*kind] > 0)
            };
            let Some(kind) = (0..kinds.len()).find(goes) else { return false };
            if kinds[kind].owner != Owner::Machine {
                left[kind] -= 1;
            }
            true
        })
    }
}

/// Turns of the last shaft for one of the first.
fn turns(shafts: &[Vec<u64>]) -> Q {
    let [first, rest @ ..] = shafts else { return q(1, 1) };
    let Some(next) = rest.first() else { return q(1, 1) };
    let whole = |teeth: u64| i64::try_from(teeth).unwrap();
    q(whole(*first.last().unwrap()), whole(next[0])) * turns(rest)
}

/// Any two gears in each other's place; those of one stud are the pair turned round.
fn exchanged(shafts: &Shafts) -> Vec<Shafts> {
    let places: Vec<(usize, usize)> =
        shafts.iter().enumerate().flat_map(|(s, on)| (0..on.len()).map(move |g| (s, g))).collect();
    let mut all = Vec::new();
    for (i, &(a, x)) in places.iter().enumerate() {
        for &(b, y) in &places[i + 1..] {
            let mut other = shafts.clone();
            (other[a][x], other[b][y]) = (shafts[b][y], shafts[a][x]);
            all.push(other);
        }
    }
    all
}

/// Another loose gear in the place of one, idlers apart.
fn replaced(shafts: &Shafts, loose: &BTreeSet<u64>) -> Vec<Shafts> {
    let end = shafts.len() - 1;
    let mut all = Vec::new();
    for (s, on) in shafts.iter().enumerate() {
        for g in (0..on.len()).filter(|_| on.len() == 2 || s == 0 || s == end) {
            for &teeth in loose {
                let mut other = shafts.clone();
                other[s][g] = teeth;
                all.push(other);
            }
        }
    }
    all
}

/// An idler keyed to a loose gear, and the driven gear of a pair as an idler.
fn studs_changed(shafts: &Shafts, loose: &BTreeSet<u64>) -> Vec<Shafts> {
    let mut all = Vec::new();
    for s in 1..shafts.len() - 1 {
        let mut put = |gears: Vec<u64>| {
            let mut other = shafts.clone();
            other[s] = gears;
            all.push(other);
        };
        match shafts[s][..] {
            [idler] => {
                for &beside in loose.iter().filter(|teeth| **teeth != idler) {
                    put(vec![idler, beside]);
                    put(vec![beside, idler]);
                }
            }
            [driven, _] => put(vec![driven]),
            _ => {}
        }
    }
    all
}
