//! Which wires does a thread need, and what is the reading over three of them?
//!
//! Without a lead M = E + w (1 + 1/sin a) - (P/2) cot a, with E the pitch diameter, w the wire, a
//! half the angle, P the pitch (not the lead): ASME B1.2, F. D. Jones, Turning and Boring. The best
//! wire touches at the pitch line: P / (2 cos a).
//!
//! A lead angle lifts the wires further; that is solved exactly, not as a series. The flanks are
//! straight in the plane of the axis. The wire is a straight cylinder, free to tilt, as near to the
//! axis as possible. Turned by half a turn about the radius through its middle, one flank becomes
//! the other, so contacts and wire are symmetric. After a small tilt a wire is no nearer only if
//! both contacts are square beside its middle; there it touches like a ball of its size. For a ball
//! at (c, 0, 0) that touches at radius r and angle t, with h = lead / 2 pi, N = √(h² + r² / cos² a)
//! and ρ = w/2:
//!
//! ```text
//!     tan t = -ρ h / (r (N + ρ tan a))                         the height across the radius is 0
//!     0 = P/4 + (r - E/2) tan a + h t - ρ r / N                the height along the axis is 0
//!     c = r cos t + ρ (r tan a cos t - h sin t) / N            M = 2 c + w
//! ```
//!
//! The second line grows with r. Its root is found by halving between neighbouring doubles: M is
//! within a millionth of a micrometre for any thread. Above 40 degrees of lead angle a straight wire
//! touches the crests first, so there is no reading.

use super::{Cut, Measure, Side};
use crate::{Error, Result};
use std::f64::consts::PI;

mod inverse;

/// Steepest thread for straight wires, as lead over circumference of the pitch line: 40 degrees,
/// from a search with a wire between whole flanks.
const STEEPEST: f64 = 0.839;
/// Up to here the best wire is the published one, by the pitch alone: tan 5 degrees, where it is 0.4
/// % too thick to touch at the pitch line.
const EVERYDAY: f64 = 0.087_5;
/// Halvings that reach neighbouring doubles from any bracket.
const HALVINGS: u32 = 120;

/// Three wires on a thread: two on one side, one on the other.
///
/// ```
/// use solver::cutting::{Cut, Measure};
/// let screw = Cut::of(&"3/4-10 UNC".parse()?)?;
/// let (wires, pitch) = (screw.wires()?, screw.diameters()?.pitch);
/// let best = wires.best(&pitch);
/// assert_eq!(format!("{:.5}", best.inches()), "0.05774");
/// let over = wires.over(&best, &pitch)?;
/// assert_eq!(format!("{:.4}", over.flat.inches()), "0.7717"); // as printed, without the lead angle
/// // The lead angle adds less than a ten-thousandth of an inch.
/// assert!((0.0..0.0001).contains(&(over.over.inches() - over.flat.inches())));
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wires {
    pitch: f64,
    lead: f64,
    angle: f64,
    /// From the pitch line: crest, and the ends of the straight flank.
    crest: f64,
    above: f64,
    below: f64,
}

/// The reading over three wires.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OverWires {
    /// Over the wires.
    pub over: Measure,
    /// The same by the formula without the lead, as tables print it.
    pub flat: Measure,
}

impl OverWires {
    /// Effect of the lead angle, in mm.
    pub fn lead_adds(&self) -> f64 {
        self.over.mm() - self.flat.mm()
    }
}

impl Cut {
    /// Wires for this screw.
    ///
    /// # Errors
    /// For a nut, and for a taper, which is measured against its gauge.
    pub fn wires(&self) -> Result<Wires> {
        if self.side == Side::Internal {
            return Err(Error::conflict("wires measure screws, not nuts")
                .with_hint("a plug gauge, or the screw that it is made for"));
        }
        if self.taper.is_some() {
            return Err(Error::conflict("three wires measure parallel threads, not tapers")
                .with_hint("a ring gauge"));
        }
        let (legs, angle) = (self.form.legs(&self.pitch, self.side), self.form.radians());
        let round = match self.ground() {
            super::Ground::Nose(radius) => radius * (1.0 - angle.sin()),
            super::Ground::Flat(_) => 0.0,
        };
        Ok(Wires {
            pitch: self.pitch.to_f64(),
            lead: self.lead.to_f64(),
            angle,
            crest: legs.crest.mm(),
            above: legs.crest.mm() - self.form.crest_rounding(&self.pitch),
            below: legs.root.mm() - round,
        })
    }
}

