//! Does the half nut close where the library says, and is the next start where it says?
//!
//! Published cases stand in `data/worked.toml`. Here: what people stand before (lathes invented,
//! figures worked out apart from this program), and the mechanism itself, turned by brute force.

mod mechanism;
mod starts;

use solver::dial::{Advice, Back, Closing, DialReading, HalfNut, Landing, Why};
use solver::{Dial, Gear, GearSet, Lathe, Lead, Parts, Target, Teeth};

/// A lathe that is a screw and its dials.
fn lathe(screw: &str, dials: &[(u16, u16)]) -> Lathe {
    Lathe::new(parts(screw, dials)).unwrap()
}

fn parts(screw: &str, dials: &[(u16, u16)]) -> Parts {
    let mut gears = GearSet::new();
    gears.add(Gear::new(Teeth::new(40).unwrap()), 2).unwrap();
    let dial = |(teeth, lines): &(u16, u16)| Dial { teeth: *teeth, lines: *lines, labels: vec![] };
    let mut parts = Parts::plain(gears, lead(screw));
    parts.dials = dials.iter().map(dial).collect();
    parts
}

fn lead(text: &str) -> Lead {
    text.parse::<Target>().unwrap().lead()
}

/// The lead that so many turns of the last gear for one of the first cut.
fn cut(screw: &str, ratio: &str) -> Lead {
    lead(screw).times(&ratio.parse().unwrap()).unwrap()
}

/// Indices of the lines, class by class.
fn classes(reading: &DialReading) -> Vec<Vec<u16>> {
    let lines = |class: &solver::dial::LineClass| class.lines().map(|line| line.index).collect();
    reading.classes().iter().map(lines).collect()
}

/// A train on a metric thread and an inch screw: the nut stays closed, and when it comes round.
fn stays_closed(screw: &str, ratio: &str, dials: &[(u16, u16)]) -> (u128, String) {
    let plan = HalfNut::new(&lathe(screw, dials), &cut(screw, ratio), 1).unwrap();
    assert!(matches!(plan.advice(), Advice::KeepClosed(_)), "{plan:?}");
    let repeat = plan.repeat().unwrap();
    (repeat.pitches(), repeat.distance().unwrap().to_string())
}

// Metric on an inch bench lathe, 12 TPI, dial of 24 teeth: 1 mm by 34-45+40-64 and 1.25 mm by
// 30-64+63-50.
#[test]
fn metric_on_an_inch_screw_stays_closed() {
    let dial = [(24, 8)];
    assert_eq!(stays_closed("12 tpi", "17/36", &dial), (17, "2159/60 mm".into())); // 35.983
    assert_eq!(stays_closed("12 tpi", "189/320", &dial), (189, "8001/20 mm".into())); // 400.05
    let plan = HalfNut::new(&lathe("12 tpi", &dial), &cut("12 tpi", "17/36"), 1).unwrap();
    let [reading] = &plan.dials[..] else { panic!("one dial") };
    assert_eq!(reading.turns_to_repeat().unwrap(), "17/24".parse().unwrap());
    assert_eq!(reading.turns_to_same_line().unwrap(), 17);
    assert_eq!(reading.landing(0, 0), None);
    assert_eq!(plan.advice(), Advice::KeepClosed(Why::NoDialWorks));
}

// M10 x 1.5 on 8 TPI: by 30-80+63-50, and exactly by 30-127+100-50, which comes round after 127
// threads.
#[test]
fn the_true_ratio_counts_and_not_the_nominal_pitch() {
    assert_eq!(stays_closed("8 tpi", "189/400", &[(16, 8)]).0, 189);
    assert_eq!(stays_closed("8 tpi", "60/127", &[(16, 8)]), (60, "381/2 mm".into())); // 190.5
    let plan = HalfNut::new(&lathe("8 tpi", &[]), &cut("8 tpi", "60/127"), 1).unwrap();
    assert_eq!(plan.repeat().unwrap().spindle_turns(), 127);
}

