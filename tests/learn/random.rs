//! Charts printed from random lathes: is the lathe learned back, also when rows are wrong?

use super::{box_of, lathe, ratio};
use solver::chart::{AllowedErrors, Cause, ChartRow, Constant, Gears, Printed, Unit, check, learn};
use solver::{
    Gear, Lathe, Lead, Length, Lever, LeverPosition, Parts, Ratio, Shaft, Train, Travel, Turns,
};

/// Numbers by a fixed seed (xorshift; G. Marsaglia, Xorshift RNGs, 2003, from memory).
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64) -> Self {
        let mut dice = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        (0..8).for_each(|_| _ = dice.next());
        dice
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// 0 to `below` - 1.
    pub(super) fn below(&mut self, below: u64) -> u64 {
        self.next() % below
    }

    /// A place in a list of so many.
    pub(super) fn index(&mut self, of: usize) -> usize {
        usize::try_from(self.below(of as u64)).unwrap()
    }

    fn one_in(&mut self, of: u64) -> bool {
        self.below(of) == 0
    }

    fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.index(list.len())]
    }
}

const SIZES: [u64; 22] =
    [20, 21, 24, 25, 28, 30, 32, 35, 36, 38, 40, 44, 45, 50, 55, 60, 63, 65, 70, 75, 80, 127];

/// A screw of 2 to 12 TPI or 1 to 12 mm by halves, K of terms up to 4, 10 to 14 gears.
pub(super) fn random_parts(dice: &mut Dice) -> Parts {
    let screw = if dice.one_in(2) {
        Lead::from_tpi(Ratio::new((4 + dice.below(21)).into(), 2).unwrap()).unwrap()
    } else {
        let halves = Ratio::new((2 + dice.below(23)).into(), 2).unwrap();
        Lead::new(Length::from_mm(halves))
    };
    let count = 10 + dice.below(5);
    let sizes: Vec<u64> = (0..count).map(|_| *dice.pick(&SIZES)).collect();
    let mut parts = Parts::plain(box_of(&sizes), screw);
    let (up, down) = (1 + dice.below(4), 1 + dice.below(4));
    parts.headstock[0].ratio = Some(Ratio::new(up.into(), down.into()).unwrap());
    if dice.one_in(2) {
        // A feed of its own: 0.05 to 2 mm, or 0.005 to 0.1 in, for one turn of the shaft.
        let feed = if dice.one_in(2) {
            Length::from_mm(Ratio::new((1 + dice.below(40)).into(), 20).unwrap())
        } else {
            Length::from_inch(Ratio::new((1 + dice.below(20)).into(), 200).unwrap()).unwrap()
        };
        parts.feeds.long = Some(Lead::new(feed));
    }
    parts
}

/// A train of two or four gears of the box.
fn random_train(dice: &mut Dice, parts: &Parts) -> Train {
    let loose = parts.gears.loose().iter();
    let mut all: Vec<Gear> = loose.flat_map(|(g, n)| (0..*n).map(|_| *g)).collect();
    let mut take =
        |dice: &mut Dice| all.swap_remove(usize::try_from(dice.below(all.len() as u64)).unwrap());
    let first = take(dice);
    let mut shafts = vec![Shaft::One(first)];
    if dice.one_in(2) {
        shafts.push(Shaft::Pair { driven: take(dice), driver: take(dice) });
    }
    shafts.push(Shaft::One(take(dice)));
    Train::new(shafts).unwrap()
}

/// A figure with so many significant digits.
fn rounded(value: &Ratio, digits: usize) -> String {
    // Each zero behind the point, and in front of it, is a place more.
    let mut places = digits - 1;
    let mut size = value.to_f64();
    while size < 1.0 {
        (size, places) = (size * 10.0, places + 1);
    }
    while size >= 10.0 && places > 0 {
        (size, places) = (size / 10.0, places - 1);
    }
    format!("{:.places$}", value.to_f64())
}

/// What a plate prints for a lead: the unit in which it is shorter, all of it.
fn thread_text(lead: &Lead) -> (String, Unit) {
    let (mm, tpi) = (lead.mm().to_string(), lead.tpi().unwrap().to_string());
    if tpi.len() <= mm.len() { (tpi, Unit::Tpi) } else { (mm, Unit::Mm) }
}

