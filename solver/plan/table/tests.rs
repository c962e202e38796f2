//! Tables with little room, cancelled ones, and plans of any order.

use super::super::Bound;
use super::*;
use crate::{Gear, GearSet, Lead, Length, Parts, Teeth};
use std::sync::atomic::AtomicBool;

/// Three 20s, three 60s and two studs on a screw of 27 mm.
fn lathe() -> Lathe {
    let mut gears = GearSet::new();
    for teeth in [20, 60] {
        gears.add(Gear::new(Teeth::new(teeth).unwrap()), 3).unwrap();
    }
    let mut parts = Parts::plain(gears, mm("27"));
    parts.studs = 2;
    Lathe::new(parts).unwrap()
}

fn mm(text: &str) -> Lead {
    Lead::new(Length::from_mm(text.parse().unwrap()))
}

#[test]
fn a_line_that_two_pairs_do_not_reach_gets_longer_trains() {
    let lathe = lathe();
    let lines = vec![Line::new(mm("9")).with_hand(None), Line::new(mm("1")).with_hand(None)];
    let options = Options::default().with_pairs(2).with_arbor(None);
    let short = TrainTable::new(&lathe, lines.clone(), &options, Watch::none()).unwrap();
    assert_eq!(short.unreachable().map(|(line, _)| line).collect::<Vec<_>>(), [1]);
    assert_eq!(short.wider().count(), 0);
    let wide = TrainTable::widened(&lathe, lines.clone(), &options, Watch::none()).unwrap();
    assert_eq!((wide.unreachable().count(), wide.wider().collect::<Vec<_>>()), (0, vec![1]));
    let plan = wide.as_listed().unwrap();
    let trains: Vec<String> =
        plan.steps.iter().map(|step| step.solution.train.to_string()).collect();
    assert_eq!(trains[1], "20-60+20-60+20-60");
    assert_eq!(wide.search(1).unwrap().proof(8).pairs, 3);
    assert_eq!(wide.search(0).unwrap().proof(8).pairs, 2);
    // Not even three pairs reach 1/81.
    let far = vec![Line::new(mm("1/3")).with_hand(None)];
    let far = TrainTable::widened(&lathe, far, &options, Watch::none()).unwrap();
    let nearest: Vec<_> = far.unreachable().map(|(_, near)| near.unwrap().gears).collect();
    assert_eq!(nearest, [6]);
}

/// 20-60 cuts 9 mm, the nearest to 9.1 mm (1.1 %) and to 20 mm (55 %).
#[test]
fn the_tolerance_is_widened_once_to_the_nearest() {
    let lathe = lathe();
    let options = Options::default().with_pairs(2).with_arbor(None);
    let line = |lead, most: Option<&str>| {
        let most = most.map(|most| most.parse().unwrap());
        Line::new(mm(lead)).with_hand(None).with_at_worst(most)
    };
    let lines = vec![
        line("9", Some("1/10")),
        line("9.1", Some("1/10")),
        line("9.1", Some("1/100")),
        line("9.1", None),
        line("20", Some("1/10")),
    ];
    let table = TrainTable::widened(&lathe, lines, &options, Watch::none()).unwrap();
    let widened: Vec<_> = table.widened_to().map(|(line, to)| (line, to.exact())).collect();
    assert_eq!(widened, [(1, Some("-1/91".parse().unwrap()))]);
    assert_eq!(table.unreachable().map(|(line, _)| line).collect::<Vec<_>>(), [2, 3, 4]);
    assert_eq!((table.wider().count(), table.is_complete()), (0, true));
    let plan = table.as_listed().unwrap();
    let lines: Vec<usize> = plan.steps.iter().map(|step| step.line).collect();
    assert_eq!((lines, plan.is_proven()), (vec![0, 1], true));
    // One train cuts both.
    assert_eq!((plan.trains, plan.cost.handled), (1, 2));
}

