//! Search against naive enumeration: best 20 leads, up to three gear pairs, no bracket.
//!
//! Naive: tables of gear multisets for both sides, a double loop, doubles, a list of the best,
//! on all cores. Where that takes minutes it runs over a sample of the drivers and is scaled up.
//! Its answer is checked against the search's.

use rayon::prelude::*;
use solver::search::{Ask, Options, Search};
use solver::{
    Bracket, Combination, End, Ends, Fitted, Gear, GearSet, Gearbox, Hand, HeadstockPosition,
    HubRadii, Joined, Lathe, Lead, Length, Lever, LeverPosition, Parts, Place, Places, Ratio,
    Teeth, Travel, Turns,
};
use std::time::{Duration, Instant};

const BEST: usize = 20;

/// One box of gears.
struct Set {
    name: &'static str,
    gears: Vec<(u64, u64)>,
    /// Part of the drivers' multisets that the naive method is run over.
    sample: usize,
}

fn sets() -> Vec<Set> {
    let one = |sizes: Vec<u64>| sizes.into_iter().map(|z| (z, 1)).collect();
    vec![
        Set { name: "A", gears: one((20..=80).step_by(5).chain([127]).collect()), sample: 1 },
        Set { name: "B", gears: one((20..=120).step_by(5).chain([127]).collect()), sample: 1 },
        Set {
            name: "C",
            gears: (20..=96).step_by(2).chain([127]).map(|z| (z, 2)).collect(),
            sample: 1,
        },
        Set { name: "D", gears: one((16..=130).collect()), sample: 400 },
    ]
}

pub(crate) fn ratio(text: &str) -> Ratio {
    text.parse().unwrap()
}

pub(crate) fn gear(teeth: u64) -> Gear {
    Gear::new(Teeth::new(teeth).unwrap())
}

/// An 8 TPI lathe with two studs; with 56 positions a cone of eight times seven doublings.
fn lathe(set: &Set, positions: usize) -> Lathe {
    let mut gears = GearSet::new();
    for &(teeth, count) in &set.gears {
        gears.add(gear(teeth), count).unwrap();
    }
    let mut parts = Parts::plain(gears, Lead::from_tpi(ratio("8")).unwrap());
    parts.studs = 2;
    if positions == 56 {
        parts.gearbox = gearbox();
    }
    Lathe::new(parts).unwrap()
}

/// Box B with one stud, for the parts that plan.
pub(crate) struct Box22 {
    pub(crate) positions: usize,
    pub(crate) bracket: bool,
    pub(crate) fitted: bool,
}

impl Box22 {
    pub(crate) fn lathe(&self) -> Lathe {
        let mut parts = lathe(&sets().swap_remove(1), self.positions).parts().clone();
        parts.studs = 1;
        let length = |text: &str| text.parse().unwrap();
        if self.bracket {
            let mut bracket = Bracket::plain(length("120 mm"), length("38 mm"), length("95 mm"));
            let (hub, stud) = ("12 mm".parse().unwrap(), "8 mm".parse().unwrap());
            bracket.hub_radii = HubRadii { first: hub, stud, last: hub };
            parts.bracket = Some(bracket);
        }
        parts.fitted =
            self.fitted.then(|| Fitted::new("20-80+25-100".parse().unwrap(), Vec::new()));
        Lathe::new(parts).unwrap()
    }
}

/// What some work comes to, and how long it takes.
pub(crate) fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let found = work();
    (found, start.elapsed())
}

/// A lever position that turns the same way round and serves everything.
pub(crate) fn position(name: String, turns: &str) -> LeverPosition {
    LeverPosition::new(name, Some(ratio(turns)), Turns::Same)
}

fn gearbox() -> Gearbox {
    let cone =
        [16, 18, 20, 22, 23, 24, 26, 28].map(|z| position(z.to_string(), &format!("16/{z}")));
    let doublings = [4, 2, 1].map(|n| position(format!("x{n}"), &n.to_string())).into_iter();
    let halvings = [2, 4, 8, 16].map(|n| position(format!("/{n}"), &format!("1/{n}")));
    let mut gearbox = Gearbox::default();
    gearbox.levers = vec![
        Lever { name: "Range".into(), positions: doublings.chain(halvings).collect() },
        Lever { name: "Step".into(), positions: cone.into() },
    ];
    gearbox
}

