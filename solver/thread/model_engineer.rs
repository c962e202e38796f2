//! Model engineers' series: Whitworth form, 32 and 40 TPI. Common practice, no standard was
//! read.
//! Compared in up to 2 open tables; each row says how sure it is.

use super::Series;
use super::Sureness::{CrossChecked, Single};
use super::row::{Row, degrees, inch};

/// Model Engineer.
pub(crate) static SERIES: Series = Series {
    key: "me",
    name: "Model Engineer",
    said: &["me"],
    standard: None,
    angle: Some(degrees("55")),
    rows: ROWS,
};

#[rustfmt::skip]
const ROWS: &[Row] = &[
    inch("1/8-40 ME", "1/8", "40", Single),
    inch("5/32-40 ME", "5/32", "40", CrossChecked),
    inch("3/16-40 ME", "3/16", "40", CrossChecked),
    inch("7/32-40 ME", "7/32", "40", CrossChecked),
    inch("1/4-32 ME", "1/4", "32", Single),
    inch("1/4-40 ME", "1/4", "40", CrossChecked),
    inch("9/32-32 ME", "9/32", "32", Single),
    inch("9/32-40 ME", "9/32", "40", Single),
    inch("5/16-32 ME", "5/16", "32", CrossChecked),
    inch("5/16-40 ME", "5/16", "40", Single),
    inch("3/8-32 ME", "3/8", "32", CrossChecked),
    inch("3/8-40 ME", "3/8", "40", CrossChecked),
    inch("7/16-32 ME", "7/16", "32", Single),
    inch("7/16-40 ME", "7/16", "40", Single),
    inch("1/2-32 ME", "1/2", "32", Single),
    inch("1/2-40 ME", "1/2", "40", Single),
];
