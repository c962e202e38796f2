//! What diameter is turned first, and which pitch diameter is the aim?
//!
//! A depth counts from the surface of the blank, so it depends on the actual blank. A class lets the
//! blank vary more than the pitch diameter. Where the class is known the aim is the middle of its
//! pitch diameter, else the basic one.
//!
//! The advised blank is the middle of the class, to 0.01 mm or 0.001 in.

use super::{Cut, Measure, Side};
use crate::tolerance::{Limit, Limits};
use crate::{Error, Length, Ratio, Result};

/// The diameter before the thread is cut, and the pitch diameter to aim at.
///
/// ```
/// use solver::cutting::{Blank, Cut, Tip, Against};
/// use solver::tolerance::Limits;
/// let target: solver::Target = "M10".parse()?;
/// let (screw, limits) = (Cut::of(&target)?, Limits::of(&target.thread().unwrap(), "6g".parse()?)?);
/// let blank = Blank::advised(&screw, Some(&limits))?;
/// assert_eq!(blank.across().to_string(), "197/20 mm"); // 9.732 to 9.968
/// assert_eq!(blank.pitch().to_string(), "1116/125 mm"); // 8.862 to 8.994
/// let depth = screw.depth_in(&blank, Tip::Form)?;
/// assert_eq!(format!("{:.3}", depth.depth.mm()), "0.894");
///
/// let thin = Blank::measured(&screw, Some(&limits), "9.7 mm".parse()?)?;
/// assert_eq!(thin.against_class(), Some(Against::Under));
/// assert_eq!(format!("{:.3}", screw.depth_in(&thin, Tip::Form)?.depth.mm()), "0.819");
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blank {
    across: Measure,
    pitch: Measure,
    /// Least distance to the crest of the mate.
    mate: Measure,
    allowed: Option<[Length; 2]>,
    of_class: bool,
    measured: bool,
}

/// A measured blank against its class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Against {
    /// Smaller than the class allows.
    Under,
    /// Within the class.
    Within,
    /// Larger than the class allows.
    Over,
}

/// Crests between these parts of the basic height are accepted: a lower or higher one is another
/// thread, or a typing slip (common practice, no source).
const CRESTS: [f64; 2] = [0.25, 2.0];

impl Blank {
    /// The blank to turn or bore: the middle of the class, else the basic size.
    ///
    /// # Errors
    /// If no diameter is known: see [`Cut::diameters`].
    pub fn advised(cut: &Cut, limits: Option<&Limits>) -> Result<Self> {
        let basic = cut.diameters()?;
        let side = cut.side();
        let [crest, far] = match side {
            Side::External => [Limits::major, Limits::minor],
            Side::Internal => [Limits::minor, Limits::major],
        };
        let both = |of: fn(&Limits) -> Limit| {
            let limit = of(limits?);
            limit.least().zip(limit.greatest()).map(|(least, greatest)| [least, greatest])
        };
        let allowed = both(crest);
        let aim = both(Limits::pitch);
        // The limit of the root is that of the mate's crest, unless the form leaves room for it.
        let mate =
            limits.filter(|_| cut.form().is_pointed()).map(far).and_then(|limit| match side {
                Side::External => limit.greatest(),
                Side::Internal => limit.least(),
            });
        let (own, other) = (basic.blank(side), basic.blank(side.other()));
        Ok(Self {
            across: advice(cut, allowed, &own)?,
            pitch: aim.map_or(Ok(basic.pitch), |aim| middle(&aim).map(Measure::from))?,
            mate: mate.map_or(other, Measure::from),
            allowed,
            of_class: aim.is_some(),
            measured: false,
        })
    }

    /// A measured blank: the outside of a screw, the bore of a nut.
    ///
    /// # Errors
    /// If no diameter is known, or it leaves too low a crest, or a pointed one.
    pub fn measured(cut: &Cut, limits: Option<&Limits>, across: Length) -> Result<Self> {
        let advised = Self::advised(cut, limits)?;
        let blank = Self { across: across.into(), measured: true, ..advised };
        let [least, greatest] = blank.sane(cut);
        let mm = across.mm().to_f64();
        if blank.against_class() == Some(Against::Within) || (least..=greatest).contains(&mm) {
            return Ok(blank);
        }
        let what = match cut.side() {
            Side::External => "is no blank for this thread",
            Side::Internal => "is no bore for this thread",
        };
        Err(Error::conflict(format!("{mm:.3} mm ({:.4} in) {what}", mm / 25.4)).with_hint(format!(
            "{:.2} mm is right; {:.2} mm to {:.2} mm ({:.3} in to {:.3} in) can be cut",
            advised.across.mm(),
            (least * 100.0).ceil() / 100.0,
            (greatest * 100.0).floor() / 100.0,
            (least / 25.4 * 1000.0).ceil() / 1000.0,
            (greatest / 25.4 * 1000.0).floor() / 1000.0
        )))
    }

