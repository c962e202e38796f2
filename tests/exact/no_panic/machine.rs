//! Gears, lathes and brackets that no file could describe, and what is asked of one as it stands.

use super::{few_ratios, gears, leads, lengths, none_panics, ratios, teeth};
use solver::bracket::Geometry;
use solver::dial::{self, Advice, Closing};
use solver::scratch_pass::Slipped;
use solver::slip::Mounted;
use solver::starts::{self, ease, first_shaft_turns};
use solver::why::{Question, Reading, Seen};
use solver::{
    Bracket, Combination, Degrees, Dial, End, FirstShaft, Fitted, Gear, GearSet, Hand,
    HeadstockPosition, Joined, KeepOut, Lathe, Lead, Length, Lever, LeverPosition, Offset, Outside,
    Parts, Pivot, Place, Places, Ratio, Shaft, Shape, Slot, Spot, Train, Travel, Turns, Where,
};

/// Which mistake made it measure so?
fn asks_why(lathe: &Lathe, mounted: &Mounted, travel: Travel) {
    let target = if travel.is_feed() { "0.1 mm/rev" } else { "Tr 40x14 (P7)" };
    let target = target.parse().unwrap();
    let measured = "1048575/1048573 leads = 99 m".parse();
    let reading = measured.and_then(|measured| Reading::of(&measured)).ok();
    let question = Question::new(lathe, &target, mounted.clone()).with_reading(reading);
    let _ = question.with_hands(None, Some(Hand::Left)).with_seen(Some(Seen::Double)).answer();
}

/// A box with one gear of each size.
pub(super) fn set(sizes: &[u64]) -> GearSet {
    let mut set = GearSet::new();
    for size in sizes {
        set.add(Gear::new(teeth(*size)), 1).unwrap();
    }
    set
}

fn mm(text: &str) -> Lead {
    Lead::new(text.parse().unwrap())
}

fn plain() -> Parts {
    let mut parts = Parts::plain(set(&[20, 30, 40, 60, 127]), mm("3 mm"));
    parts.studs = 2;
    parts
}

fn away(size: Ratio, back: bool) -> Offset {
    let offset = Offset::new(Length::from_mm(size));
    if back { offset.flipped() } else { offset }
}

/// What is asked of every lathe that can be made.
fn ask_all(parts: Parts) {
    let bracket = parts.bracket.clone();
    let gears = parts.gears.clone();
    let trains = [
        "20-30".parse::<Train>().unwrap(),
        "20-30-40-60-127".parse().unwrap(),
        "20-30+40-60+127-20+30-40".parse().unwrap(),
        Train::new(super::gears()[..5].iter().copied().map(Shaft::One).collect()).unwrap(),
    ];
    if let Some(geometry) = bracket.and_then(|bracket| Geometry::new(&bracket, &gears).ok()) {
        for train in &trains {
            let _ = geometry.fit(train);
        }
    }
    let Ok(lathe) = Lathe::new(parts) else { return };
    let _ = lathe.pairs_at_once();
    let _ = (solver::warnings::unknown(&lathe), solver::warnings::warnings(&lathe));
    for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
        let Ok(settings) = lathe.settings(travel) else { continue };
        for setting in settings.list.iter().take(2) {
            for train in &trains {
                let _ = Slipped::of(&lathe, setting, train, Some(usize::MAX));
                let _ = Slipped::of(&lathe, setting, train, Some(0));
            }
        }
        if let (Some(setting), Some(train)) = (settings.list.first(), trains.first()) {
            let mounted = Mounted::new(setting.clone(), train.clone(), Some(usize::MAX));
            asks_why(&lathe, &mounted, travel);
        }
        let _ = (lathe.fitted_setting(travel), lathe.fitted_lead(travel));
        for setting in settings.list.iter().take(50) {
            for (train, hand) in trains.iter().zip([None, Some(Hand::Left), Some(Hand::Right)]) {
                let either = lathe.either(setting, train, hand);
                let _ = lathe.idler_that_may_stay(train, either, hand);
                let _ = (lathe.fitted_does(setting, train, hand), lathe.cuts(setting, 0, hand));
                let _ = lathe.hand_cut(setting, usize::MAX, Some(usize::MAX));
                let _ = lathe.first_turns(usize::MAX, Some(usize::MAX));
                for restored in lathe.restored(setting, Some(usize::MAX)) {
                    let _ = lathe.position_name(restored.control, usize::MAX);
                    let _ = lathe.control_name(restored.control);
                }
            }
            let _ = (lathe.lever_names(setting).count(), lathe.headstock_name(setting));
            let _ = first_shaft_turns(&lathe, setting);
            for train in &trains {
                for starts in [0, 1, 2, 99, 255] {
                    if let Ok(Some(plan)) = starts::Indexing::new(&lathe, setting, train, starts) {
                        let _ = plan.method();
                        let _ = plan.shift.map(|s| (s.order(), s.extra_turns(), s.gear_turns()));
                    }
                }
            }
        }
    }
    for cut in leads() {
        for starts in [0, 1, 2, 99, 100, 255] {
            let Ok(plan) = dial::HalfNut::new(&lathe, &cut, starts) else { continue };
            if let Advice::Lines(reading) = plan.advice() {
                assert!(reading.works());
            }
            for reading in &plan.dials {
                let _ = (reading.turns_to_repeat(), reading.turns_to_same_line());
                for (from, to) in [(0, 0), (0, u16::MAX), (u16::MAX, 0), (1, 399)] {
                    let _ = reading.landing(from, to);
                }
            }
            if let Closing::At(repeat) = plan.closing {
                let _ = (repeat.distance(), repeat.dial_gears().count(), repeat.to_next_start());
                for passed in [0, 1, u128::MAX] {
                    let _ = repeat.landing(passed);
                }
                let _ = (repeat.works(0), repeat.works(u16::MAX));
            }
        }
    }
}

