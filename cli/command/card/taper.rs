//! A taper pipe thread: sizes at its small end and at the gauge plane, and how the taper is cut.

use super::job::Job;
use super::page::{Page, strong};
use super::size;
use crate::report::job::{Sizes, Taper};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::figures::rounded;
use solver::Ratio;
use solver::cutting::Cut;

/// Length over which the attachment is set, in mm.
const LENGTH: f64 = 100.0;

/// `None` for parallel threads, and where the sizes are not known.
pub(super) fn of(cut: &Cut) -> Option<Taper> {
    let of = cut.tapered().ok()??;
    let [effective, whole] = match &of.american {
        Some(lengths) => lengths.map(|length| Some(size::of_measure(&length))),
        None => [None, None],
    };
    Some(Taper {
        on_diameter: of.taper().to_string(),
        half_angle_degrees: rounded(of.half_angle(), 6),
        small_end: [of.small_end.major, of.small_end.pitch, of.small_end.minor]
            .map(|at| size::of_measure(&at)),
        gauge_length: size::of_length(&of.gauge_length),
        effective_length: effective,
        whole_length: whole,
        attachment_mm_in_100: rounded(LENGTH * of.taper().to_f64() / 2.0, 6),
        tailstock_set_over_ppm: rounded(of.set_over_ppm(), 1),
    })
}

/// The section, in place of that of parallel threads.
pub(super) fn write(job: &Job<'_>, sizes: &Sizes, taper: &Taper, page: &mut Page) {
    let [small, gauge] =
        if job.is_nut() { ["inside", "face"] } else { ["small end", "gauge plane"] };
    let columns = [("", ""), (small, "mm"), (gauge, "mm"), (small, "in"), (gauge, "in")];
    let mut table = Table::new(columns.map(|(name, unit)| Column::new(name, name, unit)).into());
    let at_gauge = [&sizes.major.basic, &sizes.pitch.basic, &sizes.minor.basic];
    for ((name, small), gauge) in
        ["major", "pitch", "minor"].into_iter().zip(&taper.small_end).zip(at_gauge)
    {
        let figures = [size::mm(small), size::mm(gauge), size::inches(small), size::inches(gauge)];
        table.push(std::iter::once(name.to_string()).chain(figures).map(Cell::from).collect());
    }
    page.table(table);
    page.note(lengths(job, taper));
    page.note(attachment(taper));
    page.note(format!(
        "Set the lead along the axis and the tool square to the axis. Don't set the tailstock over \
         instead: the lead along the axis would be {:.0} ppm short.",
        -taper.tailstock_set_over_ppm
    ));
    page.note(if job.is_nut() {
        "Basic sizes. Try it with a plug gauge."
    } else {
        "Basic sizes. Try it with a ring gauge."
    });
}

fn lengths(job: &Job<'_>, taper: &Taper) -> String {
    let length = size::both(&taper.gauge_length);
    if job.is_nut() {
        return format!("The gauge plane is the face; inside is {length} deep.");
    }
    match (&taper.effective_length, &taper.whole_length) {
        (Some(effective), Some(whole)) => format!(
            "Gauge plane {length} from the small end (L1). Effective thread L2 {}; with the tool's \
             run-out L4 {}.",
            size::both(effective),
            size::both(whole)
        ),
        _ => format!("Gauge plane {length} from the small end (gauge length)."),
    }
}

fn attachment(taper: &Taper) -> Text {
    Text::from(format!(
        "Taper {} on the diameter. Taper attachment: ",
        in_words(&taper.on_diameter)
    ))
    .and(Role::Strong, format!("{:.4}°", taper.half_angle_degrees))
    .and(
        Role::Plain,
        format!(
            " from the axis, or {:.3} mm aside in 100 mm (taper 3/4 in per foot).",
            taper.attachment_mm_in_100
        ),
    )
}

/// `1 in 16`.
fn in_words(taper: &str) -> String {
    taper.replace('/', " in ")
}

/// What is turned or bored before the thread is cut.
pub(super) fn blank(job: &Job<'_>, sizes: &Sizes, taper: &Taper) -> (&'static str, Text) {
    let (label, across, at) = if job.is_nut() {
        ("bore to", &sizes.minor.basic, "the face, narrower inward")
    } else {
        ("turn to", &taper.small_end[0], "the small end, wider from there")
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
        in_words(&on_diameter.to_string())
    )
}
