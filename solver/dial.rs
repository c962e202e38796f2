//! Where may the half nut close again, so that the tool falls into its own groove?
//!
//! The lead screw passes `p / q` of its pitches through the nut in one spindle turn (lowest terms; a screw
//! of several starts has several pitches in its lead). While the nut is open, `n` pitches pass. Closed
//! again, the nut has moved the tool by `n` pitches. The tool falls into its groove if that is a whole
//! number of leads of the work, n q / p: only if `p` divides `n`. On work of several starts it falls into
//! another start where n q / p is a whole number of the work's pitches but not of its leads.
//!
//! A dial gear of `T` teeth turns one tooth for each pitch that passes. Line `j` of `N` is then
//! j T / N pitches away, give or take whole turns of the dial. Two rules follow:
//!
//! - The nut can close on a line only if j T / N is whole.
//! - The lines alone are enough only if `p` divides `T`. Lines with equal j T / N mod p are then
//!   interchangeable. Otherwise even the same line is wrong after one turn of the dial.
//!
//! ```text
//!        1        4 TPI screw, 16 teeth, 4 lines: an inch of carriage from line to line.
//!     4  +  2     20 TPI: p = 1, anywhere.     10 TPI: p = 2, any line.
//!        3        5 1/2 TPI: p = 8, opposite lines.     1 mm: p = 20, none: keep it closed.
//! ```
//!
//! The rule follows from the mechanism; F. D. Jones (Turning and Boring, 1919, ch. IV, Principle of the
//! Thread Indicator) has its cases. It needs the lead that the train really cuts, not the nominal pitch:
//! a train a few ppm off has another `p`.
//!
//! Not known here: whether the dial is set so that its first line meets the mark as the nut closes
//! (lines are counted from there), and whether its gear is in mesh.
//!
//! ```
//! use solver::dial::{Advice, HalfNut};
//! use solver::{Dial, Gear, GearSet, Lathe, Lead, Parts, Teeth};
//! let mut gears = GearSet::new();
//! gears.add(Gear::new(Teeth::new(40)?), 2)?;
//! let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
//! parts.dials = vec![Dial { teeth: 16, lines: 8, labels: Vec::new() }];
//! let plan = HalfNut::new(&Lathe::new(parts)?, &Lead::from_tpi("16".parse()?)?, 1)?;
//! assert!(matches!(plan.advice(), Advice::Anywhere)); // 16 is twice 8
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod alike;

use crate::{Dial, Error, Lathe, Lead, Ratio, Result, bounds};
use num_integer::Integer;
use std::cmp::Reverse;

/// Half nut and dials for one thread.
///
/// ```
/// use solver::dial::{Advice, HalfNut};
/// use solver::{Dial, Gear, GearSet, Lathe, Lead, Parts, Teeth};
/// // An 8 TPI screw; 16 teeth, 8 lines.
/// let mut gears = GearSet::new();
/// gears.add(Gear::new(Teeth::new(40)?), 2)?;
/// let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse()?)?);
/// parts.dials = vec![Dial { teeth: 16, lines: 8, labels: Vec::new() }];
/// let lathe = Lathe::new(parts)?;
///
/// let plan = HalfNut::new(&lathe, &Lead::from_tpi("11".parse()?)?, 1)?;
/// let Advice::Lines(reading) = plan.advice() else { panic!("the dial works") };
/// let lines = |class: usize| reading.classes()[class].lines().map(|line| line.index).collect::<Vec<_>>();
/// assert_eq!((lines(0), lines(1)), (vec![0, 4], vec![1, 5])); // opposite lines
///
/// // Metric on an inch screw: keep it closed; all meet again after 60 pitches.
/// let plan = HalfNut::new(&lathe, &Lead::new("1.5 mm".parse()?), 1)?;
/// assert!(matches!(plan.advice(), Advice::KeepClosed(_)));
/// assert_eq!(plan.repeat().unwrap().distance()?.to_string(), "381/2 mm");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct HalfNut {
    /// Where the nut may close, dials apart.
    pub closing: Closing,
    /// How the tool returns while the nut stays closed.
    pub back: Back,
    /// Every dial of the lathe, in the order of its file; none where closing is not [`Closing::At`].
    pub dials: Vec<DialReading>,
}

