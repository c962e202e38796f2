//! Fifteen kinds of job on five lathes of different habits: is every figure of every card right?
//!
//! Each figure is worked out here again from the lathe file and the text of the train alone, with big
//! fractions and a reader of its own; where a figure is a root or an angle, by geometry that is
//! searched and not by the library's formula. The lathes are invented.

mod cut;
mod gearing;
mod lathes;
mod nut;
mod page;

use crate::util::{fresh, run_in};
use gearing::Machine;
use rayon::prelude::*;
use serde_json::Value;
use std::sync::LazyLock;

/// A job as it is typed, what its lead is, and which hand it asks for.
struct Job {
    args: &'static [&'static str],
    /// The lead in mm as `numerator/denominator`, with ` pi` behind it for a worm.
    lead: &'static str,
    /// `right`, `left`; none for a feed.
    hand: Option<&'static str>,
}

const fn thread(args: &'static [&'static str], lead: &'static str) -> Job {
    Job { args, lead, hand: Some("right") }
}

const fn left(args: &'static [&'static str], lead: &'static str) -> Job {
    Job { args, lead, hand: Some("left") }
}

const fn feed(args: &'static [&'static str], lead: &'static str) -> Job {
    Job { args, lead, hand: None }
}

const JOBS: [Job; 15] = [
    thread(&["M10"], "3/2"),
    thread(&["M20", "--internal"], "5/2"),
    left(&["M12x1.25 LH", "--nose", "0.1 mm"], "5/4"),
    thread(&["1/2-13 UNC", "--flat", "0.1 mm"], "127/65"),
    thread(&["3/4-10 UNC", "--internal"], "127/50"),
    thread(&["1/2 BSW"], "127/60"),
    thread(&["0 BA"], "1"),
    thread(&["Tr 20x4"], "4"),
    left(&["Tr 40x14 (P7) LH"], "14"),
    thread(&["3/4-6 ACME"], "127/30"),
    thread(&["1/2 NPT"], "127/70"),
    thread(&["module 1", "--diameter", "20 mm"], "1 pi"),
    thread(&["3 mm 2 starts", "--diameter", "24 mm", "--class", "6g"], "6"),
    feed(&["0.1 mm/rev"], "1/10"),
    thread(&["8 mm"], "8"),
];

/// A card on a lathe: its document, and the exit code.
fn document(lathe: &str, job: &Job) -> (Value, i32) {
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), lathe).expect("a file");
    let args = [&["card"], job.args, &["--format", "json"]].concat();
    let run = run_in(folder.path(), &args);
    assert!(run.code < 2, "{:?}: {}", job.args, run.err);
    (serde_json::from_str(&run.out).expect("JSON"), run.code)
}

/// Every card: number of the lathe, the job, the document, the exit code. Made once.
static CARDS: LazyLock<Vec<(usize, &'static Job, Value, i32)>> = LazyLock::new(|| {
    let all: Vec<_> =
        (0..lathes::ALL.len()).flat_map(|i| JOBS.iter().map(move |j| (i, j))).collect();
    let made = all.into_par_iter().map(|(i, job)| {
        let (document, code) = document(lathes::ALL[i].1, job);
        (i, job, document, code)
    });
    made.collect()
});

/// Calls a check with each card that is made; at least so many of the 75 are.
fn each(least: usize, mut check: impl FnMut(&Machine, &Job, &Value)) {
    let machines = lathes::ALL.map(|(_, text)| Machine::read(text));
    let mut made = 0;
    for (i, job, document, code) in CARDS.iter() {
        let name = lathes::ALL[*i].0;
        assert_eq!(*code == 0, document["card"].is_object(), "{name} {:?}", job.args);
        if *code == 0 {
            made += 1;
            // Only shown where a check fails.
            let check =
                std::panic::AssertUnwindSafe(|| check(&machines[*i], job, &document["card"]));
            if let Err(failed) = std::panic::catch_unwind(check) {
                let why = failed.downcast_ref::<String>().map_or("", String::as_str);
                panic!("{name} {:?}: {why}", job.args);
            }
        }
    }
    assert!(made >= least, "only {made} cards");
}
