//! Plates of published books, with what the books say of them left out.

use super::{geared, lathe, ratio, thread};
use serde::Deserialize;
use solver::chart::{AllowedErrors, ChartRow, Unit, What, blank, learn};
use solver::{Lead, Ratio};
use std::collections::BTreeSet;

#[derive(Deserialize)]
struct Plates {
    pairs: Vec<Pairs>,
    quick_change: Vec<QuickChange>,
}

#[derive(Deserialize)]
struct Pairs {
    id: String,
    constant: String,
    rows: Vec<(String, String)>,
}

#[derive(Deserialize)]
struct QuickChange {
    base: Vec<String>,
    knob: Vec<(String, String)>,
    comp: Vec<(String, String)>,
    rows: Vec<Vec<String>>,
}

fn plates() -> Plates {
    toml::from_str(include_str!("../data/plates.toml")).unwrap()
}

// Sources: F. D. Jones, Turning and Boring, 1919, ch. IV, Fig. 3 (screw constant 4); J. Rose, Modern
// Machine-Shop Practice, 1887-88, change-wheel tables (screws of 6, 3 and 5): `data/plates.toml`.
#[test]
fn the_screw_constant_of_every_table_of_pairs() {
    for plate in plates().pairs {
        let rows: Vec<ChartRow> =
            plate.rows.iter().map(|(tpi, train)| geared(tpi, Unit::Tpi, train)).collect();
        let learned =
            learn(&lathe(blank(&rows).unwrap()), &rows, &[], &AllowedErrors::default()).unwrap();
        assert!(learned.decided, "{}", plate.id);
        let [constant] = &learned.constants[..] else { panic!("{}", plate.id) };
        assert_eq!(constant.what, What::ScrewConstant);
        assert_eq!(constant.ranking.best.exact, rows.len(), "{}: all rows exact", plate.id);
        let wanted = plate.constant.trim_end_matches(" tpi");
        let found = learned.parts.screw_constant.unwrap();
        assert_eq!(found, Lead::from_tpi(ratio(wanted)).unwrap(), "{}", plate.id);
        assert!(learned.check.holds());
    }
}

fn cells(plate: &QuickChange) -> Vec<ChartRow> {
    let mut cells = Vec::new();
    for row in &plate.rows {
        let [comp, knob, stops @ ..] = &row[..] else { panic!("{row:?}") };
        for (stop, tpi) in stops.iter().enumerate() {
            let cell = thread(tpi, Unit::Tpi)
                .with_lever("Comp", comp)
                .with_lever("Knob", knob)
                .with_lever("Stop", (stop + 1).to_string());
            cells.push(cell);
        }
    }
    cells
}

// Source: F. D. Jones, Turning and Boring, 1919, ch. IV, Fig. 33: every cell is base (stop) x 1, 2 or
// 4 (knob) x 1, 3/2 or 2 (comp); 50 different threads in 72 cells.
#[test]
fn the_levers_of_a_quick_change_plate() {
    let plate = &plates().quick_change[0];
    let rows = cells(plate);
    let printed: BTreeSet<Ratio> = rows.iter().map(|row| row.printed.value()).collect();
    assert_eq!((rows.len(), printed.len()), (72, 50));
    let learned =
        learn(&lathe(blank(&rows).unwrap()), &rows, &[], &AllowedErrors::default()).unwrap();
    assert!(learned.decided && learned.check.holds());
    let of = |lever: &str, position: &str| {
        let found =
            |p: &&solver::chart::LearnedPosition| p.lever == lever && p.position == position;
        learned.positions.iter().find(found).unwrap().ratio()
    };
    for (lever, factors) in [("Knob", &plate.knob), ("Comp", &plate.comp)] {
        for (position, factor) in factors {
            let slower = of(lever, &factors[0].0).over(&of(lever, position)).unwrap();
            assert_eq!(slower, ratio(factor), "{lever} {position}");
        }
    }
    for (i, base) in plate.base.iter().enumerate() {
        let slower = of("Stop", "1").over(&of("Stop", &(i + 1).to_string())).unwrap();
        assert_eq!(slower, ratio(base).over(&ratio(&plate.base[0])).unwrap(), "stop {}", i + 1);
    }
}

/// One cell misprinted: it is named, what it should print is said first or second.
#[test]
fn a_cell_that_breaks_the_plate_is_named() {
    let plate = &plates().quick_change[0];
    for broken in [0, 17, 40, 71] {
        let mut rows = cells(plate);
        let right = rows[broken].printed.text().to_owned();
        let wrong = thread("37", Unit::Tpi).printed;
        rows[broken].printed = wrong;
        let learned =
            learn(&lathe(blank(&rows).unwrap()), &rows, &[], &AllowedErrors::default()).unwrap();
        let bad: Vec<usize> = (0..72).filter(|&i| !learned.check.rows[i].verdict.holds()).collect();
        assert_eq!(bad, [broken]);
        let said = learned.check.rows[broken].explanations.iter().take(2);
        let values: Vec<Ratio> = said
            .filter_map(|e| match &e.cause {
                solver::chart::Cause::Value { right, .. } => Some(ratio(right)),
                _ => None,
            })
            .collect();
        assert_eq!(values, [ratio(&right)], "cell {broken}");
    }
}
