//! What the bracket says to a train: where everything stands, or why it can't.
//!
//! Lengths here are doubles in mm, angles degrees, places in the face view: right is toward the
//! operator, up is up, the axis of the last shaft is the origin.

use crate::{Gear, Teeth};

/// Whether a train fits, in a word: every answer goes by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum State {
    /// It fits.
    Fits,
    /// Neither yes nor no: less is left, or missing, than the arithmetic can tell.
    TooClose,
    /// Neither yes nor no: the search for a place of its studs was cut short.
    CutShort,
    /// It does not fit.
    DoesNotFit,
    /// Nobody asked, or the bracket is not described.
    NotChecked,
}

impl State {
    /// Whether an answer counts it: it fits, as far as anybody asked. What is too close to call, or
    /// not settled, does not count, and is not denied either.
    pub const fn counts(self) -> bool {
        matches!(self, Self::Fits | Self::NotChecked)
    }

    /// Whether it is neither yes nor no.
    pub const fn is_open(self) -> bool {
        matches!(self, Self::TooClose | Self::CutShort)
    }
}

/// Whether a train can stand on the bracket.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Fit {
    /// Nobody asked, or the bracket is not described.
    NotChecked,
    /// It stands.
    Fits(Box<Mounting>),
    /// It stands or not by less than the arithmetic can tell: measure it on the machine. Or, where
    /// [`Fit::doubts`] has [`Reason::CutShort`], that is not settled.
    TooClose(Box<Mounting>),
    /// It can't stand.
    Refused(Box<Refusal>),
}

impl Fit {
    /// The same in a word.
    pub fn state(&self) -> State {
        match self {
            Self::NotChecked => State::NotChecked,
            Self::Fits(_) => State::Fits,
            Self::TooClose(m) if m.doubts.contains(&Reason::CutShort) => State::CutShort,
            Self::TooClose(_) => State::TooClose,
            Self::Refused(_) => State::DoesNotFit,
        }
    }

    /// What is too close to call: each condition that may fail by less than the arithmetic can tell;
    /// none where it is known whether the train fits.
    pub fn doubts(&self) -> &[Reason] {
        match self {
            Self::TooClose(mounting) => &mounting.doubts,
            _ => &[],
        }
    }

    /// Where everything stands, if it does.
    pub fn mounting(&self) -> Option<&Mounting> {
        match self {
            Self::Fits(mounting) | Self::TooClose(mounting) => Some(mounting),
            Self::NotChecked | Self::Refused(_) => None,
        }
    }

    /// Every reason why it can't stand; none if it can.
    pub fn reasons(&self) -> &[Reason] {
        match self {
            Self::Refused(refusal) => &refusal.reasons,
            _ => &[],
        }
    }
}

/// Why a train can't stand, and the nearest that it comes to standing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Refusal {
    /// Every reason, in mm; at least one.
    pub reasons: Vec<Reason>,
    /// How it would stand if parts could pass through each other and slots had no ends; `None`
    /// without a bracket. Meshes that can't be closed are drawn open.
    pub attempt: Option<Mounting>,
}

/// A train on the bracket.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Mounting {
    /// The arm's own line against the line from the pivot to the other shaft (to the first shaft
    /// where the pivot is a point of its own): degrees, clockwise in the face view. `None` without a
    /// stud: the arm is out of the way.
    pub swing: Option<f64>,
    /// The shafts in power-path order: first, studs, last.
    pub shafts: Vec<Standing>,
    /// The meshes in power-path order: mesh `i` joins shafts `i` and `i + 1`.
    pub meshes: Vec<Mesh>,
    /// What comes nearest to what it must stay clear of.
    pub tightest: Option<Gap>,
    /// All gaps of gears that don't mesh, tightest first: those under a few mm are worth a look.
    pub gaps: Vec<Gap>,
    /// Planes that the bracket has.
    pub planes: u8,
    /// What is too close to call: see [`Fit::doubts`].
    pub doubts: Vec<Reason>,
}

/// A shaft, with what it carries.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Standing {
    /// Toward the operator.
    pub right: f64,
    /// Upward.
    pub up: f64,
    /// Where in which slot; end shafts have none.
    pub slot: Option<InSlot>,
    /// The gears that work, with their planes (1 stands next to the headstock), the driven one first.
    pub gears: Vec<(Gear, u8)>,
    /// The gear that goes along without work, joined to the one that works, with its plane.
    pub idle: Option<(Gear, u8)>,
    /// Radius of its hub, washer or nut; 0 where none was stated.
    pub hub: f64,
}

/// A stud's place.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct InSlot {
    /// Index of the slot.
    pub slot: usize,
    /// Along a straight slot, from the foot of the perpendicular from the pivot, in mm; in an arc
    /// slot the direction from the arc's centre, in degrees.
    pub along: f64,
    /// From the pivot's axis to the stud's, in mm: what a rule or calipers measure.
    pub from_pivot: f64,
}

