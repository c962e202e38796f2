//! Does the bracket's geometry say what a slow, obvious solver says? That solver shares no code with
//! the library and uses no formula beside the distance of two points.

mod by_hand;
pub(crate) mod rig;
pub(crate) mod stand;
