//! What is the exact figure? Fractions, and the lengths, leads and angles made of them.

mod lead;
mod length;
mod ratio;
mod signed;

pub(crate) use lead::compare_with_pi;
pub use lead::{Hand, Lead, LeadError, Travel, Turns};
pub use length::Length;
pub use ratio::Ratio;
pub use signed::{Degrees, Offset};
