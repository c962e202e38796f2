//! Which controls does a job set, and to what are they restored afterwards?

use super::{Cuts, Either, Fitted, Lathe, Setting};
use std::collections::HashSet;

use crate::{Error, Fix, Hand, Lead, Result, Shaft, Teeth, Train, Travel, Turns, Where};

/// A control beside the gears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Control {
    /// The headstock, where it has several positions.
    Headstock,
    /// A lever of the gearbox, by its index.
    Lever(usize),
    /// The tumbler, where there is one.
    Tumbler,
}

/// A control with its position for a job, before it, and in the fitted set-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub struct Restored {
    /// Which.
    pub control: Control,
    /// Index of its position for the job; `None`: free there, or unknown.
    pub job: Option<usize>,
    /// Index of its position now; `None`: unknown.
    pub now: Option<usize>,
    /// Index of its position in the fitted set-up; `None`: unknown, note it before you move it.
    pub fitted: Option<usize>,
}

impl Lathe {
    /// Every control beside the gears: headstock, levers, tumbler.
    pub fn controls(&self) -> impl Iterator<Item = Control> {
        let headstock = (self.parts.headstock.len() > 1).then_some(Control::Headstock);
        let levers = (0..self.parts.gearbox.levers.len()).map(Control::Lever);
        let tumbler = (!self.parts.tumbler.is_empty()).then_some(Control::Tumbler);
        headstock.into_iter().chain(levers).chain(tumbler)
    }

    /// The position of a control in a set-up, such as the fitted one; `None`: unknown.
    pub fn position_in(&self, set_up: &Fitted, control: Control) -> Option<usize> {
        let parts = &self.parts;
        match control {
            Control::Headstock => {
                let name = set_up.headstock.as_ref()?;
                parts.headstock.iter().position(|p| p.name == *name)
            }
            Control::Lever(lever) => {
                let lever = parts.gearbox.levers.get(lever)?;
                let (_, at) = set_up.levers.iter().find(|(name, _)| *name == lever.name)?;
                lever.positions.iter().position(|p| p.name == *at)
            }
            Control::Tumbler => {
                let name = set_up.tumbler.as_ref()?;
                parts.tumbler.iter().position(|(own, _)| own == name)
            }
        }
    }

    /// Every control with its position for a job, its position now and in the fitted set-up.
    pub fn restored(&self, setting: &Setting, tumbler: Option<usize>) -> Vec<Restored> {
        let job = |control| match control {
            Control::Headstock => Some(setting.headstock),
            Control::Lever(lever) => setting.levers.get(lever).copied(),
            Control::Tumbler => tumbler,
        };
        let restored = |control| Restored {
            control,
            job: job(control),
            now: self.on_now().and_then(|now| self.position_in(now, control)),
            fitted: self.parts.fitted.as_ref().and_then(|fitted| self.position_in(fitted, control)),
        };
        self.controls().map(restored).collect()
    }

    /// The order in which levers move from one position each to another, so that no combination on
    /// the way is forbidden: a gearbox with a lock would refuse the lever. It is the order of the
    /// file where that order works. It is also the order of the file where no order works, where a
    /// position is unknown (`None`), or where more than `MOST_MOVES` levers move.
    pub fn lever_moves(&self, from: &[Option<usize>], to: &[Option<usize>]) -> Vec<usize> {
        let own: Vec<usize> = (0..from.len()).collect();
        let known = |at: &[Option<usize>]| at.iter().copied().collect::<Option<Vec<usize>>>();
        let (Some(from), Some(to)) = (known(from), known(to)) else { return own };
        let ends = from.iter().zip(&to).enumerate();
        let moves: Vec<usize> = ends.filter(|(_, (a, b))| a != b).map(|(i, _)| i).collect();
        if moves.len() > MOST_MOVES {
            return own;
        }
        let mut dead = HashSet::new();
        let mut way = Vec::new();
        if !self.can_go_on(&moves, &to, &mut from.clone(), &mut way, &mut dead) {
            return own;
        }
        // Levers that stay keep their places in the list.
        let mut way = way.into_iter();
        own.into_iter()
            .map(|i| if moves.contains(&i) { way.next().unwrap_or(i) } else { i })
            .collect()
    }

    /// Whether the levers that have not moved yet can all move; records the order.
    fn can_go_on(
        &self,
        moves: &[usize],
        to: &[usize],
        at: &mut Vec<usize>,
        way: &mut Vec<usize>,
        dead: &mut HashSet<Vec<usize>>,
    ) -> bool {
        if moves.iter().all(|lever| way.contains(lever)) {
            return true;
        }
        if dead.contains(at) {
            return false;
        }
        for lever in moves {
            let (Some(there), Some(here)) = (to.get(*lever), at.get(*lever).copied()) else {
                continue;
            };
            if here == *there {
                continue;
            }
            set(at, *lever, *there);
            way.push(*lever);
            if !self.is_forbidden(at) && self.can_go_on(moves, to, at, way, dead) {
                return true;
            }
            way.pop();
            set(at, *lever, here);
        }
        dead.insert(at.clone());
        false
    }