fn tried(cases: Vec<(&str, Parts)>) {
    none_panics(cases.into_iter().map(|(name, parts)| (name.to_owned(), parts)), |parts| {
        ask_all(parts.clone());
    });
}

#[test]
fn boxes_of_gears() {
    let mut set = GearSet::new();
    let gear = Gear::new(teeth(40));
    for count in [0, 100, u64::MAX] {
        assert!(set.add(gear, count).is_err());
    }
    set.add(gear, 99).unwrap();
    assert!(set.add(gear, 1).unwrap_err().is_range());
    let mut joined = Joined::new(gear, gear);
    for count in [0, 100, 255] {
        joined.count = count;
        assert!(set.join(joined.clone()).unwrap_err().is_range(), "{count}");
    }
    joined.count = 99;
    set.join(joined).unwrap();
    set.note_outside(gear, Outside::new("5000 mm".parse().unwrap()).unwrap());
    let _ = (set.total(), set.check(), set.usual(teeth(5)), set.usual_is_certain());
    assert!(GearSet::new().check().is_err());
    let _ = (GearSet::new().usual(teeth(400)), GearSet::new().usual_is_certain());
    let mut many = GearSet::new();
    let added = gears().into_iter().cycle().take(1000).filter(|g| many.add(*g, 1).is_ok()).count();
    assert!(added > 0);
    none_panics(gears().into_iter().map(|g| (format!("{g:?}"), g)), |gear| {
        let _ = (gear.module(), gear.meshes_with(&Gear::new(teeth(5))));
        let nowhere = gear.with_places(Places::only(&[]));
        assert!(!nowhere.places.allow(Place::Stud));
        let one = Train::new(vec![Shaft::One(*gear), Shaft::One(nowhere)]).unwrap();
        let _ = (one.ratio(), one.places(), one.handled_from(&one));
    });
    for shafts in [0, 1, 6, 10_000] {
        assert!(Train::new(vec![Shaft::One(gear); shafts]).is_err(), "{shafts}");
    }
    let pair = Shaft::Pair { driven: gear, driver: gear };
    assert!(Train::new(vec![pair; 3]).is_err());
    for (train, k) in [("5-400", u128::MAX), ("400-5", 1)] {
        for starts in [0, 1, 2, 99, 255] {
            let _ = ease(&train.parse().unwrap(), Ratio::new(k, 3).ok(), starts);
        }
    }
}

#[test]
fn lead_screws_headstocks_and_feeds() {
    let mut cases = Vec::new();
    for lead in leads() {
        for starts in [0, 1, 255] {
            let mut parts = plain();
            parts.lead_screw.lead = Some(lead);
            parts.lead_screw.starts = starts;
            cases.push(("lead screw", parts));
        }
        let mut parts = plain();
        parts.screw_constant = Some(lead);
        cases.push(("screw constant", parts.clone()));
        parts.lead_screw.lead = None;
        cases.push(("screw constant alone", parts));
        let mut parts = plain();
        parts.feeds.long = Some(lead);
        parts.feeds.cross = Some(lead);
        cases.push(("feeds", parts));
    }
    for ratio in few_ratios() {
        let mut parts = plain();
        parts.headstock[0].ratio = Some(ratio);
        cases.push(("headstock", parts));
    }
    for (studs, sleeves) in [(0, None), (3, Some(255)), (3, Some(0)), (4, None), (255, Some(255))] {
        let mut parts = plain();
        (parts.studs, parts.sleeves) = (studs, sleeves);
        cases.push(("studs", parts));
    }
    let mut parts = plain();
    parts.headstock.clear();
    cases.push(("no headstock", parts.clone()));
    parts.headstock = (0..30_000)
        .map(|i| HeadstockPosition {
            name: i.to_string(),
            ratio: Some(Ratio::ONE),
            turns: Turns::Same,
        })
        .collect();
    cases.push(("too many headstock positions", parts));
    let mut parts = plain();
    parts.tumbler = (0..1000).map(|i| (i.to_string(), Turns::Opposite)).collect();
    cases.push(("a thousand tumbler positions", parts));
    let mut parts = plain();
    parts.gears = GearSet::new();
    cases.push(("no gears", parts));
    tried(cases);
}

