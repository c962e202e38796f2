//! Do bores leave the thread, and drills lie where tables say?
//!
//! `data/drills.csv` has tap drills with the thread that they leave in per cent: metric ones by d - P (usual
//! sizes, from memory), inch ones of one open table. Per cents of 1.299 P are those of inch tables, 1.0825 P is the
//! basic overlap of ISO 68-1, 1.2807 P that of 55 degrees (BS 84, ISO 228-1).

use solver::cutting::{Cut, Side};
use solver::tolerance::{Limits, default_class};
use solver::{Length, Target};

struct Row {
    thread: String,
    drill: Length,
    printed: f64,
    base: String,
}

fn rows(table: &str) -> Vec<Row> {
    let text = include_str!("../../data/drills.csv");
    let rows = text.lines().skip(1).map(|line| line.split(',').collect::<Vec<_>>());
    let row = |cells: Vec<&str>| Row {
        thread: cells[1].to_string(),
        drill: format!("{} mm", cells[2]).parse().expect("a length"),
        printed: cells[3].parse().expect("per cent"),
        base: cells[4].to_string(),
    };
    rows.filter(|cells| cells[0] == table).map(row).collect()
}

fn nut(row: &Row) -> (Cut, Option<Limits>) {
    let target: Target = row.thread.parse().unwrap_or_else(|e| panic!("{}: {e}", row.thread));
    let thread = target.thread().expect("a thread");
    let limits = default_class(&thread, true).and_then(|class| Limits::of(&thread, class).ok());
    (Cut::of(&target).expect("a form").with_side(Side::Internal), limits)
}

/// To a tenth of a per cent as printed; diameters of the tables are rounded to a micrometre.
#[test]
fn bores_leave_the_thread_that_tables_print() {
    let mut bases = std::collections::BTreeMap::new();
    for row in rows("metric").iter().chain(&rows("inch")) {
        let of = nut(row).0.engagement(&row.drill.into()).expect("a thread");
        let part =
            if row.base == "1.299" { of.of_american.expect("60 degrees") } else { of.of_basic };
        let (got, printed) = (100.0 * part, row.printed);
        assert!((got - printed).abs() < 0.13, "{} {}: {got} {printed}", row.thread, row.base);
        *bases.entry(row.base.clone()).or_insert(0) += 1;
    }
    let seen: Vec<_> = bases.into_iter().collect();
    let wanted = [("1.0825", 27), ("1.2807", 24), ("1.299", 27 + 32)];
    assert_eq!(seen, wanted.map(|(base, count)| (base.to_string(), count)));
}

/// Every one of 27 metric drills is the one that is chosen; of the inch threads each drill of the table lies
/// within 2B, or leaves 70 to 90 per cent of a 55 degree thread, and is at most one step off.
#[test]
fn the_tabulated_drill_is_chosen_and_lies_inside() {
    for row in rows("metric") {
        let (nut, limits) = nut(&row);
        let chosen = nut.tap_drills(limits.as_ref());
        assert_eq!(chosen[0].size(), row.drill, "{}", row.thread);
        for drill in chosen {
            let minor = limits.expect("6H").minor();
            let [least, greatest] = [minor.least(), minor.greatest()].map(Option::unwrap);
            assert!((least..=greatest).contains(&drill.size()), "{} {drill}", row.thread);
        }
    }
    for row in rows("inch") {
        let (nut, limits) = nut(&row);
        let mm = row.drill.mm().to_f64();
        if let Some(minor) = limits.map(|limits| limits.minor()) {
            let [least, greatest] = [minor.least(), minor.greatest()].map(Option::unwrap);
            assert!((least..=greatest).contains(&row.drill), "{}: {}", row.thread, row.drill);
        } else {
            let of = nut.engagement(&row.drill.into()).expect("a thread").of_basic;
            assert!((0.7..=0.9).contains(&of), "{}: {of}", row.thread);
        }
        // At most one step of the list away.
        let step = if mm < 14.0 { 0.1 } else { 0.5 };
        let chosen = nut.tap_drills(limits.as_ref())[0];
        let off = (chosen.size().mm().to_f64() - mm).abs();
        assert!(off < step + 0.01, "{}: {chosen} for {}", row.thread, row.drill);
    }
}
