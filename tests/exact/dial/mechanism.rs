//! Lead screw, nut, dial and work, turned by brute force on random lathes: places are fractions of
//! any size, and nothing but the drawing of the lathe is shared with the library.

use super::lead;
use crate::oracle::draw::Dice;
use crate::runs::{Counts, all_came, enter, runner, strips};
use num_rational::BigRational;
use num_traits::{One, Zero};
use proptest::test_runner::{Config, TestCaseError};
use solver::dial::{Closing, DialReading, HalfNut, Landing, Repeat};
use solver::{Dial, Gear, GearSet, HeadstockPosition, Lathe, Lead, Length, Parts, Ratio, Teeth};
use solver::{Lever, LeverPosition, Train, Travel, Turns};
use std::sync::Mutex;

const CASES: u32 = 1500;
const STRIP: usize = 64;

/// How many cases must hold what.
const QUOTAS: [(&str, usize); 10] = [
    ("p = 1", 100),
    ("p divides T", 200),
    ("p does not divide T", 200),
    ("several classes", 100),
    ("several starts on the work", 200),
    ("a line falls into another start", 60),
    ("several starts on the screw", 200),
    ("a line between teeth", 100),
    ("the same start, whatever the line", 50),
    ("the nut reaches every start", 100),
];

fn whole(number: u32) -> BigRational {
    BigRational::from_integer(number.into())
}

fn fraction(numer: u32, denom: u32) -> BigRational {
    BigRational::new(numer.into(), denom.into())
}

/// What was drawn.
#[derive(Debug, Clone)]
pub(super) struct Drawn {
    pub(super) drivers: Vec<u32>,
    pub(super) driven: Vec<u32>,
    pub(super) k: (u32, u32),
    g: (u32, u32),
    /// Lead of the lead screw in mm.
    screw: (u32, u32),
    screw_starts: u8,
    pub(super) starts: u8,
    dial: (u16, u16),
}

impl Drawn {
    pub(super) fn draw(strip: &[u16]) -> Self {
        let mut dice = Dice::new(strip);
        // Sizes that share factors half the time, else p = 1 would be rare.
        let any = [20, 24, 30, 32, 36, 40, 44, 45, 48, 50, 60, 63, 80, 96, 127];
        let sizes = if dice.once_in(2) { &any[..] } else { &[20, 40, 60, 80, 90][..] };
        let pairs = 1 + dice.below(2);
        let gears = |dice: &mut Dice<'_>| (0..pairs).map(|_| dice.pick(sizes)).collect();
        let (drivers, driven) = (gears(&mut dice), gears(&mut dice));
        let k = dice.pick(&[(1, 1), (1, 1), (1, 2), (2, 1), (2, 3), (3, 4), (8, 1)]);
        let g = dice.pick(&[(1, 1), (1, 1), (1, 2), (8, 9), (120, 127)]);
        let screw =
            dice.pick(&[(127, 40), (127, 40), (3, 1), (6, 1), (127, 20), (4, 1), (127, 30)]);
        let screw_starts = dice.pick(&[1, 1, 1, 2, 3]);
        let starts = dice.pick(&[1, 1, 2, 2, 3, 4, 6]);
        let teeth = dice.pick(&[12, 14, 15, 16, 16, 18, 20, 24, 24, 30, 32, 48]);
        let lines = dice.pick(&[1, 2, 3, 4, 4, 6, 8, 8, 12, 16]).min(teeth);
        Self { drivers, driven, k, g, screw, screw_starts, starts, dial: (teeth, lines) }
    }

    pub(super) fn train(&self) -> Train {
        let pairs: Vec<String> =
            self.drivers.iter().zip(&self.driven).map(|(a, b)| format!("{a}/{b}")).collect();
        pairs.join(" x ").parse().unwrap()
    }