// 1.25 mm on a 3 mm screw, R = 5/12, dial gears of 14, 15, 16, 18 and 20 teeth: 15 (3 lines a turn)
// and 20 (4 lines) serve, the others come round in 5 turns.
#[test]
fn of_exchangeable_dial_gears_those_that_serve_are_named() {
    let dials = [(14, 14), (15, 15), (16, 16), (18, 18), (20, 20)];
    let plan = HalfNut::new(&lathe("3 mm", &dials), &lead("1.25 mm"), 1).unwrap();
    assert_eq!(plan.repeat().unwrap().pitches(), 5);
    let serving: Vec<_> = plan.usable_dials().iter().map(|dial| dial.teeth()).collect();
    assert_eq!(serving, [20, 15]); // four lines before three
    let first = |teeth| {
        let reading = plan.dials.iter().find(|dial| dial.teeth() == teeth).unwrap();
        (classes(reading).first().cloned(), reading.turns_to_same_line().unwrap())
    };
    assert_eq!(first(15), (Some(vec![0, 5, 10]), 1));
    assert_eq!(first(20), (Some(vec![0, 5, 10, 15]), 1));
    for teeth in [14, 16, 18] {
        assert_eq!(first(teeth), (None, 5));
    }
    assert_eq!(plan.repeat().unwrap().dial_gears().take(3).collect::<Vec<_>>(), [5, 10, 15]);
}

// 8 TPI, 16 teeth, 8 lines: 11 1/2 TPI the same line only, 11 and 13 opposite lines, 20 any line but
// not between them; 1.75 mm stays closed, 222.25 mm.
#[test]
fn inch_threads_on_a_dial_of_sixteen() {
    let of = |thread| {
        let plan = HalfNut::new(&lathe("8 tpi", &[(16, 8)]), &lead(thread), 1).unwrap();
        (plan.repeat().unwrap().pitches(), classes(&plan.dials[0]))
    };
    let singles: Vec<Vec<u16>> = (0..8).map(|line| vec![line]).collect();
    assert_eq!(of("11.5 tpi"), (16, singles));
    let opposite = vec![vec![0, 4], vec![1, 5], vec![2, 6], vec![3, 7]];
    assert_eq!(of("11 tpi"), (8, opposite.clone()));
    assert_eq!(of("13 tpi"), (8, opposite));
    assert_eq!(of("20 tpi"), (2, vec![(0..8).collect()]));
    assert_eq!(stays_closed("8 tpi", "70/127", &[(16, 8)]), (70, "889/4 mm".into()));
    let plan = HalfNut::new(&lathe("8 tpi", &[(16, 8)]), &lead("20 tpi"), 1).unwrap();
    assert!(plan.dials[0].classes().len() == 1 && !plan.repeat().unwrap().is_anywhere());
    assert_eq!(plan.repeat().unwrap().landing(1), Landing::Spoils); // half way between two lines
}

// A worm of module 1 on a 3 mm screw, by 22/21: closed. The cut lead has no pi, so it does come round.
#[test]
fn a_worm_comes_round_as_its_train_does() {
    assert_eq!(stays_closed("3 mm", "22/21", &[(16, 8)]), (22, "66 mm".into()));
    let exact = HalfNut::new(&lathe("3 mm", &[(16, 8)]), &lead("module 1"), 1).unwrap();
    assert_eq!((exact.closing, exact.advice()), (Closing::Never, Advice::KeepClosed(Why::Never)));
    assert!(exact.dials.is_empty() && exact.repeat().is_none());
}

#[test]
fn a_multiple_of_the_screw_closes_anywhere_without_a_dial() {
    for thread in ["8 tpi", "16 tpi", "24 tpi"] {
        let plan = HalfNut::new(&lathe("8 tpi", &[]), &lead(thread), 1).unwrap();
        assert_eq!(plan.advice(), Advice::Anywhere, "{thread}");
    }
    let plan = HalfNut::new(&lathe("8 tpi", &[]), &lead("9 tpi"), 1).unwrap();
    assert_eq!(plan.advice(), Advice::KeepClosed(Why::NoDial));
}

#[test]
fn what_the_lathe_lacks_is_said() {
    let thread = lead("1 mm");
    let plan = |change: fn(&mut Parts)| {
        let mut parts = parts("8 tpi", &[(16, 8)]);
        change(&mut parts);
        HalfNut::new(&Lathe::new(parts).unwrap(), &thread, 1).unwrap()
    };
    let shut = plan(|parts| parts.half_nut = Some(false));
    assert_eq!((shut.closing, shut.back), (Closing::NoHalfNut, Back::Unknown));
    assert_eq!(shut.advice(), Advice::KeepClosed(Why::NoHalfNut));
    assert_eq!(plan(|parts| parts.reverse = Some(false)).back, Back::Crank);
    assert_eq!(plan(|parts| parts.reverse = Some(true)).back, Back::Motor);
    let unknown = plan(|parts| {
        parts.lead_screw.lead = None;
        parts.screw_constant = Some(lead("8 tpi"));
    });
    assert_eq!(unknown.closing, Closing::UnknownScrew);
    assert_eq!(unknown.advice(), Advice::KeepClosed(Why::UnknownScrew));
    assert!(HalfNut::new(&lathe("8 tpi", &[]), &thread, 0).unwrap_err().is_range());
    assert!(HalfNut::new(&lathe("8 tpi", &[]), &thread, 100).unwrap_err().is_range());
}

