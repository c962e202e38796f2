//! Does the search answer what a slow, obvious enumeration answers? The enumeration shares no code
//! with the library: own file reading, own numbers of any size, every train one by one.

mod beyond;
mod buy;
pub(crate) mod compare;
pub(crate) mod draw;
pub(crate) mod json;
mod marks;
pub(crate) mod number;
pub(crate) mod on_bracket;
mod plan;
pub(crate) mod question;
mod rank;
mod reach;
pub(crate) mod sheet;
mod stories;
pub(crate) mod trains;
mod typed;

use crate::runs::{Counts, batches, enough, enter, runner, strips};
use compare::compare;
use draw::STRIP;
use marks::marks;
use proptest::test_runner::{Config, TestCaseError, TestError};
use question::Case;
use rayon::prelude::*;
use std::sync::Mutex;

/// Each batch has a seed of its own, so that batches run side by side and always the same.
const BATCHES: u8 = 60;
const CASES: u32 = 48;

/// How many cases must show what.
const QUOTAS: [(&str, usize); 15] = [
    ("a joined pair in an answer", 100),
    ("an idle gear of a joined pair", 100),
    ("a size on both sides", 100),
    ("an idler forced by the hand", 100),
    ("a special last gear", 100),
    ("mixed pitch in an answer", 100),
    ("a tie at the last answer", 100),
    ("no train at all", 100),
    ("nothing near enough", 100),
    ("a target with pi", 200),
    ("three studs in an answer", 40),
    ("eight gears in an answer", 20),
    ("a feed", 100),
    ("hand not known", 100),
    ("a combination of settings", 100),
];

#[test]
fn the_search_answers_as_the_enumeration_does() {
    let counts = Mutex::new(Counts::new());
    let failures: Vec<String> =
        batches(0..BATCHES).into_par_iter().filter_map(|batch| run(batch, &counts)).collect();
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    let counts = counts.into_inner().expect("no batch panicked");
    enough(&counts, &QUOTAS);
}

/// One batch; the smallest failing case in words.
fn run(batch: u8, counts: &Mutex<Counts>) -> Option<String> {
    let config = Config {
        cases: CASES,
        max_global_rejects: 100 * CASES,
        failure_persistence: None,
        max_shrink_iters: 4_000,
        ..Config::default()
    };
    let result = runner(batch, config).run(&strips(STRIP), |strip| {
        let case = Case::draw(&strip).ok_or_else(|| TestCaseError::reject("too many trains"))?;
        let groups = case.shop.groups(&case.ask);
        compare(&case, &groups).map_err(TestCaseError::fail)?;
        enter(counts, marks(&case, &groups));
        Ok(())
    });
    match result {
        Ok(()) => None,
        Err(TestError::Fail(why, strip)) => Some(describe(batch, &strip, &why.to_string())),
        Err(TestError::Abort(why)) => Some(format!("batch {batch}: {why}")),
    }
}

fn describe(batch: u8, strip: &[u16], why: &str) -> String {
    let case = Case::draw(strip).expect("it was drawn before");
    let Case { file, ask, arbor, count, within, tolerance, .. } = case;
    format!(
        "batch {batch}: {why}\n{file}\n{ask:?}\narbor {arbor:?} count {count} within {within:?} \
         tolerance {tolerance:?}"
    )
}