    pub(super) fn lathe(&self) -> Lathe {
        let mut gears = GearSet::new();
        for teeth in self.drivers.iter().chain(&self.driven) {
            gears.add(Gear::new(Teeth::new((*teeth).into()).unwrap()), 1).unwrap();
        }
        let ratio = |(n, d): (u32, u32)| Some(Ratio::new(n.into(), d.into()).unwrap());
        let screw = Lead::new(Length::from_mm(ratio(self.screw).unwrap()));
        let mut parts = Parts::plain(gears, screw);
        parts.lead_screw.starts = self.screw_starts;
        parts.headstock = vec![HeadstockPosition {
            name: String::new(),
            ratio: ratio(self.k),
            turns: Turns::Same,
        }];
        let position = LeverPosition::new("A".into(), ratio(self.g), Turns::Same);
        parts.gearbox.levers = vec![Lever { name: "Range".into(), positions: vec![position] }];
        let (teeth, lines) = self.dial;
        parts.dials = vec![Dial { teeth, lines, labels: Vec::new() }];
        Lathe::new(parts).unwrap()
    }

    /// Turns of the lead screw for one of the spindle, gear by gear.
    fn screw_turns(&self) -> BigRational {
        let mut turns = fraction(self.k.0, self.k.1);
        for (driver, driven) in self.drivers.iter().zip(&self.driven) {
            turns = turns * whole(*driver) / whole(*driven);
        }
        turns * fraction(self.g.0, self.g.1)
    }

    fn mechanism(&self) -> Mechanism {
        let lead = fraction(self.screw.0, self.screw.1);
        Mechanism {
            per_turn: self.screw_turns(),
            screw_pitch: &lead / whole(self.screw_starts.into()),
            screw_lead: lead,
            starts: self.starts,
            spindle: BigRational::zero(),
            carriage: BigRational::zero(),
        }
    }
}

/// Where everything stands, since a pass in which the nut was closed and the dial stood at 0.
#[derive(Debug, Clone)]
pub(super) struct Mechanism {
    per_turn: BigRational,
    screw_lead: BigRational,
    screw_pitch: BigRational,
    starts: u8,
    /// Turns of the spindle.
    spindle: BigRational,
    /// Millimetres in the direction of the cut.
    carriage: BigRational,
}

impl Mechanism {
    fn run_closed(&mut self, turns: &BigRational) {
        self.spindle += turns;
        self.carriage += turns * &self.per_turn * &self.screw_lead;
    }

    fn run_open(&mut self, turns: &BigRational) {
        self.spindle += turns;
    }

    fn slide(&mut self, mm: &BigRational) {
        self.carriage += mm;
    }

    /// Threads of the screw that have passed the carriage: the dial's teeth turn by as many.
    fn dial(&self) -> BigRational {
        let advanced = &self.spindle * &self.per_turn * &self.screw_lead;
        (advanced - &self.carriage) / &self.screw_pitch
    }

    /// The nut's teeth meet the screw's only where they did before, or a pitch further.
    fn nut_meets_screw(&self) -> bool {
        self.dial().is_integer()
    }

    /// Where the tool stands against the groove of the first pass: the work's surface has turned under
    /// it, and its grooves lie a pitch apart.
    fn landing(&self) -> Landing {
        let lead = &self.per_turn * &self.screw_lead;
        let ahead = &self.carriage - &self.spindle * &lead;
        let back = -ahead / &lead;
        let part = &back - back.floor();
        if part.is_zero() {
            return Landing::Own;
        }
        let starts = BigRational::from_integer(self.starts.into());
        let start = part * starts;
        if !start.is_integer() {
            return Landing::Spoils;
        }
        Landing::OtherStart(u8::try_from(start.to_integer()).unwrap())
    }

    /// Opens the nut, lets the spindle run, and slides the carriage until the dial shows so many teeth.
    fn until(&mut self, teeth: &BigRational, turns: &BigRational) {
        self.run_open(turns);
        let slide = (self.dial() - teeth) * &self.screw_pitch;
        self.slide(&slide);
        assert_eq!(self.dial(), *teeth);
    }
}