/// The search counts in fractions of a millimetre: a figure with pi in it was taken without its pi.
#[test]
fn a_figure_with_pi_is_no_figure_of_a_lathe() {
    let pi = Lead::times_pi("3 mm".parse().unwrap());
    let with = |change: fn(&mut Parts, Lead)| {
        let mut parts = plain();
        change(&mut parts, pi);
        Lathe::new(parts)
    };
    let cases: [(&[Where], _); 4] = [
        (&[Where::LeadScrew, Where::Lead], with(|parts, pi| parts.lead_screw.lead = Some(pi))),
        (&[Where::ScrewConstant], with(|parts, pi| parts.screw_constant = Some(pi))),
        (&[Where::Feeds, Where::Long], with(|parts, pi| parts.feeds.long = Some(pi))),
        (&[Where::Feeds, Where::Cross], with(|parts, pi| parts.feeds.cross = Some(pi))),
    ];
    for (place, lathe) in cases {
        let error = lathe.unwrap_err();
        assert_eq!((error.place(), error.is_conflict()), (place, true));
        assert!(error.hint().is_some());
    }
}

fn lever(name: &str, positions: usize, ratio: Option<Ratio>) -> Lever {
    let position = |i: usize| {
        let only = (i % 3 == 1).then_some(Travel::LongFeed);
        LeverPosition::new(i.to_string(), ratio, Turns::Unknown).with_only(only)
    };
    Lever { name: name.to_owned(), positions: (0..positions).map(position).collect() }
}

#[test]
fn gearboxes() {
    let mut cases = Vec::new();
    let when = |lever: &str, position: &str| vec![(lever.to_owned(), position.to_owned())];
    for ratio in few_ratios() {
        let mut parts = plain();
        parts.gearbox.levers = vec![lever("A", 3, Some(ratio)), lever("B", 2, Some(ratio))];
        cases.push(("large ratios", parts));
    }
    for (levers, positions) in [(1, 0), (1, 20_000), (1, 20_001), (101, 1), (100, 2), (64, 4)] {
        let mut parts = plain();
        let all = (0..levers).map(|i| lever(&i.to_string(), positions, Some(Ratio::ONE)));
        parts.gearbox.levers = all.collect();
        cases.push(("many levers or positions", parts));
    }
    for named in [vec![], when("A", "9"), when("Z", "0"), when("", ""), when("A", "0")] {
        let mut parts = plain();
        parts.gearbox.levers = vec![lever("A", 3, Some(Ratio::ONE))];
        let mut forbidden = parts.clone();
        forbidden.gearbox.forbidden = vec![named.clone(); 3];
        cases.push(("forbidden", forbidden));
        for end in [End::Own(teeth(5)), End::Owned(vec![]), End::Owned(vec![teeth(400)])] {
            let mut needs = parts.clone();
            needs.gearbox.needs_last = vec![(named.clone(), end.clone())];
            needs.ends.first = end;
            cases.push(("ends", needs));
        }
        let mut fitted = parts.clone();
        let train = "400-5+400-5".parse().unwrap();
        fitted.fitted = Some(Fitted::new(train, named.clone()));
        cases.push(("fitted", fitted));
        let twice = Combination { when: named, ratio: None, turns: Turns::Same };
        parts.gearbox.combinations = vec![twice.clone(), twice];
        cases.push(("combinations", parts));
    }
    let mut parts = plain();
    parts.gearbox.levers = vec![lever("A", 1, None), lever("A", 1, None)];
    cases.push(("one name twice", parts));
    tried(cases);
}

#[test]
fn dials() {
    let labels = |n: usize| (0..n).map(|i| i.to_string()).collect::<Vec<_>>();
    let mut cases = Vec::new();
    for (teeth, lines) in [(0, 0), (4, 0), (4, 4), (400, 400), (400, 399), (401, 1), (16, u16::MAX)]
    {
        for count in [0, usize::from(lines), 7] {
            let mut parts = plain();
            parts.dials = vec![Dial { teeth, lines, labels: labels(count) }; 3];
            for lead in leads() {
                parts.lead_screw.lead = Some(lead);
                cases.push(("dial", parts.clone()));
            }
        }
    }
    tried(cases);
}

