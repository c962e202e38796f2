//! Worms by axial module: pitch = pi x module, lead = pitch x starts. The table is a selection; any
//! module can be asked for.

use super::Series;
use super::row::{Row, module};

/// Worm by module.
pub(crate) static SERIES: Series = Series {
    key: "module",
    name: "Worm by module",
    said: &["module", "mod"],
    standard: None,
    angle: None,
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    module("module 5", "5"),
    module("module 4", "4"),
    module("module 3.5", "3.5"),
    module("module 3.25", "3.25"),
    module("module 3", "3"),
    module("module 2.75", "2.75"),
    module("module 2.5", "2.5"),
    module("module 2.25", "2.25"),
    module("module 2", "2"),
    module("module 1.75", "1.75"),
    module("module 1.5", "1.5"),
    module("module 1.25", "1.25"),
    module("module 1", "1"),
    module("module 1 2 starts", "1").starts(2),
    module("module 1 3 starts", "1").starts(3),
    module("module 1 4 starts", "1").starts(4),
    module("module 0.9", "0.9"),
    module("module 0.8", "0.8"),
    module("module 0.7", "0.7"),
    module("module 0.6", "0.6"),
    module("module 0.5", "0.5"),
    module("module 0.4", "0.4"),
    module("module 0.3", "0.3"),
];
