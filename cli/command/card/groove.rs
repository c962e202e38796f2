//! How deep, from which blank, in which passes: worked out once, for every section that tells of it.

use super::work::Work;
use crate::failure::Failure;
use solver::cutting::{Blank, Cut, Depth, Measure, Outline, Passes, Slot, Tip};
use solver::tolerance::Limits;
use solver::{Length, Target};

/// The groove that is cut.
#[derive(Debug, Clone)]
pub(super) struct Groove {
    /// The blank; `None`: no diameter is known, or a taper.
    pub(super) blank: Option<Blank>,
    pub(super) depth: Measure,
    /// Beside what the form wants; `None`: a round groove.
    pub(super) of_form: Option<Depth>,
    pub(super) passes: Passes,
    /// How it is widened where it is too wide for one tool.
    pub(super) slot: Option<Slot>,
}

impl Groove {
    /// Of a thread.
    ///
    /// # Errors
    /// By argument: a blank that is none, a tool that is wider than the groove.
    pub(super) fn of(cut: &Cut, limits: Option<&Limits>, work: &Work) -> Result<Self, Failure> {
        let named = |argument: &str, e: &solver::Error| Failure::from(e).under(argument);
        let tool = match work.tip {
            Tip::Nose(_) => "--nose: ",
            Tip::Flat(_) => "--flat: ",
            Tip::Form | Tip::Sharp => "",
        };
        let blank = match work.blank {
            Some(_) if cut.taper().is_some() => {
                return Err(Failure::new("--blank: a taper has no one diameter")
                    .with_hint("leave --blank out"));
            }
            Some(measured) => {
                let blank = Blank::measured(cut, limits, measured);
                Some(blank.map_err(|e| named("--blank: ", &e))?)
            }
            None if cut.taper().is_none() => Blank::advised(cut, limits).ok(),
            None => None,
        };
        let depth = match (work.depth, &blank) {
            (Some(stated), _) => cut.depth_as_stated(work.tip, stated),
            (None, Some(blank)) => cut.depth_in(blank, work.tip),
            (None, None) => cut.depth(work.tip),
        };
        let depth = depth.map_err(|e| {
            let argument = if work.depth.is_some() && tool.is_empty() { "--depth: " } else { tool };
            named(argument, &e)
        })?;
        let plan = |e: &solver::Error| named("--first: ", e);
        let slot = cut.slot(work.tip, &depth.depth, work.plan).map_err(|e| plan(&e))?;
        let passes = if let Some(slot) = &slot {
            slot.passes.clone()
        } else {
            cut.outline(work.tip).passes(&depth.depth, work.plan).map_err(|e| plan(&e))?
        };
        Ok(Self { blank, depth: depth.depth, of_form: Some(depth), passes, slot })
    }

    /// A round one; `None`: none was asked for. Its tool is as round as it is deep, unless that is said.
    ///
    /// # Errors
    /// If the grooves would run into each other.
    pub(super) fn round(target: &Target, work: &Work) -> Result<Option<Self>, Failure> {
        let Some(depth) = work.depth.filter(|_| work.round) else { return Ok(None) };
        let outline = Outline::round(radius(work, depth));
        let (width, pitch) = (outline.width(depth.mm().to_f64()), target.pitch().to_f64());
        if width >= pitch {
            return Err(Failure::new(format!(
                "--depth: the groove is {width:.3} mm wide, the pitch {pitch:.3} mm"
            ))
            .with_hint("a smaller --nose or --depth"));
        }
        let passes = outline.passes(&depth.into(), work.plan);
        let passes = passes.map_err(|e| Failure::from(&e).under("--first: "))?;
        Ok(Some(Self { blank: None, depth: depth.into(), of_form: None, passes, slot: None }))
    }
}

/// Radius of a round tool.
pub(super) fn radius(work: &Work, depth: Length) -> Length {
    work.nose().unwrap_or(depth)
}
