//! How is the next start of a thread of several starts reached?
//!
//! There are several ways, the easiest first; a job uses one of them:
//!
//! - Close the half nut on other lines of the thread dial, where they lead into the other starts.
//! - Open the half nut with the spindle at rest. Close it one pitch of the work and some leads further back,
//!   where that is a whole number of screw pitches (F. D. Jones, Turning and Boring, 1919, ch. IV, Setting Tool
//!   When Cutting Multiple Threads).
//! - Move the driving gear against its neighbour. With the mesh open the spindle turns alone: `Z K` teeth of a
//!   driving gear of `Z` teeth in one turn (`K`: turns of its shaft for one of the spindle), so `t` teeth are
//!   `t / (Z K)` of a turn. That must be `k / starts` and whole turns, with `k` prime to the starts, so that
//!   repeating the move reaches every start. With `Z K / starts` = `t / u` in lowest terms, `t` is the least
//!   number of teeth and `u / starts` the turns. It works if `u` is prime to the starts; with K = 1 and few
//!   starts: if the teeth divide by the starts (the same, Cutting Multiple Threads, which asks to allow for K as
//!   well).
//! - Move the top slide, set parallel to the bed, by one pitch; infeed is then by the cross slide.
//!
//! Work between centres also takes a faceplate with equal slots: the dog goes one start of a turn further (the
//! same, Fig. 13). No lathe file says whether there is one.
//!
//! Pitch and lead are those that the train really cuts. Not known here: whether the spindle can be turned
//! apart from the gears, and backlash, which has to be taken up one way.
//!
//! ```
//! use solver::starts::{Ease, ease};
//! // 40 teeth on the driving gear divide by 2; 45 do not.
//! assert_eq!(ease(&"40-80".parse()?, Some("1".parse()?), 2)?, Ease::Plain);
//! assert_ne!(ease(&"45-90".parse()?, Some("1".parse()?), 2)?, Ease::Plain);
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::dial::{Advice, Closing, DialReading, HalfNut, Landing};
use crate::{Lathe, Lead, Ratio, Result, Setting, Teeth, Train, bounds};
use num_integer::Integer;

/// The ways to the next start of one job.
///
/// ```
/// use solver::starts::{Method, Indexing};
/// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
/// // Two starts, 1/4 in apart: geared for 2 TPI on a 4 TPI screw.
/// let mut gears = GearSet::new();
/// gears.add(Gear::new(Teeth::new(96)?), 1)?;
/// gears.add(Gear::new(Teeth::new(48)?), 1)?;
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("4".parse()?)?))?;
/// let setting = &lathe.settings(Travel::Thread)?.list[0];
///
/// let plan = Indexing::new(&lathe, setting, &"96-48".parse()?, 2)?.unwrap();
/// let Method::Shift(shift) = plan.method() else { panic!("96 divides by 2") };
/// assert_eq!((shift.teeth(), shift.extra_turns()), (48, 0));
/// assert_eq!(plan.pitch.to_string(), "127/20 mm");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Indexing {
    /// Number of starts, at least two.
    pub starts: u8,
    /// From groove to groove, as it is cut: the move of a top slide parallel to the bed.
    pub pitch: Lead,
    /// The move of the driving gear in its mesh; or why it can't move.
    pub shift: std::result::Result<Shift, NoShift>,
    /// The carriage, moved with the half nut open; `None`: the nut does not close on every start.
    pub carriage: Option<CarriageMove>,
    /// For each start its class of lines on the dial in use; `None`: they don't lead into every start.
    pub lines: Option<Vec<usize>>,
    /// Whether the half nut is known to open.
    opens: bool,
    /// Whether it stays closed from pass to pass.
    stays: bool,
}

