//! Lathes of our own, with exact figures worked out by hand: lost charts and charts of two machines.

use super::{geared, lathe, plain, ratio, teeth, thread};
use solver::chart::{AllowedErrors, Cause, ChartRow, Measured, Unit, Verdict, What, check, learn};
use solver::search::{Ask, Options, Search};
use solver::{
    End, Gear, Gearbox, Joined, Lathe, Lead, Lever, LeverPosition, Parts, Ratio, Target, Turns,
    Where,
};

/// Gears, then what is printed: 10 TPI screw, inch threads; 18 has a 38 for a 36.
const INCH: [(&str, &str); 11] = [
    ("8", "25-20"),
    ("11", "50-55"),
    ("12", "20-24"),
    ("13", "50-65"),
    ("14", "20-28"),
    ("16", "20-32"),
    ("18", "20-38"),
    ("20", "20-40"),
    ("24", "20-48"),
    ("28", "25-70"),
    ("32", "25-80"),
];

/// Metric threads, made for a screw of 2.5 mm.
const METRIC: [(&str, &str); 10] = [
    ("0.5", "20-60+30-50"),
    ("0.7", "24-60+35-50"),
    ("0.75", "24-80"),
    ("0.8", "24-75"),
    ("1", "20-50"),
    ("1.25", "20-40"),
    ("1.5", "24-40"),
    ("1.75", "28-40"),
    ("2", "20-25"),
    ("3", "24-20"),
];

const OWNED: [u64; 20] =
    [20, 24, 25, 28, 30, 32, 35, 36, 40, 40, 45, 48, 50, 55, 60, 65, 70, 75, 80, 38];

fn two_lathes() -> Vec<ChartRow> {
    let inch = INCH.iter().map(|(tpi, train)| geared(tpi, Unit::Tpi, train));
    inch.chain(METRIC.iter().map(|(mm, train)| geared(mm, Unit::Mm, train))).collect()
}

fn ppm(row: &solver::chart::CheckedRow) -> String {
    format!("{:+.1}", row.cut.as_ref().unwrap().error.ppm())
}

#[test]
fn a_chart_of_two_lathes_is_judged_as_such() {
    let rows = two_lathes();
    let checked = check(&lathe(plain(&OWNED, "10")), &rows, &AllowedErrors::default()).unwrap();
    assert!(!checked.holds());
    for (i, row) in checked.rows.iter().enumerate() {
        assert!(row.lacks.is_empty(), "all are owned: row {i}");
        match i {
            6 => {
                assert_eq!(ppm(row), "-52631.6");
                let first = &row.explanations[0];
                assert!(first.exact && first.owned);
                let wanted = |says: u64, right: u64| (teeth(says), teeth(right));
                let Cause::Teeth { says, right, .. } = &first.cause else { panic!("{first:?}") };
                assert_eq!((*says, *right), wanted(38, 36));
                let value = row.explanations.iter().take(3).find_map(|e| match &e.cause {
                    Cause::Value { right, .. } => Some(right.as_str()),
                    _ => None,
                });
                assert_eq!(value, Some("19"));
            }
            0..11 => assert_eq!(row.verdict, Verdict::Exact, "row {i}"),
            _ => {
                assert_eq!(row.verdict, Verdict::Wrong);
                assert_eq!(ppm(row), "+16000.0", "row {i}");
            }
        }
    }
    assert_eq!(checked.rows[16].cut.as_ref().unwrap().lead.to_string(), "127/100 mm");
    let [group] = &checked.groups[..] else { panic!("{:?}", checked.groups) };
    assert_eq!(group.rows, (11..21).collect::<Vec<_>>());
    assert_eq!((group.exact, group.screw.unwrap().to_string().as_str()), (10, "5/2 mm"));
    // Ten millimetres of 1.25 mm are 160 um off.
    let error = checked.rows[16].cut.as_ref().unwrap().error.exact().unwrap();
    assert_eq!(error.to_string(), "2/125"); // of 10 mm: 0.16 mm
}

