//! How wide is the undercut in which a thread ends?
//!
//! DIN 76-1, undercuts of metric threads, screws and nuts, by the pitch: read in open tables; of the
//! pitches 0.5, 0.7, 0.8 and 1 to 3.5 mm two agree, the others were read in one.

use super::Side;
use crate::{Lead, Length, Ratio, Sureness};

/// An undercut of DIN 76-1, regular ([`undercut`]) or short ([`short_undercut`]).
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
    /// How far the figures can be trusted.
    pub sureness: Sureness,
}

impl Undercut {
    /// Diameter of its floor (dg) for a thread of this nominal diameter; `None`: a screw so thin has
    /// none.
    pub fn floor(&self, nominal: &Length, side: Side) -> Option<Length> {
        let (nominal, by) = (nominal.mm(), self.depth_on_diameter.mm());
        let floor = match side {
            Side::External if by < nominal => nominal.apart(&by).ok().flatten()?,
            Side::External => return None,
            Side::Internal => nominal.plus(&by).ok()?,
        };
        Some(Length::from_mm(floor))
    }
}

/// The regular one of a pitch of the table; `None`: it is not in it.
///
/// ```
/// use solver::cutting::{Side, undercut};
/// let m10 = undercut(&solver::Lead::new("1.5 mm".parse()?), Side::External).unwrap();
/// assert_eq!((m10.least, m10.most), ("3.2 mm".parse()?, "5.2 mm".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn undercut(pitch: &Lead, side: Side) -> Option<Undercut> {
    let row = Row::of(pitch)?;
    Some(row.undercut(row.side(side)))
}

/// The short one, for work without room: only where the regular one does not fit.
///
/// ```
/// use solver::cutting::{Side, short_undercut};
/// let m10 = short_undercut(&solver::Lead::new("1.5 mm".parse()?), Side::External).unwrap();
/// assert_eq!((m10.least, m10.most), ("1.8 mm".parse()?, "3.8 mm".parse()?));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn short_undercut(pitch: &Lead, side: Side) -> Option<Undercut> {
    let row = Row::of(pitch)?;
    let [_, _, depth] = row.side(side);
    let [least, most] = match side {
        Side::External => row.short_screw,
        Side::Internal => row.short_nut,
    };
    // One table has 6.1 in place of 6.4.
    let is_split = side == Side::Internal && row.pitch == 1750;
    let sureness = if is_split { Sureness::Split } else { row.sureness() };
    Some(Undercut { sureness, ..row.undercut([least, most, depth]) })
}

const fn um(um: u64) -> Length {
    Length::from_mm(Ratio::table(um, 1000))
}

/// In micrometres: g1, g2, and the difference of dg from the nominal diameter; short: g1, g2.
struct Row {
    pitch: u64,
    screw: [u64; 3],
    nut: [u64; 3],
    radius: u64,
    short_screw: [u64; 2],
    short_nut: [u64; 2],
}

/// Pitches in which two tables agree, in micrometres; and those from 1 mm to the last.
const AGREED: [u64; 3] = [500, 700, 800];
const AGREED_UP_TO: u64 = 3500;

impl Row {
    fn of(pitch: &Lead) -> Option<&'static Self> {
        TABLE.iter().find(|row| *pitch == Lead::new(um(row.pitch)))
    }

    const fn side(&self, side: Side) -> [u64; 3] {
        match side {
            Side::External => self.screw,
            Side::Internal => self.nut,
        }
    }

    fn sureness(&self) -> Sureness {
        let agreed = AGREED.contains(&self.pitch) || (1000..=AGREED_UP_TO).contains(&self.pitch);
        if agreed { Sureness::CrossChecked } else { Sureness::Single }
    }

    fn undercut(&self, figures: [u64; 3]) -> Undercut {
        let [least, most, depth_on_diameter] = figures.map(um);
        let (radius, sureness) = (um(self.radius), self.sureness());
        Undercut { least, most, depth_on_diameter, radius, sureness }
    }
}

const fn row(
    pitch: u64,
    screw: [u64; 3],
    nut: [u64; 3],
    radius: u64,
    short_screw: [u64; 2],
    short_nut: [u64; 2],
) -> Row {
    Row { pitch, screw, nut, radius, short_screw, short_nut }
}

const TABLE: [Row; 24] = [
    row(200, [450, 700, 300], [800, 1200, 100], 100, [250, 500], [500, 900]),
    row(250, [550, 900, 400], [1000, 1400, 100], 120, [250, 600], [600, 1000]),
    row(300, [600, 1050, 500], [1200, 1600, 100], 160, [300, 750], [750, 1250]),
    row(350, [700, 1200, 600], [1400, 1900, 200], 160, [400, 900], [900, 1400]),
    row(400, [800, 1400, 700], [1600, 2200, 200], 200, [500, 1000], [1000, 1600]),
    row(450, [1000, 1600, 700], [1800, 2400, 200], 200, [500, 1100], [1100, 1700]),
    row(500, [1100, 1750, 800], [2000, 2700, 300], 200, [500, 1250], [1250, 2000]),
    row(600, [1200, 2100, 1000], [2400, 3300, 300], 400, [600, 1500], [1500, 2400]),
    row(700, [1500, 2450, 1100], [2800, 3800, 300], 400, [800, 1750], [1750, 2750]),
    row(750, [1600, 2600, 1200], [3000, 4000, 300], 400, [900, 1900], [1900, 2900]),
    row(800, [1700, 2800, 1300], [3200, 4200, 300], 400, [900, 2000], [2000, 3000]),
    row(1000, [2100, 3500, 1600], [4000, 5200, 500], 600, [1100, 2500], [2500, 3700]),
    row(1250, [2700, 4400, 2000], [5000, 6700, 500], 600, [1500, 3200], [3200, 4900]),
    row(1500, [3200, 5200, 2300], [6000, 7800, 500], 800, [1800, 3800], [3800, 5600]),
    row(1750, [3900, 6100, 2600], [7000, 9100, 500], 1000, [2100, 4300], [4300, 6400]),
    row(2000, [4500, 7000, 3000], [8000, 10300, 500], 1000, [2500, 5000], [5000, 7300]),
    row(2500, [5600, 8700, 3600], [10000, 13000, 500], 1200, [3200, 6300], [6300, 9300]),
    row(3000, [6700, 10500, 4400], [12000, 15200, 500], 1600, [3700, 7500], [7500, 10700]),
    row(3500, [7700, 12000, 5000], [14000, 17700, 500], 1600, [4700, 9000], [9000, 12700]),
    row(4000, [9000, 14000, 5700], [16000, 20000, 500], 2000, [5000, 10000], [10000, 14000]),
    row(4500, [10500, 16000, 6400], [18000, 23000, 500], 2000, [5500, 11000], [11000, 16000]),
    row(5000, [11500, 17500, 7000], [20000, 26000, 500], 2500, [6500, 12500], [12500, 18500]),
    row(5500, [12500, 19000, 7700], [22000, 28000, 500], 3200, [7500, 14000], [14000, 20000]),
    row(6000, [14000, 21000, 8300], [24000, 30000, 500], 3200, [8000, 15000], [15000, 21000]),
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