impl Wires {
    /// The best wire: it touches at the pitch line, where an error of the flank angle matters least.
    /// Up to 5 degrees of lead angle it is the published one for the pitch, P / (2 cos a). Where
    /// that one would sink below the crests, it is the thinnest usable wire.
    pub fn best(&self, pitch_diameter: &Measure) -> Measure {
        let radius = pitch_diameter.mm() / 2.0;
        Measure::rounded(if self.slope(radius) <= EVERYDAY {
            self.pitch / (2.0 * self.angle.cos())
        } else {
            (2.0 * self.ball_at(radius, 0.0)).max(self.least(pitch_diameter).mm())
        })
    }

    /// The thinnest wire that is above the crests and touches the straight flanks.
    pub fn least(&self, pitch_diameter: &Measure) -> Measure {
        let radius = pitch_diameter.mm() / 2.0;
        let (low, high) = (self.ball_at(radius, -self.below), self.ball_at(radius, self.above));
        let out = |ball: f64| {
            let rest = self.rest(ball, radius);
            rest.is_none_or(|centre| centre + ball >= radius + self.crest)
        };
        if out(low) {
            return Measure::rounded(2.0 * low);
        }
        Measure::rounded(2.0 * halved(low, high, out).1)
    }

    /// The thickest wire that touches the straight flanks.
    pub fn greatest(&self, pitch_diameter: &Measure) -> Measure {
        Measure::rounded(2.0 * self.ball_at(pitch_diameter.mm() / 2.0, self.above))
    }

    /// Added to the pitch diameter where the lead is left out: M - E. May be below zero.
    pub fn constant(&self, wire: &Measure) -> f64 {
        wire.mm() * (1.0 + 1.0 / self.angle.sin()) - self.pitch / (2.0 * self.angle.tan())
    }

    /// The reading over wires on a thread of this pitch diameter.
    ///
    /// # Errors
    /// If the wire sinks below the crests, or is too thick to touch the flanks, or the thread is too
    /// steep for straight wires.
    pub fn over(&self, wire: &Measure, pitch_diameter: &Measure) -> Result<OverWires> {
        let radius = pitch_diameter.mm() / 2.0;
        if self.slope(radius) > STEEPEST {
            return Err(Error::conflict("a lead angle over 40 degrees is too steep for wires")
                .with_hint("measure over balls, or against the mate"));
        }
        let (least, greatest) = (self.least(pitch_diameter), self.greatest(pitch_diameter));
        // The rounded ends belong to the usable range.
        let slack = 1e-9 * self.pitch;
        let fits = wire.mm() >= least.mm() - slack && wire.mm() <= greatest.mm() + slack;
        let centre = self.rest(wire.mm() / 2.0, radius).filter(|_| fits);
        let centre = centre.ok_or_else(|| self.does_not_fit(wire, pitch_diameter))?;
        Ok(OverWires {
            over: Measure::rounded(2.0 * centre + wire.mm()),
            flat: Measure::rounded(pitch_diameter.mm() + self.constant(wire)),
        })
    }

    fn does_not_fit(&self, wire: &Measure, pitch_diameter: &Measure) -> Error {
        let [least, greatest, best] = [Self::least, Self::greatest, Self::best]
            .map(|of| format!("{:.3}", of(self, pitch_diameter).mm()));
        Error::conflict(format!("a wire of {wire} is outside {least} to {greatest} mm"))
            .with_hint(format!("the best wire is {best} mm"))
    }

    /// Tangent of the lead angle on the pitch line.
    fn slope(&self, radius: f64) -> f64 {
        self.lead / (2.0 * PI * radius)
    }

    /// Half the width of the groove at a height over the pitch line, along the axis.
    fn half_groove(&self, height: f64) -> f64 {
        self.pitch / 4.0 + height * self.angle.tan()
    }

    /// How far the flank is above a ball that touches at this radius, along the axis; the angle
    /// of contact is returned too.
    fn gap(&self, ball: f64, radius: f64, contact: f64) -> (f64, f64) {
        let normal = self.normal(contact);
        let turn = -(ball * self.rise() / (contact * (normal + ball * self.angle.tan()))).atan();
        let flank = self.half_groove(contact - radius) + self.rise() * turn;
        (flank - ball * contact / normal, turn)
    }

    /// Whether a ball that touches at this radius stays inside the flank.
    fn is_inside(&self, ball: f64, radius: f64, contact: f64) -> bool {
        self.gap(ball, radius, contact).0 > 0.0
    }

    /// h: along the axis in one radian.
    fn rise(&self) -> f64 {
        self.lead / (2.0 * PI)
    }