    /// The same for another pitch diameter, that of a nut for one screw. A screw over its class may have a
    /// root over it too: the bore is opened by as much as the pitch diameter, unless it was measured.
    ///
    /// # Errors
    /// If the numbers are out of range.
    pub fn to_mate(self, pitch: Length) -> Result<Self> {
        let past = pitch.mm().to_f64() - self.pitch.mm();
        let blank = Self { pitch: pitch.into(), of_class: false, ..self };
        if past <= 0.0 {
            return Ok(blank);
        }
        let hundredth = Ratio::table(1, 100);
        let by = rounded_to(past + hundredth.to_f64() / 2.0, &hundredth)?.mm();
        let more = |of: Length| of.mm().plus(&by).map(Length::from_mm);
        let allowed = match self.allowed {
            Some([least, greatest]) => Some([more(least)?, more(greatest)?]),
            None => None,
        };
        let across = match self.across.exact() {
            Some(exact) if !self.measured => more(exact)?.into(),
            _ => self.across,
        };
        Ok(Self { across, allowed, ..blank })
    }

    /// Outside diameter of the screw's blank, bore of the nut's.
    pub const fn across(&self) -> Measure {
        self.across
    }

    /// The pitch diameter to aim at.
    pub const fn pitch(&self) -> Measure {
        self.pitch
    }

    /// Least and greatest blank of the class; `None`: no class is known.
    pub const fn allowed(&self) -> Option<[Length; 2]> {
        self.allowed
    }

    /// Whether the pitch diameter is the middle of its class; else it is basic.
    pub const fn is_of_class(&self) -> bool {
        self.of_class
    }

    /// Whether the blank was measured; else it is advised.
    pub const fn is_measured(&self) -> bool {
        self.measured
    }

    /// Its place in the class; `None`: no class is known.
    pub fn against_class(&self) -> Option<Against> {
        let [least, greatest] = self.allowed?;
        let mm = self.across.mm();
        Some(match self.across.exact() {
            Some(exact) if exact < least => Against::Under,
            Some(exact) if exact > greatest => Against::Over,
            None if mm < least.mm().to_f64() => Against::Under,
            None if mm > greatest.mm().to_f64() => Against::Over,
            _ => Against::Within,
        })
    }

    /// From the surface to the pitch line; `None`: the blank does not reach it.
    pub(super) fn crest(&self, side: Side) -> Option<Measure> {
        between(&self.across, &self.pitch, side)
    }

    /// From the surface to the crest of the mate.
    pub(super) fn mate_below(&self, side: Side) -> Option<Measure> {
        between(&self.across, &self.mate, side)
    }

    /// Diameter at the bottom of a groove of this depth, in mm.
    pub fn root(&self, side: Side, depth: &Measure) -> f64 {
        match side {
            Side::External => self.across.mm() - 2.0 * depth.mm(),
            Side::Internal => self.across.mm() + 2.0 * depth.mm(),
        }
    }

    /// Range of sensible blanks, in mm.
    fn sane(&self, cut: &Cut) -> [f64; 2] {
        let crest = cut.crest().mm();
        let sharp = cut.form().to_sharp(&cut.pitch());
        let [low, high] = [CRESTS[0] * crest, (CRESTS[1] * crest).min(sharp)].map(|h| 2.0 * h);
        let pitch = self.pitch.mm();
        match cut.side() {
            Side::External => [pitch + low, pitch + high],
            Side::Internal => [pitch - high, pitch - low],
        }
    }
}

fn between(surface: &Measure, deeper: &Measure, side: Side) -> Option<Measure> {
    match side {
        Side::External => surface.less(deeper),
        Side::Internal => deeper.less(surface),
    }
    .map(|both| both.half())
}

fn middle([least, greatest]: &[Length; 2]) -> Result<Length> {
    Ok(Length::from_mm(least.mm().plus(&greatest.mm())?.over(&Ratio::table(2, 1))?))
}

/// A practical figure: the middle of the range, as round as fits inside.
fn advice(cut: &Cut, allowed: Option<[Length; 2]>, basic: &Measure) -> Result<Measure> {
    let steps = if is_inch(cut) {
        [Ratio::table(127, 5000), Ratio::table(127, 50_000)] // 0.001 in, 0.0001 in
    } else {
        [Ratio::table(1, 100), Ratio::table(1, 1000)]
    };
    let Some(allowed) = allowed else {
        return Ok(match basic.exact() {
            Some(_) => *basic,
            None => rounded_to(basic.mm(), &steps[0])?.into(),
        });
    };
    let middle = middle(&allowed)?;
    for step in steps {
        let figure = rounded_to(middle.mm().to_f64(), &step)?;
        if allowed[0] <= figure && figure <= allowed[1] {
            return Ok(figure.into());
        }
    }
    Ok(middle.into())
}

/// To the nearest step.
fn rounded_to(mm: f64, step: &Ratio) -> Result<Length> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "steps of a diameter"
    )]
    let steps = (mm / step.to_f64()).round().max(1.0) as u64;
    Ok(Length::from_mm(step.times(&Ratio::whole(steps)?)?))
}

/// Whether it is an inch thread: half turns an inch.
fn is_inch(cut: &Cut) -> bool {
    let twice = cut.pitch().tpi().and_then(|tpi| tpi.times(&Ratio::table(2, 1)));
    !cut.pitch().has_pi() && twice.is_ok_and(|twice| twice.is_whole())
}
