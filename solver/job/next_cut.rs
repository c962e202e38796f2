//! The thread is half cut and measured: what is left, and which cuts come next?
//!
//! The tool's flanks are those of the thread, so a groove that is not yet deep enough has a pitch
//! diameter too: E = E of the finished thread + 2 x what is left of the depth (a nut: minus). A reading
//! over wires gives it by [`Wires::pitch_diameter`](crate::cutting::Wires::pitch_diameter). Every reading
//! has an uncertainty, so the pitch diameter is an interval, and what is left another. Sizes are doubles
//! in mm, right to a millionth of a micrometre: a reading over wires is irrational.

use super::groove::Groove;
use super::mate::ToMate;
use super::measured::{Gauge, Measured};
use super::rest::{HalfCut, Rest};
use super::trial::Now;
use super::work::{Refused, Stated, Work};
use crate::cutting::{Blank, Cut, Measure, Side, Wires};
use crate::tolerance::{Class, Limit, Limits};
use crate::{Error, Result, Target};

/// Rounding, in mm.
const NEAR: f64 = 1e-9;
/// Part of the depth by which a thread may be cut too deep and still be this thread.
const TOO_DEEP: f64 = 0.25;

/// A size between two bounds, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The lower bound.
    pub least: f64,
    /// As measured.
    pub likely: f64,
    /// The upper bound.
    pub greatest: f64,
}

/// Growth of the pitch diameter toward the headstock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conicity {
    /// Last place less the first, in mm.
    pub grows: f64,
    /// From the first place to the last, in mm; `None`: not stated.
    pub along: Option<f64>,
    /// Whether it is larger than the uncertainty of two readings.
    pub is_sure: bool,
    /// Whether some places surely differ, the first and the last or not.
    pub differs: bool,
}

/// Where the thread is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stage {
    /// Metal is left to cut.
    Cutting,
    /// Inside its class at every place, whatever the error of the measurement.
    InClass,
    /// Perhaps cut too deep: the interval reaches past the class.
    PerhapsTooDeep,
    /// Cut too deep.
    TooDeep,
}

/// What is left, square to the axis, in mm; below 0 it is past it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Until the thread comes into its class; `None`: no class is known.
    pub to_first: Option<f64>,
    /// To the size to aim at: the middle of the class, else basic.
    pub to_aim: f64,
    /// Until it leaves its class; `None`: no class is known.
    pub to_last: Option<f64>,
}

/// The next cut.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NextCut {
    /// What was measured.
    pub measured: Measured,
    /// The wires of the reading; `None`: no wires.
    pub wire: Option<Measure>,
    /// Pitch diameter at each place.
    pub places: Vec<Between>,
    /// Pitch diameter: the mean, between the bounds of all places.
    pub pitch: Between,
    /// Taper; `None`: measured at one place.
    pub conicity: Option<Conicity>,
    /// The pitch diameter to aim at.
    pub aim: Measure,
    /// What is left of the infeed.
    pub left: Left,
    /// Infeed from here that ends in the class whatever the error of the measurement, in mm; `None`: no
    /// class is known, or the measurement is too coarse for it.
    pub sure: Option<[f64; 2]>,
    /// Where the thread is.
    pub stage: Stage,
    /// The passes to the aim; empty: none is left.
    pub rest: Rest,
    /// How far each flank of a wide groove moves for each mm of infeed; `None`: another groove.
    pub aside: Option<f64>,
    /// Other classes that it meets at every place, where it is too deep for its own.
    pub meets: Vec<Class>,
}

/// What the readings are held against.
struct Known<'a> {
    half_cut: HalfCut<'a>,
    wires: Option<(Wires, Measure)>,
}

