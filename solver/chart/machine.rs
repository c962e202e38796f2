//! What does a row of a chart cut on this lathe, and in which setting?

use super::row::ChartRow;
use super::verdict::{HEADSTOCK, RowCut};
use crate::judge::Room;
use crate::{Error, Fix, Lathe, LeadError, Result, Setting, Settings, Teeth, Train, Travel};

/// A lathe, ready for judging rows.
#[derive(Debug)]
pub(super) struct Machine<'l> {
    pub(super) lathe: &'l Lathe,
    /// For threads, long feeds, cross feeds.
    settings: [Result<Settings>; 3],
    pub(super) room: Room,
}

const TRAVELS: [Travel; 3] = [Travel::Thread, Travel::LongFeed, Travel::CrossFeed];

impl<'l> Machine<'l> {
    pub(super) fn new(lathe: &'l Lathe) -> Result<Self> {
        // Without a bracket, a printed chart is better evidence of what fits than the arbor rule.
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
    fn allows(&self, setting: &Setting, row: &ChartRow) -> bool {
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

    /// Checks that the lathe has the levers and positions of a row.
    pub(super) fn check_names(&self, row: &ChartRow) -> Result<()> {
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
                    let wrong = Error::no_such(format!("the lathe has no lever {name}"));
                    return Err(if levers.is_empty() {
                        wrong.with_fix(Fix::Levers)
                    } else {
                        wrong.with_hint(format!("levers: {}", list(levers)))
                    });
                }
            };
            if !positions.contains(&position.as_str()) {
                return Err(Error::no_such(format!("lever {name} has no position {position}"))
                    .with_hint(format!("positions: {}", list(positions))));
            }
        }
        Ok(())
    }

    /// The cut of a row, in the setting that it names or the nearest of those that it leaves open.
    pub(super) fn cut(&self, row: &ChartRow, all: &[Setting]) -> Result<Option<RowCut>> {
        let ratio = row.ratio(self.standing());
        let asked = row.printed.lead()?;
        let mut best: Option<RowCut> = None;
        for setting in all.iter().filter(|setting| self.allows(setting, row)) {
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
            best = Some(RowCut { lead, error, setting: setting.clone(), levers_open });
        }
        Ok(best)
    }

    /// How many gears of a size are owned, joined ones included.
    pub(super) fn owned(&self, teeth: Teeth) -> usize {
        self.lathe.parts().gears.count(|gear| gear.teeth == teeth)
    }
}