    /// N: length of the flank's normal at a radius.
    fn normal(&self, contact: f64) -> f64 {
        self.rise().hypot(contact / self.angle.cos())
    }

    /// Distance from the axis of a ball of this radius on a thread of this pitch radius; `None`: the
    /// groove has no place for it.
    fn rest(&self, ball: f64, radius: f64) -> Option<f64> {
        let low = self.contact(ball, radius)?;
        let (turn, normal) = (self.gap(ball, radius, low).1, self.normal(low));
        let out = low * self.angle.tan() * turn.cos() - self.rise() * turn.sin();
        Some(low * turn.cos() + ball * out / normal)
    }

    /// The radius at which that ball touches.
    fn contact(&self, ball: f64, radius: f64) -> Option<f64> {
        let sharp = self.pitch / (4.0 * self.angle.tan());
        let (low, high) = ((radius - sharp).max(radius / 1e3), radius + 4.0 * self.pitch);
        let above = |contact: f64| self.is_inside(ball, radius, contact);
        if above(low) || !above(high) {
            return None;
        }
        Some(halved(low, high, above).0)
    }

    /// Radius of the ball that touches this far outside the pitch line; 0: none.
    fn ball_at(&self, radius: f64, outside: f64) -> f64 {
        let contact = radius + outside;
        if contact <= 0.0 || self.half_groove(outside) <= 0.0 {
            return 0.0;
        }
        // Without the lead the ball would have this size.
        let (low, high) = (0.0, self.half_groove(outside) * self.normal(contact) / contact);
        halved(low, high, |ball| !self.is_inside(ball, radius, contact)).0
    }
}

/// The two neighbours between which something that is false below becomes true.
fn halved(mut low: f64, mut high: f64, is_above: impl Fn(f64) -> bool) -> (f64, f64) {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        // No double lies between them any more.
        if middle <= low || middle >= high {
            break;
        }
        if is_above(middle) { high = middle } else { low = middle }
    }
    (low, high)
}

#[cfg(test)]
mod tests {
    use super::super::Form;
    use super::super::tests::cut;
    use super::*;
    use crate::Length;
    use proptest::prelude::*;

    fn measure(text: &str) -> Measure {
        Measure::from(text.parse::<Length>().unwrap())
    }

    #[test]
    fn wires_are_for_parallel_screws() {
        assert!(cut("M10").with_side(Side::Internal).wires().unwrap_err().is_conflict());
        for taper in ["R 1/2", "3/4 NPT"] {
            assert!(cut(taper).wires().unwrap_err().to_string().contains("taper"));
        }
        assert!(cut("G 1/2").wires().is_ok());
    }

    #[test]
    fn a_wire_that_sinks_or_sits_on_the_crests_is_refused() {
        let (wires, pitch) = (cut("M10").wires().unwrap(), measure("9.026 mm"));
        for wire in ["0.75 mm", "1.52 mm"] {
            let error = wires.over(&measure(wire), &pitch).unwrap_err();
            assert!(error.is_conflict(), "{wire}");
            assert_eq!(error.hint(), Some("the best wire is 0.866 mm"));
            assert!(error.to_string().contains("is outside 0.757 to 1.514 mm"), "{error}");
        }
        for wire in
            [wires.least(&pitch), wires.best(&pitch), wires.greatest(&pitch), measure("1 mm")]
        {
            assert!(wires.over(&wire, &pitch).is_ok(), "{wire}");
        }
    }

    /// The angle depends on the lead, the rest on the pitch: twice the lead, four times the lift.
    #[test]
    fn starts_change_the_lift_alone() {
        let (wire, pitch) = (measure("3.6 mm"), measure("36.5 mm"));
        let over = |text: &str| cut(text).wires().unwrap().over(&wire, &pitch).unwrap();
        let (one, two) = (over("Tr40x7"), over("Tr40x14 (P7)"));
        assert_eq!(one.flat, two.flat);
        assert!((3.8..4.0).contains(&(two.lead_adds() / one.lead_adds())), "{one:?} {two:?}");
    }

    #[test]
    fn straight_wires_end_at_forty_degrees() {
        let wires = cut("module 1 16 starts").wires().unwrap();
        let steep = |pitch: &str| {
            let pitch = measure(pitch);
            wires.over(&wires.best(&pitch), &pitch)
        };
        let error = steep("19 mm").unwrap_err();
        assert!(error.is_conflict() && error.to_string().contains("over 40 degrees"), "{error}");
        assert!(steep("19.2 mm").is_ok());
    }

