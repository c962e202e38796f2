//! What is the cheapest choice of columns that covers every row? Set cover, exact or with a proven
//! bound.
//!
//! First all dominated columns and rows go: a column whose rows another column covers at no more
//! weight, and a row that is covered whenever another row is. Then branch and bound, on the row with
//! the fewest columns. The bound is the Lagrangian one. For any prices u of the rows, no cover
//! weighs less than sum of u + sum over the columns of min(0, weight - prices of its rows) (M. L.
//! Fisher, The Lagrangian Relaxation Method for Solving Integer Programming Problems, Management
//! Science 27, 1981). Prices are whole numbers, so the bound is exact for any of them.

use crate::Watch;
use std::collections::HashMap;

/// A set of rows.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub(super) struct Rows(Vec<u64>);

impl Rows {
    pub(super) fn none(count: usize) -> Self {
        Self(vec![0; count.div_ceil(64)])
    }

    pub(super) fn all(count: usize) -> Self {
        let mut all = Self::none(count);
        (0..count).for_each(|row| all.insert(row));
        all
    }

    pub(super) fn insert(&mut self, row: usize) {
        self.0[row / 64] |= 1 << (row % 64);
    }

    pub(super) fn has(&self, row: usize) -> bool {
        self.0[row / 64] >> (row % 64) & 1 == 1
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(|word| *word == 0)
    }

    pub(super) fn len(&self) -> usize {
        self.0.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// Whether all of these are among `other`.
    pub(super) fn within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a & !b == 0)
    }

    pub(super) fn both(&self, other: &Self) -> usize {
        self.0.iter().zip(&other.0).map(|(a, b)| (a & b).count_ones() as usize).sum()
    }

    pub(super) fn remove(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(a, b)| *a &= !b);
    }

    pub(super) fn add(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(a, b)| *a |= b);
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(at, word)| {
            (0..64).filter(move |bit| word >> bit & 1 == 1).map(move |bit| at * 64 + bit)
        })
    }
}

/// A column: what it weighs (1 at least) and which rows it covers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Column {
    pub(super) weight: u32,
    pub(super) rows: Rows,
}

/// A cover, and a bound of the best one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cover {
    /// Columns by index, ascending.
    pub(super) chosen: Vec<usize>,
    pub(super) weight: u32,
    /// No cover weighs less.
    pub(super) least: u32,
}

/// Most nodes of the search tree.
const MOST_NODES: usize = 100_000;

/// Covers every row that some column covers.
pub(super) fn cover(rows: usize, columns: &[Column], watch: Watch<'_>) -> Cover {
    let mut open = Rows::none(rows);
    for column in columns {
        open.add(&column.rows);
    }
    let all = Problem::reduced(open, columns);
    let mut search = Tree { best: greedy(&all), problem: all, nodes: 0, watch, floor: u32::MAX };
    let prices = vec![0; rows];
    let everything = (0..search.problem.columns.len()).collect();
    let open = search.problem.open.clone();
    search.branch(&open, everything, 0, &mut Vec::new(), prices);
    let (weight, chosen) = search.best;
    let mut chosen: Vec<usize> = chosen.iter().map(|&c| search.problem.columns[c].0).collect();
    chosen.sort_unstable();
    Cover { chosen, weight, least: weight.min(search.floor) }
}

/// The problem after dominance.
struct Problem {
    open: Rows,
    /// Index in the caller's list, and the column restricted to `open`.
    columns: Vec<(usize, Column)>,
}

impl Problem {
    fn reduced(open: Rows, columns: &[Column]) -> Self {
        let mut problem = Self { open, columns: distinct(columns) };
        loop {
            let before = (problem.open.len(), problem.columns.len());
            problem.drop_columns();
            problem.drop_rows();
            if (problem.open.len(), problem.columns.len()) == before {
                return problem;
            }
        }
    }

    /// Removes columns whose rows another column covers at no more weight.
    fn drop_columns(&mut self) {
        let columns = std::mem::take(&mut self.columns);
        // Large ones first, then light ones: only an earlier one can dominate.
        let mut order: Vec<(usize, Column)> = columns;
        order.sort_by_key(|(at, c)| (std::cmp::Reverse(c.rows.len()), c.weight, *at));
        for (at, column) in order {
            let dominated = |(_, other): &(usize, Column)| {
                other.weight <= column.weight && column.rows.within(&other.rows)
            };
            if !column.rows.is_empty() && !self.columns.iter().any(dominated) {
                self.columns.push((at, column));
            }
        }
    }

