//! The cautions, each said in one place: before hands go in, before the step that it concerns, last.

/// Before hands go into the machine: first in `lathe new`, at the top of card, wall chart and picture.
pub(crate) const HANDS: &str = "Unplug or lock off the lathe before opening the cover. Before power: \
    cover on, chuck key and crank out. No gloves, rings or loose sleeves; glasses on.";

/// Before a thread is cut.
pub(crate) const SCRATCH: &str = "Turn it by hand, take a scratch pass, stop, measure. Tool out and \
    spindle stopped before reversing.";

/// Of reversing, where the nut may not be opened.
pub(crate) const CHUCK: &str =
    "A screwed-on chuck can come off in reverse, also when it is started or braked.";

/// Of a cut in reverse.
pub(crate) const CUT_IN_REVERSE: &str = "The cut turns in reverse: a screwed-on chuck comes off. Only \
    with a chuck that is bolted, locked or on a cam lock.";

/// Of a stop on the bed.
pub(crate) const STOP: &str = "Never run into a fixed stop with the half nut closed.";

/// Of levers.
pub(crate) const AT_REST: &str =
    "Move levers only at rest; never engage feed and half nut together.";

/// Last.
pub(crate) const LIMITS: &str = "Arithmetic and geometry only: strength, speed and fitness are not \
    checked. The machine's manual and local rules come first; where failure could injure, ask a \
    qualified person.";
