//! Which owned gears does a typed train mean, and what speaks against it? Every assignment of owned
//! gears to its numbers is tried, and the library must give the best of them.

mod way;

use super::compare::lathe_of;
use super::draw::Dice;
use super::number::{Q, number};
use super::sheet::{End, Kind, Owner, Sheet};
use crate::runs::runs;
use solver::judge::{Asked, Room, judge};
use solver::{Gear, Given, Lack, Lathe, Lead, LeastClearance, Origin, Place, Train, Travel};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use way::Way;

const BATCHES: u8 = 50;
const CASES: u32 = 100;
const STRIP: usize = 120;
/// Assignments of one train at most: a few ask for more, and are left out.
const MOST: usize = 4_000;
/// Ways that the library gives at most.
const MOST_WAYS: usize = 64;

/// How many of 5,000 cases must show what.
const QUOTAS: [(&str, usize); 22] = [
    ("can be set up", 620),
    ("can't be set up", 1_800),
    ("more than one way", 1_180),
    ("mixed tooth sizes in a way", 20),
    ("a joined pair as one", 30),
    ("a joined gear by itself", 140),
    ("a keyed pair of loose gears", 80),
    ("an end shaft's own gear", 100),
    ("a list for an end shaft", 260),
    ("a typed tooth size", 30),
    ("no tooth size", 400),
    ("unlike", 420),
    ("end", 1_070),
    ("place", 140),
    ("gear", 1_040),
    ("joint", 80),
    ("apart", 90),
    ("turned", 10),
    ("sleeves", 50),
    ("studs", 70),
    ("refused by the shop's rule", 430),
    ("a way that clears is chosen", 100),
];

/// A typed number, with the tooth size that may be typed with it.
struct Typed {
    teeth: u64,
    size: Option<&'static str>,
    /// Whether it is keyed to the number before.
    keyed: bool,
    /// Which gears it would mesh with, if its size is typed.
    class: Option<usize>,
}

struct Case {
    file: String,
    sheet: Sheet,
    /// Kinds of one class mesh.
    classes: Vec<usize>,
    last: End,
    typed: Vec<Typed>,
    /// The shop's least distance, in words.
    least: Option<&'static str>,
}

const TEETH: [u64; 5] = [20, 30, 40, 60, 65];
const SIZES: [&str; 4] = ["module 1", "20 DP", "module 1.27", "module 1.5"];

