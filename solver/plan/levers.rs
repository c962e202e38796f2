//! Which position has each lever, and how many move from one state to another?

use crate::{Control, Fitted, Lathe, Setting};

/// Headstock, levers in the order of the file, tumbler; `None`: free, or unknown.
type State = Vec<Option<usize>>;

/// Every lever state in use, by its number.
#[derive(Debug, Default)]
pub(super) struct Levers {
    states: Vec<State>,
}

impl Levers {
    /// The number of a state.
    pub(super) fn enter(&mut self, setting: &Setting, tumbler: Option<usize>) -> u32 {
        let levers = setting.levers.iter().copied().map(Some);
        let state = std::iter::once(Some(setting.headstock)).chain(levers).chain([tumbler]);
        self.number(state.collect())
    }

    /// A whole set-up; levers that it does not name are unknown.
    pub(super) fn enter_set_up(&mut self, lathe: &Lathe, of: Option<&Fitted>) -> u32 {
        let at = |control| lathe.position_in(of?, control);
        let headstock =
            if lathe.parts().headstock.len() == 1 { Some(0) } else { at(Control::Headstock) };
        let levers = (0..lathe.parts().gearbox.levers.len()).map(Control::Lever);
        let levers = levers.chain([Control::Tumbler]).map(at);
        self.number(std::iter::once(headstock).chain(levers).collect())
    }

    fn number(&mut self, state: State) -> u32 {
        let at = self.states.iter().position(|s| *s == state).unwrap_or_else(|| {
            self.states.push(state);
            self.states.len() - 1
        });
        u32::try_from(at).unwrap_or(u32::MAX)
    }

    /// Levers that move, headstock and tumbler among them.
    pub(super) fn moved(&self, from: u32, to: u32) -> u32 {
        if from == to {
            return 0;
        }
        let (from, to) = (&self.states[from as usize], &self.states[to as usize]);
        from.iter().zip(to).map(|(a, b)| u32::from(a.is_some() && b.is_some() && a != b)).sum()
    }
}
