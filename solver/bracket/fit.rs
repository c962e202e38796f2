//! What is the bracket's verdict on a train? Where everything is, or why it does not fit.
//!
//! Lengths here are doubles in mm, angles degrees, places in the face view: right is toward the
//! operator, up is up, the axis of the driven shaft is the origin.

use crate::{Gear, Teeth};

/// Whether a train fits, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum FitState {
    /// It fits.
    Fits,
    /// Neither yes nor no: the margin is within the error of the arithmetic.
    TooClose,
    /// Neither yes nor no: the search for stud places ended early.
    CutShort,
    /// It does not fit.
    DoesNotFit,
    /// Not asked, or the bracket is not described.
    NotChecked,
}

impl FitState {
    /// Whether an answer counts the train: it fits, as far as anybody asked. A train that is too
    /// close to call or not settled does not count, and is not refused either.
    pub const fn counts(self) -> bool {
        matches!(self, Self::Fits | Self::NotChecked)
    }

    /// Whether it is neither yes nor no.
    pub const fn is_open(self) -> bool {
        matches!(self, Self::TooClose | Self::CutShort)
    }
}

/// Whether a train fits on the bracket.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Fit {
    /// Not asked, or the bracket is not described.
    NotChecked,
    /// It fits.
    Fits(Box<Mounting>),
    /// The margin is within the error of the arithmetic: measure it on the machine. With
    /// [`Reason::CutShort`] among [`Fit::doubts`]: not settled.
    TooClose(Box<Mounting>),
    /// It does not fit.
    Refused(Box<Refusal>),
}

impl Fit {
    /// The same in a word.
    pub fn state(&self) -> FitState {
        match self {
            Self::NotChecked => FitState::NotChecked,
            Self::Fits(_) => FitState::Fits,
            Self::TooClose(m) if m.doubts.contains(&Reason::CutShort) => FitState::CutShort,
            Self::TooClose(_) => FitState::TooClose,
            Self::Refused(_) => FitState::DoesNotFit,
        }
    }

    /// The conditions that are too close to call; none where the verdict is sure.
    pub fn doubts(&self) -> &[Reason] {
        match self {
            Self::TooClose(mounting) => &mounting.doubts,
            _ => &[],
        }
    }

    /// Where everything is, if the train fits.
    pub fn mounting(&self) -> Option<&Mounting> {
        match self {
            Self::Fits(mounting) | Self::TooClose(mounting) => Some(mounting),
            Self::NotChecked | Self::Refused(_) => None,
        }
    }

    /// Every reason why it does not fit; none if it does.
    pub fn reasons(&self) -> &[Reason] {
        match self {
            Self::Refused(refusal) => &refusal.reasons,
            _ => &[],
        }
    }
}

/// Why a train does not fit, and the nearest that it comes to fitting.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Refusal {
    /// Every reason, in mm; at least one.
    pub reasons: Vec<Reason>,
    /// The position if parts could pass through each other and slots had no ends; `None` without a
    /// bracket. Meshes that can't be closed are drawn open.
    pub attempt: Option<Mounting>,
}

/// A train on the bracket.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Mounting {
    /// The arm's own line against the line from the pivot to the other shaft (to the driving shaft
    /// where the pivot is separate): degrees, clockwise in the face view. `None` without a stud: the
    /// arm is then out of the way.
    pub swing: Option<f64>,
    /// The shafts in power-path order: first, studs, last.
    pub shafts: Vec<MountedShaft>,
    /// The meshes in power-path order: mesh `i` joins shafts `i` and `i + 1`.
    pub meshes: Vec<Mesh>,
    /// The least gap of all.
    pub tightest: Option<Gap>,
    /// All gaps of gears that don't mesh, least first.
    pub gaps: Vec<Gap>,
    /// Planes that the bracket has.
    pub planes: u8,
    /// What is too close to call: see [`Fit::doubts`].
    pub doubts: Vec<Reason>,
}

