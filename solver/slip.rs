//! What goes wrong on a lathe that is being set up, and what does it cut then?
//!
//! Every single slip of a set-up: a lever, the headstock or the tumbler in another position, gears in each
//! other's place, another gear of the box, an idler keyed or a pair running as an idler, the fitted gears
//! left on. What a slip cuts is arithmetic, exact; how common it is, is in points (`kind.rs`).
//!
//! ```
//! use solver::slip::{Mounted, Slip, singles};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
//! let mut gears = GearSet::new();
//! for teeth in [30, 60] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//! let settings = lathe.settings(Travel::Thread)?.list;
//! let right = Mounted::new(settings[0].clone(), "30-60".parse()?, None);
//! let all = singles(&lathe, &settings, &right);
//! let ends = all.iter().find(|one| matches!(one.slip, Slip::EndsExchanged { .. })).expect("two ends");
//! assert_eq!(ends.mounted.lead()?, Lead::from_tpi("4".parse()?)?); // 16 was meant
//! # Ok::<(), solver::Error>(())
//! ```

#![deny(clippy::float_arithmetic, clippy::arithmetic_side_effects)]

mod all;
mod alter;
mod gears;
mod kind;
mod mounted;
mod settings;

pub use all::singles;
pub(crate) use alter::{misread, places, with_shaft, with_teeth};
pub(crate) use gears::trains;
pub use kind::{Slip, Wrong};
pub use mounted::Mounted;
pub(crate) use settings::{other_settings, other_tumblers};
