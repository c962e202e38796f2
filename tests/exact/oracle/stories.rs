//! The enumeration against sums done by hand: lathes and gears invented, arithmetic exact. Where a
//! count leaves out trains whose stud pair is two of one size (an idler in all but name), so does
//! the check.

use super::number::{Target, number, q};
use super::rank::{Ask, Group, Shop, fewest, trade_off};
use super::sheet::{Sheet, Travel};

fn shop(file: &str) -> Shop {
    Shop::open(Sheet::read(file), None, 100_000).expect("few trains")
}

fn thread(mm: &str) -> Ask {
    let target = Target::plain(number(mm));
    Ask { travel: Travel::Thread, target, hand: Some(1), gears: 8 }
}

fn worm(module: &str) -> Ask {
    Ask { target: Target { mm: number(module), pi: true }, ..thread("1") }
}

fn names(shop: &Shop, group: &Group) -> Vec<String> {
    let teeth = |kind: &usize| shop.sheet.kinds[*kind].teeth.to_string();
    let shaft = |shaft: &Vec<usize>| shaft.iter().map(teeth).collect::<Vec<_>>().join("+");
    let train = |shafts: &Vec<Vec<usize>>| shafts.iter().map(shaft).collect::<Vec<_>>().join("-");
    group.rows.iter().map(|row| train(&row.shafts)).collect()
}

/// Trains of two gear pairs and no idler, pairs of two like gears left out.
fn compound(shop: &Shop, group: &Group) -> Vec<String> {
    let unlike = |train: &String| {
        let stud = train.split('-').nth(1).and_then(|stud| stud.split_once('+'));
        stud.is_some_and(|(driven, driver)| driven != driver)
    };
    names(shop, group).into_iter().filter(unlike).collect()
}

const METRIC_ON_INCH: &str = r#"{"format": 1, "lead_screw": {"lead": "12 tpi"},
    "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
    "gears": {"pitch": "module 1",
        "owned": [21, 24, 26, 30, 32, 34, 40, 45, 50, 51, 63, 64, 64, 75]}}"#;

#[test]
fn one_millimetre_on_twelve_per_inch() {
    let shop = shop(METRIC_ON_INCH);
    let groups = shop.groups(&thread("1"));
    assert_eq!(groups[0].miss.tenths_of_ppm(), 1250);
    let trains = compound(&shop, &groups[0]);
    assert_eq!(trains.len(), 8, "{trains:?}");
    assert!(trains.contains(&"63-50+24-64".to_owned()));
    // Up turns the stud train's two meshes into a right-hand thread.
    assert_eq!((groups[0].rows[0].tumbler, groups[0].rows[0].hand), (Some(0), Some(1)));
    let groups = shop.groups(&thread("1.25"));
    assert_eq!(groups[0].miss.tenths_of_ppm(), 1250);
    assert!(compound(&shop, &groups[0]).contains(&"30-64+63-50".to_owned()));
}

#[test]
fn the_arbor_rule_keeps_large_gears_off_the_next_shaft() {
    // 30 + 35 against 80 + 15 on the first side: 32.5 - 41 mm is less than 6.5 mm.
    let file = |owned: &str| {
        format!(
            r#"{{"lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}},
                "ends": {{"driving": [30], "driven": [40]}}, "gears": {{"owned": {owned}}}}}"#
        )
    };
    let count = |owned: &str, arbor: Option<&str>| {
        let arbor = arbor.map(number);
        let shop = Shop::open(Sheet::read(&file(owned)), arbor.as_ref(), 100).unwrap();
        shop.groups(&thread("3")).iter().map(|g| compound(&shop, g).len()).sum::<usize>()
    };
    assert_eq!(count("[30, 35, 80, 40]", None), 2);
    assert_eq!(count("[30, 35, 80, 40]", Some("6.5")), 0);
    // 30 + 40 = 55 + 15: just enough (and 55+40 has room to spare); one tooth less leaves only 55+39.
    assert_eq!(count("[30, 40, 55, 40]", Some("6.5")), 2);
    assert_eq!(count("[30, 39, 55, 40]", Some("6.5")), 1);
}

