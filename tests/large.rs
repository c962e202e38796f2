//! Do the answers hold where small random lathes never come: windows too full to hold, tables too
//! large to merge or to make, searches that give up, boxes and gearboxes at their limits?
//!
//! The check beside each: two sorted lists of products, one of drivers and one of driven gears, a
//! double loop over them, and whole numbers only. It knows neither hands nor the arbor rule (none is
//! asked here): with any hand allowed, idlers change no lead.

use crate::util::{fresh, one_line, run_in};
use solver::search::{Ask, Found, Options, Search, Tuning};
use solver::{
    Gear, GearSet, Gearbox, Joined, Lathe, Lead, Length, Lever, LeverPosition, Parts, Ratio, Teeth,
    Travel, Turns,
};
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// As many answers as can be asked for; every list here is shorter.
const MOST: usize = 10_000;

/// Numerator and denominator, in lowest terms.
type Fraction = (u128, u128);

/// A lathe with a 1 mm lead screw, one gear of each size, and one lever.
struct Shop {
    teeth: Vec<u64>,
    studs: u8,
    levers: Vec<Fraction>,
}

impl Shop {
    fn new(teeth: impl IntoIterator<Item = u64>, studs: u8) -> Self {
        Self { teeth: teeth.into_iter().collect(), studs, levers: vec![(1, 1)] }
    }

    fn with_levers(mut self, levers: impl IntoIterator<Item = Fraction>) -> Self {
        self.levers = levers.into_iter().collect();
        self
    }

    fn lathe(&self) -> solver::Result<Lathe> {
        let mut gears = GearSet::new();
        for &z in &self.teeth {
            gears.add(Gear::new(Teeth::new(z)?), 1)?;
        }
        let mut parts = Parts::plain(gears, lead((1, 1)));
        parts.studs = self.studs;
        let position = |(i, &(n, d)): (usize, &Fraction)| {
            LeverPosition::new(i.to_string(), Some(Ratio::new(n, d).unwrap()), Turns::Same)
        };
        let positions = self.levers.iter().enumerate().map(position).collect();
        let mut gearbox = Gearbox::default();
        gearbox.levers.push(Lever { name: "Step".into(), positions });
        parts.gearbox = gearbox;
        Lathe::new(parts)
    }

    /// What the search finds.
    fn find(&self, ask: &Ask, tuning: Tuning) -> Found {
        let lathe = self.lathe().unwrap();
        let options = Options::default().with_arbor(None).with_tuning(tuning);
        Search::new(&lathe, Travel::Thread, options).unwrap().find(ask).unwrap()
    }

    /// Every lead with up to `pairs` gear pairs within 1/`parts` of the target, best first.
    fn leads(&self, pairs: usize, target: Fraction, parts: Option<u128>) -> Vec<Fraction> {
        let mut leads = BTreeSet::new();
        for pairs in 1..=pairs {
            let sides = self.sides(pairs);
            for &(cn, cd) in &self.levers {
                for (q, driven) in &sides {
                    // A driver product p gives the lead p cn / (q cd).
                    let (up, down) = (q * cd * target.0, cn * target.1);
                    let from = parts.map_or(0, |w| up * (w - 1) / (down * w));
                    let to = parts.map_or(u128::MAX, |w| up * (w + 1) / (down * w) + 1);
                    let start = sides.partition_point(|side| side.0 < from);
                    for (p, drivers) in sides[start..].iter().take_while(|side| side.0 <= to) {
                        if !drivers.iter().any(|i| driven.contains(i)) {
                            leads.insert(lowest((p * cn, q * cd)));
                        }
                    }
                }
            }
        }
        let within = |lead: &Fraction| {
            let (miss, size) = miss(*lead, target);
            parts.is_none_or(|w| miss * w <= size * target.0)
        };
        let mut leads: Vec<Fraction> = leads.into_iter().filter(within).collect();
        leads.sort_by(|a, b| nearer(*a, *b, target));
        leads
    }

    /// The products of so many gears, with the gears, ascending.
    fn sides(&self, members: usize) -> Vec<(u128, Vec<usize>)> {
        let mut sides = vec![(1, Vec::new())];
        for _ in 0..members {
            let longer = |(product, chosen): &(u128, Vec<usize>)| {
                let (product, chosen) = (*product, chosen.clone());
                let next = chosen.last().map_or(0, |i| i + 1);
                (next..self.teeth.len()).map(move |i| {
                    (product * u128::from(self.teeth[i]), [&chosen[..], &[i]].concat())
                })
            };
            sides = sides.iter().flat_map(longer).collect();
        }
        sides.sort();
        sides
    }
}

