//! Which gears are moved from one train to another?

use super::Train;
use crate::Teeth;

/// A gear on a shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct GearAt {
    /// 0: the driving shaft; 255: the lead screw or gearbox shaft; else the stud.
    pub shaft: u8,
    /// Its teeth.
    pub teeth: Teeth,
}

/// Gears moved, each list in power-path order. Gears are told apart by their teeth, places as
/// [`Train::places`] has them.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
#[non_exhaustive]
pub struct GearChange {
    /// Taken off.
    pub off: Vec<GearAt>,
    /// Put on.
    pub on: Vec<GearAt>,
    /// On the same shaft in the other plane: taken off and put on again.
    pub shifted: Vec<GearAt>,
}

impl GearChange {
    /// From one train to another.
    ///
    /// ```
    /// use solver::{GearChange, Train};
    /// let train = |text: &str| text.parse::<Train>();
    /// let change = GearChange::between(&train("40-60-80")?, &train("40-60+50-80")?);
    /// assert_eq!((change.on.len(), change.off.len(), change.shifted.len()), (1, 0, 1));
    /// assert_eq!(change.moved(), 3); // the 80 changes its plane: off and on
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn between(from: &Train, to: &Train) -> Self {
        let (old, new) = (from.places(), to.places());
        let is_shifted = |place: &Place, other: &[Place], own: &[Place]| {
            let ((shaft, _), teeth) = *place;
            other.iter().any(|p| (p.0.0, p.1) == (shaft, teeth) && !own.contains(p))
        };
        let moved = |here: &[Place], there: &[Place], shifted: bool| {
            let gone = here.iter().filter(|place| !there.contains(place));
            let gone = gone.filter(|place| is_shifted(place, there, here) == shifted);
            gone.map(|((shaft, _), teeth)| GearAt { shaft: *shaft, teeth: *teeth }).collect()
        };
        Self {
            off: moved(&old, &new, false),
            on: moved(&new, &old, false),
            shifted: moved(&new, &old, true),
        }
    }

    /// Whether nothing is moved.
    pub const fn is_none(&self) -> bool {
        self.off.is_empty() && self.on.is_empty() && self.shifted.is_empty()
    }

    /// Gears moved: as [`Train::handled_from`] counts them.
    pub fn moved(&self) -> usize {
        let twice = self.shifted.len().saturating_mul(2);
        self.off.len().saturating_add(self.on.len()).saturating_add(twice)
    }
}

/// As in [`Train::places`].
type Place = ((u8, bool), Teeth);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_moved_is_what_is_counted() {
        let trains = ["20-80+20-80", "45-75+63-80", "40-60-80", "40-60+50-80", "40-80", "80-60-40"];
        let trains = trains.map(|text| text.parse::<Train>().unwrap());
        for (from, to) in trains.iter().flat_map(|a| trains.iter().map(move |b| (a, b))) {
            let change = GearChange::between(from, to);
            assert_eq!(change.moved(), to.handled_from(from), "{from} {to}");
            assert_eq!(change.is_none(), from == to, "{from} {to}");
        }
    }
}
