//! How fast the carriage comes to the end of the thread.

use super::job::Job;
use super::page::Page;
use super::size;
use super::work::{Coasting, Stopping};
use crate::report::job::{Pace, Speed};
use crate::report::{Cell, Column, Role, Table, Text};
use crate::words::figures::{measure, rounded};
use crate::words::set_up::OUTRUNS;
use solver::cutting::{self, COASTING, REACTION, Stop, undercut};
use solver::{Hand, Length, Ratio, Result, Speeds};

/// Pitches of an undercut of which nothing is known (an open handbook, low trust: at least 1.5).
const PITCHES: (u128, u128) = (3, 2);
/// Speeds that the card shows.
const ROWS: usize = 3;

/// `None` for a feed. `opens`: whether the half nut may be opened at the end of a pass, so that the
/// carriage stops while the spindle coasts.
///
/// # Errors
/// If a figure does not fit.
pub(super) fn of(job: &Job<'_>, opens: bool) -> Result<Option<Speed>> {
    if job.is_feed() {
        return Ok(None);
    }
    let (groove, from) = match job.work.groove {
        Some(groove) => (groove, "stated"),
        None => assumed(job)?,
    };
    let (reaction, coasting) = times(job);
    let seconds = coasting.map_or(Ok(reaction), |coasting| reaction.plus(&coasting))?;
    let stop = Stop::new(job.lead(), groove, seconds);
    let speeds = job.lathe().parts().speeds.as_ref();
    let fastest = speeds.map(|speeds| stop.fastest(speeds)).transpose()?.flatten();
    let enough = whole(stop.rpm());
    let at = rpms(job, fastest, enough).into_iter().map(|rpm| pace(job, groove, &stop, rpm));
    Ok(Some(Speed {
        groove: size::of_length(&groove),
        groove_stated: job.work.groove.is_some(),
        groove_from: from,
        reaction_s: reaction.to_string(),
        coasting_s: coasting.map_or_else(|| "0".to_string(), |coasting| coasting.to_string()),
        enough_time_rpm: enough,
        nut_opened_rpm: opens.then(|| whole(Stop::new(job.lead(), groove, reaction).rpm())),
        fastest_rpm: fastest,
        at: at.collect::<Result<_>>()?,
        screw_outruns_spindle: job.outruns(),
    }))
}

/// Seconds to act, and seconds of coasting; `None` is 0.
fn times(job: &Job<'_>) -> (Ratio, Option<Ratio>) {
    let Stopping { reaction, coasting } = &job.work.stopping;
    (reaction.unwrap_or(REACTION), coasting.map_or(Some(COASTING), Coasting::seconds))
}

/// The least of DIN 76-1 for a metric 60 degree thread; else 1.5 pitches, to a tenth of a mm upward; pi is
/// 22/7 for that.
fn assumed(job: &Job<'_>) -> Result<(Length, &'static str)> {
    let pitch = job.target().pitch();
    let metric = job.cut.filter(|cut| cut.form() == cutting::Form::Sixty);
    if let Some(undercut) = metric.and_then(|_| undercut(&pitch, job.work.side)) {
        return Ok((undercut.least, "DIN 76-1"));
    }
    let pi = if pitch.has_pi() { Ratio::new(22, 7)? } else { Ratio::ONE };
    let mm = pitch.mm().times(&Ratio::new(PITCHES.0, PITCHES.1)?)?.times(&pi)?;
    Ok((Length::from_mm(up_to_tenths(&mm)?), "1.5 pitches"))
}

/// Turns a minute, rounded down.
fn whole(rpm: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
    let rpm = rpm.clamp(0.0, f64::from(u32::MAX)) as u32;
    rpm
}

/// Speeds worth a row: that which was asked; else the lathe's slowest, and the fastest that leaves time;
/// else that one.
fn rpms(job: &Job<'_>, fastest: Option<u32>, enough: u32) -> Vec<u32> {
    if let Some(rpm) = job.work.rpm {
        return vec![rpm];
    }
    match job.lathe().parts().speeds.as_ref() {
        Some(Speeds::List(list)) => {
            let mut list = list.clone();
            list.sort_unstable();
            list.dedup();
            list.into_iter().take(ROWS).collect()
        }
        Some(Speeds::Range(range)) => {
            let mut two = vec![*range.start(), fastest.unwrap_or(*range.start())];
            two.dedup();
            two
        }
        _ if enough > 0 => vec![enough],
        _ => Vec::new(),
    }
}

fn pace(job: &Job<'_>, groove: Length, stop: &Stop, rpm: u32) -> Result<Pace> {
    let pace = cutting::Pace::new(job.lead(), rpm)?;
    Ok(Pace {
        rpm,
        mm_per_s: rounded(pace.mm_per_second(), 6),
        groove_s: rounded(pace.seconds_in(groove), 6),
        enough: stop.allows(rpm)?,
    })
}

/// The slowest speed of the lathe, for the scratch pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slowest {
    Rpm(u32),
    /// It leaves no time to stop in the undercut.
    TooFast,
    Unknown,
}

/// How slowly the lathe runs.
pub(super) fn slowest(job: &Job<'_>, speed: Option<&Speed>) -> Slowest {
    let rpm = match job.lathe().parts().speeds.as_ref() {
        Some(Speeds::Range(range)) => Some(*range.start()),
        Some(Speeds::List(list)) => list.iter().min().copied(),
        _ => None,
    };
    match (rpm, speed) {
        (None, _) => Slowest::Unknown,
        (Some(rpm), Some(speed)) if !runs_free(job) && rpm > speed.enough_time_rpm => {
            Slowest::TooFast
        }
        (Some(rpm), _) => Slowest::Rpm(rpm),
    }
}

