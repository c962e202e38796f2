//! The slow solver against sums done by hand: brackets and gears invented.

use super::rig::{KeepOut, Pivot, Rig, Shape, Slot, chain};
use super::stand::{Verdict, judge};

fn near(got: f64, wanted: f64) -> bool {
    (got - wanted).abs() < 1e-6
}

fn straight(from: f64, to: f64) -> Slot {
    Slot::Straight { from, to, angle: 0.0, offset: 0.0 }
}

/// One slot toward the stud, pivot on the lead screw, nothing in the way.
fn free(centres: f64, from: f64, to: f64) -> Rig {
    Rig { first: [0.0, centres], slots: vec![straight(from, to)], ..Rig::default() }
}

fn margin(rig: &Rig, train: &str) -> f64 {
    let Verdict { least, most, .. } = judge(rig, &chain(train, 1.0));
    assert!(least <= most);
    least
}

#[test]
fn a_stud_stands_where_two_circles_meet() {
    // 45 and 60 mm from shafts that are 75 apart: a triangle of 3, 4 and 5.
    let rig = Rig { hubs: [12.0; 3], least_stud: 34.0, ..free(75.0, 34.0, 70.0) };
    let stand = judge(&rig, &chain("30-60-60", 1.0)).stand.expect("it stands");
    assert!(near(stand.places[0].1, 60.0));
    let swing = stand.swing.expect("an arm");
    // cos = 4/5.
    let wanted = 0.8_f64.acos().to_degrees();
    assert!(near(swing, wanted) || near(swing, 360.0 - wanted), "{swing}");
    // The 30 (tip 16) and the 60 (tip 31) are 75 apart: 28 left, 1 of it wanted; the slot has 10.
    assert!(near(stand.margin, 10.0), "{stand:?}");
    assert!(near(margin(&free(75.0, 34.0, 59.0), "30-60-60"), -1.0));
    assert!(near(margin(&free(75.0, 62.5, 80.0), "30-60-60"), -2.5));
    // 45 + 60 = 105 reach 105, not 107.
    assert!(near(margin(&free(107.0, 34.0, 70.0), "30-60-60"), -2.0));
    // 60 - 45 = 15.
    assert!(near(margin(&free(12.0, 34.0, 70.0), "30-60-60"), -3.0));
}

#[test]
fn without_a_stud_the_gears_fill_the_distance() {
    // 60 mm, opened by up to 0.2.
    for (centres, wanted) in [(60.0, 0.0), (60.15, 0.05), (60.1, 0.1), (60.3, -0.1), (59.9, -0.1)] {
        let got = margin(&free(centres, 34.0, 70.0), "40-80");
        assert!(near(got, wanted), "{centres}: {got}");
    }
    assert_eq!(judge(&free(60.1, 34.0, 70.0), &chain("40-80", 1.0)).fits(), Some(true));
    // Nobody can say.
    assert_eq!(judge(&free(60.0, 34.0, 70.0), &chain("40-80", 1.0)).fits(), None);
}

#[test]
fn pivots_swings_and_offsets_are_what_they_are_drawn_as() {
    // The arm may swing by 36.87 degrees, the other way round only.
    let swung = |from, to| Rig { swing: Some([from, to]), ..free(75.0, 34.0, 100.0) };
    let at = |margin: f64| (margin / 50.0).to_degrees();
    assert!(near(at(margin(&swung(-30.0, 30.0), "30-60-60")), 30.0 - 36.869_897_645_844_02));
    assert!(near(at(margin(&swung(-60.0, -30.0), "30-60-60")), 6.869_897_645_844_02));
    // Beside the pivot: 60 = hypot(48, 36).
    let aside = Slot::Straight { from: 40.0, to: 50.0, angle: 0.0, offset: -36.0 };
    let stand = judge(&Rig { slots: vec![aside], ..free(75.0, 0.0, 1.0) }, &chain("30-60-60", 1.0));
    let stand = stand.stand.expect("it stands");
    assert!(near(stand.places[0].1, 48.0) && near(stand.margin, 2.0), "{stand:?}");
    // The same slot on an arm about the driving shaft holds 45 = hypot(27, 36).
    let aside = Slot::Straight { from: 20.0, to: 30.0, angle: 0.0, offset: 36.0 };
    let about = Rig { pivot: Pivot::First, slots: vec![aside], ..free(75.0, 0.0, 1.0) };
    let stand = judge(&about, &chain("30-60-60", 1.0)).stand.expect("it stands");
    assert!(near(stand.places[0].1, 27.0) && near(stand.margin, 3.0), "{stand:?}");
    // About a point 20 to the right of the screw: the stud right of the line is 36 right and 48 up,
    // so 50 from it.
    let about = Rig { pivot: Pivot::At([20.0, 0.0]), ..free(75.0, 45.0, 52.5) };
    let stand = judge(&about, &chain("30-60-60", 1.0)).stand.expect("it stands");
    assert!(
        near(stand.places[0].1, 16.0_f64.hypot(48.0))
            && near(stand.margin, 52.5 - 16.0_f64.hypot(48.0)),
        "{stand:?}"
    );
}

