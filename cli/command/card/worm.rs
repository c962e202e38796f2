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
    let wheel = wheel(cut, sizes, module);
    let room = clearance(sizes, module);
    [tooth, Some(wheel), Some(room), Some(cutter(module, normal))].into_iter().flatten().collect()
}

/// `Tooth caliper square across a ridge, set 1.002 mm high: 1.568 mm`.
pub(super) fn caliper(tooth: &Tooth, more: &str) -> Text {
    Text::from(format!(
        "Tooth caliper square across a ridge, set {} high: ",
        size::both(&tooth.height)
    ))
    .and(Role::Strong, size::both(&tooth.across))
    .and(Role::Plain, more)
}

/// The wheel that the worm drives, its shaft square to the worm's. In its own plane it has the axial module of the
/// worm; it leans by the worm's lead angle, the same way.
fn wheel(cut: &Cut, sizes: &Sizes, module: &Length) -> Text {
    let hand = match cut.hand() {
        Hand::Right => "right",
        Hand::Left => "left",
    };
    let pressure = measure(&cut.form().half_angle()).marked();
    Text::from(format!(
        "Its wheel, shafts square: module {} (transverse), pressure angle {pressure}° (axial plane of the \
         worm), helix {:.2}° {hand} hand as the worm's. Centre distance with z teeth: ({} + z x {}) / 2 mm.",
        measure(&module.mm()).marked(),
        cut.lead_angle(&sizes.basic.pitch),
        size::mm(&sizes.basic.pitch),
        size::mm(module),
    ))
}

/// Under the crests of the wheel: ISO 53 proportions.
fn clearance(sizes: &Sizes, module: &Length) -> Text {
    let room = (sizes.basic.minor.mm() - sizes.basic.root.mm()) / 2.0;
    let part = room / module.mm().to_f64();
    format!(
        "The form's depth leaves {} under the wheel's teeth ({part:.2} module).",
        size::both(&room)
    )
    .into()
}

/// A wheel cut with a cutter of this module asks for a larger axial one.
fn cutter(module: &Length, normal: &Normal) -> Text {
    format!(
        "For a wheel that was cut with a cutter of module {}, gear for module {:.4} instead.",
        measure(&module.mm()).marked(),
        normal.axial.mm()
    )
    .into()
}
