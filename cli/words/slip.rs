//! What went wrong with the gearing.

use solver::scratch_pass::Slip;
use solver::{Control, Lathe};

/// `Range at B`, `20 and 80 exchanged`.
pub(crate) fn in_words(lathe: &Lathe, slip: Slip) -> String {
    let set = |control: Control, at: usize| {
        format!("{} at {}", lathe.control_name(control), lathe.position_name(control, at))
    };
    match slip {
        Slip::Lever { lever, position } => set(Control::Lever(lever), position),
        Slip::Headstock(at) => set(Control::Headstock, at),
        Slip::Tumbler(at) => set(Control::Tumbler, at),
        Slip::TurnedRound { driven, driver } => {
            format!("{driven} and {driver} the wrong way round")
        }
        Slip::EndsExchanged { first, last } => format!("{first} and {last} exchanged"),
        Slip::PairAsIdler(gear) => format!("the {gear} alone in mesh, as an idler"),
        Slip::NotChanged if lathe.not_as_fitted().is_some() => {
            "the gears that are on it now left on".into()
        }
        Slip::NotChanged => "the fitted gears left on".into(),
        _ => "another gearing".into(),
    }
}
