//! One train on the machine in plain words: the only place where a solution of the
//! library is taken apart.

use super::either::{self, Branch};
use crate::command::figures::measure;
use crate::command::reasons::{Objection, Speaker};
use crate::report::found::JoinedGear;
use solver::bracket::Fit;
use solver::search::{Others, Search, Solution};
use solver::{
    Either, Hand, Lathe, Lead, LeadError, LeastClearance, Ratio, Result, Setting, Shaft, Teeth,
    ToothSize, Train, Turns,
};

/// A train with its levers.
#[derive(Debug, Clone)]
pub(in crate::command) struct Entry {
    pub(in crate::command) train: Train,
    /// Lever and position.
    pub(in crate::command) levers: Vec<(String, String)>,
    pub(in crate::command) headstock: Option<String>,
    pub(in crate::command) tumbler: Option<String>,
    /// How the first shaft turns against the spindle.
    pub(in crate::command) first_turns: Turns,
    /// The same levers and headstock, as the library knows them.
    pub(in crate::command) setting: Option<Setting>,
    pub(in crate::command) hand: Option<Hand>,
    /// Where nobody has measured whether two gears mesh: what is set and cut if they do directly, and
    /// if an idler is needed.
    pub(in crate::command) either: Option<[Branch; 2]>,
    pub(in crate::command) ratio: Ratio,
    pub(in crate::command) lead: Lead,
    pub(in crate::command) error: LeadError,
    pub(in crate::command) gears: usize,
    pub(in crate::command) handled: usize,
    /// What the bracket says.
    pub(in crate::command) fit: Fit,
    /// What the shop's rule says against it with figures that nobody stated.
    pub(in crate::command) assumed: Vec<solver::bracket::Reason>,
    /// What else speaks against it.
    pub(in crate::command) objections: Vec<Objection>,
    /// Every choice of idlers that would stand between its end gears.
    pub(in crate::command) idlers: Vec<Vec<Teeth>>,
    /// How many more have this lead; `None`: not counted.
    pub(in crate::command) others: Option<Others>,
    /// With `--all`: every one, this one first.
    pub(in crate::command) arrangements: Vec<Entry>,
}

/// What the library says of a train that is set up.
pub(super) struct Set<'a> {
    pub(super) train: Train,
    pub(super) setting: Option<&'a Setting>,
    /// Index of the tumbler position.
    pub(super) tumbler: Option<usize>,
    pub(super) hand: Option<Hand>,
    pub(super) either: Option<Either>,
    pub(super) lead: Lead,
    pub(super) error: LeadError,
    pub(super) fit: Fit,
}

/// Past this error, one tenth, it is a different thread or feed that would be cut.
const FAR_OFF: (u128, u128) = (1, 10);

impl Entry {
    /// Whether the error is so large that it is a different thread.
    pub(in crate::command) fn is_far_off(&self) -> bool {
        is_far_off(&self.error)
    }

    pub(in crate::command) fn of(search: &Search<'_>, solution: &Solution) -> Result<Self> {
        Self::on(search.lathe(), search.settings(), solution)
    }

    /// The same for a lathe with its settings, as a search has them.
    pub(in crate::command) fn on(
        lathe: &Lathe,
        settings: &[Setting],
        solution: &Solution,
    ) -> Result<Self> {
        let set = Set {
            train: solution.train.clone(),
            setting: settings.get(solution.setting),
            tumbler: solution.tumbler,
            hand: solution.hand,
            either: solution.either,
            lead: solution.lead,
            error: solution.error,
            fit: solution.fit.clone(),
        };
        Self::new(lathe, set)
    }

    /// A set-up against which nothing more is known to speak, alone of its lead.
    pub(super) fn new(lathe: &Lathe, set: Set<'_>) -> Result<Self> {
        let Set { train, setting, tumbler, hand, either, lead, error, fit } = set;
        let owned = |(lever, position): (&str, &str)| (lever.to_string(), position.to_string());
        let named = tumbler.and_then(|i| lathe.parts().tumbler.get(i));
        let gears = train.gears().count();
        let fitted = lathe.parts().fitted.as_ref();
        Ok(Self {
            ratio: train.ratio(),
            levers: setting.map(|s| lathe.lever_names(s).map(owned).collect()).unwrap_or_default(),
            headstock: setting.and_then(|s| lathe.headstock_name(s)).map(str::to_string),
            tumbler: named.map(|(name, _)| name.clone()),
            first_turns: setting
                .map_or(Turns::Unknown, |s| lathe.first_turns(s.headstock, tumbler)),
            setting: setting.cloned(),
            hand,
            either: either::of(lathe, either),
            lead,
            error,
            gears,
            handled: fitted.map_or(gears, |fitted| train.handled_from(&fitted.train)),
            train,
            fit,
            assumed: Vec::new(),
            objections: Vec::new(),
            idlers: Vec::new(),
            others: None,
            arrangements: Vec::new(),
        })
    }