fn lead((n, d): Fraction) -> Lead {
    Lead::new(Length::from_mm(Ratio::new(n, d).unwrap()))
}

fn lowest((n, d): Fraction) -> Fraction {
    let (mut a, mut b) = (n, d);
    while b > 0 {
        (a, b) = (b, a % b);
    }
    (n / a, d / a)
}

/// |lead - target| as a fraction, over 1 / the target's lower side.
fn miss(lead: Fraction, target: Fraction) -> Fraction {
    ((lead.0 * target.1).abs_diff(target.0 * lead.1), lead.1)
}

/// By |error|; of equal ones the shorter first.
fn nearer(a: Fraction, b: Fraction, target: Fraction) -> Ordering {
    let (x, y) = (miss(a, target), miss(b, target));
    (x.0 * y.1).cmp(&(y.0 * x.1)).then_with(|| (a.0 * b.1).cmp(&(b.0 * a.1)))
}

fn found_leads(found: &Found) -> Vec<Fraction> {
    found.solutions.iter().map(|s| (s.lead.mm().numer(), s.lead.mm().denom())).collect()
}

/// The answers are the first of `leads`, in order; equal errors may change places.
#[track_caller]
fn assert_first(found: &Found, leads: &[Fraction], target: Fraction) {
    let listed = found_leads(found);
    let size = |lead: &Fraction| miss(*lead, target);
    for pair in listed.windows(2) {
        let (x, y) = (size(&pair[0]), size(&pair[1]));
        assert!(x.0 * y.1 <= y.0 * x.1, "{pair:?} out of order");
    }
    let mut sorted = listed.clone();
    sorted.sort_by(|a, b| nearer(*a, *b, target));
    // Where the list ends inside a tie, either of the two may be on it.
    let whole = listed.len().saturating_sub(2);
    assert_eq!(sorted[..whole], leads[..whole]);
    for (a, b) in sorted[whole..].iter().zip(&leads[whole..]) {
        let (x, y) = (size(a), size(b));
        assert_eq!(x.0 * y.1, y.0 * x.1, "{a:?} for {b:?}");
    }
}

fn ask(target: Fraction, count: usize) -> Ask {
    Ask::new(lead(target)).with_hand(None).with_count(count)
}

fn within(target: Fraction, parts: u128) -> Ask {
    ask(target, MOST).with_within(Some(Ratio::new(1, parts).unwrap()))
}

/// No giving up.
const PATIENT: Tuning = Tuning { first: 0.0, growth: 4.0, budget: u64::MAX, halvings: None };

/// Sizes with few products in common.
const ODD: [u64; 14] = [19, 20, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71];

/// A million pairs of products, of which a window holds 300,000 at most.
#[test]
fn windows_with_too_many_leads_are_narrowed() {
    let (shop, target) = (Shop::new(ODD, 3), (5, 4));
    let leads = shop.leads(4, target, None);
    assert!(leads.len() > 200_000, "{}", leads.len());
    for first in [0.0, 1.0, 1e9] {
        let found = shop.find(&ask(target, 3_000), Tuning { first, ..PATIENT });
        assert_eq!(found.solutions.len(), 3_000);
        assert_first(&found, &leads, target);
        assert!(found.proof.complete);
    }
}

#[test]
fn more_answers_asked_than_there_are_leads() {
    let target = (5, 4);
    for (teeth, studs) in [(9, 3), (10, 2)] {
        let shop = Shop::new(ODD[..teeth].iter().copied(), studs);
        let leads = shop.leads(usize::from(studs) + 1, target, None);
        for first in [0.0, 10.0] {
            let found = shop.find(&ask(target, MOST), Tuning { first, ..PATIENT });
            assert_eq!(found.solutions.len(), leads.len());
            assert_first(&found, &leads, target);
            assert!(found.proof.complete);
        }
    }
}

