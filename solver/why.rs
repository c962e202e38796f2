//! A scratch pass does not measure what it should: which mistake is it?
//!
//! Every single mistake on this lathe is tried, where none explains the reading every two: the slips of the
//! gearing ([`crate::slip`]), of the reading (grooves counted wrong, inches read as mm, one start read as the
//! pitch), and of the groove (the half nut closed elsewhere, a tooth slipped, angled infeed). What each
//! would measure is exact. Those that agree with the reading are ranked by how common they are, then by how
//! well they agree; one look decides between the first two.
//!
//! Not known here: how the reading was taken. What is seen on the thread without a figure (torn, tapered) is
//! common practice, no source.
//!
//! ```
//! use solver::slip::{Mounted, Slip};
//! use solver::why::{Cause, Question, Reading};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
//! let mut gears = GearSet::new();
//! for teeth in [30, 60] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//! let settings = lathe.settings(Travel::Thread)?.list;
//! let right = Mounted::new(settings[0].clone(), "30-60".parse()?, None);
//! let reading = Reading::of(&"10 pitches = 63.5 mm".parse()?)?;
//! let answer = Question::new(&lathe, &"16 tpi".parse()?, right).with_reading(Some(reading)).answer()?;
//! let causes = &answer.explanations[0].causes;
//! assert!(matches!(causes[..], [Cause::Gearing(Slip::EndsExchanged { .. })]));
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod candidate;
mod cause;
mod explanation;
mod look;
mod pairs;
mod question;
mod reading;
mod seen;
mod shift;

pub use cause::{Cause, Misreading, Shift};
pub use explanation::{Explanation, Measures};
pub use look::Look;
pub use question::{Answer, Question, Verdict};
pub use reading::{Instrument, Reading};
pub use seen::{Fault, Seen};
