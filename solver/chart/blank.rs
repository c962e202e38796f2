//! What does a chart show of a lathe by itself? Its gears, and the names of its levers.

use super::row::{ChartRow, Gears};
use crate::{
    Gear, GearSet, Lead, Length, Lever, LeverPosition, Parts, Ratio, Result, Teeth, Turns,
};
use std::collections::BTreeMap;

/// A lathe known only by a chart: its gears, and the names of its levers. Where no row names gears,
/// two equal ones are assumed.
///
/// # Errors
/// If there are too many different gears.
pub fn blank(rows: &[ChartRow]) -> Result<Parts> {
    let mut gears = GearSet::new();
    let mut most: BTreeMap<Teeth, usize> = BTreeMap::new();
    for row in rows.iter().filter_map(|row| row.gears.as_ref()) {
        let all: Vec<_> = row.train.gears().map(|gear| gear.teeth).collect();
        for teeth in &all {
            let count = all.iter().filter(|t| *t == teeth).count();
            let entry = most.entry(*teeth).or_default();
            *entry = count.max(*entry);
        }
    }
    if most.is_empty() {
        most.insert(Teeth::new(60)?, 2);
    }
    for (teeth, count) in most {
        gears.add(Gear::new(teeth), count as u64)?;
    }
    let mut parts = Parts::plain(gears, Lead::new(Length::from_mm(Ratio::ONE)));
    parts.lead_screw.lead = None;
    parts.headstock.iter_mut().for_each(|position| position.ratio = None);
    for (lever, position) in rows.iter().flat_map(|row| &row.levers) {
        add_position(&mut parts.gearbox.levers, lever, position);
    }
    // At least one stud, which leaves room for a free idler too.
    parts.studs =
        rows.iter().filter_map(|row| row.gears.as_ref()).map(studs).max().unwrap_or(1).max(1);
    Ok(parts)
}

fn studs(gears: &Gears) -> u8 {
    u8::try_from(gears.train.studs().len()).unwrap_or(u8::MAX)
}

fn add_position(levers: &mut Vec<Lever>, lever: &str, position: &str) {
    let at = levers.iter().position(|l| l.name == lever).unwrap_or_else(|| {
        levers.push(Lever { name: lever.to_owned(), positions: Vec::new() });
        levers.len().saturating_sub(1)
    });
    let Some(lever) = levers.get_mut(at) else { return };
    if !lever.positions.iter().any(|p| p.name == position) {
        lever.positions.push(LeverPosition {
            name: position.to_owned(),
            ratio: None,
            turns: Turns::Same,
            only: None,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Travel;
    use crate::chart::{Printed, Unit};

    /// Only the chart of the lathe is known: two 40s in one row, two studs in another.
    #[test]
    fn what_the_rows_show_is_there() {
        let row = |train: &str, free: bool, lever: &str| {
            let printed = Printed::new("1", Unit::Mm, Travel::Thread).unwrap();
            let mut gears = Gears::new(train.parse().unwrap());
            gears.free_idler = free;
            ChartRow::new(printed).with_gears(gears).with_lever("Range", lever)
        };
        let of = |rows: &[ChartRow]| blank(rows).unwrap();
        let parts =
            of(&[row("40-40", false, "A"), row("40-50", true, "B"), row("40-60", true, "A")]);
        assert_eq!((parts.studs, parts.gears.total()), (1, 4));
        assert_eq!(parts.gearbox.levers[0].positions.len(), 2);
        assert_eq!((parts.lead_screw.lead, parts.headstock[0].ratio), (None, None));
        assert_eq!(of(&[row("40-40", false, "A"), row("20-60+30-40+20-80", false, "A")]).studs, 2);
        assert_eq!(of(&[]).gears.total(), 2);
    }
}
