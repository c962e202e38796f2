//! What an error is about, in the terms of the model: a front end knows what it calls that.

/// One step on the way to what an error is about, from the outside in: a place such as
/// `[Where::Gearbox, Where::Levers, Where::Item(2), Where::Positions]` (see
/// [`Error::place`](super::Error::place)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Where {
    /// The n-th of a list, from 0.
    Item(usize),

    /// The gears that are owned.
    Gears,
    /// How many studs there are.
    Studs,
    /// The lead screw.
    LeadScrew,
    /// Its lead.
    Lead,
    /// Its starts.
    Starts,
    /// What equal gears cut.
    ScrewConstant,
    /// Travels for one turn of the lead screw or feed shaft.
    Feeds,
    /// Longitudinal feed.
    Long,
    /// Cross feed.
    Cross,
    /// Spindle to driving shaft.
    Headstock,
    /// How fast the driving shaft turns.
    Ratio,
    /// The positions of the headstock or of a lever.
    Positions,
    /// The tumbler.
    Tumbler,
    /// Last shaft to lead screw.
    Gearbox,
    /// Its levers.
    Levers,
    /// Combinations of levers that are forbidden.
    Forbidden,
    /// Combinations that need a gear of their own on the last shaft.
    NeedsLast,
    /// Combinations with a ratio of their own.
    Combinations,
    /// When a rule for levers holds.
    When,
    /// What the end shafts take.
    Ends,
    /// Of two ends the driving shaft.
    First,
    /// Of two ends the last shaft.
    Last,
    /// What is on the machine.
    Fitted,
    /// The thread dials.
    Dials,
    /// Teeth of a dial.
    Teeth,
    /// Lines of a dial.
    Lines,
    /// What is written at the lines.
    Labels,

    /// The bracket.
    Bracket,
    /// How many planes there are, or in which a part is.
    Planes,
    /// The planes of the driving shaft.
    FirstPlanes,
    /// The planes of the last shaft.
    LastPlanes,
    /// Where the driving shaft is.
    FirstShaft,
    /// What the arm turns about.
    Pivot,
    /// The angles of the arm.
    Swing,
    /// Its slots and holes.
    Slots,
    /// An end of a slot: the nearer.
    From,
    /// The further.
    To,
    /// How far a slot is off the line through the pivot.
    Offset,
    /// A slot on an arc.
    Arc,
    /// Its centre along the arm.
    Along,
    /// Its centre across the arm.
    Across,
    /// Its radius.
    Radius,
    /// The least distance of two studs.
    LeastStud,
    /// Radii of hubs, nuts and washers.
    HubRadii,
    /// Of these those on studs.
    Stud,
    /// The clearance wanted between parts.
    Clearance,
    /// How far two gears are opened beyond full depth.
    Opening,
    /// The least of two figures.
    Least,
    /// The greatest.
    Greatest,
    /// The outline of the cover.
    Cover,
    /// Parts that gears must stay clear of.
    KeepOuts,
    /// The name of one.
    Name,
    /// One that is round.
    Circle,
    /// One with corners.
    Polygon,
    /// How far to the right a spot is.
    Right,
    /// How far up.
    Up,

    /// The rows of a chart.
    Rows,
    /// What was measured.
    Measured,
}

/// What would be right, where a front end can show it as it is written there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fix {
    /// The positions of a lever.
    Positions,
    /// The levers that a rule is for.
    When,
    /// The sizes that go on a shaft.
    Sizes,
    /// The driving shaft's place from the last shaft.
    FirstShaft,
    /// A pivot on the axis of the driving shaft.
    OnFirst,
    /// A pivot on the axis of the last shaft.
    OnLast,
    /// A slot, or no studs.
    Slots,
    /// The cross feed.
    CrossFeed,
    /// The positions of the tumbler.
    TumblerPositions,
    /// The positions of the headstock.
    HeadstockPositions,
    /// One tooth size for all gears.
    OneToothSize,
    /// The levers of the gearbox.
    Levers,
}

impl Fix {
    /// In words, whatever the notation.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Positions => "each position with its ratio",
            Self::When => "the levers with their positions",
            Self::Sizes => "any gear, or the sizes that go on",
            Self::FirstShaft => "its place from the axis of the last shaft",
            Self::OnFirst => "the first shaft as the pivot",
            Self::OnLast => "the last shaft as the pivot",
            Self::Slots => "a slot or a hole, or no studs",
            Self::CrossFeed => "cross travel for one turn of the lead screw or feed shaft",
            Self::TumblerPositions => "leave it out, or describe the positions of the tumbler",
            Self::HeadstockPositions => "leave it out, or describe the positions of the headstock",
            Self::OneToothSize => "state one tooth size for the whole box",
            Self::Levers => "no lever is described",
        }
    }
}
