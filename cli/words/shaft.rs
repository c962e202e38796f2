//! What the shafts of a train are called.

use solver::{Lathe, OnShaft};

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
    if lathe.parts().gearbox.levers.is_empty() { "the lead screw" } else { "the gearbox shaft" }
}

/// `the driving shaft`, `stud 1`, `the lead screw`: `last` is what the last shaft is called.
pub(crate) fn in_words(shaft: OnShaft, last: &str) -> String {
    match shaft {
        OnShaft::First => "the driving shaft".to_string(),
        OnShaft::Last => last.to_string(),
        OnShaft::Stud1 => "stud 1".to_string(),
        OnShaft::Stud2 => "stud 2".to_string(),
        OnShaft::Stud3 => "stud 3".to_string(),
    }
}
