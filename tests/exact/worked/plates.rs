//! Do the plates on machines and the change-wheel tables of books hold, every row of them?

use super::{
    Outcome, all_hold, any_arrangement, arrangements, counted, lathe, lead, nearest, same,
};
use serde::Deserialize;
use solver::search::{Ask, Search};
use solver::{Lathe, Lead, Lever, LeverPosition, Ratio, Train, Travel, Turns};
use std::collections::BTreeMap;
use std::error::Error;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Plates {
    pairs: Vec<Pairs>,
    quick_change: Vec<QuickChange>,
}

/// Simple trains on one screw: TPI, and the pair of wheels.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pairs {
    id: String,
    source: String,
    place: String,
    constant: String,
    rows: Vec<(String, String)>,
}

/// A gearbox of three levers.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct QuickChange {
    id: String,
    source: String,
    place: String,
    base: Vec<String>,
    knob: Vec<(String, String)>,
    comp: Vec<(String, String)>,
    rows: Vec<Vec<String>>,
}

/// One cell of a quick-change plate.
struct Cell<'p> {
    levers: [(&'static str, String); 3],
    tpi: &'p str,
    /// Base, knob and comp.
    factors: [&'p str; 3],
}

fn plates() -> Plates {
    toml::from_str(include_str!("../../data/plates.toml")).unwrap()
}

impl Pairs {
    /// The wheels that the plate calls for: of each size as many as one row uses.
    fn wheels(&self) -> Result<BTreeMap<u16, u64>, Box<dyn Error>> {
        let mut wheels = BTreeMap::new();
        for (_, train) in &self.rows {
            let train: Train = train.parse()?;
            for (teeth, count) in counted(train.gears().map(|gear| gear.teeth.get())) {
                let most = wheels.entry(teeth).or_insert(count);
                *most = count.max(*most);
            }
        }
        Ok(wheels)
    }

    fn row_holds(&self, search: &Search, (tpi, train): &(String, String)) -> Outcome {
        let train: Train = train.parse()?;
        let asked = Lead::from_tpi(tpi.parse()?)?;
        same("the pair cuts", lead(&self.constant)?.times(&train.ratio())?, asked)?;
        let ask = Ask::new(asked).with_hand(None).with_count(1);
        let found = nearest(search, &ask)?;
        let best = found.first().ok_or("nothing found")?;
        same("exact", best.error.is_zero(), true)?;
        let all = arrangements(search, &ask, best)?;
        same("the pair is listed", all.iter().any(|solution| solution.train == train), true)
    }
}

#[test]
fn every_row_of_a_table_of_pairs_is_cut_and_found() {
    let mut rows = 0;
    for plate in plates().pairs {
        let lathe = lathe(&plate.wheels().unwrap(), lead(&plate.constant).unwrap(), 1).unwrap();
        let search = Search::new(&lathe, Travel::Thread, any_arrangement()).unwrap();
        rows += plate.rows.len();
        all_hold(
            &plate.rows,
            |row| plate.row_holds(&search, row),
            |(tpi, train)| {
                format!("{} ({}, {}): {tpi} TPI, {train}", plate.id, plate.source, plate.place)
            },
        );
    }
    assert_eq!(rows, 17 + 18 + 12 + 9);
}

impl QuickChange {
    fn cells(&self) -> Vec<Cell<'_>> {
        let mut cells = Vec::new();
        for row in &self.rows {
            let [comp, knob, stops @ ..] = &row[..] else { panic!("{row:?}") };
            assert_eq!(stops.len(), self.base.len());
            let comp_by = factor(&self.comp, comp);
            let knob_by = factor(&self.knob, knob);
            for (stop, (tpi, base)) in stops.iter().zip(&self.base).enumerate() {
                let levers = [
                    ("Comp", comp.clone()),
                    ("Knob", knob.clone()),
                    ("Stop", (stop + 1).to_string()),
                ];
                cells.push(Cell { levers, tpi, factors: [base, knob_by, comp_by] });
            }
        }
        cells
    }

    /// The box as levers: at the coarsest cell equal gears cut the first base.
    fn lathe(&self) -> Result<Lathe, Box<dyn Error>> {
        let base: Ratio = self.base.first().ok_or("no stops")?.parse()?;
        let slower = |of: &[(String, String)]| -> solver::Result<Vec<_>> {
            of.iter().map(|(name, by)| Ok((name.clone(), by.parse::<Ratio>()?.recip()))).collect()
        };
        let stops = self
            .base
            .iter()
            .enumerate()
            .map(|(i, tpi)| Ok(((i + 1).to_string(), base.over(&tpi.parse()?)?)));
        let levers = vec![
            lever("Comp", slower(&self.comp)?),
            lever("Knob", slower(&self.knob)?),
            lever("Stop", stops.collect::<solver::Result<_>>()?),
        ];
        let equal = lathe(&[(48, 2)].into(), Lead::from_tpi(base)?, 0)?;
        let mut parts = equal.parts().clone();
        parts.gearbox.levers = levers;
        Ok(Lathe::new(parts)?)
    }
}

impl Cell<'_> {
    fn holds(&self, search: &Search) -> Outcome {
        let product = self
            .factors
            .iter()
            .try_fold(Ratio::ONE, |product, factor| product.times(&factor.parse()?))?;
        same("base x knob x comp", product, self.tpi.parse()?)?;
        is_set(search, &Lead::from_tpi(product)?, &self.levers)
    }
}