/// Everything that the library says of a case, tried out.
fn compare(drawn: &Drawn, dice: &mut Dice<'_>) -> Result<Vec<&'static str>, String> {
    let lathe = drawn.lathe();
    let setting = lathe.settings(Travel::Thread).unwrap().list.remove(0);
    let cut = setting.constant.times(&drawn.train().ratio()).unwrap();
    let plan = HalfNut::new(&lathe, &cut, drawn.starts).unwrap();
    let Closing::At(repeat) = plan.closing else { return Err("no repeat".into()) };
    passes(drawn, &repeat)?;
    next_start(drawn, repeat.to_next_start())?;
    let reading = &plan.dials[0];
    lines(drawn, reading, dice)?;
    Ok(marks(drawn, &plan))
}

/// After every number of pitches up to some, and after whole rounds and the starts between them.
fn passes(drawn: &Drawn, repeat: &Repeat) -> Result<(), String> {
    let p = u32::try_from(repeat.pitches()).unwrap();
    let between = (1..=u32::from(drawn.starts)).map(|start| p * start / u32::from(drawn.starts));
    for passed in (1..=60).chain(between).chain([p - 1, p, p + 1, 2 * p, 7 * p]) {
        let mut mechanism = drawn.mechanism();
        mechanism.until(&whole(passed), &fraction(5, 7));
        let landing = mechanism.landing();
        if landing != repeat.landing(passed.into()) {
            return Err(format!("{passed} pitches: {landing:?}, {repeat:?}"));
        }
        if (landing == Landing::Own) != passed.is_multiple_of(p) {
            return Err(format!("{passed} pitches: comes round, but not after {p}"));
        }
    }
    Ok(())
}

/// Carriage moved back with the spindle at rest, pitch by pitch.
fn next_start(drawn: &Drawn, said: Option<u128>) -> Result<(), String> {
    let mut mechanism = drawn.mechanism();
    let back = -mechanism.screw_pitch.clone();
    let found = (1..=200_u128).find(|_| {
        mechanism.slide(&back);
        mechanism.landing() == Landing::OtherStart(1)
    });
    match (found, said) {
        (a, b) if a == b => Ok(()),
        (None, Some(far)) if far > 200 => Ok(()),
        _ => Err(format!("next start after {found:?}, said {said:?}")),
    }
}

/// From every line to every line, over some turns of the dial, the spindle turning anyhow.
fn lines(drawn: &Drawn, reading: &DialReading, dice: &mut Dice<'_>) -> Result<(), String> {
    let (teeth, lines) = drawn.dial;
    let place = |line: u16| whole(teeth.into()) * whole(line.into()) / whole(lines.into());
    let turns =
        |dice: &mut Dice<'_>| BigRational::new(dice.below(400).into(), (1 + dice.below(9)).into());
    for from in 0..lines {
        for to in 0..lines {
            let mut seen = Vec::new();
            for round in 0..4_u32 {
                let mut mechanism = drawn.mechanism();
                mechanism.run_closed(&turns(dice));
                let passed = place(to) - place(from) + whole(teeth.into()) * whole(round);
                mechanism.until(&passed, &turns(dice));
                seen.push(mechanism.nut_meets_screw().then(|| mechanism.landing()));
            }
            agrees(reading, from, to, &seen)?;
        }
    }
    comes_round(drawn, reading)
}

/// What is seen in every round against what the reading says.
fn agrees(
    reading: &DialReading,
    from: u16,
    to: u16,
    seen: &[Option<Landing>],
) -> Result<(), String> {
    let blind = reading.blind().contains(&from) != reading.blind().contains(&to);
    let wrong =
        |what: &str| Err(format!("line {from} to {to}: {what}, seen {seen:?}, {reading:?}"));
    if blind {
        return if seen.iter().all(Option::is_none) { Ok(()) } else { wrong("said to be blind") };
    }
    if reading.blind().contains(&from) {
        // Neither is a place where the nut closed.
        return Ok(());
    }
    let class = |line| {
        reading.classes().iter().position(|class| class.lines().any(|known| known.index == line))
    };
    if !reading.works() {
        let sure = seen.iter().all(|one| *one == Some(Landing::Own));
        return if sure || class(from).is_some() { wrong("said not to serve") } else { Ok(()) };
    }
    if seen.iter().any(|one| *one != reading.landing(from, to)) {
        return wrong("another landing was said");
    }
    let own = seen.iter().all(|one| *one == Some(Landing::Own));
    if own == (class(from) == class(to)) { Ok(()) } else { wrong("another class was said") }
}

/// Turns of the dial until one line serves again.
fn comes_round(drawn: &Drawn, reading: &DialReading) -> Result<(), String> {
    let said = reading.turns_to_same_line().unwrap();
    let own = |round: u32| {
        let mut mechanism = drawn.mechanism();
        mechanism.until(&(whole(drawn.dial.0.into()) * whole(round)), &BigRational::one());
        mechanism.landing() == Landing::Own
    };
    match (1..=60_u32).find(|round| own(*round)) {
        Some(first) if u128::from(first) == said => Ok(()),
        None if said > 60 => Ok(()),
        other => Err(format!("the same line after {other:?} turns, said {said}")),
    }
}

fn marks(drawn: &Drawn, plan: &HalfNut) -> Vec<&'static str> {
    let (repeat, reading) = (plan.repeat().unwrap(), &plan.dials[0]);
    let lines: Vec<u16> =
        reading.classes().iter().flat_map(|class| class.lines().map(|line| line.index)).collect();
    let falls = |to: &u16| matches!(reading.landing(0, *to), Some(Landing::OtherStart(_)));
    let p = repeat.pitches();
    let held = [
        ("p = 1", p == 1),
        ("p divides T", p > 1 && reading.works()),
        ("p does not divide T", !reading.works()),
        ("several classes", reading.classes().len() > 1),
        ("several starts on the work", drawn.starts > 1),
        ("a line falls into another start", lines.iter().any(falls)),
        ("several starts on the screw", drawn.screw_starts > 1),
        ("a line between teeth", !reading.blind().is_empty()),
        (
            "the same start, whatever the line",
            p > 1 && lines.len() > 1 && reading.classes().len() == 1,
        ),
        ("the nut reaches every start", repeat.to_next_start().is_some()),
    ];
    held.into_iter().filter_map(|(mark, holds)| holds.then_some(mark)).collect()
}

