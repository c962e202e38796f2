//! Exact change-gear train search for screw-cutting lathes.

pub mod bounds;
mod error;
mod gear;
mod gearset;
mod lathe;
mod lead;
mod length;
mod ratio;
mod target;
pub mod thread;
mod train;

pub use error::{Error, Result};
pub use gear::{Gear, Place, Places, PressureAngle, Teeth, ToothSize};
pub use gearset::{GearSet, Joined};
pub use lathe::{
    Combination, Dial, End, Ends, Feeds, Fitted, Gearbox, HeadstockPosition, Lathe, LeadScrew,
    Lever, LeverPosition, Parts, Setting, Settings, Speeds, Travel, When,
};
pub use lead::{Hand, Lead, LeadError, Turns};
pub use length::Length;
pub use ratio::Ratio;
pub use target::Target;
pub use thread::{Series, Sureness, Thread};
pub use train::{Shaft, Train};
pub mod search;
