//! The enumeration for lathes with a bracket: each train is asked of the slow solver, or where that
//! steps too coarsely divided into boxes; then the search must give the same answers.

use super::compare::compare;
use super::draw::{Dice, STRIP, lathe};
use super::marks::listed;
use super::number::{Q, Target};
use super::question::Case;
use super::rank::{Group, Row, Shop};
use super::sheet::{Sheet, Travel};
use super::trains::Shafts;
use crate::bracket::dense;
use crate::bracket::draw::{STRIP as MORE, round};
use crate::bracket::rig::{Chain, Pivot, Rig, Slot, Wheel};
use crate::bracket::stand::judge;
use crate::runs::runs;
use num_traits::ToPrimitive;
use std::collections::HashMap;
use std::sync::{Arc, Mutex};

/// More than 2,000 lathes.
const BATCHES: u8 = 120;
/// Draws, of which some have too many trains, or one that is too close to call.
const DRAWS: u32 = 40;
/// Most trains of a lathe.
const FEW: usize = 400;

/// How many cases must show what.
const QUOTAS: [(&str, usize); 16] = [
    ("half and more fit", 60),
    ("few fit", 30),
    ("nothing fits", 100),
    ("an idler chosen to reach", 60),
    ("two idlers", 10),
    ("a closer lead refused", 80),
    ("a better order refused", 80),
    ("one stud", 100),
    ("two studs", 20),
    ("no stud", 20),
    ("an idle gear of a joined pair fits", 20),
    ("refused for an idle gear alone", 10),
    ("mixed tooth sizes", 20),
    ("about a point of its own", 10),
    ("a hole", 10),
    ("a fixed arm", 4),
];

/// A bracket, and what is known of trains on it.
#[derive(Debug, Clone)]
pub(crate) struct Stands {
    pub(crate) rig: Rig,
    known: Arc<Mutex<HashMap<String, Option<bool>>>>,
}

impl Stands {
    fn new(rig: Rig) -> Self {
        Self { rig, known: Arc::default() }
    }

    /// Whether a train stands; nothing: too close to say.
    fn judged(&self, chain: &Chain) -> Option<bool> {
        if dense::is_asked(&self.rig, chain) {
            return dense::fits(&self.rig, chain);
        }
        judge(&self.rig, chain).fits()
    }

    /// The trains that stand; nothing if one is too close to call.
    pub(crate) fn standing(&self, sheet: &Sheet, trains: Vec<Shafts>) -> Option<Vec<Shafts>> {
        let mut known = self.known.lock().expect("nobody panicked");
        let mut standing = Vec::new();
        for train in trains {
            let chain = chain(sheet, &train);
            let name = format!("{chain:?}");
            let fits = *known.entry(name).or_insert_with(|| self.judged(&chain));
            if fits? {
                standing.push(train);
            }
        }
        Some(standing)
    }
}

impl Stands {
    /// Whether a train is refused that would be if nothing were joined to its gears.
    fn but_for_idle(&self, sheet: &Sheet, train: &Shafts) -> bool {
        let whole = chain(sheet, train);
        let mut bare = whole.clone();
        for shaft in &mut bare {
            shaft.retain(|wheel| !wheel.idle);
        }
        let known = self.known.lock().expect("nobody panicked").get(&format!("{whole:?}")).copied();
        known == Some(Some(false)) && self.judged(&bare) == Some(true)
    }
}

fn chain(sheet: &Sheet, train: &Shafts) -> Chain {
    let wheel = |kind: usize, idle: bool| {
        let kind = &sheet.kinds[kind];
        Wheel { teeth: kind.teeth, module: kind.module().to_f64().expect("a module"), idle }
    };
    let shaft = |shaft: &Vec<usize>| {
        let works = shaft.iter().map(|&kind| wheel(kind, false));
        works.chain(sheet.idle(shaft).map(|kind| wheel(kind, true))).collect()
    };
    train.iter().map(shaft).collect()
}

/// A right-hand thread of so many mm on a lathe with a bracket.
pub(crate) fn plain_case(file: &str, rig: Rig, mm: Q, count: usize) -> Case {
    let mut case = Case::plain(file, Travel::Thread, Target::plain(mm), count);
    case.shop.sheet.bracket = Some(Stands::new(rig));
    case.shop = Shop::open(case.shop.sheet, None, FEW).expect("few trains, none too close");
    case
}

/// A lathe with a bracket and a question; nothing if it has too many trains, or none.
fn draw(strip: &[u16]) -> Option<Case> {
    let file = lathe(strip);
    let mut sheet = Sheet::read(&file);
    // Three studs take their time; the geometry alone is asked about them elsewhere.
    if sheet.studs > 2 {
        return None;
    }
    let free = Shop::open(sheet.clone(), None, FEW)?;
    let mut dice = Dice::new(&strip[STRIP..]);
    let at = dice.below(free.trains().len().max(1));
    let longest = free.trains().max_by_key(|train| train.len())?;
    let train = if dice.once_in(2) { longest } else { free.trains().nth(at)? };
    let way = dice.below(5);
    let mut rig = round(&chain(&sheet, train), &mut dice);
    if way < 3 {
        rig = plain(&rig, way);
    }
    if sheet.fitted.is_some() {
        // Which plane a gear stands in would count.
        rig.end_planes = [Vec::new(), Vec::new()];
    }
    rig.slots.truncate(2);
    sheet.bracket = Some(Stands::new(rig));
    let shop = Shop::open(sheet, None, FEW)?;
    Case::ask(file, shop, |_, travel| free.leads(travel), None, &mut Dice::of_question(strip))
}

