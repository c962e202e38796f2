//! What would help where the best trains can't stand, in sentences.

use super::entry::Entry;
use super::lists::error_in_short;
use crate::command::figures::tenth as figure;
use solver::search::Change;
use solver::{Bracket, Slot, Teeth};

/// A change to the machine, and the train that it would let stand.
pub(in crate::command) struct Help {
    pub(super) change: Change,
    pub(super) entry: Entry,
}

impl Help {
    /// A word for programs.
    pub(super) const fn kind(&self) -> &'static str {
        match self.change {
            Change::Slot { .. } => "slot",
            Change::Clearance { .. } => "clearance",
            Change::Idler(_) => "idler",
            Change::Stud => "stud",
            _ => "other",
        }
    }

    /// The sentence.
    pub(super) fn text(&self, bracket: Option<&Bracket>) -> String {
        let train = format!("{}, {}", self.entry.train, error_in_short(&self.entry.error));
        match &self.change {
            Change::Slot { slot, along, beyond } => {
                let slot_of = bracket.and_then(|b| b.slots.get(*slot));
                let before =
                    matches!(slot_of, Some(Slot::Straight { from, .. }) if *along < from.to_f64());
                let end = if before { "begins" } else { "ends" };
                let name = match bracket.map_or(1, |b| b.slots.len()) {
                    1 => "the slot".to_string(),
                    _ => format!("slot {}", slot + 1),
                };
                format!(
                    "If {name} went {} mm further (it {end} too soon; the stud must stand at {} mm): {train}.",
                    figure(*beyond),
                    figure(*along)
                )
            }
            Change::Clearance { left } => format!(
                "With {} mm of room in place of the {} mm wanted: {train}. Make sure of it with a \
                 feeler gauge.",
                figure(*left),
                figure(bracket.map_or(0.0, |b| b.clearance.to_f64()))
            ),
            Change::Idler(sizes) => {
                format!("An idler of {} teeth, which you don't own: {train}.", any_of(sizes))
            }
            Change::Stud => format!("One more stud on the bracket: {train}."),
            _ => train,
        }
    }
}

/// `40`, `40 or 41`, `40 to 57`, `40, 44 or 50`.
pub(super) fn any_of(sizes: &[Teeth]) -> String {
    let run = sizes.windows(2).all(|w| w[0].get() + 1 == w[1].get());
    match sizes {
        [first, .., last] if run && sizes.len() > 2 => format!("{first} to {last}"),
        [most @ .., last] if !most.is_empty() => {
            let most: Vec<String> = most.iter().map(ToString::to_string).collect();
            format!("{} or {last}", most.join(", "))
        }
        [only] => only.to_string(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_read_as_people_say_them() {
        let words = |sizes: &[u64]| {
            let sizes: Vec<Teeth> = sizes.iter().map(|z| Teeth::new(*z).unwrap()).collect();
            any_of(&sizes)
        };
        assert_eq!(words(&[40]), "40");
        assert_eq!(words(&[40, 41]), "40 or 41");
        assert_eq!(words(&[40, 41, 42]), "40 to 42");
        assert_eq!(words(&[65, 70, 75]), "65, 70 or 75");
    }
}
