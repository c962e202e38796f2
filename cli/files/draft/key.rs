//! What can be asked about a lathe, in the order of the questions?

macro_rules! keys {
    ($($(#[$what:meta])* $key:ident $name:literal),+ $(,)?) => {
        /// What an answer is about, in the order of the questions.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Key {
            $($(#[$what])* $key),+
        }

        impl Key {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$key),+];

            /// The word before an answer in a file of answers, and the flag that gives it.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$key => $name),+
                }
            }
        }
    };
}

keys! {
    /// What the lathe is called.
    Name "name",
    /// Lead of the lead screw.
    Screw "screw",
    /// Its hand.
    Hand "hand",
    /// Its starts.
    Starts "starts",
    /// Turns of the first gear for one of the spindle.
    Ratio "ratio",
    /// Positions of the tumbler.
    Tumbler "tumbler",
    /// Its sense, the tumbler apart.
    Turns "turns",
    /// The gears.
    Gears "gears",
    /// Their tooth size.
    Pitch "pitch",
    /// Their pressure angle.
    Angle "angle",
    /// Studs on the bracket.
    Studs "studs",
    /// Keyed sleeves.
    Sleeves "sleeves",
    /// One lever of the gearbox; may stand several times.
    Lever "lever",
    /// The train that is on the machine.
    Fitted "fitted",
    /// Where the levers stand with it.
    FittedLevers "fitted-levers",
    /// Whether there is a half nut.
    HalfNut "half-nut",
    /// The half-nut dial.
    Dial "dial",
    /// What stands beside its lines.
    Marks "marks",
    /// Whether the motor reverses.
    Reverse "reverse",
    /// Spindle speeds.
    Speeds "speeds",
    /// From the axis of the last shaft to that of the first.
    Shafts "shafts",
    /// One slot or hole of the bracket; may stand several times.
    Slot "slot",
    /// How far the arm swings.
    Swing "swing",
    /// The nearest that a stud comes to the first shaft.
    StudDistance "stud-distance",
    /// Hub radius of the first shaft.
    HubFirst "hub-first",
    /// Hub radius of a stud.
    HubStud "hub-stud",
    /// Hub radius of the last shaft.
    HubLast "hub-last",
}

impl Key {
    /// The key of a name.
    pub fn of(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|key| key.name() == name)
    }

    /// Whether `no` says that there is nothing to answer.
    pub const fn may_be_none(self) -> bool {
        matches!(self, Self::Lever | Self::Fitted | Self::FittedLevers | Self::Slot)
    }

    /// Whether nobody has to know it: an answer such as `not sure` leaves it out of the file.
    pub const fn may_be_unsure(self) -> bool {
        matches!(
            self,
            Self::Hand
                | Self::Starts
                | Self::Tumbler
                | Self::Pitch
                | Self::Angle
                | Self::Studs
                | Self::Sleeves
                | Self::HalfNut
                | Self::Dial
                | Self::Reverse
                | Self::Speeds
                | Self::Swing
                | Self::StudDistance
                | Self::HubFirst
                | Self::HubStud
                | Self::HubLast
        )
    }

    /// Whether it may be answered several times.
    pub const fn repeats(self) -> bool {
        matches!(self, Self::Lever | Self::Slot)
    }
}
