//! Search under the bracket against filtering a full enumeration: 22 gears, two studs in one slot,
//! up to three gear pairs and idlers, one lever position and 32.

use crate::search::{gear, position, ratio, targets};
use solver::search::{Ask, Options, Search};
use solver::{Bracket, GearSet, Gearbox, HubRadii, Lathe, Lead, Lever, Parts, Travel};
use std::time::{Duration, Instant};

/// Best leads that fit, asked for each target.
const BEST: usize = 20;

/// Arrangements that the naive method is timed over; it is scaled up to all.
const SAMPLE: u64 = 3_000_000;

/// Shafts and slot, from roomy to hopeless.
const BRACKETS: [(&str, &str, &str, &str); 5] = [
    ("roomy", "120 mm", "38 mm", "125 mm"),
    ("usual", "120 mm", "38 mm", "95 mm"),
    ("tight", "160 mm", "38 mm", "80 mm"),
    ("barely", "180 mm", "38 mm", "78 mm"),
    ("hopeless", "200 mm", "38 mm", "75 mm"),
];

fn gears() -> GearSet {
    let mut gears = GearSet::new();
    for teeth in (20..=120).step_by(5).chain([127]) {
        gears.add(gear(teeth), 1).unwrap();
    }
    gears
}

/// Eight steps times four ranges.
fn gearbox() -> Gearbox {
    let cone =
        [16, 18, 20, 22, 23, 24, 26, 28].map(|z| position(z.to_string(), &format!("16/{z}")));
    let ranges = ["1", "1/2", "1/4", "1/8"].map(|r| position(r.into(), r));
    let mut gearbox = Gearbox::default();
    gearbox.levers = vec![
        Lever { name: "Range".into(), positions: ranges.into() },
        Lever { name: "Step".into(), positions: cone.into() },
    ];
    gearbox
}

fn lathe((_, centres, from, to): (&str, &str, &str, &str), levers: bool) -> Lathe {
    let mut bracket =
        Bracket::plain(centres.parse().unwrap(), from.parse().unwrap(), to.parse().unwrap());
    let hub = "12 mm".parse().unwrap();
    bracket.hub_radii = HubRadii { first: hub, stud: "8 mm".parse().unwrap(), last: hub };
    bracket.least_stud = "38 mm".parse().unwrap();
    let mut parts = Parts::plain(gears(), Lead::from_tpi(ratio("8")).unwrap());
    parts.studs = 2;
    parts.bracket = Some(bracket);
    if levers {
        parts.gearbox = gearbox();
    }
    Lathe::new(parts).unwrap()
}

fn timed<T>(run: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let found = run();
    (found, start.elapsed())
}

fn search(lathe: &Lathe) -> Search<'_> {
    Search::new(lathe, Travel::Thread, Options::default()).unwrap()
}

/// Counts far below 2^52.
#[expect(clippy::cast_precision_loss, reason = "a count to be divided")]
fn as_f64(count: u64) -> f64 {
    count as f64
}

/// Arrangements tested a second, one by one.
fn tests_a_second(search: &Search<'_>) -> f64 {
    let ((tried, _), time) = timed(|| search.try_all(SAMPLE));
    as_f64(tried) / time.as_secs_f64()
}

pub(crate) fn run(quick: bool) {
    println!("\nFit on the bracket: 22 gears, two studs, up to three gear pairs and idlers.");
    println!("Naive: every arrangement tested, then the best {BEST} leads; timed over a sample.");
    println!(
        "{:<9} {:>10} {:>12} {:>12} {:>14} {:>14} {:>12}",
        "bracket", "fit", "list", "tests/s", "one, 1 lever", "one, 32", "naive / one"
    );
    let targets: Vec<Lead> = targets().into_iter().step_by(if quick { 40 } else { 6 }).collect();
    let brackets = if quick { &BRACKETS[1..2] } else { &BRACKETS[..] };
    for bracket in brackets {
        row(*bracket, &targets, quick);
    }
}

fn row(bracket: (&str, &str, &str, &str), targets: &[Lead], quick: bool) {
    let (plain, boxed) = (lathe(bracket, false), lathe(bracket, true));
    let (standing, list) = {
        let fresh = search(&plain);
        timed(|| fresh.standing())
    };
    let rate = tests_a_second(&search(&plain));
    let arrangements = if quick { as_f64(SAMPLE) } else { ARRANGEMENTS };
    let whole = arrangements / rate;
    let one = |lathe: &Lathe| {
        let search = search(lathe);
        let ((), time) = timed(|| {
            for target in targets {
                let ask = Ask::new(*target).with_hand(None).with_count(BEST);
                let found = search.find(&ask).unwrap();
                assert!(found.proof.complete, "{target:?}");
            }
        });
        time.as_secs_f64() / as_f64(targets.len() as u64)
    };
    let (single, many) = (one(&plain), one(&boxed));
    println!(
        "{:<9} {:>10} {:>9.1} ms {:>10.1} M {:>11.2} ms {:>11.2} ms {:>12.0}",
        bracket.0,
        standing.map_or("many".into(), |n| n.to_string()),
        list.as_secs_f64() * 1e3,
        rate / 1e6,
        single * 1e3,
        many * 1e3,
        whole / single
    );
}

/// Arrangements of 22 gears on up to two studs: n!/(n-k)! with k gears, over all shapes (2; 3 with
/// an idler; 4 with a pair or two idlers; 5 with a pair and an idler on either side; 6 with two
/// pairs).
const ARRANGEMENTS: f64 = 462.0 + 9_240.0 + 2.0 * 175_560.0 + 2.0 * 3_160_080.0 + 53_721_360.0;