/// Whether the tool leaves the work at the tailstock end, where there is no undercut.
fn runs_free(job: &Job<'_>) -> bool {
    job.hand() == Some(Hand::Left) && job.work.groove.is_none()
}

/// How far the carriage runs before it stands, to a tenth of a mm upward; pi is 22/7 for that.
fn way(job: &Job<'_>, rpm: u32) -> Result<Ratio> {
    let (reaction, coasting) = times(job);
    let seconds = coasting.map_or(Ok(reaction), |coasting| reaction.plus(&coasting))?;
    let lead = job.lead();
    let pi = if lead.has_pi() { Ratio::new(22, 7)? } else { Ratio::ONE };
    let turns = Ratio::new(rpm.into(), 60)?.times(&seconds)?;
    up_to_tenths(&lead.mm().times(&turns)?.times(&pi)?)
}

fn up_to_tenths(mm: &Ratio) -> Result<Ratio> {
    let tenths = mm.times(&Ratio::whole(10)?)?;
    Ratio::new(tenths.numer().div_ceil(tenths.denom()), 10)
}

/// The section.
pub(super) fn write(job: &Job<'_>, speed: &Speed, page: &mut Page) {
    page.section("Speed");
    if speed.screw_outruns_spindle {
        page.warning(OUTRUNS);
    }
    if runs_free(job) {
        write_free(job, speed, page);
        return;
    }
    let width = if speed.groove_stated {
        String::new()
    } else {
        format!("if it is {} mm wide", speed.groove.mm)
    };
    let columns = [("speed", "rpm"), ("carriage", "mm/s"), ("in undercut", "s"), (&*width, "")];
    let columns = columns.map(|(name, unit)| Column::new(name.to_string(), name.to_string(), unit));
    let mut table = Table::new(columns.into());
    for at in &speed.at {
        let enough = match speed.nut_opened_rpm {
            _ if at.enough => "time to stop",
            Some(most) if at.rpm <= most => "time to open the nut",
            _ => "too fast",
        };
        let enough = Cell::from(enough);
        table.push(vec![
            Cell::from(at.rpm.to_string()),
            Cell::from(format!("{:.1}", at.mm_per_s)),
            Cell::from(format!("{:.1}", at.groove_s)),
            enough,
        ]);
    }
    if !speed.at.is_empty() {
        page.table(table);
    }
    page.note(rule(job, speed));
    if let (Slowest::TooFast, Some(at)) = (slowest(job, Some(speed)), speed.at.first())
        && let Ok(wide) = way(job, at.rpm)
    {
        page.note(format!(
            "{} rpm takes an undercut of {}; else turn the spindle by hand.",
            at.rpm,
            size::both(&size::of_length(&Length::from_mm(wide)))
        ));
    }
}

/// A left-hand thread begins in the undercut: what counts is the room where the tool runs out.
fn write_free(job: &Job<'_>, speed: &Speed, page: &mut Page) {
    let columns = [("speed", "rpm"), ("carriage", "mm/s"), ("room to stop", "mm")];
    let columns = columns.map(|(name, unit)| Column::new(name, name, unit));
    let mut table = Table::new(columns.into());
    for at in &speed.at {
        let Ok(way) = way(job, at.rpm) else { continue };
        table.push(vec![
            Cell::from(at.rpm.to_string()),
            Cell::from(format!("{:.1}", at.mm_per_s)),
            Cell::from(format!("{:.1}", way.to_f64())),
        ]);
    }
    if !speed.at.is_empty() {
        page.table(table);
    }
    page.note(format!(
        "The tool runs out at the tailstock end: leave it that room. {}. {NO_STOP}",
        seconds(job)
    ));
}

/// `To act 1 s (assumed, --reaction), coasting 1 s (assumed, --coast)`.
fn seconds(job: &Job<'_>) -> String {
    let (reaction, coasting) = times(job);
    let words = |seconds: Option<Ratio>, assumed: bool, argument: &str| {
        let seconds = seconds.map_or_else(|| "0".to_string(), |of| measure(&of).marked());
        let assumed = if assumed { format!(" (assumed, {argument})") } else { String::new() };
        format!("{seconds} s{assumed}")
    };
    let stopping = &job.work.stopping;
    format!(
        "To act {}, coasting {}",
        words(Some(reaction), stopping.reaction.is_none(), "--reaction"),
        words(coasting, stopping.coasting.is_none(), "--coast")
    )
}

fn rule(job: &Job<'_>, speed: &Speed) -> Text {
    let undercut = size::both(&speed.groove);
    let (undercut, only_if) = match speed.groove_from {
        "stated" => (format!("Undercut {undercut} wide"), ""),
        "DIN 76-1" => {
            (format!("Undercut assumed: {undercut} wide, DIN 76-1's least for this pitch"), IF_SO)
        }
        from => (format!("Undercut assumed: {undercut} wide, {from}"), IF_SO),
    };
    let most = match speed.enough_time_rpm {
        0 => "no speed leaves time: turn it by hand".to_string(),
        rpm => format!("up to {rpm} rpm leaves time"),
    };
    let closed = speed.nut_opened_rpm.map(|_| "With the nut closed. ").unwrap_or_default();
    let opened = speed.nut_opened_rpm.filter(|rpm| *rpm > 0).map_or_else(String::new, |rpm| {
        format!("; with the nut opened in time no coasting counts, up to {rpm} rpm")
    });
    Text::from(format!("{undercut}. {closed}{}: ", seconds(job)))
        .and(Role::Strong, most)
        .and(Role::Plain, format!("{opened}{only_if}. {NO_STOP}"))
}

/// An undercut that nobody has cut promises nothing.
const IF_SO: &str = " if the undercut is so wide";
const NO_STOP: &str = "Never run into a fixed stop with the half nut closed.";
