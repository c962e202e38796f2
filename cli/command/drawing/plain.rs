//! The view on edge in letters: a line a shaft, a column a plane, for a terminal.
//!
//! ```text
//!            1          2
//!   first    45
//!            |
//!   stud 1   55 ======= 50         keyed together
//!                       |
//!   last     [spacer]   65
//! ```
//!
//! A gear without work, joined to the one that works, is in banjos: `40 ======= (127)`.

use super::edge::{beside, spacers};
use super::figure::{Axle, Figure, Wheel};
use crate::report::drawing::Part;

/// Columns of a shaft's name, and of a plane.
const NAME: usize = 17;
const PLANE: usize = 11;

/// The view, in 60 columns.
pub(super) fn draw(figure: &Figure) -> String {
    let mut lines = vec![head(figure.planes)];
    for (i, axle) in figure.axles.iter().enumerate() {
        if i > 0 {
            lines.push(mesh(axle));
        }
        lines.push(shaft(axle, figure));
    }
    lines.iter().map(|line| line.trim_end()).flat_map(|line| [line, "\n"]).collect()
}

fn head(planes: u8) -> String {
    let name = |plane: u8| match plane {
        1 => "1 inner".to_string(),
        n if n == planes => format!("{n} outer"),
        n => n.to_string(),
    };
    let planes = (1..=planes).map(|plane| format!("{:<PLANE$}", name(plane)));
    std::iter::once(format!("{:<NAME$}", "  plane")).chain(planes).collect()
}

/// A stroke where a shaft's gear meshes with the one before.
fn mesh(axle: &Axle) -> String {
    let plane = axle.wheels.first().map_or(1, |wheel| wheel.plane);
    format!("{:1$}|", "", NAME + PLANE * usize::from(plane.saturating_sub(1)))
}

fn shaft(axle: &Axle, figure: &Figure) -> String {
    let name = format!("{:<NAME$}", format!("  {}", axle.name));
    let cells = (1..=figure.planes).map(|plane| cell(axle, plane));
    // Four planes leave no room for words.
    let words = if figure.planes < 4 { beside(axle, figure.outermost()) } else { "" };
    std::iter::once(name).chain(cells).chain([words.to_string()]).collect()
}

/// What a shaft carries in a plane; the gears of a pair are joined.
fn cell(axle: &Axle, plane: u8) -> String {
    let gear = axle.wheels.iter().find(|wheel| wheel.plane == plane);
    let joined = axle.wheels.iter().any(|wheel| wheel.plane > plane);
    let count = |wheel: &Wheel| match wheel.part {
        Part::Idle => format!("({})", wheel.teeth),
        _ => wheel.teeth.to_string(),
    };
    match gear.map(count) {
        Some(count) if joined => format!("{count} {:=<1$} ", "", PLANE - 2 - count.len().min(5)),
        Some(count) => format!("{count:<PLANE$}"),
        None if spacers(axle).contains(&plane) => format!("{:<PLANE$}", "[spacer]"),
        None => format!("{:<PLANE$}", ""),
    }
}