/// 1,001 products times 2,500 lever positions are more than are merged; 1,500 are not.
#[test]
fn tables_too_large_to_merge() {
    let target = (7, 5);
    for levers in [1_500, 2_500] {
        let shop = Shop::new(ODD, 3).with_levers((0..levers).map(|i| (1_000, 1_000 + i)));
        let parts = 4_000_000;
        let leads = shop.leads(4, target, Some(parts));
        assert!(leads.len() > 20, "{}", leads.len());
        let found = shop.find(&within(target, parts), PATIENT);
        assert_eq!(found.solutions.len(), leads.len());
        assert_first(&found, &leads, target);
        let first = shop.find(&ask(target, 10), Tuning::default());
        assert_first(&first, &leads, target);
        assert_eq!(first.proof.positions, shop.levers.len());
    }
}

/// Lower sides and upper sides of the levers that share no factor, so that few constants go over
/// one scale; and leads from a millionth to a million times the target.
#[test]
fn constants_without_a_common_scale() {
    let target = (13, 10);
    let primes = [
        (1009, 1013),
        (2003, 2011),
        (3001, 3011),
        (4001, 4003),
        (5003, 5009),
        (6007, 6011),
        (7001, 7013),
        (8009, 8011),
        (9001, 9007),
        (10_007, 10_009),
        (11_003, 11_027),
        (12_007, 12_011),
        (1, 1),
        (1, 1_000_003),
        (1_000_003, 1),
        (1 << 40, 1),
        (1, 1 << 40),
        (1 << 40, (1 << 40) - 87),
        ((1 << 40) - 167, 1 << 40),
    ];
    let shop = Shop::new(ODD[..7].iter().copied(), 2).with_levers(primes);
    let leads = shop.leads(3, target, None);
    assert!(leads.len() > 5_000, "{}", leads.len());
    for first in [0.0, 1e-3] {
        let found = shop.find(&ask(target, MOST), Tuning { first, ..PATIENT });
        assert_eq!(found.solutions.len(), leads.len());
        assert_first(&found, &leads, target);
    }
    let first = shop.find(&ask(target, 20), Tuning::default());
    assert_first(&first, &leads, target);
}

/// Forty sizes, three studs: 91,390 products a side, 2.5e12 trains.
#[test]
fn three_studs_and_a_big_box() {
    let shop = Shop::new((0..40).map(|i| 20 + 2 * i), 3);
    for target in [(7, 5), (7_919, 6_007)] {
        let parts = 1_000_000;
        let leads = shop.leads(4, target, Some(parts));
        assert!(leads.len() > 20, "{}", leads.len());
        let found = shop.find(&ask(target, leads.len().min(50)), Tuning::default());
        assert_first(&found, &leads, target);
        assert!(found.proof.complete);
        assert_eq!(found.proof.pairs, 4);
    }
}

/// 6.9 million choices of four gears are too many for a table: three pairs are searched, and said.
#[test]
fn a_box_too_large_for_four_pairs_is_searched_to_three() {
    let shop = Shop::new(16..=130, 3);
    let (target, parts) = ((7_919, 6_007), 20_000_000);
    let leads = shop.leads(3, target, Some(parts));
    assert!(leads.len() >= 10, "{}", leads.len());
    let found = shop.find(&ask(target, 10), Tuning::default());
    assert_first(&found, &leads, target);
    assert_eq!(found.solutions.len(), 10);
    assert_eq!((found.proof.pairs, found.proof.complete), (3, false));
    let lathe = shop.lathe().unwrap();
    let search = Search::new(&lathe, Travel::Thread, Options::default()).unwrap();
    let fewer = ask(target, 10).with_gears(4);
    // Within two pairs nothing was left out, beyond them something was.
    assert!(search.trade_off(&fewer).unwrap().complete);
    assert!(!search.trade_off(&ask(target, 10)).unwrap().complete);
    let file = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}},
        "studs": 3, "gears": {{"owned": {:?}}}}}"#,
        shop.teeth
    );
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), file).unwrap();
    let said = one_line(&run_in(folder.path(), &["find", "1.37 mm"]).out);
    assert!(said.contains("NOT COMPLETE: trains with more gear pairs were left out"), "{said}");
    // So does `reach`: it went through the leads of three pairs and said that it was complete.
    let span = ["--from", "1.37 mm", "--to", "1.3700001 mm", "--no-fit", "-f"];
    let reach = |pairs: &str, form: &str| {
        let args = [&["reach", "--pairs", pairs][..], &span, &[form]].concat();
        run_in(folder.path(), &args).out
    };
    let four: serde_json::Value = serde_json::from_str(&reach("4", "json")).unwrap();
    let three: serde_json::Value = serde_json::from_str(&reach("3", "json")).unwrap();
    assert_eq!(four["leads"], three["leads"]);
    let of = |found: &serde_json::Value, key: &str| found["summary"][key].clone();
    assert_eq!((of(&four, "complete"), of(&three, "complete")), (false.into(), true.into()));
    let left_out = "trains with more gear pairs were left out (searched: up to 3 gear pairs; the lathe takes 4)";
    assert_eq!(of(&four, "left_out"), serde_json::json!([left_out]));
    assert_eq!(of(&three, "left_out"), serde_json::json!([]));
    let page = reach("4", "text").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains(&format!("NOT COMPLETE: {left_out}.")), "{page}");
    assert!(page.contains("All that can be cut with up to 3 gear pairs"), "{page}");
    // With two studs the same leads, and nothing left out.
    let found = Shop { studs: 2, ..shop }.find(&ask(target, 10), Tuning::default());
    assert_first(&found, &leads, target);
    assert_eq!((found.proof.pairs, found.proof.complete), (3, true));
}

