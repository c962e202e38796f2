//! Can this train stand on the bracket, and where? Or which two parts are in each other's way?
//!
//! Topology comes from [`Train`](crate::Train), sizes from [`Bracket`](crate::Bracket).

mod fit;

pub use fit::{Fit, Gap, InSlot, Mesh, Mounting, Part, Reason, Refusal, Standing};