impl NextCut {
    /// `None`: nothing was measured.
    ///
    /// # Errors
    /// If it can't be a measurement of this thread.
    pub(super) fn of(
        target: &Target,
        cut: Option<&Cut>,
        groove: Option<&Groove>,
        (limits, mate): (Option<&Limits>, Option<&ToMate>),
        work: &Work,
    ) -> std::result::Result<Option<Self>, Refused> {
        let Some(Now::Measured(measured)) = &work.now else { return Ok(None) };
        let refused = |e: Error| Refused::Stated(Stated::Now, e);
        let known = Known::of(cut, groove, work, measured).map_err(refused)?;
        Self::new(target, &known, (limits, mate), measured).map(Some).map_err(refused)
    }

    fn new(
        target: &Target,
        known: &Known<'_>,
        (limits, mate): (Option<&Limits>, Option<&ToMate>),
        measured: &Measured,
    ) -> Result<Self> {
        let half_cut = &known.half_cut;
        let sign = half_cut.sign();
        let places =
            measured.readings.iter().map(|reading| known.at(measured, reading.mm().to_f64()));
        let places = places.collect::<Result<Vec<_>>>()?;
        let pitch = over_all(&places);
        let aim = half_cut.blank.pitch();
        let both = match mate {
            Some(to) => to.up_to.map(|up_to| (to.wanted, up_to)),
            None => limits.map(Limits::pitch).and_then(|of| of.least().zip(of.greatest())),
        };
        let both = both.map(|(least, greatest)| [least, greatest].map(|of| of.mm().to_f64()));
        let left = Left::of(&pitch, aim.mm(), both, half_cut.cut.side());
        let stage = Stage::of(&places, both, sign);
        let rest = match stage {
            Stage::Cutting => half_cut.rest(left.to_aim),
            _ => Rest::default(),
        };
        Ok(Self {
            wire: known.wires.map(|(_, wire)| wire),
            conicity: Conicity::of(&places, measured),
            sure: both.and_then(|both| sure(&pitch, both, sign)),
            aside: half_cut.aside(),
            meets: match stage {
                Stage::TooDeep | Stage::PerhapsTooDeep => {
                    meets(target, limits.filter(|_| mate.is_none()), &pitch, half_cut.blank)
                }
                _ => Vec::new(),
            },
            measured: measured.clone(),
            places,
            pitch,
            aim,
            left,
            stage,
            rest,
        })
    }
}

impl<'a> Known<'a> {
    fn of(
        cut: Option<&'a Cut>,
        groove: Option<&'a Groove>,
        work: &Work,
        measured: &Measured,
    ) -> Result<Self> {
        let half_cut = HalfCut::of(cut, groove, work)?;
        let cut = half_cut.cut;
        let wires = match measured.gauge {
            Gauge::Wires => {
                let wires = cut.wires()?;
                let best = wires.best(&cut.diameters()?.pitch);
                Some((wires, work.wire.map_or(best, Measure::from)))
            }
            Gauge::Root if cut.side() == Side::Internal => {
                return Err(Error::conflict("a caliper does not reach the root of a nut")
                    .with_hint("depth or pitch"));
            }
            _ => None,
        };
        Ok(Self { half_cut, wires })
    }

    /// The pitch diameter by one reading.
    fn at(&self, measured: &Measured, reading: f64) -> Result<Between> {
        let off = measured.off().mm().to_f64();
        let off = if measured.gauge == Gauge::Depth { off + self.blank_off() } else { off };
        let of = |reading: f64| self.pitch_of(measured.gauge, reading);
        let ends = of(reading - off).zip(of(reading)).zip(of(reading + off));
        let Some(((low, likely), high)) = ends else { return Err(self.another(measured, reading)) };
        let between = Between { least: low.min(high), likely, greatest: low.max(high) };
        // From a blank that is not yet touched to a quarter of the depth too much.
        let HalfCut { groove, blank, .. } = self.half_cut;
        let left = self.half_cut.sign() * (likely - blank.pitch().mm()) / 2.0;
        let [whole, slack] = [groove.depth.mm(), between.greatest - between.least];
        // A depth says nothing of the flanks of a wide groove.
        let flanks = self.half_cut.flanks();
        let uncut = if measured.gauge.is_of_depth() { flanks } else { 0.0 };
        if left > whole + flanks + slack || left - uncut < -TOO_DEEP * whole {
            return Err(self.another(measured, reading));
        }
        if measured.gauge == Gauge::Pitch && left > slack && self.is_outside(between.least) {
            let error = Error::conflict(format!(
                "at pitch {reading:.3} mm no anvil of a thread micrometer finds its flanks yet"
            ));
            let hint = error.with_hint("measure wires or depth, or after more passes");
            return Err(self.with_finished(hint, measured.gauge));
        }
        if let Some((wires, wire)) = &self.wires {
            let sits = wires.sit(wire, &Measure::rounded(likely), &blank.across());
            sits.map_err(|e| self.with_finished(e, measured.gauge))?;
        }
        Ok(between)
    }

