//! A train on the machine with its levers: the same keys wherever a document has one.

use super::lead::{Error, Lead};
use crate::answer::Entry;
use crate::words::figures::{self, measure};
use crate::words::reasons::{Objection, Speaker};
use crate::words::{doubt, either, set_up as words};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use solver::bracket::{self, MountedShaft};
use solver::{Control, Cuts, Lathe, Setting, Shaft, Train};
use std::collections::BTreeMap;

/// A train on the machine with its levers.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct SetUp {
    /// Gears along the power path: `-` is a mesh, `+` joins gears on one stud.
    pub(crate) train: String,
    /// Teeth on each shaft along the power path; on a stud with two, the driven gear first.
    pub(crate) shafts: Vec<Vec<u16>>,
    /// Shafts that carry a joined pair of which one gear does no work; empty if there are none.
    pub(crate) joined: Vec<JoinedGear>,
    /// Lever names with their positions.
    pub(crate) levers: Named,
    /// Headstock position, where there are several.
    pub(crate) headstock: Option<String>,
    /// Tumbler position; null where there is none or it does not matter.
    pub(crate) tumbler: Option<String>,
    /// Hand that it cuts; null for a feed, or where a sense of turning is unknown.
    pub(crate) hand: Option<String>,
    /// Where nobody has measured whether two gears mesh directly: the tumbler and the hand if they do,
    /// and if an idler is needed; else null.
    pub(crate) either: Option<Either>,
    /// Turns of the last gear for one turn of the first, exact.
    pub(crate) ratio: String,
    /// The same, rounded.
    pub(crate) ratio_rounded: f64,
    /// The lead that it cuts.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// Gears in the train, idlers included.
    pub(crate) gears: usize,
    /// For idlers between two end gears: every choice of idlers that fits there, in power-path order;
    /// empty where there is none, or it was not worked out.
    pub(crate) idlers: Vec<Vec<u16>>,
    /// Whether it fits on the banjo.
    pub(crate) fit: Fit,
}

impl SetUp {
    pub(crate) fn of(lathe: &Lathe, entry: &Entry) -> Self {
        let ratio = entry.train.ratio();
        Self {
            train: entry.train.to_string(),
            shafts: entry.shafts(),
            joined: joined(entry),
            levers: Named::levers(lathe, &entry.setting),
            headstock: lathe.headstock_name(&entry.setting).map(str::to_string),
            tumbler: entry.tumbler.map(|at| lathe.position_name(Control::Tumbler, at).to_string()),
            hand: entry.hand.map(|hand| hand.to_string()),
            either: Either::of(lathe, entry),
            ratio: ratio.to_string(),
            ratio_rounded: measure(&ratio).to_f64(),
            lead: Lead::from(&entry.lead),
            gears: entry.gears(),
            idlers: entry.idlers.iter().map(|i| i.iter().map(|z| z.get()).collect()).collect(),
            fit: Fit::of(lathe, entry),
        }
    }
}

/// A set-up for a target, and how far it is off.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Way {
    /// The set-up.
    #[serde(flatten)]
    pub(crate) set_up: SetUp,
    /// What it cuts against what is asked.
    #[serde(flatten)]
    pub(crate) error: Error,
}

impl Way {
    pub(crate) fn of(lathe: &Lathe, entry: &Entry) -> Self {
        Self { set_up: SetUp::of(lathe, entry), error: Error::from(&entry.error) }
    }
}

/// A gear that goes along without work, joined for good to the one that works.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct JoinedGear {
    /// Its shaft along the power path, from 0.
    pub(crate) shaft: usize,
    /// The gear that works.
    pub(crate) works: u16,
    /// The gear without work.
    pub(crate) idle: u16,
    /// The plane of the gear without work, 1 next to the headstock; null where that is not known.
    pub(crate) plane: Option<u8>,
}

fn joined(entry: &Entry) -> Vec<JoinedGear> {
    let mounting = entry.fit.mounting();
    let of = |(shaft, carries): (usize, &Shaft)| {
        let plane = mounting.and_then(|m| m.shafts.get(shaft)?.idle).map(|(_, plane)| plane);
        let idle = entry.train.idle(shaft)?.teeth.get();
        Some(JoinedGear { shaft, works: carries.driven().teeth.get(), idle, plane })
    };
    entry.train.shafts().iter().enumerate().filter_map(of).collect()
}

/// Both cases of two gears of which nobody has measured whether they mesh directly.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Either {
    /// If they mesh directly.
    pub(crate) direct: Branch,
    /// If an idler is needed.
    pub(crate) with_idler: Branch,
}

/// What is set and cut in one case.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Branch {
    /// Tumbler position; null where there is none or it does not matter.
    pub(crate) tumbler: Option<String>,
    /// Hand that is cut; null for a feed, or where a sense of turning is unknown.
    pub(crate) hand: Option<String>,
}

impl Either {
    fn of(lathe: &Lathe, entry: &Entry) -> Option<Self> {
        let solver::Either { direct, with_idler, .. } = entry.either?;
        direct.hand.or(with_idler.hand)?;
        let branch = |cuts: Cuts| Branch {
            tumbler: either::tumbler_of(lathe, cuts).map(str::to_string),
            hand: cuts.hand.map(|hand| hand.to_string()),
        };
        Some(Self { direct: branch(direct), with_idler: branch(with_idler) })
    }
}

