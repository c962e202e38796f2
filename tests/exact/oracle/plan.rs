//! Plans against trying everything: the trains of each line from the enumeration, then every choice of
//! them, every order of the lines, every set of trains.

use super::compare::{lathe_of, small, travel_of};
use super::draw::{Dice, STRIP, lathe};
use super::number::{Q, Target, q};
use super::question::LIMIT;
use super::rank::{Ask, Group, Row, Shop, places};
use super::sheet::{Setting, Sheet, Travel};
use crate::runs::runs;
use solver::plan::{Cost, Line, Plan, TrainTable};
use solver::search::{Options, Search};
use solver::{Hand, Lead, Length, Watch};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

const DRAWS: u32 = 24;
/// Trains of one line at most, so that every choice can be tried.
const FEW: usize = 150;

/// How many cases must show what.
const QUOTAS: [(&str, usize); 9] = [
    ("cases", 300),
    ("a fitted set-up", 60),
    ("levers that move", 60),
    ("planning saves", 100),
    ("the order saves more", 50),
    ("fewer trains than lines", 60),
    ("an unreachable line", 40),
    ("more idlers for one line", 5),
    ("the nearest for one line", 40),
];

/// A train with its levers.
struct Candidate {
    places: Vec<(usize, usize, u64)>,
    kinds: Vec<Vec<usize>>,
    levers: Vec<Option<usize>>,
}

/// Every other line may take the nearest, if that is within this.
fn at_worst(line: usize) -> Option<Q> {
    (line % 2 == 1).then(|| q(1, 3))
}

/// Gear pairs of a train.
fn pairs(row: &Row) -> usize {
    1 + row.shafts[1..row.shafts.len() - 1].iter().filter(|s| s.len() == 2).count()
}

/// The trains of one line that a table holds, all of them within the tolerance, else all that err as the
/// nearest does; and whether it was the nearest.
fn candidates(
    shop: &Shop,
    ask: &Ask,
    within: &Q,
    at_worst: Option<&Q>,
) -> (Vec<Candidate>, usize, bool) {
    let all = shop.groups(ask);
    let (found, idlers) =
        those(shop, ask, &all.iter().filter(|g| g.miss.within(within)).collect::<Vec<_>>());
    let nearest = all.iter().find(|g| g.rows.iter().any(|row| pairs(row) <= 2));
    let nearest = nearest.filter(|g| at_worst.is_some_and(|most| g.miss.within(most)));
    let Some(nearest) = nearest.filter(|_| found.is_empty()) else { return (found, idlers, false) };
    let ties = all.iter().filter(|g| g.miss.compare(&nearest.miss).is_eq()).collect::<Vec<_>>();
    let (found, idlers) = those(shop, ask, &ties);
    (found, idlers, true)
}

/// Of these the trains of two gear pairs at most; one idler beside one pair, none beside two, and more
/// only if there is nothing else.
fn those(shop: &Shop, ask: &Ask, groups: &[&Group]) -> (Vec<Candidate>, usize) {
    let settings = shop.sheet.settings(ask.travel);
    for idlers in 1..=shop.sheet.studs.max(1) {
        let rows = groups.iter().flat_map(|g| &g.rows).filter(|row| {
            let (studs, pairs) = (row.shafts.len() - 2, pairs(row));
            let more = usize::from(pairs > 1);
            pairs <= 2 && studs + 1 - pairs + more <= idlers
        });
        let found: Vec<Candidate> = rows
            .map(|row| Candidate {
                places: places(&teeth(&shop.sheet, &row.shafts)),
                kinds: row.shafts.clone(),
                levers: levers(&settings[row.order.setting], row.tumbler),
            })
            .collect();
        if !found.is_empty() {
            return (found, idlers);
        }
    }
    (Vec::new(), shop.sheet.studs.max(1))
}

fn teeth(sheet: &Sheet, shafts: &[Vec<usize>]) -> Vec<Vec<u64>> {
    shafts.iter().map(|s| s.iter().map(|&kind| sheet.kinds[kind].teeth).collect()).collect()
}

fn levers(setting: &Setting, tumbler: Option<usize>) -> Vec<Option<usize>> {
    let levers = setting.levers.iter().map(|&at| Some(at));
    std::iter::once(Some(setting.headstock)).chain(levers).chain([tumbler]).collect()
}