/// 20-60 cuts both lines; for each line by itself another train is closer. A table with only those
/// two claimed "at least two trains, proven".
#[test]
fn what_was_not_held_is_in_no_bound() {
    let mut gears = GearSet::new();
    for teeth in [20, 30, 60, 89, 91] {
        gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
    }
    let lathe = Lathe::new(Parts::plain(gears, mm("27"))).unwrap();
    let lines = ["8.9", "9.1"]
        .map(|lead| Line::new(mm(lead)).with_hand(None).with_within("1/50".parse().unwrap()));
    let options = Options::default().with_pairs(1).with_arbor(None);
    let table = |line, closest| {
        let room = Room { all: 1000, line, closest };
        TrainTable::made(&lathe, lines.to_vec(), &options, (true, room), Watch::none()).unwrap()
    };
    let all = table(1000, 1000);
    let plan = all.fewest_trains().unwrap();
    assert_eq!((plan.trains, plan.bound), (1, Bound::Proven(1)));
    assert!(all.is_complete() && plan.is_proven() && all.cut().count() == 0);
    let few = table(1, 1000);
    assert_eq!(few.cut().collect::<Vec<_>>(), [(0, 1), (1, 1)]);
    for plan in [few.fewest_trains(), few.best_order(), few.as_listed()] {
        let plan = plan.unwrap();
        assert!(matches!(plan.bound, Bound::OfHeld(_)), "{:?}", plan.bound);
        assert!(plan.bound.least().is_none() && !plan.is_proven() && !plan.complete);
    }
    assert_eq!(few.fewest_trains().unwrap().bound, Bound::OfHeld(2));
    assert_eq!(few.each_from_fitted(&[0, 1]).unwrap().bound.least(), None);
}

/// The closest of many longer trains: they give no bound.
#[test]
fn longer_trains_that_were_not_all_held_are_no_proof() {
    let lathe = lathe();
    let lines = vec![Line::new(mm("1")).with_hand(None)];
    let options = Options::default().with_pairs(2).with_arbor(None);
    for (closest, complete) in [(1000, true), (0, false)] {
        let room = Room { all: 1000, line: 1000, closest };
        let table =
            TrainTable::made(&lathe, lines.clone(), &options, (true, room), Watch::none()).unwrap();
        assert_eq!(table.wider().collect::<Vec<_>>(), [0]);
        let plan = table.best_order().unwrap();
        assert_eq!((table.is_complete(), plan.is_proven()), (complete, complete));
    }
}

/// 6.9 million choices of four gears are too many for a table: three pairs are searched, and the
/// table says so.
#[test]
fn pairs_that_had_no_room_are_told() {
    let mut gears = GearSet::new();
    for teeth in 16..=130 {
        gears.add(Gear::new(Teeth::new(teeth).unwrap()), 1).unwrap();
    }
    let mut parts = Parts::plain(gears, mm("3"));
    parts.studs = 3;
    let lathe = Lathe::new(parts).unwrap();
    let cancel = AtomicBool::new(true);
    let lines = vec![Line::new(mm("1"))];
    for (pairs, left_out) in [(4, Some((3, 4))), (3, None)] {
        let options = Options::default().with_pairs(pairs);
        let table =
            TrainTable::new(&lathe, lines.clone(), &options, Watch::cancelled_by(&cancel)).unwrap();
        assert_eq!(table.pairs_left_out(), left_out);
    }
}

#[test]
fn a_cancelled_table_tells_what_was_not_searched() {
    let (lathe, cancel) = (lathe(), AtomicBool::new(true));
    let lines = vec![Line::new(mm("9")).with_hand(None)];
    let table =
        TrainTable::widened(&lathe, lines, &Options::default(), Watch::cancelled_by(&cancel))
            .unwrap();
    assert_eq!(table.unsearched().collect::<Vec<_>>(), [0]);
    assert_eq!((table.unreachable().count(), table.unsure().count()), (0, 0));
    assert!(!table.is_complete());
}

#[test]
fn any_order_may_be_asked_for() {
    let lathe = lathe();
    let lines: Vec<Line> = ["9", "27", "81"].map(|lead| Line::new(mm(lead)).with_hand(None)).into();
    let table = TrainTable::new(&lathe, lines, &Options::default(), Watch::none()).unwrap();
    // Unknown lines are left out.
    let plan = table.in_order(&[2, 7, 0]).unwrap();
    assert_eq!(plan.steps.iter().map(|step| step.line).collect::<Vec<_>>(), [2, 0]);
    let alone = table.each_from_fitted(&[2, 7, 0]).unwrap();
    assert_eq!(alone.steps.iter().map(|step| step.line).collect::<Vec<_>>(), [2, 0]);
    // From an empty machine, and nothing is put back.
    let each: usize = alone.steps.iter().map(|step| step.solution.gears).sum();
    assert_eq!((alone.cost.handled, alone.is_proven()), (each, true));
    let naive = table.naive_in_order(&[2, 7, 0]).unwrap();
    assert_eq!(naive.steps.len(), 2);
    assert!(plan.cost.handled <= naive.cost.handled);
}