/// Whether a train fits on the banjo. Millimetres and degrees here are rounded to a millionth.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Fit {
    /// `fits`; `does not fit`; `too close` to call: measure it; `not settled`: not all places of the
    /// studs were tried; `not checked`: the banjo is not described, or `--no-fit`.
    pub(crate) state: &'static str,
    /// Angle from the line between the pivot and the other shaft to the arm's own line: degrees,
    /// clockwise seen from the cover end; null without a stud, or where it does not fit.
    pub(crate) arm_angle: Option<f64>,
    /// Places of the studs, in power-path order; empty where nothing is on the banjo.
    pub(crate) studs: Vec<Stud>,
    /// The plane of each gear along the power path, 1 next to the headstock; empty likewise.
    pub(crate) planes: Vec<u8>,
    /// What comes nearest to what it must stay clear of; null where nothing does.
    pub(crate) least_clearance: Option<Clearance>,
    /// What to measure where it is `too close` to call, a sentence each; else empty.
    pub(crate) measure: Vec<String>,
    /// All that speaks against the train: why it does not fit, and for `--train` also that a gear is
    /// not owned, or that it cuts the other hand; empty if nothing does.
    pub(crate) reasons: Vec<Reason>,
}

impl Fit {
    /// What the banjo says; where it does not fit nothing is said of where it would be.
    fn of(lathe: &Lathe, entry: &Entry) -> Self {
        let objections = words::reasons(lathe, entry).into_iter();
        let reasons = objections.chain(words::assumed(lathe, entry)).map(Reason::from).collect();
        Self { reasons, ..Self::on(lathe, Some(&entry.train), &entry.fit) }
    }

    /// What the banjo alone says; where no train is known it says nothing of its parts.
    pub(crate) fn on(lathe: &Lathe, train: Option<&Train>, fit: &bracket::Fit) -> Self {
        let speaker = train.map(|train| Speaker::new(lathe, train));
        let mounting = fit.mounting();
        let shafts = mounting.into_iter().flat_map(|m| &m.shafts);
        let gap = speaker.zip(mounting.and_then(|m| m.tightest));
        let clearance = gap.map(|(speaker, gap)| Clearance {
            gear: speaker.part(gap.gear),
            other: speaker.part(gap.other),
            mm: rounded(gap.mm),
        });
        let objections = speaker.map(|speaker| {
            fit.reasons().iter().map(move |reason| Reason::from(speaker.objection(reason)))
        });
        Self {
            state: words::fit_word(fit),
            arm_angle: mounting.and_then(|m| m.swing).map(rounded),
            studs: shafts.clone().filter_map(stud).collect(),
            planes: shafts.flat_map(|shaft| shaft.gears.iter().map(|(_, plane)| *plane)).collect(),
            least_clearance: clearance,
            measure: doubt::measures(lathe, fit),
            reasons: objections.into_iter().flatten().collect(),
        }
    }
}

/// The place of a stud.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Stud {
    /// Which slot of the lathe file, from 1.
    pub(crate) slot: usize,
    /// Along a straight slot, from the foot of the perpendicular from the pivot; in an arc slot
    /// degrees from the arm's own line, about the arc's centre.
    pub(crate) along_mm: f64,
    /// From the pivot's axis to the stud's.
    pub(crate) from_pivot_mm: f64,
    /// From the axis of the driven shaft toward the operator.
    pub(crate) right_mm: f64,
    /// From the axis of the driven shaft upward.
    pub(crate) up_mm: f64,
}

fn stud(shaft: &MountedShaft) -> Option<Stud> {
    let slot = shaft.slot?;
    Some(Stud {
        slot: slot.slot + 1,
        along_mm: rounded(slot.along),
        from_pivot_mm: rounded(slot.from_pivot),
        right_mm: rounded(shaft.right),
        up_mm: rounded(shaft.up),
    })
}

/// Two parts that must not touch.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Clearance {
    /// A gear.
    pub(crate) gear: String,
    /// What it must stay clear of.
    pub(crate) other: String,
    /// Room between them.
    pub(crate) mm: f64,
}

/// Why a train does not fit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Reason {
    /// The kind, such as `touch`, `slot end`, `too short`, `owned`.
    pub(crate) kind: &'static str,
    /// By how much; null where that is no length.
    pub(crate) mm: Option<f64>,
    /// A full sentence.
    pub(crate) text: String,
}

impl From<Objection> for Reason {
    fn from(Objection { kind, mm, text }: Objection) -> Self {
        Self { kind, mm: mm.map(rounded), text }
    }
}

/// To a millionth: what lies below it is the arithmetic's, not the banjo's.
pub(crate) fn rounded(value: f64) -> f64 {
    figures::rounded(value, 6)
}

/// Names with values, in the machine's order.
#[derive(Debug, Clone, PartialEq, Eq, JsonSchema)]
#[schemars(transparent)]
pub(crate) struct Named(
    #[schemars(with = "BTreeMap<String, String>")] pub(crate) Vec<(String, String)>,
);

impl Named {
    /// The levers of a setting with their positions.
    pub(crate) fn levers(lathe: &Lathe, setting: &Setting) -> Self {
        let levers = lathe.lever_names(setting);
        Self(levers.map(|(lever, at)| (lever.to_string(), at.to_string())).collect())
    }
}

impl Serialize for Named {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}