/// The same with every constraint switched on: hand through a tumbler, a list for the first gear,
/// a settled last gear in one row, places, a joined pair, a forbidden and a special combination.
fn constrained(set: &Set) -> Lathe {
    let mut gears = GearSet::new();
    for &(teeth, count) in set.gears.iter().filter(|g| g.0 != 127) {
        let places =
            if teeth % 20 == 0 { Places::only(&[Place::Stud, Place::Last]) } else { Places::ALL };
        gears.add(gear(teeth).with_places(places), count).unwrap();
    }
    gears.join(Joined::new(gear(127), gear(100))).unwrap();
    let mut parts = Parts::plain(gears, Lead::from_tpi(ratio("8")).unwrap());
    parts.studs = 2;
    parts.headstock = vec![HeadstockPosition {
        name: String::new(),
        ratio: Some(Ratio::ONE),
        turns: Turns::Same,
    }];
    parts.tumbler = vec![("up".into(), Turns::Same), ("down".into(), Turns::Opposite)];
    let small: Vec<Teeth> = set
        .gears
        .iter()
        .filter(|g| g.0 % 20 != 0 && g.0 < 60)
        .map(|g| Teeth::new(g.0).unwrap())
        .collect();
    parts.ends = Ends { first: End::Owned(small), last: End::Any };
    let when = |range: &str, step: &str| {
        vec![("Range".to_owned(), range.to_owned()), ("Step".to_owned(), step.to_owned())]
    };
    let special =
        Combination { when: when("x1", "26"), ratio: Some(ratio("8/13")), turns: Turns::Same };
    parts.gearbox = gearbox();
    parts.gearbox.forbidden = vec![when("x4", "16")];
    parts.gearbox.needs_last = vec![(when("x1", "28"), End::Own(Teeth::new(63).unwrap()))];
    parts.gearbox.combinations = vec![special];
    Lathe::new(parts).unwrap()
}

/// 120 targets: metric 0.2 to 6 mm, 4 to 80 TPI, and 16 modules.
pub(crate) fn targets() -> Vec<Lead> {
    let mm = |text: &str| text.parse::<Length>().unwrap();
    let metric = (1..=48).map(|i| Lead::new(mm(&format!("{i}/8 mm"))));
    let inch = (1..=56).map(|i| Lead::from_tpi(ratio(&format!("{}/2", 7 + 2 * i))).unwrap());
    let worms = (1..=16).map(|i| Lead::times_pi(mm(&format!("{i}/4 mm"))));
    metric.chain(inch).chain(worms).collect()
}

/// One side of a train, as the naive method lists it.
struct Side {
    product: f64,
    /// Indices of its gears.
    gears: Vec<usize>,
}

fn sides(gears: &[(u64, u64)], n: usize) -> Vec<Side> {
    fn go(
        gears: &[(u64, u64)],
        from: usize,
        n: usize,
        chosen: &mut Vec<usize>,
        out: &mut Vec<Side>,
    ) {
        if n == 0 {
            let product =
                chosen.iter().map(|&i| u32::try_from(gears[i].0).map_or(0.0, f64::from)).product();
            return out.push(Side { product, gears: chosen.clone() });
        }
        for i in from..gears.len() {
            let used = chosen.iter().filter(|&&c| c == i).count() as u64;
            if used < gears[i].1 {
                chosen.push(i);
                go(gears, i, n - 1, chosen, out);
                chosen.pop();
            }
        }
    }
    let mut out = Vec::new();
    go(gears, 0, n, &mut Vec::new(), &mut out);
    out
}

/// Whether both sides together keep to what is owned.
fn owned(gears: &[(u64, u64)], drivers: &Side, driven: &Side) -> bool {
    drivers.gears.iter().all(|i| {
        let uses = drivers.gears.iter().chain(&driven.gears).filter(|g| *g == i).count();
        uses as u64 <= gears[*i].1
    })
}

