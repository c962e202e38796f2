//! One train on the machine in plain words: the only place where a solution of the
//! library is taken apart.

use solver::bracket::Fit;
use solver::judge::Objection;
use solver::search::{Others, Search, Solution};
use solver::{
    Cuts, Either, Hand, Lathe, Lead, LeadError, Ratio, Setting, Shaft, Teeth, Train, Turns,
};

/// A train with its levers.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    pub(crate) train: Train,
    /// Lever and position.
    pub(crate) levers: Vec<(String, String)>,
    pub(crate) headstock: Option<String>,
    pub(crate) tumbler: Option<String>,
    /// How the first shaft turns against the spindle.
    pub(crate) first_turns: Turns,
    /// The same levers and headstock, as the library knows them.
    pub(crate) setting: Option<Setting>,
    pub(crate) hand: Option<Hand>,
    /// Where nobody has measured whether two gears mesh: what is set and cut if they do directly, and
    /// if an idler is needed.
    pub(crate) either: Option<[Branch; 2]>,
    pub(crate) ratio: Ratio,
    pub(crate) lead: Lead,
    pub(crate) error: LeadError,
    pub(crate) gears: usize,
    pub(crate) handled: usize,
    /// What the bracket says.
    pub(crate) fit: Fit,
    /// What the shop's rule says against it with figures that nobody stated.
    pub(crate) assumed: Vec<solver::bracket::Reason>,
    /// What else speaks against it.
    pub(crate) objections: Vec<Objection>,
    /// Every choice of idlers that would stand between its end gears.
    pub(crate) idlers: Vec<Vec<Teeth>>,
    /// How many more have this lead; `None`: not counted.
    pub(crate) others: Option<Others>,
    /// With `--all`: every one, this one first.
    pub(crate) arrangements: Vec<Entry>,
}

/// What is set and cut in one of the two cases of gears that nobody has measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Branch {
    pub(crate) tumbler: Option<String>,
    pub(crate) hand: Option<Hand>,
}

/// If the two gears mesh directly, and if an idler is needed.
pub(crate) fn branches(lathe: &Lathe, either: Option<Either>) -> Option<[Branch; 2]> {
    let branch = |cuts: Cuts| {
        let tumbler = cuts.tumbler.and_then(|at| lathe.parts().tumbler.get(at));
        Branch { tumbler: tumbler.map(|(name, _)| name.clone()), hand: cuts.hand }
    };
    either.map(|either| [either.direct, either.with_idler].map(branch))
}

/// What the library says of a train that is set up.
pub(crate) struct Set<'a> {
    pub(crate) train: Train,
    pub(crate) setting: Option<&'a Setting>,
    /// Index of the tumbler position.
    pub(crate) tumbler: Option<usize>,
    pub(crate) hand: Option<Hand>,
    pub(crate) either: Option<Either>,
    pub(crate) lead: Lead,
    pub(crate) error: LeadError,
    pub(crate) fit: Fit,
}

/// Past this error, one tenth, it is a different thread or feed that would be cut.
const FAR_OFF: (u128, u128) = (1, 10);

impl Entry {
    /// Whether the error is so large that it is a different thread.
    pub(crate) fn is_far_off(&self) -> bool {
        is_far_off(&self.error)
    }

    pub(crate) fn of(search: &Search<'_>, solution: &Solution) -> Self {
        Self::on(search.lathe(), search.settings(), solution)
    }

    /// The same for a lathe with its settings, as a search has them.
    pub(crate) fn on(lathe: &Lathe, settings: &[Setting], solution: &Solution) -> Self {
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
    pub(crate) fn new(lathe: &Lathe, set: Set<'_>) -> Self {
        let Set { train, setting, tumbler, hand, either, lead, error, fit } = set;
        let owned = |(lever, position): (&str, &str)| (lever.to_string(), position.to_string());
        let named = tumbler.and_then(|i| lathe.parts().tumbler.get(i));
        let gears = train.gears().count();
        let fitted = lathe.parts().fitted.as_ref();
        Self {
            ratio: train.ratio(),
            levers: setting.map(|s| lathe.lever_names(s).map(owned).collect()).unwrap_or_default(),
            headstock: setting.and_then(|s| lathe.headstock_name(s)).map(str::to_string),
            tumbler: named.map(|(name, _)| name.clone()),
            first_turns: setting
                .map_or(Turns::Unknown, |s| lathe.first_turns(s.headstock, tumbler)),
            setting: setting.cloned(),
            hand,
            either: branches(lathe, either),
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
        }
    }

    /// Headstock and levers.
    pub(crate) fn without_tumbler(&self) -> Vec<(String, String)> {
        let headstock = self.headstock.clone().map(|at| ("headstock".to_string(), at));
        headstock.into_iter().chain(self.levers.iter().cloned()).collect()
    }

    /// Whether the arithmetic can't tell if it stands, or that was not settled.
    pub(crate) fn is_too_close(&self) -> bool {
        self.fit.state().is_open()
    }

    /// Whether anything speaks against it: the bracket, what is not owned, the hand.
    pub(crate) fn is_refused(&self) -> bool {
        self.is_unfit() || !self.objections.is_empty()
    }

    /// Whether it can't stand: by the bracket, or without one by the shop's rule.
    pub(crate) fn is_unfit(&self) -> bool {
        !self.fit.reasons().is_empty()
    }

    /// Teeth on each shaft; on a stud with two, the driven gear first.
    pub(crate) fn shafts(&self) -> Vec<Vec<u16>> {
        let teeth = |shaft: &Shaft| shaft.gears().map(|gear| gear.teeth.get()).collect();
        self.train.shafts().iter().map(teeth).collect()
    }
}

/// Whether an error is so large that it is no longer the thread that was asked.
pub(crate) fn is_far_off(error: &LeadError) -> bool {
    let (part, whole) = FAR_OFF;
    !Ratio::new(part, whole).is_ok_and(|tenth| error.within(&tenth))
}
