//! Which hand is cut, and in which position of the tumbler? The one rule for both.
//!
//! Each external mesh reverses the motion; an idler adds one mesh. Headstock, levers and a left-hand
//! lead screw reverse it where the lathe says so (F. D. Jones, *Turning and Boring*, 1919, ch. IV).
//! Directions without a description stay unknown.

use super::{Lathe, Setting};
use crate::{Hand, Shaft, Train, Turns};

/// A position of the tumbler with its hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Cuts {
    /// Index of the tumbler position; `None`: there is none, it is free, or the needed one is
    /// unknown.
    pub tumbler: Option<usize>,
    /// The hand; `None`: a direction is unknown, or a feed.
    pub hand: Option<Hand>,
}

impl Cuts {
    /// Whether it is the asked hand, as far as that is known.
    pub fn gives(&self, asked: Option<Hand>) -> bool {
        self.hand.is_none() || asked.is_none() || self.hand == asked
    }
}

/// Two gears that may mesh directly or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Either {
    /// If they mesh directly.
    pub direct: Cuts,
    /// If one idler is needed.
    pub with_idler: Cuts,
}

impl Lathe {
    /// How the driving shaft turns against the spindle; unknown with a tumbler that is not set.
    pub fn first_turns(&self, headstock: usize, tumbler: Option<usize>) -> Turns {
        let headstock = self.parts.headstock.get(headstock).map_or(Turns::Unknown, |p| p.turns);
        headstock.then(self.tumbler_turns(tumbler))
    }

    fn tumbler_turns(&self, tumbler: Option<usize>) -> Turns {
        match (&self.parts.tumbler[..], tumbler) {
            ([], _) => Turns::Same,
            (all, Some(at)) => all.get(at).map_or(Turns::Unknown, |(_, turns)| *turns),
            (_, None) => Turns::Unknown,
        }
    }

    /// The hand from this number of meshes in a setting, at this tumbler position; `None`: a
    /// direction is unknown.
    pub fn hand_cut(
        &self,
        setting: &Setting,
        meshes: usize,
        tumbler: Option<usize>,
    ) -> Option<Hand> {
        let before = setting.turns.then(Turns::of_meshes(meshes));
        match before.then(self.tumbler_turns(tumbler)) {
            Turns::Same => Some(Hand::Right),
            Turns::Opposite => Some(Hand::Left),
            Turns::Unknown => None,
        }
    }

    /// The first position of the tumbler that cuts the asked hand. Where none is known to, and some
    /// direction is unknown: none, and no hand. Where all cut the other hand: the first, and that
    /// hand. A feed (no asked hand) needs neither.
    pub fn cuts(&self, setting: &Setting, meshes: usize, asked: Option<Hand>) -> Cuts {
        let Some(asked) = asked else { return Cuts::default() };
        let positions = self.parts.tumbler.len();
        let cuts = |tumbler| Cuts { tumbler, hand: self.hand_cut(setting, meshes, tumbler) };
        if positions == 0 {
            return cuts(None);
        }
        let all = || (0..positions).map(|at| cuts(Some(at)));
        all()
            .find(|c| c.hand == Some(asked))
            .or_else(|| all().find(|c| c.hand.is_none()).map(|_| Cuts::default()))
            .unwrap_or_else(|| cuts(Some(0)))
    }

