//! What does one job take, from the blank to putting the machine back? All figures of a job card.
//!
//! A [`Job`] is worked out for one set-up of a lathe and for the stated work. Its sections are plain
//! values in the order of the work. They are exact where they can be ([`Length`], [`Lead`], [`Ratio`]);
//! a root, an angle or pi gives doubles, in millimetres (`_mm`) or seconds (`_s`). Nothing is rounded for
//! display, and nothing is put into words.
//!
//! ```
//! use solver::dial::Advice;
//! use solver::job::{Job, Request, SetUp, Work};
//! use solver::search::{Ask, Options, Search};
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Target, Teeth};
//!
//! let mut gears = GearSet::new();
//! for teeth in [20, 40, 50, 60, 80] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::new("3 mm".parse()?)))?;
//! let target: Target = "M10".parse()?;
//! let search = Search::new(&lathe, target.travel(), Options::default())?;
//! let found = search.find(&Ask::new(target.lead()))?;
//!
//! let set_up = SetUp::of(&search, &found.solutions[0]).unwrap();
//! let request = Request::new(&lathe, &target, set_up);
//! let job = Job::new(&request.with_work(Work { rpm: Some(60), ..Work::default() })).unwrap();
//!
//! let groove = job.groove.as_ref().unwrap();
//! let blank = groove.blank.unwrap();
//! assert_eq!(blank.across().to_string(), "197/20 mm"); // 9.85 mm, the middle of 6g
//! assert_eq!(format!("{:.3}", groove.depth.mm()), "0.894");
//! assert_eq!(job.by_hand.travel.to_string(), "15 mm"); // in ten turns
//! assert_eq!(job.scratch.as_ref().unwrap().length.to_string(), "15 mm"); // over ten grooves
//! assert!(matches!(job.nut.as_ref().unwrap().advice(), Advice::Anywhere));
//! assert_eq!(job.speed.as_ref().unwrap().at[0].mm_per_s, 1.5);
//! # Ok::<(), solver::Error>(())
//! ```
//!
//! | question | where |
//! |---|---|
//! | what is turned or bored, how deep, with which tool, in which passes? | [`Groove`] |
//! | it is half cut: what is left, which cuts come next? | [`NextCut`], [`Tried`] |
//! | tool or work was taken out: how is the thread found again? | [`PickUp`] |
//! | a nut for one screw: which pitch diameter? | [`ToMate`] |
//! | which gears and levers are moved, and put back? | [`Changeover`] |
//! | what does turning by hand show, what does a scratch pass measure? | [`ByHand`], [`ScratchMeasure`] |
//! | where does the half nut close again? | [`dial::HalfNut`] |
//! | how is the next start reached? | [`starts::Indexing`] |
//! | what is measured? | [`Limits`], [`Sizes`] |
//! | does the error of the lead matter? | [`ErrorOverLength`] |
//! | where does the thread end or begin? | [`Undercut`] |
//! | how fast? | [`Speed`], [`Surface`] |
//! | what finish does a feed leave? | [`Feed`] |

use crate::bounds::SPINDLE;
use crate::bracket::Fit;
use crate::cutting::{Cut, Side, Tooth};
use crate::dial::{self, Advice};
use crate::judge::Judged;
use crate::scratch_pass::Spindle;
use crate::search::{Options, Search, Solution};
use crate::starts::{self, Method};
use crate::tolerance::Limits;
use crate::{Either, Error, Hand, Lathe, Lead, LeadError, Setting, Target, Train};

#[cfg(doc)]
use crate::{Length, Ratio};

mod adds_up;
mod back;
mod bore;
mod by_hand;
#[cfg(test)]
mod dice;
mod easiest;
mod feed;
mod groove;
mod mate;
mod measured;
mod next_cut;
mod pick_up;
mod rest;
mod ridges;
mod set_over;
mod sizes;
mod speed;
mod stated;
mod surface;
mod trial;
mod tried;
mod undercut;
mod work;

