//! Each warning, with a lathe that gives it and no other.

use super::{Unknown, Warning, unknown, warnings};
use crate::bracket::Fit;
use crate::{
    Bracket, Combination, Dial, End, Fitted, Gear, GearSet, HeadstockPosition, HubRadii, Joined,
    KeepOut, Lack, Lathe, Lead, Length, Lever, LeverPosition, Offset, Parts, Pivot, Place, Places,
    Ratio, Shape, Slot, Spot, Teeth, Travel, Turns, When,
};

fn teeth(z: u16) -> Teeth {
    Teeth::new(z.into()).unwrap()
}

fn gear(z: u16) -> Gear {
    Gear::new(teeth(z))
}

fn length(text: &str) -> Length {
    text.parse().unwrap()
}

fn offset(mm: &str) -> Offset {
    format!("{mm} mm").parse().unwrap()
}

fn spot(right: &str, up: &str) -> Spot {
    Spot { right: offset(right), up: offset(up) }
}

fn tpi(tpi: &str) -> Lead {
    Lead::from_tpi(tpi.parse().unwrap()).unwrap()
}

fn box_of(sizes: &[u16]) -> GearSet {
    let mut gears = GearSet::new();
    for z in sizes {
        gears.add(gear(*z), 1).unwrap();
    }
    gears
}

fn joined(sizes: &[u16]) -> GearSet {
    let mut gears = box_of(sizes);
    gears.join(Joined::new(gear(127), gear(120))).unwrap();
    gears
}

/// A lathe with everything known and nothing doubtful.
fn plain() -> Parts {
    let mut parts = Parts::plain(box_of(&[20, 40, 60, 80]), tpi("8"));
    parts.headstock[0].turns = Turns::Same;
    parts.bracket = Some(bracket());
    parts
}

/// Shafts 80 mm apart, a slot, and hubs.
fn bracket() -> Bracket {
    let mut bracket = Bracket::plain(length("80 mm"), length("34 mm"), length("70 mm"));
    bracket.hub_radii = HubRadii { first: offset("12"), stud: offset("8"), last: offset("12") };
    bracket
}

fn changed(change: impl FnOnce(&mut Parts)) -> Lathe {
    let mut parts = plain();
    change(&mut parts);
    Lathe::new(parts).unwrap()
}

fn found(change: impl FnOnce(&mut Parts)) -> Vec<Warning> {
    warnings(&changed(change))
}

fn on_bracket(change: impl FnOnce(&mut Bracket)) -> Vec<Warning> {
    let mut bracket = bracket();
    change(&mut bracket);
    found(|parts| parts.bracket = Some(bracket))
}

fn hole(mm: &str) -> Slot {
    let at = length(mm).into();
    Slot::Straight { from: at, to: at, angle: "0".parse().unwrap(), offset: Offset::ZERO }
}

fn when(position: &str) -> When {
    vec![("Range".to_owned(), position.to_owned())]
}

/// A lever with positions A and B, the second of this ratio.
fn range(ratio: Option<Ratio>) -> Vec<Lever> {
    let position = |name: &str, ratio| LeverPosition::new(name.to_owned(), ratio, Turns::Same);
    let positions = vec![position("A", Some(Ratio::ONE)), position("B", ratio)];
    vec![Lever { name: "Range".to_owned(), positions }]
}

#[test]
fn a_plain_lathe_gives_nothing() {
    let lathe = Lathe::new(plain()).unwrap();
    assert_eq!((unknown(&lathe), warnings(&lathe)), (Vec::new(), Vec::new()));
}

#[test]
fn what_is_not_known() {
    let unknown = |change: &dyn Fn(&mut Parts)| unknown(&changed(change));
    assert_eq!(unknown(&|p| p.lead_screw.lead = None), [Unknown::LeadScrew { constant: false }]);
    let by_constant = |p: &mut Parts| {
        (p.lead_screw.lead, p.screw_constant) = (None, Some(tpi("8")));
        p.headstock[0].ratio = None;
    };
    assert_eq!(unknown(&by_constant), [Unknown::LeadScrew { constant: true }]);
    let fast =
        |name: &str, ratio| HeadstockPosition { name: name.into(), ratio, turns: Turns::Same };
    assert_eq!(
        unknown(&|p| p.headstock = vec![fast("low", None), fast("high", Some(Ratio::ONE))]),
        [Unknown::Headstock { position: "low".into() }]
    );
    assert_eq!(unknown(&|p| p.gearbox.levers = range(None)), [Unknown::Levers(when("B"))]);
    let both = Combination { when: when("A"), ratio: None, turns: Turns::Same };
    let combined = |p: &mut Parts| {
        p.gearbox.levers = range(Some(Ratio::ONE));
        p.gearbox.combinations = vec![both.clone()];
    };
    assert_eq!(unknown(&combined), [Unknown::Levers(when("A"))]);
    assert_eq!(unknown(&|p| p.headstock[0].turns = Turns::Unknown), [Unknown::Hand]);
    assert_eq!(unknown(&|p| p.bracket = None), [Unknown::Bracket]);
}