/// The one way that a job uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Method<'p> {
    /// Close the half nut on these classes of lines, one a start.
    Lines(&'p [usize]),
    /// Move the carriage, the half nut open and the spindle at rest.
    Carriage(&'p CarriageMove),
    /// Move the driving gear against its neighbour.
    Shift(&'p Shift),
    /// Move the top slide, parallel to the bed, by this; infeed by the cross slide.
    TopSlide(Lead),
}

impl Indexing {
    /// For a train in one setting of the levers; `None` with a single start.
    ///
    /// # Errors
    /// If the starts are out of bounds, or the numbers too large.
    pub fn new(
        lathe: &Lathe,
        setting: &Setting,
        train: &Train,
        starts: u8,
    ) -> Result<Option<Self>> {
        bounds::STARTS.check(starts.into())?;
        if starts == 1 {
            return Ok(None);
        }
        let cut = setting.constant.times(&train.ratio())?;
        let pitch = cut.times(&Ratio::new(1, starts.into())?)?;
        let shift = Shift::new(first_gear(train), first_shaft_turns(lathe, setting)?, starts)?;
        let nut = HalfNut::new(lathe, &cut, starts)?;
        let (lines, stays) = match nut.advice() {
            Advice::Lines(reading) => (lines(reading, starts), false),
            _ => (None, true),
        };
        let opens = lathe.parts().half_nut == Some(true) || !lathe.parts().dials.is_empty();
        let carriage = CarriageMove::new(&nut)?;
        Ok(Some(Self { starts, pitch, shift, carriage, lines, opens, stays }))
    }

    /// The way to use, the easiest that this lathe can. After a move of the carriage the lines of a dial lead into
    /// the first start, so that the nut stays closed: where it would else open, the gear is moved.
    pub fn method(&self) -> Method<'_> {
        let near = |carriage: &CarriageMove| self.opens && carriage.distance.mm() <= REACH;
        match (&self.lines, &self.shift, self.carriage.as_ref().filter(|to| near(to))) {
            (Some(lines), ..) => Method::Lines(lines.as_slice()),
            (None, Ok(shift), Some(_)) if !self.stays => Method::Shift(shift),
            (None, _, Some(carriage)) => Method::Carriage(carriage),
            (None, Ok(shift), None) => Method::Shift(shift),
            (None, Err(_), None) => Method::TopSlide(self.pitch),
        }
    }
}

/// The furthest that a carriage is moved for the next start, in mm: a rule's length (common practice, no source).
const REACH: Ratio = Ratio::table(150, 1);

/// For each start a class of lines that leads into it, from the first class; `None`: a start has none.
fn lines(reading: &DialReading, starts: u8) -> Option<Vec<usize>> {
    let first = |class: usize| Some(reading.classes().get(class)?.lines().next()?.index);
    let from = first(0)?;
    let into = |start: u8| {
        let wanted = if start == 0 { Landing::Own } else { Landing::OtherStart(start) };
        let mut classes = 0..reading.classes().len();
        classes.find(|class| first(*class).and_then(|to| reading.landing(from, to)) == Some(wanted))
    };
    (0..starts).map(into).collect()
}

fn first_gear(train: &Train) -> Option<Teeth> {
    train.gears().next().map(|gear| gear.teeth)
}

/// K: turns of the first-gear shaft for one of the spindle, in a setting; `None`: unknown. A screw
/// constant is K times the lead screw; it gives K only with a known screw.
///
/// # Errors
/// If a number is out of range.
pub fn first_shaft_turns(lathe: &Lathe, setting: &Setting) -> Result<Option<Ratio>> {
    let parts = lathe.parts();
    let Some(constant) = parts.screw_constant else {
        return Ok(parts.headstock.get(setting.headstock).and_then(|position| position.ratio));
    };
    match parts.lead_screw.lead {
        Some(lead) if lead.has_pi() == constant.has_pi() => {
            constant.mm().over(&lead.mm()).map(Some)
        }
        _ => Ok(None),
    }
}

/// The move of the driving gear: mark it and its neighbour, open the mesh, turn the spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shift {
    gear: Teeth,
    starts: u8,
    teeth: u128,
    turns: Ratio,
}

/// Why the driving gear can't be moved from start to start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoShift {
    /// Its speed against the spindle is unknown.
    UnknownHeadstock,
    /// A start is between two teeth: this many teeth (no whole number) from the one before, and
    /// turns of the spindle don't help.
    BetweenTeeth(Ratio),
}

impl Shift {
    fn new(
        gear: Option<Teeth>,
        k: Option<Ratio>,
        starts: u8,
    ) -> Result<std::result::Result<Self, NoShift>> {
        let Some((gear, k)) = gear.zip(k) else { return Ok(Err(NoShift::UnknownHeadstock)) };
        let each = k.times(&Ratio::new(gear.get().into(), starts.into())?)?;
        if !each.denom().gcd(&starts.into()).eq(&1) {
            return Ok(Err(NoShift::BetweenTeeth(each)));
        }
        let turns = Ratio::new(each.denom(), starts.into())?;
        Ok(Ok(Self { gear, starts, teeth: each.numer(), turns }))
    }

