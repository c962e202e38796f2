//! Does every mistake that is planted come back from what it measures? A mechanism of its own reads the
//! lathe file and walks gear by gear what a set-up cuts; it shares no code with the library.

mod mechanism;

use crate::oracle::draw::{STRIP, lathe as drawn};
use crate::oracle::number::{Q, q};
use crate::runs::{runner, strips};
use mechanism::{Bench, SetUp};
use num_traits::Signed;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::Config;
use solver::chart::Measured;
use solver::slip::{Mounted, Slip};
use solver::why::{Answer, Cause, Explanation, Misreading, Question, Reading, Shift, Verdict};
use solver::{Hand, Target, Travel};
use std::collections::BTreeSet;

const COUNT: i64 = 20;

/// A length in mm to a ten-thousandth, as it is typed.
fn typed(mm: &Q) -> String {
    let scaled = (mm * q(10_000, 1)).round().to_integer();
    format!("{scaled}/10000")
}

fn reading(what: &str, mm: &Q, give_or_take: &str) -> Option<Reading> {
    let text = format!("{COUNT} {what} = {} mm +- {give_or_take} mm", typed(mm));
    Reading::of(&text.parse::<Measured>().ok()?).ok()
}

fn mounted(bench: &Bench, set_up: &SetUp) -> Mounted {
    let settings = bench.lathe.settings(Travel::Thread).unwrap().list;
    let here = |s: &&solver::Setting| s.headstock == set_up.headstock && s.levers == set_up.levers;
    let setting = settings.iter().find(here).expect("the library has the setting");
    Mounted::new(setting.clone(), set_up.text().parse().unwrap(), set_up.tumbler)
}

fn target() -> Target {
    "1 mm".parse().unwrap()
}

fn asked(bench: &Bench, right: &SetUp, reading: Reading, hand: Option<Hand>) -> Answer {
    let target = target();
    let question = Question::new(&bench.lathe, &target, mounted(bench, right));
    question.with_reading(Some(reading)).with_hands(Some(Hand::Right), hand).answer().unwrap()
}

fn of(one: &Explanation) -> SetUp {
    let text = one.mounted.train.to_string();
    SetUp::new(
        &text,
        one.mounted.setting.headstock,
        &one.mounted.setting.levers,
        one.mounted.tumbler,
    )
}

fn is_of_gearing(one: &Explanation) -> bool {
    one.causes.iter().all(|cause| matches!(cause, Cause::Gearing(_)))
}

/// Plants each mistake and compares all that the library lists with all that the mechanism finds.
fn plant_all(bench: &Bench, right: &SetUp, most: usize) -> usize {
    let wrong = bench.mistakes(right);
    let length = |set_up: &SetUp| bench.cuts(set_up) * q(COUNT, 1);
    let own = length(right);
    let step = wrong.len().div_ceil(most).max(1);
    let mut planted = 0;
    for one in wrong.iter().step_by(step) {
        // Hardly anything else is so near; then what a caliper tells.
        for (by, shift, size) in [("0.001", q(0, 1), q(1, 1000)), ("0.02", q(3, 200), q(1, 50))] {
            let read = length(one) + shift;
            if (&own - typed_back(&read)).abs() <= size {
                continue;
            }
            let Some(reading) = reading("turns", &read, by) else { continue };
            let read = typed_back(&read);
            let answer = asked(bench, right, reading, None);
            assert_eq!(answer.verdict, Verdict::One, "{one:?} on {right:?}");
            let all: BTreeSet<SetUp> =
                wrong.iter().filter(|w| (length(w) - &read).abs() <= size).cloned().collect();
            let listed = answer.explanations.iter().filter(|one| is_of_gearing(one));
            let listed: BTreeSet<SetUp> = listed.map(of).collect();
            assert_eq!(listed, all, "{one:?} on {right:?}");
            for said in answer.explanations.iter().filter(|one| is_of_gearing(one)) {
                let least = said.measures.unwrap().least.mm().to_string();
                assert_eq!(least.parse::<Q>().unwrap(), length(&of(said)), "{said:?}");
            }
            let at = answer.explanations.iter().position(|e| is_of_gearing(e) && of(e) == *one);
            let at = at.unwrap_or_else(|| panic!("{one:?} on {right:?}"));
            // What comes before is as common or more so, and measures the same as far as was read.
            let before = &answer.explanations[..at];
            assert!(before.iter().all(|e| e.points <= answer.explanations[at].points));
            assert!(at == 0 || answer.look.is_some());
            planted += 1;
        }
    }
    planted
}