#[test]
fn of_screw_levers_and_gears() {
    // 8 threads in one inch, written as inches; no lathe has a screw of 1 TPI.
    let inch = Lead::new(length("1 in"));
    assert_eq!(found(|p| p.lead_screw.lead = Some(inch)), [Warning::LeadScrew { lead: inch }]);
    assert_eq!(found(|p| p.lead_screw.lead = Some(Lead::new(length("7/8 in")))), []);
    let forbid = |p: &mut Parts| {
        p.gearbox.levers = range(Some(Ratio::ONE));
        p.gearbox.forbidden = vec![when("A"), when("B")];
    };
    let none = [Travel::Thread, Travel::LongFeed].map(Warning::NoPosition);
    assert_eq!(found(forbid), none);
    let on_last = gear(65).with_places(Places { first: false, stud: false, last: true });
    let useless = |p: &mut Parts| {
        p.gears.add(on_last, 1).unwrap();
        p.ends.last = End::Owned(vec![teeth(40)]);
    };
    assert_eq!(found(useless), [Warning::Gear(on_last)]);
    let special = |p: &mut Parts| {
        useless(p);
        p.gearbox.levers = range(Some(Ratio::ONE));
        p.gearbox.needs_last = vec![(when("B"), End::Owned(vec![teeth(65)]))];
    };
    assert_eq!(found(special), []);
}

#[test]
fn of_the_fitted_set_up() {
    let fitted = |train: &str| Fitted::new(train.parse().unwrap(), Vec::new());
    let forbidden = |p: &mut Parts| {
        p.gearbox.levers = range(Some(Ratio::ONE));
        p.gearbox.forbidden = vec![when("B")];
        p.fitted = Some(Fitted { levers: when("B"), ..fitted("40-60-80") });
    };
    assert_eq!(found(forbidden), [Warning::FittedLevers(when("B"))]);
    // With an unknown ratio nothing can be computed; it may be right.
    let unknown = |p: &mut Parts| {
        forbidden(p);
        p.gearbox.forbidden.clear();
        p.gearbox.levers = range(None);
    };
    assert_eq!(found(unknown), []);
    let lacks = found(|p| {
        (p.fitted, p.bracket) = (Some(fitted("20-80+20-40")), None);
    });
    let lack = |z, needed| Lack::Gear { gear: gear(z), needed, owned: 1, other_sizes: false };
    assert_eq!(lacks, [Warning::FittedLacks(lack(20, 2))]);
    // 10 + 20 and 20 + 10 mm do not bridge 80 mm.
    let short = found(|p| {
        p.gears.add(gear(20), 1).unwrap();
        p.fitted = Some(fitted("20-40-20"));
    });
    let [Warning::FittedFit(set)] = &short[..] else { panic!("{short:?}") };
    assert!(matches!(set.fit, Fit::Refused(_)) && set.given.train.to_string() == "20-40-20");
}

#[test]
fn of_dials_and_counts() {
    let dial = |lines| vec![Dial { teeth: 16, lines, labels: Vec::new() }];
    assert_eq!(found(|p| p.dials = dial(8)), []);
    assert_eq!(found(|p| p.dials = dial(6)), [Warning::DialLines { teeth: 16, lines: 6 }]);
    let no_nut = found(|p| (p.dials, p.half_nut) = (dial(8), Some(false)));
    assert_eq!(no_nut, [Warning::DialWithoutHalfNut]);
    let sleeves = |owned| found(|p| (p.studs, p.sleeves) = (2, Some(owned)));
    assert_eq!(sleeves(2), []);
    assert_eq!(sleeves(3), [Warning::Sleeves { sleeves: 3, studs: 2 }]);
    let no_stud = found(|p| (p.gears, p.studs) = (joined(&[20, 60, 80]), 0));
    assert_eq!(no_stud, [Warning::JoinedWithoutStud]);
}

/// A joined pair needs no sleeve: one plane has no room for such a pair, with sleeves or without.
#[test]
fn of_one_plane() {
    let one_plane = |gears: GearSet, studs, sleeves| {
        found(|p| {
            (p.gears, p.studs, p.sleeves) = (gears, studs, sleeves);
            p.bracket = Some(Bracket { planes: 1, ..bracket() });
        })
    };
    let loose = || box_of(&[20, 40, 60, 80]);
    assert_eq!(one_plane(loose(), 1, None), [Warning::OnePlane]);
    assert_eq!(one_plane(loose(), 1, Some(0)), []);
    assert_eq!(one_plane(joined(&[20, 40]), 1, Some(0)), [Warning::OnePlane]);
}

