//! What must a scratch pass measure, what would it measure if the gearing were wrong, and which way
//! does the carriage run?
//!
//! A scratch pass leaves one groove a lead, also where the work has several starts. All lengths are
//! exact multiples of the lead that is cut. Slips that people make: a compound pair or a lever that
//! doubles or halves; 127 against 120 (+5.83 % or -5.51 %), which is also what lies between an inch
//! thread and the metric one next to it (16 TPI and 1.5 mm); the 127 keyed to a 100 in place of a 120.
//! Which slips are common is common practice, no source; their sizes are arithmetic.
//!
//! Not known here: play. Take it up by turning in the cutting direction before measuring.

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::{
    Hand, Lead, LeadError, Length, Ratio, Result, Shaft, Teeth, Thread, Train, bounds, thread,
};

/// What one set-up does before any depth is cut.
///
/// ```
/// use solver::Lead;
/// use solver::scratch::{Scratch, Slip};
/// let scratch = Scratch::new(Lead::new("1.5 mm".parse()?), 1)?;
/// assert_eq!(scratch.grooves(10)?.to_string(), "15 mm");
/// assert_eq!(scratch.travel(20)?.to_string(), "30 mm"); // twenty turns by hand
/// let inch = Slip::Longer.lead(&scratch)?;
/// assert_eq!(inch, Lead::from_tpi("16".parse()?)?);
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Scratch {
    lead: Lead,
    starts: u8,
}

impl Scratch {
    /// For a lead as the train truly cuts it, and the starts of the work.
    ///
    /// # Errors
    /// If the starts are out of bounds.
    pub fn new(cut: Lead, starts: u8) -> Result<Self> {
        bounds::STARTS.check(starts.into())?;
        Ok(Self { lead: cut, starts })
    }

    /// The lead that is cut.
    pub const fn lead(&self) -> Lead {
        self.lead
    }

    /// How far the carriage goes in so many turns of the spindle.
    ///
    /// # Errors
    /// If there are none, or it does not fit.
    pub fn travel(&self, turns: u32) -> Result<Lead> {
        self.lead.times(&Ratio::whole(turns.into())?)
    }

    /// From one groove of the scratch pass to the one so many further on.
    ///
    /// # Errors
    /// If there are none, or it does not fit.
    pub fn grooves(&self, count: u32) -> Result<Lead> {
        self.travel(count)
    }

    /// So many pitches of the finished thread, all starts cut.
    ///
    /// # Errors
    /// If there are none, or it does not fit.
    pub fn pitches(&self, count: u32) -> Result<Lead> {
        self.lead.times(&Ratio::new(count.into(), self.starts.into())?)
    }

    /// Turns of the spindle by hand for so many of the lead screw; `None`: pi lies between them.
    ///
    /// # Errors
    /// If there are none, or it does not fit.
    pub fn spindle_turns(&self, screw: &Lead, turns: u32) -> Result<Option<Ratio>> {
        if screw.has_pi() != self.lead.has_pi() {
            return Ok(None);
        }
        screw.times(&Ratio::whole(turns.into())?)?.mm().over(&self.lead.mm()).map(Some)
    }
}

/// A way in which the gearing may be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Slip {
    /// Twice the lead.
    Doubled,
    /// Half the lead.
    Halved,
    /// 127/120 of the lead: an inch thread for the metric one beside it, or a 127/120 left out.
    Longer,
    /// 120/127 of the lead: the other way about.
    Shorter,
    /// The 127 keyed to another gear than the train has.
    OtherPair {
        /// What the train has beside its 127.
        right: Teeth,
        /// What stands there.
        wrong: Teeth,
        /// Whether the 127 of the pair is the driven one.
        translating_driven: bool,
    },
}

impl Slip {
    /// Those that a person with this train should look for.
    pub fn of(train: &Train) -> Vec<Self> {
        let mut slips = vec![Self::Doubled, Self::Halved, Self::Longer, Self::Shorter];
        slips.extend(train.studs().iter().filter_map(Self::other_pair));
        slips
    }

    fn other_pair(stud: &Shaft) -> Option<Self> {
        let Shaft::Pair { driven, driver } = stud else { return None };
        let (right, translating_driven) = match (driven.teeth.get(), driver.teeth.get()) {
            (127, _) => (driver.teeth, true),
            (_, 127) => (driven.teeth, false),
            _ => return None,
        };
        let wrong = match right.get() {
            100 => 120,
            120 => 100,
            _ => return None,
        };
        Some(Self::OtherPair { right, wrong: Teeth::new(wrong).ok()?, translating_driven })
    }