fn typed_back(mm: &Q) -> Q {
    typed(mm).parse().unwrap()
}

fn demo(name: &str, train: &str) -> (Bench, SetUp) {
    let path = format!("{}/gearsets/{name}.lathe.json", env!("CARGO_MANIFEST_DIR"));
    let bench = Bench::read(&std::fs::read_to_string(path).unwrap());
    let first = bench.first_setting(train);
    (bench, first)
}

#[test]
fn every_mistake_on_the_demo_lathes_comes_back() {
    for (name, trains) in [
        ("dinghy", ["48-64+63-80", "40-76-68"]),
        ("tug", ["60-127+120-60", "55-70+45-60"]),
        ("ketch", ["40-75-80", "66-50+36-95"]),
    ] {
        for train in trains {
            let (bench, right) = demo(name, train);
            let planted = plant_all(&bench, &right, usize::MAX);
            assert!(planted > 20, "{name} {train}: {planted}");
        }
    }
}

#[test]
fn mistakes_on_two_hundred_random_lathes_come_back() {
    let (mut lathes, mut planted) = (0, 0);
    let mut runner = runner(7, Config { failure_persistence: None, ..Config::default() });
    for _ in 0..4000 {
        if lathes == 200 {
            break;
        }
        let strip = strips(STRIP).new_tree(&mut runner).unwrap().current();
        let Some(bench) = Bench::small(&drawn(&strip)) else { continue };
        let Some(right) = bench.any_set_up(usize::from(strip[0])) else { continue };
        let here = plant_all(&bench, &right, 6);
        lathes += usize::from(here > 0);
        planted += here;
    }
    assert_eq!(lathes, 200);
    assert!(planted > 800, "{planted}");
}

#[test]
fn two_mistakes_together_come_back() {
    let mut found = 0;
    for (name, train) in
        [("tug", "60-127+120-60"), ("ketch", "40-75-80"), ("dinghy", "48-64+63-80")]
    {
        let (bench, right) = demo(name, train);
        let singles = bench.mistakes(&right);
        for first in singles.iter().step_by(singles.len() / 8) {
            let pairs = bench.mistakes(first);
            for both in pairs.iter().step_by(pairs.len() / 4) {
                let mm = bench.cuts(both) * q(COUNT, 1);
                let Some(reading) = reading("turns", &mm, "0.0002") else { continue };
                let answer = asked(&bench, &right, reading, None);
                if answer.verdict == Verdict::Two {
                    let listed = answer.explanations.iter().any(|one| of(one) == *both);
                    assert!(listed, "{both:?} on {right:?}");
                    found += 1;
                }
            }
        }
    }
    assert!(found > 10, "{found}");
}

/// The other hand: tumbler, or an idler too few; the lead is right.
#[test]
fn the_wrong_hand_is_a_tumbler_or_an_idler() {
    let (bench, right) = demo("dinghy", "48-64+63-80");
    let ask = |bench: &Bench, right: &SetUp| {
        let target = target();
        let mounted = mounted(bench, right);
        let hand = mounted.hand(&bench.lathe).unwrap();
        let question = Question::new(&bench.lathe, &target, mounted);
        question.with_hands(Some(hand), Some(hand.other())).answer().unwrap()
    };
    let answer = ask(&bench, &SetUp { tumbler: Some(0), ..right });
    let causes: Vec<_> = answer.explanations.iter().map(|one| one.causes[0]).collect();
    assert_eq!(causes, [Cause::Gearing(Slip::Tumbler(1))]);
    let (bench, right) = demo("ketch", "40-75-80");
    let answer = ask(&bench, &right);
    let left_out =
        |one: &Explanation| matches!(one.causes[0], Cause::Gearing(Slip::IdlerLeftOut(_)));
    assert!(answer.explanations.iter().any(left_out), "{answer:?}");
    assert!(answer.explanations.iter().all(|one| bench.sense(&of(one)) != bench.sense(&right)));
}

