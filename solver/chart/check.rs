//! Does each row of a chart hold on a lathe that is known?

use super::explain::{Explanation, explain};
use super::group::{Group, groups};
use super::row::{Gears, Printed, Row};
use crate::bracket::{Fit, State};
use crate::judge::{Room, Set, set};
use crate::{
    End, Error, Gear, Lack, Lathe, Lead, LeadError, Ratio, Result, Setting, Settings, Shaft, Teeth,
    Train, Travel, bounds,
};

/// The name by which a row may speak of the headstock's positions.
pub const HEADSTOCK: &str = "Headstock";

/// How far a row may be off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// The maker's approximation of a thread; 0.2 % as a rule (common practice, no source).
    pub thread: Ratio,
    /// How nominal a feed is; 1 % as a rule (common practice, no source).
    pub feed: Ratio,
}

impl Default for Terms {
    fn default() -> Self {
        Self { thread: Ratio::table(1, 500), feed: Ratio::table(1, 100) }
    }
}

impl Terms {
    /// What a row may be off by.
    pub(super) fn of(&self, row: &Row) -> Ratio {
        row.within.unwrap_or(if row.printed.travel().is_feed() { self.feed } else { self.thread })
    }
}

/// What a row is worth.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Verdict {
    /// It cuts what is printed.
    Exact,
    /// What it cuts rounds to what is printed.
    Rounded,
    /// Off by no more than the maker's approximation.
    Approximate,
    /// Off by more.
    Wrong,
    /// The lathe can't be set so: why.
    Impossible(Error),
    /// A figure of the lathe is not known: which.
    Unknown(Error),
}

impl Verdict {
    /// Whether the row can be trusted.
    pub const fn holds(&self) -> bool {
        matches!(self, Self::Exact | Self::Rounded | Self::Approximate)
    }

    /// What is cut, against what is printed.
    pub(super) fn of(printed: &Printed, cut: &Lead, within: &Ratio) -> Result<Self> {
        let asked = printed.lead()?;
        let (low, high) = printed.digits()?;
        Ok(if *cut == asked {
            Self::Exact
        } else if printed.half_digit().is_some() && low <= *cut && *cut <= high {
            Self::Rounded
        } else if LeadError::of(cut, &asked).within(within) {
            Self::Approximate
        } else {
            Self::Wrong
        })
    }
}

/// What a row cuts.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Cut {
    /// The lead, or the feed in one turn.
    pub lead: Lead,
    /// Against what is printed.
    pub error: LeadError,
    /// The setting of headstock and levers.
    pub setting: Setting,
    /// Whether the row leaves levers open that matter; the setting is then the one that comes nearest.
    pub levers_open: bool,
}

/// One row, judged.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Checked {
    /// What it is worth.
    pub verdict: Verdict,
    /// What it cuts; `None` where that is not known.
    pub cut: Option<Cut>,
    /// What it asks for and is not there.
    pub lacks: Vec<Lack>,
    /// Whether the train stands on the bracket; of a free idler the best that is owned.
    pub fit: Fit,
    /// The idler that `fit` speaks of, where the row leaves it free.
    pub idler: Option<Teeth>,
    /// Why it is wrong, likeliest first.
    pub explanations: Vec<Explanation>,
}

impl Checked {
    /// The likeliest explanations: several where each is as likely as the others.
    pub fn likeliest(&self) -> &[Explanation] {
        let first = self.explanations.first();
        let tied =
            self.explanations.iter().take_while(|e| first.is_some_and(|f| f.is_as_likely_as(e)));
        self.explanations.get(..tied.count()).unwrap_or_default()
    }
}

/// A chart, judged.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Check {
    /// The rows in their order.
    pub rows: Vec<Checked>,
    /// Wrong rows that are all off by the same factor.
    pub groups: Vec<Group>,
}

impl Check {
    /// Whether every row holds.
    pub fn holds(&self) -> bool {
        self.rows.iter().all(|row| row.verdict.holds())
    }
}

