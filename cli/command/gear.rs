//! `gear`: which gear is this, how big are gears of a size and how do they run, and is a box of gears
//! what its file says?
//!
//! Each question has a file of its own below.

mod identify;
mod inventory;
mod mesh;

use crate::args;
use crate::failure::Failure;
use crate::report::Report;
use crate::words::figures;
use solver::involute::{is_undercut, undercut_limit};
use solver::{Gear, PressureAngle, Teeth, ToothSize};

/// Answers `gear`.
///
/// # Errors
/// If a word can't be read, or the file can't be used.
pub(super) fn run(asked: &args::Gear) -> Result<Report, Failure> {
    if asked.teeth.is_empty() {
        return inventory::run(asked.lathe.as_deref(), asked.gears.as_deref());
    }
    let teeth: Vec<Teeth> = asked.teeth.iter().map(|typed| typed.value).collect();
    let size = asked.pitch.as_ref().map(|typed| typed.value);
    let angle = asked.angle.as_ref().map(|typed| typed.value);
    match (&asked.outside, size) {
        (Some(outside), stated) => identify::run(&teeth, outside, asked.circle, stated, angle),
        (None, Some(size)) => {
            let angle = angle.unwrap_or(PressureAngle::TWENTY);
            let gear = |teeth| Gear::new(teeth).with_size(Some(size)).with_angle(angle);
            let gears: Vec<Gear> = teeth.into_iter().map(gear).collect();
            mesh::run(&gears, &size, asked.centres.as_ref())
        }
        (None, None) => {
            let count: Vec<&str> = asked.teeth.iter().map(|typed| &*typed.text).collect();
            let count = count.join(" ");
            Err(Failure::new(format!("gear {count}: what is known of it beside its teeth?"))
                .with_hint("--outside \"42 mm\" to find its tooth size, --pitch \"module 1\" for its sizes"))
        }
    }
}

/// `module 1.25`, `20 DP`: as the trade writes it.
fn size_in_words(size: &ToothSize) -> String {
    match size.diametral_pitch() {
        None => format!("module {}", figures::measure(&size.module().mm()).marked()),
        Some(pitch) => format!("{} DP", figures::measure(&pitch).marked()),
    }
}

/// The same at the head of a sentence.
fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// A length in mm, in words.
fn mm(value: f64) -> String {
    format!("{} mm", figures::real(value).marked())
}

/// Which gears of one pressure angle are undercut, if any is.
fn undercut(gears: &[&Gear], angle: PressureAngle) -> Option<String> {
    let mut cut: Vec<Teeth> = gears
        .iter()
        .filter(|gear| gear.angle == angle && is_undercut(gear))
        .map(|gear| gear.teeth)
        .collect();
    cut.sort_unstable();
    cut.dedup();
    let list = cut.iter().map(Teeth::to_string).collect::<Vec<_>>().join(", ");
    let degrees = figures::measure(&angle.degrees()).marked();
    let limit = undercut_limit(angle).round();
    (!cut.is_empty()).then(|| {
        format!(
            "{list} of {degrees} degrees: undercut at the root unless cut with a shifted profile, as \
             all under {limit} teeth. They run, with less contact and weaker teeth."
        )
    })
}
