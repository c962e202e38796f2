//! One slip at a time, planted in good charts of random lathes: is its cause the likeliest?

use super::random::{Dice, random_parts};
use super::{lathe, ratio};
use solver::chart::{AllowedErrors, Cause, ChartRow, CheckedRow, Gears, Printed, Unit, check};
use solver::{
    Gear, Lathe, Lead, Lever, LeverPosition, Parts, Ratio, Shaft, Teeth, Train, Travel, Turns,
};

/// What people do wrong when they make or copy a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slip {
    /// The two gears of one mesh of a compound train, each in the other's place.
    SwappedInMesh,
    /// The two gears of a simple train, likewise.
    SwappedSimple,
    /// The two gears of a keyed pair, likewise.
    SwappedOnStud,
    /// The driving gear and the last.
    SwappedEnds,
    /// One gear of a keyed pair left out: the other reads as an idler.
    PairAsIdler,
    /// A gear beside an idler: both read as a keyed pair.
    IdlerAsPair,
    /// One digit of a tooth count.
    GearDigit,
    /// Two digits of a tooth count, exchanged.
    GearExchanged,
    /// One digit of the printed figure.
    FigureDigit,
    /// The gear of the row above in the same place.
    FromNeighbour,
    /// One lever in another position.
    LeverMoved,
    /// mm for threads per inch, and the reverse.
    OtherUnit,
}

/// A slip that was made, and what was right.
struct Made {
    rows: Vec<ChartRow>,
    at: usize,
    right: ChartRow,
}

/// A figure as a plate prints it: quarters of a thread per inch, hundredths of a mm.
fn plain(lead: &Lead) -> Option<(String, Unit)> {
    let text = |value: &Ratio, least: u128, most: u64| {
        let plain = least.is_multiple_of(value.denom()) && *value <= Ratio::whole(most).unwrap();
        plain.then(|| format!("{}", value.to_f64()))
    };
    let tpi = lead.tpi().unwrap();
    let tpi = text(&tpi, 4, 80).map(|text| (text, Unit::Tpi));
    tpi.or_else(|| text(&lead.mm(), 100, 12).map(|text| (text, Unit::Mm)))
}

fn all(train: &Train) -> Vec<Teeth> {
    train.gears().map(|gear| gear.teeth).collect()
}

/// The same shafts with other gears, in their order.
fn with(train: &Train, gears: &[Teeth]) -> Train {
    let mut next = gears.iter().map(|teeth| Gear::new(*teeth));
    let shafts = train.shafts().iter().map(|shaft| match shaft {
        Shaft::One(_) => Shaft::One(next.next().unwrap()),
        Shaft::Pair { .. } => {
            Shaft::Pair { driven: next.next().unwrap(), driver: next.next().unwrap() }
        }
    });
    Train::new(shafts.collect()).unwrap()
}

/// A simple train, one with an idler, or a compound one, of the gears in the box.
fn random_train(dice: &mut Dice, parts: &Parts) -> Train {
    let loose = parts.gears.loose().iter();
    let mut left: Vec<Gear> = loose.flat_map(|(g, n)| (0..*n).map(|_| *g)).collect();
    let mut take = |dice: &mut Dice| left.swap_remove(dice.index(left.len()));
    let first = Shaft::One(take(dice));
    let stud = match dice.below(4) {
        0 => None,
        1 => Some(Shaft::One(take(dice))),
        _ => Some(Shaft::Pair { driven: take(dice), driver: take(dice) }),
    };
    Train::new([Some(first), stud, Some(Shaft::One(take(dice)))].into_iter().flatten().collect())
        .unwrap()
}

fn with_levers(dice: &mut Dice, parts: &mut Parts) {
    let lever = |name: &str, ratios: &[&str]| Lever {
        name: name.into(),
        positions: ratios
            .iter()
            .enumerate()
            .map(|(i, r)| LeverPosition::new((i + 1).to_string(), Some(ratio(r)), Turns::Same))
            .collect(),
    };
    let cones = [
        ["1", "8/9", "4/5", "8/11", "2/3", "4/7"].as_slice(),
        &["1", "16/19", "16/23", "16/27"],
        &["1", "10/11", "10/13"],
    ];
    let cone = cones[dice.index(cones.len())];
    parts.gearbox.levers = vec![lever("Cone", cone), lever("Range", &["1", "1/2", "1/4", "1/8"])];
}

/// A compound train where two gears of the box do the same: no maker prints that.
fn is_needless(train: &Train, parts: &Parts) -> bool {
    let owned: Vec<u64> =
        parts.gears.loose().iter().map(|(gear, _)| gear.teeth.get().into()).collect();
    let wanted = train.ratio();
    let does = |a: u64, b: u64| a != b && Ratio::new(a.into(), b.into()).unwrap() == wanted;
    let compound = all(train).len() == 4;
    compound && owned.iter().any(|a| owned.iter().any(|b| does(*a, *b)))
}