/// Judges every row of a chart against a lathe.
///
/// ```
/// use solver::chart::{Cause, Gears, Printed, Row, Terms, Unit, Verdict, check};
/// use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Travel};
/// let mut gears = GearSet::new();
/// for teeth in [20, 36, 38, 40] {
///     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
/// }
/// let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("10".parse()?)?))?;
/// let row = |tpi: &str, train: &str| -> solver::Result<Row> {
///     Ok(Row::new(Printed::new(tpi, Unit::Tpi, Travel::Thread)?).with_gears(Gears::new(train.parse()?)))
/// };
/// let checked = check(&lathe, &[row("20", "20-40")?, row("18", "20-38")?], &Terms::default())?;
/// assert_eq!(checked.rows[0].verdict, Verdict::Exact);
/// assert_eq!(checked.rows[1].verdict, Verdict::Wrong);
/// assert!((checked.rows[1].cut.as_ref().unwrap().error.ppm() + 52_631.6).abs() < 0.1);
/// let Cause::Teeth { right, .. } = checked.rows[1].explanations[0].cause else { panic!() };
/// assert_eq!(right.get(), 36);
/// # Ok::<(), solver::Error>(())
/// ```
///
/// # Errors
/// If a row names a lever or a position that the lathe does not have (`rows[3]`), a number does not
/// fit, or there are no rows or too many.
pub fn check(lathe: &Lathe, rows: &[Row], terms: &Terms) -> Result<Check> {
    bounds::CHART_ROWS.check(rows.len() as u64)?;
    let machine = Machine::new(lathe)?;
    let at = |i: usize| move |e: Error| e.at(format!("rows[{i}]"));
    let mut checked = Vec::with_capacity(rows.len());
    for (i, row) in rows.iter().enumerate() {
        let beside = [i.checked_sub(1), i.checked_add(1)].map(|j| j.and_then(|j| rows.get(j)));
        checked.push(machine.judge(row, beside, terms).map_err(at(i))?);
    }
    let groups = groups(&machine, rows, &checked, terms)?;
    Ok(Check { rows: checked, groups })
}

/// A lathe with all that judging its rows takes.
#[derive(Debug)]
pub(super) struct Machine<'l> {
    pub(super) lathe: &'l Lathe,
    /// For threads, long feeds, cross feeds.
    settings: [Result<Settings>; 3],
    room: Room,
}

const TRAVELS: [Travel; 3] = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];

impl<'l> Machine<'l> {
    pub(super) fn new(lathe: &'l Lathe) -> Result<Self> {
        // Without a bracket a printed chart says more of what fits than the shop's rule.
        let room = Room::on_bracket(lathe)?;
        Ok(Self { lathe, settings: TRAVELS.map(|travel| lathe.settings(travel)), room })
    }

    /// Every setting for a kind of travel.
    pub(super) fn settings(&self, travel: Travel) -> Result<&[Setting]> {
        let which = TRAVELS.iter().position(|t| *t == travel).unwrap_or(0);
        match self.settings.get(which) {
            Some(Ok(settings)) => Ok(&settings.list),
            Some(Err(error)) => Err(error.clone()),
            None => Ok(&[]),
        }
    }

