//! What is in reach, against the enumeration: every lead once, ascending, each by its best train; and
//! the standard threads beside it against a look at all of them.

use super::compare::{lathe_of, small, travel_of};
use super::draw::{Dice, STRIP, lathe};
use super::number::{Q, Target, q};
use super::question::LIMIT;
use super::rank::{Ask, Group, Shop};
use super::sheet::{Sheet, Travel};
use crate::runs::runs;
use solver::reach::{Reached, Span};
use solver::search::{Options, Search};
use solver::{Hand, Lead, Length, Watch, thread};
use std::sync::atomic::AtomicBool;

const DRAWS: u32 = 16;

/// How many cases must show what.
const QUOTAS: [(&str, usize); 6] = [
    ("cases", 300),
    ("a span", 80),
    ("a feed", 40),
    ("a hand that some leads lack", 20),
    ("many leads", 60),
    ("the arbor rule refuses", 20),
];

fn mm(value: &Q) -> Lead {
    Lead::new(Length::from_mm(small(value)))
}

fn run(strip: &[u16]) -> Result<Vec<&'static str>, String> {
    let file = lathe(strip);
    let mut dice = Dice::of_question(strip);
    let arbor = dice.once_in(3).then(|| q(13, 2));
    let Some(shop) = Shop::open(Sheet::read(&file), arbor.as_ref(), LIMIT / 4) else {
        return Ok(Vec::new());
    };
    let travel = dice.pick(&[Travel::Thread, Travel::Thread, Travel::Long]);
    let gears = dice.pick(&[8, 8, 4, 3, 5]);
    if shop.sheet.settings(travel).is_empty() || shop.rows(travel) > LIMIT {
        return Ok(Vec::new());
    }
    let hand = (travel == Travel::Thread).then(|| dice.pick(&[1, -1]));
    // Against a target below everything the enumeration's order is by length.
    let target = Target::plain(q(1, 1_000_000_000));
    let ask = Ask { travel, target, hand, gears };
    let mut groups = shop.groups(&ask);
    let all = groups.len();
    let span = dice.once_in(3).then(|| {
        let mut at = [dice.below(1000), dice.below(1000)].map(|i| i % all.max(1));
        at.sort_unstable();
        at
    });
    let lathe = lathe_of(&file)?;
    let options = Options::default().with_arbor(arbor.as_ref().map(small));
    let search = Search::new(&lathe, travel_of(travel), options).map_err(|e| e.to_string())?;
    let hand = hand.map(|hand| if hand > 0 { Hand::Right } else { Hand::Left });
    let mut wanted = Span::all().with_hand(hand).with_gears(gears);
    if let (Some([from, to]), false) = (span, groups.is_empty()) {
        wanted = wanted.between(mm(&groups[from].lead), mm(&groups[to].lead));
        groups = groups[from..=to].to_vec();
    }
    let mut reach = wanted.reach(&search);
    let found: Vec<Reached> =
        reach.by_ref().collect::<Result<_, _>>().map_err(|e: solver::Error| e.to_string())?;
    let refused = reach.refused();
    compare(&shop, &groups, &found).map_err(|why| format!("{why}\n{file}\n{ask:?} {span:?}"))?;
    let (count, whole) = wanted.count(&search).map_err(|e| e.to_string())?;
    if count != found.len() as u64 + refused
        || !whole
        || u128::from(count) > wanted.at_most(&search)
    {
        return Err(format!("{count} counted, {} found, {refused} refused\n{file}", found.len()));
    }
    let marks = [
        ("cases", true),
        ("a span", span.is_some() && !found.is_empty()),
        ("a feed", travel == Travel::Long),
        ("a hand that some leads lack", travel == Travel::Thread && arbor.is_none() && refused > 0),
        ("many leads", found.len() > 40),
        ("the arbor rule refuses", travel == Travel::Long && arbor.is_some() && refused > 0),
    ];
    Ok(marks.into_iter().filter(|mark| mark.1).map(|mark| mark.0).collect())
}

fn compare(shop: &Shop, groups: &[Group], found: &[Reached]) -> Result<(), String> {
    if found.len() != groups.len() {
        return Err(format!("{} leads, the enumeration has {}", found.len(), groups.len()));
    }
    for (group, reached) in groups.iter().zip(found) {
        let row = &group.rows[0];
        let teeth = |s: &Vec<usize>| {
            s.iter().map(|&k| shop.sheet.kinds[k].teeth.to_string()).collect::<Vec<_>>().join("+")
        };
        let train = row.shafts.iter().map(teeth).collect::<Vec<_>>().join("-");
        let s = &reached.solution;
        if s.lead != mm(&group.lead)
            || s.train.to_string() != train
            || s.setting != row.order.setting
            || s.tumbler != row.tumbler
            || !s.error.is_zero()
        {
            return Err(format!("{} by {}, wanted {} by {train}", s.lead, s.train, group.lead));
        }
    }
    Ok(())
}

#[test]
fn reach_is_what_the_enumeration_lists() {
    runs(160..200, DRAWS, STRIP, &QUOTAS, run);
}

#[test]
fn leads_end_where_they_are_told_to() {
    let file = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [20, 22, 25, 35, 40]}}"#;
    let lathe = lathe_of(file).unwrap();
    let cancel = AtomicBool::new(false);
    let search = Search::new(&lathe, solver::Travel::Thread, Options::default()).unwrap();
    let search = search.watched(Watch::cancelled_by(&cancel));
    let mut reach = Span::all().reach(&search);
    assert!(reach.next().is_some_and(|reached| reached.is_ok()));
    cancel.store(true, std::sync::atomic::Ordering::Relaxed);
    assert_eq!(reach.next(), None);
}

#[test]
fn standard_threads_stand_on_both_sides() {
    let file = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [20, 22, 25, 35, 40, 44, 55, 63, 127]}}"#;
    let lathe = lathe_of(file).unwrap();
    let search = Search::new(&lathe, solver::Travel::Thread, Options::default()).unwrap();
    let threads: Vec<_> = thread::all().collect();
    let (mut exact, mut worms) = (0, 0);
    for reached in Span::all().reach(&search) {
        let Reached { solution, below, above, .. } = reached.unwrap();
        let cut = solution.lead;
        // Sorted out by looking at all of them.
        let shorter = threads.iter().filter(|t| t.lead() <= cut).map(solver::Thread::lead).max();
        let longer = threads.iter().filter(|t| t.lead() > cut).map(solver::Thread::lead).min();
        assert_eq!(below.map(|b| b.thread.lead()), shorter, "{cut}");
        assert_eq!(above.map(|a| a.thread.lead()), longer, "{cut}");
        exact += usize::from(below.is_some_and(|b| b.error.is_zero()));
        worms += usize::from(above.is_some_and(|a| a.thread.lead().has_pi()));
        for beside in [below, above].into_iter().flatten() {
            let first = threads.iter().find(|t| t.lead() == beside.thread.lead());
            assert_eq!(first, Some(&beside.thread));
            assert_eq!(beside.error, solver::LeadError::of(&cut, &beside.thread.lead()));
        }
    }
    assert!(exact >= 10 && worms >= 10, "{exact} exact, {worms} below a worm");
}
