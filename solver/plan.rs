//! In which order, and with which trains, is a list of threads cut with the fewest gears moved?
//!
//! For each line of the list every train that fits and is within its tolerance is a candidate
//! ([`TrainTable`]). A [`Plan`] has one candidate for each line and an order of the lines. Its cost is the
//! number of gears moved from line to line, from what is on the machine ([`crate::Lathe::on_now`]) and
//! back to the fitted set-up ([`crate::Train::handled_from`]). Of plans with equal cost the one that
//! moves fewer levers is better, then the one with the smaller sum of errors. Where nobody says what is
//! on it a plan starts with an empty machine; without a fitted set-up it puts nothing back.
//!
//! ```
//! use solver::plan::{Line, TrainTable};
//! use solver::search::Options;
//! use solver::{Gear, GearSet, Lathe, Lead, Parts, Teeth, Watch};
//!
//! let mut gears = GearSet::new();
//! for teeth in [20, 30, 40, 50, 60, 65] {
//!     gears.add(Gear::new(Teeth::new(teeth)?), 1)?;
//! }
//! let lathe = Lathe::new(Parts::plain(gears, Lead::from_tpi("8".parse()?)?))?;
//! let lines = ["16", "13", "24"].map(|tpi| Line::new(Lead::from_tpi(tpi.parse().unwrap()).unwrap()));
//!
//! let table = TrainTable::new(&lathe, lines.into(), &Options::default().with_pairs(2), Watch::none())?;
//! let plan = table.best_order()?;
//! assert_eq!(plan.steps.len(), 3);
//! assert!(plan.is_proven()); // no order and no choice of trains moves fewer gears
//! assert!(plan.cost.handled <= table.naive()?.cost.handled);
//! # Ok::<(), solver::Error>(())
//! ```

mod bound;
mod claim;
mod cover;
mod exact;
mod fewest;
mod found;
mod levers;
mod listed;
mod mount;
mod order;
mod table;
mod tour;
mod units;

pub use crate::search::Line;
pub use claim::Bound;
pub use table::TrainTable;

use crate::Result;
use crate::search::Solution;

/// The cost of a step, or of a whole plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
#[non_exhaustive]
pub struct Cost {
    /// Gears taken off and gears put on; a gear that changes its place counts twice.
    pub handled: usize,
    /// Levers moved, headstock and tumbler among them.
    pub levers: usize,
}

/// One line of a plan.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Step {
    /// Index into [`TrainTable::lines`].
    pub line: usize,
    /// The set-up.
    pub solution: Solution,
    /// The cost from the step before, or from the start.
    pub cost: Cost,
}

/// One train for each line, in an order.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Plan {
    /// In the order of the work, without lines that no train reaches.
    pub steps: Vec<Step>,
    /// From the last step back to the fitted set-up; nothing without one.
    pub back: Cost,
    /// Cost of all steps and the way back.
    pub cost: Cost,
    /// Different trains, levers apart.
    pub trains: usize,
    /// Lower bound for every plan of this kind: different trains for [`TrainTable::fewest_trains`], else
    /// gears moved.
    pub bound: Bound,
    /// The figure that [`Plan::bound`] bounds.
    pub reached: usize,
    /// False for a plan that was cancelled or made from a table without all trains.
    pub complete: bool,
}

impl Plan {
    /// Whether no plan of this kind has a lower figure.
    pub const fn is_proven(&self) -> bool {
        matches!(self.bound.least(), Some(least) if self.complete && self.reached <= least)
    }
}

