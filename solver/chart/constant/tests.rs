use super::super::reading::{Kind, is_usual_screw, usual_products};
use super::*;

const LENGTH: Reading = Reading { factor: Ratio::ONE, kind: Kind::Length };

fn ratio(text: &str) -> Ratio {
    text.parse().unwrap()
}

fn thread(constant: &str) -> Says {
    let exact = ratio(constant);
    let allowed = Interval::about(exact, Ratio::table(1, 500)).unwrap();
    Says { allowed, exact: Some(exact) }
}

fn between(low: &str, high: &str) -> Interval {
    Interval::new(ratio(low), ratio(high)).unwrap()
}

#[test]
fn usual_screws_have_whole_or_half_threads_or_millimetres() {
    for (mm, usual) in [
        ("3", true),
        ("7/2", true),
        ("127/40", true),
        ("254/115", true),
        ("40", true),
        ("81/2", false),
        ("13/4", false),
        ("127/41", false),
        ("200/63", false),
    ] {
        assert_eq!(is_usual_screw(&ratio(mm)), usual, "{mm}");
    }
    // 8 TPI is 3.175 mm; with K = 1/2 it cuts 1.5875 mm.
    let of = |low, high, k| usual_products(&between(low, high), &ratio(k));
    assert_eq!(of("3.17", "3.18", "1"), [ratio("127/40")]);
    assert_eq!(of("1.58", "1.6", "1/2"), [ratio("127/80")]);
    assert_eq!(of("3.9", "4", "1"), [ratio("4"), ratio("254/65")]);
    assert_eq!(of("3.19", "3.2", "1"), []);
}

fn ranked(rows: &[Says], measured: &[Interval]) -> Ranking {
    rank(rows, measured, LENGTH, &[], Quorum(2)).unwrap()
}

// Ten pitches of equal gears measured as 15.9 +- 0.2 mm: 16 TPI; 1.6 mm is possible too. With a
// known screw of 8 TPI only a headstock of 1/2 is left.
#[test]
fn a_measurement_alone() {
    let measured = [between("1.57", "1.61")];
    let by_length = ranked(&[], &measured);
    assert_eq!(by_length.best.value, ratio("25.4/16"));
    assert!(!by_length.decided && by_length.rivals.iter().any(|r| r.value == ratio("1.6")));
    let reading = Reading { factor: ratio("3.175"), kind: Kind::Ratio };
    let by_ratio = rank(&[], &measured, reading, &[], Quorum(2)).unwrap();
    assert!(by_ratio.decided && by_ratio.best.value == ratio("25.4/16"));
    assert_eq!(by_ratio.bounds, measured[0]);
}

// Twelve metric rows through a 63 in place of a 127 agree exactly on 200/63 mm; five inch rows are
// exact on 8 TPI. No maker has a screw of 200/63 mm.
#[test]
fn rows_that_are_off_alike_do_not_outvote_a_plain_screw() {
    let rows: Vec<Says> = std::iter::repeat_n(thread("200/63"), 12)
        .chain(std::iter::repeat_n(thread("3.175"), 5))
        .collect();
    let ranking = ranked(&rows, &[]);
    assert_eq!(ranking.best.value, ratio("3.175"));
    assert_eq!((ranking.best.exact, ranking.best.within), (5, 17));
}

#[test]
fn two_screws_in_one_chart_are_rivals_until_something_is_measured() {
    let rows: Vec<Says> = std::iter::repeat_n(thread("2.54"), 10)
        .chain(std::iter::repeat_n(thread("2.5"), 10))
        .collect();
    let open = ranked(&rows, &[]);
    assert!(!open.decided && open.rivals.len() == 1);
    let settled = ranked(&rows, &[between("2.52", "2.56")]);
    assert!(settled.decided && settled.best.value == ratio("2.54"));
    let contradicted = ranked(&rows, &[between("2.6", "2.7")]);
    assert!(!contradicted.decided);
}

#[test]
fn one_row_alone_decides_nothing() {
    assert!(!ranked(&[thread("3.175")], &[]).decided);
    assert!(ranked(&[thread("3.175"), thread("3.175")], &[]).decided);
    assert!(rank(&[], &[], LENGTH, &[], Quorum(2)).is_none());
}

/// A row with pi: nothing exact, and the maker's approximation on both sides.
fn with_pi(constant: &str) -> Says {
    Says { exact: None, ..thread(constant) }
}

// Modules through 22/7 (402 ppm long) and 355/113 for pi: no row implies 1.5 mm, and no maker has a
// screw of 7493/5000 mm, which is 0.059 in.
#[test]
fn rows_with_pi_leave_no_rivals_that_nobody_made() {
    let product = Reading { factor: Ratio::ONE, kind: Kind::Product };
    let ranked = |rows: &[Says], reading| rank(rows, &[], reading, &[], Quorum(2)).unwrap();
    for (screw, low, high) in [("1.5", "1.4994", "1.5"), ("25.4/16", "1.587", "1.5876")] {
        let rows = [with_pi(low), with_pi(high), with_pi(high)];
        for reading in [product, LENGTH] {
            let ranking = ranked(&rows, reading);
            assert!(ranking.decided && ranking.best.value == ratio(screw), "{ranking:?}");
        }
        // One row is not enough.
        assert!(!ranked(&rows[..1], product).decided);
        // A row that disagrees leaves it open.
        let astray = ranked(&[&rows[..], &[with_pi("1.9")]].concat(), product);
        assert!(!astray.decided, "{astray:?}");
    }
    // Rounded feeds allow more: 10 TPI and 2.5 mm.
    let feed = |low, high| Says { allowed: between(low, high), exact: None };
    let feeds = ranked(&[feed("2.4", "2.6"), feed("2.49", "2.59")], product);
    assert!(!feeds.decided && feeds.rivals.iter().any(|r| r.value == ratio("2.5")));
}

// A wide overlap holds 27/17 mm, which has smaller terms in mm than 16 TPI (127/80).
#[test]
fn a_figure_is_read_in_the_unit_that_suits_it() {
    assert_eq!(LENGTH.cost(&ratio("25.4/16")), 16);
    assert_eq!(LENGTH.cost(&ratio("27/17")), 459);
    assert_eq!(LENGTH.cost(&ratio("0.45")), 135);
    assert_eq!(LENGTH.cost(&ratio("0.508")), 6); // 0.02 in
}