/// Where the nut may close.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Closing {
    /// After every `p` pitches; anywhere if [`Repeat::is_anywhere`].
    At(Repeat),
    /// Nowhere: a factor of pi is between lead screw and work, and nothing repeats.
    Never,
    /// The lead screw's lead is unknown (a screw constant is not enough).
    UnknownScrew,
    /// There is no half nut.
    NoHalfNut,
}

/// How the tool returns with the nut closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Back {
    /// By reversing the motor.
    Motor,
    /// By hand, at the spindle: the motor can't be reversed.
    Crank,
    /// Unknown whether the motor can be reversed: one of the two.
    Unknown,
}

/// What to do with the half nut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Advice<'p> {
    /// Close anywhere.
    Anywhere,
    /// Close on any line of this dial with a class, and stay in the class.
    Lines(&'p DialReading),
    /// Leave the nut closed and run back.
    KeepClosed(Why),
}

/// Why the nut stays closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Why {
    /// There is no dial.
    NoDial,
    /// No dial repeats with the thread.
    NoDialWorks,
    /// Nothing ever repeats.
    Never,
    /// The lead screw is unknown.
    UnknownScrew,
    /// The nut can't be opened.
    NoHalfNut,
}

impl HalfNut {
    /// For a lead as the train really cuts it, and the starts of the work.
    ///
    /// # Errors
    /// If the starts are out of bounds, or the numbers too large.
    pub fn new(lathe: &Lathe, cut: &Lead, starts: u8) -> Result<Self> {
        bounds::STARTS.check(starts.into())?;
        let parts = lathe.parts();
        let back = match parts.reverse {
            Some(true) => Back::Motor,
            Some(false) => Back::Crank,
            None => Back::Unknown,
        };
        let closing = Closing::of(lathe, cut, starts)?;
        let dials = match closing {
            Closing::At(repeat) => DialReading::all(&parts.dials, repeat)?,
            _ => Vec::new(),
        };
        Ok(Self { closing, back, dials })
    }

    /// When nut and work meet again, if they do and that is known.
    pub const fn repeat(&self) -> Option<&Repeat> {
        match &self.closing {
            Closing::At(repeat) => Some(repeat),
            _ => None,
        }
    }

    /// The usable dials, the best first: most lines in one class, fewest lines where the nut can't
    /// close, then in the order of the file.
    pub fn usable_dials(&self) -> Vec<&DialReading> {
        let mut usable: Vec<_> = self.dials.iter().filter(|dial| dial.works()).collect();
        usable.sort_by_key(|dial| (Reverse(dial.most_lines()), dial.blind.len()));
        usable
    }

    /// What to do with the half nut.
    pub fn advice(&self) -> Advice<'_> {
        match &self.closing {
            Closing::At(repeat) if repeat.is_anywhere() => Advice::Anywhere,
            Closing::At(_) => match self.usable_dials().first() {
                Some(dial) => Advice::Lines(dial),
                None if self.dials.is_empty() => Advice::KeepClosed(Why::NoDial),
                None => Advice::KeepClosed(Why::NoDialWorks),
            },
            Closing::Never => Advice::KeepClosed(Why::Never),
            Closing::UnknownScrew => Advice::KeepClosed(Why::UnknownScrew),
            Closing::NoHalfNut => Advice::KeepClosed(Why::NoHalfNut),
        }
    }
}

impl Closing {
    fn of(lathe: &Lathe, cut: &Lead, starts: u8) -> Result<Self> {
        let parts = lathe.parts();
        let screw = &parts.lead_screw;
        if parts.half_nut == Some(false) {
            return Ok(Self::NoHalfNut);
        }
        let Some(lead) = screw.lead else { return Ok(Self::UnknownScrew) };
        if lead.has_pi() != cut.has_pi() {
            return Ok(Self::Never);
        }
        let pitch = lead.times(&Ratio::new(1, screw.starts.into())?)?;
        Ok(Self::At(Repeat::new(pitch, cut, starts)?))
    }
}

/// Where the tool falls once the nut closes again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Landing {
    /// Into its own groove.
    Own,
    /// Into the groove of another start, this many pitches back from its own.
    OtherStart(u8),
    /// Onto the thread, and spoils it.
    Spoils,
}

/// When half nut and work meet again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Repeat {
    screw_pitch: Lead,
    per_turn: Ratio,
    starts: u8,
}

impl Repeat {
    fn new(screw_pitch: Lead, cut: &Lead, starts: u8) -> Result<Self> {
        Ok(Self { screw_pitch, per_turn: cut.mm().over(&screw_pitch.mm())?, starts })
    }

