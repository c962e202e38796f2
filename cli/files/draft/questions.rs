//! The questions about a lathe, in their order: what is asked, how to find out at the machine, the flag
//! that answers it, and the piece of a lathe file that the answer makes. All there is to say of a
//! question stands in its entry here.

use super::super::node::Node;
use super::piece;
use crate::failure::Failure;

/// One question.
#[derive(Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own")]
pub struct Question {
    /// What it is about.
    pub key: Key,
    /// The word before an answer in a file of answers, and the flag that gives it.
    pub name: &'static str,
    /// The question.
    pub asks: &'static str,
    /// How an answer looks.
    pub such_as: &'static str,
    /// How to find out.
    pub help: &'static str,
    /// What the flag's value is called, and what the flag is for.
    pub flag: (&'static str, &'static str),
    /// Whether the flag's value may begin with a minus.
    pub minus: bool,
    /// Where in the file the answer goes.
    pub(super) at: &'static str,
    /// The piece of the file that it makes.
    pub(super) reads: fn(&str) -> Result<Node, Failure>,
    /// The question that has to be answered too.
    pub(super) beside: Option<Key>,
    /// Whether `no` says that there is nothing to answer.
    pub may_be_none: bool,
    /// Whether nobody has to know it: an answer such as `not sure` leaves it out of the file.
    pub(super) may_be_unsure: bool,
    /// Whether it may be answered several times.
    pub repeats: bool,
}

/// What most questions have in common.
const USUAL: Question = Question {
    key: Key::Name,
    name: "",
    asks: "",
    such_as: "",
    help: "",
    flag: ("", ""),
    minus: false,
    at: "",
    reads: piece::text,
    beside: None,
    may_be_none: false,
    may_be_unsure: false,
    repeats: false,
};

macro_rules! questions {
    ($($key:ident $name:literal { $($field:ident: $value:expr),+ $(,)? })+) => {
        /// What an answer is about, in the order of the questions.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Key {
            $(#[doc = concat!("`", $name, "`.")] $key),+
        }

        impl Key {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$key),+];

            /// What is asked of it.
            pub const fn question(self) -> &'static Question {
                match self {
                    $(Self::$key => const {
                        &Question { key: Self::$key, name: $name, $($field: $value,)+ ..USUAL }
                    }),+
                }
            }
        }
    };
}

impl Key {
    /// All questions, in order.
    pub fn questions() -> impl Iterator<Item = &'static Question> {
        Self::ALL.iter().map(|key| key.question())
    }

    /// Whether a hand goes into the machine to find out.
    pub const fn sends_a_hand_in(self) -> bool {
        !matches!(
            self,
            Self::Name
                | Self::Hand
                | Self::Pitch
                | Self::Angle
                | Self::FittedLevers
                | Self::FittedHeadstock
                | Self::FittedTumbler
                | Self::HalfNut
                | Self::Marks
                | Self::Reverse
                | Self::Speeds
        )
    }

    /// The word before an answer.
    pub const fn name(self) -> &'static str {
        self.question().name
    }

    /// The key of a name.
    pub fn of(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|key| key.name() == name)
    }
}

impl Question {
    /// Whether an answer leaves the matter out of the file: there is none, or nobody knows.
    pub(super) fn is_left_out_by(&self, said: &str) -> bool {
        let unsure = (self.may_be_none || self.may_be_unsure) && piece::is_unsure(said);
        unsure || self.may_be_none && piece::is_no(said)
    }
}

