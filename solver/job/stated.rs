//! What is stated of an undercut and of the surface speed.

use crate::Length;
use crate::cutting::{Material, SurfaceSpeed, ToolSteel};

/// An undercut as stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StatedUndercut {
    /// The regular one of DIN 76-1; of other pitches 1.5 pitches.
    Regular,
    /// The short one of DIN 76-1.
    Short,
    /// Of this width.
    Wide(Length),
}

impl StatedUndercut {
    /// The width, where it was stated as one.
    pub const fn width(self) -> Option<Length> {
        match self {
            Self::Wide(width) => Some(width),
            Self::Regular | Self::Short => None,
        }
    }
}

/// A surface speed as stated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StatedSurface {
    /// In metres a minute.
    Speed(SurfaceSpeed),
    /// By material; with no tool the one that the table has, high-speed steel first.
    Of(&'static Material, Option<ToolSteel>),
}