/// A plain bracket of about that size: much room, little, or far too little.
fn plain(rig: &Rig, way: usize) -> Rig {
    let [right, up] = rig.first;
    let centres = (right.hypot(up) * 100.0).round() / 100.0 + 0.13;
    let far = if way == 2 { 6.0 * centres } else { centres };
    let reach = (if way == 0 { 1.7 } else { 0.8 } * centres).round() + 0.01;
    Rig {
        first: [0.0, (far * 100.0).round() / 100.0],
        slots: vec![Slot::Straight { from: 11.03, to: reach.max(12.0), angle: 0.0, offset: 0.0 }],
        hubs: if way == 0 { [0.0; 3] } else { [8.03, 5.02, 9.01] },
        clearance: 0.57,
        ..Rig::default()
    }
}

fn marks(case: &Case, groups: &[Group]) -> Vec<&'static str> {
    let sheet = &case.shop.sheet;
    let free = Shop::open(sheet.bare(), None, usize::MAX).expect("few trains");
    let all = free.groups(&case.ask);
    let count = |groups: &[Group]| groups.iter().map(|g| g.rows.len()).sum::<usize>();
    let (fit, of) = (count(groups), count(&all));
    let best: Vec<&Row> = groups[..listed(case, groups)].iter().map(|g| &g.rows[0]).collect();
    let idlers =
        |row: &&Row| row.shafts[1..row.shafts.len() - 1].iter().filter(|s| s.len() == 1).count();
    let refused = |row: &Row| {
        let same = all.iter().find(|g| g.rows.iter().any(|r| r.order == row.order));
        same.is_some_and(|g| g.rows[0].order != row.order)
    };
    // The same train with another idler would come before.
    let chosen = |row: &&Row| idlers(row) == 1 && row.order.gears == 3 && refused(row);
    let closer = all.first().is_some_and(|a| groups.first().is_some_and(|g| a.lead != g.lead));
    let studs = |studs: usize| best.iter().any(|row| row.shafts.len() == studs + 2);
    let joined = |row: &&Row| row.shafts.iter().any(|shaft| sheet.idle(shaft).is_some());
    let mixed = |row: &&Row| {
        let mut sizes = row.shafts.concat().into_iter().map(|kind| sheet.kinds[kind].module());
        let first = sizes.next();
        sizes.any(|size| Some(&size) != first.as_ref())
    };
    let stands = sheet.bracket.as_ref().expect("a bracket");
    let alone = all.iter().flat_map(|g| &g.rows).filter(joined).take(20);
    let rig = &stands.rig;
    let own = matches!(rig.pivot, Pivot::At(_));
    let hole = rig.slots.iter().any(Slot::is_hole);
    let fixed = rig.fixed_swing().is_some();
    // The place counts: some trains fit, and others are refused.
    let tells = (studs(1) || studs(2)) && fit < of;
    let marks = [
        ("about a point of its own", own && tells),
        ("a hole", hole && tells),
        ("a fixed arm", fixed && tells),
        ("an idle gear of a joined pair fits", best.iter().any(joined)),
        (
            "refused for an idle gear alone",
            alone.clone().any(|row| stands.but_for_idle(sheet, &row.shafts)),
        ),
        ("mixed tooth sizes", best.iter().any(mixed)),
        ("half and more fit", of > 0 && 2 * fit >= of),
        ("few fit", fit > 0 && 20 * fit <= of),
        ("nothing fits", fit == 0 && of > 0),
        ("an idler chosen to reach", best.iter().any(chosen)),
        ("two idlers", best.iter().any(|row| idlers(row) == 2)),
        ("a closer lead refused", closer),
        ("a better order refused", best.iter().any(|row| refused(row))),
        ("no stud", studs(0)),
        ("one stud", studs(1)),
        ("two studs", studs(2)),
        ("cases", true),
    ];
    marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect()
}

/// One case; what it shows.
fn run(strip: &[u16]) -> Result<Vec<&'static str>, String> {
    let Some(case) = draw(strip) else { return Ok(Vec::new()) };
    let groups = case.shop.groups(&case.ask);
    compare(&case, &groups).map_err(|why| {
        let rig = case.shop.sheet.bracket.as_ref().expect("a bracket").rig.text();
        let Case { file, ask, count, within, .. } = &case;
        format!("{why}\n{file}\n\"bracket\": {rig}\n{ask:?} count {count} within {within:?}")
    })?;
    Ok(marks(&case, &groups))
}

#[test]
fn the_search_answers_as_the_enumeration_does_on_brackets() {
    runs(0..BATCHES, DRAWS, STRIP + MORE, &QUOTAS, run);
}
