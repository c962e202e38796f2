//! Many random cases, the same every time; and how many of them must show what.

use proptest::collection::{VecStrategy, vec};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Mutex;

/// How many cases showed what.
pub(crate) type Counts = BTreeMap<&'static str, usize>;

/// Steps toward a smaller failing case.
const SHRINKS: usize = 100;

/// What draws the cases of one batch; its seed is the batch's number.
pub(crate) fn runner(batch: u8, config: Config) -> TestRunner {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[batch; 32]);
    TestRunner::new_with_rng(config, rng)
}

/// Numbers of any size, so many: what a case is drawn from.
pub(crate) fn strips(length: usize) -> VecStrategy<proptest::num::u16::Any> {
    vec(proptest::num::u16::ANY, length)
}

/// Enters what a case shows.
pub(crate) fn enter(counts: &Mutex<Counts>, marks: Vec<&'static str>) {
    let mut counts = counts.lock().expect("nobody panicked");
    for mark in marks {
        *counts.entry(mark).or_default() += 1;
    }
}

/// Of so many batches one is run, unless `TRAINWRIGHT_ORACLE` is `full`.
const ONE_IN: u8 = 4;

fn is_full() -> bool {
    std::env::var_os("TRAINWRIGHT_ORACLE").is_some_and(|value| value == "full")
}

/// The batches that are run of all.
pub(crate) fn batches(all: Range<u8>) -> Range<u8> {
    let Range { start, end } = all;
    if is_full() { all } else { start..start + (end - start).div_ceil(ONE_IN) }
}

/// Whether each kind of case came often enough; the quotas are those of all batches.
pub(crate) fn enough(counts: &Counts, quotas: &[(&str, usize)]) {
    // A little less than its share: what is rare comes in clusters.
    let share = if is_full() { 1 } else { usize::from(ONE_IN) + 1 };
    let quotas: Vec<_> = quotas.iter().map(|(mark, least)| (*mark, least / share)).collect();
    all_came(counts, &quotas);
}

/// Whether each kind of case came so often.
pub(crate) fn all_came(counts: &Counts, quotas: &[(&str, usize)]) {
    let short: Vec<_> =
        quotas.iter().filter(|(mark, least)| counts.get(mark).is_none_or(|n| n < least)).collect();
    assert!(short.is_empty(), "too few cases with {short:?}: {counts:?}");
}

/// Draws so many cases in each batch that is run, on all cores. Each case says what it shows, or what is wrong; of
/// each batch the first that fails, made small, in words.
pub(crate) fn sweep(
    all: Range<u8>,
    draws: u32,
    length: usize,
    run: impl Fn(&[u16]) -> Result<Vec<&'static str>, String> + Sync,
) -> (Counts, Vec<String>) {
    let counts = Mutex::new(Counts::new());
    let batch = |batch: u8| {
        let mut runner = runner(batch, Config::default());
        for _ in 0..draws {
            let mut tree = strips(length).new_tree(&mut runner).expect("a strip");
            match run(&tree.current()) {
                Ok(marks) => enter(&counts, marks),
                Err(why) => {
                    return Some(format!("batch {batch}: {}", smallest(&mut tree, why, &run)));
                }
            }
        }
        None
    };
    let failures = batches(all).into_par_iter().filter_map(batch).collect();
    (counts.into_inner().expect("nobody panicked"), failures)
}

/// What is wrong with the smallest case that still fails.
fn smallest(
    tree: &mut impl ValueTree<Value = Vec<u16>>,
    mut why: String,
    run: impl Fn(&[u16]) -> Result<Vec<&'static str>, String>,
) -> String {
    let mut smaller = tree.simplify();
    for _ in 0..SHRINKS {
        if !smaller {
            break;
        }
        smaller = match run(&tree.current()) {
            Ok(_) => tree.complicate(),
            Err(new) => {
                why = new;
                tree.simplify()
            }
        };
    }
    why
}

/// The same, where all cases have to be right, and each kind to come often enough.
pub(crate) fn runs(
    all: Range<u8>,
    draws: u32,
    length: usize,
    quotas: &[(&str, usize)],
    run: impl Fn(&[u16]) -> Result<Vec<&'static str>, String> + Sync,
) {
    let (counts, failures) = sweep(all, draws, length, run);
    assert!(failures.is_empty(), "{}\n{counts:?}", failures.join("\n\n"));
    enough(&counts, quotas);
}