/// The gears of a box; `sized`: each may say its tooth size.
fn gears(dice: &mut Dice, sized: bool) -> String {
    let few = 3 + dice.below(3);
    let mut owned = Vec::new();
    let one = |dice: &mut Dice, keys: String| {
        let mut text = keys;
        if sized && dice.once_in(2) {
            write!(text, r#", "pitch": "{}""#, dice.pick(&SIZES)).expect("a string grows");
        }
        if dice.once_in(8) {
            text += r#", "pressure_angle": "14.5""#;
        }
        if dice.once_in(6) {
            let places = [r#""driving", "stud""#, r#""stud""#, r#""driving", "driven""#];
            write!(text, r#", "places": [{}]"#, dice.pick(&places)).expect("a string grows");
        }
        format!("{{{text}}}")
    };
    for _ in 0..3 + dice.below(5) {
        let teeth = TEETH[dice.below(few)];
        let count = dice.pick(&[1, 1, 2]);
        owned.push(one(dice, format!(r#""teeth": {teeth}, "count": {count}"#)));
    }
    let joined: Vec<String> = (0..dice.pick(&[0, 1, 1, 2]))
        .map(|_| {
            let pair = [TEETH[dice.below(few)], TEETH[dice.below(few)]];
            let turn = dice.once_in(2);
            one(dice, format!(r#""gears": {pair:?}, "turn_round": {turn}"#))
        })
        .collect();
    let pitch = if sized { r#""pitch": "module 1", "# } else { "" };
    format!(r#"{{{pitch}"owned": [{}], "joined": [{}]}}"#, owned.join(", "), joined.join(", "))
}

fn draw(strip: &[u16]) -> Case {
    let mut dice = Dice::new(strip);
    let sized = !dice.once_in(6);
    let studs = dice.pick(&[1, 2, 2, 0, 3]);
    let gears = gears(&mut dice, sized);
    let bare = Sheet::read(&format!(r#"{{"gears": {gears}, "studs": {studs}}}"#));
    let end = |(end, place): (&str, usize)| {
        let goes: Vec<u64> =
            bare.kinds.iter().filter(|kind| kind.places[place]).map(|kind| kind.teeth).collect();
        let takes = match dice.below(6) {
            0 => dice.pick(&TEETH[..4]).to_string(),
            1 | 2 if !goes.is_empty() => format!("[{}, {}]", dice.pick(&goes), dice.pick(&goes)),
            _ => return None,
        };
        Some(format!(r#""{end}": {takes}"#))
    };
    let ends: Vec<String> = [("driving", 0), ("driven", 2)].into_iter().filter_map(end).collect();
    let sleeves = dice.once_in(3).then(|| dice.below(studs + 1));
    let sleeves = sleeves.map_or_else(String::new, |n| format!(r#""sleeves": {n}, "#));
    let file = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "studs": {studs}, {sleeves}
        "headstock": {{"ratio": "1", "turns": "same"}}, "ends": {{{}}}, "gears": {}}}"#,
        ends.join(", "),
        gears
    );
    let sheet = Sheet::read(&file);
    let last = sheet.settings(super::sheet::Travel::Thread)[0].last.clone();
    let typed = train(&mut dice, &sheet, sized);
    let least = dice.pick(&[None, Some("6.5"), Some("2"), Some("15.25")]);
    let mut case = Case { file, sheet, classes: Vec::new(), last, typed, least };
    case.classify();
    case
}

/// A train of numbers that are mostly owned, and mostly of gears that mesh.
fn train(dice: &mut Dice, sheet: &Sheet, sized: bool) -> Vec<Typed> {
    let mut typed = Vec::new();
    let mut put = |dice: &mut Dice, at: usize, keyed: bool| {
        let teeth = if dice.once_in(30) { dice.pick(&TEETH) } else { sheet.kinds[at].teeth };
        let size = (sized && dice.once_in(12)).then(|| dice.pick(&SIZES));
        typed.push(Typed { teeth, size, keyed, class: None });
    };
    let any = |dice: &mut Dice| dice.below(sheet.kinds.len());
    let meshing = |dice: &mut Dice, with: usize| {
        let mesh = |&kind: &usize| sheet.kinds[kind].meshes(&sheet.kinds[with]);
        let all: Vec<usize> = (0..sheet.kinds.len()).filter(mesh).collect();
        if dice.once_in(6) { any(dice) } else { dice.pick(&all) }
    };
    let mut last = any(dice);
    put(dice, last, false);
    let studs = dice.below(sheet.studs + 1) + usize::from(dice.once_in(12));
    for _ in 0..studs.min(3) {
        let (pair, joint, turned) = (dice.once_in(2), dice.once_in(3), dice.once_in(3));
        let driven = meshing(dice, last);
        last = driven;
        let joints = sheet.joints.get(dice.below(sheet.joints.len().max(1)));
        if let Some(joint) = joints.filter(|_| joint) {
            let sides = [joint.driven, joint.driver];
            put(dice, sides[usize::from(turned)], false);
            last = sides[usize::from(!turned)];
            put(dice, last, true);
            continue;
        }
        put(dice, driven, false);
        if pair {
            last = any(dice);
            put(dice, last, true);
        }
    }
    last = meshing(dice, last);
    put(dice, last, false);
    typed
}

/// The kinds that the library took.
fn way_of(case: &Case, given: &Given) -> Way {
    let machine = |teeth: u64| {
        let own = |k: &Kind| k.owner == Owner::Machine && k.teeth == teeth;
        case.sheet.kinds.iter().position(own)
    };
    let kind = |(at, origin): (usize, &Origin)| match *origin {
        Origin::Own => machine(case.typed[at].teeth),
        Origin::Loose(i) => Some(i),
        Origin::Joined { pair, side } => {
            let joint = &case.sheet.joints[pair];
            Some([joint.driven, joint.driver][side])
        }
        _ => None,
    };
    given.origins.iter().enumerate().map(kind).collect()
}

fn module(gear: &Gear) -> Q {
    let module = gear.module();
    Q::new(module.numer().into(), module.denom().into())
}

fn words(lack: &Lack) -> String {
    match lack {
        Lack::Gear { gear, needed, owned, .. } => {
            format!("gear {} {} {needed} {owned}", gear.teeth, module(gear))
        }
        Lack::Joint { gears, needed, owned } => {
            format!("joint {:?} {needed} {owned}", gears.map(solver::Teeth::get))
        }
        Lack::End { first, teeth, .. } => format!("end {first} {teeth}"),
        Lack::Place { teeth, place } => {
            let at = [Place::First, Place::Stud, Place::Last].iter().position(|p| p == place);
            format!("place {} {teeth}", at.expect("a place"))
        }
        Lack::Unlike { driver, driven } => format!("unlike {} {}", driver.teeth, driven.teeth),
        Lack::Apart { teeth, partner, beside } => format!("apart {teeth} {partner} {beside}"),
        Lack::Turned { driven, driver } => format!("turned {:?}", [driven.get(), driver.get()]),
        Lack::Sleeves { needed, owned } => format!("sleeves {needed} {owned}"),
        Lack::Studs { needed, owned } => format!("studs {needed} {owned}"),
        other => format!("{other:?}"),
    }
}

fn same<T: PartialEq + std::fmt::Debug>(what: &str, found: &T, wanted: &T) -> Result<(), String> {
    if found == wanted { Ok(()) } else { Err(format!("{what}: {found:?}, and not {wanted:?}")) }
}

fn described_gear(gear: &Gear) -> String {
    let degrees = gear.angle.degrees();
    let degrees = Q::new(degrees.numer().into(), degrees.denom().into());
    format!("{} m{} {degrees}deg", gear.teeth, module(gear))
}

/// One case; what it shows.
fn check(case: &Case) -> Result<Vec<&'static str>, String> {
    let Some(ways) = case.ways() else { return Ok(Vec::new()) };
    let merits: Vec<_> = ways.iter().map(|way| case.merit(way)).collect();
    let least = *merits.iter().min().ok_or("no way")?;
    let best: Vec<&Way> = ways
        .iter()
        .zip(&merits)
        .filter(|(_, merit)| **merit == least)
        .map(|(way, _)| way)
        .collect();
    let lathe = lathe_of(&case.file)?;
    let train = case.train();
    let given = lathe.give(&train, &lathe.parts().ends.last).map_err(|e| e.to_string())?;
    ways_agree(case, &lathe, &best, &given)?;
    let mut marks = judged(case, &lathe, &train, &best)?;
    marks.extend(marks_of(case, &best));
    marks.sort_unstable();
    marks.dedup();
    Ok(marks)
}

/// The library gives the best ways, no other and no fewer, and says what speaks against each.
fn ways_agree(case: &Case, lathe: &Lathe, best: &[&Way], given: &[Given]) -> Result<(), String> {
    let wanted: BTreeSet<String> = best.iter().map(|way| case.described(way)).collect();
    let mut found = BTreeSet::new();
    for given in given {
        let way = way_of(case, given);
        let partner = |origin: &Origin| lathe.partner(*origin).map(|gear| described_gear(&gear));
        let one = |(gear, origin): (&Gear, &Origin)| {
            format!("{} {:?}", described_gear(gear), partner(origin))
        };
        let gears = given.train.gears().zip(&given.origins).map(one);
        let gears = gears.collect::<Vec<_>>().join(", ");
        same("gears", &gears, &case.described(&way))?;
        same("the least faults", &case.merit(&way), &case.merit(best[0]))?;
        let said: BTreeSet<String> = given.lacks.iter().map(words).collect();
        same(&format!("objections to {gears}"), &said, &case.objections(&way))?;
        let possible = case.faults(&way).is_empty() && !case.is_short_of_studs();
        same(&format!("{gears} can be set up"), &given.lacks.is_empty(), &possible)?;
        found.insert(gears);
    }
    if best.len() <= MOST_WAYS { same("ways", &found, &wanted) } else { Ok(()) }
}

/// The way that is meant is one with the room that the shop's rule asks for, if there is one.
fn judged(
    case: &Case,
    lathe: &Lathe,
    train: &Train,
    best: &[&Way],
) -> Result<Vec<&'static str>, String> {
    let stated = |least: &str| LeastClearance::Stated(least.parse().expect("a ratio"));
    let least = case.least.map(stated);
    let room = Room::of(lathe, least).map_err(|e| e.to_string())?;
    let asked = Asked {
        travel: Travel::Thread,
        lead: Lead::new("1 mm".parse().expect("a length")),
        hand: None,
    };
    let judged = judge(lathe, &room, train, &asked).map_err(|e| e.to_string())?;
    let set = judged.ok_or("no setting")?.set;
    let way = way_of(case, &set.given);
    let said: BTreeSet<String> = set.given.lacks.iter().map(words).collect();
    same("objections of the judge", &said, &case.objections(&way))?;
    let least = case.least.map(number);
    let near = |way: &Way| least.as_ref().map_or(0, |least| case.too_near(way, least));
    let sized = case.sheet.kinds.iter().all(|kind| kind.pitch.is_some());
    let wanted = if sized { (near(&way), 0) } else { (0, near(&way)) };
    same("tips too near", &(set.fit.reasons().len(), set.assumed.len()), &wanted)?;
    let clears = best.iter().any(|way| near(way) == 0);
    if best.len() <= MOST_WAYS {
        same("a way clears", &(near(&way) == 0), &clears)?;
    }
    let chosen = clears && best.iter().any(|way| near(way) > 0);
    let marks = [("refused by the shop's rule", !clears), ("a way that clears is chosen", chosen)];
    Ok(marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect())
}

fn marks_of(case: &Case, best: &[&Way]) -> Vec<&'static str> {
    let (way, sheet) = (best[0], &case.sheet);
    let joints = || (1..way.len()).filter(|&at| case.is_joint(way, at)).count();
    let sides = way.iter().filter(|kind| case.joint(**kind).is_some()).count();
    let sizes: BTreeSet<Q> = case.resolved(way).iter().map(Kind::module).collect();
    let possible = case.faults(way).is_empty() && !case.is_short_of_studs();
    let own = way.iter().any(|k| k.is_some_and(|k| sheet.kinds[k].owner == Owner::Machine));
    let list = |end: &End| matches!(end, End::Owned(_));
    let mut marks: Vec<&str> = [
        ("can be set up", possible),
        ("can't be set up", !possible),
        ("more than one way", best.len() > 1),
        ("mixed tooth sizes in a way", possible && sizes.len() > 1),
        ("a joined pair as one", possible && joints() > 0),
        ("a joined gear by itself", possible && sides > 2 * joints()),
        ("a keyed pair of loose gears", possible && case.loose_pairs(way) > 0),
        ("an end shaft's own gear", possible && own),
        ("a list for an end shaft", possible && (list(&sheet.first) || list(&case.last))),
        ("a typed tooth size", possible && case.typed.iter().any(|typed| typed.size.is_some())),
        ("no tooth size", sheet.kinds.iter().all(|kind| kind.pitch.is_none())),
    ]
    .into_iter()
    .filter(|mark| mark.1)
    .map(|mark| mark.0)
    .collect();
    let said = case.objections(way);
    let kinds = ["unlike", "end", "place", "gear", "joint", "apart", "turned", "sleeves", "studs"];
    marks.extend(kinds.iter().filter(|kind| said.iter().any(|s| s.starts_with(*kind))));
    marks
}

#[test]
fn a_typed_number_means_the_gear_that_lets_the_train_be_set_up() {
    runs(0..BATCHES, CASES, STRIP, &QUOTAS, |strip| {
        let case = draw(strip);
        check(&case)
            .map_err(|why| format!("{why}\n{}\n{} least {:?}", case.file, case.train(), case.least))
    });
}
