//! What is the best order of a short list, proven? For a long list: a bound from some of its lines.
//!
//! The machine carries a set of gears in places; a step takes one off or puts one on. So the steps
//! from one train to the next equal the gears moved, and lead through gear sets that are subsets of
//! trains. For each set of cut lines and each gear set the fewest steps so far are kept (M. Held and
//! R. M. Karp, A Dynamic Programming Approach to Sequencing Problems, 1962, on these gear sets). One
//! sweep of gears off and one of gears on reaches every next train. An entry goes if it can't end
//! within the limit: its steps, then a train for the most distant line that is left, then home.
//! is left, then home.

use super::cover::Rows;
use super::mount::{ByMount, Mount, Trip};
use super::units::Units;
use crate::Watch;

/// Most sets of lines times gear sets: about a second on one core.
const MOST_CELLS: usize = 50_000_000;
/// Most lines searched exactly.
const MOST_ROWS: usize = 20;
/// Most trains noted, over all sets of lines.
const MOST_NOTES: usize = 6_000_000;

/// Sets of lines between two checks of the cancel flag.
const SIDE_BY_SIDE: usize = 64;

const FAR: u16 = u16::MAX / 4;

/// The result.
pub(super) enum Exact {
    /// The units in the order of the best plan.
    Best(Vec<u32>),
    /// No plan moves fewer gears.
    AtLeast(u32),
}

/// Gear sets that are subsets of units, smallest first, and their subsets with one gear less.
struct Lattice {
    mounts: Vec<Mount>,
    from: Vec<u32>,
    less: Vec<u32>,
    /// Lines that a whole unit cuts.
    cuts: Vec<u32>,
    unit: Vec<u32>,
    start: usize,
}

impl Lattice {
    /// The units that cut one of `rows`.
    fn new(units: &Units, start: &Mount, rows: &[usize]) -> Self {
        let cuts = |unit: u32| {
            let cut = (0..rows.len()).filter(|&i| units.rows[unit as usize].has(rows[i]));
            cut.fold(0_u32, |cuts, i| cuts | 1 << i)
        };
        let whole: Vec<(u32, u32)> =
            (0..units.count()).map(|u| (u, cuts(u))).filter(|(_, cuts)| *cuts > 0).collect();
        let mut numbers: ByMount<u32> = ByMount::default();
        let used = whole.iter().map(|(unit, _)| &units.mounts[*unit as usize]);
        let mut mounts = Vec::new();
        for part in used.chain([start]).flat_map(Mount::parts) {
            numbers.entry(part.key()).or_insert_with(|| {
                mounts.push(part);
                0
            });
        }
        mounts.sort_unstable_by_key(|m| (m.len(), *m));
        for (at, mount) in (0..).zip(&mounts) {
            numbers.insert(mount.key(), at);
        }
        let number = |mount: &Mount| numbers.get(&mount.key()).copied().unwrap_or(0);
        let mut lattice = Self {
            from: Vec::with_capacity(mounts.len() + 1),
            less: Vec::new(),
            cuts: vec![0; mounts.len()],
            unit: vec![u32::MAX; mounts.len()],
            start: number(start) as usize,
            mounts,
        };
        for mount in &lattice.mounts {
            lattice.from.push(u32::try_from(lattice.less.len()).unwrap_or(u32::MAX));
            lattice.less.extend((0..mount.len()).map(|i| number(&mount.without(i))));
        }
        lattice.from.push(u32::try_from(lattice.less.len()).unwrap_or(u32::MAX));
        for (unit, cuts) in whole {
            let at = number(&units.mounts[unit as usize]) as usize;
            (lattice.cuts[at], lattice.unit[at]) = (cuts, unit);
        }
        lattice
    }

    fn len(&self) -> usize {
        self.mounts.len()
    }

    fn less(&self, at: usize) -> &[u32] {
        &self.less[self.from[at] as usize..self.from[at + 1] as usize]
    }

    /// The fewest steps to every gear set, from those in `steps`; `origin` records the source.
    fn sweep(&self, steps: &mut [u16], origin: &mut [u32]) {
        for at in (0..self.len()).rev() {
            for &less in self.less(at) {
                if steps[at] + 1 < steps[less as usize] {
                    steps[less as usize] = steps[at] + 1;
                    origin[less as usize] = origin[at];
                }
            }
        }
        for at in 0..self.len() {
            for &less in self.less(at) {
                if steps[less as usize] + 1 < steps[at] {
                    steps[at] = steps[less as usize] + 1;
                    origin[at] = origin[less as usize];
                }
            }
        }
    }

