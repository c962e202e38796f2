//! What was asked, from the words typed: the machine, the targets, one or a whole list, and figures.

pub(crate) mod machine;
pub(crate) mod targets;
pub(crate) mod typed;
pub(crate) mod wanted;