#[test]
fn brackets() {
    let bracket = || {
        let [first, from, to] = ["80 mm", "34 mm", "70 mm"].map(|t| t.parse::<Length>().unwrap());
        Bracket::plain(first, from, to)
    };
    let mut all = Vec::new();
    let mut with = |name: &'static str, change: &dyn Fn(&mut Bracket)| {
        let mut changed = bracket();
        change(&mut changed);
        all.push((name, changed));
    };
    let spot = |right, up| Spot { right, up };
    let degrees = |text: &str| text.parse::<Degrees>().unwrap();
    for size in ratios() {
        for back in [false, true] {
            let at = away(size, back);
            with("least stud", &|b| b.least_stud = at);
            with("clearance", &|b| b.clearance = at);
            with("opening", &|b| b.opening = (at, at));
            with("upside-down opening", &|b| b.opening = (at, Offset::ZERO));
            with("hub", &|b| (b.hub_radii.first, b.hub_radii.stud) = (at, at));
            with("driving shaft", &|b| b.first = FirstShaft::At(spot(at, Offset::ZERO)));
            with("pivot", &|b| b.pivot = Pivot::At(spot(at, at)));
            with("cover", &|b| b.cover = Some(vec![spot(at, at); 3]));
            let straight = |from, to, offset| {
                vec![Slot::Straight { from, to, angle: degrees("-360"), offset }]
            };
            with("hole", &|b| b.slots = straight(at, at, Offset::ZERO));
            with("slot", &|b| b.slots = straight(Offset::ZERO, at, at));
            with("slot the other way", &|b| b.slots = straight(at, Offset::ZERO, at));
            let arc = Slot::Arc {
                along: at,
                across: at,
                radius: Length::from_mm(size),
                from: degrees("-360"),
                to: degrees("360"),
            };
            with("arc", &|b| b.slots = vec![arc]);
            let shape = Shape::Circle { at: spot(at, at), radius: Length::from_mm(size) };
            with("circle", &|b| {
                b.keep_out = vec![KeepOut {
                    name: String::new(),
                    shape: shape.clone(),
                    planes: vec![0, 255],
                }];
            });
        }
    }
    for length in lengths() {
        with("centres", &|b| b.first = FirstShaft::Away(length));
    }
    for planes in [0, 1, 4, 5, 8, 9, 64, 255] {
        with("planes", &|b| b.planes = planes);
        with("first planes", &|b| b.first_planes = vec![planes; 300]);
        with("last planes", &|b| (b.planes, b.last_planes) = (planes, vec![planes]));
    }
    with("the pivot on a shaft", &|b| b.pivot = Pivot::At(spot(Offset::ZERO, Offset::ZERO)));
    with("the pivot on the driving shaft", &|b| b.pivot = Pivot::First);
    with("no slot", &|b| b.slots.clear());
    with("many slots", &|b| b.slots = vec![b.slots[0]; 5000]);
    for corners in [0, 1, 2, 3, 101, 5000] {
        let outline = vec![spot(Offset::ZERO, Offset::ZERO); corners];
        with("cover of so many corners", &|b| b.cover = Some(outline.clone()));
        with("keep-out of so many corners", &|b| {
            let shape = Shape::Polygon(outline.clone());
            b.keep_out = vec![KeepOut { name: String::new(), shape, planes: vec![] }];
        });
    }
    let round =
        KeepOut { name: "x".to_owned(), shape: Shape::Polygon(Vec::new()), planes: vec![1] };
    with("many keep-outs", &|b| b.keep_out = vec![round.clone(); 5000]);
    for (from, to) in [("-360", "360"), ("360", "-360"), ("0", "0"), ("90", "90")] {
        with("swing", &|b| b.swing = Some((degrees(from), degrees(to))));
    }
    let cases = all.into_iter().flat_map(|(name, bracket)| {
        [0, 1, 3].map(|studs| {
            let mut parts = plain();
            (parts.studs, parts.bracket) = (studs, Some(bracket.clone()));
            (name, parts)
        })
    });
    none_panics(cases.map(|(name, parts)| (format!("{name}: {:?}", parts.bracket), parts)), |p| {
        let gears = &p.gears;
        if let Ok(geometry) = Geometry::new(p.bracket.as_ref().unwrap(), gears) {
            for train in ["20-30", "20-60-127", "20-30+40-60", "20-30+40-60+20-30+40-60"] {
                let _ = geometry.fit(&train.parse().unwrap());
            }
            let odd = super::gears().into_iter().step_by(7).take(4).map(Shaft::One);
            let _ = geometry.fit(&Train::new(odd.collect()).unwrap());
        }
        let _ = Lathe::new(p.clone()).map(|lathe| lathe.settings(Travel::Thread));
    });
}
