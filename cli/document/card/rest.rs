//! The passes that are left.

use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job;

/// The passes that are left, each from here.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Rest {
    /// Infeed after each pass, in mm; of a wide groove that of the narrower tool in the middle.
    pub(crate) passes_mm: Vec<f64>,
    /// The same along the angled top slide, in mm; empty where it is not used.
    pub(crate) slide_passes_mm: Vec<f64>,
    /// Then along the bed to each flank of a wide groove, in mm; empty for others.
    pub(crate) flank_passes_mm: Vec<f64>,
}

impl From<&job::Rest> for Rest {
    fn from(of: &job::Rest) -> Self {
        let all = |marks: &[f64]| marks.iter().map(|mm| rounded(*mm, 6)).collect();
        Self {
            passes_mm: all(&of.passes),
            slide_passes_mm: all(&of.slide_passes),
            flank_passes_mm: all(&of.flank_passes),
        }
    }
}