    /// Whether the gears of a train may mesh directly as well as by way of one idler, where no
    /// bracket decides. `None`: it is settled, as for the fitted train. Two end gears alone are an
    /// open question; so are two with one idler between them where a tumbler gives the hand either
    /// way.
    pub fn either(&self, setting: &Setting, train: &Train, asked: Option<Hand>) -> Option<Either> {
        let open = match train.studs() {
            [] => true,
            [Shaft::One(_)] => !self.parts.tumbler.is_empty(),
            _ => false,
        };
        let open = open && self.parts.fitted.as_ref().is_none_or(|fitted| fitted.train != *train);
        let cuts = |meshes| self.cuts(setting, meshes, asked);
        open.then(|| Either { direct: cuts(1), with_idler: cuts(2) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{GearSet, Lead, Parts, Teeth, Travel};

    /// A lathe with these directions of the headstock and of the tumbler positions.
    fn lathe(headstock: Turns, tumbler: &[Turns]) -> Lathe {
        let mut gears = GearSet::default();
        for teeth in [20, 40, 50, 80] {
            gears.add(gears.usual(Teeth::new(teeth).unwrap()), 1).unwrap();
        }
        let mut parts = Parts::plain(gears, Lead::from_tpi("8".parse().unwrap()).unwrap());
        parts.headstock[0].turns = headstock;
        let named = |(i, turns): (usize, &Turns)| (format!("position {i}"), *turns);
        parts.tumbler = tumbler.iter().enumerate().map(named).collect();
        Lathe::new(parts).unwrap()
    }

    fn cuts(lathe: &Lathe, meshes: usize, asked: Hand) -> (Option<usize>, Option<Hand>) {
        let setting = &lathe.settings(Travel::Thread).unwrap().list[0];
        let cuts = lathe.cuts(setting, meshes, Some(asked));
        (cuts.tumbler, cuts.hand)
    }

    #[test]
    fn each_mesh_and_each_sense_turns_the_hand_round() {
        use Turns::{Opposite, Same};
        // Jones, ch. IV: with end gears that turn the same way for a right-hand thread, one or three
        // idlers keep the direction; none or two reverse it.
        let plain = lathe(Same, &[]);
        assert_eq!(cuts(&plain, 2, Hand::Right), (None, Some(Hand::Right)));
        assert_eq!(cuts(&plain, 1, Hand::Right), (None, Some(Hand::Left)));
        assert_eq!(cuts(&lathe(Opposite, &[]), 1, Hand::Left), (None, Some(Hand::Right)));
        let tumbler = lathe(Same, &[Same, Opposite]);
        assert_eq!(cuts(&tumbler, 1, Hand::Right), (Some(1), Some(Hand::Right)));
        assert_eq!(cuts(&tumbler, 1, Hand::Left), (Some(0), Some(Hand::Left)));
        assert_eq!(cuts(&tumbler, 2, Hand::Right), (Some(0), Some(Hand::Right)));
    }

    #[test]
    fn what_is_not_known_is_not_said() {
        use Turns::{Same, Unknown};
        assert_eq!(cuts(&lathe(Unknown, &[]), 2, Hand::Right), (None, None));
        let one = lathe(Same, &[Unknown, Same]);
        assert_eq!(cuts(&one, 2, Hand::Right), (Some(1), Some(Hand::Right)));
        assert_eq!(cuts(&one, 1, Hand::Right), (None, None));
        let wrong = lathe(Same, &[Same]);
        assert_eq!(cuts(&wrong, 1, Hand::Right), (Some(0), Some(Hand::Left)));
        assert_eq!(wrong.first_turns(0, None), Unknown);
        assert_eq!(wrong.first_turns(0, Some(0)), Same);
    }

    #[test]
    fn two_gears_alone_are_an_open_question() {
        use Turns::{Opposite, Same};
        let either = |lathe: &Lathe, train: &str| {
            let setting = &lathe.settings(Travel::Thread).unwrap().list[0];
            let either = lathe.either(setting, &train.parse().unwrap(), Some(Hand::Right))?;
            Some([either.direct, either.with_idler].map(|c| (c.tumbler, c.hand)))
        };
        let right = Some(Hand::Right);
        let both = Some([(Some(1), right), (Some(0), right)]);
        let tumbler = lathe(Same, &[Same, Opposite]);
        assert_eq!(either(&tumbler, "20-50"), both);
        assert_eq!(either(&tumbler, "20-80-50"), both);
        assert_eq!(either(&tumbler, "20-40+80-50"), None);
        let plain = lathe(Same, &[]);
        assert_eq!(either(&plain, "20-50"), Some([(None, Some(Hand::Left)), (None, right)]));
        assert_eq!(either(&plain, "20-80-50"), None);
    }
}