/// Two gears that mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Mesh {
    /// Plane that both stand in.
    pub plane: u8,
    /// Distance of the axes.
    pub centres: f64,
    /// The sum of the pitch radii: m (z1 + z2) / 2.
    pub nominal: f64,
}

/// Two parts that must not touch, and what lies between them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Gap {
    /// The gear.
    pub gear: Part,
    /// What it must stay clear of.
    pub other: Part,
    /// Room between them, below zero if they overlap; the clearance wanted is not taken off.
    pub mm: f64,
}

/// Something that takes room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Part {
    /// A gear on a shaft (index in power-path order) in a plane.
    Gear {
        /// Its shaft.
        shaft: usize,
        /// Its size.
        teeth: Teeth,
        /// Its plane.
        plane: u8,
    },
    /// A gear that goes along without work, joined to the one that works on its shaft.
    Idle {
        /// Its shaft.
        shaft: usize,
        /// Its size.
        teeth: Teeth,
        /// The gear that it is joined to.
        joined_to: Teeth,
        /// Its plane.
        plane: u8,
    },
    /// The hub, washer or nut of a shaft in a plane where it carries no gear.
    Hub {
        /// The shaft.
        shaft: usize,
    },
    /// A keep-out of the bracket, by index.
    KeepOut(usize),
    /// The cover.
    Cover,
}

/// One reason why a train can't stand. All lengths in mm, all positive.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Reason {
    /// No bracket is described, and by the shop's rule of thumb a tip comes too near to an axis.
    Arbor {
        /// The gear whose tip it is,
        tip: Teeth,
        /// the gear that it is joined to, where it goes along without work,
        joined_to: Option<Teeth>,
        /// and the gear on the axis.
        axis: Teeth,
        /// By so much (the least distance wanted included).
        short: f64,
    },
    /// Two parts are too near to each other.
    Touch {
        /// The gear.
        gear: Part,
        /// What it comes too near to.
        other: Part,
        /// By so much, the clearance wanted included.
        short: f64,
        /// The clearance wanted: `short - clearance` is the overlap, if above zero.
        clearance: f64,
    },
    /// A stud would come too near to the first shaft.
    NearFirst {
        /// Shaft index of the stud.
        stud: usize,
        /// Its distance from the first shaft.
        distance: f64,
        /// The least that the bracket allows.
        least: f64,
    },
    /// A stud would stand beyond the end of its slot.
    SlotEnd {
        /// Shaft index of the stud.
        stud: usize,
        /// Index of the slot.
        slot: usize,
        /// Where the stud would have to stand: see [`InSlot::along`].
        along: f64,
        /// The end of the slot that is in the way; below it (`from`) or above it (`to`).
        end: f64,
    },
    /// The mesh is too close, or too wide, for the stud to reach its slot (or hole) at all.
    OffSlot {
        /// Shaft index of the stud.
        stud: usize,
        /// Index of the slot.
        slot: usize,
        /// Distance of the mesh.
        distance: f64,
        /// The nearest distance that the slot allows.
        nearest: f64,
    },
    /// The gears are too small to bridge the distance.
    TooShort {
        /// How far the last two meshes reach together.
        sum: f64,
        /// The distance to be bridged.
        distance: f64,
    },
    /// The gears are so unequal that the stud would lie beyond the other shaft.
    TooUnequal {
        /// The larger of the two distances less the smaller.
        difference: f64,
        /// The distance of the shafts, which must be more.
        distance: f64,
    },
    /// Without a stud the two gears must fill the distance of the shafts.
    Centres {
        /// What the gears need.
        needed: f64,
        /// What the machine has.
        distance: f64,
        /// How far a mesh may be opened.
        opening: f64,
    },
    /// The arm can't swing so far.
    Swing {
        /// Where it would have to stand, in degrees,
        swing: f64,
        /// and the limit in the way.
        limit: f64,
    },
    /// The gears of the train can't be given planes that the shafts allow.
    Planes {
        /// Planes that the bracket has.
        planes: u8,
    },
    /// A gear that goes along without work, joined to the one that works, has no plane to be in.
    NoPlane {
        /// Its size.
        teeth: Teeth,
        /// The gear that it is joined to.
        joined_to: Teeth,
        /// Planes that the bracket has.
        planes: u8,
    },
    /// Not every place of the studs was looked at: as much work as one train may take was done before
    /// a way to fit was found or ruled out. A doubt, never a refusal.
    CutShort,
    /// The train needs more studs than there are slots to put them in.
    Studs {
        /// Studs that the train needs.
        needed: usize,
    },
}
