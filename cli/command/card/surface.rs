//! Turns a minute by the material, and whether the way to the undercut allows them.

use super::Card;
use super::page::{Page, capital, strong};
use crate::report::{Role, Text};
use crate::words::size;
use solver::cutting::{SpeedSource, SurfaceSpeed, ToolSteel};
use solver::job::{Decides, Surface};

/// The figure to begin at, why, and where it comes from; nothing where no material was stated.
pub(super) fn write(card: &Card<'_>, page: &mut Page) {
    let Some(surface) = &card.job.surface else { return };
    page.note(begin(card, surface));
    page.note(rests_on(surface));
}

/// The same for a feed, which has no undercut.
pub(super) fn write_for_a_feed(card: &Card<'_>, page: &mut Page) {
    if card.job.surface.is_some() {
        page.section("Speed");
        write(card, page);
    }
}

/// `Begin at 64 rpm: the time to stop decides; the surface speed allows 169.`
fn begin(card: &Card<'_>, of: &Surface) -> Text {
    let [low, _] = of.rpm;
    let why = match of.decides {
        Decides::RunOut => {
            format!(
                ": the time to stop in the undercut decides; the surface speed allows {low} rpm."
            )
        }
        Decides::Surface if card.is_feed() => ": the lower surface speed.".to_string(),
        Decides::Surface => ": the surface speed decides, not the time to stop.".to_string(),
    };
    let lathe = match of.of_lathe {
        Some(rpm) if rpm != of.begin => format!(" The next slower of the lathe is {rpm} rpm."),
        None if of.is_too_slow && of.begin > 0 => {
            " The lathe has none so slow: turn it by hand.".to_string()
        }
        _ => String::new(),
    };
    let begin = match of.begin {
        0 => strong("Turn it by hand"),
        rpm => strong(format!("Begin at {rpm} rpm")),
    };
    begin.and(Role::Plain, format!("{why}{lathe}"))
}

/// `Mild steel, HSS tool: 35 to 40 ft/min (10.7 to 12.2 m/min), at 20 mm 169 to 194 rpm. Unverified.`
fn rests_on(of: &Surface) -> String {
    let what = match of.of {
        Some((material, ToolSteel::HighSpeed)) => format!("{}, HSS tool", material.name),
        Some((material, ToolSteel::Carbon)) => format!("{}, carbon steel tool", material.name),
        None => "surface speed as stated".to_string(),
    };
    let [low, high] = of.rpm;
    let rpm = if low == high { low.to_string() } else { format!("{low} to {high}") };
    let jones = of.of.and_then(|(material, _)| material.in_jones()).unwrap_or_default();
    let jones = format!(" F. D. Jones, Turning and Boring (1919): {jones}.");
    let source = match of.speed.source {
        SpeedSource::Jones => jones.as_str(),
        SpeedSource::Practice => " Common practice, one source only: check it.",
        SpeedSource::Memory => " Unverified: check it.",
        SpeedSource::Quarter => " A quarter to a half of the turning speed; unverified: check it.",
        SpeedSource::Stated => "",
    };
    let speed = metres_and_feet(&of.speed);
    let across = size::both(&of.diameter);
    capital(&format!("{what}: {speed}; at {across} across {rpm} rpm.{source}"))
}

fn metres_and_feet(of: &SurfaceSpeed) -> String {
    let range = |unit: f64, digits: usize| {
        let [low, high] =
            [of.low, of.high].map(|speed| format!("{:.digits$}", speed.to_f64() / unit));
        if low == high { low } else { format!("{low} to {high}") }
    };
    format!("{} m/min ({} ft/min)", range(1.0, 1), range(FOOT, 0))
}

/// A foot in metres.
const FOOT: f64 = 0.3048;
