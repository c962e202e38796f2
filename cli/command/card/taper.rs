//! A taper thread: sizes at both ends, how far a gauge goes on, and how the taper is cut.

use super::Card;
use super::page::{Page, strong};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::size;
use solver::cutting::{Cone, Kind, Tapered};
use solver::job::{Refused, SetOver, Sizes};
use solver::{Hand, Ratio};

/// Length over which the attachment is set, in mm.
const LENGTH: f64 = 100.0;
/// Inches in a foot.
const FOOT: f64 = 12.0;
/// Pipes up to here have a gauge tolerance of one turn, larger ones of one and a half: outside, in mm (ISO
/// 7-1 for size 2; unverified).
const LARGE: f64 = 60.0;

/// The section, in place of that of parallel threads.
pub(super) fn write(card: &Card<'_>, sizes: &Sizes, taper: &Tapered, page: &mut Page) {
    page.table(table(card, sizes, taper));
    let parts =
        [Some(lengths(card, taper)), gauged(card, taper), tight(taper.kind).map(String::from)];
    page.note(parts.into_iter().flatten().collect::<Vec<_>>().join(" "));
    page.note(set_up(&taper.cone, card.job.set_over.as_ref()));
}

fn table(card: &Card<'_>, sizes: &Sizes, taper: &Tapered) -> Table {
    let [small, gauge] = match (card.is_nut(), taper.kind) {
        (true, _) => ["inside", "face"],
        (false, Kind::Own) => ["small end", "large end"],
        (false, _) => ["small end", "gauge plane"],
    };
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
    table
}

fn lengths(card: &Card<'_>, taper: &Tapered) -> String {
    let length = size::both(&taper.gauge_length);
    match (card.is_nut(), taper.kind, taper.american) {
        (true, Kind::Own, _) => format!("Basic sizes; inside is {length} deep (--over)."),
        (true, ..) => format!("Basic sizes. The gauge plane is the face; inside is {length} deep."),
        (false, Kind::Own, _) => format!("Basic sizes; from end to end {length} (--over)."),
        (false, _, Some(of)) => format!(
            "Basic sizes. Gauge plane {length} from the small end (L1). Effective thread L2 {}; with the \
             tool's run-out L4 {}.",
            size::both(&of.effective),
            size::both(&of.whole)
        ),
        (false, _, None) => {
            format!("Basic sizes. Gauge plane {length} from the small end (gauge length).")
        }
    }
}

/// How far a gauge goes on by hand.
fn gauged(card: &Card<'_>, taper: &Tapered) -> Option<String> {
    let turns = match taper.kind {
        Kind::Own => return Some("Try it with the mate.".to_owned()),
        _ => taper.turns?.to_f64(),
    };
    let off = match taper.kind {
        Kind::British if taper.gauge_plane.major.mm() > LARGE => "1 1/2 turns",
        _ => "1 turn",
    };
    let gauge = if card.is_nut() { "A plug gauge" } else { "A ring gauge" };
    Some(format!("{gauge} goes on {turns:.1} turns by hand, {off} more or less (unverified)."))
}

/// The attachment, or the tailstock in place of it.
fn set_up(cone: &Cone, stated: Option<&SetOver>) -> Text {
    let attachment = attachment(cone).and(Role::Plain, " ");
    let set_over = set_over(cone, stated);
    set_over.spans().iter().fold(attachment, |all, span| all.and(span.role, span.text.clone()))
}

fn attachment(cone: &Cone) -> Text {
    let taper = cone.on_diameter().to_f64();
    let per_foot = Ratio::whole(12).and_then(|inches| cone.on_diameter().times(&inches));
    let per_foot = match per_foot {
        Ok(inches) if inches.denom() <= 64 => size::mixed(&inches),
        _ => format!("{:.4}", FOOT * taper),
    };
    Text::from(format!("Taper {cone} on the diameter. Taper attachment: "))
        .and(Role::Strong, format!("{:.4}°", cone.half_angle()))
        .and(
            Role::Plain,
            format!(
                " from the axis, or {:.3} mm aside in 100 mm (taper {per_foot} in per foot). Set the tool \
                 square to the axis, not to the cone; the lead is along the axis.",
                LENGTH * taper / 2.0
            ),
        )
}

