//! What to buy, one gear of 115 sizes and two, for 120 lines, against putting each purchase into the
//! box and searching the whole list again.

use crate::search::{Box22, gear, targets, timed};
use rayon::prelude::*;
use solver::buy::{Request, best};
use solver::search::{Line, Options, Search};
use solver::{Lathe, Teeth, Travel, Watch};

/// Of two gears the naive way tries every so many-th purchase, and is scaled up.
const SAMPLE: u32 = 200;

pub(crate) fn run(quick: bool) {
    println!("\nBuying: 22 gears, one stud, 115 sizes, 120 lines within 200 ppm");
    println!(
        "{:>5} {:>4} {:<9} {:>9} {:>10} {:>10} {:>8}  best",
        "gears", "pos", "bracket", "purchases", "time", "naive", "ratio"
    );
    for (positions, bracket) in [(1, false), (56, false), (1, true), (56, true)] {
        for gears in [1, 2] {
            if !quick || (gears == 1 && !bracket) {
                row(gears, positions, bracket);
            }
        }
    }
}

fn row(gears: usize, positions: usize, bracket: bool) {
    let lathe = Box22 { positions, bracket, fitted: false }.lathe();
    let sizes: Vec<Teeth> = (16..=130).map(|z| Teeth::new(z).unwrap()).collect();
    let lines: Vec<Line> = targets().into_iter().map(Line::new).collect();
    let request = Request::new(lines, sizes.clone()).with_gears(gears);
    let (advice, time) = timed(|| best(&lathe, &request, Watch::none()).unwrap());
    let first = &advice.offers[0];
    let all: Vec<Vec<Teeth>> = if gears == 1 {
        sizes.iter().map(|z| vec![*z]).collect()
    } else {
        let pairs = sizes.iter().flat_map(|a| sizes.iter().map(move |b| vec![*a, *b]));
        pairs.filter(|p| p[0] <= p[1]).collect()
    };
    let sample = if gears == 1 { 1 } else { SAMPLE };
    let tried = all.iter().step_by(sample as usize).collect::<Vec<_>>();
    let (most, slow) = timed(|| tried.par_iter().map(|p| reached(&lathe, p, &request)).max());
    assert!(most.unwrap() <= first.score.reached, "the naive way found more");
    let slow = slow * sample;
    println!(
        "{gears:>5} {positions:>4} {:<9} {:>9} {time:>10.1?} {slow:>10.1?} {:>8.1}  {:?}: {} lines of {}, now {}",
        if bracket { "usual" } else { "-" },
        advice.purchases,
        slow.as_secs_f64() / time.as_secs_f64(),
        first.gears.iter().map(|z| z.get()).collect::<Vec<_>>(),
        first.score.reached,
        request.lines.len(),
        advice.now.reached,
    );
}

/// Lines reached with some gears more, by searching them all.
fn reached(lathe: &Lathe, gears: &[Teeth], request: &Request) -> usize {
    let mut parts = lathe.parts().clone();
    for teeth in gears {
        parts.gears.add(gear(teeth.get().into()), 1).unwrap();
    }
    let lathe = Lathe::new(parts).unwrap();
    let options = Options::default().with_pairs(2);
    let search = Search::new(&lathe, Travel::Thread, options).unwrap();
    let stands = |line: &&Line| {
        let found = search.find(&line.ask()).unwrap();
        found.solutions.iter().any(solver::search::Solution::fits)
    };
    request.lines.iter().filter(stands).count()
}
