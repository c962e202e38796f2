//! A nut that is cut to one screw: which pitch diameter, with which clearance?
//!
//! The clearance is the least that the two classes leave between nut and screw: EI + es of ISO 965-1 (6H/6g:
//! the fundamental deviation es of g), the allowance of ASME B1.1 (2B/2A), and so on. It is exact: the
//! nut's least pitch diameter less the screw's greatest.

use super::work::{Refused, Stated, Work};
use crate::cutting::{Blank, Cut, Side, Tip};
use crate::tolerance::{Class, Limits, default_class};
use crate::{Error, Length, Ratio, Result, Target};

/// A nut for one screw.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ToMate {
    /// Pitch diameter of the screw, as measured.
    pub mate: Length,
    /// Least clearance of the classes; `None`: they leave none, or no classes are known.
    pub clearance: Option<Length>,
    /// Class of the nut and of the screw; `None`: none are known.
    pub classes: Option<[Class; 2]>,
    /// The least pitch diameter of the nut: the aim.
    pub wanted: Length,
    /// The greatest: the tolerance of its class more; `None`: no class is known.
    pub up_to: Option<Length>,
}

/// A pitch diameter further off than this part of the basic one is of another thread.
const ANOTHER: Ratio = Ratio::table(1, 10);

impl ToMate {
    /// `None`: no mate was stated.
    ///
    /// # Errors
    /// If it makes no sense: for a screw, on a taper, without a diameter, or a mate of another thread.
    pub(super) fn of(
        target: &Target,
        cut: Option<&Cut>,
        limits: Option<&Limits>,
        work: &Work,
    ) -> std::result::Result<Option<Self>, Refused> {
        let Some(mate) = work.mate else { return Ok(None) };
        let refused = |e: Error| Refused::Stated(Stated::Mate, e);
        Self::is_mate(cut, work, &mate).map_err(refused)?;
        let screw = mate_limits(target, work, limits);
        let classes = limits.zip(screw.as_ref());
        let ends = classes.and_then(|(nut, screw)| {
            Some((nut.pitch().least()?, screw.pitch().greatest()?, nut.pitch_tolerance()))
        });
        let apart = match &ends {
            Some((nut, screw, _)) => nut.mm().apart(&screw.mm()).map_err(refused)?,
            None => None,
        };
        let more = |from: Length, by: &Ratio| from.mm().plus(by).map(Length::from_mm);
        let wanted = apart.map_or(Ok(mate), |by| more(mate, &by)).map_err(refused)?;
        let up_to = ends.map(|(.., tolerance)| more(wanted, &tolerance.mm())).transpose();
        Ok(Some(Self {
            mate,
            clearance: apart.map(Length::from_mm),
            classes: classes.map(|(nut, screw)| [nut.class(), screw.class()]),
            wanted,
            up_to: up_to.map_err(refused)?,
        }))
    }

    fn is_mate(cut: Option<&Cut>, work: &Work, mate: &Length) -> Result<()> {
        if work.side == Side::External {
            return Err(Error::conflict("it is the screw that a nut is cut to").with_hint(
                "--internal beside it; a screw is tried in its nut (--now \"nut starts\")",
            ));
        }
        let Some(cut) = cut else {
            return Err(Error::unknown("the form of this thread is not known here")
                .with_hint("--form beside it"));
        };
        if cut.taper().is_some() {
            return Err(Error::conflict("a taper has no one pitch diameter")
                .with_hint("leave it out: a taper is tried with its gauge"));
        }
        if work.depth.is_some() {
            return Err(Error::conflict("a stated depth has no size to reach")
                .with_hint("leave --depth out"));
        }
        let Ok(basic) = cut.diameters() else {
            return Err(
                Error::unknown("the diameter is not stated").with_hint("--diameter beside it")
            );
        };
        // Half the engagement of the flanks is gone where it is off by the height of the thread.
        let height = (basic.major.mm() - basic.minor.mm()) / 2.0;
        let (mm, pitch) = (mate.mm().to_f64(), basic.pitch.mm());
        if (mm - pitch).abs() > height.min(pitch * ANOTHER.to_f64()) {
            return Err(Error::conflict(format!(
                "a pitch diameter of {mm:.3} mm is of another thread"
            ))
            .with_hint(format!(
                "{pitch:.3} mm is the basic one of this thread; measure it over wires"
            )));
        }
        Ok(())
    }

    /// The widest flat of a tool that leaves room for the screw's crests, in mm; 0 or less: not even a
    /// point does.
    pub fn widest_flat(cut: &Cut, blank: &Blank) -> Option<f64> {
        let sharp = cut.depth_in(blank, Tip::Sharp).ok()?;
        let slope = cut.form().half_angle().to_f64().to_radians().tan();
        Some(2.0 * slope * (sharp.depth.mm() - sharp.least.mm()))
    }
}

/// Limits of the usual mate; `None`: unknown. `own`: limits of the part itself.
pub(super) fn mate_limits(target: &Target, work: &Work, own: Option<&Limits>) -> Option<Limits> {
    let internal = work.side == Side::External;
    match (target.thread(), work.diameter) {
        (Some(thread), _) => Limits::of(&thread, default_class(&thread, internal)?).ok(),
        (None, Some(diameter)) => {
            let class = own?.class().standard().default_class(internal);
            Limits::of_size(&diameter, &Length::from_mm(target.pitch().mm()), class).ok()
        }
        (None, None) => None,
    }
}
