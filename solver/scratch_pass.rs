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

use crate::{
    Gear, Hand, Lathe, Lead, LeadError, Ratio, Result, Setting, Shaft, Teeth, Thread, Train,
    Travel, bounds, thread,
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

/// A possible slip of the gearing on this lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Slip {
    /// One lever in another position.
    Lever {
        /// Index of the lever.
        lever: usize,
        /// Index of its wrong position.
        position: usize,
    },
    /// The headstock in another position: its index.
    Headstock(usize),
    /// The tumbler in another position, its index: the same lead, the other hand.
    Tumbler(usize),
    /// A keyed pair turned round: its two gears, as they should be.
    TurnedRound {
        /// Should be driven, and drives.
        driven: Teeth,
        /// Should drive, and is driven.
        driver: Teeth,
    },
    /// The gears of the two end shafts exchanged: as they should be.
    EndsExchanged {
        /// Should be on the driving shaft.
        first: Teeth,
        /// Should be on the driven shaft.
        last: Teeth,
    },
    /// A joined pair on a stud with only one gear in mesh, as an idler: the next gear is in its
    /// plane.
    PairAsIdler(Teeth),
    /// The train that was on the machine, not changed.
    NotChanged,
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
        let right = setting.constant.times(&train.ratio())?;
        let hand = lathe.hand_cut(setting, train.meshes(), tumbler);
        let mut all = in_other_positions(lathe, setting, train, tumbler)?;
        for (rank, slip, wrong) in in_other_places(lathe, setting, train)? {
            let lead = setting.constant.times(&wrong.ratio())?;
            let hand = lathe.hand_cut(setting, wrong.meshes(), tumbler);
            all.push((rank, Self { slip, lead, hand }));
        }
        all.sort_by_key(|(rank, _)| *rank);
        let mut shown: Vec<Self> = Vec::new();
        for (_, slipped) in all {
            let alike = |lead: &Lead| LeadError::of(&slipped.lead, lead).within(&ALIKE);
            let shows = if matches!(slipped.slip, Slip::Tumbler(_)) {
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

/// Rank of a slip: less is likelier.
type Rank = u8;

/// Headstock, one lever or the tumbler in another position.
fn in_other_positions(
    lathe: &Lathe,
    setting: &Setting,
    train: &Train,
    tumbler: Option<usize>,
) -> Result<Vec<(Rank, Slipped)>> {
    let (ratio, meshes) = (train.ratio(), train.meshes());
    let mut all = Vec::new();
    for other in lathe.settings(Travel::Thread)?.list {
        let moved = setting.levers.iter().zip(&other.levers).enumerate();
        let mut moved = moved.filter(|(_, (own, wrong))| own != wrong);
        let (rank, slip) = match (other.headstock == setting.headstock, moved.next()) {
            (true, Some((lever, (own, &position)))) => {
                let rank = if own.abs_diff(position) == 1 { 0 } else { 5 };
                (rank, Slip::Lever { lever, position })
            }
            (false, None) => (1, Slip::Headstock(other.headstock)),
            _ => continue,
        };
        if moved.next().is_some() {
            continue;
        }
        let hand = lathe.hand_cut(&other, meshes, tumbler);
        all.push((rank, Slipped { slip, lead: other.constant.times(&ratio)?, hand }));
    }
    let lead = setting.constant.times(&ratio)?;
    for at in (0..lathe.parts().tumbler.len()).filter(|at| tumbler.is_some_and(|own| own != *at)) {
        let hand = lathe.hand_cut(setting, meshes, Some(at));
        all.push((2, Slipped { slip: Slip::Tumbler(at), lead, hand }));
    }
    Ok(all)
}

/// Trains that are mounted by mistake.
fn in_other_places(
    lathe: &Lathe,
    setting: &Setting,
    train: &Train,
) -> Result<Vec<(Rank, Slip, Train)>> {
    let mut all = Vec::new();
    let turns = |driven: &Gear, driver: &Gear| {
        let joined = lathe.parts().gears.joined().iter();
        let of = |gears: &[Gear; 2]| {
            let teeth = gears.map(|gear| gear.teeth);
            teeth == [driven.teeth, driver.teeth] || teeth == [driver.teeth, driven.teeth]
        };
        joined.filter(|joined| of(&joined.gears)).all(|joined| joined.turn_round)
    };
    for (at, shaft) in train.shafts().iter().enumerate() {
        let Shaft::Pair { driven, driver } = *shaft else { continue };
        if turns(&driven, &driver) {
            let mut shafts = train.shafts().to_vec();
            if let Some(shaft) = shafts.get_mut(at) {
                *shaft = Shaft::Pair { driven: driver, driver: driven };
            }
            let slip = Slip::TurnedRound { driven: driven.teeth, driver: driver.teeth };
            all.push((3, slip, Train::new(shafts)?));
        }
    }
    if let Some(now) = lathe.on_now() {
        all.push((3, Slip::NotChanged, now.train.clone()));
    }
    all.extend(idling_pairs(train)?);
    if let [Shaft::One(first), .., Shaft::One(last)] = *train.shafts() {
        let ends = &lathe.parts().ends;
        if ends.first.takes(last.teeth) && setting.last.takes(first.teeth) {
            let mut shafts = train.shafts().to_vec();
            shafts.reverse();
            // Only the two ends are exchanged.
            let end = shafts.len().saturating_sub(1);
            if let (Some(inner), Some(own)) = (shafts.get_mut(1..end), train.shafts().get(1..end)) {
                inner.copy_from_slice(own);
            }
            let slip = Slip::EndsExchanged { first: first.teeth, last: last.teeth };
            all.push((4, slip, Train::new(shafts)?));
        }
    }
    Ok(all)
}

/// Series that are common in a workshop (common practice, no source).
fn is_everyday(thread: &Thread) -> bool {
    const SERIES: [&str; 4] = ["metric-coarse", "unc", "unf", "bsw"];
    let usual = Ratio::table(2, 1)..=Ratio::table(127, 5);
    SERIES.contains(&thread.series().key())
        && thread.diameter().is_some_and(|diameter| usual.contains(&diameter.mm()))
}

/// Joined pairs used as an idler.
fn idling_pairs(train: &Train) -> Result<Vec<(Rank, Slip, Train)>> {
    let mut all = Vec::new();
    for (at, shaft) in train.shafts().iter().enumerate() {
        if let (Shaft::Pair { driven, .. }, Some(_)) = (*shaft, train.partner(at)) {
            let mut shafts = train.shafts().to_vec();
            if let Some(shaft) = shafts.get_mut(at) {
                *shaft = Shaft::One(driven);
            }
            all.push((3, Slip::PairAsIdler(driven.teeth), Train::new(shafts)?));
        }
    }
    Ok(all)
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