/// Mistakes of reading: figures worked out by hand from the words.
#[test]
fn what_is_read_wrong_comes_back() {
    let (bench, right) = demo("ketch", "40-75-80");
    let lead = bench.cuts(&right);
    let ask = |target: &str, what: &str, mm: Q| {
        let target = target.parse().unwrap();
        let reading = reading(what, &mm, "0.001").unwrap();
        let question = Question::new(&bench.lathe, &target, mounted(&bench, &right));
        question.with_reading(Some(reading)).answer().unwrap()
    };
    let says = |answer: &Answer, cause| {
        answer.explanations.iter().any(|one| one.causes == [Cause::Reading(cause)])
    };
    let all = |n: i64| &lead * q(n, 1);
    assert!(says(&ask("1 mm", "pitches", all(COUNT - 1)), Misreading::OneFewer));
    assert!(says(&ask("1 mm", "pitches", all(COUNT + 1)), Misreading::OneMore));
    // The carriage is not counted.
    assert!(!says(&ask("1 mm", "turns", all(COUNT - 1)), Misreading::OneFewer));
    let inches = all(COUNT) / q(254, 10);
    assert!(says(&ask("1 mm", "pitches", inches), Misreading::InchesAsMm));
    assert!(says(&ask("1 mm", "pitches", all(COUNT) * q(254, 10)), Misreading::MmAsInches));
    // Two starts: pitches were counted, the one start's grooves are a lead apart.
    let two = "Tr 40x14 (P7)";
    assert!(says(&ask(two, "pitches", all(COUNT)), Misreading::StartAsPitch));
    assert_eq!(ask(two, "leads", all(COUNT)).verdict, Verdict::Right);
    assert!(says(&ask(two, "leads", all(COUNT) / q(2, 1)), Misreading::PitchAsStart));
}

/// A groove beside the first, by the mechanism: the screw passes through the nut, whole leads are taken
/// off one by one.
#[test]
fn a_half_nut_closed_elsewhere_comes_back() {
    let (bench, right) = demo("dinghy", "48-64+63-80");
    let lead = bench.cuts(&right);
    let dial = &bench.lathe.parts().dials[0];
    let screw = q(254, 100); // 10 TPI
    for lines in 1..dial.lines {
        let mut rest = &screw * q(dial.teeth.into(), dial.lines.into()) * q(lines.into(), 1);
        while rest >= lead {
            rest -= &lead;
        }
        let rest = rest.clone().min(&lead - &rest);
        for mm in [&lead * q(COUNT, 1) + &rest, &lead * q(COUNT, 1) - &rest] {
            let answer = asked(&bench, &right, reading("turns", &mm, "0.0002").unwrap(), None);
            let of_nut = |one: &&Explanation| {
                matches!(
                    one.causes[..],
                    [Cause::Groove(Shift::DialLine { .. } | Shift::HalfNutLate(_))]
                )
            };
            let one = answer.explanations.iter().find(of_nut);
            let one = one.unwrap_or_else(|| panic!("{lines} lines: {answer:?}"));
            let least: Q = one.measures.unwrap().least.mm().to_string().parse().unwrap();
            assert!((least - mm).abs() < q(1, 5000), "{lines}");
        }
    }
}

/// One tooth of each mesh: what follows turns the screw.
#[test]
fn a_tooth_that_slipped_comes_back() {
    let (bench, right) = demo("ketch", "66-50+36-95");
    let lead = bench.cuts(&right);
    for (mesh, part) in bench.teeth(&right).into_iter().enumerate() {
        let mm = &lead * q(COUNT, 1) + &part;
        let answer = asked(&bench, &right, reading("turns", &mm, "0.0002").unwrap(), None);
        let tooth = |one: &Explanation| one.causes == [Cause::Groove(Shift::Tooth(mesh))];
        assert!(answer.explanations.iter().any(tooth), "mesh {mesh}: {answer:?}");
    }
}

#[test]
fn what_nothing_explains_is_not_explained() {
    let (bench, right) = demo("dinghy", "48-64+63-80");
    let answer = asked(&bench, &right, reading("turns", &q(1, 3), "0.0001").unwrap(), None);
    assert_eq!(answer.verdict, Verdict::Nothing);
    assert!(answer.explanations.is_empty() && !answer.nearest.is_empty());
    let own = bench.cuts(&right) * q(COUNT, 1);
    let answer = asked(&bench, &right, reading("turns", &own, "0.01").unwrap(), None);
    assert_eq!(answer.verdict, Verdict::Right);
}

#[test]
fn a_reading_of_another_kind_is_refused() {
    let read = |text: &str| Reading::of(&text.parse::<Measured>().unwrap());
    assert!(read("10 pitches = 15 mm with 40-40").unwrap_err().is_conflict());
    assert!(read("10 pitches = 1e9 mm").unwrap_err().is_conflict());
    assert!(read("123456789 pitches = 15 mm").unwrap_err().is_too_large());
    for (text, by) in
        [("15.9 mm", "1/5"), ("15.877 mm", "1/20"), ("5/8 in", "1/5"), ("0.627 in", "1/20")]
    {
        let reading = read(&format!("10 pitches = {text}")).unwrap();
        assert_eq!(reading.give_or_take.mm().to_string(), by, "{text}");
    }
}