    /// Removes rows that are covered whenever another row is.
    fn drop_rows(&mut self) {
        let rows: Vec<usize> = self.open.iter().collect();
        let mut by_row: Vec<Rows> = vec![Rows::none(self.columns.len()); rows.len()];
        for (at, (_, column)) in self.columns.iter().enumerate() {
            for (row, columns) in rows.iter().zip(&mut by_row) {
                if column.rows.has(*row) {
                    columns.insert(at);
                }
            }
        }
        let mut gone = self.open.clone();
        gone.remove(&self.open);
        for i in 0..rows.len() {
            let implied = |j: usize| j != i && by_row[j].within(&by_row[i]) && !gone.has(rows[j]);
            if (0..rows.len()).any(implied) {
                gone.insert(rows[i]);
            }
        }
        self.open.remove(&gone);
        self.columns.iter_mut().for_each(|(_, c)| c.rows.remove(&gone));
    }
}

/// Of columns with the same rows the lightest, the first of equals.
fn distinct(columns: &[Column]) -> Vec<(usize, Column)> {
    let mut seen: HashMap<&Rows, usize> = HashMap::new();
    let mut kept: Vec<usize> = Vec::new();
    for (at, column) in columns.iter().enumerate() {
        let slot = *seen.entry(&column.rows).or_insert_with(|| {
            kept.push(at);
            kept.len() - 1
        });
        if column.weight < columns[kept[slot]].weight {
            kept[slot] = at;
        }
    }
    kept.into_iter().map(|at| (at, columns[at].clone())).collect()
}

/// Repeatedly the column with the most rows for its weight.
fn greedy(problem: &Problem) -> (u32, Vec<usize>) {
    let mut open = problem.open.clone();
    let mut chosen = Vec::new();
    while !open.is_empty() {
        let worth = |at: &usize| {
            let column = &problem.columns[*at].1;
            // Rows for a unit of weight, as a whole number.
            column.rows.both(&open) as u64 * 1_000_000 / u64::from(column.weight)
        };
        let Some(best) = (0..problem.columns.len()).rev().max_by_key(worth) else { break };
        open.remove(&problem.columns[best].1.rows);
        chosen.push(best);
    }
    (chosen.iter().map(|&c| problem.columns[c].1.weight).sum(), chosen)
}

struct Tree<'c> {
    problem: Problem,
    best: (u32, Vec<usize>),
    nodes: usize,
    watch: Watch<'c>,
    /// Least bound of the branches not searched.
    floor: u32,
}

/// Prices are in these fractions of a unit of weight.
const UNIT: i64 = 10_000;

