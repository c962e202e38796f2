//! What the shafts of a train are called.

use solver::Lathe;

/// `first`, `stud 1`, `last`: the word for a shaft of a train.
pub(crate) fn shaft_name(index: usize, shafts: usize) -> String {
    match index {
        0 => "first".to_string(),
        i if i + 1 == shafts => "last".to_string(),
        i => format!("stud {i}"),
    }
}

/// What the last shaft is called.
pub(crate) fn last_shaft(lathe: &Lathe) -> &'static str {
    if lathe.parts().gearbox.levers.is_empty() { "the lead screw" } else { "the gearbox input" }
}