/// What stands, and how the levers do.
type Stand<'c> = (&'c [(usize, usize, u64)], &'c [Option<usize>]);

fn cost(from: Stand<'_>, to: Stand<'_>) -> Cost {
    let stay = from.0.iter().filter(|gear| to.0.contains(gear)).count();
    let moved = from.1.iter().zip(to.1).filter(|(a, b)| a.is_some() && b.is_some() && a != b);
    cost_of(from.0.len() + to.0.len() - 2 * stay, moved.count())
}

fn plus(a: Cost, b: Cost) -> Cost {
    cost_of(a.handled + b.handled, a.levers + b.levers)
}

fn cost_of(handled: usize, levers: usize) -> Cost {
    let mut cost = Cost::default();
    (cost.handled, cost.levers) = (handled, levers);
    cost
}

/// A whole case as the enumeration sees it.
struct Work {
    lines: Vec<Vec<Candidate>>,
    fitted: Option<Vec<(usize, usize, u64)>>,
    /// Of the fitted set-up: not known.
    levers: Vec<Option<usize>>,
}

impl Work {
    /// The best choice for an order: each train against each of the line before.
    fn listed(&self, order: &[usize]) -> Cost {
        let nothing = Vec::new();
        let start: Stand = (self.fitted.as_ref().unwrap_or(&nothing), &self.levers);
        let mut before: Vec<(Cost, Stand)> = vec![(Cost::default(), start)];
        for &line in order {
            let reach = |c: &'_ Candidate| {
                let stand = (&c.places[..], &c.levers[..]);
                before.iter().map(|(spent, from)| plus(*spent, cost(*from, stand))).min()
            };
            before = self.lines[line]
                .iter()
                .map(|c| (reach(c).expect("a line before"), (&c.places[..], &c.levers[..])))
                .collect();
        }
        let home = |from: Stand| {
            if self.fitted.is_some() { cost(from, start) } else { Cost::default() }
        };
        before.iter().map(|(spent, from)| plus(*spent, home(*from))).min().expect("a train")
    }

    fn fewest_handled(&self) -> usize {
        let lines = self.reached();
        orders(&lines).iter().map(|order| self.listed(order).handled).min().unwrap_or(0)
    }

    fn reached(&self) -> Vec<usize> {
        (0..self.lines.len()).filter(|&line| !self.lines[line].is_empty()).collect()
    }

    /// The fewest trains, by trying every set of one, two, ...
    fn fewest_trains(&self) -> usize {
        let mut cuts: BTreeMap<&Vec<Vec<usize>>, BTreeSet<usize>> = BTreeMap::new();
        for (line, candidates) in self.lines.iter().enumerate() {
            for candidate in candidates {
                cuts.entry(&candidate.kinds).or_default().insert(line);
            }
        }
        let cuts: BTreeSet<BTreeSet<usize>> = cuts.into_values().collect();
        let mut covered: BTreeSet<BTreeSet<usize>> = [BTreeSet::new()].into();
        let all: BTreeSet<usize> = self.reached().into_iter().collect();
        for count in 0.. {
            if covered.contains(&all) {
                return count;
            }
            let with =
                |c: &BTreeSet<usize>| cuts.iter().map(move |more| c | more).collect::<Vec<_>>();
            covered = covered.iter().flat_map(with).collect();
        }
        unreachable!("every line that is reached has a train")
    }
}

fn orders(lines: &[usize]) -> Vec<Vec<usize>> {
    if lines.is_empty() {
        return vec![Vec::new()];
    }
    let first = |at: usize| {
        let mut rest = lines.to_vec();
        let line = rest.remove(at);
        orders(&rest).into_iter().map(move |order| [vec![line], order].concat()).collect::<Vec<_>>()
    };
    (0..lines.len()).flat_map(first).collect()
}

