//! Which choices of gears for a train lack least? A walk along its power path.

use super::{Choice, Puzzle};

/// Choices that are kept: of more that are equally good the first ones.
pub(super) const MOST_WAYS: usize = 64;
/// Most gears tried, one behind the other: hundreds of gears of one number would take far more.
const MOST_STEPS: u32 = 200_000;

/// The gears chosen so far, and the best choices yet.
pub(super) struct Walk<'p, 'l> {
    puzzle: &'p Puzzle<'l>,
    way: Vec<Choice>,
    least: u32,
    pub(super) best: Vec<Vec<Choice>>,
    steps: u32,
}

impl<'p, 'l> Walk<'p, 'l> {
    pub(super) fn new(puzzle: &'p Puzzle<'l>) -> Self {
        Self { puzzle, way: Vec::new(), least: u32::MAX, best: Vec::new(), steps: 0 }
    }

    /// Goes on after the gears so far, of which the last one meshes with gears of `class`.
    pub(super) fn on(&mut self, class: Option<usize>, cost: u32) {
        let puzzle = self.puzzle;
        let at = self.way.len();
        let Some(choices) = puzzle.choices.get(at) else { return self.keep(cost) };
        let keyed = puzzle.keyed[at];
        let mut next: Vec<(u32, u32, Choice)> = Vec::with_capacity(choices.len());
        for (choice, rest) in choices.iter().zip(&puzzle.rest[at]) {
            let link = self.way.last().map_or(0, |last| puzzle.link(last, class, choice, keyed));
            self.way.push(*choice);
            let more = link.saturating_add(choice.cost).saturating_add(puzzle.counted(&self.way));
            self.way.pop();
            let so_far = cost.saturating_add(more);
            next.push((so_far.saturating_add(*rest), so_far, *choice));
        }
        // Stable: of equals the first in the box comes first.
        next.sort_by_key(|(least, ..)| *least);
        for (least, so_far, choice) in next {
            self.steps = self.steps.saturating_add(1);
            let enough = self.best.len() >= MOST_WAYS && least == self.least;
            if least > self.least || enough || (self.steps > MOST_STEPS && !self.best.is_empty()) {
                return;
            }
            // A gear that is not owned has the size of the one that it meshes with.
            let class = choice.class.or(class.filter(|_| !keyed));
            self.way.push(choice);
            self.on(class, so_far);
            self.way.pop();
        }
    }

    fn keep(&mut self, cost: u32) {
        if cost < self.least {
            self.least = cost;
            self.best.clear();
        }
        if cost == self.least && self.best.len() < MOST_WAYS {
            self.best.push(self.way.clone());
        }
    }
}