    /// Whether a pitch line is outside of the material: over the crests of a screw.
    fn is_outside(&self, pitch: f64) -> bool {
        let across = self.half_cut.blank.across().mm();
        self.half_cut.cut.side() == Side::External && pitch > across
    }

    /// Radius by which the blank may differ from the assumed one, in mm: half its limits; 0 where it was
    /// measured.
    fn blank_off(&self) -> f64 {
        let blank = self.half_cut.blank;
        let limits = blank.allowed().filter(|_| !blank.is_measured());
        limits.map_or(0.0, |[least, greatest]| (greatest.mm().to_f64() - least.mm().to_f64()) / 4.0)
    }

    /// `None`: no thread of this form reads so.
    fn pitch_of(&self, gauge: Gauge, reading: f64) -> Option<f64> {
        let HalfCut { groove, blank, .. } = self.half_cut;
        let (aim, sign) = (blank.pitch().mm(), self.half_cut.sign());
        let uncut = 2.0 * sign * self.half_cut.flanks();
        match (gauge, &self.wires) {
            (Gauge::Wires, wires) => {
                let (wires, wire) = wires.as_ref()?;
                Some(wires.pitch_diameter(wire, &Measure::rounded(reading))?.mm())
            }
            (Gauge::Pitch, _) => Some(reading),
            (Gauge::Depth, _) => Some(aim + uncut + sign * 2.0 * (groove.depth.mm() - reading)),
            (Gauge::Root, _) => Some(aim + uncut + reading - groove.root_mm?),
        }
    }

    /// What the finished thread reads.
    fn finished(&self, gauge: Gauge) -> Option<f64> {
        let HalfCut { groove, blank, .. } = self.half_cut;
        match (gauge, &self.wires) {
            (Gauge::Wires, wires) => {
                let (wires, wire) = wires.as_ref()?;
                Some(wires.over(wire, &blank.pitch()).ok()?.over.mm())
            }
            (Gauge::Pitch, _) => Some(blank.pitch().mm()),
            (Gauge::Depth, _) => Some(groove.depth.mm()),
            (Gauge::Root, _) => groove.root_mm,
        }
    }

    fn another(&self, measured: &Measured, reading: f64) -> Error {
        let word = measured.gauge.word();
        let error = Error::conflict(format!("{word} {reading:.3} mm is no reading of this thread"));
        self.with_finished(error, measured.gauge)
    }

    /// An error with what the finished thread reads, beside its own hint.
    fn with_finished(&self, error: Error, gauge: Gauge) -> Error {
        let Some(mm) = self.finished(gauge) else { return error.with_hint("other wires (--wire)") };
        let own = error.hint().map_or_else(String::new, |hint| format!("{hint}; "));
        let word = gauge.word();
        error.with_hint(format!("{own}the finished thread reads {word} {mm:.3} mm"))
    }
}

/// The mean of all places, between the least and the greatest bound of any.
fn over_all(places: &[Between]) -> Between {
    let bounds = places.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), of| {
        (low.min(of.least), high.max(of.greatest))
    });
    #[expect(clippy::cast_precision_loss, reason = "a few places")]
    let count = places.len().max(1) as f64;
    let sum: f64 = places.iter().map(|of| of.likely).sum();
    Between { least: bounds.0, likely: sum / count, greatest: bounds.1 }
}

