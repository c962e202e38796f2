//! The undercut in which a thread ends, or begins where the tool runs away from the headstock.

use super::groove::Groove;
use super::stated::StatedUndercut;
use super::work::{Refused, Work};
use crate::cutting::{self, Cut, Form, Side, short_undercut};
use crate::scratch_pass::Spindle;
use crate::{Hand, Lead, Length, Ratio, Result, Sureness};

/// Pitches assumed for an unknown undercut (an open handbook, low trust: at least 1.5).
const PITCHES: Ratio = Ratio::table(3, 2);
/// Pitches of run-out on an American taper pipe: ASME B1.20.1, V = L4 - L2.
const RUN_OUT: Ratio = Ratio::table(347, 100);
/// Replaces pi where a length is rounded up.
const PI: Ratio = Ratio::table(22, 7);

/// The source of the undercut's width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WidthSource {
    /// Stated.
    Stated,
    /// The least width of DIN 76-1 for the pitch.
    Din76,
    /// The least short one.
    Din76Short,
    /// 1.5 pitches, rounded up to a tenth of a mm.
    Pitches,
    /// No undercut: the run-out of a taper pipe thread, L4 less L2 of ASME B1.20.1, 3.47 pitches.
    RunOut,
}

/// The undercut to turn or bore.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Undercut {
    /// Width at full depth: the least, or as stated.
    pub width: Length,
    /// Width in all, with the slope to the thread, at most; `None`: unknown.
    pub most: Option<Length>,
    /// Diameter of its floor; `None`: unknown.
    pub floor: Option<Length>,
    /// Radius in the corner, about; `None`: unknown.
    pub radius: Option<Length>,
    /// The source of the width.
    pub source: WidthSource,
    /// How far the standard's figures can be trusted; `None`: they are not the standard's.
    pub sureness: Option<Sureness>,
    /// How far the tool's side reaches beside the middle of its end at the last pass, in mm, at the
    /// surface of the blank; `None`: unknown.
    pub reach_mm: Option<f64>,
}

impl Undercut {
    /// What is turned; `None`: nothing was said of it.
    pub(super) fn of(
        width: Option<Width>,
        cut: Option<&Cut>,
        groove: Option<&Groove>,
        work: &Work,
    ) -> Option<Self> {
        if work.undercut.is_none() && !work.away {
            return None;
        }
        let Width { wide: width, source, standard } = width?;
        let of_standard = standard.filter(|_| source != WidthSource::Stated);
        let nominal = cut.filter(|cut| cut.taper().is_none()).and_then(|cut| cut.diameters().ok());
        let nominal = nominal.and_then(|of| of.major.exact());
        let reach = groove.filter(|groove| groove.slot.is_none()).zip(cut);
        Some(Self {
            width,
            most: of_standard.map(|of| of.most),
            floor: standard.zip(nominal).and_then(|(of, nominal)| of.floor(&nominal, work.side)),
            radius: standard.map(|of| of.radius),
            source,
            sureness: standard.map(|of| of.sureness),
            reach_mm: reach
                .map(|(groove, cut)| cut.outline(work.tip).width(groove.depth.mm()) / 2.0),
        })
    }
}

/// The width of an undercut, with what the standard has for the pitch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Width {
    pub(super) wide: Length,
    pub(super) source: WidthSource,
    standard: Option<cutting::Undercut>,
}

impl Width {
    /// As stated; else the least of DIN 76-1 for a metric 60 degree thread; else the run-out of an American
    /// taper pipe; else 1.5 pitches.
    pub(super) fn of(
        pitch: &Lead,
        cut: Option<&Cut>,
        hand: Option<Hand>,
        work: &Work,
    ) -> std::result::Result<Self, Refused> {
        let is_metric = cut.is_some_and(|cut| cut.form() == Form::Sixty);
        let table = match work.undercut {
            Some(StatedUndercut::Short) => short_undercut,
            _ => cutting::undercut,
        };
        let runs_out = cut.is_some_and(Cut::runs_out_on_pipe)
            && work.side == Side::External
            && !begins_there(hand, work);
        let standard = table(pitch, work.side).filter(|_| is_metric);
        let (wide, source) = match (work.undercut, &standard) {
            (Some(StatedUndercut::Wide(width)), _) => (width, WidthSource::Stated),
            (Some(StatedUndercut::Short), Some(of)) => (of.least, WidthSource::Din76Short),
            (Some(StatedUndercut::Short), None) => return Err(Refused::NoShortUndercut),
            (_, Some(of)) => (of.least, WidthSource::Din76),
            (None, None) if runs_out => {
                (Length::from_mm(pitch.times(&RUN_OUT)?.mm()), WidthSource::RunOut)
            }
            (_, None) => (up_to_tenths(&pitch.times(&PITCHES)?)?, WidthSource::Pitches),
        };
        Ok(Self { wide, source, standard })
    }
}

/// Rounded up to a tenth of a mm, with 22/7 for pi.
pub(super) fn up_to_tenths(of: &Lead) -> Result<Length> {
    let mm = if of.has_pi() { of.mm().times(&PI)? } else { of.mm() };
    let tenths = mm.times(&Ratio::whole(10)?)?;
    Ok(Length::from_mm(Ratio::new(tenths.numer().div_ceil(tenths.denom()), 10)?))
}

/// How the spindle turns in the cut: the hand is the sense of the spindle against the travel, so a
/// right-hand thread is cut away from the headstock in reverse, a left-hand one forward.
pub(super) fn spindle(hand: Option<Hand>, work: &Work) -> Spindle {
    match hand {
        Some(Hand::Right) if work.away => Spindle::Reverse,
        _ => Spindle::Forward,
    }
}

/// Whether the undercut is at the end where the tool begins.
pub(super) fn begins_there(hand: Option<Hand>, work: &Work) -> bool {
    work.away || hand == Some(Hand::Left) && work.undercut.and_then(StatedUndercut::width).is_none()
}
