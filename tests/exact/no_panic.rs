//! Does any public entry of the library panic, whatever it is given?
//!
//! A front end may hand over what no file and no flag of the program can hold: fractions of all 128
//! bits, lists that are empty or far too long, indices and answers of something else. An error is
//! right, any answer is; a panic, a wrap or an endless search is not. Overflow is checked in the
//! profile that the tests are built with, so a wrap is a panic here.

mod answers;
mod job;
mod machine;
mod numbers;
mod questions;
mod reading;

use solver::{Gear, Lead, Length, PressureAngle, Ratio, Teeth, ToothSize};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs each case; tells all that panicked, not only the first.
fn none_panics<T>(cases: impl IntoIterator<Item = (String, T)>, run: impl Fn(&T)) {
    let mut panicked = Vec::new();
    let mut count = 0;
    for (name, case) in cases {
        count += 1;
        if catch_unwind(AssertUnwindSafe(|| run(&case))).is_err() {
            panicked.push(name);
        }
    }
    assert!(count > 0, "no case was run");
    assert!(panicked.is_empty(), "{} of {count} panicked: {panicked:#?}", panicked.len());
}

/// Whole numbers at the edges of what is held or counted.
fn integers() -> Vec<u128> {
    let edges = [20_u32, 32, 44, 48, 53, 60, 63, 64, 83, 127];
    let mut all = vec![1, 2, 3, 7, 99, 100, 127, 400, 401, u128::MAX, u128::MAX - 1];
    all.extend(edges.iter().flat_map(|bits| [(1 << bits) - 1, 1 << bits, (1 << bits) + 1]));
    all.push(i128::MAX.unsigned_abs() - 1);
    all
}

/// Fractions of the largest and the least numbers, both sides large among them.
fn ratios() -> Vec<Ratio> {
    let sides = [1, 2, 127, 1 << 44, (1 << 63) + 1, (1 << 127) - 1, u128::MAX - 1, u128::MAX];
    let pairs = sides.iter().flat_map(|n| sides.iter().map(|d| (*n, *d)));
    let mut all: Vec<Ratio> = pairs.filter_map(|(n, d)| Ratio::new(n, d).ok()).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Some of them, where each is combined with others.
fn few_ratios() -> Vec<Ratio> {
    let of = |n, d| Ratio::new(n, d).expect("over 0");
    vec![
        Ratio::ONE,
        of(5, 4),
        of(1, u128::MAX),
        of(u128::MAX, 1),
        of(u128::MAX, u128::MAX - 1),
        of(1 << 44, 1),
        of((1 << 83) - 1, (1 << 82) + 1),
    ]
}

fn lengths() -> Vec<Length> {
    few_ratios().into_iter().map(Length::from_mm).collect()
}

/// Leads with pi and without.
fn leads() -> Vec<Lead> {
    lengths().into_iter().flat_map(|mm| [Lead::new(mm), Lead::times_pi(mm)]).collect()
}

fn teeth(count: u64) -> Teeth {
    Teeth::new(count).expect("within bounds")
}

/// Gears of every size at the edges, with tooth sizes as large and as small as can be said.
fn gears() -> Vec<Gear> {
    let most = Ratio::new((1 << 20) - 1, 1).expect("over 0");
    let odd = Ratio::new((1 << 20) - 1, (1 << 20) - 3).expect("over 0");
    let mut sizes = vec![None];
    for number in [Ratio::ONE, most, most.recip(), odd] {
        sizes.push(Some(ToothSize::from_module(Length::from_mm(number)).expect("it fits")));
        sizes.push(Some(ToothSize::from_diametral_pitch(number).expect("it fits")));
    }
    let angles = [(10, 1), (20, 1), (35, 1), ((1 << 20) - 1, 1 << 16)];
    let angles = angles.map(|(n, d)| Ratio::new(n, d).and_then(PressureAngle::new).expect("held"));
    let mut all = Vec::new();
    for z in [5, 127, 400] {
        for size in &sizes {
            all.extend(angles.map(|angle| Gear::new(teeth(z)).with_size(*size).with_angle(angle)));
        }
    }
    all
}