/// Lines for a shop: leads that it cuts or nearly, some hands and feeds, some far from everything.
fn asks(shop: &Shop, dice: &mut Dice) -> Vec<(Ask, Q)> {
    let count = 1 + dice.below(4);
    let one = |dice: &mut Dice| {
        let travel = dice.pick(&[Travel::Thread, Travel::Thread, Travel::Thread, Travel::Long]);
        let leads = shop.leads(travel);
        let (at, off, far) = (dice.below(10_000), dice.below(5), dice.once_in(8));
        let lead = leads.get(at % leads.len().max(1)).cloned().unwrap_or_else(|| q(1, 1));
        let off = q(1, 1) + q(i64::try_from(off).expect("small"), 500);
        let mm = if far { q(40_000, 1) } else { (lead * off * q(9240, 1)).round() / q(9240, 1) };
        let mm = mm.max(q(1, 1000));
        let hand = (travel == Travel::Thread).then(|| dice.pick(&[1, 1, 1, -1]));
        let within = q(1, dice.pick(&[100, 5000, 40, 20]));
        (Ask { travel, target: Target::plain(mm), hand, gears: 8 }, within)
    };
    (0..count).map(|_| one(dice)).collect()
}

fn line_of(ask: &Ask, within: &Q) -> Line {
    let lead = Lead::new(Length::from_mm(small(&ask.target.mm)));
    let hand = ask.hand.map(|hand| if hand > 0 { Hand::Right } else { Hand::Left });
    Line::new(lead).with_hand(hand).with_travel(travel_of(ask.travel)).with_within(small(within))
}

/// One case; what it shows, or what is wrong.
fn run(strip: &[u16]) -> Result<Vec<&'static str>, String> {
    let file = lathe(strip);
    let mut dice = Dice::of_question(strip);
    let arbor = dice.once_in(3).then(|| q(13, 2));
    let Some(shop) = Shop::open(Sheet::read(&file), arbor.as_ref(), LIMIT / 8) else {
        return Ok(Vec::new());
    };
    let asks = asks(&shop, &mut dice);
    if asks.iter().any(|(ask, _)| shop.sheet.settings(ask.travel).is_empty()) {
        return Ok(Vec::new());
    }
    let found: Vec<(Vec<Candidate>, usize, bool)> = asks
        .iter()
        .enumerate()
        .map(|(at, (ask, within))| candidates(&shop, ask, within, at_worst(at).as_ref()))
        .collect();
    if found.iter().any(|(c, ..)| c.len() > FEW) {
        return Ok(Vec::new());
    }
    check(&file, &shop, arbor.as_ref(), &asks, found)
        .map_err(|why| format!("{why}\n{file}\n{asks:?}"))
}

fn check(
    file: &str,
    shop: &Shop,
    arbor: Option<&Q>,
    asks: &[(Ask, Q)],
    found: Vec<(Vec<Candidate>, usize, bool)>,
) -> Result<Vec<&'static str>, String> {
    let lathe = lathe_of(file)?;
    let lines = asks.iter().enumerate();
    let lines = lines.map(|(at, (ask, within))| {
        line_of(ask, within).with_at_worst(at_worst(at).as_ref().map(small))
    });
    let lines: Vec<Line> = lines.collect();
    let options = Options::default().with_arbor(arbor.map(small)).with_pairs(2);
    let table =
        TrainTable::new(&lathe, lines, &options, Watch::none()).map_err(|e| e.to_string())?;
    let proven = |plan: &Plan| {
        plan.bound.least().ok_or_else(|| format!("no bound of all: {:?}", plan.bound))
    };
    let same = |what: &str, plan: usize, brute: usize| {
        let why = format!("{what}: plan {plan}, trying everything {brute}");
        (plan == brute).then_some(()).ok_or(why)
    };
    let mut more_idlers = false;
    let nearest = found.iter().enumerate().filter(|(_, found)| found.2).map(|(line, _)| line);
    let nearest: Vec<usize> = nearest.collect();
    let widened: Vec<usize> = table.widened_to().map(|(line, _)| line).collect();
    if widened != nearest {
        return Err(format!("the nearest for {widened:?}, trying everything {nearest:?}"));
    }
    for (line, ((candidates, idlers, _), count)) in found.iter().zip(table.counts()).enumerate() {
        same("trains of a line", count, candidates.len())?;
        same("idlers", table.idlers(line).expect("a line"), *idlers)?;
        more_idlers |= *idlers > 1 && !candidates.is_empty();
    }
    let settings = shop.sheet.settings(asks[0].0.travel);
    let fitted = shop.sheet.fitted.as_ref().map(|train| places(train));
    let levers = vec![None; settings[0].levers.len() + 2];
    let lines = found.into_iter().map(|(candidates, ..)| candidates).collect();
    let work = Work { lines, fitted, levers };
    let reached = work.reached();
    same("unreachable", table.unreachable().count(), work.lines.len() - reached.len())?;

    let ok = |plan: solver::Result<Plan>| plan.map_err(|e| e.to_string());
    let listed = ok(table.as_listed())?;
    let cost = work.listed(&reached);
    same("as listed, handled", listed.cost.handled, cost.handled)?;
    same("as listed, levers", listed.cost.levers, cost.levers)?;
    if !listed.is_proven() {
        return Err("as listed is not proven".into());
    }
    let best = ok(table.best_order())?;
    let least = work.fewest_handled();
    same("best order", best.cost.handled, least)?;
    same("best order, bound", proven(&best)?, least)?;
    let fewest = ok(table.fewest_trains())?;
    same("fewest trains", fewest.trains, work.fewest_trains())?;
    same("fewest trains, bound", proven(&fewest)?, fewest.trains)?;
    let naive = ok(table.naive())?;
    for plan in [&listed, &best, &fewest, &naive] {
        adds_up(&table, plan, &reached)?;
    }
    // The steps of the naive plan are the first trains of the enumeration.
    for (step, &line) in naive.steps.iter().zip(&reached) {
        let first = &work.lines[line][0];
        let train: Vec<Vec<u64>> = teeth(&shop.sheet, &first.kinds);
        same("naive", usize::from(places(&train) == first.places), 1)?;
        let names =
            train.iter().map(|s| s.iter().map(u64::to_string).collect::<Vec<_>>().join("+"));
        let name = names.collect::<Vec<_>>().join("-");
        if step.solution.train.to_string() != name {
            return Err(format!("naive takes {}, the best is {name}", step.solution.train));
        }
    }
    let marks = [
        ("cases", true),
        ("a fitted set-up", work.fitted.is_some()),
        ("levers that move", cost.levers > 0),
        ("planning saves", listed.cost.handled < naive.cost.handled),
        ("the order saves more", best.cost.handled < listed.cost.handled),
        ("fewer trains than lines", fewest.trains < reached.len()),
        ("an unreachable line", reached.len() < work.lines.len()),
        ("more idlers for one line", more_idlers),
        ("the nearest for one line", !nearest.is_empty()),
    ];
    Ok(marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect())
}