#[test]
fn of_sizes_of_a_bracket() {
    let hubs = HubRadii { first: offset("12"), ..HubRadii::default() };
    assert_eq!(on_bracket(|b| b.hub_radii = hubs), [Warning::Hubs(vec![Place::Stud, Place::Last])]);
    assert_eq!(on_bracket(|b| b.opening.1 = Offset::ZERO), [Warning::NoOpening]);
    let least = offset("35");
    let near = |b: &mut Bracket| {
        (b.pivot, b.least_stud) = (Pivot::First, least);
        b.slots = vec![hole("40 mm"), hole("35 mm"), hole("34.9 mm")];
    };
    assert_eq!(on_bracket(near), [Warning::SlotTooNear { slot: 2, least }]);
    let holes = |studs| {
        found(|p| {
            (p.studs, p.bracket) =
                (studs, Some(Bracket { slots: vec![hole("40 mm"), hole("60 mm")], ..bracket() }));
        })
    };
    assert_eq!(holes(2), []);
    assert_eq!(holes(3), [Warning::Holes { studs: 3, holes: 2 }]);
}

#[test]
fn of_slots_that_share_places() {
    let slot = |from: &str, to: &str, angle: &str| Slot::Straight {
        from: length(from).into(),
        to: length(to).into(),
        angle: angle.parse().unwrap(),
        offset: Offset::ZERO,
    };
    let slots = |slots: &[Slot]| on_bracket(|b| b.slots = slots.to_vec());
    let long = slot("34 mm", "70 mm", "0");
    let both = [Warning::SlotsOverlap { slots: [0, 1] }];
    assert_eq!(slots(&[long, slot("60 mm", "90 mm", "0")]), both);
    // Beside each other, end to end, and in another direction.
    assert_eq!(slots(&[long, slot("80 mm", "90 mm", "0")]), []);
    assert_eq!(slots(&[long, slot("70 mm", "90 mm", "0")]), []);
    assert_eq!(slots(&[long, slot("60 mm", "90 mm", "20")]), []);
    let arc = |from: &str, to: &str| Slot::Arc {
        along: offset("10"),
        across: Offset::ZERO,
        radius: length("60 mm"),
        from: from.parse().unwrap(),
        to: to.parse().unwrap(),
    };
    assert_eq!(slots(&[arc("-20", "20"), arc("10", "40")]), both);
    assert_eq!(slots(&[arc("-20", "20"), arc("345", "355")]), both);
    assert_eq!(slots(&[arc("-20", "20"), arc("20", "40")]), []);
}

/// 40 on the driving shaft, 80 across the stud, 40 on the last: 160 mm, and two meshes of 0.2 mm.
#[test]
fn of_shafts_too_far_apart() {
    let apart = |first: &str| on_bracket(|b| b.first = crate::FirstShaft::Away(length(first)));
    let twice = |p: &mut Parts| p.gears.add(gear(80), 2).unwrap();
    let lathe = |first: &str| {
        found(|p| {
            twice(p);
            let first = crate::FirstShaft::Away(length(first));
            p.bracket = Some(Bracket { first, ..bracket() });
        })
    };
    assert_eq!(lathe("160.4 mm"), []);
    let bridged = offset("160");
    assert_eq!(lathe("160.5 mm"), [Warning::Unbridged { apart: 160.5, bridged }]);
    // The order of the gears does not matter here: one 80 counts on every shaft.
    assert_eq!(apart("160.4 mm"), []);
    // 96 mm across and 128.1 up are 160.08 mm apart, 129 up are 160.8.
    let aside = |up| on_bracket(|b| b.first = crate::FirstShaft::At(spot("-96", up)));
    assert_eq!(aside("128.1"), []);
    assert!(matches!(aside("129")[..], [Warning::Unbridged { apart, .. }] if apart > 160.8));
}

#[test]
fn of_outlines() {
    let outline = |corners: [[&str; 2]; 4]| corners.map(|[right, up]| spot(right, up)).to_vec();
    let around = |low, high| outline([["-90", low], ["90", low], ["90", high], ["-90", high]]);
    let cover = |cover| on_bracket(|b| b.cover = Some(cover));
    assert_eq!(cover(around("-90", "170")), []);
    assert_eq!(cover(around("-90", "70")), [Warning::OutsideCover(Place::First)]);
    assert_eq!(cover(around("30", "170")), [Warning::OutsideCover(Place::Last)]);
    let crossed = || outline([["-90", "-90"], ["90", "-90"], ["-90", "170"], ["90", "190"]]);
    assert_eq!(cover(crossed()), [Warning::CoverCrossed]);
    let part = |shape| {
        let part = KeepOut { name: "pin".to_owned(), shape, planes: Vec::new() };
        on_bracket(|b| b.keep_out = vec![part])
    };
    let pin = |right, up| part(Shape::Circle { at: spot(right, up), radius: length("6 mm") });
    let inside = |shaft| [Warning::InsidePart { shaft, part: "pin".to_owned() }];
    assert_eq!(pin("5", "-3"), inside(Place::Last));
    assert_eq!(pin("0", "85"), inside(Place::First));
    assert_eq!(pin("0", "87"), []);
    let low = outline([["-9", "-9"], ["9", "-9"], ["9", "9"], ["-9", "9"]]);
    assert_eq!(part(Shape::Polygon(low)), inside(Place::Last));
    let bow = outline([["100", "0"], ["120", "0"], ["100", "20"], ["120", "25"]]);
    assert_eq!(part(Shape::Polygon(bow)), [Warning::PartCrossed { part: "pin".to_owned() }]);
}