    /// The train of a row: its own, else the fitted one.
    pub(super) fn standing(&self) -> Option<&'l Train> {
        self.lathe.parts().fitted.as_ref().map(|fitted| &fitted.train)
    }

    /// Whether a setting is one that the row's levers allow.
    fn serves(&self, setting: &Setting, row: &Row) -> bool {
        row.levers.iter().all(|(lever, position)| {
            let mut names = self.lathe.lever_names(setting);
            let head = self.lathe.headstock_name(setting);
            names.any(|(l, p)| l == lever && p == position)
                || (self.is_headstock(lever) && head == Some(position))
        })
    }

    fn is_headstock(&self, lever: &str) -> bool {
        let parts = self.lathe.parts();
        lever == HEADSTOCK
            && parts.headstock.len() > 1
            && !parts.gearbox.levers.iter().any(|l| l.name == lever)
    }

    /// That the lathe has the levers and positions that a row names.
    fn check_names(&self, row: &Row) -> Result<()> {
        let parts = self.lathe.parts();
        let list = |names: Vec<&str>| names.join(", ");
        for (name, position) in &row.levers {
            let lever = parts.gearbox.levers.iter().find(|l| l.name == *name);
            let positions: Vec<&str> = match lever {
                Some(lever) => lever.positions.iter().map(|p| p.name.as_str()).collect(),
                None if self.is_headstock(name) => {
                    parts.headstock.iter().map(|p| p.name.as_str()).collect()
                }
                None => {
                    let levers: Vec<&str> =
                        parts.gearbox.levers.iter().map(|l| l.name.as_str()).collect();
                    let hint = if levers.is_empty() {
                        "its file describes none: \"gearbox\": {\"levers\": [...]}".to_owned()
                    } else {
                        format!("levers: {}", list(levers))
                    };
                    let what = format!("the lathe has no lever {name}");
                    return Err(Error::no_such(what).with_hint(hint));
                }
            };
            if !positions.contains(&position.as_str()) {
                return Err(Error::no_such(format!("lever {name} has no position {position}"))
                    .with_hint(format!("positions: {}", list(positions))));
            }
        }
        Ok(())
    }

    fn judge(&self, row: &Row, beside: [Option<&Row>; 2], terms: &Terms) -> Result<Checked> {
        self.check_names(row)?;
        let mut checked = Checked {
            verdict: Verdict::Wrong,
            cut: None,
            lacks: Vec::new(),
            fit: Fit::NotChecked,
            idler: None,
            explanations: Vec::new(),
        };
        let all = match self.settings(row.printed.travel()) {
            Ok(all) => all,
            Err(error) if error.is_unknown() || error.is_no_such() => {
                checked.verdict = Verdict::Unknown(error);
                return Ok(checked);
            }
            Err(error) => return Err(error),
        };
        let Some(cut) = self.cut(row, all)? else {
            let why = Error::conflict("the levers can't stand so, or a ratio of theirs is unknown");
            checked.verdict = Verdict::Impossible(why);
            return Ok(checked);
        };
        checked.verdict = Verdict::of(&row.printed, &cut.lead, &terms.of(row))?;
        if let Some(gears) = &row.gears {
            let (set, idler) = self.set(gears, &cut.setting.last)?;
            (checked.lacks, checked.fit, checked.idler) = (set.given.lacks, set.fit, idler);
        }
        if !checked.verdict.holds() {
            checked.explanations = explain(self, row, beside, &cut, terms)?;
        }
        checked.cut = Some(cut);
        Ok(checked)
    }

    /// What a row cuts, in the setting that it names or the nearest of those that it leaves open.
    fn cut(&self, row: &Row, all: &[Setting]) -> Result<Option<Cut>> {
        let ratio = row.ratio(self.standing())?;
        let asked = row.printed.lead()?;
        let mut best: Option<Cut> = None;
        for setting in all.iter().filter(|setting| self.serves(setting, row)) {
            let lead = setting.constant.times(&ratio)?;
            let error = LeadError::of(&lead, &asked);
            let mut levers_open = false;
            if let Some(old) = &mut best {
                old.levers_open |= old.lead != lead;
                levers_open = old.levers_open;
                if error.compare_size(&old.error).is_ge() {
                    continue;
                }
            }
            best = Some(Cut { lead, error, setting: setting.clone(), levers_open });
        }
        Ok(best)
    }

    /// How many gears of a size are owned, joined ones included.
    pub(super) fn owned(&self, teeth: Teeth) -> usize {
        self.lathe.parts().gears.count(|gear| gear.teeth == teeth)
    }

    /// The train out of the box and on the bracket; with a free idler the first owned one with which
    /// it stands.
    fn set(&self, gears: &Gears, last: &End) -> Result<(Set, Option<Teeth>)> {
        let plain = set(self.lathe, &self.room, &gears.train, last)?;
        if !gears.free_idler {
            return Ok((plain, None));
        }
        let lacks = plain.given.lacks.len();
        let mut nearest = (Set { fit: Fit::NotChecked, ..plain }, None);
        if matches!(self.room, Room::Unasked) {
            return Ok(nearest);
        }
        let mut idlers: Vec<Teeth> = self.lathe.parts().gears.all().map(|g| g.teeth).collect();
        idlers.sort_unstable();
        idlers.dedup();
        for idler in idlers {
            let Some(train) = with_idler(&gears.train, idler) else { continue };
            let with = set(self.lathe, &self.room, &train, last)?;
            if with.given.lacks.len() > lacks {
                continue;
            }
            let state = with.fit.state();
            // What is too close to call comes before what does not fit.
            let closer = state.is_open() && !nearest.0.fit.state().is_open();
            let fits = state == State::Fits;
            if fits || closer || nearest.1.is_none() {
                nearest = (with, Some(idler));
            }
            if fits {
                break;
            }
        }
        Ok(nearest)
    }
}

/// The train with an idler behind its first gear.
fn with_idler(train: &Train, idler: Teeth) -> Option<Train> {
    let mut shafts = train.shafts().to_vec();
    shafts.insert(1, Shaft::One(Gear::new(idler)));
    Train::new(shafts).ok()
}
