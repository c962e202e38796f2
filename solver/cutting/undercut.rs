//! How wide is the undercut in which a thread ends?
//!
//! DIN 76-1, regular undercuts of metric threads, screws and nuts, by the pitch: read in open tables; of
//! the pitches 0.5, 0.7, 0.8 and 1 to 3.5 mm two agree, the others were read in one.

use super::Side;
use crate::{Lead, Length, Ratio};

/// An undercut of DIN 76-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Undercut {
    /// Width at full depth, at least (g1).
    pub least: Length,
    /// Width in all, with the slope to the thread, at most (g2).
    pub most: Length,
    /// How much smaller than a screw's nominal diameter its floor is; how much larger in a nut.
    pub depth_on_diameter: Length,
    /// Radius in the corner, about.
    pub radius: Length,
}

/// Of a pitch of the table; `None`: it is not in it.
///
/// ```
/// use solver::cutting::{Side, undercut};
/// let m10 = undercut(&solver::Lead::new("1.5 mm".parse()?), Side::External).unwrap();
/// assert_eq!((m10.least, m10.most), ("3.2 mm".parse()?, "5.2 mm".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn undercut(pitch: &Lead, side: Side) -> Option<Undercut> {
    let row = TABLE.iter().find(|row| *pitch == Lead::new(um(row.pitch)))?;
    let [least, most, depth_on_diameter] = match side {
        Side::External => row.screw,
        Side::Internal => row.nut,
    }
    .map(um);
    Some(Undercut { least, most, depth_on_diameter, radius: um(row.radius) })
}

const fn um(um: u64) -> Length {
    Length::from_mm(Ratio::table(um, 1000))
}

/// In micrometres: g1, g2, and the difference of dg from the nominal diameter.
struct Row {
    pitch: u64,
    screw: [u64; 3],
    nut: [u64; 3],
    radius: u64,
}

const fn row(pitch: u64, screw: [u64; 3], nut: [u64; 3], radius: u64) -> Row {
    Row { pitch, screw, nut, radius }
}

const TABLE: [Row; 24] = [
    row(200, [450, 700, 300], [800, 1200, 100], 100),
    row(250, [550, 900, 400], [1000, 1400, 100], 120),
    row(300, [600, 1050, 500], [1200, 1600, 100], 160),
    row(350, [700, 1200, 600], [1400, 1900, 200], 160),
    row(400, [800, 1400, 700], [1600, 2200, 200], 200),
    row(450, [1000, 1600, 700], [1800, 2400, 200], 200),
    row(500, [1100, 1750, 800], [2000, 2700, 300], 200),
    row(600, [1200, 2100, 1000], [2400, 3300, 300], 400),
    row(700, [1500, 2450, 1100], [2800, 3800, 300], 400),
    row(750, [1600, 2600, 1200], [3000, 4000, 300], 400),
    row(800, [1700, 2800, 1300], [3200, 4200, 300], 400),
    row(1000, [2100, 3500, 1600], [4000, 5200, 500], 600),
    row(1250, [2700, 4400, 2000], [5000, 6700, 500], 600),
    row(1500, [3200, 5200, 2300], [6000, 7800, 500], 800),
    row(1750, [3900, 6100, 2600], [7000, 9100, 500], 1000),
    row(2000, [4500, 7000, 3000], [8000, 10300, 500], 1000),
    row(2500, [5600, 8700, 3600], [10000, 13000, 500], 1200),
    row(3000, [6700, 10500, 4400], [12000, 15200, 500], 1600),
    row(3500, [7700, 12000, 5000], [14000, 17700, 500], 1600),
    row(4000, [9000, 14000, 5700], [16000, 20000, 500], 2000),
    row(4500, [10500, 16000, 6400], [18000, 23000, 500], 2000),
    row(5000, [11500, 17500, 7000], [20000, 26000, 500], 2500),
    row(5500, [12500, 19000, 7700], [22000, 28000, 500], 3200),
    row(6000, [14000, 21000, 8300], [24000, 30000, 500], 3200),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// As in the table: g2 is about 3.5 pitches of a screw and 5 to 6 of a nut, g1 2 to 2.4 and 4.
    #[test]
    fn figures_rise_with_the_pitch_and_keep_their_share_of_it() {
        let share = |um: u64, of: u64| Ratio::new(um.into(), of.into()).unwrap().to_f64();
        for pair in TABLE.windows(2) {
            assert!(pair[0].pitch < pair[1].pitch && pair[0].screw[1] < pair[1].screw[1]);
        }
        for row in &TABLE {
            let of = |um| share(um, row.pitch);
            assert!((1.6..2.4).contains(&of(row.screw[0])), "{}", row.pitch);
            assert!((3.4..3.61).contains(&of(row.screw[1])), "{}", row.pitch);
            assert!((3.9..4.1).contains(&of(row.nut[0])), "{}", row.pitch);
            assert!((5.0..6.1).contains(&of(row.nut[1])), "{}", row.pitch);
            // The floor is below the root of a screw, 1.227 P below the crest (ISO 724).
            assert!(of(row.screw[2]) > 1.227, "{}", row.pitch);
        }
    }

    #[test]
    fn other_pitches_have_none() {
        let of = |pitch: &str| undercut(&Lead::new(pitch.parse().unwrap()), Side::Internal);
        assert_eq!(of("1.5 mm").unwrap().least, "6 mm".parse().unwrap());
        assert!(of("1.6 mm").is_none() && of("1/20 in").is_none());
        assert_eq!(undercut(&Lead::times_pi("1 mm".parse().unwrap()), Side::External), None);
    }
}
