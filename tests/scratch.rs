//! What must a scratch pass measure, and what would a wrong gearing measure?

use solver::scratch::{Direction, Scratch, Slip, Spindle, direction, hand_shown};
use solver::{Hand, Lead, LeadError, Target, Teeth, Train};

fn lead(text: &str) -> Lead {
    text.parse::<Target>().unwrap().lead()
}

fn scratch(text: &str) -> Scratch {
    Scratch::new(lead(text), 1).unwrap()
}

fn train(text: &str) -> Train {
    text.parse().unwrap()
}

// A lost chart: 16 TPI is 1.5875 mm, ten pitches 15.875 mm, and 40 must be 63.50 mm. With the
// headstock taken for one to one, 11 1/2 TPI would come out as 5 3/4.
#[test]
fn travel_and_grooves_are_whole_leads() {
    let pass = scratch("16 tpi");
    assert_eq!(pass.grooves(10).unwrap(), lead("15.875 mm"));
    assert_eq!(pass.travel(40).unwrap(), lead("63.5 mm"));
    let doubled = Slip::Doubled.scratch(&scratch("11.5 tpi")).unwrap();
    assert_eq!(doubled.lead(), lead("5.75 tpi"));
    assert_eq!(doubled.grooves(23).unwrap(), lead("4 in"));
    assert_eq!(Slip::Halved.lead(&pass).unwrap(), lead("32 tpi"));
    assert!(pass.travel(0).is_err() && pass.pitches(0).is_err());
}

/// While one start is cut its grooves lie a lead apart.
#[test]
fn a_scratch_pass_shows_the_lead_and_not_the_pitch() {
    let pass = Scratch::new(lead("2 tpi"), 2).unwrap();
    assert_eq!(pass.grooves(10).unwrap(), lead("5 in"));
    assert_eq!(pass.pitches(10).unwrap(), lead("2.5 in"));
    assert!(Scratch::new(lead("2 tpi"), 0).unwrap_err().is_range());
}

// Letters and numbers, 1.75 mm by the joined 127 and 120: the 127 as an idler cuts 1.852083 mm,
// +58 333 ppm; 127 with 100 cuts 1.458333 mm, -166 667 ppm.
#[test]
fn the_pair_taken_for_another() {
    let pass = scratch("1.75 mm");
    let slips = Slip::of(&train("28-127+120-48"));
    let figures = |slip: &Slip| {
        let cut = slip.lead(&pass).unwrap();
        let ppm = LeadError::of(&cut, &pass.lead()).ppm();
        (format!("{:.6}", cut.to_f64()), format!("{ppm:+.0}"))
    };
    let printed: Vec<_> = slips.iter().map(figures).collect();
    let wanted = [
        ("3.500000", "+1000000"),
        ("0.875000", "-500000"),
        ("1.852083", "+58333"),
        ("1.653543", "-55118"),
        ("1.458333", "-166667"),
    ];
    assert_eq!(printed, wanted.map(|(mm, ppm)| (mm.to_owned(), ppm.to_owned())));
}

#[test]
fn which_partner_of_the_127_is_wrong_depends_on_the_train() {
    let other = |text| Slip::of(&train(text)).get(4).map(|slip| slip.factor().unwrap().to_string());
    assert_eq!(other("28-127+120-48").as_deref(), Some("5/6"));
    assert_eq!(other("28-127+100-48").as_deref(), Some("6/5"));
    assert_eq!(other("40-120+127-48").as_deref(), Some("6/5"));
    assert_eq!(other("40-100+127-48").as_deref(), Some("5/6"));
    for plain in ["24-127-48", "30-40+50-60", "40-80+127-48"] {
        assert_eq!(other(plain), None, "{plain}");
    }
    let [.., Slip::OtherPair { right, wrong, .. }] = Slip::of(&train("28-127+120-48"))[..] else {
        panic!("a pair")
    };
    assert_eq!((right, wrong), (Teeth::new(120).unwrap(), Teeth::new(100).unwrap()));
}

/// 16 TPI and 1.5 mm: 127/120 apart, either way.
#[test]
fn an_inch_thread_beside_a_metric_one_is_named() {
    let pitch = |text: &str, slip: Slip| {
        slip.looks_like(&scratch(text)).unwrap().map(|thread| thread.pitch())
    };
    assert_eq!(pitch("1.5 mm", Slip::Longer), Some(lead("16 tpi")));
    assert_eq!(pitch("16 tpi", Slip::Shorter), Some(lead("1.5 mm")));
    assert_eq!(pitch("1.5 mm", Slip::Doubled), Some(lead("3 mm")));
    assert_eq!(pitch("11.5 tpi", Slip::Doubled), None); // nothing common has 5 3/4 TPI
}

// 1.5 mm against 1.5875 mm: 0.0875 mm a groove. Two readings of 0.2 mm each need more than 0.4 mm.
#[test]
fn grooves_enough_to_tell_them_apart() {
    let of = |text, reading: &str, slip: Slip| {
        slip.grooves_to_tell(&scratch(text), reading.parse().unwrap()).unwrap()
    };
    assert_eq!(of("1.5 mm", "0.2 mm", Slip::Longer), 5); // 4 grooves: 0.35 mm, 5: 0.4375 mm
    assert_eq!(of("1.5 mm", "0.21875 mm", Slip::Longer), 6); // 5 grooves: just the same
    assert_eq!(of("1.5 mm", "0.2 mm", Slip::Doubled), 1);
    assert_eq!(of("module 1", "0.2 mm", Slip::Halved), 1);
    assert_eq!(of("module 0.1", "0.2 mm", Slip::Halved), 3); // 0.15 mm at the least
}

#[test]
fn turns_by_hand_for_a_turn_of_the_screw() {
    let pass = scratch("1.5 mm");
    let turns = pass.spindle_turns(&lead("3 mm"), 1).unwrap();
    assert_eq!(turns, Some("2".parse().unwrap()));
    assert_eq!(pass.spindle_turns(&lead("module 1"), 1).unwrap(), None);
}

// Common practice, no source: a right-hand thread is cut toward the headstock.
#[test]
fn hand_and_direction_go_together() {
    for hand in [Hand::Right, Hand::Left] {
        for spindle in [Spindle::Forward, Spindle::Reverse] {
            assert_eq!(hand_shown(direction(hand, spindle), spindle), hand);
        }
        let [there, back] = [Spindle::Forward, Spindle::Reverse].map(|s| direction(hand, s));
        assert_ne!(there, back);
    }
    assert_eq!(direction(Hand::Right, Spindle::Forward), Direction::Headstock);
}