/// Whether each step costs what it says, from train to train, and each line comes once.
fn adds_up(table: &TrainTable<'_>, plan: &Plan, reached: &[usize]) -> Result<(), String> {
    let mut lines: Vec<usize> = plan.steps.iter().map(|s| s.line).collect();
    lines.sort_unstable();
    let mut sum = plan.back.handled;
    for pair in plan.steps.windows(2) {
        let handled = pair[1].solution.train.handled_from(&pair[0].solution.train);
        if handled != pair[1].cost.handled {
            return Err(format!("a step says {} and handles {handled}", pair[1].cost.handled));
        }
    }
    sum += plan.steps.iter().map(|s| s.cost.handled).sum::<usize>();
    let near = plan.steps.iter().all(|s| {
        let line = &table.lines()[s.line];
        let widened = table.widened_to().find(|(line, _)| *line == s.line);
        let most = line.at_worst.filter(|_| widened.is_some()).unwrap_or(line.within);
        let as_said = widened.is_none_or(|(_, to)| s.solution.error.compare_size(to).is_eq());
        s.solution.error.within(&most) && as_said
    });
    if lines != reached || sum != plan.cost.handled || !near {
        return Err(format!("lines {lines:?} of {reached:?}, {sum} of {:?}", plan.cost));
    }
    Ok(())
}

#[test]
fn plans_are_what_trying_everything_finds() {
    runs(0..32, DRAWS, STRIP, &QUOTAS, run);
}

