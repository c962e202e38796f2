//! What went wrong with the gearing.

use super::shaft;
use solver::slip::Slip;
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
        Slip::Swapped([a, b]) => format!("{a} and {b} in each other's place"),
        Slip::Gear { on, right, wrong } => {
            let on = shaft::in_words(on, shaft::last_shaft(lathe));
            format!("a {wrong} in place of the {right} on {on}")
        }
        Slip::PairAsIdler(gear) => format!("the {gear} alone in mesh, as an idler"),
        Slip::PairLoose { idler, idle } => {
            format!("the {idler} alone in mesh, as an idler; the {idle} not keyed to it")
        }
        Slip::IdlerKeyed { idler, beside, drives: true } => {
            format!("the idler {idler} keyed to a {beside}, which drives")
        }
        Slip::IdlerKeyed { idler, beside, drives: false } => {
            format!("the idler {idler} keyed to a {beside}, which is driven")
        }
        Slip::IdlerLeftOut(gear) => format!("the idler {gear} left out"),
        Slip::IdlerAdded(_) => "one idler too many".into(),
        Slip::Fitted if lathe.not_as_fitted().is_some() => {
            "the gears that are on it now left on".into()
        }
        Slip::Fitted => "the fitted gears left on".into(),
        _ => "another gearing".into(),
    }
}

/// What kind of slip it is, in the words of the documents.
pub(crate) const fn kind(slip: Slip) -> &'static str {
    match slip {
        Slip::Lever { .. } => "lever",
        Slip::Headstock(_) => "headstock",
        Slip::Tumbler(_) => "tumbler",
        Slip::TurnedRound { .. } => "turned round",
        Slip::EndsExchanged { .. } => "ends exchanged",
        Slip::Swapped(_) => "swapped",
        Slip::PairAsIdler(_) | Slip::PairLoose { .. } => "pair as idler",
        Slip::IdlerKeyed { .. } => "idler keyed",
        Slip::IdlerLeftOut(_) => "idler left out",
        Slip::IdlerAdded(_) => "idler added",
        Slip::Fitted => "fitted",
        _ => "gear",
    }
}