pub use adds_up::{Basis, ErrorOverLength};
pub use back::{Changeover, Note};
pub use bore::Bore;
pub use by_hand::{ByHand, ScratchMeasure, Shown};
pub use easiest::easiest;
pub use feed::{Feed, Finest, Finish, Smooth, coarsest_for};
pub use groove::{Groove, Root, Tool};
pub use mate::ToMate;
pub use measured::{Gauge, Measured};
pub use next_cut::{Between, Conicity, Left, NextCut, Stage};
pub use pick_up::PickUp;
pub use rest::Rest;
pub use ridges::Ridges;
pub use set_over::SetOver;
pub use sizes::{RootAt, Sizes, WiresOver};
pub use speed::{Slowest, Speed, SpeedCheck, Time};
pub use stated::{StatedSurface, StatedUndercut};
pub use surface::{Decides, Surface};
pub use trial::{Goes, Now, Trial};
pub use tried::Tried;
pub use undercut::{Undercut, WidthSource};
pub use work::{Coasting, Profile, Refused, Stated, Work};

/// A train on the machine, with its levers.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// The gears.
    pub train: Train,
    /// Headstock and levers.
    pub setting: Setting,
    /// Index of the tumbler position; `None`: there is none, or it is free.
    pub tumbler: Option<usize>,
    /// Hand that it cuts; `None`: some direction is unknown, or a feed.
    pub hand: Option<Hand>,
    /// Both cases, where it is unknown whether two gears mesh directly.
    pub either: Option<Either>,
    /// Lead or feed that it gives.
    pub lead: Lead,
    /// Error from the target.
    pub error: LeadError,
    /// The bracket's verdict.
    pub fit: Fit,
}

impl SetUp {
    /// From a solution of this search; `None`: it is of another search.
    pub fn of(search: &Search<'_>, solution: &Solution) -> Option<Self> {
        Self::among(search.settings(), solution)
    }

    /// The same with the settings of its kind of travel, as [`Lathe::settings`] lists them.
    pub fn among(settings: &[Setting], solution: &Solution) -> Option<Self> {
        let Solution { train, tumbler, hand, either, lead, error, fit, .. } = solution.clone();
        let setting = settings.get(solution.setting)?.clone();
        Some(Self { train, setting, tumbler, hand, either, lead, error, fit })
    }

    /// The hand in every case; `None`: it is unknown, or differs between the cases.
    pub fn settled_hand(&self) -> Option<Hand> {
        let same = self.either.is_none_or(|either| either.direct.hand == either.with_idler.hand);
        self.hand.filter(|_| same)
    }
}

/// From a judged train.
impl From<Judged> for SetUp {
    fn from(judged: Judged) -> Self {
        let Judged { set, setting, tumbler, hand, either, lead, error, .. } = judged;
        let (train, fit) = (set.given.train, set.fit);
        Self { train, setting, tumbler, hand, either, lead, error, fit }
    }
}

/// The input of a job.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Request<'a> {
    /// The machine.
    pub lathe: &'a Lathe,
    /// The target.
    pub target: &'a Target,
    /// The asked hand: that of the target, else right; `None`: a feed.
    pub hand: Option<Hand>,
    /// Options for the finest feed, and whether the bracket is asked about the fitted set-up.
    pub options: Options,
    /// The chosen set-up.
    pub set_up: SetUp,
    /// The stated work.
    pub work: Work,
}

impl<'a> Request<'a> {
    /// For a set-up, with nothing stated about the work.
    pub fn new(lathe: &'a Lathe, target: &'a Target, set_up: SetUp) -> Self {
        let hand = (!target.travel().is_feed()).then(|| target.hand().unwrap_or(Hand::Right));
        let (options, work) = (Options::default(), Work::default());
        Self { lathe, target, hand, options, set_up, work }
    }

    /// The same for another hand.
    pub const fn with_hand(mut self, hand: Option<Hand>) -> Self {
        self.hand = hand;
        self
    }

    /// The same with other options of a search.
    pub fn with_options(mut self, options: Options) -> Self {
        self.options = options;
        self
    }

    /// The same with stated work.
    pub fn with_work(mut self, work: Work) -> Self {
        self.work = work;
        self
    }

    /// Whether it is a feed.
    pub fn is_feed(&self) -> bool {
        self.target.travel().is_feed()
    }

    /// Whether it is a nut.
    pub fn is_nut(&self) -> bool {
        self.work.side == Side::Internal
    }

    /// How the spindle turns in the cut.
    pub fn spindle(&self) -> Spindle {
        undercut::spindle(self.hand(), &self.work)
    }

    /// The hand that is cut; where a direction is unknown, the asked one.
    pub fn hand(&self) -> Option<Hand> {
        self.set_up.hand.or(self.hand)
    }
}

