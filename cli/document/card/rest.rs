//! The passes that are left.

use crate::words::figures::rounded;
use schemars::JsonSchema;
use serde::Serialize;
use solver::job;

/// The passes that are left, each from here.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Rest {
    /// Infeed after each pass, in mm; of a wide groove that of the narrower tool in the middle.
    #[serde(rename = "passes_mm")]
    pub(crate) infeed: Vec<f64>,
    /// The same along the angled top slide, in mm; empty where it is not used.
    #[serde(rename = "slide_passes_mm")]
    pub(crate) slide: Vec<f64>,
    /// Then along the bed to each flank of a wide groove, in mm; empty for others.
    #[serde(rename = "flank_passes_mm")]
    pub(crate) flank: Vec<f64>,
}

impl From<&job::Rest> for Rest {
    fn from(of: &job::Rest) -> Self {
        let all = |marks: &[f64]| marks.iter().map(|mm| rounded(*mm, 6)).collect();
        Self { infeed: all(&of.passes), slide: all(&of.slide_passes), flank: all(&of.flank_passes) }
    }
}
