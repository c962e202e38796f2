//! Plans for 120 lines, 22 gears and 56 lever positions, against the naive way: every train of a line
//! against every train of the line before.

use crate::search::{Box22, timed};
use solver::plan::{Line, Plan, Table};
use solver::search::Options;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

pub(crate) fn run(quick: bool) {
    println!("\nPlans: 22 gears, one stud, up to two ratio pairs, 200 ppm, fitted 20-80+25-100");
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
}

fn row(step: usize, positions: usize, bracket: bool) {
    let lathe = Box22 { positions, bracket, fitted: true }.lathe();
    let targets = crate::search::targets().into_iter().step_by(step);
    let lines: Vec<Line> = targets.map(Line::new).collect();
    let count = lines.len();
    let cancel = AtomicBool::new(false);
    let options = Options::default().with_pairs(2);
    let (table, search) = timed(|| Table::new(&lathe, lines, &options, &cancel).unwrap());
    let (listed, listed_time) = timed(|| table.as_listed(&cancel).unwrap());
    let (fewest, fewest_time) = timed(|| table.fewest_trains(&cancel).unwrap());
    let (best, best_time) = timed(|| table.best_order(&cancel).unwrap());
    let naive = table.naive().unwrap();
    let (handled, slow) = timed(|| table.listed_slowly());
    assert_eq!(handled, listed.cost.handled, "the naive way found another");
    println!(
        "{count:>5} {positions:>4} {:<9} {:>9} {search:>9.1?} {:>9.0}  best error each {}",
        if bracket { "usual" } else { "-" },
        table.counts().sum::<usize>(),
        slow.as_secs_f64() / listed_time.as_secs_f64(),
        naive.cost.handled,
    );
    let show = |name: &str, time: Duration, plan: &Plan| {
        println!(
            "{:>58} {name:<8} {time:>8.1?} {:>4} ({:>3}) {:>4}",
            "", plan.cost.handled, plan.trains, plan.least
        );
    };
    show("listed", listed_time, &listed);
    show("best", best_time, &best);
    show("fewest", fewest_time, &fewest);
}