/// All figures of the job.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Job {
    /// The thread; `None`: a feed, a round groove, or its form is unknown.
    pub cut: Option<Cut>,
    /// Why the form is unknown.
    pub no_form: Option<NoForm>,
    /// Limits of its class; `None`: unknown.
    pub limits: Option<Limits>,
    /// Blank, tool, depth, passes; `None`: a feed, or the form is unknown.
    pub groove: Option<Groove>,
    /// What is left of a thread that is half cut; `None`: nothing was measured.
    pub next: Option<NextCut>,
    /// What a mate shows that was tried on it; `None`: none was tried.
    pub tried: Option<Tried>,
    /// How the thread is picked up again; `None`: nothing was taken out.
    pub pick_up: Option<PickUp>,
    /// The screw that a nut is cut to; `None`: none was stated.
    pub mate: Option<ToMate>,
    /// Gears and levers to move, there and back.
    pub change: Changeover,
    /// What turning by hand shows.
    pub by_hand: ByHand,
    /// What a scratch pass measures; `None`: a feed.
    pub scratch: Option<ScratchMeasure>,
    /// Where the half nut closes again; `None`: a feed.
    pub nut: Option<dial::HalfNut>,
    /// How the next start is reached; `None`: a single start, or a feed.
    pub starts: Option<starts::Indexing>,
    /// Sizes to measure; `None`: no diameter is known.
    pub sizes: Option<Sizes>,
    /// Thread that the bore of a nut leaves, and tap drills; `None`: a screw, or unknown.
    pub bore: Option<Bore>,
    /// The check between starts; `None`: a single start, a nut, a taper.
    pub ridges: Option<Ridges>,
    /// A gear-tooth caliper on the ridges of a worm, or of several starts with flat crests; `None`: others.
    pub tooth: Option<Tooth>,
    /// The tailstock set over for a taper; `None`: not asked.
    pub set_over: Option<SetOver>,
    /// The undercut to turn; `None`: nothing was said of it.
    pub undercut: Option<Undercut>,
    /// The effect of the lead error; `None`: a feed.
    pub adds_up: Option<ErrorOverLength>,
    /// Speeds; `None`: a feed.
    pub speed: Option<Speed>,
    /// Turns a minute by the surface speed; `None`: none was stated.
    pub surface: Option<Surface>,
    /// Finish of a feed; `None`: a thread.
    pub feed: Option<Feed>,
}

/// Why depth and sizes are unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoForm {
    /// The form of the standard is not in this library.
    Unknown(Error),
    /// Only a coarse pitch was named.
    Unsaid,
}

