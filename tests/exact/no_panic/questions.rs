//! Everything that is asked of a lathe by a search.

use super::machine::set;
use super::{few_ratios, gears, leads, none_panics, teeth};
use solver::buy::{self, Request};
use solver::chart::{self, AllowedErrors, ChartRow, Gears, Measured, Printed, Unit};
use solver::plan::{Line, TrainTable};
use solver::reach::Span;
use solver::search::{Ask, Options, Search};
use solver::{Bracket, End, GearSet, Hand, Lathe, Lead, Parts, Teeth, Travel, Watch};
use std::ops::ControlFlow;

fn mm(text: &str) -> Lead {
    Lead::new(text.parse().unwrap())
}

/// A small lathe with two studs.
fn lathe() -> Lathe {
    let mut parts = Parts::plain(set(&[20, 30, 40, 60, 127]), mm("3 mm"));
    parts.studs = 2;
    Lathe::new(parts).unwrap()
}

/// The same with a bracket on which little stands.
fn on_bracket() -> Lathe {
    let mut parts = lathe().parts().clone();
    let [first, from, to] = ["60 mm", "25 mm", "40 mm"].map(|text| text.parse().unwrap());
    parts.bracket = Some(Bracket::plain(first, from, to));
    Lathe::new(parts).unwrap()
}

