//! How fast does the carriage come to the end of the thread, and is there time to stop?

use super::work::{Coasting, Work};
use crate::cutting::{self, COASTING, Cut, Form, REACTION, Side, Stop, undercut};
use crate::{Lead, Length, Ratio, Result, Speeds};

/// Pitches of an undercut of which nothing is known (an open handbook, low trust: at least 1.5).
const PITCHES: Ratio = Ratio::table(3, 2);
/// Speeds that are worked out of a list of the lathe's own.
const ROWS: usize = 3;
/// Stands for pi where a length is rounded upward.
const PI: Ratio = Ratio::table(22, 7);

/// Speed of the carriage.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Speed {
    /// Width of the undercut that the thread ends in.
    pub undercut: Length,
    /// Where that width comes from.
    pub undercut_is: Undercut,
    /// Whether the tool leaves the work at the tailstock end, where there is no undercut.
    pub runs_free: bool,
    /// Seconds that a person takes to act.
    pub reaction: Ratio,
    /// Seconds that the spindle coasts; `None`: not at all.
    pub coasting: Option<Ratio>,
    /// The speed at which they just suffice, rounded down.
    pub enough_rpm: u32,
    /// The same without coasting, where the half nut may be opened at the end of a pass and the carriage
    /// stops there; `None`: it stays closed.
    pub nut_opened_rpm: Option<u32>,
    /// The fastest of the lathe's own speeds at which they suffice; `None`: none, or not known.
    pub fastest_rpm: Option<u32>,
    /// Some speeds: that which is stated; else the lathe's slowest, and the fastest that leaves time; else
    /// that one.
    pub at: Vec<Pace>,
    /// The lathe's slowest, for the scratch pass.
    pub slowest: Slowest,
    /// Whether the lead screw turns faster than the spindle.
    pub screw_outruns_spindle: bool,
}

/// Where the width of the undercut comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Undercut {
    /// It was stated.
    Stated,
    /// The least width of DIN 76-1 for the pitch.
    Din76,
    /// 1.5 pitches, to a tenth of a mm upward.
    Pitches,
}

/// A spindle speed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Pace {
    /// Turns a minute.
    pub rpm: u32,
    /// Speed of the carriage.
    pub mm_per_s: f64,
    /// Seconds in the undercut.
    pub undercut_s: f64,
    /// What there is time for.
    pub time: Time,
    /// How far the carriage runs before it is at rest, to a tenth of a mm upward; `None`: too far to be
    /// held.
    pub way: Option<Length>,
}

/// What there is time for in the undercut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Time {
    /// To act and to coast.
    ToStop,
    /// To open the half nut.
    ToOpen,
    /// Neither.
    TooShort,
}

/// The slowest speed of the lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Slowest {
    /// So many turns a minute.
    Rpm(u32),
    /// It leaves no time to stop in the undercut.
    TooFast,
    /// It is not known.
    Unknown,
}

/// What the speeds hang on.
pub(super) struct Terms<'a> {
    pub(super) lead: Lead,
    pub(super) pitch: Lead,
    pub(super) cut: Option<&'a Cut>,
    pub(super) speeds: Option<&'a Speeds>,
    pub(super) is_left: bool,
    /// Whether the half nut may be opened at the end of a pass.
    pub(super) opens: bool,
    pub(super) outruns: bool,
}

