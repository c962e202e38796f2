//! Which gear drives which? A train is its gears in power-path order.
//!
//! A train has no positions: whether its studs fit is for [`bracket`](crate::bracket).
//!
//! ```text
//!   40-55+50-65     40 drives 55; 50 is keyed to the 55; 50 drives 65
//!   first  stud  last
//!    (40)-(55)
//!         (50)-(65)
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod change;
mod read;

pub use change::{GearAt, GearChange};

use crate::{Error, Gear, Ratio, Result, Teeth, bounds};
use std::fmt;

/// The gears of one shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Shaft {
    /// One gear: an end gear, or an idler on a stud.
    One(Gear),
    /// Two gears keyed together on a stud.
    Pair {
        /// The gear that takes the motion.
        driven: Gear,
        /// The gear that gives it on.
        driver: Gear,
    },
}

impl Shaft {
    /// The gear that takes the motion (on the driving shaft: the gear itself).
    pub const fn driven(&self) -> &Gear {
        match self {
            Self::One(gear) | Self::Pair { driven: gear, .. } => gear,
        }
    }

    /// The gear that gives the motion on (on the driven shaft: the gear itself).
    pub const fn driver(&self) -> &Gear {
        match self {
            Self::One(gear) | Self::Pair { driver: gear, .. } => gear,
        }
    }

    /// The gears, the driven one first.
    pub fn gears(&self) -> impl Iterator<Item = &Gear> {
        let (first, second) = match self {
            Self::One(gear) => (gear, None),
            Self::Pair { driven, driver } => (driven, Some(driver)),
        };
        std::iter::once(first).chain(second)
    }
}

/// Which shaft of a train. The last one is `Last` for any number of studs: a gear on the lead screw
/// stays where it is when a stud is added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OnShaft {
    /// The driving shaft.
    First,
    /// The stud nearest to it along the power path.
    Stud1,
    /// The stud after that.
    Stud2,
    /// The third stud.
    Stud3,
    /// The lead screw or the gearbox shaft.
    Last,
}

impl OnShaft {
    /// By its number in a train of `shafts` shafts, from 0.
    pub const fn of(index: usize, shafts: usize) -> Self {
        match index {
            _ if index.saturating_add(1) >= shafts => Self::Last,
            0 => Self::First,
            1 => Self::Stud1,
            2 => Self::Stud2,
            _ => Self::Stud3,
        }
    }

    /// Its number in a train of `shafts` shafts, from 0.
    pub fn index(self, shafts: usize) -> usize {
        let last = shafts.saturating_sub(1);
        if self == Self::Last { last } else { last.min(self as usize) }
    }
}

/// The place of a gear in a train: a gear with another shaft or plane is taken off and put on again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct GearPlace {
    /// Its shaft.
    pub shaft: OnShaft,
    /// Whether it is in the outer plane.
    pub outer: bool,
}

/// Gears in power-path order: driving gear, studs, last gear.
///
/// ```
/// use solver::Train;
/// let train: Train = "40-55+50-65".parse()?;
/// assert_eq!(train.ratio().to_string(), "400/715".parse::<solver::Ratio>()?.to_string());
/// assert_eq!(train.to_string(), "40-55+50-65");
/// assert_eq!("40/55 x 50/65".parse::<Train>()?, train); // the trade's fraction form
/// assert_eq!("80-50-30".parse::<Train>()?.meshes(), 2); // 50 is an idler
/// # Ok::<(), solver::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Train {
    shafts: Vec<Shaft>,
    /// By shaft: the gear joined to its (driven) gear.
    partners: [Option<Gear>; bounds::PAIRS + 1],
}

impl Train {
    /// A train over these shafts.
    ///
    /// # Errors
    /// If there are fewer than two shafts, more than three studs, or two gears on an end shaft.
    pub fn new(shafts: Vec<Shaft>) -> Result<Self> {
        let [Shaft::One(_), studs @ .., Shaft::One(_)] = &shafts[..] else {
            return Err(Error::conflict("a train runs from one gear to one gear")
                .with_hint("40-65, 80-50-30 or 40-55+50-65"));
        };
        bounds::STUDS.check(studs.len() as u64)?;
        Ok(Self { shafts, partners: Default::default() })
    }

    /// The same train, with `partner` joined for good to the gear of a shaft (0 is the first; of two
    /// gears the driven one). A partner without work still turns and takes room: see
    /// [`Train::idle`]. The text of a train does not name it.
    ///
    /// ```
    /// use solver::{Gear, Teeth, Train};
    /// let large = Gear::new(Teeth::new(127)?);
    /// let train = "30-40-50".parse::<Train>()?.with_partner(1, large);
    /// assert_eq!(train.idle(1), Some(&large));
    /// assert_eq!(train.to_string(), "30-40-50");
    /// # Ok::<(), solver::Error>(())
    /// ```
    #[must_use]
    pub fn with_partner(mut self, shaft: usize, partner: Gear) -> Self {
        if let Some(slot) = self.partners.get_mut(shaft).filter(|_| shaft < self.shafts.len()) {
            *slot = Some(partner);
        }
        self
    }

    /// The gear joined to the (driven) gear of a shaft, if any.
    pub fn partner(&self, shaft: usize) -> Option<&Gear> {
        self.partners.get(shaft).and_then(Option::as_ref)
    }

    /// The gear without work on a shaft, joined to the working one.
    pub fn idle(&self, shaft: usize) -> Option<&Gear> {
        self.partner(shaft).filter(|_| matches!(self.shafts.get(shaft), Some(Shaft::One(_))))
    }

