//! Cancelled before the start, after the first sign of progress, and not at all: all that may take long.

use solver::buy::{self, Request};
use solver::plan::{Line, TrainTable};
use solver::reach::Span;
use solver::search::{Ask, Options, Search};
use solver::{Bracket, Done, Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel, Watch};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering::Relaxed};

fn lathe_of(sizes: &[u64]) -> Parts {
    let mut gears = GearSet::new();
    for teeth in sizes {
        gears.add(Gear::new(Teeth::new(*teeth).unwrap()), 1).unwrap();
    }
    Parts::plain(gears, mm("3"))
}

fn mm(lead: &str) -> Lead {
    Lead::new(format!("{lead} mm").parse().unwrap())
}

fn lathe() -> Lathe {
    Lathe::new(lathe_of(&[20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 80])).unwrap()
}

fn search<'l>(lathe: &'l Lathe, watch: Watch<'l>) -> Search<'l> {
    Search::new(lathe, Travel::Thread, Options::default()).unwrap().watched(watch)
}

fn ask() -> Ask {
    Ask::new(mm("1.7")).with_hand(None)
}

/// What a search answers that is cancelled while it is at this lead, 0: before the first.
fn cancelled<R>(lathe: &Lathe, at: u64, what: impl Fn(&Search<'_>) -> R) -> R {
    let cancel = AtomicBool::new(at == 0);
    let hear = |done| {
        if let Done::Leads(leads) = done {
            cancel.fetch_or(leads >= at, Relaxed);
        }
    };
    what(&search(lathe, Watch::cancelled_by(&cancel).hearing(&hear)))
}

#[test]
fn find_answers_with_the_best_so_far() {
    let lathe = lathe();
    let whole = search(&lathe, Watch::none()).find(&ask()).unwrap();
    assert!(whole.proof.complete && !whole.proof.stopped && whole.solutions.len() == 5);
    for at in 0..5 {
        let found = cancelled(&lathe, at, |search| search.find(&ask()).unwrap());
        assert!(found.proof.stopped && !found.proof.complete, "{at}");
        // Leads that err as much as the last one belong to it.
        let len = found.solutions.len();
        let len = u64::try_from(len).unwrap();
        assert!(at <= len && len <= at + 1, "{at}: {len}");
        assert_eq!(found.solutions, whole.solutions[..found.solutions.len()]);
    }
    let ended = cancelled(&lathe, 5, |search| search.find(&ask()).unwrap());
    assert_eq!(ended, whole, "raised when all was done");
}

/// That nothing is within a tolerance is not said where nobody looked.
#[test]
fn a_nearest_that_was_not_looked_for_is_no_answer() {
    let lathe = lathe();
    let ask = ask().with_within(Some("1/1000000000".parse().unwrap()));
    let found = cancelled(&lathe, 0, |search| search.find(&ask).unwrap());
    assert!(found.nearest.is_none() && found.proof.stopped && !found.proof.complete);
    assert!(!cancelled(&lathe, 0, |search| search.closest(&ask).unwrap()).complete);
}

#[test]
fn what_is_asked_beside_it_is_not_complete_either() {
    let lathe = lathe();
    let best = search(&lathe, Watch::none()).find(&ask()).unwrap().solutions.swap_remove(0);
    let whole = search(&lathe, Watch::none()).trade_off(&ask()).unwrap();
    let one_more = search(&lathe, Watch::none()).one_more(&ask(), Some(&best)).unwrap();
    assert!(whole.complete && one_more.complete);
    for at in [0, 1] {
        let some = cancelled(&lathe, at, |search| search.trade_off(&ask()).unwrap());
        assert!(!some.complete && whole.rows.starts_with(&some.rows), "{at}");
        assert_eq!(u64::try_from(some.rows.len()), Ok(at), "{at}");
        let more = cancelled(&lathe, at, |search| search.one_more(&ask(), Some(&best)).unwrap());
        assert!(!more.complete || more == one_more, "{at}");
    }
    assert!(!cancelled(&lathe, 0, |search| search.one_more(&ask(), None).unwrap()).complete);
}

#[test]
fn counts_and_lists_of_one_lead_say_that_there_may_be_more() {
    let lathe = lathe();
    let best = search(&lathe, Watch::none()).find(&ask()).unwrap().solutions.swap_remove(0);
    let whole = search(&lathe, Watch::none());
    assert!(!whole.others(&ask(), &best, u64::MAX).unwrap().at_least);
    let (all, more) = whole.all(&ask(), &best, 1000).unwrap();
    assert!(!all.is_empty() && !more);
    let others = cancelled(&lathe, 0, |search| search.others(&ask(), &best, u64::MAX).unwrap());
    assert!(others.at_least && others.tried == 0);
    let (none, more) = cancelled(&lathe, 0, |search| search.all(&ask(), &best, 1000).unwrap());
    assert!(none.is_empty() && more);
    let leads = cancelled(&lathe, 0, |search| {
        let mut leads = 0;
        let mut count = |_: &_, _: &_| {
            leads += 1;
            ControlFlow::Continue(())
        };
        search.within(&ask(), 1, &mut count).map(|()| leads)
    });
    assert_eq!(leads, Ok(0));
}

/// The stud of 50-80+40-45 would be 42.5 mm from the lead screw, and the slot ends at 40.
#[test]
fn what_would_help_is_not_looked_for() {
    let mut parts = lathe_of(&[40, 45, 50, 80]);
    let size = |mm: &str| mm.parse().unwrap();
    parts.bracket = Some(Bracket::plain(size("80 mm"), size("34 mm"), size("40 mm")));
    let lathe = Lathe::new(parts).unwrap();
    let ask = Ask::new(mm("5/3")).with_hand(None);
    let refused = search(&lathe, Watch::none()).find(&ask).unwrap().refused;
    let help = |search: &Search<'_>| search.remedies(&ask, &refused).unwrap().list;
    assert!(!help(&search(&lathe, Watch::none())).is_empty());
    assert_eq!(cancelled(&lathe, 0, help), []);
    let (right, near) = (Ask::new(mm("5/3")), "1/1000000000".parse().unwrap());
    let other = |search: &Search<'_>| search.other_hand(&right, None, &near).unwrap();
    assert_eq!(cancelled(&lathe, 0, other), None);
}

/// Cancelled with the first sign of progress.
fn with_first<R>(what: impl FnOnce(Watch<'_>) -> R) -> R {
    let cancel = AtomicBool::new(false);
    what(Watch::cancelled_by(&cancel).hearing(&|_| cancel.store(true, Relaxed)))
}

#[test]
fn plans_say_what_was_not_searched() {
    fn table<'l>(lathe: &'l Lathe, lines: &[Line], watch: Watch<'l>) -> TrainTable<'l> {
        let options = Options::default().with_pairs(2);
        TrainTable::new(lathe, lines.to_vec(), &options, watch).unwrap()
    }
    let lathe = lathe();
    let lines: Vec<Line> = (100..300).map(line).collect();
    assert!(table(&lathe, &lines, Watch::none()).is_complete());
    let cancel = AtomicBool::new(true);
    let before = table(&lathe, &lines, Watch::cancelled_by(&cancel));
    assert_eq!(before.unsearched().count(), lines.len());
    with_first(|watch| {
        let table = table(&lathe, &lines, watch);
        assert!(!table.is_complete() && table.unsearched().count() < lines.len());
        for plan in [table.as_listed(), table.best_order(), table.fewest_trains()] {
            let plan = plan.unwrap();
            assert!(!plan.complete && !plan.is_proven());
        }
    });
}

fn line(hundredths: u32) -> Line {
    let within = "1/100".parse().unwrap();
    Line::new(mm(&format!("{hundredths}/100"))).with_within(within)
}

#[test]
fn a_purchase_is_the_best_so_far() {
    let lathe = lathe();
    let sizes = (30..130).map(|teeth| Teeth::new(teeth).unwrap()).collect();
    let narrow = "1/1000000".parse().unwrap();
    let lines = vec![Line::new(mm("1.27")).with_within(narrow)];
    let request =
        Request::new(lines, sizes).with_gears(2).with_options(Options::default().with_pairs(2));
    let best = |watch: Watch<'_>| buy::best(&lathe, &request, watch).unwrap();
    let whole = best(Watch::none());
    assert!(whole.complete && whole.offers[0].score.reached == 1);
    let before = best(Watch::cancelled_by(&AtomicBool::new(true)));
    assert!(!before.complete && before.offers.is_empty() && before.now == whole.now);
    let some = with_first(best);
    assert!(!some.complete && !some.offers.is_empty() && some.purchases <= whole.purchases);
}

#[test]
fn reach_ends_and_its_count_says_so() {
    fn search<'l>(lathe: &'l Lathe, watch: Watch<'l>) -> Search<'l> {
        let options = Options::default().with_pairs(2);
        Search::new(lathe, Travel::Thread, options).unwrap().watched(watch)
    }
    let lathe = Lathe::new(lathe_of(&(20..60).collect::<Vec<_>>())).unwrap();
    let whole = Span::all().count(&search(&lathe, Watch::none())).unwrap();
    assert!(whole.1 && whole.0 > 1 << 16);
    let cancel = AtomicBool::new(true);
    let before = search(&lathe, Watch::cancelled_by(&cancel));
    assert_eq!(Span::all().count(&before), Ok((0, false)));
    assert_eq!(Span::all().reach(&before).count(), 0);
    with_first(|watch| assert_eq!(Span::all().count(&search(&lathe, watch)), Ok((1 << 16, false))));
    with_first(|watch| assert!(Span::all().reach(&search(&lathe, watch)).count() <= 1));
}
