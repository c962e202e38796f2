//! Can this train stand on the bracket, and where? Or which two parts are in each other's way?
//!
//! Topology comes from [`Train`](crate::Train), sizes from [`Bracket`](crate::Bracket). This is the
//! only part of the library where doubles decide. What they decide is honest: sums of given lengths
//! are exact; every square root carries a bound on its error, worked out along with it (typically
//! below a millionth of a millimetre; near a tangent more); a margin within that bound is
//! [`Fit::TooClose`], not a verdict.
//!
//! Formulas: pitch radius m z / 2, tip radius m (z + 2) / 2 (ISO 53 proportions), centre distance
//! m (z1 + z2) / 2 plus the opening; the rest is lines and circles.

mod candidates;
mod fit;
mod geometry;
mod judge;
mod pivot;
mod point;
mod report;
mod wheels;

pub use fit::{Fit, Gap, InSlot, Mesh, Mounting, Part, Reason, Refusal, Standing};
pub use geometry::Geometry;
#[cfg(test)]
pub(crate) use judge::tests::bracket as some_bracket;
pub(crate) use judge::{Seat, Seats, Verdict};
pub(crate) use point::Point;
pub(crate) use wheels::{Wheel, Wheels};