/// The fewest gears moved over all orders, set of lines by set of lines.
fn by_subsets(work: &Work) -> usize {
    let nothing = Vec::new();
    let start = work.fitted.as_ref().unwrap_or(&nothing);
    let lines = work.reached();
    let stands: Vec<(usize, &Candidate)> = lines
        .iter()
        .enumerate()
        .flat_map(|(at, &l)| work.lines[l].iter().map(move |c| (at, c)))
        .collect();
    let far =
        |a: &[(usize, usize, u64)], b: &[(usize, usize, u64)]| cost((a, &[]), (b, &[])).handled;
    let mut best = vec![vec![usize::MAX; stands.len()]; 1 << lines.len()];
    for (i, (line, candidate)) in stands.iter().enumerate() {
        best[1 << line][i] = far(start, &candidate.places);
    }
    for cut in 1..best.len() {
        for (i, (_, from)) in stands.iter().enumerate() {
            let spent = best[cut][i];
            let open = stands.iter().enumerate().filter(|(_, (line, _))| cut >> line & 1 == 0);
            for (j, (line, to)) in open.filter(|_| spent < usize::MAX) {
                let slot = &mut best[cut | 1 << line][j];
                *slot = (*slot).min(spent + far(&from.places, &to.places));
            }
        }
    }
    let home = |places: &[(usize, usize, u64)]| {
        if work.fitted.is_some() { far(places, start) } else { 0 }
    };
    let all = best.last().expect("a set of lines");
    let ends = all.iter().zip(&stands).filter(|(spent, _)| **spent < usize::MAX);
    ends.map(|(spent, (_, c))| spent + home(&c.places)).min().expect("an order")
}

// Pitches of 0 BA to 8 BA: BS 93; Kaye & Laby, Tables of Physical and Chemical Constants, 1941, p. 25.
const BA: [&str; 9] = ["1", "0.9", "0.81", "0.73", "0.66", "0.59", "0.53", "0.48", "0.43"];

/// A lathe of our own: 8 TPI, one stud, one gear each of 20 to 75 by fives.
const FIVES: &str = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"},
    "headstock": {"ratio": "1", "turns": "same", "tumbler": {"up": "same", "down": "opposite"}},
    "gears": {"pitch": "module 1",
        "owned": [20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75]},
    "fitted": {"train": "20-70+25-75"}}"#;

#[test]
fn nine_ba_pitches_on_eight_per_inch() {
    for (parts, lines_reached) in [(400, 6), (150, 8)] {
        let within = q(1, parts);
        let arbor = q(13, 2);
        let shop = Shop::open(Sheet::read(FIVES), Some(&arbor), LIMIT).expect("few trains");
        let ask = |mm: &str| Ask {
            travel: Travel::Thread,
            target: Target::plain(super::number::number(mm)),
            hand: Some(1),
            gears: 8,
        };
        let found = BA.map(|mm| candidates(&shop, &ask(mm), &within, None).0);
        let fitted = shop.sheet.fitted.as_ref().map(|train| places(train));
        let levers = vec![None; 2];
        let work = Work { lines: found.into(), fitted, levers };
        let reached = work.reached();
        assert_eq!(reached.len(), lines_reached, "within 1/{parts}");

        let lathe = lathe_of(FIVES).expect("a lathe");
        let lines = BA.iter().map(|mm| line_of(&ask(mm), &within)).collect();
        let options = Options::default().with_pairs(2);
        let table = TrainTable::new(&lathe, lines, &options, Watch::none()).expect("a table");
        let counts: Vec<usize> = table.counts().collect();
        assert_eq!(counts, work.lines.iter().map(Vec::len).collect::<Vec<_>>());
        let listed = table.as_listed().expect("a plan");
        let best = table.best_order().expect("a plan");
        let fewest = table.fewest_trains().expect("a plan");
        let naive = table.naive().expect("a plan");
        assert_eq!(listed.cost, work.listed(&reached));
        assert_eq!(best.cost.handled, by_subsets(&work));
        assert!(best.is_proven() && listed.is_proven() && fewest.is_proven());
        assert_eq!(fewest.trains, work.fewest_trains());
        // What planning is for: visibly less than the best error for each line.
        assert!(4 * best.cost.handled <= 3 * naive.cost.handled, "{best:?} {naive:?}");
    }
}

