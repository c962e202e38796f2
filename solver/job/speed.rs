//! How fast is the carriage at the end of the thread, and is there time to stop?

use super::undercut::{Width, WidthSource, up_to_tenths};
use super::work::{Coasting, Work};
use crate::cutting::{self, COASTING, REACTION, Stop};
use crate::{Lead, Length, Ratio, Result, Speeds};

/// Most speeds used from a list of the lathe's own.
const ROWS: usize = 3;

/// Speed of the carriage.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Speed {
    /// Width of the undercut at the end of the thread.
    pub undercut: Length,
    /// The source of that width.
    pub undercut_is: WidthSource,
    /// Whether the tool leaves the work at the tailstock end, where there is no undercut.
    pub runs_free: bool,
    /// Reaction time in seconds.
    pub reaction: Ratio,
    /// Coasting time of the spindle in seconds; `None`: none.
    pub coasting: Option<Ratio>,
    /// The greatest speed with time to stop, rounded down.
    pub enough_rpm: u32,
    /// The same without coasting: the half nut may be opened at the end of a pass and stops the
    /// carriage there; `None`: it stays closed.
    pub nut_opened_rpm: Option<u32>,
    /// The fastest of the lathe's own speeds with time to stop; `None`: none, or unknown.
    pub fastest_rpm: Option<u32>,
    /// Some speeds: the stated one; else the lathe's slowest and the fastest with time to stop; else
    /// the greatest with time to stop.
    pub at: Vec<SpeedCheck>,
    /// The lathe's slowest, for the scratch pass.
    pub slowest: Slowest,
    /// Whether the lead screw turns faster than the spindle.
    pub screw_outruns_spindle: bool,
}

/// A spindle speed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SpeedCheck {
    /// Turns a minute.
    pub rpm: u32,
    /// Speed of the carriage.
    pub mm_per_s: f64,
    /// Seconds in the undercut.
    pub undercut_s: f64,
    /// What there is time for.
    pub time: Time,
    /// Travel of the carriage until it is at rest, rounded up to a tenth of a mm; `None`: out of
    /// range.
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
    /// A speed in turns a minute.
    Rpm(u32),
    /// It leaves no time to stop in the undercut.
    TooFast,
    /// Unknown.
    Unknown,
}

/// The data of the speeds.
pub(super) struct Terms<'a> {
    pub(super) lead: Lead,
    pub(super) undercut: Width,
    pub(super) speeds: Option<&'a Speeds>,
    /// Whether the undercut is where the tool begins.
    pub(super) begins_there: bool,
    /// Whether the half nut may be opened at the end of a pass.
    pub(super) opens: bool,
    pub(super) outruns: bool,
}

impl Speed {
    pub(super) fn of(terms: &Terms<'_>, work: &Work) -> Result<Self> {
        let Width { wide: undercut, source: undercut_is, .. } = terms.undercut;
        let reaction = work.reaction.unwrap_or(REACTION);
        let coasting = work.coasting.map_or(Some(COASTING), Coasting::seconds);
        let seconds = coasting.map_or(Ok(reaction), |coasting| reaction.plus(&coasting))?;
        let stop = Stop::new(terms.lead, undercut, seconds);
        let fastest = terms.speeds.map(|speeds| stop.fastest(speeds)).transpose()?.flatten();
        let enough = whole(stop.rpm());
        let opened = terms.opens.then(|| whole(Stop::new(terms.lead, undercut, reaction).rpm()));
        let pace = |rpm| SpeedCheck::new(terms.lead, undercut, &stop, seconds, opened, rpm);
        let runs_free = terms.begins_there;
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

impl Speed {
    /// Takes over the spindle speeds of another one.
    pub(super) fn add(&mut self, other: Self) {
        for at in other.at {
            if self.at.iter().all(|own| own.rpm != at.rpm) {
                self.at.push(at);
            }
        }
        self.at.sort_by_key(|at| at.rpm);
    }
}

impl SpeedCheck {
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

#[cfg(test)]
mod tests {
    use super::super::stated::StatedUndercut;
    use super::*;
    use crate::cutting::Cut;

    fn speed(lead: &str, work: &Work, speeds: Option<&Speeds>, begins_there: bool) -> Speed {
        let lead = Lead::new(lead.parse().unwrap());
        let cut = Cut::of(&"M10".parse().unwrap()).unwrap();
        let undercut = Width::of(&lead, Some(&cut), Some(crate::Hand::Right), work).unwrap();
        let (opens, outruns) = (true, false);
        let terms = Terms { lead, undercut, speeds, begins_there, opens, outruns };
        Speed::of(&terms, work).unwrap()
    }

    #[test]
    fn an_undercut_is_the_stated_one_else_that_of_the_standard() {
        let wide = StatedUndercut::Wide("3 mm".parse().unwrap());
        let stated = Work { undercut: Some(wide), ..Work::default() };
        // 60 x 3 mm in 2 s of 1.5 mm a turn.
        let of = speed("1.5 mm", &stated, None, false);
        assert_eq!(
            (of.undercut_is, of.enough_rpm, of.nut_opened_rpm),
            (WidthSource::Stated, 60, Some(120))
        );
        assert_eq!((of.at.len(), of.at[0].rpm, of.at[0].time), (1, 60, Time::ToStop));
        assert_eq!(of.at[0].way, Some("3 mm".parse().unwrap()));
        assert_eq!(speed("1.5 mm", &Work::default(), None, false).undercut_is, WidthSource::Din76);
        // No pitch of DIN 76-1: 1.5 x 1.37 mm is 2.055 mm, upward.
        let odd = speed("1.37 mm", &Work::default(), None, false);
        assert_eq!(
            (odd.undercut_is, odd.undercut),
            (WidthSource::Pitches, "2.1 mm".parse().unwrap())
        );
    }

    #[test]
    fn a_lathe_may_be_too_fast_but_not_where_the_tool_runs_free() {
        let speeds = Speeds::List(vec![900, 200, 500, 700, 200]);
        let of = |is_left| speed("1.5 mm", &Work::default(), Some(&speeds), is_left);
        let right = of(false);
        assert_eq!((right.slowest, right.fastest_rpm), (Slowest::TooFast, None));
        let rows: Vec<u32> = right.at.iter().map(|pace| pace.rpm).collect();
        assert_eq!(rows, [200, 500, 700]);
        assert_eq!(right.at[0].time, Time::TooShort);
        let left = of(true);
        assert!(left.runs_free && left.slowest == Slowest::Rpm(200));
    }
}