impl Speed {
    pub(super) fn of(terms: &Terms<'_>, work: &Work) -> Result<Self> {
        let (undercut, undercut_is) = match work.undercut {
            Some(undercut) => (undercut, Undercut::Stated),
            None => assumed(terms, work.side)?,
        };
        let reaction = work.reaction.unwrap_or(REACTION);
        let coasting = work.coasting.map_or(Some(COASTING), Coasting::seconds);
        let seconds = coasting.map_or(Ok(reaction), |coasting| reaction.plus(&coasting))?;
        let stop = Stop::new(terms.lead, undercut, seconds);
        let fastest = terms.speeds.map(|speeds| stop.fastest(speeds)).transpose()?.flatten();
        let enough = whole(stop.rpm());
        let opened = terms.opens.then(|| whole(Stop::new(terms.lead, undercut, reaction).rpm()));
        let pace = |rpm| Pace::new(terms.lead, undercut, &stop, seconds, opened, rpm);
        // A left-hand thread begins in the undercut.
        let runs_free = terms.is_left && work.undercut.is_none();
        Ok(Self {
            undercut,
            undercut_is,
            runs_free,
            reaction,
            coasting,
            enough_rpm: enough,
            nut_opened_rpm: opened,
            fastest_rpm: fastest,
            at: rpms(terms, work.rpm, fastest, enough)
                .into_iter()
                .map(pace)
                .collect::<Result<_>>()?,
            slowest: match terms.speeds.and_then(slowest) {
                None => Slowest::Unknown,
                Some(rpm) if !runs_free && rpm > enough => Slowest::TooFast,
                Some(rpm) => Slowest::Rpm(rpm),
            },
            screw_outruns_spindle: terms.outruns,
        })
    }
}

impl Pace {
    fn new(
        lead: Lead,
        undercut: Length,
        stop: &Stop,
        seconds: Ratio,
        opened: Option<u32>,
        rpm: u32,
    ) -> Result<Self> {
        let pace = cutting::Pace::new(lead, rpm)?;
        let turns = Ratio::new(rpm.into(), 60)?.times(&seconds)?;
        Ok(Self {
            rpm,
            mm_per_s: pace.mm_per_second(),
            undercut_s: pace.seconds_in(undercut),
            time: match opened {
                _ if stop.allows(rpm)? => Time::ToStop,
                Some(most) if rpm <= most => Time::ToOpen,
                _ => Time::TooShort,
            },
            way: lead.times(&turns).and_then(|way| up_to_tenths(&way)).ok(),
        })
    }
}

/// The least of DIN 76-1 for a metric 60 degree thread; else 1.5 pitches.
fn assumed(terms: &Terms<'_>, side: Side) -> Result<(Length, Undercut)> {
    let is_metric = terms.cut.is_some_and(|cut| cut.form() == Form::Sixty);
    match undercut(&terms.pitch, side).filter(|_| is_metric) {
        Some(undercut) => Ok((undercut.least, Undercut::Din76)),
        None => Ok((up_to_tenths(&terms.pitch.times(&PITCHES)?)?, Undercut::Pitches)),
    }
}

/// To a tenth of a mm upward; pi is 22/7 for that.
fn up_to_tenths(of: &Lead) -> Result<Length> {
    let mm = if of.has_pi() { of.mm().times(&PI)? } else { of.mm() };
    let tenths = mm.times(&Ratio::whole(10)?)?;
    Ok(Length::from_mm(Ratio::new(tenths.numer().div_ceil(tenths.denom()), 10)?))
}

/// Turns a minute, rounded down.
fn whole(rpm: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let rpm = rpm.clamp(0.0, f64::from(u32::MAX)) as u32;
    rpm
}

fn slowest(speeds: &Speeds) -> Option<u32> {
    match speeds {
        Speeds::Range(range) => Some(*range.start()),
        Speeds::List(list) => list.iter().min().copied(),
    }
}

fn rpms(terms: &Terms<'_>, stated: Option<u32>, fastest: Option<u32>, enough: u32) -> Vec<u32> {
    if let Some(rpm) = stated {
        return vec![rpm];
    }
    match terms.speeds {
        Some(Speeds::List(list)) => {
            let mut list = list.clone();
            list.sort_unstable();
            list.dedup();
            list.truncate(ROWS);
            list
        }
        Some(Speeds::Range(range)) => {
            let mut two = vec![*range.start(), fastest.unwrap_or(*range.start())];
            two.dedup();
            two
        }
        _ if enough > 0 => vec![enough],
        _ => Vec::new(),
    }
}