/// The infeed that ends in the class at both bounds; `both`: least and greatest pitch diameter.
fn sure(pitch: &Between, [least, greatest]: [f64; 2], sign: f64) -> Option<[f64; 2]> {
    let from_top = sign * (pitch.greatest - greatest) / 2.0;
    let from_bottom = sign * (pitch.least - least) / 2.0;
    let [from, to] = if sign > 0.0 { [from_top, from_bottom] } else { [from_bottom, from_top] };
    let from = from.max(0.0);
    (from <= to + NEAR).then_some([from, to])
}

/// Other classes of the standard that hold both bounds, and the blank where it was measured.
fn meets(target: &Target, limits: Option<&Limits>, pitch: &Between, blank: &Blank) -> Vec<Class> {
    let (Some(own), Some(thread)) = (limits.map(Limits::class), target.thread()) else {
        return Vec::new();
    };
    let holds = |class: &Class| {
        let of = Limits::of(&thread, *class).ok();
        let within = |limit: Limit, low: f64, high: f64| {
            let [least, greatest] =
                [limit.least(), limit.greatest()].map(|of| of.map(|of| of.mm()));
            least.is_none_or(|least| least.to_f64() <= low + NEAR)
                && greatest.is_none_or(|greatest| high <= greatest.to_f64() + NEAR)
        };
        of.is_some_and(|of| {
            let crest = if own.is_internal() { of.minor() } else { of.major() };
            let across = blank.across().mm();
            within(of.pitch(), pitch.least, pitch.greatest)
                && (!blank.is_measured() || within(crest, across, across))
        })
    };
    let classes = own.standard().classes(own.is_internal());
    classes.iter().copied().filter(|class| *class != own && holds(class)).collect()
}

impl Conicity {
    fn of(places: &[Between], measured: &Measured) -> Option<Self> {
        let (first, last) = (places.first()?, places.last().filter(|_| places.len() > 1)?);
        Some(Self {
            grows: last.likely - first.likely,
            along: measured.along.map(|along| along.mm().to_f64()),
            is_sure: last.least > first.greatest || first.least > last.greatest,
            differs: places.iter().any(|one| places.iter().any(|of| of.least > one.greatest)),
        })
    }

    /// Growth in µm for each mm of length; `None`: the length is not stated.
    pub fn um_per_mm(&self) -> Option<f64> {
        self.along.map(|along| 1000.0 * self.grows / along)
    }
}

impl Left {
    /// A screw grows thinner, a nut wider.
    fn of(pitch: &Between, aim: f64, limits: Option<[f64; 2]>, side: Side) -> Self {
        let (sign, first) = match side {
            Side::External => (1.0, 1),
            Side::Internal => (-1.0, 0),
        };
        let to = |goal: f64| sign * (pitch.likely - goal) / 2.0;
        let at = |limit: usize| limits.and_then(|both| both.get(limit).copied()).map(to);
        Self { to_first: at(first), to_aim: to(aim), to_last: at(1 - first) }
    }
}

impl Stage {
    fn of(places: &[Between], limits: Option<[f64; 2]>, sign: f64) -> Self {
        let Some([least, greatest]) = limits else { return Self::Cutting };
        // How far past the class the least and the most that it may be.
        let past = |of: &Between| {
            if sign > 0.0 {
                [least - of.greatest, least - of.least]
            } else {
                [of.least - greatest, of.greatest - greatest]
            }
        };
        if places.iter().any(|of| past(of)[0] > NEAR) {
            Self::TooDeep
        } else if places.iter().any(|of| past(of)[1] > NEAR) {
            Self::PerhapsTooDeep
        } else if places.iter().all(|of| of.least >= least - NEAR && of.greatest <= greatest + NEAR)
        {
            Self::InClass
        } else {
            Self::Cutting
        }
    }
}

#[cfg(test)]
mod tests;
