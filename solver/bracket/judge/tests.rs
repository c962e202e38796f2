use super::super::geometry::{Bounds, Figure};
use super::*;
use crate::bracket::Fit;
use crate::{
    Bracket, Degrees, FirstShaft, Gear, GearSet, HubRadii, Length, Offset, Pivot, Ratio, Shaft,
    Slot, Spot, Teeth, Train,
};
use proptest::prelude::*;

fn offset(tenths: i64) -> Offset {
    let Ok(size) = Ratio::new(tenths.unsigned_abs().into(), 10) else { return Offset::ZERO };
    let length = Offset::new(Length::from_mm(size));
    if tenths < 0 { length.flipped() } else { length }
}

fn degrees(n: i64) -> Degrees {
    n.to_string().parse().unwrap()
}

fn spot() -> impl Strategy<Value = Spot> {
    (-900_i64..900, 1_i64..1500).prop_map(|(r, u)| Spot { right: offset(r), up: offset(u) })
}

fn slot() -> impl Strategy<Value = Slot> {
    let straight = (200_i64..900, 0_i64..800, -30_i64..30, prop_oneof![Just(0), -150_i64..150]);
    let arc = (300_i64..900, -300_i64..300, 100_u64..600, -180_i64..0, 0_i64..180);
    prop_oneof![
        3 => straight.prop_map(|(from, more, angle, side)| Slot::Straight {
            from: offset(from),
            to: offset(from + more),
            angle: degrees(angle),
            offset: offset(side),
        }),
        1 => arc.prop_map(|(along, across, radius, from, to)| Slot::Arc {
            along: offset(along),
            across: offset(across),
            radius: Length::from_mm(Ratio::new(radius.into(), 10).unwrap()),
            from: degrees(from),
            to: degrees(to),
        }),
    ]
}

/// Brackets of all kinds, in mm: each takes many trains of medium gears and refuses most.
pub(crate) fn bracket() -> impl Strategy<Value = Bracket> {
    (
        spot(),
        prop_oneof![Just(Pivot::Last), Just(Pivot::First), spot().prop_map(Pivot::At)],
        proptest::collection::vec(slot(), 1..3),
        proptest::option::of((-90_i64..0, 0_i64..90)),
        (0_i64..400, 0_i64..120, 0_i64..120, 0_i64..120),
        1_u8..4,
    )
        .prop_map(|(first, pivot, slots, swing, (least, a, b, c), planes)| Bracket {
            first: FirstShaft::At(first),
            pivot,
            slots,
            swing: swing.map(|(a, b)| (degrees(a), degrees(b))),
            least_stud: offset(least),
            hub_radii: HubRadii { first: offset(a), stud: offset(b), last: offset(c) },
            planes,
            ..Bracket::plain(
                "80 mm".parse().unwrap(),
                "1 mm".parse().unwrap(),
                "2 mm".parse().unwrap(),
            )
        })
}

fn train() -> impl Strategy<Value = Train> {
    let gear = || (18_u64..90).prop_map(|z| Gear::new(Teeth::new(z).unwrap()));
    let stud = prop_oneof![
        gear().prop_map(Shaft::One),
        (gear(), gear()).prop_map(|(driven, driver)| Shaft::Pair { driven, driver }),
    ];
    (gear(), proptest::collection::vec(stud, 0..3), gear()).prop_map(|(first, studs, last)| {
        let ends = |gear| vec![Shaft::One(gear)];
        Train::new([ends(first), studs, ends(last)].concat()).unwrap()
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None, cases: 4000, ..ProptestConfig::default()
    })]

    #[test]
    fn what_stands_is_not_ruled_out_at_a_look(bracket in bracket(), train in train()) {
        let geometry = Geometry::new(&bracket, &GearSet::new()).unwrap();
        if !matches!(geometry.fit(&train), Fit::Refused(_)) {
            let last = train.meshes() - 1;
            for (mesh, (driver, driven)) in train.mesh_pairs().enumerate() {
                let seat = match (mesh, last) {
                    (0, 0) => Seat::Only,
                    (0, _) => Seat::First,
                    (m, last) if m == last => Seat::Last,
                    _ => Seat::Middle,
                };
                let seats = geometry.seats(&geometry.wheel(driver), &geometry.wheel(driven));
                prop_assert!(seats.has(seat), "{driver:?} {driven:?} {seat:?}");
            }
        }
    }

    /// Against points all along the outline, and the winding number of the point.
    #[test]
    fn an_outline_is_as_near_as_its_nearest_point(
        corners in proptest::collection::vec((-50.0..50.0, -50.0..50.0), 3..7),
        (x, y) in (-80.0..80.0, -80.0..80.0),
    ) {
        const STEPS: u32 = 500;
        let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y, 0.0)).collect();
        let (told, err) = to_outline(&Point::new(x, y, 0.0), &corners);
        let (mut nearest, mut longest, mut turn) = (f64::INFINITY, 0.0_f64, 0.0);
        for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
            longest = longest.max((b.x - a.x).hypot(b.y - a.y));
            for step in 0..=STEPS {
                let part = f64::from(step) / f64::from(STEPS);
                let (px, py) = (a.x + part * (b.x - a.x), a.y + part * (b.y - a.y));
                nearest = nearest.min((px - x).hypot(py - y));
            }
            let ((ax, ay), (bx, by)) = ((a.x - x, a.y - y), (b.x - x, b.y - y));
            turn += (ax * by - ay * bx).atan2(ax * bx + ay * by);
        }
        prop_assert!(err < 1e-9 && told.abs() <= nearest + 1e-9, "{told} {nearest}");
        prop_assert!(told.abs() >= nearest - longest / f64::from(STEPS), "{told} {nearest}");
        // Inside where the winding number is odd.
        let turns = (turn / std::f64::consts::TAU).round();
        prop_assert_eq!(told < 0.0, (turns / 2.0).fract() != 0.0, "{} {}", told, turns);
    }

    /// What the box around a figure calls clear is clear, and far away it says so.
    #[test]
    fn a_box_calls_nothing_clear_that_is_not(
        corners in proptest::collection::vec((-50.0..50.0, -50.0..50.0), 1..7),
        radius in 1.0..20.0, (x, y) in (-120.0..120.0, -120.0..120.0), need in 0.0..40.0,
    ) {
        let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y, 1e-9)).collect();
        let point = Point::new(x, y, 1e-9);
        let circle = Figure::Circle { at: corners[0], radius };
        for figure in [circle, Figure::Polygon(corners)] {
            let (apart, err) = outside(&point, &figure);
            let clear = Bounds::of(&figure).is_clear(&point, need);
            prop_assert!(!clear || apart - need > err, "{figure:?} {apart} {need}");
            let far = Point::new(x + 400.0, y, 1e-9);
            prop_assert!(Bounds::of(&figure).is_clear(&far, need));
        }
    }

    #[test]
    fn the_short_answer_is_the_full_one(bracket in bracket(), train in train()) {
        let geometry = Geometry::new(&bracket, &GearSet::new()).unwrap();
        let verdict = geometry.verdict(&geometry.wheels(&train));
        let same = match geometry.fit(&train) {
            Fit::Fits(_) => verdict == Verdict::Fits,
            Fit::TooClose(_) => verdict == Verdict::Close,
            Fit::Refused(refusal) => verdict == Verdict::No && !refusal.reasons.is_empty(),
            Fit::NotChecked => false,
        };
        prop_assert!(same, "{verdict:?} {:?}", geometry.fit(&train));
    }
}
