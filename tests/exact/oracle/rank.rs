//! All trains in all settings, in order: by how far they miss the target, then by what is easier
//! on the person and the machine, then by a fixed order that leaves no two alike.

use super::number::{Miss, Q, Target};
use super::sheet::{Owner, Sense, Setting, Sheet, Travel, then};
use super::trains::{Shafts, every_train, meshes, ratio, spread};
use std::cmp::Ordering;
use std::collections::HashMap;

/// What is asked.
#[derive(Debug, Clone)]
pub(crate) struct Ask {
    pub(crate) travel: Travel,
    pub(crate) target: Target,
    /// +1 right, -1 left; nothing: a feed.
    pub(crate) hand: Sense,
    /// Most gears.
    pub(crate) gears: usize,
}

/// One train in one setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Row {
    pub(crate) order: Order,
    pub(crate) shafts: Shafts,
    pub(crate) tumbler: Option<usize>,
    pub(crate) hand: Sense,
}

/// What decides between trains of equal |error|, in this order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Order {
    pub(crate) gears: usize,
    pub(crate) handled: usize,
    small_drivers: usize,
    spread: num_rational::Ratio<u64>,
    largest: u64,
    shorter: bool,
    pub(crate) setting: usize,
    pub(crate) teeth: Vec<u64>,
    shape: Vec<usize>,
    kinds: Vec<usize>,
}

/// All rows that cut the same lead, best first.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    pub(crate) lead: Q,
    pub(crate) miss: Miss,
    pub(crate) rows: Vec<Row>,
}

impl Group {
    pub(crate) fn compare(&self, other: &Self) -> Ordering {
        self.miss.compare(&other.miss).then_with(|| self.rows[0].order.cmp(&other.rows[0].order))
    }
}

/// A lathe with every train it can carry.
#[derive(Debug)]
pub(crate) struct Shop {
    pub(crate) sheet: Sheet,
    trains: Vec<(Shafts, Q)>,
}

impl Shop {
    /// Nothing if there are more trains than `limit`, or one of them is too close to call. Where
    /// there is a bracket it is asked, and not the arbor rule.
    pub(crate) fn open(sheet: Sheet, arbor: Option<&Q>, limit: usize) -> Option<Self> {
        let arbor = arbor.filter(|_| sheet.bracket.is_none());
        let mut trains = every_train(&sheet, arbor, limit)?;
        if let Some(bracket) = &sheet.bracket {
            trains = bracket.standing(&sheet, trains)?;
        }
        let trains = trains.into_iter().map(|t| (t.clone(), ratio(&sheet, &t))).collect();
        Some(Self { sheet, trains })
    }

    /// Every lead that can be cut, hand and target apart.
    pub(crate) fn leads(&self, travel: Travel) -> Vec<Q> {
        let settings = self.sheet.settings(travel);
        let mut leads: Vec<Q> = settings
            .iter()
            .flat_map(|s| self.for_setting(s).map(|(_, ratio)| &s.constant * ratio))
            .collect();
        leads.sort();
        leads.dedup();
        leads
    }

    /// Every train, whatever it cuts.
    pub(crate) fn trains(&self) -> impl ExactSizeIterator<Item = &Shafts> {
        self.trains.iter().map(|train| &train.0)
    }

    /// How many trains there are over all settings, hand apart.
    pub(crate) fn rows(&self, travel: Travel) -> usize {
        self.sheet.settings(travel).iter().map(|s| self.for_setting(s).count()).sum()
    }

    fn for_setting(&self, setting: &Setting) -> impl Iterator<Item = &(Shafts, Q)> {
        self.trains.iter().filter(|(shafts, _)| {
            let last = shafts.last().expect("a last gear")[0];
            setting.last.takes(&self.sheet.kinds[last])
        })
    }

    /// The answer: every lead, best first, each with all of its trains, best first.
    pub(crate) fn groups(&self, ask: &Ask) -> Vec<Group> {
        self.groups_by(ask, |sense| self.tumbler_for(ask, sense))
    }

    /// The same with any hand: what would be answered if the hand did not matter.
    pub(crate) fn groups_of_any_hand(&self, ask: &Ask) -> Vec<Group> {
        self.groups_by(ask, |_| Some((None, None)))
    }

    fn groups_by(
        &self,
        ask: &Ask,
        stands: impl Fn(Sense) -> Option<(Option<usize>, Sense)>,
    ) -> Vec<Group> {
        let mut by_lead: HashMap<Q, Vec<Row>> = HashMap::new();
        for (index, setting) in self.sheet.settings(ask.travel).iter().enumerate() {
            for (shafts, ratio) in self.for_setting(setting) {
                let turned = if shafts.len() % 2 == 0 { -1 } else { 1 };
                let Some((tumbler, hand)) = stands(then(setting.sense, Some(turned))) else {
                    continue;
                };
                let order = self.order(shafts, index);
                if order.gears <= ask.gears {
                    let row = Row { order, shafts: shafts.clone(), tumbler, hand };
                    by_lead.entry(&setting.constant * ratio).or_default().push(row);
                }
            }
        }
        let mut groups: Vec<Group> =
            by_lead.into_iter().map(|(lead, rows)| group(ask, lead, rows)).collect();
        groups.sort_by(Group::compare);
        groups
    }