/// Runs cases that are always the same, and counts what they held.
pub(super) fn run(
    cases: u32,
    quotas: &[(&'static str, usize)],
    mut compare: impl FnMut(&Drawn, &mut Dice<'_>) -> Result<Vec<&'static str>, String>,
) {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let counts = Mutex::new(Counts::new());
    let compare = std::cell::RefCell::new(&mut compare);
    let result = runner(41, config).run(&strips(2 * STRIP), |strip| {
        let drawn = Drawn::draw(&strip[..STRIP]);
        let mut dice = Dice::new(&strip[STRIP..]);
        let marks = (compare.borrow_mut())(&drawn, &mut dice)
            .map_err(|why| TestCaseError::fail(format!("{why}\n{drawn:?}")))?;
        enter(&counts, marks);
        Ok(())
    });
    if let Err(error) = result {
        panic!("{error}");
    }
    let counts = counts.into_inner().expect("nobody panicked");
    all_came(&counts, quotas);
}

#[test]
fn the_nut_closes_where_the_mechanism_lets_it() {
    run(CASES, &QUOTAS, compare);
}

/// The mechanism by hand: 8 TPI cut on 4 TPI stays in step, 6 TPI after two pitches only.
#[test]
fn the_mechanism_knows_what_hands_know() {
    let drawn = |driver, driven| Drawn {
        drivers: vec![driver],
        driven: vec![driven],
        k: (1, 1),
        g: (1, 1),
        screw: (127, 20),
        screw_starts: 1,
        starts: 1,
        dial: (16, 4),
    };
    let after = |drawn: Drawn, passed: u32| {
        let mut mechanism = drawn.mechanism();
        mechanism.run_closed(&fraction(40, 3));
        mechanism.until(&whole(passed), &whole(2));
        mechanism.landing()
    };
    assert_eq!(after(drawn(20, 40), 1), Landing::Own);
    assert_eq!((after(drawn(40, 60), 1), after(drawn(40, 60), 2)), (Landing::Spoils, Landing::Own));
    assert_eq!(lead("4 tpi").mm().to_big(), fraction(127, 20));
}