fn factor<'p>(of: &'p [(String, String)], name: &str) -> &'p str {
    &of.iter().find(|(position, _)| position == name).unwrap().1
}

fn lever(name: &str, positions: Vec<(String, Ratio)>) -> Lever {
    let position = |(name, ratio)| LeverPosition::new(name, Some(ratio), Turns::Same);
    Lever { name: name.into(), positions: positions.into_iter().map(position).collect() }
}

/// That the levers, with equal gears, cut a lead and nothing else, and that the search lists them
/// for it.
fn is_set<L: AsRef<str>>(search: &Search, asked: &Lead, levers: &[(L, String)]) -> Outcome {
    let names: Vec<_> = levers.iter().map(|(l, p)| (l.as_ref(), p.as_str())).collect();
    let is_this = |setting: &solver::Setting| {
        search.lathe().lever_names(setting).collect::<Vec<_>>() == names
    };
    let setting = search.settings().iter().position(is_this).ok_or("no such setting")?;
    same("the levers cut", &search.settings()[setting].constant, asked)?;
    let ask = Ask::new(*asked).with_hand(None).with_count(1);
    let found = nearest(search, &ask)?;
    let best = found.first().ok_or("nothing found")?;
    same("exact", best.error.is_zero(), true)?;
    let all = arrangements(search, &ask, best)?;
    same("the levers are listed", all.iter().any(|s| s.setting == setting), true)
}

#[test]
fn every_cell_of_a_quick_change_plate_is_cut_and_found() {
    let mut count = 0;
    for plate in plates().quick_change {
        let lathe = plate.lathe().unwrap();
        let search = Search::new(&lathe, Travel::Thread, any_arrangement()).unwrap();
        let cells = plate.cells();
        count += cells.len();
        all_hold(
            &cells,
            |cell| cell.holds(&search),
            |cell| format!("{} ({}, {}): {:?}", plate.id, plate.source, plate.place, cell.levers),
        );
    }
    assert_eq!(count, 72);
}

/// What a book says to set on a plate.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Lookup {
    plate: String,
    finds: Vec<Find>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Find {
    target: String,
    /// In the order of the plate's levers, which is that of the alphabet.
    levers: BTreeMap<String, String>,
}

impl Lookup {
    pub(super) fn run(&self) -> Outcome {
        let all = plates().quick_change;
        let plate = all.iter().find(|plate| plate.id == self.plate).ok_or("no such plate")?;
        let lathe = plate.lathe()?;
        let search = Search::new(&lathe, Travel::Thread, any_arrangement())?;
        for find in &self.finds {
            let levers: Vec<_> = find.levers.clone().into_iter().collect();
            is_set(&search, &lead(&find.target)?, &levers)?;
        }
        Ok(())
    }
}