    /// On the pitch line the groove is half a pitch wide along the axis; square to the thread less.
    #[test]
    fn the_best_wire_follows_the_lead_where_that_matters() {
        let best = |text: &str, pitch: &str| cut(text).wires().unwrap().best(&measure(pitch)).mm();
        let flat = 1.5 / (2.0 * 30_f64.to_radians().cos());
        assert!((best("M10", "9.026 mm") - flat).abs() < 1e-12);
        let (pitch, lead) = (PI, 8.0 * PI);
        let steep = (lead / (PI * 20.0)).atan();
        let rough =
            pitch * steep.cos() / (2.0 * (20_f64.to_radians().tan() * steep.cos()).atan().cos());
        let off = best("module 1 8 starts", "20 mm") / rough - 1.0;
        assert!(off.abs() < 0.02, "{off}");
    }

    /// A ridge's crest line and flank, and a circle: by trial, with no formula of this file. The
    /// circle's distance to the flank is that of its centre to a line through two points of it.
    fn centre_by_trying(cut: &Cut, wire: f64, pitch_diameter: f64) -> f64 {
        let (pitch, angle) = (cut.pitch().to_f64(), cut.form().half_angle().to_f64().to_radians());
        // Points of one flank as (radius, along the axis), the groove centred on 0.
        let point = |above: f64| (pitch_diameter / 2.0 + above, pitch / 4.0 + above * angle.tan());
        let (a, b) = (point(-1.0), point(1.0));
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let distance = |r: f64| ((b.0 - a.0) * a.1 - (b.1 - a.1) * (a.0 - r)).abs() / length;
        let (mut low, mut high) =
            (pitch_diameter / 2.0 - pitch, pitch_diameter / 2.0 + 4.0 * pitch);
        // Below the sharp root the distance increases again.
        low = low.max(pitch_diameter / 2.0 - pitch / 4.0 / angle.tan());
        for _ in 0..200 {
            let middle = f64::midpoint(low, high);
            if distance(middle) < wire / 2.0 { low = middle } else { high = middle }
        }
        low
    }

    /// Turns the wire and moves it in until it touches a true helical flank (axial outline
    /// straight), and reads over it: solid geometry by search, no series.
    fn over_helix(cut: &Cut, wire: f64, pitch_diameter: f64) -> f64 {
        let tilts = |around: f64, by: f64| (-4..=4).map(move |k| around + by * f64::from(k) / 4.0);
        let start = (cut.lead().to_f64() / (PI * pitch_diameter)).atan();
        let (mut best, mut by) = ((f64::INFINITY, start), start / 2.0);
        for _ in 0..8 {
            for tilt in tilts(best.1, by) {
                let radius = rest(cut, wire, pitch_diameter, tilt);
                if radius < best.0 {
                    best = (radius, tilt);
                }
            }
            by /= 3.0;
        }
        2.0 * best.0 + wire
    }