    /// The shafts: at least two, the first and the last with one gear each.
    pub fn shafts(&self) -> &[Shaft] {
        &self.shafts
    }

    /// The studs with their gears.
    pub fn studs(&self) -> &[Shaft] {
        self.shafts.get(1..self.meshes()).unwrap_or(&[])
    }

    /// Meshes: one fewer than shafts.
    pub fn meshes(&self) -> usize {
        self.shafts.len().saturating_sub(1)
    }

    /// The gears in power-path order.
    pub fn gears(&self) -> impl Iterator<Item = &Gear> {
        self.shafts.iter().flat_map(Shaft::gears)
    }

    /// The two gears of each mesh, driver first.
    pub fn mesh_pairs(&self) -> impl Iterator<Item = (&Gear, &Gear)> {
        self.shafts.windows(2).filter_map(|w| match w {
            [a, b] => Some((a.driver(), b.driven())),
            _ => None,
        })
    }

    /// Turns of the last gear for one turn of the first: drivers over driven (Jones, Turning and
    /// Boring, 1919, ch. IV). An idler drives and is driven, so it cancels.
    pub fn ratio(&self) -> Ratio {
        let product = |teeth: fn((&Gear, &Gear)) -> Teeth| {
            let counts = self.mesh_pairs().map(|pair| u64::from(teeth(pair).get()));
            // [`bounds::PRODUCT_BITS`] at most.
            counts.fold(1, u64::saturating_mul)
        };
        Ratio::table(product(|(driver, _)| driver.teeth), product(|(_, driven)| driven.teeth))
    }

    /// The place of each gear, in power-path order. Meshing gears share a plane; a pair has both, so
    /// the plane changes at each pair.
    ///
    /// ```
    /// use solver::{OnShaft, Train};
    /// let places = "40-55+50-65".parse::<Train>()?.places();
    /// assert_eq!(places.iter().map(|(_, teeth)| teeth.get()).collect::<Vec<_>>(), [40, 55, 50, 65]);
    /// assert!(places[2].0.shaft == OnShaft::Stud1 && places[2].0.outer);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn places(&self) -> Vec<(GearPlace, Teeth)> {
        let mut outer = false;
        let mut places = Vec::with_capacity(self.shafts.len().saturating_mul(2));
        for (i, on) in self.shafts.iter().enumerate() {
            let shaft = OnShaft::of(i, self.shafts.len());
            places.push((GearPlace { shaft, outer }, on.driven().teeth));
            if let Shaft::Pair { driver, .. } = on {
                outer = !outer;
                places.push((GearPlace { shaft, outer }, driver.teeth));
            }
        }
        places
    }

    /// Gears moved from `fitted` to this train: gears taken off plus gears put on; a gear in another
    /// place counts twice. Gears are identified by their teeth.
    pub fn handled_from(&self, fitted: &Self) -> usize {
        let (old, new) = (fitted.places(), self.places());
        let stays = old.iter().filter(|place| new.contains(place)).count();
        old.len().saturating_add(new.len()).saturating_sub(stays.saturating_mul(2))
    }
}

impl fmt::Display for Train {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, shaft) in self.shafts.iter().enumerate() {
            if i > 0 {
                f.write_str("-")?;
            }
            match shaft {
                Shaft::One(gear) => write!(f, "{}", gear.teeth)?,
                Shaft::Pair { driven, driver } => write!(f, "{}+{}", driven.teeth, driver.teeth)?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn train(text: &str) -> Train {
        text.parse().unwrap()
    }

    #[test]
    fn notation_round_trips() {
        for text in
            ["40-65", "80-50-30", "40-55+50-65", "20-30+40-50+60-70", "5-400+399-398+7-6+8-9"]
        {
            assert_eq!(train(text).to_string(), text);
        }
        assert_eq!(train(" 40 / 55 × 50/65 "), train("40-55+50-65"));
        // A table writes an idler like this, and `--train` refused it.
        assert_eq!(train("20-(75)-40"), train("20-75-40"));
        assert_eq!(train("20-( 75 ) - (60)-40+30-50"), train("20-75-60-40+30-50"));
    }

    #[test]
    fn what_is_no_train_is_refused_with_a_hint() {
        for text in [
            "",
            "40",
            "40-",
            "40+50",
            "40-50+60",
            "40+50-60",
            "40-50+60+70-80",
            "40/50-60",
            "3-40",
            "(20)-40",
            "20-(40)",
            "20-(40)+30-60",
            "20-40+(30)-60",
            "20-(40-60",
            "20-40)-60",
            "20-()-60",
            "40-a",
            "40-50-60-70-80-90",
            "20-x",
        ] {
            let error = text.parse::<Train>().unwrap_err();
            assert!(error.hint().is_some() || error.is_range(), "{text}: {error}");
        }
    }

    /// Before all are read: the text may be long.
    #[test]
    fn too_many_gears_are_refused_where_they_begin() {
        let nine = "20-30-20-30-20-30-20-30-20";
        let ten = format!("{nine}-30");
        assert_eq!(ten.parse::<Train>().unwrap_err().offset(), Some(nine.len() + 1));
        assert_eq!(nine.parse::<Train>().unwrap_err().offset(), None);
    }

    #[test]
    fn handled_counts_off_and_on() {
        assert_eq!(train("20-80+20-80").handled_from(&train("20-80+20-80")), 0);
        assert_eq!(train("20-80+25-80").handled_from(&train("20-80+20-80")), 2);
        // The last gear of a simple train is in the inner plane, of a compound one in the outer.
        assert_eq!(train("20-50-80").handled_from(&train("20-80+20-80")), 5);
    }
}