fn printed_row(dice: &mut Dice, known: &Lathe, feed: bool, digits: usize) -> ChartRow {
    let travel = if feed { Travel::LongFeed } else { Travel::Thread };
    // Makers print what can be read; where the box allows none of that, whatever it cuts.
    for attempt in 0.. {
        let train = random_train(dice, known.parts());
        let constant = known.settings(travel).unwrap().list[0].constant;
        let lead = constant.times(&train.ratio()).unwrap();
        let (text, unit) = if feed {
            let inch = dice.one_in(3);
            let value = if inch { lead.mm().over(&Ratio::INCH).unwrap() } else { lead.mm() };
            (rounded(&value, digits), if inch { Unit::Inch } else { Unit::Mm })
        } else {
            thread_text(&lead)
        };
        if attempt < 200 && text.len() > 6 {
            continue;
        }
        if let Ok(printed) = Printed::new(&text, unit, travel) {
            return ChartRow::new(printed).with_gears(Gears::new(train));
        }
    }
    unreachable!("the last attempts take anything")
}

/// What a chart holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Threads,
    Feeds,
    Both,
}

/// A chart; feeds are printed to so many digits.
fn random_chart(
    dice: &mut Dice,
    known: &Lathe,
    holds: Holds,
    digits: usize,
    rows: u64,
) -> Vec<ChartRow> {
    let feed = |i| holds == Holds::Feeds || (holds == Holds::Both && i % 3 == 2);
    (0..rows).map(|i| printed_row(dice, known, feed(i), digits)).collect()
}

/// The lathe with screw, headstock or both unknown, and no feeds.
fn blanked(dice: &mut Dice, known: &Lathe) -> Parts {
    let mut parts = known.parts().clone();
    let which = dice.below(3);
    if which != 0 {
        parts.lead_screw.lead = None;
    }
    if which != 1 {
        parts.headstock[0].ratio = None;
    }
    parts.feeds.long = None;
    parts
}

/// The true constant of a kind of travel.
fn truth(known: &Lathe, travel: Travel) -> Ratio {
    known.settings(travel).unwrap().list[0].constant.mm()
}

/// How a constant came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Came {
    Decided,
    AmongRivals,
    Absent,
    Wrong,
}

fn came(known: &Lathe, constant: &Constant) -> Came {
    let (wanted, ranking) = (truth(known, constant.travel), &constant.ranking);
    assert!(ranking.rivals.len() <= 5);
    let mut all = std::iter::once(&ranking.best).chain(&ranking.rivals);
    match (ranking.decided, ranking.best.value == wanted) {
        (true, true) => Came::Decided,
        (true, false) => Came::Wrong,
        (false, _) if all.any(|c| c.value == wanted) => Came::AmongRivals,
        (false, _) => Came::Absent,
    }
}

/// Threads and feeds by half nut: everything hangs on screw and headstock.
#[test]
fn a_clean_chart_gives_its_lathe_back() {
    let (mut decided, mut cases) = (0, 0);
    for seed in 0..1500 {
        let mut dice = Dice::new(seed);
        let mut parts = random_parts(&mut dice);
        parts.feeds.long = None;
        let known = lathe(parts);
        let count = 8 + dice.below(13);
        let holds = [Holds::Threads, Holds::Both, Holds::Both, Holds::Feeds]
            [usize::try_from(seed % 4).unwrap()];
        let digits = 2 + usize::try_from(dice.below(3)).unwrap();
        let rows = random_chart(&mut dice, &known, holds, digits, count);
        let unknown = lathe(blanked(&mut dice, &known));
        let learned = learn(&unknown, &rows, &[], &AllowedErrors::default()).unwrap();
        assert!(!learned.constants.is_empty());
        for constant in &learned.constants {
            let came = came(&known, constant);
            assert!(
                matches!(came, Came::Decided | Came::AmongRivals),
                "seed {seed}, {count} {holds:?}, {digits} digits: {came:?} {constant:#?}"
            );
        }
        if learned.decided && holds != Holds::Feeds {
            let again = lathe(learned.parts);
            for travel in [Travel::Thread, Travel::LongFeed] {
                assert_eq!(truth(&again, travel), truth(&known, travel), "seed {seed}");
            }
        }
        decided += u32::from(learned.decided);
        cases += 1;
    }
    assert!(decided * 10 >= cases * 9, "{decided} of {cases} decided");
}