impl TrainTable<'_> {
    /// The lines in the given order: of all choices of trains the one with the fewest gears moved,
    /// exact; then the fewest levers moved, then the least sum of errors.
    ///
    /// # Errors
    /// Only if a lead can't be held; the limits on the numbers rule that out.
    pub fn as_listed(&self) -> Result<Plan> {
        self.in_order(&self.reached())
    }

    /// The same for any order: indices into [`TrainTable::lines`]. Lines without a train, and unknown
    /// indices, are left out.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn in_order(&self, order: &[usize]) -> Result<Plan> {
        let order = self.reached_of(order);
        let path = self.shortest(&order, |line| self.all_of(line));
        let handled = path.weight.handled as usize;
        let bound = if path.complete { self.bound(handled) } else { Bound::Unknown };
        let plan = self.plan(&order, &path.chosen)?;
        Ok(Plan { bound, reached: handled, complete: path.complete && self.is_complete(), ..plan })
    }

    /// The cost in the given order with the closest train for each line: shows what planning saves.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn naive(&self) -> Result<Plan> {
        self.naive_in_order(&self.reached())
    }

    /// The same for any order, as [`TrainTable::in_order`] takes it.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn naive_in_order(&self, order: &[usize]) -> Result<Plan> {
        let order = self.reached_of(order);
        // The first candidate has the least error, and is the best of its lead.
        self.plan(&order, &vec![0; order.len()])
    }

    /// Each line by itself, from the fitted set-up and back to it: the train that moves the fewest
    /// gears. For the one thread now and then. Any order, as [`TrainTable::in_order`] takes it.
    ///
    /// # Errors
    /// As [`TrainTable::as_listed`].
    pub fn each_from_fitted(&self, order: &[usize]) -> Result<Plan> {
        let order = self.reached_of(order);
        let fitted = self.home.unwrap_or(self.start);
        let nearest = |&line: &usize| {
            let candidates = (0_u32..).zip(&self.rows[line].candidates);
            let weight = |(at, c): (u32, &table::Candidate)| {
                let handled = fitted.0.distance(self.mount(c));
                (handled, self.levers.moved(fitted.1, c.state), c.ppb, at)
            };
            candidates.map(weight).min().map_or(0, |w| w.3)
        };
        let chosen: Vec<u32> = order.iter().map(nearest).collect();
        let mut plan = Plan {
            steps: Vec::with_capacity(order.len()),
            back: Cost::default(),
            cost: Cost::default(),
            trains: self.trains_of(&order, &chosen),
            bound: Bound::Unknown,
            reached: 0,
            complete: self.is_complete(),
        };
        for (line, chosen) in order.into_iter().zip(chosen) {
            let (steps, back) = self.steps(fitted, &[line], &[chosen])?;
            for cost in steps.iter().map(|step| step.cost).chain([back]) {
                plan.cost.handled += cost.handled;
                plan.cost.levers += cost.levers;
            }
            plan.steps.extend(steps);
        }
        // Each line has the train that moves the fewest gears: no plan moves fewer.
        plan.reached = plan.cost.handled;
        plan.bound = self.bound(plan.reached);
        Ok(plan)
    }

    fn all_of(&self, line: usize) -> Vec<u32> {
        (0_u32..).zip(&self.rows[line].candidates).map(|(at, _)| at).collect()
    }

    /// A plan from a choice of trains, without a proof yet.
    fn plan(&self, order: &[usize], chosen: &[u32]) -> Result<Plan> {
        let (steps, back) = self.steps(self.start, order, chosen)?;
        let sum =
            |of: fn(&Cost) -> usize| steps.iter().map(|s| of(&s.cost)).sum::<usize>() + of(&back);
        let cost = Cost { handled: sum(|c| c.handled), levers: sum(|c| c.levers) };
        let (trains, reached) = (self.trains_of(order, chosen), cost.handled);
        let (complete, bound) = (self.is_complete(), Bound::Unknown);
        Ok(Plan { steps, back, cost, trains, bound, reached, complete })
    }

    /// Lower bound over the held set-ups, or over all set-ups if the table holds them all.
    const fn bound(&self, least: usize) -> Bound {
        if self.complete { Bound::Proven(least) } else { Bound::OfHeld(least) }
    }

    /// Number of different trains in a choice.
    fn trains_of(&self, order: &[usize], chosen: &[u32]) -> usize {
        let mut trains: Vec<u32> = order
            .iter()
            .zip(chosen)
            .map(|(&line, &c)| self.rows[line].candidates[c as usize].train)
            .collect();
        trains.sort_unstable();
        trains.dedup();
        trains.len()
    }

    fn steps(
        &self,
        from: (mount::Mount, u32),
        order: &[usize],
        chosen: &[u32],
    ) -> Result<(Vec<Step>, Cost)> {
        let cost = |from: &(mount::Mount, u32), to: &(mount::Mount, u32)| Cost {
            handled: from.0.distance(&to.0) as usize,
            levers: self.levers.moved(from.1, to.1) as usize,
        };
        let mut before = from;
        let mut steps = Vec::with_capacity(order.len());
        for (&line, &index) in order.iter().zip(chosen) {
            let candidate = &self.rows[line].candidates[index as usize];
            let next = (*self.mount(candidate), candidate.state);
            if let Some(solution) = self.solution(line, candidate)? {
                steps.push(Step { line, solution, cost: cost(&before, &next) });
            }
            before = next;
        }
        let back = self.home.map_or_else(Cost::default, |home| cost(&before, &home));
        Ok((steps, back))
    }
}
