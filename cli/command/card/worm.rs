//! A worm: its wheel, and the tooth caliper on it or on another ridge.

use super::Card;
use crate::report::{Role, Text};
use crate::words::figures::measure;
use crate::words::size;
use solver::cutting::{Cut, Normal, Tooth};
use solver::job::Sizes;
use solver::{Hand, Length};

/// What is said of a worm under its sizes.
pub(super) fn notes(card: &Card<'_>, sizes: &Sizes) -> Vec<Text> {
    let Some((cut, (module, normal))) = card.job.cut.as_ref().zip(sizes.worm.as_ref()) else {
        return Vec::new();
    };
    let tooth = card.job.tooth.as_ref();
    let tooth = tooth.map(|tooth| caliper(tooth, "; less leaves backlash."));
    [tooth, Some(wheel(cut, sizes, module, normal))].into_iter().flatten().collect()
}

/// `Tooth caliper, set 1.002 mm high: 1.568 mm`.
pub(super) fn caliper(tooth: &Tooth, more: &str) -> Text {
    Text::from(format!("Tooth caliper, set {} high: ", size::both(&tooth.height)))
        .and(Role::Strong, size::both(&tooth.across))
        .and(Role::Plain, more)
}

/// The wheel that the worm drives, its shaft square to the worm's. In its own plane it has the axial module of the
/// worm; it leans by the worm's lead angle, the same way. A wheel cut with a cutter of this module asks for a larger
/// axial one.
fn wheel(cut: &Cut, sizes: &Sizes, module: &Length, normal: &Normal) -> Text {
    let hand = match cut.hand() {
        Hand::Right => "right",
        Hand::Left => "left",
    };
    let (in_mm, pressure) = (measure(&module.mm()).marked(), cut.form().half_angle());
    let clearance = (sizes.basic.minor.mm() - sizes.basic.root.mm()) / 2.0;
    format!(
        "Its wheel: module {in_mm} (transverse), pressure angle {}° (axial), helix {:.2}° {hand} hand. Centre \
         distance ({} + z x {}) / 2 mm with z teeth, clearance {} mm. If a cutter of module {in_mm} cut it: gear for \
         module {:.4} instead.",
        measure(&pressure).marked(),
        cut.lead_angle(&sizes.basic.pitch),
        size::mm(&sizes.basic.pitch),
        size::mm(module),
        size::mm(&clearance),
        normal.axial.mm()
    )
    .into()
}