    /// Whether this state of the levers is forbidden.
    fn is_forbidden(&self, at: &[usize]) -> bool {
        let gearbox = &self.parts.gearbox;
        let stands = |(lever, name): &(String, String)| {
            let mut set = gearbox.levers.iter().zip(at);
            set.any(|(own, at)| {
                own.name == *lever && own.positions.get(*at).is_some_and(|own| own.name == *name)
            })
        };
        gearbox.forbidden.iter().any(|when| when.iter().all(stands))
    }

    /// The name of a control.
    pub fn control_name(&self, control: Control) -> &str {
        match control {
            Control::Headstock => "headstock",
            Control::Tumbler => "tumbler",
            Control::Lever(lever) => {
                self.parts.gearbox.levers.get(lever).map_or("", |lever| lever.name.as_str())
            }
        }
    }

    /// The name of a position of a control.
    pub fn position_name(&self, control: Control, at: usize) -> &str {
        let parts = &self.parts;
        let name = match control {
            Control::Headstock => parts.headstock.get(at).map(|p| &p.name),
            Control::Tumbler => parts.tumbler.get(at).map(|(name, _)| name),
            Control::Lever(lever) => {
                parts.gearbox.levers.get(lever).and_then(|l| l.positions.get(at)).map(|p| &p.name)
            }
        };
        name.map_or("", String::as_str)
    }

    /// The settings for a kind of travel that agree with the known part of a set-up.
    pub fn settings_as_in(&self, set_up: &Fitted, travel: Travel) -> Vec<Setting> {
        let Ok(settings) = self.settings(travel) else { return Vec::new() };
        let stands = |setting: &Setting| {
            let at = |control, at| self.position_in(set_up, control).is_none_or(|set| set == at);
            at(Control::Headstock, setting.headstock)
                && setting.levers.iter().enumerate().all(|(i, to)| at(Control::Lever(i), *to))
        };
        settings.list.into_iter().filter(stands).collect()
    }

    /// The setting of a set-up for a kind of travel. `None`: it gives none, or an unknown
    /// part of it would make a difference. Its direction is unknown where only that differs.
    pub fn setting_of(&self, set_up: &Fitted, travel: Travel) -> Option<Setting> {
        let mut all = self.settings_as_in(set_up, travel).into_iter();
        let mut first = all.next()?;
        for other in all {
            if other.constant != first.constant {
                return None;
            }
            if other.turns != first.turns {
                first.turns = Turns::Unknown;
            }
        }
        Some(first)
    }

    /// The thread or feed of a set-up, where enough is known of it.
    ///
    /// # Errors
    /// If a number is out of range.
    pub fn lead_of(&self, set_up: &Fitted, travel: Travel) -> Result<Option<Lead>> {
        let Some(setting) = self.setting_of(set_up, travel) else { return Ok(None) };
        setting.constant.times(&set_up.train.ratio()).map(Some)
    }

    /// Whether the train on it now does the same as another in a setting, so that no gear is moved.
    /// That needs the same ratio, the same gear on the driven shaft (a lever position may require it),
    /// and the asked hand in some tumbler position, which is returned. For a feed the hand is free.
    ///
    /// # Errors
    /// Never for a checked train; only the type of the arithmetic allows for one.
    pub fn does_now(
        &self,
        setting: &Setting,
        train: &Train,
        asked: Option<Hand>,
    ) -> Result<Option<Cuts>> {
        let Some(Fitted { train: now, .. }) = self.on_now() else { return Ok(None) };
        let last = |train: &Train| train.gears().last().map(|gear| gear.teeth);
        if now.ratio() != train.ratio() || last(now) != last(train) {
            return Ok(None);
        }
        let cuts = self.cuts(setting, now.meshes(), asked);
        Ok(Some(cuts).filter(|cuts| cuts.gives(asked)))
    }

    /// Where it is unknown whether two gears mesh directly: the idler on it now that may stay between
    /// them.
    pub fn idler_that_may_stay(
        &self,
        train: &Train,
        either: Option<Either>,
        asked: Option<Hand>,
    ) -> Option<Teeth> {
        let now = self.on_now()?;
        let ([Shaft::One(idler)], []) = (now.train.studs(), train.studs()) else { return None };
        let free = train.gears().all(|gear| gear.teeth != idler.teeth);
        (free && either?.with_idler.gives(asked)).then_some(idler.teeth)
    }

    pub(super) fn check_fitted(&self) -> Result<()> {
        let Some(fitted) = &self.parts.fitted else { return Ok(()) };
        self.check_controls(fitted).map_err(|e| e.at(&[Where::Fitted]))
    }

