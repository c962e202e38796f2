//! What lies beyond the list: closer leads that only trains cut which do not stand, the train that
//! one more gear would allow, and how many choices were looked through.

use super::marks::listed;
use super::question::{Case, LIMIT};
use super::rank::{Group, Shop};
use super::sheet::{End, Kind, Owner, Setting, Sheet};
use std::cmp::Ordering;

/// Most trains of a case with one more gear: it is enumerated once for each kind.
const SMALL: usize = 1_500;

pub(crate) struct Beyond {
    /// At most five, best first; nothing: too many trains to tell.
    pub(crate) refused: Option<Vec<Group>>,
    /// The teeth of the gear and the lead, if there is one; nothing: too many trains to tell.
    pub(crate) one_more: Option<Vec<(u64, Group)>>,
    /// Most gear pairs.
    pub(crate) pairs: usize,
    /// Choices of drivers and driven gears, over all settings.
    pub(crate) combinations: u128,
}

impl Beyond {
    pub(crate) fn of(case: &Case, groups: &[Group]) -> Self {
        let sheet = &case.shop.sheet;
        let joints = sheet.joints.iter().map(|j| sheet.counts[j.driven]).sum::<u64>();
        let joints = usize::try_from(joints).expect("few");
        let pairs = (1 + sheet.studs.min(sheet.sleeves + joints)).min(case.ask.gears / 2);
        let settings = sheet.settings(case.ask.travel);
        Self {
            refused: refused(case, groups),
            one_more: one_more(case, groups),
            pairs,
            combinations: settings.iter().map(|s| choices(sheet, s, pairs)).sum(),
        }
    }
}

/// Whether a lead would be listed before the first one.
fn closer(case: &Case, groups: &[Group], group: &Group) -> bool {
    let near = case.within.as_ref().is_none_or(|within| group.miss.within(within));
    let first = groups[..listed(case, groups)].first();
    near && first.is_none_or(|first| group.miss.compare(&first.miss) == Ordering::Less)
}

/// Leads closer than the first that stands, but that only trains cut which the arbor rule or the
/// bracket refuses.
fn refused(case: &Case, groups: &[Group]) -> Option<Vec<Group>> {
    let sheet = &case.shop.sheet;
    if case.arbor.is_none() && sheet.bracket.is_none() {
        return Some(Vec::new());
    }
    let free = Shop::open(sheet.bare(), None, LIMIT)?;
    let stands = |group: &Group| groups.iter().any(|other| other.lead == group.lead);
    let all = free.groups(&case.ask).into_iter();
    let wanted = all.take_while(|g| closer(case, groups, g)).filter(|g| !stands(g));
    Some(wanted.take(5).collect())
}

/// The best train that one more gear of some loose kind would allow, if it is closer.
fn one_more(case: &Case, groups: &[Group]) -> Option<Vec<(u64, Group)>> {
    let sheet = &case.shop.sheet;
    let mut best: Option<(u64, Group)> = None;
    // A bracket takes its time.
    let small = if sheet.bracket.is_some() { SMALL / 5 } else { SMALL };
    for (kind, gear) in sheet.kinds.iter().enumerate().filter(|k| k.1.owner == Owner::Loose) {
        let mut sheet = sheet.clone();
        sheet.counts[kind] += 1;
        let richer = Shop::open(sheet, case.arbor.as_ref(), small)?;
        let Some(first) = richer.groups(&case.ask).into_iter().next() else { continue };
        if best.as_ref().is_none_or(|(_, best)| first.compare(best) == Ordering::Less) {
            best = Some((gear.teeth, first));
        }
    }
    Some(best.into_iter().filter(|(_, group)| closer(case, groups, group)).collect())
}

/// How many choices of drivers and driven gears one setting has: order, idlers, joints and places
/// apart, but in each class of gears that mesh as many drive as are driven.
fn choices(sheet: &Sheet, setting: &Setting, pairs: usize) -> u128 {
    let own = |end: &End| {
        let own = sheet.kinds.iter().find(|k| k.owner == Owner::Machine && end.takes(k));
        own.into_iter().collect()
    };
    let mut sides = Sides { drivers: own(&sheet.first), driven: own(&setting.last) };
    let owned = sheet.kinds.iter().filter(|k| k.owner != Owner::Machine).count();
    sides.choose(sheet, 0..owned, pairs)
}

struct Sides<'s> {
    drivers: Vec<&'s Kind>,
    driven: Vec<&'s Kind>,
}

impl<'s> Sides<'s> {
    /// Some of the first kind drive, some are driven; then the next kind.
    fn choose(&mut self, sheet: &'s Sheet, kinds: std::ops::Range<usize>, pairs: usize) -> u128 {
        let (drivers, driven) = (self.drivers.len(), self.driven.len());
        if drivers > pairs || driven > pairs {
            return 0;
        }
        let Some(at) = kinds.clone().next() else {
            return u128::from(drivers > 0 && self.balanced());
        };
        let most = usize::try_from(sheet.counts[at]).expect("few").min(2 * pairs);
        let mut sum = 0;
        for drive in 0..=most {
            for follow in 0..=most - drive {
                self.drivers.extend(vec![&sheet.kinds[at]; drive]);
                self.driven.extend(vec![&sheet.kinds[at]; follow]);
                sum += self.choose(sheet, at + 1..kinds.end, pairs);
                self.drivers.truncate(drivers);
                self.driven.truncate(driven);
            }
        }
        sum
    }

    fn balanced(&self) -> bool {
        let count = |side: &[&Kind], kind: &Kind| side.iter().filter(|k| k.meshes(kind)).count();
        self.drivers.len() == self.driven.len()
            && self.drivers.iter().all(|k| count(&self.drivers, k) == count(&self.driven, k))
    }
}
