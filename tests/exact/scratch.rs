//! What must a scratch pass measure, and what would a wrong gearing measure?

use solver::scratch_pass::{Direction, ScratchPass, Slipped, Spindle, direction};
use solver::slip::Slip;
use solver::{
    Fitted, GearSet, Hand, HeadstockPosition, Lathe, Lead, Lever, LeverPosition, Parts, Target,
    Teeth, Train, Travel, Turns,
};

fn lead(text: &str) -> Lead {
    text.parse::<Target>().unwrap().lead()
}

fn scratch(text: &str) -> ScratchPass {
    ScratchPass::new(lead(text), 1).unwrap()
}

fn train(text: &str) -> Train {
    text.parse().unwrap()
}

// A lost chart: 16 TPI is 1.5875 mm, ten pitches 15.875 mm, and 40 must be 63.50 mm.
#[test]
fn travel_and_grooves_are_whole_leads() {
    let pass = scratch("16 tpi");
    assert_eq!(pass.leads(10).unwrap(), lead("15.875 mm"));
    assert_eq!(pass.travel(40).unwrap(), lead("63.5 mm"));
    assert!(pass.travel(0).is_err() && pass.pitches(0).is_err());
}

/// While one start is cut its grooves lie a lead apart.
#[test]
fn a_scratch_pass_shows_the_lead_and_not_the_pitch() {
    let pass = ScratchPass::new(lead("2 tpi"), 2).unwrap();
    assert_eq!(pass.leads(10).unwrap(), lead("5 in"));
    assert_eq!(pass.pitches(10).unwrap(), lead("2.5 in"));
    assert!(ScratchPass::new(lead("2 tpi"), 0).unwrap_err().is_range());
}

/// A lathe of 8 TPI with a range lever of 1, 1/2 and 1/4, a headstock of two positions and a tumbler.
fn lathe() -> Lathe {
    let mut gears = GearSet::default();
    for teeth in [20, 30, 40, 50, 60, 80] {
        gears.add(gears.usual(Teeth::new(teeth).unwrap()), 1).unwrap();
    }
    let mut parts = Parts::plain(gears, lead("8 tpi"));
    let way = |name: &str, ratio: &str| HeadstockPosition {
        name: name.into(),
        ratio: Some(ratio.parse().unwrap()),
        turns: Turns::Same,
    };
    parts.headstock = vec![way("normal", "1"), way("coarse", "8")];
    parts.tumbler = vec![("up".into(), Turns::Same), ("down".into(), Turns::Opposite)];
    let at = |name: &str, ratio: &str| {
        LeverPosition::new(name.into(), Some(ratio.parse().unwrap()), Turns::Same)
    };
    let positions = vec![at("A", "1"), at("B", "1/2"), at("C", "1/4")];
    parts.gearbox.levers = vec![Lever { name: "Range".into(), positions }];
    parts.fitted = Some(Fitted::new(train("20-80+20-80"), vec![]));
    Lathe::new(parts).unwrap()
}

/// The first setting of a lathe: normal, range A.
fn slips(lathe: &Lathe, text: &str) -> (ScratchPass, Vec<Slipped>) {
    let setting = &lathe.settings(Travel::Thread).unwrap().list[0];
    let train = train(text);
    let right = setting.constant.times(&train.ratio()).unwrap();
    let slips = Slipped::of(lathe, setting, &train, Some(0)).unwrap();
    (ScratchPass::new(right, 1).unwrap(), slips)
}

/// Each slip is a position or a gear of this lathe, and what it cuts is arithmetic: 30-60+40-50 on
/// 8 TPI is 0.4 x 3.175 mm.
#[test]
fn slips_are_of_this_lathe_the_most_likely_first() {
    let (right, slips) = slips(&lathe(), "30-60+40-50");
    assert_eq!(right.lead(), lead("1.27 mm"));
    let factor = |s: &Slipped| s.factor(&right).unwrap().unwrap().to_string();
    let all: Vec<_> = slips.iter().map(|s| (s.slip, factor(s), s.hand)).collect();
    let teeth = |n| Teeth::new(n).unwrap();
    let (r, l) = (Some(Hand::Right), Some(Hand::Left));
    let wanted = [
        (Slip::Lever { lever: 0, position: 1 }, "1/2", r),
        (Slip::Headstock(1), "8", r),
        (Slip::Tumbler(1), "1", l),
        // 30/40 x 60/50 in place of 30/60 x 40/50.
        (Slip::TurnedRound { driven: teeth(60), driver: teeth(40) }, "9/4", r),
        // 1/16 in place of 2/5.
        (Slip::Fitted, "5/32", r),
        // 50/60 x 40/30.
        (Slip::EndsExchanged { first: teeth(30), last: teeth(50) }, "25/9", r),
        (Slip::Lever { lever: 0, position: 2 }, "1/4", r),
    ];
    assert_eq!(all, wanted.map(|(slip, factor, hand)| (slip, factor.to_owned(), hand)));
}

/// What cuts the same is no slip that a scratch pass shows: equal gears, equal end gears.
#[test]
fn what_can_not_be_measured_is_left_out() {
    let (_, slips) = slips(&lathe(), "40-60-40");
    assert!(!slips.iter().any(|s| matches!(s.slip, Slip::EndsExchanged { .. })), "{slips:?}");
    let plain = Lathe::new(Parts::plain(lathe().parts().gears.clone(), lead("8 tpi"))).unwrap();
    let setting = &plain.settings(Travel::Thread).unwrap().list[0];
    let slips = Slipped::of(&plain, setting, &train("40-60-40"), None).unwrap();
    assert_eq!(slips, []);
}

/// 3 mm x 1/2 is 1.5 mm; the range lever a step on would cut 0.75 mm, the one two steps on 0.375 mm.
#[test]
fn a_known_thread_that_it_would_be_taken_for_is_named() {
    let mut parts = lathe().parts().clone();
    parts.lead_screw.lead = Some(lead("3 mm"));
    let (right, slips) = slips(&Lathe::new(parts).unwrap(), "30-60");
    assert_eq!(right.lead(), lead("1.5 mm"));
    let named = |i: usize| slips[i].looks_like().map(|thread| thread.pitch());
    assert_eq!(named(0), Some(lead("0.75 mm")));
    // ISO 261, table 2: 0.1 mm is the pitch of M0.4x0.1 only, 6 mm of M64 and larger; 8 TPI is 1-8 UNC,
    // 1.5 mm M10. 1.502 mm is 0.13 % off.
    for (cut, known) in [
        ("0.1 mm", None),
        ("6 mm", None),
        ("1.502 mm", None),
        ("1.5 mm", Some("M10")),
        ("8 tpi", Some("1-8 UNC")),
        ("20 tpi", Some("1/4-20 UNC")),
    ] {
        let mut slipped = slips[0];
        slipped.lead = lead(cut);
        let name = slipped.looks_like().map(|thread| thread.designation());
        assert_eq!(name, known, "{cut}");
    }
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
        let [there, back] = [Spindle::Forward, Spindle::Reverse].map(|s| direction(hand, s));
        assert_ne!(there, back);
    }
    assert_eq!(direction(Hand::Right, Spindle::Forward), Direction::Headstock);
}
