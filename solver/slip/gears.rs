//! Trains that are mounted by mistake.

use super::alter::{looks_alike, places, with_shaft, with_teeth};
use super::kind::{self, Slip};
use crate::{End, Gear, Lathe, OnShaft, Shaft, Teeth, Train};

/// A slip of the gears: its points and the train that it mounts.
type Mistake = (Slip, u32, Train);

/// Every train that one slip mounts in place of this one, the one that is on it too. Whether its gears are owned
/// and go where it needs them is asked apart.
pub(crate) fn trains(lathe: &Lathe, last: &End, train: &Train) -> Vec<Mistake> {
    let mut all = turned_round(lathe, train);
    if let Some(now) = lathe.on_now() {
        all.push((Slip::Fitted, kind::FITTED, now.train.clone()));
    }
    all.extend(idling(train));
    all.extend(swapped(lathe, last, train));
    all.extend(keyed(lathe, train));
    all.extend(other_gears(lathe, train));
    all.extend(idlers(lathe, train));
    all.retain(|(_, _, wrong)| wrong != train);
    all
}

/// Keyed pairs turned round, unless they are joined and can't be.
fn turned_round(lathe: &Lathe, train: &Train) -> Vec<Mistake> {
    let turns = |driven: &Gear, driver: &Gear| {
        let joined = lathe.parts().gears.joined().iter();
        let of = |gears: &[Gear; 2]| {
            let teeth = gears.map(|gear| gear.teeth);
            teeth == [driven.teeth, driver.teeth] || teeth == [driver.teeth, driven.teeth]
        };
        joined.filter(|joined| of(&joined.gears)).all(|joined| joined.turn_round)
    };
    let mut all = Vec::new();
    for (at, shaft) in train.shafts().iter().enumerate() {
        let Shaft::Pair { driven, driver } = *shaft else { continue };
        if turns(&driven, &driver) {
            let slip = Slip::TurnedRound { driven: driven.teeth, driver: driver.teeth };
            let round = with_shaft(train, at, Shaft::Pair { driven: driver, driver: driven });
            all.extend(round.map(|wrong| (slip, kind::TURNED_ROUND, wrong)));
        }
    }
    all
}

/// Pairs of which one gear alone is in mesh; which one, no lead tells.
fn idling(train: &Train) -> Vec<Mistake> {
    let mut all = Vec::new();
    for (at, shaft) in train.shafts().iter().enumerate() {
        let Shaft::Pair { driven, driver } = *shaft else { continue };
        let (slip, points) = if train.partner(at).is_some() {
            (Slip::PairAsIdler(driven.teeth), kind::PAIR_AS_IDLER)
        } else {
            (Slip::PairLoose { idler: driven.teeth, idle: driver.teeth }, kind::LOOSE)
        };
        let wrong = with_shaft(train, at, Shaft::One(driven));
        all.extend(wrong.map(|wrong| (slip, points, wrong)));
    }
    all
}

/// Two gears of different shafts in each other's place.
fn swapped(lathe: &Lathe, last: &End, train: &Train) -> Vec<Mistake> {
    let gears: Vec<Teeth> = train.gears().map(|gear| gear.teeth).collect();
    let shafts = places(train);
    let end = gears.len().saturating_sub(1);
    let mut all = Vec::new();
    for (i, &a) in gears.iter().enumerate() {
        for (j, &b) in gears.iter().enumerate().skip(i.saturating_add(1)) {
            if a == b || shafts.get(i).map(|place| place.0) == shafts.get(j).map(|place| place.0) {
                continue;
            }
            let ends = i == 0 && j == end;
            if ends && !(lathe.parts().ends.first.takes(b) && last.takes(a)) {
                continue;
            }
            let (slip, points) = if ends {
                (Slip::EndsExchanged { first: a, last: b }, kind::ENDS)
            } else {
                (Slip::Swapped([a, b]), kind::SWAPPED)
            };
            let wrong = with_teeth(train, i, b).and_then(|train| with_teeth(&train, j, a));
            all.extend(wrong.map(|wrong| (slip, points, wrong)));
        }
    }
    all
}

/// Sizes of the loose gears; whether one is left beside the train is asked apart.
fn sizes(lathe: &Lathe) -> Vec<Teeth> {
    let mut all: Vec<Teeth> =
        lathe.parts().gears.loose().iter().map(|(gear, _)| gear.teeth).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Idlers keyed to a gear of the box.
fn keyed(lathe: &Lathe, train: &Train) -> Vec<Mistake> {
    let sizes = sizes(lathe);
    let mut all = Vec::new();
    for (at, shaft) in train.shafts().iter().enumerate() {
        let Shaft::One(idler) = *shaft else { continue };
        if at == 0 || at == train.meshes() {
            continue;
        }
        for &beside in sizes.iter().filter(|teeth| **teeth != idler.teeth) {
            let other = Gear::new(beside);
            for drives in [true, false] {
                let (driven, driver) = if drives { (idler, other) } else { (other, idler) };
                let slip = Slip::IdlerKeyed { idler: idler.teeth, beside, drives };
                let wrong = with_shaft(train, at, Shaft::Pair { driven, driver });
                all.extend(wrong.map(|wrong| (slip, kind::KEYED, wrong)));
            }
        }
    }
    all
}

/// Another gear of the box in the place of one; of an idler it changes nothing.
fn other_gears(lathe: &Lathe, train: &Train) -> Vec<Mistake> {
    let sizes = sizes(lathe);
    let mut all = Vec::new();
    let shafts = train.shafts().len();
    for (index, ((shaft, _), gear)) in places(train).into_iter().zip(train.gears()).enumerate() {
        let is_stud = shaft > 0 && shaft < train.meshes();
        let is_idler = is_stud && matches!(train.shafts().get(shaft), Some(Shaft::One(_)));
        for &wrong in sizes.iter().filter(|teeth| !is_idler && **teeth != gear.teeth) {
            let points = if looks_alike(gear.teeth, wrong) { kind::ALIKE } else { kind::GEAR };
            let on = OnShaft::of(shaft, shafts);
            let slip = Slip::Gear { on, right: gear.teeth, wrong };
            all.extend(with_teeth(train, index, wrong).map(|train| (slip, points, train)));
        }
    }
    all
}

/// One idler fewer, or one more where a stud is free: the first gear of the box.
fn idlers(lathe: &Lathe, train: &Train) -> Vec<Mistake> {
    let mut all = Vec::new();
    for (at, shaft) in train.shafts().iter().enumerate() {
        let Shaft::One(idler) = *shaft else { continue };
        if at == 0 || at == train.meshes() {
            continue;
        }
        let mut shafts = train.shafts().to_vec();
        shafts.remove(at);
        let slip = Slip::IdlerLeftOut(idler.teeth);
        all.extend(Train::new(shafts).ok().map(|wrong| (slip, kind::IDLER, wrong)));
    }
    let owned = |teeth: &Teeth| lathe.parts().gears.count(|gear| gear.teeth == *teeth);
    let used = |teeth: &Teeth| train.gears().filter(|gear| gear.teeth == *teeth).count();
    let is_spare = |teeth: &Teeth| owned(teeth) > used(teeth);
    if train.studs().len() < usize::from(lathe.parts().studs)
        && let Some(idler) = sizes(lathe).into_iter().find(is_spare)
    {
        let mut shafts = train.shafts().to_vec();
        shafts.insert(train.meshes(), Shaft::One(Gear::new(idler)));
        let slip = Slip::IdlerAdded(idler);
        all.extend(Train::new(shafts).ok().map(|wrong| (slip, kind::IDLER, wrong)));
    }
    all
}