    /// Distance of a wire from the axis at this tilt.
    fn rest(cut: &Cut, wire: f64, pitch_diameter: f64, tilt: f64) -> f64 {
        let flat = centre_by_trying(cut, wire, pitch_diameter);
        let (mut low, mut high) = (flat - wire / 4.0, flat + wire / 2.0);
        for _ in 0..36 {
            let middle = f64::midpoint(low, high);
            if nearest(cut, pitch_diameter, middle, tilt) < wire / 2.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Distance of the wire's axis from the nearest point of one flank; the other is its mirror image
    /// under half a turn about the radius through the wire.
    fn nearest(cut: &Cut, pitch_diameter: f64, centre: f64, tilt: f64) -> f64 {
        let (pitch, lead) = (cut.pitch().to_f64(), cut.lead().to_f64());
        let slope = cut.form().half_angle().to_f64().to_radians().tan();
        let squared = |r: f64, turn: f64| {
            let along = pitch / 4.0 + (r - pitch_diameter / 2.0) * slope + lead * turn / (2.0 * PI);
            let (x, y, z) = (r * turn.cos() - centre, r * turn.sin(), along);
            let on_axis = y * tilt.cos() + z * tilt.sin();
            x * x + y * y + z * z - on_axis * on_axis
        };
        let (mut at, mut step) = ((pitch_diameter / 2.0, 0.0), (pitch / 2.0, 0.3));
        let mut found = squared(at.0, at.1);
        for _ in 0..28 {
            let from = at;
            for (i, k) in (-4_i32..=4).flat_map(|i| (-4_i32..=4).map(move |k| (i, k))) {
                let (r, turn) =
                    (from.0 + step.0 * f64::from(i) / 4.0, from.1 + step.1 * f64::from(k) / 4.0);
                let there = squared(r, turn);
                if there < found {
                    (found, at) = (there, (r, turn));
                }
            }
            step = (step.0 / 1.8, step.1 / 1.8);
        }
        found.max(0.0).sqrt()
    }

    /// Usual threads, 5, 8 and 20 degrees, and worms up to 39; the search ends within 0.1
    /// micrometre.
    #[test]
    fn wires_rest_where_they_do_on_a_helix() {
        for (text, pitch) in [
            ("M10", "9.026 mm"),
            ("2 BA", "4.214 mm"),
            ("1/2-10 ACME", "11.43 mm"),
            ("Tr40x14 (P7)", "36.5 mm"),
            ("M10 2 starts", "10.9 mm"),
            ("M10 5 starts", "9.026 mm"),
            ("Tr20x20 (P4)", "18 mm"),
            ("module 2", "14 mm"),
            ("module 3 4 starts", "30 mm"),
            ("module 1 8 starts", "10 mm"),
        ] {
            let (screw, pitch) = (cut(text), measure(pitch));
            let wires = screw.wires().unwrap();
            for wire in [wires.best(&pitch), wires.greatest(&pitch)] {
                let over = wires.over(&wire, &pitch).unwrap();
                let solid = over_helix(&screw, wire.mm(), pitch.mm());
                let off = over.over.mm() - solid;
                assert!(off.abs() < 1e-4, "{text} {wire}: {off} of {}", over.lead_adds());
            }
        }
    }

    /// The first term of the series, w/2 tan^2(l) cos(a) cot(a) (National Physical Laboratory, Notes on Screw
    /// Gauges, from memory), is a little too much: by a twentieth at everyday lead angles.
    #[test]
    fn the_series_is_near_at_everyday_lead_angles() {
        for text in ["M10", "Tr40x7", "1/2-10 ACME", "1/2 BSW", "2 BA"] {
            let screw = cut(text);
            let (wires, pitch) = (screw.wires().unwrap(), screw.diameters().unwrap().pitch);
            let (wire, angle) = (wires.best(&pitch), wires.angle);
            let slope = screw.lead().to_f64() / (PI * pitch.mm());
            let term = wire.mm() / 2.0 * slope.powi(2) * angle.cos() / angle.tan();
            let part = wires.over(&wire, &pitch).unwrap().lead_adds() / term;
            assert!(part > 0.95 && part < 1.0, "{text}: {part}");
        }
    }

    const FORMS: [Form; 7] = [
        Form::Sixty,
        Form::Whitworth,
        Form::BritishAssociation,
        Form::Trapezoidal,
        Form::Acme,
        Form::StubAcme,
        Form::WORM,
    ];

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn wires_rest_where_a_circle_does(
            form in prop::sample::select(&FORMS[..]),
            tenths in 3_u64..100,
            between in 0.0_f64..=1.0,
            around in 4.0_f64..30.0,
        ) {
            let screw = cut(&format!("{tenths}/10 mm")).with_form(form);
            let wires = screw.wires().unwrap();
            let pitch = Measure::rounded(around * screw.pitch().to_f64());
            let [least, best, greatest] =
                [Wires::least, Wires::best, Wires::greatest].map(|of| of(&wires, &pitch).mm());
            prop_assert!(least < best && best < greatest, "{form:?}");
            let wire = Measure::rounded(least + between * (greatest - least));
            let over = wires.over(&wire, &pitch).unwrap();
            let (flat, over) = (over.flat.mm(), over.over.mm());
            let centre = centre_by_trying(&screw, wire.mm(), pitch.mm());
            prop_assert!((flat - (2.0 * centre + wire.mm())).abs() < 1e-6, "{form:?} {flat} {centre}");
            // The lead lifts it. It stands out over the crests, and its contact lies on the flank, give or
            // take what the lead moves it.
            prop_assert!(over > flat && over < flat + 0.05 * wire.mm(), "{form:?} {over} {flat}");
            prop_assert!(over / 2.0 - pitch.mm() / 2.0 > wires.crest - 1e-6);
            let angle = form.half_angle().to_f64().to_radians();
            let contact = centre - wire.mm() / 2.0 * angle.sin() - pitch.mm() / 2.0;
            let slack = 0.01 * screw.pitch().to_f64();
            prop_assert!(contact < wires.crest + slack && contact > -wires.below - slack);
        }
    }
}
