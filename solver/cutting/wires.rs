//! Which wires, and what is read over three of them?
//!
//! M = E + w (1 + 1/sin a) - (P/2) cot a, with E the pitch diameter, w the wire, a half the angle, P
//! the pitch (not the lead): ASME B1.2, F. D. Jones, Turning and Boring. The best wire touches on the
//! pitch line: P / (2 cos a).
//!
//! A thread that rises steeply lifts the wires further: by w/2 tan²(l) cos(a) cot(a), l the lead angle
//! at E (first term of the series; National Physical Laboratory, Notes on Screw Gauges, from memory).
//! It is given as a figure of its own and not part of M.

use super::{Cut, Measure, Side};
use crate::{Error, Result};
use std::f64::consts::PI;

/// Three wires on a thread: two on one side, one on the other.
///
/// ```
/// use solver::cutting::{Cut, Measure};
/// let screw = Cut::of(&"3/4-10 UNC".parse()?)?;
/// let wires = screw.wires()?;
/// assert_eq!(format!("{:.5}", wires.best().inches()), "0.05774");
/// let over = wires.over(&wires.best(), &screw.diameters()?.pitch)?;
/// assert_eq!(format!("{:.4}", over.over.inches()), "0.7717");
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

/// What is read over three wires.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Over {
    /// Over the wires, without the lead angle.
    pub over: Measure,
    /// How much more the lead angle adds, in mm: too much by a twentieth at everyday lead angles, by a
    /// tenth at 20 degrees.
    pub lead_term: f64,
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
    /// The best wire: it touches on the pitch line, where a wrong flank angle matters least.
    pub fn best(&self) -> Measure {
        Measure::rounded(self.pitch / (2.0 * self.angle.cos()))
    }

    /// The thinnest wire that stands out over the crests and touches the straight flanks.
    pub fn least(&self) -> Measure {
        let out = (self.crest + self.sharp()) / (0.5 / self.angle.sin() + 0.5);
        Measure::rounded(out.max(self.touching(-self.below)))
    }

    /// The thickest wire that touches the straight flanks.
    pub fn greatest(&self) -> Measure {
        Measure::rounded(self.touching(self.above))
    }

    /// What is added to the pitch diameter: M - E. May be below zero.
    pub fn constant(&self, wire: &Measure) -> f64 {
        wire.mm() * (1.0 + 1.0 / self.angle.sin()) - self.pitch / (2.0 * self.angle.tan())
    }

    /// What is read over wires on a thread of this pitch diameter.
    ///
    /// # Errors
    /// If the wire sinks below the crests, or is too thick to touch the flanks.
    pub fn over(&self, wire: &Measure, pitch_diameter: &Measure) -> Result<Over> {
        let (least, greatest) = (self.least(), self.greatest());
        // As the ends are rounded, they belong to what fits.
        let slack = 1e-9 * self.pitch;
        if wire.mm() < least.mm() - slack || wire.mm() > greatest.mm() + slack {
            return Err(self.does_not_fit(wire));
        }
        Ok(Over {
            over: Measure::rounded(pitch_diameter.mm() + self.constant(wire)),
            lead_term: self.lead_term(wire, pitch_diameter),
        })
    }

    fn does_not_fit(&self, wire: &Measure) -> Error {
        let [least, greatest, best] =
            [self.least(), self.greatest(), self.best()].map(|m| format!("{:.3}", m.mm()));
        Error::conflict(format!("a wire of {wire} is outside {least} to {greatest} mm"))
            .with_hint(format!("the best wire is {best} mm"))
    }

    fn lead_term(&self, wire: &Measure, pitch_diameter: &Measure) -> f64 {
        let slope = self.lead / (PI * pitch_diameter.mm());
        wire.mm() / 2.0 * slope.powi(2) * self.angle.cos() / self.angle.tan()
    }

    fn sharp(&self) -> f64 {
        self.pitch / (4.0 * self.angle.tan())
    }

    /// The wire that touches so far outside the pitch line: its centre is w / (2 sin a) from the sharp
    /// root, the contact w/2 sin a further in.
    fn touching(&self, outside: f64) -> f64 {
        2.0 * self.angle.sin() * (outside + self.sharp()) / self.angle.cos().powi(2)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::super::{Form, Tip};
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
            assert!(error.to_string().contains("is outside 0.758 to 1.516 mm"), "{error}");
        }
        for wire in [wires.least(), wires.best(), wires.greatest(), measure("1 mm")] {
            assert!(wires.over(&wire, &pitch).is_ok(), "{wire}");
        }
    }

    /// The lead counts for the angle, the pitch for the rest.
    #[test]
    fn starts_change_the_lead_term_alone() {
        let over = |text: &str| {
            let wires = cut(text).wires().unwrap();
            wires.over(&wires.best(), &measure("36.5 mm")).unwrap()
        };
        let (one, two) = (over("Tr40x7"), over("Tr40x14 (P7)"));
        assert_eq!(one.over, two.over);
        assert!((two.lead_term / one.lead_term - 4.0).abs() < 1e-9);
    }

    /// A ridge's crest line and flank, and a circle: found by trying, with no formula of this file. The
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
        // Below the sharp root the distance grows again.
        low = low.max(pitch_diameter / 2.0 - pitch / 4.0 / angle.tan());
        for _ in 0..200 {
            let middle = f64::midpoint(low, high);
            if distance(middle) < wire / 2.0 { low = middle } else { high = middle }
        }
        low
    }

    /// Turns the wire and moves it in until it touches a true helical flank (axial outline straight),
    /// and reads over it: solid geometry by search, no series.
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

    /// How near the axis a wire lies that is tilted so.
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

    /// The series' first term is a little more than what a helix does: by a twentieth at everyday
    /// lead angles, by a tenth at 20 degrees.
    #[test]
    fn the_lead_term_is_what_a_helix_does() {
        let everyday = ["M10", "Tr40x7", "Tr40x14 (P7)", "1/2-10 ACME", "1/2 BSW", "2 BA"];
        let steep = ["M10 5 starts", "Tr20x20 (P4)"];
        for (text, off) in everyday.map(|t| (t, 0.05)).into_iter().chain(steep.map(|t| (t, 0.1))) {
            let screw = cut(text);
            let (wires, pitch) = (screw.wires().unwrap(), screw.diameters().unwrap().pitch);
            let wire = wires.best();
            let over = wires.over(&wire, &pitch).unwrap();
            let solid = over_helix(&screw, wire.mm(), pitch.mm()) - over.over.mm();
            let part = solid / over.lead_term;
            assert!(part > 1.0 - off && part < 1.0, "{text}: {solid} is {part} of the term");
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
            let (least, greatest) = (wires.least().mm(), wires.greatest().mm());
            prop_assert!(least < wires.best().mm() && wires.best().mm() < greatest, "{form:?}");
            let wire = Measure::rounded(least + between * (greatest - least));
            let pitch = Measure::rounded(around * screw.pitch().to_f64());
            let over = wires.over(&wire, &pitch).unwrap().over.mm();
            let centre = centre_by_trying(&screw, wire.mm(), pitch.mm());
            prop_assert!((over - (2.0 * centre + wire.mm())).abs() < 1e-6, "{form:?} {over} {centre}");
            // It stands out over the crests, and its contact lies on the flank.
            let crest = screw.depth(Tip::Form).unwrap().depth.mm();
            let angle = form.half_angle().to_f64().to_radians();
            let contact = centre - wire.mm() / 2.0 * angle.sin() - pitch.mm() / 2.0;
            prop_assert!(over / 2.0 - pitch.mm() / 2.0 > wires.crest - 1e-6);
            prop_assert!(contact < wires.crest + 1e-6 && contact > -crest);
        }
    }
}
