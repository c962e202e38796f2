//! How many gears must any plan move? A lower bound for lists too long for the exact search.
//!
//! A good plan comes to a unit only for a line that no other unit of the plan cuts. The step before
//! it comes from such a unit too, so it moves at least as many gears as the distance to the nearest
//! one. Hence a plan moves at least the least weight of units that together cut all lines (a set
//! cover, or its own bound), and the way home. A trip that ends with a given set-up moves an even or an
//! odd number, whatever lies between: back where it began each gear put on comes off again.

use super::cover::{Column, Rows, cover};
use super::mount::{ByMount, Mount, Trip};
use super::units::Units;
use crate::Watch;

/// No plan for the trip moves fewer gears.
pub(super) fn least_handled(units: &Units, trip: &Trip, watch: Watch<'_>) -> u32 {
    let start = &trip.start;
    let open = units.open_from(start);
    if open.is_empty() {
        return trip.home_from(start);
    }
    let near = Near::new(units, start, &open);
    let mut columns = Vec::new();
    // Gears moved by the first step beyond the weight of its unit, and by the way home.
    let (mut first, mut home) = (u32::MAX, u32::MAX);
    for (mount, cuts) in units.mounts.iter().zip(&units.rows).filter(|(m, _)| *m != start) {
        let mut rows = Rows::none(units.lines.len() + 1);
        cuts.iter().filter(|row| open.has(*row)).for_each(|row| rows.insert(row));
        if rows.is_empty() {
            continue;
        }
        let weight = near.weight(mount, &rows);
        let distance = mount.distance(start);
        first = first.min(distance.saturating_sub(weight));
        home = home.min(trip.home_from(mount));
        columns.push(Column { weight, rows });
    }
    // A unit that cuts only lines of the start is useless on the way: without it no more gears are
    // moved.
    let covered = cover(units.lines.len() + 1, &columns, watch).least;
    let least = covered + first + home;
    least + trip.parity().map_or(0, |parity| (least + parity) % 2)
}

/// The units near a unit, by the gears that they share. Neighbours in a good plan each cut a line
/// that the other does not. So each set of gears holds all lines that its units cut.
struct Near {
    whole: ByMount<Rows>,
    /// For a set of gears: the units with one gear more, and with two.
    less_one: ByMount<Rows>,
    less_two: ByMount<Rows>,
    /// Distances above this are not told apart.
    far: u32,
}

impl Near {
    fn new(units: &Units, start: &Mount, open: &Rows) -> Self {
        let rows = units.lines.len();
        let mut near = Self {
            whole: ByMount::default(),
            less_one: ByMount::default(),
            less_two: ByMount::default(),
            far: 4,
        };
        // The set-up of the start may be next to any unit: it gets a line that nothing else cuts.
        let mut of_start = Rows::none(rows + 1);
        of_start.insert(rows);
        near.enter(start, &of_start);
        for (mount, cuts) in units.mounts.iter().zip(&units.rows) {
            let mut here = Rows::none(rows + 1);
            cuts.iter().filter(|row| open.has(*row)).for_each(|row| here.insert(row));
            near.enter(mount, &here);
            // Three apart means that one of the two has an odd number of gears.
            near.far = if mount.len() % 2 == start.len() % 2 { near.far } else { 3 };
        }
        near
    }

    fn enter(&mut self, mount: &Mount, rows: &Rows) {
        let add = |to: &mut ByMount<Rows>, part: &Mount| {
            to.entry(part.key()).or_insert_with(|| rows.clone()).add(rows);
        };
        add(&mut self.whole, mount);
        for part in one_less(mount) {
            add(&mut self.less_one, &part);
            one_less(&part).for_each(|part| add(&mut self.less_two, &part));
        }
    }

    /// Distance to the nearest unit that cuts another line, up to `far`.
    fn weight(&self, mount: &Mount, rows: &Rows) -> u32 {
        let other = |by: &ByMount<Rows>, part: &Mount| {
            by.get(&part.key()).is_some_and(|cut| !cut.within(rows))
        };
        let whole = |part: &Mount| other(&self.whole, part);
        if other(&self.less_one, mount) || one_less(mount).any(|part| whole(&part)) {
            return 1;
        }
        let swapped =
            |part: Mount| other(&self.less_one, &part) || one_less(&part).any(|part| whole(&part));
        if other(&self.less_two, mount) || one_less(mount).any(swapped) {
            return 2;
        }
        self.far
    }
}

fn one_less(mount: &Mount) -> impl Iterator<Item = Mount> + '_ {
    (0..mount.len()).map(|at| mount.without(at))
}
