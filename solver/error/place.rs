//! Which part of a machine or chart is an error about? Each front end has its own names for the
//! parts.

/// One step of the path to the place of an error, from the outside in. Example: `[Where::Gearbox,
/// Where::Levers, Where::Item(2), Where::Positions]` (see [`Error::place`](super::Error::place)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Where {
    /// The item of a list, from 0.
    Item(usize),

    /// The owned gears.
    Gears,
    /// The number of studs.
    Studs,
    /// The lead screw.
    LeadScrew,
    /// Its lead.
    Lead,
    /// Its starts.
    Starts,
    /// The thread cut by equal gears.
    ScrewConstant,
    /// Travels for one turn of the lead screw or feed shaft.
    Feeds,
    /// Longitudinal feed.
    Long,
    /// Cross feed.
    Cross,
    /// The headstock: spindle to driving shaft.
    Headstock,
    /// The ratio of the headstock.
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
    /// Combinations with their own gear on the driven shaft.
    NeedsLast,
    /// Combinations with their own ratio.
    Combinations,
    /// When a rule for levers holds.
    When,
    /// The gears that the end shafts take.
    Ends,
    /// The driving shaft, of the two ends.
    First,
    /// The driven shaft, of the two ends.
    Last,
    /// The fitted set-up.
    Fitted,
    /// The thread dials.
    Dials,
    /// Teeth of a dial.
    Teeth,
    /// Lines of a dial.
    Lines,
    /// The labels of the lines.
    Labels,

    /// The bracket.
    Bracket,
    /// The number of planes, or the planes of a part.
    Planes,
    /// The planes of the driving shaft.
    FirstPlanes,
    /// The planes of the driven shaft.
    LastPlanes,
    /// The place of the driving shaft.
    FirstShaft,
    /// The pivot of the arm.
    Pivot,
    /// The angles of the arm.
    Swing,
    /// Its slots and holes.
    Slots,
    /// The nearer end of a slot.
    From,
    /// The further end.
    To,
    /// The offset of a slot from the line through the pivot.
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
    /// The radius on studs.
    Stud,
    /// The clearance between parts.
    Clearance,
    /// The opening of two gears beyond full depth.
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
    /// A distance to the right.
    Right,
    /// A distance upward.
    Up,

    /// The rows of a chart.
    Rows,
    /// The measurements.
    Measured,
}

/// The right form, which a front end shows in its own notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fix {
    /// The positions of a lever.
    Positions,
    /// The levers that a rule is for.
    When,
    /// The sizes that go on a shaft.
    Sizes,
    /// The driving shaft's place from the driven shaft.
    FirstShaft,
    /// A pivot on the axis of the driving shaft.
    OnFirst,
    /// A pivot on the axis of the driven shaft.
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
            Self::FirstShaft => "its place from the axis of the driven shaft",
            Self::OnFirst => "the driving shaft as the pivot",
            Self::OnLast => "the driven shaft as the pivot",
            Self::Slots => "a slot or a hole, or no studs",
            Self::CrossFeed => "cross travel for one turn of the lead screw or feed shaft",
            Self::TumblerPositions => "leave it out, or describe the positions of the tumbler",
            Self::HeadstockPositions => "leave it out, or describe the positions of the headstock",
            Self::OneToothSize => "state one tooth size for the whole box",
            Self::Levers => "no lever is described",
        }
    }
}
