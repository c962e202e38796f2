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

use super::edge::{beside, spacers};
use super::figure::{Axle, Figure};

/// Columns of a shaft's name, and of a plane.
const NAME: usize = 11;
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
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

fn head(planes: u8) -> String {
    let name = |plane: u8| match plane {
        1 => "1 inboard".to_string(),
        n if n == planes => format!("{n} outboard"),
        n => n.to_string(),
    };
    let planes: String = (1..=planes).map(|plane| format!("{:<PLANE$}", name(plane))).collect();
    format!("{:<NAME$}{planes}", "  plane")
}

/// A stroke where a shaft's gear meshes with the one before.
fn mesh(axle: &Axle) -> String {
    let plane = axle.wheels.first().map_or(1, |wheel| wheel.plane);
    format!("{:1$}|", "", NAME + PLANE * usize::from(plane.saturating_sub(1)))
}

fn shaft(axle: &Axle, figure: &Figure) -> String {
    let mut line = format!("{:<NAME$}", format!("  {}", axle.name));
    let span = axle.wheels.iter().map(|w| w.plane);
    let (first, last) = (span.clone().min().unwrap_or(1), span.max().unwrap_or(1));
    for plane in 1..=figure.planes {
        let gear = axle.wheels.iter().find(|wheel| wheel.plane == plane);
        let text = match gear {
            Some(wheel) => wheel.teeth.to_string(),
            None if spacers(axle).contains(&plane) => "[spacer]".to_string(),
            None => String::new(),
        };
        line += &if gear.is_some() && first <= plane && plane < last {
            format!("{text} {:=<1$} ", "", PLANE.saturating_sub(text.len() + 2))
        } else {
            format!("{text:<PLANE$}")
        };
    }
    // Four planes leave no room for words.
    if figure.planes < 4 { line + beside(axle, figure.outermost()) } else { line }
}
