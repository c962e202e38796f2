//! Which change gears cut this thread on this lathe? An exact search of all trains.
//!
//! Change gears connect the spindle of a lathe to its lead screw and set the pitch of a thread, or the
//! feed. From a lathe and a box of gears this library finds the trains for a thread, best first, with
//! proof that no closer one exists.
//!
//! ```
//! use solver::search::{Ask, Options, Search};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Target, Teeth, Travel};
//!
//! // A box of gears, an 8 TPI lead screw, one stud on the bracket.
//! let mut gears = GearSet::new();
//! for teeth in [20, 20, 35, 40, 40, 45, 50, 60, 63, 65, 75, 80, 80] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//!
//! // A metric thread on an inch screw, without a 127.
//! let target: Target = "M8".parse()?;
//! let search = Search::new(&lathe, target.travel(), Options::default())?;
//! let found = search.find(&Ask::new(target.lead()))?;
//!
//! let best = &found.solutions[0];
//! assert_eq!(best.train.to_string(), "35-50+45-80");
//! assert_eq!(best.error.exact().unwrap().to_string(), "1/8000"); // +125 ppm, exactly
//! assert!(found.proof.complete); // nothing closer exists
//!
//! // From the train back to the lead: what the levers and the screw make of its ratio.
//! let setting = &search.settings()[best.setting];
//! let lead = setting.constant.times(&best.train.ratio())?;
//! assert_eq!((lead, lead.to_string().as_str()), (best.lead, "8001/6400 mm"));
//! # Ok::<(), solver::Error>(())
//! ```
//!
//! # A tour
//!
//! The questions of a front end, one after the other, for a lathe with a measured bracket.
//!
//! ```
//! use solver::bracket::{Fit, Geometry};
//! use solver::chart::{Gears, Printed, ChartRow, AllowedErrors, Unit, Verdict};
//! use solver::plan::{Line, TrainTable};
//! use solver::reach::Span;
//! use solver::search::{Ask, Options, Search};
//! use solver::{
//!     Bracket, Gear, GearSet, Lathe, Lead, Parts, Target, Teeth, Train, Travel, Watch, buy, chart,
//! };
//!
//! let mut gears = GearSet::new();
//! for teeth in [20, 36, 38, 40, 45, 50, 55, 65] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let mut parts = Parts::plain(gears.clone(), Lead::from_tpi("10".parse()?)?);
//!
//! // Draw: where does each gear sit? Shafts 80 mm apart, a slot 34 to 70 mm from the screw.
//! let bracket = Bracket::plain("80 mm".parse()?, "34 mm".parse()?, "70 mm".parse()?);
//! let train: Train = "45-55+50-65".parse()?;
//! let Fit::Fits(mounting) = Geometry::new(&bracket, &gears)?.fit(&train) else { panic!() };
//! assert_eq!(mounting.meshes[1].centres, 57.5); // mm, from the stud to the screw
//!
//! // Find: with a described bracket, every train found fits it.
//! parts.bracket = Some(bracket);
//! let on_bracket = Lathe::new(parts.clone())?;
//! let search = Search::new(&on_bracket, Travel::Thread, Options::default())?;
//! let target: Target = "M10x1.25".parse()?;
//! let found = search.find(&Ask::new(target.lead()))?;
//! assert!(found.proof.complete && found.solutions[0].fits());
//!
//! // Check: is the chart on the machine right?
//! parts.bracket = None;
//! let lathe = Lathe::new(parts)?;
//! let printed = Printed::new("18", Unit::Tpi, Travel::Thread)?;
//! let row = ChartRow::new(printed).with_gears(Gears::new("20-38".parse()?));
//! let checked = chart::check(&lathe, &[row], &AllowedErrors::default())?;
//! assert_eq!(checked.rows[0].verdict, Verdict::Wrong); // 36 was meant
//!
//! // Plan: two threads with the fewest gears moved.
//! let lines = vec![
//!     Line::new(Lead::from_tpi("20".parse()?)?),
//!     Line::new(Lead::from_tpi("18".parse()?)?),
//! ];
//! let options = Options::default().with_pairs(2);
//! let plan = TrainTable::new(&lathe, lines, &options, Watch::none())?.best_order()?;
//! assert!(plan.is_proven() && plan.steps.len() == 2);
//!
//! // Reach: every lead that can be cut, shortest first.
//! let search = Search::new(&lathe, Travel::Thread, options.clone())?;
//! let finest = Span::all().reach(&search).next().unwrap()?;
//! let next = Span::all().reach(&search).nth(1).unwrap()?;
//! assert!(finest.solution.lead.to_f64() < next.solution.lead.to_f64());
//!
//! // Buy: 11 1/2 threads per inch need a multiple of 23.
//! let wanted = vec![Line::new(Lead::from_tpi("11.5".parse()?)?)];
//! let request = buy::Request::new(wanted, vec![Teeth::new(23)?, Teeth::new(24)?]);
//! let advice = buy::best(&lathe, &request.with_options(options), Watch::none())?;
//! assert_eq!(advice.offers[0].gears, [Teeth::new(23)?]);
//! # Ok::<(), solver::Error>(())
//! ```
//!
//! # Which question is answered where
//!
//! | question | where |
//! |---|---|
//! | what lead does "Tr 40x14 (P7) LH" ask for? | [`Target`] |
//! | which threads exist; which one is this? | [`thread::search`], [`thread::near`] |
//! | which gear is this; is it the one that its box names? | [`caliper::identify`], [`caliper::check`] |
//! | how do these two run together? | [`involute::Pair`] |
//! | what are the limits of its diameters? | [`tolerance::Limits::of`] |
//! | does this error of the lead matter? | [`tolerance::cumulative_error`], [`tolerance::default_length`] |
//! | what does this train cut? | [`Train::ratio`], [`Lathe::settings`] |
//! | how far is that from what was asked? | [`LeadError`] |
//! | which trains come closest? | [`search::Search::find`] |
//! | how close do fewer gears come? | [`search::Search::trade_off`] |
//! | which other set-ups cut the same lead? | [`search::Search::all`], [`search::Search::others`] |
//! | how deep, how measured, how fast is it cut? | [`cutting::Cut`], [`cutting::Stop`] |
//! | would one more gear of a size help? | [`search::Search::one_more`] |
//! | which are all the trains within a tolerance? | [`search::Search::within`] |
//! | in which order, with which trains, is a list cut? | [`plan::TrainTable`] |
//! | which gears are worth buying? | [`buy::best`] |
//! | what can be cut at all? | [`reach::Span::reach`] |
//! | how far is long work, should it go on? | [`Watch`] |
//! | where may the half nut close again? | [`dial::HalfNut`] |
//! | how is the second start reached? | [`starts::Indexing`] |
//! | what must a scratch pass measure? | [`scratch_pass::ScratchPass`] |
//! | what is on the machine now? | [`Lathe::on_now`], [`now::put_on`] |
//! | what goes wrong on this lathe, and what does it cut? | [`slip::singles`] |
//! | a scratch pass measures wrong: which mistake is it? | [`why::Question`] |
//! | what does one job take? | [`job::Job`] |
//! | what is unknown of a lathe, which figures are doubtful? | [`warnings::unknown`], [`warnings::warnings`] |
//! | is the chart on the machine right; what does it tell of an unknown lathe? | [`chart::check`], [`chart::learn`] |
//!
//! Everything from input to ranking is exact; only geometry and irrational formulas use doubles. The library prints nothing and reads no file.

