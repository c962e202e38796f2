//! What more than one command says: figures, set-ups, changes, reasons, doubts and lacks, each in one
//! place. It knows the library and plain entries, and no command.

pub(crate) mod cautions;
pub(crate) mod change;
pub(crate) mod control;
pub(crate) mod dial;
pub(crate) mod doubt;
pub(crate) mod either;
pub(crate) mod figures;
pub(crate) mod guide;
pub(crate) mod lacks;
pub(crate) mod reasons;
pub(crate) mod search;
pub(crate) mod set_up;
pub(crate) mod shaft;
pub(crate) mod shop;
pub(crate) mod size;
pub(crate) mod slip;
pub(crate) mod verdict;