    /// Everything that is to be set, name and position: headstock, levers, tumbler.
    pub(in crate::command) fn positions(&self) -> Vec<(String, String)> {
        let tumbler = either::tumbler(self).map(|position| ("tumbler".to_string(), position));
        self.without_tumbler().into_iter().chain(tumbler).collect()
    }

    /// Headstock and levers.
    pub(in crate::command) fn without_tumbler(&self) -> Vec<(String, String)> {
        let headstock = self.headstock.clone().map(|at| ("headstock".to_string(), at));
        headstock.into_iter().chain(self.levers.iter().cloned()).collect()
    }

    /// Whether the arithmetic can't tell if it stands, or that was not settled.
    pub(in crate::command) fn is_too_close(&self) -> bool {
        self.fit.state().is_open()
    }

    /// Whether it can't stand: by the bracket, or without one by the shop's rule.
    pub(in crate::command) fn is_unfit(&self) -> bool {
        !self.fit.reasons().is_empty()
    }

    /// What the shop's rule says against it with figures that nobody stated: not a refusal.
    pub(in crate::command) fn assumed(&self, lathe: &Lathe) -> Vec<Objection> {
        let speaker = Speaker::new(lathe, &self.train);
        self.assumed.iter().map(|reason| speaker.objection(reason)).collect()
    }

    /// The same in words, and what to do; `arbor`: the least room beside a shaft.
    pub(in crate::command) fn assumption(
        &self,
        lathe: &Lathe,
        arbor: Option<LeastClearance>,
    ) -> Option<String> {
        let said: Vec<String> = self.assumed(lathe).into_iter().map(|one| one.text).collect();
        let unsized_gear = self.train.gears().any(|gear| gear.size.is_none());
        let size = unsized_gear.then(|| ToothSize::ASSUMED.to_string());
        let room = arbor.filter(|arbor| *arbor == LeastClearance::Assumed).map(|arbor| {
            let mm = measure(&arbor.mm()).marked();
            format!("{mm} mm from a tip to the next shaft's axis (--arbor)")
        });
        let figures: Vec<String> = size.into_iter().chain(room).collect();
        (!said.is_empty()).then(|| {
            let figures = figures.join(" and ");
            format!("Assumed: {figures}. By that: {} Measure it on the lathe.", said.join(" "))
        })
    }

    /// All that speaks against it, as sentences.
    pub(in crate::command) fn reasons(&self, lathe: &Lathe) -> Vec<Objection> {
        let speaker = Speaker::new(lathe, &self.train);
        let of_fit = self.fit.reasons().iter().map(|reason| speaker.objection(reason));
        of_fit.chain(self.objections.iter().cloned()).collect()
    }

    /// Gears without work, joined to one that works.
    pub(in crate::command) fn idle_gears(&self) -> Vec<JoinedGear> {
        let mounting = self.fit.mounting();
        let of = |(shaft, carries): (usize, &Shaft)| {
            let plane = mounting.and_then(|m| m.shafts.get(shaft)?.idle).map(|(_, plane)| plane);
            let idle = self.train.idle(shaft)?.teeth.get();
            Some(JoinedGear { shaft, works: carries.driven().teeth.get(), idle, plane })
        };
        self.train.shafts().iter().enumerate().filter_map(of).collect()
    }

    /// Teeth on each shaft; on a stud with two, the driven gear first.
    pub(in crate::command) fn shafts(&self) -> Vec<Vec<u16>> {
        let teeth = |shaft: &Shaft| shaft.gears().map(|gear| gear.teeth.get()).collect();
        self.train.shafts().iter().map(teeth).collect()
    }
}

/// Whether an error is so large that it is no longer the thread that was asked.
pub(in crate::command) fn is_far_off(error: &LeadError) -> bool {
    let (part, whole) = FAR_OFF;
    !Ratio::new(part, whole).is_ok_and(|tenth| error.within(&tenth))
}
