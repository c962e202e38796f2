//! What is typed for `gear`.

use super::value::{self, By, Typed, own, typed};
use clap::Args as ClapArgs;
use solver::{Length, Outside, PressureAngle, Teeth, ToothSize};
use std::ffi::OsString;

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Three questions:
  which gear is this?       teeth and --outside; with --pitch: is it what it should be?
  how big, how do they run? teeth and --pitch; gears side by side are meshed in that order
  is the box right?         no teeth: each gear whose entry has \"outside\" is checked

--outside is what a caliper reads over two tips. With an odd count no tip stands opposite another
and the caliper reads less than the diameter: that is allowed for, unless --circle is given.

Examples:
  trainwright gear 40 --outside \"52.4 mm\"
  trainwright gear 40 --outside 2.1in --pitch \"20 DP\"
  trainwright gear 20 60 --pitch \"module 1\"
  trainwright gear 20 60 --pitch \"20 DP\" --angle 14.5 --centres \"50.9 mm\"
  trainwright gear --gears fives-20-100")]
pub(crate) struct Gear {
    /// Teeth, counted; several: each meshes with the next
    #[arg(value_name = "TEETH", value_parser = By(typed(value::teeth)))]
    pub(crate) teeth: Vec<Typed<Teeth>>,
    /// Diameter over the tips, as measured
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = By(typed(value::outside)),
        requires = "teeth"
    )]
    pub(crate) outside: Option<Typed<Outside>>,
    /// --outside is the circle through all tips, not what a caliper reads
    #[arg(long, requires = "outside")]
    pub(crate) circle: bool,
    /// Tooth size: module 1, 20 DP
    #[arg(
        long,
        value_name = "SIZE",
        value_parser = By(typed(own::<ToothSize>)),
        requires = "teeth"
    )]
    pub(crate) pitch: Option<Typed<ToothSize>>,
    /// Pressure angle in degrees [default: 20]
    #[arg(
        long,
        value_name = "DEGREES",
        value_parser = By(typed(value::pressure_angle)),
        requires = "pitch"
    )]
    pub(crate) angle: Option<Typed<PressureAngle>>,
    /// Centre distance of two gears [default: pitch circles touch]
    #[arg(
        long,
        value_name = "LENGTH",
        value_parser = By(typed(own::<Length>)),
        requires = "pitch",
        conflicts_with = "outside"
    )]
    pub(crate) centres: Option<Typed<Length>>,
    /// Lathe whose gears are checked: a file, `-`, or the name of a demo lathe
    #[arg(long, value_name = "FILE|NAME", conflicts_with = "teeth")]
    pub(crate) lathe: Option<OsString>,
    /// Gears to check: a file, `-`, the name of a set, or a list
    #[arg(long, value_name = "FILE|NAME|LIST", conflicts_with_all = ["teeth", "lathe"])]
    pub(crate) gears: Option<OsString>,
}
