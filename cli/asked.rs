//! What was asked, from the words typed: the machine, the targets, one or a whole list.

pub(crate) mod context;
pub(crate) mod machine;
pub(crate) mod roughness;
pub(crate) mod targets;
pub(crate) mod wanted;
