//! What the shafts of a train are called.

use solver::{Lathe, OnShaft};

/// The last shaft of a train as a label: `lead screw`, or `gearbox shaft` where there is a gearbox.
pub(crate) fn driven_shaft(lathe: &Lathe) -> &'static str {
    if lathe.parts().gearbox.levers.is_empty() { "lead screw" } else { "gearbox shaft" }
}

/// The same in a sentence.
pub(crate) fn last_shaft(lathe: &Lathe) -> &'static str {
    if lathe.parts().gearbox.levers.is_empty() { "the lead screw" } else { "the gearbox shaft" }
}

/// `driving shaft`, `stud 1`, `lead screw`: the label of a shaft; `driven` is what the last is called.
pub(crate) const fn label(shaft: OnShaft, driven: &'static str) -> &'static str {
    match shaft {
        OnShaft::First => "driving shaft",
        OnShaft::Last => driven,
        OnShaft::Stud1 => "stud 1",
        OnShaft::Stud2 => "stud 2",
        OnShaft::Stud3 => "stud 3",
    }
}

/// `the driving shaft`, `stud 1`, `the lead screw`: `last` is what the last shaft is called.
pub(crate) const fn in_words(shaft: OnShaft, last: &'static str) -> &'static str {
    match shaft {
        OnShaft::First => "the driving shaft",
        stud_or_last => label(stud_or_last, last),
    }
}