    /// Whether every lever and position of a set-up exists.
    pub(crate) fn check_controls(&self, fitted: &Fitted) -> Result<()> {
        if !fitted.levers.is_empty() {
            self.check_when(&fitted.levers).map_err(|e| e.at(&[Where::Levers]))?;
        }
        let headstock = self.parts.headstock.iter().map(|p| p.name.as_str());
        named(
            Where::Headstock,
            fitted.headstock.as_deref(),
            headstock.filter(|name| !name.is_empty()),
        )?;
        let tumbler = self.parts.tumbler.iter().map(|(name, _)| name.as_str());
        named(Where::Tumbler, fitted.tumbler.as_deref(), tumbler)
    }
}

/// Most levers whose order of moving is searched: twelve have 4096 states on the way.
const MOST_MOVES: usize = 12;

fn set(levers: &mut [usize], lever: usize, to: usize) {
    if let Some(at) = levers.get_mut(lever) {
        *at = to;
    }
}

/// Whether a position of a set-up exists.
fn named<'n>(
    part: Where,
    at: Option<&str>,
    positions: impl Iterator<Item = &'n str>,
) -> Result<()> {
    let Some(at) = at else { return Ok(()) };
    let all: Vec<&str> = positions.collect();
    if all.contains(&at) {
        return Ok(());
    }
    let tumbler = part == Where::Tumbler;
    let what = if tumbler { "tumbler" } else { "headstock" };
    let wrong = Error::no_such(format!("the {what} has no position {at}"));
    let wrong = match (all.is_empty(), tumbler) {
        (false, _) => wrong.with_hint(format!("positions: {}", all.join(", "))),
        (true, true) => wrong.with_fix(Fix::TumblerPositions),
        (true, false) => wrong.with_fix(Fix::HeadstockPositions),
    };
    Err(wrong.at(&[part]))
}

#[cfg(test)]
mod tests {
    use crate::lathe::{Lever, LeverPosition, Parts, When};
    use crate::{Gear, GearSet, Lathe, Lead, Ratio, Teeth, Turns};

    /// Two positions each: `a0`, `a1`, `b0`, ...
    fn lathe(levers: &[&str], forbidden: &[&[(&str, usize)]]) -> Lathe {
        let position = |name: &str, at: usize| {
            LeverPosition::new(format!("{name}{at}"), Some(Ratio::ONE), Turns::Same)
        };
        let lever = |name: &&str| Lever {
            name: (*name).to_string(),
            positions: (0..2).map(|at| position(name, at)).collect(),
        };
        let when = |rule: &&[(&str, usize)]| -> When {
            rule.iter().map(|(name, at)| ((*name).to_string(), format!("{name}{at}"))).collect()
        };
        let gear = Gear::new(Teeth::new(40).unwrap());
        let mut gears = GearSet::new();
        gears.add(gear, 2).unwrap();
        let mut parts = Parts::plain(gears, Lead::new("3 mm".parse().unwrap()));
        parts.gearbox.levers = levers.iter().map(lever).collect();
        parts.gearbox.forbidden = forbidden.iter().map(when).collect();
        Lathe::new(parts).unwrap()
    }

    fn moves(lathe: &Lathe, from: &[usize], to: &[usize]) -> Vec<usize> {
        let known = |at: &[usize]| at.iter().copied().map(Some).collect::<Vec<_>>();
        lathe.lever_moves(&known(from), &known(to))
    }

    #[test]
    fn levers_move_round_what_is_forbidden() {
        let plain = lathe(&["a", "b", "c"], &[]);
        assert_eq!(moves(&plain, &[0, 0, 0], &[1, 1, 1]), [0, 1, 2]);
        // b stays and keeps its place.
        let one = lathe(&["a", "b", "c"], &[&[("a", 1), ("c", 0)]]);
        assert_eq!(moves(&one, &[0, 0, 0], &[1, 0, 1]), [2, 1, 0]);
        assert_eq!(moves(&one, &[1, 0, 1], &[0, 0, 0]), [0, 1, 2]);
        // a first leads into a dead end: neither b nor c may follow it.
        let dead = lathe(
            &["a", "b", "c"],
            &[&[("a", 1), ("b", 1), ("c", 0)], &[("a", 1), ("b", 0), ("c", 1)]],
        );
        assert_eq!(moves(&dead, &[0, 0, 0], &[1, 1, 1]), [1, 2, 0]);
        assert_eq!(plain.lever_moves(&[None, Some(0)], &[Some(1), Some(1)]), [0, 1]);
    }

    #[test]
    fn where_no_order_is_free_it_is_that_of_the_file() {
        let locked = lathe(&["a", "b"], &[&[("a", 1), ("b", 0)], &[("a", 0), ("b", 1)]]);
        assert_eq!(moves(&locked, &[0, 0], &[1, 1]), [0, 1]);
    }
}
