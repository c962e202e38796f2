//! Which gears replace a 127, and which lead screws are usual?
//!
//! An inch is 127/5 mm. A metric thread on an inch screw, or the reverse, needs a gear of 127. A
//! chart without one has a stand-in: 17/18 for 120/127 is 463 ppm off, 63/80 for 100/127 125 ppm.
//! Every row of such a chart implies the same wrong constant, off by the stand-in's error: 36/17 mm
//! in place of 12 TPI.

use super::interval::Interval;
use crate::{Ratio, Result};

/// The worst usual stand-in: 11/14 for 100/127 is 0.214 % off (common practice, no source).
pub(super) const MOST: Ratio = Ratio::table(1, 400);

/// Whether two constants differ by a stand-in: a factor that includes 127.
pub(super) fn is_stand_in(a: &Ratio, b: &Ratio) -> bool {
    let has_127 =
        |factor: Ratio| factor.numer().is_multiple_of(127) || factor.denom().is_multiple_of(127);
    a.over(b).is_ok_and(has_127)
}

/// Threads per inch, and mm, of usual lead screws: whole threads up to 24, half ones up to 12, half mm
/// up to 12 (common practice, no source).
const WHOLE: u64 = 24;
const HALF: u64 = 12;

/// All usual screws, in mm.
fn screws() -> impl Iterator<Item = Ratio> {
    let halves = (1..=2 * HALF).map(|n| Ratio::table(n, 2));
    let tpi = halves.clone().chain((HALF + 1..=WHOLE).map(|n| Ratio::table(n, 1)));
    halves.chain(tpi.filter_map(|tpi| Ratio::INCH.over(&tpi).ok()))
}

/// The usual screws in an interval, in mm.
pub(super) fn screws_in(interval: Result<Interval>) -> Vec<Ratio> {
    interval.map_or_else(|_| Vec::new(), |i| screws().filter(|mm| i.holds(mm)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(text: &str) -> Ratio {
        text.parse().unwrap()
    }

    #[test]
    fn what_replaces_a_127_has_127_in_its_error() {
        for (implied, screw) in [("36/17", "25.4/12"), ("200/63", "3.175"), ("2.54", "33/13")] {
            assert!(is_stand_in(&ratio(implied), &ratio(screw)), "{implied}");
        }
        // An inch screw for an inch screw, a metric one for a metric one.
        assert!(!is_stand_in(&ratio("25.4/12"), &ratio("25.4/8")));
        assert!(!is_stand_in(&ratio("2.5"), &ratio("3")));
    }

    #[test]
    fn usual_screws_are_listed() {
        let near = |mm: &str| {
            let found = screws_in(Interval::about(ratio(mm), MOST));
            found.iter().map(Ratio::to_string).collect::<Vec<_>>()
        };
        assert_eq!(near("36/17"), ["127/60"]);
        assert_eq!(near("35/11"), ["127/40"]);
        assert_eq!(near("254/115"), ["254/115"]); // 11 1/2 TPI
        assert_eq!(near("5.5"), ["11/2"]);
        assert!(near("25.4/24.5").is_empty() && near("12.5").is_empty());
        assert_eq!(screws().count(), 24 + 24 + 12);
    }
}