    /// Which tumbler position gives the hand asked, and the hand known; nothing: refused.
    fn tumbler_for(&self, ask: &Ask, sense: Sense) -> Option<(Option<usize>, Sense)> {
        if ask.hand.is_none() {
            return Some((None, None));
        }
        let tumbler = &self.sheet.tumbler;
        let hands: Vec<Sense> = if tumbler.is_empty() {
            vec![sense]
        } else {
            tumbler.iter().map(|&position| then(sense, position)).collect()
        };
        if let Some(at) = hands.iter().position(|hand| *hand == ask.hand) {
            return Some(((!tumbler.is_empty()).then_some(at), ask.hand));
        }
        hands.contains(&None).then_some((None, None))
    }

    fn order(&self, shafts: &Shafts, setting: usize) -> Order {
        let sheet = &self.sheet;
        let path: Vec<usize> = shafts.concat();
        let teeth: Vec<u64> = path.iter().map(|&kind| sheet.kinds[kind].teeth).collect();
        let own_last = |kind: usize| match sheet.kinds[kind].owner {
            Owner::Machine => usize::MAX,
            _ => kind,
        };
        Order {
            gears: path.len(),
            handled: self.handled(shafts),
            small_drivers: meshes(sheet, shafts).iter().filter(|(driver, _)| *driver < 20).count(),
            spread: spread(sheet, shafts),
            largest: *teeth.iter().max().expect("a gear"),
            shorter: false,
            setting,
            teeth,
            shape: shafts.iter().map(Vec::len).collect(),
            kinds: path.into_iter().map(own_last).collect(),
        }
    }

    /// Gears taken off and put on, coming from the train that stands on the machine.
    fn handled(&self, shafts: &Shafts) -> usize {
        let new: Vec<Vec<u64>> = shafts
            .iter()
            .map(|shaft| shaft.iter().map(|&kind| self.sheet.kinds[kind].teeth).collect())
            .collect();
        let Some(fitted) = &self.sheet.fitted else { return new.concat().len() };
        let (before, after) = (places(fitted), places(&new));
        let stay = before.iter().filter(|gear| after.contains(gear)).count();
        before.len() + after.len() - 2 * stay
    }
}

/// Shaft, plane and teeth of each gear; the plane changes at each pair.
pub(crate) fn places(train: &[Vec<u64>]) -> Vec<(usize, usize, u64)> {
    let mut plane = 0;
    let mut places = Vec::new();
    for (at, shaft) in train.iter().enumerate() {
        let name = if at + 1 == train.len() { usize::MAX } else { at };
        for (i, teeth) in shaft.iter().enumerate() {
            plane = (plane + i) % 2;
            places.push((name, plane, *teeth));
        }
    }
    places
}

fn group(ask: &Ask, lead: Q, mut rows: Vec<Row>) -> Group {
    let miss = ask.target.miss(&lead);
    for row in &mut rows {
        row.order.shorter = !miss.longer;
    }
    rows.sort_by(|a, b| a.order.cmp(&b.order));
    Group { lead, miss, rows }
}

/// For each number of gears the best train, where it is strictly closer than with fewer: the
/// indices of group and row.
pub(crate) fn trade_off(groups: &[Group]) -> Vec<(usize, usize)> {
    let mut listed: Vec<(usize, usize)> = Vec::new();
    for gears in 2..=8 {
        let Some(best) = best_with(groups, gears) else { continue };
        let closer = listed.last().is_none_or(|(group, _)| {
            groups[best.0].miss.compare(&groups[*group].miss) == Ordering::Less
        });
        if closer {
            listed.push(best);
        }
    }
    listed
}

/// The best train with the fewest gears that come within the tolerance.
pub(crate) fn fewest(groups: &[Group], tolerance: &Q) -> Option<(usize, usize)> {
    (2..=8)
        .filter_map(|gears| best_with(groups, gears))
        .find(|(group, _)| groups[*group].miss.within(tolerance))
}

/// The first of the trains with at most so many gears.
fn best_with(groups: &[Group], gears: usize) -> Option<(usize, usize)> {
    let small = |g: &Group| g.rows.iter().position(|row| row.order.gears <= gears);
    let found = groups.iter().enumerate().filter_map(|(at, g)| Some((at, small(g)?)));
    found.min_by(|a, b| {
        let row = |(group, row): &(usize, usize)| &groups[*group].rows[*row].order;
        groups[a.0].miss.compare(&groups[b.0].miss).then_with(|| row(a).cmp(row(b)))
    })
}