/// A feed shaft of any figure is found from rounded feeds alone: mostly, and hardly ever wrongly.
#[test]
fn a_feed_figure_of_its_own() {
    let mut counts = [0_u32; 4];
    for seed in 0..600 {
        let mut dice = Dice::new(10_000 + seed);
        let parts = random_parts(&mut dice);
        if parts.feeds.long.is_none() {
            continue;
        }
        let known = lathe(parts);
        let digits = 3 + usize::try_from(dice.below(2)).unwrap();
        let rows = random_chart(&mut dice, &known, Holds::Both, digits, 24);
        let unknown = lathe(blanked(&mut dice, &known));
        let learned = learn(&unknown, &rows, &[], &AllowedErrors::default()).unwrap();
        let feed = learned.constants.iter().find(|c| c.travel == Travel::LongFeed).unwrap();
        counts[came(&known, feed) as usize] += 1;
    }
    let [decided, rivals, absent, wrong] = counts;
    let all = decided + rivals + absent + wrong;
    assert!(all > 200 && decided * 2 > all, "{counts:?}");
    // 0.00525 in is 0.13335 mm, and 2/15 mm lies next to it: rounded feeds can't always tell.
    assert!(wrong * 50 <= all && absent * 100 <= all, "{counts:?}");
}

/// What was done to a row.
#[derive(Debug, Clone)]
#[expect(clippy::large_enum_variant, reason = "a few of them in a test")]
enum Planted {
    /// This train was right.
    Train(Train),
    /// This figure was right.
    Value(Ratio),
}

/// One slip: a gear for another of the box, or one digit of the printed figure.
fn plant(dice: &mut Dice, parts: &Parts, row: &mut ChartRow) -> Planted {
    loop {
        if dice.one_in(2) {
            let gears = row.gears.as_mut().unwrap();
            let right = gears.train.clone();
            let size = dice.pick(parts.gears.loose()).0.teeth;
            let at = usize::try_from(dice.below(right.gears().count() as u64)).unwrap();
            let mut all: Vec<u64> = right.gears().map(|g| u64::from(g.teeth.get())).collect();
            all[at] = u64::from(size.get());
            let text = match all[..] {
                [a, b] => format!("{a}-{b}"),
                [a, b, c, d] => format!("{a}-{b}+{c}-{d}"),
                _ => panic!("{right}"),
            };
            gears.train = text.parse().unwrap();
            if gears.train != right {
                return Planted::Train(right);
            }
        } else {
            let right = row.printed.clone();
            let mut digits: Vec<char> = right.text().chars().collect();
            let places: Vec<usize> =
                (0..digits.len()).filter(|&i| digits[i].is_ascii_digit()).collect();
            digits[*dice.pick(&places)] = char::from(b'0' + u8::try_from(dice.below(10)).unwrap());
            let text: String = digits.into_iter().collect();
            if let Ok(printed) = Printed::new(&text, right.unit(), right.travel())
                && printed.value() != right.value()
            {
                row.printed = printed;
                return Planted::Value(right.value());
            }
        }
    }
}

fn is_named(planted: &Planted, cause: &Cause) -> bool {
    match (planted, cause) {
        (Planted::Train(right), cause) => cause.train() == Some(right),
        (Planted::Value(right), Cause::Value { right: said, .. }) => {
            said.parse::<Ratio>().is_ok_and(|v| v == *right)
        }
        _ => false,
    }
}

/// Whether a row still holds on the true lathe although something was changed.
fn passes(known: &Lathe, row: &ChartRow) -> bool {
    check(known, std::slice::from_ref(row), &AllowedErrors::default()).unwrap().rows[0]
        .verdict
        .holds()
}

