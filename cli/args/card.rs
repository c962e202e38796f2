//! What is typed for `card`.

use super::value::{self, By, own, whole};
use super::{Machine, Terms};
use clap::{Args as ClapArgs, ValueEnum};
use solver::cutting::{Cone, Material, SurfaceSpeed, Tip, ToolSteel};
use solver::job::{Coasting, Now, StatedUndercut};
use solver::{Length, Ratio, bounds};

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The card is for the set-up that `find` describes first: the fewest gears that are near enough, else the
closest; --rank or --train for another one. --format html (or --output card.html) makes the page that
is printed on one side of A4 or Letter, or read on a phone.

Examples:
  trainwright card M10
  trainwright card M10 --nose 0.1mm --undercut 4mm --output m10.html
  trainwright card M10 --blank 9.86mm
  trainwright card M10 --blank 9.86mm --wire 0.9mm --now \"wires 10.45 mm\"
  trainwright card M10 --now \"nut goes on 2 turns\"
  trainwright card M10 --internal --mate 8.80mm
  trainwright card M20 --now \"pitch 18.6 mm\" --reset
  trainwright card \"1/2-13 UNC\" --internal --class 3B
  trainwright card M30x1.5 --internal --undercut regular --away
  trainwright card M20x1.5 --material \"mild steel\" --undercut regular
  trainwright card \"1.5 mm\" --diameter \"30 mm\" --over \"40 mm\"
  trainwright card \"8 mm\" --form round --depth 1.5mm
  trainwright card \"0.1 mm/rev\" --nose 0.4mm
  trainwright card \"Ra 1.6\" --nose 0.4mm
  trainwright card M10 --train 48-64+63-80
  trainwright card M20x1.5 \"1/2-20 UNF LH\" \"0.08 mm/rev\" --order
  trainwright card M10 --done")]
pub(crate) struct Card {
    /// Thread or feed wanted, as people say it; or the roughness of a turned face, such as "Ra 1.6"
    #[arg(required = true, value_name = "TARGET")]
    pub(crate) target: Vec<String>,
    #[command(flatten)]
    pub(crate) machine: Machine,
    #[command(flatten)]
    pub(crate) terms: Terms,
    /// Take this answer of the closest, not the first choice
    #[arg(
        long,
        value_name = "N",
        conflicts_with = "train",
        help_heading = "Search",
        value_parser = By(whole::<usize>(&bounds::ANSWERS))
    )]
    pub(crate) rank: Option<usize>,
    /// Order several jobs in one part: turning first, then the threads so that few gears are moved
    #[arg(
        long,
        conflicts_with_all = [
            "train", "rank", "done", "put_back_done", "within", "now", "blank", "passes", "first", "over",
            "rpm", "reaction", "coast", "material", "surface",
        ],
        help_heading = "Search"
    )]
    pub(crate) order: bool,
    /// Record that the set-up of this card is on the lathe now; prints no card
    #[arg(long, conflicts_with = "put_back_done", help_heading = "On the lathe")]
    pub(crate) done: bool,
    /// Record that it is put back and the fitted set-up is on again; prints no card
    #[arg(long, help_heading = "On the lathe")]
    pub(crate) put_back_done: bool,
    #[command(flatten)]
    pub(crate) work: Work,
}

