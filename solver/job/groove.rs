//! How deep, from which blank, with which tool, in which passes?

use super::mate::ToMate;
use super::work::{Refused, Stated, Work};
use crate::cutting::{
    Along, Blank, Cut, Depth, Ground, Measure, Outline, Passes, Slot, Tip, TopSlide,
};
use crate::scratch_pass::{Direction, Spindle, direction};
use crate::tolerance::Limits;
use crate::{Error, Length, Target};

/// The groove to cut, with its tool.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Groove {
    /// The blank; `None`: no diameter is known, a taper, or a round groove.
    pub blank: Option<Blank>,
    /// The end of the tool: as stated, else as the form needs.
    pub tool: Tool,
    /// Depth from the surface of the blank, square to the axis.
    pub depth: Measure,
    /// The root against the form's; `None`: a round groove.
    pub of_form: Option<Depth>,
    /// Its passes; with a [`Slot`] those of the narrower tool.
    pub passes: Passes,
    /// How it is widened where it is too wide for one tool.
    pub slot: Option<Slot>,
    /// The top slide for angled infeed; `None`: it is parallel to the bed for a slot or for the
    /// starts, or the groove is round.
    pub slide: Option<TopSlide>,
    /// Lead angle in degrees at the basic pitch diameter; `None`: unknown.
    pub lead_angle: Option<f64>,
    /// Diameter of the root, in mm; `None`: no diameter is known.
    pub root_mm: Option<f64>,
}

/// The end of the tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tool {
    /// Rounded with this radius.
    Nose(Measure),
    /// A flat of this width.
    Flat(Measure),
    /// A sharp point.
    Point,
}

/// The root that the tool leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Root {
    /// As the form.
    OfTheForm,
    /// Deeper: the work is weaker there.
    Deeper,
    /// Too shallow: the mate binds on its crest.
    TooShallow,
}

impl Groove {
    /// Of a thread; `slides`: whether the top slide is free for angled infeed. It feeds the way that
    /// the carriage runs.
    pub(super) fn of(
        cut: &Cut,
        (limits, mate): (Option<&Limits>, Option<&ToMate>),
        work: &Work,
        slides: bool,
        spindle: Spindle,
    ) -> Result<Self, Refused> {
        let tool = match work.tip {
            Tip::Nose(_) => Some(Stated::Nose),
            Tip::Flat(_) => Some(Stated::Flat),
            Tip::Form | Tip::Sharp => None,
        };
        let blank = match work.blank {
            Some(_) if work.taper.is_some() => None,
            Some(_) if cut.taper().is_some() => return Err(Refused::TaperBlank),
            Some(measured) => Some(named(Stated::Blank, Blank::measured(cut, limits, measured))?),
            None if cut.taper().is_none() => Blank::advised(cut, limits).ok(),
            None => None,
        };
        let blank = match (blank, mate) {
            (Some(blank), Some(to)) => Some(blank.to_mate(to.wanted)?),
            (blank, _) => blank,
        };
        let depth = match (work.depth, &blank) {
            (Some(stated), _) => cut.depth_as_stated(work.tip, stated),
            (None, Some(blank)) => cut.depth_in(blank, work.tip),
            (None, None) => cut.depth(work.tip),
        };
        let depth = depth.map_err(|e| match tool.or(work.depth.map(|_| Stated::Depth)) {
            Some(of) => Refused::Stated(of, e),
            None => Refused::Lathe(e),
        })?;
        let slot = named(Stated::FirstPass, cut.slot(work.tip, &depth.depth, work.passes))?;
        let passes = if let Some(slot) = &slot {
            slot.passes.clone()
        } else {
            let outline = cut.outline(work.tip);
            named(Stated::FirstPass, outline.passes(&depth.depth, work.passes))?
        };
        let slides = slides && slot.is_none();
        Ok(Self {
            tool: Tool::of(cut, work.tip),
            depth: depth.depth,
            slide: slides.then(|| top_slide(cut, &depth.depth, spindle)).transpose()?,
            lead_angle: cut.diameters().ok().map(|of| cut.lead_angle(&of.pitch)),
            root_mm: blank.map(|blank| blank.root(work.side, &depth.depth)),
            blank,
            of_form: Some(depth),
            passes,
            slot,
        })
    }

    /// A round one; `None`: not asked for. Its nose radius equals its depth, unless stated.
    pub(super) fn round(target: &Target, work: &Work) -> Result<Option<Self>, Refused> {
        let Some(depth) = work.depth.filter(|_| work.is_round()) else { return Ok(None) };
        let radius: Length = work.nose().unwrap_or(depth);
        let outline = Outline::round(radius);
        let (width_mm, pitch_mm) = (outline.width(depth.mm().to_f64()), target.pitch().to_f64());
        if width_mm >= pitch_mm {
            return Err(Refused::TooWide { width_mm, pitch_mm });
        }
        Ok(Some(Self {
            blank: None,
            tool: Tool::Nose(radius.into()),
            depth: depth.into(),
            of_form: None,
            passes: named(Stated::FirstPass, outline.passes(&depth.into(), work.passes))?,
            slot: None,
            slide: None,
            lead_angle: None,
            root_mm: None,
        }))
    }

    /// The root that the tool leaves; `None`: a round groove.
    pub fn root(&self) -> Option<Root> {
        let depth = self.of_form?;
        Some(match (depth.is_too_blunt(), depth.is_deeper()) {
            (true, _) => Root::TooShallow,
            (_, true) => Root::Deeper,
            _ => Root::OfTheForm,
        })
    }

    /// The blank for the pitch diameter that the depth gives; `None`: no diameter is known, or the
    /// depth was stated.
    pub fn aim(&self, work: &Work) -> Option<Blank> {
        self.blank.filter(|_| work.depth.is_none())
    }

    /// Travel along the top slide after each pass, in mm; none where it is parallel to the bed.
    pub fn slide_marks(&self) -> Vec<f64> {
        let longer = self.slide.map(|slide| slide.travel / self.depth.mm());
        let along = |longer: f64| self.passes.marks.iter().map(|mark| mark * longer).collect();
        longer.map_or_else(Vec::new, along)
    }
}

impl Tool {
    fn of(cut: &Cut, tip: Tip) -> Self {
        match (tip, cut.ground()) {
            (Tip::Nose(radius), _) => Self::Nose(radius.into()),
            (Tip::Flat(width), _) => Self::Flat(width.into()),
            (Tip::Sharp, _) => Self::Point,
            (Tip::Form, Ground::Nose(radius)) => Self::Nose(Measure::rounded(radius)),
            (Tip::Form, Ground::Flat(width)) => Self::Flat(Measure::rounded(width)),
        }
    }
}

fn top_slide(cut: &Cut, depth: &Measure, spindle: Spindle) -> crate::Result<TopSlide> {
    let along = match direction(cut.hand(), spindle) {
        Direction::Headstock => Along::Headstock,
        Direction::Tailstock => Along::Tailstock,
    };
    Ok(TopSlide { along, ..cut.top_slide(depth)? })
}

fn named<T>(stated: Stated, of: crate::Result<T>) -> Result<T, Refused> {
    of.map_err(|e: Error| Refused::Stated(stated, e))
}