    /// From one place where the nut can close to the next: the screw's pitch.
    pub const fn screw_pitch(&self) -> Lead {
        self.screw_pitch
    }

    /// Pitches of the lead screw that pass in one spindle turn: p / q.
    pub const fn per_turn(&self) -> Ratio {
        self.per_turn
    }

    /// p: the nut may close after every p pitches of the lead screw.
    pub fn pitches(&self) -> u128 {
        self.per_turn.numer()
    }

    /// q: spindle turns, so leads of the work, in that time.
    pub fn spindle_turns(&self) -> u128 {
        self.per_turn.denom()
    }

    /// Travel of the carriage in that time.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn distance(&self) -> Result<Lead> {
        self.screw_pitch.times(&Ratio::new(self.pitches(), 1)?)
    }

    /// Whether the nut may close anywhere.
    pub fn is_anywhere(&self) -> bool {
        self.pitches() == 1
    }

    /// Whether the lines of a dial gear with `dial_teeth` teeth are safe.
    pub fn works(&self, dial_teeth: u16) -> bool {
        u128::from(dial_teeth).is_multiple_of(self.pitches())
    }

    /// Every dial gear that works.
    pub fn dial_gears(&self) -> impl Iterator<Item = u16> {
        let sizes = bounds::DIAL_TEETH.low..=bounds::DIAL_TEETH.high;
        sizes.filter_map(|teeth| u16::try_from(teeth).ok()).filter(|teeth| self.works(*teeth))
    }

    /// Where the tool falls if the nut closes after this many pitches have passed through it.
    pub fn landing(&self, pitches_passed: u128) -> Landing {
        let p = self.pitches();
        if pitches_passed.is_multiple_of(p) {
            return Landing::Own;
        }
        // n q / p leads are n q s / p pitches of the work: whole every p / gcd(p, s).
        let starts = u128::from(self.starts);
        let common = p.gcd(&starts);
        let (Some(step), Some(stride)) = (p.checked_div(common), starts.checked_div(common)) else {
            return Landing::Spoils;
        };
        if !pitches_passed.is_multiple_of(step) {
            return Landing::Spoils;
        }
        // Each factor is brought below the 99 starts first.
        let below = |number: u128| number.checked_rem(starts).unwrap_or(0);
        let steps = below(pitches_passed.checked_div(step).unwrap_or(0));
        let turns = below(self.spindle_turns());
        let back = below(steps.saturating_mul(turns).saturating_mul(stride));
        u8::try_from(back).map_or(Landing::Spoils, Landing::OtherStart)
    }

    /// Fewest screw pitches after which the tool falls exactly one pitch of the work back, so that
    /// repeating it reaches every start in turn; `None`: the nut can't close on every start, or
    /// there is only one.
    pub fn to_next_start(&self) -> Option<u128> {
        let starts = u128::from(self.starts);
        if self.starts < 2 || !self.pitches().is_multiple_of(starts) {
            return None;
        }
        let step = self.pitches().checked_div(starts)?;
        let mut all = (1..starts).filter_map(|times| step.checked_mul(times));
        all.find(|passed| self.landing(*passed) == Landing::OtherStart(1))
    }
}

/// A line of the dial.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct DialLine {
    /// Its number from 0, in the order of the lines at the mark while the screw runs forward.
    pub index: u16,
    /// The label beside it, if any.
    pub label: Option<String>,
    /// Teeth of the dial gear from line 0 to here.
    pub tooth: u16,
}

/// Interchangeable lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineClass {
    remainder: u16,
    lines: Vec<DialLine>,
}

impl LineClass {
    /// The lines, at least one.
    pub fn lines(&self) -> impl Iterator<Item = &DialLine> {
        self.lines.iter()
    }

    /// Their teeth from line 0, without whole rounds of the thread.
    pub const fn remainder(&self) -> u16 {
        self.remainder
    }
}

/// One dial for one thread.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DialReading {
    dial: usize,
    teeth: u16,
    repeat: Repeat,
    classes: Vec<LineClass>,
    blind: Vec<u16>,
}

impl DialReading {
    fn all(dials: &[Dial], repeat: Repeat) -> Result<Vec<Self>> {
        dials.iter().enumerate().map(|(index, dial)| Self::new(index, dial, repeat)).collect()
    }