    /// The driving gear.
    pub const fn gear(&self) -> Teeth {
        self.gear
    }

    /// Teeth by which it moves against its neighbour.
    pub const fn teeth(&self) -> u128 {
        self.teeth
    }

    /// The same, as whole turns of the gear and the teeth beyond.
    pub fn gear_turns(&self) -> (u128, u128) {
        self.teeth.div_mod_floor(&self.gear.get().into())
    }

    /// Turns of the spindle for the move, whole turns included.
    pub const fn spindle_turns(&self) -> Ratio {
        self.turns
    }

    /// Whole turns in that: 0 where less than a turn is enough.
    pub fn extra_turns(&self) -> u128 {
        self.turns.numer().checked_div(self.turns.denom()).unwrap_or(0)
    }

    /// Starts that one move goes on: prime to their number.
    pub fn goes_on_by(&self) -> u8 {
        let starts = u128::from(self.starts);
        // u / starts is in lowest terms, since u is prime to the starts.
        let beyond = self.turns.numer().checked_rem(starts).unwrap_or(0);
        u8::try_from(beyond).unwrap_or(0)
    }

    /// Starts in the order in which repeated moves reach them, from 0.
    pub fn order(&self) -> Vec<u8> {
        let by = u16::from(self.goes_on_by());
        let starts = u16::from(self.starts);
        let reached = |i: u16| i.saturating_mul(by).checked_rem(starts).unwrap_or(0);
        (0..starts).filter_map(|i| u8::try_from(reached(i)).ok()).collect()
    }
}

/// The move of the carriage with the half nut open and the spindle at rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct CarriageMove {
    /// Pitches of the lead screw to move back by, against the cut.
    pub screw_pitches: u128,
    /// Their length: one pitch of the work, and some leads.
    pub distance: Lead,
    /// Number of leads.
    pub leads: u128,
}

impl CarriageMove {
    fn new(nut: &HalfNut) -> Result<Option<Self>> {
        let Closing::At(repeat) = nut.closing else {
            return Ok(None);
        };
        let Some(screw_pitches) = repeat.to_next_start() else { return Ok(None) };
        let passed = Ratio::new(screw_pitches, 1)?;
        let in_leads = passed.over(&repeat.per_turn())?;
        let leads = in_leads.numer().checked_div(in_leads.denom()).unwrap_or(0);
        let distance = repeat.screw_pitch().times(&passed)?;
        Ok(Some(Self { screw_pitches, distance, leads }))
    }
}

/// How easily the driving gear indexes the work, the easiest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ease {
    /// A single start; or the driving gear moves, and the spindle turns by less than a turn.
    Plain,
    /// The driving gear moves, with whole turns of the spindle besides.
    WithTurns,
    /// The driving gear can't be moved from start to start, or that is unknown.
    TopSlide,
}

/// How easily a train indexes work of `starts` starts. `k`: see [`first_shaft_turns`]. A stable sort
/// of trains of one lead by this otherwise keeps their order.
///
/// ```
/// use solver::starts::{Ease, ease};
/// use solver::{Ratio, Train};
/// let mut trains: Vec<Train> = vec!["45-60".parse()?, "30-40".parse()?];
/// trains.sort_by_key(|train| ease(train, Some(Ratio::ONE), 2).unwrap_or(Ease::TopSlide));
/// assert_eq!(trains[0].to_string(), "30-40"); // 45 teeth can't be halved
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If the starts are out of bounds, or `k` too large.
pub fn ease(train: &Train, k: Option<Ratio>, starts: u8) -> Result<Ease> {
    bounds::STARTS.check(starts.into())?;
    if starts == 1 {
        return Ok(Ease::Plain);
    }
    Ok(match Shift::new(first_gear(train), k, starts)? {
        Ok(shift) if shift.extra_turns() == 0 => Ease::Plain,
        Ok(_) => Ease::WithTurns,
        Err(_) => Ease::TopSlide,
    })
}
