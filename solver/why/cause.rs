//! The causes, and how common those are that are no slip of the gearing.

use crate::slip::Slip;

/// One mistake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Cause {
    /// Gears, levers or tumbler.
    Gearing(Slip),
    /// What was read.
    Reading(Misreading),
    /// Where the groove of a later pass is.
    Groove(Shift),
}

/// A reading that means something else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Misreading {
    /// Measured over one pitch more than counted.
    OneMore,
    /// Measured over one pitch fewer: ten grooves span nine pitches.
    OneFewer,
    /// Inches read as mm.
    InchesAsMm,
    /// Millimetres read as inches.
    MmAsInches,
    /// The grooves of one start, a lead apart, read as those of all starts.
    StartAsPitch,
    /// Grooves a pitch apart, all starts cut, read as those of one start.
    PitchAsStart,
    /// The figure of the target read in the other unit: mm as threads per inch, or the reverse.
    OtherUnit,
}

/// A groove beside the one of the pass before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Shift {
    /// The half nut closed this many lines of a dial off.
    DialLine {
        /// Index of the dial.
        dial: usize,
        /// Lines off.
        lines: u16,
    },
    /// The half nut closed this many pitches of the lead screw too late.
    HalfNutLate(u8),
    /// A tooth slipped in this mesh, counted from 0 along the power path.
    Tooth(usize),
    /// The tool moved along the axis by angled infeed: up to this far.
    AngledInfeed,
}

impl Cause {
    /// How rare it is, in bits, where it is no slip of the gearing (common practice, no source).
    pub(super) const fn points(self) -> u32 {
        match self {
            // Grooves counted in place of the pitches between them: the usual slip of counting.
            Self::Reading(Misreading::OneFewer) => 4,
            // Of work of several starts only.
            Self::Reading(Misreading::StartAsPitch | Misreading::PitchAsStart) => 2,
            Self::Reading(
                Misreading::OneMore | Misreading::InchesAsMm | Misreading::MmAsInches,
            ) => 6,
            Self::Reading(Misreading::OtherUnit) | Self::Groove(Shift::Tooth(_)) => 11,
            Self::Groove(Shift::DialLine { .. }) => 9,
            Self::Groove(Shift::HalfNutLate(_)) => 10,
            // It explains much: any reading within a third of a pitch.
            Self::Groove(Shift::AngledInfeed) => 13,
            Self::Gearing(_) => 0,
        }
    }
}