/// No sleeve: only the three joined pairs can be pairs on a stud, and nearly all choices of gears
/// are refused. More work than is allowed, and with idlers the whole list is too long: what is
/// listed is the head of the true list, and no proof is claimed of the rest.
#[test]
fn a_search_that_gives_up_lists_what_it_is_sure_of() {
    let joints = [(73, 79), (83, 89), (97, 101)];
    let mut gears = GearSet::new();
    let gear = |z: u128| Gear::new(Teeth::new(z.try_into().unwrap()).unwrap());
    for z in ODD {
        gears.add(gear(z.into()), 1).unwrap();
    }
    for (driven, driver) in joints {
        let joined = Joined::new(gear(driven), gear(driver)).with_turn_round(false);
        gears.join(joined).unwrap();
    }
    let mut parts = Parts::plain(gears, lead((1, 1)));
    (parts.studs, parts.sleeves) = (3, Some(0));
    let lathe = Lathe::new(parts).unwrap();
    let options = Options::default().with_arbor(None);
    let search = Search::new(&lathe, Travel::Thread, options).unwrap();
    let target = (5, 4);
    let found = search.find(&ask(target, MOST)).unwrap();

    // An end takes a loose gear, or one of a joint that stands nowhere else.
    let loose = ODD.map(|z| (u128::from(z), usize::MAX));
    let joined = joints.iter().enumerate().flat_map(|(i, &(a, b))| [(a, i), (b, i)]);
    let ends: Vec<(u128, usize)> = loose.into_iter().chain(joined).collect();
    let mut leads = BTreeSet::new();
    for on_studs in 0..8 {
        let (mut up, mut down) = (1, 1);
        for (_, (driven, driver)) in joints.iter().enumerate().filter(|j| on_studs >> j.0 & 1 == 1)
        {
            (up, down) = (up * driver, down * driven);
        }
        let free = |end: &&(u128, usize)| end.1 == usize::MAX || on_studs >> end.1 & 1 == 0;
        for first in ends.iter().filter(free) {
            let apart =
                |e: &&(u128, usize)| e.0 != first.0 && (e.1 != first.1 || e.1 == usize::MAX);
            for last in ends.iter().filter(free).filter(apart) {
                leads.insert(lowest((up * first.0, down * last.0)));
            }
        }
    }
    let mut leads: Vec<Fraction> = leads.into_iter().collect();
    leads.sort_by(|a, b| nearer(*a, *b, target));
    assert!(!found.proof.complete);
    assert!(found.solutions.len() > 20 && found.solutions.len() < leads.len());
    assert_first(&found, &leads, target);
}