impl Job {
    /// Works it out.
    ///
    /// # Errors
    /// If the stated work is impossible, the lathe can't be used for it, or a number is out of
    /// range.
    pub fn new(request: &Request<'_>) -> Result<Self, Refused> {
        let Request { lathe, target, set_up, work, .. } = request;
        work.goes_with(target)?;
        let (feeds, lead) = (request.is_feed(), set_up.lead);
        let screw = lathe.parts().lead_screw.lead.filter(|_| !feeds);
        let starts = if feeds { 1 } else { target.starts() };
        let (cut, no_form) = thread(request);
        let limits = sizes::limits(target, work)?;
        let next = starts::Indexing::new(lathe, &set_up.setting, &set_up.train, starts)?;
        let slides =
            !next.as_ref().is_some_and(|next| matches!(next.method(), Method::TopSlide(_)));
        let mate = ToMate::of(target, cut.as_ref(), limits.as_ref(), work)?;
        let held = (limits.as_ref(), mate.as_ref());
        let groove = match &cut {
            Some(cut) => Some(Groove::of(cut, held, work, slides, request.spindle())?),
            None => Groove::round(target, work)?,
        };
        if let Some(cut) = &cut {
            sizes::wires_go_in(cut, work)?;
            sizes::taper_goes_on(cut, work)?;
        }
        let sizes = cut.as_ref().and_then(|cut| {
            Sizes::of(cut, limits.as_ref(), groove.as_ref(), work, target.starts())
        });
        let taper = sizes.as_ref().and_then(|sizes| sizes.taper.as_ref());
        let set_over = SetOver::of(cut.as_ref(), taper, work)?;
        let blank = groove.as_ref().and_then(|groove| groove.blank);
        let bore = cut.as_ref().and_then(|cut| Bore::of(cut, limits.as_ref(), groove.as_ref()));
        let ridges = Ridges::of(cut.as_ref(), limits.as_ref(), target.starts());
        let has_caliper = |cut: &&Cut| target.starts() > 1 || cut.module().is_some();
        let tooth = cut.as_ref().filter(has_caliper).zip(blank);
        let half_cut = NextCut::of(target, cut.as_ref(), groove.as_ref(), held, work)?;
        let tried = Tried::of(target, cut.as_ref(), groove.as_ref(), held, work)?;
        let nut = (!feeds).then(|| dial::HalfNut::new(lathe, &lead, starts)).transpose()?;
        let opens = nut.as_ref().is_some_and(|nut| !matches!(nut.advice(), Advice::KeepClosed(_)));
        let speeds = speeds(request, cut.as_ref(), opens)?;
        let adds_up =
            || ErrorOverLength::of(&set_up.error, work.over, target, cut.as_ref(), limits.as_ref());
        let feed = || Feed::of(lathe, target.travel(), &request.options, &lead, work);
        Ok(Self {
            pick_up: PickUp::of(nut.as_ref(), groove.as_ref(), half_cut.as_ref(), work),
            change: Changeover::of(lathe, set_up, feeds, request.options.bracket),
            by_hand: ByHand::of(set_up, screw, request.spindle())?,
            undercut: Undercut::of(speeds.undercut, cut.as_ref(), groove.as_ref(), work),
            scratch: (!feeds).then(|| ScratchMeasure::of(lathe, set_up, starts)).transpose()?,
            adds_up: (!feeds).then(adds_up).transpose()?,
            speed: speeds.speed,
            surface: speeds.surface,
            feed: feeds.then(feed).transpose()?,
            starts: next,
            next: half_cut,
            tried,
            mate,
            nut,
            sizes,
            set_over,
            bore,
            ridges,
            tooth: tooth.and_then(|(cut, blank)| cut.tooth(&blank.across(), &blank.pitch())),
            groove,
            limits,
            no_form,
            cut,
        })
    }
}

/// How fast, and in which undercut.
struct Speeds {
    /// `None`: a feed.
    undercut: Option<undercut::Width>,
    speed: Option<Speed>,
    surface: Option<Surface>,
}

/// `opens`: whether the half nut may be opened at the end of a pass. The speed by the material is timed
/// as well.
fn speeds(request: &Request<'_>, cut: Option<&Cut>, opens: bool) -> Result<Speeds, Refused> {
    let Request { lathe, target, set_up, work, .. } = request;
    let own = lathe.parts().speeds.as_ref();
    if request.is_feed() {
        let surface = Surface::of(work, cut, None, own)?;
        return Ok(Speeds { undercut: None, speed: None, surface });
    }
    let undercut = undercut::Width::of(&target.pitch(), cut, request.hand(), work)?;
    let terms = speed::Terms {
        lead: set_up.lead,
        undercut,
        speeds: own,
        begins_there: undercut::begins_there(request.hand(), work),
        opens,
        outruns: lathe.parts().lead_screw.outruns(&set_up.lead),
    };
    let mut speed = Speed::of(&terms, work)?;
    let surface = Surface::of(work, cut, Some(&speed), own)?;
    let rpm = surface.map(|surface| surface.of_lathe.unwrap_or(surface.begin));
    let rpm = rpm.filter(|rpm| work.rpm.is_none() && SPINDLE.holds((*rpm).into()));
    if rpm.is_some() {
        speed.add(Speed::of(&terms, &Work { rpm, ..work.clone() })?);
    }
    Ok(Speeds { undercut: Some(undercut), speed: Some(speed), surface })
}

/// The thread with the hand that is cut, or why it is unknown.
fn thread(request: &Request<'_>) -> (Option<Cut>, Option<NoForm>) {
    match request.work.cut(request.target) {
        // A class belongs to a form.
        Ok(Some(cut)) if cut.is_form_open() && request.work.class.is_none() => {
            (None, Some(NoForm::Unsaid))
        }
        Ok(cut) => {
            let hand = request.hand().unwrap_or(Hand::Right);
            (cut.map(|cut| cut.with_hand(hand)), None)
        }
        Err(error) => (None, Some(NoForm::Unknown(error))),
    }
}