/// What the tailstock does in place of the attachment.
fn set_over(cone: &Cone, stated: Option<&SetOver>) -> Text {
    let short = format!("{:.0} ppm", -cone.set_over_ppm());
    let Some(stated) = stated else {
        return format!(
            "Don't set the tailstock over instead: the lead along the axis would be {short} short."
        )
        .into();
    };
    let over = stated
        .short_mm
        .zip(stated.thread)
        .map(|(by, thread)| format!(": {:.1} µm over {} mm", 1e3 * by, size::mm(&thread)));
    Text::from(format!(
        "No attachment, {} mm between centres: set the tailstock over by ",
        size::mm(&stated.between)
    ))
    .and(Role::Strong, size::both(&stated.aside))
    .and(
        Role::Plain,
        format!(
            " toward the tool, the small end at the tailstock. The lead is then right along the cone; along \
             the axis it is {short} short{}.",
            over.unwrap_or_default()
        ),
    )
}

/// Titles of the standards; the sealant is unverified.
const fn tight(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::American => Some("Tight only with a sealant (ASME B1.20.1, unverified)."),
        Kind::British => Some("Tight on the thread (ISO 7-1), with a sealant (unverified)."),
        Kind::Own => None,
    }
}

/// What is turned or bored before the thread is cut.
pub(super) fn blank(card: &Card<'_>, taper: &Tapered) -> (&'static str, Text) {
    let over = size::both(&taper.gauge_length);
    let stated = if taper.kind == Kind::Own { ", as stated" } else { "" };
    let (label, across, at) = if card.is_nut() {
        let inside = size::both(&taper.small_end.minor);
        ("bore to", taper.gauge_plane.minor, format!("the face{stated}; {inside} at {over} inside"))
    } else {
        let (large, on) = taper.american.map_or_else(
            || (size::both(&taper.gauge_plane.major), over),
            |of| (format!("{}, the pipe's outside,", size::both(&of.pipe)), size::both(&of.crests)),
        );
        ("turn to", taper.small_end.major, format!("the small end{stated}; {large} {on} on"))
    };
    (label, strong(size::both(&across)).and(Role::Plain, format!(" at {at} (taper: see Sizes)")))
}

/// Where the tool leaves a pipe, in place of an undercut: the threads between L2 and L4 run out.
pub(super) fn run_out(card: &Card<'_>) -> Option<String> {
    // An undercut that was asked for is turned.
    let taper = card.job.sizes.as_ref().filter(|_| card.job.undercut.is_none())?.taper?;
    let of = taper.american.filter(|_| !card.is_nut() && card.hand() != Some(Hand::Left))?;
    Some(format!(
        "No undercut on a pipe: draw the tool out {} to {} mm from the end (L2, L4).",
        size::mm(&of.effective),
        size::mm(&of.whole)
    ))
}

/// What a parallel pipe thread is not, by the title of its standard.
pub(super) fn parallel_pipe(card: &Card<'_>) -> Option<&'static str> {
    let thread = card.target().thread()?;
    (thread.series().key() == "g")
        .then_some("ISO 228-1: not tight on the thread; a washer or a ring seals it.")
}

/// In place of the sizes where the standard's length for them is not in the table here.
pub(super) fn unknown(cone: &Cone, stated: Option<&SetOver>) -> [Text; 2] {
    [
        "Sizes and blank are not known here: they hang on L1, the length from small end to gauge plane, which \
         ASME B1.20.1 tabulates. Take them from there, or try it with a ring or plug gauge."
            .into(),
        set_up(cone, stated),
    ]
}

/// Why no card can be made of what is said of a taper: what is wrong, what would be right.
pub(super) fn refused(why: &Refused, text: &str) -> Option<(String, &'static str)> {
    let begins = "--blank 20mm beside it: a screw at its small end, the bore of a nut at its face";
    Some(match why {
        Refused::OwnTaper(own) => (
            format!("--taper: {text} has a taper of its own, {own}"),
            "leave --taper out, or ask for the pitch alone, such as `1.5 mm`",
        ),
        Refused::TaperOfNamed => (
            format!("--taper: {text} is a parallel thread"),
            "ask for the pitch alone, such as `1.5 mm`, with --blank beside it",
        ),
        Refused::TaperWithoutBlank => {
            ("--taper: the diameter that it begins with is not known".to_owned(), begins)
        }
        Refused::TaperDiameter => ("--diameter: a taper begins with its blank".to_owned(), begins),
        Refused::CentresOfParallel => (
            format!("--centres: {text} is no taper, the tailstock stays in line"),
            "leave --centres out, or --taper beside it",
        ),
        Refused::CentresOfNut => (
            "--centres: a nut is not held between centres".to_owned(),
            "leave --centres out: a nut takes a taper attachment",
        ),
        _ => return None,
    })
}
