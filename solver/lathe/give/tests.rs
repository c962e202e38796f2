use super::walk::MOST_WAYS;
use super::*;
use crate::{GearSet, Lead, Parts, Places};

fn gear(teeth: u64, size: &str) -> Gear {
    Gear::new(Teeth::new(teeth).unwrap()).with_size(Some(size.parse().unwrap()))
}

/// Module 1: 40 30; 20 DP: 40 60; module 1 for good together: 127/120.
fn lathe(change: impl FnOnce(&mut Parts)) -> Lathe {
    let mut gears = GearSet::new();
    for (teeth, size) in [(40, "module 1"), (30, "module 1"), (40, "20 DP"), (60, "20 DP")] {
        gears.add(gear(teeth, size), 1).unwrap();
    }
    gears.join(Joined::new(gear(127, "module 1"), gear(120, "module 1"))).unwrap();
    let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse().unwrap()).unwrap());
    (parts.studs, parts.sleeves) = (2, Some(1));
    change(&mut parts);
    Lathe::new(parts).unwrap()
}

fn sizes(given: &Given) -> Vec<String> {
    given.train.gears().map(|gear| gear.size.unwrap().to_string()).collect()
}

fn first(lathe: &Lathe, train: &str) -> Given {
    lathe.give(&train.parse().unwrap(), &End::Any).unwrap().swap_remove(0)
}

#[test]
fn the_gear_that_meshes_is_meant_whichever_comes_first() {
    let lathe = lathe(|_| ());
    for (train, wanted) in [
        ("40-60", ["20 DP", "20 DP"].as_slice()),
        ("40-30", &["module 1", "module 1"]),
        ("60-40", &["20 DP", "20 DP"]),
        // The 40 of module 1 is needed behind: only the whole train decides it.
        ("60-40+40-30", &["20 DP", "20 DP", "module 1", "module 1"]),
        ("30-40+40-60", &["module 1", "module 1", "20 DP", "20 DP"]),
    ] {
        let given = first(&lathe, train);
        assert_eq!(
            (sizes(&given).as_slice(), given.lacks.as_slice()),
            (wanted.iter().map(ToString::to_string).collect::<Vec<_>>().as_slice(), [].as_slice()),
            "{train}"
        );
    }
}

#[test]
fn a_true_lack_is_named_and_no_more_than_needed() {
    let lathe = lathe(|_| ());
    let lacks = |train: &str| first(&lathe, train).lacks;
    let (forty, dp) = (gear(40, "module 1"), gear(40, "20 DP"));
    assert_eq!(
        lacks("30-60"),
        [Lack::Unlike { driver: gear(30, "module 1"), driven: gear(60, "20 DP") }]
    );
    assert_eq!(
        lacks("40-30-40"),
        [Lack::Gear { gear: forty, needed: 2, owned: 1, other_sizes: true }]
    );
    assert_eq!(
        lacks("40-40-60"),
        [Lack::Gear { gear: dp, needed: 2, owned: 1, other_sizes: true }]
    );
    // One that is not owned gets the size that it must mesh with.
    let none = |size| Lack::Gear { gear: gear(50, size), needed: 1, owned: 0, other_sizes: false };
    assert_eq!(lacks("50-60"), [none("20 DP")]);
    assert_eq!(lacks("30-50"), [none("module 1")]);
    // One that was typed with its size keeps that size: it is not the 30 of module 1.
    let shaft = |teeth, size| Shaft::One(gear(teeth, size));
    let typed = Train::new(vec![shaft(30, "20 DP"), shaft(60, "20 DP")]).unwrap();
    let given = lathe.give(&typed, &End::Any).unwrap().swap_remove(0);
    let lack = Lack::Gear { gear: gear(30, "20 DP"), needed: 1, owned: 0, other_sizes: true };
    assert_eq!(given.lacks, [lack]);
    let typed = Train::new(vec![shaft(40, "module 1"), shaft(30, "20 DP")]).unwrap();
    let given = lathe.give(&typed, &End::Any).unwrap().swap_remove(0);
    assert!(given.lacks.iter().any(|lack| matches!(lack, Lack::Gear { owned: 0, .. })));
}