    /// Steps home from each gear set: none, if plans don't end there.
    fn home(&self, trip: &Trip) -> Vec<u16> {
        // At most 16.
        self.mounts.iter().map(|m| u16::try_from(trip.home_from(m)).unwrap_or(FAR)).collect()
    }

    /// Steps from each gear set to a unit that cuts line `row`, then home.
    fn over(&self, row: usize, home: &[u16]) -> Vec<u16> {
        let mut steps: Vec<u16> = (0..self.len())
            .map(|at| if self.cuts[at] >> row & 1 == 1 { home[at] } else { FAR })
            .collect();
        let mut origin = vec![0; self.len()];
        self.sweep(&mut steps, &mut origin);
        steps
    }
}

/// A train on the machine after some lines have been cut.
#[derive(Clone, Copy)]
struct Note {
    at: u32,
    steps: u16,
    /// The note before: the lines cut until then, and its index among their notes.
    before: (u32, u32),
}

/// The best plan that cuts `rows` on the trip, if it handles at most `most` gears. Of too many rows some are left out: then there is a bound only.
pub(super) fn best(
    units: &Units,
    trip: &Trip,
    rows: &[usize],
    most: u32,
    watch: Watch<'_>,
) -> Exact {
    best_after(units, trip, (&[], rows), most, watch)
}

/// The same with the rows of `first` cut before all others; `rows` has all of them.
pub(super) fn best_after(
    units: &Units,
    trip: &Trip,
    (first, rows): (&[usize], &[usize]),
    most: u32,
    watch: Watch<'_>,
) -> Exact {
    let mut rows = rows.to_vec();
    let all = rows.len();
    // The lines with the fewest trains give the strongest bound.
    rows.sort_by_key(|&row| (units.rows.iter().filter(|r| r.has(row)).count(), row));
    rows.truncate(MOST_ROWS);
    loop {
        if watch.is_cancelled() {
            return Exact::AtLeast(0);
        }
        // Each unit has at least one gear set: no need to count where the units are too many.
        let cuts = |unit: &&Rows| rows.iter().any(|row| unit.has(*row));
        let fits = |parts: usize| parts << rows.len() <= MOST_CELLS;
        let lattice = fits(units.rows.iter().filter(cuts).count())
            .then(|| Lattice::new(units, &trip.start, &rows))
            .filter(|lattice| fits(lattice.len()));
        if let Some(lattice) = lattice {
            let firsts = rows.iter().enumerate().filter(|(_, row)| first.contains(row));
            let firsts = firsts.fold(0, |mask, (i, _)| mask | 1 << i);
            match Walk::new(lattice, trip, (firsts, rows.len()), most).run(watch) {
                Some(Exact::Best(found)) if rows.len() < all => {
                    return Exact::AtLeast(length(units, trip, &found));
                }
                Some(found) => return found,
                None if watch.is_cancelled() => return Exact::AtLeast(0),
                None => {}
            }
        }
        // Too large: with one line fewer.
        if rows.len() < 2 {
            return Exact::AtLeast(0);
        }
        rows.pop();
    }
}

fn length(units: &Units, trip: &Trip, row: &[u32]) -> u32 {
    let mut before = &trip.start;
    let mut length = 0;
    for mount in row.iter().map(|&u| &units.mounts[u as usize]) {
        length += before.distance(mount);
        before = mount;
    }
    length + trip.home_from(before)
}

struct Walk {
    lattice: Lattice,
    over: Vec<Vec<u16>>,
    home: Vec<u16>,
    most: u16,
    /// The lines that are cut before all others.
    firsts: usize,
    /// By lines cut.
    notes: Vec<Vec<Note>>,
    noted: usize,
}

impl Walk {
    fn new(lattice: Lattice, trip: &Trip, (firsts, rows): (usize, usize), most: u32) -> Self {
        let home = lattice.home(trip);
        let over = (0..rows).map(|row| lattice.over(row, &home)).collect();
        let most = u16::try_from(most).unwrap_or(FAR).min(FAR - 1);
        Self { lattice, over, home, most, firsts, notes: vec![Vec::new(); 1 << rows], noted: 0 }
    }

    /// The lines that are cut once a gear set is on: others only where the first ones are done.
    fn after(&self, cut: usize, at: usize) -> usize {
        let cuts = self.lattice.cuts[at] as usize;
        let cut = cut | cuts & self.firsts;
        if cut & self.firsts == self.firsts { cut | cuts } else { cut }
    }