/// A shaft, with its gears.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MountedShaft {
    /// Toward the operator.
    pub right: f64,
    /// Upward.
    pub up: f64,
    /// Where in which slot; end shafts have none.
    pub slot: Option<InSlot>,
    /// The working gears with their planes (1 is next to the headstock), the driven one first.
    pub gears: Vec<(Gear, u8)>,
    /// The gear without work, joined to the working one, with its plane.
    pub idle: Option<(Gear, u8)>,
    /// Radius of its hub, washer or nut; 0 if not stated.
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
    /// Plane of both.
    pub plane: u8,
    /// Distance of the axes.
    pub centres: f64,
    /// The sum of the pitch radii: m (z1 + z2) / 2.
    pub nominal: f64,
}

/// Two parts that must not touch, and the gap between them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Gap {
    /// The gear.
    pub gear: Part,
    /// The part that it must clear.
    pub other: Part,
    /// Gap between them, below zero if they overlap; the wanted clearance is not subtracted.
    pub mm: f64,
}

/// A part that takes room.
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
    /// A gear without work, joined to the working one on its shaft.
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

/// One reason why a train does not fit. All lengths in mm, all positive.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Reason {
    /// No bracket is described, and by the arbor rule a tip is too near to an axis.
    Arbor {
        /// The gear with that tip,
        tip: Teeth,
        /// the gear joined to it, if the first has no work,
        joined_to: Option<Teeth>,
        /// and the gear on the axis.
        axis: Teeth,
        /// Missing distance, with the wanted clearance included.
        short: f64,
    },
    /// Two parts are too near to each other.
    Touch {
        /// The gear.
        gear: Part,
        /// The part that it is too near to.
        other: Part,
        /// Missing distance, with the wanted clearance included.
        short: f64,
        /// The wanted clearance: `short - clearance` is the overlap, if above zero.
        clearance: f64,
    },
    /// A stud is too near to the driving shaft.
    NearFirst {
        /// Shaft index of the stud.
        stud: usize,
        /// Its distance from the driving shaft.
        distance: f64,
        /// The least that the bracket allows.
        least: f64,
    },
    /// A stud would be beyond the end of its slot.
    SlotEnd {
        /// Shaft index of the stud.
        stud: usize,
        /// Index of the slot.
        slot: usize,
        /// The place that the stud needs: see [`InSlot::along`].
        along: f64,
        /// The end of the slot in the way; below it (`from`) or above it (`to`).
        end: f64,
    },
    /// The mesh is too close, or too wide, for the stud to reach its slot or hole.
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
    /// The gears are so unequal that the stud would be beyond the other shaft.
    TooUnequal {
        /// The larger of the two distances minus the smaller.
        difference: f64,
        /// The distance of the shafts, which must be larger.
        distance: f64,
    },
    /// Without a stud the two gears must span the distance of the shafts.
    Centres {
        /// Distance that the gears need.
        needed: f64,
        /// Distance on the machine.
        distance: f64,
        /// Greatest opening of a mesh.
        opening: f64,
    },
    /// The arm can't swing that far.
    Swing {
        /// The angle that it needs, in degrees,
        swing: f64,
        /// and the limit in the way.
        limit: f64,
    },
    /// The planes that the shafts allow are not enough for the gears.
    Planes {
        /// Planes that the bracket has.
        planes: u8,
    },
    /// A gear without work, joined to the working one, has no plane.
    NoPlane {
        /// Its size.
        teeth: Teeth,
        /// The gear that it is joined to.
        joined_to: Teeth,
        /// Planes that the bracket has.
        planes: u8,
    },
    /// Not every place of the studs was tried: the work for one train was done before a position was
    /// found or ruled out. A doubt, never a refusal.
    CutShort,
    /// The train needs more studs than the slots have room for.
    Studs {
        /// Studs that the train needs.
        needed: usize,
    },
}
