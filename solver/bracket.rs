//! Does this train fit on the bracket, and where does each stud go? If not: which two parts touch?
//!
//! The order of the gears comes from [`Train`](crate::Train), sizes from [`Bracket`](crate::Bracket). Only
//! here do doubles decide. Sums of given lengths are exact. Every square root carries a bound on its error,
//! typically below a millionth of a millimetre and more near a tangent. A margin within that bound is
//! [`Fit::TooClose`], not a verdict.
//!
//! Formulas: pitch radius m z / 2, tip radius m (z + 2) / 2 (ISO 53 proportions), centre distance
//! m (z1 + z2) / 2 plus the opening. The rest is lines and circles.
//!
//! ```
//! use solver::bracket::{Fit, Geometry};
//! use solver::{Bracket, GearSet, Train};
//! // Shafts 80 mm apart, a slot 34 to 70 mm from the lead screw; gears of module 1.
//! let bracket = Bracket::plain("80 mm".parse()?, "34 mm".parse()?, "70 mm".parse()?);
//! let geometry = Geometry::new(&bracket, &GearSet::new())?;
//! let train: Train = "45-55+50-65".parse()?;
//! let Fit::Fits(mounting) = geometry.fit(&train) else { panic!("it fits") };
//! assert_eq!(mounting.meshes[1].centres, 57.5); // mm, from the stud to the screw
//! // 20 and 20 are far too small to reach from shaft to shaft.
//! assert!(!geometry.fit(&"20-20".parse()?).reasons().is_empty());
//! # Ok::<(), solver::Error>(())
//! ```

mod between;
mod candidates;
mod fit;
mod geometry;
mod judge;
mod meet;
mod newton;
mod pivot;
mod point;
mod report;
mod wheels;

pub use fit::{Fit, FitState, Gap, InSlot, Mesh, MountedShaft, Mounting, Part, Reason, Refusal};
pub use geometry::Geometry;
#[cfg(test)]
pub(crate) use judge::tests::bracket as some_bracket;
pub(crate) use judge::{Seat, Seats, Verdict};
pub(crate) use point::Point;
pub(crate) use wheels::{Wheel, Wheels};