    /// `None`: cancelled, or too many notes.
    fn run(mut self, watch: Watch<'_>) -> Option<Exact> {
        let start = self.lattice.start;
        let full = self.notes.len() - 1;
        let cut = self.after(0, start);
        let first = u32::try_from(start).unwrap_or(u32::MAX);
        self.notes[cut].push(Note { at: first, steps: 0, before: (u32::MAX, 0) });
        // Sets with equally many lines don't lead to each other.
        for count in 0..full.count_ones() {
            let of_count = |cut: &usize| cut.count_ones() == count && !self.notes[*cut].is_empty();
            let sets: Vec<usize> = (0..full).filter(of_count).collect();
            for some in sets.chunks(SIDE_BY_SIDE) {
                if watch.is_cancelled() || self.noted > MOST_NOTES {
                    return None;
                }
                for (next, note) in self.all_from(some).into_iter().flatten() {
                    self.notes[next].push(note);
                    self.noted += 1;
                }
            }
        }
        let ends = (0_u32..).zip(&self.notes[full]);
        let end = ends.map(|(i, note)| (note.steps + self.home[note.at as usize], i)).min();
        Some(match end.filter(|(steps, _)| *steps <= self.most) {
            Some((_, last)) => Exact::Best(self.trace(full, last)),
            None => Exact::AtLeast(u32::from(self.most) + 1),
        })
    }

    /// The notes reached from some sets of lines.
    fn all_from(&self, sets: &[usize]) -> Vec<Vec<(usize, Note)>> {
        #[cfg(feature = "parallel")]
        {
            use rayon::prelude::*;
            sets.par_iter().map(|&cut| self.from(cut)).collect()
        }
        #[cfg(not(feature = "parallel"))]
        sets.iter().map(|&cut| self.from(cut)).collect()
    }

    /// Every train that cuts another line once the lines of `cut` are cut.
    fn from(&self, cut: usize) -> Vec<(usize, Note)> {
        let n = self.lattice.len();
        let (mut steps, mut origin) = (vec![FAR; n], vec![0_u32; n]);
        for (i, note) in (0_u32..).zip(&self.notes[cut]) {
            if note.steps < steps[note.at as usize] {
                (steps[note.at as usize], origin[note.at as usize]) = (note.steps, i);
            }
        }
        self.lattice.sweep(&mut steps, &mut origin);
        let mut notes = Vec::new();
        for at in 0..n {
            let next = self.after(cut, at);
            if next == cut || steps[at] > self.most {
                continue;
            }
            let open = (0..self.over.len()).filter(|row| next >> row & 1 == 0);
            let left = open.map(|row| self.over[row][at]).max().unwrap_or(self.home[at]);
            if steps[at] + left <= self.most {
                let before = (u32::try_from(cut).unwrap_or(u32::MAX), origin[at]);
                let at_number = u32::try_from(at).unwrap_or(u32::MAX);
                notes.push((next, Note { at: at_number, steps: steps[at], before }));
            }
        }
        notes
    }

    /// The units on the way there, in order.
    fn trace(&self, cut: usize, note: u32) -> Vec<u32> {
        let (mut cut, mut note) = (cut, note);
        let mut units = Vec::new();
        while let Some(here) = self.notes.get(cut).and_then(|notes| notes.get(note as usize)) {
            // The start is no step.
            if here.before.0 != u32::MAX {
                units.push(self.lattice.unit[here.at as usize]);
            }
            (cut, note) = (here.before.0 as usize, here.before.1);
        }
        units.reverse();
        units
    }
}

#[cfg(test)]
mod tests {
    use super::super::bound::least_handled;
    use super::super::tour::Tour;
    use super::*;
    use crate::{Teeth, Train};
    use proptest::prelude::*;

    fn mount(train: &str) -> Mount {
        Mount::new(train.parse::<Train>().unwrap().places().into_iter())
    }

    /// The fewest gears moved over every order of every choice of units.
    fn slow(units: &Units, trip: &Trip) -> u32 {
        fn go(units: &Units, at: &Mount, open: &super::super::cover::Rows, trip: &Trip) -> u32 {
            if open.is_empty() {
                return trip.home_from(at);
            }
            let ways = (0..units.len()).filter(|&u| units.rows[u].both(open) > 0).map(|u| {
                let mut left = open.clone();
                left.remove(&units.rows[u]);
                at.distance(&units.mounts[u]) + go(units, &units.mounts[u], &left, trip)
            });
            ways.min().unwrap_or(u32::MAX)
        }
        go(units, &trip.start, &units.open_from(&trip.start), trip)
    }

