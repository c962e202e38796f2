//! One train on the machine in plain words: the only place where a solution of the
//! library is taken apart.

use solver::search::{Others, Search, Solution};
use solver::{Hand, Lead, LeadError, Ratio, Result, Shaft, Train};

/// A train with its levers.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) train: Train,
    /// Lever and position.
    pub(super) levers: Vec<(String, String)>,
    pub(super) headstock: Option<String>,
    pub(super) tumbler: Option<String>,
    pub(super) hand: Option<Hand>,
    pub(super) ratio: Ratio,
    pub(super) lead: Lead,
    pub(super) error: LeadError,
    pub(super) gears: usize,
    pub(super) handled: usize,
    /// How many more have this lead; `None`: not counted.
    pub(super) others: Option<Others>,
    /// With `--all`: every one, this one first.
    pub(super) arrangements: Vec<Entry>,
}

/// Past this error, one tenth, it is a different thread or feed that would be cut.
const FAR_OFF: (u128, u128) = (1, 10);

impl Entry {
    /// Whether the error is so large that it is a different thread.
    pub(super) fn is_far_off(&self) -> bool {
        is_far_off(&self.error)
    }

    pub(super) fn of(search: &Search<'_>, solution: &Solution) -> Result<Self> {
        let lathe = search.lathe();
        let setting = search.settings().get(solution.setting);
        let owned = |(lever, position): (&str, &str)| (lever.to_string(), position.to_string());
        let tumbler = solution.tumbler.and_then(|i| lathe.parts().tumbler.get(i));
        Ok(Self {
            ratio: solution.train.ratio()?,
            train: solution.train.clone(),
            levers: setting.map(|s| lathe.lever_names(s).map(owned).collect()).unwrap_or_default(),
            headstock: setting.and_then(|s| lathe.headstock_name(s)).map(str::to_string),
            tumbler: tumbler.map(|(name, _)| name.clone()),
            hand: solution.hand,
            lead: solution.lead,
            error: solution.error,
            gears: solution.gears,
            handled: solution.handled,
            others: None,
            arrangements: Vec::new(),
        })
    }

    /// Teeth on each shaft; on a stud with two, the driven gear first.
    pub(super) fn shafts(&self) -> Vec<Vec<u16>> {
        let teeth = |shaft: &Shaft| shaft.gears().map(|gear| gear.teeth.get()).collect();
        self.train.shafts().iter().map(teeth).collect()
    }
}

/// Whether an error is so large that it is no longer the thread that was asked.
pub(super) fn is_far_off(error: &LeadError) -> bool {
    let (part, whole) = FAR_OFF;
    !Ratio::new(part, whole).is_ok_and(|tenth| error.within(&tenth))
}
