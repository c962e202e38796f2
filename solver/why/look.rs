//! Which one look decides between two explanations?

use super::cause::{Cause, Misreading};
use super::explanation::Explanation;
use crate::slip::Mounted;
use crate::{Control, OnShaft, Shaft, Teeth};

/// Something to look at, with what it is in each of two cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Look {
    /// The teeth of a gear.
    Teeth {
        /// On which shaft.
        on: OnShaft,
        /// Of a keyed pair: whether the gear drives.
        drives: Option<bool>,
        /// How many in each case.
        counts: [Teeth; 2],
    },
    /// Whether a stud has a keyed pair at work or an idler.
    Keyed {
        /// Which stud.
        on: OnShaft,
        /// Whether it is a pair, in each case.
        pair: [bool; 2],
    },
    /// The number of studs with gears.
    Studs([usize; 2]),
    /// The position of a lever, of the headstock or of the tumbler.
    Position {
        /// Which.
        control: Control,
        /// Its position in each case; `None`: not known.
        at: [Option<usize>; 2],
    },
    /// Count the pitches again, from groove to groove.
    CountAgain,
    /// Look at the unit of the reading.
    Unit,
    /// How many starts are cut.
    Starts,
    /// Look at the unit of the figure that was set up.
    Figure,
    /// Take one scratch pass elsewhere, without opening the half nut, and measure it alone.
    OneScratch,
}

impl Look {
    /// The look between two explanations.
    pub(super) fn between(a: &Explanation, b: &Explanation) -> Option<Self> {
        Self::at(&a.mounted, &b.mounted).or_else(|| {
            let causes = a.causes.iter().filter(|cause| !b.causes.contains(cause));
            let others = b.causes.iter().filter(|cause| !a.causes.contains(cause));
            causes.chain(others).find_map(of_cause)
        })
    }

    /// The look between an explanation and the set-up as it should be.
    pub(super) fn at_one(one: &Explanation, right: &Mounted) -> Option<Self> {
        Self::at(&one.mounted, right).or_else(|| one.causes.iter().find_map(of_cause))
    }

    /// The first difference of two set-ups: levers first, as they are seen without opening the cover.
    fn at(a: &Mounted, b: &Mounted) -> Option<Self> {
        let levers = a.setting.levers.iter().zip(&b.setting.levers).enumerate();
        let mut levers = levers.filter(|(_, (a, b))| a != b);
        if let Some((lever, (a, b))) = levers.next() {
            let at = [Some(*a), Some(*b)];
            return Some(Self::Position { control: Control::Lever(lever), at });
        }
        let [from, to] = [a, b].map(|mounted| mounted.setting.headstock);
        if from != to {
            let at = [Some(from), Some(to)];
            return Some(Self::Position { control: Control::Headstock, at });
        }
        if a.tumbler != b.tumbler {
            let at = [a.tumbler, b.tumbler];
            return Some(Self::Position { control: Control::Tumbler, at });
        }
        let [from, to] = [a, b].map(|mounted| mounted.train.studs().len());
        if from != to {
            return Some(Self::Studs([from, to]));
        }
        let shafts = a.train.shafts();
        let both = shafts.iter().zip(b.train.shafts()).enumerate();
        both.filter(|(_, (a, b))| a != b)
            .find_map(|(i, (a, b))| Self::on(OnShaft::of(i, shafts.len()), a, b))
    }

    /// The first difference of the gears on a shaft.
    fn on(on: OnShaft, a: &Shaft, b: &Shaft) -> Option<Self> {
        let is_pair = |shaft: &Shaft| matches!(shaft, Shaft::Pair { .. });
        let pair = [is_pair(a), is_pair(b)];
        if pair[0] != pair[1] {
            return Some(Self::Keyed { on, pair });
        }
        let driven = [a, b].map(|shaft| shaft.driven().teeth);
        let driver = [a, b].map(|shaft| shaft.driver().teeth);
        let (drives, counts) =
            if driven[0] == driven[1] { (Some(true), driver) } else { (Some(false), driven) };
        let drives = drives.filter(|_| pair[0]);
        (counts[0] != counts[1]).then_some(Self::Teeth { on, drives, counts })
    }
}

/// What shows a mistake that is none of the gearing.
const fn of_cause(cause: &Cause) -> Option<Look> {
    Some(match cause {
        Cause::Gearing(_) => return None,
        Cause::Reading(Misreading::OneMore | Misreading::OneFewer) => Look::CountAgain,
        Cause::Reading(Misreading::InchesAsMm | Misreading::MmAsInches) => Look::Unit,
        Cause::Reading(Misreading::StartAsPitch | Misreading::PitchAsStart) => Look::Starts,
        Cause::Reading(Misreading::OtherUnit) => Look::Figure,
        Cause::Groove(_) => Look::OneScratch,
    })
}
