//! What is measured? Diameters, three wires, a taper.

use super::groove::Groove;
use super::work::{Refused, Stated, Work};
use crate::cutting::{Cut, Diameters, Measure, Normal, OverWires, Side, Tapered, axial_module};
use crate::tolerance::{Limits, default_class};
use crate::{Length, Target};

/// Diameters and wires. Limits are those of the job.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Sizes {
    /// Basic diameters; of a taper those at the gauge plane.
    pub basic: Diameters,
    /// Three wires; `None` for a nut, a taper, and where no wire fits.
    pub wires: Option<WiresOver>,
    /// Further sizes of a taper; `None` for parallel threads.
    pub taper: Option<Tapered>,
    /// Where the tool puts the root.
    pub root: Option<RootAt>,
    /// The module of a worm, with the data for a wheel cut with the same cutter.
    pub worm: Option<(Length, Normal)>,
}

/// Three wires, and the readings over them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WiresOver {
    /// The wire that touches at the pitch line.
    pub best: Measure,
    /// The wire of the readings: the stated one, else the best.
    pub wire: Measure,
    /// The thinnest and the thickest usable wire.
    pub usable: [Measure; 2],
    /// Over them at the basic pitch diameter.
    pub basic: OverWires,
    /// The same at the least and the greatest pitch diameter of the class, the lead angle included.
    pub limits: Option<[Measure; 2]>,
}

/// The place of the root.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RootAt {
    /// Inside the limits of the class.
    Inside,
    /// Outside of them.
    Outside,
    /// At the diameter of the form.
    Basic,
    /// Deeper: there is room for the mate's crests.
    Past,
    /// Short of this diameter.
    Short(Measure),
}

/// Equal to a millionth of a mm counts as equal.
const SAME: f64 = 0.5e-6;
/// Of a root, in mm: the printed figure.
const SHOWN: f64 = 0.0005;

impl Sizes {
    /// `None` where no diameter is known.
    pub(super) fn of(
        cut: &Cut,
        limits: Option<&Limits>,
        groove: Option<&Groove>,
        work: &Work,
        starts: u8,
    ) -> Option<Self> {
        let basic = cut.diameters().ok()?;
        let module = cut.module().and_then(|module| module.exact());
        let normal = module.zip(basic.pitch.exact());
        let normal = normal.and_then(|(module, pitch)| axial_module(module, starts, pitch).ok());
        let root_mm = groove.and_then(|groove| groove.root_mm);
        Some(Self {
            wires: WiresOver::of(cut, &basic.pitch, limits, work.wire),
            taper: cut.tapered().ok().flatten(),
            root: root_mm.map(|mm| RootAt::of(mm, work.side, &basic, limits)),
            worm: module.zip(normal),
            basic,
        })
    }
}

impl WiresOver {
    fn of(
        cut: &Cut,
        pitch: &Measure,
        limits: Option<&Limits>,
        stated: Option<Length>,
    ) -> Option<Self> {
        let wires = cut.wires().ok()?;
        let best = wires.best(pitch);
        let wire = stated.map_or(best, Measure::from);
        let at = |length: Option<Length>| {
            wires.over(&wire, &Measure::from(length?)).ok().map(|over| over.over)
        };
        let limit = limits.map(Limits::pitch);
        Some(Self {
            best,
            wire,
            usable: [wires.least(pitch), wires.greatest(pitch)],
            basic: wires.over(&wire, pitch).ok()?,
            limits: limit.and_then(|limit| Some([at(limit.least())?, at(limit.greatest())?])),
        })
    }
}

impl RootAt {
    fn of(root_mm: f64, side: Side, basic: &Diameters, limits: Option<&Limits>) -> Self {
        let (basic, limit, sign) = match side {
            Side::Internal => (&basic.major, limits.map(Limits::major), 1.0),
            Side::External => (&basic.minor, limits.map(Limits::minor), -1.0),
        };
        let (least, greatest) =
            (limit.and_then(|limit| limit.least()), limit.and_then(|limit| limit.greatest()));
        if let (Some(least), Some(greatest)) = (least, greatest) {
            let [least, greatest] = [least, greatest].map(|of| of.mm().to_f64());
            let inside = (least - SAME..=greatest + SAME).contains(&root_mm);
            return if inside { Self::Inside } else { Self::Outside };
        }
        let near = if side == Side::Internal { least } else { greatest };
        let near = near.map_or(*basic, Measure::from);
        match sign * (root_mm - near.mm()) {
            past if past.abs() < SHOWN => Self::Basic,
            past if past > 0.0 => Self::Past,
            _ => Self::Short(near),
        }
    }
}

/// Limits of the stated class, else of the usual one; `None`: unknown.
pub(super) fn limits(target: &Target, work: &Work) -> Result<Option<Limits>, Refused> {
    let internal = work.side == Side::Internal;
    let Some(class) = work.class else {
        // The usual class may have no figure for a rare size: then there are no limits.
        let thread = target.thread();
        return Ok(thread.and_then(|t| Limits::of(&t, default_class(&t, internal)?).ok()));
    };
    if class.is_internal() != internal {
        return Err(Refused::ClassOfMate(class));
    }
    let limits = match (target.thread(), work.diameter) {
        (Some(thread), _) => Limits::of(&thread, class),
        (None, Some(diameter)) => {
            Limits::of_size(&diameter, &Length::from_mm(target.pitch().mm()), class)
        }
        (None, None) => return Err(Refused::ClassOfPitch(class)),
    };
    limits.map(Some).map_err(|e| Refused::Class(class, e))
}

/// Wires that don't fit the groove are refused.
pub(super) fn wires_go_in(cut: &Cut, work: &Work) -> Result<(), Refused> {
    let (Some(wire), Ok(of)) = (work.wire, cut.diameters()) else { return Ok(()) };
    let over = cut.wires().and_then(|wires| wires.over(&wire.into(), &of.pitch));
    over.map(|_| ()).map_err(|e| Refused::Stated(Stated::Wire, e))
}