    /// What the lead is multiplied by.
    ///
    /// # Errors
    /// Never; the type says so for the arithmetic's sake.
    pub fn factor(&self) -> Result<Ratio> {
        match self {
            Self::Doubled => Ratio::new(2, 1),
            Self::Halved => Ratio::new(1, 2),
            Self::Longer => Ratio::new(127, 120),
            Self::Shorter => Ratio::new(120, 127),
            Self::OtherPair { right, wrong, translating_driven } => {
                let factor = Ratio::new(wrong.get().into(), right.get().into())?;
                Ok(if *translating_driven { factor } else { factor.recip() })
            }
        }
    }

    /// What would be cut.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn lead(&self, scratch: &Scratch) -> Result<Lead> {
        scratch.lead.times(&self.factor()?)
    }

    /// The same as a scratch pass, to measure on.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn scratch(&self, scratch: &Scratch) -> Result<Scratch> {
        Ok(Scratch { lead: self.lead(scratch)?, starts: scratch.starts })
    }

    /// A known thread of one start that this would be taken for: within 0.1 % of it.
    ///
    /// # Errors
    /// If the lead does not fit.
    pub fn looks_like(&self, scratch: &Scratch) -> Result<Option<Thread>> {
        let lead = self.lead(scratch)?;
        let near = thread::near(None, &lead).into_iter().find(|thread| thread.starts() == 1);
        let alike = |thread: &Thread| LeadError::of(&lead, &thread.pitch()).within(&ALIKE);
        Ok(near.filter(alike))
    }

    /// Over how many grooves two readings tell it from the right one, each within `reading` of the
    /// truth. With pi, 3 stands for it: then a few more than needed.
    ///
    /// # Errors
    /// If it does not fit.
    pub fn grooves_to_tell(&self, scratch: &Scratch, reading: Length) -> Result<u128> {
        let wrong = self.lead(scratch)?.mm();
        let apart = wrong.apart(&scratch.lead.mm())?.unwrap_or(wrong);
        let pi = Ratio::new(if scratch.lead.has_pi() { 3 } else { 1 }, 1)?;
        let both = reading.mm().times(&Ratio::new(2, 1)?)?;
        let grooves = both.over(&apart.times(&pi)?)?;
        Ok(grooves.numer().checked_div(grooves.denom()).unwrap_or(0).saturating_add(1))
    }
}

/// Nearer than this is the same to a rule or a screw pitch gauge (common practice, no source).
const ALIKE: Ratio = Ratio::table(1, 1000);

/// Which way the spindle turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spindle {
    /// As for turning.
    Forward,
    /// The other way.
    Reverse,
}

/// Which way the carriage runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock: the cut begins in a groove at the headstock end.
    Tailstock,
}

/// Which way the carriage runs: with the spindle forward, toward the headstock for a right-hand thread.
/// Reversing the spindle runs it back and leaves the hand as it is.
///
/// ```
/// use solver::Hand;
/// use solver::scratch::{Direction, Spindle, direction};
/// assert_eq!(direction(Hand::Right, Spindle::Forward), Direction::Headstock);
/// assert_eq!(direction(Hand::Left, Spindle::Forward), Direction::Tailstock);
/// assert_eq!(direction(Hand::Left, Spindle::Reverse), Direction::Headstock);
/// ```
pub const fn direction(hand: Hand, spindle: Spindle) -> Direction {
    match (hand, spindle) {
        (Hand::Right, Spindle::Forward) | (Hand::Left, Spindle::Reverse) => Direction::Headstock,
        (Hand::Left, Spindle::Forward) | (Hand::Right, Spindle::Reverse) => Direction::Tailstock,
    }
}

/// The hand that a turn by hand shows, where a sense is unknown.
///
/// ```
/// use solver::Hand;
/// use solver::scratch::{Direction, Spindle, hand_shown};
/// assert_eq!(hand_shown(Direction::Headstock, Spindle::Forward), Hand::Right);
/// ```
pub const fn hand_shown(seen: Direction, spindle: Spindle) -> Hand {
    match (seen, spindle) {
        (Direction::Headstock, Spindle::Forward) | (Direction::Tailstock, Spindle::Reverse) => {
            Hand::Right
        }
        (Direction::Tailstock, Spindle::Forward) | (Direction::Headstock, Spindle::Reverse) => {
            Hand::Left
        }
    }
}