#[test]
fn the_same_chart_on_the_other_lathe() {
    let rows = two_lathes();
    let mut parts = plain(&OWNED, "10");
    parts.lead_screw.lead = Some(Lead::new("2.5 mm".parse().unwrap()));
    let checked = check(&lathe(parts), &rows, &AllowedErrors::default()).unwrap();
    assert!(checked.rows[11..].iter().all(|row| row.verdict == Verdict::Exact));
    let wrong: Vec<String> = checked.rows[..11].iter().map(ppm).collect();
    assert_eq!(wrong.iter().filter(|ppm| *ppm == "-15748.0").count(), 10);
    assert_eq!(checked.groups[0].screw.unwrap().tpi().unwrap(), ratio("10"));
}

/// From the chart alone either screw may be the lathe's; ten threads counted in an inch settle it.
#[test]
fn two_screws_are_settled_by_one_measurement() {
    let rows = two_lathes();
    let mut parts = plain(&OWNED, "10");
    parts.lead_screw.lead = None;
    let unknown = lathe(parts);
    let open = learn(&unknown, &rows, &[], &AllowedErrors::default()).unwrap();
    assert!(!open.decided);
    let constant = &open.constants[0];
    assert_eq!(constant.what, What::LeadScrew);
    let ranking = &constant.ranking;
    let mut both = vec![ranking.best.value.to_string()];
    both.extend(ranking.rivals.iter().map(|r| r.value.to_string()));
    both.sort();
    assert_eq!(both, ["127/50", "5/2"]);
    let settle = open.settle.unwrap();
    assert!(settle.clear && settle.otherwise.len() == 1);
    let read = settle.expect.apart(&settle.otherwise[0]).unwrap().unwrap();
    assert!(read >= ratio("0.8"), "a rule tells {read} mm");

    let counted: Measured = "10 threads in 25.4 mm with 40-40".parse().unwrap();
    let learned = learn(&unknown, &rows, &[counted], &AllowedErrors::default()).unwrap();
    assert!(learned.decided && learned.measured == [true]);
    assert_eq!(learned.parts.lead_screw.lead.unwrap().tpi().unwrap(), ratio("10"));
    assert_eq!(learned.check.groups[0].rows.len(), 10);
    assert!(matches!(learned.check.rows[6].explanations[0].cause, Cause::Teeth { .. }));
}

const FOURS: [u64; 14] = [24, 28, 32, 36, 40, 40, 44, 48, 52, 56, 60, 64, 72, 80];

fn ten_pitches() -> Measured {
    "10 pitches = 12.6 +- 0.2 mm with 40-40".parse().unwrap()
}

#[test]
fn a_lost_chart_and_a_closed_headstock() {
    let mut parts = plain(&FOURS, "10");
    parts.headstock[0].ratio = None;
    let learned = learn(&lathe(parts), &[], &[ten_pitches()], &AllowedErrors::default()).unwrap();
    assert!(learned.decided);
    let constant = &learned.constants[0];
    assert_eq!(constant.what, What::Headstock);
    let bounds = constant.bounds().unwrap();
    // 1.24 / 2.54 and 1.28 / 2.54.
    assert_eq!(
        format!("{:.4} {:.4}", bounds.low().to_f64(), bounds.high().to_f64()),
        "0.4882 0.5039"
    );
    assert_eq!(constant.figure(&constant.ranking.best).unwrap(), ratio("1/2"));
    let settle = learned.settle.as_ref().unwrap();
    assert_eq!((settle.count, settle.expect), (50, ratio("63.5")));
    assert_eq!(learned.parts.headstock[0].ratio, Some(ratio("1/2")));

    // The lathe as learned: 25 TPI is 4/5; of 11 1/2 TPI the best is 195/112.
    let known = lathe(learned.parts);
    let find = |lathe: &Lathe, text: &str| {
        let target: Target = text.parse().unwrap();
        let search = Search::new(lathe, target.travel(), Options::default()).unwrap();
        let found = search.find(&Ask::new(target.lead()).with_hand(None)).unwrap();
        let more = search.one_more(&Ask::new(target.lead()).with_hand(None), None).unwrap();
        (found.solutions[0].clone(), more)
    };
    let (fine, _) = find(&known, "25 tpi");
    assert!(fine.error.is_zero() && fine.train.ratio() == ratio("4/5"));
    let (best, more) = find(&known, "11.5 tpi");
    assert_eq!(best.train.ratio(), ratio("195/112"));
    assert_eq!(format!("{:+.1}", best.error.ppm()), "+1116.1");
    let _ = more;
    // Taken as 1 to 1, the same gears would cut double: 80-46 5.75 TPI.
    let doubled = Lead::from_tpi(ratio("10")).unwrap().times(&ratio("80/46")).unwrap();
    assert_eq!(doubled.tpi().unwrap(), ratio("5.75"));
}