#[test]
fn labels_and_blind_lines() {
    let mut parts = parts("8 tpi", &[]);
    let labels = ["1", "", "2", "", "3", "", "", ""].map(str::to_owned).to_vec();
    parts.dials = vec![
        Dial { teeth: 16, lines: 8, labels },
        Dial { teeth: 20, lines: 8, labels: Vec::new() },
    ];
    let plan = HalfNut::new(&Lathe::new(parts).unwrap(), &lead("20 tpi"), 1).unwrap();
    let label = |line: &solver::dial::DialLine| line.label.clone();
    let labels: Vec<_> = plan.dials[0].classes()[0].lines().filter_map(label).collect();
    assert_eq!(labels, ["1", "2", "3"]);
    // 20 teeth by 8 lines: every other line stands between teeth, and 5 teeth are no multiple of 2.
    assert_eq!(plan.dials[1].blind(), [1, 3, 5, 7]);
    assert_eq!(classes(&plan.dials[1]), [vec![0, 4], vec![2, 6]]);
    assert_eq!(plan.dials[1].landing(0, 1), None);
    assert_eq!(plan.dials[1].landing(0, 2), Some(Landing::Spoils));
    let Advice::Lines(best) = plan.advice() else { panic!("both serve") };
    assert_eq!(best.dial(), 0);
}

// Two starts of 1/4 in on a 4 TPI screw, lead 1/2 in: p = 2. Every other line falls into the other
// start.
#[test]
fn lines_that_fall_into_another_start_are_marked() {
    let plan = HalfNut::new(&lathe("4 tpi", &[(16, 16)]), &lead("2 tpi"), 2).unwrap();
    let [reading] = &plan.dials[..] else { panic!("one dial") };
    assert_eq!(reading.landing(3, 7), Some(Landing::Own));
    assert_eq!(reading.landing(3, 4), Some(Landing::OtherStart(1)));
    let single = HalfNut::new(&lathe("4 tpi", &[(16, 16)]), &lead("2 tpi"), 1).unwrap();
    assert_eq!(single.dials[0].landing(3, 4), Some(Landing::Spoils));
}

/// A screw of two starts lets the nut close twice in its lead.
#[test]
fn the_nut_closes_at_every_pitch_of_the_screw() {
    let mut parts = parts("6 mm", &[(12, 12)]);
    parts.lead_screw.starts = 2;
    let lathe = Lathe::new(parts).unwrap();
    let pitches =
        |thread| HalfNut::new(&lathe, &lead(thread), 1).unwrap().repeat().unwrap().pitches();
    assert_eq!((pitches("3 mm"), pitches("6 mm"), pitches("9 mm"), pitches("2 mm")), (1, 2, 3, 2));
}

/// Numbers as large as a lead can be are refused or answered, never wrapped.
#[test]
fn large_numbers_are_answered_or_refused() {
    let ratio = |n: u128, d: u128| solver::Ratio::new(n, d).unwrap();
    let cut = |ratio| Lead::new(solver::Length::from_mm(ratio));
    let lathe = lathe("8 tpi", &[(16, 8)]);
    let huge = cut(ratio(u128::MAX, u128::MAX - 1));
    assert!(HalfNut::new(&lathe, &huge, 2).unwrap_err().is_too_large());
    let large = cut(ratio((1 << 84) - 1, (1 << 84) - 3));
    let plan = HalfNut::new(&lathe, &large, 99).unwrap();
    let repeat = plan.repeat().unwrap();
    assert_eq!(repeat.landing(repeat.pitches()), Landing::Own);
    assert_eq!(repeat.landing(u128::MAX), Landing::Spoils);
    // Worked out apart: p = 40 (2^84 - 1) over what it shares with 127 (2^84 - 3), and 8 with the dial.
    assert_eq!(repeat.pitches(), 6_092_224_602_782_383_242_613_800);
    assert!(!plan.dials[0].works());
    assert_eq!(plan.dials[0].turns_to_same_line().unwrap(), repeat.pitches() / 8);
}
