//! What must a scratch pass measure, and what does it measure if the gearing is wrong?
//!
//! A scratch pass leaves one groove a lead, also on work of several starts. All lengths are exact multiples
//! of the lead that is cut. The measure for a wrong gearing comes from the lathe itself: its levers, its
//! headstock, its tumbler, the gears of the train. How likely each slip is, is common practice, no source;
//! what it cuts is arithmetic. The direction of the carriage follows from hand and spindle.
//!
//! Not known here: backlash. Take it up by turning in the cutting direction before measuring.
//!
//! ```
//! use solver::scratch_pass::ScratchPass;
//! let scratch = ScratchPass::new("M8".parse::<solver::Target>()?.lead(), 1)?;
//! assert_eq!(scratch.leads(10)?.to_string(), "25/2 mm"); // ten pitches of 1.25 mm
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

use crate::slip::{self, Mounted, Slip, Wrong};
use crate::{
    Hand, Lathe, Lead, LeadError, Ratio, Result, Setting, Thread, Train, Travel, bounds, thread,
};

/// The travel of one set-up before any depth is cut.
///
/// ```
/// use solver::Lead;
/// use solver::scratch_pass::ScratchPass;
/// let scratch = ScratchPass::new(Lead::new("1.5 mm".parse()?), 1)?;
/// assert_eq!(scratch.leads(10)?.to_string(), "15 mm");
/// assert_eq!(scratch.travel(20)?.to_string(), "30 mm"); // twenty turns by hand
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ScratchPass {
    lead: Lead,
    starts: u8,
}

impl ScratchPass {
    /// For a lead as the train really cuts it, and the starts of the work.
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

    /// Travel of the carriage in `turns` turns of the spindle.
    ///
    /// # Errors
    /// If `turns` is 0, or a number is out of range.
    pub fn travel(&self, turns: u32) -> Result<Lead> {
        self.lead.times(&Ratio::whole(turns.into())?)
    }

    /// `count` leads along the scratch.
    ///
    /// # Errors
    /// If the number is 0, or out of range.
    pub fn leads(&self, count: u32) -> Result<Lead> {
        self.travel(count)
    }

    /// `count` pitches of the finished thread, all starts cut.
    ///
    /// # Errors
    /// If the number is 0, or out of range.
    pub fn pitches(&self, count: u32) -> Result<Lead> {
        self.lead.times(&Ratio::new(count.into(), self.starts.into())?)
    }

    /// Turns of the spindle by hand for `turns` of the lead screw; `None`: the two differ by a
    /// factor of pi.
    ///
    /// # Errors
    /// If the number is 0, or out of range.
    pub fn spindle_turns(&self, screw: &Lead, turns: u32) -> Result<Option<Ratio>> {
        if screw.has_pi() != self.lead.has_pi() {
            return Ok(None);
        }
        screw.times(&Ratio::whole(turns.into())?)?.mm().over(&self.lead.mm()).map(Some)
    }
}

/// A slip with its cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Slipped {
    /// The slip.
    pub slip: Slip,
    /// The lead that is cut.
    pub lead: Lead,
    /// The hand that is cut; `None`: a direction is unknown.
    pub hand: Option<Hand>,
}

impl Slipped {
    /// The slips of a set-up that a scratch pass shows, the likeliest first: levers, headstock and
    /// tumbler in a position beside the right one, a pair turned round, the fitted train not
    /// changed, a joined pair as an idler, end gears exchanged, levers in other positions (common
    /// practice, no source). Of slips within 0.1 % of another only the first is listed; but the
    /// tumbler always is, as the carriage runs the other way.
    ///
    /// # Errors
    /// If a lead does not fit.
    pub fn of(
        lathe: &Lathe,
        setting: &Setting,
        train: &Train,
        tumbler: Option<usize>,
    ) -> Result<Vec<Self>> {
        let mounted = Mounted::new(setting.clone(), train.clone(), tumbler);
        let (right, hand) = (mounted.lead()?, mounted.hand(lathe));
        let mut shown: Vec<Self> = Vec::new();
        let all = slip::singles(lathe, &lathe.settings(Travel::Thread)?.list, &mounted);
        for Wrong { slip, mounted, .. } in all.into_iter().filter(|one| is_shown(one.slip)) {
            let slipped = Self { slip, lead: mounted.lead()?, hand: mounted.hand(lathe) };
            let alike = |lead: &Lead| LeadError::of(&slipped.lead, lead).within(&ALIKE);
            let shows = if matches!(slip, Slip::Tumbler(_)) {
                hand.is_some() && slipped.hand.is_some() && slipped.hand != hand
            } else {
                !alike(&right) && !shown.iter().any(|other| alike(&other.lead))
            };
            if shows {
                shown.push(slipped);
            }
        }
        Ok(shown)
    }

    /// Factor on the right lead; `None`: the two differ by a factor of pi.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn factor(&self, right: &ScratchPass) -> Result<Option<Ratio>> {
        if self.lead.has_pi() != right.lead.has_pi() {
            return Ok(None);
        }
        self.lead.mm().over(&right.lead.mm()).map(Some)
    }

    /// The same as a scratch pass, to measure on.
    pub const fn scratch(&self, right: &ScratchPass) -> ScratchPass {
        ScratchPass { lead: self.lead, starts: right.starts }
    }

    /// A common thread of that pitch: of a usual series, its diameter from 2 mm to 1 in, its pitch
    /// within 0.1 %. Of several the first by series, then by diameter. `None`: no such thread;
    /// M0.4x0.1 would not explain a scratch of 0.1 mm, nor M64 one of 6 mm.
    pub fn looks_like(&self) -> Option<Thread> {
        let alike = |thread: &Thread| LeadError::of(&self.lead, &thread.pitch()).within(&ALIKE);
        thread::all().filter(is_everyday).find(alike)
    }
}

/// Whether a table of a few slips has it: what needs no gear of the box.
const fn is_shown(slip: Slip) -> bool {
    matches!(
        slip,
        Slip::Lever { .. }
            | Slip::Headstock(_)
            | Slip::Tumbler(_)
            | Slip::TurnedRound { .. }
            | Slip::EndsExchanged { .. }
            | Slip::PairAsIdler(_)
            | Slip::Fitted
    )
}

/// Series that are common in a workshop (common practice, no source).
fn is_everyday(thread: &Thread) -> bool {
    const SERIES: [&str; 4] = ["metric-coarse", "unc", "unf", "bsw"];
    let usual = Ratio::table(2, 1)..=Ratio::table(127, 5);
    SERIES.contains(&thread.series().key())
        && thread.diameter().is_some_and(|diameter| usual.contains(&diameter.mm()))
}

/// A rule or a screw pitch gauge can't separate smaller differences (common practice, no source).
const ALIKE: Ratio = Ratio::table(1, 1000);

/// Direction of the spindle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spindle {
    /// Forward, as for turning.
    Forward,
    /// Backward.
    Reverse,
}

/// Direction of the carriage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Toward the headstock.
    Headstock,
    /// Toward the tailstock: the cut begins in a groove at the headstock end.
    Tailstock,
}

/// Direction of the carriage: with the spindle forward, toward the headstock for a right-hand
/// thread. Reversing the spindle reverses it and keeps the hand.
///
/// ```
/// use solver::Hand;
/// use solver::scratch_pass::{Direction, Spindle, direction};
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
