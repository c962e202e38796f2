//! What does a gear-tooth caliper read on a ridge of a screw?
//!
//! On the pitch cylinder a ridge is half a pitch wide along the axis (that defines the pitch diameter), of a
//! worm pi m / 2. The caliper sits square across the ridge, so it reads the cosine of the lead angle of that. Its
//! height is set from the crest to where the ridge is so wide: the height of the crest over the pitch cylinder, and
//! the little by which the cylinder falls away under the jaws, s² sin² l / (4 d), with s the reading, l the lead
//! angle and d the pitch diameter: the cylinder's curve in the plane square across the ridge. (Half a pitch and the
//! cosine: any text on worms, from memory; the rest is geometry, tested on the surface of the flanks.)

use super::{Cut, Measure, Side};

/// Setting and reading of a gear-tooth caliper on a ridge.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tooth {
    /// Height of the caliper, from the crest.
    pub height: Measure,
    /// What it reads, square across the ridge.
    pub across: Measure,
}

impl Cut {
    /// On the ridge of a screw that was turned to a `blank` and cut to a pitch diameter; `None`: a nut, a taper, crests too narrow for a
    /// caliper (a form that ends in a point or a nose), or a blank under the pitch line.
    ///
    /// ```
    /// use solver::cutting::{Cut, Measure};
    /// let worm = Cut::of(&"module 2".parse()?)?.with_diameter("24 mm".parse()?);
    /// let pitch = worm.diameters()?.pitch;
    /// let tooth = worm.tooth(&Measure::from("24 mm".parse::<solver::Length>()?), &pitch).unwrap();
    /// // pi cos(5.71 degrees); 2 mm and 1.2 micrometres.
    /// assert_eq!(format!("{:.3} {:.4}", tooth.across.mm(), tooth.height.mm()), "3.126 2.0012");
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn tooth(&self, blank: &Measure, pitch: &Measure) -> Option<Tooth> {
        if self.side() == Side::Internal || self.cone().is_some() || self.form().is_pointed() {
            return None;
        }
        let lead_angle = self.lead_angle(pitch).to_radians();
        let across = self.pitch().to_f64() / 2.0 * lead_angle.cos();
        let crest = blank.less(pitch)?.half();
        let falls = (across * lead_angle.sin()).powi(2) / (4.0 * pitch.mm());
        let height = Measure::rounded(crest.mm() + falls);
        Some(Tooth { height, across: Measure::rounded(across) })
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::cut;
    use super::*;
    use crate::Length;

    /// Width of the ridge at the set height, on the helicoid itself. Its right flank is z = P/4 - (r - R) tan a + h t
    /// in cylinder coordinates, h the lead over 2 pi. The plane of the caliper holds the radius and is square to
    /// the pitch helix: a point s from the middle, x from the axis is (x, -s sin l, s cos l). Found by halving.
    fn by_halving(cut: &Cut, pitch: &Measure, x: f64) -> f64 {
        let radius = pitch.mm() / 2.0;
        let h = cut.lead().to_f64() / std::f64::consts::TAU;
        let (sine, cosine) = (h / radius).atan().sin_cos();
        let (quarter, slope) = (cut.pitch().to_f64() / 4.0, cut.form().radians().tan());
        let outside = |s: f64| {
            let (y, z) = (-s * sine, s * cosine);
            z > quarter - (x.hypot(y) - radius) * slope + h * y.atan2(x)
        };
        let (mut low, mut high) = (0.0, 4.0 * quarter);
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if outside(middle) { high = middle } else { low = middle }
        }
        2.0 * low
    }

    #[test]
    fn the_ridge_is_so_wide_on_its_surface() {
        let (mut worst, mut steepest): (f64, f64) = (0.0, 0.0);
        for (text, across) in [
            ("Tr20x4", None),
            ("Tr20x8 (P4)", None),
            ("Tr40x14 (P7)", None),
            ("1/2-10 ACME", None),
            ("module 1", Some("20 mm")),
            ("module 3 4 starts", Some("36 mm")),
            ("16 DP 2 starts", Some("1 in")),
        ] {
            let cut = cut(text);
            let cut =
                across.map_or(cut, |across| cut.with_diameter(across.parse::<Length>().unwrap()));
            let of = cut.diameters().unwrap();
            // A blank that is thinner by a tenth: the setting follows.
            for less in [0.0, 0.1] {
                let blank = Measure::rounded(of.major.mm() - less);
                let tooth = cut.tooth(&blank, &of.pitch).unwrap();
                let wide = by_halving(&cut, &of.pitch, blank.mm() / 2.0 - tooth.height.mm());
                let off = (wide - tooth.across.mm()).abs();
                let lead_angle = cut.lead_angle(&of.pitch);
                assert!(
                    off < if lead_angle < 9.0 { 1e-3 } else { 1e-2 },
                    "{text}: {wide} {tooth:?}"
                );
                (worst, steepest) = (worst.max(off), steepest.max(lead_angle));
            }
        }
        assert!(steepest > 20.0 && worst > 1e-5, "{steepest} {worst}");
    }

    #[test]
    fn a_point_a_nut_and_a_taper_take_no_caliper() {
        let [blank, pitch] =
            ["20 mm", "18 mm"].map(|text| Measure::from(text.parse::<Length>().unwrap()));
        assert!(cut("Tr20x4").tooth(&blank, &pitch).is_some());
        assert!(cut("Tr20x4").with_side(Side::Internal).tooth(&blank, &pitch).is_none());
        for text in ["M20", "1/2 NPT"] {
            assert!(cut(text).tooth(&blank, &pitch).is_none(), "{text}");
        }
        assert!(cut("Tr20x4").tooth(&pitch, &blank).is_none(), "under the pitch line");
    }
}