/// Ten rows that a maker could print, each exact.
fn good_chart(dice: &mut Dice, known: &Lathe) -> Option<Vec<ChartRow>> {
    let settings = known.settings(Travel::Thread).unwrap().list;
    let mut rows: Vec<ChartRow> = Vec::new();
    for _ in 0..4000 {
        let train = random_train(dice, known.parts());
        let setting = &settings[dice.index(settings.len())];
        let lead = setting.constant.times(&train.ratio()).unwrap();
        let Some((text, unit)) = plain(&lead) else { continue };
        if is_needless(&train, known.parts()) {
            continue;
        }
        let printed = Printed::new(&text, unit, Travel::Thread).unwrap();
        if rows.iter().any(|row| row.printed == printed) {
            continue;
        }
        let mut row = ChartRow::new(printed).with_gears(Gears::new(train));
        for (lever, position) in known.lever_names(setting) {
            row = row.with_lever(lever, position);
        }
        rows.push(row);
        if rows.len() == 10 {
            return Some(rows);
        }
    }
    None
}

/// Another digit in one place of a number.
fn other_digit(dice: &mut Dice, text: &str) -> String {
    let mut digits: Vec<char> = text.chars().collect();
    let places: Vec<usize> = (0..digits.len()).filter(|&i| digits[i].is_ascii_digit()).collect();
    let at = places[dice.index(places.len())];
    digits[at] = char::from(b'0' + u8::try_from(dice.below(10)).unwrap());
    digits.into_iter().collect()
}

impl Slip {
    /// Makes it in one row; `None`: the row has no room for it.
    fn make(self, dice: &mut Dice, known: &Lathe, rows: &mut [ChartRow], at: usize) -> Option<()> {
        let train = rows[at].gears.clone()?.train;
        let mut gears = all(&train);
        let (simple, compound) = (train.shafts().len() == 2, gears.len() == 4);
        let idler = train.shafts().len() == 3 && gears.len() == 3;
        let mut swap = |a: usize, b: usize| {
            gears.swap(a, b);
            Some(with(&train, &gears))
        };
        let wrong = match self {
            Self::SwappedInMesh if compound => {
                let mesh = 2 * dice.index(2);
                swap(mesh, mesh + 1)
            }
            Self::SwappedSimple if simple => swap(0, 1),
            Self::SwappedOnStud if compound => swap(1, 2),
            Self::SwappedEnds if compound || idler => swap(0, all(&train).len() - 1),
            Self::PairAsIdler if compound => {
                let (a, d, b) = (gears[0], gears[3], gears[1 + dice.index(2)]);
                Some(format!("{a}-{b}-{d}").parse().unwrap())
            }
            Self::IdlerAsPair if idler => {
                let others = known.parts().gears.loose();
                let other = others[dice.index(others.len())].0.teeth;
                let [first, idler, last] = gears[..] else { return None };
                Some(if dice.below(2) == 0 {
                    format!("{first}-{idler}+{other}-{last}").parse().unwrap()
                } else {
                    format!("{first}-{other}+{idler}-{last}").parse().unwrap()
                })
            }
            Self::GearDigit | Self::GearExchanged => {
                let which = dice.index(gears.len());
                let text = gears[which].to_string();
                let changed = if self == Self::GearDigit {
                    other_digit(dice, &text)
                } else {
                    let mut digits: Vec<char> = text.chars().collect();
                    let place = dice.index(digits.len() - 1);
                    digits.swap(place, place + 1);
                    digits.into_iter().collect()
                };
                gears[which] = Teeth::new(changed.parse().ok()?).ok()?;
                Some(with(&train, &gears))
            }
            Self::FromNeighbour => {
                let above = all(&rows[at.checked_sub(1)?].gears.as_ref()?.train);
                let which = dice.index(gears.len());
                gears[which] = *above.get(which)?;
                Some(with(&train, &gears))
            }
            Self::FigureDigit => {
                let printed = rows[at].printed.clone();
                let text = other_digit(dice, printed.text());
                rows[at].printed = Printed::new(&text, printed.unit(), Travel::Thread).ok()?;
                return Some(());
            }
            Self::OtherUnit => {
                let printed = rows[at].printed.clone();
                let unit = if printed.unit() == Unit::Mm { Unit::Tpi } else { Unit::Mm };
                rows[at].printed = Printed::new(printed.text(), unit, Travel::Thread).ok()?;
                return Some(());
            }
            Self::LeverMoved => {
                let which = dice.index(rows[at].levers.len());
                let lever = &known.parts().gearbox.levers[which];
                let position = dice.index(lever.positions.len());
                rows[at].levers[which].1.clone_from(&lever.positions[position].name);
                return Some(());
            }
            _ => None,
        };
        rows[at].gears = Some(Gears::new(wrong?));
        Some(())
    }

