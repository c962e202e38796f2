//! Random cases that once failed, made small and named for the fault.

use crate::bracket::rig::Rig;
use crate::oracle::compare::compare;
use crate::oracle::number::{Q, Target, q};
use crate::oracle::on_bracket::plain_case;
use crate::oracle::question::Case;
use crate::oracle::sheet::Travel;

fn check(case: &Case) {
    let groups = case.shop.groups(&case.ask);
    if let Err(why) = compare(case, &groups) {
        panic!("{why}\n{}", case.file);
    }
}

fn thread(file: &str, mm: Q, count: usize) -> Case {
    Case::plain(file, Travel::Thread, Target::plain(mm), count)
}

/// The list of all trains, cut at one, said that it was whole: a train worse than all kept so far
/// was passed over without a word.
#[test]
fn a_list_cut_short_says_so_whatever_the_order() {
    let file = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [20, 20, 40, 40]}, "studs": 1}"#;
    for mm in [q(3, 1), q(3, 2), q(6, 1)] {
        check(&thread(file, mm, 1));
    }
}

/// Doubles of errors of a hundred times the target were taken to be as near as those of small
/// ones, so that one lead fell into several groups and groups out of order.
#[test]
fn leads_many_times_the_target_stay_in_order() {
    let file = r#"{"format": 1, "screw_constant": "8 tpi",
        "headstock": {"positions": {"normal": {"turns": "unknown"}, "coarse x8": {"turns": "same"}}},
        "gears": {"owned": [100, 100, 100, 20, 20, 60], "joined": [{"gears": [50, 40]}]},
        "studs": 2, "sleeves": 2}"#;
    let worm = Target { mm: q(14_351, 710_000), pi: true };
    let mut case = Case::plain(file, Travel::Long, worm, 27);
    case.ask.gears = 2;
    check(&case);
    let file = r#"{"format": 1, "headstock": {"ratio": "1", "turns": "same",
            "tumbler": {"up": "same", "down": "opposite"}},
        "lead_screw": {"lead": "0.25 in", "hand": "left"},
        "gears": {"pitch": "20 DP", "owned": [400, 400, 400, 199, 199, 199]}, "studs": 3,
        "ends": {"driving": 399, "driven": [199, 400]}}"#;
    check(&thread(file, q(127, 335), 6));
}

/// With an own driving gear and one gear pair the only product of drivers is 1; a window of a third
/// and more around it was looked through as if it held no other whole number.
#[test]
fn wide_windows_around_small_products_are_searched_to_the_end() {
    let file = r#"{"format": 1, "headstock": {"ratio": "1/4"}, "lead_screw": {"lead": "3 mm"},
        "gears": {"owned": [10, 10]}, "studs": 0, "ends": {"driving": 20}}"#;
    check(&thread(file, q(127, 50), 1));
    let file = r#"{"format": 1, "headstock": {"ratio": "1"}, "lead_screw": {"lead": "1/8 in"},
        "gears": {"owned": [12, 12, 12, 12], "joined": [{"gears": [12, 10]}]}, "studs": 1,
        "ends": {"driving": 20}}"#;
    let worm = Target { mm: q(13, 5), pi: true };
    check(&Case::plain(file, Travel::Thread, worm, 16));
}

/// What was refused for the bracket was listed as it was met, where two leads err as much; and a
/// lead that errs as much as the first that stands was called closer.
#[test]
fn refused_leads_that_tie_are_in_order_and_closer() {
    let file = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1"},
        "ends": {"driving": [20, 40], "driven": [30]}, "gears": {"owned": [20, 30, 40]}, "studs": 0}"#;
    // 3 mm lies midway between 2 mm (20-30) and 4 mm (40-30): no two gears are 500 mm apart, 20 and
    // 30 are 25.1 mm, 30 and 40 are 35.1 mm.
    for centres in [500.0, 25.1, 35.1] {
        let rig = Rig { first: [0.0, centres], ..Rig::default() };
        check(&plain_case(file, rig, q(3, 1), 3));
    }
}