#[test]
fn one_wrong_row_is_named_with_its_correction() {
    let (mut cases, mut first, mut trains) = (0, 0, 0);
    for seed in 0..800 {
        let mut dice = Dice::new(20_000 + seed);
        let mut parts = random_parts(&mut dice);
        parts.feeds.long = None;
        let known = lathe(parts);
        let count = 8 + dice.below(9);
        let mut rows = random_chart(&mut dice, &known, Holds::Threads, 4, count);
        let at = usize::try_from(dice.below(count)).unwrap();
        let planted = plant(&mut dice, known.parts(), &mut rows[at]);
        if passes(&known, &rows[at]) {
            continue;
        }
        let unknown = lathe(blanked(&mut dice, &known));
        let learned = learn(&unknown, &rows, &[], &AllowedErrors::default()).unwrap();
        let constant = &learned.constants[0].ranking;
        assert_eq!(constant.best.value, truth(&known, Travel::Thread), "seed {seed}");
        let wrong: Vec<usize> =
            (0..rows.len()).filter(|&i| !learned.check.rows[i].verdict.holds()).collect();
        assert_eq!(wrong, [at], "seed {seed}");
        let said = &learned.check.rows[at].explanations;
        let place = said.iter().position(|e| is_named(&planted, &e.cause));
        assert!(
            place.is_some_and(|p| p < 3),
            "seed {seed}: {planted:?} in {:?}: {said:#?}",
            rows[at]
        );
        first += u32::from(place == Some(0));
        trains += u32::from(matches!(planted, Planted::Train(_)));
        cases += 1;
    }
    assert!(cases >= 500 && first * 2 > cases, "{first} of {cases} named first");
    assert!(trains * 4 > cases && trains * 4 < cases * 3, "both kinds: {trains} of {cases}");
}

#[test]
fn one_wrong_row_in_ten_does_no_harm() {
    for seed in 0..400 {
        let mut dice = Dice::new(30_000 + seed);
        let mut parts = random_parts(&mut dice);
        parts.feeds.long = None;
        let known = lathe(parts);
        let count = 10 * (1 + dice.below(4));
        let mut rows = random_chart(&mut dice, &known, Holds::Threads, 4, count);
        for tenth in rows.chunks_mut(10) {
            let at = usize::try_from(dice.below(10)).unwrap();
            plant(&mut dice, known.parts(), &mut tenth[at]);
        }
        let unknown = lathe(blanked(&mut dice, &known));
        let learned = learn(&unknown, &rows, &[], &AllowedErrors::default()).unwrap();
        assert!(learned.decided, "seed {seed}");
        let again = lathe(learned.parts);
        assert_eq!(truth(&again, Travel::Thread), truth(&known, Travel::Thread), "seed {seed}");
    }
}

/// Screw and headstock counted, a box of two levers unknown: learned from the table of its plate, also
/// with a wrong cell in ten.
#[test]
fn a_box_of_two_levers_is_learned_from_its_table() {
    for seed in 0..200 {
        let mut dice = Dice::new(40_000 + seed);
        let mut parts = random_parts(&mut dice);
        parts.feeds.long = None;
        let lever = |name: &str, ratios: Vec<Ratio>| Lever {
            name: name.into(),
            positions: ratios
                .into_iter()
                .enumerate()
                .map(|(i, r)| LeverPosition::new((i + 1).to_string(), Some(r), Turns::Same))
                .collect(),
        };
        let base = 12 + dice.below(8);
        let cone: Vec<Ratio> = (0..5 + dice.below(4))
            .map(|i| {
                if i == 0 {
                    Ratio::ONE
                } else {
                    Ratio::new(base.into(), (base + 1 + 2 * i).into()).unwrap()
                }
            })
            .collect();
        let range = ["4", "2", "1", "1/2"].map(ratio).to_vec();
        parts.gearbox.levers = vec![lever("Cone", cone), lever("Range", range)];
        let known = lathe(parts);
        let mut rows = Vec::new();
        for setting in known.settings(Travel::Thread).unwrap().list {
            let (text, unit) = thread_text(&setting.constant);
            let mut row = ChartRow::new(Printed::new(&text, unit, Travel::Thread).unwrap());
            for (lever, position) in known.lever_names(&setting) {
                row = row.with_lever(lever, position);
            }
            rows.push(row);
        }
        let spoilt = if dice.one_in(2) { rows.len() as u64 / 10 } else { 0 };
        // Of the four cells of a stop at most one.
        for stop in 0..spoilt {
            let at = usize::try_from(stop * 4 + dice.below(4)).unwrap();
            let (unit, text) = (rows[at].printed.unit(), (1 + dice.below(60)).to_string());
            rows[at].printed = Printed::new(&text, unit, Travel::Thread).unwrap();
        }
        let mut unknown = known.parts().clone();
        for position in unknown.gearbox.levers.iter_mut().flat_map(|l| &mut l.positions) {
            position.ratio = None;
        }
        let learned = learn(&lathe(unknown), &rows, &[], &AllowedErrors::default()).unwrap();
        assert!(learned.decided, "seed {seed}: {:#?}", learned.positions);
        assert_eq!(learned.parts, *known.parts(), "seed {seed}");
    }
}
