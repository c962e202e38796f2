//! Laws that hold whatever the numbers are: nothing here knows a right answer.

use proptest::prelude::*;
use solver::search::{Ask, Options, Search, Solution};
use solver::{Gear, GearSet, Lathe, Lead, Length, Parts, Ratio, Teeth, Travel};
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Few sizes, so that products meet.
const SIZES: [u64; 9] = [20, 24, 30, 36, 40, 45, 50, 60, 127];
/// More leads than the small boxes of this file can cut.
const ALL: usize = 10_000;

fn lathe(teeth: &[u64], studs: u8) -> Lathe {
    let mut gears = GearSet::new();
    for &z in teeth {
        gears.add(Gear::new(Teeth::new(z).unwrap()), 1).unwrap();
    }
    let mut parts = Parts::plain(gears, lead(3, 1));
    parts.studs = studs;
    Lathe::new(parts).unwrap()
}

fn lead(numer: u32, denom: u32) -> Lead {
    Lead::new(Length::from_mm(Ratio::new(numer.into(), denom.into()).unwrap()))
}

fn search(lathe: &Lathe) -> Search<'_> {
    Search::new(lathe, Travel::Thread, Options::default().with_arbor(None)).unwrap()
}

fn find(lathe: &Lathe, ask: &Ask) -> Vec<Solution> {
    search(lathe).find(ask).unwrap().solutions
}

fn boxes(most: usize) -> impl Strategy<Value = Vec<u64>> {
    prop::collection::vec(prop::sample::select(&SIZES[..]), 2..=most)
}

prop_compose! {
    fn targets()(numer in 1_u32..2000, denom in 1_u32..500, pi: bool) -> Lead {
        let length = Length::from_mm(Ratio::new(numer.into(), denom.into()).unwrap());
        if pi { Lead::times_pi(length) } else { Lead::new(length) }
    }
}

fn config() -> ProptestConfig {
    ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() }
}

/// Whether the first answer of `better` is at least as close as that of `worse`.
fn no_worse(better: &[Solution], worse: &[Solution]) -> bool {
    match (better.first(), worse.first()) {
        (Some(b), Some(w)) => b.error.compare_size(&w.error) != Ordering::Greater,
        (None, Some(_)) => false,
        (_, None) => true,
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_wider_tolerance_loses_nothing(
        teeth in boxes(6), target in targets(), narrow in 1_u32..1000, wide in 1_u32..1000,
    ) {
        let (narrow, wide) = (narrow.min(wide), narrow.max(wide));
        let lathe = lathe(&teeth, 2);
        let ask = |within: Option<u32>| {
            let within = within.map(|w| Ratio::new(w.into(), 1000).unwrap());
            find(&lathe, &Ask::new(target).with_count(ALL).with_within(within))
        };
        let (few, more, all) = (ask(Some(narrow)), ask(Some(wide)), ask(None));
        prop_assert!(more.starts_with(&few));
        prop_assert!(all.starts_with(&more));
    }

    #[test]
    fn one_gear_more_makes_nothing_worse(
        teeth in boxes(5), more in prop::sample::select(&SIZES[..]), target in targets(),
    ) {
        let ask = Ask::new(target).with_count(1);
        let richer = [&teeth[..], &[more]].concat();
        prop_assert!(no_worse(&find(&lathe(&richer, 2), &ask), &find(&lathe(&teeth, 2), &ask)));
    }

    #[test]
    fn one_stud_more_makes_nothing_worse(teeth in boxes(6), studs in 0_u8..3, target in targets()) {
        let ask = Ask::new(target).with_count(1);
        let (few, more) = (lathe(&teeth, studs), lathe(&teeth, studs + 1));
        prop_assert!(no_worse(&find(&more, &ask), &find(&few, &ask)));
    }

    /// Turned end for end, a train has the inverse ratio; and no gear is tied to one end here.
    #[test]
    fn trains_turned_end_for_end_are_there_too(teeth in boxes(6), studs in 0_u8..=2) {
        let lathe = lathe(&teeth, studs);
        let search = search(&lathe);
        let ask = Ask::new(lead(3, 1)).with_count(ALL);
        let found = search.find(&ask).unwrap().solutions;
        let ratios: BTreeSet<Ratio> = found.iter().map(|s| s.train.ratio()).collect();
        for solution in &found {
            let turned = solution.train.ratio().recip();
            prop_assert!(ratios.contains(&turned), "{} has no mirror image", solution.train);
            let mirror = found.iter().find(|s| s.train.ratio() == turned).unwrap();
            let [here, there] =
                [solution, mirror].map(|s| search.others(&ask, s, u64::MAX).unwrap().count);
            prop_assert_eq!(here, there, "{} and {}", &solution.train, &mirror.train);
        }
    }

    /// No two rows alike, errors that never shrink, and a short list is the head of a long one.
    #[test]
    fn the_order_is_total(
        teeth in boxes(6), target in targets(), short in 1_usize..40, first in 0_usize..40,
    ) {
        let lathe = lathe(&teeth, 2);
        let search = search(&lathe);
        let ask = Ask::new(target).with_count(ALL);
        let found = search.find(&ask).unwrap().solutions;
        let larger = |w: &[Solution]| w[0].error.compare_size(&w[1].error) == Ordering::Greater;
        prop_assert!(!found.windows(2).any(larger));
        prop_assert!(found.starts_with(&find(&lathe, &ask.clone().with_count(short))));
        let Some(one) = found.get(first % found.len().max(1)) else { return Ok(()) };
        let (all, cut) = search.all(&ask, one, usize::MAX).unwrap();
        prop_assert!(!cut && all[0] == *one);
        prop_assert!((1..all.len()).all(|i| !all[..i].contains(&all[i])));
        let (head, cut) = search.all(&ask, one, short).unwrap();
        prop_assert_eq!(cut, short < all.len());
        prop_assert_eq!(&head[..], &all[..short.min(all.len())]);
    }

    #[test]
    fn threads_of_the_computer_change_nothing(
        teeth in boxes(6), targets in prop::collection::vec(targets(), 1..12),
    ) {
        let lathe = lathe(&teeth, 2);
        let asks: Vec<Ask> = targets.into_iter().map(Ask::new).collect();
        let search = search(&lathe);
        let one_by_one: Vec<_> = asks.iter().map(|ask| search.find(ask)).collect();
        for threads in [1, 2, 5] {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            prop_assert_eq!(&pool.install(|| search.find_each(&asks)), &one_by_one);
        }
    }
}