questions! {
    Name "name" {
        asks: "What do you call the lathe?",
        such_as: "the lathe under the window",
        help: "Any words; they head every answer.",
        flag: ("NAME", "Name of the lathe"),
        at: "name",
        may_be_unsure: true,
    }
    Screw "screw" {
        asks: "How far does the carriage go in one turn of the lead screw? Threads in one inch, or \
               the pitch.",
        such_as: "8 tpi, 3 mm, 1/8 in, unknown",
        help: "Lay a rule along the lead screw. Inch screw: count the threads in one inch; eight \
               of them are `8 tpi`. Metric screw: measure over ten threads and divide by ten; 30 mm \
               are `3 mm`. If neither comes out even try the other. A screw with several starts \
               goes starts times its pitch in one turn. `unknown` leaves it open: `trainwright \
               learn` finds it from the lathe's chart or from a measured cut.",
        flag: ("LEAD", "Lead of the lead screw: 8 tpi, 3 mm, unknown"),
        minus: true,
        at: "lead_screw.lead",
        reads: piece::lead,
    }
    Hand "hand" {
        asks: "Which hand is the lead screw?",
        such_as: "right, left",
        help: "Nearly all are right: held upright, the threads rise to the right, as on a common \
               bolt. Skipped: right.",
        flag: ("HAND", "Hand of the lead screw: right, left"),
        at: "lead_screw.hand",
        reads: piece::hand,
        may_be_unsure: true,
    }
    Starts "starts" {
        asks: "How many starts has the lead screw?",
        such_as: "1",
        help: "Look at its end: one thread that begins there is one start. Nearly all have one. \
               Skipped: 1.",
        flag: ("N", "Starts of the lead screw"),
        minus: true,
        at: "lead_screw.starts",
        reads: piece::figure,
        may_be_unsure: true,
    }
    Ratio "ratio" {
        asks: "How many turns does the driving gear make for one turn of the spindle?",
        such_as: "1, 1/2, unknown; low=1 same, high=8 opposite (a lever with positions)",
        help: "The driving gear is the first that you change, on \
               the shaft that the spindle drives. Mark the chuck and that gear, turn the chuck ten \
               times by hand and count the turns of the gear: ten are `1`, five are `1/2`. Often 1, \
               but not always, so count. Where a headstock lever changes it, or the driving gear goes \
               on either of two shafts: each position by its name, with its ratio and, if known, \
               whether the gear turns the same way as the chuck or the opposite.",
        flag: (
            "RATIO",
            "Turns of the driving gear for one of the spindle: 1, 1/2, unknown; or \"low=1, high=8\"",
        ),
        minus: true,
        at: "headstock.ratio",
        reads: piece::headstock,
    }
    Tumbler "tumbler" {
        asks: "Is there a tumbler (reverse) lever at the headstock? Its positions that drive, each \
               with the way round that the driving gear turns against the chuck, both seen from one \
               end of the lathe.",
        such_as: "up=same, down=opposite; up, down (not sure which); no",
        help: "A lever that reverses the lead screw. Set each position with the machine at rest \
               still, turn the chuck by hand and watch the driving gear. Leave the neutral position \
               out. Names as they are marked on the machine.",
        flag: ("POSITIONS", "Positions of the tumbler: up=same, down=opposite; or no"),
        at: "headstock.tumbler",
        reads: piece::tumbler,
        may_be_unsure: true,
    }
    Turns "turns" {
        asks: "Which way round does the driving gear turn against the chuck, both seen from one end of \
               the lathe?",
        such_as: "same, opposite, unknown",
        help: "Turn the chuck by hand and watch the gear from the same end of the lathe. It decides \
               which hand is cut.",
        flag: ("SENSE", "Way round that the driving gear turns: same, opposite, unknown"),
        at: "headstock.turns",
        reads: piece::word,
    }
    Gears "gears" {
        asks: "Which change gears do you own? A list, the name of a set, or a gear-set file.",
        such_as: "20x2,25,30,40,63,80x2,127+120; fives-20-100",
        help: "Count the teeth of every gear, also of those on the machine now: mark one tooth with \
               chalk. `x2` is two of a size, `127+120` a pair that is fixed together for good, the \
               driven gear first. `trainwright sets` lists the sets by name. At least two gears: \
               without them no file can be written.",
        flag: (
            "FILE|NAME|LIST",
            "Gears: a list such as 20,30x2,127+120, the name of a set, or a file",
        ),
        at: "gears",
        reads: piece::gears,
    }
    Pitch "pitch" {
        asks: "What tooth size do the gears have?",
        such_as: "module 1, 20 DP",
        help: "Measure a gear over its tips. Diameter in mm divided by (teeth + 2) is the module; \
               (teeth + 2) divided by the diameter in inches is the DP. `trainwright gear 40 \
               --outside \"42 mm\"` does the sum. Skipped: module 1 is assumed, and the answers say so.",
        flag: ("SIZE", "Tooth size of all gears: module 1, 20 DP"),
        at: "gears.pitch",
        beside: Some(Key::Gears),
        may_be_unsure: true,
    }
    Angle "angle" {
        asks: "What pressure angle do the gears have, in degrees?",
        such_as: "20, 14.5",
        help: "It is stamped on some gears; older inch gears often have 14.5. Skipped: 20.",
        flag: ("DEGREES", "Pressure angle of the gears in degrees [default: 20]"),
        minus: true,
        at: "gears.pressure_angle",
        reads: piece::figure,
        beside: Some(Key::Gears),
        may_be_unsure: true,
    }
    Studs "studs" {
        asks: "How many studs fit on the banjo at once?",
        such_as: "1",
        help: "A stud is a pin, clamped in the banjo, on which one gear or a pair turns between \
               driving shaft and driven shaft. Skipped: 1.",
        flag: ("N", "Studs that fit on the banjo"),
        minus: true,
        at: "studs",
        reads: piece::figure,
        may_be_unsure: true,
    }
    Sleeves "sleeves" {
        asks: "For how many pairs of loose gears have you keyed sleeves?",
        such_as: "1",
        help: "A sleeve keys two gears together so that they turn as one on a stud. Skipped: as \
               many as studs.",
        flag: ("N", "Pairs of loose gears that can be keyed together"),
        minus: true,
        at: "sleeves",
        reads: piece::sleeves,
        may_be_unsure: true,
    }
    Lever "lever" {
        asks: "Has it a gearbox with levers? One lever at a time, with the ratio of each position: \
               turns out for one turn in.",
        such_as: "Range: A=1, B=1/2, C=unknown",
        help: "Set a position with the machine at rest, turn the gearbox shaft ten times by \
               hand and count the turns of the lead screw; ten are 1, five are 1/2. With several \
               levers leave the others as they are and give each lever's positions against one of \
               its own that you call 1. Behind a ratio `opposite` where it reverses, `threads` or \
               `feeds` where it serves only these. What you leave `unknown`, `trainwright learn` \
               finds from the chart. Combinations that must never be set go into the file \
               afterwards.",
        flag: (
            "LEVER",
            "Lever of the gearbox, \"Range: A=1, B=1/2, C=unknown\"; may be given several times",
        ),
        at: "gearbox.levers",
        reads: piece::lever,
        may_be_none: true,
        repeats: true,
    }
    Fitted "fitted" {
        asks: "Which gears are on the machine now, from the driving gear on?",
        such_as: "20-80+20-80",
        help: "Along the way of the power: `-` between two gears that mesh, `+` between two that are \
               keyed on one stud. Answers then say what to take off and put on.",
        flag: ("TRAIN", "Train on the machine: 20-80+20-80"),
        at: "fitted.train",
        beside: Some(Key::Gears),
        may_be_none: true,
    }
    FittedLevers "fitted-levers" {
        asks: "Which positions are the levers in now?",
        such_as: "Range=A",
        help: "Each lever with the position that it is in, by the names that you gave.",
        flag: ("LEVERS", "Positions of the levers with it: Range=A"),
        at: "fitted.levers",
        reads: piece::fitted_levers,
        beside: Some(Key::Fitted),
        may_be_none: true,
    }
    FittedHeadstock "fitted-headstock" {
        asks: "With these gears on, in which position is the headstock lever?",
        such_as: "low, not sure",
        help: "By the names that you gave. The feed of the fitted gears and what to put back after a \
               job follow from it. Skipped: not known; a card then says to note it.",
        flag: ("POSITION", "Position of the headstock lever with it: low; or not sure"),
        at: "fitted.headstock",
        beside: Some(Key::Fitted),
        may_be_unsure: true,
    }
    FittedTumbler "fitted-tumbler" {
        asks: "With these gears on, in which position is the tumbler?",
        such_as: "up, not sure",
        help: "By the names that you gave. A card then says where to put it back after a job. \
               Skipped: not known; a card then says to note it.",
        flag: ("POSITION", "Position of the tumbler with it: up; or not sure"),
        at: "fitted.tumbler",
        beside: Some(Key::Fitted),
        may_be_unsure: true,
    }
    HalfNut "half-nut" {
        asks: "Is there a half nut, that lets go of the lead screw?",
        such_as: "yes, no, not sure",
        help: "A lever on the apron of the carriage that closes on the lead screw. Skipped: not known.",
        flag: ("YES|NO", "Whether there is a half nut: yes, no"),
        at: "half_nut",
        reads: piece::yes_or_no,
        may_be_unsure: true,
    }
    Dial "dial" {
        asks: "Is there a thread dial? The teeth of its gear on the lead screw, and the lines on \
               its face.",
        such_as: "16 teeth, 8 lines; no",
        help: "A small dial beside the half nut that says when to close it. Count all lines, also \
               those without a figure; the gear is below, on the lead screw. Skipped: none.",
        flag: ("DIAL", "Thread dial: 16 teeth, 8 lines; or no"),
        at: "dial",
        reads: piece::dial,
        may_be_unsure: true,
    }
    Marks "marks" {
        asks: "What is written beside its lines, going round?",
        such_as: "1,,2,,3,,4,",
        help: "One entry a line, commas between them, nothing where nothing is written. Skipped: they \
               are numbered.",
        flag: ("MARKS", "Marks beside its lines: 1,,2,,3,,4,"),
        at: "dial.labels",
        reads: piece::marks,
        beside: Some(Key::Dial),
        may_be_unsure: true,
    }
    Reverse "reverse" {
        asks: "Can the motor be reversed?",
        such_as: "yes, no, not sure",
        help: "Without it the carriage is brought back by hand. Skipped: not known; a card then says \
               what to do in either case.",
        flag: ("YES|NO", "Whether the motor can be reversed: yes, no"),
        at: "reverse",
        reads: piece::yes_or_no,
        may_be_unsure: true,
    }
    Speeds "speeds" {
        asks: "Which speeds has the spindle, turns a minute?",
        such_as: "60, 120, 250; 50 to 1200",
        help: "From the plate of the machine: the steps with commas between them, or slowest and \
               fastest of a drive without steps.",
        flag: ("RPM", "Spindle speeds, turns a minute: 60, 120, 250; or 50 to 1200"),
        minus: true,
        at: "spindle_rpm",
        reads: piece::speeds,
        may_be_unsure: true,
    }
    Shafts "shafts" {
        asks: "Now the banjo. Without it, what fits is not checked. How far is it from the axis of \
               the driving shaft to that of the lead screw or gearbox shaft?",
        such_as: "92 mm, 3 5/8 in",
        help: "Gears off. Measure with calipers over both shafts, \
               outside to outside, and take off half of each diameter. A millimetre or two decides \
               what fits.",
        flag: ("LENGTH", "Distance from driving shaft to lead screw or gearbox shaft"),
        minus: true,
        at: "banjo.driving_shaft",
        may_be_unsure: true,
    }
    Slot "slot" {
        asks: "Where can a stud be clamped? The nearest and the furthest place of its axis in the \
               slot, from the axis that the banjo swings about (the driven shaft). One slot or hole \
               at a time.",
        such_as: "34 mm to 70 mm; 60 mm (a hole); 88 mm to 118 mm angle 24",
        help: "Push the stud to each end of the slot and measure from the axis of the driven shaft to \
               that of the stud. A slot that does not lie on the line of the first one has an angle \
               to it, in degrees, clockwise seen from the cover end. Other pivots, slots beside the \
               pivot and arcs go into the file afterwards.",
        flag: (
            "SLOT",
            "Slot of the banjo, 34 mm to 70 mm, or a hole, 60 mm; may be given several times",
        ),
        minus: true,
        at: "banjo.slots",
        reads: piece::slot,
        beside: Some(Key::Shafts),
        may_be_none: true,
        repeats: true,
    }
    ArmAngle "arm-angle" {
        asks: "How far does the banjo swing? Degrees from the line between the two shafts, \
               clockwise positive, seen from the cover end.",
        such_as: "-15 to 75",
        help: "Move the arm to both stops. Skipped: freely.",
        flag: ("DEGREES", "Arm angles at both stops, in degrees: -15 to 75"),
        minus: true,
        at: "banjo.arm_angle",
        reads: piece::swing,
        beside: Some(Key::Shafts),
        may_be_unsure: true,
    }
    StudDistance "stud-distance" {
        asks: "How near can the axis of a stud come to that of the driving shaft?",
        such_as: "34 mm",
        help: "Bring the stud as near to the driving shaft as banjo, bosses and nuts let it, and \
               measure. Skipped: no limit.",
        flag: ("LENGTH", "Least distance of a stud from the driving shaft"),
        minus: true,
        at: "banjo.least_stud_distance",
        beside: Some(Key::Shafts),
        may_be_unsure: true,
    }
    HubFirst "hub-driving" {
        asks: "What is the radius of the largest hub, washer or nut on the driving shaft?",
        such_as: "12 mm",
        help: "Half of what calipers read across it. A gear on a stud has to clear it. Skipped: \
               nothing in the way.",
        flag: ("LENGTH", "Radius of the largest hub on the driving shaft"),
        minus: true,
        at: "banjo.hub_radii.driving",
        beside: Some(Key::Shafts),
        may_be_unsure: true,
    }
    HubStud "hub-stud" {
        asks: "What is that radius on a stud?",
        such_as: "8 mm",
        help: "Half of what calipers read across it. Skipped: nothing in the way.",
        flag: ("LENGTH", "Radius of the largest hub, washer or nut on a stud"),
        minus: true,
        at: "banjo.hub_radii.stud",
        beside: Some(Key::Shafts),
        may_be_unsure: true,
    }
    HubLast "hub-driven" {
        asks: "What is that radius on the driven shaft?",
        such_as: "12 mm",
        help: "Half of what calipers read across it. Skipped: nothing in the way.",
        flag: ("LENGTH", "Radius of the largest hub on the driven shaft"),
        minus: true,
        at: "banjo.hub_radii.driven",
        beside: Some(Key::Shafts),
        may_be_unsure: true,
    }
}
