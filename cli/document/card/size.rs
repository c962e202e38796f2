//! A length, exact where it is.

use crate::words::size::Mm;
use schemars::JsonSchema;
use serde::Serialize;
use solver::cutting::Measure;
use solver::{Lead, Length};

/// A length both ways.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Size {
    /// In mm, rounded to a millionth.
    pub(crate) mm: f64,
    /// In inches, rounded to a ten-millionth.
    pub(crate) inches: f64,
    /// In mm, exact: `381/2`, or `1 pi`; null where a root or an angle is in it.
    pub(crate) exact_mm: Option<String>,
}

impl From<f64> for Size {
    fn from(mm: f64) -> Self {
        Self::of(&mm, None)
    }
}

impl From<Length> for Size {
    fn from(length: Length) -> Self {
        Self::of(&length, Some(length.mm().to_string()))
    }
}

impl From<Measure> for Size {
    fn from(measure: Measure) -> Self {
        measure.exact().map_or_else(|| Self::from(measure.mm()), Self::from)
    }
}

impl From<Lead> for Size {
    fn from(lead: Lead) -> Self {
        let pi = if lead.has_pi() { " pi" } else { "" };
        Self::of(&lead, Some(format!("{}{pi}", lead.mm())))
    }
}

impl Size {
    fn of(length: &impl Mm, exact_mm: Option<String>) -> Self {
        Self { mm: length.mm_rounded(), inches: length.inches_rounded(), exact_mm }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_length_says_so() {
        let length: Length = "381/2 mm".parse().unwrap();
        assert_eq!(Size::from(length).exact_mm.as_deref(), Some("381/2"));
        let module = Lead::times_pi("1 mm".parse().unwrap());
        assert_eq!(Size::from(module).exact_mm.as_deref(), Some("1 pi"));
        assert_eq!(Size::from(1.5).exact_mm, None);
    }
}