pub mod bounds;
pub mod bracket;
pub mod buy;
pub mod caliper;
pub mod chart;
pub mod cutting;
mod designation;
pub mod dial;
mod error;
mod gear;
mod gearset;
pub mod involute;
pub mod job;
pub mod judge;
mod lathe;
pub mod now;
mod number;
pub mod plan;
pub mod reach;
pub mod scratch_pass;
pub mod search;
pub mod slip;
pub mod starts;
pub mod thread;
pub mod tolerance;
mod train;
pub mod warnings;
mod watch;
pub mod why;

pub use designation::Target;
pub use error::{Error, Fix, Result, Where};
pub use gear::{Gear, Outside, Place, Places, PressureAngle, Teeth, ToothSize};
pub use gearset::{GearSet, Joined};
pub use lathe::{
    Bracket, Combination, Control, Cuts, Dial, Either, End, Ends, Feeds, FirstShaft, Fitted,
    Gearbox, Given, HeadstockPosition, HubRadii, KeepOut, Lack, Lathe, LeadScrew, LeastClearance,
    Lever, LeverPosition, Origin, Parts, Pivot, Restored, Setting, Settings, ShaftClearance, Shape,
    Slot, Speeds, Spot, TooNear, When,
};
pub use number::{Degrees, Hand, Lead, LeadError, Length, Offset, Ratio, Travel, Turns};
pub use thread::{Series, Sureness, Thread};
pub use train::{GearAt, GearChange, GearPlace, OnShaft, Shaft, Train};
pub use watch::{Done, Watch};