#[test]
fn an_arc_is_met_like_a_slot() {
    // Centre on the arm's line, radius 30, the half of it clockwise: from straight on to back.
    let arc = |from, to| Slot::Arc { along: 50.0, across: 0.0, radius: 30.0, from, to };
    let rig = |from, to| Rig { slots: vec![arc(from, to)], ..free(75.0, 0.0, 1.0) };
    // 60 from the pivot: along = (60^2 + 50^2 - 30^2) / 100 = 52; cos of the angle = 2 / 30.
    let wanted = (2.0_f64 / 30.0).acos().to_degrees();
    let stand = judge(&rig(0.0, 180.0), &chain("30-60-60", 1.0)).stand.expect("it stands");
    assert!(
        near(stand.places[0].1, wanted) || near(stand.places[0].1, wanted - 360.0),
        "{stand:?}"
    );
    assert!(
        margin(&rig(0.0, 80.0), "30-60-60") < 0.0 && margin(&rig(-90.0, -80.0), "30-60-60") > 0.0
    );
    assert!(near(margin(&rig(0.0, 86.0), "30-60-60"), 30.0 * (86.0 - wanted).to_radians()));
}

#[test]
fn holes_and_fixed_arms_use_the_opening() {
    let hole = |at: f64| Rig { slots: vec![straight(at, at)], ..free(75.0, 0.0, 1.0) };
    let fits = |rig: &Rig| judge(rig, &chain("30-60-60", 1.0)).fits();
    assert_eq!(
        [59.0, 60.1, 60.3].map(|at| fits(&hole(at))),
        // Openings are tried in steps: near their ends it does not say.
        [Some(false), Some(true), None]
    );
    assert_eq!(fits(&hole(61.0)), Some(false));
    let fixed = |swing: f64| Rig { swing: Some([swing, swing]), ..free(75.0, 34.0, 70.0) };
    // 36.87 degrees bring the stud 45 from the driving shaft; a tenth more opens that mesh by 0.08.
    assert_eq!(
        [36.97, 35.0, 40.0].map(|swing| fits(&fixed(swing))),
        [Some(true), Some(false), Some(false)]
    );
}

#[test]
fn what_is_in_the_way_is_kept_clear_of() {
    let free = free(75.0, 34.0, 100.0);
    // The stud stands at (+-36, 48) with its 60 (tip 31).
    let wall = |right: f64| {
        let corners = [[right, -90.0], [right + 5.0, -90.0], [right + 5.0, 90.0], [right, 90.0]];
        KeepOut { shape: Shape::Polygon(corners.to_vec()), planes: Vec::new() }
    };
    // On the right it would be 70 - 36 - 31 - 1.
    let right = Rig { keep_outs: vec![wall(70.0)], ..free.clone() };
    assert!(near(margin(&right, "30-60-60"), 26.0), "the stud goes to the left");
    let both = Rig { keep_outs: vec![wall(70.0), wall(-72.0)], ..free.clone() };
    assert!(near(margin(&both, "30-60-60"), 2.0));
    let pin = |planes: Vec<u8>| {
        let pin = |right| Shape::Circle([right, 48.0], 2.5);
        let pins = [36.0, -36.0].map(|r| KeepOut { shape: pin(r + 35.0), planes: planes.clone() });
        Rig { keep_outs: pins.to_vec(), planes: 2, ..free.clone() }
    };
    // 35 away on the right, 37 on the left: 0.5 and more.
    assert!(near(margin(&pin(vec![]), "30-60-60"), 0.5));
    assert!(margin(&pin(vec![1]), "30-60-60") > 1.0, "the gears go to plane 2");
    let cover = Rig {
        cover: Some(vec![[-80.0, -80.0], [80.0, -80.0], [80.0, 95.0], [-80.0, 95.0]]),
        ..free
    };
    // 95 - 75 - 16 - 1.
    assert!(near(margin(&cover, "30-60-60"), 3.0));
}

#[test]
fn pairs_need_planes() {
    let rig =
        |planes, ends: [Vec<u8>; 2]| Rig { planes, end_planes: ends, ..free(80.0, 34.0, 90.0) };
    let fits = |rig: Rig| judge(&rig, &chain("45-55+50-65", 1.0)).fits();
    let any = || [Vec::new(), Vec::new()];
    assert_eq!(fits(rig(1, any())), Some(false));
    assert_eq!(fits(rig(2, any())), Some(true));
    assert_eq!(fits(rig(2, [vec![1], vec![1]])), Some(false));
    assert_eq!(fits(rig(2, [vec![1], vec![2]])), Some(true));
    assert_eq!(fits(rig(4, [vec![1], vec![4]])), Some(false));
    assert_eq!(fits(rig(4, [vec![4], vec![3]])), Some(true));
}

#[test]
fn two_studs_share_a_slot() {
    // 25 drives 30 drives 45 drives 60 in one line on the slot.
    let verdict = judge(&free(100.0, 40.0, 105.0), &chain("25-30-45-60", 1.0));
    let stand = verdict.stand.expect("it stands");
    assert!(near(stand.places[1].1, 52.5) && near(stand.places[0].1, 90.0), "{stand:?}");
    assert_eq!(judge(&free(100.0, 40.0, 89.0), &chain("25-30-45-60", 1.0)).fits(), Some(false));
}