#[test]
fn a_cancelled_plan_is_whole_and_says_so() {
    let lathe = lathe_of(FIVES).expect("a lathe");
    let lines: Vec<Line> = BA
        .iter()
        .map(|mm| Line::new(Lead::new(Length::from_mm(mm.parse().expect("a number")))))
        .map(|line| line.with_within("1/100".parse().expect("a ratio")))
        .collect();
    let cancel = AtomicBool::new(false);
    let raised = |up| cancel.store(up, Relaxed);
    let options = Options::default().with_pairs(2);
    let table = TrainTable::new(&lathe, lines.clone(), &options, Watch::cancelled_by(&cancel))
        .expect("a table");
    let least = table.best_order().expect("a plan");
    raised(true);
    for plan in [table.as_listed(), table.best_order(), table.fewest_trains()] {
        let plan = plan.expect("a plan");
        assert!(!plan.complete && !plan.is_proven());
        assert_eq!(plan.steps.len(), 9 - table.unreachable().count());
        assert!(plan.bound.least().is_none_or(|least| least <= plan.reached));
    }
    let stopped = table.best_order().expect("a plan").bound;
    assert!(stopped.least().is_none_or(|bound| bound <= least.cost.handled));
    // A table that was not finished can't prove anything.
    let part =
        TrainTable::new(&lathe, lines, &options, Watch::cancelled_by(&cancel)).expect("a table");
    raised(false);
    assert!(!part.is_complete());
    for plan in [part.as_listed(), part.best_order(), part.fewest_trains()] {
        let plan = plan.expect("a plan");
        assert!(!plan.is_proven() && plan.bound.least().is_none(), "{:?}", plan.bound);
    }
    assert_eq!(part.each_from_fitted(&[0]).expect("a plan").bound.least(), None);
}

/// On the demo lathes with a bracket: the trains within a tolerance are those that the search lists
/// lead by lead.
#[test]
fn every_train_within_is_listed_on_brackets() {
    let mut trains = 0;
    for name in ["dinghy", "tug", "ketch"] {
        let file = std::fs::read_to_string(format!("gearsets/{name}.lathe.json")).expect("a file");
        let lathe = lathe_of(&file).expect("a lathe");
        if lathe.parts().bracket.is_none() {
            continue;
        }
        let options = Options::default().with_pairs(2);
        let search = Search::new(&lathe, solver::Travel::Thread, options).expect("a search");
        for (mm, hand) in [("1", Hand::Right), ("1.25", Hand::Left), ("1.5", Hand::Right)] {
            let lead = Lead::new(Length::from_mm(mm.parse().expect("a number")));
            let ask = Line::new(lead).with_within("1/300".parse().expect("a ratio")).ask();
            let ask = ask.with_hand(Some(hand)).with_count(10_000);
            for idlers in 1..=3 {
                trains += listed_on(&search, &ask, idlers);
            }
        }
    }
    assert!(trains > 100, "{trains} trains");
}

fn listed_on(search: &Search<'_>, ask: &solver::search::Ask, idlers: usize) -> usize {
    let mut within = Vec::new();
    search
        .within(ask, idlers, &mut |_, all| {
            within.extend(all.iter().map(|a| {
                let solution = search.solution_of(ask, a).expect("small numbers");
                assert!(solution.fits());
                (solution.train.to_string(), solution.setting)
            }));
            std::ops::ControlFlow::Continue(())
        })
        .expect("small numbers");
    let mut one_by_one = Vec::new();
    for solution in search.find(ask).expect("small numbers").solutions {
        let (all, _) = search.all(ask, &solution, 1_000_000).expect("small numbers");
        one_by_one.extend(all.into_iter().filter_map(|s| {
            let pairs = 1 + s.train.studs().iter().filter(|s| s.gears().count() == 2).count();
            let allowed = s.gears - 2 * pairs + usize::from(pairs > 1) <= idlers;
            (allowed && s.fits()).then(|| (s.train.to_string(), s.setting))
        }));
    }
    within.sort();
    one_by_one.sort();
    assert_eq!(within, one_by_one);
    within.len()
}

#[test]
fn lists_have_bounds() {
    let lathe = lathe_of(FIVES).expect("a lathe");
    let line = Line::new(Lead::new(Length::from_mm("1".parse().expect("a number"))));
    for count in [0, 2001] {
        let lines = vec![line.clone(); count];
        let table = TrainTable::new(&lathe, lines.clone(), &Options::default(), Watch::none());
        assert!(table.unwrap_err().is_range());
        let request = solver::buy::Request::new(lines, Vec::new());
        assert!(solver::buy::best(&lathe, &request, Watch::none()).unwrap_err().is_range());
    }
    for gears in [0, 4] {
        let request = solver::buy::Request::new(vec![line.clone()], Vec::new()).with_gears(gears);
        assert!(solver::buy::best(&lathe, &request, Watch::none()).unwrap_err().is_range());
    }
    // Nothing on sale: nothing to offer.
    let request = solver::buy::Request::new(vec![line], Vec::new());
    let advice = solver::buy::best(&lathe, &request, Watch::none()).expect("advice");
    assert!(advice.offers.is_empty() && advice.complete);
}