#[test]
fn without_the_screw_twenty_to_the_inch_and_1_25_mm_are_both_left() {
    let mut parts = plain(&FOURS, "10");
    parts.headstock[0].ratio = None;
    parts.lead_screw.lead = None;
    let learned = learn(&lathe(parts), &[], &[ten_pitches()], &AllowedErrors::default()).unwrap();
    assert!(!learned.decided);
    let ranking = &learned.constants[0].ranking;
    assert_eq!(ranking.best.value, ratio("25.4/20"));
    assert_eq!(ranking.rivals[0].value, ratio("1.25"));
    let settle = learned.settle.unwrap();
    assert_eq!(
        (settle.count, settle.expect, settle.otherwise[0]),
        (40, ratio("50.8"), ratio("50"))
    );
}

/// Upper lever I to IV, lower lever 1 to 6; the plate prints III4 as 44.
fn gearbox(known: bool) -> Gearbox {
    let lever = |name: &str, positions: Vec<(String, Ratio)>| Lever {
        name: name.into(),
        positions: positions
            .into_iter()
            .map(|(name, r)| LeverPosition::new(name, known.then_some(r), Turns::Same))
            .collect(),
    };
    let lower = LOWER.iter().enumerate();
    let lower = lower.map(|(i, t)| ((i + 1).to_string(), Ratio::new(16, *t).unwrap())).collect();
    let upper = [("I", "2"), ("II", "1"), ("III", "1/2"), ("IV", "1/4")];
    let upper = upper.iter().map(|(n, r)| ((*n).to_owned(), ratio(r))).collect();
    let mut gearbox = Gearbox::default();
    gearbox.levers = vec![lever("Lower", lower), lever("Upper", upper)];
    gearbox
}

const LOWER: [u128; 6] = [16, 18, 20, 22, 23, 28];
const BASES: [(&str, u128); 4] = [("I", 4), ("II", 8), ("III", 16), ("IV", 32)];

/// 4 TPI; 30 on the driving shaft, 127 as idler, the machine's own 60 on the box: half a turn.
fn two_levers(known: bool) -> Parts {
    let mut parts = plain(&[30, 35, 45, 50, 55], "4");
    let (a, b) = (Gear::new(teeth(127)), Gear::new(teeth(120)));
    parts.gears.join(Joined::new(a, b)).unwrap();
    parts.ends.last = End::Own(teeth(60));
    parts.gearbox = gearbox(known);
    parts
}

fn plate() -> Vec<ChartRow> {
    let mut rows = Vec::new();
    for (upper, base) in BASES {
        for (i, lower) in LOWER.iter().enumerate() {
            let tpi = Ratio::new(base * lower, 16).unwrap();
            let text = if (upper, i) == ("III", 3) { "44".to_owned() } else { tpi.to_string() };
            let row = geared(&text, Unit::Tpi, "30-127-60");
            rows.push(row.with_lever("Upper", upper).with_lever("Lower", (i + 1).to_string()));
        }
    }
    rows
}

const III4: usize = 15;

#[test]
fn one_bad_entry_on_a_plate_of_two_levers() {
    let rows = plate();
    let known = lathe(two_levers(true));
    let checked = check(&known, &rows, &AllowedErrors::default()).unwrap();
    for (i, row) in checked.rows.iter().enumerate() {
        assert_eq!(row.verdict == Verdict::Exact, i != III4, "row {i}: {:?}", row.cut);
        assert!(row.lacks.is_empty(), "the 60 on the box is the machine's own: {:?}", row.lacks);
    }
    says_22_or_iv4(&known, &checked.rows[III4]);
}