/// Where the search gives up before anything stands, nobody says that nothing does: 20-109 alone is
/// a train.
#[test]
fn a_search_that_gives_up_early_denies_nothing() {
    let joined = r#"[{"gears": [113, 127]}, {"gears": [131, 137]}, {"gears": [139, 149]}]"#;
    let owned: Vec<u64> = (20..70).collect();
    let file = format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}},
        "studs": 3, "sleeves": 0, "gears": {{"owned": {owned:?}, "joined": {joined}}}}}"#
    );
    let folder = fresh();
    std::fs::write(folder.path().join("lathe.json"), file).unwrap();
    let args = ["find", "1.3717 mm", "--within", "0.5ppm", "--no-fit"];
    let found = run_in(folder.path(), &args);
    assert_eq!(found.code, 1);
    for said in ["No: none was found, but not all was searched.", "there may be a train."] {
        assert!(found.out.contains(said), "{}", found.out);
    }
}

/// Sizes without a common factor, two of each, one stud, equal leads: A-A; A-X-A with any other X;
/// A-A+X-X and A-X+X-A. That is n + 3 n (n - 1) trains.
#[test]
fn counts_of_others_are_cut_and_say_so() {
    let primes = [17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97];
    let mut gears = GearSet::new();
    for z in primes {
        gears.add(Gear::new(Teeth::new(z).unwrap()), 2).unwrap();
    }
    let lathe = Lathe::new(Parts::plain(gears, lead((1, 1)))).unwrap();
    let options = Options::default().with_arbor(None);
    let search = Search::new(&lathe, Travel::Thread, options).unwrap();
    let ask = ask((1, 1), 1);
    let best = &search.find(&ask).unwrap().solutions[0];
    let n = primes.len() as u64;
    let all = n + 3 * n * (n - 1);
    for (limit, count, at_least) in
        [(u64::MAX, all - 1, false), (all, all - 1, false), (all - 2, all - 2, true), (7, 7, true)]
    {
        let others = search.others(&ask, best, limit).unwrap();
        assert_eq!((others.count, others.at_least), (count, at_least), "limit {limit}");
    }
    let (listed, more) = search.all(&ask, best, 50).unwrap();
    assert_eq!((listed.len(), more), (50, true));
    assert!(search.all(&ask, best, usize::MAX).unwrap().0.len() as u64 == all);
}

#[test]
fn twenty_thousand_lever_positions_and_one_more() {
    let target = (29, 20);
    // Pairwise different, and no scale holds many of the upper sides. In all 231 products times
    // 20,000: more than are merged.
    let levers = (0..20_000_u128).map(|i| lowest((10_000 + i, 30_011 - i)));
    let shop = Shop::new(ODD[..11].iter().copied(), 2).with_levers(levers);
    let leads = shop.leads(3, target, Some(1_000_000));
    assert!(leads.len() > 20, "{}", leads.len());
    let found = shop.find(&ask(target, 20), Tuning::default());
    assert_eq!(found.proof.positions, 20_000);
    assert_first(&found, &leads, target);

    let one_more = shop.levers.iter().copied().chain([(1, 3)]).collect();
    let refused = Shop { levers: one_more, ..shop }.lathe().unwrap_err().to_string();
    assert!(refused.contains("20001") || refused.contains("20,001"), "{refused}");
}

#[test]
fn two_hundred_and_fifty_sizes_and_one_more() {
    let (shop, target) = (Shop::new(5..=254, 1), (7_919, 6_007));
    let leads = shop.leads(2, target, Some(2_000_000));
    assert!(leads.len() >= 10, "{}", leads.len());
    let found = shop.find(&ask(target, 10), Tuning::default());
    assert_first(&found, &leads, target);
    assert!(found.proof.complete);
    let refused = Shop::new(5..=255, 1).lathe().unwrap_err().to_string();
    assert!(refused.contains("250"), "{refused}");
}

#[test]
fn a_hundred_levers_and_one_more() {
    let of = |count: usize| {
        let lever = |i: usize| format!(r#"{{"name": "L{i}", "positions": {{"A": "1"}}}}"#);
        let levers: Vec<String> = (0..count).map(lever).collect();
        let text = format!(
            r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}},
            "gears": {{"owned": [20, 40]}}, "gearbox": {{"levers": [{}]}}}}"#,
            levers.join(", ")
        );
        trainwright::files::lathe_of_text("lathe.json", &text).map(drop).map_err(|e| e.to_string())
    };
    assert_eq!(of(100), Ok(()));
    let said = "lathe.json:2:65: gearbox.levers: 101 is outside 0 to 100";
    assert_eq!(of(101).unwrap_err(), said);
}