/// The naive method: time for one target, scaled up where it was sampled, and the least error.
fn naive(set: &Set, constants: &[f64], target: f64) -> (Duration, f64) {
    let start = Instant::now();
    let mut best: Vec<f64> = Vec::new();
    for n in 1..=3 {
        let side = sides(&set.gears, n);
        let found: Vec<Vec<f64>> = side
            .par_iter()
            .step_by(set.sample)
            .map(|drivers| {
                let mut heap = vec![f64::MAX; BEST];
                for driven in &side {
                    if !owned(&set.gears, drivers, driven) {
                        continue;
                    }
                    for constant in constants {
                        let error =
                            (drivers.product * constant / driven.product / target - 1.0).abs();
                        if error < heap[BEST - 1] {
                            let at = heap.partition_point(|e| *e <= error);
                            heap.pop();
                            heap.insert(at, error);
                        }
                    }
                }
                heap
            })
            .collect();
        best.extend(found.into_iter().flatten());
    }
    best.sort_unstable_by(f64::total_cmp);
    (start.elapsed() * u32::try_from(set.sample).unwrap(), best[0])
}

/// Median time of a few runs.
fn time(runs: usize, mut work: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[runs / 2]
}

fn ask(lead: Lead) -> Ask {
    Ask::new(lead).with_count(BEST).with_gears(6)
}

pub(crate) fn run(quick: bool) {
    println!("\nBest {BEST} leads, up to three gear pairs, against naive enumeration on all cores");
    println!(
        "set pos    combinations  tables    naive     search  (pi)      120 targets  naive/search"
    );
    for set in sets() {
        for positions in [1, 56] {
            if quick && !matches!(set.name, "A" | "B") {
                continue;
            }
            let lathe = lathe(&set, positions);
            row(&set, positions, &lathe);
        }
    }
    println!(
        "\nThe same with hand, ends, places, a joined pair, forbidden and special combinations"
    );
    for set in sets() {
        if !quick || matches!(set.name, "A" | "B") {
            let (plain, bound) = (lathe(&set, 56), constrained(&set));
            let (p, b) = (targets_time(&plain), targets_time(&bound));
            println!(
                "{:3}  56  120 targets {:9.1?} against {:9.1?} without: {:.1} times",
                set.name,
                b,
                p,
                b.as_secs_f64() / p.as_secs_f64()
            );
        }
    }
}

fn targets_time(lathe: &Lathe) -> Duration {
    let search = Search::new(lathe, Travel::Thread, options()).unwrap();
    let asks: Vec<Ask> = targets().into_iter().map(ask).collect();
    time(3, || drop(search.find_each(&asks)))
}

/// No arbor rule: the naive method knows none.
fn options() -> Options {
    Options::default().with_arbor(None)
}

fn row(set: &Set, positions: usize, lathe: &Lathe) {
    let start = Instant::now();
    let search = Search::new(lathe, Travel::Thread, options()).unwrap();
    let tables = start.elapsed();
    let lead = Lead::new("1.25 mm".parse().unwrap());
    let worm = Lead::times_pi("1 mm".parse().unwrap());
    let constants: Vec<f64> = search.settings().iter().map(|s| s.constant.to_f64()).collect();
    let mut sampled = Set { name: set.name, gears: set.gears.clone(), sample: set.sample };
    if positions == 56 && matches!(set.name, "C" | "D") {
        sampled.sample *= 20;
    }
    let (slow, least) = naive(&sampled, &constants, lead.to_f64());
    let one = ask(lead).with_hand(Some(Hand::Right));
    let found = search.find(&one).unwrap();
    if sampled.sample == 1 {
        let best = found.solutions[0].error.ppm().abs() / 1e6;
        assert!((least - best).abs() < 1e-12, "naive {least}, search {best}");
    }
    let fast = time(51, || drop(search.find(&one)));
    let pi = ask(worm);
    let fast_pi = time(51, || drop(search.find(&pi)));
    let asks: Vec<Ask> = targets().into_iter().map(ask).collect();
    // D with 56 positions keeps its rows apart and takes seconds.
    let runs = if set.name == "D" && positions == 56 { 1 } else { 5 };
    let all = time(runs, || drop(search.find_each(&asks)));
    println!(
        "{:3} {:3} {:>15} {:9.1?} {:9.1?} {:9.1?} {:9.1?} {:9.1?} {:>12.0}",
        set.name,
        positions,
        search.proof(6).combinations,
        tables,
        slow,
        fast,
        fast_pi,
        all,
        slow.as_secs_f64() / fast.as_secs_f64()
    );
}