    /// The same with some rows before all others.
    fn slow_after(units: &Units, at: &Mount, cut: &[usize], firsts: &[usize], trip: &Trip) -> u32 {
        // What is cut while this is on.
        let here = |row: &usize| {
            (0..units.len()).any(|u| units.mounts[u] == *at && units.rows[u].has(*row))
        };
        let mut cut = cut.to_vec();
        cut.extend(firsts.iter().filter(|row| here(row)));
        if firsts.iter().all(|row| cut.contains(row)) {
            cut.extend((0..units.lines.len()).filter(here));
        }
        cut.sort_unstable();
        cut.dedup();
        if cut.len() == units.lines.len() {
            return trip.home_from(at);
        }
        let cuts_more = |u: &usize| {
            let mut rows = (0..units.lines.len()).filter(|row| units.rows[*u].has(*row));
            let done = firsts.iter().all(|row| cut.contains(row));
            rows.any(|row| !cut.contains(&row) && (done || firsts.contains(&row)))
        };
        let ways = (0..units.len()).filter(cuts_more).map(|u| {
            let next = &units.mounts[u];
            at.distance(next) + slow_after(units, next, &cut, firsts, trip)
        });
        ways.min().unwrap_or(u32::MAX)
    }

    fn gear(drawn: usize) -> Teeth {
        Teeth::new([20, 30, 40, 50][drawn % 4]).unwrap()
    }

    fn train(drawn: &[usize; 5]) -> String {
        let [a, b, c, d] = [0, 1, 2, 3].map(|i| gear(drawn[i]));
        match drawn[4] % 4 {
            0 => format!("{a}-{d}"),
            1 => format!("{a}-{b}-{d}"),
            _ => format!("{a}-{b}+{c}-{d}"),
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn orders_and_bounds_against_every_order(
            count in 1_usize..6,
            start in prop::array::uniform5(0_usize..100),
            other in prop::array::uniform5(0_usize..100),
            kind in 0..4,
            drawn in prop::collection::vec((prop::array::uniform5(0_usize..100), 1_u32..32), 1..12),
        ) {
            // There and back, from one set-up to another, from one to anywhere, from none to anywhere.
            let [start, other] = [start, other].map(|drawn| mount(&train(&drawn)));
            let trip = match kind {
                0 => Trip { start, home: Some(start) },
                1 => Trip { start, home: Some(other) },
                2 => Trip { start, home: None },
                _ => Trip { start: Mount::EMPTY, home: None },
            };
            let trains: Vec<(Mount, u32)> =
                drawn.iter().map(|(t, cuts)| (mount(&train(t)), *cuts)).collect();
            let units = Units::of_cuts(&trains, count);
            let best_of_all = slow(&units, &trip);
            let open = units.open_from(&trip.start);
            prop_assert!(least_handled(&units, &trip, Watch::none()) <= best_of_all);
            let tour = Tour::best(&units, &trip, &open, Watch::none());
            prop_assert!(tour.length() >= best_of_all);
            // With some of the lines first, whichever they are.
            let all: Vec<usize> = (0..units.lines.len()).collect();
            for mask in 0..1_usize << all.len().min(3) {
                let firsts: Vec<usize> = all.iter().copied().filter(|row| mask >> row & 1 == 1).collect();
                let least = slow_after(&units, &trip.start, &[], &firsts, &trip);
                match best_after(&units, &trip, (&firsts, &all), FAR.into(), Watch::none()) {
                    Exact::Best(row) => prop_assert_eq!(length(&units, &trip, &row), least),
                    Exact::AtLeast(least) => prop_assert!(false, "at least {}", least),
                }
            }
            let telling = units.telling(&open);
            match best(&units, &trip, &telling, tour.length(), Watch::none()) {
                Exact::Best(row) => prop_assert_eq!(length(&units, &trip, &row), best_of_all),
                Exact::AtLeast(least) => prop_assert!(false, "at least {}", least),
            }
            // The limit is below the best plan.
            if best_of_all > 0 {
                let less = best(&units, &trip, &telling, best_of_all - 1, Watch::none());
                prop_assert!(matches!(less, Exact::AtLeast(least) if least == best_of_all));
            }
            // Some of the lines give a weaker bound than all.
            for left_out in 0..telling.len() {
                let mut some = telling.clone();
                some.remove(left_out);
                match best(&units, &trip, &some, tour.length(), Watch::none()) {
                    Exact::Best(row) => prop_assert!(length(&units, &trip, &row) <= best_of_all),
                    Exact::AtLeast(least) => prop_assert!(false, "at least {}", least),
                }
            }
        }
    }
}
