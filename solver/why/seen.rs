//! What is seen on the thread, and what makes it so. All of it is common practice, no source.

/// What is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Seen {
    /// The flanks are torn.
    Torn,
    /// One end is larger.
    Tapered,
    /// The pitch wavers within a turn.
    Drunken,
    /// Two grooves beside each other.
    Double,
}

/// What makes it so, gearing apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Fault {
    /// The tool is blunt.
    BluntTool,
    /// The tool is above or below centre.
    OffCentre,
    /// Both flanks cut at once, too deep a pass.
    DeepPass,
    /// No cutting oil, too fast.
    Dry,
    /// The tailstock is off the axis.
    TailstockOff,
    /// Thin or long work springs away.
    WorkSprings,
    /// The lead screw moves along its axis.
    ScrewFloats,
    /// A gear runs out of true, or a chip is between its teeth.
    GearRunsOut,
    /// The lead screw is bent, or the half nut worn.
    ScrewBent,
    /// Backlash was not taken up before the cut.
    Backlash,
    /// The work turned in the chuck or in its dog.
    WorkSlipped,
}

impl Seen {
    /// The faults, the most common first.
    pub const fn faults(self) -> &'static [Fault] {
        match self {
            Self::Torn => &[Fault::BluntTool, Fault::OffCentre, Fault::DeepPass, Fault::Dry],
            Self::Tapered => &[Fault::WorkSprings, Fault::TailstockOff],
            Self::Drunken => &[Fault::ScrewFloats, Fault::GearRunsOut, Fault::ScrewBent],
            Self::Double => &[Fault::Backlash, Fault::WorkSlipped],
        }
    }
}
