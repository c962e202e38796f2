//! The thread is half cut and measured: what is left, and which cuts come next?
//!
//! The tool's flanks are those of the thread, so a groove that is not yet deep enough has a pitch
//! diameter too: E = E of the finished thread + 2 x what is left of the depth (a nut: minus). A reading
//! over wires gives it by [`Wires::pitch_diameter`](crate::cutting::Wires::pitch_diameter). Every reading
//! has an uncertainty, so the pitch diameter is an interval, and what is left another. Sizes are doubles
//! in mm, right to a millionth of a micrometre: a reading over wires is irrational.

use super::groove::Groove;
use super::measured::{Gauge, Measured};
use super::work::{Refused, Stated, Work};
use crate::cutting::{Blank, Cut, Measure, Side, Tip, Wires};
use crate::tolerance::{Class, Limits};
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
    /// Infeed from here after each pass, in mm; empty: none is left, or a wide groove, which is not cut
    /// by depth alone.
    pub passes: Vec<f64>,
    /// The same along the angled top slide; empty where it is not used.
    pub slide_passes: Vec<f64>,
    /// Other classes that it meets at every place, where it is too deep for its own.
    pub meets: Vec<Class>,
}

/// What the readings are held against.
struct Known<'a> {
    cut: &'a Cut,
    groove: &'a Groove,
    blank: &'a Blank,
    tip: Tip,
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
        limits: Option<&Limits>,
        work: &Work,
    ) -> std::result::Result<Option<Self>, Refused> {
        let Some(measured) = &work.now else { return Ok(None) };
        let refused = |e: Error| Refused::Stated(Stated::Now, e);
        let known = Known::of(cut, groove, work, measured).map_err(refused)?;
        Self::new(target, &known, limits, measured).map(Some).map_err(refused)
    }

    fn new(
        target: &Target,
        known: &Known<'_>,
        limits: Option<&Limits>,
        measured: &Measured,
    ) -> Result<Self> {
        let sign = known.sign();
        let places =
            measured.readings.iter().map(|reading| known.at(measured, reading.mm().to_f64()));
        let places = places.collect::<Result<Vec<_>>>()?;
        let pitch = over_all(&places);
        let aim = known.blank.pitch();
        let both = limits.map(Limits::pitch).and_then(|of| of.least().zip(of.greatest()));
        let both = both.map(|(least, greatest)| [least, greatest].map(|of| of.mm().to_f64()));
        let left = Left::of(&pitch, aim.mm(), both, known.cut.side());
        let stage = Stage::of(&places, both, sign);
        let passes = match stage {
            Stage::Cutting => known.passes(left.to_aim),
            _ => Vec::new(),
        };
        let slide = known.groove.slide.map(|slide| slide.travel / known.groove.depth.mm());
        Ok(Self {
            wire: known.wires.map(|(_, wire)| wire),
            conicity: Conicity::of(&places, measured),
            sure: both.and_then(|both| sure(&pitch, both, sign)),
            slide_passes: slide
                .map_or_else(Vec::new, |longer| passes.iter().map(|mark| mark * longer).collect()),
            meets: match stage {
                Stage::TooDeep | Stage::PerhapsTooDeep => meets(target, limits, &pitch),
                _ => Vec::new(),
            },
            measured: measured.clone(),
            places,
            pitch,
            aim,
            left,
            stage,
            passes,
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
        let (Some(cut), Some(groove)) = (cut, groove) else {
            return Err(Error::unknown("the form of this thread is not known here")
                .with_hint("--form beside it"));
        };
        if cut.taper().is_some() {
            return Err(Error::conflict("a taper has no one pitch diameter")
                .with_hint("leave it out: a taper is tried with its gauge"));
        }
        let Some(blank) = groove.blank.as_ref() else {
            return Err(
                Error::unknown("the diameter is not stated").with_hint("--diameter beside it")
            );
        };
        if groove.aim(work).is_none() {
            return Err(Error::conflict("a stated depth has no size to reach")
                .with_hint("leave --depth out"));
        }
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
            Gauge::Depth | Gauge::Root if groove.slot.is_some() => {
                return Err(Error::conflict(
                    "a wide groove is widened at full depth, so depth says little",
                )
                .with_hint("wires or pitch"));
            }
            _ => None,
        };
        Ok(Self { cut, groove, blank, tip: work.tip, wires })
    }

    /// 1 for a screw, which gets thinner; -1 for a nut.
    const fn sign(&self) -> f64 {
        match self.cut.side() {
            Side::External => 1.0,
            Side::Internal => -1.0,
        }
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
        let left = self.sign() * (likely - self.blank.pitch().mm()) / 2.0;
        let [whole, slack] = [self.groove.depth.mm(), between.greatest - between.least];
        if left > whole + slack || left < -TOO_DEEP * whole {
            return Err(self.another(measured, reading));
        }
        if let Some((wires, wire)) = &self.wires {
            let sits = wires.sit(wire, &Measure::rounded(likely), &self.blank.across());
            sits.map_err(|e| self.with_finished(e, measured.gauge))?;
        }
        Ok(between)
    }

    /// Radius by which the blank may differ from the assumed one, in mm: half its limits; 0 where it was
    /// measured.
    fn blank_off(&self) -> f64 {
        let limits = self.blank.allowed().filter(|_| !self.blank.is_measured());
        limits.map_or(0.0, |[least, greatest]| (greatest.mm().to_f64() - least.mm().to_f64()) / 4.0)
    }

    /// `None`: no thread of this form reads so.
    fn pitch_of(&self, gauge: Gauge, reading: f64) -> Option<f64> {
        let aim = self.blank.pitch().mm();
        match (gauge, &self.wires) {
            (Gauge::Wires, wires) => {
                let (wires, wire) = wires.as_ref()?;
                Some(wires.pitch_diameter(wire, &Measure::rounded(reading))?.mm())
            }
            (Gauge::Pitch, _) => Some(reading),
            (Gauge::Depth, _) => Some(aim + self.sign() * 2.0 * (self.groove.depth.mm() - reading)),
            (Gauge::Root, _) => Some(aim + reading - self.groove.root_mm?),
        }
    }

    /// What the finished thread reads.
    fn finished(&self, gauge: Gauge) -> Option<f64> {
        match (gauge, &self.wires) {
            (Gauge::Wires, wires) => {
                let (wires, wire) = wires.as_ref()?;
                Some(wires.over(wire, &self.blank.pitch()).ok()?.over.mm())
            }
            (Gauge::Pitch, _) => Some(self.blank.pitch().mm()),
            (Gauge::Depth, _) => Some(self.groove.depth.mm()),
            (Gauge::Root, _) => self.groove.root_mm,
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

    /// Infeed from here after each pass.
    fn passes(&self, left: f64) -> Vec<f64> {
        if self.groove.slot.is_some() {
            return Vec::new();
        }
        let (whole, plan) = (self.groove.depth, &self.groove.passes);
        let reached = (whole.mm() - left).max(0.0);
        let outline = self.cut.outline(self.tip);
        let marks = outline.rest(reached, &whole, plan);
        marks.iter().map(|mark| mark - reached).collect()
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

/// Other classes of the standard that hold both bounds.
fn meets(target: &Target, limits: Option<&Limits>, pitch: &Between) -> Vec<Class> {
    let (Some(own), Some(thread)) = (limits.map(Limits::class), target.thread()) else {
        return Vec::new();
    };
    let holds = |class: &Class| {
        let of = Limits::of(&thread, *class).ok().map(|limits| limits.pitch());
        let both = of.and_then(|of| of.least().zip(of.greatest()));
        both.is_some_and(|(least, greatest)| {
            least.mm().to_f64() <= pitch.least + NEAR
                && pitch.greatest <= greatest.mm().to_f64() + NEAR
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
mod tests {
    use super::*;
    use crate::scratch_pass::Spindle;
    use crate::tolerance::default_class;
    use crate::{Length, Ratio};

    /// Numbers that look random, the same every time.
    struct Dice(u64);

    impl Dice {
        fn next(&mut self) -> u32 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            u32::try_from(self.0 >> 33).unwrap()
        }

        fn below(&mut self, most: usize) -> usize {
            usize::try_from(self.next()).unwrap() % most
        }

        fn part(&mut self) -> f64 {
            f64::from(self.next()) / f64::from(1_u32 << 31)
        }
    }

    /// Over wires by trying: the centre of a ball moves out until its least distance to the flank, a
    /// straight line screwed along the axis, is its radius. No formula of `wires.rs`.
    fn over_by_trying(cut: &Cut, wire: f64, pitch_diameter: f64) -> f64 {
        let (pitch, rise) = (cut.pitch().to_f64(), cut.lead().to_f64() / std::f64::consts::TAU);
        let slope = cut.form().half_angle().to_f64().to_radians().tan();
        let distance = |centre: f64, turn: f64| {
            let at = pitch / 4.0 - pitch_diameter / 2.0 * slope + rise * turn;
            let radius = (centre * turn.cos() - at * slope) / (1.0 + slope * slope);
            let aside = radius.mul_add(radius, centre * (centre - 2.0 * radius * turn.cos()));
            (aside + (at + radius * slope).powi(2)).max(0.0).sqrt()
        };
        let nearest = |centre: f64| {
            let (mut low, mut high) = (-1.0, 1.0);
            for _ in 0..90 {
                let [a, b] = [low + (high - low) * 0.4, low + (high - low) * 0.6];
                if distance(centre, a) < distance(centre, b) { high = b } else { low = a }
            }
            distance(centre, low)
        };
        let (mut low, mut high) =
            (pitch_diameter / 2.0 - wire / 4.0, pitch_diameter / 2.0 + 2.0 * wire);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if nearest(middle) < wire / 2.0 { low = middle } else { high = middle }
        }
        2.0 * high + wire
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a length of some millimetres"
    )]
    fn millionths(mm: f64) -> Length {
        Length::from_mm(Ratio::new((mm * 1e6).round() as u128, 1_000_000).unwrap())
    }

    /// Threads of all tables, half cut, read with an error of up to 0.01 mm and to 0.001 mm.
    #[test]
    fn the_pitch_diameter_lies_between_its_bounds() {
        let (mut dice, mut tried, mut inside) = (Dice(7), 0, 0);
        let threads: Vec<_> = crate::thread::all().collect();
        for _ in 0..3000 {
            let thread = threads[dice.below(threads.len())];
            let Some(class) = default_class(&thread, false) else { continue };
            let Ok(limits) = Limits::of(&thread, class) else { continue };
            let target: Target = thread.designation().parse().unwrap();
            let Ok(cut) = Cut::of(&target) else { continue };
            let Ok(groove) =
                Groove::of(&cut, Some(&limits), &Work::default(), true, Spindle::Forward)
            else {
                continue;
            };
            let (Some(blank), Ok(wires)) = (groove.blank, cut.wires()) else { continue };
            let truth = blank.pitch().mm() + groove.depth.mm() * (dice.part() * 0.5 - 0.1);
            let wire =
                wires.best(&cut.diameters().unwrap().pitch).mm() * (0.95 + 0.3 * dice.part());
            let wire = millionths((wire * 1000.0).round() / 1000.0);
            let noise = 0.01 * ((dice.part() + dice.part() + dice.part()) / 1.5 - 1.0);
            let reading = over_by_trying(&cut, wire.mm().to_f64(), truth) + noise;
            let now = Some(Measured {
                gauge: Gauge::Wires,
                readings: vec![millionths((reading * 1000.0).round() / 1000.0)],
                along: None,
                stated: None,
            });
            let work = Work { wire: Some(wire), now, ..Work::default() };
            let next = NextCut::of(&target, Some(&cut), Some(&groove), Some(&limits), &work);
            let Ok(Some(next)) = next else { continue };
            tried += 1;
            let of = next.pitch;
            inside += usize::from((of.least..=of.greatest).contains(&truth));
            assert!(of.greatest - of.least <= 2.0 * 0.02, "{thread}: {of:?}");
            assert!((of.likely - truth).abs() < 0.0125, "{thread}: {of:?} {truth}");
            if tried == 300 {
                break;
            }
        }
        assert_eq!(tried, 300);
        assert!(inside * 100 >= tried * 99, "{inside} of {tried}");
    }
}