impl Tree<'_> {
    fn weight(&self, column: usize) -> u32 {
        self.problem.columns[column].1.weight
    }

    /// All covers of `open` by some columns, added to the chosen ones.
    fn branch(
        &mut self,
        open: &Rows,
        mut columns: Vec<usize>,
        spent: u32,
        chosen: &mut Vec<usize>,
        mut prices: Vec<i64>,
    ) {
        if open.is_empty() {
            if spent < self.best.0 {
                self.best = (spent, chosen.clone());
            }
            return;
        }
        columns.retain(|&c| self.problem.columns[c].1.rows.both(open) > 0);
        let Some(row) = self.scarcest(open, &columns) else { return };
        self.nodes += 1;
        let rounds = if self.nodes == 1 { 400 } else { 25 };
        let least = spent + self.bound(open, &columns, spent, &mut prices, rounds);
        if least >= self.best.0 {
            return;
        }
        if self.nodes > MOST_NODES || self.watch.is_cancelled() {
            self.floor = self.floor.min(least);
            return;
        }
        let mut ways: Vec<usize> =
            columns.iter().copied().filter(|&c| self.covers(c, row)).collect();
        ways.sort_by_key(|&c| {
            let column = &self.problem.columns[c].1;
            (std::cmp::Reverse(column.rows.both(open) as u64 * 1000 / u64::from(column.weight)), c)
        });
        for way in ways {
            let mut left = open.clone();
            left.remove(&self.problem.columns[way].1.rows);
            chosen.push(way);
            let spent = spent + self.weight(way);
            self.branch(&left, columns.clone(), spent, chosen, prices.clone());
            chosen.pop();
            // Covers with this column are finished.
            columns.retain(|&c| c != way);
        }
    }

    fn covers(&self, column: usize, row: usize) -> bool {
        self.problem.columns[column].1.rows.has(row)
    }

    /// The row with the fewest columns; `None`: some row has none.
    fn scarcest(&self, open: &Rows, columns: &[usize]) -> Option<usize> {
        let ways = |row: &usize| columns.iter().filter(|&&c| self.covers(c, *row)).count();
        let (count, row) = open.iter().map(|row| (ways(&row), row)).min()?;
        (count > 0).then_some(row)
    }

    /// No cover of `open` weighs less; improves the prices on the way.
    fn bound(
        &self,
        open: &Rows,
        columns: &[usize],
        spent: u32,
        prices: &mut [i64],
        rounds: usize,
    ) -> u32 {
        let rows: Vec<usize> = open.iter().collect();
        let target = i64::from(self.best.0.saturating_sub(spent)) * UNIT;
        let (mut best, mut best_prices) = (i64::MIN, prices.to_vec());
        // The step in thousandths of the one that would reach the target if the bound were linear.
        let (mut pace, mut stuck) = (1500_i64, 0);
        for _ in 0..rounds {
            let mut value: i64 = rows.iter().map(|&row| prices[row]).sum();
            // How many columns that pay at these prices cover each row.
            let mut covered = vec![0_i64; prices.len()];
            for &c in columns {
                let column = &self.problem.columns[c].1;
                let paid: i64 =
                    rows.iter().filter(|&&r| column.rows.has(r)).map(|&r| prices[r]).sum();
                let left = i64::from(column.weight) * UNIT - paid;
                if left < 0 {
                    value += left;
                    rows.iter().filter(|&&r| column.rows.has(r)).for_each(|&r| covered[r] += 1);
                }
            }
            stuck += 1;
            if value > best {
                (best, stuck) = (value, 0);
                best_prices.copy_from_slice(prices);
            }
            if stuck > 15 {
                (pace, stuck) = (pace / 2, 0);
            }
            let square: i64 = rows.iter().map(|&r| (1 - covered[r]).pow(2)).sum();
            if square == 0 || best > target - UNIT || pace == 0 {
                break;
            }
            let step = ((target - value).max(1) * pace / 1000 / square).max(1);
            for &r in &rows {
                prices[r] = (prices[r] + step * (1 - covered[r])).max(0);
            }
        }
        prices.copy_from_slice(&best_prices);
        // Weights are whole: rounded up.
        u32::try_from((best.max(0) + UNIT - 1) / UNIT).unwrap_or(u32::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use good_lp::{Expression, ProblemVariables, Solution, SolverModel, constraint, variable};
    use proptest::prelude::*;
    use std::sync::atomic::AtomicBool;

    /// The least weight by an integer program.
    fn by_program(rows: usize, columns: &[Column]) -> u32 {
        let mut variables = ProblemVariables::new();
        let take: Vec<_> = columns.iter().map(|_| variables.add(variable().binary())).collect();
        let weighed = take.iter().zip(columns).map(|(v, c)| f64::from(c.weight) * *v);
        let mut model = variables.minimise(weighed.sum::<Expression>()).using(good_lp::microlp);
        for row in 0..rows {
            let covering = take.iter().zip(columns).filter(|(_, c)| c.rows.has(row));
            let covering: Vec<_> = covering.map(|(v, _)| *v).collect();
            if !covering.is_empty() {
                model.add_constraint(constraint!(covering.into_iter().sum::<Expression>() >= 1));
            }
        }
        let solved = model.solve().unwrap();
        take.iter()
            .zip(columns)
            .map(|(v, c)| if solved.value(*v) > 0.5 { c.weight } else { 0 })
            .sum()
    }

    fn columns(rows: usize, drawn: &[(u32, Vec<usize>)]) -> Vec<Column> {
        let column = |(weight, members): &(u32, Vec<usize>)| {
            let mut set = Rows::none(rows);
            for row in members {
                set.insert(row % rows);
            }
            Column { weight: *weight, rows: set }
        };
        drawn.iter().map(column).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_cover_weighs_what_an_integer_program_finds(
            rows in 1_usize..26,
            one in any::<bool>(),
            drawn in prop::collection::vec((1_u32..5, prop::collection::vec(0_usize..100, 0..6)), 1..40),
        ) {
            let mut columns = columns(rows, &drawn);
            if one {
                for column in &mut columns {
                    column.weight = 1;
                }
            }
            let found = cover(rows, &columns, Watch::none());
            let mut open = Rows::none(rows);
            for column in &columns {
                open.add(&column.rows);
            }
            for &c in &found.chosen {
                open.remove(&columns[c].rows);
            }
            prop_assert!(open.is_empty());
            let weight: u32 = found.chosen.iter().map(|&c| columns[c].weight).sum();
            prop_assert_eq!((found.weight, found.least), (weight, weight));
            prop_assert_eq!(weight, by_program(rows, &columns));
            // Cancelled at once, it still gives a bound.
            let stopped = cover(rows, &columns, Watch::cancelled_by(&AtomicBool::new(true)));
            prop_assert!(stopped.least <= weight && weight <= stopped.weight);
        }
    }

    #[test]
    fn hard_covers_are_proven() {
        // Each row in three of 40 columns, by a fixed rule: the greedy cover weighs too much.
        let rows = 60;
        let members = |c: usize| {
            (0..rows)
                .filter(move |r| [r * 7 + 1, r * 11 + 3, r * 5 + 2].iter().any(|x| x % 40 == c))
        };
        let drawn: Vec<(u32, Vec<usize>)> = (0..40).map(|c| (1, members(c).collect())).collect();
        let columns = columns(rows, &drawn);
        let found = cover(rows, &columns, Watch::none());
        assert_eq!(found.weight, found.least);
        assert_eq!(found.weight, by_program(rows, &columns));
    }
}
