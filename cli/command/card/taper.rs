//! A taper pipe thread: sizes at its small end and at the gauge plane, and how the taper is cut.

use super::Card;
use super::page::{Page, strong};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::size;
use solver::Ratio;
use solver::cutting::Tapered;
use solver::job::Sizes;

/// Length over which the attachment is set, in mm.
const LENGTH: f64 = 100.0;

/// The section, in place of that of parallel threads.
pub(super) fn write(card: &Card<'_>, sizes: &Sizes, taper: &Tapered, page: &mut Page) {
    let [small, gauge] =
        if card.is_nut() { ["inside", "face"] } else { ["small end", "gauge plane"] };
    let columns = [("", ""), (small, "mm"), (gauge, "mm"), (small, "in"), (gauge, "in")];
    let mut table = Table::new(columns.map(|(name, unit)| Column::new(name, name, unit)).into());
    let (at_end, at_gauge) = (&taper.small_end, &sizes.basic);
    let rows = [
        ("major", at_end.major, at_gauge.major),
        ("pitch", at_end.pitch, at_gauge.pitch),
        ("minor", at_end.minor, at_gauge.minor),
    ];
    for (name, small, gauge) in &rows {
        let figures = [size::mm(small), size::mm(gauge), size::inches(small), size::inches(gauge)];
        table.push(std::iter::once(name.to_string()).chain(figures).map(Cell::from).collect());
    }
    page.table(table);
    page.note(lengths(card, taper));
    page.note(attachment(taper));
    page.note(format!(
        "Set the lead along the axis and the tool square to the axis. Don't set the tailstock over \
         instead: the lead along the axis would be {:.0} ppm short.",
        -taper.set_over_ppm()
    ));
    page.note(if card.is_nut() {
        "Basic sizes. Try it with a plug gauge."
    } else {
        "Basic sizes. Try it with a ring gauge."
    });
}

fn lengths(card: &Card<'_>, taper: &Tapered) -> String {
    let length = size::both(&taper.gauge_length);
    if card.is_nut() {
        return format!("The gauge plane is the face; inside is {length} deep.");
    }
    match &taper.american {
        Some([effective, whole]) => format!(
            "Gauge plane {length} from the small end (L1). Effective thread L2 {}; with the tool's \
             run-out L4 {}.",
            size::both(effective),
            size::both(whole)
        ),
        _ => format!("Gauge plane {length} from the small end (gauge length)."),
    }
}

fn attachment(taper: &Tapered) -> Text {
    Text::from(format!("Taper {} on the diameter. Taper attachment: ", in_words(&taper.taper())))
        .and(Role::Strong, format!("{:.4}°", taper.half_angle()))
        .and(
            Role::Plain,
            format!(
                " from the axis, or {:.3} mm aside in 100 mm (taper 3/4 in per foot).",
                LENGTH * taper.taper().to_f64() / 2.0
            ),
        )
}

/// `1 in 16`.
fn in_words(taper: &Ratio) -> String {
    taper.to_string().replace('/', " in ")
}

/// What is turned or bored before the thread is cut.
pub(super) fn blank(card: &Card<'_>, taper: &Tapered) -> (&'static str, Text) {
    let (label, across, at) = if card.is_nut() {
        ("bore to", &taper.gauge_plane.minor, "the face, narrower inward")
    } else {
        ("turn to", &taper.small_end.major, "the small end, wider from there")
    };
    let at = format!(" at {at} (the taper: see Sizes)");
    (label, strong(size::both(across)).and(Role::Plain, at))
}

/// In place of the sizes where the standard's length for them is not in the table here.
pub(super) fn unknown(on_diameter: &Ratio) -> String {
    format!(
        "Taper {} on the diameter, by a taper attachment; don't set the tailstock over. Sizes and blank \
         are not known here: they hang on L1, the length from small end to gauge plane, which ASME \
         B1.20.1 tabulates. Take them from there, or try it with a ring or plug gauge.",
        in_words(on_diameter)
    )
}