#[test]
fn half_speed_first_gear_on_ten_per_inch() {
    let shop = shop(
        r#"{"lead_screw": {"lead": "10 tpi"}, "headstock": {"ratio": "1/2"}, "gears": {"owned":
            [24, 28, 32, 36, 40, 40, 44, 48, 52, 56, 60, 64, 72, 80]}}"#,
    );
    let equal = shop.groups(&thread("1.27"));
    assert!(names(&shop, &equal[0]).contains(&"40-40".to_owned()));
    // 25 to the inch.
    let fine = shop.groups(&thread("1.016"));
    assert_eq!(fine[0].miss.tenths_of_ppm(), 0);
    assert!(names(&shop, &fine[0]).contains(&"64-80".to_owned()));
    // 11 1/2 to the inch is 25.4 / 11.5 mm.
    let groups = shop.groups(&thread("508/230"));
    assert_eq!(groups[0].miss.tenths_of_ppm(), 11161);
    assert!(names(&shop, &groups[0]).contains(&"52-56+60-32".to_owned()));
    let rows = trade_off(&groups);
    assert_eq!(groups[rows[0].0].miss.tenths_of_ppm(), 62500);
    assert_eq!(groups[rows[0].0].rows[rows[0].1].order.teeth, [56, 32]);
    assert_eq!(fewest(&groups, &q(1, 150)), Some(rows[0]));
    assert_eq!(fewest(&groups, &q(1, 500)).map(|(group, _)| group), Some(0));
    assert_eq!(fewest(&groups, &q(1, 1000)), None);
}

#[test]
fn the_hand_without_a_tumbler_is_set_by_idlers() {
    let shop = shop(
        r#"{"lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1", "turns": "same"},
            "studs": 2, "sleeves": 0,
            "gears": {"owned": [20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75]}}"#,
    );
    let right = shop.groups(&thread("1.25"));
    assert_eq!(right[0].miss.tenths_of_ppm(), 0);
    // One idler between 25 and 60; 40 keeps the meshes closest to equal (8 : 5).
    assert_eq!(names(&shop, &right[0])[0], "25-40-60");
    let left = shop.groups(&Ask { hand: Some(-1), ..thread("1.25") });
    assert_eq!(left[0].miss.tenths_of_ppm(), 0);
    // The two ends in mesh, where they reach each other; else two idlers: 7 : 5 is the least that
    // the largest of three steps can be.
    assert_eq!(names(&shop, &left[0])[..2], ["25-60", "25-35-45-60"]);
}

#[test]
fn feeds_of_a_worm_driven_carriage() {
    let shop = shop(
        r#"{"lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1"},
            "feeds": {"long": "0.5 mm", "cross": "0.25 mm"},
            "gears": {"owned": [20, 20, 30, 40, 45, 50, 60, 65, 80, 80]}}"#,
    );
    let feed = |travel, mm| Ask { travel, hand: None, ..thread(mm) };
    let long = shop.groups(&feed(Travel::Long, "0.1"));
    assert_eq!(compound(&shop, &long[0]).len(), 10);
    assert_eq!(shop.leads(Travel::Long)[0], q(1, 32));
    assert_eq!(shop.leads(Travel::Cross)[0], q(1, 64));
    assert_eq!(shop.leads(Travel::Thread)[0], q(3, 16));
}

#[test]
fn worms_on_a_three_millimetre_screw() {
    let shop = shop(
        r#"{"lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1"}, "gears": {"owned":
            [20, 25, 28, 30, 33, 35, 40, 45, 50, 55, 60, 65, 70, 80]}}"#,
    );
    let one = shop.groups(&worm("1"));
    assert_eq!(one[0].miss.tenths_of_ppm(), 4025);
    let trains = names(&shop, &one[0]);
    assert_eq!(trains.len(), 32, "{trains:?}");
    assert!(trains.contains(&"40-60+55-35".to_owned()));
    let small = shop.groups(&worm("0.8"));
    assert_eq!(small[0].miss.tenths_of_ppm(), -1805);
    assert!(names(&shop, &small[0]).contains(&"35-65+70-45".to_owned()));
    let large = shop.groups(&worm("2"));
    assert_eq!(large[0].miss.tenths_of_ppm(), 4025);
    assert!(names(&shop, &large[0]).contains(&"55-35+60-45".to_owned()));
}

