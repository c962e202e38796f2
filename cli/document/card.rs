//! What `card` writes. A section that does not apply is null: a feed has no dial, a worm no class.

mod bore;
mod by_hand;
mod end;
mod groove;
mod next_cut;
mod nut;
pub(crate) mod order;
mod rest;
mod size;
mod sizes;
mod speed;
mod surface;
mod tried;
mod undercut;

use super::Head;
use super::change::Change;
use super::find::Solution;
use super::lead::Target;
use super::set_up::Named;
use crate::words::control;
use bore::Bore;
use by_hand::{ByHand, Scratch};
use end::End;
use groove::{Blank, Tooling};
use next_cut::NextCut;
use nut::{HalfNut, NextStart};
use schemars::JsonSchema;
use serde::Serialize;
use sizes::Sizes;
use solver::job::{Job, Request};
use speed::{Error, Feed, Speed};
use surface::Surface;
use tried::{PickUp, ToMate, Tried};
use undercut::{Spindle, Undercut};

/// What `trainwright card --format json` writes.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Document {
    /// Version and lathe.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// What was asked.
    pub(crate) target: Target,
    /// The card; null where there is no train for it, which is exit code 1.
    pub(crate) card: Option<Card>,
    /// Why there is none, as sentences.
    pub(crate) reasons: Vec<String>,
}

/// What `trainwright card --format json` writes: one card, or with --order several in their order.
#[derive(Debug, Serialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum Written {
    /// One card.
    One(Box<Document>),
    /// Several jobs.
    Order(order::Document),
}

/// The job, in the order of the work.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Card {
    /// The train with its levers and its fit.
    pub(crate) solution: Solution,
    /// What is left of a half-cut thread; null where nothing was measured (--now).
    pub(crate) next_cut: Option<NextCut>,
    /// What a mate shows that was tried on it; null where none was (--now "nut ...").
    pub(crate) tried: Option<Tried>,
    /// The screw that this nut is cut to; null where none was stated (--mate).
    pub(crate) to_mate: Option<ToMate>,
    /// How the thread is picked up again; null where nothing was taken out (--reset).
    pub(crate) pick_up: Option<PickUp>,
    /// What is turned or bored first; null where no diameter is known, for a taper and for a feed.
    pub(crate) blank: Option<Blank>,
    /// Thread that the bore of a nut leaves, and tap drills; null for a screw, and where no whole thread is known.
    pub(crate) bore: Option<Bore>,
    /// From the fitted set-up to this one; null where the lathe file names none.
    pub(crate) change: Option<Change>,
    /// The undercut; null where nothing was said of it (--undercut, --away).
    pub(crate) undercut: Option<Undercut>,
    /// How the spindle turns in the cut.
    pub(crate) spindle: Spindle,
    /// Which way the carriage runs then; null where it is not known, and for a feed.
    pub(crate) carriage: Option<End>,
    /// What turning the spindle by hand shows.
    pub(crate) by_hand: ByHand,
    /// What the scratch pass measures.
    pub(crate) scratch: Option<Scratch>,
    /// Where the half nut closes again.
    pub(crate) half_nut: Option<HalfNut>,
    /// How the next start is reached; null for a single start.
    pub(crate) starts: Option<NextStart>,
    /// Tool and depth of cut; null where the form is not known.
    pub(crate) tool: Option<Tooling>,
    /// Diameters and wires; null where no diameter is known.
    pub(crate) sizes: Option<Sizes>,
    /// What the error of the lead comes to; null for a feed.
    pub(crate) error: Option<Error>,
    /// Speed of the carriage; null for a feed.
    pub(crate) speed: Option<Speed>,
    /// Turns a minute by the material; null where none was stated (--material, --surface).
    pub(crate) surface: Option<Surface>,
    /// Finish of a feed; null for a thread.
    pub(crate) feed: Option<Feed>,
    /// Back to the fitted set-up; null where the lathe file names none.
    pub(crate) back: Option<Back>,
}

/// Back to the fitted set-up.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Back {
    /// The gears.
    pub(crate) change: Change,
    /// Lever names with the positions of the fitted set-up.
    pub(crate) levers: Named,
    /// Position of the headstock in the fitted set-up; null where that is not known.
    pub(crate) headstock: Option<String>,
    /// Position of the tumbler in the fitted set-up; null where that is not known.
    pub(crate) tumbler: Option<String>,
    /// What the job sets of which the lathe file does not say how it was: to be noted before.
    pub(crate) as_noted: Vec<String>,
    /// What it gives then, in words.
    pub(crate) restores: Vec<String>,
}

impl Card {
    /// Of a job; `restores`: what the fitted set-up gives, in words.
    pub(crate) fn of(
        asked: &Request<'_>,
        job: &Job,
        solution: Solution,
        restores: Vec<String>,
    ) -> Self {
        let blank = job.groove.as_ref().and_then(|groove| groove.blank);
        Self {
            solution,
            next_cut: job.next.as_ref().map(NextCut::from),
            tried: job.tried.as_ref().map(Tried::from),
            to_mate: job.mate.as_ref().map(ToMate::from),
            pick_up: job.pick_up.as_ref().map(PickUp::from),
            blank: blank.as_ref().map(Blank::from),
            bore: job.bore.as_ref().map(Bore::from),
            change: job.change.there.as_ref().map(Change::from),
            undercut: job.undercut.as_ref().map(Undercut::from),
            spindle: job.by_hand.spindle.into(),
            carriage: job.by_hand.carriage.map(End::from),
            by_hand: ByHand::from(&job.by_hand),
            scratch: job.scratch.as_ref().map(|scratch| Scratch::of(asked.lathe, scratch)),
            half_nut: job.nut.as_ref().map(|plan| HalfNut::of(asked.lathe, plan)),
            starts: NextStart::of(asked, job),
            tool: Tooling::of(asked, job),
            sizes: Sizes::of(asked, job),
            error: job.adds_up.as_ref().map(Error::from),
            speed: job.speed.as_ref().map(Speed::from),
            surface: job.surface.as_ref().map(Surface::from),
            feed: job.feed.as_ref().map(|feed| Feed::of(asked.lathe, asked.set_up.lead, feed)),
            back: Back::of(asked, job, restores),
        }
    }
}

impl Back {
    fn of(asked: &Request<'_>, job: &Job, restores: Vec<String>) -> Option<Self> {
        let fitted = asked.lathe.parts().fitted.as_ref()?;
        Some(Self {
            change: job.change.back.as_ref().map(Change::from)?,
            levers: Named(fitted.levers.clone()),
            headstock: fitted.headstock.clone(),
            tumbler: fitted.tumbler.clone(),
            as_noted: control::as_noted(asked.lathe, &job.change.note),
            restores,
        })
    }
}