/// What is on the lathe: it changes the page, never the gears.
#[derive(Debug, ClapArgs)]
#[command(next_help_heading = "Work")]
pub(crate) struct Work {
    /// Cut a nut, not a screw
    #[arg(long)]
    pub(crate) internal: bool,
    /// Give the major diameter: over the crests of the screw
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) diameter: Option<Length>,
    /// Take the limits of this class: 6g, 6H, 2A, 3B [default: the usual one]
    #[arg(long, value_name = "CLASS")]
    pub(crate) class: Option<String>,
    /// Form of a thread that only its pitch names: its included angle, or a round groove [default: 60 up to
    /// a pitch of 6 mm]
    #[arg(long, value_name = "ANGLE")]
    pub(crate) form: Option<Form>,
    /// Depth of a groove that only its pitch names [default: that of the form]
    #[arg(long, value_name = "LENGTH", conflicts_with = "blank", value_parser = By(own::<Length>))]
    pub(crate) depth: Option<Length>,
    /// Diameter of the blank as measured: outside of a screw, bore of a nut [default: the middle of the
    /// class]
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) blank: Option<Length>,
    /// Taper of the thread on the diameter: 1:16, "3/4 in per ft", or the half angle, "1.79 deg"; --blank
    /// beside it
    #[arg(long, value_name = "TAPER", value_parser = By(own::<Cone>))]
    pub(crate) taper: Option<Cone>,
    /// Length of tapered work between its centres: how far the tailstock is set over
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) centres: Option<Length>,
    /// Give the nose radius of the tool [default: the root of the form]
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) nose: Option<Length>,
    /// Give the width of the flat at the tip of the tool; 0 is a point
    #[arg(long, value_name = "LENGTH", conflicts_with = "nose", value_parser = By(value::flat))]
    pub(crate) flat: Option<Tip>,
    /// Give the wires that you have for measuring [default: the best ones]
    #[arg(
        long,
        value_name = "LENGTH",
        conflicts_with = "internal",
        value_parser = By(own::<Length>)
    )]
    pub(crate) wire: Option<Length>,
    /// Number of passes [default: the first no deeper than 0.25 mm]
    #[arg(
        long,
        value_name = "N",
        conflicts_with = "first",
        value_parser = By(whole::<u32>(&bounds::PASSES))
    )]
    pub(crate) passes: Option<u32>,
    /// Depth of the first pass at most [default: 0.25 mm; 0.125 mm with a flat wider than 1 mm]
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) first: Option<Length>,
    /// Give the length that the mate holds [default: its length of engagement, else 25 mm]
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) over: Option<Length>,
    /// Give a spindle speed, turns a minute
    #[arg(long, value_name = "RPM", value_parser = By(whole::<u32>(&bounds::SPINDLE)))]
    pub(crate) rpm: Option<u32>,
    /// Material of the work, for its surface speed: mild steel, cast iron, brass, ...
    #[arg(long, value_name = "MATERIAL", value_parser = By(value::material))]
    pub(crate) material: Option<&'static Material>,
    /// What the tool is made of: hss, or carbon for carbon steel [default: hss]
    #[arg(long, value_name = "TOOL", requires = "material", value_parser = By(value::tool_steel))]
    pub(crate) tool: Option<ToolSteel>,
    /// Surface speed of your own, such as "30 m/min" or "100 ft/min"
    #[arg(
        long,
        value_name = "SPEED",
        conflicts_with = "material",
        value_parser = By(value::surface)
    )]
    pub(crate) surface: Option<SurfaceSpeed>,
    /// Undercut at a shoulder or in a blind bore: regular or short by DIN 76-1, or its width [default:
    /// DIN 76-1's least, or 1.5 pitches]
    #[arg(long, value_name = "UNDERCUT", value_parser = By(value::undercut))]
    pub(crate) undercut: Option<StatedUndercut>,
    /// Cut away from the headstock: the tool begins in the undercut, a right-hand thread in reverse
    #[arg(long)]
    pub(crate) away: bool,
    /// What you measured on the half-cut thread: over wires, pitch diameter, depth or root, such as
    /// "wires 10.35 mm"; or what its mate does: "nut goes on 2 turns"
    #[arg(long, value_name = "MEASURED", value_parser = By(own::<Now>))]
    pub(crate) now: Option<Now>,
    /// With --internal, pitch diameter of the screw that this nut is for
    #[arg(long, value_name = "LENGTH", value_parser = By(own::<Length>))]
    pub(crate) mate: Option<Length>,
    /// Pick the thread up again: the tool or the work was taken out
    #[arg(long)]
    pub(crate) reset: bool,
    /// Seconds that you take to act at the end of the thread [default: 1, assumed]
    #[arg(long, value_name = "SECONDS", value_parser = By(value::seconds))]
    pub(crate) reaction: Option<Ratio>,
    /// Seconds that the spindle coasts after it is switched off [default: 1, assumed]
    #[arg(long, value_name = "SECONDS", value_parser = By(value::coasting))]
    pub(crate) coast: Option<Coasting>,
}

/// Form of a thread, by its included angle, or a round groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Form {
    /// ISO metric and unified
    #[value(name = "60")]
    Sixty,
    /// Whitworth, BSF, pipe
    #[value(name = "55")]
    FiftyFive,
    /// British Association
    #[value(name = "47.5")]
    FortySevenAndAHalf,
    /// ISO trapezoidal
    #[value(name = "30")]
    Thirty,
    /// Acme
    #[value(name = "29")]
    TwentyNine,
    /// Round groove, as for oil: the tool's nose
    #[value(name = "round")]
    Round,
}