/// Every question about one target, with the answers of another lathe handed in as well.
fn ask_all(search: &Search<'_>, ask: &Ask, strangers: &[solver::search::Solution]) {
    let _ = search.proof(ask.gears);
    let mut solutions = strangers.to_vec();
    if let Ok(found) = search.find(ask) {
        assert!(found.solutions.iter().filter(|s| s.fits()).count() <= ask.count);
        solutions.extend(found.solutions.into_iter().chain(found.refused).take(4));
    }
    let _ = search.find_each(&[ask.clone(), ask.clone()]);
    let _ = search.trade_off(ask);
    let _ = search.remedies(ask, &solutions);
    for solution in &solutions {
        for limit in [0, 1, u64::MAX] {
            let _ = search.others(ask, solution, limit);
        }
        for limit in [0, 1, usize::MAX] {
            let _ = search.all(ask, solution, limit);
        }
        let _ = (search.idlers(ask, solution), search.one_more(ask, Some(solution)));
    }
    let _ = search.one_more(ask, None);
    for idlers in [0, 1, usize::MAX] {
        let mut seen = 0;
        let _ = search.within(ask, idlers, &mut |_, arrangements| {
            let first = arrangements.first().unwrap();
            let _ = (search.train_of(first), search.solution_of(ask, first), first.gears());
            seen += 1;
            if seen < 20 { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
        });
    }
}

fn strangers() -> Vec<solver::search::Solution> {
    let mut parts = Parts::plain(GearSet::new(), mm("7 mm"));
    for gear in gears().into_iter().filter(|gear| gear.size.is_some()).step_by(3) {
        parts.gears.add(gear, 2).unwrap();
    }
    (parts.studs, parts.ends.first) = (3, End::Own(teeth(400)));
    let lathe = Lathe::new(parts).unwrap();
    let options = Options::default().with_pairs(2).with_arbor(None);
    let search = Search::new(&lathe, Travel::Thread, options).unwrap();
    let found = search.find(&Ask::new(mm("1 mm")).with_count(3)).unwrap();
    assert!(!found.solutions.is_empty());
    found.solutions
}

#[test]
fn targets_tolerances_and_counts() {
    let strangers = strangers();
    let lathes = [lathe(), on_bracket()];
    let mut asks: Vec<Ask> = leads().into_iter().map(Ask::new).collect();
    let one = Ask::new(mm("1 mm"));
    asks.extend(few_ratios().into_iter().map(|within| one.clone().with_within(Some(within))));
    for count in [0, 1, 10_000, 10_001, usize::MAX] {
        asks.push(one.clone().with_count(count));
        asks.push(one.clone().with_count(count).with_within(Some(few_ratios()[2])));
    }
    for gears in [0, 1, 2, 3, 8, 9, usize::MAX] {
        asks.push(one.clone().with_gears(gears));
    }
    asks.extend([None, Some(Hand::Left)].map(|hand| one.clone().with_hand(hand)));
    for lathe in &lathes {
        let options = Options::default().with_pairs(2);
        let search = Search::new(lathe, Travel::Thread, options).unwrap();
        let cases = asks.iter().map(|ask| (format!("{ask:?}"), ask));
        none_panics(cases, |ask| ask_all(&search, ask, &strangers));
    }
}

/// With none wanted, the closest trains were told as refused though they stand; with more than can be
/// listed the search went on for as long as there are leads.
#[test]
fn answers_wanted_are_counted() {
    let lathe = lathe();
    let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
    for count in [0, 10_001, usize::MAX] {
        let ask = Ask::new(mm("1 mm")).with_count(count);
        assert!(search.find(&ask).unwrap_err().is_range(), "{count}");
        assert!(search.find_each(&[ask])[0].as_ref().unwrap_err().is_range(), "{count}");
    }
}

#[test]
fn options_of_a_search() {
    let mut all: Vec<Options> = [0, 1, 2, 3, 4, 5, usize::MAX]
        .map(|pairs| Options::default().with_pairs(pairs).with_arbor(None))
        .into();
    all.extend(super::ratios().into_iter().map(|arbor| Options::default().with_arbor(Some(arbor))));
    for lathe in [lathe(), on_bracket()] {
        none_panics(all.iter().map(|options| (format!("{options:?}"), options)), |options| {
            for travel in [Travel::Thread, Travel::LongFeed, Travel::CrossFeed] {
                let Ok(search) = Search::new(&lathe, travel, (*options).clone()) else { continue };
                let _ = search.find(&Ask::new(mm("1 mm")));
                let _ = Span::all().at_most(&search);
            }
            let lines = vec![Line::new(mm("1 mm")), Line::new(mm("0.001 mm"))];
            for wide in [TrainTable::new, TrainTable::widened] {
                let _ =
                    wide(&lathe, lines.clone(), options, Watch::none()).map(|table| table.naive());
            }
            let request = Request::new(lines, vec![teeth(50)]).with_options((*options).clone());
            let _ = buy::best(&lathe, &request, Watch::none());
        });
    }
}

/// Gears of the largest and least tooth sizes and of all angles in one box.
#[test]
fn boxes_of_odd_gears() {
    let boxes = gears().chunks(7).map(<[_]>::to_vec).collect::<Vec<_>>();
    let mixed = gears().into_iter().filter(|gear| gear.size.is_some()).step_by(5).collect();
    let cases = boxes.into_iter().chain([mixed]);
    none_panics(cases.map(|gears| (format!("{gears:?}"), gears)), |gears| {
        let mut set = GearSet::new();
        for gear in gears {
            set.add(*gear, 2).unwrap();
        }
        let mut parts = Parts::plain(set, mm("3 mm"));
        parts.studs = 3;
        for bracket in [None, on_bracket().parts().bracket.clone()] {
            let mut parts = parts.clone();
            parts.bracket = bracket;
            let Ok(lathe) = Lathe::new(parts) else { continue };
            let options = Options::default().with_pairs(2);
            let Ok(search) = Search::new(&lathe, Travel::Thread, options) else { continue };
            let _ = search.find(&Ask::new(mm("1 mm")));
        }
    });
}

#[test]
fn plans() {
    let lathe = lathe();
    let options = Options::default().with_pairs(2);
    let mut lists: Vec<(String, Vec<Line>)> = vec![
        ("nothing".to_owned(), vec![]),
        ("too long".to_owned(), vec![Line::new(mm("1 mm")); 2001]),
        ("one line often".to_owned(), vec![Line::new(mm("1 mm")); 30]),
    ];
    lists.extend(leads().into_iter().map(|lead| (lead.to_string(), vec![Line::new(lead)])));
    let within = few_ratios().into_iter().map(|w| Line::new(mm("1 mm")).with_within(w));
    lists.extend(within.map(|line| (line.within.to_string(), vec![line; 2])));
    none_panics(lists, |lines| {
        for make in [TrainTable::new, TrainTable::widened] {
            let Ok(table) = make(&lathe, lines.clone(), &options, Watch::none()) else { continue };
            for order in [vec![], vec![0; 40], vec![usize::MAX, 0, 7, 0], (0..3000).collect()] {
                let _ = (table.in_order(&order), table.naive_in_order(&order));
                let _ = table.each_from_fitted(&order);
            }
            let _ = (table.as_listed(), table.best_order());
            for first in [&[][..], &[0], &[1, 0, 7, usize::MAX]] {
                let _ = table.best_order_after(first);
            }
            let _ = (table.fewest_trains(), table.naive());
            for line in [0, lines.len(), usize::MAX] {
                let _ = (table.idlers(line), table.search(line).is_some());
            }
            let _ = (table.unreachable().count(), table.wider().count(), table.trains());
        }
    });
}

#[test]
fn purchases() {
    let lathe = lathe();
    let sizes: Vec<Teeth> = (5..=400).map(teeth).collect();
    let some = [vec![], vec![teeth(5)], vec![teeth(400); 10_000], sizes[..20].to_vec()];
    let mut cases = Vec::new();
    for sizes in some {
        for gears in [0, 1, 2, 4, usize::MAX] {
            for count in [0, 1, usize::MAX] {
                let lines = vec![Line::new(mm("1.1 mm"))];
                let request =
                    Request::new(lines, sizes.clone()).with_gears(gears).with_count(count);
                cases.push((format!("{} sizes, {gears} gears, {count}", sizes.len()), request));
            }
        }
    }
    for lead in leads() {
        let line = Line::new(lead).with_within(few_ratios()[5]);
        cases.push((lead.to_string(), Request::new(vec![line], sizes[..9].to_vec())));
    }
    cases.push(("no lines".to_owned(), Request::new(vec![], sizes.clone())));
    let many = Request::new(vec![Line::new(mm("1.1 mm")); 2001], sizes);
    cases.push(("too many".to_owned(), many));
    none_panics(cases, |request| drop(buy::best(&lathe, request, Watch::none())));
}

#[test]
fn all_that_can_be_cut() {
    let lathe = lathe();
    let search = Search::new(&lathe, Travel::Thread, Options::default().with_pairs(2)).unwrap();
    let few = leads();
    let spans = few.iter().flat_map(|from| few.iter().map(|to| Span::all().between(*from, *to)));
    let gears = [0, 1, 9, usize::MAX].map(|gears| Span::all().with_gears(gears));
    let spans = spans.chain(gears).map(|span| (format!("{span:?}"), span));
    none_panics(spans, |span| {
        for reached in span.reach(&search).take(5) {
            let _ = reached.map(|r| r.nearest().copied());
        }
        let _ = (span.count(&search), span.at_most(&search));
    });
}

#[test]
fn charts() {
    let printed = |text, unit| Printed::new(text, unit, Travel::Thread);
    let mut rows: Vec<ChartRow> = Vec::new();
    for text in ["1", "0.0001", "100", "1/17592186044415", "4398046511103"] {
        for unit in [Unit::Mm, Unit::Inch, Unit::Tpi, Unit::Module, Unit::Dp] {
            rows.extend(printed(text, unit).ok().map(ChartRow::new));
        }
    }
    assert!(rows.len() > 8);
    let trains = ["20-40", "5-400+5-400+5-400+5-400", "20-30-40-60-127"];
    let geared = rows.iter().flat_map(|row| {
        trains.map(|train| {
            let mut gears = Gears::new(train.parse().unwrap());
            gears.free_idler = train.len() % 2 == 1;
            row.clone().with_gears(gears)
        })
    });
    let geared: Vec<ChartRow> = geared.collect();
    let named: Vec<ChartRow> =
        rows.iter().map(|row| row.clone().with_lever("A", "1").with_lever("A", "2")).collect();
    let one = ChartRow::new(printed("1", Unit::Mm).unwrap());
    let terms = few_ratios().into_iter().map(|r| AllowedErrors { thread: r, feed: r });
    let lists: Vec<Vec<ChartRow>> = vec![
        vec![],
        vec![one.clone(); 20_001],
        vec![one.clone(); 400],
        rows.clone(),
        geared.clone(),
        geared.iter().rev().cloned().chain(rows).collect(),
        named,
        few_ratios().into_iter().map(|within| one.clone().with_within(within)).collect(),
    ];
    let measured: Vec<Measured> =
        ["10 pitches = 15.9 +- 0.2 mm", "1e9 turns move 1e-9 mm +- 1e-12 mm"]
            .iter()
            .filter_map(|text| text.parse().ok())
            .flat_map(|measured: Measured| {
                few_ratios().into_iter().map(move |count| {
                    let mut odd = measured.clone();
                    odd.count = count;
                    odd
                })
            })
            .collect();
    let cases = lists.iter().flat_map(|rows| terms.clone().map(move |terms| (rows, terms)));
    let cases =
        cases.map(|(rows, terms)| (format!("{} rows, {terms:?}", rows.len()), (rows, terms)));
    none_panics(cases, |(rows, terms)| {
        for lathe in [lathe(), on_bracket()] {
            let _ = chart::check(&lathe, rows, terms).map(|check| check.holds());
        }
        let blank = chart::blank(rows).and_then(Lathe::new);
        for lathe in blank.into_iter().chain([lathe()]) {
            for measured in [&[][..], &measured[..1], &measured] {
                let Ok(learned) = chart::learn(&lathe, rows, measured, terms) else { continue };
                for constant in &learned.constants {
                    let _ = constant.bounds();
                    let mut candidate = constant.ranking.best;
                    for value in few_ratios() {
                        candidate.value = value;
                        let _ = constant.figure(&candidate);
                    }
                }
                let _ = learned.positions.iter().map(chart::LearnedPosition::ratio).max();
            }
        }
    });
}