    /// Whether it is what an explanation says.
    fn is_named(self, known: &Lathe, right: &ChartRow, cause: &Cause) -> bool {
        match (self, cause) {
            (Self::FigureDigit, Cause::Value { right: said, .. }) => {
                said.parse::<Ratio>().is_ok_and(|value| value == right.printed.value())
            }
            (Self::OtherUnit, Cause::Unit(unit)) => *unit == right.printed.unit(),
            (Self::LeverMoved, Cause::Levers(setting)) => {
                let names = known.lever_names(setting).map(|(l, p)| (l.into(), p.into()));
                names.collect::<Vec<(String, String)>>() == right.levers
            }
            (_, cause) => cause.train() == right.gears.as_ref().map(|gears| &gears.train),
        }
    }
}

/// A lathe and its chart with the slip in it.
fn planted(slip: Slip, seed: u64) -> Option<(Lathe, Made)> {
    let mut dice = Dice::new(50_000 + seed);
    let mut parts = random_parts(&mut dice);
    parts.feeds.long = None;
    if slip == Slip::LeverMoved {
        with_levers(&mut dice, &mut parts);
    }
    let known = lathe(parts);
    let mut rows = good_chart(&mut dice, &known)?;
    for _ in 0..50 {
        let at = dice.index(rows.len());
        let right = rows[at].clone();
        let made = slip.make(&mut dice, &known, &mut rows, at);
        let passes =
            check(&known, &rows, &AllowedErrors::default()).unwrap().rows[at].verdict.holds();
        if made.is_some() && !passes {
            return Some((known, Made { rows, at, right }));
        }
        rows[at] = right;
    }
    None
}

/// Of so many cases: named first, alone or as likely as others; those others.
#[derive(Debug, Default)]
struct Counts {
    cases: usize,
    first: usize,
    alone: usize,
}

fn count(slip: Slip) -> Counts {
    let mut counts = Counts::default();
    for (known, made) in (0..).filter_map(|seed| planted(slip, seed)).take(140) {
        let checked = check(&known, &made.rows, &AllowedErrors::default()).unwrap();
        let row = &checked.rows[made.at];
        let likeliest = row.likeliest();
        let named = likeliest.iter().any(|e| slip.is_named(&known, &made.right, &e.cause));
        counts.cases += 1;
        counts.first += usize::from(named);
        counts.alone += usize::from(named && likeliest.len() == 1);
        owned_come_first(row);
    }
    counts
}

/// No gear that nobody owns comes before one that is owned.
fn owned_come_first(row: &CheckedRow) {
    let gears = row.explanations.iter().filter(|e| e.cause.train().is_some());
    let owned: Vec<bool> = gears.map(|e| e.owned).collect();
    assert!(owned.is_sorted_by_key(|owned| !owned), "{:#?}", row.explanations);
}

/// Least that have to be named first of 140, and what was before slips were weighed by what people do:
/// a swap inside a mesh was never offered, an idler for a pair and the reverse came first in 25 and 13
/// (with needless trains among them).
#[test]
fn the_slip_that_was_made_is_the_likeliest() {
    for (slip, least, _before) in [
        (Slip::SwappedInMesh, 138, 0),
        (Slip::SwappedSimple, 138, 134),
        (Slip::SwappedOnStud, 138, 135),
        (Slip::SwappedEnds, 138, 135),
        (Slip::PairAsIdler, 134, 25),
        (Slip::IdlerAsPair, 134, 13),
        (Slip::GearDigit, 134, 137),
        (Slip::GearExchanged, 134, 137),
        (Slip::FigureDigit, 134, 136),
        (Slip::FromNeighbour, 128, 130),
        (Slip::LeverMoved, 130, 119),
        (Slip::OtherUnit, 138, 138),
    ] {
        let counts = count(slip);
        assert_eq!(counts.cases, 140);
        assert!(counts.first >= least, "{slip:?}: {counts:?}");
    }
}

/// A gear written beside an idler: which of the two is the idler nobody can tell, as both cut the same.
#[test]
fn causes_that_cut_the_same_are_both_named() {
    for (known, made) in (0..).filter_map(|seed| planted(Slip::IdlerAsPair, seed)).take(40) {
        let checked = check(&known, &made.rows, &AllowedErrors::default()).unwrap();
        let row = &checked.rows[made.at];
        let idlers: Vec<&Train> = row
            .likeliest()
            .iter()
            .filter_map(|e| match &e.cause {
                Cause::IdlerForPair { train } => Some(train),
                _ => None,
            })
            .collect();
        let train = made.rows[made.at].gears.as_ref().unwrap().train.clone();
        // But where the added gear is as large as the idler, or a swap is likelier still.
        let [_, b, c, _] = all(&train)[..] else { panic!("{train}") };
        assert!(matches!(idlers.len(), 0 | 2) || b == c, "{train}: {idlers:?}");
    }
}