/// Two levers, of four and of six: threads per inch are lower / 2 / upper with 30 driving 60.
fn gearbox(turn_round: bool) -> Shop {
    let lower = [16, 18, 20, 22, 23, 28];
    let lower: Vec<String> =
        lower.iter().enumerate().map(|(i, c)| format!(r#""{}": "16/{c}""#, i + 1)).collect();
    // Their bore suits the driving shaft only.
    let first: Vec<String> = [30, 35, 45, 50, 55]
        .map(|teeth| format!(r#"{{"teeth": {teeth}, "places": ["driving"]}}"#))
        .to_vec();
    shop(&format!(
        r#"{{"lead_screw": {{"lead": "4 tpi"}}, "headstock": {{"ratio": "1"}},
            "gears": {{"owned": [{}],
                "joined": [{{"gears": [127, 120], "turn_round": {turn_round}}}]}},
            "ends": {{"driving": [30, 35, 45, 50, 55], "driven": 60}},
            "fitted": {{"train": "30-127-60"}},
            "gearbox": {{"levers": [
                {{"name": "Upper", "positions": {{"I": 2, "II": "1", "III": "1/2", "IV": "1/4"}}}},
                {{"name": "Lower", "positions": {{{}}}}}]}}}}"#,
        first.join(", "),
        lower.join(", ")
    ))
}

#[test]
fn metric_threads_from_an_inch_gearbox() {
    let shop = gearbox(false);
    let place = |group: &Group| {
        let setting = group.rows[0].order.setting;
        shop.sheet.settings(Travel::Thread)[setting].levers.clone()
    };
    for (mm, train, levers) in [
        ("1.75", "35-127+120-60", [2, 0]),
        ("1.25", "50-127+120-60", [3, 0]),
        ("0.7", "35-127+120-60", [3, 2]),
        ("2.5", "50-127+120-60", [2, 0]),
    ] {
        let groups = shop.groups(&thread(mm));
        assert_eq!(groups[0].miss.tenths_of_ppm(), 0, "{mm} mm");
        let at = names(&shop, &groups[0]).iter().position(|name| name == train).expect(mm);
        let setting = groups[0].rows[at].order.setting;
        assert_eq!(shop.sheet.settings(Travel::Thread)[setting].levers, levers, "{mm} mm");
    }
    // 0.8 mm: 30 and 60 alone, or over the 127 as an idler, come closest while the joint stays
    // one way round.
    let idler = shop.groups(&thread("0.8"));
    assert_eq!(idler[0].miss.tenths_of_ppm(), -78125);
    assert_eq!((names(&shop, &idler[0])[0].as_str(), place(&idler[0])), ("30-60", vec![3, 0]));
    let fitted = names(&shop, &idler[0]).iter().position(|name| name == "30-127-60");
    let handled = |at: usize| idler[0].rows[at].order.handled;
    assert_eq!((handled(0), fitted.map(handled)), (1, Some(0)));
    let joint = idler.iter().find(|g| names(&shop, g)[0].contains("127+120")).expect("a joint");
    assert_eq!(joint.miss.tenths_of_ppm(), -178_571);
    assert_eq!((names(&shop, joint)[0].as_str(), place(joint)), ("55-127+120-60", vec![3, 5]));
    // The other way round.
    let shop = gearbox(true);
    let turned = shop.groups(&thread("0.8"));
    assert_eq!(turned[0].miss.tenths_of_ppm(), 620);
    assert_eq!(names(&shop, &turned[0])[0], "50-120+127-60");
}
