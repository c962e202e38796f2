//! Turns a minute by the material, held against the time to stop.

use super::speed::Speed;
use super::stated::StatedSurface;
use super::work::{Refused, Work};
use crate::Speeds;
use crate::cutting::{Cut, Material, Measure, Operation, SurfaceSpeed, ToolSteel};

/// What sets the speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Decides {
    /// The time to stop in the undercut.
    RunOut,
    /// The surface speed.
    Surface,
}

/// Turns a minute by the surface speed.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Surface {
    /// The surface speed.
    pub speed: SurfaceSpeed,
    /// Material and tool; `None`: a speed was stated.
    pub of: Option<(&'static Material, ToolSteel)>,
    /// The diameter that it is reckoned at.
    pub diameter: Measure,
    /// Turns a minute at the lower and at the higher speed, rounded down.
    pub rpm: [u32; 2],
    /// To begin at: the smaller of the lower one and what leaves time to stop; 0: by hand.
    pub begin: u32,
    /// Which of the two that is.
    pub decides: Decides,
    /// The fastest of the lathe's own speeds up to that; `None`: none, or unknown.
    pub of_lathe: Option<u32>,
    /// Whether the lathe's speeds are known, and all are faster.
    pub is_too_slow: bool,
}

impl Surface {
    /// `None`: nothing was stated. `speed`: of a thread.
    pub(super) fn of(
        work: &Work,
        cut: Option<&Cut>,
        speed: Option<&Speed>,
        speeds: Option<&Speeds>,
    ) -> Result<Option<Self>, Refused> {
        let Some(stated) = work.surface else { return Ok(None) };
        let operation = if speed.is_some() { Operation::Threading } else { Operation::Turning };
        let (surface, of) = match stated {
            StatedSurface::Speed(speed) => (speed, None),
            StatedSurface::Of(material, tool) => {
                let tool = tool.or_else(|| material.tools().next());
                let known = tool.and_then(|tool| Some((material.speed(tool, operation)?, tool)));
                let (speed, tool) = known.ok_or(Refused::NoSurfaceSpeed(material))?;
                (speed, Some((material, tool)))
            }
        };
        let major = cut.and_then(|cut| cut.diameters().ok()).map(|of| of.major);
        let diameter = major.or(work.diameter.map(Measure::from));
        let diameter = diameter.ok_or(Refused::SurfaceDiameter)?;
        let rpm = surface.rpm(&diameter);
        // Where the tool begins in the undercut it need not stop in it at this speed.
        let stop = speed.filter(|speed| !speed.runs_free).map(|speed| speed.enough_rpm);
        let (begin, decides) = match stop {
            Some(stop) if stop < rpm[0] => (stop, Decides::RunOut),
            _ => (rpm[0], Decides::Surface),
        };
        let of_lathe = speeds.and_then(|speeds| fastest(speeds, begin));
        let is_too_slow = speeds.is_some() && of_lathe.is_none();
        Ok(Some(Self { speed: surface, of, diameter, rpm, begin, decides, of_lathe, is_too_slow }))
    }
}

/// The fastest up to this.
fn fastest(speeds: &Speeds, most: u32) -> Option<u32> {
    match speeds {
        Speeds::Range(range) => (*range.start() <= most).then(|| most.min(*range.end())),
        Speeds::List(list) => list.iter().copied().filter(|rpm| *rpm <= most).max(),
    }
}
