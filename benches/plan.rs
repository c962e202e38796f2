//! Plans for 120 lines, 22 gears and 56 lever positions, against the naive way: every train of a line
//! against every train of the line before.

use crate::search::{Box22, timed};
use solver::plan::{Line, Plan, TrainTable};
use solver::reach::Span;
use solver::search::{Options, Search};
use solver::{Lathe, Travel, Watch};
use std::time::Duration;

pub(crate) fn run(quick: bool) {
    println!("\nPlans: 22 gears, one stud, up to two gear pairs, 200 ppm, fitted 20-80+25-100");
    println!(
        "{:>5} {:>4} {:<9} {:>9} {:>9} {:>9}  plans: time, gears handled (trains), proven least",
        "lines", "pos", "bracket", "trains", "search", "naive/dp"
    );
    for (positions, bracket) in [(1, false), (56, false), (56, true)] {
        for step in [12, 6, 1] {
            if !quick || step == 12 {
                row(step, positions, bracket);
            }
        }
    }
    println!("\nReach: every lead with its best train, against a list of all products, sorted");
    println!(
        "{:>4} {:<9} {:>9} {:>10} {:>10} {:>10} {:>10}",
        "pos", "bracket", "leads", "stand", "stream", "count", "list"
    );
    for (positions, bracket) in [(1, false), (56, false), (56, true)] {
        if !quick || positions == 1 {
            reach_row(positions, bracket);
        }
    }
}

fn reach_row(positions: usize, bracket: bool) {
    let lathe = Box22 { positions, bracket, fitted: false }.lathe();
    let options = Options::default().with_pairs(2);
    let search = Search::new(&lathe, Travel::Thread, options).unwrap();
    let ((count, _), counted) = timed(|| Span::all().count(&search).unwrap());
    let (stand, streamed) = timed(|| Span::all().reach(&search).count());
    let (all, listed) = timed(|| products(&lathe, &search));
    // Doubles lie so near that a few run into one.
    assert!(all.abs_diff(usize::try_from(count).unwrap()) <= all / 1000, "{all} {count}");
    println!(
        "{positions:>4} {:<9} {count:>9} {stand:>10} {streamed:>10.1?} {counted:>10.1?} {listed:>10.1?}",
        if bracket { "usual" } else { "-" },
    );
}

/// Different leads: all choices of two drivers and two driven gears, and of one each, as doubles.
fn products(lathe: &Lathe, search: &Search<'_>) -> usize {
    let gears: Vec<f64> = lathe.parts().gears.all().map(|g| f64::from(g.teeth.get())).collect();
    let pairs = || {
        let two =
            gears.iter().enumerate().flat_map(|(i, a)| gears[i + 1..].iter().map(move |b| a * b));
        two.collect::<Vec<f64>>()
    };
    let mut ratios = Vec::new();
    for side in [gears.clone(), pairs()] {
        ratios.extend(side.iter().flat_map(|a| side.iter().map(move |b| a / b)));
    }
    let constants = search.settings().iter().map(|s| s.constant.to_f64());
    let mut leads: Vec<f64> = constants.flat_map(|c| ratios.iter().map(move |r| c * r)).collect();
    leads.sort_unstable_by(f64::total_cmp);
    leads.dedup_by(|a, b| (*a - *b).abs() <= 1e-13 * *b);
    leads.len()
}

fn row(step: usize, positions: usize, bracket: bool) {
    let lathe = Box22 { positions, bracket, fitted: true }.lathe();
    let targets = crate::search::targets().into_iter().step_by(step);
    let lines: Vec<Line> = targets.map(Line::new).collect();
    let count = lines.len();
    let options = Options::default().with_pairs(2);
    let (table, search) =
        timed(|| TrainTable::new(&lathe, lines, &options, Watch::none()).unwrap());
    let (listed, listed_time) = timed(|| table.as_listed().unwrap());
    let (fewest, fewest_time) = timed(|| table.fewest_trains().unwrap());
    let (best, best_time) = timed(|| table.best_order().unwrap());
    let naive = table.naive().unwrap();
    let (handled, slow) = timed(|| table.listed_slowly());
    assert_eq!(handled, listed.cost.handled, "the naive way found another");
    println!(
        "{count:>5} {positions:>4} {:<9} {:>9} {search:>9.1?} {:>9.1}  best error each {}",
        if bracket { "usual" } else { "-" },
        table.counts().sum::<usize>(),
        slow.as_secs_f64() / listed_time.as_secs_f64(),
        naive.cost.handled,
    );
    let show = |name: &str, time: Duration, plan: &Plan| {
        println!(
            "{:>58} {name:<8} {time:>8.1?} {:>4} ({:>3}) {:>4}",
            "",
            plan.cost.handled,
            plan.trains,
            plan.bound.least().unwrap_or(0)
        );
    };
    show("listed", listed_time, &listed);
    show("best", best_time, &best);
    show("fewest", fewest_time, &fewest);
}