#[test]
fn joined_gears_are_one_piece() {
    let lathe = lathe(|_| ());
    let teeth = |teeth| Teeth::new(teeth).unwrap();
    let lacks = |train: &str| first(&lathe, train).lacks;
    assert_eq!(lacks("40-127+120-30"), []);
    assert_eq!(lacks("40-120+127-30"), []);
    assert_eq!(lacks("40-127-30"), []);
    let joint = Lack::Joint { gears: [teeth(127), teeth(120)], needed: 2, owned: 1 };
    assert_eq!(lacks("40-127-120-30"), [joint]);
    let apart = Lack::Apart { teeth: teeth(127), partner: teeth(120), beside: teeth(40) };
    assert_eq!(lacks("30-127+40-60"), [apart]);
    // A 40 by itself and one joined to a 60: where the 60 is used, its 40 is not there too.
    let two = self::lathe(|parts| {
        let mut gears = GearSet::new();
        gears.add(gear(40, "module 1"), 1).unwrap();
        gears.join(Joined::new(gear(60, "module 1"), gear(40, "module 1"))).unwrap();
        (parts.gears, parts.sleeves) = (gears, Some(2));
    });
    let joint = Lack::Joint { gears: [teeth(60), teeth(40)], needed: 2, owned: 1 };
    assert_eq!(first(&two, "40-60-40").lacks, [joint]);
    assert_eq!(first(&two, "40-60").lacks, []);
    let fixed = self::lathe(|parts| {
        let mut gears = GearSet::new();
        gears.add(gear(40, "module 1"), 2).unwrap();
        let pair = Joined::new(gear(127, "module 1"), gear(120, "module 1"));
        gears.join(pair.with_turn_round(false)).unwrap();
        parts.gears = gears;
    });
    assert_eq!(first(&fixed, "40-127+120-40").lacks, []);
    let turned = Lack::Turned { driven: teeth(120), driver: teeth(127) };
    assert_eq!(first(&fixed, "40-120+127-40").lacks, [turned]);
}

#[test]
fn sleeves_are_for_loose_pairs_and_places_are_kept() {
    let none = lathe(|parts| parts.sleeves = Some(0));
    assert_eq!(first(&none, "40-127+120-30").lacks, []);
    assert_eq!(first(&none, "60-40+40-30").lacks, [Lack::Sleeves { needed: 1, owned: 0 }]);
    let few = lathe(|parts| parts.studs = 1);
    assert_eq!(
        first(&few, "40-127-30-40").lacks.last(),
        Some(&Lack::Studs { needed: 2, owned: 1 })
    );
    let ends = lathe(|parts| {
        let only = gear(65, "module 1").with_places(Places::only(&[Place::Last]));
        parts.gears.add(only, 1).unwrap();
        parts.ends.first = End::Own(Teeth::new(30).unwrap());
    });
    assert_eq!(first(&ends, "30-65").lacks, []);
    assert_eq!(first(&ends, "30-65").origins, [Origin::Own, Origin::Loose(4)]);
    assert_eq!(first(&ends, "30-30-65").lacks, []);
    let (teeth, place) = (Teeth::new(65).unwrap(), Place::Stud);
    assert_eq!(first(&ends, "30-65-30").lacks, [Lack::Place { teeth, place }]);
    let teeth = Teeth::new(40).unwrap();
    let takes = End::Own(Teeth::new(30).unwrap());
    assert_eq!(first(&ends, "40-65").lacks, [Lack::End { first: true, teeth, takes }]);
}

/// All equally good choices are given: the bracket decides.
#[test]
fn every_equally_good_way_is_given() {
    let lathe = lathe(|parts| {
        parts.gears.add(gear(60, "module 1"), 1).unwrap();
    });
    let ways = lathe.give(&"40-60".parse().unwrap(), &End::Any).unwrap();
    let sizes: Vec<_> = ways.iter().map(|given| sizes(given)[0].clone()).collect();
    assert_eq!(sizes, ["module 1", "20 DP"]);
}

/// 250 gears of one number: quick, and the choice without a lack is found.
#[test]
fn a_box_of_one_number_takes_no_time() {
    let mut gears = GearSet::new();
    for i in 1..=125_u64 {
        gears.add(gear(40, &format!("module {i}")), 1).unwrap();
        gears.add(gear(41, &format!("module {i}")), 1).unwrap();
    }
    let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse().unwrap()).unwrap());
    parts.studs = 3;
    let lathe = Lathe::new(parts).unwrap();
    for train in ["40-41+40-41+40-41+40-41", "40-41+41-40+40-41+41-40"] {
        let ways = lathe.give(&train.parse().unwrap(), &End::Any).unwrap();
        assert_eq!((ways.len(), ways[0].lacks.as_slice()), (MOST_WAYS, [].as_slice()));
    }
    // Each twice in one mesh: none is owned twice.
    let ways = lathe.give(&"40-40+41-41+40-40+41-41".parse().unwrap(), &End::Any).unwrap();
    assert_eq!(ways[0].lacks.len(), 4, "{:?}", ways[0].lacks);
}
