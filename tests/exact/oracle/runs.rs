//! Many random cases, batch by batch on all cores, the same every time; and how many must show what.

use super::draw::STRIP;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Mutex;

/// Runs `draws` cases in each batch; a batch's seed is its number. Each case says what it shows, or
/// what is wrong.
pub(crate) fn runs(
    batches: std::ops::Range<u8>,
    draws: u32,
    quotas: &[(&str, usize)],
    run: impl Fn(&[u16]) -> Result<Vec<&'static str>, String> + Sync,
) {
    let counts = Mutex::new(BTreeMap::<&str, usize>::new());
    let batch = |batch: u8| {
        let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[batch; 32]);
        let mut runner = TestRunner::new_with_rng(Config::default(), rng);
        let strip = proptest::collection::vec(proptest::num::u16::ANY, STRIP);
        for _ in 0..draws {
            let tree = strip.new_tree(&mut runner).expect("a strip");
            match run(&tree.current()) {
                Ok(marks) => {
                    let mut counts = counts.lock().expect("nobody panicked");
                    for mark in marks {
                        *counts.entry(mark).or_default() += 1;
                    }
                }
                Err(why) => return Some(format!("batch {batch}: {why}")),
            }
        }
        None
    };
    let failures: Vec<String> = batches.into_par_iter().filter_map(batch).collect();
    let counts = counts.into_inner().expect("nobody panicked");
    assert!(
        failures.is_empty(),
        "{} batches fail, the first: {}\n{counts:?}",
        failures.len(),
        failures[0]
    );
    let short: Vec<_> =
        quotas.iter().filter(|(mark, least)| counts.get(mark).is_none_or(|n| n < least)).collect();
    assert!(short.is_empty(), "too few cases with {short:?}: {counts:?}");
}