    fn new(index: usize, dial: &Dial, repeat: Repeat) -> Result<Self> {
        let (lines, blind) = lines(dial)?;
        let mut reading =
            Self { dial: index, teeth: dial.teeth, repeat, classes: Vec::new(), blind };
        // Where the dial works, p is at most its teeth.
        if let Ok(p) = u16::try_from(repeat.pitches())
            && reading.works()
        {
            for line in lines {
                reading.enter(line, p)?;
            }
        }
        Ok(reading)
    }

    fn enter(&mut self, line: DialLine, p: u16) -> Result<()> {
        let remainder = line.tooth.checked_rem(p).ok_or_else(|| Error::too_large("a dial"))?;
        match self.classes.iter_mut().find(|class| class.remainder == remainder) {
            Some(class) => class.lines.push(line),
            None => self.classes.push(LineClass { remainder, lines: vec![line] }),
        }
        Ok(())
    }

    /// Which dial of the lathe.
    pub const fn dial(&self) -> usize {
        self.dial
    }

    /// Teeth of its gear.
    pub const fn teeth(&self) -> u16 {
        self.teeth
    }

    /// Whether its lines are safe.
    pub fn works(&self) -> bool {
        self.repeat.works(self.teeth)
    }

    /// Groups of interchangeable lines, by the first line of each; none if the dial does not work.
    pub fn classes(&self) -> &[LineClass] {
        &self.classes
    }

    /// Lines between teeth: the nut does not close there.
    pub fn blind(&self) -> &[u16] {
        &self.blind
    }

    /// The later classes that lead into another start after a pass from a line of the first.
    pub fn other_starts(&self) -> Vec<usize> {
        let first = |class: &LineClass| class.lines().next().map(|line| line.index);
        let Some(from) = self.classes.first().and_then(first) else { return Vec::new() };
        let lands = |class: &LineClass| self.landing(from, first(class)?);
        let other = |class: &LineClass| matches!(lands(class), Some(Landing::OtherStart(_)));
        let classes = self.classes.iter().enumerate().skip(1);
        classes.filter_map(|(i, class)| other(class).then_some(i)).collect()
    }

    /// Lines of the largest class.
    pub fn most_lines(&self) -> usize {
        self.classes.iter().map(|class| class.lines.len()).max().unwrap_or(0)
    }

    /// Turns of the dial until nut and work meet again: p / T.
    ///
    /// # Errors
    /// Never for a checked lathe; only the type of the arithmetic allows for one.
    pub fn turns_to_repeat(&self) -> Result<Ratio> {
        Ratio::new(self.repeat.pitches(), self.teeth.into())
    }

    /// Turns of the dial until the same line is right again, p / gcd(p, T): 1 if the dial works.
    ///
    /// # Errors
    /// Never for a checked lathe; only the type of the arithmetic allows for one.
    pub fn turns_to_same_line(&self) -> Result<u128> {
        Ok(self.turns_to_repeat()?.numer())
    }

    /// Where the tool falls if the nut was opened after a pass from line `from` and closes on line
    /// `to`. `None`: there is no such line, the nut does not close there, or this dial does not show
    /// it.
    pub fn landing(&self, from: u16, to: u16) -> Option<Landing> {
        let tooth = |index: u16| {
            let mut lines = self.classes.iter().flat_map(LineClass::lines);
            lines.find(|line| line.index == index).map(|line| line.tooth)
        };
        let (from, to) = (tooth(from)?, tooth(to)?);
        // With a dial that works, a further turn of the dial changes nothing.
        let passed = to.checked_add(self.teeth)?.checked_sub(from)?;
        Some(self.repeat.landing(passed.into()))
    }
}

/// Lines at a tooth, and the others.
fn lines(dial: &Dial) -> Result<(Vec<DialLine>, Vec<u16>)> {
    let (mut lines, mut blind) = (Vec::new(), Vec::new());
    for index in 0..dial.lines {
        let teeth = u32::from(index).saturating_mul(dial.teeth.into());
        let (tooth, rest) = teeth
            .checked_div(dial.lines.into())
            .zip(teeth.checked_rem(dial.lines.into()))
            .ok_or_else(|| Error::conflict("a dial without lines"))?;
        if rest > 0 {
            blind.push(index);
            continue;
        }
        let label = dial.labels.get(usize::from(index)).filter(|label| !label.is_empty()).cloned();
        let tooth = u16::try_from(tooth).map_err(|_| Error::too_large("a dial"))?;
        lines.push(DialLine { index, label, tooth });
    }
    Ok((lines, blind))
}