fn says_22_or_iv4(lathe: &Lathe, row: &solver::chart::CheckedRow) {
    let first: Vec<&Cause> = row.explanations.iter().take(3).map(|e| &e.cause).collect();
    assert!(
        first.iter().any(|c| matches!(c, Cause::Value { right, exact: true } if right == "22")),
        "{first:?}"
    );
    let iv4 = first.iter().any(|c| match c {
        Cause::Levers(setting) => {
            lathe.lever_names(setting).collect::<Vec<_>>() == [("Lower", "4"), ("Upper", "IV")]
        }
        _ => false,
    });
    assert!(iv4, "{first:?}");
}

/// The box from its plate alone, screw and headstock known: ratio for ratio, III4 named.
#[test]
fn a_gearbox_is_learned_from_its_plate() {
    let rows = plate();
    let known = lathe(two_levers(true));
    let learned = learn(&lathe(two_levers(false)), &rows, &[], &AllowedErrors::default()).unwrap();
    assert!(learned.decided);
    assert_eq!(learned.parts, *known.parts());
    let wrong: Vec<usize> = (0..24).filter(|&i| !learned.check.rows[i].verdict.holds()).collect();
    assert_eq!(wrong, [III4]);
    says_22_or_iv4(&known, &learned.check.rows[III4]);
}

// 1.75 mm is 35 over the joined 127 and 120 at III1. The 127 as an idler cuts 1.852083 mm, 127/100
// would cut 1.458333 mm.
#[test]
fn wrong_assemblies_are_named() {
    let known = lathe(two_levers(true));
    let at = |train: &str| {
        geared("1.75", Unit::Mm, train).with_lever("Upper", "III").with_lever("Lower", "1")
    };
    let rows = [at("35-127+120-60"), at("35-127-60"), at("35-127+100-60"), at("35-120+127-60")];
    let checked = check(&known, &rows, &AllowedErrors::default()).unwrap();
    assert_eq!(checked.rows[0].verdict, Verdict::Exact);
    assert_eq!(format!("{:+.0}", checked.rows[1].cut.as_ref().unwrap().error.ppm()), "+58333");
    assert_eq!(format!("{:+.0}", checked.rows[2].cut.as_ref().unwrap().error.ppm()), "-166667");
    let first = |i: usize| &checked.rows[i].explanations[0].cause;
    let right = "35-127+120-60";
    assert!(
        matches!(first(1), Cause::PairForIdler { train } if train.to_string() == right),
        "{:?}",
        first(1)
    );
    assert!(
        matches!(first(2), Cause::Partner { right: r, .. } if r.get() == 120),
        "{:?}",
        first(2)
    );
    assert!(
        matches!(first(3), Cause::TurnedRound { train } if train.to_string() == right),
        "{:?}",
        first(3)
    );
    // An inch thread with the pair where the 127 is an idler only.
    let inch = geared("16", Unit::Tpi, "30-127+120-60")
        .with_lever("Upper", "III")
        .with_lever("Lower", "1");
    let checked = check(&known, &[inch], &AllowedErrors::default()).unwrap();
    let cause = &checked.rows[0].explanations[0].cause;
    assert!(
        matches!(cause, Cause::IdlerForPair { train } if train.to_string() == "30-127-60"),
        "{cause:?}"
    );
}

#[test]
fn what_is_not_there_is_said_apart_from_the_verdict() {
    let known = lathe(two_levers(true));
    let row = |train: &str| {
        thread("16", Unit::Tpi)
            .with_gears(solver::chart::Gears::new(train.parse().unwrap()))
            .with_lever("Upper", "III")
            .with_lever("Lower", "1")
    };
    let checked = check(&known, &[row("32-127-64")], &AllowedErrors::default()).unwrap();
    assert_eq!(checked.rows[0].verdict, Verdict::Exact);
    assert_eq!(checked.rows[0].lacks.len(), 3, "{:?}", checked.rows[0].lacks);
    let error = check(
        &known,
        &[thread("16", Unit::Tpi).with_lever("Upper", "V")],
        &AllowedErrors::default(),
    )
    .unwrap_err();
    assert_eq!(
        (error.place(), error.hint()),
        (&[Where::Rows, Where::Item(0)][..], Some("positions: I, II, III, IV"))
    );
}
