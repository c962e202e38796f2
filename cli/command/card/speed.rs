//! How fast the carriage comes to the end of the thread.

use super::Card;
use super::page::Page;
use super::surface;
use crate::report::{Column, Role, Table, Text};
use crate::words::cautions::STOP;
use crate::words::figures::measure;
use crate::words::set_up::OUTRUNS;
use crate::words::size::{self, Mm};
use solver::Ratio;
use solver::job::{Slowest, Speed, Time, WidthSource};

/// The section.
pub(super) fn write(card: &Card<'_>, speed: &Speed, page: &mut Page) {
    page.section("Speed");
    if speed.screw_outruns_spindle {
        page.warning(OUTRUNS);
    }
    surface::write(card, page);
    if speed.runs_free {
        write_free(card, speed, page);
        return;
    }
    let (room, width) = match speed.undercut_is {
        WidthSource::Stated => ("in undercut", String::new()),
        WidthSource::RunOut => ("in run-out", String::new()),
        _ => ("in undercut", format!("if it is {} mm wide", speed.undercut.mm_rounded())),
    };
    let table = Table::of(
        &speed.at,
        [
            (Column::named("speed", "rpm"), &|at| at.rpm.to_string().into()),
            (Column::named("carriage", "mm/s"), &|at| format!("{:.1}", at.mm_per_s).into()),
            (Column::named(room, "s"), &|at| format!("{:.1}", at.undercut_s).into()),
            (Column::named(width, ""), &|at| enough(at.time).into()),
        ],
    );
    if !speed.at.is_empty() {
        page.table(table);
    }
    page.note(rule(card, speed));
    if let (Slowest::TooFast, Some(at)) = (speed.slowest, speed.at.first())
        && let Some(way) = &at.way
    {
        let of = match speed.undercut_is {
            WidthSource::RunOut => "a run-out",
            _ => "an undercut",
        };
        page.note(format!(
            "{} rpm takes {of} of {}; else turn the spindle by hand.",
            at.rpm,
            size::both(way)
        ));
    }
}

const fn enough(time: Time) -> &'static str {
    match time {
        Time::ToStop => "time to stop",
        Time::ToOpen => "time to open the nut",
        Time::TooShort => "too fast",
    }
}

/// A left-hand thread begins in the undercut: what counts is the room where the tool runs out.
fn write_free(card: &Card<'_>, speed: &Speed, page: &mut Page) {
    let ways = speed.at.iter().filter_map(|at| Some((at, at.way.as_ref()?)));
    let table = Table::of(
        ways,
        [
            (Column::named("speed", "rpm"), &|(at, _)| at.rpm.to_string().into()),
            (Column::named("carriage", "mm/s"), &|(at, _)| format!("{:.1}", at.mm_per_s).into()),
            (Column::named("room to stop", "mm"), &|(_, way)| {
                format!("{:.1}", way.mm().to_f64()).into()
            }),
        ],
    );
    if !speed.at.is_empty() {
        page.table(table);
    }
    page.note(format!(
        "The tool runs out at the tailstock end: leave it that room. {}. {STOP}",
        seconds(card, speed)
    ));
    // The nut stays closed: the way back ends at the shoulder.
    if speed.nut_opened_rpm.is_none() && card.asked.work.away {
        let width = format!("the undercut, {} wide", size::both(&speed.undercut));
        page.note(
            Text::from(format!("Back to {width}: "))
                .and(Role::Strong, most(speed))
                .and(Role::Plain, format!(" to stop in it{}.", if_so(card).1)),
        );
    }
}

/// `To act 1 s (assumed, --reaction), coasting 1 s (assumed, --coast)`.
fn seconds(card: &Card<'_>, speed: &Speed) -> String {
    let words = |seconds: Option<Ratio>, assumed: bool, argument: &str| {
        let seconds = seconds.map_or_else(|| "0".to_string(), |of| measure(&of).marked());
        let assumed = if assumed { format!(" (assumed, {argument})") } else { String::new() };
        format!("{seconds} s{assumed}")
    };
    let work = &card.asked.work;
    format!(
        "To act {}, coasting {}",
        words(Some(speed.reaction), work.reaction.is_none(), "--reaction"),
        words(speed.coasting, work.coasting.is_none(), "--coast")
    )
}

fn rule(card: &Card<'_>, speed: &Speed) -> Text {
    let undercut = size::both(&speed.undercut);
    let by = match speed.undercut_is {
        WidthSource::Stated => "",
        WidthSource::Din76 => ", DIN 76-1's least for this pitch",
        WidthSource::Din76Short => ", DIN 76-1's least short one for this pitch",
        WidthSource::Pitches => ", 1.5 pitches",
        WidthSource::RunOut => ", L4 less L2",
    };
    let (said, only_if) = if_so(card);
    let (undercut, only_if) = match speed.undercut_is {
        WidthSource::RunOut => (format!("Run-out {undercut} long{by}"), ""),
        _ => (format!("Undercut{said} {undercut} wide{by}"), only_if),
    };
    let most = most(speed);
    let closed = speed.nut_opened_rpm.map(|_| "With the nut closed. ").unwrap_or_default();
    let opened = speed.nut_opened_rpm.filter(|rpm| *rpm > 0).map_or_else(String::new, |rpm| {
        format!("; with the nut opened in time no coasting counts, up to {rpm} rpm")
    });
    Text::from(format!("{undercut}. {closed}{}: ", seconds(card, speed)))
        .and(Role::Strong, most)
        .and(Role::Plain, format!("{opened}{only_if}. {STOP}"))
}

fn most(speed: &Speed) -> String {
    match speed.enough_rpm {
        0 => "no speed leaves time: turn it by hand".to_string(),
        rpm => format!("up to {rpm} rpm leaves time"),
    }
}

/// An undercut that nobody has cut promises nothing.
fn if_so(card: &Card<'_>) -> (&'static str, &'static str) {
    match card.asked.work.undercut {
        Some(_) => ("", ""),
        None => (" assumed:", " if the undercut is so wide"),
    }
}
